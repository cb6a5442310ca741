//! What would explain a measurement: every single fault tried, its size fitted, by solving the circuit again.

mod measured;

pub use measured::{Course, CourseKind, Gauge, Measured, TimedLevel};

use crate::leak::Leak;
use crate::line::Line;
use crate::network::{CupId, ElementId, ElementKind, Network, SourceId};
use crate::solve::{State, solve};
use crate::source::SourceKind;
use measured::misfit;
use units::{Part, Quantity, Worded};

/// One thing that may be wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A worn or torn lip.
    LeakAtCup(CupId),
    /// A hose that is cut, worn through or loose.
    LeakInHose(ElementId),
    /// A clogged filter.
    CloggedFilter(ElementId),
    /// An ejector fed with too little pressure.
    LowFeed(SourceId),
    /// A part that lets more air through than the network has it, under every cup alike.
    PorousPart,
}

/// A fault and how well it would explain what was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// The fault.
    pub fault: Fault,
    /// In words, with names and the size that fits best.
    pub name: Worded,
    /// That size: bore of the leak in mm, share of the filter's conductance left, feed pressure in kPa, permeance in
    /// µm/(Pa·s).
    pub size: f64,
    /// What it leaves unexplained, root mean square, kPa; a time counts as the level it is off.
    pub unexplained_kpa: f64,
}

/// Discharge coefficient of a hole that a fault makes (common practice, no source).
const DISCHARGE: f64 = 0.7;
/// Bores of holes tried, mm.
const HOLES_MM: (f64, f64) = (0.05, 8.0);
/// Shares of a filter's conductance tried.
const SHARES: (f64, f64) = (0.005, 1.0);
/// Permeances tried, µm/(Pa·s): from coated board to open foam.
const PERMEANCES: (f64, f64) = (0.01, 100.0);
/// Multiples of the leaks at the cups tried to come near a baseline.
const TIMES: (f64, f64) = (0.1, 10.0);
/// Steps of size over the whole range: every third is tried of all faults, the others of those that explain most by then.
const COARSE: usize = 12;
const EVERY: usize = 3;
const MOST_COARSE: usize = 24;
/// Refinements around the best size, and for how many faults: those that explain most by then.
const REFINED: usize = 20;
const MOST_REFINED: usize = 8;

/// Which single fault explains best what was measured: every leak at a cup, every leaking hose, every clogged filter, every low
/// feed, a part more porous, each with the size that fits best, best first.
///
/// The network is the circuit as it was when it was well: [`as_of_baseline`] brings it near a baseline, and
/// [`Measured::against`] takes what it is still off out of the figures. A source whose air can come back while it stands still
/// ([`Source::way_back`](crate::Source::way_back))
/// counts in a leak-down. The faults that explain most have their size refined, the rest is told as tried in a few steps.
/// Two faults at once are not tried: mend the first of the list and measure again. Levels at several cups tell more than
/// one, since they show where the leak is.
///
/// # Example
/// ```
/// # use units::VacuumLevel;
/// # use vacuum::*;
/// # let mut circuit = NetworkBuilder::new(Air::default());
/// # let port = circuit.node("port");
/// # circuit.source("pump", port, Source::pump(SourceCurve::linear(90.0, VacuumLevel::from_kpa(85.0)), 250.0));
/// # let mut cups = Vec::new();
/// # for (name, length) in [("C1", 800.0), ("C2", 1500.0)] {
/// #     let cup = circuit.cup(Cup::tight(name, 4.0).with_leak(Leak::porous(1.0, 1000.0)));
/// #     circuit.line(&format!("hose of {name}"), circuit.cup_node(cup), port, Line::hose(Hose::new(length, 4.0)));
/// #     cups.push(cup);
/// # }
/// # let network = circuit.build().expect("a circuit of two cups");
/// // The second cup lost its level, the first hardly.
/// let levels = vec![(cups[0], VacuumLevel::from_kpa(74.0)), (cups[1], VacuumLevel::from_kpa(60.0))];
/// let causes = rank_causes(&network, &Measured { levels, ..Measured::default() });
/// assert_eq!(causes[0].fault, Fault::LeakAtCup(cups[1]));
/// ```
#[must_use]
pub fn rank_causes(network: &Network, measured: &Measured) -> Vec<Cause> {
    let well = solve(network, None).state;
    let candidates = candidates(network);
    let at = |candidate: &Candidate, share: f64| candidate.off(share, network, measured, &well);
    let better = |best: (f64, f64), tried: (f64, f64)| if tried.1 < best.1 { tried } else { best };
    let coarse = |candidate: &Candidate, best: (f64, f64), wanted: &dyn Fn(usize) -> bool| {
        let shares = (0..=COARSE).filter(|i| wanted(*i)).map(|i| i as f64 / COARSE as f64);
        shares.map(|share| (share, at(candidate, share))).fold(best, better)
    };
    let none = (0.0, f64::INFINITY);
    let first = candidates.iter().map(|candidate| (candidate, coarse(candidate, none, &|i| i % EVERY == 0)));
    let mut tried: Vec<(&Candidate, (f64, f64))> = first.collect();
    let sort = |tried: &mut Vec<(&Candidate, (f64, f64))>| tried.sort_by(|a, b| a.1.1.total_cmp(&b.1.1));
    sort(&mut tried);
    for (candidate, best) in tried.iter_mut().take(MOST_COARSE) {
        *best = coarse(candidate, *best, &|i| i % EVERY != 0);
    }
    sort(&mut tried);
    for (candidate, best) in tried.iter_mut().take(MOST_REFINED) {
        *best = refined(*best, |share| at(candidate, share));
    }
    sort(&mut tried);
    let told = tried.into_iter().filter(|(_, (_, off))| off.is_finite());
    let told = told.map(|(candidate, (share, unexplained_kpa))| {
        let size = candidate.size(share);
        let name = words(network, candidate.fault, size);
        Cause { fault: candidate.fault, name, size, unexplained_kpa }
    });
    told.collect()
}

/// The network with every leak at its cups letting through so many times the air as explains best what was measured when it was
/// well; as it is where nothing was, or nothing at its cups leaks.
///
/// Lips and parts are what is known least of a circuit on the day it is taken into service, and what a later fault does depends
/// on how much flows beside it: a clogged filter costs more level the more air goes through it.
#[must_use]
pub fn as_of_baseline(network: &Network, baseline: &Measured) -> Network {
    let well = solve(network, None).state;
    let scaled = |share: f64| with_leaks(network, TIMES.0 * (TIMES.1 / TIMES.0).powf(share));
    let off = |share: f64| {
        scaled(share).and_then(|scaled| misfit(&scaled, baseline, &well)).unwrap_or(f64::INFINITY)
    };
    let Some(as_it_is) = misfit(network, baseline, &well) else { return network.clone() };
    let tried = (0..=COARSE).map(|i| i as f64 / COARSE as f64).map(|share| (share, off(share)));
    let Some(best) = tried.min_by(|a, b| a.1.total_cmp(&b.1)) else { return network.clone() };
    let (share, off) = refined(best, off);
    if off < as_it_is { scaled(share).unwrap_or_else(|| network.clone()) } else { network.clone() }
}

/// The network with so many times the air through every leak at a cup.
fn with_leaks(network: &Network, many: f64) -> Option<Network> {
    network
        .edit(|circuit| {
            for id in circuit.cup_ids() {
                let Some(cup) = circuit.cup_mut(id) else { continue };
                cup.leaks.iter_mut().for_each(|leak| *leak = leak.times(many));
            }
        })
        .ok()
}

/// What is left unexplained if nothing is wrong, root mean square, kPa.
#[must_use]
pub fn unexplained_without_fault(network: &Network, measured: &Measured) -> Option<f64> {
    misfit(network, measured, &solve(network, None).state)
}

struct Candidate {
    fault: Fault,
    low: f64,
    high: f64,
    /// Sizes are tried in equal ratios rather than equal steps.
    by_ratio: bool,
}

fn candidates(network: &Network) -> Vec<Candidate> {
    let spec = network.spec();
    let mut list = Vec::new();
    for (id, placed) in spec.cup_ids().zip(spec.cups()) {
        if !placed.cup.open {
            list.push(Candidate {
                fault: Fault::LeakAtCup(id),
                low: HOLES_MM.0,
                high: HOLES_MM.1,
                by_ratio: true,
            });
        }
    }
    for (id, element) in spec.element_ids().zip(spec.elements()) {
        match &element.kind {
            ElementKind::Line(line) if line.hose.is_some() => {
                list.push(Candidate {
                    fault: Fault::LeakInHose(id),
                    low: HOLES_MM.0,
                    high: HOLES_MM.1,
                    by_ratio: true,
                });
            }
            ElementKind::Filter(_) => {
                list.push(Candidate {
                    fault: Fault::CloggedFilter(id),
                    low: SHARES.0,
                    high: SHARES.1,
                    by_ratio: true,
                });
            }
            _ => {}
        }
    }
    for (id, named) in spec.source_ids().zip(spec.sources()) {
        if let SourceKind::Ejector { ejector, feed_kpa } = &named.source.kind
            && let Some(first) = ejector.rows.first()
            && first.feed_kpa < *feed_kpa
        {
            list.push(Candidate {
                fault: Fault::LowFeed(id),
                low: first.feed_kpa,
                high: *feed_kpa,
                by_ratio: false,
            });
        }
    }
    let porous = stated_permeance(network);
    if spec.cups().iter().any(|placed| placed.cup.area_mm2 > 0.0) && porous < PERMEANCES.1 {
        let low = porous.max(PERMEANCES.0);
        list.push(Candidate { fault: Fault::PorousPart, low, high: PERMEANCES.1, by_ratio: true });
    }
    list
}

/// Largest permeance stated of the part, µm/(Pa·s); 0 for an airtight one.
fn stated_permeance(network: &Network) -> f64 {
    let leaks = network.spec().cups().iter().flat_map(|placed| &placed.cup.leaks);
    let porous = leaks.filter_map(|leak| match leak {
        Leak::Porous { permeance_um_pa_s, .. } => Some(*permeance_um_pa_s),
        _ => None,
    });
    porous.fold(0.0, f64::max)
}

impl Candidate {
    /// The size at a share of the range.
    fn size(&self, share: f64) -> f64 {
        if self.by_ratio {
            self.low * (self.high / self.low).powf(share)
        } else {
            self.low + share * (self.high - self.low)
        }
    }

    /// What the fault leaves unexplained at a share of its range, kPa.
    fn off(&self, share: f64, network: &Network, measured: &Measured, well: &State) -> f64 {
        let faulty = with_fault(network, self.fault, self.size(share));
        faulty.and_then(|faulty| misfit(&faulty, measured, well)).unwrap_or(f64::INFINITY)
    }
}

/// Golden section around the best share of a coarse look.
fn refined(best: (f64, f64), off: impl Fn(f64) -> f64) -> (f64, f64) {
    let width = 1.0 / COARSE as f64;
    let (mut low, mut high) = ((best.0 - width).max(0.0), (best.0 + width).min(1.0));
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
    let (mut off_a, mut off_b) = (off(a), off(b));
    for _ in 0..REFINED {
        if off_a < off_b {
            (high, b, off_b) = (b, a, off_a);
            a = high - golden * (high - low);
            off_a = off(a);
        } else {
            (low, a, off_a) = (a, b, off_b);
            b = low + golden * (high - low);
            off_b = off(b);
        }
    }
    [best, (a, off_a), (b, off_b)]
        .into_iter()
        .fold(best, |least, tried| if tried.1 < least.1 { tried } else { least })
}

fn words(network: &Network, fault: Fault, size: f64) -> Worded {
    let spec = network.spec();
    // Sizes are found to a few figures only.
    let to =
        |value: f64, step: f64, quantity: Quantity| Part::from(((value / step).round() * step, quantity));
    let hole = || to(size, 0.1, Quantity::Length);
    let name = |list: Option<&std::sync::Arc<str>>| list.map_or_else(String::new, ToString::to_string);
    match fault {
        Fault::LeakAtCup(cup) => {
            let cup = name(spec.cups().get(cup.index()).map(|placed| &placed.cup.name));
            Worded::new("leak at cup {}, as large as a hole of {}", [cup.into(), hole()])
        }
        Fault::LeakInHose(element) => {
            let hose = name(spec.elements().get(element.index()).map(|element| &element.name));
            Worded::new("leak in {}, as large as a hole of {}", [hose.into(), hole()])
        }
        Fault::CloggedFilter(element) => {
            let filter = name(spec.elements().get(element.index()).map(|element| &element.name));
            let share = units::figure(size * 100.0, 0);
            Worded::text(format!("{filter} clogged to {share} % of its clean flow"))
        }
        Fault::LowFeed(source) => {
            let source = name(spec.sources().get(source.index()).map(|source| &source.name));
            Worded::new("{} fed at {}", [source.into(), to(size, 1.0, Quantity::FeedPressure)])
        }
        Fault::PorousPart => {
            let permeance = |value: f64| to(value, 0.01, Quantity::Permeance);
            match stated_permeance(network) {
                0.0 => {
                    let says = "air passes through the part, {}, although it is stated as airtight";
                    Worded::new(says, [permeance(size)])
                }
                stated => {
                    let says = "the part lets more air through: {} instead of {}";
                    Worded::new(says, [permeance(size), permeance(stated)])
                }
            }
        }
    }
}

/// The network with a fault of a size.
fn with_fault(network: &Network, fault: Fault, size: f64) -> Option<Network> {
    let hole = Leak::Hole { bore_mm: size, discharge: DISCHARGE };
    network
        .edit(|circuit| match fault {
            Fault::LeakAtCup(cup) => {
                if let Some(cup) = circuit.cup_mut(cup) {
                    cup.leaks.push(hole);
                }
            }
            Fault::LeakInHose(element) => {
                let Some(placed) = circuit.elements().get(element.index()).cloned() else { return };
                let ElementKind::Line(Line { hose: Some(hose), fittings, kinetic }) = placed.kind else {
                    return;
                };
                let middle = circuit.node(&format!("middle of {}", placed.name));
                circuit.leak(&format!("hole in {}", placed.name), middle, hole);
                let mut half = hose;
                half.length_mm *= 0.5;
                if let Some(coil) = &mut half.coil {
                    coil.length_mm *= 0.5;
                }
                let second = Line { hose: Some(half), fittings: Vec::new(), kinetic };
                if let Some(first) = circuit.element_mut(element) {
                    first.to = middle;
                    first.kind = ElementKind::Line(Line { hose: Some(half), fittings, kinetic });
                }
                circuit.line(&format!("second half of {}", placed.name), middle, placed.to, second);
            }
            Fault::CloggedFilter(element) => {
                if let Some(ElementKind::Filter(filter)) = circuit.element_mut(element).map(|e| &mut e.kind) {
                    *filter = filter.with_share(size);
                }
            }
            Fault::LowFeed(source) => {
                if let Some(SourceKind::Ejector { feed_kpa, .. }) =
                    circuit.source_mut(source).map(|named| &mut named.source.kind)
                {
                    *feed_kpa = size;
                }
            }
            Fault::PorousPart => {
                for id in circuit.cup_ids() {
                    let Some(cup) = circuit.cup_mut(id) else { continue };
                    if cup.area_mm2 > 0.0 {
                        cup.leaks.retain(|leak| !matches!(leak, Leak::Porous { .. }));
                        cup.leaks.push(Leak::porous(size, cup.area_mm2));
                    }
                }
            }
        })
        .ok()
}

#[cfg(test)]
mod tests;
