//! How often the tool picks and what air and energy cost; what the controls are to switch at.

use crate::{
    fields,
    view::{Action, View},
};
use document::{Cycle, Edit, Sourced};
use egui::Ui;
use units::Quantity;

/// Draws the group; only a project with a circuit that is worked out needs it.
pub fn cycle_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    fields::heading(ui, "Cycle", None);
    let cycle = &view.project.cycle;
    let mut change = |what: &str, apply: &dyn Fn(&mut Cycle)| {
        let mut new = cycle.clone();
        apply(&mut new);
        actions.push(Action::Edit(Edit::ChangeCycle { cycle: new, what: format!("Change {what}") }));
    };
    let money = |per: &str| format!("{} per {per}", cycle.currency);
    type Slot = fn(&mut Cycle) -> &mut Sourced<f64>;
    let rows: [(String, &Sourced<f64>, Quantity, &str, Slot); 6] = [
        ("Picks an hour".to_owned(), &cycle.picks_per_hour, Quantity::Ratio, "", |c| &mut c.picks_per_hour),
        (
            "Held for".to_owned(),
            &cycle.hold_s,
            Quantity::Time,
            "From the first level at the cups until release: the source runs that long unless air saving stops it",
            |c| &mut c.hold_s,
        ),
        ("Hours a year".to_owned(), &cycle.hours_per_year, Quantity::Ratio, "", |c| &mut c.hours_per_year),
        (
            format!("Air, {}", money("m³")),
            &cycle.air_price_per_m3,
            Quantity::Ratio,
            "A normal cubic metre of compressed air, everything counted",
            |c| &mut c.air_price_per_m3,
        ),
        (
            format!("Energy, {}", money("kWh")),
            &cycle.energy_price_per_kwh,
            Quantity::Ratio,
            "For pumps and blowers",
            |c| &mut c.energy_price_per_kwh,
        ),
        (
            "Compressor, kWh per m³".to_owned(),
            &cycle.compressor_kwh_per_m3,
            Quantity::Ratio,
            "What the compressor takes for a normal cubic metre; about 0.11 at 7 bar",
            |c| &mut c.compressor_kwh_per_m3,
        ),
    ];
    for (name, value, quantity, why, slot) in rows {
        let why = format!("{why} ({})", value.origin.label());
        if let Some(v) =
            fields::precise(ui, ("cycle", &name), &name, value.value, quantity, &view.units, &why)
        {
            change(&name.to_lowercase(), &|c| *slot(c) = fields::stated(v));
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
            "{}: {:.0} picks a lip ({}), {:.1} lips a year for {} cups. A lip that is worn or cut goes sooner",
            change.name,
            change.life_picks,
            change.origin.label(),
            change.lips_per_year,
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
