//! What one change would give, each really solved again.

use super::{
    coupling::SnapshotCircuit,
    depth::MOST_TRIED,
    lower::{Built, CHECK_DISCHARGE, CHECK_OPENING_KPA},
};
use crate::report::{HelpChange, HelpReport, HosePart};
use document::{Arrangement, SourceKind};
use vacuum::{Changed, ElementId, ElementKind, FittingKind, Network, Restriction};

/// A restrictor that lets a tight cup evacuate and keeps an open one from emptying the rest, dm³/(s·bar) (common
/// practice, no source).
const RESTRICTOR: document::Restriction = document::Restriction { c_dm3_s_bar: 0.3, b: 0.5 };
/// Hoses are tried this much shorter.
pub(super) const SHORTER: f64 = 0.75;
/// What raises no level by this much is left out, kPa.
const TOLD_KPA: f64 = 0.05;

/// A change, and the network with it.
type Tried = (HelpChange, Network);

/// Every change that applies, those first that help the worst cup most.
pub(crate) fn of(circuit: &SnapshotCircuit, built: &Built) -> Vec<HelpReport> {
    let network = &built.network;
    let mut tried = of_hoses(built);
    tried.extend(fed_twice(built).map(|network| (HelpChange::FedAtBothEnds, network)));
    let supply = &circuit.input.supply.0;
    if supply.restrictor.is_none() && supply.area_gripper.is_none() {
        let through = super::lines::restriction(RESTRICTOR);
        let changed = vacuum::restrictor_per_cup(network, through);
        tried.extend(changed.map(|changed| (HelpChange::Restrictors(RESTRICTOR), changed.network)));
    }
    if !supply.check_valve_at_cup {
        let through = Restriction::orifice(supply.branch.bore_mm, CHECK_DISCHARGE);
        let changed = vacuum::check_valve_per_cup(network, through, CHECK_OPENING_KPA);
        tried.extend(changed.map(|changed| (HelpChange::CheckValves, changed.network)));
    }
    if supply.arrangement != Arrangement::PerCup
        && let Some(named) = network.spec().sources().first()
    {
        let changed = vacuum::source_at_each_cup(network, &named.source);
        tried.extend(changed.map(|changed| (HelpChange::SourceAtCups, changed.network)));
    }
    tried.extend(best_feed(circuit, network));
    // Every cup open in turn, for every change, takes too long for many cups.
    let with_one_open = network.spec().cups().len() <= MOST_TRIED;
    let (changes, networks): (Vec<HelpChange>, Vec<Network>) = tried.into_iter().unzip();
    // What is ranked is known by its place.
    let named = networks.into_iter().enumerate();
    let named: Vec<Changed> =
        named.map(|(place, network)| Changed { name: place.to_string(), network }).collect();
    let outcomes = vacuum::rank(network, &named, with_one_open);
    let before = circuit.levels().fold(f64::INFINITY, f64::min);
    outcomes
        .into_iter()
        .filter_map(|outcome| {
            let open_to = outcome.worst_with_one_open.map(|level| level.kpa());
            Some(HelpReport {
                change: changes.get(outcome.name.parse::<usize>().ok()?)?.clone(),
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
    let is_hose = |index: usize| of(index).line.is_some();
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

/// One change made to several elements; `None` where it applies to none.
fn all(
    network: &Network,
    elements: &[ElementId],
    change: impl Fn(&Network, ElementId) -> Option<Changed>,
) -> Option<Network> {
    let mut changed: Option<Network> = None;
    for element in elements {
        if let Some(next) = change(changed.as_ref().unwrap_or(network), *element) {
            changed = Some(next.network);
        }
    }
    changed
}

fn of_hoses(built: &Built) -> Vec<Tried> {
    let network = &built.network;
    let mut tried: Vec<Tried> = Vec::new();
    for Kin { of, elements } in kin(built) {
        if elements.is_empty() {
            continue;
        }
        let mut add = |change: HelpChange, changed: Option<Network>| {
            tried.extend(changed.map(|network| (change, network)));
        };
        let bore =
            elements.iter().filter_map(|id| built.elements[id.index()].bore_mm).fold(f64::INFINITY, f64::min);
        if let Some(larger) = document::next_bore_up(bore).map(|size| size.bore_mm) {
            let changed = all(network, &elements, |network, id| {
                let own = built.elements[id.index()].bore_mm?;
                (own < larger).then(|| vacuum::next_bore_up(network, id, &[larger])).flatten()
            });
            add(HelpChange::Bore { of, from_mm: bore, to_mm: larger }, changed);
        }
        if of == HosePart::Manifold {
            continue;
        }
        let shorter = all(network, &elements, |network, id| {
            let length = built.elements[id.index()].cut_mm?;
            vacuum::shorter_hose(network, id, SHORTER * length)
        });
        add(HelpChange::Shorter(of), shorter);
        add(HelpChange::Uncoiled(of), all(network, &elements, vacuum::cut_the_coil));
        let swept = |kind| match kind {
            FittingKind::TeeBranch => Some(FittingKind::SweptBranch),
            FittingKind::TeeRun => Some(FittingKind::SweptRun),
            _ => None,
        };
        add(HelpChange::Swept(of), all(network, &elements, |network, id| refitted(network, id, swept)));
        let straight = |kind| (kind == FittingKind::Elbow90).then_some(FittingKind::Straight);
        let bent = all(network, &elements, |network, id| refitted(network, id, straight));
        add(HelpChange::WideBends(of), bent);
        if of == HosePart::Branches {
            let lengths = || elements.iter().filter_map(|id| built.elements[id.index()].cut_mm);
            // As one cuts: to whole millimetres.
            let mm = (lengths().sum::<f64>() / lengths().count().max(1) as f64).round();
            let equal = vacuum::equal_lengths(network, &elements, Some(mm));
            add(HelpChange::EqualBranches { mm }, equal.map(|changed| changed.network));
        }
    }
    tried
}

/// A hose with other fittings; `None` where it has none to change.
fn refitted(
    network: &Network,
    id: ElementId,
    other: impl Fn(FittingKind) -> Option<FittingKind>,
) -> Option<Changed> {
    let ElementKind::Line(line) = &network.spec().elements().get(id.index())?.kind else { return None };
    line.fittings.iter().find_map(|fitting| other(fitting.kind))?;
    let changed = network.edit(|circuit| {
        if let Some(ElementKind::Line(line)) = circuit.element_mut(id).map(|placed| &mut placed.kind) {
            for fitting in &mut line.fittings {
                fitting.kind = other(fitting.kind).unwrap_or(fitting.kind);
            }
        }
    });
    Some(Changed { name: String::new(), network: changed.ok()? })
}

/// Every manifold fed at both ends.
fn fed_twice(built: &Built) -> Option<Network> {
    let mut changed: Option<Network> = None;
    for manifold in &built.manifolds {
        let network = changed.as_ref().unwrap_or(&built.network);
        if let Some(next) = vacuum::second_feed(network, manifold.id) {
            changed = Some(next.network);
        }
    }
    changed
}

/// The feed of the ejector's table that draws most at the level asked for.
fn best_feed(circuit: &SnapshotCircuit, network: &Network) -> Option<Tried> {
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
    Some((HelpChange::Feed { from_kpa: now, to_kpa: best }, changed?))
}
