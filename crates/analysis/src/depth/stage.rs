//! What is remembered of one layout's slow figures, and how they come into a report.

use super::figures::{DropRemedy, Figures, name};
use crate::{
    report::{
        CircuitDepth, CupReport, DepthState, EnvelopePointReport, EnvelopeReport, FactorRange, LevelLeft,
        LevelsWhenLost, Lost, LostReport, MotionDepth, OpenAt,
    },
    snapshot::Snapshot,
};
use document::{CircuitId, CupId, MotionId};
use std::sync::Arc;

/// What is remembered of one layout's slow figures.
#[derive(Debug, Default)]
pub(crate) struct DepthStage {
    /// What they would be worked out from now; `None` when there is nothing to work on.
    pub snapshot: Option<Arc<Snapshot>>,
    pub held: Option<Held>,
    /// Names of what is assumed now.
    names: Vec<String>,
}

/// Slow figures and what they were worked out from.
#[derive(Debug)]
pub(crate) struct Held {
    pub snapshot: Arc<Snapshot>,
    pub figures: Arc<Figures>,
    /// Beside the snapshot's assumed inputs.
    names: Vec<String>,
}

impl DepthStage {
    /// Brings in what a check lowered.
    pub(crate) fn bring(&mut self, snapshot: Option<(Snapshot, Vec<String>)>) {
        let Some((snapshot, names)) = snapshot else {
            self.snapshot = None;
            return;
        };
        // The same one stays, so that figures worked out from it are found by address.
        if self.snapshot.as_deref() != Some(&snapshot) {
            let held = self.held.as_ref().map(|held| &held.snapshot).filter(|held| ***held == snapshot);
            self.snapshot = Some(held.map_or_else(|| Arc::new(snapshot), Arc::clone));
        }
        self.names = names;
        if self.is_current()
            && let Some(held) = &mut self.held
        {
            held.names.clone_from(&self.names);
        }
    }

    /// Names of what is assumed now, beside the snapshot's assumed inputs.
    pub(crate) fn names(&self) -> &[String] {
        &self.names
    }

    pub(crate) fn take(&mut self, snapshot: Arc<Snapshot>, figures: Arc<Figures>) {
        // Names of inputs that are assumed no longer are not at hand; a current snapshot has them.
        let current = self.snapshot.as_ref().is_some_and(|now| now.assumed == snapshot.assumed);
        let names = if current { self.names.clone() } else { Vec::new() };
        self.held = Some(Held { snapshot, figures, names });
    }

    /// The level envelope, unless a cup that ends it is gone.
    pub(crate) fn envelope(&self) -> Option<EnvelopeReport> {
        let (now, held) = (self.snapshot.as_ref()?, self.held.as_ref()?);
        let envelope = held.figures.envelope.as_ref()?;
        let there = |point: &EnvelopePointReport| {
            !point.acceleration.is_finite() || now.index_of(point.cup).is_some()
        };
        envelope.points.iter().all(there).then(|| envelope.clone())
    }

    /// Slow figures of a circuit, without cups that are gone.
    pub(crate) fn of_circuit(&self, circuit: CircuitId) -> Option<CircuitDepth> {
        let (now, held) = (self.snapshot.as_ref()?, self.held.as_ref()?);
        let (_, depth) = held.figures.circuits.iter().find(|(id, _)| *id == circuit)?;
        let still = |cup: &CupId| now.index_of(*cup).is_some();
        let mut depth = depth.clone();
        depth.open.retain(|open| still(&open.cup) && still(&open.least_at));
        for open in &mut depth.open {
            open.then_lost.retain(still);
        }
        for until in &mut depth.open_until {
            if let OpenAt::With(cups) = &mut until.at {
                cups.retain(still);
            }
        }
        depth.evacuation.retain(|curve| still(&curve.cup));
        Some(depth)
    }

    /// What would keep the part on the tool in the worst loss that drops it, with figures that belong to this plan.
    pub(crate) fn drop_remedy(&self) -> Option<&DropRemedy> {
        self.held.as_ref().filter(|_| self.is_current())?.figures.remedy.as_ref()
    }

    pub(crate) fn is_current(&self) -> bool {
        match (&self.snapshot, &self.held) {
            (Some(now), Some(held)) => Arc::ptr_eq(now, &held.snapshot) || **now == *held.snapshot,
            _ => false,
        }
    }

    pub(crate) fn state(&self) -> DepthState {
        match (&self.snapshot, &self.held) {
            (Some(_), Some(_)) if self.is_current() => DepthState::Current,
            (Some(_), Some(_)) => DepthState::Older,
            _ => DepthState::Absent,
        }
    }

    /// Slow figures of a motion, without cups that are gone.
    pub(crate) fn of_motion(&self, motion: MotionId) -> Option<MotionDepth> {
        let (now, held) = (self.snapshot.as_ref()?, self.held.as_ref()?);
        let (_, figures) = held.figures.motions.iter().find(|(id, _)| *id == motion)?;
        let id_of = |index: &usize| held.snapshot.cups.get(*index).map(|cup| cup.id);
        let still = |cup: CupId| now.index_of(cup).is_some();
        let lost = figures.lost.iter().filter_map(|(first, lost)| {
            let named = name(first, &held.snapshot)?;
            let there = match &named {
                Lost::Cup(cup) => still(*cup),
                Lost::Zone(zone) => now.zones.iter().any(|(name, _)| name == zone),
            };
            there.then(|| LostReport {
                lost: named,
                factor: lost.factor,
                limit: lost.limit.clone(),
                limit_at_least: lost.limit_at_least,
                then_lost: lost.then_lost.iter().filter_map(id_of).filter(|cup| still(*cup)).collect(),
                holds: lost.holds,
            })
        });
        let range = figures.range.as_ref().map(|range| FactorRange {
            least: range.least,
            most: range.most,
            inputs: held
                .names
                .iter()
                .zip(&range.moves)
                .filter(|(_, moves)| **moves)
                .map(|(name, _)| name.clone())
                .collect(),
        });
        let without = figures.without.iter();
        let without = without.filter_map(|(cup, factor)| Some((held.snapshot.cups.get(*cup)?.id, *factor)));
        let without = without.filter(|(cup, _)| still(*cup)).collect();
        Some(MotionDepth {
            limit: figures.limit.clone(),
            limit_at_least: figures.limit_at_least,
            range,
            lost: lost.collect(),
            without,
        })
    }

    /// What each loss leaves of the levels of these cups, without cups that are gone.
    pub(crate) fn levels_when_lost(&self, cups: &[CupReport]) -> Vec<LevelsWhenLost> {
        let Some(held) = &self.held else { return Vec::new() };
        let at = |cup: CupId| cups.iter().find(|facts| facts.id == cup);
        let each = held.figures.levels.iter().filter_map(|(first, shares)| {
            let lost = name(first, &held.snapshot)?;
            if let Lost::Cup(cup) = &lost {
                at(*cup)?;
            }
            let gone = first.cups(&held.snapshot);
            let left = held.snapshot.cups.iter().zip(shares).enumerate();
            let left = left.filter(|(index, _)| !gone.contains(index)).filter_map(|(_, (cup, share))| {
                let facts = at(cup.id)?;
                Some(LevelLeft {
                    cup: cup.id,
                    level_kpa: facts.level_kpa * share,
                    vacuum_force_n: facts.vacuum_force_n * share,
                })
            });
            Some(LevelsWhenLost { lost, cups: left.collect() })
        });
        each.collect()
    }
}
