//! What stands behind the factors of a part that bends: its stress, every cup lost in turn, what the factors may be with what is
//! assumed, what one more cup would do, and how far it is drawn into the lips.

use super::{
    input::BendingInput,
    motions::sag_is,
    seated::{Bent, Seated, hang},
};
use crate::{
    assumed::Input,
    circuit::Coupling,
    findings::grid,
    report::{BentLost, BentReserve, DishedCup, OneMoreCup, ReserveMotion},
    snapshot::{Snapshot, SnapshotCup},
};
use flex::{FlexCup, Hung, Share, Sheet, SheetLoad};
use geometry::{Lip, SoundSurface};
use glam::DVec2;
use mechanics::{LipStrength, LoadCase, Sharing, follow_loss_shared, worst_case_shared};
use std::{collections::HashMap, sync::Arc};
use units::Worded;

/// Stress is looked at in no motion beyond so many, those that sag most first.
const STRESSED: usize = 24;
/// Losses that are followed in all motions together.
const FOLLOWED: usize = 2_000;
/// Factors closer than this (relative) are equal.
const EQUAL: f64 = 1e-6;
/// kPa of a N/mm².
const KPA: f64 = 1e3;
/// Room between the lips of two cups, over what they need.
const APART: f64 = 1.05;

/// What was found.
pub(crate) struct Reserve {
    pub report: Arc<BentReserve>,
}

/// All of it; `None` when `told` says to stop.
pub(crate) fn reserve(
    bent: &Bent,
    snapshot: &Snapshot,
    input: &BendingInput,
    told: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Result<Reserve, Worded>> {
    let hung = bent.seated.hung();
    let strengths = bent.seated.strengths(snapshot);
    let found: Vec<(LoadCase, SheetLoad)> = snapshot
        .cases
        .iter()
        .map(|(_, case)| {
            let worst = worst_case_shared(&snapshot.body, case, bent.seated.flex.as_ref(), &strengths);
            (*case, bent.seated.flex.load(&worst.instant, &worst.wrench))
        })
        .collect();
    let loads: Vec<SheetLoad> = found.iter().map(|(_, load)| load.clone()).collect();
    let shares = match hung.share(&loads, &[]) {
        Err(error) => return Some(Err(error.worded())),
        Ok(shares) => shares,
    };
    let stress = stresses(hung, &shares);
    let ranges = ranges(bent, snapshot, input, told)?;
    let mut left = Left { seated: &bent.seated, known: HashMap::new() };
    let mut coupling = Coupling::new(snapshot);
    let mut motions = Vec::with_capacity(found.len());
    let steps = found.len().max(1);
    for (index, ((id, case), (stress_n_mm2, stress_at))) in snapshot.cases.iter().zip(stress).enumerate() {
        if !told(steps + index, 2 * steps) {
            return None;
        }
        let most = FOLLOWED / steps;
        let lost = bent.seated.cups.iter().take(most);
        let lost = lost.filter_map(|cup| left.without(snapshot, case, *cup, &mut coupling)).collect();
        let range = ranges.get(index).copied().flatten();
        motions.push(ReserveMotion { id: *id, stress_n_mm2, stress_at, lost, range });
    }
    let dishing = match dishing(snapshot, input) {
        Err(reason) => return Some(Err(reason)),
        Ok(dishing) => dishing,
    };
    let one_more = one_more(&bent.seated, snapshot, input, &shares);
    let report = BentReserve { motions, one_more, dishing };
    if report.motions.iter().any(|motion| !motion.stress_n_mm2.is_finite()) {
        return Some(Err("its stress is outside the range that can be calculated".into()));
    }
    Some(Ok(Reserve { report: Arc::new(report) }))
}

/// Largest bending stress of each load and where.
fn stresses(hung: &Hung, shares: &[Share]) -> Vec<(f64, DVec2)> {
    let (sheet, thickness) = (hung.sheet(), hung.sheet().thickness());
    let each = shares.iter().take(STRESSED).map(|share| {
        let moments = hung.field(share).moments(sheet);
        let stresses = moments.at_corners().iter().map(|m| m.stress(thickness)).zip(&sheet.mesh().points);
        stresses
            .fold((0.0, DVec2::ZERO), |most, (stress, at)| if stress > most.0 { (stress, *at) } else { most })
    });
    let mut found: Vec<(f64, DVec2)> = each.collect();
    found.resize(shares.len(), (0.0, DVec2::ZERO));
    found
}

/// The sheet on what is left of its cups, each group worked out once for all motions.
struct Left<'a> {
    seated: &'a Seated,
    known: HashMap<Vec<usize>, Result<Arc<flex::FlexGroup>, Worded>>,
}

/// A group that several motions share.
struct SharedGroup(Arc<flex::FlexGroup>);

impl Sharing for SharedGroup {
    fn len(&self) -> usize {
        self.0.len()
    }

    fn centre(&self) -> DVec2 {
        self.0.centre()
    }

    fn share_of(&self, instant: &mechanics::Instant, wrench: &mechanics::Wrench) -> Vec<mechanics::CupLoad> {
        self.0.share_of(instant, wrench)
    }
}

impl Left<'_> {
    /// What follows when a cup of the snapshot lets go.
    fn without(
        &mut self,
        snapshot: &Snapshot,
        case: &LoadCase,
        cup: usize,
        coupling: &mut Coupling<'_>,
    ) -> Option<BentLost> {
        let seated = self.seated;
        let first = seated.place_of(cup)?;
        let mut sharing_of = |places: &[usize]| {
            let group =
                self.known.entry(places.to_vec()).or_insert_with(|| seated.left_with(places).map(Arc::new));
            match group {
                Ok(group) => Ok(Box::new(SharedGroup(Arc::clone(group))) as Box<dyn Sharing>),
                Err(reason) => Err(mechanics::GroupError::NotHeld(reason.clone())),
            }
        };
        let mut strengths = |lost: &[usize]| -> Vec<LipStrength> {
            let lost: Vec<usize> = lost.iter().filter_map(|place| seated.cups.get(*place).copied()).collect();
            seated.of(&coupling.strengths(&[cup], &lost))
        };
        let count = seated.cups.len();
        let loss =
            follow_loss_shared((&snapshot.body, case), count, &[first], &mut sharing_of, &mut strengths);
        let id =
            |place: &usize| seated.cups.get(*place).and_then(|cup| snapshot.cups.get(*cup)).map(|cup| cup.id);
        Some(BentLost {
            cup: snapshot.cups.get(cup)?.id,
            factor: loss
                .steps
                .first()
                .and_then(|step| step.state.as_ref().ok())
                .map(|state| state.factor().value),
            then_lost: loss.steps.iter().skip(1).flat_map(|step| step.newly.iter().filter_map(id)).collect(),
            holds: loss.holds,
        })
    }
}

/// Where one more cup lowers the sag most, with room for its lip; its spring is that of the first cup.
fn one_more(
    seated: &Seated,
    snapshot: &Snapshot,
    input: &BendingInput,
    shares: &[Share],
) -> Option<OneMoreCup> {
    let like = snapshot.cups.get(*seated.cups.first()?)?;
    let surface = SoundSurface::new(&input.drawing.outline.0, &input.drawing.loops());
    let reach = |cup: &SnapshotCup| 0.5 * cup.outer.size().max_element();
    let allowed = |at: DVec2| {
        let lip = Lip { shape: like.outer, at, turn: like.spring.turn };
        let lands = surface.clearance(&lip).is_some_and(|found| found.distance >= input.clearance_mm);
        lands
            && snapshot.cups.iter().all(|cup| cup.spring.at.distance(at) > APART * (reach(cup) + reach(like)))
    };
    let cup = FlexCup { spring: like.spring, line: like.sealing };
    // On the person's grid where there is room: what Apply fix adds is then drilled at whole steps.
    let near = |corner: DVec2| {
        if input.step_mm.is_none() {
            return Some(corner).filter(|at| allowed(*at));
        }
        grid::around(corner, input.step_mm).into_iter().find(|at| allowed(*at))
    };
    let found = seated.hung().with_one_more(shares, &cup, near).ok()??;
    (found.after < found.before).then_some(OneMoreCup {
        like: like.id,
        at: found.at,
        before_mm: found.before,
        after_mm: found.after,
    })
}

/// How far the sheet is drawn into each lip.
fn dishing(snapshot: &Snapshot, input: &BendingInput) -> Result<Vec<DishedCup>, Worded> {
    let each = snapshot.cups.iter().map(|cup| {
        let level = KPA * cup.strength.vacuum_force / cup.strength.line.area;
        let found = flex::dishing(input.sheet.bending(), input.sheet.thickness_mm(), &cup.sealing, level);
        found.map_err(|error| error.worded()).map(|found| DishedCup {
            id: cup.id,
            held_mm: found.held,
            free_mm: found.free,
            stress_n_mm2: found.stress_held.max(found.stress_free),
            is: sag_is(found.validity),
        })
    });
    each.collect()
}

/// Least and largest factor of each motion over what is assumed; `None` of one that nothing moves, or when stopped.
///
/// As for a rigid part (see the slow figure of ranges), with the sheet's modulus and Poisson's ratio among the inputs, and those
/// of a kind tried together. Of a softer sheet on given cups only the ratio counts: a modulus is tried as stiffer cups.
fn ranges(
    bent: &Bent,
    snapshot: &Snapshot,
    input: &BendingInput,
    told: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Vec<Option<[f64; 2]>>> {
    let none = vec![None; snapshot.cases.len()];
    if snapshot.assumed.is_empty() {
        return Some(none);
    }
    let mut tried = Tried { bent, snapshot, input, sheets: HashMap::new(), hung: HashMap::new() };
    let middle = tried.factors(&|_| 1.0);
    let (mut least, mut most) = (middle.clone(), middle.clone());
    let kinds: [&[Input]; 4] = [
        &[Input::SealingLine],
        &[Input::Axial, Input::Tilt],
        &[Input::Lateral, Input::SideLever],
        &[Input::Modulus, Input::Poisson],
    ];
    let open: Vec<&[Input]> = kinds
        .into_iter()
        .filter(|kind| snapshot.assumed.iter().any(|assumed| kind.contains(&assumed.input)))
        .collect();
    let choices = 1_usize << open.len();
    for bits in 0..choices {
        for better in [false, true] {
            if !told(bits, 2 * choices) {
                return None;
            }
            let times = |index: usize| {
                let assumed = &snapshot.assumed[index];
                match open.iter().position(|kind| kind.contains(&assumed.input)) {
                    Some(kind) if bits >> kind & 1 == 1 => assumed.most,
                    Some(_) => assumed.least,
                    None => match (assumed.input, better) {
                        (Input::Friction | Input::Level, false) | (Input::SealMinimum, true) => assumed.least,
                        (Input::Friction | Input::Level, true) | (Input::SealMinimum, false) => assumed.most,
                        // What decides the level of a circuit moves it as on a rigid part: see the range there.
                        _ => 1.0,
                    },
                }
            };
            for (i, factor) in tried.factors(&times).into_iter().enumerate() {
                least[i] = least[i].min(factor);
                most[i] = most[i].max(factor);
            }
        }
    }
    let range = |i: usize| (most[i] - least[i] > EQUAL * least[i].abs()).then_some([least[i], most[i]]);
    Some((0..none.len()).map(|i| range(i).filter(|_| middle[i].is_finite())).collect())
}

/// Sheets and cups that were tried.
struct Tried<'a> {
    bent: &'a Bent,
    snapshot: &'a Snapshot,
    input: &'a BendingInput,
    /// By what Poisson's ratio is times.
    sheets: HashMap<u64, Option<Arc<Sheet>>>,
    /// The latest on each sheet with each size of the sealing lines, whose answers are taken over.
    hung: HashMap<(u64, Vec<u64>), Hung>,
}

impl Tried<'_> {
    /// Factors of all motions with every assumed input times its choice; 0 where there is none.
    fn factors(&mut self, times: &dyn Fn(usize) -> f64) -> Vec<f64> {
        let nothing = vec![0.0; self.snapshot.cases.len()];
        let mut cups = self.snapshot.cups.clone();
        let (mut modulus, mut poisson) = (1.0, 1.0);
        for (index, input) in self.snapshot.assumed.iter().enumerate() {
            match input.input {
                Input::Modulus => modulus = times(index),
                Input::Poisson => poisson = times(index),
                other => input.cups.iter().for_each(|cup| cups[*cup] = cups[*cup].with(other, times(index))),
            }
        }
        let Some(sheet) = self.sheet(poisson) else { return nothing };
        let lines = cups.iter().map(|cup| cup.sealing.size().x.to_bits()).collect();
        let key = (poisson.to_bits(), lines);
        // A sheet that is so much softer shares as one on cups that are so much stiffer.
        let softer = |cup: &SnapshotCup| {
            let mut cup = *cup;
            cup.spring.axial /= modulus;
            cup.spring.tilt = cup.spring.tilt.map(|tilt| tilt / modulus);
            cup
        };
        let changed = Snapshot { cups: cups.iter().map(softer).collect(), ..self.snapshot.clone() };
        let before = self.hung.get(&key).or(Some(self.bent.seated.hung()));
        let Ok(seated) = hang(&sheet, &changed, before) else { return nothing };
        let strengths = seated.strengths(&changed);
        let factors = self.snapshot.cases.iter().map(|(_, case)| {
            worst_case_shared(&self.snapshot.body, case, seated.flex.as_ref(), &strengths).factor().value
        });
        let factors: Vec<f64> = factors.map(|factor| if factor.is_nan() { 0.0 } else { factor }).collect();
        self.hung.entry(key).or_insert_with(|| seated.hung().clone());
        factors
    }

    fn sheet(&mut self, poisson: f64) -> Option<Arc<Sheet>> {
        if poisson == 1.0 {
            return Some(Arc::clone(self.bent.seated.hung().sheet()));
        }
        let make = || self.input.sheet.sheet_with(poisson).ok().map(Arc::new);
        self.sheets.entry(poisson.to_bits()).or_insert_with(make).clone()
    }
}
