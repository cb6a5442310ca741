//! What the rules read: the document and what the stages made of it.

use crate::{
    assumed::Assumed,
    family::Seated,
    loads::Case,
    lower::{CupFacts, ModelFacts},
    report::{
        Age, Ages, Balance, BendingReport, BentMotion, BentReserve, CircuitReport, FactorRange, MotionReport,
        OneMoreCup, RingReport, RobotLoad,
    },
    seats::{Gap, Ground, LENGTH_NOISE, Seat},
    shape::{Region, Regions},
    slow::DropRemedy,
    slow::Slow,
    words::Words,
};
use document::{CircuitId, Cup, CupId, CupModel, Layout, ModelId, Part, Problem, Project};
use mechanics::{Arrangement, Body, CupGroup};
use std::{cell::RefCell, collections::HashMap, sync::Arc};
use units::AbsolutePressure;

/// Read-only view of one layout for the rules.
pub(crate) struct Facts<'a> {
    pub project: &'a Project,
    pub layout: &'a Layout,
    pub part: Option<&'a Part>,
    pub words: Words<'a>,
    /// Grid that fixes land on, mm; `None` where nobody has one.
    pub step_mm: Option<f64>,
    pub ground: Option<Ground<'a>>,
    pub body: Option<Body>,
    /// Cups that could be lowered, with the cups of the document beside them.
    pub cups: &'a [CupFacts],
    pub placed: &'a [&'a Cup],
    /// Beside `cups`; empty without a sound surface.
    pub seats: &'a [Seat],
    pub gaps: &'a [Gap],
    /// The springs as one group, when they make one.
    pub group: Option<&'a CupGroup>,
    /// What the group cannot carry, if it cannot.
    pub group_error: bool,
    pub arrangement: Arrangement,
    pub balance: Option<&'a Balance>,
    /// How the part bends, where it is let bend.
    pub bending: Option<Result<&'a BendingReport, &'a str>>,
    /// How it rings, and what stands behind its factors, where that is worked out.
    pub ringing: Option<&'a RingReport>,
    pub bent_reserve: Option<&'a BentReserve>,
    pub motions: &'a [MotionReport],
    /// Beside `motions`.
    pub cases: &'a [Option<Arc<Case>>],
    pub problems: &'a [Problem],
    /// Problems of the drawing itself.
    pub drawing_problems: &'a [String],
    /// Why the part has no mass.
    pub mass_problem: Option<&'a str>,
    /// Whether slow figures among the motions are of this plan.
    pub ages: Ages,
    /// What would keep the part on the tool in the worst loss that drops it.
    pub drop_remedy: Option<&'a DropRemedy>,
    pub robot: Option<&'a RobotLoad>,
    pub circuits: &'a [CircuitReport],
    /// Assumed inputs with their names.
    pub assumed: &'a [(Assumed, String)],
    pub models: &'a HashMap<&'a ModelId, ModelFacts<'a>>,
    pub outside: AbsolutePressure,
    /// Where the tool carries several parts: which of them this is, and how every cup is to it.
    pub seated: Option<&'a Seated>,
    pub regions: RefCell<&'a mut Regions>,
}

impl<'a> Facts<'a> {
    /// A place on the part, from the datum.
    pub(crate) fn place(&self, at: glam::DVec2) -> String {
        self.words.pair(at - self.part.map_or(glam::DVec2::ZERO, Part::datum_at))
    }

    /// Index in `cups`.
    pub(crate) fn index_of(&self, cup: CupId) -> Option<usize> {
        self.cups.iter().position(|facts| facts.id == cup)
    }

    pub(crate) fn tag(&self, index: usize) -> &'a str {
        self.placed.get(index).map_or("", |cup| cup.tag.as_str())
    }

    /// Tag of a cup of the layout, also of one that could not be lowered.
    pub(crate) fn tag_of(&self, cup: CupId) -> &'a str {
        self.layout.cups.iter().find(|held| held.id == cup).map_or("", |held| held.tag.as_str())
    }

    /// Cups of the layout that hang on a circuit.
    pub(crate) fn on_circuit(&self, circuit: CircuitId) -> impl Iterator<Item = CupId> + 'a {
        self.layout.cups.iter().filter(move |cup| cup.circuit == circuit).map(|cup| cup.id)
    }

    pub(crate) fn tags(&self, indices: &[usize]) -> String {
        let tags: Vec<String> = indices.iter().map(|index| self.tag(*index).to_owned()).collect();
        crate::words::list(&tags)
    }

    pub(crate) fn locked(&self, index: usize) -> bool {
        self.placed.get(index).is_some_and(|cup| cup.locked)
    }

    /// Cups grouped by model, in the order of their first cup.
    pub(crate) fn by_model(&self) -> Vec<(&'a CupModel, Vec<usize>)> {
        let mut groups: Vec<(&'a CupModel, Vec<usize>)> = Vec::new();
        for (index, cup) in self.placed.iter().enumerate() {
            let Some(facts) = self.models.get(&cup.model) else { continue };
            match groups.iter_mut().find(|(model, _)| std::ptr::eq(*model, facts.model)) {
                Some((_, cups)) => cups.push(index),
                None => groups.push((facts.model, vec![index])),
            }
        }
        groups
    }

    /// Where a cup of this kind and turn may be.
    pub(crate) fn landing(&self, index: usize) -> Option<Arc<Region>> {
        let (ground, cup) = (self.ground?, self.cups.get(index)?);
        let key = ground.region_key(cup.lip.shape, cup.lip.turn);
        self.regions.borrow_mut().get(key, ground.drawing)
    }

    /// Motions that have a figure, with it.
    pub(crate) fn solved(&self) -> impl Iterator<Item = (&MotionReport, &Case)> {
        self.motions
            .iter()
            .zip(self.cases)
            .filter_map(|(motion, case)| case.as_deref().map(|case| (motion, case)))
    }

    /// Cups whose lip hangs over an edge, a hole or a keep-out: the factors count them as if they sealed. What lies open of
    /// an area gripper in cells draws air and is counted as such.
    pub(crate) fn hanging(&self) -> Vec<usize> {
        let over = |seat: &Seat| seat.clearance.is_some_and(|clearance| clearance.distance < -LENGTH_NOISE);
        (0..self.seats.len()).filter(|index| over(&self.seats[*index])).collect()
    }

    /// The motion whose factor may fall furthest below what it must have with what is assumed, and its range; `None` where
    /// none may, or the ranges are not those of this plan.
    pub(crate) fn low_range(&self) -> Option<(&MotionReport, &FactorRange)> {
        if !self.ages.is_current(Slow::Ranges) {
            return None;
        }
        let ranges = self.motions.iter().filter_map(|motion| {
            let range = motion.outcome.as_ref().ok()?.slow.as_ref()?.range.as_ref()?;
            (range.least < motion.required_factor).then_some((motion, range))
        });
        let ratio = |of: &(&MotionReport, &FactorRange)| of.1.least / of.0.required_factor;
        ranges.min_by(|a, b| ratio(a).total_cmp(&ratio(b)))
    }

    /// The part as it bends, where that counts: where it is not as good as rigid.
    pub(crate) fn bends(&self) -> Option<&'a BendingReport> {
        self.bending?.ok().filter(|bending| !bending.as_good_as_rigid())
    }

    /// Of a part that bends the motion with the least factor over required, and that ratio.
    pub(crate) fn governing_bent(&self) -> Option<(&MotionReport, &'a BentMotion, f64)> {
        let each = self.bends()?.motions.iter().filter_map(|bent| {
            let motion = self.motions.iter().find(|motion| motion.id == bent.id && motion.outcome.is_ok())?;
            Some((motion, bent, bent.factor.value / motion.required_factor))
        });
        each.min_by(|a, b| a.2.total_cmp(&b.2))
    }

    /// The one more cup that lowers the sag most, as it is known of this plan.
    pub(crate) fn one_more(&self) -> Option<OneMoreCup> {
        self.bent_reserve.filter(|_| self.ages.is_current(Slow::BentReserve))?.one_more
    }

    /// A sentence of a figure of a part that bends, with the time it is of.
    pub(crate) fn as_it_bent(&self, slow: Slow, says: String) -> String {
        match self.ages.of(slow) {
            Age::Older => format!("Before the last change: {}", crate::words::inside(&says)),
            Age::Current | Age::Absent => says,
        }
    }

    /// The motion with the least factor over required.
    pub(crate) fn governing(&self) -> Option<(&MotionReport, &Case)> {
        self.solved().min_by(|(a, x), (b, y)| {
            (x.factor() / a.required_factor).total_cmp(&(y.factor() / b.required_factor))
        })
    }
}
