//! What keys do on the plan besides commands: nudge, turn, put away.

use super::Cupwright;
use crate::{
    fields,
    plan::{self, Tool},
    theme,
};
use egui::Key;
use glam::DVec2;

impl Cupwright {
    /// Arrow keys and Escape, which are not commands.
    pub(super) fn keys(&mut self, ctx: &egui::Context) {
        // Escape has left the field already when it is seen here; it was for the field.
        if ctx.text_edit_focused() || fields::held(ctx) || egui::Popup::is_any_open(ctx) {
            return;
        }
        let (step, direction, escape) = ctx.input(|i| {
            let step = if i.modifiers.command {
                0.1
            } else if i.modifiers.shift {
                10.0
            } else {
                1.0
            };
            let mut d = DVec2::ZERO;
            for (key, by) in [
                (Key::ArrowLeft, DVec2::NEG_X),
                (Key::ArrowRight, DVec2::X),
                (Key::ArrowUp, DVec2::Y),
                (Key::ArrowDown, DVec2::NEG_Y),
            ] {
                d += by * i.num_presses(key) as f64;
            }
            (step, d, i.key_pressed(Key::Escape))
        });
        if direction != DVec2::ZERO && matches!(self.plan.tool, Tool::Place { .. }) {
            let step_mm = self.prefs.step_mm();
            let by = match step {
                s if s < 1.0 => plan::nudge_step(self.prefs.unit_choice().length),
                s => s * step_mm,
            };
            let from = self.plan.by_keys.unwrap_or_else(|| self.first_place(step_mm));
            self.plan.by_keys = Some((from + direction * by).map(units::tidied));
            return;
        }
        if direction != DVec2::ZERO && !self.selection.is_empty() && self.plan.drag.is_none() {
            let view = self.view(theme::tokens(false));
            match plan::nudge(&view, direction * step * plan::nudge_step(view.units.length)) {
                Some(edit) => self.apply(edit),
                None => self.say("The selection is locked. Unlock it (L) to move it."),
            }
        }
        if escape && self.plan.drag.is_none() {
            if self.playing() {
                self.play_back(None);
            } else if self.plan.tool != Tool::Select {
                self.plan.tool = Tool::Select;
                self.plan.guides.clear();
            } else {
                self.selection.clear();
            }
        }
    }

    /// Where placing by keys begins: at the cup that was placed last, else over the centre of gravity, on the grid.
    fn first_place(&self, step_mm: f64) -> DVec2 {
        let view = self.view(theme::tokens(false));
        let last = view.layout.cups.last().map(|cup| cup.at);
        let gravity = view.report.part.as_ref().map(|part| part.centre_of_gravity_mm.truncate());
        let at = last.or(gravity).unwrap_or_default();
        (at / step_mm).round() * step_mm
    }

    /// Turns the cup about to be placed, or what is selected, counter-clockwise.
    pub(crate) fn turn(&mut self, by: f64) {
        if let Tool::Place { turn_deg, .. } = &mut self.plan.tool {
            *turn_deg = (*turn_deg + by).rem_euclid(360.0);
            return;
        }
        let view = self.view(theme::tokens(false));
        let turned = |cup: &mut document::Cup| cup.turn_deg = (cup.turn_deg + by).rem_euclid(360.0);
        if let Some(edit) = crate::arrange::change(&view, "turn", turned) {
            self.apply(edit);
        }
    }
}
