//! Drags: begun by the plan, followed at the start of every frame so that all panels of that frame show the same
//! state, ended on release and abandoned on Escape.

use super::boundary::boundary;
use super::{Drag, Guide, LoopRef, PlanState, SnapLines, SnapTo};
use crate::view::View;
use document::{CircuitId, CupId, Edit, KeepOut, Part};
use egui::Rect;
use geometry::{Loop, Outline};
use glam::DVec2;
use std::sync::Arc;

/// How near a snap line must be, points.
const REACH: f64 = 7.0;

/// Lines a dragged or placed cup may snap to; `moving` are left out.
pub fn snap_lines(view: &View, moving: &[CupId]) -> SnapLines {
    let mut lines = SnapLines { grid: view.step_mm, ..SnapLines::default() };
    if let Some(b) = view.lying.outline.outer.bounds() {
        let middle = (b.min + b.max) / 2.0;
        lines.xs.push((middle.x, SnapTo::Centre));
        lines.ys.push((middle.y, SnapTo::Centre));
    }
    if let Some(part) = &view.report.part {
        lines.xs.push((part.centre_of_gravity_mm.x, SnapTo::Gravity));
        lines.ys.push((part.centre_of_gravity_mm.y, SnapTo::Gravity));
    }
    for cup in view.layout.cups.iter().filter(|c| !moving.contains(&c.id)) {
        lines.xs.push((cup.at.x, SnapTo::Cup));
        lines.ys.push((cup.at.y, SnapTo::Cup));
    }
    lines
}

/// As [`snapped`] for a lip: of the grid's places about the pointer it takes one where the lip lands, if there is one.
pub fn lip_snapped(
    view: &View,
    plan: &PlanState,
    place: DVec2,
    moving: &[CupId],
    free: bool,
) -> (DVec2, Vec<Guide>) {
    let (to, guides) = snapped(view, plan, place, moving, free);
    let Some(landing) = plan.landing.as_ref().filter(|landing| !guides.is_empty() && !landing.holds(to))
    else {
        return (to, guides);
    };
    // A line that was snapped to stays; along it, and elsewhere, the place goes to the next step of the grid.
    let on_line = |vertical: bool| guides.iter().any(|g| g.vertical == vertical && g.of != SnapTo::Grid);
    let steps = |held: bool, to: f64, at: f64| match held {
        true => vec![to],
        false => [(at / view.step_mm).floor(), (at / view.step_mm).ceil()]
            .map(|steps| units::tidied(steps * view.step_mm))
            .to_vec(),
    };
    let xs = steps(on_line(true), to.x, place.x);
    let ys = steps(on_line(false), to.y, place.y);
    let all = xs.iter().flat_map(|x| ys.iter().map(|y| DVec2::new(*x, *y)));
    let near = all
        .filter(|at| landing.holds(*at))
        .min_by(|a, b| a.distance_squared(place).total_cmp(&b.distance_squared(place)));
    (near.unwrap_or(to), guides)
}

/// Snaps a place when snapping is on and Alt is not held.
pub fn snapped(
    view: &View,
    plan: &PlanState,
    place: DVec2,
    moving: &[CupId],
    free: bool,
) -> (DVec2, Vec<Guide>) {
    if !plan.show.snap || free {
        return (place, Vec::new());
    }
    snap_lines(view, moving).snap(place, REACH / plan.camera.scale)
}

/// Where a sketched point goes: onto the grid.
pub fn snapped_to_grid(view: &View, plan: &PlanState, place: DVec2, free: bool) -> DVec2 {
    if !plan.show.snap || free {
        return place;
    }
    let step = view.step_mm;
    ((place / step).round() * step).map(units::tidied)
}

/// The edit that shows the drag as it stands, from the project as it was when the drag began; `None` for drags that
/// change nothing in the document.
pub fn preview(
    view: &View,
    committed: &Part,
    plan: &mut PlanState,
    rect: Rect,
    pointer: egui::Pos2,
    free: bool,
) -> Option<Edit> {
    let place = plan.camera.part_from_screen(rect, pointer);
    match plan.drag.clone()? {
        Drag::Cups { start, grabbed, from } => {
            let moving: Vec<CupId> = start.iter().map(|(id, _)| *id).collect();
            let held = start.iter().find(|(id, _)| *id == grabbed).map(|(_, at)| *at)?;
            let (to, guides) = lip_snapped(view, plan, held + (place - from), &moving, free);
            plan.guides = guides;
            let by = to - held;
            Some(Edit::MoveCups {
                layout: view.layout.id,
                to: start.iter().map(|(id, at)| (*id, *at + by)).collect(),
            })
        }
        Drag::Supply { circuit, manifold, start, from } => {
            let (to, guides) = snapped(view, plan, start + (place - from), &[], free);
            plan.guides = guides;
            supply_moved(view, circuit, manifold, to)
        }
        Drag::Seat { start, from } => {
            let to = seat_snapped(view, plan, start, start + (place - from), free);
            let seat = document::Seat { at: to, ..view.seat() };
            Some(Edit::ChangeSeat { layout: view.layout.id, seat, what: String::new() })
        }
        // An outline is kept, and snaps, in the part's own frame.
        Drag::Corner { of, index } => {
            let to = snapped_to_grid(view, plan, view.seat().in_part(place), free);
            change_loop(committed, of, "a corner", |l| l.with_vertex_moved(index, to))
        }
        Drag::Edge { of, index, from } => {
            let by = snapped_to_grid(view, plan, view.seat().in_part(place) - from, free);
            change_loop(committed, of, "an edge", |l| l.with_edge_moved(index, by))
        }
        Drag::Box { .. } | Drag::Pan | Drag::Shape { .. } => None,
    }
}

/// Where a part goes: its left or right edge, its middle or its datum onto those of the other parts, of the tool or of the grid.
fn seat_snapped(view: &View, plan: &mut PlanState, start: DVec2, place: DVec2, free: bool) -> DVec2 {
    plan.guides.clear();
    if !plan.show.snap || free {
        return place.map(units::tidied);
    }
    let step = view.step_mm;
    let mut to = ((place / step).round() * step).map(units::tidied);
    let Some(held) = &view.family else { return to };
    let now = view.seat().at;
    let Some(own) = view.lying.outline.bounds() else { return to };
    let reach = REACH / plan.camera.scale;
    for axis in 0..2 {
        // Edges and middle of the part with its datum at `place`.
        let lines = |b: &geometry::Bounds| [b.min[axis], 0.5 * (b.min[axis] + b.max[axis]), b.max[axis]];
        let from = lines(&own).map(|line| line - now[axis] + place[axis]);
        let others = held.family.seats.iter().enumerate().filter(|(index, _)| *index != held.shown);
        let onto = others
            .filter_map(|(_, seat)| seat.project.part(seat.seat.part)?.outline.bounds())
            .flat_map(|bounds| lines(&bounds))
            .chain([0.0]);
        let near = onto.flat_map(|onto| from.map(|from| onto - from));
        let near = near.filter(|by| by.abs() <= reach).min_by(|a, b| a.abs().total_cmp(&b.abs()));
        if let Some(by) = near {
            to[axis] = units::tidied(place[axis] + by);
        }
    }
    let _ = start;
    to
}

/// The source or the manifold of a circuit put somewhere else.
fn supply_moved(view: &View, id: CircuitId, manifold: bool, to: DVec2) -> Option<Edit> {
    let mut circuit = (**view.project.circuit(id)?).clone();
    let supply = Arc::make_mut(circuit.supply.as_mut()?);
    let what = if manifold {
        supply.manifold.as_mut()?.at = to;
        format!("Move the manifold of {}", circuit.name)
    } else {
        supply.at = to.extend(supply.at.z);
        format!("Move the source of {}", circuit.name)
    };
    Some(Edit::ChangeCircuit { circuit: Arc::new(circuit), what })
}

/// Replaces one boundary of the part.
pub fn change_loop(part: &Part, of: LoopRef, what: &str, change: impl FnOnce(&Loop) -> Loop) -> Option<Edit> {
    let changed = change(boundary(part, of)?);
    let mut new = part.clone();
    match of {
        LoopRef::Outer => {
            new.outline = Arc::new(Outline { outer: changed, holes: part.outline.holes.clone() })
        }
        LoopRef::Hole(i) => {
            let mut holes = part.outline.holes.clone();
            *holes.get_mut(i)? = changed;
            new.outline = Arc::new(Outline { outer: part.outline.outer.clone(), holes });
        }
        LoopRef::KeepOut(i) => {
            let keep: &mut KeepOut = new.keep_outs.get_mut(i)?;
            keep.area = Arc::new(changed);
        }
    }
    Some(Edit::ChangePart { part: Arc::new(new), what: what.to_owned() })
}

/// Removes a hole or keep-out, or the outline's corner.
pub fn remove_boundary(part: &Part, of: LoopRef) -> Option<Edit> {
    let mut new = part.clone();
    let what = match of {
        LoopRef::Outer => return None,
        LoopRef::Hole(i) if i < part.outline.holes.len() => {
            let mut holes = part.outline.holes.clone();
            holes.remove(i);
            new.outline = Arc::new(Outline { outer: part.outline.outer.clone(), holes });
            "remove a hole"
        }
        LoopRef::KeepOut(i) if i < part.keep_outs.len() => {
            new.keep_outs.remove(i);
            "remove a keep-out"
        }
        _ => return None,
    };
    Some(Edit::ChangePart { part: Arc::new(new), what: what.to_owned() })
}
