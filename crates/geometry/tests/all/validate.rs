//! Every problem of an outline, by its exact sentence.

use crate::common;

use common::{blob, plate, v};
use geometry::{Loop, Outline, OutlineProblem, validate};
use glam::DVec2;
use proptest::prelude::*;

fn sentences(outline: &Outline) -> Vec<String> {
    validate(outline).iter().map(ToString::to_string).collect()
}

fn square(x: f64, y: f64, side: f64) -> Loop {
    Loop::rectangle(v(x, y), v(x + side, y + side))
}

#[test]
fn sound_outlines_have_none() {
    assert_eq!(sentences(&plate().0), Vec::<String>::new());
    let ring = Outline::ring(v(5.0, 5.0), 50.0, 20.0);
    assert_eq!(sentences(&ring), Vec::<String>::new());
    let backwards = Outline { outer: ring.outer.reversed(), holes: ring.holes };
    assert_eq!(sentences(&backwards), Vec::<String>::new());
}

#[test]
fn all_are_told_at_once() {
    let outline = Outline {
        outer: Loop::polygon([v(0.0, 0.0), v(100.0, 0.0), v(100.0, 100.0), v(100.0, 100.0), v(0.0, 100.0)]),
        holes: vec![
            square(200.0, 10.0, 5.0),
            square(95.0, 40.0, 10.0),
            square(10.0, 10.0, 20.0),
            square(25.0, 20.0, 20.0),
            square(12.0, 12.0, 2.0),
            Loop::polygon([v(60.0, 60.0), v(70.0, 70.0)]),
            Loop::polygon([v(60.0, 10.0), v(65.0, 15.0), v(70.0, 20.0)]),
            Loop::polygon([v(60.0, 80.0), v(f64::NAN, 85.0), v(60.0, 90.0)]),
        ],
    };
    assert_eq!(
        sentences(&outline),
        [
            "the outer boundary has two corners at the same place (100, 100) mm: remove corner 4",
            "hole 6 has 2 corner(s) and encloses nothing: draw at least three corners, or two joined by an arc",
            "hole 7 encloses no area near (60, 10) mm: redraw it or remove it",
            "corner 2 of hole 8 is not at a finite place: enter its coordinates again or remove it",
            "hole 2 meets the outer boundary at (100, 40) mm: move it inside, or draw it as a notch of the outer boundary",
            "hole 2 meets the outer boundary at (100, 50) mm: move it inside, or draw it as a notch of the outer boundary",
            "holes 3 and 4 meet at (30, 20) mm: part them or join them into one",
            "holes 3 and 4 meet at (25, 30) mm: part them or join them into one",
            "hole 7 runs back over itself at (60, 10) mm: remove the doubled piece",
            "hole 7 runs back over itself at (65, 15) mm: remove the doubled piece",
            "hole 7 runs back over itself at (70, 20) mm: remove the doubled piece",
            "hole 1 at (200, 10) mm lies outside the outer boundary: move it inside or remove it",
            "hole 5 at (12, 12) mm lies inside hole 3: remove one of them",
        ]
    );
}

#[test]
fn an_empty_outline_says_so() {
    assert_eq!(
        sentences(&Outline::default()),
        ["the outline is empty: import a drawing or sketch an outer boundary"]
    );
}

#[test]
fn touching_is_told_from_crossing() {
    let touching = Loop::polygon([v(0.0, 0.0), v(10.0, 0.0), v(10.0, 10.0), v(5.0, 0.0), v(0.0, 10.0)]);
    assert_eq!(
        sentences(&Outline::solid(touching)),
        ["the outer boundary touches itself at (5, 0) mm: move a corner so that the two pieces part"]
    );
    let spike =
        Loop::polygon([v(0.0, 0.0), v(10.0, 0.0), v(15.0, 0.0), v(10.0, 0.0), v(10.0, 10.0), v(0.0, 10.0)]);
    let told = validate(&Outline::solid(spike));
    assert!(told.iter().any(|p| matches!(p, OutlineProblem::RunsBack { .. })), "{told:?}");
}

#[test]
fn arcs_that_cross_are_found() {
    // The bulge of the left side reaches past the right side.
    let mut boundary = square(0.0, 0.0, 10.0);
    boundary.vertices[3].bulge = -2.2;
    let told = validate(&Outline::solid(boundary));
    assert!(
        told.iter().filter(|p| matches!(p, OutlineProblem::SelfCrossing { .. })).count() >= 2,
        "{told:?}"
    );
}

#[test]
fn long_lists_are_cut_short() {
    let zigzag = (0..60).map(|i| v(f64::from(i), if i % 2 == 0 { 0.0 } else { 10.0 }));
    let outline = Outline::solid(Loop::polygon(zigzag.chain([
        v(60.0, -20.0),
        v(-1.0, -20.0),
        v(-1.0, 5.0),
        v(59.5, 5.0),
    ])));
    let told = sentences(&outline);
    assert_eq!(told.len(), 21, "{told:?}");
    assert!(told[20].starts_with("and ") && told[20].contains("more place(s)"), "{}", told[20]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn stars_are_sound_wherever_they_are(boundary in blob(), turn in -3.0..3.0, x in -1e4..1e4, y in -1e4..1e4) {
        let outline = Outline { outer: boundary, holes: vec![Loop::circle(v(0.0, 0.0), 8.0)] };
        prop_assert_eq!(sentences(&outline.transformed(turn, false, v(x, y))), Vec::<String>::new());
    }
}

/// A star polygon: every line crosses nearly every other.
fn scribble(corners: usize) -> Outline {
    let step = std::f64::consts::TAU * ((corners / 2) as f64 / corners as f64);
    Outline::solid(Loop::polygon((0..corners).map(|i| 500.0 * DVec2::from_angle(step * i as f64))))
}

#[test]
fn a_scribble_is_refused_after_a_bounded_search() {
    for corners in [401, 20_001] {
        let problems = validate(&scribble(corners));
        assert!(problems.len() <= 22, "{} problems", problems.len());
        let last = problems.last().map(ToString::to_string).unwrap_or_default();
        assert!(last.starts_with("and at least 980 more places where boundaries cross or touch"), "{last}");
    }
}

#[test]
fn holes_in_a_row_and_rings_in_rings_are_told_apart() {
    let row = |count: usize| Outline {
        outer: Loop::rectangle(v(-10.0, -10.0), v(count as f64 * 10.0, 10.0)),
        holes: (0..count).map(|i| Loop::circle(v(i as f64 * 10.0, 0.0), 3.0)).collect(),
    };
    assert_eq!(validate(&row(2_000)), []);
    let rings = Outline {
        outer: Loop::circle(v(0.0, 0.0), 1_000.0),
        holes: (0..400).map(|i| Loop::circle(v(0.0, 0.0), 100.0 + f64::from(i))).collect(),
    };
    let problems = validate(&rings);
    assert_eq!(problems.len(), 399);
    assert!(matches!(problems[7], OutlineProblem::HoleInHole { inner: 7, outer: 8, .. }), "{}", problems[7]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// What the looks to the right say is what a point in each boundary says.
    #[test]
    fn holes_lie_where_a_point_of_them_lies(
        discs in prop::collection::vec((-120.0..120.0f64, -120.0..120.0f64, 1.0..40.0f64, any::<bool>()), 1..8),
    ) {
        let loops = discs.iter().map(|(x, y, r, back)| {
            let l = Loop::circle(v(*x, *y), *r);
            if *back { l.reversed() } else { l }
        });
        let outline = Outline { outer: Loop::rectangle(v(-100.0, -90.0), v(95.0, 105.0)), holes: loops.collect() };
        let problems = validate(&outline);
        prop_assume!(!problems.iter().any(|p| matches!(p, OutlineProblem::More { .. })));
        let met = |a: usize, b: usize| problems.iter().any(|p| match p {
            OutlineProblem::HolesMeet { first, second, .. } => (*first, *second) == (a.min(b), a.max(b)),
            _ => false,
        });
        let on_edge = |hole: usize| {
            problems.iter().any(|p| matches!(p, OutlineProblem::HoleMeetsEdge { hole: h, .. } if *h == hole))
        };
        for (i, hole) in outline.holes.iter().enumerate() {
            let at = hole.vertices[0].at;
            let outside = problems.iter().any(|p| matches!(p, OutlineProblem::HoleOutside { hole, .. } if *hole == i));
            prop_assert_eq!(outside, !on_edge(i) && !outline.outer.contains(at), "hole {} of {:?}", i, problems);
            let around = outline.holes.iter().enumerate().filter(|(j, other)| *j != i && other.contains(at));
            let innermost = around.min_by(|a, b| a.1.signed_area().abs().total_cmp(&b.1.signed_area().abs())).map(|n| n.0);
            let told = problems.iter().find_map(|p| match p {
                OutlineProblem::HoleInHole { inner, outer, .. } if *inner == i => Some(*outer),
                _ => None,
            });
            prop_assert_eq!(told, innermost.filter(|o| !met(i, *o)), "hole {} of {:?}", i, problems);
        }
    }
}
