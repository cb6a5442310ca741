//! The motion multiplied while the weight is counted once: how far one lip goes.

use crate::factor::{Factor, LipLimit, Reading};
use crate::group::CupLoad;
use crate::strength::LipStrength;
use crate::sweep::{Search, WORST};
use crate::usage::Usage;
use glam::DVec2;

/// A multiple is found to this, relative.
const PRECISION: f64 = 1e-13;
/// No worst direction is looked for more precisely than this, relative: what rounding leaves of a usage.
const FINEST: f64 = 1e-14;
/// Multiples this large count as no limit.
const UNLIMITED: f64 = 1e12;
/// Steps of a search for a root; it takes about ten.
const STEPS: usize = 200;
/// Times a worst direction is looked for; it takes three or four.
const ROUNDS: usize = 30;

/// What one cup gets: of the weight, and of the motion (everything that accelerations and turning do).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SplitLoad {
    /// Of gravity alone.
    pub weight: CupLoad,
    /// Of accelerations and turning.
    pub motion: CupLoad,
}

impl SplitLoad {
    /// Both together.
    pub fn whole(&self) -> CupLoad {
        self.weight.plus(1.0, &self.motion)
    }

    /// The load when the rest is counted `times`.
    pub fn counted(&self, reading: Reading, times: f64, favourable_weight: f64) -> CupLoad {
        let weight = reading.weight_times(times, favourable_weight);
        self.weight.times(weight).plus(times, &self.motion)
    }

    /// All loads that have to be carried for a factor of `times`: the whole load multiplied, the motion multiplied with
    /// the weight once and with its favourable share, and the weight itself.
    pub fn all_counted(&self, times: f64, favourable_weight: f64) -> [CupLoad; 4] {
        let counted = |reading| self.counted(reading, times, favourable_weight);
        let [whole, once, share] =
            [Reading::WholeLoad, Reading::WeightOnce, Reading::FavourableWeight].map(counted);
        // With no motion there is none to be multiplied, and the whole load says it all.
        if self.motion == CupLoad::default() {
            return [whole; 4];
        }
        [whole, once, share, self.weight]
    }
}

/// Both ways of counting, for one lip under one load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// The whole load multiplied.
    pub whole_load: Factor,
    /// The motion multiplied, with the weight once or its favourable share, whichever is worse.
    pub weight_kept: Factor,
}

impl Readings {
    /// Of a lip that holds nothing.
    pub(crate) const NOTHING: Self = Self { whole_load: Factor::NOTHING, weight_kept: Factor::NOTHING };

    /// The worse of two states of a motion in each reading, neither below `least`, the worst of all, which leaves out what
    /// a search leaves open.
    pub(crate) fn worse_of_each(&self, other: &Self, least: f64) -> Self {
        let smaller = |held: Factor, other: Factor| {
            if other.value.max(least) < held.value {
                Factor { value: other.value.max(least), ..other }
            } else {
                held
            }
        };
        Self {
            whole_load: smaller(self.whole_load, other.whole_load),
            weight_kept: smaller(self.weight_kept, other.weight_kept),
        }
    }

    /// The one that counts: the smaller; the whole load when both are equal.
    pub fn worse(&self) -> Factor {
        if self.weight_kept.value < self.whole_load.value { self.weight_kept } else { self.whole_load }
    }
}

impl LipStrength {
    /// Largest multiples of a load of weight and motion that meet both limits while the vacuum force stays, in both ways
    /// of counting: see [`Reading`].
    ///
    /// With nothing but weight there is no motion to be multiplied and no limit to it.
    ///
    /// # Source
    /// What a load uses of a lip is convex in it, so the multiples that the lip carries reach from 0 to one end; that is
    /// found between two bounds (Illinois rule, Dowell & Jarratt, BIT 11, 1971, from memory).
    ///
    /// # Example
    /// ```
    /// use geometry::LipShape;
    /// use glam::DVec2;
    /// use mechanics::{CupLoad, LipStrength, Reading, SplitLoad};
    /// let shape = LipShape::Round { diameter: 40.0 }; // mm
    /// let lip = LipStrength {
    ///     vacuum_force: 60.0, line: shape.line(), turn: 0.0, shape,
    ///     friction: 0.5, slide_share: 1.0, seal_minimum: 0.0,
    /// };
    /// // Upside down: the weight presses with 40 N, the motion slides with 10 N.
    /// let load = SplitLoad {
    ///     weight: CupLoad { pull: -40.0, ..Default::default() },
    ///     motion: CupLoad { slide: DVec2::new(10.0, 0.0), ..Default::default() },
    /// };
    /// let readings = lip.readings(&load, 0.9);
    /// // Multiplied with the motion the weight would hold any of it; counted on with 0.9 it holds 0.5 (60 + 36) N.
    /// assert_eq!(readings.whole_load.value, f64::INFINITY);
    /// assert!((readings.worse().value - 4.8).abs() < 1e-12);
    /// assert_eq!(readings.worse().reading, Reading::FavourableWeight);
    /// ```
    pub fn readings(&self, load: &SplitLoad, favourable_weight: f64) -> Readings {
        let whole_load = self.factor(&load.whole());
        let once = self.kept(load, Reading::WeightOnce, favourable_weight);
        let share = self.kept(load, Reading::FavourableWeight, favourable_weight);
        Readings { whole_load, weight_kept: if once.value <= share.value { once } else { share } }
    }

    /// Largest multiple of the motion beside a weight that stays.
    fn kept(&self, load: &SplitLoad, reading: Reading, favourable_weight: f64) -> Factor {
        let at = |times: f64| self.usage(&load.counted(reading, times, favourable_weight));
        let value = if load.motion == CupLoad::default() { f64::INFINITY } else { end(self, load, &at) };
        let limit = if value.is_finite() {
            self.limit_at(&load.counted(reading, value, favourable_weight))
        } else {
            LipLimit::Seal
        };
        Factor { value, limit, reading }
    }

    /// What a load uses of the lip, the larger of both limits: 1 when it is just carried. Infinite for a lip that holds
    /// nothing.
    pub(crate) fn usage(&self, load: &CupLoad) -> f64 {
        let (seal, slide) = self.usages(load);
        let usage = seal.max(slide);
        if seal.is_nan() || slide.is_nan() { f64::INFINITY } else { usage }
    }

    fn usages(&self, load: &CupLoad) -> (f64, f64) {
        let ((seal, slide), (need_seal, need_slide)) = (self.available(), self.demand(load));
        let share =
            |available: f64, demand: f64| if available > 0.0 { demand / available } else { f64::INFINITY };
        (share(seal, need_seal), share(slide, need_slide))
    }

    /// The limit that a load comes closer to; the seal of equals.
    fn limit_at(&self, load: &CupLoad) -> LipLimit {
        let (seal, slide) = self.usages(load);
        if slide > seal { LipLimit::Slide } else { LipLimit::Seal }
    }
}

/// The end of the multiples that a lip carries beside a weight.
fn end(lip: &LipStrength, load: &SplitLoad, at: &dyn Fn(f64) -> f64) -> f64 {
    let start = at(0.0);
    if start > 1.0 {
        return 0.0;
    }
    // A motion that uses nothing by itself never ends it: usage(weight + t motion) <= usage(weight) + t usage(motion).
    let slope = lip.usage(&load.motion);
    if slope <= UNLIMITED.recip() {
        return f64::INFINITY;
    }
    if lip.grip() <= 0.0 && slope == f64::INFINITY {
        return 0.0; // without friction the least slide is too much
    }
    // t usage(motion) <= usage(all) + usage(minus weight): beyond this nothing is carried.
    let back = lip.usage(&load.weight.times(-1.0)).max(0.0);
    let mut beyond = (1.0 + back) / slope;
    while at(beyond) <= 1.0 {
        beyond *= 2.0;
        if beyond > UNLIMITED {
            return f64::INFINITY;
        }
    }
    root(at, (0.0, start), beyond)
}

/// The t at which a convex function goes through 1: it is at most 1 at `low` and more at `high`.
fn root(at: &dyn Fn(f64) -> f64, low: (f64, f64), high: f64) -> f64 {
    let (mut low, mut high) = ((low.0, low.1 - 1.0), (high, at(high) - 1.0));
    let (mut low_weight, mut high_weight) = (low.1, high.1);
    for step in 0..STEPS {
        if low.1 == 0.0 || high.0 - low.0 <= PRECISION * high.0 {
            break;
        }
        let share = -low_weight / (high_weight - low_weight);
        // Every fourth step halves the bracket, so that nothing stalls it.
        let share = if step % 4 == 3 || !share.is_finite() { 0.5 } else { share.clamp(0.0, 1.0) };
        let t = low.0 + share * (high.0 - low.0);
        if t <= low.0 || t >= high.0 {
            break;
        }
        let value = at(t) - 1.0;
        if value <= 0.0 {
            (low, low_weight) = ((t, value), value);
            high_weight *= 0.5;
        } else {
            (high, high_weight) = ((t, value), value);
            low_weight *= 0.5;
        }
    }
    low.0
}

/// The end of the multiples over a whole sweep, and where.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Kept {
    /// The direction that ends it, rad.
    pub t: f64,
    pub factor: Factor,
    /// No direction ends it before this.
    pub at_least: f64,
}

/// One cup through a sweep: its weight and its motion, each fixed, along and across.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SweptLoad<'a> {
    pub weight: [&'a CupLoad; 3],
    pub motion: [&'a CupLoad; 3],
}

impl SweptLoad<'_> {
    pub(crate) fn at(&self, u: DVec2) -> SplitLoad {
        let sum = |[fixed, along, across]: [&CupLoad; 3]| fixed.plus(u.x, along).plus(u.y, across);
        SplitLoad { weight: sum(self.weight), motion: sum(self.motion) }
    }

    /// Fixed, along and across of `weight` times the weight and `times` the motion.
    pub(crate) fn counted(&self, weight: f64, times: f64) -> [CupLoad; 3] {
        std::array::from_fn(|i| self.weight[i].times(weight).plus(times, self.motion[i]))
    }

    fn usage(&self, lip: &LipStrength, weight: f64, times: f64) -> Option<Usage> {
        let [fixed, along, across] = self.counted(weight, times);
        Usage::new(lip, [&fixed, &along, &across])
    }

    fn moves(&self) -> bool {
        self.motion.iter().any(|load| **load != CupLoad::default())
    }

    /// The end of the multiples of the motion over all directions, if it comes before `before`, the end for the
    /// whole load; in the worse of weight once and its favourable share.
    ///
    /// # Source
    /// What is used is convex in the multiple, for every direction and so for the worst of them: with the worst direction
    /// at one multiple, the end for that direction is a smaller multiple that is still no less than the end for all
    /// (Newton's method from above, with the end of a ray in place of a tangent's).
    pub(crate) fn kept_before(
        &self,
        lip: &LipStrength,
        favourable_weight: f64,
        before: f64,
        search: &mut Search,
    ) -> Option<Kept> {
        if !self.moves() || before <= 0.0 {
            return None;
        }
        if let Some(nothing) = self.too_heavy(lip, search) {
            return Some(nothing);
        }
        let share = self.end_before(lip, Reading::FavourableWeight, favourable_weight, before, search);
        let until = share.map_or(before, |kept| kept.factor.value);
        // From 1 on, weight once lies between its share and the whole load multiplied: never worse than the worse.
        if until >= 1.0 || favourable_weight == 1.0 {
            return share;
        }
        self.end_before(lip, Reading::WeightOnce, favourable_weight, until, search).or(share)
    }

    /// The end of the multiples of the motion over all directions, however far the whole load may be multiplied.
    pub(crate) fn kept(
        &self,
        lip: &LipStrength,
        favourable_weight: f64,
        search: &mut Search,
    ) -> Option<Kept> {
        if !self.moves() {
            return None;
        }
        if let Some(nothing) = self.too_heavy(lip, search) {
            return Some(nothing);
        }
        let share = self.end_before(lip, Reading::FavourableWeight, favourable_weight, f64::INFINITY, search);
        let until = share.map_or(f64::INFINITY, |kept| kept.factor.value);
        self.end_before(lip, Reading::WeightOnce, favourable_weight, until, search).or(share)
    }

    /// The direction in which the weight alone is too much, which leaves nothing for the motion.
    fn too_heavy(&self, lip: &LipStrength, search: &mut Search) -> Option<Kept> {
        let t = search.above(&self.usage(lip, 1.0, 0.0)?, 1.0, WORST)?;
        let limit = lip.limit_at(&self.at(DVec2::from_angle(t)).weight);
        let factor = Factor { value: 0.0, limit, reading: Reading::WeightOnce };
        Some(Kept { t, factor, at_least: 0.0 })
    }

    fn end_before(
        &self,
        lip: &LipStrength,
        reading: Reading,
        favourable_weight: f64,
        before: f64,
        search: &mut Search,
    ) -> Option<Kept> {
        let weight = reading.weight_times(1.0, favourable_weight);
        let found = |t: f64, value: f64, at_least: f64| {
            let load = self.at(DVec2::from_angle(t)).counted(reading, value, favourable_weight);
            Some(Kept { t, factor: Factor { value, limit: lip.limit_at(&load), reading }, at_least })
        };
        let alone = search.peak(&self.usage(lip, weight, 0.0)?, WORST);
        if alone.value > 1.0 {
            return found(alone.t, 0.0, 0.0);
        }
        // The multiple is what the weight leaves over that of the motion: the less it leaves, the finer this is looked for.
        let rest = alone.bound.min(1.0);
        let finer = (WORST * (1.0 - rest)).max(FINEST);
        let mut t = if before.is_finite() {
            search.above(&self.usage(lip, weight, before)?, 1.0, finer)?
        } else {
            search.above(&self.usage(lip, 0.0, 1.0)?, UNLIMITED.recip(), WORST)?
        };
        let end_at = |t: f64| lip.kept(&self.at(DVec2::from_angle(t)), reading, favourable_weight).value;
        let mut value = end_at(t).min(before);
        if !value.is_finite() {
            return None;
        }
        let mut bound = 1.0;
        for _ in 0..ROUNDS {
            let peak = search.peak(&self.usage(lip, weight, value)?, finer);
            bound = peak.bound;
            let next = if peak.value > 1.0 { end_at(peak.t) } else { value };
            if next.is_nan() || next >= value * (1.0 - PRECISION) {
                break;
            }
            (t, value) = (peak.t, next);
        }
        if value >= before {
            return None;
        }
        // Between no motion and this much the bound grows no faster than its chord.
        let at_least = if bound > 1.0 { value * (1.0 - rest) / (bound - rest) } else { value };
        found(t, value, at_least.max(0.0))
    }
}

#[cfg(test)]
mod tests;
