//! What of the document decides how a part bends.

use super::{USUAL_DAMPING, USUAL_POISSON};
use crate::{lower, lower_motion::acceleration_of, memo::Shared, shape::Drawing};
use document::{Motion, MotionId, MoveProfile, Part, Project};
use flex::{Attached, Bending, FlexError, Footprint, Sheet, SheetInput};
use geometry::{Outline, Section};
use std::sync::Arc;
use units::Worded;

/// Share of the acceleration across the sheet below which a motion counts as one in its plane.
const ACROSS: f64 = 1e-6;

/// A part that is let bend, with what the project says of its motions.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BendingInput {
    pub sheet: SheetKey,
    pub damping: f64,
    /// Ringing that counts as rest, mm.
    pub ring_limit_mm: f64,
    /// Clearance that a lip needs to everything that is not sound, mm.
    pub clearance_mm: f64,
    /// Step of the grid that added cups stand on, mm.
    pub step_mm: Option<f64>,
    /// Where lips may land.
    pub drawing: Drawing,
    /// How each motion excites the sheet.
    pub moves: Vec<(MotionId, Move)>,
}

/// What a sheet by itself depends on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SheetKey {
    outline: Shared<Outline>,
    thickness_mm: f64,
    bending: Bending,
    mass_kg: f64,
    attached: Vec<Attached>,
}

/// How a motion excites a sheet across its plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Move {
    /// A stroke from rest to rest, of so much across the sheet, and the pause after it, s.
    Stroke(flex::Stroke, f64),
    /// An acceleration across the sheet that may come at once, m/s².
    Sudden(f64),
    /// Nothing across the sheet.
    InPlane,
}

impl BendingInput {
    /// Of a part; `None` of one that is taken as rigid, else why there is none.
    pub(crate) fn of(
        project: &Project,
        part: &Part,
        section: &Section,
        step_mm: Option<f64>,
    ) -> Option<Result<Self, Worded>> {
        let modulus = part.modulus_n_mm2.as_ref()?.value;
        let mass_kg = match lower::own_mass(part, section) {
            Ok(own) => own,
            Err(reason) => return Some(Err(reason.into())),
        };
        let poisson = part.poisson.as_ref().map_or(USUAL_POISSON, |p| p.value);
        let bending = match &part.modulus_across_n_mm2 {
            None => Bending::Isotropic { modulus, poisson },
            Some(across) => {
                let turn = part.along_deg.to_radians();
                Bending::from_moduli(part.thickness_mm, modulus, across.value, poisson, turn)
            }
        };
        let lowered = |mass: &document::Attached| lowered(mass, part.stiff_blocks);
        let sheet = SheetKey {
            outline: Shared(Arc::clone(&part.outline)),
            thickness_mm: part.thickness_mm,
            bending,
            mass_kg,
            attached: part.attached.iter().filter(|a| a.mass_kg > 0.0).map(lowered).collect(),
        };
        Some(Ok(Self {
            sheet,
            damping: part.damping.as_ref().map_or(USUAL_DAMPING, |damping| damping.value),
            ring_limit_mm: project.rules.ring_limit_mm,
            clearance_mm: part.placement.position_mm + part.placement.drawing_mm,
            step_mm,
            drawing: Drawing::of(part),
            moves: project.motions.iter().map(|motion| (motion.id, moved(motion))).collect(),
        }))
    }

    pub(crate) fn move_of(&self, motion: MotionId) -> Move {
        self.moves.iter().find(|(id, _)| *id == motion).map_or(Move::InPlane, |(_, moved)| *moved)
    }
}

impl SheetKey {
    /// The sheet: mesh, factor and unit loads.
    pub(crate) fn sheet(&self) -> Result<Sheet, FlexError> {
        self.sheet_with(1.0)
    }

    /// The same with Poisson's ratio times this.
    pub(crate) fn sheet_with(&self, poisson_times: f64) -> Result<Sheet, FlexError> {
        let bending = match self.bending {
            Bending::Isotropic { modulus, poisson } => {
                Bending::Isotropic { modulus, poisson: (poisson * poisson_times).min(0.499) }
            }
            Bending::Orthotropic { along, across, poisson, twist, turn } => {
                Bending::Orthotropic { along, across, poisson: poisson * poisson_times, twist, turn }
            }
        };
        Sheet::new(&SheetInput {
            outline: &self.outline.0,
            thickness: self.thickness_mm,
            bending,
            mass: self.mass_kg,
            attached: &self.attached,
            corners: flex::USUAL_CORNERS,
        })
    }

    pub(crate) fn thickness_mm(&self) -> f64 {
        self.thickness_mm
    }

    pub(crate) fn bending(&self) -> &Bending {
        &self.bending
    }
}

/// A block is spread over its footprint. It lets the sheet bend below it unless a person says that blocks are fixed all over: the
/// larger sag is on the careful side.
fn lowered(mass: &document::Attached, stiff: bool) -> Attached {
    let size = mass.size.truncate();
    let footprint =
        (size.min_element() > 0.0).then_some(Footprint { size, turn: mass.turn_deg.to_radians(), stiff });
    Attached { mass: mass.mass_kg, at: mass.at.truncate(), height: mass.at.z, footprint }
}

/// What a motion does across the sheet: only that makes a flat sheet ring.
fn moved(motion: &Motion) -> Move {
    let acceleration = acceleration_of(motion);
    if acceleration.z.abs() <= ACROSS * acceleration.length() {
        return Move::InPlane;
    }
    match &motion.stroke {
        Some(stroke) => {
            let profile = match stroke.profile {
                MoveProfile::Trapezoid => mechanics::MoveProfile::Trapezoid,
                MoveProfile::Cycloid => mechanics::MoveProfile::Cycloid,
                MoveProfile::Quintic => mechanics::MoveProfile::Quintic,
            };
            let length = stroke.mm * acceleration.normalize_or_zero().z;
            Move::Stroke(flex::Stroke { profile, length, time: stroke.time_s }, stroke.pause_s)
        }
        None => Move::Sudden(acceleration.z),
    }
}
