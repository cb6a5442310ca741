//! The "vacuum" key: circuits with what they were worked out from.

mod elements;
mod keys;

use super::network;
use super::supply::supply;
use super::{known, number, severity_word, triple};
use analysis::{
    ArrangementFigures, CircuitCup, CircuitReport, CircuitSlow, CircuitStatus, DesignFrom, HoseRow, OpenAt,
    Report,
};
use document::{Circuit, CupId, Project};
use elements::{dust, element};
pub(super) use keys::VacuumJson;
use keys::*;
use std::collections::HashMap;

pub(super) type Tags<'a> = HashMap<CupId, &'a str>;

pub(super) fn vacuum<'a>(project: &'a Project, report: &'a Report, tags: &Tags<'a>) -> VacuumJson<'a> {
    let circuits = report.circuits.iter();
    VacuumJson {
        flows_of: units::FlowUnit::LitrePerMinute.reference(),
        cycle: network::cycle(&project.cycle),
        circuits: circuits
            .map(|circuit| {
                self::circuit(circuit, project.circuit(circuit.id).map(AsRef::as_ref), project, tags)
            })
            .collect(),
    }
}

fn circuit<'a>(
    circuit: &'a CircuitReport,
    held: Option<&'a Circuit>,
    project: &'a Project,
    tags: &Tags<'a>,
) -> CircuitJson<'a> {
    let slow = circuit.slow.as_ref();
    CircuitJson {
        name: &circuit.name,
        status: circuit.status.word(),
        says: match &circuit.status {
            CircuitStatus::Undetermined(says) => vec![says.as_str()],
            CircuitStatus::Invalid(says) => says.iter().map(String::as_str).collect(),
            CircuitStatus::Stated | CircuitStatus::Solved | CircuitStatus::NotConverged => Vec::new(),
        },
        wanted_level_kpa: number(circuit.wanted_kpa),
        levels: circuit.design.map(|design| LevelsJson {
            steady_kpa: known(design.steady_kpa),
            design_kpa: known(design.design_kpa),
            alarm_kpa: known(design.alarm_kpa),
            switch_held_kpa: design.held_kpa.and_then(number),
            design_from: match design.from {
                DesignFrom::Switch => "switch",
                DesignFrom::Share => "share_of_steady",
                DesignFrom::Stated => "stated",
            },
        }),
        source_level_kpa: circuit.source_level_kpa.and_then(number),
        flow_nl_min: circuit.flow_nl_min.and_then(number),
        air_nl_min: circuit.air_nl_min.and_then(number),
        power_w: circuit.power_w.and_then(number),
        supply: held.and_then(|held| supply(held, project)),
        cups: circuit.cups.iter().map(|level| cup(level, slow, tags)).collect(),
        elements: circuit.elements.iter().map(|one| element(one, tags)).collect(),
        sources: circuit
            .sources
            .iter()
            .map(|source| CircuitSourceJson {
                name: &source.name,
                level_kpa: known(source.level_kpa),
                flow_nl_min: known(source.flow_nl_min),
                deepest_kpa: known(source.deepest_kpa),
                exhaust: source.exhaust.map(|exhaust| BackPressureJson {
                    back_pressure_kpa: known(exhaust.back_pressure_kpa),
                    flow_left: known(exhaust.flow_left),
                    level_left: known(exhaust.level_left),
                }),
                at_mm: source.at.filter(|at| at.is_finite()).map(triple),
                curve: points(&source.curve),
                leak_curve: points(&source.leak_curve),
            })
            .collect(),
        manifolds: circuit
            .manifolds
            .iter()
            .map(|manifold| ManifoldJson {
                name: &manifold.name,
                port_levels_kpa: manifold.ports.iter().map(|(_, level)| known(*level)).collect(),
            })
            .collect(),
        hoses: circuit.hoses.iter().map(hose).collect(),
        zones: circuit
            .zones
            .iter()
            .map(|row| ZoneJson {
                zone: &row.zone,
                cups: row.cups.iter().filter_map(|cup| tags.get(cup).copied()).collect(),
                valve: row.valve.as_deref(),
                check_valve: row.check_valve,
            })
            .collect(),
        air_nl_per_pick: slow.and_then(|slow| slow.air_nl_per_pick).and_then(number),
        energy_wh_per_pick: slow.and_then(|slow| slow.energy_wh_per_pick).and_then(number),
        energy_kwh_per_year: slow.and_then(|slow| slow.energy_kwh_per_year).and_then(number),
        cost_per_year: slow.and_then(|slow| slow.cost_per_year).and_then(number),
        hold_time_s: slow.and_then(|slow| slow.hold_s).and_then(number),
        hold_time_with_check_valve_s: slow.and_then(|slow| slow.hold_with_check_s).and_then(number),
        hold_level_share: slow.and_then(|slow| slow.hold_level_share).and_then(number),
        release_s: slow.and_then(|slow| slow.release_s).and_then(number),
        release_blow_off_s: slow.and_then(|slow| slow.release_blow_off_s).and_then(number),
        blow_off_nl_per_pick: slow.and_then(|slow| slow.blow_off_nl_per_pick).and_then(number),
        pick_s: slow.and_then(|slow| slow.pick_s).and_then(number),
        running_s: slow.and_then(|slow| slow.running_s).and_then(number),
        motors_run_s: slow.and_then(|slow| slow.motors_run_s).and_then(number),
        open_cups: slow.map(|slow| open_until(slow, tags)).unwrap_or_default(),
        one_cup_open: slow.map(|slow| open(slow, tags)).unwrap_or_default(),
        helps: slow.map(helps).unwrap_or_default(),
        arrangements: slow
            .and_then(|slow| slow.against.as_ref())
            .map(|against| vec![arrangement(&against.central), arrangement(&against.per_cup)])
            .unwrap_or_default(),
        controls: slow.and_then(|slow| slow.controls).map(|controls| ControlsJson {
            held_kpa: known(controls.held_kpa),
            alarm_kpa: known(controls.alarm_kpa),
            saving_off_kpa: known(controls.saving_off_kpa),
            held_s: controls.held_s.and_then(number),
            time_out_s: controls.time_out_s.and_then(number),
            hold_s: controls.hold_s.and_then(number),
        }),
        dust: slow.and_then(|slow| slow.dust.as_ref()).map(dust),
        network: slow.map(|slow| network::network(&slow.network, tags)),
    }
}

fn open_until<'a>(slow: &CircuitSlow, tags: &Tags<'a>) -> Vec<OpenUntilJson<'a>> {
    let each = slow.open_until.iter().map(|until| {
        let says = until.what.says();
        match &until.at {
            OpenAt::With(cups) => OpenUntilJson {
                says,
                number: Some(cups.len()),
                cups: Some(cups.iter().filter_map(|cup| tags.get(cup).copied()).collect()),
                none: None,
            },
            OpenAt::Never => OpenUntilJson { says, number: None, cups: None, none: Some("never") },
            OpenAt::NoFigure => OpenUntilJson { says, number: None, cups: None, none: Some("no motion") },
        }
    });
    each.collect()
}

fn points(curve: &[(f64, f64)]) -> Vec<[f64; 2]> {
    curve.iter().map(|(level, flow)| [known(*level), known(*flow)]).collect()
}

fn cup<'a>(cup: &CircuitCup, slow: Option<&CircuitSlow>, tags: &Tags<'a>) -> CircuitCupJson<'a> {
    let curve = slow.and_then(|slow| slow.evacuation.iter().find(|curve| curve.cup == cup.id));
    CircuitCupJson {
        tag: tags.get(&cup.id).copied().unwrap_or_default(),
        level_kpa: known(cup.level_kpa),
        design_level_kpa: known(cup.design_kpa),
        against_wanted: severity_word(cup.against_wanted),
        leak_nl_min: known(cup.leak_nl_min),
        time_to_level_s: curve.and_then(|curve| curve.to_90_s).and_then(number),
        cells: cup.cells.map(|cells| cells.all),
        cells_open: cup.cells.map(|cells| cells.open),
        cells_closed: cup.cells.map(|cells| cells.closed),
    }
}

fn hose(hose: &HoseRow) -> HoseJson<'_> {
    HoseJson {
        name: &hose.name,
        from: &hose.from,
        to: &hose.to,
        bore_mm: number(hose.bore_mm),
        cut_length_mm: number(hose.cut_length_mm),
        fittings: hose.fittings.to_string(),
    }
}

fn open<'a>(slow: &CircuitSlow, tags: &Tags<'a>) -> Vec<OpenJson<'a>> {
    let tag = |cup: CupId| tags.get(&cup).copied().unwrap_or_default();
    slow.open
        .iter()
        .map(|open| OpenJson {
            tag: tag(open.cup),
            least_level_kpa: known(open.least_level_kpa),
            least_at: tag(open.least_at),
            then_lost: open.then_lost.iter().map(|cup| tag(*cup)).collect(),
            holds: open.holds,
        })
        .collect()
}

fn helps(slow: &CircuitSlow) -> Vec<HelpJson> {
    slow.helps
        .iter()
        .map(|help| HelpJson {
            what: help.change.says(&units::UnitChoice::default()),
            worst_level_kpa_from: known(help.worst_level_kpa_from),
            worst_level_kpa_to: known(help.worst_level_kpa_to),
            open_level_kpa_from: help.open_level_kpa_from.and_then(number),
            open_level_kpa_to: help.open_level_kpa_to.and_then(number),
        })
        .collect()
}

fn arrangement(figures: &ArrangementFigures) -> ArrangementJson<'_> {
    ArrangementJson {
        name: &figures.name,
        sources: figures.sources,
        worst_level_kpa: known(figures.worst_level_kpa),
        time_to_level_s: figures.to_90_s.and_then(number),
        air_nl_per_pick: known(figures.air_nl_per_pick),
        air_nl_per_pick_saving: known(figures.air_nl_per_pick_saving),
        energy_kwh_per_year: known(figures.energy_kwh_per_year),
        energy_kwh_per_year_saving: known(figures.energy_kwh_per_year_saving),
        cost_per_year: known(figures.cost_per_year),
        cost_per_year_saving: known(figures.cost_per_year_saving),
    }
}
