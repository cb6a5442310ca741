//! The fields of a part that bends.

use crate::{fields, theme::Size, view::View};
use document::{Part, Sourced};
use egui::{RichText, Ui};

/// A change of the part with its name.
type Change<'a> = dyn FnMut(String, &dyn Fn(&mut Part)) + 'a;

/// Nothing of a rigid part; one that was let bend has moduli, Poisson's ratio and damping, and what comes of them stands below.
pub(crate) fn ui(ui: &mut Ui, view: &View, change: &mut Change<'_>) {
    let part = &view.part;
    let Some(modulus) = &part.modulus_n_mm2 else { return };
    let named = |key: &'static str| document::name_of(key).to_owned();
    if let Some(v) = fields::known("part.modulus_n_mm2").sourced(ui, "", modulus, &view.units) {
        change(named("part.modulus_n_mm2"), &|p| p.modulus_n_mm2 = Some(v.clone()));
    }
    two_moduli(ui, view, modulus, change);
    let usual = Sourced::assumed(analysis::USUAL_POISSON);
    let poisson = part.poisson.as_ref().unwrap_or(&usual);
    if let Some(v) = fields::known("part.poisson").sourced(ui, "", poisson, &view.units) {
        change(named("part.poisson"), &|p| p.poisson = Some(v.clone()));
    }
    let usual = Sourced::assumed(analysis::USUAL_DAMPING);
    let damping = part.damping.as_ref().unwrap_or(&usual);
    if let Some(v) = fields::known("part.damping").sourced(ui, "", damping, &view.units) {
        change(named("part.damping"), &|p| p.damping = Some(v.clone()));
    }
    allowable(ui, view, change);
    if part.attached.iter().any(|mass| mass.size.truncate().min_element() > 0.0) {
        let all = [(false, "lie on it"), (true, "stiffen it")];
        if let Some(v) = fields::known("part.stiff_blocks").choice(ui, "", part.stiff_blocks, &all) {
            change(named("part.stiff_blocks"), &|p| p.stiff_blocks = v);
        }
    }
    fields::row(ui, "", "", |ui| {
        if ui.link("treat as rigid").clicked() {
            change("treating the part as rigid".to_owned(), &|p| {
                p.modulus_n_mm2 = None;
                p.poisson = None;
                p.modulus_across_n_mm2 = None;
            });
        }
    });
    if let Some(Ok(bending)) = &view.report.bending {
        let says = RichText::new(analysis::words::bending(bending, view.part.datum_at(), &view.units));
        ui.add(egui::Label::new(says.font(Size::Small.slanted()).color(view.tokens.second)).wrap());
        ui.add_space(4.0);
    }
}

/// Board has a second modulus, at right angles to the first.
fn two_moduli(ui: &mut Ui, view: &View, first: &Sourced<f64>, change: &mut Change<'_>) {
    let part = &view.part;
    let Some(across) = &part.modulus_across_n_mm2 else {
        fields::row(ui, "", "", |ui| {
            let why = "Board along and across its flute, wood along and across its grain";
            if ui.link("two stiffnesses…").on_hover_text(why).clicked() {
                let half = Sourced::assumed(0.5 * first.value);
                change("two stiffnesses".to_owned(), &|p| p.modulus_across_n_mm2 = Some(half.clone()));
            }
        });
        return;
    };
    if let Some(v) = fields::known("part.modulus_across_n_mm2").sourced(ui, "", across, &view.units) {
        let name = document::name_of("part.modulus_across_n_mm2").to_owned();
        change(name, &|p| p.modulus_across_n_mm2 = Some(v.clone()));
    }
    if let Some(v) = fields::known("part.along_deg").number(ui, "", part.along_deg, &view.units) {
        change(document::name_of("part.along_deg").to_owned(), &|p| p.along_deg = v);
    }
    fields::row(ui, "", "", |ui| {
        if ui.link("one stiffness").clicked() {
            change("one stiffness".to_owned(), &|p| {
                p.modulus_across_n_mm2 = None;
                p.along_deg = 0.0;
            });
        }
    });
}

/// Nobody knows a stress that glass may have from its name: where none is stated none is held against.
fn allowable(ui: &mut Ui, view: &View, change: &mut Change<'_>) {
    let origin = view.part.allowable_n_mm2.as_ref().map_or("not stated", |held| held.origin.label());
    let shown = view.part.allowable_n_mm2.as_ref().map_or(0.0, |held| held.value);
    let row = fields::known("part.allowable_n_mm2").more(origin);
    if let Some(v) = row.number(ui, "", shown, &view.units) {
        let name = document::name_of("part.allowable_n_mm2").to_owned();
        change(name, &|p| p.allowable_n_mm2 = Some(fields::stated(v)));
    }
}
