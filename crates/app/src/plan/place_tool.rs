//! Putting cups down: where the pointer is, or by arrow keys and Enter.

use super::{PlanState, cups, gestures, marks, paper::Canvas};
use crate::view::{Action, View};
use egui::{CursorIcon, Key, Response, Ui, Vec2};
use units::Quantity;

/// What the lip does not land on.
fn misses(plan: &PlanState, at: glam::DVec2) -> String {
    let names: Vec<String> = plan.landing.iter().flat_map(|l| l.of.misses(at)).map(str::to_owned).collect();
    if names.is_empty() {
        return ": lip does not land".to_owned();
    }
    format!(": lip does not land on {}", analysis::words::list(&names))
}

/// Shows the next cup where it would go, and puts it down.
#[expect(clippy::too_many_arguments, reason = "one frame's read-only state, passed on as it is")]
pub fn place_tool(
    ui: &Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    ground: &Response,
    model: &document::ModelId,
    turn_deg: f64,
    actions: &mut Vec<Action>,
) {
    let found = view
        .project
        .model(model)
        .cloned()
        .or_else(|| document::library().iter().find(|m| &m.id == model).cloned());
    let Some(model) = found else { return };
    let (free, moved) = ui.input(|i| (i.modifiers.alt, i.pointer.delta() != Vec2::ZERO));
    if moved {
        plan.by_keys = None;
    }
    let (at, guides) = match (plan.by_keys, plan.pointer) {
        (Some(at), _) => (at, Vec::new()),
        (None, Some(pointer)) => gestures::lip_snapped(view, plan, pointer, &[], free),
        (None, None) => return,
    };
    plan.guides = guides;
    let by_keys = plan.by_keys.is_some();
    if by_keys {
        // Arrow keys and Enter are the plan's, not those of a button that was used before.
        ground.request_focus();
        let filter =
            egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(ground.id, filter));
        ui.ctx().accesskit_node_builder(ground.id, |node| {
            let text = |v| view.text(v, Quantity::Length);
            let at = at - view.datum();
            node.set_value(format!("next cup at x {}, y {}", text(at.x), text(at.y)));
        });
    }
    if ground.hovered() || by_keys {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
        // Of a part with too many corners for a region nothing is claimed before the cup is placed.
        let lands = plan.landing.as_ref().map(|landing| landing.holds(at));
        let line = match lands {
            Some(true) => canvas.t.working,
            Some(false) => canvas.t.fail,
            None => canvas.t.second,
        };
        cups::lip(canvas, &model, at, turn_deg.to_radians(), line, canvas.t.cup.gamma_multiply(0.6), 2.0);
        let size = canvas.reach(&model.shape) + 12.0;
        let told = at - view.datum();
        let text = format!(
            "{}, {}{}",
            view.show(told.x, Quantity::Length).number,
            view.text(told.y, Quantity::Length),
            if lands == Some(false) { misses(plan, at) } else { String::new() }
        );
        marks::chip(canvas, canvas.at(at) + Vec2::new(0.0, size), egui::Align2::CENTER_TOP, &text, line);
    }
    let enter = by_keys && ui.input(|i| i.key_pressed(Key::Enter)) && !ui.ctx().text_edit_focused();
    if (ground.clicked() && !by_keys) || enter {
        actions.push(Action::Edit(crate::arrange::add_cup(view, &model, at, turn_deg)));
    }
}
