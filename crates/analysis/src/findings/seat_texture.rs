//! `seat.texture`: a cup model on a surface it is not meant for.
//!
//! Why: a lip made for smooth sheet leaks on structured or porous surfaces, and some lips mark or suck in a film.
//! Limit: watched when the part's surface is not among those the model is stated for. Remedy: a model that is.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use document::{CupModel, Texture};
use std::sync::Arc;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.texture",
    title: "Surface the cup is not meant for",
    explains: "Each model states the surfaces its lip seals on; on another it may leak, mark the part or \
        suck film in.",
    fail: "",
    watch: "the part's surface is not among those stated for the model",
    remedy: "a model stated for the surface",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part else { return };
    let texture = part.surface.texture;
    for (model, cups) in facts.by_model() {
        if model.allowed.is_empty() || model.allowed.contains(&texture) {
            continue;
        }
        let allowed: Vec<String> = model.allowed.iter().map(|t| word(*t).to_owned()).collect();
        let says = format!(
            "{} has a {} surface; {} ({}) is meant for {}.",
            part.name,
            word(texture),
            model.name,
            facts.tags(&cups),
            words::list(&allowed),
        );
        let other = suited(&facts.project.models, model, texture)
            .or_else(|| suited(document::library(), model, texture));
        let remedy = match other {
            Some(other) => {
                format!("Use {}, or try this lip on the real part and accept the finding.", other.name)
            }
            None => {
                "Try this lip on the real part and accept the finding, or use a lip made for the surface."
                    .to_owned()
            }
        };
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups(cups.iter().map(|index| facts.cups[*index].id))
                .remedy(remedy),
        );
    }
}

fn word(texture: Texture) -> &'static str {
    match texture {
        Texture::Smooth => "smooth",
        Texture::Structured => "structured",
        Texture::Porous => "porous",
        Texture::Film => "film",
    }
}

fn suited<'m>(models: &'m [Arc<CupModel>], like: &CupModel, texture: Texture) -> Option<&'m CupModel> {
    let kind = std::mem::discriminant(&like.shape);
    let away = |m: &CupModel| (m.shape.size().max_element() - like.shape.size().max_element()).abs();
    models
        .iter()
        .map(Arc::as_ref)
        .filter(|model| std::mem::discriminant(&model.shape) == kind && model.allowed.contains(&texture))
        .min_by(|a, b| away(a).total_cmp(&away(b)).then_with(|| a.id.cmp(&b.id)))
}
