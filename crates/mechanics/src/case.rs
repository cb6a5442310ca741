//! All cups through one load case: the worst instant of each, and of the group.

use crate::factor::{Factor, LipLimit};
use crate::group::{CupGroup, CupLoad};
use crate::motion::{Body, Instant, LoadCase, Sweep, Wrench};
use crate::strength::LipStrength;
use crate::sweep::{Peak, Search};
use crate::usage::Usage;
use glam::DVec3;

/// Relative precision of the worst factor of a cup that does not govern.
const EACH: f64 = 1e-4;
/// Relative precision of the governing cup's worst factor, unless 0.01 degree is reached first.
const GOVERNING: f64 = 1e-9;
/// Usages closer than this are equal; the first cup of them governs, whatever the last digit says.
const TIE: f64 = 1e-9;

/// All cups through one load case: the worst instant for each, and for the group.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseResult {
    /// Where in the sweep the governing cup is worst, rad; 0 without a sweep.
    pub worst_t: f64,
    /// The instant there.
    pub instant: Instant,
    /// The load there, about the centre of the cups.
    pub wrench: Wrench,
    /// Each cup's share of it.
    pub loads: Vec<CupLoad>,
    /// Each cup's factor there.
    pub factors: Vec<Factor>,
    /// The cup with the smallest factor at any instant; the first of equals.
    pub governing: usize,
    /// Each cup's own worst: t and factor.
    pub cup_worst: Vec<(f64, Factor)>,
    /// No cup has a factor below this at any instant: what the search has proved, within 1e-4 of the governing factor.
    pub least_factor: f64,
}

impl CaseResult {
    /// The governing cup's worst factor.
    pub fn factor(&self) -> Factor {
        self.cup_worst[self.governing].1
    }
}

/// The worst instant of a load case for every cup and for the group.
///
/// `strengths` stand in the order of the group's cups; a cup without one counts as holding nothing. Without a sweep
/// this is one plain evaluation. With one, the share is affine in (cos t, sin t) and what a cup uses of its strength is
/// convex in them, so that every arc has a bound: the worst of the governing cup is found to 0.01 degree or 1e-9
/// relative, that of every other cup is proved to 1e-4.
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
/// let carry = LoadCase {
///     fixed: Instant::still(DVec3::new(0.0, 0.0, -9.80665)),
///     sweep: Some(Sweep {
///         gravity_along: DVec3::ZERO, gravity_across: DVec3::ZERO,
///         acceleration_along: DVec3::new(3.0, 0.0, 0.0), acceleration_across: DVec3::new(0.0, 3.0, 0.0),
///         from: 0.0, to: TAU,
///     }),
/// };
/// let group = CupGroup::new(&springs)?;
/// let result = worst_case(&part, &carry, &group, &[lip; 4]);
/// assert_eq!(result.factor().limit, LipLimit::Slide);
/// assert!(result.factor().value > 3.0 && result.factor().value < 4.0);
/// # Ok::<(), GroupError>(())
/// ```
pub fn worst_case(body: &Body, case: &LoadCase, group: &CupGroup, strengths: &[LipStrength]) -> CaseResult {
    let about = group.centre().extend(0.0);
    match varying(case) {
        None => at_one_instant(body, case, group, strengths, 0.0, about),
        Some(sweep) => over_a_sweep(body, case, &sweep, group, strengths, about),
    }
}

/// The sweep, if anything varies in it.
fn varying(case: &LoadCase) -> Option<Sweep> {
    case.sweep.filter(|sweep| {
        [sweep.gravity_along, sweep.gravity_across, sweep.acceleration_along, sweep.acceleration_across]
            .iter()
            .any(|&v| v != DVec3::ZERO)
    })
}

/// Factor of a cup; one without a strength holds nothing.
fn factor(strength: Option<&LipStrength>, load: &CupLoad) -> Factor {
    strength.map_or(Factor { value: 0.0, limit: LipLimit::Seal }, |lip| lip.factor(load))
}

/// What a cup uses at one load, to tell apart factors that are infinite; infinite for a cup that holds nothing.
fn usage(strength: Option<&LipStrength>, load: &CupLoad) -> f64 {
    let Some(lip) = strength else { return f64::INFINITY };
    let ((seal, slide), (need_seal, need_slide)) = (lip.available(), lip.demand(load));
    let share =
        |available: f64, demand: f64| if available > 0.0 { demand / available } else { f64::INFINITY };
    let usage = share(seal, need_seal).max(share(slide, need_slide));
    if usage.is_nan() { f64::INFINITY } else { usage }
}

fn at_one_instant(
    body: &Body,
    case: &LoadCase,
    group: &CupGroup,
    strengths: &[LipStrength],
    t: f64,
    about: DVec3,
) -> CaseResult {
    let instant = case.at(t);
    let wrench = crate::load(body, &instant, about);
    let loads = group.share(&wrench);
    let factors: Vec<_> = loads.iter().enumerate().map(|(i, load)| factor(strengths.get(i), load)).collect();
    let usages = loads.iter().enumerate().map(|(i, load)| usage(strengths.get(i), load));
    let governing = largest(usages);
    CaseResult {
        worst_t: t,
        instant,
        wrench,
        least_factor: factors[governing].value,
        cup_worst: factors.iter().map(|&factor| (t, factor)).collect(),
        loads,
        factors,
        governing,
    }
}

/// Index of the first of the largest values; 0 when there are none.
fn largest(values: impl Iterator<Item = f64>) -> usize {
    let mut best = (0, f64::NEG_INFINITY);
    for (index, value) in values.enumerate() {
        if value > best.1 + TIE * best.1.abs() || (index == 0) {
            best = (index, value);
        }
    }
    best.0
}

fn over_a_sweep(
    body: &Body,
    case: &LoadCase,
    sweep: &Sweep,
    group: &CupGroup,
    strengths: &[LipStrength],
    about: DVec3,
) -> CaseResult {
    let [fixed, along, across] = case.wrenches(body, about).map(|wrench| group.share(&wrench));
    let mut search = Search::new(sweep);
    let usages: Vec<Option<Usage>> = (0..group.len())
        .map(|i| strengths.get(i).and_then(|lip| Usage::new(lip, [&fixed[i], &along[i], &across[i]])))
        .collect();
    let dead = Peak { t: sweep.from, value: f64::INFINITY, bound: f64::INFINITY };
    let mut peaks: Vec<Peak> =
        usages.iter().map(|usage| usage.as_ref().map_or(dead, |usage| search.peak(usage, EACH))).collect();
    let governing = largest(peaks.iter().map(|peak| peak.value));
    if let Some(usage) = &usages[governing] {
        let sharp = search.peak(usage, GOVERNING);
        if sharp.value >= peaks[governing].value {
            peaks[governing] = sharp;
        }
    }
    let cup_worst: Vec<(f64, Factor)> = peaks
        .iter()
        .enumerate()
        .map(|(i, peak)| {
            let (sin, cos) = peak.t.sin_cos();
            let load = fixed[i].plus(cos, &along[i]).plus(sin, &across[i]);
            (peak.t, factor(strengths.get(i), &load))
        })
        .collect();
    let bound = peaks.iter().map(|peak| peak.bound).fold(f64::NEG_INFINITY, f64::max);
    let least_factor = if bound > 0.0 { bound.recip() } else { f64::INFINITY };
    let worst = at_one_instant(body, case, group, strengths, peaks[governing].t, about);
    CaseResult { governing, least_factor: least_factor.min(cup_worst[governing].1.value), cup_worst, ..worst }
}

#[cfg(test)]
mod tests;
