//! Which loop lies in which: parts and their holes, by even-odd depth.

use super::Closed;
use super::loops::Boundary;
use crate::piece;
use rstar::AABB;

/// A part: its outer loop and holes, as indices.
#[derive(Debug, PartialEq)]
pub(super) struct Nested {
    pub(super) outer: usize,
    pub(super) holes: Vec<usize>,
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

struct Lookout<'a> {
    loops: &'a [Closed],
    boundary: Boundary,
    /// A height that cuts through the loop, and its leftmost point there.
    eye: Vec<(f64, f64)>,
    leftmost: f64,
    width: Vec<f64>,
}

/// Resolves loops (counter-clockwise) to parts and holes; a loop inside a hole is a part again.
pub(super) fn nest(loops: &[Closed]) -> Vec<Nested> {
    let lookout = Lookout::new(loops);
    let left: Vec<Left> = (0..loops.len()).map(|i| lookout.look(i)).collect();
    // Parents, following "beside" until something is known.
    let mut parent: Vec<Option<Option<usize>>> = vec![None; loops.len()];
    for i in 0..loops.len() {
        let (mut trail, mut at) = (vec![i], i);
        let known = loop {
            if let Some(known) = parent[at] {
                break known;
            }
            match left[at] {
                Left::Nothing => break None,
                Left::Inside(p) => break Some(p),
                // Loops that interlock point at each other: count all crossings instead.
                Left::Beside(next) if trail.contains(&next) || trail.len() > 64 => break lookout.count(at),
                Left::Beside(next) => {
                    trail.push(next);
                    at = next;
                }
            }
        };
        for t in trail {
            parent[t].get_or_insert(known);
        }
    }
    let parent: Vec<Option<usize>> = parent.into_iter().map(Option::flatten).collect();
    let depth = |mut i: usize| {
        let mut depth = 0;
        while let Some(p) = parent[i] {
            depth += 1;
            i = p;
            // Crossing loops could point in a circle.
            if depth > loops.len() {
                break;
            }
        }
        depth
    };
    let depths: Vec<usize> = (0..loops.len()).map(depth).collect();
    let mut part_of = vec![None; loops.len()];
    let mut parts = Vec::new();
    for i in 0..loops.len() {
        if depths[i].is_multiple_of(2) {
            part_of[i] = Some(parts.len());
            parts.push(Nested { outer: i, holes: Vec::new() });
        }
    }
    for i in 0..loops.len() {
        if let (false, Some(p)) = (depths[i].is_multiple_of(2), parent[i])
            && let Some(part) = part_of[p]
        {
            parts[part].holes.push(i);
        }
    }
    parts
}

impl<'a> Lookout<'a> {
    fn new(loops: &'a [Closed]) -> Self {
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
        Self { loops, boundary: Boundary::new(loops), eye, leftmost, width }
    }

    /// Crossings of other loops to the left of a loop's eye, no further than `reach`: x, whether upward, of which.
    fn crossings(&self, i: usize, reach: f64, mut found: impl FnMut(f64, bool, usize)) {
        let (x, y) = self.eye[i];
        let slab = AABB::from_corners([x - reach, y], [x, y]);
        for stored in self.boundary.tree.locate_in_envelope_intersecting(slab) {
            if stored.of != i {
                stored.piece.crossings(y, |at, up| {
                    if at <= x && at >= x - reach {
                        found(at, up, stored.of);
                    }
                });
            }
        }
    }

    fn look(&self, i: usize) -> Left {
        let whole = (self.eye[i].0 - self.leftmost).max(0.0) + 1.0;
        let mut reach = self.width[i].max(1e-3);
        loop {
            reach = reach.min(whole);
            let mut nearest: Option<(f64, bool, usize)> = None;
            self.crossings(i, reach, |at, up, of| {
                if nearest.is_none_or(|n| at > n.0) {
                    nearest = Some((at, up, of));
                }
            });
            match nearest {
                // The loop runs counter-clockwise, so its inside is to the left of where it goes: to the right in the
                // drawing where it goes down.
                Some((_, false, of)) => return Left::Inside(of),
                Some((_, true, of)) => return Left::Beside(of),
                None if reach >= whole => return Left::Nothing,
                None => reach *= 4.0,
            }
        }
    }

    /// The innermost loop that contains the eye of loop `i`, by counting crossings of every loop.
    fn count(&self, i: usize) -> Option<usize> {
        let whole = (self.eye[i].0 - self.leftmost).max(0.0) + 1.0;
        let mut odd: std::collections::BTreeMap<usize, bool> = std::collections::BTreeMap::new();
        self.crossings(i, whole, |_, _, of| *odd.entry(of).or_default() ^= true);
        let size = |l: usize| piece::area(&self.loops[l].pieces);
        odd.into_iter().filter(|(_, odd)| *odd).map(|(of, _)| of).min_by(|a, b| size(*a).total_cmp(&size(*b)))
    }
}
