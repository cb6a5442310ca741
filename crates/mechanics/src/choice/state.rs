//! One motion, ready for any set of places.

use crate::case::varying;
use crate::motion::{Body, LoadCase, Wrench};
use crate::readings::SplitLoad;
use crate::strength::LipStrength;
use crate::sweep::Directions;
use crate::usage::Prepared;
use glam::{DVec2, DVec3};

/// A usage this much above 1 is rounding.
const ROUNDING: f64 = 1e-12;

/// One state of one motion.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub duty: usize,
    favourable: f64,
    /// Loads of gravity and of the motion, each fixed, along and across; `None` where there is none.
    pub parts: [Option<Wrench>; 6],
    moves: bool,
    /// (cos t, sin t) at which it is looked at; one of nothing where nothing varies.
    pub directions: Vec<DVec2>,
}

impl State {
    /// All that does not hang on the places.
    pub(super) fn of(body: &Body, duty: usize, case: &LoadCase) -> Self {
        let of = |case: LoadCase| case.wrenches(body, DVec3::ZERO);
        let ([a, b, c], [d, e, f]) = (of(case.weight()), of(case.motion()));
        let parts = [a, b, c, d, e, f].map(|wrench| {
            let acts = wrench.force != DVec3::ZERO || wrench.moment != DVec3::ZERO;
            acts.then_some(wrench)
        });
        let directions = match varying(case) {
            Some(sweep) => Directions::twice_of(&sweep),
            None => vec![DVec2::ZERO],
        };
        let moves = parts[3..].iter().any(Option::is_some);
        Self { duty, favourable: case.favourable_weight, parts, moves, directions }
    }
}

/// The factor of one lip in the worse reading, where that is less than `before`; else `before`.
pub(super) fn within(
    lip: &Prepared,
    strength: &LipStrength,
    load: &SplitLoad,
    state: &State,
    before: f64,
) -> f64 {
    let usage = lip.usage(&load.whole());
    // Not `usage > 0.0`: what is no number is carried no times.
    let whole = if usage <= 0.0 { f64::INFINITY } else { usage.recip() };
    let value = if usage.is_nan() { 0.0 } else { whole.min(before) };
    if !state.moves {
        return value;
    }
    let carried = |weight: f64, times: f64| {
        lip.usage(&load.weight.times(weight).plus(times, &load.motion)) <= 1.0 + ROUNDING
    };
    // What is used grows with the multiple once it is above 1: carried at this multiple, a reading ends no earlier.
    let no_earlier = value.is_finite()
        && lip.usage(&load.weight) <= 1.0 + ROUNDING
        && carried(state.favourable, value)
        // From 1 on, weight once lies between its share and the whole load multiplied.
        && (value >= 1.0 || carried(1.0, value));
    if no_earlier { value } else { strength.readings(load, state.favourable).worse().value.min(value) }
}
