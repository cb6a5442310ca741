//! Which loop lies in which: parts and their holes, by even-odd depth.

use super::loops::Boundary;
use super::{Closed, SAME};
use crate::dxf::Trouble;
use crate::piece;
use crate::watch::Watch;
use rstar::AABB;
use std::collections::BTreeMap;

/// A part: its outer loop and holes, as indices.
#[derive(Debug, PartialEq)]
pub(crate) struct Nested {
    pub(crate) outer: usize,
    pub(crate) holes: Vec<usize>,
}

/// What a look to the left of a loop finds first.
#[derive(Clone, Copy)]
enum Left {
    Nothing,
    /// Inside that loop.
    Inside(usize),
    /// Beside that loop: both have the same parent.
    Beside(usize),
}

/// Where a loop crosses the height of an eye.
struct Crossing {
    at: f64,
    up: bool,
    of: usize,
}

struct Lookout<'w> {
    watch: &'w Watch,
    boundary: Boundary,
    /// A height that cuts through the loop, and its leftmost point there.
    eye: Vec<(f64, f64)>,
    leftmost: f64,
    width: Vec<f64>,
    /// Area of each loop.
    size: Vec<f64>,
}

/// Resolves loops (counter-clockwise) to parts and holes; a loop inside a hole is a part again.
pub(super) fn nest(loops: &[Closed], watch: &Watch) -> Result<Vec<Nested>, Trouble> {
    let parents = parents(loops, watch)?;
    let areas: Vec<f64> = loops.iter().map(|l| piece::area(&l.pieces)).collect();
    Ok(even_odd(&parents, &areas, |_| true))
}

/// The loop that each lies in; that one is larger.
pub(crate) fn parents(loops: &[Closed], watch: &Watch) -> Result<Vec<Option<usize>>, Trouble> {
    let lookout = Lookout::new(loops, watch);
    let mut left: Vec<Left> = Vec::with_capacity(loops.len());
    for i in 0..loops.len() {
        watch.at(i, loops.len())?;
        left.push(lookout.look(i)?);
    }
    // Parents, following "beside" until something is known. A parent is always the larger loop, so that loops which
    // cross one another cannot contain each other in turn.
    let mut parent: Vec<Option<Option<usize>>> = vec![None; loops.len()];
    // On whose trail a loop was met last.
    let mut met: Vec<usize> = vec![usize::MAX; loops.len()];
    for i in 0..loops.len() {
        let (mut trail, mut at) = (vec![i], i);
        met[i] = i;
        let known = loop {
            if let Some(known) = parent[at] {
                break known;
            }
            match left[at] {
                Left::Nothing => break None,
                Left::Inside(p) => break Some(p),
                // Loops that interlock point at each other: count all crossings instead.
                Left::Beside(next) if met[next] == i => break lookout.count(at)?,
                Left::Beside(next) => {
                    met[next] = i;
                    trail.push(next);
                    at = next;
                }
            }
        };
        for t in trail {
            if parent[t].is_none() {
                let fits = known.is_none_or(|p| lookout.is_larger(p, t));
                parent[t] = Some(if fits { known } else { lookout.count(t)? });
            }
        }
    }
    Ok(parent.into_iter().map(Option::flatten).collect())
}

/// Parts and holes of those loops that count; what lies in one that does not lies in the one around that.
pub(crate) fn even_odd(
    parents: &[Option<usize>],
    areas: &[f64],
    counts: impl Fn(usize) -> bool,
) -> Vec<Nested> {
    // Larger loops first, so that the depth of a parent is known before it is asked for.
    let mut order: Vec<usize> = (0..parents.len()).collect();
    order.sort_by(|a, b| areas[*b].total_cmp(&areas[*a]).then(b.cmp(a)));
    let mut depths = vec![0usize; parents.len()];
    let mut around: Vec<Option<usize>> = vec![None; parents.len()];
    for i in order {
        let Some(parent) = parents[i] else { continue };
        around[i] = if counts(parent) { Some(parent) } else { around[parent] };
        depths[i] = around[i].map_or(0, |p| depths[p] + 1);
    }
    let mut part_of = vec![None; parents.len()];
    let mut parts = Vec::new();
    for i in (0..parents.len()).filter(|i| counts(*i)) {
        if depths[i].is_multiple_of(2) {
            part_of[i] = Some(parts.len());
            parts.push(Nested { outer: i, holes: Vec::new() });
        }
    }
    for i in (0..parents.len()).filter(|i| counts(*i)) {
        if let (false, Some(p)) = (depths[i].is_multiple_of(2), around[i])
            && let Some(part) = part_of[p]
        {
            parts[part].holes.push(i);
        }
    }
    parts
}

impl<'w> Lookout<'w> {
    fn new(loops: &[Closed], watch: &'w Watch) -> Self {
        let (mut eye, mut width, mut leftmost) = (Vec::new(), Vec::new(), f64::MAX);
        for l in loops {
            let (min, max) = piece::bounds(&l.pieces).unwrap_or_default();
            // An odd share of the height, so that corners of other loops are not met.
            let y = min.y + (max.y - min.y) * 0.381_966;
            let mut x = f64::MAX;
            l.pieces.iter().for_each(|p| p.crossings(y, |at, _| x = x.min(at)));
            eye.push((if x == f64::MAX { min.x } else { x }, y));
            width.push(max.x - min.x);
            leftmost = leftmost.min(min.x);
        }
        let size = loops.iter().map(|l| piece::area(&l.pieces)).collect();
        Self { watch, boundary: Boundary::new(loops), eye, leftmost, width, size }
    }

    /// Whether loop `a` is larger than loop `b`; of equal ones, the later counts as larger.
    fn is_larger(&self, a: usize, b: usize) -> bool {
        (self.size[a], a) > (self.size[b], b)
    }

    /// Crossings of other loops to the left of a loop's eye, no further than `reach`. What lies on the eye itself
    /// counts, so that a loop is found which shares an edge with the one around it.
    fn crossings(&self, i: usize, reach: f64) -> Result<Vec<Crossing>, Trouble> {
        let (x, y) = self.eye[i];
        let slab = AABB::from_corners([x - reach, y], [x + SAME, y]);
        let mut found = Vec::new();
        let mut looked_at = 0;
        for stored in self.boundary.tree.locate_in_envelope_intersecting(slab) {
            looked_at += 1;
            if stored.of != i {
                stored.piece.crossings(y, |at, up| {
                    if at <= x + SAME && at >= x - reach {
                        found.push(Crossing { at, up, of: stored.of });
                    }
                });
            }
        }
        self.watch.spend(looked_at)?;
        Ok(found)
    }

    fn look(&self, i: usize) -> Result<Left, Trouble> {
        let x = self.eye[i].0;
        let whole = (x - self.leftmost).max(0.0) + 1.0;
        // Little by little: among loops that nest closely a wide look meets all of them.
        let mut reach = (self.width[i] / 512.0).max(1e-3);
        loop {
            reach = reach.min(whole);
            let mut found = self.crossings(i, reach)?;
            // A smaller loop that shares the edge lies inside this one and says nothing of what is around.
            found.retain(|c| c.up || c.at < x - SAME || self.is_larger(c.of, i));
            let nearest = found.iter().map(|c| c.at).fold(f64::MIN, f64::max);
            found.retain(|c| c.at >= nearest - SAME);
            // The loop runs counter-clockwise, so its inside is to the left of where it goes: to the right in the
            // drawing where it goes down. Where several lie on one another, the smallest of those around this one and
            // the largest of those beside it is next to it.
            let smaller = |a: &&Crossing, b: &&Crossing| {
                self.size[a.of].total_cmp(&self.size[b.of]).then(a.of.cmp(&b.of))
            };
            if let Some(around) = found.iter().filter(|c| !c.up && self.is_larger(c.of, i)).min_by(smaller) {
                return Ok(Left::Inside(around.of));
            }
            if let Some(beside) = found.iter().filter(|c| c.up).max_by(smaller) {
                return Ok(Left::Beside(beside.of));
            }
            // Inside one that is smaller: the two cross.
            if !found.is_empty() {
                return Ok(self.count(i)?.map_or(Left::Nothing, Left::Inside));
            }
            if reach >= whole {
                return Ok(Left::Nothing);
            }
            reach *= 8.0;
        }
    }

    /// The innermost larger loop that contains the eye of loop `i`, by counting crossings of every loop.
    fn count(&self, i: usize) -> Result<Option<usize>, Trouble> {
        let whole = (self.eye[i].0 - self.leftmost).max(0.0) + 1.0;
        let mut odd: BTreeMap<usize, bool> = BTreeMap::new();
        self.crossings(i, whole)?.iter().for_each(|c| *odd.entry(c.of).or_default() ^= true);
        Ok(odd
            .into_iter()
            .filter(|(of, odd)| *odd && self.is_larger(*of, i))
            .map(|(of, _)| of)
            .min_by(|a, b| self.size[*a].total_cmp(&self.size[*b])))
    }
}
