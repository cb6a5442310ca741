//! Shapes by dimensions and changes by dragging.

use crate::common;

use std::f64::consts::PI;

use common::v;
use geometry::{Loop, Segment, Vertex};

#[test]
fn shapes_have_their_textbook_area() {
    let near = |boundary: Loop, area: f64| {
        let found = boundary.signed_area();
        assert!((found - area).abs() < 1e-9 * area, "{found} for {area}");
        assert!(boundary.reversed().signed_area() < 0.0);
    };
    near(Loop::rectangle(v(4.0, 5.0), v(1.0, 1.0)), 12.0);
    near(Loop::circle(v(3.0, 3.0), 2.0), 4.0 * PI);
    near(Loop::rounded_rectangle(v(0.0, 0.0), v(10.0, 8.0), 2.0), 80.0 - (4.0 - PI) * 4.0);
    near(Loop::rounded_rectangle(v(0.0, 0.0), v(10.0, 8.0), 9.0), 16.0 + 16.0 * PI);
    near(Loop::rounded_rectangle(v(0.0, 0.0), v(8.0, 8.0), 4.0), 16.0 * PI);
    near(Loop::slot(v(1.0, 2.0), 10.0, 4.0, 0.7), 24.0 + 4.0 * PI);
    near(Loop::regular(v(0.0, 0.0), 1.0, 6, 0.1), 1.5 * 3f64.sqrt());
    near(Loop::angle_piece(v(0.0, 0.0), v(10.0, 8.0), v(4.0, 3.0)), 68.0);
    near(Loop::angle_piece(v(0.0, 0.0), v(10.0, 8.0), v(0.0, 3.0)), 80.0);
}

#[test]
fn a_bulge_is_an_arc() {
    let quarter = Segment::between(v(1.0, 0.0), v(0.0, 1.0), (PI / 8.0).tan()).unwrap();
    let Segment::Arc { centre, radius, sweep, .. } = quarter else { panic!("{quarter:?}") };
    assert!(centre.length() < 1e-15 && (radius - 1.0).abs() < 1e-15 && (sweep - PI / 2.0).abs() < 1e-15);
    assert!((quarter.length() - PI / 2.0).abs() < 1e-15);
    assert!(quarter.point_at(0.5).distance(v(0.5f64.sqrt(), 0.5f64.sqrt())) < 1e-15);
    assert_eq!(Segment::between(v(1.0, 0.0), v(1.0, 0.0), 1.0), None);
    assert_eq!(Segment::between(v(1.0, f64::NAN), v(1.0, 0.0), 0.0), None);
    assert!(quarter.reversed().start().distance(v(0.0, 1.0)) < 1e-15);
}

#[test]
fn flattening_keeps_within_its_tolerance() {
    let disc = Loop::circle(v(0.0, 0.0), 50.0);
    for tolerance in [1.0, 0.1, 0.001] {
        let points = disc.flatten(tolerance);
        for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
            let sagitta = 50.0 - ((*a + *b) / 2.0).length();
            assert!(sagitta <= tolerance * 1.0001, "{sagitta} over {tolerance}");
        }
    }
    assert!(disc.flatten(0.1).len() < 60);
}

/// A nearly straight arc of 176 m radius once came out in one chord, 0.0026 mm off.
#[test]
fn flattening_keeps_within_its_tolerance_on_a_nearly_straight_arc() {
    let arc = Segment::between(v(0.0, 0.0), v(60.0, 0.0), 8.5e-5).unwrap();
    let sagitta = 8.5e-5 * 30.0;
    assert!(arc.chords(sagitta * 1.01) == 1);
    // Half the chord, a quarter of the rise.
    assert_eq!(arc.chords(sagitta / 4.0 * 1.01), 2);
    assert_eq!(arc.chords(1e-5), 16);
    assert!(arc.chords(0.0) <= 100_000);
}

#[test]
fn corners_and_edges_are_dragged() {
    let square = Loop::rectangle(v(0.0, 0.0), v(10.0, 10.0));
    assert_eq!(square.with_vertex_moved(2, v(20.0, 20.0)).signed_area(), 200.0);
    assert_eq!(square.with_vertex_moved(9, v(20.0, 20.0)), square);
    assert_eq!(square.with_edge_moved(1, v(5.0, 0.0)).signed_area(), 150.0);
    assert_eq!(square.with_edge_moved(3, v(-5.0, 0.0)).signed_area(), 150.0);
    assert_eq!(square.with_vertex_inserted(1, v(5.0, -5.0)).signed_area(), 125.0);
    assert_eq!(square.with_vertex_inserted(4, v(-5.0, 5.0)).signed_area(), 125.0);
    assert_eq!(square.with_vertex_removed(0).signed_area(), 50.0);
    assert_eq!(square.with_vertex_removed(7), square);
    assert_eq!(Loop::default().with_vertex_inserted(3, v(1.0, 1.0)).vertices.len(), 1);
}

#[test]
fn an_arc_divided_keeps_its_shape() {
    let disc = Loop::circle(v(0.0, 0.0), 10.0);
    let divided = disc.with_vertex_inserted(1, v(0.0, -10.0));
    assert_eq!(divided.vertices.len(), 3);
    assert!((divided.signed_area() - 100.0 * PI).abs() < 1e-9);
}

#[test]
fn corners_are_rounded_where_the_radius_fits() {
    let square = Loop::rectangle(v(0.0, 0.0), v(10.0, 10.0));
    let rounded = square.with_corner_rounded(2, 4.0).unwrap();
    assert!((rounded.signed_area() - (100.0 - (4.0 - PI) * 4.0)).abs() < 1e-9);
    assert_eq!(square.with_corner_rounded(2, 11.0), None);
    assert_eq!(square.with_corner_rounded(2, 0.0), None);
    assert_eq!(rounded.with_corner_rounded(2, 1.0), None);
    // An inner corner rounds outwards.
    let notched = Loop::angle_piece(v(0.0, 0.0), v(10.0, 10.0), v(5.0, 5.0));
    assert!(notched.with_corner_rounded(3, 2.0).unwrap().signed_area() > notched.signed_area());
}

#[test]
fn bulges_survive_mirror_and_reversal() {
    let piece = Loop {
        vertices: vec![
            Vertex { at: v(0.0, 0.0), bulge: 0.0 },
            Vertex { at: v(10.0, 0.0), bulge: 0.3 },
            Vertex { at: v(10.0, 10.0), bulge: -0.2 },
            Vertex { at: v(0.0, 10.0), bulge: 0.0 },
        ],
    };
    let area = piece.signed_area();
    assert!((piece.transformed(0.4, true, v(5.0, 5.0)).signed_area() + area).abs() < 1e-9);
    assert!((piece.reversed().signed_area() + area).abs() < 1e-9);
    assert_eq!(piece.reversed().reversed(), piece);
    assert!((piece.perimeter() - piece.reversed().perimeter()).abs() < 1e-12);
}

#[test]
fn a_circle_and_a_slot_are_known_again_however_they_are_cut_turned_and_reversed() {
    let circle = Loop::circle(v(3.0, -2.0), 7.5);
    let slot = Loop::slot(v(-4.0, 9.0), 30.0, 8.0, 2.2);
    for turned in [circle.clone(), circle.reversed(), circle.transformed(0.7, true, v(1.0, 1.0))] {
        let (_, radius) = turned.as_circle().unwrap();
        assert!((radius - 7.5).abs() < 1e-9 && turned.as_slot().is_none());
    }
    for rotate in 0..4 {
        let mut cut = slot.clone();
        cut.vertices.rotate_left(rotate);
        for one in [cut.clone(), cut.reversed()] {
            let (centre, length, width, turn) = one.as_slot().unwrap();
            assert!(
                centre.distance(v(-4.0, 9.0)) < 1e-9
                    && (length - 30.0).abs() < 1e-9
                    && (width - 8.0).abs() < 1e-9
            );
            // A slot has no front: 2.2 rad and 2.2 rad less half a turn are one.
            assert!((turn - (2.2 - PI)).abs() < 1e-9, "{turn}");
            assert!(one.as_circle().is_none());
        }
    }
    // Half circles that bulge inwards, unequal ends, a keyhole: no slots.
    let mut pinched = slot.clone();
    for vertex in pinched.vertices.iter_mut().filter(|vertex| vertex.bulge != 0.0) {
        vertex.bulge = -vertex.bulge;
    }
    assert!(pinched.as_slot().is_none());
    assert!(Loop::rounded_rectangle(v(0.0, 0.0), v(9.0, 5.0), 1.0).as_slot().is_none());
    assert!(Loop::rounded_rectangle(v(0.0, 0.0), v(9.0, 5.0), 2.5).as_slot().is_some());
    assert!(Loop::rectangle(v(0.0, 0.0), v(9.0, 5.0)).as_circle().is_none());
    assert!(
        Loop { vertices: Vec::new() }.as_circle().is_none()
            && Loop { vertices: Vec::new() }.as_slot().is_none()
    );
}
