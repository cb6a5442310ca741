//! Laying a circuit out over the cups.

use crate::{app::Cupwright, view::View};
use document::{Arrangement, CircuitId};

impl Cupwright {
    /// Gives a circuit a source, a manifold and hoses over its cups, everything assumed, and shows it.
    pub(crate) fn lay_out_circuit(&mut self, view: &View, id: CircuitId) {
        if !view.layout.cups.iter().any(|c| c.circuit == id) {
            self.say("Place cups on this circuit first, then source and hoses can be laid out over them.");
            return;
        }
        match view.project.feed_circuit(view.layout.id, id, Arrangement::Central) {
            Some(edit) => self.apply(edit),
            None => return self.say("This circuit is not in the project any more."),
        }
        self.panels.circuit = true;
        self.plan.fit = true;
    }
}
