//! Whether boundaries of one part cross, touch or run back: one join of a tree with itself, so that drawings of any size
//! are searched. What is wrong where is then said by the geometry's own validation.

use geometry::{Outline, Segment};
use glam::DVec2;
use rstar::{AABB, RTree, RTreeObject};

/// Corners closer than this (mm) are one place, as for the geometry.
const SAME: f64 = 1e-6;

/// Pairs of boxes that meet, for each piece on average, above which pieces count as tangled. Neighbours along a
/// boundary make two or three; a scribble of 5000 lines makes two thousand, and as many crossings as that are neither
/// listed nor needed.
const TANGLED: usize = 200;

/// Pairs looked at in one drawing, at most: some seconds' work.
pub(super) const MOST_PAIRS: usize = 20_000_000;

/// What the search came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Crossings {
    None,
    /// Something is wrong, there as well.
    At(DVec2),
    /// Pieces lie across one another in so many places that going through them would take long and much memory.
    Tangled,
}

struct Stored {
    segment: Segment,
    of: u32,
    index: u32,
    size: u32,
    from: DVec2,
    to: DVec2,
    bounds: AABB<[f64; 2]>,
}

impl RTreeObject for Stored {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        self.bounds
    }
}

/// Searches one part; `left` is how many pairs may still be looked at in this drawing.
pub(super) fn search(outline: &Outline, left: &mut usize) -> Crossings {
    let mut stored = Vec::new();
    for (of, boundary) in outline.loops().enumerate() {
        let corners = &boundary.vertices;
        let size = corners.len();
        let (area, around) = (boundary.signed_area().abs(), boundary.perimeter());
        if area <= 1e-12 * around * around {
            return Crossings::At(corners.first().map_or(DVec2::ZERO, |v| v.at));
        }
        for (index, v) in corners.iter().enumerate() {
            let to = corners[(index + 1) % size].at;
            let segment = Segment::between(v.at, to, v.bulge).filter(|_| v.at.distance(to) > SAME);
            let Some(segment) = segment else { return Crossings::At(v.at) };
            let b = segment.bounds();
            let bounds = AABB::from_corners((b.min - SAME).into(), (b.max + SAME).into());
            stored.push(Stored {
                segment,
                of: of as u32,
                index: index as u32,
                size: size as u32,
                from: v.at,
                to,
                bounds,
            });
        }
    }
    let before = *left;
    let own = before.min(TANGLED.saturating_mul(stored.len()));
    *left = own;
    let mut found = Crossings::None;
    let tree = RTree::bulk_load(stored);
    // Goes on after the first place, as only the number of pairs tells a tangle.
    for (a, b) in tree.intersection_candidates_with_other_tree(&tree) {
        if (a.of, a.index) >= (b.of, b.index) {
            continue;
        }
        *left = left.saturating_sub(1);
        if *left == 0 {
            *left = before - own;
            return Crossings::Tangled;
        }
        if found == Crossings::None
            && let Some(at) = wrong(a, b)
        {
            found = Crossings::At(at);
        }
    }
    *left += before - own;
    found
}

/// Where two pieces meet other than neighbours at their corner.
fn wrong(a: &Stored, b: &Stored) -> Option<DVec2> {
    let meets = a.segment.meets(&b.segment, SAME / 10.0);
    let runs_back = meets.overlapping && a.segment.length() > SAME;
    let fine = |at: &DVec2| !runs_back && (follows(a, b, *at) || follows(b, a, *at));
    meets.points().iter().copied().find(|at| !fine(at))
}

/// Whether a point is the corner that two neighbours along a boundary have in common.
fn follows(a: &Stored, b: &Stored, at: DVec2) -> bool {
    a.of == b.of
        && (a.index + 1) % a.size == b.index
        && a.to.distance(at) <= SAME
        && b.from.distance(at) <= SAME
}

#[cfg(test)]
mod tests {
    use super::*;
    use geometry::{Loop, Vertex, validate};

    fn agree(outline: &Outline) {
        let sound = validate(outline).is_empty();
        let found = search(outline, &mut MOST_PAIRS.clone());
        assert_eq!(found == Crossings::None, sound, "{found:?}: {outline:?}");
    }

    #[test]
    fn agrees_with_the_validation_on_whether_anything_is_wrong() {
        let polygon = |points: &[(f64, f64)]| Loop::polygon(points.iter().map(|(x, y)| DVec2::new(*x, *y)));
        let plate = Loop::rectangle(DVec2::ZERO, DVec2::new(100.0, 80.0));
        let disc = |x: f64, r: f64| Loop::circle(DVec2::new(x, 40.0), r);
        let with = |holes: Vec<Loop>| Outline { outer: plate.clone(), holes };
        agree(&with(vec![]));
        agree(&with(vec![disc(30.0, 10.0), disc(70.0, 10.0)]));
        agree(&with(vec![disc(30.0, 20.0), disc(70.0, 20.0)]));
        agree(&with(vec![disc(40.0, 20.0), disc(70.0, 20.0)]));
        agree(&with(vec![disc(90.0, 10.0)]));
        agree(&Outline::solid(polygon(&[(0.0, 0.0), (100.0, 80.0), (100.0, 0.0), (0.0, 60.0)])));
        agree(&Outline::solid(polygon(&[(0.0, 0.0), (50.0, 0.0), (30.0, 0.0), (30.0, 40.0)])));
        agree(&Outline::solid(polygon(&[(0.0, 0.0), (50.0, 0.0), (50.0, 0.0), (30.0, 40.0)])));
        agree(&Outline::solid(polygon(&[(0.0, 0.0), (50.0, 0.0), (25.0, 0.0), (30.0, 40.0), (0.0, 40.0)])));
        agree(&Outline::solid(Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(60.0, 40.0), 20.0)));
        // Two half discs whose arcs bulge into each other.
        let lens = |bulge: f64| Loop {
            vertices: vec![
                Vertex { at: DVec2::ZERO, bulge },
                Vertex { at: DVec2::new(40.0, 0.0), bulge: 0.3 },
            ],
        };
        agree(&Outline::solid(lens(0.5)));
        agree(&Outline::solid(lens(-0.3)));
    }

    #[test]
    fn a_scribble_is_tangled() {
        let points = (0..600).map(|i| {
            if i % 2 == 0 {
                DVec2::new(f64::from(i), 0.0)
            } else {
                DVec2::new(599.0 - f64::from(i), 100.0 + f64::from(i))
            }
        });
        assert_ne!(search(&Outline::solid(Loop::polygon(points)), &mut MOST_PAIRS.clone()), Crossings::None);
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]

        /// Any few corners with any bulges, and two discs anywhere.
        #[test]
        fn agrees_on_any_outline(
            corners in proptest::collection::vec((-50f64..50.0, -50f64..50.0, -0.8f64..0.8), 3..7),
            discs in proptest::collection::vec((-40f64..40.0, -40f64..40.0, 1f64..15.0), 0..3),
        ) {
            let vertices = corners.iter().map(|(x, y, bulge)| Vertex { at: DVec2::new(*x, *y), bulge: *bulge }).collect();
            let holes = discs.iter().map(|(x, y, r)| Loop::circle(DVec2::new(*x, *y), *r)).collect();
            let outline = Outline { outer: Loop { vertices }, holes };
            // Holes that lie where no part is are nobody's fault here: the nesting never makes them.
            let misplaced = |p: &geometry::OutlineProblem| {
                matches!(p, geometry::OutlineProblem::HoleOutside { .. } | geometry::OutlineProblem::HoleInHole { .. })
            };
            let sound = validate(&outline).iter().all(misplaced);
            proptest::prop_assert_eq!(search(&outline, &mut MOST_PAIRS.clone()) == Crossings::None, sound);
        }
    }
}
