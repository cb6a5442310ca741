//! What one change would give, each really solved again.

use super::{coupling::SnapshotCircuit, depth::MOST_TRIED, lower::Built};
use crate::report::HelpReport;
use document::{Arrangement, SourceKind};
use vacuum::{Changed, ElementId, ElementKind, Network, Restriction};

/// A restrictor that lets a tight cup evacuate and keeps an open one from emptying the rest, dm³/(s·bar) (common
/// practice, no source).
const RESTRICTOR: Restriction = Restriction { conductance_dm3_s_bar: 0.3, critical_ratio: 0.5 };
/// Hoses are tried this much shorter.
const SHORTER: f64 = 0.75;
/// Discharge coefficient of a check valve of a hose's bore, and the difference that opens it, kPa (common practice, no source).
const CHECK_DISCHARGE: f64 = 0.6;
const OPENING_KPA: f64 = 1.0;
/// What raises no level by this much is left out, kPa.
const TOLD_KPA: f64 = 0.05;

/// Every change that applies, those first that help the worst cup most.
pub(crate) fn of(circuit: &SnapshotCircuit, built: &Built) -> Vec<HelpReport> {
    let network = &built.network;
    let mut changes = of_hoses(built);
    changes.extend(fed_twice(built));
    let supply = &circuit.input.supply.0;
    if supply.restrictor.is_none() && supply.area_gripper.is_none() {
        changes.extend(vacuum::restrictor_per_cup(network, RESTRICTOR));
    }
    if !supply.check_valve_at_cup {
        let through = Restriction::orifice(supply.branch.bore_mm, CHECK_DISCHARGE);
        changes.extend(vacuum::check_valve_per_cup(network, through, OPENING_KPA));
    }
    if supply.arrangement != Arrangement::PerCup
        && let Some(named) = network.spec().sources().first()
    {
        changes.extend(vacuum::source_at_each_cup(network, &named.source).map(|changed| Changed {
            name: format!("one {} at every cup", circuit.input.model.0.name),
            ..changed
        }));
    }
    changes.extend(best_feed(circuit, network));
    // Every cup open in turn, for every change, takes too long for many cups.
    let with_one_open = network.spec().cups().len() <= MOST_TRIED;
    let outcomes = vacuum::rank(network, &changes, with_one_open);
    let before = circuit.levels().fold(f64::INFINITY, f64::min);
    outcomes
        .into_iter()
        .map(|outcome| {
            let open_to = outcome.worst_with_one_open.map(|level| level.kpa());
            HelpReport {
                what: outcome.name,
                worst_level_kpa_from: before,
                worst_level_kpa_to: outcome.worst_level.kpa(),
                open_level_kpa_from: open_to.zip(outcome.gain_with_one_open_kpa).map(|(to, gain)| to - gain),
                open_level_kpa_to: open_to,
            }
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

/// Elements of one kind in a circuit, with the words for them.
struct Kin {
    word: &'static str,
    elements: Vec<ElementId>,
}

fn kin(built: &Built) -> [Kin; 3] {
    let ids: Vec<ElementId> = built.network.spec().element_ids().collect();
    let those = |wanted: &dyn Fn(usize) -> bool| -> Vec<ElementId> {
        ids.iter().copied().filter(|id| wanted(id.index())).collect()
    };
    let of = |index: usize| &built.elements[index];
    let is_hose = |index: usize| of(index).line.is_some();
    let is_channel = |index: usize| {
        let kind = built.network.spec().elements().get(index).map(|element| &element.kind);
        !is_hose(index) && matches!(kind, Some(ElementKind::Line(_)))
    };
    [
        Kin { word: "branches", elements: those(&|index| is_hose(index) && of(index).cup.is_some()) },
        Kin { word: "main hose", elements: those(&|index| is_hose(index) && of(index).cup.is_none()) },
        Kin { word: "manifold", elements: those(&is_channel) },
    ]
}

/// One change made to several elements; `None` where it applies to none.
fn all(
    network: &Network,
    elements: &[ElementId],
    name: String,
    change: impl Fn(&Network, ElementId) -> Option<Changed>,
) -> Option<Changed> {
    let mut changed: Option<Network> = None;
    for element in elements {
        if let Some(next) = change(changed.as_ref().unwrap_or(network), *element) {
            changed = Some(next.network);
        }
    }
    Some(Changed { name, network: changed? })
}

fn of_hoses(built: &Built) -> Vec<Changed> {
    let network = &built.network;
    let mut changes = Vec::new();
    for Kin { word, elements } in kin(built) {
        if elements.is_empty() {
            continue;
        }
        let bore =
            elements.iter().filter_map(|id| built.elements[id.index()].bore_mm).fold(f64::INFINITY, f64::min);
        let larger = document::next_bore_up(bore).map(|size| size.bore_mm);
        if let Some(larger) = larger {
            let name = format!("{word} of {larger} mm bore instead of {bore} mm");
            changes.extend(all(network, &elements, name, |network, id| {
                let own = built.elements[id.index()].bore_mm?;
                (own < larger).then(|| vacuum::next_bore_up(network, id, &[larger])).flatten()
            }));
        }
        if word == "manifold" {
            continue;
        }
        changes.extend(all(network, &elements, format!("{word} a quarter shorter"), |network, id| {
            let length = built.elements[id.index()].cut_mm?;
            vacuum::shorter_hose(network, id, SHORTER * length)
        }));
        changes.extend(all(network, &elements, format!("{word} without coils"), vacuum::cut_the_coil));
        let name = format!("{word} with swept fittings instead of elbows and tees");
        changes.extend(all(network, &elements, name, vacuum::elbows_to_swept));
        if word == "branches" {
            let lengths = || elements.iter().filter_map(|id| built.elements[id.index()].cut_mm);
            let mean = lengths().sum::<f64>() / lengths().count().max(1) as f64;
            let equal = vacuum::equal_lengths(network, &elements, Some(mean));
            changes.extend(
                equal.map(|equal| Changed { name: format!("branches all {mean:.0} mm long"), ..equal }),
            );
        }
    }
    changes
}

/// Every manifold fed at both ends.
fn fed_twice(built: &Built) -> Option<Changed> {
    let mut changed: Option<Network> = None;
    for manifold in &built.manifolds {
        let network = changed.as_ref().unwrap_or(&built.network);
        if let Some(next) = vacuum::second_feed(network, manifold.id) {
            changed = Some(next.network);
        }
    }
    Some(Changed { name: "manifold fed at both ends".to_owned(), network: changed? })
}

/// The feed of the ejector's table that draws most at the level asked for.
fn best_feed(circuit: &SnapshotCircuit, network: &Network) -> Option<Changed> {
    let model = &circuit.input.model.0;
    if model.kind != SourceKind::Ejector {
        return None;
    }
    let now = circuit.input.supply.0.feed_kpa.value;
    let level = circuit.solved.report.source_level_kpa?;
    let flow = |feed_kpa: f64| {
        let source = super::source::of_model(model, feed_kpa).ok()?;
        source.flow_nl_min(units::VacuumLevel::from_kpa(level), &circuit.input.air).ok()
    };
    let best = model.feed.iter().map(|point| point.feed_kpa).max_by(|a, b| {
        let of = |feed: f64| flow(feed).unwrap_or(0.0);
        of(*a).total_cmp(&of(*b))
    })?;
    if (best - now).abs() < 1.0 || flow(best)? <= flow(now)? {
        return None;
    }
    let mut changed: Option<Network> = None;
    for id in network.spec().source_ids() {
        let network = changed.as_ref().unwrap_or(network);
        changed = vacuum::with_feed(network, id, best).map(|next| next.network);
    }
    Some(Changed { name: format!("feed of {best:.0} kPa instead of {now:.0} kPa"), network: changed? })
}
