//! The form of one element of the schematic, in place: what the panel at the left has for it, and nothing else.

use super::super::{
    change::Change,
    circuit_parts,
    circuits::{self, changes},
    thresholds,
};
use crate::{
    fields,
    view::{Action, View},
};
use document::{CircuitId, CupId, Supply};
use egui::{Popup, PopupCloseBehavior, Response, Ui};

/// Which form an element has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// Sources, feed, how many.
    Source,
    /// Levels and times of the vacuum switch.
    Switch,
    /// Hose from the source to where the branches part.
    Main,
    /// Manifold.
    Manifold,
    /// Hose of a cup.
    Branch(CupId),
    /// Filters, restrictors, check valves at the cups; valves of the zones.
    Parts,
}

/// Opens the form when the element is clicked; it closes with a click beside it or with Escape.
pub(super) fn popup(response: &Response, view: &View, id: CircuitId, form: Form, actions: &mut Vec<Action>) {
    let Some(circuit) = view.project.circuit(id) else { return };
    let Some(supply) = circuit.supply.clone() else { return };
    let mut edits = Vec::new();
    let popup = Popup::from_toggle_button_response(response);
    popup.close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        ui.set_width(290.0);
        let mut change = changes(circuit, &mut edits);
        egui::ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
            form_ui(ui, view, (id, circuit, &supply), form, &mut change, actions);
        });
    });
    actions.extend(edits.into_iter().map(Action::Edit));
}

fn form_ui(
    ui: &mut Ui,
    view: &View,
    (id, circuit, supply): (CircuitId, &document::Circuit, &Supply),
    form: Form,
    change: &mut Change<'_>,
    actions: &mut Vec<Action>,
) {
    match form {
        Form::Source => {
            fields::subheading(ui, "Source");
            circuits::source_ui(ui, view, circuit, supply, change, actions);
        }
        Form::Switch => {
            let report = view.report.circuits.iter().find(|report| report.id == id);
            thresholds::thresholds_ui(ui, view, circuit, report, change);
        }
        Form::Main => {
            fields::subheading(ui, "Main hose");
            circuits::main_ui(ui, view, id, supply, change);
        }
        Form::Manifold => {
            fields::subheading(ui, "Manifold");
            circuits::manifold_ui(ui, view, id, supply, change);
        }
        Form::Branch(cup) => {
            match supply.branches.iter().enumerate().find(|(_, own)| own.cup == cup) {
                Some(own) => {
                    fields::subheading(ui, &format!("Hose to {}", view.tag(cup)));
                    circuits::own_line_ui(ui, view, id, own, change);
                }
                None => {
                    fields::subheading(ui, "Hose to each cup");
                    circuits::branch_ui(ui, view, id, supply, change);
                }
            }
            circuit_parts::parts_ui(ui, view, id, supply, change);
        }
        Form::Parts => {
            fields::subheading(ui, "Valves and filters");
            circuit_parts::parts_ui(ui, view, id, supply, change);
            circuit_parts::valves_ui(ui, view, id, supply, change);
        }
    }
}
