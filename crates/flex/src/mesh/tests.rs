use super::*;
use geometry::{Loop, Vertex};

fn area(mesh: &Mesh) -> f64 {
    (0..mesh.triangles.len())
        .map(|t| {
            let [a, b, c] = mesh.corners(t);
            0.5 * (b - a).perp_dot(c - a)
        })
        .sum()
}

fn least_angle(mesh: &Mesh) -> f64 {
    let mut least = f64::INFINITY;
    for t in 0..mesh.triangles.len() {
        let p = mesh.corners(t);
        for k in 0..3 {
            let (u, v) = (p[(k + 1) % 3] - p[k], p[(k + 2) % 3] - p[k]);
            assert!(u.perp_dot(v) > 0.0, "triangle {t} lies the wrong way round");
            least = least.min(u.angle_to(v).abs());
        }
    }
    least.to_degrees()
}

fn polygon(corners: &[(f64, f64)]) -> Loop {
    Loop { vertices: corners.iter().map(|&at| Vertex { at: at.into(), bulge: 0.0 }).collect() }
}

#[test]
fn a_plate_with_holes_is_filled_and_its_holes_are_not() {
    let plate = Outline {
        outer: Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(800.0, 500.0), 40.0),
        holes: vec![
            Loop::circle(DVec2::new(200.0, 200.0), 60.0),
            Loop::circle(DVec2::new(600.0, 300.0), 25.0),
        ],
    };
    let mesh = Mesh::new(&plate, 1000, &[]).unwrap();
    let exact = geometry::section(&plate).unwrap().area;
    assert!((area(&mesh) / exact - 1.0).abs() < 2e-3, "{} {exact}", area(&mesh));
    assert!(least_angle(&mesh) > 20.0, "{}", least_angle(&mesh));
    assert!((800..1400).contains(&mesh.points.len()), "{}", mesh.points.len());
    assert_eq!(
        mesh.points.len() + mesh.triangles.len(),
        mesh.edges.len() + 1 - 2,
        "Euler's count with two holes"
    );
}

#[test]
fn a_symmetric_part_has_a_symmetric_mesh() {
    let plate = Outline {
        outer: Loop::rounded_rectangle(DVec2::new(10.0, 20.0), DVec2::new(810.0, 620.0), 30.0),
        holes: vec![Loop::circle(DVec2::new(410.0, 320.0), 90.0)],
    };
    let mesh = Mesh::new(&plate, 900, &[]).unwrap();
    assert_eq!(mesh.mirrored, [true, true]);
    let key = |p: DVec2| ((p.x * 1e6).round() as i64, (p.y * 1e6).round() as i64);
    let all: std::collections::HashSet<_> = mesh.points.iter().map(|p| key(*p)).collect();
    assert_eq!(all.len(), mesh.points.len(), "a corner stands twice");
    for p in &mesh.points {
        assert!(
            all.contains(&key(DVec2::new(820.0 - p.x, p.y)))
                && all.contains(&key(DVec2::new(p.x, 640.0 - p.y)))
        );
    }
}

#[test]
fn a_corner_that_turns_in_gets_finer_triangles() {
    let l = polygon(&[(0., 0.), (1200., 0.), (1200., 450.), (600., 450.), (600., 900.), (0., 900.)]);
    let mesh = Mesh::new(&Outline::solid(l), 1000, &[]).unwrap();
    let shortest_at = |at: DVec2| {
        let edges = mesh.edges.iter().map(|e| e.map(|i| mesh.points[i as usize]));
        edges.filter(|e| e.contains(&at)).map(|[a, b]| a.distance(b)).fold(f64::INFINITY, f64::min)
    };
    assert!(shortest_at(DVec2::new(600.0, 450.0)) < 0.2 * mesh.length);
    assert!(shortest_at(DVec2::new(0.0, 0.0)) > 0.5 * mesh.length);
    assert!(least_angle(&mesh) > 20.0);
}

#[test]
fn a_fixed_point_is_a_corner() {
    let plate = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0)));
    let at = DVec2::new(123.4, 56.7);
    let mesh = Mesh::new(&plate, 300, &[at]).unwrap();
    assert!(mesh.points.contains(&at));
    assert_eq!(mesh.mirrored, [false, false]);
}

#[test]
fn what_cannot_be_meshed_is_told() {
    let solid = |c: &[(f64, f64)]| Mesh::new(&Outline::solid(polygon(c)), 300, &[]).unwrap_err();
    assert!(matches!(solid(&[(0., 0.), (1000., 0.), (1000., 0.1), (0., 0.1)]), FlexError::Sliver { .. }));
    assert!(matches!(solid(&[(0., 0.), (1000., 0.)]), FlexError::NothingLeft));
    assert!(matches!(solid(&[(0., 0.), (f64::NAN, 0.), (5., 5.)]), FlexError::NotFinite));
    let bow_tie = [(0., 0.), (100., 100.), (100., 0.), (0., 60.)];
    assert!(
        matches!(solid(&bow_tie), FlexError::Crossing { .. } | FlexError::NothingLeft),
        "{:?}",
        solid(&bow_tie)
    );
    // A slot from edge to edge.
    let cut = Outline {
        outer: Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0)),
        holes: vec![Loop::rectangle(DVec2::new(150.0, -10.0), DVec2::new(200.0, 310.0))],
    };
    let error = Mesh::new(&cut, 300, &[]).unwrap_err();
    assert!(matches!(error, FlexError::Crossing { .. } | FlexError::TwoPieces { .. }), "{error}");
    // Two squares that meet in one point.
    let touching = [
        (0., 0.),
        (100., 0.),
        (100., 100.),
        (200., 100.),
        (200., 200.),
        (100., 200.),
        (100., 100.),
        (0., 100.),
    ];
    let error = solid(&touching);
    assert!(matches!(error, FlexError::TwoPieces { pieces: 2 } | FlexError::Crossing { .. }), "{error}");
    let filled = Outline {
        outer: Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0)),
        holes: vec![Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0))],
    };
    assert_eq!(Mesh::new(&filled, 300, &[]).unwrap_err(), FlexError::NothingLeft);
}

#[test]
fn a_hole_far_below_the_mesh_is_left_out_and_counted() {
    let plate = Outline {
        outer: Loop::rectangle(DVec2::ZERO, DVec2::new(1000.0, 800.0)),
        holes: vec![
            Loop::circle(DVec2::new(300.0, 300.0), 2.0),
            Loop::circle(DVec2::new(500.0, 300.0), 40.0),
        ],
    };
    assert_eq!(Mesh::new(&plate, 1000, &[]).unwrap().holes_left_out, 1);
}
