//! What would explain a measurement: every single fault tried, its size fitted, by solving the circuit again.

use crate::leak::Leak;
use crate::line::Line;
use crate::network::{CupId, ElementId, ElementKind, Network, SourceId};
use crate::solve::{State, solve};
use crate::source::SourceKind;
use crate::time::{Follow, Watch, follow};
use units::VacuumLevel;

/// A time measured in the field: from the start of evacuation until a cup is at a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimedLevel {
    /// The cup.
    pub cup: CupId,
    /// The level timed to.
    pub level: VacuumLevel,
    /// The time measured, s.
    pub after_s: f64,
}

/// What was measured in the field.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// Steady levels at cups.
    pub levels: Vec<(CupId, VacuumLevel)>,
    /// Times to levels.
    pub times: Vec<TimedLevel>,
}

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
}

/// A fault and how well it would explain what was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// The fault.
    pub fault: Fault,
    /// In words, with names and the size that fits best.
    pub name: String,
    /// That size: bore of the leak in mm, share of the filter's conductance left, feed pressure in kPa.
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
/// Sizes tried over the whole range, and refinements around the best of them.
const COARSE: usize = 12;
const REFINED: usize = 18;
/// A time that is never reached counts as this much level off, kPa.
const NEVER_KPA: f64 = 50.0;

/// Which single fault explains best what was measured: every leak at a cup, every leaking hose, every clogged filter, every low
/// feed, each with the size that fits best, best first.
///
/// The network is the circuit as it was when it was well. Two faults at once are not tried: mend the first of the list and measure
/// again. Levels at several cups tell more than one, since they show where the leak is.
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
/// let causes = rank_causes(&network, &Measured { levels, times: Vec::new() });
/// assert_eq!(causes[0].fault, Fault::LeakAtCup(cups[1]));
/// ```
#[must_use]
pub fn rank_causes(network: &Network, measured: &Measured) -> Vec<Cause> {
    let well = solve(network, None).state;
    let mut causes: Vec<Cause> = candidates(network)
        .into_iter()
        .filter_map(|candidate| candidate.fit(network, measured, &well))
        .collect();
    causes.sort_by(|a, b| a.unexplained_kpa.total_cmp(&b.unexplained_kpa));
    causes
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
    list
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

    fn fit(&self, network: &Network, measured: &Measured, well: &State) -> Option<Cause> {
        let faulty = |share: f64| with_fault(network, self.fault, self.size(share));
        let off =
            |share: f64| faulty(share).and_then(|n| misfit(&n, measured, well)).unwrap_or(f64::INFINITY);
        // A coarse look at the whole range, then golden section around the best of it.
        let coarse = (0..=COARSE).map(|i| i as f64 / COARSE as f64);
        let tried: Vec<(f64, f64)> = coarse.map(|share| (share, off(share))).collect();
        let best = *tried.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
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
        let (share, unexplained_kpa) =
            [best, (a, off_a), (b, off_b)].into_iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let size = self.size(share);
        unexplained_kpa.is_finite().then(|| Cause {
            fault: self.fault,
            name: words(network, self.fault, size),
            size,
            unexplained_kpa,
        })
    }
}

fn words(network: &Network, fault: Fault, size: f64) -> String {
    let spec = network.spec();
    let name = |list: Option<&std::sync::Arc<str>>| list.map_or_else(String::new, ToString::to_string);
    match fault {
        Fault::LeakAtCup(cup) => {
            let cup = name(spec.cups().get(cup.index()).map(|placed| &placed.cup.name));
            format!("leak at cup {cup}, as large as a hole of {size:.1} mm")
        }
        Fault::LeakInHose(element) => {
            let hose = name(spec.elements().get(element.index()).map(|element| &element.name));
            format!("leak in {hose}, as large as a hole of {size:.1} mm")
        }
        Fault::CloggedFilter(element) => {
            let filter = name(spec.elements().get(element.index()).map(|element| &element.name));
            format!("{filter} clogged to {:.0} % of what it passes clean", size * 100.0)
        }
        Fault::LowFeed(source) => {
            let source = name(spec.sources().get(source.index()).map(|source| &source.name));
            format!("{source} fed with {size:.0} kPa")
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
        })
        .ok()
}

/// How far a network is off what was measured, root mean square, kPa; `None` if it cannot be solved or nothing was measured.
fn misfit(network: &Network, measured: &Measured, well: &State) -> Option<f64> {
    let mut squares = 0.0;
    if !measured.levels.is_empty() {
        let solution = solve(network, Some(well));
        for &(cup, level) in &measured.levels {
            squares += (solution.level(cup)?.kpa() - level.kpa()).powi(2);
        }
    }
    if !measured.times.is_empty() {
        squares += timed(network, &measured.times);
    }
    let count = measured.levels.len() + measured.times.len();
    (count > 0).then(|| (squares / count as f64).sqrt())
}

/// Sum of squares of how far the levels at the times measured are off the levels timed to, kPa².
fn timed(network: &Network, times: &[TimedLevel]) -> f64 {
    let until_s = times.iter().map(|time| time.after_s).fold(0.0, f64::max);
    let watches = times.iter().map(|time| Watch { cup: time.cup, level: time.level, rising: true }).collect();
    let course = follow(network, None, &Follow { watches, until_s, accuracy_kpa: 0.1, ..Follow::default() });
    let off = |time: &TimedLevel| {
        let after = course.samples.partition_point(|sample| sample.time_s < time.after_s);
        let level = |index: usize| {
            let sample = course.samples.get(index)?;
            Some((sample.time_s, sample.levels.get(time.cup.index())?.kpa()))
        };
        let (t1, l1) = level(after.min(course.samples.len().saturating_sub(1)))?;
        let (t0, l0) = level(after.saturating_sub(1))?;
        let share = if t1 > t0 { ((time.after_s - t0) / (t1 - t0)).clamp(0.0, 1.0) } else { 0.0 };
        Some(l0 + share * (l1 - l0) - time.level.kpa())
    };
    times.iter().map(|time| off(time).unwrap_or(NEVER_KPA).powi(2)).sum()
}

#[cfg(test)]
mod tests;
