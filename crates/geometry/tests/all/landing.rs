//! The landing region against the exact clearance.

use crate::common;

use common::{plate, shape, v};
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{Area, BooleanOps, Buffer};
use geometry::{LandingRegion, Lip, LipShape, Loop, Outline, SoundSurface, landing_region, triangulate_flat};
use glam::DVec2;
use proptest::prelude::*;

/// Distance of a place to the region's boundary.
fn to_boundary(region: &LandingRegion, point: DVec2) -> f64 {
    region
        .polygons
        .iter()
        .flat_map(|p| p.rings())
        .filter_map(|ring| Loop::polygon(ring.iter().copied()).nearest_point(point))
        .map(|(_, apart, _)| apart)
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn holds_what_clears_and_nothing_else(
        shape in shape(), turn in -4.0..4.0, margin in 0.0..8.0,
        places in prop::collection::vec((-10.0..410.0, -10.0..310.0), 30),
    ) {
        let (outline, keep_outs) = plate();
        let surface = SoundSurface::new(&outline, &keep_outs);
        let region = landing_region(&outline, &keep_outs, &shape, turn, margin);
        for (x, y) in places {
            let at = v(x, y);
            let clear = surface.clearance(&Lip { shape, at, turn }).unwrap().distance;
            if region.contains(at) {
                prop_assert!(clear >= margin, "{at} in the region has {clear} of {margin}");
            } else if clear >= margin {
                // Outside but clear: only within the stated tolerance of the boundary.
                prop_assert!(to_boundary(&region, at) <= 0.012 || clear < margin + 0.012, "{at} left out with {clear}");
            }
            if let Some(near) = region.nearest(at) {
                let there = surface.clearance(&Lip { shape, at: near, turn }).unwrap().distance;
                prop_assert!(there >= margin, "nearest place {near} has {there} of {margin}");
                prop_assert!(region.contains(near));
                if !region.contains(at) {
                    // Nothing nearer clears: places a little nearer on the way are refused.
                    let before = near.lerp(at, 0.02 / near.distance(at).max(0.02));
                    let short = surface.clearance(&Lip { shape, at: before, turn }).unwrap().distance;
                    prop_assert!(short < margin + 0.02);
                }
            }
        }
    }

    #[test]
    fn moves_with_the_part(shape in shape(), turn in -4.0..4.0, by in -3.0..3.0, x in -1e4..1e4, y in -1e4..1e4) {
        let (outline, keep_outs) = plate();
        let region = landing_region(&outline, &keep_outs, &shape, turn, 2.0);
        let areas: Vec<Loop> = keep_outs.iter().map(|k| k.transformed(by, false, v(x, y))).collect();
        let moved = landing_region(&outline.transformed(by, false, v(x, y)), &areas, &shape, turn + by, 2.0);
        prop_assert!((region.area() - moved.area()).abs() < 1.0, "{} against {}", region.area(), moved.area());
    }

    /// A second method: a polygon library's own inward offset of the part as chords.
    #[test]
    fn agrees_with_a_library_offset(diameter in 5.0..80.0f64, margin in 0.0..5.0) {
        let (outline, keep_outs) = plate();
        let ring = |l: &Loop| geo::LineString::from_iter(l.flatten(0.002).iter().map(|p| (p.x, p.y)));
        let whole = geo::Polygon::new(ring(&outline.outer), outline.holes.iter().map(ring).collect());
        let areas = geo::MultiPolygon(keep_outs.iter().map(|k| geo::Polygon::new(ring(k), Vec::new())).collect());
        let sound = whole.difference(&areas);
        let by: f64 = diameter / 2.0 + margin;
        let style = BufferStyle::new(-by).line_join(LineJoin::Round(0.01));
        let peer = sound.buffer_with_style(style);
        let region = landing_region(&outline, &keep_outs, &LipShape::Round { diameter }, 0.0, margin);
        let edge: f64 = region.polygons.iter().flat_map(|p| p.rings()).map(|r| Loop::polygon(r.iter().copied()).perimeter()).sum();
        let (ours, theirs) = (region.area(), peer.unsigned_area());
        prop_assert!((ours - theirs).abs() <= 0.01 * edge + 0.1, "{ours} against {theirs}");
    }

    #[test]
    fn triangles_fill_the_region(shape in shape(), turn in -4.0..4.0) {
        let (outline, keep_outs) = plate();
        let region = landing_region(&outline, &keep_outs, &shape, turn, 0.0);
        for polygon in &region.polygons {
            let mesh = triangulate_flat(polygon);
            let sum: f64 = mesh.indices.iter().map(|t| {
                let [a, b, c] = t.map(|i| mesh.points[i as usize]);
                ((b - a).perp_dot(c - a) / 2.0).abs()
            }).sum();
            prop_assert!((sum - polygon.area()).abs() < 1e-6 * polygon.area() + 1e-3);
        }
    }
}

#[test]
fn straight_edges_are_exact() {
    let sheet = Outline::solid(Loop::rectangle(v(0.0, 0.0), v(400.0, 300.0)));
    let region = landing_region(&sheet, &[], &LipShape::Round { diameter: 40.0 }, 0.0, 5.0);
    assert!((region.area() - 350.0 * 250.0).abs() < 0.05);
    let near = region.nearest(v(3.0, 100.0)).unwrap();
    assert!((near - v(25.0, 100.0)).length() < 1e-4, "{near}");
    let turned = landing_region(
        &sheet,
        &[],
        &LipShape::Long { length: 100.0, width: 40.0 },
        std::f64::consts::FRAC_PI_2,
        0.0,
    );
    assert!((turned.area() - 360.0 * 200.0).abs() < 0.05);
}

#[test]
fn nothing_fits_on_a_part_smaller_than_the_lip() {
    let small = Outline::solid(Loop::circle(v(500.0, 0.0), 10.0));
    for shape in [
        LipShape::Round { diameter: 40.0 },
        LipShape::Long { length: 60.0, width: 10.0 },
        LipShape::Rectangle { length: 60.0, width: 60.0, corner: 5.0 },
    ] {
        assert!(landing_region(&small, &[], &shape, 0.3, 0.0).is_empty());
    }
    assert!(
        landing_region(&Outline::default(), &[], &LipShape::Round { diameter: 1.0 }, 0.0, 0.0).is_empty()
    );
    assert_eq!(LandingRegion::default().nearest(v(0.0, 0.0)), None);
}

#[test]
fn nothing_absurd_fits_and_nothing_breaks() {
    let (outline, keep_outs) = plate();
    let huge = Outline::solid(Loop::rectangle(v(-1e30, -1e30), v(1e30, 1e30)));
    for size in [1e4, 1e12, 1e30, 1e300, f64::MAX] {
        let shapes = [
            LipShape::Round { diameter: size },
            LipShape::Long { length: size, width: 30.0 },
            LipShape::Rectangle { length: 60.0, width: size, corner: 5.0 },
            LipShape::Rectangle { length: size, width: size, corner: size / 2.0 },
        ];
        for shape in shapes {
            assert!(landing_region(&outline, &keep_outs, &shape, 0.3, 2.0).is_empty(), "{shape:?}");
            landing_region(&huge, &[], &shape, 0.3, 2.0);
            let lip = Lip { shape, at: v(100.0, 100.0), turn: 0.3 };
            let surface = SoundSurface::new(&outline, &keep_outs);
            let found = surface.clearance(&lip).map(|c| c.distance);
            assert!(found.is_none_or(|d| d < 0.0 && d.is_finite()), "{lip:?} has {found:?}");
            assert!(found.is_some() || size > 1e100);
            surface.overhang(&lip);
        }
        let round = LipShape::Round { diameter: 30.0 };
        assert!(landing_region(&outline, &keep_outs, &round, 0.3, size).is_empty());
    }
}

#[test]
fn a_hole_as_wide_as_the_part_divides_the_region() {
    let bar = Outline {
        outer: Loop::rectangle(v(0.0, 0.0), v(300.0, 60.0)),
        holes: vec![Loop::circle(v(150.0, 30.0), 20.0)],
    };
    let region = landing_region(&bar, &[], &LipShape::Round { diameter: 30.0 }, 0.0, 0.0);
    assert_eq!(region.polygons.len(), 2);
}
