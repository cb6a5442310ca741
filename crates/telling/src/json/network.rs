//! What times and costs of a circuit follow from: the network as it was solved, how it is run, the cycle and its prices.

use super::{known, number};
use analysis::{CircuitNetwork, NetworkLeak, NetworkThrough};
use document::{Cycle, Operation, SourceKind, Supply};
use serde::Serialize;
use serde_with::skip_serializing_none;

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct CycleJson<'a> {
    picks_per_hour: Option<f64>,
    hold_s: Option<f64>,
    hours_per_year: Option<f64>,
    air_price_per_m3: Option<f64>,
    energy_price_per_kwh: Option<f64>,
    compressor_kwh_per_m3: Option<f64>,
    currency: &'a str,
}

pub(super) fn cycle(cycle: &Cycle) -> CycleJson<'_> {
    CycleJson {
        picks_per_hour: number(cycle.picks_per_hour.value),
        hold_s: number(cycle.hold_s.value),
        hours_per_year: number(cycle.hours_per_year.value),
        air_price_per_m3: number(cycle.air_price_per_m3.value),
        energy_price_per_kwh: number(cycle.energy_price_per_kwh.value),
        compressor_kwh_per_m3: number(cycle.compressor_kwh_per_m3.value),
        currency: &cycle.currency,
    }
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ThroughJson {
    #[cfg_attr(test, schemars(range(min = 0)))]
    c_dm3_s_bar: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    b: f64,
}

fn through(of: NetworkThrough) -> ThroughJson {
    ThroughJson { c_dm3_s_bar: known(of.c_dm3_s_bar), b: known(of.b) }
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct OperationJson {
    /// From the signal until air flows or stops.
    valve_s: Option<f64>,
    /// From the level at the switch until the controller sees it.
    switch_s: Option<f64>,
    /// Motors stop between cycles; else they run through the cycle.
    motors_stop: bool,
    /// A vacuum switch stops the air while check valves hold the level.
    air_saving: bool,
    vessel_ml: Option<f64>,
    /// Leakage back through each check valve at check_leak_at_kpa behind it, the standard atmosphere in front.
    check_leak_nl_min: Option<f64>,
    check_leak_at_kpa: Option<f64>,
    /// The blow-off valve; absent without one.
    blow_off: Option<BlowOffJson>,
    /// Behind each ejector; its effect is in the sources of the network.
    exhaust: Option<ExhaustHoseJson>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct BlowOffJson {
    #[serde(flatten)]
    through: ThroughJson,
    /// Above the atmosphere.
    feed_kpa: f64,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ExhaustHoseJson {
    bore_mm: f64,
    length_mm: f64,
    /// At the end of the hose.
    silencer: Option<ThroughJson>,
    flow_loss_per_kpa: f64,
    level_loss_per_kpa: f64,
}

pub(super) fn operation(supply: &Supply, kind: SourceKind, air_saving: bool) -> OperationJson {
    let Operation { valve_s, switch_s, motors_stop, vessel_ml, check_leak_nl_min, check_leak_at_kpa, .. } =
        &supply.operation;
    let stated = |r: document::Restriction| ThroughJson { c_dm3_s_bar: known(r.c_dm3_s_bar), b: known(r.b) };
    OperationJson {
        valve_s: number(valve_s.value),
        switch_s: number(switch_s.value),
        motors_stop: *motors_stop,
        air_saving,
        vessel_ml: number(*vessel_ml),
        check_leak_nl_min: number(check_leak_nl_min.value),
        check_leak_at_kpa: number(*check_leak_at_kpa),
        blow_off: supply
            .operation
            .blow_off
            .of(kind)
            .map(|(valve, feed_kpa)| BlowOffJson { through: stated(valve), feed_kpa: known(feed_kpa) }),
        exhaust: supply.operation.exhaust.as_ref().map(|exhaust| ExhaustHoseJson {
            bore_mm: known(exhaust.bore_mm),
            length_mm: known(exhaust.length_mm),
            silencer: exhaust.silencer.map(stated),
            flow_loss_per_kpa: known(exhaust.flow_loss_per_kpa.value),
            level_loss_per_kpa: known(exhaust.level_loss_per_kpa.value),
        }),
    }
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct NetworkJson<'a> {
    #[cfg_attr(test, schemars(range(min = 0)))]
    atmosphere_kpa: f64,
    temperature_c: f64,
    nodes: Vec<NodeJson<'a>>,
    ways: Vec<WayJson<'a>>,
    cups: Vec<NetworkCupJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    holes: Vec<HoleJson<'a>>,
    sources: Vec<NetworkSourceJson<'a>>,
    releases: Vec<ReleaseJson<'a>>,
    /// Opening that a source's own check valve leaves.
    source_check_leak: Option<ThroughJson>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct NodeJson<'a> {
    name: &'a str,
    /// Air besides hoses and cups; half of each hose is added.
    #[cfg_attr(test, schemars(range(min = 0)))]
    volume_ml: f64,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct WayJson<'a> {
    name: &'a str,
    /// Node on the cups' side.
    from: &'a str,
    to: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["hose", "restrictor", "filter", "valve", "check valve"])))]
    kind: &'static str,
    length_mm: Option<f64>,
    bore_mm: Option<f64>,
    roughness_mm: Option<f64>,
    coil_length_mm: Option<f64>,
    coil_diameter_mm: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    losses: Vec<LossJson>,
    /// The air's acceleration is counted at the narrowest bore, and it chokes.
    kinetic: bool,
    c_dm3_s_bar: Option<f64>,
    b: Option<f64>,
    check_leak_nl_min: Option<f64>,
    check_leak_at_kpa: Option<f64>,
}

/// k + k_low/Re velocity heads at its own bore.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct LossJson {
    k: f64,
    k_low: f64,
    bore_mm: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct NetworkCupJson<'a> {
    tag: &'a str,
    node: &'a str,
    /// Air inside at rest.
    #[cfg_attr(test, schemars(range(min = 0)))]
    free_ml: f64,
    /// With its travel given.
    #[cfg_attr(test, schemars(range(min = 0)))]
    held_ml: f64,
    /// Level at which it is; what is left of the difference goes with (1 - level/down_at)².
    down_at_kpa: f64,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    leaks: Vec<LeakJson>,
}

#[derive(Serialize)]
#[serde(untagged)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum LeakJson {
    Porous { permeance_um_pa_s: f64, area_mm2: f64 },
    LipGap { length_mm: f64, gap_mm: f64, lip_width_mm: f64 },
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct HoleJson<'a> {
    node: &'a str,
    bore_mm: f64,
    discharge: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct NetworkSourceJson<'a> {
    name: &'a str,
    node: &'a str,
    free_flow_nl_min: f64,
    deepest_kpa: f64,
    /// Share of the deepest level, share of the free flow drawn at it; straight pieces between.
    shape: Vec<[f64; 2]>,
    /// Compressed air it uses.
    air_nl_min: f64,
    power_w: f64,
    /// Through it once it stands still without a check valve.
    way_back: ThroughJson,
}

/// Where air is let in or blown in.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ReleaseJson<'a> {
    node: &'a str,
    /// The valve that opens to the outside there.
    vent: Option<ThroughJson>,
}

pub(super) fn network<'a>(of: &'a CircuitNetwork, tags: &super::circuit::Tags<'a>) -> NetworkJson<'a> {
    NetworkJson {
        atmosphere_kpa: known(of.atmosphere_kpa),
        temperature_c: known(of.temperature_c),
        nodes: of
            .nodes
            .iter()
            .map(|node| NodeJson { name: &node.name, volume_ml: known(node.volume_ml) })
            .collect(),
        ways: of.ways.iter().map(way).collect(),
        cups: of
            .cups
            .iter()
            .map(|cup| NetworkCupJson {
                tag: tags.get(&cup.id).copied().unwrap_or_default(),
                node: &cup.node,
                free_ml: known(cup.free_ml),
                held_ml: known(cup.held_ml),
                down_at_kpa: known(cup.down_at_kpa),
                leaks: cup.leaks.iter().map(|leak| self::leak(*leak)).collect(),
            })
            .collect(),
        holes: of
            .holes
            .iter()
            .map(|(node, bore_mm, discharge)| HoleJson {
                node,
                bore_mm: known(*bore_mm),
                discharge: known(*discharge),
            })
            .collect(),
        sources: of.sources.iter().map(source).collect(),
        releases: of
            .releases
            .iter()
            .map(|release| ReleaseJson { node: &release.node, vent: release.vent.map(through) })
            .collect(),
        source_check_leak: of.source_check_leak.map(through),
    }
}

fn way(way: &analysis::NetworkWay) -> WayJson<'_> {
    let hose = way.hose;
    WayJson {
        name: &way.name,
        from: &way.from,
        to: &way.to,
        kind: way.kind,
        length_mm: hose.and_then(|hose| number(hose.length_mm)),
        bore_mm: hose.and_then(|hose| number(hose.bore_mm)),
        roughness_mm: hose.and_then(|hose| number(hose.roughness_mm)),
        coil_length_mm: hose.and_then(|hose| hose.coil_mm).and_then(|coil| number(coil.0)),
        coil_diameter_mm: hose.and_then(|hose| hose.coil_mm).and_then(|coil| number(coil.1)),
        losses: way
            .losses
            .iter()
            .map(|loss| LossJson { k: known(loss.k), k_low: known(loss.k_low), bore_mm: known(loss.bore_mm) })
            .collect(),
        kinetic: way.kinetic,
        c_dm3_s_bar: way.through.and_then(|through| number(through.c_dm3_s_bar)),
        b: way.through.and_then(|through| number(through.b)),
        check_leak_nl_min: way.seep.and_then(|seep| number(seep.0)),
        check_leak_at_kpa: way.seep.and_then(|seep| number(seep.1)),
    }
}

fn leak(leak: NetworkLeak) -> LeakJson {
    match leak {
        NetworkLeak::Porous(permeance, area) => {
            LeakJson::Porous { permeance_um_pa_s: known(permeance), area_mm2: known(area) }
        }
        NetworkLeak::LipGap(length, gap, width) => {
            LeakJson::LipGap { length_mm: known(length), gap_mm: known(gap), lip_width_mm: known(width) }
        }
    }
}

fn source(source: &analysis::NetworkSource) -> NetworkSourceJson<'_> {
    NetworkSourceJson {
        name: &source.name,
        node: &source.node,
        free_flow_nl_min: known(source.free_flow_nl_min),
        deepest_kpa: known(source.deepest_kpa),
        shape: source.shape.iter().map(|(level, flow)| [known(*level), known(*flow)]).collect(),
        air_nl_min: known(source.air_nl_min),
        power_w: known(source.power_w),
        way_back: through(source.way_back),
    }
}
