//! Ends that nearly meet: brought together where that is what was meant, and where it closes an outline.
//!
//! Two open ends are a pair when each is the other's nearest, no third comes near, and the gap is small against what hangs
//! on either. Lines are drawn on to where they cross (or cut back to there), a line is drawn on along itself, an arc along
//! its circle; what is left is bridged by a straight line. What was drawn is not bent.

use super::join::{self, Points};
use super::{Loose, SAME};
use crate::ImportCounts;
use crate::Sources;
use crate::diagnostics::Notes;
use crate::dxf::Trouble;
use crate::piece::Piece;
use crate::watch::Watch;
use geometry::Segment;
use glam::DVec2;
use rstar::{RTree, primitives::GeomWithData};
use std::collections::{BTreeSet, HashMap};

/// A third end nearer than this many gaps leaves a doubt which two belong together.
const CLEAR: f64 = 2.0;
/// A gap is small against the shorter of the two chains that end at it: dashes are not, whose gaps are near their lengths.
const SHARE: f64 = 0.2;
/// Pairs looked at in one drawing, at most: more are a dashed pattern or a scribble.
const MOST: usize = 5_000;
/// The sine of the least angle at which two lines are drawn on to where they cross: 5 degrees.
const CROSSES: f64 = 0.087;
/// The cosine of the widest angle at which a line is drawn on to another's end: 3 degrees.
const ALONG: f64 = 0.9986;

/// Two open ends that belong together: piece and end (0 = from, 1 = to) of each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    ends: [(usize, usize); 2],
    /// How far apart they are, mm.
    pub(super) gap: f64,
    /// Between them, mm.
    pub(super) at: DVec2,
    /// Where they are, mm.
    pub(super) places: [DVec2; 2],
}

fn end_of(piece: &Piece, end: usize) -> DVec2 {
    if end == 0 { piece.from } else { piece.to }
}

/// Open ends no further than `limit` apart that belong together.
pub(super) fn pairs(loose: &[Loose], limit: f64, watch: &Watch) -> Result<Vec<Pair>, Trouble> {
    let mut points = Points::default();
    let ids: Vec<[usize; 2]> =
        loose.iter().map(|l| [points.find(l.piece.from), points.find(l.piece.to)]).collect();
    let mut degree = vec![0usize; points.len()];
    ids.iter().flatten().for_each(|id| degree[*id] += 1);
    let open: Vec<(usize, usize)> = (0..loose.len())
        .flat_map(|i| [(i, 0), (i, 1)])
        .filter(|(i, end)| degree[ids[*i][*end]] == 1)
        .collect();
    if open.len() < 2 {
        return Ok(Vec::new());
    }
    // Lengths of what hangs together.
    let mut root: Vec<usize> = (0..points.len()).collect();
    for [a, b] in &ids {
        let (a, b) = (join::find(&mut root, *a), join::find(&mut root, *b));
        root[a.max(b)] = a.min(b);
    }
    let mut length = vec![0.0; points.len()];
    for (l, [a, _]) in loose.iter().zip(&ids) {
        let at = join::find(&mut root, *a);
        length[at] += l.piece.length();
    }
    let place = |(i, end): (usize, usize)| end_of(&loose[i].piece, end);
    let tree = RTree::bulk_load(
        open.iter().enumerate().map(|(at, end)| GeomWithData::new(place(*end).to_array(), at)).collect(),
    );
    let mut nearest: Vec<Option<(usize, f64)>> = vec![None; open.len()];
    for (at, end) in open.iter().enumerate() {
        watch.spend(1)?;
        let others = tree.nearest_neighbor_iter_with_distance_2(place(*end).to_array());
        let mut others = others.filter(|o| o.0.data != at).map(|o| (o.0.data, o.1.sqrt()));
        let Some((first, gap)) = others.next().filter(|o| o.1 <= limit) else { continue };
        if others.next().is_none_or(|(_, second)| second > CLEAR * gap) {
            nearest[at] = Some((first, gap));
        }
    }
    let mut found = Vec::new();
    for at in 0..open.len() {
        let Some((other, gap)) = nearest[at].filter(|(other, _)| *other > at) else { continue };
        if nearest[other].is_none_or(|(back, _)| back != at) || found.len() >= MOST {
            continue;
        }
        let ends = [open[at], open[other]];
        let hangs = |root: &mut Vec<usize>, (i, end): (usize, usize)| length[join::find(root, ids[i][end])];
        let shorter = hangs(&mut root, ends[0]).min(hangs(&mut root, ends[1]));
        if gap > SAME && gap <= SHARE * shorter {
            let places = ends.map(place);
            found.push(Pair { ends, gap, at: (places[0] + places[1]) / 2.0, places });
        }
    }
    Ok(found)
}

/// Brings pairs together. `bent` is the widest gap (mm) whose ends are moved halfway where nothing else serves.
pub(super) fn bring_together(loose: &[Loose], pairs: &[Pair], bent: f64) -> Vec<Loose> {
    let mut out = loose.to_vec();
    for pair in pairs {
        let [(i, a), (j, b)] = pair.ends;
        let (mut one, mut other) = (out[i].piece, out[j].piece);
        // As if one ran up to the gap and the other away from it.
        let turned = (a == 0, b == 1);
        if turned.0 {
            one = one.reversed();
        }
        if turned.1 {
            other = other.reversed();
        }
        let same = i == j;
        let bridge = meet(&mut one, &mut other, pair.gap, same, bent);
        if same {
            // One piece that goes all the way round: only its end has moved.
            one.from = other.from;
        }
        if !same {
            out[j].piece = if turned.1 { other.reversed() } else { other };
        }
        out[i].piece = if turned.0 { one.reversed() } else { one };
        if let Some(piece) = bridge {
            out.push(Loose { piece, source: out[i].source });
        }
    }
    out
}

/// Moves the end of one piece and the start of the other onto one another; a line between them where neither may move.
fn meet(one: &mut Piece, other: &mut Piece, gap: f64, same: bool, bent: f64) -> Option<Piece> {
    let (end, start) = (one.to, other.from);
    let near = |at: DVec2| at.distance(end) <= 2.0 * gap && at.distance(start) <= 2.0 * gap;
    if !same {
        if let Some(at) = crossing(one, other).filter(|at| near(*at)) {
            *one = one.cut_to(at);
            *other = other.reversed().cut_to(at).reversed();
            return None;
        }
        if one.is_straight() && other.is_straight() {
            let (d, e) = (one.chord().normalize_or_zero(), other.chord().normalize_or_zero());
            let sine = d.perp_dot(e);
            if sine.abs() > CROSSES {
                let at = end + d * ((start - end).perp_dot(e) / sine);
                if near(at) {
                    (one.to, other.from) = (at, at);
                    return None;
                }
            }
        }
    }
    let way = (start - end).normalize_or_zero();
    if one.is_straight() && one.chord().normalize_or_zero().dot(way) > ALONG {
        one.to = start;
        return None;
    }
    if other.is_straight() && other.chord().normalize_or_zero().dot(way) > ALONG {
        other.from = end;
        return None;
    }
    let on_circle = |piece: &Piece, at: DVec2| {
        piece.arc().is_some_and(|arc| (arc.centre.distance(at) - arc.radius).abs() <= 0.02 * gap)
    };
    if !same && on_circle(one, start) {
        *one = one.cut_to(start);
        return None;
    }
    if !same && on_circle(other, end) {
        *other = other.reversed().cut_to(end).reversed();
        return None;
    }
    if gap <= bent {
        let middle = (end + start) / 2.0;
        (one.to, other.from) = (middle, middle);
        return None;
    }
    Some(Piece::line(end, start))
}

/// Where two pieces cross.
fn crossing(one: &Piece, other: &Piece) -> Option<DVec2> {
    let segment = |p: &Piece| Segment::between(p.from, p.to, p.bulge);
    let meets = segment(one)?.meets(&segment(other)?, 1e-9);
    let points = meets.points();
    if meets.overlapping || points.len() != 1 { None } else { points.first().copied() }
}

/// What closing came to.
pub(super) struct Bridged {
    pub(super) loose: Vec<Loose>,
    /// Pairs whose gap lies beyond the one asked for and that close an outline.
    pub(super) proposed: Vec<Pair>,
    /// Pairs within the gap asked for.
    pub(super) closed: Vec<Pair>,
}

/// Brings ends within `gap` together, and those within `widest` that close a loop by it.
pub(super) fn bridge(
    loose: Vec<Loose>,
    gap: f64,
    widest: f64,
    sources: &Sources,
    watch: &Watch,
) -> Result<Bridged, Trouble> {
    // The nearest end is the same however far is looked.
    let (closed, wider): (Vec<Pair>, Vec<Pair>) =
        pairs(&loose, widest.max(gap), watch)?.into_iter().partition(|p| p.gap <= gap);
    let loose = if closed.is_empty() { loose } else { bring_together(&loose, &closed, gap) };
    let proposed = closing(&loose, wider, gap, sources, watch)?;
    let loose = if proposed.is_empty() { loose } else { bring_together(&loose, &proposed, gap) };
    Ok(Bridged { loose, proposed, closed })
}

/// Those of some pairs that close a loop when they are brought together.
fn closing(
    loose: &[Loose],
    mut found: Vec<Pair>,
    gap: f64,
    sources: &Sources,
    watch: &Watch,
) -> Result<Vec<Pair>, Trouble> {
    // A pair may close a loop only with another that does not: some rounds settle it.
    for _ in 0..4 {
        if found.is_empty() {
            break;
        }
        let trial = bring_together(loose, &found, gap);
        let (mut counts, mut quiet) = (ImportCounts::default(), Notes::new(watch));
        let joined = join::join(&trial, gap, sources, &mut counts, &mut quiet)?;
        let mut corners = Points::default();
        joined.loops.iter().flat_map(|l| &l.pieces).for_each(|p| {
            corners.find(p.from);
        });
        let before = found.len();
        // Where each pair came to lie: the ends of its pieces in the trial.
        found.retain(|pair| {
            let [(i, a), _] = pair.ends;
            corners.has(end_of(&trial[i].piece, a))
        });
        if found.len() == before {
            break;
        }
    }
    Ok(found)
}

/// An outline that does not close.
#[derive(Debug, Clone)]
pub(super) struct Failing {
    /// What it would be, closed.
    pub(super) outline: Vec<Piece>,
    /// Where it is open.
    pub(super) open: Vec<Pair>,
}

impl Failing {
    /// The gap that closes it, mm.
    pub(super) fn gap(&self) -> f64 {
        self.open.iter().fold(0.0, |gap: f64, pair| gap.max(pair.gap))
    }
}

/// Outlines among what was left open, as they would be with gaps up to `widest` closed.
pub(super) fn failing(
    open: &[Vec<Loose>],
    gap: f64,
    widest: f64,
    sources: &Sources,
    watch: &Watch,
) -> Result<Vec<Failing>, Trouble> {
    let loose: Vec<Loose> = open.iter().flatten().copied().collect();
    let pairs = closing(&loose, pairs(&loose, widest, watch)?, gap, sources, watch)?;
    let mut found = Vec::new();
    if !pairs.is_empty() {
        let trial = bring_together(&loose, &pairs, gap);
        let (mut counts, mut quiet) = (ImportCounts::default(), Notes::new(watch));
        let joined = join::join(&trial, gap, sources, &mut counts, &mut quiet)?;
        let mut of: HashMap<usize, usize> = HashMap::new();
        let mut corners = Points::default();
        for (at, l) in joined.loops.iter().enumerate() {
            for p in &l.pieces {
                of.entry(corners.find(p.from)).or_insert(at);
            }
        }
        let mut open: Vec<Vec<Pair>> = vec![Vec::new(); joined.loops.len()];
        for pair in &pairs {
            let [(i, a), _] = pair.ends;
            let corner = corners.find(end_of(&trial[i].piece, a));
            if let Some(at) = of.get(&corner) {
                open[*at].push(*pair);
            }
        }
        let outlines = joined.loops.into_iter().zip(open);
        found.extend(
            outlines.filter(|o| !o.1.is_empty()).map(|(l, open)| Failing { outline: l.pieces, open }),
        );
    }
    // A side may be missing altogether: one chain, much longer than what it lacks.
    let closed: BTreeSet<u32> =
        found.iter().flat_map(|f| &f.open).map(|p| loose[p.ends[0].0].source).collect();
    for chain in open.iter().filter(|c| c.len() > 1 && !c.iter().any(|l| closed.contains(&l.source))) {
        let (Some(first), Some(last)) = (chain.first(), chain.last()) else { continue };
        let (from, to) = (last.piece.to, first.piece.from);
        let length: f64 = chain.iter().map(|l| l.piece.length()).sum();
        let missing = from.distance(to);
        if missing > SAME && missing < 0.5 * length {
            let mut outline: Vec<Piece> = chain.iter().map(|l| l.piece).collect();
            outline.push(Piece::line(from, to));
            let pair = Pair { ends: [(0, 0); 2], gap: missing, at: (from + to) / 2.0, places: [from, to] };
            found.push(Failing { outline, open: vec![pair] });
        }
    }
    Ok(found)
}
