//! `seat.compliance`: the part is more uneven than the cups can follow.
//!
//! Why: a cup that cannot travel as far as the heights differ does not touch, and what does not touch does not seal.
//! Limit: fails when the height variation stated for the part is more than the model's travel. Remedy: bellows, and
//! how many folds.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use document::CupModel;
use geometry::LipShape;
use std::sync::Arc;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.compliance",
    title: "Height variation exceeds the cup's travel",
    explains: "Every lip must reach the surface: where heights differ by more than the travel, some lips do not touch.",
    fail: "height variation above the model's travel",
    watch: "",
    remedy: "a bellows model with enough folds",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part else { return };
    for (model, cups) in facts.by_model() {
        if part.uneven_mm <= model.travel_mm.value {
            continue;
        }
        let says = format!(
            "{} varies in height by {}; {} ({}) has {} of travel.",
            part.name,
            facts.words.length(part.uneven_mm),
            model.name,
            facts.tags(&cups),
            facts.words.length(model.travel_mm.value),
        );
        out.push(
            Draft::new(INFO.id, Severity::Fail, says)
                .cups(cups.iter().map(|index| facts.cups[*index].id))
                .figure(part.uneven_mm, model.travel_mm.value, Quantity::Length)
                .remedy(remedy(facts, model, part.uneven_mm))
                .off(part.uneven_mm / model.travel_mm.value.max(1e-3) - 1.0),
        );
    }
}

/// A model of the same kind with enough travel, the nearest in size.
fn remedy(facts: &Facts<'_>, model: &CupModel, uneven: f64) -> String {
    let found =
        enough(&facts.project.models, model, uneven).or_else(|| enough(document::library(), model, uneven));
    match found {
        Some(other) if other.folds > model.folds => {
            let folds = if other.folds == 1 { "1 fold".to_owned() } else { format!("{} folds", other.folds) };
            format!(
                "Use bellows: {} with {folds} has {} of travel.",
                other.name,
                facts.words.length(other.travel_mm.value)
            )
        }
        Some(other) => {
            format!("Use {}, which has {} of travel.", other.name, facts.words.length(other.travel_mm.value))
        }
        None => format!(
            "Use a model with at least {} of travel, or spring-mounted posts.",
            facts.words.length(uneven)
        ),
    }
}

fn enough<'m>(models: &'m [Arc<CupModel>], like: &CupModel, travel: f64) -> Option<&'m CupModel> {
    let kind = std::mem::discriminant(&like.shape);
    let size = |shape: &LipShape| shape.size().max_element();
    models
        .iter()
        .map(Arc::as_ref)
        .filter(|model| std::mem::discriminant(&model.shape) == kind && model.travel_mm.value >= travel)
        .min_by(|a, b| {
            let away = |m: &CupModel| (size(&m.shape) - size(&like.shape)).abs();
            away(a).total_cmp(&away(b)).then(a.folds.cmp(&b.folds)).then_with(|| a.id.cmp(&b.id))
        })
}
