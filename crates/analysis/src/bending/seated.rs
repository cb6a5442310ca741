//! A sheet on those cups whose lips lie on it.

use super::input::SheetKey;
use crate::{loads, report::BendingReport, snapshot::Snapshot};
use flex::{FlexCup, FlexError, FlexGroup, Hung, Sheet};
use mechanics::{CupGroup, CupSpring, LipStrength};
use std::sync::Arc;
use units::Worded;

/// A sheet on its cups and what that gives, kept so that the next plan takes over what has stayed.
pub(crate) struct Bent {
    pub key: SheetKey,
    pub seated: Seated,
    pub report: Arc<BendingReport>,
}

/// A sheet on those cups that it lies on wholly.
#[derive(Clone)]
pub(crate) struct Seated {
    pub flex: Arc<FlexGroup>,
    /// The same cups under a rigid part.
    pub rigid: Arc<CupGroup>,
    /// Indices in the snapshot of the cups that carry.
    pub cups: Vec<usize>,
    /// Cups whose lips reach over an edge or a hole: they carry nothing here.
    pub off: Vec<usize>,
}

impl Seated {
    pub(crate) fn hung(&self) -> &Hung {
        self.flex.hung()
    }

    /// Of a list beside the snapshot's cups those that carry.
    pub(crate) fn of<T: Copy>(&self, all: &[T]) -> Vec<T> {
        self.cups.iter().filter_map(|cup| all.get(*cup).copied()).collect()
    }

    pub(crate) fn strengths(&self, snapshot: &Snapshot) -> Vec<LipStrength> {
        self.of(&snapshot.strengths())
    }

    /// Place among the cups that carry of one of the snapshot.
    pub(crate) fn place_of(&self, cup: usize) -> Option<usize> {
        self.cups.binary_search(&cup).ok()
    }

    /// The same sheet on fewer cups, by their places among those that carry. What they were is taken over.
    ///
    /// # Errors
    /// What those cups cannot carry.
    pub(crate) fn left_with(&self, places: &[usize]) -> Result<FlexGroup, Worded> {
        let cups: Vec<FlexCup> =
            places.iter().filter_map(|at| self.hung().cups().get(*at).copied()).collect();
        let springs: Vec<CupSpring> = cups.iter().map(|cup| cup.spring).collect();
        let rigid = loads::factored(&springs)?;
        let hung = Hung::new(self.hung().sheet(), &cups, Some(self.hung()));
        hung.and_then(|hung| hung.group(&rigid)).map_err(|error| error.worded())
    }
}

/// Hangs a sheet on the cups of a snapshot. A lip that reaches over an edge is left out and named: the rest carries without it.
///
/// # Errors
/// What stands in the way of all figures.
pub(crate) fn hang(sheet: &Arc<Sheet>, snapshot: &Snapshot, before: Option<&Hung>) -> Result<Seated, Worded> {
    let all: Vec<FlexCup> =
        snapshot.cups.iter().map(|cup| FlexCup { spring: cup.spring, line: cup.sealing }).collect();
    let mut cups: Vec<usize> = (0..all.len()).collect();
    let mut off = Vec::new();
    let hung = loop {
        if cups.is_empty() {
            return Err("no lip lies fully on the part".into());
        }
        let on: Vec<FlexCup> = cups.iter().map(|cup| all[*cup]).collect();
        match Hung::new(sheet, &on, before) {
            Err(FlexError::LipOff { cup, .. }) if cup < cups.len() => off.push(cups.remove(cup)),
            Err(error) => return Err(error.worded()),
            Ok(hung) => break hung,
        }
    };
    let springs: Vec<CupSpring> = cups.iter().map(|cup| all[*cup].spring).collect();
    let rigid = loads::factored(&springs)?;
    let flex = hung.group(&rigid).map_err(|error| error.worded())?;
    Ok(Seated { flex: Arc::new(flex), rigid, cups, off })
}
