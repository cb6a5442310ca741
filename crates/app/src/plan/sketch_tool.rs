//! The sketch under the pointer: corner to corner, or corner by corner.

use super::{Drag, PlanState, SketchForm, Tool, gestures, marks, paper::Canvas, sketch, strip::Strip};
use crate::view::{Action, View};
use egui::{CursorIcon, PointerButton, Rect, Response, Stroke, Ui, Vec2};
use glam::DVec2;
use units::Quantity;

/// Draws the sketch and takes clicks and drags for it.
pub fn sketch_tool(ui: &Ui, view: &View, plan: &mut PlanState, canvas: &Canvas<'_>, ground: &Response) {
    ui.ctx().set_cursor_icon(if ground.hovered() { CursorIcon::Crosshair } else { CursorIcon::Default });
    let free = ui.input(|i| i.modifiers.alt);
    let pointer = plan.pointer.map(|p| gestures::snapped_to_grid(view, plan, canvas.pose.back(p), free));
    let origin = ui.input(|i| i.pointer.press_origin()).map(|p| canvas.place(p));
    let origin = origin.map(|p| gestures::snapped_to_grid(view, plan, p, free));
    let started = ground.drag_started_by(PointerButton::Primary);
    let dragging = ground.dragged_by(PointerButton::Primary);
    let Tool::Sketch(sketch) = &mut plan.tool else { return };
    if sketch.form == SketchForm::Polygon {
        if ground.clicked()
            && let Some(at) = pointer
        {
            let close =
                sketch.points.len() >= 3 && canvas.at(sketch.points[0]).distance(canvas.at(at)) < 10.0;
            if !close && sketch.points.last() != Some(&at) {
                sketch.points.push(at);
            }
        }
        let mut places = sketch.points.clone();
        if let (Some(at), true) = (pointer, ground.hovered()) {
            places.push(at);
            if let [.., a, b] = places.as_slice() {
                let length = view.text(a.distance(*b), Quantity::Length);
                marks::chip(
                    canvas,
                    canvas.at((*a + *b) / 2.0),
                    egui::Align2::CENTER_CENTER,
                    &length,
                    canvas.t.working,
                );
            }
        }
        canvas.line(&places, Stroke::new(2.0, canvas.t.working), sketch.points.len() >= 3);
        for p in &sketch.points {
            canvas.painter.circle_filled(canvas.at(*p), 3.0, canvas.t.working);
        }
        return;
    }
    if sketch.form.by_centre()
        && ground.clicked()
        && let Some(at) = pointer
    {
        sketch.set_centre(at);
    }
    if started && let Some(from) = origin {
        plan.drag = Some(Drag::Shape { from });
    }
    if let (Some(Drag::Shape { from }), Some(to), true) = (&plan.drag, pointer, dragging) {
        sketch.drawn(*from, to);
    }
    if let Some((outer, inner)) = sketch.loops() {
        for l in std::iter::once(outer).chain(inner) {
            let places = l.flatten(0.2 / canvas.camera.scale);
            canvas.line(&places, Stroke::new(2.0, canvas.t.working), true);
        }
        if let Some(min) = sketch.min {
            let at = canvas.at(min + DVec2::new(sketch.size.x / 2.0, 0.0)) + Vec2::new(0.0, 6.0);
            let round = matches!(sketch.form, SketchForm::Disc | SketchForm::Ring);
            let text = match round {
                true => format!("Ø {}", view.text(sketch.size.x, Quantity::Length)),
                false => format!(
                    "{} × {}",
                    view.show(sketch.size.x, Quantity::Length).number,
                    view.text(sketch.size.y, Quantity::Length)
                ),
            };
            marks::chip(canvas, at, egui::Align2::CENTER_TOP, &text, canvas.t.working);
        }
    }
}

/// The strip lies over the top of the plan, so that taking up a sketch moves nothing.
pub fn sketch_strip(ui: &mut Ui, view: &View, plan: &mut PlanState, rect: Rect, actions: &mut Vec<Action>) {
    let above = Strip::above(ui, view, plan, rect);
    let Tool::Sketch(sketch) = &mut plan.tool else { return };
    above.show(ui, view, |ui| sketch::strip(ui, view, sketch, actions));
}
