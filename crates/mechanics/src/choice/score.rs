//! How good a set of places is.

use super::removal::Removal;
use super::state::{State, within};
use super::{Duty, Instance, Place, Stop};
use crate::arrangement::{Arrangement, arrangement};
use crate::case::{varying, worst_case};
use crate::factor::Reading;
use crate::group::{CupGroup, CupLoad, CupSpring};
use crate::motion::{Body, LoadCase, Wrench};
use crate::readings::SplitLoad;
use crate::strength::LipStrength;
use crate::usage::Prepared;
use glam::{DVec2, DVec3};

/// A centre of gravity this near the hull's edge is within it, mm.
const ON_HULL: f64 = 1e-6;

/// What a set of places must hold through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Goal {
    /// Every cup lost in turn.
    pub one_lost: bool,
    /// Every zone lost in turn.
    pub zone_lost: bool,
    /// The centre of gravity lies within the hull of the cups' centres, where these are not in line.
    pub balanced: bool,
}

/// Scores sets of places, of one part in some motions; nothing is allocated from one set to the next once the largest was seen.
///
/// A set's score is the least, over motions, of factor over required factor. Motions that sweep are looked at in so many
/// directions first ([`Scorer::at_most`]), which never says less than [`Scorer::exactly`], the figure of
/// [`worst_case`].
///
/// # Example
/// ```
/// use geometry::LipShape;
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::choice::{Duty, Goal, Place, Scorer};
/// use mechanics::{Body, CupSpring, Instant, LipStrength, LoadCase};
/// let shape = LipShape::Round { diameter: 40.0 }; // mm
/// let line = shape.line();
/// let strength = LipStrength {
///     vacuum_force: 70.0, line, turn: 0.0, shape, friction: 0.5, slide_share: 0.9, seal_minimum: 0.0,
/// };
/// let places = [(-200.0, 0.0), (0.0, 100.0), (0.0, -100.0), (200.0, 0.0)].map(|(x, y)| Place {
///     spring: CupSpring::along_lip(DVec2::new(x, y), 0.0, 20.0, 10.0, &line, 1.0),
///     strength, kind: 0, zone: None,
/// });
/// let part = Body { mass: 5.0, centre: DVec3::new(0.0, 0.0, -1.0), inertia: DMat3::ZERO }; // kg, mm
/// let lift = LoadCase::single(Instant::still(DVec3::new(0.0, 0.0, -9.80665)));
/// let duty = Duty { case: lift, required: 2.0, required_lost: 1.0 };
/// let mut scorer = Scorer::new(&part, &[duty], &places);
/// // Four cups of 70 N each, 49 N shared evenly, twice required.
/// let all = scorer.exactly(Goal::default(), &[0, 1, 2, 3]);
/// assert!((all - 4.0 * 70.0 / (5.0 * 9.80665) / 2.0).abs() < 1e-9);
/// assert!(scorer.exactly(Goal::default(), &[0, 3]) < all / 1.9);
/// ```
#[derive(Debug, Clone)]
pub struct Scorer {
    body: Body,
    duties: Vec<Duty>,
    places: Vec<Place>,
    lips: Vec<Option<Prepared>>,
    states: Vec<State>,
    swept: bool,
    /// States in the order in which they are looked at: those that ended a set before come first.
    order: Vec<usize>,
    group: CupGroup,
    rest: CupGroup,
    room: Room,
    stop: Stop,
}

/// Buffers.
#[derive(Debug, Clone, Default)]
struct Room {
    springs: Vec<CupSpring>,
    ids: Vec<usize>,
    at: Vec<DVec2>,
    /// Cups of the set in the order in which they are lost.
    losses: Vec<usize>,
    /// By state, part and cup.
    loads: Vec<CupLoad>,
    shared: Vec<CupLoad>,
    left: Vec<CupLoad>,
}

impl Scorer {
    /// Ready to score sets of `places` (indices into them).
    pub fn new(body: &Body, duties: &[Duty], places: &[Place]) -> Self {
        let mut states = Vec::new();
        for (duty, of) in duties.iter().enumerate() {
            states.extend(of.case.members().map(|(_, case)| State::of(body, duty, &case)));
        }
        Self {
            body: *body,
            duties: duties.to_vec(),
            places: places.to_vec(),
            lips: places.iter().map(|place| Prepared::new(&place.strength)).collect(),
            swept: states.iter().any(|state| state.directions.len() > 1),
            order: (0..states.len()).collect(),
            states,
            group: CupGroup::nobody(0),
            rest: CupGroup::nobody(0),
            room: Room::default(),
            stop: Stop::default(),
        }
    }

    /// The same, which scores nothing any more once it is told to stop: one set with every cup lost may take a second.
    pub fn unless(self, stop: &Stop) -> Self {
        Self { stop: stop.clone(), ..self }
    }

    /// The places.
    pub fn places(&self) -> &[Place] {
        &self.places
    }

    /// The same of some of its places, in their order.
    pub fn of(&self, some: &[usize]) -> Self {
        Self {
            places: some.iter().map(|&place| self.places[place]).collect(),
            lips: some.iter().map(|&place| self.lips[place]).collect(),
            group: CupGroup::nobody(0),
            rest: CupGroup::nobody(0),
            room: Room::default(),
            stop: self.stop.clone(),
            body: self.body,
            duties: self.duties.clone(),
            states: self.states.clone(),
            swept: self.swept,
            order: self.order.clone(),
        }
    }

    /// Whether some motion is looked at in some of its directions only.
    pub fn is_swept(&self) -> bool {
        self.swept
    }

    /// Instants at which every set is looked at.
    pub fn instants(&self) -> usize {
        self.states.iter().map(|state| state.directions.len()).sum()
    }

    /// The same with what is required of what is left when a cup is lost in place of what is required of all.
    pub fn of_what_is_left(&self) -> Self {
        let mut left = self.clone();
        for duty in &mut left.duties {
            duty.required = duty.required_lost;
        }
        left
    }

    /// One more place; its index.
    pub fn push(&mut self, place: Place) -> usize {
        self.lips.push(Prepared::new(&place.strength));
        self.places.push(place);
        self.places.len() - 1
    }

    /// The motions.
    pub fn duties(&self) -> &[Duty] {
        &self.duties
    }

    /// The score of a set by the directions that are looked at: never less than [`Scorer::exactly`], and the same where nothing
    /// sweeps. Where it is no more than `floor`, something no more than `floor` and no less than the score.
    pub fn at_most(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64 {
        let mut room = std::mem::take(&mut self.room);
        if goal.balanced {
            room.at.clear();
            room.at.extend(set.iter().map(|&cup| self.places[cup].spring.at));
            if !is_balanced(&room.at, &self.body) {
                self.room = room;
                return 0.0;
            }
        }
        let score = self.intact_within(&mut room, set, floor);
        let score = if goal.zone_lost && score > floor {
            score.min(self.zones_within(&mut room, set, score, floor))
        } else {
            score
        };
        let score = if goal.one_lost && score > floor {
            // With every cup the group is as it was for the intact score.
            self.lost_within(&mut room, set, score, floor)
        } else {
            score
        };
        self.room = room;
        score
    }

    /// The score of a set by [`worst_case`], the figure that a report of this layout prints.
    pub fn exactly(&self, goal: Goal, set: &[usize]) -> f64 {
        let at: Vec<DVec2> = set.iter().map(|&cup| self.places[cup].spring.at).collect();
        if goal.balanced && !is_balanced(&at, &self.body) {
            return 0.0;
        }
        let mut score = self.exactly_of(set, |duty| duty.required);
        if goal.one_lost {
            for lost in set {
                if self.stop.is_asked() {
                    return 0.0;
                }
                let rest: Vec<usize> = set.iter().copied().filter(|cup| cup != lost).collect();
                score = score.min(self.exactly_of(&rest, |duty| duty.required_lost));
            }
        }
        if goal.zone_lost {
            for zone in self.zones_of(set) {
                let rest: Vec<usize> =
                    set.iter().copied().filter(|&cup| self.places[cup].zone != Some(zone)).collect();
                score = score.min(self.exactly_of(&rest, |duty| duty.required_lost));
            }
        }
        score
    }

    /// The score by the directions where that is no more than `floor`, else exactly.
    pub fn above(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64 {
        let most = self.at_most(goal, set, floor);
        if most > floor && self.swept { self.exactly(goal, set) } else { most }
    }

    /// Each motion where the set is worst in it, for [`bound`](super::bound): the set must carry at least these.
    ///
    /// `cups` is how many a set has: no cup then presses the part off with more than the others can pull, where the load pulls.
    pub fn worst_instances(&self, set: &[usize], cups: usize) -> Vec<Instance> {
        let springs: Vec<CupSpring> = set.iter().map(|&cup| self.places[cup].spring).collect();
        let strengths: Vec<LipStrength> = set.iter().map(|&cup| self.places[cup].strength).collect();
        let Ok(group) = CupGroup::new(&springs) else { return Vec::new() };
        let each = self.duties.iter().filter_map(|duty| {
            let worst = worst_case(&self.body, &duty.case, &group, &strengths);
            let factor = worst.factor();
            let case = duty.case.in_state(&worst.member);
            factor
                .value
                .is_finite()
                .then(|| self.instance(&case, worst.worst_t, factor.reading, duty.required, cups))
        });
        each.collect()
    }

    /// Every motion as stated in some directions, with its whole load.
    pub fn usual_instances(&self, cups: usize) -> Vec<Instance> {
        let quarters = |duty: &Duty| match varying(&duty.case) {
            Some(sweep) => {
                (0..4).map(|i| sweep.from + (sweep.to - sweep.from) * f64::from(i) / 4.0).collect()
            }
            None => vec![0.0],
        };
        let of = |duty: &Duty, t: f64| self.instance(&duty.case, t, Reading::WholeLoad, duty.required, cups);
        self.duties.iter().flat_map(|duty| quarters(duty).into_iter().map(move |t| of(duty, t))).collect()
    }

    fn instance(&self, case: &LoadCase, t: f64, reading: Reading, required: f64, cups: usize) -> Instance {
        let here = |case: LoadCase| crate::load(&self.body, &case.at(t), DVec3::ZERO);
        let (weight, motion) = (here(case.weight()), here(case.motion()));
        let sum = |weight_times: f64, times: f64| Wrench {
            force: weight.force * weight_times + motion.force * times,
            moment: weight.moment * weight_times + motion.moment * times,
            about: DVec3::ZERO,
        };
        let (fixed, scaled) = if reading.keeps_weight() {
            (sum(reading.weight_times(1.0, case.favourable_weight), 0.0), sum(0.0, required))
        } else {
            (sum(0.0, 0.0), sum(required, required))
        };
        let force = self.places.iter().map(|place| place.strength.vacuum_force).fold(0.0, f64::max);
        let pulls = fixed.force.z <= 0.0 && scaled.force.z <= 0.0;
        Instance { fixed, scaled, press: pulls.then(|| force * cups.saturating_sub(1) as f64) }
    }

    /// Zones with more than one cup that are not the whole set, in order.
    fn zones_of(&self, set: &[usize]) -> Vec<usize> {
        let mut zones: Vec<usize> = set.iter().filter_map(|&cup| self.places[cup].zone).collect();
        zones.sort_unstable();
        zones.dedup();
        let cups = |zone: usize| set.iter().filter(|&&cup| self.places[cup].zone == Some(zone)).count();
        zones.retain(|&zone| cups(zone) > 1 && cups(zone) < set.len());
        zones
    }

    fn exactly_of(&self, set: &[usize], required: fn(&Duty) -> f64) -> f64 {
        let springs: Vec<CupSpring> = set.iter().map(|&cup| self.places[cup].spring).collect();
        let strengths: Vec<LipStrength> = set.iter().map(|&cup| self.places[cup].strength).collect();
        let Ok(group) = CupGroup::new(&springs) else { return 0.0 };
        let each = self.duties.iter().map(|duty| {
            if self.stop.is_asked() {
                return 0.0;
            }
            let factor = worst_case(&self.body, &duty.case, &group, &strengths).factor().value;
            over(factor, required(duty))
        });
        each.fold(f64::INFINITY, f64::min)
    }

    fn intact_within(&mut self, room: &mut Room, set: &[usize], floor: f64) -> f64 {
        room.springs.clear();
        room.springs.extend(set.iter().map(|&cup| self.places[cup].spring));
        if self.group.regroup(&room.springs).is_err() {
            return 0.0;
        }
        let cups = set.len();
        room.loads.clear();
        room.loads.resize(self.states.len() * 6 * cups, CupLoad::default());
        let mut score = f64::INFINITY;
        for place in 0..self.order.len() {
            let at = self.order[place];
            let state = &self.states[at];
            for (part, wrench) in state.parts.iter().enumerate() {
                let Some(wrench) = wrench else { continue };
                self.group.share_into(wrench, &mut room.shared);
                let from = (at * 6 + part) * cups;
                room.loads[from..from + cups].copy_from_slice(&room.shared);
            }
            let required = self.duties[state.duty].required;
            let loads = &room.loads[at * 6 * cups..(at + 1) * 6 * cups];
            score = self.least(state, set, loads, required, score, floor);
            if score <= floor {
                self.order[..=place].rotate_right(1);
                return score;
            }
        }
        score
    }

    /// The least score of one state, no more than `before`; something between it and `floor` where it is no more than that.
    fn least(
        &self,
        state: &State,
        set: &[usize],
        loads: &[CupLoad],
        required: f64,
        before: f64,
        floor: f64,
    ) -> f64 {
        let cups = set.len();
        let mut factor = before * required;
        for (index, &cup) in set.iter().enumerate() {
            let Some(lip) = &self.lips[cup] else { return 0.0 };
            let part = |part: usize| &loads[part * cups + index];
            for &u in &state.directions {
                let sum = |first: usize| {
                    let fixed = *part(first);
                    if u == DVec2::ZERO {
                        fixed
                    } else {
                        fixed.plus(u.x, part(first + 1)).plus(u.y, part(first + 2))
                    }
                };
                let split = SplitLoad { weight: sum(0), motion: sum(3) };
                factor = within(lip, &self.places[cup].strength, &split, state, factor);
            }
            if factor <= floor * required {
                break;
            }
        }
        over(factor, required).min(before)
    }

    fn lost_within(&mut self, room: &mut Room, set: &[usize], before: f64, floor: f64) -> f64 {
        let extent = set.iter().map(|&cup| self.places[cup].spring.at.distance(self.group.centre()));
        let extent = extent.fold(1.0, f64::max);
        let cups = set.len();
        let mut score = before;
        // What is left without a cup far from the middle is worse as a rule: a set that is not good enough ends sooner.
        let out = |cup: &usize| self.places[set[*cup]].spring.at.distance_squared(self.group.centre());
        room.losses.clear();
        room.losses.extend(0..cups);
        room.losses.sort_unstable_by(|a, b| out(b).total_cmp(&out(a)).then(a.cmp(b)));
        for turn in 0..cups {
            let lost = room.losses[turn];
            if self.stop.is_asked() {
                return 0.0;
            }
            room.ids.clear();
            room.ids.extend(set.iter().enumerate().filter(|(i, _)| *i != lost).map(|(_, &cup)| cup));
            let at = self.places[set[lost]].spring.at;
            let Some(removal) = Removal::of(&self.group, lost, at, extent).filter(|_| cups > 1) else {
                score = self.rest_within(room, score, floor);
                if score <= floor {
                    return score;
                }
                continue;
            };
            for place in 0..self.order.len() {
                let index = self.order[place];
                let state = &self.states[index];
                room.left.clear();
                room.left.resize(6 * (cups - 1), CupLoad::default());
                for (part, wrench) in state.parts.iter().enumerate() {
                    if wrench.is_none() {
                        continue;
                    }
                    let own = &room.loads[(index * 6 + part) * cups..(index * 6 + part + 1) * cups];
                    self.group.share_into(&removal.instead(&own[lost]), &mut room.shared);
                    let left = &mut room.left[part * (cups - 1)..(part + 1) * (cups - 1)];
                    let others = own.iter().zip(&room.shared).enumerate().filter(|(i, _)| *i != lost);
                    for (left, (_, (own, more))) in left.iter_mut().zip(others) {
                        *left = own.plus(1.0, more);
                    }
                }
                let required = self.duties[state.duty].required_lost;
                score = self.least(state, &room.ids, &room.left, required, score, floor);
                if score <= floor {
                    self.order[..=place].rotate_right(1);
                    return score;
                }
            }
        }
        score
    }

    /// The score of the cups of `room.ids` with what is required of what is left, by a group of their own.
    fn rest_within(&mut self, room: &mut Room, before: f64, floor: f64) -> f64 {
        room.springs.clear();
        room.springs.extend(room.ids.iter().map(|&cup| self.places[cup].spring));
        if self.rest.regroup(&room.springs).is_err() {
            return 0.0;
        }
        let cups = room.ids.len();
        let mut score = before;
        for state in &self.states {
            room.left.clear();
            room.left.resize(6 * cups, CupLoad::default());
            for (part, wrench) in state.parts.iter().enumerate() {
                let Some(wrench) = wrench else { continue };
                self.rest.share_into(wrench, &mut room.shared);
                room.left[part * cups..(part + 1) * cups].copy_from_slice(&room.shared);
            }
            let required = self.duties[state.duty].required_lost;
            score = self.least(state, &room.ids, &room.left, required, score, floor);
            if score <= floor {
                return score;
            }
        }
        score
    }

    fn zones_within(&mut self, room: &mut Room, set: &[usize], before: f64, floor: f64) -> f64 {
        let mut score = before;
        for zone in self.zones_of(set) {
            room.ids.clear();
            room.ids.extend(set.iter().copied().filter(|&cup| self.places[cup].zone != Some(zone)));
            score = self.rest_within(room, score, floor);
            if score <= floor {
                break;
            }
        }
        score
    }
}

/// Whether cups stand about the centre of gravity, as far as those in line can.
fn is_balanced(at: &[DVec2], body: &Body) -> bool {
    geometry::is_in_hull(at, body.centre.truncate(), ON_HULL) || arrangement(at) != Arrangement::Spread
}

/// A factor over what is required.
fn over(factor: f64, required: f64) -> f64 {
    let score = factor / required;
    if score.is_nan() { 0.0 } else { score }
}
