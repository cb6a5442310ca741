//! What a group of cups cannot carry, in sentences.

use glam::DVec2;
use units::{Part, Worded};

/// Why a group of cups has no share for every load.
#[derive(Debug, Clone, PartialEq)]
pub enum GroupError {
    /// No cups.
    Empty,
    /// A position or stiffness that is not a number, or a negative stiffness.
    BadInput {
        /// Index of the cup.
        cup: usize,
        /// Which value.
        what: &'static str,
        /// The value.
        value: f64,
        /// A negative one would do as little as one that is no number.
        not_negative: bool,
    },
    /// No cup has axial stiffness.
    NoPull,
    /// No cup has lateral stiffness.
    NoSlide,
    /// All cups at one point and no lip that resists tilt.
    AtOnePoint {
        /// mm.
        at: DVec2,
    },
    /// Cups in line and no lip that resists tilt about that line.
    InLine {
        /// The cups' centre, mm.
        through: DVec2,
        /// Unit vector along the line.
        direction: DVec2,
    },
    /// One cup (or several at one point) whose lip resists tilt about one axis only.
    TiltsFreely {
        /// mm.
        through: DVec2,
        /// Unit vector along the free axis.
        direction: DVec2,
    },
    /// Cups at one point and no lip that resists twist.
    TwistsFreely {
        /// mm.
        at: DVec2,
    },
    /// A part that bends and that the cups do not hold, as the engine for bending says it.
    NotHeld(Worded),
}

impl GroupError {
    /// What is wrong, before its places get units; what to do about it stands apart.
    #[must_use]
    pub fn reason(&self) -> Worded {
        match self {
            Self::Empty => "there are no cups: nothing carries the part".into(),
            Self::BadInput { cup, what, value, .. } => {
                format!("{what} of cup number {} is {value}", cup + 1).into()
            }
            Self::NoPull => "no cup has any axial stiffness: nothing carries a pull".into(),
            Self::NoSlide => "no cup has any lateral stiffness: nothing carries a slide".into(),
            Self::AtOnePoint { at } => {
                Worded::new("the cups act at one point, {}: nothing carries a tipping moment", [place(at)])
            }
            Self::InLine { through, direction } => Worded::new(
                "the cups are in line through {} at {}°: nothing carries a tipping moment about that line",
                [place(through), degrees(direction).into()],
            ),
            Self::TiltsFreely { through, direction } => Worded::new(
                "the cups at {} resist tilt about one axis only: nothing carries a tipping moment about the line at {}°",
                [place(through), degrees(direction).into()],
            ),
            Self::TwistsFreely { at } => {
                Worded::new("the cups act at one point, {}: nothing carries a twist about it", [place(at)])
            }
            Self::NotHeld(reason) => reason.clone(),
        }
    }

    /// What to do about it, where that is not in the reason.
    #[must_use]
    pub fn remedy(&self) -> Option<&'static str> {
        Some(match self {
            Self::Empty => "place at least one cup",
            Self::BadInput { not_negative: true, .. } => "give a finite number, not below 0",
            Self::BadInput { .. } => "give a finite number",
            Self::NoPull => "give at least one cup a stiffness along its axis",
            Self::NoSlide => "give at least one cup a stiffness across its axis",
            Self::AtOnePoint { .. } => "add cups beside it, or lips that resist tilt",
            Self::InLine { .. } => "add a cup off the line",
            Self::TiltsFreely { .. } => "add a cup off that line",
            Self::TwistsFreely { .. } => "add a cup beside it, or lips that resist twist",
            Self::NotHeld(_) => return None,
        })
    }

    /// What is wrong and what to do, before its places get units.
    #[must_use]
    pub fn worded(&self) -> Worded {
        match self.remedy() {
            Some(remedy) => self.reason().and(format!("; {remedy}").into()),
            None => self.reason(),
        }
    }
}

/// In millimetres.
impl std::fmt::Display for GroupError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.worded().fmt(f)
    }
}

impl std::error::Error for GroupError {}

fn place(at: &DVec2) -> Part {
    Part::Place(at.to_array().map(|mm| units::tidied((mm * 10.0).round() / 10.0)))
}

/// Angle of a line in (-90, 90], rounded to whole degrees.
fn degrees(direction: &DVec2) -> String {
    let angle = direction.y.atan2(direction.x).to_degrees().round();
    let folded = angle - 180.0 * (angle / 180.0).round();
    units::figure(if folded <= -90.0 { folded + 180.0 } else { folded }, 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_name_the_place_and_what_to_do() {
        let line =
            GroupError::InLine { through: DVec2::new(-0.01, 100.0), direction: DVec2::new(-1.0, -0.2125565) };
        assert_eq!(
            line.to_string(),
            "the cups are in line through (0, 100) mm at 12°: nothing carries a tipping moment about that \
             line; add a cup off the line"
        );
        let bad = GroupError::BadInput { cup: 2, what: "axial stiffness", value: -1.0, not_negative: true };
        assert_eq!(
            bad.to_string(),
            "axial stiffness of cup number 3 is -1; give a finite number, not below 0"
        );
    }

    #[test]
    fn a_line_has_one_angle_either_way_along_it() {
        for (x, y, angle) in [(0.0, 1.0, 90.0), (0.0, -1.0, 90.0), (-1.0, 0.0, 0.0), (1.0, -1.0, -45.0)] {
            assert_eq!(degrees(&DVec2::new(x, y)), units::figure(angle, 0));
        }
    }
}
