//! What the lips land on: surface, friction, leak through the part.

use super::change::{PartChange, preset_of};
use crate::{fields, view::View};
use document::{FrictionPair, Origin, Sourced, Surface, Texture, Wetness};
use egui::Ui;
use units::Quantity;

/// Surface, condition, friction, permeance, unevenness.
pub(super) fn surface_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let part = &view.part;
    let textures = [
        (Texture::Smooth, "smooth"),
        (Texture::Structured, "structured"),
        (Texture::Porous, "porous"),
        (Texture::Film, "thin film"),
    ];
    if let Some(v) = fields::known("part.surface.texture").choice(ui, "", part.surface.texture, &textures) {
        // Nothing said of a porous part is that air comes through it; what somebody said stays.
        let assumed =
            preset_of(part).and_then(|preset| preset.permeance_um_pa_s).unwrap_or(document::POROUS_UM_PA_S);
        change("surface".to_owned(), &|p| {
            p.surface = Surface { texture: v, ..p.surface };
            let said = p.permeance_um_pa_s.as_ref().is_some_and(|held| held.origin != Origin::Assumed);
            if !said {
                p.permeance_um_pa_s = (v == Texture::Porous).then(|| Sourced::assumed(assumed));
            }
        });
    }
    let wet = [(Wetness::Dry, "dry"), (Wetness::Damp, "damp"), (Wetness::Oily, "oily")];
    if let Some(v) = fields::known("part.surface.wetness").choice(ui, "", part.surface.wetness, &wet) {
        let friction = preset_of(part).unwrap_or(&document::MATERIALS[0]).friction_when(v);
        change("surface condition".to_owned(), &|p| {
            p.surface = Surface { wetness: v, ..p.surface };
            p.friction = Sourced::assumed(friction);
        });
    }
    if let Some(v) = fields::known("part.friction").sourced(ui, "", &part.friction, &view.units) {
        change(format!("friction to {}", view.given(v.value, Quantity::Ratio)), &|p| p.friction = v.clone());
    }
    pairs_ui(ui, view, change);
    permeance_ui(ui, view, change);
    bending_ui(ui, view, change);
    if let Some(v) = fields::known("part.uneven_mm").number(ui, "", part.uneven_mm, &view.units) {
        change(format!("height variation to {}", view.given(v, Quantity::Length)), &|p| p.uneven_mm = v);
    }
}

/// Lip materials of the cups in all layouts, each once.
fn lip_materials(view: &View) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for model in &view.project.models {
        let used = view.project.layouts.iter().any(|l| l.cups.iter().any(|c| c.model == model.id));
        if used && !model.material.is_empty() && !found.contains(&model.material) {
            found.push(model.material.clone());
        }
    }
    found
}

fn pairs_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    for (index, pair) in view.part.pairs.iter().enumerate() {
        let why = format!(
            "{} on {}, {}. Replaces the friction above for lips of this material",
            pair.lip_material,
            view.part.name,
            pair.friction.origin.label()
        );
        let name = format!("… {}", pair.lip_material);
        let salt = ("pair", index);
        let value = pair.friction.value;
        if let Some(v) = fields::quantity(ui, salt, &name, value, Quantity::Ratio, &view.units, &why) {
            change(
                format!("friction of {} to {}", pair.lip_material, view.given(v, Quantity::Ratio)),
                &|p| {
                    p.pairs[index].friction = fields::stated(v);
                },
            );
        }
        if let Some(v) =
            fields::origin(ui, &format!("Friction of {} comes from", pair.lip_material), &pair.friction)
        {
            change("where a friction comes from".to_owned(), &|p| p.pairs[index].friction = v.clone());
        }
    }
    let lips = lip_materials(view);
    if view.part.pairs.is_empty() && lips.len() > 1 {
        fields::row(ui, "", "", |ui| {
            let why = "One friction for each lip material instead of one for all, from conservative values \
                (common practice, no source)";
            if ui.link("friction per lip material…").on_hover_text(why).clicked() {
                change("friction per lip material".to_owned(), &|p| {
                    p.pairs = lips
                        .iter()
                        .map(|lip| {
                            let friction = document::friction_pair(lip, p.surface.texture, p.surface.wetness);
                            FrictionPair { lip_material: lip.clone(), friction }
                        })
                        .collect();
                });
            }
        });
    }
    if !view.part.pairs.is_empty() {
        fields::row(ui, "", "", |ui| {
            if ui.link("one friction for all").clicked() {
                change("one friction for all lips".to_owned(), &|p| p.pairs.clear());
            }
        });
    }
}

/// Only a part that air may come through is asked for its permeance.
fn permeance_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let part = &view.part;
    if part.surface.texture != Texture::Porous && part.permeance_um_pa_s.is_none() {
        return;
    }
    let origin = part.permeance_um_pa_s.as_ref().map_or("not stated", |p| p.origin.label());
    let shown = part.permeance_um_pa_s.as_ref().map_or(0.0, |p| p.value);
    let row = fields::known("part.permeance_um_pa_s").more(origin);
    if let Some(v) = row.number(ui, "", shown, &view.units) {
        change(format!("air permeability to {}", view.given(v, Quantity::Permeance)), &|p| {
            p.permeance_um_pa_s = Some(fields::stated(v));
        });
    }
}

/// A part is rigid until it is let bend; then it has a modulus and Poisson's ratio, and what comes of them stands below.
fn bending_ui(ui: &mut Ui, view: &View, change: &mut PartChange<'_>) {
    let part = &view.part;
    if part.modulus_n_mm2.is_none() {
        fields::row(ui, "", "", |ui| {
            let why = "A flat sheet of even thickness sags between its cups and shares its weight as it \
                bends, starting from values of the material; otherwise the part is rigid";
            if ui.link("treat as flexible…").on_hover_text(why).clicked() {
                let known = || document::MATERIALS.iter().filter(|preset| preset.bending.is_some());
                let modulus =
                    |preset: &document::MaterialPreset| preset.bending.map_or(f64::INFINITY, |b| b[0]);
                // Of a material that nothing is known of the softest is taken: it sags most.
                let softest = || known().min_by(|a, b| modulus(a).total_cmp(&modulus(b)));
                let own = preset_of(part).filter(|preset| preset.bending.is_some());
                if let Some(preset) = own.or_else(softest) {
                    change("treating the part as flexible".to_owned(), &|p| preset.let_bend(p));
                }
            }
        });
        return;
    }
    crate::bending::form::ui(ui, view, change);
}
