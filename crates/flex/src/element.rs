//! The triangle that bends: Hsieh, Clough and Tocher's, of three cubics, with continuous slopes.
//!
//! # Source
//! Clough & Tocher, *Finite element stiffness matrices for analysis of plates in bending*, Proc. Conf. Matrix Methods in
//! Structural Mechanics, 1965; written here in Bernstein form as in Lai & Schumaker, *Spline Functions on Triangulations*, 2007,
//! 6.1 (both from memory). It is conforming: energies bound from above, and deflections err with the fourth power of the mesh's
//! length where the load is smooth. Chosen over the discrete Kirchhoff triangle (Batoz, Bathe & Ho 1980), whose error falls with
//! the second power: for the same error it needs a fraction of the unknowns, and its deflection, slope and curvature are known
//! at every point, which lips across triangles need.

use glam::DVec2;

/// Unknowns of a triangle: deflection and both slopes at each corner, the slope across each side at its middle.
pub(crate) const UNKNOWNS: usize = 12;

/// One row per unknown.
pub(crate) type Row = [f64; UNKNOWNS];

/// A triangle's matrix.
pub(crate) type Square = [Row; UNKNOWNS];

/// Exponents of the Bernstein polynomials, in the order of [`sub_net`].
const EXPONENTS: [[usize; 3]; 10] = [
    [3, 0, 0],
    [0, 3, 0],
    [0, 0, 3],
    [2, 1, 0],
    [1, 2, 0],
    [2, 0, 1],
    [0, 2, 1],
    [1, 0, 2],
    [0, 1, 2],
    [1, 1, 1],
];

/// The six pairs of directions of a second derivative.
const PAIRS: [(usize, usize); 6] = [(0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)];

/// Where the polynomial of a corner and a pair of directions stands in [`EXPONENTS`].
const SECOND: [[usize; 6]; 3] = [[0, 4, 7, 3, 5, 9], [3, 1, 8, 4, 9, 6], [5, 6, 2, 9, 7, 8]];

/// Points of the net that the third part `k` uses, in the order of [`EXPONENTS`].
fn sub_net(k: usize) -> [usize; 10] {
    let (a, b) = ((k + 1) % 3, (k + 2) % 3);
    [a, b, 18, 3 + 2 * k, 4 + 2 * k, 9 + a, 9 + b, 15 + a, 15 + b, 12 + k]
}

/// One triangle, ready to be evaluated.
pub(crate) struct Triangle {
    corners: [DVec2; 3],
    /// How the 19 points of the net follow from the unknowns.
    net: [Row; 19],
}

/// One of the three parts of a triangle, about its side `k`.
struct Part {
    /// Gradients of the barycentric coordinates, 1/mm.
    gradients: [DVec2; 3],
    /// mm².
    area: f64,
}

fn part(a: DVec2, b: DVec2, c: DVec2) -> Part {
    let twice = (b - a).perp_dot(c - a);
    let gradients = [(c - b).perp() / twice, (a - c).perp() / twice, (b - a).perp() / twice];
    Part { gradients, area: 0.5 * twice }
}

fn add(to: &mut Row, times: f64, from: &Row) {
    for (t, f) in to.iter_mut().zip(from) {
        *t += times * f;
    }
}

impl Triangle {
    /// From corners, counter-clockwise, and for each side whether its slope counts towards the inside.
    pub fn new(corners: [DVec2; 3], inwards: [bool; 3]) -> Self {
        let mut net = [[0.0; UNKNOWNS]; 19];
        let centre = (corners[0] + corners[1] + corners[2]) / 3.0;
        // Value at a corner plus a third of the slope along a way.
        let towards = |i: usize, way: DVec2| {
            let mut row = [0.0; UNKNOWNS];
            row[3 * i] = 1.0;
            row[3 * i + 1] = way.x / 3.0;
            row[3 * i + 2] = way.y / 3.0;
            row
        };
        for i in 0..3 {
            net[i][3 * i] = 1.0;
            net[9 + i] = towards(i, centre - corners[i]);
            let (a, b) = ((i + 1) % 3, (i + 2) % 3);
            net[3 + 2 * i] = towards(a, corners[b] - corners[a]);
            net[4 + 2 * i] = towards(b, corners[a] - corners[b]);
        }
        for k in 0..3 {
            let (a, b) = ((k + 1) % 3, (k + 2) % 3);
            let normal = (corners[b] - corners[a]).perp().normalize();
            let normal = if inwards[k] { normal } else { -normal };
            let d = part(corners[a], corners[b], centre).gradients.map(|g| g.dot(normal));
            let mut row = [0.0; UNKNOWNS];
            row[9 + k] = 1.0 / 3.0;
            add(&mut row, -0.25 * d[0], &net[a]);
            add(&mut row, -0.25 * d[1] - 0.5 * d[0], &net[3 + 2 * k]);
            add(&mut row, -0.25 * d[2], &net[9 + a]);
            add(&mut row, -0.5 * d[1] - 0.25 * d[0], &net[4 + 2 * k]);
            add(&mut row, -0.25 * d[1], &net[b]);
            add(&mut row, -0.25 * d[2], &net[9 + b]);
            for value in &mut row {
                *value *= 2.0 / d[2];
            }
            net[12 + k] = row;
        }
        // Slopes run on across the lines to the centre.
        for i in 0..3 {
            for row in [9 + i, 12 + (i + 1) % 3, 12 + (i + 2) % 3] {
                let from = net[row];
                add(&mut net[15 + i], 1.0 / 3.0, &from);
            }
        }
        for i in 0..3 {
            let from = net[15 + i];
            add(&mut net[18], 1.0 / 3.0, &from);
        }
        Self { corners, net }
    }

    fn part(&self, k: usize) -> Part {
        let centre = (self.corners[0] + self.corners[1] + self.corners[2]) / 3.0;
        part(self.corners[(k + 1) % 3], self.corners[(k + 2) % 3], centre)
    }

    /// w_xx, w_yy and 2 w_xy at corner `x` of a part, per unknown.
    fn curvature(&self, k: usize, x: usize, part: &Part) -> [Row; 3] {
        let rows = sub_net(k);
        let mut out = [[0.0; UNKNOWNS]; 3];
        for (pair, (p, q)) in PAIRS.into_iter().enumerate() {
            let (g, h) = (part.gradients[p], part.gradients[q]);
            let twice = if p == q { 6.0 } else { 12.0 };
            let row = &self.net[rows[SECOND[x][pair]]];
            add(&mut out[0], twice * g.x * h.x, row);
            add(&mut out[1], twice * g.y * h.y, row);
            add(&mut out[2], twice * (g.x * h.y + g.y * h.x), row);
        }
        out
    }

    /// Stiffness against bending with the given moments per curvature, N/mm and so on; exact.
    pub fn stiffness(&self, moments: &[[f64; 3]; 3]) -> Square {
        let mut out = [[0.0; UNKNOWNS]; UNKNOWNS];
        for k in 0..3 {
            let part = self.part(k);
            let mut sum = [[0.0; UNKNOWNS]; 3];
            // Curvature is linear in a part: ∫ a b = area/12 (Σ a_i b_i + Σ a_i Σ b_i).
            for x in 0..3 {
                let b = self.curvature(k, x, &part);
                for (s, row) in sum.iter_mut().zip(&b) {
                    add(s, 1.0, row);
                }
                product(&mut out, &b, moments, part.area / 12.0);
            }
            product(&mut out, &sum, moments, part.area / 12.0);
        }
        out
    }

    /// ∫ N Nᵀ, mm² and so on; exact. `gram` is [`bernstein_gram`].
    pub fn mass(&self, gram: &[[f64; 10]; 10]) -> Square {
        let mut out = [[0.0; UNKNOWNS]; UNKNOWNS];
        for k in 0..3 {
            let rows = sub_net(k);
            let area = self.part(k).area;
            for (i, weights) in gram.iter().enumerate() {
                let mut sum = [0.0; UNKNOWNS];
                for (weight, row) in weights.iter().zip(rows) {
                    add(&mut sum, weight * area, &self.net[row]);
                }
                for (target, factor) in out.iter_mut().zip(self.net[rows[i]]) {
                    add(target, factor, &sum);
                }
            }
        }
        out
    }

    /// ∫ N p for a pressure that is linear over the triangle, by its values at the corners; exact.
    pub fn load(&self, at_corners: [f64; 3]) -> Row {
        let mut out = [0.0; UNKNOWNS];
        let middle = (at_corners[0] + at_corners[1] + at_corners[2]) / 3.0;
        for k in 0..3 {
            let p = [at_corners[(k + 1) % 3], at_corners[(k + 2) % 3], middle];
            let area = self.part(k).area;
            for (exponents, row) in EXPONENTS.iter().zip(sub_net(k)) {
                let sum: f64 = exponents.iter().zip(p).map(|(e, p)| (*e as f64 + 1.0) * p).sum();
                add(&mut out, sum * area / 60.0, &self.net[row]);
            }
        }
        out
    }

    /// Barycentric coordinates of a point of the triangle; negative outside.
    pub fn barycentric(&self, p: DVec2) -> [f64; 3] {
        let [a, b, c] = self.corners;
        let twice = (b - a).perp_dot(c - a);
        [(c - b).perp_dot(p - b) / twice, (a - c).perp_dot(p - c) / twice, (b - a).perp_dot(p - a) / twice]
    }

    /// The part that a point lies in and its coordinates there.
    fn place(&self, p: DVec2) -> (usize, [f64; 3]) {
        let l = self.barycentric(p);
        let k = if l[0] <= l[1] && l[0] <= l[2] {
            0
        } else if l[1] <= l[2] {
            1
        } else {
            2
        };
        (k, [l[(k + 1) % 3] - l[k], l[(k + 2) % 3] - l[k], 3.0 * l[k]])
    }

    /// Deflection at a point per unknown.
    pub fn value(&self, p: DVec2) -> Row {
        let (k, l) = self.place(p);
        let mut out = [0.0; UNKNOWNS];
        for (e, row) in EXPONENTS.iter().zip(sub_net(k)) {
            add(&mut out, bernstein(e, l), &self.net[row]);
        }
        out
    }

    /// Slopes w_x and w_y at a point per unknown, 1/mm.
    pub fn slope(&self, p: DVec2) -> [Row; 2] {
        let (k, l) = self.place(p);
        let part = self.part(k);
        let mut out = [[0.0; UNKNOWNS]; 2];
        for (e, row) in EXPONENTS.iter().zip(sub_net(k)) {
            let mut gradient = DVec2::ZERO;
            for d in 0..3 {
                if e[d] > 0 {
                    let mut less = *e;
                    less[d] -= 1;
                    // The factorials of the smaller polynomial, and e_d of the derivative.
                    gradient += part.gradients[d] * (monomial(&less, l) * count(e) * e[d] as f64);
                }
            }
            add(&mut out[0], gradient.x, &self.net[row]);
            add(&mut out[1], gradient.y, &self.net[row]);
        }
        out
    }

    /// w_xx, w_yy and 2 w_xy at each corner for given unknowns, 1/mm²: the mean of the two parts that meet there.
    pub fn curvature_at_corners(&self, unknowns: &Row) -> [[f64; 3]; 3] {
        let net = self.net.map(|row| row.iter().zip(unknowns).map(|(n, u)| n * u).sum::<f64>());
        let mut out = [[0.0; 3]; 3];
        for k in 0..3 {
            let part = self.part(k);
            let rows = sub_net(k);
            for x in 0..2 {
                let to = &mut out[(k + 1 + x) % 3];
                for (pair, (p, q)) in PAIRS.into_iter().enumerate() {
                    let (g, h) = (part.gradients[p], part.gradients[q]);
                    // Half, since two parts meet at a corner.
                    let value = 0.5 * if p == q { 6.0 } else { 12.0 } * net[rows[SECOND[x][pair]]];
                    to[0] += value * g.x * h.x;
                    to[1] += value * g.y * h.y;
                    to[2] += value * (g.x * h.y + g.y * h.x);
                }
            }
        }
        out
    }

    /// w_xx, w_yy and 2 w_xy at a point per unknown, 1/mm².
    #[cfg(test)]
    fn curvature_at(&self, p: DVec2) -> [Row; 3] {
        let (k, l) = self.place(p);
        let part = self.part(k);
        let mut out = [[0.0; UNKNOWNS]; 3];
        for (x, share) in l.into_iter().enumerate() {
            for (to, from) in out.iter_mut().zip(&self.curvature(k, x, &part)) {
                add(to, share, from);
            }
        }
        out
    }
}

/// 3!/(i! j! k!).
fn count(e: &[usize; 3]) -> f64 {
    const FACTORIAL: [f64; 4] = [1.0, 1.0, 2.0, 6.0];
    6.0 / (FACTORIAL[e[0]] * FACTORIAL[e[1]] * FACTORIAL[e[2]])
}

fn monomial(e: &[usize; 3], l: [f64; 3]) -> f64 {
    l[0].powi(e[0] as i32) * l[1].powi(e[1] as i32) * l[2].powi(e[2] as i32)
}

fn bernstein(e: &[usize; 3], l: [f64; 3]) -> f64 {
    count(e) * monomial(e, l)
}

/// ∫ B_i B_j over the area.
pub(crate) fn bernstein_gram() -> [[f64; 10]; 10] {
    const FACTORIAL: [f64; 7] = [1.0, 1.0, 2.0, 6.0, 24.0, 120.0, 720.0];
    // 2 · (i + i')! (j + j')! (k + k')! / 8!
    let integral = |a: &[usize; 3], b: &[usize; 3]| {
        2.0 * (0..3).map(|d| FACTORIAL[a[d] + b[d]]).product::<f64>() / 40_320.0
    };
    EXPONENTS.map(|a| EXPONENTS.map(|b| count(&a) * count(&b) * integral(&a, &b)))
}

/// Adds scale · Bᵀ D B.
fn product(out: &mut Square, b: &[Row; 3], moments: &[[f64; 3]; 3], scale: f64) {
    let mut db = [[0.0; UNKNOWNS]; 3];
    for (row, m) in db.iter_mut().zip(moments) {
        for (factor, from) in m.iter().zip(b) {
            add(row, scale * factor, from);
        }
    }
    for (i, target) in out.iter_mut().enumerate() {
        let (p, q, r) = (b[0][i], b[1][i], b[2][i]);
        for (j, t) in target.iter_mut().enumerate() {
            *t += p * db[0][j] + q * db[1][j] + r * db[2][j];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CORNERS: [DVec2; 3] = [DVec2::new(1.0, 2.0), DVec2::new(9.0, 3.0), DVec2::new(3.0, 8.0)];
    const INWARDS: [bool; 3] = [true, false, true];

    type Function = fn(DVec2) -> f64;

    /// Unknowns of a function by its value and slopes.
    fn unknowns(f: Function) -> Row {
        let h = 1e-4;
        let dx = |p: DVec2| (f(p + DVec2::X * h) - f(p - DVec2::X * h)) / (2.0 * h);
        let dy = |p: DVec2| (f(p + DVec2::Y * h) - f(p - DVec2::Y * h)) / (2.0 * h);
        let mut out = [0.0; UNKNOWNS];
        for k in 0..3 {
            out[3 * k] = f(CORNERS[k]);
            out[3 * k + 1] = dx(CORNERS[k]);
            out[3 * k + 2] = dy(CORNERS[k]);
            let (a, b) = (CORNERS[(k + 1) % 3], CORNERS[(k + 2) % 3]);
            let normal = (b - a).perp().normalize() * if INWARDS[k] { 1.0 } else { -1.0 };
            let middle = 0.5 * (a + b);
            out[9 + k] = normal.dot(DVec2::new(dx(middle), dy(middle)));
        }
        out
    }

    fn dot(a: &Row, b: &Row) -> f64 {
        a.iter().zip(b).map(|(a, b)| a * b).sum()
    }

    /// Every cubic is met exactly, everywhere, with its slopes and curvatures.
    #[test]
    fn cubics_are_reproduced() {
        let cubics: [Function; 5] = [
            |_| 1.0,
            |p| 2.0 * p.x - 3.0 * p.y,
            |p| p.x * p.y - 0.5 * p.y * p.y,
            |p| p.x.powi(3) - 2.0 * p.x * p.y * p.y,
            |p| p.y.powi(3) + p.x * p.x * p.y,
        ];
        let triangle = Triangle::new(CORNERS, INWARDS);
        for (n, f) in cubics.into_iter().enumerate() {
            let u = unknowns(f);
            for p in
                [(3.0, 3.5), (5.0, 4.0), (4.0, 6.0), (4.333, 4.333), (8.0, 3.0), (1.0, 2.0)].map(DVec2::from)
            {
                assert!((dot(&triangle.value(p), &u) - f(p)).abs() < 1e-6, "{n} {p}");
                let h = 1e-4;
                let slope = DVec2::new(
                    (f(p + DVec2::X * h) - f(p - DVec2::X * h)) / (2.0 * h),
                    (f(p + DVec2::Y * h) - f(p - DVec2::Y * h)) / (2.0 * h),
                );
                let [x, y] = triangle.slope(p);
                assert!((DVec2::new(dot(&x, &u), dot(&y, &u)) - slope).length() < 1e-5, "{n} {p}");
            }
        }
        let u = unknowns(|p| p.x.powi(3) - 2.0 * p.x * p.y * p.y);
        let p = DVec2::new(5.0, 4.0);
        let at_corners = triangle.curvature_at_corners(&u);
        for (p, k) in CORNERS.iter().zip(at_corners) {
            assert!(
                (k[0] - 6.0 * p.x).abs() + (k[1] + 4.0 * p.x).abs() + (k[2] + 8.0 * p.y).abs() < 1e-4,
                "{k:?}"
            );
        }
        let [xx, yy, xy2] = triangle.curvature_at(p).map(|row| dot(&row, &u));
        assert!(
            (xx - 30.0).abs() < 1e-5 && (yy + 20.0).abs() < 1e-5 && (xy2 + 32.0).abs() < 1e-5,
            "{xx} {yy} {xy2}"
        );
    }

    /// Value and slope run on across the lines between the parts, whatever the unknowns.
    #[test]
    fn slopes_run_on_inside() {
        let triangle = Triangle::new(CORNERS, INWARDS);
        let centre = (CORNERS[0] + CORNERS[1] + CORNERS[2]) / 3.0;
        for corner in CORNERS {
            let p = corner.lerp(centre, 0.6);
            let off = (centre - corner).perp().normalize() * 1e-9;
            for d in 0..2 {
                let (one, other) = (triangle.slope(p + off)[d], triangle.slope(p - off)[d]);
                for (a, b) in one.iter().zip(other) {
                    assert!((a - b).abs() < 1e-7);
                }
            }
        }
    }

    /// Bending stores nothing in a plane, and in a quadratic what the closed form says.
    #[test]
    fn energy_of_constant_curvature() {
        let moments = [[2.0, 0.6, 0.0], [0.6, 2.0, 0.0], [0.0, 0.0, 0.7]];
        let k = Triangle::new(CORNERS, INWARDS).stiffness(&moments);
        let energy = |u: &Row| -> f64 { k.iter().zip(u).map(|(row, u_i)| u_i * dot(row, u)).sum() };
        assert!(energy(&unknowns(|p| 3.0 + p.x - 7.0 * p.y)).abs() < 1e-6);
        let area = 0.5 * (CORNERS[1] - CORNERS[0]).perp_dot(CORNERS[2] - CORNERS[0]);
        let found = energy(&unknowns(|p| 0.5 * p.x * p.x + p.x * p.y));
        assert!((found / (area * (2.0 + 0.7 * 4.0)) - 1.0).abs() < 1e-6, "{found}");
    }

    /// The matrix of mass integrates products: with w = 1 it is the load of an even pressure, and the loads sum up to the force.
    #[test]
    fn mass_and_load_agree() {
        let triangle = Triangle::new(CORNERS, INWARDS);
        let mass = triangle.mass(&bernstein_gram());
        let linear: Function = |p| 1.0 + 0.3 * p.x - 0.2 * p.y;
        let u = unknowns(linear);
        let load = triangle.load(CORNERS.map(linear));
        for (row, l) in mass.iter().zip(load) {
            assert!((dot(row, &u) - l).abs() < 1e-6);
        }
        let area = 0.5 * (CORNERS[1] - CORNERS[0]).perp_dot(CORNERS[2] - CORNERS[0]);
        let even = triangle.load([1.0; 3]);
        assert!((dot(&even, &unknowns(|_| 1.0)) - area).abs() < 1e-9);
        let centre = (CORNERS[0] + CORNERS[1] + CORNERS[2]) / 3.0;
        assert!((dot(&even, &unknowns(|p| p.x)) - area * centre.x).abs() < 1e-6);
    }
}
