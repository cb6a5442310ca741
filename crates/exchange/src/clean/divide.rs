//! Parts cut along a common line: what runs across an outline from edge to edge is a bend or a mark, or it parts two parts.
//! The outline stays whole unless a person asks for the other reading.

use super::{Closed, Loose, SHORTEST, join::oriented};
use crate::Sources;
use crate::choice::{Choice, Instead};
use crate::dxf::Trouble;
use crate::pick::{Known, Picked, Role, Shape, is_named};
use crate::piece::{self, Piece};
use glam::DVec2;
use std::f64::consts::TAU;
use units::{Part, Worded};

/// How near a line has to come to an outline to reach it, mm.
const REACHES: f64 = 0.05;
/// Smallest piece worth a question, as a share of the whole: a mark over a corner cuts nothing off.
const LEAST_SHARE: f64 = 0.03;
/// The same of a circle, which takes a bite out of the edge however small.
const SLIVER: f64 = 1e-6;
/// Lines looked at in one drawing: more are a hatching or a picture.
const MOST_LINES: usize = 400;
/// Pieces one outline is cut into, at most.
const MOST_PIECES: usize = 200;

/// An outline cut up.
pub(super) struct Cut {
    /// The outline, among the closed lines.
    outer: usize,
    pieces: Vec<Closed>,
    /// Open lines that cut, by their place among the open ones and the branches behind them.
    chains: Vec<usize>,
    /// Circles that cut.
    circles: Vec<usize>,
    /// Where the first of them runs.
    at: DVec2,
    /// Whether all lines lie on layers for bends.
    bends: bool,
}

/// A stretch from edge to edge.
struct Chord {
    pieces: Vec<Piece>,
}

/// What cuts the first part, if anything does.
pub(super) fn cut(
    picked: &Picked,
    loops: &[Closed],
    chains: &[&[Loose]],
    sources: &Sources,
    known: &Known<'_>,
) -> Result<Option<Cut>, Trouble> {
    let Some(outer) = picked.parts.first().map(|(n, _)| n.outer).filter(|o| *o < loops.len()) else {
        return Ok(None);
    };
    let whole = Shape::of(&loops[outer].pieces);
    let near = |l: &Loose| {
        let (min, max) = l.piece.bounds();
        min.cmple(whole.bounds.max).all() && max.cmpge(whole.bounds.min).all()
    };
    let mut cut = Cut {
        outer,
        pieces: vec![loops[outer].clone()],
        chains: Vec::new(),
        circles: Vec::new(),
        at: DVec2::ZERO,
        bends: true,
    };
    for (i, chain) in chains.iter().enumerate().take(MOST_LINES) {
        if picked.threads.get(i) == Some(&true)
            || picked.centre_lines.get(i) == Some(&true)
            || !chain.iter().any(near)
        {
            continue;
        }
        let line: Vec<Piece> = chain.iter().map(|l| l.piece).collect();
        if let Some(at) =
            cut.along(&|piece: &Closed| chords(&line, piece), LEAST_SHARE * whole.area, known)?
        {
            if cut.chains.is_empty() {
                cut.at = at;
            }
            cut.chains.push(i);
            let layer = chain.first().and_then(|l| sources.layer(l.source));
            cut.bends &= layer.is_some_and(crate::words::is_bend);
        }
    }
    for (i, role) in picked.roles.iter().enumerate().take(loops.len()) {
        let Some((centre, radius)) = Shape::of(&loops[i].pieces).circle.filter(|_| *role == Role::Mark)
        else {
            continue;
        };
        let stretches = |piece: &Closed| arcs(centre, radius, piece);
        if !is_named(centre, radius, known.marks)
            && let Some(at) = cut.along(&stretches, SLIVER * whole.area, known)?
        {
            if cut.chains.is_empty() && cut.circles.is_empty() {
                cut.at = at;
            }
            cut.circles.push(i);
            cut.bends = false;
        }
    }
    Ok((cut.pieces.len() > 1).then_some(cut))
}

impl Cut {
    /// Cuts all pieces along what `chords` finds on them; where it first cuts.
    fn along(
        &mut self,
        chords: &dyn Fn(&Closed) -> Vec<Chord>,
        least: f64,
        known: &Known<'_>,
    ) -> Result<Option<DVec2>, Trouble> {
        let mut at = None;
        let mut i = 0;
        while i < self.pieces.len() && self.pieces.len() < MOST_PIECES {
            known.watch.spend(self.pieces[i].pieces.len())?;
            let found = chords(&self.pieces[i]).into_iter().find_map(|chord| {
                let middle = chord.pieces[chord.pieces.len() / 2].middle();
                Some((split(&self.pieces[i], &chord, least)?, middle))
            });
            match found {
                // The first half is looked at again, the second later.
                Some(([a, b], middle)) => {
                    at = at.or(Some(middle));
                    self.pieces[i] = a;
                    self.pieces.push(b);
                }
                None => i += 1,
            }
        }
        Ok(at)
    }

    /// Whether a circle cuts.
    pub(super) fn bites(&self, circle: usize) -> bool {
        self.circles.contains(&circle)
    }

    /// Whether an open line or branch cuts.
    pub(super) fn cuts(&self, chain: usize) -> bool {
        self.chains.contains(&chain)
    }

    /// The closed lines with the outline cut up; how many there are in front of those from `whole` on.
    pub(super) fn apply(self, loops: &[Closed], whole: usize) -> (Vec<Closed>, usize) {
        let stays = |i: &usize| *i != self.outer && !self.circles.contains(i);
        let mut out: Vec<Closed> = (0..whole).filter(stays).map(|i| loops[i].clone()).collect();
        out.extend(self.pieces);
        let count = out.len();
        out.extend_from_slice(&loops[whole..]);
        (out, count)
    }

    /// The question whether to cut.
    pub(super) fn offered(&self, loops: &[Closed], scale: f64) -> Choice {
        let size = |l: &Closed| Part::Size((Shape::of(&l.pieces).size() * scale).to_array());
        let area = |l: &Closed| piece::area(&l.pieces);
        let largest = self.pieces.iter().max_by(|a, b| area(a).total_cmp(&area(b)));
        let largest = largest.map_or_else(|| size(&loops[self.outer]), size);
        let whole = size(&loops[self.outer]);
        let says = if self.chains.is_empty() {
            let diameter = |i: usize| Part::Length(Shape::of(&loops[i].pieces).size().x * scale);
            let others = match self.circles.len() {
                1 => String::new(),
                many => format!(", and {} more,", many - 1),
            };
            Worded::new(
                &format!(
                    "the circle of {{}}{others} crosses the edge: read as a mark, the part stays whole, {{}}"
                ),
                [diameter(self.circles[0]), whole],
            )
        } else {
            let lines = if self.chains.len() == 1 {
                "1 line runs".to_owned()
            } else {
                format!("{} lines run", self.chains.len())
            };
            let what = if self.bends {
                "a bend, as the layer says"
            } else {
                "a bend, a centre line, or a cut that parts have in common"
            };
            let circles = match self.circles.len() {
                0 => String::new(),
                1 => ", and 1 circle crosses the edge".to_owned(),
                many => format!(", and {many} circles cross the edge"),
            };
            Worded::new(
                &format!(
                    "{lines} across the part from edge to edge ({what}){circles}: read as one part of {{}}"
                ),
                [whole],
            )
        };
        Choice {
            says,
            other: if self.chains.is_empty() {
                "cut out what lies within".into()
            } else {
                Worded::new(
                    &format!("cut it there into {} parts, the largest {{}}", self.pieces.len()),
                    [largest],
                )
            },
            instead: Instead::Divide(true),
            at: Some(self.at * scale),
            doubtful: !self.bends,
        }
    }

    /// What is said of a part that was cut.
    pub(super) fn done(&self, loops: &[Closed], scale: f64) -> Choice {
        let size = Part::Size((Shape::of(&loops[self.outer].pieces).size() * scale).to_array());
        let pieces = self.pieces.len();
        Choice {
            says: format!(
                "the part was cut into {pieces} pieces along what runs across it from edge to edge"
            )
            .into(),
            other: Worded::new("read it as one part of {}", [size]),
            instead: Instead::Divide(false),
            at: Some(self.at * scale),
            doubtful: false,
        }
    }
}

/// Stretches of a line within a closed line, from edge to edge; of several lines, only where they reach from edge to edge
/// as a whole.
fn chords(line: &[Piece], closed: &Closed) -> Vec<Chord> {
    if let [one] = line {
        let segment = one.segment();
        let mut met: Vec<(f64, DVec2)> =
            meets(one, closed).into_iter().map(|at| (segment.nearest_share(at), at)).collect();
        met.sort_by(|a, b| a.0.total_cmp(&b.0));
        let stretch = |pair: &[(f64, DVec2)]| {
            let (from, to) = (pair[0].1, pair[1].1);
            let whole = one.reversed().cut_to(from).reversed().cut_to(to);
            let bulge = if one.is_straight() { 0.0 } else { whole.bulge };
            Chord { pieces: vec![Piece { from, to, bulge }] }
        };
        return met.windows(2).map(stretch).filter(|c| lies_inside(c, closed)).collect();
    }
    let (Some(first), Some(last)) = (line.first(), line.last()) else { return Vec::new() };
    let (Some(from), Some(to)) = (on_edge(first.from, closed), on_edge(last.to, closed)) else {
        return Vec::new();
    };
    let mut pieces = line.to_vec();
    pieces[0].from = from;
    let end = pieces.len() - 1;
    pieces[end].to = to;
    let chord = Chord { pieces };
    let crosses = line[1..end].iter().any(|p| !meets(p, closed).is_empty());
    if crosses || !lies_inside(&chord, closed) { Vec::new() } else { vec![chord] }
}

/// Stretches of a circle within a closed line.
fn arcs(centre: DVec2, radius: f64, closed: &Closed) -> Vec<Chord> {
    let half = |a: f64| Piece {
        from: centre + radius * DVec2::from_angle(a),
        to: centre - radius * DVec2::from_angle(a),
        bulge: 1.0,
    };
    let mut met: Vec<(f64, DVec2)> = Vec::new();
    for at in [half(0.0), half(TAU / 2.0)].iter().flat_map(|p| meets(p, closed)) {
        if met.iter().all(|m| m.1.distance(at) > 2.0 * REACHES) {
            met.push(((at - centre).to_angle().rem_euclid(TAU), at));
        }
    }
    met.sort_by(|a, b| a.0.total_cmp(&b.0));
    let stretch = |i: usize| {
        let (a, b) = (met[i], met[(i + 1) % met.len()]);
        let sweep = (b.0 - a.0).rem_euclid(TAU);
        Chord { pieces: vec![Piece { from: a.1, to: b.1, bulge: (sweep / 4.0).tan() }] }
    };
    if met.len() < 2 {
        return Vec::new();
    }
    (0..met.len()).map(stretch).filter(|c| lies_inside(c, closed)).collect()
}

/// Where a line meets the edge of a closed one, or comes as near as a slip of the pen.
fn meets(line: &Piece, closed: &Closed) -> Vec<DVec2> {
    let (segment, (min, max)) = (line.segment(), line.bounds());
    let mut out: Vec<DVec2> = Vec::new();
    let ends = [line.from, line.to].into_iter().filter_map(|end| on_edge(end, closed));
    let crossed = closed.pieces.iter().filter(|p| {
        let (low, high) = p.bounds();
        low.cmple(max + REACHES).all() && high.cmpge(min - REACHES).all()
    });
    let crossed = crossed.flat_map(|p| {
        let met = segment.meets(&p.segment(), 1e-6);
        met.points().to_vec()
    });
    for at in crossed.chain(ends) {
        if out.iter().all(|o| o.distance(at) > 2.0 * REACHES) {
            out.push(at);
        }
    }
    out
}

/// The place of an edge that an end reaches.
fn on_edge(end: DVec2, closed: &Closed) -> Option<DVec2> {
    let near = closed.pieces.iter().map(|p| p.segment().nearest(end));
    let nearest = near.min_by(|a, b| a.distance(end).total_cmp(&b.distance(end)))?;
    (nearest.distance(end) <= REACHES).then_some(nearest)
}

/// Whether a stretch runs inside and not along the edge.
fn lies_inside(chord: &Chord, closed: &Closed) -> bool {
    let length: f64 = chord.pieces.iter().map(Piece::length).sum();
    let outline = closed.to_loop();
    let inside = |at: DVec2| {
        outline.contains(at) && outline.nearest_point(at).is_some_and(|(_, near, _)| near > REACHES)
    };
    length > 1.0 && chord.pieces.iter().all(|p| inside(p.middle()))
}

/// Both sides of a stretch, where neither is a sliver.
fn split(closed: &Closed, chord: &Chord, least: f64) -> Option<[Closed; 2]> {
    let (from, to) = (chord.pieces.first()?.from, chord.pieces.last()?.to);
    let (mut there, mut back) = (chord.pieces.clone(), chord.pieces.clone());
    piece::reverse(&mut back);
    // Counter-clockwise round the outline: the stretch closes what runs from its end to its beginning, its reverse the rest.
    there.extend(walk(closed, to, from)?);
    back.extend(walk(closed, from, to)?);
    let tidy = |mut pieces: Vec<Piece>| {
        pieces.retain(|p| p.length() > SHORTEST);
        // What was too short to keep leaves no gap.
        let count = pieces.len();
        for i in 0..count {
            pieces[i].to = pieces[(i + 1) % count].from;
        }
        oriented(pieces, closed.source)
    };
    let halves = [tidy(there), tidy(back)];
    let areas = [0, 1].map(|i: usize| piece::area(&halves[i].pieces));
    let whole = piece::area(&closed.pieces);
    let adds_up = (areas[0] + areas[1] - whole).abs() <= 1e-3 * whole;
    (adds_up && areas.iter().all(|a| *a >= least)).then_some(halves)
}

/// The edge from one of its places on to another.
fn walk(closed: &Closed, from: DVec2, to: DVec2) -> Option<Vec<Piece>> {
    let place = |at: DVec2| {
        let off = |i: &usize| closed.pieces[*i].distance(at);
        (0..closed.pieces.len()).min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    let (first, last) = (place(from)?, place(to)?);
    let share = |i: usize, at: DVec2| closed.pieces[i].segment().nearest_share(at);
    let before = |i: usize, at: DVec2| cut_between(&closed.pieces[i], closed.pieces[i].from, at);
    let after = |i: usize, at: DVec2| cut_between(&closed.pieces[i], at, closed.pieces[i].to);
    if first == last && share(first, from) <= share(last, to) {
        return Some(vec![cut_between(&closed.pieces[first], from, to)]);
    }
    let mut out = vec![after(first, from)];
    let count = closed.pieces.len();
    let mut i = (first + 1) % count;
    while i != last {
        out.push(closed.pieces[i]);
        i = (i + 1) % count;
    }
    out.push(before(last, to));
    Some(out)
}

/// A piece between two of its places.
fn cut_between(p: &Piece, from: DVec2, to: DVec2) -> Piece {
    if p.is_straight() || from.distance(to) <= SHORTEST {
        return Piece::line(from, to);
    }
    let mut out = *p;
    if to.distance(p.to) > SHORTEST {
        out = out.cut_to(to);
    }
    if from.distance(p.from) > SHORTEST {
        out = out.reversed().cut_to(from).reversed();
    }
    Piece { from, to, ..out }
}
