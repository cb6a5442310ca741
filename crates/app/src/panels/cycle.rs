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
    // "EUR/m³", "USD/1000 scf": which state a volume is of, its help says.
    let (air, energy) = (money(units::priced_air(&view.units)), money("kWh"));
    let rows: [(&'static str, &Sourced<f64>, Option<&str>, Slot); 6] = [
        ("cycle.picks_per_hour", &cycle.picks_per_hour, Some("1/h"), |c| &mut c.picks_per_hour),
        ("cycle.hold_s", &cycle.hold_s, None, |c| &mut c.hold_s),
        ("cycle.hours_per_year", &cycle.hours_per_year, None, |c| &mut c.hours_per_year),
        ("cycle.air_price_per_m3", &cycle.air_price_per_m3, Some(&air), |c| &mut c.air_price_per_m3),
        ("cycle.energy_price_per_kwh", &cycle.energy_price_per_kwh, Some(&energy), |c| {
            &mut c.energy_price_per_kwh
        }),
        ("cycle.compressor_kwh_per_m3", &cycle.compressor_kwh_per_m3, None, |c| &mut c.compressor_kwh_per_m3),
    ];
    for (key, value, unit, slot) in rows {
        let row = fields::known(key).more(value.origin.label());
        let row = unit.map_or(row, |unit| row.unit(unit));
        if let Some(v) = row.number(ui, "", value.value, &view.units) {
            change(&format!("{} of the cycle", document::name_of(key)), &|c| *slot(c) = fields::stated(v));
        }
    }
    if let Some(v) = fields::known("cycle.currency").text(ui, "", &cycle.currency) {
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
    fields::row(ui, "Change lips", "From the lip life of its cup model", |_| {});
    for change in changes {
        let why = format!(
            "{}: {} cycles per lip ({}), {} lips per year for {} cups. Change a worn or cut lip sooner",
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
