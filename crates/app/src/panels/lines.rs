//! Form of a hose: bore, length, fittings, coil.

use super::{change::LineChange, line_fittings};
use crate::{fields, view::View};
use document::{Coil, Line, LineLength};
use egui::Ui;
use std::hash::Hash;

/// Draws the form.
pub fn line_ui(
    ui: &mut Ui,
    view: &View,
    salt: impl Hash + Copy,
    name: &str,
    line: &Line,
    change: &mut LineChange<'_>,
) {
    let undo = format!("the {name}");
    let units = &view.units;
    let row = |key: &str| fields::known(key).of(name);
    if let Some(v) = row("circuit.supply.line.bore_mm").number(ui, salt, line.bore_mm, units) {
        change(&undo, &|l| l.bore_mm = v);
    }
    match line.length {
        LineLength::Plan { slack_mm } => {
            if let Some(v) = row("circuit.supply.line.length.slack_mm").number(ui, salt, slack_mm, units) {
                change(&undo, &|l| l.length = LineLength::Plan { slack_mm: v });
            }
            fields::row(ui, "Length from the plan", "", |ui| {
                if ui.link("enter it").clicked() {
                    change(&undo, &|l| l.length = LineLength::Typed { mm: 500.0 });
                }
            });
        }
        LineLength::Typed { mm } => {
            if let Some(v) = row("circuit.supply.line.length.mm").number(ui, salt, mm, units) {
                change(&undo, &|l| l.length = LineLength::Typed { mm: v });
            }
            fields::row(ui, "", "", |ui| {
                if ui.link("length from the plan").clicked() {
                    change(&undo, &|l| l.length = LineLength::Plan { slack_mm: 100.0 });
                }
            });
        }
    }
    line_fittings::fittings_ui(ui, view, salt, name, line, change);
    fields::row(ui, "", "", |ui| {
        line_fittings::add_ui(ui, view, &undo, change);
        if line.coil.is_none()
            && ui.link("coil").on_hover_text("A coiled section, added to the length").clicked()
        {
            change(&undo, &|l| l.coil = Some(Coil { turns: 5.0, diameter_mm: 50.0 }));
        }
    });
    if let Some(coil) = line.coil {
        if let Some(v) = row("circuit.supply.line.coil.turns").number(ui, salt, coil.turns, units) {
            change(&undo, &|l| l.coil = (v > 0.0).then_some(Coil { turns: v, ..coil }));
        }
        if let Some(v) = row("circuit.supply.line.coil.diameter_mm").number(ui, salt, coil.diameter_mm, units)
        {
            change(&undo, &|l| l.coil = Some(Coil { diameter_mm: v, ..coil }));
        }
    }
}
