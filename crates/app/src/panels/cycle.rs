//! How often the tool picks and what air and energy cost; what the controls are to switch at.

use crate::{
    fields,
    view::{Action, View},
};
use document::{Cycle, Edit, Sourced};
use egui::Ui;

/// Draws the group; only a project with a circuit that is worked out needs it.
pub fn cycle_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    fields::heading(ui, "Cycle", None);
    let cycle = &view.project.cycle;
    let mut change = |what: &str, apply: &dyn Fn(&mut Cycle)| {
        let mut new = cycle.clone();
        apply(&mut new);
        actions.push(Action::Edit(Edit::ChangeCycle { cycle: new, what: format!("Change {what}") }));
    };
    let money = |per: &str| format!("{}/{per}", cycle.currency);
    type Slot = fn(&mut Cycle) -> &mut Sourced<f64>;
    let rows: [(&str, &Sourced<f64>, String, &str, Slot); 6] = [
        ("Picks", &cycle.picks_per_hour, "1/h".to_owned(), "Every hour that it works", |c| {
            &mut c.picks_per_hour
        }),
        (
            "Held for",
            &cycle.hold_s,
            "s".to_owned(),
            "From the first level at the cups until release: the source runs that long unless air saving stops it",
            |c| &mut c.hold_s,
        ),
        ("Works", &cycle.hours_per_year, "h/year".to_owned(), "", |c| &mut c.hours_per_year),
        (
            "Air",
            &cycle.air_price_per_m3,
            money("m³"),
            "A cubic metre ANR of compressed air, everything counted",
            |c| &mut c.air_price_per_m3,
        ),
        ("Energy", &cycle.energy_price_per_kwh, money("kWh"), "For pumps and blowers", |c| {
            &mut c.energy_price_per_kwh
        }),
        (
            "Compressor",
            &cycle.compressor_kwh_per_m3,
            "kWh/m³".to_owned(),
            "What the compressor takes for a cubic metre ANR; about 0.11 at 7 bar",
            |c| &mut c.compressor_kwh_per_m3,
        ),
    ];
    for (name, value, unit, why, slot) in rows {
        let dot = if why.is_empty() { "" } else { "; " };
        let why = format!("{why}{dot}{}", value.origin.label());
        if let Some(v) = fields::plain(ui, ("cycle", name), name, value.value, &unit, &view.units, &why) {
            change(&format!("{} of the cycle", name.to_lowercase()), &|c| *slot(c) = fields::stated(v));
        }
    }
    if let Some(v) =
        fields::text(ui, "currency", "Currency", &cycle.currency, "Only a name: prices are not converted")
    {
        change("currency", &|c| c.currency.clone_from(&v));
    }
    lips_ui(ui, view);
}

/// When the lips of each model are due.
fn lips_ui(ui: &mut Ui, view: &View) {
    let changes = analysis::lip_changes(&view.project, view.layout.id);
    if changes.is_empty() {
        return;
    }
    fields::row(ui, "Change lips", "By picks that a lip lasts, as its cup model has it", |_| {});
    for change in changes {
        let why = format!(
            "{}: {} picks a lip ({}), {} lips a year for {} cups. A lip that is worn or cut goes sooner",
            change.name,
            view.fixed(change.life_picks, 0),
            change.origin.label(),
            view.fixed(change.lips_per_year, 1),
            change.cups
        );
        let says = change.says();
        fields::row(ui, &change.name, &why, |ui| {
            let label = ui.label(&says);
            let spoken = format!("Change lips of {}: {says}", change.name);
            ui.ctx().accesskit_node_builder(label.id, |node| node.set_label(spoken));
        });
    }
}
