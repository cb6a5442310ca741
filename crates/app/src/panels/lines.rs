//! Form of a hose: bore, length, fittings, coil.

use crate::{dialogs::capital, fields, view::View};
use document::{Coil, FittingKind, FittingUse, Line, LineLength};
use egui::Ui;
use std::hash::Hash;
use units::Quantity;

/// What changes a hose: name of the change, and the change.
pub type Change<'a> = dyn FnMut(&str, &dyn Fn(&mut Line)) + 'a;

/// Draws the form.
pub fn line_ui(
    ui: &mut Ui,
    view: &View,
    salt: impl Hash + Copy,
    name: &str,
    line: &Line,
    change: &mut Change<'_>,
) {
    let undo = format!("the {name}");
    let units = &view.units;
    if let Some(v) = fields::quantity_of(
        ui,
        (salt, "bore"),
        "Bore",
        name,
        line.bore_mm,
        Quantity::Length,
        units,
        "Clear inside diameter, of its fittings too",
    ) {
        change(&undo, &|l| l.bore_mm = v);
    }
    match line.length {
        LineLength::Plan { slack_mm } => {
            let why = "On top of the way on the plan and up to its end, for movement and bends";
            if let Some(v) = fields::quantity_of(
                ui,
                (salt, "slack"),
                "Slack",
                name,
                slack_mm,
                Quantity::Length,
                units,
                why,
            ) {
                change(&undo, &|l| l.length = LineLength::Plan { slack_mm: v });
            }
            fields::row(ui, "Length from the plan", "", |ui| {
                if ui.link("state it").clicked() {
                    change(&undo, &|l| l.length = LineLength::Typed { mm: 500.0 });
                }
            });
        }
        LineLength::Typed { mm } => {
            if let Some(v) = fields::quantity_of(
                ui,
                (salt, "length"),
                "Length",
                name,
                mm,
                Quantity::Length,
                units,
                "As cut",
            ) {
                change(&undo, &|l| l.length = LineLength::Typed { mm: v });
            }
            fields::row(ui, "", "", |ui| {
                if ui.link("length from the plan").clicked() {
                    change(&undo, &|l| l.length = LineLength::Plan { slack_mm: 100.0 });
                }
            });
        }
    }
    for (index, fitting) in line.fittings.iter().enumerate() {
        let what = capital(fitting.kind.label());
        let why = "How many of them; 0 takes them away";
        let salt = (salt, index, "fitting");
        if let Some(count) = fields::count(ui, salt, &what, Some(name), fitting.count, (0, 99), units, why) {
            change(&undo, &|l| match count {
                0 => {
                    l.fittings.remove(index);
                }
                n => l.fittings.iter_mut().skip(index).take(1).for_each(|f| f.count = n),
            });
        }
    }
    fields::row(ui, "", "", |ui| {
        let button = egui::Button::new(egui::RichText::new("add fitting…").color(view.tokens.working));
        egui::containers::menu::MenuButton::from_button(button.frame_when_inactive(false)).ui(ui, |ui| {
            for kind in FittingKind::ALL {
                if ui.button(capital(kind.label())).clicked() {
                    change(&undo, &|l| match l.fittings.iter_mut().find(|f| f.kind == *kind) {
                        Some(there) => there.count += 1,
                        None => l.fittings.push(FittingUse { kind: *kind, count: 1 }),
                    });
                    ui.close();
                }
            }
        });
        if line.coil.is_none()
            && ui.link("coil").on_hover_text("A wound part, on top of the length").clicked()
        {
            change(&undo, &|l| l.coil = Some(Coil { turns: 5.0, diameter_mm: 50.0 }));
        }
    });
    if let Some(coil) = line.coil {
        if let Some(v) = fields::quantity_of(
            ui,
            (salt, "turns"),
            "Turns of the coil",
            name,
            coil.turns,
            Quantity::Ratio,
            units,
            "0 takes the coil away",
        ) {
            change(&undo, &|l| l.coil = (v > 0.0).then_some(Coil { turns: v, ..coil }));
        }
        if let Some(v) = fields::quantity_of(
            ui,
            (salt, "coil"),
            "Coil diameter",
            name,
            coil.diameter_mm,
            Quantity::Length,
            units,
            "Of its middle line",
        ) {
            change(&undo, &|l| l.coil = Some(Coil { diameter_mm: v, ..coil }));
        }
    }
}
