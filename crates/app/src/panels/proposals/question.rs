//! The question, as a short form; the project keeps it.

use crate::{
    fields,
    view::{Action, View},
};
use document::{Edit, HowMany, Pattern, Prefer, Question};
use egui::Ui;
use std::sync::Arc;

/// Models listed under a search at most.
const LISTED: usize = 40;
/// Cups asked for at first when the number is fixed.
const SO_MANY: usize = 6;
/// Cups on one tool at most.
const MOST: u32 = 200;

pub(super) fn question_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) {
    let now = &view.project.question;
    let mut new = Question::clone(now);
    models_ui(ui, view, &mut new);
    count_ui(ui, view, &mut new);
    let mut patterns = vec![(None, "any pattern")];
    patterns.extend(Pattern::ALL.map(|pattern| (Some(pattern), pattern.name())));
    let why = "Arrangement of the cups. Any pattern tries all and shows the best of each";
    if let Some(pattern) = fields::choice(ui, "propose pattern", "Pattern", new.pattern, &patterns, why) {
        new.pattern = pattern;
    }
    let why = "The remaining cups hold every motion if any one cup fails, and no other fails with it";
    fields::tick(ui, "Held with one cup lost", &mut new.one_lost, why);
    let zones: std::collections::BTreeSet<&str> =
        view.layout.cups.iter().map(|cup| cup.zone.as_str()).collect();
    // Of several parts the zones follow from where the cups lie.
    if (zones.len() > 1 && view.layout.seats.len() < 2) || new.zone_lost {
        let why = "The same for any one zone; a new cup joins the zone of the nearest existing one";
        fields::tick(ui, "Held with one zone lost", &mut new.zone_lost, why);
    }
    if new.one_lost || new.zone_lost {
        let row = fields::known("question.lost_factor");
        if let Some(factor) = row.number(ui, "propose", new.lost_factor, &view.units) {
            new.lost_factor = factor;
        }
    }
    let why = "Required factors are met with every assumed input at its worst, not only as entered";
    fields::tick(ui, "Held with inputs at their worst", &mut new.low_end, why);
    if new.models.len() != 1 {
        let why = "Two models may be mixed in one layout; otherwise each layout has one";
        fields::tick(ui, "Mixed models", &mut new.mixed, why);
    }
    if let Some(step) = fields::known("question.step_mm").number(ui, "propose", new.step_mm, &view.units) {
        new.step_mm = step;
    }
    let spacing = new.spacing(&view.project.rules);
    if let Some(spacing) = fields::known("question.spacing_mm").number(ui, "propose", spacing, &view.units) {
        new.spacing_mm = Some(spacing);
    }
    let all = Prefer::ALL.map(|prefer| (prefer, prefer.name()));
    let why = "Sort order of layouts that meet the requirements";
    if let Some(prefer) = fields::choice(ui, "propose prefer", "Sort by", new.prefer, &all, why) {
        new.prefer = prefer;
    }
    if new != **now {
        actions.push(Action::Edit(Edit::Ask(Arc::new(new))));
    }
}

fn count_ui(ui: &mut Ui, view: &View, new: &mut Question) {
    let fewest = matches!(new.count, HowMany::Fewest { .. });
    let why = "The fewest that meet the requirements, or a fixed number";
    let all = [(true, "fewest"), (false, "fixed number")];
    if let Some(picked) = fields::choice(ui, "propose count", "How many", fewest, &all, why) {
        new.count = if picked { Question::default().count } else { HowMany::Exactly(SO_MANY) };
    }
    let of = Some("the proposal");
    let held = u32::try_from(new.count.most()).unwrap_or(MOST);
    match new.count {
        HowMany::Fewest { .. } => {
            let why = "Most cups to try when looking for the fewest";
            if let Some(most) =
                fields::count(ui, "propose most", "At most", of, held, (1, MOST), &view.units, why)
            {
                new.count = HowMany::Fewest { most: most as usize };
            }
        }
        HowMany::Exactly(_) => {
            if let Some(cups) =
                fields::count(ui, "propose cups", "Cups", of, held, (1, MOST), &view.units, why)
            {
                new.count = HowMany::Exactly(cups as usize);
            }
        }
    }
}

fn models_ui(ui: &mut Ui, view: &View, new: &mut Question) {
    let own = &view.project.models;
    let more = document::library().iter().filter(|model| own.iter().all(|held| held.id != model.id));
    let all: Vec<_> = own.iter().chain(more).collect();
    let shown = match new.models.as_slice() {
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
        if ui.selectable_label(new.models.is_empty(), "any that suit").clicked() {
            new.models.clear();
        }
        egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
            let named = |name: &str| words.split_whitespace().all(|word| name.to_lowercase().contains(word));
            for model in all.iter().filter(|model| named(&model.name)).take(LISTED) {
                let mut on = new.models.contains(&model.id);
                if ui.checkbox(&mut on, &model.name).changed() {
                    new.models.retain(|held| *held != model.id);
                    if on {
                        new.models.push(model.id.clone());
                    }
                }
            }
        });
        false
    });
}
