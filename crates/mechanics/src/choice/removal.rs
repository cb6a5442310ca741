//! One cup taken away without assembling the others again.

use crate::group::{CupGroup, CupLoad};
use crate::motion::{MILLI, Wrench};
use glam::{DVec2, DVec3};

/// Below this, of a matrix whose eigenvalues lie between 0 and 1, what is left carries some load with no digits to rely on.
const THIN: f64 = 1e-7;

/// The effect of a cup that is gone on what the others get.
///
/// The others carry a load w without cup i just as all of them carry w and, at the place of i, the load p that i then takes:
/// p = f + A p, with f the share of i in w and A the part of a load at its place that i takes itself. So p = (I - A)⁻¹ f, a
/// 6x6 system a cup, and what each of the others gets grows by its share of p at that place.
///
/// # Source
/// The Woodbury identity for K - G D Gᵀ, of rank three for a point spring and six for a lip, with D Gᵀ K⁻¹ w = f and
/// A = D Gᵀ K⁻¹ G (Golub & Van Loan, *Matrix Computations*, 2.1.4, from memory).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Removal {
    at: DVec2,
    /// From the cup's own load to the load at its place: (I - A)⁻¹, moments over `length`.
    inverse: [[f64; 6]; 6],
    /// m.
    length: f64,
}

impl Removal {
    /// Of a cup of a group, at its place; `None` where the others are too near to carrying nothing of some load: then the group is
    /// to be made anew, which knows what it cannot carry.
    ///
    /// # Units
    /// `at` and `extent` mm: how far the cups reach.
    pub(crate) fn of(group: &CupGroup, cup: usize, at: DVec2, extent: f64) -> Option<Self> {
        let length = extent.max(1.0) * MILLI;
        let mut system = [[0.0; 6]; 6];
        for column in 0..6 {
            let mut unit = [0.0; 6];
            unit[column] = 1.0;
            let taken = vector(&group.share_of_cup(cup, &wrench(unit, at, length)), length);
            for (row, taken) in taken.into_iter().enumerate() {
                system[row][column] = f64::from(u8::from(row == column)) - taken;
            }
        }
        Some(Self { at, inverse: inverted(system)?, length })
    }

    /// The load at the place of the lost cup that gives the others what they get without it, from its own share.
    pub(crate) fn instead(&self, share: &CupLoad) -> Wrench {
        let share = vector(share, self.length);
        let instead = self.inverse.map(|row| row.iter().zip(share).map(|(a, b)| a * b).sum());
        wrench(instead, self.at, self.length)
    }
}

fn vector(load: &CupLoad, length: f64) -> [f64; 6] {
    let moment = load.tilt.extend(load.twist) / length;
    [load.slide.x, load.slide.y, -load.pull, moment.x, moment.y, moment.z]
}

fn wrench(of: [f64; 6], at: DVec2, length: f64) -> Wrench {
    let [x, y, z, mx, my, mz] = of;
    Wrench { force: DVec3::new(x, y, z), moment: DVec3::new(mx, my, mz) * length, about: at.extend(0.0) }
}

/// The inverse by elimination with row exchanges; `None` where a pivot is thin.
fn inverted(mut a: [[f64; 6]; 6]) -> Option<[[f64; 6]; 6]> {
    let mut inverse = [[0.0; 6]; 6];
    for (i, row) in inverse.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for column in 0..6 {
        let pivot = (column..6).max_by(|&i, &j| a[i][column].abs().total_cmp(&a[j][column].abs()))?;
        let size = a[pivot][column].abs();
        if size.is_nan() || size < THIN {
            return None;
        }
        a.swap(column, pivot);
        inverse.swap(column, pivot);
        let over = a[column][column].recip();
        a[column] = a[column].map(|v| v * over);
        inverse[column] = inverse[column].map(|v| v * over);
        let (own, own_inverse) = (a[column], inverse[column]);
        for row in (0..6).filter(|row| *row != column) {
            let times = a[row][column];
            if times != 0.0 {
                for k in 0..6 {
                    a[row][k] -= times * own[k];
                    inverse[row][k] -= times * own_inverse[k];
                }
            }
        }
    }
    Some(inverse)
}
