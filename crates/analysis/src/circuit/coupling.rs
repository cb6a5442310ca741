//! What is left of the cups' strength when some of a circuit are open.

use super::{
    input::{CircuitInput, CupInput},
    lower::{Built, Switch},
    steady::Solved,
};
use crate::snapshot::Snapshot;
use document::CircuitId;
use mechanics::LipStrength;
use std::{collections::HashMap, sync::Arc};
use vacuum::{CupId, Network, Status};

/// A solved circuit of a snapshot.
#[derive(Debug, Clone)]
pub(crate) struct SnapshotCircuit {
    pub input: Arc<CircuitInput>,
    pub solved: Arc<Solved>,
}

impl PartialEq for SnapshotCircuit {
    /// What was solved follows from the inputs.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.input, &other.input) || self.input == other.input
    }
}

impl SnapshotCircuit {
    /// Whether the same levels follow: names and prices may differ, and thresholds, which the strengths of the cups tell.
    pub(crate) fn same_air(&self, other: &Self) -> bool {
        let (a, b) = (&*self.input, &*other.input);
        let same_cup = |a: &CupInput, b: &CupInput| *a == CupInput { tag: a.tag.clone(), ..b.clone() };
        Arc::ptr_eq(&self.input, &other.input)
            || a.id == b.id
                && a.supply == b.supply
                && a.model == b.model
                && a.routing == b.routing
                && a.air == b.air
                && a.cups.len() == b.cups.len()
                && a.cups.iter().zip(&b.cups).all(|(a, b)| same_cup(a, b))
    }

    pub(crate) fn id(&self) -> CircuitId {
        self.input.id
    }

    pub(crate) fn built(&self) -> Option<&Built> {
        self.solved.built.as_deref()
    }

    /// Levels at its cups when the switch says that the part is held, kPa.
    pub(crate) fn designs(&self) -> impl Iterator<Item = f64> + '_ {
        self.solved.report.cups.iter().map(|cup| cup.design_kpa)
    }

    /// Levels at its cups as they come to be, kPa.
    pub(crate) fn levels(&self) -> impl Iterator<Item = f64> + '_ {
        self.solved.report.cups.iter().map(|cup| cup.level_kpa)
    }

    /// The cups of its network by their order in it.
    pub(crate) fn cup_ids(&self) -> Vec<CupId> {
        self.built().map(|built| built.network.spec().cup_ids().collect()).unwrap_or_default()
    }

    /// Its place of a cup of the snapshot.
    pub(crate) fn place_of(&self, cup: usize) -> Option<usize> {
        self.input.cups.iter().position(|held| held.index == cup)
    }

    /// Share of its level that each cup keeps with some open and the valves of some zones shut.
    fn shares(&self, open: &[usize], shut: &[&str]) -> Option<Vec<f64>> {
        let built = self.built()?;
        let ids = self.cup_ids();
        let network = shut_zones(built, shut);
        let open: Vec<CupId> = open.iter().filter_map(|place| ids.get(*place).copied()).collect();
        let after = vacuum::cups_open(&network, &open);
        if after.status == Status::NotConverged {
            return None;
        }
        let shares = after.levels.iter().zip(self.levels()).map(|(level, before)| match level {
            Some(level) if before > 0.0 => (level.kpa() / before).clamp(0.0, 1.0),
            Some(_) | None => 0.0,
        });
        Some(shares.collect())
    }
}

fn shut_zones(built: &Built, shut: &[&str]) -> Network {
    let valves = built.valves.iter().filter(|(zone, _)| shut.contains(&zone.as_str()));
    valves.fold(built.network.clone(), |network, (_, switch)| match switch {
        Switch::Way(valve) => network.with_valve_open(*valve, false),
        Switch::Feed(sources) => {
            sources.iter().fold(network, |network, source| network.with_source_running(*source, false))
        }
    })
}

/// Strengths by what is lost, each worked out once.
pub(crate) struct Coupling<'a> {
    snapshot: &'a Snapshot,
    intact: Vec<LipStrength>,
    held: HashMap<(Vec<usize>, Vec<usize>), Vec<f64>>,
}

impl<'a> Coupling<'a> {
    pub(crate) fn new(snapshot: &'a Snapshot) -> Self {
        Self { snapshot, intact: snapshot.strengths(), held: HashMap::new() }
    }

    /// Whether a lost cup touches others at all.
    pub(crate) fn any(&self) -> bool {
        !self.snapshot.circuits.is_empty()
    }

    /// Strengths of all cups when `lost` are open bores on their circuits. `first` was lost at first: a zone of several
    /// cups behind a valve of its own that is lost whole is taken to have been shut off by it.
    pub(crate) fn strengths(&mut self, first: &[usize], lost: &[usize]) -> Vec<LipStrength> {
        if !self.any() {
            return self.intact.clone();
        }
        let shares = self.shares(first, lost);
        let scaled = |(strength, share): (&LipStrength, f64)| LipStrength {
            vacuum_force: strength.vacuum_force * share,
            ..*strength
        };
        self.intact.iter().zip(shares).map(scaled).collect()
    }

    /// Share of its level that each cup keeps. A circuit that finds no steady state keeps nothing.
    pub(crate) fn shares(&mut self, first: &[usize], lost: &[usize]) -> Vec<f64> {
        let key = (first.to_vec(), lost.to_vec());
        if let Some(held) = self.held.get(&key) {
            return held.clone();
        }
        let mut shares = vec![1.0; self.intact.len()];
        for circuit in &self.snapshot.circuits {
            let open: Vec<usize> = lost.iter().filter_map(|cup| circuit.place_of(*cup)).collect();
            if open.is_empty() {
                continue;
            }
            let shut = shut_by(circuit, first);
            let kept = circuit.shares(&open, &shut);
            for (place, cup) in circuit.input.cups.iter().enumerate() {
                if let Some(share) = shares.get_mut(cup.index) {
                    *share = kept.as_ref().and_then(|kept| kept.get(place).copied()).unwrap_or(0.0);
                }
            }
        }
        self.held.insert(key, shares.clone());
        shares
    }
}

/// Zones of several cups with a valve whose cups were all lost at first.
fn shut_by<'c>(circuit: &'c SnapshotCircuit, first: &[usize]) -> Vec<&'c str> {
    let valves = circuit.built().map(|built| built.valves.as_slice()).unwrap_or_default();
    let whole = |zone: &str| {
        let mut cups = circuit.input.cups.iter().filter(|cup| cup.zone == zone);
        cups.clone().count() > 1 && cups.all(|cup| first.contains(&cup.index))
    };
    valves.iter().map(|(zone, _)| zone.as_str()).filter(|zone| whole(zone)).collect()
}
