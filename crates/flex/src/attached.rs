//! Masses that a sheet carries: a point, or a block spread over its footprint.

use crate::error::{FlexError, finite};
use crate::locate::{Locator, Sample, slopes_in, value_in};
use crate::mesh::Mesh;
use glam::DVec2;

/// Points along each side of a footprint at which a block is taken to sit.
const SPREAD: usize = 6;

/// Where a block sits on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Footprint {
    /// Whole extent along its own axes, mm.
    pub size: DVec2,
    /// Turn of its first axis from x, rad.
    pub turn: f64,
    /// Whether the block keeps the sheet below it from bending. A block that is screwed on along its edge does, one that lies
    /// on foam does not: a choice that the person states.
    pub stiff: bool,
}

/// A mass that is fixed to the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attached {
    /// kg.
    pub mass: f64,
    /// Its place over the sheet, mm.
    pub at: DVec2,
    /// Height of its centre of gravity above the plane of the lips, mm; below is negative.
    pub height: f64,
    /// Where it sits; `None` for a point.
    pub footprint: Option<Footprint>,
}

impl Attached {
    /// Corners that the mesh should have: the point, or points along the footprint no further apart than `step`.
    pub(crate) fn marks(&self, step: f64) -> Vec<DVec2> {
        let Some(footprint) = self.footprint else { return vec![self.at] };
        if !footprint.stiff {
            return Vec::new();
        }
        let axes = self.axes();
        let half = 0.5 * footprint.size;
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| self.at + axes[0] * (x * half.x) + axes[1] * (y * half.y));
        let mut marks = Vec::new();
        for (i, a) in corners.into_iter().enumerate() {
            let b = corners[(i + 1) % 4];
            let parts = (a.distance(b) / step).ceil().clamp(1.0, 64.0);
            marks.extend((0..parts as usize).map(|k| a.lerp(b, k as f64 / parts)));
        }
        marks
    }

    fn axes(&self) -> [DVec2; 2] {
        let x = DVec2::from_angle(self.footprint.map_or(0.0, |f| f.turn));
        [x, x.perp()]
    }

    /// Whether a point lies within the footprint of a stiff block.
    pub(crate) fn stiffens(&self, p: DVec2) -> bool {
        self.footprint.is_some_and(|f| {
            let away = p - self.at;
            f.stiff
                && self.axes().into_iter().zip(f.size.to_array()).all(|(x, s)| away.dot(x).abs() <= 0.5 * s)
        })
    }

    /// Shares of the mass by place: one point, or a grid of equal shares over the footprint whose second moments are the block's.
    pub(crate) fn shares(&self) -> Vec<(f64, DVec2)> {
        let Some(footprint) = self.footprint else { return vec![(self.mass, self.at)] };
        let axes = self.axes();
        let n = SPREAD as f64;
        // Middles of equal cells lack the cells' own second moment.
        let stretch = (1.0 - 1.0 / (n * n)).sqrt().recip();
        let place = |k: usize| stretch * ((k as f64 + 0.5) / n - 0.5);
        let cells = (0..SPREAD).flat_map(|i| (0..SPREAD).map(move |k| (i, k)));
        cells
            .map(|(i, k)| {
                let at = self.at
                    + axes[0] * (place(i) * footprint.size.x)
                    + axes[1] * (place(k) * footprint.size.y);
                (self.mass / (n * n), at)
            })
            .collect()
    }

    /// Finds it on the mesh.
    pub(crate) fn sit(&self, index: usize, mesh: &Mesh, locator: &Locator) -> Result<Sitting, FlexError> {
        if !(self.mass.is_finite() && self.mass >= 0.0) {
            let need = "enter 0 or more";
            return Err(FlexError::BadInput { what: "an attached mass in kg", value: self.mass, need });
        }
        finite("the height of an attached mass in mm", self.height)?;
        if let Some(f) = self.footprint {
            for side in f.size.to_array() {
                crate::error::positive("a side of the footprint of an attached mass in mm", side)?;
            }
            finite("the turn of an attached mass in rad", f.turn)?;
        }
        let off = |at| FlexError::MassOff { index, at };
        let mut shares = Vec::new();
        for (mass, at) in self.shares() {
            let t = locator.triangle(mesh, at).ok_or_else(|| off(at))?;
            shares.push((mass, at, value_in(mesh, t, at)));
        }
        let force = shares.iter().map(|s| (1.0 / shares.len() as f64, s.2.clone())).collect();
        let couples = if shares.len() == 1 {
            let t = locator.triangle(mesh, self.at).ok_or_else(|| off(self.at))?;
            slopes_in(mesh, t, self.at).map(|s| vec![(1.0, s)])
        } else {
            // Slope of the plane that fits the footprint best: Σ x w over Σ x² along each of its axes, turned to x and y.
            let axes = self.axes();
            let along = axes.map(|axis| {
                let sum: f64 = shares.iter().map(|s| (s.1 - self.at).dot(axis).powi(2)).sum();
                shares.iter().map(|s| (s.1 - self.at).dot(axis) / sum).collect::<Vec<f64>>()
            });
            [DVec2::X, DVec2::Y].map(|way| {
                let of = |i: usize| way.dot(axes[0]) * along[0][i] + way.dot(axes[1]) * along[1][i];
                shares.iter().enumerate().map(|(i, s)| (of(i), s.2.clone())).collect()
            })
        };
        let [x, y] = couples;
        Ok(Sitting { shares, forms: [force, x, y] })
    }
}

/// An attached mass on its mesh.
pub(crate) struct Sitting {
    /// kg, place, and the deflection there.
    pub shares: Vec<(f64, DVec2, Sample)>,
    /// Its mean deflection and its slopes along x and y as sums of deflections.
    pub forms: [Vec<(f64, Sample)>; 3],
}
