//! Boundaries as straight pieces: arcs into chords, mirror lines found, and the half or quarter that is meshed.

use geometry::Outline;
use glam::DVec2;

/// Chords stay within this share of the part's longest extent of their arc.
pub(super) const CHORD: f64 = 0.0005;
/// A hole is never less than this many corners round: a triangle would notch it.
const ROUND: f64 = 0.05;
/// Two places count as one within this share of the part's longest extent.
pub(super) const SAME: f64 = 1e-9;

/// A closed boundary of straight pieces.
pub(super) type Ring = Vec<DVec2>;

/// The outline's boundaries as rings, the outer one first. Holes smaller than `least` mm across are left out; their count comes
/// second.
pub(super) fn rings(outline: &Outline, size: f64, least: f64) -> (Vec<Ring>, usize) {
    let mut left_out = 0;
    let mut rings = Vec::with_capacity(1 + outline.holes.len());
    for (index, boundary) in outline.loops().enumerate() {
        let across = boundary.bounds().map_or(0.0, |b| b.size().max_element());
        if index > 0 && across < least {
            left_out += 1;
            continue;
        }
        let mut ring = boundary.flatten((CHORD * size).min(ROUND * across / 2.0));
        let same = SAME * size;
        ring.dedup_by(|a, b| a.distance(*b) <= same);
        while ring.len() > 1 && ring[0].distance(ring[ring.len() - 1]) <= same {
            ring.pop();
        }
        if ring.len() >= 3 {
            rings.push(ring);
        }
    }
    (rings, left_out)
}

/// Where rings and points lie mirrored about the upright (x) or level (y) line through the middle of the part: its place.
pub(super) fn mirror_line(rings: &[Ring], points: &[DVec2], axis: usize, size: f64) -> Option<f64> {
    let all = || rings.iter().flatten().chain(points);
    let (low, high) = rings
        .first()?
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p[axis]), h.max(p[axis])));
    let middle = 0.5 * (low + high);
    let slack = SAME * size;
    // Sorted by the coordinate that stays, so that a partner is found by bisection.
    let along = 1 - axis;
    let mut sorted: Vec<DVec2> = all().copied().collect();
    sorted.sort_by(|a, b| a[along].total_cmp(&b[along]));
    let mirrored = |p: &DVec2| {
        let mut q = *p;
        q[axis] = 2.0 * middle - q[axis];
        let first = sorted.partition_point(|s| s[along] < q[along] - slack);
        sorted[first..]
            .iter()
            .take_while(|s| s[along] <= q[along] + slack)
            .any(|s| s.distance(q) <= 2.0 * slack)
    };
    // Corners alone do not tell a part from one with other pieces between them, so middles of pieces must fall on a piece too.
    let corners = all().all(mirrored);
    corners.then_some(middle).filter(|_| pieces_mirrored(rings, axis, middle, slack))
}

/// Whether the middle of every piece has its mirror image as the middle of a piece.
fn pieces_mirrored(rings: &[Ring], axis: usize, middle: f64, slack: f64) -> bool {
    let along = 1 - axis;
    let mut middles: Vec<DVec2> = pieces(rings).map(|[a, b]| 0.5 * (a + b)).collect();
    middles.sort_by(|a, b| a[along].total_cmp(&b[along]));
    middles.iter().all(|p| {
        let mut q = *p;
        q[axis] = 2.0 * middle - q[axis];
        let first = middles.partition_point(|s| s[along] < q[along] - slack);
        middles[first..]
            .iter()
            .take_while(|s| s[along] <= q[along] + slack)
            .any(|s| s.distance(q) <= 2.0 * slack)
    })
}

/// The straight pieces of rings.
pub(super) fn pieces(rings: &[Ring]) -> impl Iterator<Item = [DVec2; 2]> + '_ {
    rings.iter().flat_map(|ring| ring.iter().enumerate().map(move |(i, a)| [*a, ring[(i + 1) % ring.len()]]))
}

/// The part of the material at or above `place` along an axis, as rings; material that meets the line is closed along it.
pub(super) fn above(rings: &[Ring], axis: usize, place: f64, size: f64) -> Vec<Ring> {
    let slack = SAME * size;
    let snap = |mut p: DVec2| {
        if (p[axis] - place).abs() <= slack {
            p[axis] = place;
        }
        p
    };
    let mut kept: Vec<[DVec2; 2]> = Vec::new();
    for [a, b] in pieces(rings) {
        let (a, b) = (snap(a), snap(b));
        let (da, db) = (a[axis] - place, b[axis] - place);
        if (da > 0.0 && db >= 0.0) || (da >= 0.0 && db > 0.0) {
            kept.push([a, b]);
        } else if da * db < 0.0 {
            let mut cut = a + (b - a) * (da / (da - db));
            cut[axis] = place;
            kept.push(if da > 0.0 { [a, cut] } else { [cut, b] });
        }
    }
    let along = 1 - axis;
    let mut on_line: Vec<DVec2> = kept.iter().flatten().filter(|p| p[axis] == place).copied().collect();
    on_line.sort_by(|a, b| a[along].total_cmp(&b[along]));
    for pair in on_line.chunks_exact(2) {
        if pair[1][along] - pair[0][along] > slack {
            kept.push([pair[0], pair[1]]);
        }
    }
    joined(&kept, slack)
}

/// Rings from loose pieces that share ends.
fn joined(pieces: &[[DVec2; 2]], slack: f64) -> Vec<Ring> {
    // Ends sorted by x; few share an x, and rings are walked once.
    let mut ends: Vec<(DVec2, usize, usize)> =
        pieces.iter().enumerate().flat_map(|(i, p)| [(p[0], i, 0), (p[1], i, 1)]).collect();
    ends.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let mut used = vec![false; pieces.len()];
    let mut rings = Vec::new();
    for start in 0..pieces.len() {
        if used[start] {
            continue;
        }
        used[start] = true;
        let mut ring = vec![pieces[start][0]];
        let mut at = pieces[start][1];
        while at.distance(pieces[start][0]) > slack {
            ring.push(at);
            let first = ends.partition_point(|e| e.0.x < at.x - slack);
            let next = ends[first..]
                .iter()
                .take_while(|e| e.0.x <= at.x + slack)
                .find(|e| !used[e.1] && e.0.distance(at) <= slack);
            let Some(&(_, piece, end)) = next else { break };
            used[piece] = true;
            at = pieces[piece][1 - end];
        }
        if ring.len() >= 3 {
            rings.push(ring);
        }
    }
    rings
}

#[cfg(test)]
mod tests {
    use super::*;
    use geometry::Loop;

    fn area(rings: &[Ring]) -> f64 {
        pieces(rings).map(|[a, b]| 0.5 * a.perp_dot(b)).sum()
    }

    #[test]
    fn a_plate_with_a_hole_in_its_middle_is_cut_to_its_quarter() {
        let plate = Outline {
            outer: Loop::rectangle(DVec2::ZERO, DVec2::new(100.0, 60.0)),
            holes: vec![Loop::circle(DVec2::new(50.0, 30.0), 10.0)],
        };
        let (all, left_out) = rings(&plate, 100.0, 0.0);
        assert_eq!((all.len(), left_out), (2, 0));
        let x = mirror_line(&all, &[], 0, 100.0).unwrap();
        let y = mirror_line(&all, &[], 1, 100.0).unwrap();
        assert_eq!((x, y), (50.0, 30.0));
        let quarter = above(&above(&all, 0, x, 100.0), 1, y, 100.0);
        assert_eq!(quarter.len(), 1, "{quarter:?}");
        let hole: f64 = pieces(&all[1..]).map(|[a, b]| 0.5 * a.perp_dot(b)).sum();
        assert!((area(&quarter).abs() - (6000.0 - hole.abs()) / 4.0).abs() < 1e-9);
    }

    #[test]
    fn a_mark_off_the_middle_ends_the_mirror() {
        let plate = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(100.0, 60.0)));
        let (all, _) = rings(&plate, 100.0, 0.0);
        assert!(mirror_line(&all, &[DVec2::new(50.0, 10.0)], 0, 100.0).is_some());
        assert!(mirror_line(&all, &[DVec2::new(51.0, 10.0)], 0, 100.0).is_none());
    }
}
