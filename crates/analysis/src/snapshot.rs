//! What the slow stages work on: the lowered inputs of one layout, on their own, so that they may go to another thread
//! and can be told apart from those of a later plan.

use crate::{
    assumed::{Assumed, Input},
    bending::{BendingInput, SheetKey},
    circuit::SnapshotCircuit,
    inputs::Lowered,
    lower::CupFacts,
};
use document::{Cup, CupId, MotionId};
use geometry::LipShape;
use mechanics::{Body, Channel, CupSpring, LipStrength, LoadCase};
use units::AbsolutePressure;

/// Share of the atmosphere that a source can be asked for (common practice, no source).
pub(crate) const DEEPEST: f64 = 0.9;

/// Lowered inputs of one layout. Names are not among them: renaming leaves every figure as it is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Snapshot {
    pub body: Body,
    pub cups: Vec<SnapshotCup>,
    /// Zones of more than one cup that are not the whole tool, with their cups.
    pub zones: Vec<(String, Vec<usize>)>,
    /// Motions that can be worked out.
    pub cases: Vec<(MotionId, LoadCase)>,
    /// Inputs that nobody measured or stated, and how far they may be off.
    pub assumed: Vec<Assumed>,
    /// The factor that the level envelope keeps.
    pub required: f64,
    /// Share of the weight that is counted on where it helps.
    pub favourable_weight: f64,
    /// How many times as deep a level the deepest circuit can be asked for.
    pub level_room: f64,
    /// Factor that each of `cases` must have.
    pub required_of: Vec<f64>,
    /// Circuits whose levels were worked out; their cups touch each other when one is lost.
    pub circuits: Vec<SnapshotCircuit>,
    /// How the part bends; `None` of one that is taken as rigid, else why it is not known.
    pub bending: Option<Result<BendingInput, units::Worded>>,
}

/// Factors that the motions must have, and the circuits whose levels were worked out.
type Coupled = (Vec<f64>, Vec<SnapshotCircuit>);

/// One cup of a snapshot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SnapshotCup {
    pub id: CupId,
    pub spring: CupSpring,
    pub strength: LipStrength,
    pub sealing: LipShape,
    /// The lip under load, as it needs room.
    pub outer: LipShape,
    /// Fall-off of the level along the lip, 1/m; 0 on an airtight part.
    pub fall_per_m: f64,
}

impl Snapshot {
    pub(crate) fn of(
        lowered: &Lowered<'_>,
        body: Body,
        cases: Vec<(MotionId, LoadCase)>,
        assumed: Vec<Assumed>,
        (required, favourable_weight): (f64, f64),
        outside: AbsolutePressure,
        ((required_of, circuits), bending): (Coupled, Option<Result<BendingInput, units::Worded>>),
    ) -> Self {
        let cups = lowered.cups.iter().map(SnapshotCup::of).collect();
        let deepest = lowered.cups.iter().map(|cup| cup.level_kpa).fold(0.0, f64::max);
        let room = DEEPEST * outside.kpa() / deepest;
        Self {
            body,
            cups,
            zones: zones(&lowered.placed),
            cases,
            assumed,
            required,
            favourable_weight,
            level_room: if room.is_finite() { room.max(1.0) } else { 1.0 },
            required_of,
            circuits,
            bending,
        }
    }

    /// The sheet of a part that bends, or why it is not known.
    pub(crate) fn sheet(&self) -> Option<Result<&SheetKey, &units::Worded>> {
        Some(self.bending.as_ref()?.as_ref().map(|input| &input.sheet))
    }

    pub(crate) fn springs(&self) -> Vec<CupSpring> {
        self.cups.iter().map(|cup| cup.spring).collect()
    }

    pub(crate) fn strengths(&self) -> Vec<LipStrength> {
        self.cups.iter().map(|cup| cup.strength).collect()
    }

    pub(crate) fn case(&self, motion: MotionId) -> Option<&LoadCase> {
        self.cases.iter().find(|(id, _)| *id == motion).map(|(_, case)| case)
    }

    pub(crate) fn index_of(&self, cup: CupId) -> Option<usize> {
        self.cups.iter().position(|held| held.id == cup)
    }
}

impl SnapshotCup {
    fn of(cup: &CupFacts) -> Self {
        Self {
            id: cup.id,
            spring: cup.spring,
            strength: cup.strength,
            sealing: cup.sealing,
            outer: cup.lip.shape,
            fall_per_m: cup.channel.map_or(0.0, |channel| channel.fall_per_m),
        }
    }

    /// The same cup with one input times `times`.
    pub(crate) fn with(mut self, input: Input, times: f64) -> Self {
        match input {
            Input::Friction => self.strength.friction *= times,
            Input::SealMinimum => self.strength.seal_minimum *= times,
            Input::Axial => {
                self.spring.axial *= times;
                self.spring.tilt = self.spring.tilt.map(|tilt| tilt * times);
            }
            Input::Lateral => {
                self.spring.lateral *= times;
                self.spring.twist *= times;
            }
            Input::SideLever => self.spring.side_lever *= times,
            Input::Tilt => self.spring.tilt = self.spring.tilt.map(|tilt| tilt * times),
            Input::SealingLine => {
                let before = self.mean_share();
                self.sealing = self.sealing.scaled(times);
                let line = self.sealing.line();
                let area = line.area / self.strength.line.area;
                let level = self.mean_share() / before;
                self.strength.vacuum_force *= area * if level.is_finite() { level } else { 1.0 };
                self.strength.line = line;
                self.strength.shape = self.sealing;
                // Springs spread along the line: its second moment over its length grows as the square of its size.
                self.spring.tilt = self.spring.tilt.map(|tilt| tilt * times * times);
                self.spring.twist *= times * times;
            }
            Input::Level => self.strength.vacuum_force *= times,
            // Under a long cup the level falls with the root of it; what it does to the circuit is solved apart.
            Input::Permeance => {
                let before = self.mean_share();
                self.fall_per_m *= times.sqrt();
                let level = self.mean_share() / before;
                self.strength.vacuum_force *= if level.is_finite() { level } else { 1.0 };
            }
            // They change the level, which is solved apart.
            Input::LipWidth | Input::LipGap | Input::Feed | Input::SourceCurve => {}
            // They are the sheet's.
            Input::Modulus | Input::Poisson => {}
        }
        self
    }

    /// Mean level along the cup over that at its port.
    pub(crate) fn mean_share(&self) -> f64 {
        let half_length_mm = 0.5 * self.sealing.size().max_element();
        Channel { fall_per_m: self.fall_per_m, half_length_mm }.mean_share()
    }
}

/// Zones of more than one cup and not all cups, in the order of their first cup.
fn zones(placed: &[&Cup]) -> Vec<(String, Vec<usize>)> {
    let mut zones: Vec<(String, Vec<usize>)> = Vec::new();
    for (index, cup) in placed.iter().enumerate() {
        match zones.iter_mut().find(|(name, _)| *name == cup.zone) {
            Some((_, cups)) => cups.push(index),
            None => zones.push((cup.zone.clone(), vec![index])),
        }
    }
    zones.retain(|(_, cups)| cups.len() > 1 && cups.len() < placed.len());
    zones
}
