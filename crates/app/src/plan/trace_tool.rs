//! The hand on a picture under the plan: moves it, scales it by two places, fades and locks it.

use super::{PlanState, Tool, paper::Canvas, strip::Strip};
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use document::{Edit, Traced};
use egui::{CursorIcon, Pos2, Rect, Response, RichText, Slider, Stroke, Ui};
use glam::DVec2;
use std::sync::Arc;
use units::Quantity;

/// Moves and scales the picture, and what else can be done with it.
pub fn traced_tool(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    ground: &Response,
    actions: &mut Vec<Action>,
) {
    let Some(picture) = view.project.traced.clone() else {
        plan.tool = Tool::Select;
        return;
    };
    let frame = {
        let size = picture.size_mm();
        let moved = plan.traced.drag.map_or(DVec2::ZERO, |(_, by)| by);
        Rect::from_two_pos(canvas.at(picture.at + moved), canvas.at(picture.at + moved + size))
    };
    let stroke = Stroke::new(1.0, canvas.t.working);
    canvas.painter.rect_stroke(frame, 0.0, stroke, egui::StrokeKind::Inside);
    if plan.traced.scaling.is_some() {
        pick(ui, plan, canvas, ground);
    } else if !picture.locked {
        drag(ui, plan, ground, &picture, actions);
    }
    strip(ui, view, plan, canvas, &picture, actions);
}

fn change(picture: Traced, what: &str) -> Action {
    Action::Edit(Edit::Trace { picture: Some(Arc::new(picture)), what: what.to_owned() })
}

fn drag(ui: &Ui, plan: &mut PlanState, ground: &Response, picture: &Traced, actions: &mut Vec<Action>) {
    if ground.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::Move);
    }
    let origin = ui.input(|i| i.pointer.press_origin());
    if ground.drag_started_by(egui::PointerButton::Primary)
        && let (Some(rect), Some(origin)) = (plan.rect, origin)
    {
        plan.traced.drag = Some((plan.camera.part_from_screen(rect, origin), DVec2::ZERO));
    }
    if let (Some((from, by)), Some(at)) = (&mut plan.traced.drag, plan.pointer) {
        *by = at - *from;
    }
    if ground.drag_stopped()
        && let Some((_, by)) = plan.traced.drag.take()
        && by != DVec2::ZERO
    {
        actions.push(change(
            Traced { at: picture.at + by, ..picture.clone() },
            "Move the picture under the plan",
        ));
    }
}

/// Takes the two places.
fn pick(ui: &Ui, plan: &mut PlanState, canvas: &Canvas<'_>, ground: &Response) {
    let pointer = plan.pointer;
    let Some(places) = &mut plan.traced.scaling else { return };
    if ground.hovered() && places.len() < 2 {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    }
    if ground.clicked()
        && places.len() < 2
        && let Some(at) = pointer
    {
        places.push(at);
    }
    let stroke = Stroke::new(1.5, canvas.t.working);
    let mut ends: Vec<Pos2> = places.iter().map(|at| canvas.at(*at)).collect();
    for end in &ends {
        canvas.painter.circle_stroke(*end, 5.0, stroke);
    }
    if let (1, Some(at)) = (ends.len(), pointer) {
        ends.push(canvas.at(at));
    }
    if let [from, to] = ends[..] {
        canvas.painter.line_segment([from, to], stroke);
    }
}

fn strip(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    picture: &Traced,
    actions: &mut Vec<Action>,
) {
    Strip::above(ui, plan, canvas.rect).show(ui, view, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 10.0;
            match plan.traced.scaling.as_ref().map(Vec::len) {
                None => usual(ui, plan, picture, actions),
                Some(2) => distance(ui, view, plan, picture, actions),
                Some(picked) => {
                    let says =
                        ["Click the first of two places whose distance you know.", "Click the second place."];
                    ui.label(says[picked.min(1)]);
                    if ui.button("Leave the scale").clicked() {
                        plan.traced.scaling = None;
                    }
                }
            }
        });
    });
}

fn usual(ui: &mut Ui, plan: &mut PlanState, picture: &Traced, actions: &mut Vec<Action>) {
    let name: String = picture.name.chars().take(24).collect();
    ui.label(RichText::new(name).font(Size::Body.strong()));
    let mut percent = plan.traced.strength.unwrap_or(picture.strength) * 100.0;
    let slider = ui.add(Slider::new(&mut percent, 5.0..=100.0).step_by(5.0).suffix(" %").text("Strength"));
    if slider.changed() {
        plan.traced.strength = Some(percent / 100.0);
    }
    if !slider.dragged()
        && !slider.has_focus()
        && let Some(strength) = plan.traced.strength.take()
        && strength != picture.strength
    {
        actions.push(change(Traced { strength, ..picture.clone() }, "Fade the picture under the plan"));
    }
    let mut locked = picture.locked;
    if ui
        .checkbox(&mut locked, "Locked")
        .on_hover_text("It then stays where it is when it is dragged")
        .changed()
    {
        let what =
            if locked { "Lock the picture under the plan" } else { "Unlock the picture under the plan" };
        actions.push(change(Traced { locked, ..picture.clone() }, what));
    }
    let can = ui.add_enabled(!picture.locked, egui::Button::new("Scale by two places"));
    if can.clicked() {
        plan.traced.scaling = Some(Vec::new());
    }
    if ui.button("Take it away").clicked() {
        actions.push(Action::Edit(Edit::Trace { picture: None, what: String::new() }));
        plan.tool = Tool::Select;
    }
    if ui.button("Done").on_hover_text("Escape").clicked() {
        plan.tool = Tool::Select;
    }
}

/// The true distance of the two places.
fn distance(ui: &mut Ui, view: &View, plan: &mut PlanState, picture: &Traced, actions: &mut Vec<Action>) {
    let Some([from, to]) =
        plan.traced.scaling.as_deref().and_then(|places| <[DVec2; 2]>::try_from(places).ok())
    else {
        return;
    };
    ui.label("The two places are in truth apart by");
    let now = from.distance(to);
    let typed = fields::inline_size(ui, "true distance", "True distance", now, Quantity::Length, &view.units);
    if let Some(scaled) = typed.and_then(|mm| picture.scaled(from, to, mm)) {
        actions.push(change(scaled, "Scale the picture under the plan"));
        plan.traced.scaling = None;
    }
    if ui.button("Leave the scale").clicked() {
        plan.traced.scaling = None;
    }
}
