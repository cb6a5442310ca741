//! Forms of dust in the air and of cells that close, and what dust makes of the level.

use super::change::{Change, with};
use crate::{fields, view::View};
use analysis::CircuitSlow;
use document::{CellClosing, CircuitId, Dust, Sourced, Supply};
use egui::Ui;
use units::{Quantity, Shown};

const DUST: &str = "dust in the workshop";

type Row<'a, T> = (&'static str, &'a Sourced<f64>, fn(&mut T) -> &mut Sourced<f64>);

/// Draws the dust in the air, where a filter catches it.
pub(super) fn dust_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    if supply.filter.is_none() && supply.filter_at_cup.is_none() && supply.dust.is_none() {
        return;
    }
    let mut on = supply.dust.is_some();
    let why = "A filter clogs with dust: shows level against running hours, and when to clean";
    if ui.checkbox(&mut on, DUST).on_hover_text(why).changed() {
        change(DUST, &|c| with(c, |s| s.dust = on.then(Dust::preset)));
    }
    let Some(dust) = &supply.dust else { return };
    let rows: [Row<'_, Dust>; 3] = [
        ("circuit.supply.dust.load_g_m3", &dust.load_g_m3, |d| &mut d.load_g_m3),
        ("circuit.supply.dust.capacity_g", &dust.capacity_g, |d| &mut d.capacity_g),
        ("circuit.supply.dust.cleaned_h", &dust.cleaned_h, |d| &mut d.cleaned_h),
    ];
    for (key, value, slot) in rows {
        if let Some(new) = fields::known(key).sourced(ui, id, value, &view.units) {
            change(DUST, &|c| {
                with(c, |s| s.dust.iter_mut().for_each(|dust| *slot(dust) = new.clone()));
            });
        }
    }
}

/// Draws what closes the cells of an area gripper.
pub(super) fn closing_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    if supply.area_gripper.is_none() {
        return;
    }
    let mut on = supply.cell_closing.is_some();
    let why = "A valve in each cell shuts where no part lies: it closes when the cell draws more than stated \
        at the level the circuit reaches";
    if ui.checkbox(&mut on, "cells close by themselves").on_hover_text(why).changed() {
        change("closing of the cells", &|c| with(c, |s| s.cell_closing = on.then(CellClosing::preset)));
    }
    let Some(closing) = &supply.cell_closing else { return };
    let rows: [Row<'_, CellClosing>; 2] = [
        ("circuit.supply.cell_closing.at_nl_min", &closing.at_nl_min, |c| &mut c.at_nl_min),
        ("circuit.supply.cell_closing.leak_nl_min", &closing.leak_nl_min, |c| &mut c.leak_nl_min),
    ];
    for (key, value, slot) in rows {
        if let Some(new) = fields::known(key).sourced(ui, id, value, &view.units) {
            change("closing of the cells", &|c| {
                with(c, |s| s.cell_closing.iter_mut().for_each(|closing| *slot(closing) = new.clone()));
            });
        }
    }
}

/// Draws how long the filters keep the level.
pub(super) fn figures_ui(ui: &mut Ui, view: &View, slow: &CircuitSlow) {
    let Some(dust) = &slow.dust else { return };
    let hours = |hours: f64| Shown { number: units::three_figures(hours, &view.units), unit: "h" };
    let last = dust.points.last().map_or(0.0, |(hours, _)| *hours);
    let shown = match dust.keeps_h {
        Some(keeps) => hours(keeps),
        None => Shown { number: format!("over {}", hours(last).number), unit: "h" },
    };
    let needed = view.text(dust.needed_kpa, Quantity::VacuumLevel);
    let why = format!(
        "Running hours until the level at the worst cup falls below {needed}, which the factors rely on"
    );
    fields::figure(ui, "Clean filters within", &shown, &why);
    if let Some(level) = dust.level_at_cleaning_kpa {
        let every = hours(dust.cleaned_h);
        let why = format!("At the worst cup, after {every} of running");
        fields::figure(ui, "Level before cleaning", &view.show(level, Quantity::VacuumLevel), &why);
    }
}
