//! Laying a circuit out over the cups, and what the measurements of one would be explained by.

use crate::{app::Cupwright, dialogs::Dialog, view::View};
use document::{Arrangement, CircuitId};

impl Cupwright {
    /// Gives a circuit a source, a manifold and hoses over its cups, everything assumed, and shows it.
    pub(crate) fn lay_out_circuit(&mut self, view: &View, id: CircuitId) {
        if !view.layout.cups.iter().any(|c| c.circuit == id) {
            self.say("Place cups on this circuit first, then lay out source and hoses.");
            return;
        }
        match view.project.feed_circuit(view.layout.id, id, Arrangement::Central) {
            Some(edit) => self.apply(edit),
            None => return self.say("This circuit is no longer in the project."),
        }
        self.panels.circuit = true;
        self.plan.fit = true;
    }

    /// Ranks what would explain the field's figures, when the dialog of measurements asks for it.
    pub(crate) fn answer_trial(&mut self, dialog: &mut Dialog) {
        let Dialog::Trial(form) = dialog else { return };
        let entered = form.entered.take().and_then(|entry| {
            let project = self.history.committed().clone();
            self.analyst.enter_trial(&project, entry)
        });
        if let Some(found) = entered {
            self.apply(found.edit);
            if let Some(says) = found.says {
                self.say(&says);
            }
        }
        let Some(circuit) = form.asked.take() else { return };
        let project = self.history.committed().clone();
        let found = self.analyst.field_causes(&project, self.layout, circuit);
        form.causes = Some(found.map(|found| {
            let unit = self.prefs.unit_choice();
            let level = |kpa: f64| units::show(kpa, units::Quantity::VacuumLevel, &unit).to_string();
            let start = found.without_fault_kpa.map(|kpa| format!("no fault: {} unexplained", level(kpa)));
            let causes =
                found.causes.iter().map(|c| format!("{}: {} unexplained", c.what, level(c.unexplained_kpa)));
            start.into_iter().chain(causes).collect()
        }));
    }
}
