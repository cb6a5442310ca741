//! What the driven program tells its parent: one line for each thing that happened, so that the parent knows what must have
//! survived. A line is out before anything else is done.

use document::Project;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::io::Write as _;

/// Stands for a project as its file would be.
pub type Digest = u64;

pub fn digest(project: &Project) -> Digest {
    let mut hasher = DefaultHasher::new();
    document::to_text(project).hash(&mut hasher);
    hasher.finish()
}

/// What a line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    /// The window stands; work from last time is offered.
    Offered,
    /// The offer is about to be taken up, or thrown away.
    Answering {
        /// Taken up.
        taken: bool,
    },
    /// The window takes commands.
    Ready,
    /// Committed now, and the changes that a journal has to hold for it.
    Committed(Digest, usize),
    /// About to be saved.
    Saving(Digest),
    /// The window says that it is saved.
    Saved(Digest),
}

const MARK: &str = "told:";

impl Told {
    pub fn say(self) {
        let line = match self {
            Told::Offered => "offered".to_owned(),
            Told::Answering { taken } => format!("answering {taken}"),
            Told::Ready => "ready".to_owned(),
            Told::Committed(digest, changes) => format!("committed {digest} {changes}"),
            Told::Saving(digest) => format!("saving {digest}"),
            Told::Saved(digest) => format!("saved {digest}"),
        };
        let mut out = std::io::stdout().lock();
        // A parent that is gone reads nothing; the driver is killed soon after.
        let _ = writeln!(out, "{MARK} {line}").and_then(|()| out.flush());
    }

    /// `None` for a line that is not the driver's, or not whole.
    pub fn heard(line: &str) -> Option<Self> {
        // The test harness may have begun the line.
        let (_, said) = line.split_once(MARK)?;
        let words: Vec<&str> = said.strip_suffix('\n')?.split_whitespace().collect();
        Some(match words.as_slice() {
            ["offered"] => Told::Offered,
            ["answering", taken] => Told::Answering { taken: taken.parse().ok()? },
            ["ready"] => Told::Ready,
            ["committed", digest, changes] => Told::Committed(digest.parse().ok()?, changes.parse().ok()?),
            ["saving", digest] => Told::Saving(digest.parse().ok()?),
            ["saved", digest] => Told::Saved(digest.parse().ok()?),
            _ => return None,
        })
    }
}

/// Choices that are random, and the same for the same seed.
pub struct Choices(u64);

impl Choices {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }
    /// SplitMix64: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014,
    /// figure 16 (from memory).
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    /// From 0 up to but not including `count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }
    /// One time in `times`.
    pub fn one_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }
}
