//! What would mend it, with numbers: shared by several rules.

use super::{Facts, grid};
use crate::{
    acceleration_of,
    loads::{self, Case},
    lower::CupFacts,
    lower_motion,
    report::{Fix, MotionReport},
    snapshot::DEEPEST,
    words,
};
use document::{Motion, MotionId, Stroke, Wetness};
use geometry::LipShape;
use glam::DVec2;
use mechanics::{Body, CupSpring, LipStrength, LoadCase, SplitLoad};
use units::{Quantity, standard_atmosphere};

/// More cups are guessed at up to so many times the present ones.
const MOST_TIMES: f64 = 10.0;
/// Friction above this is not offered: rubber on clean dry sheet rarely gives more (common practice, no source).
const ROUGHEST: f64 = 0.8;
/// A figure that is offered keeps this much of a factor above what is required, relative: what the search leaves open.
const SURE: f64 = 1e-9;
/// Larger lips than this many times the present ones are not offered.
const LARGEST: f64 = 3.0;

/// Each change that alone would bring a motion to its required factor, worked out and tried.
pub(super) fn for_factor(facts: &Facts<'_>, motion: &MotionReport, case: &Case) -> String {
    let (Some(body), Some(group)) = (facts.body, facts.group) else { return String::new() };
    let trial = Trial { facts, body, case, required: motion.required_factor };
    let strengths: Vec<LipStrength> = facts.cups.iter().map(|cup| cup.strength).collect();
    let with = |change: &dyn Fn(&LipStrength) -> LipStrength| {
        let changed: Vec<LipStrength> = strengths.iter().map(change).collect();
        loads::solve(group, &body, &changed, &case.load_case).map_or(0.0, |case| case.factor())
    };
    let mut ways = Vec::new();
    ways.extend(trial.deeper_level(&with));
    ways.extend(trial.larger_lips());
    ways.extend(trial.more_friction(&with));
    let scale =
        mechanics::acceleration_scale_for(&body, &case.load_case, group, &strengths, motion.required_factor);
    let holds = |slower: &LoadCase| {
        loads::solve(group, &body, &strengths, slower).is_ok_and(|case| trial.enough(case.factor()))
    };
    ways.extend(scale.and_then(|scale| less_acceleration(facts, motion.id, scale, &holds)));
    ways.extend(trial.more_cups());
    match ways.as_slice() {
        [] => "No single change that was tried is enough.".to_owned(),
        [one] => format!("{}.", words::capital(one)),
        _ => format!("One of: {}.", ways.join("; ")),
    }
}

/// One motion that is short, and what is tried on it.
struct Trial<'f, 'a> {
    facts: &'f Facts<'a>,
    body: Body,
    case: &'f Case,
    required: f64,
}

type WithStrengths<'a> = &'a dyn Fn(&dyn Fn(&LipStrength) -> LipStrength) -> f64;

impl Trial<'_, '_> {
    /// The load's share at the worst instant, cup by cup, for the cups that are short.
    fn short(&self) -> impl Iterator<Item = (&CupFacts, SplitLoad)> {
        let result = &self.case.result;
        let required = self.required;
        self.facts
            .cups
            .iter()
            .zip(result.split_loads())
            .zip(&result.factors)
            .filter(move |(_, factor)| factor.value < required)
            .map(|(cup, _)| cup)
    }

    fn favourable_weight(&self) -> f64 {
        self.case.load_case.favourable_weight
    }

    /// Whether a factor is what is required, whatever its last digits.
    fn enough(&self, factor: f64) -> bool {
        factor >= self.required * (1.0 + SURE)
    }

    /// Raises a first guess until the trial meets the required factor, which it does at once unless another instant of
    /// the motion then governs. `None` when a few steps do not get there.
    fn raised(&self, mut guess: f64, power: f64, factor: impl Fn(f64) -> f64) -> Option<f64> {
        for _ in 0..4 {
            let reached = factor(guess);
            if reached >= self.required * (1.0 - 1e-9) {
                return Some(guess);
            }
            if !(reached > 0.0 && guess.is_finite()) {
                return None;
            }
            guess *= (self.required / reached).powf(power).max(1.002);
        }
        None
    }

    fn deeper_level(&self, with: WithStrengths<'_>) -> Option<String> {
        let guess = self
            .short()
            .map(|(cup, load)| {
                let needed = cup.strength.vacuum_force_for(&load, self.required, self.favourable_weight());
                needed / cup.strength.vacuum_force
            })
            .fold(1.0, f64::max);
        let times = self.raised(guess, 1.0, |times| {
            with(&|lip| LipStrength { vacuum_force: lip.vacuum_force * times, ..*lip })
        })?;
        let holds = |times: f64| {
            self.enough(with(&|lip| LipStrength { vacuum_force: lip.vacuum_force * times, ..*lip }))
        };
        level_in_words(self.facts, times, &holds)
    }

    /// Not offered where air comes through the part: a larger lip then draws more, and its level falls.
    fn larger_lips(&self) -> Option<String> {
        if self.facts.cups.iter().any(|cup| cup.channel.is_some() || cup.covered < 1.0) {
            return None;
        }
        let guess = self
            .short()
            .map(|(cup, load)| cup.strength.lip_multiple_for(&load, self.required, self.favourable_weight()))
            .try_fold(1.0, |most: f64, times| times.map(|times| most.max(times)))?;
        let grown = |times: f64| {
            let larger: Vec<CupFacts> = self.facts.cups.iter().map(|cup| self.grown(cup, times)).collect();
            loads::factor_of(&larger, &self.body, &self.case.load_case).unwrap_or(0.0)
        };
        let times = self.raised(guess, 0.5, grown)?;
        let words = self.facts.words;
        let first = self.facts.cups.first()?.lip.shape;
        let alike = self.facts.cups.iter().all(|cup| cup.lip.shape == first);
        let holds = |times: f64| times <= LARGEST && self.enough(grown(times));
        let no_source = self.facts.circuits.iter().all(|circuit| circuit.source_level_kpa.is_none());
        let same_level = if no_source { "" } else { " at the present levels" };
        Some(match first {
            LipShape::Round { diameter } if alike => {
                // Whole millimetres, as the unit shows them.
                let whole = (diameter * times - 1e-9).ceil();
                let sizes = [0.0, 1.0, 2.0].map(|more| words.upwards(whole + more, Quantity::Length)[0]);
                let size = sizes.into_iter().find(|size| holds(size / diameter))?;
                format!("lips of {}{same_level}", words.length(size))
            }
            _ => {
                let times = words.upwards(times, Quantity::Ratio).into_iter().find(|times| holds(*times))?;
                format!("lips {} times as large{same_level}", words.factor(times))
            }
        })
    }

    /// The same cup with every size of its lip times `times` and the same stiffness along and across.
    fn grown(&self, cup: &CupFacts, times: f64) -> CupFacts {
        let sealing = cup.sealing.scaled(times);
        let line = sealing.line();
        let reduction = self
            .facts
            .index_of(cup.id)
            .and_then(|index| self.facts.models.get(&self.facts.placed[index].model))
            .map_or(1.0, |facts| facts.model.tilt_reduction.value);
        CupFacts {
            sealing,
            spring: CupSpring::along_lip(
                cup.lip.at,
                cup.lip.turn,
                cup.spring.axial,
                cup.spring.lateral,
                &line,
                reduction,
            )
            .with_side_lever(cup.spring.side_lever),
            strength: LipStrength {
                vacuum_force: cup.strength.vacuum_force * line.area / cup.strength.line.area,
                line,
                shape: sealing,
                ..cup.strength
            },
            ..*cup
        }
    }

    fn more_friction(&self, with: WithStrengths<'_>) -> Option<String> {
        let guess = self
            .short()
            .map(|(cup, load)| cup.strength.friction_for(&load, self.required, self.favourable_weight()))
            .try_fold(0.0, |most: f64, friction| friction.map(|friction| most.max(friction)))?;
        let now = self.facts.cups.first()?.strength.friction;
        let friction =
            self.raised(guess.max(now), 1.0, |friction| with(&|lip| LipStrength { friction, ..*lip }))?;
        if friction <= now {
            return None;
        }
        let holds = |friction: f64| {
            friction <= ROUGHEST && self.enough(with(&|lip| LipStrength { friction, ..*lip }))
        };
        let words = self.facts.words;
        let friction = words.upwards(friction, Quantity::Ratio).into_iter().find(|value| holds(*value))?;
        let surface = match self.facts.part.map(|part| part.surface.wetness) {
            Some(Wetness::Oily) => "degreased or dry surface",
            Some(Wetness::Damp) => "drier surface",
            _ => "cleaner surface or a lip with more grip",
        };
        Some(format!("friction of {}: a {surface}", words.factor(friction)))
    }

    /// Vacuum force and stiffness both go with the number of cups, so the factor does.
    /// So far from what is required the guess is worth nothing, and none is offered.
    fn more_cups(&self) -> Option<String> {
        let now = self.facts.cups.len();
        let times = self.required / self.case.factor();
        if !times.is_finite() || times > MOST_TIMES {
            return None;
        }
        let needed = (now as f64 * times).ceil();
        let needed = units::fixed(needed, 0, self.facts.words.choice);
        Some(format!(
            "about {needed} cups like the present {now}, if they share the load equally; try their \
            positions, since a cup that draws load can lower the factor"
        ))
    }
}

/// A level so many times as deep, in words, by the first figure that can be printed and `holds` as a multiple of the
/// present level; `None` when no source reaches it.
pub(super) fn level_in_words(facts: &Facts<'_>, times: f64, holds: &dyn Fn(f64) -> bool) -> Option<String> {
    let levels = facts.cups.iter().map(|cup| cup.level_kpa);
    let deepest = levels.clone().fold(0.0, f64::max);
    let within = |times: f64| deepest * times <= DEEPEST * facts.outside.kpa() * (1.0 + 1e-9);
    let words = facts.words;
    let one_level = levels.fold(f64::INFINITY, f64::min) >= deepest * (1.0 - 1e-9);
    if !one_level {
        let mut steps = words.upwards(times, Quantity::Ratio).into_iter();
        let times = steps.find(|times| within(*times) && holds(*times))?;
        return Some(format!("{} times the vacuum level on every circuit", words.factor(times)));
    }
    let mut steps = words.upwards(deepest * times, Quantity::VacuumLevel).into_iter();
    let here = steps.find(|here| within(here / deepest) && holds(here / deepest))?;
    let stated = here * standard_atmosphere(0.0).kpa() / facts.outside.kpa();
    let [stated_up, ..] = words.upwards(stated, Quantity::VacuumLevel);
    let (here_says, stated_says) = (words.level(here), words.level(stated_up));
    Some(if here_says != stated_says {
        format!("a vacuum level of {here_says} here ({stated_says} stated at sea level)")
    } else {
        format!("a vacuum level of {here_says}")
    })
}

/// A motion's acceleration and turning brought down to a share, in words, by the first figures that can be printed and
/// with which the motion `holds`; `None` when next to nothing would be left.
///
/// The figures are those of the motion's own fields: its inertia is counted as often as before.
pub(super) fn less_acceleration(
    facts: &Facts<'_>,
    motion: MotionId,
    scale: f64,
    holds: &dyn Fn(&LoadCase) -> bool,
) -> Option<String> {
    if !(0.02..1.0).contains(&scale) {
        return None;
    }
    let motion = facts.project.motions.iter().find(|stated| stated.id == motion)?;
    let words = facts.words;
    let does = |slower: &Motion| holds(&lower_motion::load_case(slower, &facts.project.rules));
    let turns =
        motion.turn_rate_deg_s != glam::DVec3::ZERO || motion.turn_acceleration_deg_s2 != glam::DVec3::ZERO;
    let linear = acceleration_of(motion).length();
    match &motion.stroke {
        _ if turns => {
            let most = (scale * 100.0).floor() as u32;
            (1..=most).rev().take(3).find_map(|hundredths| {
                let share = f64::from(hundredths) / 100.0;
                let rate = (share.sqrt() * 100.0).floor() / 100.0;
                let slower = Motion {
                    acceleration: motion.acceleration * share,
                    stroke: motion
                        .stroke
                        .as_ref()
                        .map(|stroke| Stroke { time_s: stroke.time_s / share.sqrt(), ..*stroke }),
                    turn_rate_deg_s: motion.turn_rate_deg_s * rate,
                    turn_acceleration_deg_s2: motion.turn_acceleration_deg_s2 * share,
                    ..Motion::clone(motion)
                };
                does(&slower).then(|| {
                    format!(
                        "{} of the acceleration and turning, {} of the turn rate",
                        words.percent(share),
                        words.percent(rate)
                    )
                })
            })
        }
        Some(stroke) => {
            let slower =
                |time_s: f64| Motion { stroke: Some(Stroke { time_s, ..*stroke }), ..Motion::clone(motion) };
            let mut times = words.upwards(stroke.time_s / scale.sqrt(), Quantity::Time).into_iter();
            let time = times.find(|time_s| does(&slower(*time_s)))?;
            let time = words.figure(time, Quantity::Time);
            Some(format!("at least {time} for the stroke"))
        }
        None => {
            let slower = |size: f64| Motion {
                acceleration: motion.acceleration * (size / linear),
                ..Motion::clone(motion)
            };
            let mut sizes = words.downwards(linear * scale, Quantity::Acceleration).into_iter();
            let most = sizes.find(|size| *size > 0.0 && does(&slower(*size)))?;
            Some(format!("at most {} of acceleration", words.acceleration(most)))
        }
    }
}

/// Shifts all cups, by whole steps of the person's grid where that `helps` as well; with the change ready to make when no locked cup
/// and no seat stands against it.
pub(super) fn shift_group(
    facts: &Facts<'_>,
    by: DVec2,
    helps: &dyn Fn(DVec2) -> bool,
) -> (String, Option<Fix>) {
    let lands = |by: &DVec2| {
        let ground = facts.ground.as_ref();
        ground.is_none_or(|ground| facts.cups.iter().all(|cup| ground.lands_at(&cup.lip, cup.lip.at + *by)))
    };
    let by = grid::around(by, facts.step_mm)
        .into_iter()
        .find(|steps| *steps != DVec2::ZERO && helps(*steps) && lands(steps))
        .unwrap_or((by * 10.0).round() / 10.0);
    let text = format!("Shift the cups by {}.", facts.words.pair(by));
    let locked: Vec<usize> = (0..facts.cups.len()).filter(|index| facts.locked(*index)).collect();
    if !locked.is_empty() {
        return (format!("{text} Unlock {} first.", facts.tags(&locked)), None);
    }
    let hang: Vec<usize> = facts.ground.map_or_else(Vec::new, |ground| {
        let lands = |index: &usize| ground.lands_at(&facts.cups[*index].lip, facts.cups[*index].lip.at + by);
        let lands_now = |index: &usize| {
            facts.seats.get(*index).is_some_and(|seat| seat.landing.is_none() && !seat.unsought)
        };
        (0..facts.cups.len()).filter(|index| lands_now(index) && !lands(index)).collect()
    });
    if hang.is_empty() {
        let moves = facts.cups.iter().map(|cup| (cup.id, cup.lip.at + by)).collect();
        return (text, Some(Fix::MoveCups(moves)));
    }
    let they = if hang.len() == 1 { "it" } else { "them" };
    (
        format!(
            "{text} {} would then lack clearance; move {they} further, or add a cup on that side.",
            facts.tags(&hang)
        ),
        None,
    )
}
