//! What a change of the parts on a tool makes of a project.

use super::{
    Edit, EditError,
    apply::{Outcome, finite, missing},
};
use crate::{CupId, Layout, MotionId, Project, Seat, SeatId, numbers, tidy};
use std::{collections::HashSet, sync::Arc};

pub(super) fn change(edit: &Edit, p: &mut Project) -> Outcome {
    let (Edit::AddSeat { layout: id, .. }
    | Edit::ChangeSeat { layout: id, .. }
    | Edit::RemoveSeat { layout: id, .. }) = edit
    else {
        return Ok(());
    };
    let at = p.layouts.iter().position(|l| l.id == *id).ok_or_else(|| missing(format!("layout {id}")))?;
    let mut layout = Layout::clone(&p.layouts[at]);
    match edit {
        Edit::AddSeat { seat, .. } => {
            begin(p, &mut layout, seat.id);
            add(p, &mut layout, seat)?;
            p.last_id = p.last_id.max(seat.id.0);
        }
        Edit::ChangeSeat { seat, .. } => {
            let mut seat = seat.clone();
            if layout.seats.is_empty() && seat.id == SeatId(0) {
                begin(p, &mut layout, SeatId(0));
                seat.id = layout.seats[0].id;
            }
            let place = found(&layout, seat.id)?;
            layout.seats[place] = checked(p, &layout, &seat, Some(&layout.seats[place]))?;
        }
        Edit::RemoveSeat { seat, .. } => {
            let place = found(&layout, *seat)?;
            if layout.seats.len() == 1 {
                let what = p.seat_name(*id, *seat);
                return Err(EditError::Last { what, kind: "part on the tool" });
            }
            layout.seats.remove(place);
            p.accepted.retain(|a| a.layout != *id || a.seat != Some(*seat));
        }
        _ => {}
    }
    layout.follow_seats();
    if layout.seats.is_empty() {
        // What was taken on of the one that is left stays with the layout.
        p.accepted.iter_mut().filter(|a| a.layout == *id).for_each(|a| a.seat = None);
    }
    p.layouts[at] = Arc::new(layout);
    Ok(())
}

/// Gives the one part of a tool a seat of its own, under a number above `beside`; findings taken on go with it.
fn begin(p: &mut Project, layout: &mut Layout, beside: SeatId) {
    if !layout.seats.is_empty() {
        return;
    }
    let id = SeatId(p.last_id.max(beside.0).saturating_add(1));
    p.last_id = id.0;
    layout.seats.push(Seat::of(id, layout.part));
    p.accepted.iter_mut().filter(|a| a.layout == layout.id).for_each(|a| a.seat = Some(id));
}

pub(super) fn add(p: &Project, layout: &mut Layout, seat: &Seat) -> Outcome {
    if layout.seat(seat.id).is_some() || seat.id == SeatId(0) {
        return Err(EditError::Duplicate { what: format!("seat {} of layout {}", seat.id, layout.name) });
    }
    layout.seats.push(checked(p, layout, seat, None)?);
    Ok(())
}

fn found(layout: &Layout, id: SeatId) -> Result<usize, EditError> {
    let place = layout.seats.iter().position(|seat| seat.id == id);
    place.ok_or_else(|| missing(format!("seat {id} of layout {}", layout.name)))
}

fn checked(p: &Project, layout: &Layout, seat: &Seat, before: Option<&Seat>) -> Result<Seat, EditError> {
    let mut seat = seat.clone();
    let what = format!("seat {} of layout {}", seat.id, layout.name);
    finite(&mut seat, numbers::seat, &what)?;
    if p.part(seat.part).is_none() {
        return Err(missing(format!("part {} of {what}", seat.part)));
    }
    if let Some(gone) = seat.left_out.iter().find(|id| p.motion(**id).is_none()) {
        return Err(missing(format!("motion {gone} of {what}")));
    }
    if let Some(gone) = seat.may_stay_shut.iter().find(|id| !layout.cups.iter().any(|c| c.id == **id)) {
        return Err(missing(format!("cup {gone} of {what}")));
    }
    // A zone that it shuts and that no cup has yet, or any more, may be named: cups get their zones one by one.
    let mut zones = HashSet::new();
    if let Some(twice) = seat.shut.iter().find(|zone| !zones.insert(zone.as_str())) {
        return Err(EditError::Duplicate { what: format!("zone {twice} among those that {what} shuts") });
    }
    Ok(tidy::thing(seat, before, numbers::seat))
}

/// Takes cups and motions that are gone out of all seats.
pub(crate) fn drop_stale(p: &mut Project) {
    let motions: HashSet<MotionId> = p.motions.iter().map(|m| m.id).collect();
    let stale = |layout: &Layout| -> bool {
        let cup = |id: &CupId| layout.cups.iter().any(|c| c.id == *id);
        layout.seats.iter().any(|seat| {
            !seat.left_out.iter().all(|id| motions.contains(id)) || !seat.may_stay_shut.iter().all(cup)
        })
    };
    for layout in p.layouts.iter_mut().filter(|layout| stale(layout)) {
        let layout = Arc::make_mut(layout);
        let cups: HashSet<CupId> = layout.cups.iter().map(|c| c.id).collect();
        for seat in &mut layout.seats {
            seat.left_out.retain(|id| motions.contains(id));
            seat.may_stay_shut.retain(|id| cups.contains(id));
        }
        layout.follow_seats();
    }
}
