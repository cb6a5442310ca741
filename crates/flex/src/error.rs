//! Why a sheet cannot be worked out, each as a sentence.

use glam::DVec2;
use units::{Part, Quantity, Worded};

/// Why there is no figure of a bending sheet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlexError {
    /// No area, or nothing that encloses one.
    #[error("nothing of the sheet is left to bend: check the outline, and that its holes leave material")]
    NothingLeft,
    /// A corner or bulge that is not a finite number.
    #[error("the outline has a corner that is not at a finite place: enter its coordinates again")]
    NotFinite,
    /// A shape so narrow that it bends like a wire.
    #[error("{}", sliver(*.width, *.length))]
    Sliver {
        /// Twice the area over the perimeter, mm.
        width: f64,
        /// Longest extent, mm.
        length: f64,
    },
    /// Boundaries that cross.
    #[error("{}", crossing(*.at))]
    Crossing {
        /// Where.
        at: DVec2,
    },
    /// More than one piece of material.
    #[error(
        "the sheet is in {pieces} pieces, or its pieces meet in a point only: join them or make them parts of their own"
    )]
    TwoPieces {
        /// How many.
        pieces: usize,
    },
    /// A shape with so much detail that the mesh would not fit in the frame.
    #[error(
        "the outline asks for more than {most} triangles' corners: simplify it or leave out its small holes"
    )]
    TooFine {
        /// Largest number of corners.
        most: usize,
    },
    /// An input of the material, a mass, a cup or a load that no sheet has.
    #[error("{what} is {}: {need}", units::figure(*.value, 4))]
    BadInput {
        /// Which input.
        what: &'static str,
        /// What it is.
        value: f64,
        /// What it should be.
        need: &'static str,
    },
    /// A mass that does not lie on the sheet.
    #[error("{}", mass_off(*.index, *.at))]
    MassOff {
        /// Its index.
        index: usize,
        /// Where.
        at: DVec2,
    },
    /// A lip that reaches over an edge or a hole.
    #[error("{}", lip_off(*.cup, *.at))]
    LipOff {
        /// Its index.
        cup: usize,
        /// Where.
        at: DVec2,
    },
    /// Cups that leave the sheet a motion of its own.
    #[error(
        "the cups do not hold the sheet: {cups} cup(s) leave it free to tip; use three that are not in line, or cups that resist tilt"
    )]
    NotHeld {
        /// How many cups there are.
        cups: usize,
    },
    /// The stiffness could not be factorised.
    #[error("the sheet's stiffness cannot be factorised: check thickness, moduli and outline")]
    Singular,
    /// A solution that leaves more force over than rounding does.
    #[error("the sheet's equations did not settle: {} of the load is left over; its results are not shown", units::figure(*.left, 9))]
    Unsettled {
        /// What is left over, as a share of the load.
        left: f64,
    },
    /// Frequencies that did not come to rest.
    #[error("the sheet's frequencies did not settle after {steps} steps; they are not shown")]
    NoModes {
        /// Steps taken.
        steps: usize,
    },
}

impl FlexError {
    /// The sentence, before its figures get units.
    #[must_use]
    pub fn worded(&self) -> Worded {
        match self {
            Self::Sliver { width, length } => sliver(*width, *length),
            Self::Crossing { at } => crossing(*at),
            Self::MassOff { index, at } => mass_off(*index, *at),
            Self::LipOff { cup, at } => lip_off(*cup, *at),
            other => other.to_string().into(),
        }
    }
}

fn sliver(width: f64, length: f64) -> Worded {
    Worded::new(
        "the outline is a sliver, {} wide on average and {} long: widen it, or check the unit of the drawing",
        [(width, Quantity::Length).into(), Part::Length(length)],
    )
}

fn crossing(at: DVec2) -> Worded {
    let at = Part::Place(at.to_array());
    Worded::new("boundaries of the sheet cross near {}: move a corner or a hole so that they part", [at])
}

fn mass_off(index: usize, at: DVec2) -> Worded {
    Worded::new(
        "attached mass {} does not lie fully on the sheet's material near {}: move it or reduce its footprint",
        [(index + 1).to_string().into(), Part::Place(at.to_array())],
    )
}

fn lip_off(cup: usize, at: DVec2) -> Worded {
    Worded::new(
        "the lip of cup {} does not lie fully on the sheet near {}: move the cup onto the material",
        [(cup + 1).to_string().into(), Part::Place(at.to_array())],
    )
}

/// An input that must be a finite number above nothing.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, FlexError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(FlexError::BadInput { what, value, need: "enter a number above 0" })
    }
}

/// An input that must be a finite number.
pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, FlexError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(FlexError::BadInput { what, value, need: "enter a number" })
    }
}
