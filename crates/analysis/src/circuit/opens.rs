//! How many cups may be open: until a required factor is missed, until the part drops, until the level is lost.
//!
//! An open cup carries nothing and draws air. Which cups are open is looked for one after another, the one that hurts most
//! first: what is found is so with those cups open; of one open cup every choice is tried, so that no other single one is
//! worse.

use super::{
    coupling::{Coupling, SnapshotCircuit},
    slow::MOST_TRIED,
};
use crate::{
    report::{OpenAt, OpenMeaning, OpenUntil},
    snapshot::Snapshot,
};
use document::CupId;
use mechanics::{CupSpring, follow_loss};
use std::sync::atomic::{AtomicBool, Ordering};
use units::VacuumLevel;
use vacuum::{Survival, WithOpen};

/// Of up to so many cups every next open one is looked for among all that are left, else among the worst few.
const ALL_TRIED: usize = 24;
const WORST_TRIED: usize = 8;
/// A ratio this close below 1 is met.
const TIE: f64 = 1e-9;

/// What is left with some cups open.
#[derive(Clone, Copy)]
struct Left {
    /// Least factor over required.
    ratio: f64,
    /// Least factor of the first lip.
    factor: f64,
    drops: bool,
}

pub(super) struct Opens<'a> {
    pub snapshot: &'a Snapshot,
    pub circuit: &'a SnapshotCircuit,
    pub cancel: &'a AtomicBool,
}

impl Opens<'_> {
    /// The three figures; `None` when stopped.
    pub(super) fn all(&self, each: &[WithOpen]) -> Option<[OpenUntil; 3]> {
        let [required, drops] = self.of_loads()?;
        let level = self.of_level(each)?;
        Some([
            OpenUntil { what: OpenMeaning::RequiredMissed, at: required },
            OpenUntil { what: OpenMeaning::PartDrops, at: drops },
            OpenUntil { what: OpenMeaning::LevelLost, at: level },
        ])
    }

    fn stopped(&self) -> bool {
        self.cancel.load(Ordering::Relaxed)
    }

    fn ids(&self, cups: &[usize]) -> Vec<CupId> {
        cups.iter().filter_map(|cup| self.snapshot.cups.get(*cup)).map(|cup| cup.id).collect()
    }

    fn of_loads(&self) -> Option<[OpenAt; 2]> {
        let snapshot = self.snapshot;
        if snapshot.cases.is_empty() {
            return Some([OpenAt::NoFigure, OpenAt::NoFigure]);
        }
        let springs = snapshot.springs();
        let mut coupling = Coupling::new(snapshot);
        let mut left = |gone: &[usize]| self.left(&springs, &mut coupling, gone);
        let none_open = left(&[]);
        let short = |left: &Left| left.ratio < 1.0 - TIE;
        let mut required = short(&none_open).then(Vec::new);
        // With every cup on, a factor below 1 counts as dropped, as the verdict has it.
        let mut drops = (none_open.factor < 1.0 - TIE).then(Vec::new);
        // Cups that lie beside the part are open as it is.
        let holding = |index: &usize| *index < snapshot.cups.len();
        let cups: Vec<usize> = self.circuit.input.cups.iter().map(|cup| cup.index).filter(holding).collect();
        let mut order = cups.clone();
        let mut open: Vec<usize> = Vec::new();
        while open.len() < cups.len() && (required.is_none() || drops.is_none()) {
            let mut tried: Vec<(usize, Left)> = Vec::new();
            let most = if open.is_empty() || cups.len() <= ALL_TRIED { cups.len() } else { WORST_TRIED };
            for cup in order.iter().filter(|cup| !open.contains(cup)).take(most) {
                if self.stopped() {
                    return None;
                }
                let gone: Vec<usize> = open.iter().copied().chain([*cup]).collect();
                tried.push((*cup, left(&gone)));
            }
            tried.sort_by(|a, b| a.1.ratio.total_cmp(&b.1.ratio));
            if open.is_empty() {
                order = tried.iter().map(|(cup, _)| *cup).collect();
            }
            let with = |cup: usize| -> Vec<usize> { open.iter().copied().chain([cup]).collect() };
            if required.is_none() {
                required = tried.iter().find(|(_, left)| short(left)).map(|(cup, _)| with(*cup));
            }
            if drops.is_none() {
                drops = tried.iter().find(|(_, left)| left.drops).map(|(cup, _)| with(*cup));
            }
            let Some((worst, _)) = tried.first() else { break };
            open.push(*worst);
        }
        let at = |cups: Option<Vec<usize>>| cups.map_or(OpenAt::Never, |cups| OpenAt::With(self.ids(&cups)));
        Some([at(required), at(drops)])
    }

    fn left(&self, springs: &[CupSpring], coupling: &mut Coupling<'_>, gone: &[usize]) -> Left {
        let snapshot = self.snapshot;
        let mut found = Left { ratio: f64::INFINITY, factor: f64::INFINITY, drops: false };
        for (index, (_, case)) in snapshot.cases.iter().enumerate() {
            // No valve shuts a zone here: the cups are open, and nothing was switched off.
            let loss =
                follow_loss(&snapshot.body, case, springs, gone, &mut |lost| coupling.strengths(&[], lost));
            let state = loss.steps.first().and_then(|step| step.state.as_ref().ok());
            let factor = state.map_or(0.0, |state| state.factor().value);
            let required = snapshot.required_of.get(index).copied().unwrap_or(1.0);
            found.factor = found.factor.min(factor);
            found.ratio = found.ratio.min(factor / required);
            found.drops |= !loss.holds;
        }
        found
    }

    /// Until another cup of the circuit has less than the level asked for.
    fn of_level(&self, each: &[WithOpen]) -> Option<OpenAt> {
        let input = &self.circuit.input;
        let found = self.survived(each, input.wanted_kpa)?;
        if self.circuit.levels().fold(f64::INFINITY, f64::min) < input.wanted_kpa {
            return Some(OpenAt::With(Vec::new()));
        }
        let cups: Vec<usize> = found
            .worst_order
            .iter()
            .filter_map(|cup| input.cups.get(cup.index()))
            .map(|cup| cup.index)
            .collect();
        Some(if cups.len() > found.open_cups { OpenAt::With(self.ids(&cups)) } else { OpenAt::Never })
    }

    /// How many open cups leave every other its level; `None` when stopped. Of many cups the order is that in which each
    /// hurts alone, which for cups that are alike is the worst one too.
    fn survived(&self, each: &[WithOpen], needed_kpa: f64) -> Option<Survival> {
        let network = &self.circuit.built()?.network;
        if each.len() <= MOST_TRIED {
            return Some(vacuum::survivable_open_cups(network, VacuumLevel::from_kpa(needed_kpa)));
        }
        let ids = self.circuit.cup_ids();
        let left = |open: &WithOpen| open.worst.map_or(f64::NEG_INFINITY, |(_, level)| level.kpa());
        let mut order: Vec<usize> = (0..each.len().min(ids.len())).collect();
        order.sort_by(|a, b| left(&each[*a]).total_cmp(&left(&each[*b])));
        let mut worst_order = Vec::new();
        for place in order.into_iter().take(each.len() - 1) {
            if self.stopped() {
                return None;
            }
            worst_order.push(ids[place]);
            if left(&vacuum::cups_open(network, &worst_order)) < needed_kpa {
                return Some(Survival { open_cups: worst_order.len() - 1, worst_order });
            }
        }
        Some(Survival { open_cups: worst_order.len(), worst_order })
    }
}
