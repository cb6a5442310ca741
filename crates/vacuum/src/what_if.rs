//! What would help most: one change at a time, each really solved again.

use crate::fitting::FittingKind;
use crate::line::Line;
use crate::network::{CupId, ElementId, ElementKind, ManifoldId, Network, NetworkBuilder, SourceId};
use crate::open_cups::each_cup_open;
use crate::restriction::Restriction;
use crate::solve::{Status, solve};
use crate::source::{Source, SourceKind};
use units::{VacuumLevel, figure};

/// A network with one change.
#[derive(Debug, Clone)]
pub struct Changed {
    /// What was changed, in words.
    pub name: String,
    /// The network with the change.
    pub network: Network,
}

impl Changed {
    fn of(network: &Network, name: String, change: impl FnOnce(&mut NetworkBuilder)) -> Option<Self> {
        Some(Self { name, network: network.edit(change).ok()? })
    }
}

/// The name of an element and its line; `None` if it is no hose.
fn line(network: &Network, element: ElementId) -> Option<(String, &Line)> {
    let placed = network.spec().elements().get(element.index())?;
    Some((placed.name.to_string(), placed.kind.line()?))
}

fn with_line(
    network: &Network,
    element: ElementId,
    name: String,
    change: impl FnOnce(&mut Line),
) -> Option<Changed> {
    Changed::of(network, name, |circuit| {
        if let Some(ElementKind::Line(line)) = circuit.element_mut(element).map(|placed| &mut placed.kind) {
            change(line);
        }
    })
}

/// A hose with the next larger of some bores (mm), its fittings with it; `None` if it is no hose or there is no larger.
#[must_use]
pub fn next_bore_up(network: &Network, element: ElementId, bores_mm: &[f64]) -> Option<Changed> {
    let (name, old) = line(network, element)?;
    let bore = old.hose?.bore_mm;
    let larger = bores_mm.iter().copied().filter(|b| *b > bore * 1.001).reduce(f64::min)?;
    let growth = larger / bore;
    with_line(network, element, format!("{name} with {larger} mm bore instead of {bore} mm"), |line| {
        if let Some(hose) = &mut line.hose {
            hose.bore_mm = larger;
        }
        for fitting in &mut line.fittings {
            fitting.bore_mm *= growth;
            match &mut fitting.kind {
                FittingKind::Expansion { to_mm: other } | FittingKind::Contraction { from_mm: other } => {
                    *other *= growth;
                }
                _ => {}
            }
        }
    })
}

/// A hose of another length (mm); `None` if it is no hose or not longer than that.
#[must_use]
pub fn shorter_hose(network: &Network, element: ElementId, length_mm: f64) -> Option<Changed> {
    let (name, old) = line(network, element)?;
    let length = old.hose?.length_mm;
    if length <= length_mm {
        return None;
    }
    with_line(
        network,
        element,
        format!("{name} {} mm long instead of {} mm", figure(length_mm, 0), figure(length, 0)),
        |line| {
            if let Some(hose) = &mut line.hose {
                hose.length_mm = length_mm;
                if let Some(coil) = &mut hose.coil {
                    coil.length_mm = coil.length_mm.min(length_mm);
                }
            }
        },
    )
}

/// A hose without its coil, cut to what was not wound up; `None` if it has none.
#[must_use]
pub fn cut_the_coil(network: &Network, element: ElementId) -> Option<Changed> {
    /// A hose wound up from end to end keeps this much, mm.
    const STUB: f64 = 50.0;
    let (name, old) = line(network, element)?;
    let hose = old.hose?;
    let coil = hose.coil?;
    let left = (hose.length_mm - coil.length_mm).max(STUB.min(hose.length_mm));
    with_line(
        network,
        element,
        format!("{name} without its coil of {} mm", figure(coil.length_mm, 0)),
        |line| {
            if let Some(hose) = &mut line.hose {
                hose.length_mm = left;
                hose.coil = None;
            }
        },
    )
}

/// A hose whose sharp elbows are smooth bends and whose tees are swept; `None` if there are none.
#[must_use]
pub fn elbows_to_swept(network: &Network, element: ElementId) -> Option<Changed> {
    let swept = |kind: FittingKind| match kind {
        FittingKind::Elbow90 => Some(FittingKind::Bend { radius_over_bore: 3.0 }),
        FittingKind::TeeBranch => Some(FittingKind::SweptBranch),
        FittingKind::TeeRun => Some(FittingKind::SweptRun),
        _ => None,
    };
    let (name, old) = line(network, element)?;
    old.fittings.iter().find_map(|fitting| swept(fitting.kind))?;
    with_line(network, element, format!("{name} with swept fittings instead of elbows and tees"), |line| {
        for fitting in &mut line.fittings {
            fitting.kind = swept(fitting.kind).unwrap_or(fitting.kind);
        }
    })
}

/// Hoses of one length (mm), or of their mean; `None` if none of them is a hose or they are equal already.
#[must_use]
pub fn equal_lengths(network: &Network, elements: &[ElementId], length_mm: Option<f64>) -> Option<Changed> {
    let lengths: Vec<f64> =
        elements.iter().filter_map(|&element| Some(line(network, element)?.1.hose?.length_mm)).collect();
    let longest = lengths.iter().copied().reduce(f64::max)?;
    let shortest = lengths.iter().copied().reduce(f64::min)?;
    let common = length_mm.unwrap_or(lengths.iter().sum::<f64>() / lengths.len() as f64);
    if longest - shortest < 1.0 && (common - longest).abs() < 1.0 {
        return None;
    }
    Changed::of(network, format!("{} hoses all {} mm long", lengths.len(), figure(common, 0)), |circuit| {
        for &element in elements {
            if let Some(ElementKind::Line(Line { hose: Some(hose), .. })) =
                circuit.element_mut(element).map(|placed| &mut placed.kind)
            {
                hose.length_mm = common;
                if let Some(coil) = &mut hose.coil {
                    coil.length_mm = coil.length_mm.min(common);
                }
            }
        }
    })
}

/// A manifold fed at its other end too, by a line like the first feed's; `None` if it is fed at both ends already.
#[must_use]
pub fn second_feed(network: &Network, manifold: ManifoldId) -> Option<Changed> {
    let spec = network.spec();
    let manifold = spec.manifolds().get(manifold.index())?;
    let feed = spec.elements().get(manifold.feeds.first()?.index())?.clone();
    let (first, last) = (*manifold.ports.first()?, *manifold.ports.last()?);
    let fed = |port| {
        let ends = manifold.feeds.iter().filter_map(|id| spec.elements().get(id.index()));
        ends.into_iter().any(|element| element.from == port || element.to == port)
    };
    if manifold.ports.len() < 2 || (fed(first) && fed(last)) {
        return None;
    }
    let (old, new) = if fed(first) { (first, last) } else { (last, first) };
    let swap = |node| if node == old { new } else { node };
    Changed::of(network, format!("{} fed at both ends", manifold.name), |circuit| {
        circuit.element(
            &format!("{} (second feed)", feed.name),
            swap(feed.from),
            swap(feed.to),
            feed.kind.clone(),
        );
    })
}

/// A restrictor at every cup, between it and all that is connected to it: one open cup then takes less from the others.
#[must_use]
pub fn restrictor_per_cup(network: &Network, through: Restriction) -> Option<Changed> {
    let name =
        format!("a restrictor of {} dm³/(s·bar) at every cup", figure(through.conductance_dm3_s_bar, 2));
    at_every_cup(network, name, &ElementKind::Restrictor(through))
}

/// A check valve at every cup that lets air out of it only.
#[must_use]
pub fn check_valve_per_cup(network: &Network, through: Restriction, opening_kpa: f64) -> Option<Changed> {
    let name = "a check valve at every cup".to_owned();
    at_every_cup(network, name, &ElementKind::CheckValve { through, opening_kpa, seep: None })
}

fn at_every_cup(network: &Network, name: String, kind: &ElementKind) -> Option<Changed> {
    Changed::of(network, name, |circuit| {
        for cup in 0..circuit.cups.len() {
            let inside = circuit.cups[cup].node;
            let label = circuit.cups[cup].cup.name.clone();
            let behind = circuit.node(&format!("behind {label}"));
            for element in &mut circuit.elements {
                for end in [&mut element.from, &mut element.to] {
                    if *end == inside {
                        *end = behind;
                    }
                }
            }
            for source in circuit.sources.iter_mut().filter(|source| source.node == inside) {
                source.node = behind;
            }
            circuit.element(&format!("{} of {label}", kind.word()), inside, behind, kind.clone());
        }
    })
}

/// A source of its own at every cup, without hoses, in place of all others.
#[must_use]
pub fn source_at_each_cup(network: &Network, source: &Source) -> Option<Changed> {
    let mut circuit = NetworkBuilder::new(network.air());
    for placed in network.spec().cups() {
        let cup = circuit.cup(placed.cup.clone());
        circuit.source(
            &format!("{} at {}", source.kind, placed.cup.name),
            circuit.cup_node(cup),
            source.clone(),
        );
    }
    Some(Changed { name: format!("one {} at every cup", source.kind), network: circuit.build().ok()? })
}

/// An ejector fed with another pressure (kPa above the atmosphere); `None` if the source is no ejector.
#[must_use]
pub fn with_feed(network: &Network, source: SourceId, to_kpa: f64) -> Option<Changed> {
    let named = network.spec().sources().get(source.index())?;
    let SourceKind::Ejector { feed_kpa, .. } = named.source.kind else { return None };
    Changed::of(
        network,
        format!("{} fed with {} kPa instead of {} kPa", named.name, figure(to_kpa, 0), figure(feed_kpa, 0)),
        |circuit| {
            if let Some(SourceKind::Ejector { feed_kpa, .. }) =
                circuit.source_mut(source).map(|named| &mut named.source.kind)
            {
                *feed_kpa = to_kpa;
            }
        },
    )
}

/// Every single change that applies: each hose with the next bore up, a quarter shorter, without its coil, with swept fittings; each
/// manifold fed at both ends; hoses of cups all of one length; and, if given, a restrictor at every cup.
#[must_use]
pub fn usual_changes(network: &Network, bores_mm: &[f64], restrictor: Option<Restriction>) -> Vec<Changed> {
    let spec = network.spec();
    let mut changes = Vec::new();
    for element in spec.element_ids() {
        changes.extend(next_bore_up(network, element, bores_mm));
        let length = line(network, element).and_then(|(_, line)| line.hose).map(|hose| hose.length_mm);
        changes.extend(length.and_then(|length| shorter_hose(network, element, 0.75 * length)));
        changes.extend(cut_the_coil(network, element));
        changes.extend(elbows_to_swept(network, element));
    }
    let is_cup = |node| spec.cups().iter().any(|placed| placed.node == node);
    let of_cups: Vec<ElementId> = spec
        .element_ids()
        .zip(spec.elements())
        .filter(|(_, element)| is_cup(element.from) || is_cup(element.to))
        .map(|(id, _)| id)
        .collect();
    changes.extend(equal_lengths(network, &of_cups, None));
    changes.extend((0..spec.manifolds().len()).filter_map(|i| second_feed(network, ManifoldId(i))));
    changes.extend(restrictor.and_then(|through| restrictor_per_cup(network, through)));
    changes
}

/// What a change does.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// What was changed, in words.
    pub name: String,
    /// The cup with the lowest level after it.
    pub worst_cup: CupId,
    /// Its level.
    pub worst_level: VacuumLevel,
    /// How much deeper that is than the lowest level before, kPa; negative if the change harms.
    pub gain_kpa: f64,
    /// The lowest level of a cup on the part while any one other is off it; `None` if not asked for or not known.
    pub worst_with_one_open: Option<VacuumLevel>,
    /// How much deeper that is than before, kPa.
    pub gain_with_one_open_kpa: Option<f64>,
}

/// Solves every changed network and puts those first that help the worst cup most. Both sides are shown: what helps while all cups
/// are on the part, such as a larger bore, may harm when one is off it. Changes that cannot be solved are left out.
#[must_use]
pub fn rank(network: &Network, changes: &[Changed], with_one_open: bool) -> Vec<Outcome> {
    let Some((_, before)) = solve(network, None).worst_cup(network) else { return Vec::new() };
    let open = |network: &Network| if with_one_open { worst_with_one_open(network) } else { None };
    let open_before = open(network);
    let mut outcomes: Vec<Outcome> = changes
        .iter()
        .filter_map(|changed| {
            let (worst_cup, worst_level) = solve(&changed.network, None).worst_cup(&changed.network)?;
            let worst_with_one_open = open(&changed.network);
            Some(Outcome {
                name: changed.name.clone(),
                worst_cup,
                worst_level,
                gain_kpa: worst_level.kpa() - before.kpa(),
                worst_with_one_open,
                gain_with_one_open_kpa: worst_with_one_open
                    .zip(open_before)
                    .map(|(after, before)| after.kpa() - before.kpa()),
            })
        })
        .collect();
    outcomes.sort_by(|a, b| b.gain_kpa.total_cmp(&a.gain_kpa));
    outcomes
}

fn worst_with_one_open(network: &Network) -> Option<VacuumLevel> {
    let cases = each_cup_open(network);
    if cases.iter().any(|case| case.status == Status::NotConverged) {
        return None;
    }
    let levels = cases.iter().filter_map(|case| case.worst.map(|(_, level)| level));
    levels.reduce(|a, b| if b.kpa() < a.kpa() { b } else { a })
}

#[cfg(test)]
mod tests;
