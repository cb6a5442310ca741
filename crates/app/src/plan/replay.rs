//! A loss played back on the plan: who has let go, who goes next, what the others carry.

use super::{paper::Canvas, strip::Strip};
use crate::{
    panels,
    theme::Size,
    view::{Action, View},
};
use egui::{Align2, RichText, Stroke, Ui, Vec2};

/// Crosses out the cups that have let go, thick the ones of this step.
pub fn crosses(canvas: &Canvas<'_>, view: &View) {
    let Some(step) = view.replay.as_ref().and_then(|r| r.step()) else { return };
    for cup in view.layout.cups.iter().filter(|c| step.gone.contains(&c.id)) {
        let Some(model) = view.project.model(&cup.model) else { continue };
        let radius = canvas.reach(&model.shape).max(8.0) * 0.8;
        let now = step.newly.contains(&cup.id);
        let stroke = Stroke::new(if now { 3.5 } else { 2.0 }, canvas.t.fail);
        let at = canvas.at(cup.at);
        for d in [Vec2::new(radius, radius), Vec2::new(radius, -radius)] {
            canvas.painter.line_segment([at - d, at + d], stroke);
        }
        let word = if now { "loses its seal" } else { "gone" };
        let below = at + Vec2::new(0.0, radius / 0.8 + 10.0);
        super::marks::chip(canvas, below, Align2::CENTER_TOP, word, canvas.t.fail);
    }
}

/// The strip that steps through it, over the top of the plan.
pub(super) fn strip(ui: &mut Ui, view: &View, above: Strip, actions: &mut Vec<Action>) {
    let (Some(replay), t) = (&view.replay, view.tokens) else { return };
    let Some(step) = replay.step() else { return };
    above.show(ui, view, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            let name = panels::lost_name(view, &replay.lost);
            ui.label(RichText::new(format!("Without {name}")).font(Size::Heading.strong()));
            ui.label(
                RichText::new(format!("step {} of {}", replay.at + 1, replay.steps.len())).color(t.second),
            );
            if ui.add_enabled(replay.at > 0, egui::Button::new("Back")).clicked() {
                actions.push(Action::PlayStep(-1));
            }
            let more = replay.at + 1 < replay.steps.len();
            if ui.add_enabled(more, egui::Button::new("Next step")).clicked() {
                actions.push(Action::PlayStep(1));
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if ui.button("Close").on_hover_text("Escape").clicked() {
                    actions.push(Action::PlayBack(None));
                }
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    crate::widgets::line_label(ui, &step.says);
                });
            });
        });
    });
}
