//! What each element of a circuit loses, and what dust makes of its level.

use super::{Tags, known, number, points};
use analysis::{CircuitElement, DustReport};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct DustJson {
    needed_level_kpa: f64,
    cleaned_h: f64,
    /// The longest time between cleanings that keeps the level; without it the level is kept as far as `level_curve` goes.
    #[serde(skip_serializing_if = "Option::is_none")]
    keeps_h: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_at_cleaning_kpa: Option<f64>,
    /// Hours and level at the worst cup.
    level_curve: Vec<[f64; 2]>,
}

#[derive(Serialize)]
pub(super) struct ElementJson<'a> {
    name: &'a str,
    what: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    cup: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    zone: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bore_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    method: Option<&'static str>,
    flow_nl_min: f64,
    loss_kpa: f64,
    regime: &'static str,
}

pub(super) fn dust(dust: &DustReport) -> DustJson {
    DustJson {
        needed_level_kpa: known(dust.needed_kpa),
        cleaned_h: known(dust.cleaned_h),
        keeps_h: dust.keeps_h.and_then(number),
        level_at_cleaning_kpa: dust.level_at_cleaning_kpa.and_then(number),
        level_curve: points(&dust.points),
    }
}

pub(super) fn element<'a>(element: &'a CircuitElement, tags: &Tags<'a>) -> ElementJson<'a> {
    ElementJson {
        name: &element.name,
        what: &element.what,
        cup: element.cup.and_then(|cup| tags.get(&cup).copied()),
        zone: element.zone.as_deref(),
        length_mm: element.length_mm.and_then(number),
        bore_mm: element.bore_mm.and_then(number),
        method: element.method,
        flow_nl_min: known(element.flow_nl_min),
        loss_kpa: known(element.loss_kpa),
        regime: element.regime.word(),
    }
}
