//! What a job is watched and stopped by, figure by figure.

use super::figure::Slow;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// In how many parts progress is counted.
const WHOLE: u32 = 1000;

/// Progress of a job, and the word to stop: each of its figures has its own, and one may be stopped while others go on.
#[derive(Debug, Default)]
pub struct Watch {
    stop: [AtomicBool; Slow::COUNT],
    done: [AtomicU32; Slow::COUNT],
}

impl Watch {
    /// Asks one figure to stop.
    pub fn stop(&self, slow: Slow) {
        self.stop[slow.place()].store(true, Ordering::Relaxed);
    }

    /// Asks all to stop.
    pub fn stop_all(&self) {
        self.stop.iter().for_each(|stop| stop.store(true, Ordering::Relaxed));
    }

    /// How far a figure is, 0 to 1.
    pub fn progress(&self, slow: Slow) -> f64 {
        f64::from(self.done[slow.place()].load(Ordering::Relaxed)) / f64::from(WHOLE)
    }

    pub(super) fn is_stopped(&self, slow: Slow) -> bool {
        self.cancel(slow).load(Ordering::Relaxed)
    }

    pub(super) fn cancel(&self, slow: Slow) -> &AtomicBool {
        &self.stop[slow.place()]
    }

    pub(super) fn tell(&self, slow: Slow, done: usize, of: usize) {
        let part = done as f64 / of.max(1) as f64;
        self.done[slow.place()].store((part.min(1.0) * f64::from(WHOLE)) as u32, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_figure_is_stopped_and_told_on_its_own() {
        let watch = Watch::default();
        watch.stop(Slow::Times);
        watch.tell(Slow::Limits, 1, 4);
        assert!(watch.is_stopped(Slow::Times) && !watch.is_stopped(Slow::Limits));
        assert_eq!((watch.progress(Slow::Limits), watch.progress(Slow::Ranges)), (0.25, 0.0));
        watch.stop_all();
        assert!(Slow::all().all(|slow| watch.is_stopped(slow)));
    }
}
