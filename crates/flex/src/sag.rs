//! How far a sheet sags, and the gaps at its lips.

use crate::field::Field;
use crate::hung::{Hung, Share};
use faer::Mat;
use glam::{DMat2, DVec2};

/// Cups spread less than this share of the part's length across a line count as on the line.
const ON_A_LINE: f64 = 1e-6;
/// Steps along a triangle's side at which its deflection is looked at for the greatest.
const STEPS: usize = 4;

/// A plane over the part.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Plane {
    /// Deflection at the origin of the part, mm.
    pub at_origin: f64,
    /// Slopes along x and y.
    pub slope: DVec2,
}

impl Plane {
    /// Its deflection at a place, mm.
    pub fn at(&self, place: DVec2) -> f64 {
        self.at_origin + self.slope.dot(place)
    }
}

/// How far a sheet leaves the plane that its lips lie in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sag {
    /// The plane that fits the mean deflections of the lips best, equal weights.
    pub plane: Plane,
    /// Greatest deflection beyond it, away from the cups, mm, and where.
    pub most: (f64, DVec2),
    /// Least, which is below nothing where an edge rises, mm, and where.
    pub least: (f64, DVec2),
}

impl Sag {
    /// The larger of both by size, mm, and where.
    pub fn largest(&self) -> (f64, DVec2) {
        if self.most.0.abs() >= self.least.0.abs() { self.most } else { self.least }
    }

    /// What small deflections are worth at this sag on a sheet so thick, mm.
    pub fn validity(&self, thickness: f64) -> Validity {
        validity(self.largest().0, thickness)
    }
}

/// What small deflections are worth at a sag, mm, on a sheet so thick, mm.
///
/// # Source
/// Beyond half the thickness the middle of a plate stretches noticeably: Timoshenko & Woinowsky-Krieger, art. 13 (from memory).
pub(crate) fn validity(sag: f64, thickness: f64) -> Validity {
    if sag.abs() <= 0.5 * thickness {
        Validity::Small
    } else if sag.abs() <= 5.0 * thickness {
        Validity::Stiffens
    } else {
        Validity::VeryLarge
    }
}

/// Where small deflections end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Validity {
    /// Sag up to half the thickness: as computed.
    Small,
    /// Up to five times the thickness: in truth the sheet stiffens and sags less, and its stress is not covered.
    Stiffens,
    /// Beyond: no more than that it is very large can be said.
    VeryLarge,
}

impl Hung {
    /// What a share is the sum of, without its rigid motion: the sheet's own answers, then three for each cup.
    fn columns(&self) -> impl Iterator<Item = &[f64]> {
        self.sheet.own_answers().chain(self.seats.iter().flat_map(|s| &s.answers)).map(Vec::as_slice)
    }

    /// How often a share holds each of them.
    fn times<'a>(&self, share: &'a Share) -> impl Iterator<Item = f64> + use<'a> {
        share.load.own_times().chain(share.forces.iter().copied())
    }

    fn parts<'a>(&'a self, share: &'a Share) -> impl Iterator<Item = (f64, &'a [f64])> {
        self.times(share).zip(self.columns())
    }

    /// The deflected sheet under a load.
    pub fn field(&self, share: &Share) -> Field {
        let mut values = vec![0.0; self.sheet.unknowns()];
        crate::vector::add_all(&mut values, self.parts(share));
        self.sheet.add_rigid(share.rigid, &mut values);
        Field { values }
    }

    /// The plane of the lips that are not lost. Across a line of cups it has the lips' mean slope.
    pub fn plane(&self, share: &Share) -> Plane {
        let held = |i: &usize| !share.lost[*i];
        let cups: Vec<(DVec2, f64, DVec2)> = (0..self.cups.len())
            .filter(held)
            .map(|i| (self.cups[i].spring.at, share.cups[i].sink, share.cups[i].slope))
            .collect();
        let count = cups.len().max(1) as f64;
        let centre = cups.iter().map(|c| c.0).sum::<DVec2>() / count;
        let mean = cups.iter().map(|c| c.1).sum::<f64>() / count;
        let lips = cups.iter().map(|c| c.2).sum::<DVec2>() / count;
        let (mut spread, mut lean) = (DMat2::ZERO, DVec2::ZERO);
        for (at, sink, _) in &cups {
            let away = *at - centre;
            spread += DMat2::from_cols(away * away.x, away * away.y);
            lean += away * (sink - mean);
        }
        // Along the principal axes of the cups' places.
        let turn = 0.5 * (2.0 * spread.y_axis.x).atan2(spread.x_axis.x - spread.y_axis.y);
        let axis = DVec2::from_angle(turn);
        let floor = (ON_A_LINE * self.sheet.length).powi(2) * count;
        let slope = [axis, axis.perp()].map(|a| {
            let own = a.dot(spread * a);
            a * if own > floor { lean.dot(a) / own } else { lips.dot(a) }
        });
        let slope = slope[0] + slope[1];
        Plane { at_origin: mean - slope.dot(centre), slope }
    }

    /// Sag of each share against the plane of its lips.
    pub fn sag(&self, shares: &[Share]) -> Vec<Sag> {
        let corners = self.sheet.mesh.points.len();
        let columns: Vec<&[f64]> = self.columns().collect();
        let at_corners = Mat::from_fn(corners, columns.len(), |i, c| columns[c][i]);
        let bent = at_corners * self.all_times(shares);
        shares.iter().zip(bent.col_iter()).map(|(s, b)| self.sag_of(s, b.iter().copied().collect())).collect()
    }

    /// How often the shares hold the columns, a share a column.
    fn all_times(&self, shares: &[Share]) -> Mat<f64> {
        let times: Vec<Vec<f64>> = shares.iter().map(|s| self.times(s).collect()).collect();
        Mat::from_fn(self.columns().count(), times.len(), |c, s| times[s][c])
    }

    /// From the bent part at the corners.
    fn sag_of(&self, share: &Share, mut values: Vec<f64>) -> Sag {
        let mesh = &self.sheet.mesh;
        let plane = self.plane(share);
        for (v, p) in values.iter_mut().zip(&mesh.points) {
            *v += share.rigid.dot(self.sheet.linear(*p)) - plane.at(*p);
        }
        let farthest = |sign: f64| {
            let found = (0..values.len()).max_by(|a, b| (sign * values[*a]).total_cmp(&(sign * values[*b])));
            self.refined(share, &plane, found.unwrap_or(0), sign)
        };
        Sag { plane, most: farthest(1.0), least: farthest(-1.0) }
    }

    /// The greatest deflection over the plane in the triangles round a corner.
    fn refined(&self, share: &Share, plane: &Plane, corner: usize, sign: f64) -> (f64, DVec2) {
        let mesh = &self.sheet.mesh;
        let at_corner = mesh.points[corner];
        let mut best: (f64, DVec2) = (f64::NEG_INFINITY, at_corner);
        // Triangles round a corner share most of their unknowns.
        let mut known: Vec<(usize, f64)> = Vec::with_capacity(48);
        let parts: Vec<(f64, &[f64])> = self.parts(share).filter(|p| p.0 != 0.0).collect();
        let mut value = |u: usize| match known.iter().find(|k| k.0 == u) {
            Some(k) => k.1,
            None => {
                let own = parts.iter().map(|(times, c)| times * c[u]).sum::<f64>();
                known.push((u, own));
                own
            }
        };
        for t in (0..mesh.triangles.len()).filter(|t| mesh.triangles[*t].contains(&(corner as u32))) {
            let own = crate::matrix::unknowns_of(mesh, t).map(&mut value);
            let element = crate::matrix::element(mesh, t);
            let [a, b, c] = mesh.corners(t);
            for (i, j) in (0..=STEPS).flat_map(|i| (0..=STEPS - i).map(move |j| (i, j))) {
                let (u, v) = (i as f64 / STEPS as f64, j as f64 / STEPS as f64);
                let p = a + (b - a) * u + (c - a) * v;
                let bent: f64 = element.value(p).iter().zip(own).map(|(n, w)| n * w).sum();
                let w = bent + share.rigid.dot(self.sheet.linear(p)) - plane.at(p);
                if sign * w > best.0 {
                    best = (sign * w, p);
                }
            }
        }
        (sign * best.0, best.1)
    }

    /// For each share, the gap that each lip must close, mm: largest minus smallest deflection along its line over the plane that
    /// fits the line best. The rigid motion leaves it as it is.
    pub fn gaps(&self, shares: &[Share]) -> Vec<Vec<f64>> {
        let mut gaps = vec![Vec::with_capacity(self.seats.len()); shares.len()];
        let mut field = vec![0.0; self.sheet.unknowns()];
        let columns: Vec<&[f64]> = self.columns().collect();
        let times = self.all_times(shares);
        for seat in &self.seats {
            // What the columns hold at the lip's own unknowns, side by side; then one short sum for every share.
            let unknowns: Vec<usize> = seat.forms[0].iter().map(|(u, _)| *u as usize).collect();
            let near = Mat::from_fn(unknowns.len(), columns.len(), |i, c| columns[c][unknowns[i]]);
            let bent = near * &times;
            for (gaps, bent) in gaps.iter_mut().zip(bent.col_iter()) {
                unknowns.iter().zip(bent.iter()).for_each(|(u, s)| field[*u] = *s);
                gaps.push(seat.gap(&field));
            }
        }
        gaps
    }
}
