//! Everything wrong with an outline, in sentences.

use std::fmt;

use glam::DVec2;
use rstar::{AABB, RTree, RTreeObject};

use crate::edge::Edge;
use crate::{Loop, Outline};

/// Which boundary of an outline is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ring {
    /// The outer boundary.
    Outer,
    /// A hole, by its index (counted from 1 in sentences).
    Hole(usize),
}

impl fmt::Display for Ring {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Ring::Outer => write!(f, "the outer boundary"),
            Ring::Hole(i) => write!(f, "hole {}", i + 1),
        }
    }
}

/// A place in a sentence, mm to two places without a negative nought.
struct Place(DVec2);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tidy = |v: f64| if v.abs() < 0.005 { 0.0 } else { v };
        write!(f, "({:.2}, {:.2}) mm", tidy(self.0.x), tidy(self.0.y))
    }
}

/// One thing wrong with an outline, as a sentence that says what, where and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OutlineProblem {
    /// Nothing drawn.
    #[error("the outline is empty: import a drawing or sketch an outer boundary")]
    Empty,
    /// Too few corners to close round anything.
    #[error(
        "{ring} has {corners} corner(s) and closes round nothing: draw at least three corners, or two joined by an arc"
    )]
    TooFewCorners {
        /// Which boundary.
        ring: Ring,
        /// How many corners it has.
        corners: usize,
    },
    /// A coordinate or bulge that is not a finite number.
    #[error("corner {} of {ring} is not at a finite place: enter its coordinates again or remove it", .corner + 1)]
    NotFinite {
        /// Which boundary.
        ring: Ring,
        /// Index of the corner.
        corner: usize,
    },
    /// No area.
    #[error("{ring} encloses no area near {}: redraw it or remove it", Place(*.at))]
    ZeroArea {
        /// Which boundary.
        ring: Ring,
        /// A corner of it.
        at: DVec2,
    },
    /// Neighbouring corners at one place.
    #[error("{ring} has two corners at the same place {}: remove corner {}", Place(*.at), .corner + 1)]
    DuplicatePoint {
        /// Which boundary.
        ring: Ring,
        /// Index of the second corner.
        corner: usize,
        /// Where.
        at: DVec2,
    },
    /// The boundary crosses itself.
    #[error("{ring} crosses itself at {}: move or remove a corner so that the two pieces part", Place(*.at))]
    SelfCrossing {
        /// Which boundary.
        ring: Ring,
        /// Where.
        at: DVec2,
    },
    /// The boundary touches itself.
    #[error("{ring} touches itself at {}: move a corner so that the two pieces part", Place(*.at))]
    SelfTouching {
        /// Which boundary.
        ring: Ring,
        /// Where.
        at: DVec2,
    },
    /// The boundary runs back over itself.
    #[error("{ring} runs back over itself at {}: remove the doubled piece", Place(*.at))]
    RunsBack {
        /// Which boundary.
        ring: Ring,
        /// Where.
        at: DVec2,
    },
    /// A hole that lies outside.
    #[error("hole {} at {} lies outside the outer boundary: move it inside or remove it", .hole + 1, Place(*.at))]
    HoleOutside {
        /// Index of the hole.
        hole: usize,
        /// A corner of it.
        at: DVec2,
    },
    /// A hole whose boundary meets the outer one.
    #[error("hole {} meets the outer boundary at {}: move it inside, or draw it as a notch of the outer boundary", .hole + 1, Place(*.at))]
    HoleMeetsEdge {
        /// Index of the hole.
        hole: usize,
        /// Where.
        at: DVec2,
    },
    /// Two holes whose boundaries meet.
    #[error("holes {} and {} meet at {}: part them or join them into one", .first + 1, .second + 1, Place(*.at))]
    HolesMeet {
        /// Index of one hole.
        first: usize,
        /// Index of the other.
        second: usize,
        /// Where.
        at: DVec2,
    },
    /// A hole inside another.
    #[error("hole {} at {} lies inside hole {}: remove one of them", .inner + 1, Place(*.at), .outer + 1)]
    HoleInHole {
        /// Index of the hole inside.
        inner: usize,
        /// Index of the hole around it.
        outer: usize,
        /// A corner of the inner one.
        at: DVec2,
    },
    /// More crossings than are worth listing.
    #[error("and {more} more place(s) where boundaries cross or touch: mend the ones listed first")]
    More {
        /// How many are left out.
        more: usize,
    },
}

/// Crossings listed at most.
const LISTED: usize = 20;
/// Corners closer than this are one place, mm.
const SAME: f64 = 1e-6;

/// All problems of an outline, not the first; empty when it is sound. Which way round a loop runs is no problem.
///
/// ```
/// use geometry::{Loop, Outline, validate};
/// use glam::DVec2;
/// let crossed = [(0.0, 0.0), (100.0, 80.0), (100.0, 0.0), (0.0, 60.0)].map(|(x, y)| DVec2::new(x, y)); // mm
/// let problems = validate(&Outline::solid(Loop::polygon(crossed)));
/// assert_eq!(problems[0].to_string(),
///     "the outer boundary crosses itself at (42.86, 34.29) mm: move or remove a corner so that the two pieces part");
/// ```
pub fn validate(outline: &Outline) -> Vec<OutlineProblem> {
    if outline.outer.vertices.is_empty() {
        return vec![OutlineProblem::Empty];
    }
    let mut problems = Vec::new();
    let rings: Vec<(Ring, &Loop)> = outline
        .loops()
        .enumerate()
        .map(|(i, l)| (if i == 0 { Ring::Outer } else { Ring::Hole(i - 1) }, l))
        .collect();
    let sound: Vec<bool> =
        rings.iter().map(|(ring, boundary)| own_problems(*ring, boundary, &mut problems)).collect();
    let mut edges: Vec<Edge> = Vec::new();
    let mut sizes: Vec<u32> = Vec::new();
    for (of, (_, boundary)) in rings.iter().enumerate() {
        let before = edges.len();
        if !sound[of] {
            sizes.push(0);
            continue;
        }
        edges.extend(
            Edge::of_loop(boundary, of as u32).enumerate().map(|(i, e)| Edge { index: i as u32, ..e }),
        );
        sizes.push((edges.len() - before) as u32);
    }
    let tree = RTree::bulk_load(edges);
    let met = meetings(&tree, &sizes, &rings, &mut problems);
    containment(&tree, &rings, &sound, &met, &mut problems);
    problems
}

/// Problems of one boundary by itself; whether it is fit to be compared with others.
fn own_problems(ring: Ring, boundary: &Loop, problems: &mut Vec<OutlineProblem>) -> bool {
    let vertices = &boundary.vertices;
    let mut finite = true;
    for (corner, vertex) in vertices.iter().enumerate() {
        if !(vertex.at.is_finite() && vertex.bulge.is_finite()) {
            problems.push(OutlineProblem::NotFinite { ring, corner });
            finite = false;
        }
    }
    let corners = vertices.len();
    if corners < 2 || (corners == 2 && vertices.iter().all(|v| v.bulge == 0.0)) {
        problems.push(OutlineProblem::TooFewCorners { ring, corners });
        return false;
    }
    if !finite {
        return false;
    }
    for corner in 0..corners {
        let before = (corner + corners - 1) % corners;
        let at = vertices[corner].at;
        if at.distance(vertices[before].at) <= SAME && before != corner {
            problems.push(OutlineProblem::DuplicatePoint { ring, corner, at });
        }
    }
    let perimeter = boundary.perimeter();
    if boundary.signed_area().abs() <= 1e-12 * perimeter * perimeter {
        // Also a figure of eight whose halves cancel: its crossing is listed as well.
        problems.push(OutlineProblem::ZeroArea { ring, at: vertices[0].at });
    }
    true
}

/// Crossings and touches; returns the pairs of boundaries that meet.
fn meetings(
    tree: &RTree<Edge>,
    sizes: &[u32],
    rings: &[(Ring, &Loop)],
    problems: &mut Vec<OutlineProblem>,
) -> std::collections::HashSet<(u32, u32)> {
    let mut pairs = std::collections::HashSet::new();
    let mut places: Vec<OutlineProblem> = Vec::new();
    let mut seen = std::collections::HashSet::new();
    let mut edges: Vec<&Edge> = tree.iter().collect();
    edges.sort_by_key(|e| (e.of, e.index));
    for edge in edges {
        let envelope = edge.envelope();
        let (low, high) =
            (DVec2::from_array(envelope.lower()) - SAME, DVec2::from_array(envelope.upper()) + SAME);
        let around = AABB::from_corners(low.to_array(), high.to_array());
        let later = |e: &&Edge| (e.of, e.index) > (edge.of, edge.index);
        let mut others: Vec<&Edge> = tree.locate_in_envelope_intersecting(around).filter(later).collect();
        others.sort_by_key(|e| (e.of, e.index));
        for other in others {
            let meets = edge.segment.meets(&other.segment, SAME / 10.0);
            let size = sizes[edge.of as usize];
            for at in meets.points() {
                let shared = edge.of == other.of && shared_corner(edge, other, size, *at);
                if shared && !(meets.overlapping && edge.segment.length() > SAME) {
                    continue;
                }
                let key = (
                    edge.of,
                    other.of,
                    (at.x / SAME / 10.0).round() as i64,
                    (at.y / SAME / 10.0).round() as i64,
                );
                if edge.of != other.of {
                    pairs.insert((edge.of, other.of));
                }
                if !seen.insert(key) {
                    continue;
                }
                let ring = rings[edge.of as usize].0;
                places.push(match (ring, rings[other.of as usize].0) {
                    (Ring::Outer, Ring::Hole(hole)) => OutlineProblem::HoleMeetsEdge { hole, at: *at },
                    (Ring::Hole(first), Ring::Hole(second)) if first != second => {
                        OutlineProblem::HolesMeet { first, second, at: *at }
                    }
                    _ if meets.overlapping => OutlineProblem::RunsBack { ring, at: *at },
                    _ if passes(edge, other, *at) => OutlineProblem::SelfCrossing { ring, at: *at },
                    _ => OutlineProblem::SelfTouching { ring, at: *at },
                });
            }
        }
    }
    let more = places.len().saturating_sub(LISTED);
    problems.extend(places.into_iter().take(LISTED));
    if more > 0 {
        problems.push(OutlineProblem::More { more });
    }
    pairs
}

/// Whether a meeting point is just the corner that two neighbouring pieces have in common.
fn shared_corner(edge: &Edge, other: &Edge, size: u32, at: DVec2) -> bool {
    let follows = |a: &Edge, b: &Edge| (a.index + 1) % size == b.index && a.to.distance(at) <= SAME;
    follows(edge, other) || follows(other, edge)
}

/// Whether two pieces pass through one another, away from their ends and not just touching.
fn passes(edge: &Edge, other: &Edge, at: DVec2) -> bool {
    let inside = |e: &Edge| e.from.distance(at) > SAME && e.to.distance(at) > SAME;
    let way = |e: &Edge| e.segment.direction_at(e.segment.nearest_share(at));
    inside(edge) && inside(other) && way(edge).perp_dot(way(other)).abs() > 1e-6
}

/// Holes outside the part and holes in holes, for boundaries that do not meet.
fn containment(
    tree: &RTree<Edge>,
    rings: &[(Ring, &Loop)],
    sound: &[bool],
    met: &std::collections::HashSet<(u32, u32)>,
    problems: &mut Vec<OutlineProblem>,
) {
    let right = tree.root().envelope().upper()[0];
    for (of, (ring, boundary)) in rings.iter().enumerate() {
        let (Ring::Hole(hole), true) = (*ring, sound[of]) else { continue };
        let Some(at) = boundary.vertices.first().map(|v| v.at) else { continue };
        let mut around = crate::surface::odd_crossings(tree, right, at);
        around.sort_unstable();
        let apart = |other: usize| !met.contains(&(of.min(other) as u32, of.max(other) as u32));
        if sound[0] && apart(0) && !around.contains(&0) {
            problems.push(OutlineProblem::HoleOutside { hole, at });
        }
        for other in around.into_iter().filter(|other| *other != of && apart(*other)) {
            if let Ring::Hole(outer) = rings[other].0 {
                problems.push(OutlineProblem::HoleInHole { inner: hole, outer, at });
            }
        }
    }
}
