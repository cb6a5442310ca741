//! Which boundary lies in which, by looking to the right of each until another is met: a few looks each, where counting
//! every crossing of a ray takes as many as there are boundaries in a row.

use glam::DVec2;
use rstar::{AABB, RTree};

use crate::edge::Edge;
use crate::surface::odd_crossings;
use crate::{Bounds, Loop};

/// What lies around a boundary.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Found {
    /// It lies inside the first boundary, the outer one.
    pub in_outer: bool,
    /// The innermost other boundary around it.
    pub in_hole: Option<usize>,
}

/// What a look to the right meets first.
enum Right {
    Nothing,
    Inside(usize),
    Beside(usize),
    /// Something that others cross or touch, from which nothing follows.
    Unclear,
}

/// Boundaries as the search for what lies around one needs them.
pub(crate) struct Around<'a> {
    tree: &'a RTree<Edge>,
    loops: Vec<&'a Loop>,
    /// Whether a boundary crosses or touches another.
    meets: Vec<bool>,
    area: Vec<f64>,
    bounds: Vec<Option<Bounds>>,
    known: Vec<Option<Found>>,
    right: f64,
    /// Crossings that were looked at.
    pub looked_at: usize,
}

impl<'a> Around<'a> {
    pub fn new(tree: &'a RTree<Edge>, loops: Vec<&'a Loop>, meets: Vec<bool>) -> Self {
        let area = loops.iter().map(|l| l.signed_area()).collect();
        let bounds = loops.iter().map(|l| l.bounds()).collect();
        let (known, right) = (vec![None; loops.len()], tree.root().envelope().upper()[0]);
        Self { tree, loops, meets, area, bounds, known, right, looked_at: 0 }
    }

    /// Size of a boundary, mm².
    pub fn area(&self, boundary: usize) -> f64 {
        self.area[boundary].abs()
    }

    /// What lies around a boundary; remembered, so that larger ones are best asked for first.
    pub fn of(&mut self, boundary: usize) -> Found {
        let mut trail = Vec::new();
        let mut on_trail = std::collections::HashSet::new();
        let mut at = boundary;
        let found = loop {
            if let Some(known) = self.known[at] {
                break known;
            }
            trail.push(at);
            // Boundaries that point at each other in a ring: count instead.
            let right = if on_trail.insert(at) { self.look(at) } else { Right::Unclear };
            match right {
                Right::Nothing | Right::Beside(0) => break Found::default(),
                Right::Inside(0) => break Found { in_outer: true, in_hole: None },
                Right::Inside(hole) => {
                    let around = self.of_parent(hole, &on_trail);
                    break Found { in_outer: around.in_outer, in_hole: Some(hole) };
                }
                Right::Beside(next) => at = next,
                Right::Unclear => {
                    let found = self.count(at);
                    self.known[at] = Some(found);
                    break found;
                }
            }
        };
        for step in trail {
            self.known[step].get_or_insert(found);
        }
        found
    }

    /// Of a boundary around another: a step of recursion for each level of nesting, so that these are few.
    fn of_parent(&mut self, hole: usize, on_trail: &std::collections::HashSet<usize>) -> Found {
        const DEEPEST: usize = 64;
        let mut at = hole;
        for _ in 0..DEEPEST {
            if let Some(known) = self.known[at] {
                return known;
            }
            if on_trail.contains(&at) {
                break;
            }
            match self.look(at) {
                Right::Nothing | Right::Beside(0) => return Found::default(),
                Right::Inside(0) => return Found { in_outer: true, in_hole: None },
                Right::Inside(next) | Right::Beside(next) => at = next,
                Right::Unclear => break,
            }
        }
        self.count(hole)
    }

    /// The rightmost place of a boundary at a height that cuts through it: right of that, all is outside of it.
    fn eye(&self, boundary: usize) -> Option<(DVec2, f64)> {
        let bounds = self.bounds[boundary]?;
        // An odd share of the height, so that corners of other boundaries are not met.
        let y = bounds.min.y + (bounds.max.y - bounds.min.y) * 0.381_966;
        let mut x = f64::MIN;
        Edge::of_loop(self.loops[boundary], 0).for_each(|e| e.crossings_at(y, |at, _| x = x.max(at)));
        (x > f64::MIN).then(|| (DVec2::new(x, y), bounds.width()))
    }

    fn look(&mut self, boundary: usize) -> Right {
        if self.meets[boundary] {
            return Right::Unclear;
        }
        let Some((eye, width)) = self.eye(boundary) else { return Right::Unclear };
        let whole = (self.right - eye.x).max(0.0) + 1.0;
        // Little by little: among boundaries that nest closely a wide look meets all of them.
        let mut reach = (width / 512.0).max(1e-3);
        loop {
            reach = reach.min(whole);
            let slab = AABB::from_corners(eye.to_array(), [eye.x + reach, eye.y]);
            let mut nearest: Option<(f64, bool, usize)> = None;
            for edge in self.tree.locate_in_envelope_intersecting(slab) {
                self.looked_at += 1;
                let of = edge.of as usize;
                if of == boundary {
                    continue;
                }
                edge.crossings_at(eye.y, |x, rises| {
                    if x >= eye.x && x <= eye.x + reach && nearest.is_none_or(|n| x < n.0) {
                        nearest = Some((x, rises, of));
                    }
                });
            }
            match nearest {
                Some((.., of)) if self.meets[of] => return Right::Unclear,
                // The inside of a boundary that runs counter-clockwise lies to the left of where it goes.
                Some((_, rises, of)) => {
                    let inside = rises == (self.area[of] > 0.0);
                    return if inside { Right::Inside(of) } else { Right::Beside(of) };
                }
                None if reach >= whole => return Right::Nothing,
                None => reach *= 8.0,
            }
        }
    }

    /// By counting every crossing of a ray.
    fn count(&mut self, boundary: usize) -> Found {
        let Some(at) = self.loops[boundary].vertices.first().map(|v| v.at) else { return Found::default() };
        let enclosing = odd_crossings(self.tree, self.right, at, &mut self.looked_at);
        let others = enclosing.iter().copied().filter(|other| *other != boundary);
        let smallest = |a: &usize, b: &usize| self.area[*a].abs().total_cmp(&self.area[*b].abs());
        let in_hole = others.filter(|other| *other != 0).min_by(smallest);
        Found { in_outer: enclosing.contains(&0), in_hole }
    }
}
