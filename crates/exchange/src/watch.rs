//! How far a reading is, a request to stop it, and how much work one drawing may come to.

use crate::dxf::Trouble;
use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};

/// Steps that one drawing may come to besides those that every entity takes: looks at what lies near, comparisons of
/// loops. Some seconds' work; a drawing without places that thousands of lines share needs a few an entity.
pub(crate) const MOST_STEPS: u64 = 60_000_000;

/// What a reading does at the moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// "reading entities", "joining lines" ... for a sentence.
    pub stage: &'static str,
    /// Share of it that is done, 0 to 1, where it can be told.
    pub share: Option<f32>,
}

/// Follows one reading from another thread, and stops it.
///
/// ```
/// use exchange::{ImportError, ImportOptions, Watch, read_drawing_bytes_watched};
/// let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><rect width="9" height="9"/></svg>"#;
/// let watch = Watch::default();
/// watch.stop(); // as another thread would, at any moment
/// let stopped = read_drawing_bytes_watched("plate.svg", svg, &ImportOptions::default(), &watch);
/// assert!(matches!(stopped, Err(ImportError::Stopped { .. })));
/// ```
#[derive(Debug, Default)]
pub struct Watch {
    stop: AtomicBool,
    stage: AtomicU32,
    /// Thousandths of the stage, plus one; 0 where they cannot be told.
    share: AtomicU32,
    steps: AtomicU64,
}

/// Stages in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stage {
    Opening,
    Entities,
    Placing,
    Turning,
    Joining,
    Nesting,
    Searching,
}

const STAGES: [(Stage, &str); 7] = [
    (Stage::Opening, "opening the file"),
    (Stage::Entities, "reading entities"),
    (Stage::Placing, "putting blocks and symbols in place"),
    (Stage::Turning, "turning curves into lines and arcs"),
    (Stage::Joining, "joining lines"),
    (Stage::Nesting, "telling parts from holes"),
    (Stage::Searching, "looking for crossings"),
];

impl Watch {
    /// Asks the reading to stop: it ends soon with [`crate::ImportError::Stopped`].
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// What it does now.
    #[must_use]
    pub fn progress(&self) -> Progress {
        let stage = STAGES.get(self.stage.load(Ordering::Relaxed) as usize).map_or("", |s| s.1);
        let share = self.share.load(Ordering::Relaxed);
        Progress { stage, share: share.checked_sub(1).map(|share| share as f32 / 1000.0) }
    }

    /// Looks and comparisons made so far, for a test that bounds them.
    #[must_use]
    pub fn steps(&self) -> u64 {
        self.steps.load(Ordering::Relaxed)
    }

    pub(crate) fn enter(&self, stage: Stage) -> Result<(), Trouble> {
        self.stage.store(stage as u32, Ordering::Relaxed);
        self.share.store(0, Ordering::Relaxed);
        self.go_on()
    }

    /// So much of the stage is done; an error once somebody asked to stop.
    pub(crate) fn at(&self, done: usize, of: usize) -> Result<(), Trouble> {
        let thousandths = done.saturating_mul(1000) / of.max(1);
        self.share.store(1 + thousandths.min(1000) as u32, Ordering::Relaxed);
        self.go_on()
    }

    pub(crate) fn go_on(&self) -> Result<(), Trouble> {
        if self.stop.load(Ordering::Relaxed) { Err(Trouble::Stopped) } else { Ok(()) }
    }

    /// Counts work that the number of entities does not bound.
    pub(crate) fn spend(&self, steps: usize) -> Result<(), Trouble> {
        // One thread reads, so that no addition is lost.
        let total = self.steps.load(Ordering::Relaxed).saturating_add(steps as u64);
        self.steps.store(total, Ordering::Relaxed);
        if total > MOST_STEPS { Err(Trouble::TooMuchWork) } else { self.go_on() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stages_stand_at_their_numbers() {
        for (at, (stage, says)) in STAGES.into_iter().enumerate() {
            let watch = Watch::default();
            watch.enter(stage).expect("nobody stopped it");
            assert_eq!((stage as usize, watch.progress().stage), (at, says));
            assert_eq!(watch.progress().share, None);
            watch.at(1, 4).expect("nobody stopped it");
            assert_eq!(watch.progress().share, Some(0.25));
        }
    }
}
