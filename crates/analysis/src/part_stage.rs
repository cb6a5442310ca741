//! What is remembered of one part: its drawing, prepared, and its mass.

use crate::{
    lower,
    memo::Slot,
    seats::Ground,
    shape::{Drawing, Shape},
};
use document::{Attached, MassBy, Part, Sourced};
use geometry::MassProperties;
use glam::DVec3;
use units::{UnitChoice, Worded};

#[derive(Default)]
pub(crate) struct PartStage {
    pub(crate) shape: Slot<Drawing, Result<Shape, Vec<Worded>>>,
    pub(crate) mass: Slot<MassKey, Result<MassProperties, String>>,
}

/// What the mass depends on; the drawing by its count.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MassKey {
    drawing: u64,
    thickness_mm: f64,
    mass: MassBy,
    centre: Option<Sourced<DVec3>>,
    attached: Vec<Attached>,
}

impl PartStage {
    /// Brings drawing and mass up to date.
    pub(crate) fn prepare(&mut self, part: &Part) {
        self.shape.get(Drawing::of(part), Shape::prepare);
        let key = MassKey {
            drawing: self.shape.made(),
            thickness_mm: part.thickness_mm,
            mass: part.mass.clone(),
            centre: part.centre_of_gravity.clone(),
            attached: part.attached.clone(),
        };
        if let Some(Ok(shape)) = self.shape.held() {
            self.mass.get(key, |_| lower::mass(part, &shape.section));
        } else {
            self.mass.clear();
        }
    }

    pub(crate) fn drawing_problems(&self, units: &UnitChoice) -> Vec<String> {
        match self.shape.held() {
            Some(Err(problems)) => problems.iter().map(|problem| problem.says(units)).collect(),
            _ => Vec::new(),
        }
    }

    pub(crate) fn ground(&self, part: &Part) -> Option<Ground<'_>> {
        let (drawing, shape) = self.shape.held_with_key()?;
        let shape = shape.as_ref().ok()?;
        Some(Ground {
            part: part.id,
            drawing_count: self.shape.made(),
            drawing,
            shape,
            placement: part.placement,
        })
    }
}

pub(crate) fn ground<'a>(stage: &'a mut PartStage, part: &Part) -> Option<Ground<'a>> {
    stage.prepare(part);
    stage.ground(part)
}
