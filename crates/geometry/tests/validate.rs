//! Every problem of an outline, by its exact sentence.

mod common;

use common::{blob, plate, v};
use geometry::{Loop, Outline, OutlineProblem, validate};
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
            "the outer boundary has two corners at the same place (100.00, 100.00) mm: remove corner 4",
            "hole 6 has 2 corner(s) and closes round nothing: draw at least three corners, or two joined by an arc",
            "hole 7 encloses no area near (60.00, 10.00) mm: redraw it or remove it",
            "corner 2 of hole 8 is not at a finite place: enter its coordinates again or remove it",
            "hole 2 meets the outer boundary at (100.00, 40.00) mm: move it inside, or draw it as a notch of the outer boundary",
            "hole 2 meets the outer boundary at (100.00, 50.00) mm: move it inside, or draw it as a notch of the outer boundary",
            "holes 3 and 4 meet at (30.00, 20.00) mm: part them or join them into one",
            "holes 3 and 4 meet at (25.00, 30.00) mm: part them or join them into one",
            "hole 7 runs back over itself at (60.00, 10.00) mm: remove the doubled piece",
            "hole 7 runs back over itself at (65.00, 15.00) mm: remove the doubled piece",
            "hole 7 runs back over itself at (70.00, 20.00) mm: remove the doubled piece",
            "hole 1 at (200.00, 10.00) mm lies outside the outer boundary: move it inside or remove it",
            "hole 5 at (12.00, 12.00) mm lies inside hole 3: remove one of them",
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
        ["the outer boundary touches itself at (5.00, 0.00) mm: move a corner so that the two pieces part"]
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
