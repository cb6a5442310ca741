//! One cup lets go: what the others then carry, and whether the loss runs on.

use crate::case::{CaseResult, worst_case_shared};
use crate::group::{CupGroup, CupSpring};
use crate::group_error::GroupError;
use crate::motion::{Body, LoadCase};
use crate::sharing::Sharing;
use crate::strength::LipStrength;

/// Factors closer than this (relative) are equal: such cups let go together. A factor this close below 1 holds.
const TIE: f64 = 1e-9;

/// The tool after some cups have let go.
#[derive(Debug, Clone, PartialEq)]
pub struct LossStep {
    /// All cups lost so far, sorted.
    pub lost: Vec<usize>,
    /// Those of them that were lost in this step, sorted.
    pub newly: Vec<usize>,
    /// Worst case of what is left; its indices count the cups in `left`. An error when what is left cannot carry the
    /// case at all.
    pub state: Result<CaseResult, GroupError>,
    /// The cups that are left, sorted.
    pub left: Vec<usize>,
}

/// A loss followed to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// From the first loss on; never empty.
    pub steps: Vec<LossStep>,
    /// Whether what is left in the end carries the case; otherwise the part drops.
    pub holds: bool,
}

/// Takes the cups `first` away and follows the loss: while some cup that is left has a factor below 1, the weakest lets
/// go next, and with it those that are as weak at the same instant. Ends when every factor is at least 1, or when what
/// is left cannot carry the case: no cups, or a free motion (cups in line, say) that [`CupGroup::new`] refuses.
///
/// `strengths_when_lost` gives the strengths of all cups, in their order, when the named ones are lost: cups left open
/// on a circuit lower the level at their neighbours. A cup without a strength holds nothing.
///
/// The loss is followed at rest from step to step: what the jerk of a letting go adds is not part of the model; see
/// [`sudden_start_amplification`](crate::sudden_start_amplification) for how much it can be.
///
/// # Units
/// As [`crate::worst_case`].
///
/// # Example
/// ```
/// use geometry::LipShape;
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::*;
/// let shape = LipShape::Round { diameter: 40.0 }; // mm
/// let line = shape.line();
/// let lip = LipStrength {
///     vacuum_force: 70.0, line, turn: 0.0, shape, friction: 0.5, slide_share: 0.9, seal_minimum: 0.0,
/// };
/// let cups: Vec<_> = [(-200.0, -150.0), (200.0, -150.0), (200.0, 150.0), (-200.0, 150.0)]
///     .map(|(x, y)| CupSpring::along_lip(DVec2::new(x, y), 0.0, 20.0, 10.0, &line, 1.0))
///     .into();
/// let part = Body { mass: 5.0, centre: DVec3::new(0.0, 0.0, -1.0), inertia: DMat3::ZERO };
/// let still = LoadCase::single(Instant::still(DVec3::new(0.0, 0.0, -9.80665)));
/// let loss = follow_loss(&part, &still, &cups, &[0], &mut |_| vec![lip; 4]);
/// assert!(loss.holds && loss.steps.len() == 1);
/// assert_eq!(loss.steps[0].left, [1, 2, 3]);
/// ```
pub fn follow_loss(
    body: &Body,
    case: &LoadCase,
    springs: &[CupSpring],
    first: &[usize],
    strengths_when_lost: &mut dyn FnMut(&[usize]) -> Vec<LipStrength>,
) -> Loss {
    let mut most = usize::MAX;
    let mut rigid = rigid(springs);
    let all = All { body, count: springs.len(), shares: &mut rigid };
    worst_followed(all, case, first, &mut most, strengths_when_lost).0
}

/// As [`follow_loss`], with the loads of what is left shared in any way that is linear in them: a part that bends among them.
/// `sharing_of` gives that of the cups that are left, or what they cannot carry; `count` is how many cups there are.
pub fn follow_loss_shared(
    (body, case): (&Body, &LoadCase),
    count: usize,
    first: &[usize],
    sharing_of: &mut SharingOf<'_>,
    strengths_when_lost: &mut dyn FnMut(&[usize]) -> Vec<LipStrength>,
) -> Loss {
    let mut most = usize::MAX;
    let all = All { body, count, shares: sharing_of };
    worst_followed(all, case, first, &mut most, strengths_when_lost).0
}

/// How the cups that are left share loads.
pub type SharingOf<'a> = dyn FnMut(&[usize]) -> Result<Box<dyn Sharing>, GroupError> + 'a;

fn rigid(springs: &[CupSpring]) -> impl FnMut(&[usize]) -> Result<Box<dyn Sharing>, GroupError> + '_ {
    |left| {
        let left: Vec<CupSpring> = left.iter().map(|&cup| springs[cup]).collect();
        CupGroup::new(&left).map(|group| Box::new(group) as Box<dyn Sharing>)
    }
}

/// The part and all cups before anything is lost.
struct All<'a, 's> {
    body: &'a Body,
    count: usize,
    shares: &'a mut SharingOf<'s>,
}

/// As [`follow_loss`], with so many cups looked at, step by step, at most: what is looked at is taken off `most`. `None`
/// when that is not enough to come to the end, which a loss that runs on through thousands of cups one by one takes long
/// to.
pub fn follow_loss_within(
    body: &Body,
    case: &LoadCase,
    springs: &[CupSpring],
    first: &[usize],
    most: &mut usize,
    strengths_when_lost: &mut dyn FnMut(&[usize]) -> Vec<LipStrength>,
) -> Option<Loss> {
    let mut rigid = rigid(springs);
    let all = All { body, count: springs.len(), shares: &mut rigid };
    let (loss, ended) = worst_followed(all, case, first, most, strengths_when_lost);
    ended.then_some(loss)
}

/// The loss through all states of a motion, as the part goes through them: a lip that lets go at the start is gone at the
/// stop. Where that runs on and still holds, each state is followed by itself as well, for what is left after other losses
/// may share a load worse; the first that drops the part counts.
fn worst_followed(
    mut all: All<'_, '_>,
    case: &LoadCase,
    first: &[usize],
    most: &mut usize,
    strengths_when_lost: &mut dyn FnMut(&[usize]) -> Vec<LipStrength>,
) -> (Loss, bool) {
    let (through_all, ended) = followed(&mut all, case, first, most, strengths_when_lost);
    if !ended || !through_all.holds || through_all.steps.len() == 1 || case.members().nth(1).is_none() {
        return (through_all, ended);
    }
    for (_, alone) in case.members() {
        let (loss, ended) = followed(&mut all, &alone, first, most, strengths_when_lost);
        if !ended || !loss.holds {
            return (loss, ended);
        }
    }
    (through_all, true)
}

/// The loss, and whether it was followed to its end.
fn followed(
    all: &mut All<'_, '_>,
    case: &LoadCase,
    first: &[usize],
    most: &mut usize,
    strengths_when_lost: &mut dyn FnMut(&[usize]) -> Vec<LipStrength>,
) -> (Loss, bool) {
    let mut steps: Vec<LossStep> = Vec::new();
    let mut newly: Vec<usize> = first.iter().copied().filter(|&cup| cup < all.count).collect();
    newly.sort_unstable();
    newly.dedup();
    let mut lost: Vec<usize> = Vec::new();
    loop {
        lost.extend(&newly);
        lost.sort_unstable();
        let enough = *most >= all.count;
        *most = most.saturating_sub(all.count);
        if !enough {
            return (Loss { steps, holds: false }, false);
        }
        let left: Vec<usize> = (0..all.count).filter(|cup| lost.binary_search(cup).is_err()).collect();
        let mut strengths = Vec::new();
        let state = (all.shares)(&left).map(|group| {
            strengths = of_left(&strengths_when_lost(&lost), &left);
            worst_case_shared(all.body, case, group.as_ref(), &strengths)
        });
        let next = match &state {
            Ok(result) if result.factor().value >= 1.0 - TIE => None,
            Ok(result) => Some(weakest(result, &strengths).map(|i| left[i]).collect::<Vec<usize>>()),
            Err(_) => None,
        };
        let holds = state.is_ok();
        steps.push(LossStep { lost: lost.clone(), newly, state, left });
        match next {
            None => return (Loss { steps, holds }, true),
            Some(cups) => newly = cups,
        }
    }
}

/// Strengths of the cups that are left. Cups beyond the list get one that holds nothing.
fn of_left(all: &[LipStrength], left: &[usize]) -> Vec<LipStrength> {
    let Some(any) = all.first() else { return Vec::new() };
    let nothing = LipStrength { vacuum_force: 0.0, ..*any };
    left.iter().map(|&cup| all.get(cup).copied().unwrap_or(nothing)).collect()
}

/// The governing cup and those that are as weak at its worst instant; sorted. Where gravity alone is too much for several
/// of them their factors are all 0; then those go whose load uses most of what they hold.
fn weakest<'a>(result: &'a CaseResult, strengths: &'a [LipStrength]) -> impl Iterator<Item = usize> + 'a {
    let least = result.factors[result.governing].value;
    let governing = result.governing;
    let usage = |i: usize| strengths.get(i).map_or(f64::INFINITY, |lip| lip.usage(&result.loads[i]));
    let most = usage(governing);
    let as_weak = move |i: &usize| {
        let level = if least > 0.0 {
            result.factors[*i].value <= least * (1.0 + TIE)
        } else {
            result.factors[*i].value == 0.0 && usage(*i) >= most * (1.0 - TIE)
        };
        *i == governing || level
    };
    (0..result.factors.len()).filter(as_weak)
}

#[cfg(test)]
mod tests;
