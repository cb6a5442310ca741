//! Inputs that nobody measured or stated, and how far each may be off.

use crate::{
    bending,
    lower::{self, ModelFacts},
};
use document::{CircuitId, Cup, ModelId, Origin, Part, Project, SourceKind, SourceModel, Supply};
use std::collections::HashMap;

/// An assumed figure is never taken as off by more than this share of it.
const WIDEST_SPREAD: f64 = 0.95;
/// How far what decides the level may be off where it is assumed (common practice, no source): a stated level, a curve and a
/// feed by a tenth, how easily air comes through a part by a half, a gap under the lips by half to double.
pub(crate) const LEVEL_SPREAD: f64 = 0.1;
pub(crate) const CURVE_SPREAD: f64 = 0.1;
pub(crate) const FEED_SPREAD: f64 = 0.1;
pub(crate) const PERMEANCE_SPREAD: f64 = 0.5;
pub(crate) const GAP_TIMES: (f64, f64) = (0.5, 2.0);
/// A lip bears on this much less or more than its drawing would say (common practice, no source).
pub(crate) const WIDTH_SPREAD: f64 = 0.5;
/// No source is taken as deeper than this share of the atmosphere, unless its own curve says so (common practice, no source).
pub(crate) const DEEPEST_SHARE: f64 = 0.97;

/// An input that may be off: what it is, of which cups, and what it is at least and at most over its value.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Assumed {
    pub input: Input,
    pub cups: Vec<usize>,
    pub least: f64,
    pub most: f64,
}

/// Inputs whose spread is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Input {
    Friction,
    SealMinimum,
    /// Size of the sealing line: with it go vacuum force, lip and tilt stiffness, and what leaks.
    SealingLine,
    Axial,
    Lateral,
    Tilt,
    /// Lever with which a side load tilts the lip, held against its stiffness.
    SideLever,
    /// The level itself, of a circuit of which no more is known.
    Level,
    /// Gap left under the lips.
    LipGap,
    /// How wide the lips bear.
    LipWidth,
    /// Feed pressure of an ejector.
    Feed,
    /// Flows and levels of a source's curve together.
    SourceCurve,
    /// How easily air comes through the part.
    Permeance,
    /// Stiffness of a part that bends.
    Modulus,
    /// Poisson's ratio of a part that bends.
    Poisson,
}

impl Input {
    /// Whether the circuit is to be solved anew when it is off.
    pub(crate) fn moves_levels(self) -> bool {
        matches!(
            self,
            Self::SealingLine
                | Self::LipGap
                | Self::LipWidth
                | Self::Feed
                | Self::SourceCurve
                | Self::Permeance
        )
    }
}

/// Every assumed input that has a spread, with its name for people.
pub(crate) fn assumed(
    project: &Project,
    part: &Part,
    placed: &[&Cup],
    models: &HashMap<&ModelId, ModelFacts<'_>>,
) -> Vec<(Assumed, String)> {
    let rules = &project.rules;
    let mut found = Found::default();
    for (index, cup) in placed.iter().enumerate() {
        let Some(facts) = models.get(&cup.model) else { continue };
        let model = facts.model;
        let friction = lower::friction(part, model);
        if friction.origin == Origin::Assumed {
            let of = match lower::pair(part, model) {
                Some(pair) => pair.lip_material.trim(),
                None => "the lips",
            };
            let name = format!("friction of {of} on {}", part.name);
            found.add(Input::Friction, index, around(rules.friction_spread, f64::INFINITY), name);
        }
        let lever = model.side_lever();
        let of_model = [
            (Input::SealingLine, &model.sealing_share, rules.lip_spread, "model.sealing_share"),
            (Input::SealMinimum, &model.seal_minimum_n_mm, rules.lip_spread, "model.seal_minimum_n_mm"),
            (Input::Axial, &model.axial_n_mm, rules.stiffness_spread, "model.axial_n_mm"),
            (Input::Lateral, &model.lateral_n_mm, rules.stiffness_spread, "model.lateral_n_mm"),
            (Input::Tilt, &model.tilt_reduction, rules.stiffness_spread, "model.tilt_reduction"),
            (Input::SideLever, &lever, rules.stiffness_spread, "model.side_lever_mm"),
        ];
        for (input, value, spread, key) in of_model {
            if value.origin == Origin::Assumed && value.value > 0.0 {
                // No sealing line is larger than its lip.
                let highest = if input == Input::SealingLine { value.value.recip() } else { f64::INFINITY };
                found.add(input, index, around(spread, highest), named(key, &model.name));
            }
        }
        let width = model.lip_width();
        let leaks = project.circuit(cup.circuit).and_then(|circuit| circuit.supply.as_ref());
        if width.origin == Origin::Assumed && leaks.is_some_and(|supply| supply.lip_gap_um.value > 0.0) {
            let name = named("model.lip_width_mm", &model.name);
            found.add(Input::LipWidth, index, around(WIDTH_SPREAD, f64::INFINITY), name);
        }
        found.circuit(project, index, cup.circuit);
        if let Some(permeance) = &part.permeance_um_pa_s
            && permeance.origin == Origin::Assumed
            && permeance.value > 0.0
        {
            let name = named("part.permeance_um_pa_s", &part.name);
            found.add(Input::Permeance, index, around(PERMEANCE_SPREAD, f64::INFINITY), name);
        }
        found.sheet(part, index);
    }
    found.0
}

/// A field of a thing: "axial stiffness of Round 40".
fn named(key: &'static str, thing: &str) -> String {
    format!("{} of {thing}", document::name_of(key))
}

/// Least and most over the value, with a spread to both sides and a bound above; `None` where there is no spread.
fn around(spread: f64, highest: f64) -> Option<(f64, f64)> {
    let spread = (spread > 0.0 && spread.is_finite()).then(|| spread.min(WIDEST_SPREAD))?;
    Some((1.0 - spread, (1.0 + spread).min(highest.max(1.0))))
}

#[derive(Default)]
struct Found(Vec<(Assumed, String)>);

impl Found {
    /// Of one cup; the same input of further cups is one with it.
    fn add(&mut self, input: Input, cup: usize, range: Option<(f64, f64)>, name: String) {
        let Some((least, most)) = range.filter(|(least, most)| least < most) else { return };
        match self.0.iter_mut().find(|(held, held_name)| held.input == input && *held_name == name) {
            Some((held, _)) => held.cups.push(cup),
            None => self.0.push((Assumed { input, cups: vec![cup], least, most }, name)),
        }
    }

    /// How a part that bends resists it: of every cup, since all share by it.
    fn sheet(&mut self, part: &Part, cup: usize) {
        let Some(modulus) = &part.modulus_n_mm2 else { return };
        let across = part.modulus_across_n_mm2.as_ref();
        if modulus.origin == Origin::Assumed || across.is_some_and(|across| across.origin == Origin::Assumed)
        {
            let name = named("part.modulus_n_mm2", &part.name);
            self.add(Input::Modulus, cup, around(bending::MODULUS_SPREAD, f64::INFINITY), name);
        }
        if part.poisson.as_ref().is_none_or(|poisson| poisson.origin == Origin::Assumed) {
            let name = named("part.poisson", &part.name);
            self.add(Input::Poisson, cup, around(bending::POISSON_SPREAD, f64::INFINITY), name);
        }
    }

    /// What decides the level of a cup's circuit, but for the part.
    fn circuit(&mut self, project: &Project, cup: usize, circuit: CircuitId) {
        let Some(circuit) = project.circuit(circuit) else { return };
        let name = &circuit.name;
        let Some(supply) = &circuit.supply else {
            let level = &circuit.level_kpa;
            if level.origin == Origin::Assumed && level.value > 0.0 {
                let name = named("circuit.level_kpa", name);
                self.add(Input::Level, cup, around(LEVEL_SPREAD, deepest() / level.value), name);
            }
            return;
        };
        if supply.lip_gap_um.origin == Origin::Assumed && supply.lip_gap_um.value > 0.0 {
            self.add(Input::LipGap, cup, Some(GAP_TIMES), named("circuit.supply.lip_gap_um", name));
        }
        let Some(model) = project.source(&supply.source) else { return };
        if model.figures == Origin::Assumed {
            let own = model.curve.last().map_or(0.0, |point| point.level_kpa);
            let range = around(CURVE_SPREAD, deepest() / own);
            self.add(Input::SourceCurve, cup, range, format!("curve of {}", model.name));
        }
        if supply.feed_kpa.origin == Origin::Assumed {
            self.add(Input::Feed, cup, feed_range(supply, model), named("circuit.supply.feed_kpa", name));
        }
    }
}

/// Deepest level at sea level that a source is taken to reach, kPa.
fn deepest() -> f64 {
    DEEPEST_SHARE * units::STANDARD_ATMOSPHERE.kpa()
}

/// Within the table of an ejector's feeds, which says nothing beyond its ends.
fn feed_range(supply: &Supply, model: &SourceModel) -> Option<(f64, f64)> {
    let now = supply.feed_kpa.value;
    let (first, last) = (model.feed.first()?.feed_kpa, model.feed.last()?.feed_kpa);
    if model.kind != SourceKind::Ejector || !(now > 0.0 && (first..=last).contains(&now)) {
        return None;
    }
    let (least, most) = around(FEED_SPREAD, f64::INFINITY)?;
    Some((least.max(first / now), most.min(last / now)))
}
