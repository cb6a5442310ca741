//! Following a drag, and the region that goes with it.

use super::Cupwright;
use crate::{
    plan::{self, Drag, Tool},
    theme,
};
use document::Project;
use egui::Key;
use std::time::Instant;

impl Cupwright {
    /// The region in which the cup that is dragged or placed may stand; worked out for another one only.
    pub(super) fn refresh_landing(&mut self, project: &Project) {
        let wanted = match (&self.plan.drag, &self.plan.tool) {
            (Some(Drag::Cups { grabbed, .. }), _) => project
                .layout(self.layout)
                .and_then(|l| l.cups.iter().find(|c| c.id == *grabbed))
                .map(|c| (c.model.clone(), c.turn_deg, c.zone.clone())),
            (_, Tool::Place { model, turn_deg }) => {
                let zone = project.layout(self.layout).map(|l| crate::arrange::next_zone(l));
                Some((model.clone(), *turn_deg, zone.unwrap_or_default()))
            }
            _ => None,
        };
        let landing = wanted
            .and_then(|(model, turn, zone)| self.analyst.landing(project, self.layout, &model, turn, &zone));
        let same = match (&landing, &self.plan.landing) {
            (Some(new), Some(old)) => new.is(&old.of),
            (None, None) => true,
            _ => false,
        };
        if !same {
            self.plan.landing = landing.map(plan::Landing::new);
        }
    }

    /// Follows the drag under way from this frame's pointer.
    pub(super) fn follow_drag(&mut self, ctx: &egui::Context) {
        let Some(drag) = self.plan.drag.clone() else { return };
        let Some(rect) = self.plan.rect else { return };
        let (pointer, down, escape, free) = ctx.input(|i| {
            (i.pointer.latest_pos(), i.pointer.primary_down(), i.key_pressed(Key::Escape), i.modifiers.alt)
        });
        let edits = matches!(
            drag,
            Drag::Cups { .. }
                | Drag::Corner { .. }
                | Drag::Edge { .. }
                | Drag::Supply { .. }
                | Drag::Seat { .. }
        );
        if edits && self.sealed() {
            self.end_drag();
            self.say_sealed();
            return;
        }
        if escape {
            self.history.abandon();
            self.end_drag();
            self.say("Move cancelled.");
            return;
        }
        if edits && !self.history.in_transaction() {
            self.history.begin();
        }
        if let Some(pointer) = pointer {
            let view = self.view(theme::tokens(false));
            let committed = self.history.committed().clone();
            let part = committed.part(view.part.id).cloned().unwrap_or_else(|| view.part.clone());
            if let Some(edit) = plan::preview(&view, &part, &mut self.plan, rect, pointer, free)
                && let Err(error) = self.history.preview(edit)
            {
                self.notice = Some((error.in_units(&self.prefs.unit_choice()), Instant::now()));
            }
        }
        if !down {
            if let (Drag::Box { from, add }, Some(pointer)) = (&drag, pointer) {
                let view = self.view(theme::tokens(false));
                self.selection =
                    plan::boxed(&view, *from, self.plan.camera.part_from_screen(rect, pointer), *add);
            }
            if edits {
                self.history.commit();
            }
            self.end_drag();
        }
        self.refresh();
    }

    fn end_drag(&mut self) {
        self.plan.drag = None;
        self.plan.guides.clear();
    }
}
