//! The small equations of a sheet on its cups: forces at the lips and three rigid motions.

use crate::error::FlexError;
use faer::Mat;
use faer::linalg::solvers::{PartialPivLu, Solve};
use glam::DVec3;

/// What may be left over of the small equations, as a share of their largest term.
const SETTLED: f64 = 1e-9;

/// Of the flexibility method, factorised: Pᵀ K⁻¹ P + C beside the rigid motions at the lips.
pub(crate) struct Small {
    pub forms: usize,
    pub active: Vec<usize>,
    pub matrix: Mat<f64>,
    pub factor: PartialPivLu<f64>,
}

impl Small {
    /// Forces at every form and the rigid motions, for what each load does without cups: deflection at every form, and its
    /// force and moments. One step of refinement, and what is left is looked at.
    pub fn solve(&self, free: &[(Vec<f64>, DVec3)]) -> Result<Vec<(Vec<f64>, DVec3)>, FlexError> {
        let (count, size) = (self.active.len(), self.matrix.nrows());
        let right = Mat::from_fn(size, free.len(), |i, l| match self.active.get(i) {
            Some(&a) => free[l].0[a],
            None => -free[l].1[i - count],
        });
        let mut found = self.factor.solve(&right);
        let left = &right - &self.matrix * &found;
        found += self.factor.solve(&left);
        let left = &right - &self.matrix * &found;
        for l in 0..free.len() {
            // Rows of the lips are lengths, those of balance are forces.
            for rows in [0..count, count..size] {
                let (mut over, mut scale) = (0.0_f64, 0.0_f64);
                for i in rows {
                    over = over.max(left[(i, l)].abs());
                    scale = scale.max(right[(i, l)].abs());
                    // The library's products pass over what is no number here and there: look at each term.
                    for j in 0..size {
                        scale = scale.max((self.matrix[(i, j)] * found[(j, l)]).abs());
                    }
                }
                // What is no number did not settle either.
                let settled = over <= SETTLED * scale && scale.is_finite();
                if !settled {
                    return Err(FlexError::Unsettled { left: over / scale });
                }
            }
        }
        let told = (0..free.len()).map(|l| {
            let mut forces = vec![0.0; self.forms];
            for (i, form) in self.active.iter().enumerate() {
                forces[*form] = found[(i, l)];
            }
            (forces, DVec3::new(found[(count, l)], found[(count + 1, l)], found[(count + 2, l)]))
        });
        let told: Vec<(Vec<f64>, DVec3)> = told.collect();
        match told.iter().all(|t| t.1.is_finite() && t.0.iter().all(|f| f.is_finite())) {
            true => Ok(told),
            false => Err(FlexError::Unsettled { left: f64::NAN }),
        }
    }
}
