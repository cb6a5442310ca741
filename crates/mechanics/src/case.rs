//! All cups through one load case: the worst instant of each, and of the group.

use crate::factor::{Factor, LipLimit, Reading};
use crate::group::{CupGroup, CupLoad};
use crate::members::Member;
use crate::motion::{Body, Instant, LoadCase, Sweep, Wrench};
use crate::readings::{Readings, SplitLoad, SweptLoad};
use crate::sharing::Sharing;
use crate::strength::LipStrength;
use crate::sweep::{Search, WORST};
use crate::usage::Usage;
use glam::{DVec2, DVec3};

/// Usages closer than this are equal; the first cup of them governs, whatever the last digit says.
const TIE: f64 = 1e-9;

/// All cups through one load case: the worst instant for each, and for the group.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseResult {
    /// Where in the sweep the governing cup is worst, rad; 0 without a sweep.
    pub worst_t: f64,
    /// The state of the motion in which it is worst; as stated where that is as bad as any other.
    pub member: Member,
    /// The instant there, in that state.
    pub instant: Instant,
    /// The load there, about the centre of the cups.
    pub wrench: Wrench,
    /// Each cup's share of it.
    pub loads: Vec<CupLoad>,
    /// What gravity alone gives each cup there; the rest of `loads` comes from accelerations and turning.
    pub weights: Vec<CupLoad>,
    /// Each cup's factor there, in the worse reading.
    pub factors: Vec<Factor>,
    /// The cup with the smallest factor at any instant; the first of equals.
    pub governing: usize,
    /// Each cup's own worst, in the worse reading: t and factor.
    pub cup_worst: Vec<(f64, Factor)>,
    /// The governing cup's worst in each reading, each at its own worst instant.
    pub readings: Readings,
    /// No cup has a factor below this at any instant, in either reading: what the search has proved, within 1e-8 of the
    /// governing factor as a rule.
    pub least_factor: f64,
}

impl CaseResult {
    /// The governing cup's worst factor.
    pub fn factor(&self) -> Factor {
        self.cup_worst[self.governing].1
    }

    /// Each cup's load at the worst instant, weight and motion apart.
    pub fn split_loads(&self) -> impl Iterator<Item = SplitLoad> + '_ {
        self.loads
            .iter()
            .zip(&self.weights)
            .map(|(load, weight)| SplitLoad { weight: *weight, motion: load.plus(-1.0, weight) })
    }
}

/// The worst instant of a load case for every cup and for the group, over the [states](LoadCase::members) of its motion.
///
/// `strengths` stand in the order of the group's cups; a cup without one counts as holding nothing. Without a sweep
/// this is one plain evaluation. With one, the share is affine in (cos t, sin t) and what a cup uses of its strength is
/// convex in them, so that every arc has a bound: the worst of every cup is found to 0.01 degree or 1e-9 relative.
///
/// Both ways of counting a load are looked at, see [`Reading`](crate::Reading): the factor is the smaller.
///
/// # Units
/// As [`load`](crate::load) and [`LipStrength`].
///
/// # Source
/// [`load`](crate::load), [`CupGroup`], [`LipStrength`]; the search: Breiman & Cutler, *A deterministic algorithm for
/// global optimization*, Mathematical Programming 58, 1993 (from memory).
///
/// # Example
/// ```
/// use geometry::LipShape;
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::*;
/// use std::f64::consts::TAU;
/// let shape = LipShape::Round { diameter: 40.0 }; // mm
/// let line = shape.line();
/// let places = [(-200.0, -100.0), (200.0, -100.0), (200.0, 100.0), (-200.0, 100.0)].map(|(x, y)| DVec2::new(x, y));
/// let springs = places.map(|at| CupSpring::along_lip(at, 0.0, 20.0, 10.0, &line, 1.0));
/// let lip = LipStrength {
///     vacuum_force: 0.06 * line.area, // N, at 60 kPa
///     line, turn: 0.0, shape,
///     friction: 0.5, slide_share: 0.9, seal_minimum: 0.0,
/// };
/// let part = Body { mass: 5.0, centre: DVec3::new(0.0, 0.0, -1.0), inertia: DMat3::ZERO };
/// // Carried level, 3 m/s² in the worst direction of the plane.
/// let carry = LoadCase::swept(
///     Instant::still(DVec3::new(0.0, 0.0, -9.80665)),
///     Sweep {
///         gravity_along: DVec3::ZERO, gravity_across: DVec3::ZERO,
///         acceleration_along: DVec3::new(3.0, 0.0, 0.0), acceleration_across: DVec3::new(0.0, 3.0, 0.0),
///         from: 0.0, to: TAU,
///     },
/// );
/// let group = CupGroup::new(&springs)?;
/// let result = worst_case(&part, &carry, &group, &[lip; 4]);
/// assert_eq!(result.factor().limit, LipLimit::Slide);
/// assert!(result.factor().value > 3.0 && result.factor().value < 4.0);
/// # Ok::<(), GroupError>(())
/// ```
pub fn worst_case(body: &Body, case: &LoadCase, group: &CupGroup, strengths: &[LipStrength]) -> CaseResult {
    worst_case_shared(body, case, group, strengths)
}

/// As [`worst_case`], with loads shared in any way that is linear in them: a part that bends among them.
pub fn worst_case_shared(
    body: &Body,
    case: &LoadCase,
    group: &dyn Sharing,
    strengths: &[LipStrength],
) -> CaseResult {
    let about = group.centre().extend(0.0);
    let states = case.members().map(|state| InState::of(body, state, group, strengths, about));
    worst_of(body, states.collect(), group, strengths, about)
}

/// The sweep, if anything varies in it.
pub(crate) fn varying(case: &LoadCase) -> Option<Sweep> {
    case.sweep.filter(|sweep| {
        [sweep.gravity_along, sweep.gravity_across, sweep.acceleration_along, sweep.acceleration_across]
            .iter()
            .any(|&v| v != DVec3::ZERO)
    })
}

/// The parts of a case that the cups share.
struct Shares {
    /// Of gravity alone: fixed, along, across.
    weight: [Vec<CupLoad>; 3],
    /// Of accelerations and turning.
    motion: [Vec<CupLoad>; 3],
}

impl Shares {
    fn of(body: &Body, case: &LoadCase, group: &dyn Sharing, about: DVec3) -> Self {
        let none = vec![CupLoad::default(); group.len()];
        let share = |case: LoadCase| {
            let (parts, wrenches) = (case.parts(), case.wrenches(body, about));
            [0, 1, 2].map(|i| {
                let (part, wrench) = (&parts[i], &wrenches[i]);
                let nothing = wrench.force == DVec3::ZERO && wrench.moment == DVec3::ZERO && part.is_still();
                if nothing { none.clone() } else { group.share_of(part, wrench) }
            })
        };
        Self { weight: share(case.weight()), motion: share(case.motion()) }
    }

    fn cup(&self, i: usize) -> SweptLoad<'_> {
        SweptLoad {
            weight: [&self.weight[0][i], &self.weight[1][i], &self.weight[2][i]],
            motion: [&self.motion[0][i], &self.motion[1][i], &self.motion[2][i]],
        }
    }
}

/// What orders cups: one over the factor, and where that is endless or nothing what the whole load uses.
#[derive(Debug, Clone, Copy)]
struct Weakness {
    usage: f64,
    whole: f64,
}

impl Weakness {
    fn of(strength: Option<&LipStrength>, factor: &Factor, whole: f64) -> Self {
        let whole = if strength.is_none() { f64::INFINITY } else { whole };
        Self { usage: if factor.value.is_finite() { factor.value.recip() } else { whole.min(0.0) }, whole }
    }

    fn exceeds(&self, other: &Self) -> bool {
        let more = |a: f64, b: f64| a > b + TIE * b.abs();
        more(self.usage, other.usage)
            || (self.usage == other.usage && self.usage.is_infinite() && more(self.whole, other.whole))
    }
}

/// Index of the first of the weakest; 0 when there are none.
fn weakest(values: impl Iterator<Item = Weakness>) -> usize {
    let mut best: Option<(usize, Weakness)> = None;
    for (index, value) in values.enumerate() {
        if best.is_none_or(|(_, held)| value.exceeds(&held)) {
            best = Some((index, value));
        }
    }
    best.map_or(0, |(index, _)| index)
}

fn readings(strength: Option<&LipStrength>, load: &SplitLoad, favourable_weight: f64) -> Readings {
    strength.map_or(Readings::NOTHING, |lip| lip.readings(load, favourable_weight))
}

/// One cup's worst over a sweep.
#[derive(Debug, Clone, Copy)]
struct Worst {
    t: f64,
    factor: Factor,
    at_least: f64,
    whole: f64,
}

impl Worst {
    fn weakness(&self, strength: Option<&LipStrength>) -> Weakness {
        Weakness::of(strength, &self.factor, self.whole)
    }
}

/// All cups in one state of a motion.
struct InState {
    member: Member,
    case: LoadCase,
    worst: Vec<Worst>,
    seen: Seen,
}

/// What was looked at to find the worst of a state.
enum Seen {
    /// Nothing varies.
    Instant(AtInstant),
    /// The shares of a sweep.
    Swept(Sweep, Shares),
}

impl InState {
    fn of(
        body: &Body,
        (member, case): (Member, LoadCase),
        group: &dyn Sharing,
        strengths: &[LipStrength],
        about: DVec3,
    ) -> Self {
        let Some(sweep) = varying(&case) else {
            let at = at_one_instant(body, &case, group, strengths, 0.0, about);
            let worst = at.loads.iter().zip(&at.readings).enumerate().map(|(i, (load, both))| {
                let whole = strengths.get(i).map_or(f64::INFINITY, |lip| lip.usage(load));
                let factor = both.worse();
                Worst { t: 0.0, factor, at_least: factor.value, whole }
            });
            return Self { member, case, worst: worst.collect(), seen: Seen::Instant(at) };
        };
        let shares = Shares::of(body, &case, group, about);
        let mut search = Search::new(&sweep);
        let worst = (0..group.len()).map(|i| {
            worst_of_cup(strengths.get(i), &shares.cup(i), case.favourable_weight, &sweep, &mut search)
        });
        let worst = worst.collect();
        Self { member, case, worst, seen: Seen::Swept(sweep, shares) }
    }

    /// One cup's worst in each reading.
    fn readings(&self, cup: usize, lip: &LipStrength) -> Readings {
        match &self.seen {
            Seen::Instant(at) => at.readings[cup],
            Seen::Swept(sweep, shares) => {
                let favourable = self.case.favourable_weight;
                both(lip, &shares.cup(cup), favourable, &self.worst[cup], &mut Search::new(sweep))
            }
        }
    }
}

/// The worst of all states for every cup and for the group.
fn worst_of(
    body: &Body,
    mut each: Vec<InState>,
    group: &dyn Sharing,
    strengths: &[LipStrength],
    about: DVec3,
) -> CaseResult {
    // A group has a cup. The first of equals: as stated, if that is one of them.
    let mut worst: Vec<(usize, Worst)> = (0..group.len())
        .map(|cup| {
            let lip = strengths.get(cup);
            let of = |state: usize| (state, each[state].worst[cup]);
            (1..each.len()).map(of).fold(of(0), |held, next| {
                if next.1.weakness(lip).exceeds(&held.1.weakness(lip)) { next } else { held }
            })
        })
        .collect();
    // As stated before reversed, and then the first cup, of equals.
    let cups = group.len();
    let weaknesses = each
        .iter()
        .flat_map(|state| state.worst.iter().enumerate().map(|(i, of)| of.weakness(strengths.get(i))));
    let first = weakest(weaknesses);
    let (state, governing) = (first / cups, first % cups);
    let of = each[state].worst[governing];
    worst[governing] = (state, of);
    let all = each.iter().flat_map(|state| &state.worst);
    let least_factor = all.map(|of| of.at_least).fold(of.factor.value, f64::min);
    let readings = strengths.get(governing).map_or(Readings::NOTHING, |lip| {
        let others = each.iter().enumerate().filter(|(index, _)| *index != state);
        others.fold(each[state].readings(governing, lip), |held, (_, other)| {
            held.worse_of_each(&other.readings(governing, lip), of.factor.value)
        })
    });
    let InState { member, case, seen, .. } = each.swap_remove(state);
    let at = match seen {
        Seen::Instant(at) => at,
        Seen::Swept(..) => at_one_instant(body, &case, group, strengths, of.t, about),
    };
    CaseResult {
        worst_t: of.t,
        member,
        instant: at.instant,
        wrench: at.wrench,
        factors: at.readings.iter().map(Readings::worse).collect(),
        loads: at.loads,
        weights: at.weights,
        governing,
        cup_worst: worst.iter().map(|(_, of)| (of.t, of.factor)).collect(),
        readings,
        least_factor,
    }
}

/// All cups at one instant.
struct AtInstant {
    instant: Instant,
    wrench: Wrench,
    loads: Vec<CupLoad>,
    weights: Vec<CupLoad>,
    readings: Vec<Readings>,
}

fn at_one_instant(
    body: &Body,
    case: &LoadCase,
    group: &dyn Sharing,
    strengths: &[LipStrength],
    t: f64,
    about: DVec3,
) -> AtInstant {
    let instant = case.at(t);
    let wrench = crate::load(body, &instant, about);
    let loads = group.share_of(&instant, &wrench);
    let shares = Shares::of(body, &LoadCase { fixed: instant, sweep: None, ..*case }, group, about);
    let [weights, ..] = shares.weight;
    let [motions, ..] = shares.motion;
    let readings: Vec<Readings> = (0..group.len())
        .map(|i| {
            let split = SplitLoad { weight: weights[i], motion: motions[i] };
            let mut both = readings(strengths.get(i), &split, case.favourable_weight);
            if let Some(lip) = strengths.get(i) {
                both.whole_load = lip.factor(&loads[i]); // of the load that is shown, to its last digit
            }
            both
        })
        .collect();
    AtInstant { instant, wrench, loads, weights, readings }
}

/// The worst of one cup in the worse reading.
fn worst_of_cup(
    lip: Option<&LipStrength>,
    load: &SweptLoad<'_>,
    favourable_weight: f64,
    sweep: &Sweep,
    search: &mut Search,
) -> Worst {
    let dead = Worst { t: sweep.from, factor: Factor::NOTHING, at_least: 0.0, whole: f64::INFINITY };
    let Some(lip) = lip else { return dead };
    let [fixed, along, across] = load.counted(1.0, 1.0);
    let Some(usage) = Usage::new(lip, [&fixed, &along, &across]) else { return dead };
    let peak = search.peak(&usage, WORST);
    let factor = lip.factor(&load.at(DVec2::from_angle(peak.t)).whole());
    let at_least = if peak.bound > 0.0 { peak.bound.recip() } else { f64::INFINITY };
    let whole = Worst { t: peak.t, factor, at_least: at_least.min(factor.value), whole: peak.value };
    match load.kept_before(lip, favourable_weight, factor.value, search) {
        Some(kept) => {
            let at_least = whole.at_least.min(kept.at_least);
            Worst { t: kept.t, factor: kept.factor, at_least, ..whole }
        }
        None => whole,
    }
}

/// The governing cup's worst in each reading.
fn both(
    lip: &LipStrength,
    load: &SweptLoad<'_>,
    favourable_weight: f64,
    worst: &Worst,
    search: &mut Search,
) -> Readings {
    let none = Factor { value: f64::INFINITY, limit: LipLimit::Seal, reading: Reading::WeightOnce };
    if worst.factor.reading.keeps_weight() {
        let [fixed, along, across] = load.counted(1.0, 1.0);
        let whole_load = Usage::new(lip, [&fixed, &along, &across]).map_or(Factor::NOTHING, |usage| {
            let peak = search.peak(&usage, WORST);
            lip.factor(&load.at(DVec2::from_angle(peak.t)).whole())
        });
        return Readings { whole_load, weight_kept: worst.factor };
    }
    let weight_kept = load.kept(lip, favourable_weight, search).map_or(none, |kept| kept.factor);
    // Within the precision of the search they may be equal.
    let value = weight_kept.value.max(worst.factor.value);
    Readings { whole_load: worst.factor, weight_kept: Factor { value, ..weight_kept } }
}

#[cfg(test)]
mod tests;
