//! A tool that carries several parts: each lowered to a project of its own, worked out by an analyst of its own.
//!
//! The part is put where it lies on the tool and the cups stay, so that flange, frame, hoses and motions are those of the tool
//! for every part. Cups that hold are all the report knows; those whose zone is on and which do not lie wholly on sound surface
//! are leaks of their circuits; those whose zone is shut hang on a shut branch. Every seat remembers its own inputs: dragging one
//! part works out that part, dragging a cup works out what it changed of each.

mod fixes;
mod landing;
mod lips;
mod seat;
mod take;
mod told;
mod valves;

pub use landing::Landing;
pub(crate) use seat::{SeatStage, Seated};
pub(crate) use take::valve_edits;
pub(crate) use valves::names as zone_names;

use crate::{
    report::{Family, Report, SeatReport},
    stages::{Analyst, ProjectKey},
};
use document::{Layout, LayoutId, Project, Seat, SeatId};
use std::{collections::HashMap, sync::Arc};

/// The seats of all layouts that carry several parts.
#[derive(Default)]
pub(crate) struct FamilyStage {
    pub(crate) seats: HashMap<(LayoutId, SeatId), SeatStage>,
    reports: HashMap<LayoutId, (ProjectKey, Arc<Report>)>,
    shown: HashMap<LayoutId, SeatId>,
    plans: HashMap<LayoutId, valves::PlanStage>,
    lips: HashMap<LayoutId, lips::LipStage>,
    landing: landing::LandingStage,
}

impl FamilyStage {
    pub(crate) fn forget_report(&mut self, layout: LayoutId) {
        self.reports.remove(&layout);
    }
    pub(crate) fn forget_removed(&mut self, project: &Project) {
        let there =
            |layout: LayoutId, seat: SeatId| project.layout(layout).is_some_and(|l| l.seat(seat).is_some());
        self.seats.retain(|(layout, seat), _| there(*layout, *seat));
        self.reports.retain(|layout, _| project.layout(*layout).is_some());
        self.plans.retain(|layout, _| project.layout(*layout).is_some());
        self.lips.retain(|layout, _| project.layout(*layout).is_some());
    }
}

/// Whether a layout carries more than its one part at the datum.
pub(crate) fn is_family(project: &Project, layout: LayoutId) -> bool {
    project.layout(layout).is_some_and(|layout| !layout.seats.is_empty())
}

impl Analyst {
    /// The seat that landing regions, envelopes, lost cups played back and the like are asked for from now on, of a layout that
    /// carries several parts; without one it is the seat that governs.
    pub fn show_seat(&mut self, layout: LayoutId, seat: Option<SeatId>) {
        match seat {
            Some(seat) => self.family.shown.insert(layout, seat),
            None => self.family.shown.remove(&layout),
        };
    }

    /// The seat that is shown.
    pub(crate) fn seat_shown(&self, layout: LayoutId) -> Option<SeatId> {
        self.family.shown.get(&layout).copied()
    }

    /// The report on a layout with several parts: the figures of the one that governs, the findings of all, and every part's own
    /// report in [`Report::family`].
    pub(crate) fn check_family(&mut self, project: &Project, layout: &Layout) -> Arc<Report> {
        let key = ProjectKey::of(project, self.units(), self.step_mm());
        if let Some((held, report)) = self.family.reports.get(&layout.id)
            && *held == key
        {
            return Arc::clone(report);
        }
        let seats = self.check_seats(project, layout);
        let plan = self.family.plans.entry(layout.id).or_default();
        let valves = plan.plan(project, layout, &seats);
        let governing = told::worst(&seats);
        let cups = told::cups(layout, &seats, governing);
        let family = Family { seats, governing, cups, valves };
        let report = Arc::new(told::report(layout, family));
        self.family.reports.insert(layout.id, (key, Arc::clone(&report)));
        self.family.forget_removed(project);
        report
    }

    /// Every part's own report.
    fn check_seats(&mut self, project: &Project, layout: &Layout) -> Vec<SeatReport> {
        let (units, step_mm) = (self.units(), self.step_mm());
        let mut stages: Vec<(&Seat, SeatStage)> = layout
            .seats
            .iter()
            .map(|seat| (seat, self.family.seats.remove(&(layout.id, seat.id)).unwrap_or_default()))
            .collect();
        let lay = |(seat, stage): &mut (&Seat, SeatStage)| {
            stage.set_units(units);
            stage.analyst.set_step(step_mm);
            stage.lay(project, layout, seat)
        };
        let laid: Vec<_> = stages.iter_mut().map(lay).collect();
        // Lips are held against each other once all parts lie: a move must keep every one of them.
        let near = self.family.lips.entry(layout.id).or_default().near(
            project,
            layout,
            (&stages, &laid),
            &units,
            step_mm,
        );
        let each = stages.iter_mut().zip(&laid);
        let mut seats: Vec<SeatReport> = each
            .map(|((seat, stage), laid)| stage.check(project, layout, seat, laid, Arc::clone(&near)))
            .collect();
        fixes::hold_against(project, layout, &stages, &laid, &mut seats);
        let kept = stages.into_iter().map(|(seat, stage)| ((layout.id, seat.id), stage));
        self.family.seats.extend(kept);
        seats
    }

    /// The seat that is shown, else the one that governs, with the project of its part alone; `None` of a layout with one part
    /// at the datum.
    pub(crate) fn seated(
        &mut self,
        project: &Project,
        layout: LayoutId,
    ) -> Option<(&mut Analyst, Arc<Project>)> {
        if !is_family(project, layout) {
            return None;
        }
        let report = self.check(project, layout);
        let family = report.family.as_ref()?;
        let shown = self.family.shown.get(&layout).and_then(|id| family.seat(*id));
        let held = shown.or(family.governing())?;
        let stage = self.family.seats.get_mut(&(layout, held.seat.id))?;
        Some((&mut stage.analyst, Arc::clone(&held.project)))
    }
}
