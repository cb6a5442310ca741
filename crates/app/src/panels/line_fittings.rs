//! Form of the fittings of a hose: how many of each, their own bore, what their maker states.

use super::{change::LineChange, circuit_parts::restriction_ui};
use crate::{fields, view::View};
use document::{FittingKind, FittingUse, Line, Restriction};
use egui::{Role, Ui, WidgetInfo};
use std::hash::Hash;

/// What changes one use of a fitting.
type Set<'a> = dyn FnMut(&dyn Fn(&mut FittingUse)) + 'a;

/// Conductance that a stated one starts from: about half of what a hole of its bore passes (invented, generic).
fn start(bore_mm: f64) -> Restriction {
    let c = (0.08 * bore_mm * bore_mm * 100.0).round() / 100.0;
    Restriction { c_dm3_s_bar: c.max(0.01), b: 0.4 }
}

/// Draws the fittings that a hose has.
pub(super) fn fittings_ui(
    ui: &mut Ui,
    view: &View,
    salt: impl Hash + Copy,
    name: &str,
    line: &Line,
    change: &mut LineChange<'_>,
) {
    let undo = format!("the {name}");
    for (index, fitting) in line.fittings.iter().enumerate() {
        let what = units::capital(fitting.kind.label());
        let why = "How many there are; 0 removes them";
        let salt = (salt, index, "fitting");
        if let Some(count) =
            fields::count(ui, salt, &what, Some(name), fitting.count, (0, 99), &view.units, why)
        {
            change(&undo, &|l| match count {
                0 => {
                    l.fittings.remove(index);
                }
                n => l.fittings.iter_mut().skip(index).take(1).for_each(|f| f.count = n),
            });
        }
        let mut set = |apply: &dyn Fn(&mut FittingUse)| {
            change(&undo, &|l| l.fittings.iter_mut().skip(index).take(1).for_each(apply));
        };
        own_ui(ui, view, salt, name, line.bore_mm, *fitting, &mut set);
    }
}

/// Bore and conductance of one kind of fitting, and the links that state them.
fn own_ui(
    ui: &mut Ui,
    view: &View,
    salt: impl Hash + Copy,
    name: &str,
    hose_mm: f64,
    fitting: FittingUse,
    set: &mut Set<'_>,
) {
    let of = format!("{} of {name}", fitting.kind.label());
    if let Some(bore) = fitting.bore_mm {
        let row = fields::known("circuit.supply.line.fittings.bore_mm").of(&of);
        if let Some(v) = row.number(ui, salt, bore, &view.units) {
            set(&|f| f.bore_mm = Some(v));
        }
    }
    if let Some(flow) = fitting.flow {
        restriction_ui(ui, view, (salt, "flow"), &of, flow, &mut |new| set(&|f| f.flow = Some(new)));
    }
    fields::row(ui, "", "", |ui| {
        let (says, why, new) = match fitting.bore_mm {
            None => (
                "own bore",
                "If it differs from the bore of the hose, which is used otherwise",
                Some(hose_mm),
            ),
            Some(_) => ("bore of the hose", "Removes its own bore", None),
        };
        if link(ui, says, &of, why) {
            set(&|f| f.bore_mm = new);
        }
        ui.add_space(fields::BETWEEN_LINKS);
        let bore = fitting.bore_mm.unwrap_or(hose_mm);
        let (says, why, new) = match fitting.flow {
            None => ("stated C and b", "As its maker states, instead of a loss by type", Some(start(bore))),
            Some(_) => ("loss by type", "Removes the stated values", None),
        };
        if link(ui, says, &of, why) {
            set(&|f| f.flow = new);
        }
    });
}

/// A link, spoken with what it belongs to.
fn link(ui: &mut Ui, says: &str, of: &str, why: &str) -> bool {
    let link = ui.link(says);
    link.widget_info(|| WidgetInfo::labeled(Role::Link, true, format!("{says}: {of}")));
    link.on_hover_text(format!("{}: {why}", units::capital(of))).clicked()
}

/// Draws the menu that adds a fitting.
pub(super) fn add_ui(ui: &mut Ui, view: &View, undo: &str, change: &mut LineChange<'_>) {
    let button = egui::Button::new(egui::RichText::new("add fitting…").color(view.tokens.working));
    egui::containers::menu::MenuButton::from_button(button.frame_when_inactive(false)).ui(ui, |ui| {
        for kind in FittingKind::ALL {
            if ui.button(units::capital(kind.label())).clicked() {
                change(undo, &|l| {
                    let like = |f: &&mut FittingUse| f.is_like(&FittingUse::new(*kind, f.count));
                    match l.fittings.iter_mut().find(like) {
                        Some(there) => there.count += 1,
                        None => l.fittings.push(FittingUse::new(*kind, 1)),
                    }
                });
                ui.close();
            }
        }
    });
}
