//! The deflected sheet: deflection, slope, moments at any point.

use crate::locate::{slopes_in, value_in};
use crate::matrix::{element, unknowns_of};
use crate::sheet::Sheet;
use glam::DVec2;

/// A deflected sheet, or a mode of its ringing: one figure per unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    pub(crate) values: Vec<f64>,
}

/// Bending moments per width at a point, N (N·mm/mm): m_xx bends along x, m_xy twists.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// -(D w_xx + ν D w_yy) of an isotropic sheet, N.
    pub xx: f64,
    /// N.
    pub yy: f64,
    /// N.
    pub xy: f64,
}

impl Moments {
    /// Principal moments, the larger first, N.
    pub fn principal(&self) -> [f64; 2] {
        let (mean, half) = (0.5 * (self.xx + self.yy), 0.5 * (self.xx - self.yy));
        let reach = half.hypot(self.xy);
        [mean + reach, mean - reach]
    }

    /// Largest principal moment by size, N.
    pub fn largest(&self) -> f64 {
        let [a, b] = self.principal();
        a.abs().max(b.abs())
    }

    /// Largest principal bending stress at a face of a sheet so thick (mm), N/mm²: 6 m/t².
    ///
    /// # Source
    /// Timoshenko & Woinowsky-Krieger, art. 11 (from memory).
    pub fn stress(&self, thickness: f64) -> f64 {
        6.0 * self.largest() / (thickness * thickness)
    }
}

impl Field {
    /// Deflections at the corners of the mesh, mm.
    pub fn at_corners<'a>(&'a self, sheet: &Sheet) -> &'a [f64] {
        &self.values[..sheet.mesh.points.len()]
    }

    /// Deflection at a point, mm; `None` off the sheet.
    pub fn deflection(&self, sheet: &Sheet, at: DVec2) -> Option<f64> {
        let t = sheet.locator.triangle(&sheet.mesh, at)?;
        Some(value_in(&sheet.mesh, t, at).of(&self.values))
    }

    /// Slopes along x and y at a point, rad; `None` off the sheet.
    pub fn slope(&self, sheet: &Sheet, at: DVec2) -> Option<DVec2> {
        let t = sheet.locator.triangle(&sheet.mesh, at)?;
        let [x, y] = slopes_in(&sheet.mesh, t, at).map(|s| s.of(&self.values));
        Some(DVec2::new(x, y))
    }

    /// Deflections along a straight line at `count` points (two at least) from end to end; `None` where it leaves the sheet.
    pub fn section(&self, sheet: &Sheet, from: DVec2, to: DVec2, count: usize) -> Vec<(DVec2, Option<f64>)> {
        let last = count.max(2) - 1;
        let points = (0..=last).map(|i| from.lerp(to, i as f64 / last as f64));
        points.map(|p| (p, self.deflection(sheet, p))).collect()
    }

    /// Moments of the whole sheet.
    pub fn moments(&self, sheet: &Sheet) -> MomentField {
        MomentField::new(sheet, &self.values)
    }
}

/// Moments at the corners of the mesh, even between them: means of what the triangles round a corner say, weighed by area.
///
/// Moments grow without end under a point mass and at a corner that turns in; what stands there depends on the mesh.
pub struct MomentField {
    corners: Vec<Moments>,
}

impl MomentField {
    fn new(sheet: &Sheet, values: &[f64]) -> Self {
        let mesh = &sheet.mesh;
        let mut sums = vec![([0.0; 3], 0.0); mesh.points.len()];
        for t in 0..mesh.triangles.len() {
            let corners = mesh.corners(t);
            let area = (corners[1] - corners[0]).perp_dot(corners[2] - corners[0]);
            let own = unknowns_of(mesh, t).map(|u| values[u]);
            for (at, curvature) in mesh.triangles[t].iter().zip(element(mesh, t).curvature_at_corners(&own)) {
                let sum = &mut sums[*at as usize];
                for (s, row) in sum.0.iter_mut().zip(&sheet.moments) {
                    *s -= area * row.iter().zip(curvature).map(|(d, k)| d * k).sum::<f64>();
                }
                sum.1 += area;
            }
        }
        let mean =
            |(m, area): &([f64; 3], f64)| Moments { xx: m[0] / area, yy: m[1] / area, xy: m[2] / area };
        Self { corners: sums.iter().map(mean).collect() }
    }

    /// Moments at the corners of the mesh.
    pub fn at_corners(&self) -> &[Moments] {
        &self.corners
    }

    /// Moments at a point; `None` off the sheet.
    pub fn at(&self, sheet: &Sheet, at: DVec2) -> Option<Moments> {
        let t = sheet.locator.triangle(&sheet.mesh, at)?;
        let shares = element(&sheet.mesh, t).barycentric(at);
        let own = sheet.mesh.triangles[t].map(|i| self.corners[i as usize]);
        let mean = |by: fn(&Moments) -> f64| own.iter().zip(shares).map(|(m, s)| by(m) * s).sum();
        Some(Moments { xx: mean(|m| m.xx), yy: mean(|m| m.yy), xy: mean(|m| m.xy) })
    }
}
