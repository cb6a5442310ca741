//! The places that cups may have: the grid of round positions where each lip lands, and others that are asked for one by one.

use super::on_tool::Surface;
use crate::lower::{self, ModelFacts};
use document::{CupId, Project};
use geometry::{Lip, LipShape};
use glam::{DVec2, IVec2};
use mechanics::choice::{Conflicts, PartsScorer, Place, Score as _};
use std::collections::HashMap;

/// Places on the grid, of all models and turns together; with more the step is doubled, and the certainty says so.
const MOST_PLACES: f64 = 24_000.0;
/// Places within this of each other are one, mm.
const SAME: f64 = 1e-3;

/// Turns at which a lip of a shape is placed, rad.
pub(super) fn turns(shape: &LipShape) -> &'static [f64] {
    match shape {
        LipShape::Round { .. } => &[0.0],
        LipShape::Long { .. } | LipShape::Rectangle { .. } => &[0.0, std::f64::consts::FRAC_PI_2],
    }
}

/// What new cups have in common.
pub(super) struct Making<'a> {
    pub project: &'a Project,
    /// What the cups land on: every part that the tool carries.
    pub parts: Vec<Surface<'a>>,
    /// Models that may be used.
    pub models: Vec<ModelFacts<'a>>,
    /// Level at a new cup's port, kPa.
    pub level_kpa: f64,
    /// Zones of the present cups by their places; a new cup joins that of the nearest.
    pub zones: Vec<(DVec2, usize)>,
    /// Least gap between lips, mm.
    pub spacing_mm: f64,
}

impl Making<'_> {
    /// Low and high corner of what the tool carries, mm.
    pub(super) fn bounds(&self) -> [f64; 4] {
        let each = self.parts.iter().map(|of| of.ground.shape.bounds);
        each.reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
            .unwrap_or_default()
    }

    /// Middle of the areas, mm; of several parts the mean of theirs.
    pub(super) fn middle(&self) -> DVec2 {
        let each = self.parts.iter().map(|of| of.ground.shape.section.centroid);
        each.sum::<DVec2>() / self.parts.len().max(1) as f64
    }

    /// The cup that a model gives at a place, on each part, and whether it lies on it.
    pub(super) fn place(&self, model: usize, lip: Lip) -> Vec<(Place, bool)> {
        self.placed(&self.models[model], model, lip)
    }

    /// Facts of any model of the project.
    pub(super) fn facts_of(&self, model: &document::ModelId) -> Option<ModelFacts<'_>> {
        let known = self.models.iter().find(|facts| facts.model.id == *model);
        known.copied().or_else(|| lower::models(self.project).get(model).copied())
    }

    /// The same of a cup of a kind of its own, which stays where it is: the only part carries it however it lies.
    pub(super) fn place_of(&self, facts: &ModelFacts<'_>, lip: Lip) -> Vec<(Place, bool)> {
        let mut places = self.placed(facts, self.models.len(), lip);
        if let [(_, on)] = places.as_mut_slice() {
            *on = true;
        }
        places
    }

    fn placed(&self, facts: &ModelFacts<'_>, kind: usize, lip: Lip) -> Vec<(Place, bool)> {
        let zone = self
            .zones
            .iter()
            .min_by(|a, b| a.0.distance_squared(lip.at).total_cmp(&b.0.distance_squared(lip.at)))
            .map(|(_, zone)| *zone);
        let on = |of: &Surface<'_>| {
            let cup = lower::placed(CupId(0), lip, facts, self.level_kpa, of.part, self.project);
            let place = Place { spring: cup.spring, strength: cup.strength, kind, zone };
            (place, of.ground.lands_at(&lip, lip.at))
        };
        self.parts.iter().map(on).collect()
    }

    pub(super) fn lip(&self, model: usize, turn: f64, at: DVec2) -> Lip {
        Lip { shape: self.models[model].model.shape, at, turn }
    }

    /// Whether a lip lies wholly on one of the parts.
    pub(super) fn lands(&self, lip: &Lip) -> bool {
        self.parts.iter().any(|of| of.ground.lands_at(lip, lip.at))
    }

    /// Whether two lips stand too near each other.
    pub(super) fn too_near(&self, a: &Lip, b: &Lip) -> bool {
        let around = |lip: &Lip| lip.shape.size().length() * 0.5;
        if a.at.distance(b.at) > around(a) + around(b) + self.spacing_mm {
            return false;
        }
        if let (LipShape::Round { diameter: d }, LipShape::Round { diameter: e }) = (a.shape, b.shape) {
            return a.at.distance(b.at) - 0.5 * (d + e) < self.spacing_mm - crate::seats::LENGTH_NOISE;
        }
        geometry::gap(a, b).0 < self.spacing_mm - crate::seats::LENGTH_NOISE
    }
}

/// All places, those of the grid first.
#[derive(Clone)]
pub(super) struct Board {
    pub lips: Vec<Lip>,
    /// By place, then part.
    of_parts: Vec<(Place, bool)>,
    parts: usize,
    /// As the grid came to be, mm.
    pub step_mm: f64,
    /// How many are on the grid.
    pub on_grid: usize,
    grid: HashMap<(usize, usize, IVec2), usize>,
    off_grid: HashMap<(usize, i64, [i64; 2]), usize>,
}

impl Board {
    /// Every place of the grid on which a lip of one of the models lands.
    pub(super) fn new(making: &Making<'_>, step_mm: f64) -> Self {
        let [x0, y0, x1, y1] = making.bounds();
        let kinds: f64 = making.models.iter().map(|facts| turns(&facts.model.shape).len() as f64).sum();
        let mut step = step_mm;
        while (x1 - x0) / step * (y1 - y0) / step * kinds > MOST_PLACES {
            step *= 2.0;
        }
        let mut board = Self {
            lips: Vec::new(),
            of_parts: Vec::new(),
            parts: making.parts.len(),
            step_mm: step,
            on_grid: 0,
            grid: HashMap::new(),
            off_grid: HashMap::new(),
        };
        let range = |from: f64, to: f64| (from / step).ceil() as i32..=(to / step).floor() as i32;
        for (model, facts) in making.models.iter().enumerate() {
            for (index, &turn) in turns(&facts.model.shape).iter().enumerate() {
                for y in range(y0, y1) {
                    for x in range(x0, x1) {
                        let cell = IVec2::new(x, y);
                        let lip = making.lip(model, turn, board.at(cell));
                        if making.lands(&lip) {
                            board.grid.insert((model, index, cell), board.lips.len());
                            board.taken(lip, &making.place(model, lip));
                        }
                    }
                }
            }
        }
        board.on_grid = board.lips.len();
        board
    }

    /// The cup at a place on each part, and whether it lies on it.
    pub(super) fn of(&self, place: usize) -> &[(Place, bool)] {
        &self.of_parts[place * self.parts..(place + 1) * self.parts]
    }

    /// Model of the cup at a place.
    pub(super) fn kind(&self, place: usize) -> usize {
        self.of(place).first().map_or(0, |(place, _)| place.kind)
    }

    /// Tells a scorer of places that it does not know yet.
    pub(super) fn tell(&self, scorer: &mut PartsScorer) {
        for place in scorer.count()..self.lips.len() {
            scorer.push(self.of(place));
        }
    }

    /// Where a point of the grid is, mm.
    pub(super) fn at(&self, cell: IVec2) -> DVec2 {
        cell.as_dvec2() * self.step_mm
    }

    /// The point of the grid nearest to a place.
    pub(super) fn cell(&self, at: DVec2) -> IVec2 {
        (at / self.step_mm).round().as_ivec2()
    }

    /// The place of a model and turn at a point of the grid, if its lip lands there.
    pub(super) fn on_grid(&self, model: usize, turn: usize, cell: IVec2) -> Option<usize> {
        self.grid.get(&(model, turn, cell)).copied()
    }

    /// A place beside the grid, if the lip lands there.
    pub(super) fn beside(&mut self, making: &Making<'_>, lip: Lip, model: usize) -> Option<usize> {
        let cell = self.cell(lip.at);
        if self.at(cell).distance(lip.at) < SAME
            && let Some(turn) = turns(&lip.shape).iter().position(|turn| (turn - lip.turn).abs() < 1e-9)
        {
            return self.on_grid(model, turn, cell);
        }
        let key =
            (model, (lip.turn * 1e6).round() as i64, (lip.at / SAME).round().to_array().map(|v| v as i64));
        if let Some(&held) = self.off_grid.get(&key) {
            return Some(held);
        }
        making.lands(&lip).then(|| {
            let place = making.place(model, lip);
            self.off_grid.insert(key, self.lips.len());
            self.taken(lip, &place)
        })
    }

    /// A place that is taken as it is, whatever stands against it: a locked cup.
    pub(super) fn taken(&mut self, lip: Lip, of_parts: &[(Place, bool)]) -> usize {
        self.lips.push(lip);
        self.of_parts.extend(of_parts);
        self.lips.len() - 1
    }

    /// Which of some places exclude each other.
    pub(super) fn conflicts(&self, making: &Making<'_>, of: &[usize]) -> Conflicts {
        Conflicts::of(of.len(), |a, b| making.too_near(&self.lips[of[a]], &self.lips[of[b]]))
    }

    /// Whether a set of places holds two too near each other.
    pub(super) fn crowded(&self, making: &Making<'_>, set: &[usize]) -> bool {
        set.iter()
            .enumerate()
            .any(|(i, &a)| set[..i].iter().any(|&b| a == b || making.too_near(&self.lips[a], &self.lips[b])))
    }

    /// So many places of the grid, of those that are `wanted`, as far from each other as they can be, the extremes first.
    pub(super) fn spread(&self, most: usize, wanted: impl Fn(usize) -> bool) -> Vec<usize> {
        let of: Vec<usize> = (0..self.on_grid).filter(|&i| wanted(i)).collect();
        if of.len() <= most {
            return of;
        }
        let at = |i: usize| self.lips[of[i]].at;
        let mut chosen: Vec<usize> = Vec::new();
        let mut near = vec![f64::INFINITY; of.len()];
        let take = |i: usize, chosen: &mut Vec<usize>, near: &mut Vec<f64>| {
            if near[i] == 0.0 {
                return;
            }
            // A lip that lies the other way, or of another model, at the same place is another place.
            let other = |j: usize| {
                self.kind(of[i]) != self.kind(of[j]) || self.lips[of[i]].turn != self.lips[of[j]].turn
            };
            for (j, near) in near.iter_mut().enumerate() {
                let apart = at(i).distance_squared(at(j));
                let apart = if i != j && other(j) { apart + self.step_mm * self.step_mm } else { apart };
                *near = near.min(apart);
            }
            chosen.push(i);
        };
        for eighth in 0..8 {
            let way = DVec2::from_angle(f64::from(eighth) * std::f64::consts::FRAC_PI_4);
            let far = (0..of.len()).reduce(|a, b| if at(b).dot(way) > at(a).dot(way) + SAME { b } else { a });
            far.into_iter().for_each(|i| take(i, &mut chosen, &mut near));
        }
        while chosen.len() < most {
            let next = (0..of.len()).reduce(|a, b| if near[b] > near[a] { b } else { a });
            match next.filter(|&i| near[i] > 0.0) {
                Some(i) => take(i, &mut chosen, &mut near),
                None => break,
            }
        }
        let mut chosen: Vec<usize> = chosen.into_iter().map(|i| of[i]).collect();
        chosen.sort_unstable();
        chosen
    }
}
