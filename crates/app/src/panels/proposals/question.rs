//! The question, as a short form.

use crate::{fields, view::View};
use analysis::{HowMany, Pattern, Wish};
use document::{ModelId, Project};
use egui::Ui;
use units::Quantity;

/// Models listed under a search at most.
const LISTED: usize = 40;

/// What the form of a question remembers between frames.
pub struct ProposeForm {
    /// Whether the panel is shown.
    pub open: bool,
    /// Models that may be used; any that suit where there are none.
    models: Vec<ModelId>,
    fewest: bool,
    cups: u32,
    pattern: Option<Pattern>,
    one_lost: bool,
    zone_lost: bool,
    mixed: bool,
    step_mm: f64,
    spacing_mm: Option<f64>,
}

impl Default for ProposeForm {
    fn default() -> Self {
        Self {
            open: false,
            models: Vec::new(),
            fewest: true,
            cups: 6,
            pattern: None,
            one_lost: false,
            zone_lost: false,
            mixed: false,
            step_mm: 5.0,
            spacing_mm: None,
        }
    }
}

impl ProposeForm {
    /// The question as it stands.
    pub fn wish(&self, project: &Project) -> Wish {
        let usual = Wish::of(project);
        Wish {
            models: self.models.clone(),
            count: if self.fewest { usual.count } else { HowMany::Exactly(self.cups as usize) },
            pattern: self.pattern,
            one_lost: self.one_lost,
            zone_lost: self.zone_lost,
            mixed: self.mixed && self.models.len() != 1,
            step_mm: self.step_mm,
            spacing_mm: self.spacing_mm.unwrap_or(usual.spacing_mm),
            ..usual
        }
    }
}

pub(super) fn question_ui(ui: &mut Ui, view: &View, form: &mut ProposeForm) {
    models_ui(ui, view, form);
    let why = "The fewest that meet the requirements, or a fixed number";
    if let Some(fewest) = fields::choice(
        ui,
        "propose count",
        "How many",
        form.fewest,
        &[(true, "fewest"), (false, "fixed number")],
        why,
    ) {
        form.fewest = fewest;
    }
    if !form.fewest
        && let Some(cups) = fields::count(
            ui,
            "propose cups",
            "Cups",
            Some("the proposal"),
            form.cups,
            (1, 60),
            &view.units,
            why,
        )
    {
        form.cups = cups;
    }
    let mut patterns = vec![(None, "any pattern")];
    patterns.extend(Pattern::ALL.map(|pattern| (Some(pattern), pattern.name())));
    let why = "Arrangement of the cups. Any pattern tries all and shows the best of each";
    if let Some(pattern) = fields::choice(ui, "propose pattern", "Pattern", form.pattern, &patterns, why) {
        form.pattern = pattern;
    }
    let why = "The remaining cups hold every motion if any one cup fails, and no other fails with it";
    fields::tick(ui, "Held with one cup lost", &mut form.one_lost, why);
    let zones: std::collections::BTreeSet<&str> =
        view.layout.cups.iter().map(|cup| cup.zone.as_str()).collect();
    if zones.len() > 1 {
        let why = "The same for any one zone; a new cup joins the zone of the nearest existing one";
        fields::tick(ui, "Held with one zone lost", &mut form.zone_lost, why);
    }
    if form.models.len() != 1 {
        let why = "Two models may be mixed in one layout; otherwise each layout has one";
        fields::tick(ui, "Mixed models", &mut form.mixed, why);
    }
    let why = "Positions are multiples of this, so that holes have round dimensions";
    let bounds = (0.5, 100.0);
    if let Some(step) = fields::within(
        ui,
        "propose step",
        "Grid step",
        form.step_mm,
        Quantity::Length,
        bounds,
        &view.units,
        why,
    ) {
        form.step_mm = step;
    }
    let why = "Smallest gap between the lips of two cups; fittings may need more";
    let spacing = form.spacing_mm.unwrap_or(view.project.rules.gap_watch_mm.max(0.0));
    let bounds = (0.0, 1000.0);
    if let Some(spacing) = fields::within(
        ui,
        "propose spacing",
        "Gap between lips",
        spacing,
        Quantity::Length,
        bounds,
        &view.units,
        why,
    ) {
        form.spacing_mm = Some(spacing);
    }
}

fn models_ui(ui: &mut Ui, view: &View, form: &mut ProposeForm) {
    let own = &view.project.models;
    let more = document::library().iter().filter(|model| own.iter().all(|held| held.id != model.id));
    let all: Vec<_> = own.iter().chain(more).collect();
    let shown = match form.models.as_slice() {
        [] => "any that suit".to_owned(),
        [one] => {
            all.iter().find(|model| model.id == *one).map_or("?", |model| model.name.as_str()).to_owned()
        }
        several => format!("{} models", several.len()),
    };
    let why = "Cup models that may be used; with none chosen, any that suit the surface, the height \
        variation and the space";
    fields::search_combo(ui, "propose models", "Models", &shown, why, "name or size", |ui, words, _| {
        let words = words.to_lowercase();
        if ui.selectable_label(form.models.is_empty(), "any that suit").clicked() {
            form.models.clear();
        }
        egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
            let named = |name: &str| words.split_whitespace().all(|word| name.to_lowercase().contains(word));
            for model in all.iter().filter(|model| named(&model.name)).take(LISTED) {
                let mut on = form.models.contains(&model.id);
                if ui.checkbox(&mut on, &model.name).changed() {
                    form.models.retain(|held| *held != model.id);
                    if on {
                        form.models.push(model.id.clone());
                    }
                }
            }
        });
        false
    });
}
