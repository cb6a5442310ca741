//! What is shown of a part that bends, and how it is played.

use analysis::{BendingReport, RingReport};
use glam::DVec2;

/// What is shown of a part that bends; nothing until a person asks for it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bending {
    /// Whether it is shown.
    pub shown: bool,
    /// What of it.
    pub what: What,
    /// Whether it is played.
    pub playing: bool,
    /// How much slower than real a move is played.
    pub pace: Pace,
    /// Time that was played, s.
    pub time: f64,
    /// Ends of the line of the section, mm.
    pub section: Option<[DVec2; 2]>,
    /// Whether the next stroke of the pointer draws the section.
    pub picking: bool,
}

/// What is shown of a part that bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum What {
    /// How it sags in the shown motion, where its first lip lets go.
    #[default]
    Sag,
    /// One of the ways in which it rings.
    Mode(usize),
    /// How it swings during the shown motion's stroke and after it.
    Stroke,
}

/// How fast a move is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// As fast as it is.
    Real,
    /// Five times as slow.
    #[default]
    Slow,
    /// Twenty times as slow.
    Slower,
}

impl Pace {
    pub(in crate::plan) const ALL: [Self; 3] = [Self::Real, Self::Slow, Self::Slower];

    pub(in crate::plan) fn label(self) -> &'static str {
        match self {
            Self::Real => "real time",
            Self::Slow => "1/5 speed",
            Self::Slower => "1/20 speed",
        }
    }

    pub(in crate::plan) fn times(self) -> f64 {
        match self {
            Self::Real => 1.0,
            Self::Slow => 0.2,
            Self::Slower => 0.05,
        }
    }
}

impl Bending {
    /// Begins or ends playing, from the start.
    pub fn play(&mut self) {
        self.playing = !self.playing;
        self.time = 0.0;
    }

    /// What rings is shown, where the sag was.
    pub fn first_mode(&mut self) {
        if self.what == What::Sag {
            self.what = What::Mode(0);
        }
    }

    /// Lays the section through the place of the largest sag, along the part's longer side, or takes it away.
    pub fn cut(&mut self, bending: &BendingReport) {
        if self.section.take().is_some() {
            self.picking = false;
            return;
        }
        let points = &bending.map.points;
        let (Some(low), Some(high)) =
            (points.iter().copied().reduce(DVec2::min), points.iter().copied().reduce(DVec2::max))
        else {
            return;
        };
        let at = bending.deepest().map_or((low + high) / 2.0, |deepest| deepest.sag_at);
        let size = high - low;
        self.section = Some(if size.x >= size.y {
            [DVec2::new(low.x, at.y), DVec2::new(high.x, at.y)]
        } else {
            [DVec2::new(at.x, low.y), DVec2::new(at.x, high.y)]
        });
        self.picking = true;
    }

    /// Whether what is shown can be played with this report.
    pub(in crate::plan) fn can_play(&self, ring: Option<&RingReport>) -> bool {
        ring.is_some() && self.what != What::Sag
    }
}
