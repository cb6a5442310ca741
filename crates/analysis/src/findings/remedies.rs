//! What would mend it, with numbers: shared by several rules.

use super::Facts;
use crate::{
    loads::{self, Case},
    lower::CupFacts,
    report::{Fix, MotionReport},
    snapshot::DEEPEST,
    words,
};
use document::Wetness;
use geometry::LipShape;
use glam::DVec2;
use mechanics::{Body, CupSpring, LipStrength, SplitLoad};
use units::standard_atmosphere;

/// Friction above this is not offered: rubber on clean dry sheet rarely gives more (common practice, no source).
const ROUGHEST: f64 = 0.8;
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
    ways.extend(scale.and_then(|scale| less_acceleration(facts, case, scale)));
    ways.push(trial.more_cups());
    match ways.as_slice() {
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
        level_in_words(self.facts, times)
    }

    fn larger_lips(&self) -> Option<String> {
        let guess = self
            .short()
            .map(|(cup, load)| cup.strength.lip_multiple_for(&load, self.required, self.favourable_weight()))
            .try_fold(1.0, |most: f64, times| times.map(|times| most.max(times)))?;
        let times = self.raised(guess, 0.5, |times| {
            let larger: Vec<CupFacts> = self.facts.cups.iter().map(|cup| self.grown(cup, times)).collect();
            loads::factor_of(&larger, &self.body, &self.case.load_case).unwrap_or(0.0)
        })?;
        if times > LARGEST {
            return None;
        }
        let words = self.facts.words;
        let first = self.facts.cups.first()?.lip.shape;
        let alike = self.facts.cups.iter().all(|cup| cup.lip.shape == first);
        Some(match first {
            LipShape::Round { diameter } if alike => {
                format!("lips of {}", words.length(up(diameter * times, 1.0)))
            }
            _ => format!("lips {} times as large", words.factor(up(times, 0.01))),
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
        if friction > ROUGHEST || friction <= now {
            return None;
        }
        let surface = match self.facts.part.map(|part| part.surface.wetness) {
            Some(Wetness::Oily) => "degreased or dry surface",
            Some(Wetness::Damp) => "drier surface",
            _ => "cleaner surface or a lip with more grip",
        };
        Some(format!("friction of {}: a {surface}", self.facts.words.factor(up(friction, 0.01))))
    }

    /// Vacuum force and stiffness both go with the number of cups, so the factor does.
    fn more_cups(&self) -> String {
        let now = self.facts.cups.len();
        let times = self.required / self.case.factor().max(1e-3);
        let needed = (now as f64 * times).ceil();
        let needed = units::fixed(needed, 0, self.facts.words.choice);
        format!(
            "about {needed} cups like the present {now}, if all share the load alike: try where, for one that draws load \
             can lower the factor"
        )
    }
}

/// A level so many times as deep, in words; `None` when no source reaches it.
pub(super) fn level_in_words(facts: &Facts<'_>, times: f64) -> Option<String> {
    let levels = facts.cups.iter().map(|cup| cup.level_kpa);
    let deepest = levels.clone().fold(0.0, f64::max);
    if deepest * times > DEEPEST * facts.outside.kpa() * (1.0 + 1e-9) {
        return None;
    }
    let words = facts.words;
    let one_level = levels.fold(f64::INFINITY, f64::min) >= deepest * (1.0 - 1e-9);
    if !one_level {
        return Some(format!("{} times the vacuum level on every circuit", words.factor(up(times, 0.01))));
    }
    let here = up(deepest * times, 0.1);
    let sea_level = standard_atmosphere(0.0).kpa();
    let stated = here * sea_level / facts.outside.kpa();
    Some(if (stated - here).abs() > 0.05 {
        format!(
            "a vacuum level of {} here ({} stated at sea level)",
            words.level(here),
            words.level(up(stated, 0.1))
        )
    } else {
        format!("a vacuum level of {}", words.level(here))
    })
}

/// A motion's acceleration and turning brought down to a share, in words; `None` when next to nothing would be left.
pub(super) fn less_acceleration(facts: &Facts<'_>, case: &Case, scale: f64) -> Option<String> {
    if !(0.02..1.0).contains(&scale) {
        return None;
    }
    let instant = &case.result.instant;
    let linear = instant.acceleration.length();
    let words = facts.words;
    if instant.turn_rate == glam::DVec3::ZERO && instant.turn_acceleration == glam::DVec3::ZERO {
        let most = (linear * scale * 100.0).floor() / 100.0;
        return Some(format!("at most {} of acceleration", words.acceleration(most)));
    }
    Some(format!(
        "{} of the acceleration and turning, {} of the turn rate",
        words.percent((scale * 100.0).floor() / 100.0),
        words.percent((scale.sqrt() * 100.0).floor() / 100.0),
    ))
}

/// Shifts all cups; with the change ready to make when no locked cup and no seat stands against it.
pub(super) fn shift_group(facts: &Facts<'_>, by: DVec2) -> (String, Option<Fix>) {
    let by = (by * 10.0).round() / 10.0;
    let text = format!("Shift the cups by {}.", facts.words.pair(by));
    let locked: Vec<usize> = (0..facts.cups.len()).filter(|index| facts.locked(*index)).collect();
    if !locked.is_empty() {
        return (format!("{text} Unlock {} first.", facts.tags(&locked)), None);
    }
    let hang: Vec<usize> = facts.ground.map_or_else(Vec::new, |ground| {
        let lands = |index: &usize| ground.lands_at(&facts.cups[*index].lip, facts.cups[*index].lip.at + by);
        let lands_now = |index: &usize| facts.seats.get(*index).is_some_and(|seat| seat.landing.is_none());
        (0..facts.cups.len()).filter(|index| lands_now(index) && !lands(index)).collect()
    });
    if hang.is_empty() {
        let moves = facts.cups.iter().map(|cup| (cup.id, cup.lip.at + by)).collect();
        return (text, Some(Fix::MoveCups(moves)));
    }
    let they = if hang.len() == 1 { "it" } else { "them" };
    (
        format!(
            "{text} {} would then lack clearance; move {they} on, or add a cup on that side.",
            facts.tags(&hang)
        ),
        None,
    )
}

/// Rounded up to a step, so that what is printed is enough.
fn up(value: f64, step: f64) -> f64 {
    (value / step - 1e-9).ceil() * step
}
