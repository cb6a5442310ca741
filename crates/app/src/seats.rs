//! Parts on one tool in the window: which is shown, stepping through them, and the commands on them.

use crate::{
    app::Cupwright,
    command::Command,
    plan::Tool,
    view::{FamilyView, View},
};
use analysis::{Ages, Report};
use document::{Edit, Part, Project, SeatId};
use std::{cell::RefCell, sync::Arc};

/// What the window keeps of the parts on the tool.
#[derive(Default)]
pub(crate) struct Seats {
    /// The one shown, as it was asked for; without one that is there the one that governs.
    asked: Option<SeatId>,
    /// Whether all are shown over each other.
    all: bool,
    /// The report on the whole tool.
    whole: Option<Arc<Report>>,
    /// The part shown as it lay on the tool in the frame before.
    placed: RefCell<Option<Placed>>,
}

/// A part, where it lies, and everything of it there.
struct Placed {
    part: Arc<Part>,
    pose: geometry::Pose,
    lying: Arc<Part>,
}

impl Cupwright {
    /// The report on the tool as a whole: what is written and what the verdict is of.
    pub(crate) fn whole(&self) -> &Arc<Report> {
        self.seats.whole.as_ref().unwrap_or(&self.report)
    }

    /// What slow figures of a part on the tool belong to the plan; without one those of the only part.
    pub(crate) fn ages_of(&self, seat: Option<SeatId>) -> Ages {
        let family = self.whole().family.as_ref();
        let of = seat.and_then(|seat| family?.seat(seat));
        of.map_or(self.whole().ages, |seat| seat.report.ages)
    }

    /// Takes a report over: of a tool with several parts the one of the part that is shown.
    pub(crate) fn take_report(&mut self, whole: Arc<Report>) {
        let shown = whole.family.as_ref().and_then(|family| {
            let asked = self.seats.asked.and_then(|id| family.seat(id));
            asked.or(family.governing()).map(|seat| (seat.seat.id, seat.report.clone()))
        });
        match shown {
            Some((id, report)) => {
                // It stays the one shown, whichever governs from now on.
                self.seats.asked = Some(id);
                self.report = report;
                self.seats.whole = Some(whole);
            }
            None => {
                (self.report, self.seats.whole, self.seats.all) = (whole, None, false);
            }
        }
        self.analyst.show_seat(self.layout, self.seats.asked);
    }

    /// The part shown as it lies on the tool.
    pub(crate) fn part_on_tool(&self, project: &Project) -> Option<Arc<Part>> {
        let layout = project.layout(self.layout)?;
        let seats = layout.all_seats();
        let asked = self.seats.asked.and_then(|id| seats.iter().find(|seat| seat.id == id));
        let seat = asked.or(seats.first())?;
        let part = project.part(seat.part)?;
        // The same object as long as it lies so: the plan triangulates it once.
        let mut placed = self.seats.placed.borrow_mut();
        let key = |held: &Placed| Arc::ptr_eq(&held.part, part) && held.pose == seat.pose();
        if let Some(held) = placed.as_ref().filter(|held| key(held)) {
            return Some(Arc::clone(&held.lying));
        }
        let new = Placed { part: Arc::clone(part), pose: seat.pose(), lying: seat.place(part) };
        Some(Arc::clone(&placed.insert(new).lying))
    }

    pub(crate) fn family_view(&self) -> Option<FamilyView> {
        let whole = self.seats.whole.clone()?;
        let family = whole.family.clone()?;
        let shown = family.seats.iter().position(|seat| Some(seat.seat.id) == self.seats.asked)?;
        Some(FamilyView { whole, family, shown, all: self.seats.all })
    }

    /// Shows one part of the tool; `None` shows all over each other, and the one shown stays the one that edits are about.
    pub(crate) fn show_seat(&mut self, seat: Option<SeatId>) {
        self.seats.all = seat.is_none();
        if let Some(seat) = seat {
            self.seats.asked = Some(seat);
        }
        self.play_back(None);
        self.forget_reported();
    }

    /// Another layout has other seats.
    pub(crate) fn forget_seat(&mut self) {
        self.seats.asked = None;
        self.seats.all = false;
    }

    /// Carries out a command on the parts of the tool.
    pub(crate) fn run_seats(&mut self, view: &View, command: Command) {
        let layout = view.layout.id;
        match command {
            // With cups selected the brackets turn them.
            Command::NextSeat | Command::PreviousSeat
                if !view.selection.is_empty() || matches!(self.plan.tool, Tool::Place { .. }) =>
            {
                self.turn(if command == Command::NextSeat { -15.0 } else { 15.0 });
            }
            Command::NextSeat | Command::PreviousSeat => {
                let Some(held) = &view.family else {
                    return self.say("The tool carries one part. Another is added under Parts on the tool.");
                };
                let count = held.family.seats.len();
                let step = if command == Command::NextSeat { 1 } else { count - 1 };
                let next = (held.shown + step) % count.max(1);
                self.show_seat(held.family.seats.get(next).map(|seat| seat.seat.id));
            }
            Command::AllSeats => match &view.family {
                Some(held) if held.all => self.show_seat(held.seat().map(|seat| seat.seat.id)),
                Some(_) => self.show_seat(None),
                None => self.say("The tool carries one part."),
            },
            Command::OtherHand => {
                let shown = view.seat();
                match view.project.other_hand(layout, shown.id) {
                    Some(edit) => self.seat_anew(edit),
                    None => self.say("The part has no outline to mirror."),
                }
            }
            _ => {}
        }
    }

    /// Makes an edit that adds a part to the tool, and shows that part.
    pub(crate) fn seat_anew(&mut self, edit: Edit) {
        let before = self.project().layout(self.layout).map_or(0, |layout| layout.seats.len());
        self.apply(edit);
        let layout = self.project().layout(self.layout).cloned();
        if let Some(new) =
            layout.filter(|l| l.seats.len() > before).and_then(|l| l.seats.last().map(|s| s.id))
        {
            self.show_seat(Some(new));
            self.plan.fit = true;
        }
    }
}
