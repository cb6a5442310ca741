//! What closed lines look like at a glance: where, how large, rectangle or circle, and which lies in which.

use crate::clean::{Closed, parents};
use crate::dxf::Trouble;
use crate::piece::{self, Piece};
use crate::watch::Watch;
use geometry::Bounds;
use glam::DVec2;
use std::collections::HashSet;

/// A circle is one within this share of its radius.
const ROUND: f64 = 2e-3;

/// Lines and arcs of a rectangle with round corners, at most: corners may come in pieces.
const MOST_CORNERED: usize = 64;

/// A closed line.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    pub(crate) bounds: Bounds,
    pub(crate) area: f64,
    /// Four straight sides along the axes.
    pub(crate) rectangle: bool,
    /// Four straight sides along the axes, and round corners.
    pub(crate) round_cornered: bool,
    /// Centre and radius.
    pub(crate) circle: Option<(DVec2, f64)>,
}

impl Shape {
    pub(crate) fn of(pieces: &[Piece]) -> Self {
        let (min, max) = piece::bounds(pieces).unwrap_or_default();
        let bounds = Bounds { min, max };
        let area = piece::area(pieces).abs();
        let size = bounds.size();
        let along = |p: &Piece| {
            let way = p.chord().abs();
            p.is_straight() && way.min_element() <= 1e-3 * way.max_element().max(1e-9)
        };
        let full = size.x * size.y;
        let rectangle = pieces.iter().all(along) && full > 0.0 && area >= (1.0 - 2e-3) * full;
        let sides = pieces.iter().filter(|p| along(p)).map(Piece::length).sum::<f64>();
        let bent = |p: &Piece| along(p) || !p.is_straight();
        let round_cornered = !rectangle
            && pieces.len() <= MOST_CORNERED
            && pieces.iter().all(bent)
            && area >= 0.97 * full
            && sides >= 1.4 * (size.x + size.y);
        Self { bounds, area, rectangle, round_cornered, circle: circle(pieces, &bounds, area) }
    }

    /// Whether it is about as large as another, or larger.
    pub(crate) fn size(&self) -> DVec2 {
        self.bounds.size()
    }

    /// Whether a place lies inside, told by its box, or its circle.
    pub(crate) fn roughly_contains(&self, at: DVec2) -> bool {
        match self.circle {
            Some((centre, radius)) => centre.distance(at) <= radius,
            None => self.bounds.contains(at),
        }
    }
}

fn children(parents: &[Option<usize>]) -> Vec<Vec<usize>> {
    let mut children = vec![Vec::new(); parents.len()];
    for (i, parent) in parents.iter().enumerate() {
        if let Some(p) = parent {
            children[*p].push(i);
        }
    }
    children
}

fn circle(pieces: &[Piece], bounds: &Bounds, area: f64) -> Option<(DVec2, f64)> {
    let (size, centre) = (bounds.size(), bounds.centre());
    let radius = size.x / 2.0;
    let slack = ROUND * radius;
    let round = (size.x - size.y).abs() <= 2.0 * slack
        && (area - std::f64::consts::PI * radius * radius).abs() <= 4.0 * ROUND * area;
    let on = |p: &Piece| {
        (p.from.distance(centre) - radius).abs() <= slack
            && (p.middle().distance(centre) - radius).abs() <= slack
    };
    (round && pieces.iter().all(on)).then_some((centre, radius))
}

/// All closed lines of a drawing.
pub(crate) struct Shapes {
    pub(crate) all: Vec<Shape>,
    pub(crate) parents: Vec<Option<usize>>,
    pub(crate) children: Vec<Vec<usize>>,
}

impl Shapes {
    pub(crate) fn of(loops: &[Closed], watch: &Watch) -> Result<Self, Trouble> {
        let all: Vec<Shape> = loops.iter().map(|l| Shape::of(&l.pieces)).collect();
        let parents = parents(loops, watch)?;
        let children = children(&parents);
        Ok(Self { all, parents, children })
    }

    /// Nests all but some, which cross others and so lie neither in nor beside them.
    pub(crate) fn nest_without(
        &mut self,
        some: &[usize],
        loops: &[Closed],
        watch: &Watch,
    ) -> Result<(), Trouble> {
        let some: HashSet<usize> = some.iter().copied().collect();
        let kept: Vec<usize> = (0..loops.len()).filter(|i| !some.contains(i)).collect();
        let nested: Vec<Closed> = kept.iter().map(|i| loops[*i].clone()).collect();
        self.parents = vec![None; loops.len()];
        for (at, parent) in parents(&nested, watch)?.into_iter().enumerate() {
            self.parents[kept[at]] = parent.map(|p| kept[p]);
        }
        self.children = children(&self.parents);
        Ok(())
    }

    /// The largest of those that lie directly in one.
    pub(crate) fn largest_in(&self, of: usize, most: usize) -> Vec<usize> {
        let mut inside = self.children[of].clone();
        inside.sort_by(|a, b| self.all[*b].area.total_cmp(&self.all[*a].area).then(a.cmp(b)));
        inside.truncate(most);
        inside
    }

    /// Whether a closed line may be a hole by itself: round, with nothing in it but circles about the same centre.
    pub(crate) fn is_round_hole(&self, i: usize) -> bool {
        let Some((centre, radius)) = self.all[i].circle else { return false };
        let about =
            |c: &usize| self.all[*c].circle.is_some_and(|(at, _)| at.distance(centre) <= 0.02 * radius);
        self.children[i].len() <= 3 && self.children[i].iter().all(about)
    }
}
