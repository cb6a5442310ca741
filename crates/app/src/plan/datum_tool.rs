//! Choosing what places are counted from: a click on a corner, on where two edges meet, or on a hole.

use super::{PlanState, Tool, paper::Canvas, strip::Strip};
use crate::view::{Action, View};
use document::{Datum, DatumOn, Edit, Part};
use egui::{CursorIcon, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use std::sync::Arc;
use units::Quantity;

/// Half-size for hitting a place, points.
const REACH: f32 = 11.0;
/// Places that are offered: a perforated sheet has thousands, and each is to be told from the next.
const MOST: usize = 600;

/// Marks every place that can be touched and takes the one that is clicked.
pub fn datum_tool(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    actions: &mut Vec<Action>,
) {
    let seen = canvas.rect.expand(REACH);
    let all: Vec<Datum> = Datum::of(&view.part.outline);
    let offered = all.iter().filter(|datum| seen.contains(canvas.at(datum.at))).take(MOST);
    for (index, datum) in offered.enumerate() {
        let at = canvas.at(datum.at);
        let id = ui.scope_id().with(("datum", index));
        let response = ui.interact(Rect::from_center_size(at, Vec2::splat(2.0 * REACH)), id, Sense::click());
        let text = |v: f64| view.text(v, Quantity::Length);
        let name = format!("Datum {} at {}, {}", on(datum.on), text(datum.at.x), text(datum.at.y));
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        let lit = response.hovered() || response.has_focus();
        let colour = if lit { canvas.t.working } else { canvas.t.second };
        canvas.painter.circle_stroke(at, if lit { 8.0 } else { 6.0 }, Stroke::new(1.5, colour));
        if lit {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        if response.clicked() {
            plan.tool = Tool::Select;
            actions.push(Action::Edit(set(&view.part, Some(*datum), on(datum.on))));
        }
    }
    strip(ui, view, plan, canvas, all.len(), actions);
}

fn on(on: DatumOn) -> &'static str {
    match on {
        DatumOn::Corner => "on a corner",
        DatumOn::Edges => "where two edges meet",
        DatumOn::Hole => "on a hole",
    }
}

fn set(part: &Part, datum: Option<Datum>, what: &str) -> Edit {
    let part = Part { datum, ..part.clone() };
    Edit::ChangePart { part: Arc::new(part), what: format!("Set the datum {what}") }
}

fn strip(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    places: usize,
    actions: &mut Vec<Action>,
) {
    let says = if places == 0 {
        "The outline has neither a sharp corner nor a round hole: places are counted from the drawing's origin."
    } else {
        "Click a corner, a place where two edges meet, or a hole: sheet, tables and DXF count from there."
    };
    Strip::above(ui, view, plan, canvas.rect).show(ui, view, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.label(egui::RichText::new(says).color(canvas.t.second));
            if view.part.datum.is_some() && ui.button("Count from the drawing's origin").clicked() {
                plan.tool = Tool::Select;
                actions.push(Action::Edit(set(&view.part, None, "to the drawing's origin")));
            }
        });
    });
}
