//! Lines and arcs drawn twice, or partly on top of one another.

use super::{Loose, SAME, SHORTEST, at_place};
use crate::Sources;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::piece::Piece;
use glam::DVec2;

/// Lines this close (mm) all along lie on one another.
const ON_TOP: f64 = 2e-3;

/// Drops identical pieces (either direction) and cuts partly overlapping lines so that every stretch is drawn once.
pub(super) fn drop_doubles(loose: Vec<Loose>, sources: &Sources, notes: &mut Notes) -> Vec<Loose> {
    let loose = identical(loose, sources, notes);
    collinear(loose, sources, notes)
}

/// Ends in a fixed order, so that a piece and its reverse look alike.
fn ordered(p: &Piece) -> Piece {
    let flipped = (p.to.x, p.to.y) < (p.from.x, p.from.y);
    if flipped { p.reversed() } else { *p }
}

fn identical(loose: Vec<Loose>, sources: &Sources, notes: &mut Notes) -> Vec<Loose> {
    // Sorted by the smaller of the two x, doubles stand within a narrow window.
    let cell = |v: f64| (v / ON_TOP).round() + 0.0;
    let mut order: Vec<([f64; 4], Piece, usize)> = loose
        .iter()
        .enumerate()
        .map(|(i, l)| {
            let p = ordered(&l.piece);
            ([p.from.x, p.from.y, p.to.x, p.to.y].map(cell), p, i)
        })
        .collect();
    order.sort_unstable_by(|(cells, a, i), (others, b, j)| {
        cells
            .partial_cmp(others)
            .unwrap_or(std::cmp::Ordering::Equal)
            .then(a.bulge.total_cmp(&b.bulge))
            .then(i.cmp(j))
    });
    let same = |a: &Piece, b: &Piece| {
        a.from.distance(b.from) <= ON_TOP
            && a.to.distance(b.to) <= ON_TOP
            && a.middle().distance(b.middle()) <= ON_TOP
    };
    let mut drop = vec![false; loose.len()];
    for at in 1..order.len() {
        let (_, now, i) = order[at];
        // A few neighbours are enough: exact doubles are adjacent, near ones almost so.
        for (_, before, j) in order[at.saturating_sub(4)..at].iter().rev() {
            let both_ways = same(before, &now) || same(&before.reversed(), &now);
            if both_ways && !drop[*j] {
                drop[i] = true;
                let source = loose[i].source;
                notes.add(
                    DiagnosticSeverity::Mended,
                    format!("{} drawn twice, one kept", sources.kind(source)),
                    || at_place(sources.place(source), now.from),
                );
                break;
            }
        }
    }
    loose.into_iter().zip(drop).filter(|(_, drop)| !drop).map(|(l, _)| l).collect()
}

/// A line as direction (0..π), the straight it lies on and the stretch it covers along that direction.
struct Along {
    angle: f64,
    /// Angle and distance in steps: lines with equal ones lie on one straight. Rounded once, not at every comparison.
    straight: (f64, f64),
    start: f64,
    end: f64,
    index: usize,
}

fn collinear(loose: Vec<Loose>, sources: &Sources, notes: &mut Notes) -> Vec<Loose> {
    let centre = centre_of(&loose);
    // Adding zero turns -0.0 into 0.0, which sort apart.
    let step = |v: f64, size: f64| (v / size).round() + 0.0;
    let mut lines: Vec<Along> = loose
        .iter()
        .enumerate()
        .filter(|(_, l)| l.piece.is_straight())
        .map(|(index, l)| {
            let mut d = l.piece.chord().normalize_or_zero();
            // A direction a hair below the x axis is as good as along it.
            if d.y < -1e-9 || (d.y.abs() <= 1e-9 && d.x < 0.0) {
                d = -d;
            }
            let (a, b) = (l.piece.from - centre, l.piece.to - centre);
            let (s, e) = (a.dot(d), b.dot(d));
            let angle = d.to_angle();
            let straight = (step(angle, 1e-5), step(d.perp_dot(a), ON_TOP));
            Along { angle, straight, start: s.min(e), end: s.max(e), index }
        })
        .collect();
    lines.sort_by(|a, b| {
        (a.straight.0.total_cmp(&b.straight.0))
            .then(a.straight.1.total_cmp(&b.straight.1))
            .then(a.start.total_cmp(&b.start))
            .then(a.index.cmp(&b.index))
    });
    let mut keep = vec![true; loose.len()];
    let mut added = Vec::new();
    let mut at = 0;
    while at < lines.len() {
        // A run of lines on one straight, each starting before the reach of those before it.
        let first = &lines[at];
        let on = |l: &Along| l.straight == first.straight;
        let mut reach = first.end;
        let mut until = at + 1;
        while until < lines.len() && on(&lines[until]) && lines[until].start < reach - SHORTEST {
            reach = reach.max(lines[until].end);
            until += 1;
        }
        if until - at > 1 {
            cut_up(&lines[at..until], &loose, &mut keep, &mut added);
            let source = loose[first.index].source;
            let what = "overlapping lines cut so that each stretch is drawn once".to_owned();
            notes.add_many(DiagnosticSeverity::Mended, what, until - at, || {
                at_place(sources.place(source), loose[first.index].piece.from)
            });
        }
        at = until;
    }
    let mut out: Vec<Loose> = loose.into_iter().zip(keep).filter(|(_, keep)| *keep).map(|(l, _)| l).collect();
    out.extend(added);
    out
}

fn centre_of(loose: &[Loose]) -> DVec2 {
    let sum: DVec2 = loose.iter().map(|l| l.piece.from).sum();
    if loose.is_empty() { DVec2::ZERO } else { sum / loose.len() as f64 }
}

/// Replaces overlapping lines by the stretches between all their ends.
fn cut_up(run: &[Along], loose: &[Loose], keep: &mut [bool], added: &mut Vec<Loose>) {
    let mut ends: Vec<(f64, DVec2, u32)> = Vec::with_capacity(2 * run.len());
    for line in run {
        keep[line.index] = false;
        let Loose { piece, source } = loose[line.index];
        let direction = DVec2::from_angle(line.angle);
        let forward = piece.chord().dot(direction) > 0.0;
        let (low, high) = if forward { (piece.from, piece.to) } else { (piece.to, piece.from) };
        ends.push((line.start, low, source));
        ends.push((line.end, high, source));
    }
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Ends nearly at one place become one; a gap of at least SAME keeps later joining exact.
    ends.dedup_by(|b, a| b.0 - a.0 <= SHORTEST.max(SAME));
    for pair in ends.windows(2) {
        added.push(Loose { piece: Piece::line(pair[0].1, pair[1].1), source: pair[0].2 });
    }
}
