//! A list of masses that hang on something: a point each, or a block where it has a size.

use crate::{fields, view::View};
use document::{Attached, AttachedId};
use egui::Ui;
use glam::DVec3;
use units::Quantity;

/// What a list of masses is called, and where a new one goes.
pub(super) struct MassList<'a> {
    /// Heading, and what the list is for.
    pub name: &'a str,
    /// See `name`.
    pub why: &'a str,
    /// Name of one.
    pub one: &'a str,
    /// What a new one is called.
    pub new_name: &'a str,
    /// Where a new one goes, mm.
    pub at: DVec3,
    /// From where z counts.
    pub z: &'a str,
}

/// What changes the list: name of the change, and the change.
type Change<'a> = dyn FnMut(&str, &dyn Fn(&mut Vec<Attached>)) + 'a;

/// Draws the list; `change` takes the name of a change and the change.
pub(super) fn masses_ui(
    ui: &mut Ui,
    view: &View,
    list: &MassList<'_>,
    masses: &[Attached],
    change: &mut Change<'_>,
) {
    let id = AttachedId(view.project.next_id());
    fields::row(ui, list.name, list.why, |ui| {
        if ui.link("add").clicked() {
            let new =
                Attached { id, name: list.new_name.to_owned(), mass_kg: 0.5, at: list.at, size: DVec3::ZERO };
            change(&format!("Add {}", list.new_name.to_lowercase()), &|m| m.push(new.clone()));
        }
    });
    for (index, mass) in masses.iter().enumerate() {
        ui.indent(("mass", mass.id), |ui| {
            let undo = format!("Change {}", mass.name);
            if let Some(v) = fields::text(ui, ("mass name", mass.id), list.one, &mass.name, "") {
                change(&undo, &|m| m[index].name.clone_from(&v));
            }
            type Slot = fn(&mut Attached) -> &mut f64;
            let place = format!("{}. All sizes 0 for a point", list.z);
            let rows: [(bool, &str, Quantity, &str, Slot); 7] = [
                (false, "mass", Quantity::Mass, "", |m| &mut m.mass_kg),
                (false, "X", Quantity::Length, &place, |m| &mut m.at.x),
                (false, "Y", Quantity::Length, &place, |m| &mut m.at.y),
                (false, "Z", Quantity::Length, &place, |m| &mut m.at.z),
                (true, "size X", Quantity::Length, &place, |m| &mut m.size.x),
                (true, "size Y", Quantity::Length, &place, |m| &mut m.size.y),
                (true, "size Z", Quantity::Length, &place, |m| &mut m.size.z),
            ];
            for (size, key, quantity, why, slot) in rows {
                let value = *slot(&mut mass.clone());
                let name = format!("{} {key}", mass.name);
                let salt = ("mass", mass.id, key);
                let entered = if size {
                    fields::within(ui, salt, &name, value, quantity, (0.0, 1e6), &view.units, why)
                } else {
                    fields::quantity(ui, salt, &name, value, quantity, &view.units, why)
                };
                if let Some(v) = entered {
                    change(&undo, &|m| *slot(&mut m[index]) = v);
                }
            }
            fields::row(ui, "", "", |ui| {
                if ui.link("remove").clicked() {
                    change(&format!("Remove {}", mass.name), &|m| {
                        m.remove(index);
                    });
                }
            });
        });
    }
}
