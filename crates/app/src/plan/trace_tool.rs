//! The hand on a picture under the plan: moves and turns it, scales and levels it by two places, fades and locks it.

use super::{PlanState, Tool, paper::Canvas, strip::Strip, traced::Picking};
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
};
use document::{Edit, Traced};
use egui::{CursorIcon, Pos2, Response, RichText, Shape, Slider, Stroke, Ui};
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
    let moved = plan.traced.drag.map_or(DVec2::ZERO, |(_, by)| by);
    let frame = picture.corners().map(|corner| canvas.at(corner + moved));
    canvas.painter.add(Shape::closed_line(frame.to_vec(), Stroke::new(1.0, canvas.t.working)));
    if plan.traced.picking.is_some() {
        pick(ui, plan, canvas, ground, &picture, actions);
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

/// Takes the two places; to level the picture nothing else is asked.
fn pick(
    ui: &Ui,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    ground: &Response,
    picture: &Traced,
    actions: &mut Vec<Action>,
) {
    let pointer = plan.pointer;
    let Some((what, places)) = &mut plan.traced.picking else { return };
    if ground.hovered() && places.len() < 2 {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    }
    if ground.clicked()
        && places.len() < 2
        && let Some(at) = pointer
    {
        places.push(at);
        if *what == Picking::Scale && places.len() == 2 {
            fields::focus_on(ui.ctx(), TRUE_DISTANCE);
        }
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
    if let (Picking::Level, [from, to]) = (*what, &places[..]) {
        actions.extend(
            picture.levelled(*from, *to).map(|level| change(level, "Level the picture under the plan")),
        );
        plan.traced.picking = None;
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
    Strip::above(ui, view, plan, canvas.rect).show(ui, view, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 10.0;
            match plan.traced.picking.as_ref().map(|(what, places)| (*what, places.len())) {
                None => usual(ui, view, plan, picture, actions),
                Some((Picking::Scale, 2)) => distance(ui, view, plan, picture, actions),
                Some((what, picked)) => {
                    ui.label(match (what, picked) {
                        (Picking::Scale, 0) => "Click the first of two points whose distance you know.",
                        (Picking::Level, 0) => {
                            "Click the first of two points on a line that is level or upright."
                        }
                        _ => "Click the second point.",
                    });
                    if ui.button("Cancel").clicked() {
                        plan.traced.picking = None;
                    }
                }
            }
        });
    });
}

fn usual(ui: &mut Ui, view: &View, plan: &mut PlanState, picture: &Traced, actions: &mut Vec<Action>) {
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
        .on_hover_text("It is then neither moved, turned nor scaled")
        .changed()
    {
        let what =
            if locked { "Lock the picture under the plan" } else { "Unlock the picture under the plan" };
        actions.push(change(Traced { locked, ..picture.clone() }, what));
    }
    let (turn, all) = (picture.turn_deg, (-360.0, 360.0));
    if !picture.locked
        && let Some(deg) =
            fields::inline_within(ui, "picture turn", "Turn", turn, Quantity::Angle, all, &view.units)
    {
        actions.push(change(picture.turned_to(deg), "Turn the picture under the plan"));
    }
    for (what, name, why) in [
        (Picking::Level, "Level by two points", "Turns it until the line through them is level or upright"),
        (Picking::Scale, "Scale by two points", "Scales it until they are as far apart as you type"),
    ] {
        if ui.add_enabled(!picture.locked, egui::Button::new(name)).on_hover_text(why).clicked() {
            plan.traced.picking = Some((what, Vec::new()));
        }
    }
    if ui.button("Remove").on_hover_text("Removes the picture from the project").clicked() {
        actions.push(Action::Edit(Edit::Trace { picture: None, what: String::new() }));
        plan.tool = Tool::Select;
    }
    if ui.button("Done").on_hover_text("Escape").clicked() {
        plan.tool = Tool::Select;
    }
}

const TRUE_DISTANCE: &str = "True distance";

/// The true distance of the two places.
fn distance(ui: &mut Ui, view: &View, plan: &mut PlanState, picture: &Traced, actions: &mut Vec<Action>) {
    let places = plan.traced.picking.as_ref().map(|(_, places)| places.as_slice());
    let Some([from, to]) = places.and_then(|places| <[DVec2; 2]>::try_from(places).ok()) else {
        return;
    };
    ui.label("True distance between the two points");
    let now = from.distance(to);
    let typed = fields::inline_size(ui, "true distance", TRUE_DISTANCE, now, Quantity::Length, &view.units);
    if let Some(scaled) = typed.and_then(|mm| picture.scaled(from, to, mm)) {
        actions.push(change(scaled, "Scale the picture under the plan"));
        plan.traced.picking = None;
    }
    if ui.button("Cancel").clicked() {
        plan.traced.picking = None;
    }
}
