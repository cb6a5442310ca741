//! What was decided for a person, each with what else could be meant and how to have that.

use crate::{DrawingUnit, ImportOptions};
use glam::DVec2;
use units::Worded;

/// A decision as a sentence, with the alternative beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What was taken, as a sentence without a full stop.
    pub says: Worded,
    /// What else could be meant: "take the frame as the part".
    pub other: Worded,
    /// How to have that.
    pub instead: Instead,
    /// Where it is in the drawing, mm, where it has a place.
    pub at: Option<DVec2>,
    /// Whether a person should look before going on: the size or shape of the part hangs on it.
    pub doubtful: bool,
}

/// The way to the alternative of a [`Choice`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Instead {
    /// The part is the innermost closed line around this place, mm.
    Inside(DVec2),
    /// The closed line around this place (mm) becomes a hole, or is none any more.
    Toggle(DVec2),
    /// Another unit.
    Unit(DrawingUnit),
    /// Another scale: how many times as large as drawn.
    Scale(f64),
    /// Ends are joined within this, mm, and no further.
    Gap(f64),
    /// Another page of a PDF.
    Page(usize),
    /// The part is cut along what runs across it from edge to edge, or stays whole.
    Divide(bool),
}

impl Instead {
    /// Changes options to it.
    ///
    /// ```
    /// let mut options = exchange::ImportOptions::default();
    /// exchange::Instead::Scale(2.0).apply(&mut options);
    /// assert_eq!(options.scale, Some(2.0));
    /// ```
    pub fn apply(self, options: &mut ImportOptions) {
        match self {
            Instead::Inside(at) => options.inside = Some(at),
            Instead::Toggle(at) => options.toggled.push(at),
            Instead::Unit(unit) => options.unit = Some(unit),
            Instead::Scale(scale) => options.scale = Some(scale),
            Instead::Divide(divide) => options.divide = divide,
            Instead::Gap(gap) => (options.gap_mm, options.auto_gap) = (gap, false),
            Instead::Page(page) => {
                // Places belong to the page they were chosen on.
                *options = ImportOptions {
                    inside: None,
                    within: None,
                    toggled: Vec::new(),
                    divide: false,
                    ..options.clone()
                };
                options.page = page;
            }
        }
    }

    /// As arguments of the command line: "--inside 10,20".
    #[must_use]
    pub fn argument(self) -> String {
        let point = |at: DVec2| format!("{},{}", figure(at.x), figure(at.y));
        match self {
            Instead::Inside(at) => format!("--inside {}", point(at)),
            Instead::Toggle(at) => format!("--toggle {}", point(at)),
            Instead::Unit(unit) => format!("--unit {}", unit.symbol()),
            Instead::Scale(scale) => format!("--scale {}", figure(scale)),
            Instead::Gap(gap) => format!("--gap {}", figure(gap)),
            Instead::Page(page) => format!("--page {page}"),
            Instead::Divide(true) => "--divide".to_owned(),
            Instead::Divide(false) => "--divide=false".to_owned(),
        }
    }
}

/// As it is typed: with a plain minus.
fn figure(value: f64) -> String {
    units::trimmed(&units::figure(value, 3)).replace('\u{2212}', "-")
}
