//! What one change would give, each really solved again.

use super::{
    coupling::SnapshotCircuit,
    lower::{self, Built},
    slow::MOST_TRIED,
};
use crate::report::{HelpChange, HelpReport, HosePart};
use document::SourceKind;
use vacuum::{ElementId, ElementKind, Network};

/// A restrictor that lets a tight cup evacuate and keeps an open one from emptying the rest, dm³/(s·bar) (common
/// practice, no source).
const RESTRICTOR: document::Restriction = document::Restriction { c_dm3_s_bar: 0.3, b: 0.5 };
/// Hoses are tried this much shorter.
pub(super) const SHORTER: f64 = 0.75;
/// What raises no level by this much is left out, kPa.
const TOLD_KPA: f64 = 0.05;

/// A change, and the network with it.
type Tried = (HelpChange, Network);

/// Every change that applies, those first that help the worst cup most. Each is solved on the circuit that the document has
/// once the change is taken.
pub(crate) fn of(circuit: &SnapshotCircuit, built: &Built) -> Vec<HelpReport> {
    let network = &built.network;
    let supply = &circuit.input.supply.0;
    let mut changes = of_hoses(built);
    changes.push(HelpChange::FedAtBothEnds);
    if supply.restrictor.is_none() && supply.area_gripper.is_none() {
        changes.push(HelpChange::Restrictors(RESTRICTOR));
    }
    changes.push(HelpChange::CheckValves);
    changes.push(HelpChange::SourceAtCups);
    changes.extend(best_feed(circuit));
    let tried: Vec<Tried> = changes
        .into_iter()
        .filter_map(|change| Some((change.clone(), made(circuit, built, &change)?)))
        .collect();
    // Every cup open in turn, for every change, takes too long for many cups.
    let with_one_open = network.spec().cups().len() <= MOST_TRIED;
    let (changes, networks): (Vec<HelpChange>, Vec<Network>) = tried.into_iter().unzip();
    let outcomes = vacuum::rank(network, &networks, with_one_open);
    let before = circuit.levels().fold(f64::INFINITY, f64::min);
    outcomes
        .into_iter()
        .filter_map(|outcome| {
            let open_to = outcome.worst_with_one_open.map(|level| level.kpa());
            Some(HelpReport {
                change: changes.get(outcome.change)?.clone(),
                worst_level_kpa_from: before,
                worst_level_kpa_to: outcome.worst_level.kpa(),
                open_level_kpa_from: open_to.zip(outcome.gain_with_one_open_kpa).map(|(to, gain)| to - gain),
                open_level_kpa_to: open_to,
            })
        })
        .filter(|help| {
            let helps = |from: f64, to: f64| to - from >= TOLD_KPA;
            helps(help.worst_level_kpa_from, help.worst_level_kpa_to)
                || help
                    .open_level_kpa_from
                    .zip(help.open_level_kpa_to)
                    .is_some_and(|(from, to)| helps(from, to))
        })
        .collect()
}

/// Elements of one kind in a circuit, with what they are.
struct Kin {
    of: HosePart,
    elements: Vec<ElementId>,
}

fn kin(built: &Built) -> [Kin; 3] {
    let ids: Vec<ElementId> = built.network.spec().element_ids().collect();
    let those = |wanted: &dyn Fn(usize) -> bool| -> Vec<ElementId> {
        ids.iter().copied().filter(|id| wanted(id.index())).collect()
    };
    let of = |index: usize| &built.elements[index];
    let is_hose = |index: usize| of(index).pieces.is_some();
    let is_channel = |index: usize| {
        let kind = built.network.spec().elements().get(index).map(|element| &element.kind);
        !is_hose(index) && matches!(kind, Some(ElementKind::Line(_)))
    };
    [
        Kin { of: HosePart::Branches, elements: those(&|index| is_hose(index) && of(index).cup.is_some()) },
        Kin { of: HosePart::Main, elements: those(&|index| is_hose(index) && of(index).cup.is_none()) },
        Kin { of: HosePart::Manifold, elements: those(&is_channel) },
    ]
}

/// The network that the document gives once the change is taken. Hoses whose length follows from the plan get shorter by
/// moving what they join, which is no edit of the circuit: those are shortened in the network.
fn made(circuit: &SnapshotCircuit, built: &Built, change: &HelpChange) -> Option<Network> {
    if let Some(supply) = change.made(&circuit.input.supply.0, "") {
        return Some(lower::network_after(&circuit.input.supplied(supply), Some(built)).ok()?.network);
    }
    let HelpChange::Shorter(of) = change else { return None };
    let hoses = kin(built).into_iter().find(|kin| kin.of == *of)?.elements;
    let mut changed: Option<Network> = None;
    for id in hoses {
        let network = changed.as_ref().unwrap_or(&built.network);
        let length = built.elements[id.index()].cut_mm?;
        if let Some(next) = vacuum::shorter_hose(network, id, SHORTER * length) {
            changed = Some(next);
        }
    }
    changed
}

fn of_hoses(built: &Built) -> Vec<HelpChange> {
    let mut changes: Vec<HelpChange> = Vec::new();
    for Kin { of, elements } in kin(built) {
        if elements.is_empty() {
            continue;
        }
        let bore =
            elements.iter().filter_map(|id| built.elements[id.index()].bore_mm).fold(f64::INFINITY, f64::min);
        if let Some(larger) = document::next_bore_up(bore).map(|size| size.bore_mm) {
            changes.push(HelpChange::Bore { of, from_mm: bore, to_mm: larger });
        }
        if of == HosePart::Manifold {
            continue;
        }
        changes.extend([
            HelpChange::Shorter(of),
            HelpChange::Uncoiled(of),
            HelpChange::Swept(of),
            HelpChange::WideBends(of),
        ]);
        if of == HosePart::Branches {
            let lengths = || elements.iter().filter_map(|id| built.elements[id.index()].cut_mm);
            // As one cuts: to whole millimetres.
            let mm = (lengths().sum::<f64>() / lengths().count().max(1) as f64).round();
            changes.push(HelpChange::EqualBranches { mm });
        }
    }
    changes
}

/// The feed of the ejector's table that draws most at the level asked for.
fn best_feed(circuit: &SnapshotCircuit) -> Option<HelpChange> {
    let model = &circuit.input.model.0;
    if model.kind != SourceKind::Ejector {
        return None;
    }
    let now = circuit.input.supply.0.feed_kpa.value;
    let level = circuit.solved.report.source_level_kpa?;
    let all = super::source::side_by_side(model, circuit.input.sources());
    let flow = |feed_kpa: f64| {
        let source = super::source::of_model(&all, feed_kpa).ok()?;
        source.flow_nl_min(units::VacuumLevel::from_kpa(level), &circuit.input.air).ok()
    };
    let best = model.feed.iter().map(|point| point.feed_kpa).max_by(|a, b| {
        let of = |feed: f64| flow(feed).unwrap_or(0.0);
        of(*a).total_cmp(&of(*b))
    })?;
    let more = (best - now).abs() >= 1.0 && flow(best)? > flow(now)?;
    more.then_some(HelpChange::Feed { from_kpa: now, to_kpa: best })
}
