//! What each motion asks of each cup. Memoised on the lowered values, so names and colours of things do not matter.

use crate::{cores, lower::CupFacts, memo::Slot};
use document::MotionId;
use mechanics::{Body, CaseResult, CupGroup, CupSpring, LipStrength, LoadCase};
use std::{collections::HashMap, sync::Arc};

/// A motion worked out for every cup.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Case {
    pub load_case: LoadCase,
    pub result: CaseResult,
}

/// Why a motion has no figure.
pub(crate) type NoFigure = units::Worded;

/// Inputs that all motions of a layout share.
#[derive(Debug, Clone, PartialEq)]
struct Carrying {
    group: u64,
    strengths: Vec<LipStrength>,
    body: Body,
}

/// One motion, remembered by the count of what all share and its own load case.
type CaseSlot = Slot<(u64, LoadCase), Result<Arc<Case>, NoFigure>>;

/// The load stage of one layout.
#[derive(Debug, Default)]
pub(crate) struct LoadStage {
    group: Slot<Vec<CupSpring>, Result<Arc<CupGroup>, NoFigure>>,
    carrying: Slot<Carrying, ()>,
    cases: HashMap<MotionId, CaseSlot>,
}

impl LoadStage {
    /// The springs, factored once for all motions.
    pub(crate) fn group(&mut self, cups: &[CupFacts]) -> Result<Arc<CupGroup>, NoFigure> {
        let springs = cups.iter().map(|cup| cup.spring).collect();
        self.group.get(springs, |springs| factored(springs)).clone()
    }

    /// Every motion, in their order; only those whose own or shared inputs changed are worked out again, on all cores where that is
    /// worth it.
    pub(crate) fn cases(
        &mut self,
        cups: &[CupFacts],
        body: &Body,
        group: &CupGroup,
        motions: &[(MotionId, LoadCase)],
    ) -> Vec<Result<Arc<Case>, NoFigure>> {
        let strengths: Vec<LipStrength> = cups.iter().map(|cup| cup.strength).collect();
        self.carrying
            .get(Carrying { group: self.group.made(), strengths: strengths.clone(), body: *body }, |_| ());
        let shared = self.carrying.made();
        self.cases.retain(|id, _| motions.iter().any(|(kept, _)| kept == id));
        let holds = |(id, load_case): &&(MotionId, LoadCase)| {
            self.cases.get(id).is_some_and(|slot| slot.holds(&(shared, *load_case)))
        };
        let stale: Vec<(MotionId, LoadCase)> =
            motions.iter().filter(|motion| !holds(motion)).copied().collect();
        let solved = cores::each(&stale, strengths.len(), |(_, load_case)| {
            solve(group, body, &strengths, load_case).map(Arc::new)
        });
        for ((id, load_case), solved) in stale.into_iter().zip(solved) {
            self.cases.entry(id).or_default().get((shared, load_case), |_| solved);
        }
        let held = |(id, _): &(MotionId, LoadCase)| self.cases.get(id)?.held().cloned();
        motions.iter().filter_map(held).collect()
    }

    /// The group of the last check, when it was one.
    pub(crate) fn held_group(&self) -> Option<Arc<CupGroup>> {
        self.group.held().and_then(|group| group.as_ref().ok()).cloned()
    }

    /// A motion of the last check, when it had a figure.
    pub(crate) fn held_case(&self, motion: MotionId) -> Option<Arc<Case>> {
        self.cases.get(&motion)?.held()?.as_ref().ok().cloned()
    }

    /// How often the group and the motions were worked out.
    #[cfg(test)]
    pub(crate) fn made(&self) -> (u64, u64) {
        (self.group.made(), self.cases.values().map(Slot::made).sum())
    }
}

/// The cups as one group.
///
/// # Errors
/// What the group cannot carry, as a sentence.
pub(crate) fn factored(springs: &[CupSpring]) -> Result<Arc<CupGroup>, NoFigure> {
    CupGroup::new(springs).map(Arc::new).map_err(|error| error.worded())
}

/// One motion, with every figure checked to be finite before it reaches a view. A factor may be infinite.
pub(crate) fn solve(
    group: &CupGroup,
    body: &Body,
    strengths: &[LipStrength],
    load_case: &LoadCase,
) -> Result<Case, NoFigure> {
    let result = mechanics::worst_case(body, load_case, group, strengths);
    let loads_finite = result.loads.iter().all(|load| {
        load.pull.is_finite() && load.slide.is_finite() && load.tilt.is_finite() && load.twist.is_finite()
    });
    let factors_known = result.cup_worst.iter().all(|(_, factor)| !factor.value.is_nan());
    if !(loads_finite && factors_known && result.wrench.force.is_finite() && !result.cup_worst.is_empty()) {
        return Err(
            "its loads are outside the range that can be calculated: check its acceleration, turning and pivot".into()
        );
    }
    Ok(Case { load_case: *load_case, result })
}

impl Case {
    /// Smallest factor over cups and instants.
    pub(crate) fn factor(&self) -> f64 {
        self.result.cup_worst.get(self.result.governing).map_or(f64::INFINITY, |(_, factor)| factor.value)
    }
}

/// Least factor of a layout that is tried out, in one motion.
pub(crate) fn factor_of(cups: &[CupFacts], body: &Body, load_case: &LoadCase) -> Option<f64> {
    let springs: Vec<CupSpring> = cups.iter().map(|cup| cup.spring).collect();
    let strengths: Vec<LipStrength> = cups.iter().map(|cup| cup.strength).collect();
    let group = factored(&springs).ok()?;
    solve(&group, body, &strengths, load_case).ok().map(|case| case.factor())
}
