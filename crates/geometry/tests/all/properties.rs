//! Sections, masses and lips: independent methods agree, and nothing depends on where the part is drawn.

use crate::common;

use common::{blob, shape, v};
use geo::{Area, Centroid};
use geometry::{LipShape, Loop, MassProperties, Outline, hull, inside_hull, section, triangulate};
use glam::{DMat3, DVec2, DVec3};
use proptest::prelude::*;

/// The same loop as chords, for a library that knows only polygons.
fn chords(boundary: &Loop) -> geo::Polygon {
    let points = boundary.flatten(1e-5);
    geo::Polygon::new(geo::LineString::from_iter(points.iter().map(|p| (p.x, p.y))), Vec::new())
}

/// ∫ f ds along a lip's line by many short chords of each piece.
fn along_line(shape: &LipShape, f: impl Fn(DVec2) -> f64) -> f64 {
    let many = 2000;
    let sum = |s: geometry::Segment| {
        (0..many).map(|k| f(s.point_at((f64::from(k) + 0.5) / f64::from(many)))).sum::<f64>() * s.length()
            / f64::from(many)
    };
    shape.outline().segments().map(sum).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn area_and_centroid_agree_with_a_polygon_library(boundary in blob()) {
        let found = section(&Outline::solid(boundary.clone())).unwrap();
        let polygon = chords(&boundary);
        let peer = polygon.centroid().unwrap();
        prop_assert!((found.area - polygon.unsigned_area()).abs() < 1e-5 * boundary.perimeter());
        prop_assert!(found.centroid.distance(v(peer.x(), peer.y())) < 1e-4);
        prop_assert!((boundary.signed_area() - found.area).abs() < 1e-9 * found.area);
        prop_assert!((boundary.reversed().signed_area() + found.area).abs() < 1e-9 * found.area);
    }

    #[test]
    fn triangles_sum_to_the_area(boundary in blob()) {
        let outline = Outline { outer: boundary, holes: vec![Loop::circle(v(0.0, 0.0), 10.0)] };
        let mesh = triangulate(&outline, 0.001);
        let corners = mesh.indices.iter().map(|t| t.map(|i| mesh.points[i as usize]));
        let sum: f64 = corners.map(|[a, b, c]| ((b - a).perp_dot(c - a) / 2.0).abs()).sum();
        let area = section(&outline).unwrap().area;
        prop_assert!((sum - area).abs() < 1e-3 * area, "{sum} for {area}");
    }

    #[test]
    fn section_is_the_sum_of_its_parts(cut in -30.0..30.0, boundary in blob()) {
        // A hole is what is missing: part with hole plus the hole's disc is the part without.
        let disc = Loop::circle(v(cut / 10.0, 0.0), 12.0);
        let whole = section(&Outline::solid(boundary.clone())).unwrap();
        let holed = section(&Outline { outer: boundary, holes: vec![disc.clone()] }).unwrap();
        let hole = section(&Outline::solid(disc)).unwrap();
        prop_assert!((holed.area + hole.area - whole.area).abs() < 1e-9 * whole.area);
        let about = |s: &geometry::Section| {
            let c = s.centroid;
            DVec3::new(s.ix + s.area * c.y * c.y, s.iy + s.area * c.x * c.x, s.ixy + s.area * c.x * c.y)
        };
        prop_assert!((about(&holed) + about(&hole) - about(&whole)).length() < 1e-9 * (whole.ix + whole.iy));
    }

    #[test]
    fn nearest_point_is_nearest(boundary in blob(), x in -150.0..150.0, y in -150.0..150.0) {
        let (at, apart, _) = boundary.nearest_point(v(x, y)).unwrap();
        prop_assert!((at.distance(v(x, y)) - apart).abs() < 1e-9);
        let least = boundary.flatten(1e-4).iter().map(|p| p.distance(v(x, y))).fold(f64::INFINITY, f64::min);
        prop_assert!(apart <= least + 1e-9);
        let bounds = boundary.bounds().unwrap().expanded(1e-9);
        prop_assert!(bounds.contains(at));
    }

    #[test]
    fn contains_agrees_with_chords(boundary in blob(), x in -110.0..110.0, y in -110.0..110.0) {
        let (_, apart, _) = boundary.nearest_point(v(x, y)).unwrap();
        prop_assume!(apart > 1e-3);
        let peer = geo::Contains::contains(&chords(&boundary), &geo::Point::new(x, y));
        prop_assert_eq!(boundary.contains(v(x, y)), peer);
    }

    #[test]
    fn lip_line_agrees_with_quadrature(shape in shape()) {
        let line = shape.line();
        let near = |found: f64, sum: f64| (found - sum).abs() <= 2e-5 * found.abs() + 1e-9;
        prop_assert!(near(line.length, along_line(&shape, |_| 1.0)));
        prop_assert!(near(line.ix, along_line(&shape, |p| p.y * p.y)));
        prop_assert!(near(line.iy, along_line(&shape, |p| p.x * p.x)));
        prop_assert!(near(line.mean_radius * line.length, along_line(&shape, DVec2::length)));
        prop_assert!(near(line.radius_across * line.length, along_line(&shape, |p| p.y * p.y / p.length())));
        prop_assert!(near(line.area, shape.outline().signed_area()));
        prop_assert!((v(line.half_length, line.half_width) * 2.0 - shape.size()).length() < 1e-12);
    }

    #[test]
    fn support_is_the_furthest_point(shape in shape(), angle in -7.0..7.0) {
        let way = DVec2::from_angle(angle);
        let furthest = shape.outline().flatten(1e-4).iter().map(|p| p.dot(way)).fold(f64::NEG_INFINITY, f64::max);
        prop_assert!((shape.support(way) - furthest).abs() < 2e-4);
        prop_assert!((shape.grown(1.5).support(way) - shape.support(way) - 1.5).abs() < 1e-9);
    }

    #[test]
    fn inertia_about_a_point_does_not_depend_on_how_bodies_are_grouped(
        masses in prop::collection::vec((0.1..5.0, -500.0..500.0, -500.0..500.0, -50.0..200.0), 2..6),
    ) {
        let bodies: Vec<MassProperties> = masses
            .iter()
            .map(|(m, x, y, z)| MassProperties::block(*m, DVec3::new(*x, *y, *z), DVec3::new(30.0, 20.0, m * 10.0)))
            .collect();
        let all = MassProperties::combined(bodies.clone()).unwrap();
        let first = MassProperties::combined(bodies[..1].to_vec()).unwrap();
        let rest = MassProperties::combined(bodies[1..].to_vec()).unwrap();
        let again = MassProperties::combined([first, rest]).unwrap();
        prop_assert!((all.centre - again.centre).length() < 1e-9);
        let size = all.inertia.x_axis.length() + all.inertia.z_axis.length();
        prop_assert!((all.inertia - again.inertia).to_cols_array().iter().all(|d| d.abs() < 1e-9 * size));
        let about = DVec3::new(10.0, -20.0, 30.0);
        let sum = bodies.iter().map(|b| b.inertia_about(about)).fold(DMat3::ZERO, |a, b| a + b);
        prop_assert!((all.inertia_about(about) - sum).to_cols_array().iter().all(|d| d.abs() < 1e-9 * size));
    }

    #[test]
    fn hull_holds_every_point(points in prop::collection::vec((-9.0..9.0, -9.0..9.0), 1..12)) {
        let points: Vec<DVec2> = points.into_iter().map(|(x, y)| v(x, y)).collect();
        for point in &points {
            prop_assert!(inside_hull(&points, *point) > -1e-9);
        }
        let corners = hull(&points);
        prop_assert!(corners.len() < 3 || Loop::polygon(corners).signed_area() > 0.0);
        prop_assert!(inside_hull(&points, v(20.0, 0.0)) < -10.0);
    }
}

#[test]
fn a_hull_of_points_in_line_holds_nothing() {
    let line = [v(0.0, 0.0), v(5.0, 5.0), v(10.0, 10.0)];
    assert_eq!(hull(&line).len(), 2);
    assert_eq!(inside_hull(&line, v(5.0, 5.0)), 0.0);
    assert!((inside_hull(&line, v(10.0, 0.0)) + 50f64.sqrt()).abs() < 1e-12);
    assert_eq!(inside_hull(&[v(1.0, 1.0)], v(4.0, 5.0)), -5.0);
    assert_eq!(inside_hull(&[], v(0.0, 0.0)), f64::NEG_INFINITY);
    let square = [v(0.0, 0.0), v(4.0, 0.0), v(4.0, 4.0), v(0.0, 4.0), v(2.0, 2.0)];
    assert_eq!(inside_hull(&square, v(2.0, 1.0)), 1.0);
    assert_eq!(hull(&square).len(), 4);
}

/// A thin circular arc with a radius of a kilometre has the second moments of the parabola it cannot be told from.
#[test]
fn flat_arcs_keep_their_digits() {
    let (half, rise) = (50.0, 1.25e-3);
    let bulge = rise / half;
    let vertices = vec![
        geometry::Vertex { at: v(half, 0.0), bulge },
        geometry::Vertex { at: v(-half, 0.0), bulge: 0.0 },
    ];
    let found = section(&Outline::solid(Loop { vertices })).unwrap();
    // Parabolic segment: area 2/3 b h, centroid 2/5 h, I about its axis b³ h / 30 (any table of sections).
    assert!((found.area / (2.0 / 3.0 * 2.0 * half * rise) - 1.0).abs() < 1e-8);
    assert!((found.iy / ((2.0 * half).powi(3) * rise / 30.0) - 1.0).abs() < 1e-6);
    assert!((found.centroid.y / (0.4 * rise) - 1.0).abs() < 1e-3, "{}", found.centroid.y);
}

#[test]
fn nothing_without_area_has_a_section() {
    assert_eq!(section(&Outline::default()), None);
    assert_eq!(section(&Outline::solid(Loop::polygon([v(0.0, 0.0), v(1.0, 1.0)]))), None);
    assert_eq!(section(&Outline::solid(Loop::polygon([v(0.0, 0.0), v(f64::NAN, 1.0), v(1.0, 2.0)]))), None);
    assert_eq!(MassProperties::combined([]), None);
    assert_eq!(MassProperties::combined([MassProperties::point(0.0, DVec3::ZERO)]), None);
    for shape in [LipShape::Round { diameter: 0.0 }, LipShape::Long { length: 0.0, width: f64::NAN }] {
        assert_eq!((shape.line().mean_radius, shape.line().radius_across), (0.0, 0.0));
    }
}

#[test]
fn zero_pieces_are_passed_over() {
    let doubled = [v(0.0, 0.0), v(0.0, 0.0), v(4.0, 0.0), v(4.0, 3.0), v(4.0, 3.0), v(0.0, 3.0), v(0.0, 0.0)];
    let boundary = Loop::polygon(doubled);
    assert_eq!(boundary.segments().count(), 4);
    assert_eq!(boundary.signed_area(), 12.0);
    assert_eq!(boundary.perimeter(), 14.0);
    assert!(boundary.contains(v(1.0, 1.0)));
}
