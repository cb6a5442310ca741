//! What a person states: part, motions, cup models, circuits, site.

use super::{PanelState, circuits, cycle, motions, part, seats, tool};
use crate::{
    command::Command,
    fields::{self, parting},
    model_row::model_row,
    plan::{PlanState, Tool},
    view::{Action, View},
};
use document::{Edit, Site};
use egui::{RichText, Ui};
use units::Quantity;

/// Draws all groups.
pub fn inputs_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PanelState,
    plan: &PlanState,
    actions: &mut Vec<Action>,
) {
    part::part_ui(ui, view, state, actions);
    parting(ui);
    seats::seats_ui(ui, view, actions);
    parting(ui);
    motions::motions_ui(ui, view, state, actions);
    parting(ui);
    cups_ui(ui, view, plan, actions);
    parting(ui);
    circuits::circuits_ui(ui, view, state, actions);
    parting(ui);
    if view.project.circuits.iter().any(|c| c.supply.is_some()) {
        cycle::cycle_ui(ui, view, actions);
        parting(ui);
    }
    tool::tool_ui(ui, view, state, actions);
    parting(ui);
    site_ui(ui, view, actions);
}

fn cups_ui(ui: &mut Ui, view: &View, plan: &PlanState, actions: &mut Vec<Action>) {
    if fields::heading(ui, "Cups", Some(("models…", "Choose from the built-in models or add your own"))) {
        actions.push(Action::Run(Command::CupLibrary));
    }
    for model in &view.project.models {
        let placed = view.layout.cups.iter().filter(|c| c.model == model.id).count();
        let active = matches!(&plan.tool, Tool::Place { model: m, .. } if *m == model.id);
        let note = if active {
            "click the plan".to_owned()
        } else if placed == 0 {
            "click to place".to_owned()
        } else {
            format!("{placed} placed")
        };
        if model_row(ui, view, model, &note, active).clicked() {
            let tool =
                if active { Tool::Select } else { Tool::Place { model: model.id.clone(), turn_deg: 0.0 } };
            actions.push(Action::Tool(tool));
        }
    }
    if view.project.models.is_empty() {
        ui.label(RichText::new("None yet: choose some under models…").color(view.tokens.second));
    }
}

fn site_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    fields::heading(ui, "Site", None);
    let site = view.project.site;
    if let Some(v) = fields::known("site.altitude_m").number(ui, "", site.altitude_m, &view.units) {
        actions.push(Action::Edit(Edit::ChangeSite {
            site: Site { altitude_m: v, ..site },
            what: format!("altitude to {}", view.given(v, Quantity::Altitude)),
        }));
    }
    if let Some(v) = fields::known("site.temperature_c").number(ui, "", site.temperature_c, &view.units) {
        actions.push(Action::Edit(Edit::ChangeSite {
            site: Site { temperature_c: v, ..site },
            what: format!("temperature to {}", view.given(v, Quantity::Temperature)),
        }));
    }
}
