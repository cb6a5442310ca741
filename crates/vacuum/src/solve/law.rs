//! A network's elements as laws of flow, ready for iteration.

use crate::leak::{LeakLaw, delta, restriction_terms};
use crate::line::Parts;
use crate::network::{ElementKind, Network};
use crate::restriction::{Restriction, Seep};
use crate::source::SourceLaw;

/// Slope of a choked element by its downstream squared pressure, as a share of that by the upstream one, of a choked leak as a
/// share of that of an open one: no row of the
/// matrix may lose its hold.
const CHOKED_SHARE: f64 = 1e-9;
/// What a shut check valve lets back under one atmosphere, as a share of what it passes open.
const BACK_SHARE: f64 = 1e-8;
/// Reference pressure of the shares, Pa.
const REFERENCE_PA: f64 = 101_325.0;
/// Least flow to be expected, kg/s.
const LEAST_TYPICAL: f64 = 1e-6;
/// The inlet of a line stays below this squared share of its choking speed while iterating.
const MOST_INLET_SPEED: f64 = 0.98;

/// A two-ended element.
#[derive(Debug, Clone)]
pub(crate) enum Between {
    /// Shut valve.
    Shut,
    /// Hose and fittings; `kinetic` is 0 or R T / A².
    Line { parts: Parts, kinetic: f64 },
    /// Anything by conductance and ratio. `opening` Pa and `back` (Pa²·s/kg) are those of a check valve.
    Through { lin: f64, quad: f64, b: f64, opening: f64, back: Option<f64> },
}

/// A flow near the current squared pressures: m + up δ(from) + down δ(to).
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Linear {
    pub m: f64,
    pub up: f64,
    pub down: f64,
}

impl Between {
    fn new(kind: &ElementKind, network: &Network) -> Self {
        let air = network.air();
        let through = |restriction: &Restriction, opening: f64, check: Option<Option<Seep>>| {
            let (lin, quad) = restriction_terms(restriction, &air);
            // quad is 1/k²; a shut check valve passes BACK_SHARE of k p under p².
            let back = check.map(|seep| {
                let least = REFERENCE_PA * quad.sqrt() / BACK_SHARE;
                seep.map_or(least, |seep| 1.0 / (1.0 / least + 1.0 / seep.slope(restriction.critical_ratio)))
            });
            Self::Through { lin, quad, b: restriction.critical_ratio, opening, back }
        };
        match kind {
            ElementKind::Line(line) => {
                let parts = line.parts(&air, network.spec().friction_law());
                let kinetic = if line.kinetic { parts.kinetic } else { 0.0 };
                Self::Line { parts, kinetic }
            }
            ElementKind::Valve { open: false, .. } => Self::Shut,
            ElementKind::Restrictor(r) | ElementKind::Filter(r) | ElementKind::Valve { through: r, .. } => {
                through(r, 0.0, None)
            }
            ElementKind::CheckValve { through: r, opening_kpa, seep } => {
                through(r, opening_kpa * 1e3, Some(*seep))
            }
        }
    }

    /// Newton's step of the law at a flow and the squared pressures of both ends, the ends left free.
    pub(crate) fn linear(&self, m: f64, from: f64, to: f64) -> Linear {
        match self {
            Self::Shut => Linear::default(),
            Self::Line { parts, kinetic } if *kinetic > 0.0 => kinetic_line(parts, *kinetic, m, from, to),
            Self::Line { parts, .. } => {
                let (drop, slope) = parts.drop(m);
                let g = 1.0 / slope.max(parts.laminar_slope());
                Linear { m: m + g * (from - to - drop), up: g, down: -g }
            }
            Self::Through { lin, quad, b, opening, back } => {
                let (drop, by_from, by_to) = opened(*b, *opening, from, to);
                let target = crate::leak::flow_of(*lin, *quad, drop);
                let at = if reopens(m, target, *lin, *quad, back.is_some()) { target } else { m };
                let (lost, slope) = match back {
                    Some(back) if at < 0.0 => (back * at, *back),
                    _ => (lin * at + quad * at * at.abs(), lin + 2.0 * quad * at.abs()),
                };
                let g = 1.0 / slope;
                let up = g * by_from;
                Linear { m: at + g * (drop - lost), up, down: (g * by_to).min(-CHOKED_SHARE * up) }
            }
        }
    }

    /// The law's chord up to a typical flow, to begin with when neither flows nor pressures are known.
    pub(crate) fn chord(&self, typical: f64, from: f64, to: f64) -> Linear {
        let (slope, by_from, by_to, drop) = match self {
            Self::Shut => return Linear::default(),
            Self::Line { parts, .. } => (parts.drop(typical).0 / typical, 1.0, -1.0, from - to),
            Self::Through { lin, quad, b, opening, .. } => {
                let (drop, by_from, by_to) = opened(*b, *opening, from, to);
                (lin + quad * typical, by_from, by_to, drop)
            }
        };
        let g = 1.0 / slope;
        Linear { m: g * drop, up: g * by_from, down: (g * by_to).min(-CHOKED_SHARE * g * by_from) }
    }

    /// By how much the law is missed, Pa².
    pub(crate) fn miss(&self, m: f64, from: f64, to: f64) -> f64 {
        match self {
            Self::Shut => 0.0,
            Self::Line { parts, kinetic } => {
                let (up, down) = if m >= 0.0 { (from, to) } else { (to, from) };
                let speed = kinetic * m * m;
                let end = down.max(speed).min(up.max(down));
                let acceleration = if speed > 0.0 { speed * (up / end).ln() } else { 0.0 };
                parts.drop(m.abs()).0 + acceleration - (up - end)
            }
            Self::Through { lin, quad, b, opening, back } => {
                let drop = opened(*b, *opening, from, to).0;
                match back {
                    Some(back) if m < 0.0 => back * m - drop,
                    _ => lin * m + quad * m * m.abs() - drop,
                }
            }
        }
    }
}

/// Whether to linearise at the flow that the ends' pressures ask for instead of the present one: from next to nothing, or
/// from a shut check valve, Newton's step would overshoot by orders of magnitude. Not where the direction changes: near no
/// flow that would go to and fro for ever.
fn reopens(m: f64, target: f64, lin: f64, quad: f64, check: bool) -> bool {
    let nothing = 10.0 * lin / quad;
    let grows = target.abs() > 10.0 * m.abs() && (target * m > 0.0 || m.abs() < nothing);
    if check { target > 0.0 && (m < 0.0 || grows) } else { grows }
}

/// Δ with the opening pressure of a check valve taken off the first end, and its derivatives by both squared pressures.
fn opened(b: f64, opening: f64, from: f64, to: f64) -> (f64, f64, f64) {
    let (p, q) = (from.sqrt(), to.sqrt());
    let lessened = (p - opening).max(1.0);
    let (drop, by_from, by_to) = delta(b, lessened, q);
    (drop, by_from * lessened / p, by_to)
}

/// A line with acceleration: E = drop + x ln(u/d) - (u - d), x = kinetic m², d = max(outlet, x).
fn kinetic_line(parts: &Parts, kinetic: f64, m: f64, from: f64, to: f64) -> Linear {
    let forward = m >= 0.0;
    let (up, down) = if forward { (from, to) } else { (to, from) };
    let size = m.abs();
    let (drop, drop_slope) = parts.drop(size);
    let speed = kinetic * size * size;
    let choked = speed > down;
    let end = if choked { speed.min(up.max(down)) } else { down };
    let head = (up / end).ln();
    let excess = drop + speed * head - (up - end);
    let slope = drop_slope.max(parts.laminar_slope()) + 2.0 * kinetic * size * head.max(0.0);
    let g = 1.0 / slope;
    let inlet = 1.0 - (speed / up).min(MOST_INLET_SPEED);
    let outlet = if choked { CHOKED_SHARE } else { (1.0 - speed / end).max(CHOKED_SHARE) };
    let moved = size - g * excess;
    if forward {
        Linear { m: moved, up: g * inlet, down: -g * outlet }
    } else {
        Linear { m: -moved, up: g * outlet, down: -g * inlet }
    }
}

/// What enters or leaves at one node.
#[derive(Debug, Clone)]
pub(crate) struct At {
    pub node: usize,
    pub law: AtLaw,
}

/// The law of it.
#[derive(Debug, Clone)]
pub(crate) enum AtLaw {
    /// Air entering.
    Leak(LeakLaw),
    /// Air drawn.
    Source(SourceLaw),
}

impl At {
    /// Flow into the node near the current squared pressure: value and derivative by it. `m` is the flow so far.
    pub(crate) fn linear(&self, m: f64, squared: f64) -> (f64, f64) {
        match &self.law {
            AtLaw::Leak(LeakLaw::Constant(m)) => (*m, 0.0),
            AtLaw::Leak(LeakLaw::Through { lin, quad, b, up }) => {
                let (drop, _, by_inside) = delta(*b, *up, squared.sqrt());
                let target = crate::leak::flow_of(*lin, *quad, drop);
                let at = if reopens(m, target, *lin, *quad, false) { target } else { m };
                let g = 1.0 / (lin + 2.0 * quad * at.abs());
                (at + g * (drop - lin * at - quad * at * at.abs()), (g * by_inside).min(-CHOKED_SHARE * g))
            }
            AtLaw::Source(law) => {
                let p = squared.sqrt();
                let (drawn, slope) = law.drawn(p);
                (-drawn, -slope / (2.0 * p))
            }
        }
    }

    /// The flow at a squared pressure.
    pub(crate) fn flow(&self, squared: f64) -> f64 {
        match &self.law {
            AtLaw::Leak(law) => law.flow(squared.sqrt()),
            AtLaw::Source(law) => -law.drawn(squared.sqrt()).0,
        }
    }

    /// By how much a flow misses the law, Pa² (leaks by law); 0 for what is taken from the law itself.
    pub(crate) fn miss(&self, m: f64, squared: f64) -> f64 {
        match &self.law {
            AtLaw::Leak(LeakLaw::Through { lin, quad, b, up }) => {
                lin * m + quad * m * m.abs() - delta(*b, *up, squared.sqrt()).0
            }
            AtLaw::Leak(LeakLaw::Constant(_)) | AtLaw::Source(_) => 0.0,
        }
    }
}

/// All laws of a network.
#[derive(Debug, Clone)]
pub(crate) struct Laws {
    pub between: Vec<Between>,
    pub ends: Vec<(usize, usize)>,
    pub at: Vec<At>,
    /// Of the entries of `at`, those of each cup.
    pub cup_entries: Vec<std::ops::Range<usize>>,
    /// Of the entries of `at`, the one of each running source, or the way back of one that stands still.
    pub source_entries: Vec<Option<usize>>,
    /// Of the entries of `at`, the first of the leaks that are no cup's own.
    pub first_leak: usize,
    /// Squared pressure that a node is kept at.
    pub kept: Vec<Option<f64>>,
    /// Squared pressure outside.
    pub outside: f64,
    /// Squared pressures between which the answer lies at every node.
    pub least: f64,
    /// See `least`.
    pub most: f64,
    /// No element carries more in the steady state, kg/s.
    pub most_flow: f64,
    /// A flow of the size to be expected in an element, kg/s.
    pub typical: f64,
}

impl Laws {
    /// Laws of a checked network. A source that has no curve, which checking has excluded, draws nothing.
    pub(crate) fn new(network: &Network) -> Self {
        let (spec, air) = (network.spec(), network.air());
        let mut at = Vec::new();
        let mut cup_entries = Vec::with_capacity(spec.cups().len());
        for placed in spec.cups() {
            let node = placed.node.0;
            let first = at.len();
            if placed.cup.open {
                at.push(At { node, law: AtLaw::Leak(placed.cup.open_hole().law(&air)) });
            } else {
                let leaks = placed.cup.leaks.iter();
                at.extend(leaks.map(|leak| At { node, law: AtLaw::Leak(leak.law(&air)) }));
            }
            cup_entries.push(first..at.len());
        }
        let first_leak = at.len();
        at.extend(spec.leaks().iter().map(|l| At { node: l.node.0, law: AtLaw::Leak(l.leak.law(&air)) }));
        let mut source_entries = Vec::with_capacity(spec.sources().len());
        for named in spec.sources() {
            let law = if named.source.running {
                named.source.law(&air).ok().map(AtLaw::Source)
            } else {
                named.source.way_back.map(|way| AtLaw::Leak(crate::Leak::Vent(way).law(&air)))
            };
            source_entries.push(law.map(|law| {
                at.push(At { node: named.node.0, law });
                at.len() - 1
            }));
        }
        let kept: Vec<Option<f64>> =
            spec.nodes().iter().map(|node| node.held.map(|p| (p.kpa() * 1e3).powi(2))).collect();
        let drawn = at.iter().map(|at| match &at.law {
            AtLaw::Source(law) => law.free,
            AtLaw::Leak(_) => 0.0,
        });
        let drawn: f64 = drawn.sum();
        let typical = (drawn / (1 + spec.cups().len()) as f64).max(LEAST_TYPICAL);
        // All air leaves through sources, unless some other thing drives it.
        let driven = kept.iter().any(Option::is_some)
            || at.iter().any(|at| match &at.law {
                AtLaw::Leak(LeakLaw::Constant(_)) => true,
                AtLaw::Leak(LeakLaw::Through { up, .. }) => *up > air.ambient_pa(),
                AtLaw::Source(_) => false,
            });
        let most_flow = if driven { f64::INFINITY } else { 1.5 * drawn };
        let between: Vec<Between> = spec.elements().iter().map(|e| Between::new(&e.kind, network)).collect();
        let (least, most) = bounds(&between, &at, &kept, air.ambient_pa());
        Self {
            least,
            most,
            most_flow,
            typical,
            between,
            ends: spec.elements().iter().map(|e| (e.from.0, e.to.0)).collect(),
            at,
            cup_entries,
            source_entries,
            first_leak,
            kept,
            outside: air.ambient_pa().powi(2),
        }
    }
}

/// Squared pressures that no node can leave: air neither falls below where every source stops drawing nor rises above
/// where it comes from.
fn bounds(between: &[Between], at: &[At], kept: &[Option<f64>], ambient: f64) -> (f64, f64) {
    let (mut least, mut most) = (ambient, ambient);
    for at in at {
        match &at.law {
            AtLaw::Source(law) => least = least.min(law.floor.max(0.0)),
            AtLaw::Leak(LeakLaw::Through { up, .. }) => most = most.max(*up),
            // A flow that does not ask for pressure may drive it anywhere.
            AtLaw::Leak(LeakLaw::Constant(_)) => {
                most = f64::INFINITY;
                least = 0.0;
            }
        }
    }
    // What shut check valves let back pushes against their opening pressure.
    most += between.iter().fold(0.0, |sum, law| match law {
        Between::Through { opening, .. } => sum + opening,
        Between::Shut | Between::Line { .. } => sum,
    });
    let kept = || kept.iter().flatten();
    // A little room, so that a bound is never reached by rounding.
    let least = kept().copied().fold(least * least, f64::min) * 0.999;
    (least, kept().copied().fold(most * most, f64::max) * 1.001)
}
