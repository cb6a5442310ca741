//! The "supply" key of a circuit: what feeds it, as it was stated.

use super::network::{self, OperationJson};
use super::{known, number};
use document::{Arrangement, Circuit, FittingLoss, Project, SourceKind};
use serde::Serialize;
use serde_with::skip_serializing_none;

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct SupplyJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    source: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["ejector", "pump", "blower"])))]
    kind: &'static str,
    #[cfg_attr(test, schemars(extend("enum" = ["central", "per_cup", "in_line"])))]
    arrangement: &'static str,
    /// Side by side at the central place.
    #[cfg_attr(test, schemars(range(min = 1)))]
    sources: u32,
    /// Above the atmosphere.
    feed_kpa: Option<f64>,
    lip_gap_um: Option<f64>,
    check_valve_at_cup: bool,
    /// Method for the loss of fittings; larger: the largest of the three for each fitting.
    #[cfg_attr(test, schemars(extend("enum" = ["larger", "table", "2-K", "3-K"])))]
    fitting_loss: &'static str,
    restrictor: Option<RestrictionJson>,
    filter: Option<RestrictionJson>,
    filter_at_cup: Option<RestrictionJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    valves: Vec<ValveJson<'a>>,
    /// Cells of an area gripper in one cup, with the restrictor of each.
    area_gripper: Option<CellsJson>,
    cell_closing: Option<ClosingJson>,
    /// Operation of the circuit.
    operation: OperationJson,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct CellsJson {
    count: u32,
    bore_mm: f64,
    #[serde(flatten)]
    restrictor: RestrictionJson,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ClosingJson {
    at_nl_min: f64,
    leak_nl_min: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct RestrictionJson {
    c_dm3_s_bar: f64,
    b: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ValveJson<'a> {
    zone: &'a str,
    #[serde(flatten)]
    restriction: RestrictionJson,
    check_valve: bool,
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
        valves: supply
            .valves
            .iter()
            .map(|valve| ValveJson {
                zone: &valve.zone,
                restriction: restriction(valve.restriction),
                check_valve: valve.check_valve,
            })
            .collect(),
        area_gripper: supply.area_gripper.map(|cells| CellsJson {
            count: cells.count,
            bore_mm: known(cells.bore_mm),
            restrictor: restriction(cells.restrictor),
        }),
        cell_closing: supply.cell_closing.as_ref().map(|closing| ClosingJson {
            at_nl_min: known(closing.at_nl_min.value),
            leak_nl_min: known(closing.leak_nl_min.value),
        }),
        operation: network::operation(supply, model.kind, model.air_saving),
    })
}
