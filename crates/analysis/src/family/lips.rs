//! Lips of a tool against each other, whichever parts they hold.

use super::seat::{Laid, SeatStage};
use crate::{
    findings::{Lips, Near, near},
    seats,
    words::Words,
};
use document::{Cup, Layout, Project, Seat};
use geometry::Lip;
use glam::DVec2;
use std::sync::Arc;
use units::UnitChoice;

/// Remembers the gaps pair by pair.
#[derive(Default)]
pub(super) struct LipStage {
    gaps: seats::SeatStage,
}

impl LipStage {
    /// Cups that stand in each other's way, with a move that keeps every part that the moved cup holds.
    pub(super) fn near(
        &mut self,
        project: &Project,
        layout: &Layout,
        (stages, laid): (&[(&Seat, SeatStage)], &[Laid]),
        units: &UnitChoice,
        step_mm: Option<f64>,
    ) -> Arc<[Near]> {
        let lip = |cup: &Cup| {
            let model = project.model(&cup.model).filter(|model| model.out_of_range().is_none())?;
            let lip = Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
            (lip.at.is_finite() && lip.turn.is_finite()).then_some(lip)
        };
        let known = layout.cups.iter().enumerate().filter_map(|(place, cup)| Some((place, cup, lip(cup)?)));
        let known: Vec<(usize, &Cup, Lip)> = known.collect();
        let limit = project.rules.gap_watch_mm;
        let each: Vec<_> = known.iter().map(|(_, cup, lip)| (cup.id, *lip)).collect();
        let gaps = self.gaps.gaps(&each, limit.max(0.0));
        if gaps.is_empty() {
            return Arc::default();
        }
        let cups: Vec<(&Cup, Lip)> = known.iter().map(|(_, cup, lip)| (*cup, *lip)).collect();
        let lands = |index: usize, at: DVec2| {
            let (place, _, lip) = &known[index];
            let mut parts = stages.iter().zip(laid);
            parts.all(|((_, stage), laid)| {
                let holds = laid.cups.get(*place).is_some_and(|cup| cup.holds);
                !holds || stage.lands(laid, lip, at)
            })
        };
        near(&Lips {
            cups: &cups,
            gaps: &gaps,
            limit,
            lands: &lands,
            words: Words { choice: units },
            step_mm,
        })
        .into()
    }
}
