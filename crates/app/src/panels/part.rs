//! The form of the part.

use super::{
    PanelState,
    change::{PartChange, preset_of},
    masses::{MassList, masses_ui},
    surface,
};
use crate::{
    command::Command,
    fields,
    view::{Action, View},
};
use document::{Edit, MassBy, Part, Placement, PresetMass, Sourced};
use egui::{RichText, Ui};
use glam::DVec3;
use std::sync::Arc;
use units::Quantity;

/// Draws the form.
pub fn part_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    let part = &view.part;
    let replace =
        ("replace drawing…", "Read the outline from a DXF, SVG or PDF file; cups stay where they are");
    if fields::heading(ui, "Part", Some(replace)) {
        actions.push(Action::Run(Command::ImportDrawing));
    }
    let mut change = |what: String, apply: &dyn Fn(&mut Part)| {
        let mut new = (**part).clone();
        apply(&mut new);
        actions.push(Action::Edit(Edit::ChangePart { part: Arc::new(new), what }));
    };
    if let Some(name) = fields::known("part.name").text(ui, "part", &part.name) {
        change("name".to_owned(), &|p| p.name = name.clone());
    }
    material_ui(ui, view, &mut change);
    if let Some(v) = fields::known("part.thickness_mm").number(ui, "", part.thickness_mm, &view.units) {
        change(format!("thickness to {}", view.given(v, Quantity::Length)), &|p| p.thickness_mm = v);
    }
    mass_ui(ui, view, &mut change);
    surface::surface_ui(ui, view, &mut change);
    placement_ui(ui, view, state.whole_part, &mut change);
    if state.whole_part {
        density_ui(ui, view, &mut change);
        centre_ui(ui, view, &mut change);
        attached_ui(ui, view, &mut change);
        keep_outs_ui(ui, view, &mut change);
    }
    let attached: f64 = part.attached.iter().map(|a| a.mass_kg).sum();
    let mut rest = Vec::new();
    if attached > 0.0 {
        rest.push(format!("{} attached", view.text(attached, Quantity::Mass)));
    }
    match part.keep_outs.len() {
        0 => {}
        1 => rest.push("one keep-out".to_owned()),
        n => rest.push(format!("{n} keep-outs")),
    }
    let rest = if rest.is_empty() { "density, gravity, attached masses".to_owned() } else { rest.join(", ") };
    fields::row(ui, &rest, "Density, centre of gravity, attached masses, keep-outs, tolerances", |ui| {
        if ui.link(if state.whole_part { "less" } else { "more…" }).clicked() {
            state.whole_part = !state.whole_part;
        }
    });
}

fn material_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let current = &view.part.material;
    let mut picked = None;
    let why = "Sets density and a starting friction; both can be changed";
    fields::search_combo(
        ui,
        "material",
        "Material",
        current,
        why,
        "Search: mdf, glass, PP…",
        |ui, words, enter| {
            let found = document::materials_called(words);
            if enter {
                picked = found.first().copied();
            }
            for preset in &found {
                let shown = ui.selectable_label(preset.name == *current, preset.name);
                let shown =
                    if preset.also.is_empty() { shown } else { shown.on_hover_text(preset.also.join(", ")) };
                if shown.clicked() {
                    picked = Some(preset);
                }
            }
            if found.is_empty() {
                ui.label(RichText::new("No material matches.").color(view.tokens.second));
            }
            picked.is_some()
        },
    );
    if let Some(preset) = picked {
        change(format!("material to {}", preset.name), &|p| {
            // The sheet's thickness was measured or drawn; another material does not change it.
            let thickness = p.thickness_mm;
            preset.apply_to(p);
            p.thickness_mm = thickness;
        });
    }
}

fn density_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let part = &view.part;
    match &part.mass {
        MassBy::Density { kg_m3 } => {
            let why = format!("{}; type a mass below to enter it directly", kg_m3.origin.label());
            let row = fields::known("part.mass.Density.kg_m3").more(&why);
            if let Some(v) = row.number(ui, "", kg_m3.value, &view.units) {
                change(format!("density to {}", view.given(v, Quantity::Density)), &|p| {
                    p.mass = MassBy::Density { kg_m3: fields::stated(v) }
                });
            }
        }
        MassBy::Areal { kg_m2 } => {
            let row = fields::known("part.mass.Areal.kg_m2").more(kg_m2.origin.label());
            if let Some(v) = row.number(ui, "", kg_m2.value, &view.units) {
                change(format!("mass per area to {}", view.given(v, Quantity::ArealMass)), &|p| {
                    p.mass = MassBy::Areal { kg_m2: fields::stated(v) }
                });
            }
        }
        MassBy::Stated { .. } => {}
    }
}

fn mass_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let part = &view.part;
    // The field shows what the report found; typing states the sheet's own mass, attached masses come on top.
    let attached: f64 = part.attached.iter().map(|a| a.mass_kg).sum();
    let own = match &part.mass {
        MassBy::Stated { kg } => Some(kg.value),
        _ => view.report.part.as_ref().map(|p| p.mass_kg - attached),
    };
    let stated = matches!(part.mass, MassBy::Stated { .. });
    if let Some(own) = own {
        let why = if stated {
            "stated"
        } else {
            "from area, thickness and density; type a weighed mass to replace it"
        };
        if let Some(v) = fields::known("part.mass.Stated.kg").more(why).number(ui, "", own, &view.units) {
            change(format!("mass to {}", view.given(v, Quantity::Mass)), &|p| {
                p.mass = MassBy::Stated { kg: fields::stated(v) }
            });
        }
    } else {
        fields::row(ui, "Mass", "", |ui| {
            ui.label(RichText::new("needs a valid outline").color(view.tokens.fail))
        });
    }
    if stated {
        fields::row(ui, "", "", |ui| {
            if ui.link("mass from density").on_hover_text("Back to area, thickness and density").clicked() {
                let preset = preset_of(&view.part).unwrap_or(&document::MATERIALS[0]);
                change("mass from density".to_owned(), &|p| {
                    p.mass = match preset.mass {
                        PresetMass::Density(v) => MassBy::Density { kg_m3: Sourced::assumed(v) },
                        PresetMass::Areal(v) => MassBy::Areal { kg_m2: Sourced::assumed(v) },
                    };
                });
            }
        });
    }
}

fn centre_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let Some(report) = &view.report.part else { return };
    let centre = report.centre_of_gravity_mm;
    let why = if view.part.centre_of_gravity.is_some() {
        "stated"
    } else {
        "from the outline and attached masses; type to replace it"
    };
    for axis in 0..3 {
        let row = fields::known("part.centre_of_gravity").axis(axis).more(why);
        if let Some(v) = row.number(ui, "", centre[axis], &view.units) {
            let mut new = centre;
            new[axis] = v;
            change(document::name_of("part.centre_of_gravity").to_owned(), &|p| {
                p.centre_of_gravity = Some(fields::stated(new))
            });
        }
    }
    super::origin::origin_note(ui, view);
    if view.part.centre_of_gravity.is_some() {
        fields::row(ui, "", "", |ui| {
            if ui.link("gravity from the outline").clicked() {
                change("centre of gravity from the outline".to_owned(), &|p| p.centre_of_gravity = None);
            }
        });
    }
}

fn placement_ui(ui: &mut Ui, view: &View, whole: bool, change: &mut PartChange<'_>) {
    let placement = view.part.placement;
    let mut row = |ui: &mut Ui, key: &str, now: f64, set: &dyn Fn(f64) -> Placement| {
        if let Some(v) = fields::known(key).number(ui, "", now, &view.units) {
            let what = document::field(key).map_or("tolerance", |field| field.name);
            change(what.to_owned(), &|p| p.placement = set(v));
        }
    };
    row(ui, "part.placement.position_mm", placement.position_mm, &|v| Placement {
        position_mm: v,
        ..placement
    });
    if whole {
        row(ui, "part.placement.turn_deg", placement.turn_deg, &|v| Placement { turn_deg: v, ..placement });
        row(ui, "part.placement.drawing_mm", placement.drawing_mm, &|v| Placement {
            drawing_mm: v,
            ..placement
        });
    }
}

fn attached_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let list = MassList {
        name: "Attached masses",
        why: "A bracket on the part, the product in a tray: a point, or a block when it has a size",
        one: "Name of the mass",
        new_name: "Mass",
        at: view.report.part.as_ref().map_or(DVec3::ZERO, |p| p.centre_of_gravity_mm.with_z(0.0)),
        z: "",
        keys: ["part.attached.mass_kg", "part.attached.at", "part.attached.size", "part.attached.turn_deg"],
    };
    masses_ui(ui, view, &list, &view.part.attached, &mut |what, apply| {
        change(what.to_owned(), &|p| apply(&mut p.attached));
    });
}

fn keep_outs_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    for (index, keep) in view.part.keep_outs.iter().enumerate() {
        let label = format!("Keep-out {}", index + 1);
        if let Some(v) =
            fields::text(ui, ("keep-out", keep.id), &label, &keep.name, "What is there: print, seam, label")
        {
            change("name of a keep-out".to_owned(), &|p| p.keep_outs[index].name.clone_from(&v));
        }
        fields::row(ui, "", "", |ui| {
            if ui.link("remove").clicked() {
                change("a keep-out away".to_owned(), &|p| {
                    p.keep_outs.remove(index);
                });
            }
        });
    }
}
