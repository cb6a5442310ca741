//! What each element of a circuit loses, and what dust makes of its level.

use super::{Tags, known, number, points};
use analysis::{CircuitElement, DustReport};
use serde::Serialize;
use serde_with::skip_serializing_none;

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct DustJson {
    #[cfg_attr(test, schemars(range(min = 0)))]
    needed_level_kpa: f64,
    /// As stated.
    #[cfg_attr(test, schemars(range(min = 0)))]
    cleaned_h: f64,
    /// Longest time between cleanings that keeps the level; missing where it is kept to the end of the curve.
    #[cfg_attr(test, schemars(range(min = 0)))]
    keeps_h: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    level_at_cleaning_kpa: Option<f64>,
    /// Hours, kPa.
    level_curve: Vec<[f64; 2]>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct ElementJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    name: &'a str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    what: String,
    #[cfg_attr(test, schemars(length(min = 1)))]
    cup: Option<&'a str>,
    zone: Option<&'a str>,
    length_mm: Option<f64>,
    bore_mm: Option<f64>,
    /// Method for the loss of a fitting; not for a stated conductance.
    #[cfg_attr(test, schemars(extend("enum" = ["table", "2-K", "3-K", "K 0.5"])))]
    method: Option<&'static str>,
    /// Towards the source.
    flow_nl_min: f64,
    loss_kpa: f64,
    #[cfg_attr(test, schemars(extend("enum" = ["laminar", "transition", "turbulent", "choked", "closed"])))]
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
        what: element.what.to_string(),
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
