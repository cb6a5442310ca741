//! A list of masses that hang on something: a point each, or a block where it has a size.

use crate::{fields, view::View};
use document::{Attached, AttachedId};
use egui::Ui;
use glam::DVec3;

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
    /// Keys of mass, place, size and turn.
    pub keys: [&'static str; 4],
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
            let new = Attached {
                id,
                name: list.new_name.to_owned(),
                mass_kg: 0.5,
                at: list.at,
                size: DVec3::ZERO,
                turn_deg: 0.0,
            };
            change(&format!("Add {}", list.new_name.to_lowercase()), &|m| m.push(new.clone()));
        }
    });
    for (index, mass) in masses.iter().enumerate() {
        ui.indent(("mass", mass.id), |ui| {
            let undo = format!("Change {}", mass.name);
            if let Some(v) = fields::text(ui, ("mass name", mass.id), list.one, &mass.name, "") {
                change(&undo, &|m| m[index].name.clone_from(&v));
            }
            let [mass_key, at_key, size_key, turn_key] = list.keys;
            let row = |key: &str| fields::known(key).of(&mass.name);
            if let Some(v) = row(mass_key).number(ui, mass.id, mass.mass_kg, &view.units) {
                change(&undo, &|m| m[index].mass_kg = v);
            }
            for axis in 0..3 {
                let row = row(at_key).axis(axis).more(list.z);
                if let Some(v) = row.number(ui, mass.id, mass.at[axis], &view.units) {
                    change(&undo, &|m| m[index].at[axis] = v);
                }
            }
            super::origin::origin_note(ui, view);
            for axis in 0..3 {
                let row = row(size_key).axis(axis).more("all sizes 0 for a point");
                if let Some(v) = row.bounded(ui, mass.id, mass.size[axis], &view.units) {
                    change(&undo, &|m| m[index].size[axis] = v);
                }
            }
            if mass.size != DVec3::ZERO
                && let Some(v) = row(turn_key).number(ui, mass.id, mass.turn_deg, &view.units)
            {
                change(&undo, &|m| m[index].turn_deg = v);
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
