//! A tool that carries several parts on the plan: the other parts as ghosts, the handle by which the part shown is dragged, how
//! many parts each cup holds.

use super::{
    Drag, PlanState,
    labels::{Rank, around},
    marks::chip,
    paper::Canvas,
};
use crate::{
    theme::Size,
    view::{FamilyView, View},
};
use document::Seat;
use egui::{Align2, CursorIcon, PointerButton, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use geometry::Outline;

/// Half the size of the handle, points.
const HANDLE: f32 = 9.0;

/// Around the part shown, and all others on the tool.
pub fn bounds(view: &View) -> Option<geometry::Bounds> {
    let family = view.family.iter().flat_map(|held| &held.family.seats);
    let others = family.filter_map(|seat| seat.project.part(seat.seat.part)?.outline.outer.bounds());
    view.lying.outline.outer.bounds().into_iter().chain(others).reduce(|a, b| a.union(&b))
}

/// Outlines of the parts that are not shown, dashed and named; of all where all are shown.
pub fn others(canvas: &Canvas<'_>, view: &View, held: &FamilyView) {
    let t = &canvas.t;
    for (index, seat) in held.family.seats.iter().enumerate().filter(|(index, _)| *index != held.shown) {
        let Some(part) = seat.project.part(seat.seat.part) else { continue };
        let colour = if held.all { t.ink } else { t.second };
        ghost(canvas, &part.outline, Stroke::new(if held.all { 1.3 } else { 1.0 }, colour));
        let Some(bounds) = part.outline.bounds() else { continue };
        // Names of parts that lie over each other stand one under the other.
        let corner = canvas.at(glam::DVec2::new(bounds.max.x, bounds.max.y));
        let at = corner + Vec2::new(-4.0, 4.0 + 14.0 * index as f32);
        let spots = [(at, Align2::RIGHT_TOP), (corner + Vec2::new(-4.0, -3.0), Align2::RIGHT_BOTTOM)];
        let home = Rect::from_min_max(at - Vec2::splat(40.0), at);
        canvas
            .label(canvas.lettering(Rank::Name, &seat.name, Size::Small.slanted(), colour, &spots).of(home));
    }
    let _ = view;
}

fn ghost(canvas: &Canvas<'_>, outline: &Outline, stroke: Stroke) {
    for boundary in outline.loops() {
        let mut points: Vec<Pos2> =
            boundary.flatten(0.3 / canvas.camera.scale).into_iter().map(|p| canvas.at(p)).collect();
        points.extend(points.first().copied());
        canvas.dashed(&points, stroke, 7.0, 4.0);
        canvas.labels.borrow_mut().keep_off_path(points.iter().copied());
    }
}

/// How many parts each cup holds, beside it.
pub fn counts(canvas: &Canvas<'_>, view: &View, held: &FamilyView) {
    for cup in &view.layout.cups {
        let used = held.family.used_by(cup.id);
        let colour = match used {
            0 => canvas.t.watch,
            _ if used == held.family.seats.len() => canvas.t.order,
            _ => canvas.t.working,
        };
        let at = canvas.at(cup.at);
        chip(canvas, at, Align2::CENTER_CENTER, &used.to_string(), colour);
    }
}

/// The datum of the part shown: a handle that drags the part on the tool.
pub fn handle(ui: &Ui, canvas: &Canvas<'_>, view: &View, plan: &mut PlanState) {
    let seat: Seat = view.seat();
    let name = view.family.as_ref().and_then(|held| held.seat()).map_or("part", |held| held.name.as_str());
    let at = canvas.at(seat.at);
    let rect = Rect::from_center_size(at, Vec2::splat(2.0 * HANDLE));
    let response = ui.interact(
        rect.intersect(canvas.rect),
        egui::Id::unique(("seat on the plan", seat.id.0)),
        Sense::click_and_drag(),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Datum of {name}")));
    let lit = response.hovered() || matches!(plan.drag, Some(Drag::Seat { .. }));
    let colour = if lit { canvas.t.working } else { canvas.t.second };
    let stroke = Stroke::new(if lit { 2.0 } else { 1.4 }, colour);
    let turn = -(seat.turn_deg.to_radians() as f32);
    let (along, up) = (Vec2::angled(turn), Vec2::angled(turn - std::f32::consts::FRAC_PI_2));
    canvas.painter.circle_stroke(at, 4.0, stroke);
    // X of the part's frame longer than Y.
    canvas.painter.line_segment([at + along * 4.0, at + along * 22.0], stroke);
    canvas.painter.line_segment([at + up * 4.0, at + up * 14.0], stroke);
    canvas.labels.borrow_mut().keep_off_disc(at, 6.0);
    let spots = around(at, Vec2::splat(HANDLE), false);
    let text = format!("datum of {name}");
    canvas.label(canvas.lettering(Rank::Name, text, Size::Small.slanted(), colour, &spots).of(rect));
    if response.hovered() && plan.drag.is_none() {
        ui.ctx().set_cursor_icon(CursorIcon::Move);
    }
    if response.drag_started_by(PointerButton::Primary)
        && plan.drag.is_none()
        && let Some(origin) = ui.input(|i| i.pointer.press_origin())
    {
        let from = plan.camera.part_from_screen(canvas.rect, origin);
        plan.drag = Some(Drag::Seat { start: seat.at, from });
    }
    response.on_hover_text("Drag it to place the part on the tool; Alt frees it from the grid");
}
