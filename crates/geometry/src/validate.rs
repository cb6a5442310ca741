//! Everything wrong with an outline, in sentences.

use std::collections::HashSet;
use std::fmt;

use glam::DVec2;
use rstar::{AABB, RTree, RTreeObject};
use units::{Part, Worded};

use crate::around::Around;
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

impl Ring {
    fn part(self) -> Part {
        self.to_string().into()
    }
}

/// One thing wrong with an outline, as a sentence that says what, where and what to do.
#[derive(Debug, Clone, PartialEq)]
pub enum OutlineProblem {
    /// Nothing drawn.
    Empty,
    /// Too few corners to close round anything.
    TooFewCorners {
        /// Which boundary.
        ring: Ring,
        /// How many corners it has.
        corners: usize,
    },
    /// A coordinate or bulge that is not a finite number.
    NotFinite {
        /// Which boundary.
        ring: Ring,
        /// Index of the corner.
        corner: usize,
    },
    /// No area.
    ZeroArea {
        /// Which boundary.
        ring: Ring,
        /// A corner of it.
        at: DVec2,
    },
    /// Neighbouring corners at one place.
    DuplicatePoint {
        /// Which boundary.
        ring: Ring,
        /// Index of the second corner.
        corner: usize,
        /// Where.
        at: DVec2,
    },
    /// The boundary crosses itself.
    SelfCrossing {
        /// Which boundary.
        ring: Ring,
        /// Where.
        at: DVec2,
    },
    /// The boundary touches itself.
    SelfTouching {
        /// Which boundary.
        ring: Ring,
        /// Where.
        at: DVec2,
    },
    /// The boundary runs back over itself.
    RunsBack {
        /// Which boundary.
        ring: Ring,
        /// Where.
        at: DVec2,
    },
    /// A hole that lies outside.
    HoleOutside {
        /// Index of the hole.
        hole: usize,
        /// A corner of it.
        at: DVec2,
    },
    /// A hole whose boundary meets the outer one.
    HoleMeetsEdge {
        /// Index of the hole.
        hole: usize,
        /// Where.
        at: DVec2,
    },
    /// Two holes whose boundaries meet.
    HolesMeet {
        /// Index of one hole.
        first: usize,
        /// Index of the other.
        second: usize,
        /// Where.
        at: DVec2,
    },
    /// A hole inside another.
    HoleInHole {
        /// Index of the hole inside.
        inner: usize,
        /// Index of the hole around it.
        outer: usize,
        /// A corner of the inner one.
        at: DVec2,
    },
    /// More crossings than are worth listing.
    More {
        /// How many are left out.
        more: usize,
    },
    /// More holes that lie wrongly than are worth listing.
    MoreHoles {
        /// How many are left out.
        more: usize,
    },
    /// So many crossings that the search was stopped.
    AtLeast {
        /// How many were found besides those listed.
        more: usize,
    },
    /// Pieces beside one another in so many places that the search for crossings was stopped.
    NotSearched {
        /// How many pairs were looked at.
        pairs: usize,
    },
}

impl OutlineProblem {
    /// The sentence, before its places get units.
    pub fn worded(&self) -> Worded {
        let at = |place: &DVec2| Part::Place(place.to_array());
        let hole = |index: &usize| Part::from((index + 1).to_string());
        match self {
            Self::Empty => "the outline is empty: import a drawing or sketch an outer boundary".into(),
            Self::TooFewCorners { ring, corners } => format!(
                "{ring} has {corners} corner(s) and encloses nothing: draw at least three corners, or two joined by an arc"
            )
            .into(),
            Self::NotFinite { ring, corner } => format!(
                "corner {} of {ring} is not at a finite place: enter its coordinates again or remove it",
                corner + 1
            )
            .into(),
            Self::ZeroArea { ring, at: near } => {
                Worded::new("{} encloses no area near {}: redraw it or remove it", [ring.part(), at(near)])
            }
            Self::DuplicatePoint { ring, corner, at: place } => Worded::new(
                "{} has two corners at the same place {}: remove corner {}",
                [ring.part(), at(place), hole(corner)],
            ),
            Self::SelfCrossing { ring, at: place } => Worded::new(
                "{} crosses itself at {}: move or remove a corner so that the two pieces part",
                [ring.part(), at(place)],
            ),
            Self::SelfTouching { ring, at: place } => Worded::new(
                "{} touches itself at {}: move a corner so that the two pieces part",
                [ring.part(), at(place)],
            ),
            Self::RunsBack { ring, at: place } => Worded::new(
                "{} runs back over itself at {}: remove the doubled piece",
                [ring.part(), at(place)],
            ),
            Self::HoleOutside { hole: of, at: place } => Worded::new(
                "hole {} at {} lies outside the outer boundary: move it inside or remove it",
                [hole(of), at(place)],
            ),
            Self::HoleMeetsEdge { hole: of, at: place } => Worded::new(
                "hole {} meets the outer boundary at {}: move it inside, or draw it as a notch of the outer boundary",
                [hole(of), at(place)],
            ),
            Self::HolesMeet { first, second, at: place } => Worded::new(
                "holes {} and {} meet at {}: part them or join them into one",
                [hole(first), hole(second), at(place)],
            ),
            Self::HoleInHole { inner, outer, at: place } => Worded::new(
                "hole {} at {} lies inside hole {}: remove one of them",
                [hole(inner), at(place), hole(outer)],
            ),
            Self::More { more } => format!(
                "and {more} more place(s) where boundaries cross or touch: fix the ones listed first"
            )
            .into(),
            Self::MoreHoles { more } => format!(
                "and {more} more hole(s) that lie outside the part or in another hole: fix the ones listed first"
            )
            .into(),
            Self::AtLeast { more } => format!(
                "and at least {more} more places where boundaries cross or touch, where the search was stopped: redraw \
                 the outline"
            )
            .into(),
            Self::NotSearched { pairs } => format!(
                "lines and arcs lie across one another's reach in so many places that the search for crossings was \
                 stopped after {pairs} pairs: redraw the outline with fewer"
            )
            .into(),
        }
    }
}

impl fmt::Display for OutlineProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.worded().fmt(f)
    }
}

impl std::error::Error for OutlineProblem {}

/// Crossings listed at most.
const LISTED: usize = 20;
/// Crossings found at most: an outline with more is a scribble, of which neither time nor memory is spent on the rest.
const MOST_PLACES: usize = 1_000;
/// Pairs of pieces looked at for each piece, on average, and in all, at most: a drawn outline makes two or three for
/// each.
const MOST_PAIRS: (usize, usize) = (200, 20_000_000);
/// An outline of fewer pieces than this may have as many pairs as one of this size: some hundred rings in one another.
const FEW: usize = 10_000;
/// Corners closer than this are one place, mm.
const SAME: f64 = 1e-6;

/// All problems of an outline, not the first; empty when it is sound. Which way round a loop runs is no problem.
///
/// Work and memory are bounded whatever the outline: past a thousand crossings, or where pieces lie side by side in too
/// many places, the search stops and says so.
///
/// ```
/// use geometry::{Loop, Outline, validate};
/// use glam::DVec2;
/// let crossed = [(0.0, 0.0), (100.0, 80.0), (100.0, 0.0), (0.0, 60.0)].map(|(x, y)| DVec2::new(x, y)); // mm
/// let problems = validate(&Outline::solid(Loop::polygon(crossed)));
/// assert_eq!(problems[0].to_string(),
///     "the outer boundary crosses itself at (42.857, 34.286) mm: move or remove a corner so that the two pieces part");
/// ```
pub fn validate(outline: &Outline) -> Vec<OutlineProblem> {
    let mut pairs = 0;
    counted(outline, &mut pairs)
}

/// As [`validate`]; `pairs` counts pairs of pieces and crossings of rays that were looked at.
fn counted(outline: &Outline, pairs: &mut usize) -> Vec<OutlineProblem> {
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
    // Where a boundary lies in a scribble is nothing that can be said, nor needed.
    if let Some(met) = meetings(&tree, &sizes, &rings, &mut problems, pairs) {
        containment(&tree, &rings, &sound, &met, &mut problems, pairs);
    }
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

/// Crossings and touches; returns the pairs of boundaries that meet, `None` when the search was stopped.
fn meetings(
    tree: &RTree<Edge>,
    sizes: &[u32],
    rings: &[(Ring, &Loop)],
    problems: &mut Vec<OutlineProblem>,
    looked_at: &mut usize,
) -> Option<HashSet<(u32, u32)>> {
    let most = MOST_PAIRS.0.saturating_mul(tree.size().max(FEW)).min(MOST_PAIRS.1);
    let mut pairs = HashSet::new();
    let mut places: Vec<OutlineProblem> = Vec::new();
    let mut seen = HashSet::new();
    let mut stopped = None;
    let mut edges: Vec<&Edge> = tree.iter().collect();
    edges.sort_by_key(|e| (e.of, e.index));
    'all: for edge in edges {
        let envelope = edge.envelope();
        let (low, high) =
            (DVec2::from_array(envelope.lower()) - SAME, DVec2::from_array(envelope.upper()) + SAME);
        let around = AABB::from_corners(low.to_array(), high.to_array());
        let later = |e: &&Edge| (e.of, e.index) > (edge.of, edge.index);
        let mut others: Vec<&Edge> = Vec::new();
        for other in tree.locate_in_envelope_intersecting(around) {
            *looked_at += 1;
            if *looked_at > most {
                stopped = Some(OutlineProblem::NotSearched { pairs: most });
                break 'all;
            }
            if later(&other) {
                others.push(other);
            }
        }
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
                if places.len() == MOST_PLACES {
                    stopped = Some(OutlineProblem::AtLeast { more: MOST_PLACES - LISTED });
                    break 'all;
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
    match stopped {
        Some(why) => {
            problems.push(why);
            None
        }
        None => {
            if more > 0 {
                problems.push(OutlineProblem::More { more });
            }
            Some(pairs)
        }
    }
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

/// Holes outside the part and holes in holes, for boundaries that do not meet. Of holes around a hole the innermost is
/// told.
fn containment(
    tree: &RTree<Edge>,
    rings: &[(Ring, &Loop)],
    sound: &[bool],
    met: &HashSet<(u32, u32)>,
    problems: &mut Vec<OutlineProblem>,
    looked_at: &mut usize,
) {
    let mut meets = vec![false; rings.len()];
    met.iter().for_each(|(a, b)| (meets[*a as usize], meets[*b as usize]) = (true, true));
    let apart = |a: usize, b: usize| !met.contains(&(a.min(b) as u32, a.max(b) as u32));
    let mut around = Around::new(tree, rings.iter().map(|(_, l)| *l).collect(), meets);
    // Larger ones first: what lies around a hole is then known before it is asked for.
    let mut order: Vec<usize> = (1..rings.len()).filter(|of| sound[*of]).collect();
    order.sort_by(|a, b| around.area(*b).total_cmp(&around.area(*a)).then(a.cmp(b)));
    for of in order {
        around.of(of);
        if around.looked_at > MOST_PAIRS.1 {
            problems.push(OutlineProblem::NotSearched { pairs: around.looked_at });
            *looked_at += around.looked_at;
            return;
        }
    }
    let mut more = 0;
    let before = problems.len();
    for (of, (ring, boundary)) in rings.iter().enumerate() {
        let (Ring::Hole(hole), true) = (*ring, sound[of]) else { continue };
        let Some(at) = boundary.vertices.first().map(|v| v.at) else { continue };
        let found = around.of(of);
        let outside =
            (sound[0] && apart(0, of) && !found.in_outer).then_some(OutlineProblem::HoleOutside { hole, at });
        let inside = found.in_hole.filter(|other| apart(*other, of)).and_then(|other| match rings[other].0 {
            Ring::Hole(outer) => Some(OutlineProblem::HoleInHole { inner: hole, outer, at }),
            Ring::Outer => None,
        });
        for problem in outside.into_iter().chain(inside) {
            if problems.len() < before + MOST_PLACES { problems.push(problem) } else { more += 1 }
        }
    }
    *looked_at += around.looked_at;
    if more > 0 {
        problems.push(OutlineProblem::MoreHoles { more });
    }
}
