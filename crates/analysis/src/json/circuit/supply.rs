//! What a circuit is made of, what each element loses, and what dust makes of it.

use super::{Tags, known, number, points};
use crate::report::{CircuitElement, DustReport};
use document::{Arrangement, Circuit, FittingLoss, Project, SourceKind};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct SupplyJson<'a> {
    source: &'a str,
    kind: &'static str,
    arrangement: &'static str,
    sources: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    feed_kpa: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lip_gap_um: Option<f64>,
    check_valve_at_cup: bool,
    fitting_loss: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    restrictor: Option<RestrictionJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    filter: Option<RestrictionJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    filter_at_cup: Option<RestrictionJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cell_closing: Option<ClosingJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    valves: Vec<ValveJson<'a>>,
}

#[derive(Serialize)]
struct RestrictionJson {
    c_dm3_s_bar: f64,
    b: f64,
}

#[derive(Serialize)]
struct ValveJson<'a> {
    zone: &'a str,
    #[serde(flatten)]
    restriction: RestrictionJson,
    check_valve: bool,
}

#[derive(Serialize)]
struct ClosingJson {
    at_nl_min: f64,
    leak_nl_min: f64,
}

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

pub(super) fn supply<'a>(circuit: &'a Circuit, project: &'a Project) -> Option<SupplyJson<'a>> {
    let supply = circuit.supply.as_deref()?;
    let model = project.source(&supply.source)?;
    let restriction = |stated: document::Restriction| RestrictionJson {
        c_dm3_s_bar: known(stated.c_dm3_s_bar),
        b: known(stated.b),
    };
    Some(SupplyJson {
        source: &model.name,
        kind: match model.kind {
            SourceKind::Ejector => "ejector",
            SourceKind::Pump => "pump",
            SourceKind::Blower => "blower",
        },
        arrangement: match supply.arrangement {
            Arrangement::Central => "central",
            Arrangement::PerCup => "per_cup",
            Arrangement::InLine => "in_line",
        },
        sources: if supply.arrangement == Arrangement::Central { supply.sources } else { 1 },
        feed_kpa: (model.kind == SourceKind::Ejector).then(|| number(supply.feed_kpa.value)).flatten(),
        lip_gap_um: number(supply.lip_gap_um.value),
        check_valve_at_cup: supply.check_valve_at_cup,
        fitting_loss: match supply.fitting_loss {
            FittingLoss::MoreCareful => "larger",
            FittingLoss::Table => "table",
            FittingLoss::TwoConstant => "2-K",
            FittingLoss::ThreeConstant => "3-K",
        },
        restrictor: supply.restrictor.map(restriction),
        filter: supply.filter.map(restriction),
        filter_at_cup: supply.filter_at_cup.map(restriction),
        cell_closing: supply.cell_closing.as_ref().map(|closing| ClosingJson {
            at_nl_min: known(closing.at_nl_min.value),
            leak_nl_min: known(closing.leak_nl_min.value),
        }),
        valves: supply
            .valves
            .iter()
            .map(|valve| ValveJson {
                zone: &valve.zone,
                restriction: restriction(valve.restriction),
                check_valve: valve.check_valve,
            })
            .collect(),
    })
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
        regime: element.regime,
    }
}
