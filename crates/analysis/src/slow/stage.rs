//! What is remembered of one layout's slow figures, and how they come into a report.

use super::{
    SlowFound,
    bending::Bend,
    bent_reserve::Behind,
    envelope::LevelEnvelope,
    figure::{Figure, Held, Shelf, Slow},
    follow::First,
    limits::{Limits, LossLimit, MotionLimits},
    losses::{Losses, MotionLosses},
    ranges::Ranges,
    remedy::{DropRemedy, Remedy},
    ringing::Ringing,
    times::Times,
};
use crate::{
    report::{
        Age, Ages, BendingReport, BentReserve, CircuitSlow, CupReport, EnvelopePointReport, EnvelopeReport,
        FactorRange, LevelLeft, LevelsWhenLost, LimitFigure, Lost, LostReport, MotionSlow, OpenAt,
        RingReport,
    },
    snapshot::Snapshot,
};
use document::{CircuitId, CupId, MotionId};
use std::{collections::HashMap, sync::Arc};
use units::UnitChoice;

/// What is remembered of one layout's slow figures.
#[derive(Debug, Default)]
pub(crate) struct SlowStage {
    /// What they would be worked out from now; `None` when there is nothing to work on.
    pub snapshot: Option<Arc<Snapshot>>,
    pub(super) shelf: Shelf,
    /// Names of what is assumed now.
    pub(super) names: Arc<[String]>,
}

impl SlowStage {
    /// Brings in what a check lowered.
    pub(crate) fn bring(&mut self, snapshot: Option<(Snapshot, Vec<String>)>) {
        let Some((snapshot, names)) = snapshot else {
            self.snapshot = None;
            return;
        };
        // The same one stays, so that figures worked out from it are found by address.
        if self.snapshot.as_deref() != Some(&snapshot) {
            let held = Slow::all().filter_map(|slow| self.shelf.held(slow)).map(|held| &held.of);
            let held = held.into_iter().find(|held| ***held == snapshot).map(Arc::clone);
            self.snapshot = Some(held.unwrap_or_else(|| Arc::new(snapshot)));
        }
        if *self.names != *names {
            self.names = names.into();
        }
        if self.age(Slow::Ranges) == Age::Current
            && let Some(held) = self.shelf.held_mut(Slow::Ranges)
        {
            held.names = Arc::clone(&self.names);
        }
    }

    /// Names of what is assumed now, beside the snapshot's assumed inputs.
    pub(crate) fn names(&self) -> &[String] {
        &self.names
    }

    pub(crate) fn take(&mut self, found: SlowFound) {
        let SlowFound { slow, of, names, found, .. } = found;
        self.shelf.put(slow, Held { of, names, found });
    }

    /// Whether a figure belongs to this plan.
    pub(crate) fn age(&self, slow: Slow) -> Age {
        match (&self.snapshot, self.shelf.held(slow)) {
            (Some(now), Some(_)) if self.shelf.is_of(slow, now) => Age::Current,
            (Some(_), Some(_)) => Age::Older,
            _ => Age::Absent,
        }
    }

    /// The age of every figure.
    pub(crate) fn ages(&self) -> Ages {
        Ages::by(|slow| self.age(slow))
    }

    /// The latest of a kind, while there is a plan to show it with.
    fn latest<F: Figure>(&self) -> Option<(&Snapshot, &Held, &F)> {
        let (held, found) = self.shelf.latest::<F>()?;
        Some((self.snapshot.as_ref()?, held, found))
    }

    /// The level envelope, unless a cup that ends it is gone.
    pub(crate) fn envelope(&self) -> Option<EnvelopeReport> {
        let (now, _, LevelEnvelope(envelope)) = self.latest()?;
        let envelope = envelope.as_ref()?;
        let there = |point: &EnvelopePointReport| {
            !point.acceleration.is_finite() || now.index_of(point.cup).is_some()
        };
        envelope.points.iter().all(there).then(|| envelope.clone())
    }

    /// A part that bends as it is known, of this plan or of an earlier one; `None` of one that is taken as rigid now, or of
    /// which a cup is gone.
    fn of_bending<F: Figure, R>(&self, told: impl Fn(&F) -> Option<R>) -> Option<R> {
        let (now, held, found) = self.latest::<F>()?;
        now.bending.as_ref()?;
        let still = held.of.cups.iter().all(|cup| now.index_of(cup.id).is_some());
        still.then(|| told(found))?
    }

    pub(crate) fn bending(&self, units: &UnitChoice) -> Option<Result<Arc<BendingReport>, String>> {
        self.of_bending(|Bend(held)| {
            Some(held.as_ref()?.as_ref().map(|bent| Arc::clone(&bent.report)).map_err(|why| why.says(units)))
        })
    }

    pub(crate) fn ringing(&self, units: &UnitChoice) -> Option<Result<Arc<RingReport>, String>> {
        self.of_bending(|Ringing(held)| Some(held.clone()?.map_err(|why| why.says(units))))
    }

    pub(crate) fn bent_reserve(&self, units: &UnitChoice) -> Option<Result<Arc<BentReserve>, String>> {
        self.of_bending(|Behind(held)| {
            Some(held.as_ref()?.as_ref().map(|held| Arc::clone(&held.report)).map_err(|why| why.says(units)))
        })
    }

    /// Slow figures of a circuit, without cups that are gone.
    pub(crate) fn of_circuit(&self, circuit: CircuitId) -> Option<CircuitSlow> {
        let (now, _, Times(circuits)) = self.latest()?;
        let (_, slow) = circuits.iter().find(|(id, _)| *id == circuit)?;
        let still = |cup: &CupId| now.index_of(*cup).is_some();
        let mut slow = slow.clone();
        slow.open.retain(|open| still(&open.cup) && still(&open.least_at));
        for open in &mut slow.open {
            open.then_lost.retain(still);
        }
        for until in &mut slow.open_until {
            if let OpenAt::With(cups) = &mut until.at {
                cups.retain(still);
            }
        }
        slow.evacuation.retain(|curve| still(&curve.cup));
        Some(slow)
    }

    /// What would keep the part on the tool in the worst loss that drops it, with figures that belong to this plan.
    pub(crate) fn drop_remedy(&self) -> Option<&DropRemedy> {
        let (_, _, Remedy(remedy)) = self.latest()?;
        remedy.as_ref().filter(|_| self.age(Slow::Remedy) == Age::Current)
    }

    /// Slow figures of a motion, without cups that are gone; `None` while there are none of it.
    pub(crate) fn of_motion(&self, motion: MotionId) -> Option<MotionSlow> {
        let limits = self.latest::<Limits>();
        let limits = limits.and_then(|(_, held, limits)| Some((&held.of, limits.of_motion(motion)?)));
        let losses = self.latest::<Losses>();
        let losses = losses.and_then(|(_, held, losses)| Some((&held.of, losses.of_motion(motion)?)));
        let range = self.latest::<Ranges>();
        let range = range.and_then(|(_, held, ranges)| Some((&held.names, ranges.of_motion(motion)?)));
        if limits.is_none() && losses.is_none() && range.is_none() {
            return None;
        }
        let (lost, without) = losses.map(|losses| self.losses(losses, limits)).unwrap_or_default();
        let range = range.map(|(names, range)| FactorRange {
            least: range.least,
            most: range.most,
            inputs: names
                .iter()
                .zip(&range.moves)
                .filter(|(_, moves)| **moves)
                .map(|(name, _)| name.clone())
                .collect(),
        });
        Some(MotionSlow {
            limit: limits.map_or(LimitFigure::Pending, |(_, limits)| limits.limit.clone()),
            limit_at_least: limits.and_then(|(_, limits)| limits.at_least),
            range,
            lost,
            without,
        })
    }

    /// Losses of one motion with the limit factors that are known of what they leave, and factors without each cup.
    fn losses(
        &self,
        (of, losses): (&Arc<Snapshot>, &MotionLosses),
        limits: Option<(&Arc<Snapshot>, &MotionLimits)>,
    ) -> (Vec<LostReport>, Vec<(CupId, Option<f64>)>) {
        let Some(now) = &self.snapshot else { return Default::default() };
        let id_of = |index: &usize| of.cups.get(*index).map(|cup| cup.id);
        let still = |cup: CupId| now.index_of(cup).is_some();
        let limits: HashMap<Lost, &LossLimit> = limits.map_or_else(HashMap::new, |(of, limits)| {
            limits.lost.iter().filter_map(|lost| Some((name(&lost.first, of)?, lost))).collect()
        });
        let lost = losses.lost.iter().filter_map(|(first, lost)| {
            let named = name(first, of)?;
            let there = match &named {
                Lost::Cup(cup) => still(*cup),
                Lost::Zone(zone) => now.zones.iter().any(|(name, _)| name == zone),
            };
            let limit = limits.get(&named);
            there.then(|| LostReport {
                factor: lost.factor,
                limit: limit.map_or(LimitFigure::Pending, |limit| limit.limit.clone()),
                limit_at_least: limit.and_then(|limit| limit.at_least),
                then_lost: lost.then_lost.iter().filter_map(id_of).filter(|cup| still(*cup)).collect(),
                holds: lost.holds,
                lost: named,
            })
        });
        let without = losses.without.iter();
        let without = without.filter_map(|(cup, factor)| Some((of.cups.get(*cup)?.id, *factor)));
        (lost.collect(), without.filter(|(cup, _)| still(*cup)).collect())
    }

    /// What each loss leaves of the levels of these cups, without cups that are gone.
    pub(crate) fn levels_when_lost(&self, cups: &[CupReport]) -> Vec<LevelsWhenLost> {
        let Some((held, losses)) = self.shelf.latest::<Losses>() else { return Vec::new() };
        let at = |cup: CupId| cups.iter().find(|facts| facts.id == cup);
        let each = losses.levels.iter().filter_map(|(first, shares)| {
            let lost = name(first, &held.of)?;
            if let Lost::Cup(cup) = &lost {
                at(*cup)?;
            }
            let gone = first.cups(&held.of);
            let left = held.of.cups.iter().zip(shares).enumerate();
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

/// What was lost, by its place in a snapshot.
pub(super) fn name(first: &First, snapshot: &Snapshot) -> Option<Lost> {
    Some(match first {
        First::Cup(cup) => Lost::Cup(snapshot.cups.get(*cup)?.id),
        First::Zone(zone) => Lost::Zone(snapshot.zones.get(*zone)?.0.clone()),
    })
}
