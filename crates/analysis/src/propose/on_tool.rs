//! The parts that a tool carries, each where it lies on it.

use super::error::CannotPropose;
use super::work::ProposalJob;
use crate::{lower, part_stage::PartStage, seats::Ground};
use document::{Layout, Part, Seat};
use mechanics::{Body, choice::Duty};
use std::sync::Arc;

/// A part on the tool.
pub(super) struct OnTool {
    pub seat: Seat,
    /// In the frame of the tool.
    pub part: Arc<Part>,
    /// What it is called; nothing where it is the only one.
    pub name: String,
    stage: PartStage,
}

/// The surface that it offers to cups.
#[derive(Clone, Copy)]
pub(super) struct Surface<'a> {
    pub part: &'a Part,
    pub ground: Ground<'a>,
}

impl OnTool {
    pub(super) fn surface(&self) -> Option<Surface<'_>> {
        Some(Surface { part: &self.part, ground: self.stage.ground(&self.part)? })
    }

    pub(super) fn body(&self) -> Result<Body, CannotPropose> {
        match self.stage.mass.held() {
            Some(Ok(mass)) => Ok(lower::body(mass)),
            Some(Err(why)) => Err(CannotPropose::Input(named(&self.name, why))),
            None => Err(CannotPropose::NoPart),
        }
    }
}

/// A part with its motions, ready for a search.
pub(super) struct Loads {
    pub body: Body,
    pub duties: Vec<Duty>,
}

impl ProposalJob {
    /// Every part that the tool carries; one whose outline cannot be worked with is an error.
    pub(super) fn on_tool(&self, present: &Layout) -> Result<Vec<OnTool>, CannotPropose> {
        let seats = present.all_seats();
        let several = seats.len() > 1;
        let on_tool = |seat: Seat| {
            let part = self.project.part(seat.part).ok_or(CannotPropose::NoPart)?;
            let name = if several { self.project.seat_name(present.id, seat.id) } else { String::new() };
            let mut on = OnTool { part: seat.place(part), seat, name, stage: PartStage::default() };
            on.stage.prepare(&on.part);
            match on.stage.drawing_problems(&self.units).first() {
                Some(problem) => Err(CannotPropose::Input(named(&on.name, problem))),
                None if on.surface().is_none() => Err(CannotPropose::NoPart),
                None => Ok(on),
            }
        };
        seats.into_iter().map(on_tool).collect()
    }

    /// What each of the parts loads the cups with.
    pub(super) fn loads(&self, on_tool: &[OnTool]) -> Result<Vec<Loads>, CannotPropose> {
        on_tool.iter().map(|on| Ok(Loads { body: on.body()?, duties: self.duties(on)? })).collect()
    }
}

/// "Left panel: no mass".
fn named(name: &str, says: &str) -> String {
    if name.is_empty() { says.to_owned() } else { format!("{name}: {says}") }
}
