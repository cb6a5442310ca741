//! The plate by itself, with edges held as no cup holds them: cases of topic D and of simply supported ringing.
//!
//! A quarter of a symmetric plate stands for the whole: no slope across a line of symmetry.

use crate::matrix::{Factor, Pattern, element, unknowns, unknowns_of};
use crate::mesh::Mesh;
use crate::{Bending, Moments};
use geometry::{Loop, Outline};
use glam::DVec2;
use serde_json::Value;

const PLATES: &str = include_str!("../../tests/all/plates.json");
const FLEXIBLE: &str = include_str!("../../tests/all/flexible_part.json");

fn case(record: &str, id: &str) -> Value {
    let record: Value = serde_json::from_str(record).unwrap();
    record["cases"].as_array().unwrap().iter().find(|c| c["id"] == id).unwrap().clone()
}

#[track_caller]
fn check(case: &Value, name: &str, found: f64) {
    let expected = &case["expected"][name];
    let value = expected["value"].as_f64().unwrap();
    let tolerance = |key: &str| expected[key].as_f64().unwrap_or(0.0);
    let allowed = tolerance("tol_abs") + tolerance("tol_rel") * value.abs();
    println!("{} {name}: {found}, {:.3} of the tolerance", case["id"], (found - value).abs() / allowed);
    assert!(
        (found - value).abs() <= allowed,
        "{} {name}: {found}, expected {value} within {allowed}",
        case["id"]
    );
}

/// A plate of E such that D = 1, under an even pressure of 1.
struct Plate {
    mesh: Mesh,
    pattern: Pattern,
    stiffness: Vec<f64>,
    moments: [[f64; 3]; 3],
}

impl Plate {
    fn new(outline: &Outline, corners: usize, fixed: &[DVec2], poisson: f64) -> Self {
        let mesh = Mesh::new(outline, corners, fixed).unwrap();
        let moments =
            Bending::Isotropic { modulus: 12.0 * (1.0 - poisson * poisson), poisson }.moments(1.0).unwrap();
        let pattern = Pattern::new(&mesh);
        let stiffness = pattern.stiffness(&mesh, &moments, |_| 1.0);
        Self { mesh, pattern, stiffness, moments }
    }

    fn rectangle(x: f64, y: f64, corners: usize, poisson: f64) -> Self {
        Self::new(&Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(x, y))), corners, &[], poisson)
    }

    /// Deflections of corners where the condition holds.
    fn deflections(&self, on: impl Fn(DVec2) -> bool) -> Vec<usize> {
        (0..self.mesh.points.len()).filter(|i| on(self.mesh.points[*i])).collect()
    }

    /// Slopes across a line x = at (0) or y = at (1).
    fn slopes_across(&self, axis: usize, at: f64) -> Vec<usize> {
        let on = |i: u32| (self.mesh.points[i as usize][axis] - at).abs() < 1e-9;
        let corners = self.mesh.points.len();
        let slopes = (0..corners).filter(|i| on(*i as u32)).map(|i| corners + 2 * i + axis);
        let sides = self.mesh.edges.iter().enumerate().filter(|(_, e)| e.iter().all(|i| on(*i)));
        slopes.chain(sides.map(|(e, _)| 3 * corners + e)).collect()
    }

    /// Held edge x = 0 or y = 0: neither deflection nor slope along it.
    fn simply_held(&self, axis: usize) -> Vec<usize> {
        let on = |p: DVec2| p[axis].abs() < 1e-9;
        let corners = self.mesh.points.len();
        let slopes = (0..corners).filter(|i| on(self.mesh.points[*i])).map(|i| corners + 2 * i + 1 - axis);
        self.deflections(on).into_iter().chain(slopes).collect()
    }

    fn load(&self) -> Vec<f64> {
        let mut load = vec![0.0; unknowns(&self.mesh)];
        for t in 0..self.mesh.triangles.len() {
            let own = element(&self.mesh, t).load([1.0; 3]);
            unknowns_of(&self.mesh, t).iter().zip(own).for_each(|(u, f)| load[*u] += f);
        }
        load
    }

    fn solved(&self, held: &[usize]) -> Vec<f64> {
        let factor = Factor::new(&self.pattern, &self.stiffness, held).unwrap();
        let mut sides = [self.load()];
        factor.solve(&mut sides);
        let [field] = sides;
        field
    }

    fn corner(&self, at: DVec2) -> usize {
        self.mesh.points.iter().position(|p| p.distance(at) < 1e-9).unwrap()
    }

    /// Mean moments at a corner of the mesh.
    fn moments_at(&self, field: &[f64], at: DVec2) -> Moments {
        let corner = self.corner(at) as u32;
        let (mut sum, mut area) = ([0.0; 3], 0.0);
        for t in (0..self.mesh.triangles.len()).filter(|t| self.mesh.triangles[*t].contains(&corner)) {
            let k = self.mesh.triangles[t].iter().position(|i| *i == corner).unwrap();
            let own = unknowns_of(&self.mesh, t).map(|u| field[u]);
            let curvature = element(&self.mesh, t).curvature_at_corners(&own)[k];
            let [a, b, c] = self.mesh.corners(t);
            let size = (b - a).perp_dot(c - a);
            for (s, row) in sum.iter_mut().zip(&self.moments) {
                *s -= size * row.iter().zip(curvature).map(|(d, k)| d * k).sum::<f64>();
            }
            area += size;
        }
        Moments { xx: sum[0] / area, yy: sum[1] / area, xy: sum[2] / area }
    }
}

#[test]
fn d1_d3_simply_supported_rectangles() {
    for (id, long) in [("D1", 1.0), ("D3", 2.0)] {
        let case = case(PLATES, id);
        let plate = Plate::rectangle(0.5, 0.5 * long, 1500, 0.3);
        let held = [
            plate.simply_held(0),
            plate.simply_held(1),
            plate.slopes_across(0, 0.5),
            plate.slopes_across(1, 0.5 * long),
        ];
        let field = plate.solved(&held.concat());
        let middle = DVec2::new(0.5, 0.5 * long);
        let alpha = field[plate.corner(middle)];
        let m = plate.moments_at(&field, middle);
        check(&case, "alpha", alpha);
        check(&case, "beta_x", m.xx);
        check(&case, "beta_y", m.yy);
        let d = 70_000.0 * 64.0 / (12.0 * 0.91);
        check(&case, "example_w_max_mm", alpha * 0.001 * 500.0_f64.powi(4) / d);
    }
}

#[test]
fn d4_square_on_four_corners() {
    let d4 = case(PLATES, "D4");
    let plate = Plate::rectangle(0.5, 0.5, 1500, 0.3);
    let corner = plate.corner(DVec2::ZERO);
    let held = [vec![corner], plate.slopes_across(0, 0.5), plate.slopes_across(1, 0.5)].concat();
    let field = plate.solved(&held);
    check(&d4, "alpha_centre", field[plate.corner(DVec2::splat(0.5))]);
    check(&d4, "alpha_edge_middle", field[plate.corner(DVec2::new(0.5, 0.0))]);
    check(&d4, "beta_centre", plate.moments_at(&field, DVec2::splat(0.5)).xx);
    check(&d4, "beta_edge_middle", plate.moments_at(&field, DVec2::new(0.5, 0.0)).xx);
    let force = plate.load()[corner] - plate.pattern.times(&plate.stiffness, &field)[corner];
    check(&d4, "reaction_each_fraction_of_total", force);
}

#[test]
fn d5_plate_on_a_lattice_of_points() {
    let d5 = case(PLATES, "D5");
    let plate = Plate::rectangle(0.5, 0.5, 2500, 0.2);
    let held = [
        vec![plate.corner(DVec2::ZERO)],
        plate.slopes_across(0, 0.0),
        plate.slopes_across(1, 0.0),
        plate.slopes_across(0, 0.5),
        plate.slopes_across(1, 0.5),
    ];
    let field = plate.solved(&held.concat());
    let at = |x: f64, y: f64| field[plate.corner(DVec2::new(x, y))];
    check(&d5, "alpha_panel_centre", at(0.5, 0.5));
    check(&d5, "alpha_mid_of_short_span_between_supports", at(0.5, 0.0));
    check(&d5, "alpha_mid_of_long_span_between_supports", at(0.0, 0.5));
    let m = plate.moments_at(&field, DVec2::splat(0.5));
    check(&d5, "beta_x_panel_centre", m.xx);
    check(&d5, "beta_y_panel_centre", m.yy);
    check(&d5, "beta_x_mid_short_span", plate.moments_at(&field, DVec2::new(0.5, 0.0)).xx);
}

#[test]
fn d7_disc_on_three_points_of_its_edge() {
    let d7 = case(PLATES, "D7");
    let at = |k: usize| DVec2::from_angle(k as f64 * std::f64::consts::TAU / 3.0);
    // Thirds of a turn: tan of a twelfth.
    let bulge = (std::f64::consts::TAU / 12.0).tan();
    let outer = Loop { vertices: (0..3).map(|k| geometry::Vertex { at: at(k), bulge }).collect() };
    let plate = Plate::new(&Outline::solid(outer), 1500, &[DVec2::ZERO], 0.25);
    let field = plate.solved(&[0, 1, 2].map(|k| plate.corner(at(k))));
    let middle = field[plate.corner(DVec2::ZERO)];
    check(&d7, "c_q", middle);
    check(&d7, "c_P", middle / std::f64::consts::PI);
}

/// A strip without cross contraction is a beam: deflections at middle and end, slope at the end, and the mean square of the slope.
fn strip(overhang: f64) -> [f64; 4] {
    let width = 0.04;
    let lines: Vec<DVec2> = [overhang, 1.0 - overhang]
        .into_iter()
        .flat_map(|x| (0..=8).map(move |k| DVec2::new(x, f64::from(k) / 8.0 * width)))
        .collect();
    let middle = DVec2::new(0.5, 0.5 * width);
    let fixed: Vec<DVec2> =
        lines.iter().copied().filter(|p| p.y > 0.0 && p.y < width).chain([middle]).collect();
    let on = |x: f64, y: f64| geometry::Vertex { at: DVec2::new(x, y), bulge: 0.0 };
    let (c, d) = (overhang, 1.0 - overhang);
    let vertices = match c == 0.0 {
        true => vec![on(0.0, 0.0), on(1.0, 0.0), on(1.0, width), on(0.0, width)],
        false => {
            [(0.0, 0.0), (c, 0.0), (d, 0.0), (1.0, 0.0), (1.0, width), (d, width), (c, width), (0.0, width)]
                .map(|(x, y)| on(x, y))
                .to_vec()
        }
    };
    let plate = Plate::new(&Outline::solid(Loop { vertices }), 500, &fixed, 0.0);
    // Without deflection and slope along the line, so that the whole line is held.
    let corners = plate.mesh.points.len();
    let on = plate.deflections(|p| lines.iter().any(|l| l.distance(p) < 1e-9));
    let held: Vec<usize> = on.iter().flat_map(|i| [*i, corners + 2 * i + 1]).collect();
    let field = plate.solved(&held);
    let end = plate.corner(DVec2::ZERO);
    // ∫ slope² over the corners of the lower edge by the trapezoid rule of their cubic would do; all corners of it, in order.
    let mut edge = plate.deflections(|p| p.y.abs() < 1e-12);
    edge.sort_by(|a, b| plate.mesh.points[*a].x.total_cmp(&plate.mesh.points[*b].x));
    let squares = edge.windows(2).map(|pair| {
        let (a, b) = (pair[0], pair[1]);
        let (h, u, v) =
            (plate.mesh.points[b].x - plate.mesh.points[a].x, field[corners + 2 * a], field[corners + 2 * b]);
        // Slope in the middle of a cubic, then Simpson's rule.
        let m = 1.5 * (field[b] - field[a]) / h - 0.25 * (u + v);
        h / 6.0 * (u * u + 4.0 * m * m + v * v)
    });
    [field[plate.corner(middle)], field[end], field[corners + 2 * end], squares.sum()]
}

fn root(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let rising = of(high) > of(low);
    for _ in 0..24 {
        let middle = 0.5 * (low + high);
        if (of(middle) > 0.0) == rising { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}

#[test]
fn d9_strip_on_two_lines() {
    let d9 = case(PLATES, "D9");
    let airy = root(0.20, 0.22, |c| strip(c)[2]);
    check(&d9, "airy_overhang", airy);
    let least = root(0.21, 0.23, |c| strip(c)[0] - strip(c)[1]);
    check(&d9, "least_sag_overhang", least);
    check(&d9, "least_sag_spacing", 1.0 - 2.0 * least);
    check(&d9, "y_mid_least_sag", strip(least)[0]);
    let ends = strip(0.0)[0];
    assert!(
        (ends / d9["expected"]["y_end_support_at_ends_c0"]["value"].as_f64().unwrap() - 1.0).abs() < 1e-6
    );
    check(&d9, "ratio_sag_ends_vs_least", ends / strip(least)[0]);
    let [middle, end, ..] = strip(d9["expected"]["airy_overhang"]["value"].as_f64().unwrap());
    check(&d9, "y_mid_airy", middle);
    check(&d9, "y_end_airy", end);
    let bessel = root(0.21, 0.23, |c| strip(c + 1e-4)[3] - strip(c - 1e-4)[3]);
    check(&d9, "bessel_overhang", bessel);
    check(&d9, "bessel_spacing", 1.0 - 2.0 * bessel);
    let [middle, end, ..] = strip(bessel);
    check(&d9, "y_mid_bessel", middle);
    check(&d9, "y_end_bessel", end);
}

/// Four frequencies of a simply supported square, whose second and third are equal: by vector iteration in a block.
#[test]
fn j7_simply_supported_square_rings() {
    let j7 = case(FLEXIBLE, "J7");
    let plate = Plate::rectangle(1.0, 1.0, 1000, 0.3);
    let far = |axis: usize| {
        let on = |p: DVec2| (p[axis] - 1.0).abs() < 1e-9;
        let corners = plate.mesh.points.len();
        let slopes = (0..corners).filter(|i| on(plate.mesh.points[*i])).map(|i| corners + 2 * i + 1 - axis);
        plate.deflections(on).into_iter().chain(slopes).collect::<Vec<_>>()
    };
    let held = [plate.simply_held(0), plate.simply_held(1), far(0), far(1)].concat();
    let factor = Factor::new(&plate.pattern, &plate.stiffness, &held).unwrap();
    let mass = plate.pattern.mass(&plate.mesh);
    let found = crate::ring::lowest(
        4,
        plate.pattern.size(),
        |q| plate.pattern.times(&mass, q),
        |loads| factor.solved(loads),
    );
    let expected = &j7["expected"]["simply_supported_first_4"];
    let tolerance = expected["tol_rel"].as_f64().unwrap();
    for (value, square) in expected["value"].as_array().unwrap().iter().zip(found) {
        let value = value.as_f64().unwrap();
        println!("{} {value}", square.sqrt());
        assert!((square.sqrt() / value - 1.0).abs() <= tolerance, "{} {value}", square.sqrt());
    }
}

/// Work of the load on a simply supported square: it falls short of the series, and the less the finer the mesh, with the fourth
/// power of the mesh's length (the second would be asked for).
#[test]
fn the_error_falls_as_the_mesh_is_refined() {
    let odd = || (0..200).map(|k| f64::from(2 * k + 1));
    // Navier: ∫ w = Σ 64 / (π⁸ m² n² (m² + n²)²).
    let sum: f64 = odd().flat_map(|m| odd().map(move |n| 1.0 / (m * n * (m * m + n * n)).powi(2))).sum();
    let exact = 64.0 / std::f64::consts::PI.powi(8) * sum / 4.0;
    let errors = [60, 240, 960].map(|corners| {
        let plate = Plate::rectangle(0.5, 0.5, corners, 0.3);
        let held = [
            plate.simply_held(0),
            plate.simply_held(1),
            plate.slopes_across(0, 0.5),
            plate.slopes_across(1, 0.5),
        ];
        let field = plate.solved(&held.concat());
        let work: f64 = plate.load().iter().zip(&field).map(|(f, w)| f * w).sum();
        (1.0 - work / exact, plate.mesh.length)
    });
    println!("{errors:?}");
    for pair in errors.windows(2) {
        let order = (pair[0].0 / pair[1].0).ln() / (pair[0].1 / pair[1].1).ln();
        println!("order {order}");
        assert!(order > 3.5, "of order {order}: {errors:?}");
    }
    assert!(errors[2].0 > 0.0 && errors[2].0 < 1e-5, "{errors:?}");
}
