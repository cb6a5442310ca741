//! The ringing of a sheet on its cups: frequencies and modes.

use crate::error::FlexError;
use crate::field::Field;
use crate::hung::Hung;
use crate::seat::along;
use crate::small::Small;
use faer::{Mat, Side};
use glam::{DMat3, DVec2, DVec3};
use std::f64::consts::TAU;

/// A mode has settled when one more step changes it by this share.
const SETTLED: f64 = 1e-7;
/// Steps of the block until it counts as not settling.
const MOST_STEPS: usize = 40;
/// What is left of a new direction below this share is rounding.
const NOTHING_NEW: f64 = 1e-10;
/// (rad/s)² of one N/mm on one kg.
const PER_SECOND: f64 = 1e3;

/// One way in which a sheet rings on its cups.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Hz.
    pub frequency: f64,
    /// Its shape, so scaled that its mass is 1 kg: mm of the shape are 1/√kg.
    pub shape: Field,
    /// How much of it an even acceleration excites, and accelerations that grow along x and y to 1 over the part's longest
    /// extent: φᵀ M 1 and so on, √kg. Its square is the mass that moves with it.
    pub participation: DVec3,
    /// Forces at the forms of the cups for the shape, N.
    pub(crate) forces: Vec<f64>,
}

/// The lowest modes of a sheet on its cups.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    /// Lowest first.
    pub modes: Vec<Mode>,
    /// Cups that were lost.
    pub(crate) lost: Vec<usize>,
}

impl Ring {
    /// The `count` lowest of its modes.
    pub fn lowest(mut self, count: usize) -> Self {
        self.modes.truncate(count);
        self
    }
}

impl Hung {
    /// The `count` lowest modes of motion across the sheet on its cups, but for those lost. Cups weigh nothing.
    ///
    /// # Errors
    /// [`FlexError::NotHeld`] as for sharing, [`FlexError::NoModes`] where they do not settle.
    ///
    /// # Source
    /// Block Lanczos with full orthogonalisation on (K + cups)⁻¹ M, consistent mass: Parlett, *The Symmetric Eigenvalue Problem*,
    /// 1980, chapter 13 (from memory). Several vectors go together, so that equal frequencies of a symmetric sheet are all found.
    pub fn ring(&self, count: usize, lost: &[usize]) -> Result<Ring, FlexError> {
        let small = self.small(lost)?;
        let count = count.clamp(1, self.sheet.unknowns() / 4);
        let rigid = [DVec3::X, DVec3::Y, DVec3::Z].map(|q| {
            let mut field = vec![0.0; self.sheet.unknowns()];
            self.sheet.add_rigid(q, &mut field);
            field
        });
        let mut block: Vec<Vec<f64>> = rigid.to_vec();
        block.extend((3..(count + 1).max(4)).map(|i| self.wave(i)));
        let mut space = Space::default();
        for _ in 0..MOST_STEPS {
            let first = space.basis.len();
            space.take(block, |q| self.sheet.mass_times(q));
            let answers = self.yielding(&small, &rigid, &space.masses[first..])?;
            let answers: Vec<Vec<f64>> = answers.into_iter().map(|a| a.0).collect();
            let nothing_new = answers.is_empty();
            block = answers.clone();
            space.answer(answers);
            if space.basis.len() >= count {
                let found = space.modes(count)?;
                let settled = |(share, mix): &(f64, Vec<f64>)| {
                    let left = space.left(*share, mix);
                    let size = dot(&left, &self.sheet.mass_times(&left)).max(0.0).sqrt();
                    size <= SETTLED * share
                };
                if nothing_new || found.iter().all(settled) {
                    return self.modes_of(&small, &rigid, &found, &space, lost);
                }
            }
            if nothing_new {
                break;
            }
        }
        Err(FlexError::NoModes { steps: MOST_STEPS })
    }

    /// What the sheet on its cups yields to loads, (K + cups)⁻¹ f, and the forces at the forms of the cups.
    fn yielding(
        &self,
        small: &Small,
        rigid: &[Vec<f64>; 3],
        loads: &[Vec<f64>],
    ) -> Result<Vec<(Vec<f64>, Vec<f64>)>, FlexError> {
        let mut answers = loads.to_vec();
        self.sheet.factor.solve(&mut answers);
        let free: Vec<(Vec<f64>, DVec3)> = loads
            .iter()
            .zip(&answers)
            .map(|(load, answer)| {
                let forms = self.seats.iter().flat_map(|s| &s.forms).map(|form| along(form, answer));
                (forms.collect(), DVec3::from_array(rigid.each_ref().map(|r| dot(r, load))))
            })
            .collect();
        let solved = small.solve(&free)?;
        let put = |(mut answer, (forces, motion)): (Vec<f64>, (Vec<f64>, DVec3))| {
            for (column, force) in self.seats.iter().flat_map(|s| &s.answers).zip(&forces) {
                if *force != 0.0 {
                    add(&mut answer, -force, column);
                }
            }
            self.sheet.add_rigid(motion, &mut answer);
            (answer, forces)
        };
        Ok(answers.into_iter().zip(solved).map(put).collect())
    }

    /// A wave over the part that is even about no line, so that it holds a little of every mode.
    fn wave(&self, index: usize) -> Vec<f64> {
        let mesh = &self.sheet.mesh;
        let corners = mesh.points.len();
        let number = DVec2::new(2.3 + 0.71 * index as f64, 3.1 + 0.37 * (index * index) as f64) / self.sheet.length;
        let phase = |p: DVec2| number.dot(p - self.sheet.centre) + 0.4 + index as f64;
        let mut field = vec![0.0; self.sheet.unknowns()];
        for (i, p) in mesh.points.iter().enumerate() {
            field[i] = phase(*p).sin();
            let slope = number * phase(*p).cos();
            field[corners + 2 * i] = slope.x;
            field[corners + 2 * i + 1] = slope.y;
        }
        for (e, edge) in mesh.edges.iter().enumerate() {
            let [a, b] = edge.map(|i| mesh.points[i as usize]);
            let slope = number * phase(0.5 * (a + b)).cos();
            field[3 * corners + e] = (b - a).perp().normalize().dot(slope);
        }
        field
    }

    /// Modes from what was found. Each is put through the sheet once more, which gives its forces, and checked by its energies.
    fn modes_of(
        &self,
        small: &Small,
        rigid: &[Vec<f64>; 3],
        found: &[(f64, Vec<f64>)],
        space: &Space,
        lost: &[usize],
    ) -> Result<Ring, FlexError> {
        let sheet = &*self.sheet;
        let inertia = found.iter().map(|(share, mix)| {
            let mut load = vec![0.0; sheet.unknowns()];
            for (times, mass) in mix.iter().zip(&space.masses) {
                add(&mut load, times / share, mass);
            }
            load
        });
        let inertia: Vec<Vec<f64>> = inertia.collect();
        let mut modes = Vec::with_capacity(found.len());
        for ((share, _), (values, forces)) in found.iter().zip(self.yielding(small, rigid, &inertia)?) {
            let bending = dot(&values, &sheet.pattern.times(&sheet.stiffness, &values));
            let springs: f64 = forces.iter().zip(&self.yields).map(|(f, y)| f * f * y.unwrap_or(0.0)).sum();
            let mass = dot(&values, &sheet.mass_times(&values));
            // Not `> …`: what is no number did not settle either.
            if !(((bending + springs) / mass * share - 1.0).abs() <= 1e3 * SETTLED && (mass - 1.0).abs() <= 1e3 * SETTLED) {
                return Err(FlexError::NoModes { steps: space.basis.len() });
            }
            let participation = DVec3::from_array(sheet.unit.each_ref().map(|load| dot(load, &values)));
            let frequency = (PER_SECOND / share).sqrt() / TAU;
            modes.push(Mode { frequency, shape: Field { values }, participation, forces });
        }
        Ok(Ring { modes, lost: lost.to_vec() })
    }

    /// Frequencies of heaving, pitching and rolling of the same part if it were rigid, lowest first, Hz.
    ///
    /// # Errors
    /// [`FlexError::NotHeld`] where the cups do not hold it, or do not yield.
    pub fn rigid_frequencies(&self, lost: &[usize]) -> Result<[f64; 3], FlexError> {
        let mut springs = DMat3::ZERO;
        for ((form, yields), r) in self.yields.iter().enumerate().zip(&self.rigid) {
            if let Some(yields) = yields.filter(|_| !lost.contains(&(form / 3))) {
                springs += DMat3::from_cols(*r * r.x, *r * r.y, *r * r.z) * yields.recip();
            }
        }
        let held = FlexError::NotHeld { cups: self.cups.len().saturating_sub(lost.len()) };
        let inertia = Mat::from_fn(3, 3, |i, j| self.sheet.inertia.col(j)[i]);
        let Ok(factor) = inertia.llt(Side::Lower) else { return Err(FlexError::Singular) };
        // L⁻¹ S L⁻ᵀ has the frequencies' squares.
        let mut square = Mat::from_fn(3, 3, |i, j| springs.col(j)[i]);
        faer::linalg::triangular_solve::solve_lower_triangular_in_place(factor.L(), square.as_mut(), faer::Par::Seq);
        let mut square = square.transpose().to_owned();
        faer::linalg::triangular_solve::solve_lower_triangular_in_place(factor.L(), square.as_mut(), faer::Par::Seq);
        let Ok(values) = square.self_adjoint_eigenvalues(Side::Lower) else { return Err(FlexError::Singular) };
        match values.as_slice() {
            [a, b, c] if *a > 0.0 && c.is_finite() => Ok([a, b, c].map(|v| (PER_SECOND * v).sqrt() / TAU)),
            _ => Err(held),
        }
    }
}

/// Directions in which modes are looked for, of mass 1 and without mass in common.
#[derive(Default)]
struct Space {
    basis: Vec<Vec<f64>>,
    /// Mass times each.
    masses: Vec<Vec<f64>>,
    /// What the sheet yields to the mass of each.
    answers: Vec<Vec<f64>>,
    /// The operator in these directions, row by row.
    projected: Vec<Vec<f64>>,
}

impl Space {
    /// Takes up what is new in vectors.
    fn take(&mut self, block: Vec<Vec<f64>>, mass: impl Fn(&[f64]) -> Vec<f64>) {
        for mut vector in block {
            let mut old = 0.0;
            // Twice is enough (Kahan and Parlett).
            for _ in 0..2 {
                for (q, m) in self.basis.iter().zip(&self.masses) {
                    let common = dot(m, &vector);
                    old += common * common;
                    add(&mut vector, -common, q);
                }
            }
            let mut heavy = mass(&vector);
            let size = dot(&vector, &heavy).max(0.0).sqrt();
            if size > NOTHING_NEW * (old + size * size).sqrt() {
                vector.iter_mut().chain(&mut heavy).for_each(|v| *v /= size);
                self.basis.push(vector);
                self.masses.push(heavy);
            }
        }
    }

    fn answer(&mut self, answers: Vec<Vec<f64>>) {
        self.answers.extend(answers);
        for i in 0..self.masses.len() {
            if self.projected.len() <= i {
                self.projected.push(Vec::new());
            }
            let row = &mut self.projected[i];
            row.extend(self.answers[row.len()..].iter().map(|answer| dot(&self.masses[i], answer)));
        }
    }

    /// The largest yields of the space and how their directions are mixed.
    fn modes(&self, count: usize) -> Result<Vec<(f64, Vec<f64>)>, FlexError> {
        let size = self.basis.len();
        let even = |i: usize, j: usize| 0.5 * (self.projected[i][j] + self.projected[j][i]);
        let matrix = Mat::from_fn(size, size, even);
        let failed = FlexError::NoModes { steps: size };
        if !self.projected.iter().flatten().all(|v| v.is_finite()) {
            return Err(failed);
        }
        let Ok(eigen) = matrix.self_adjoint_eigen(Side::Lower) else { return Err(failed) };
        let found = (size - count..size).rev().map(|k| {
            (eigen.S()[k], (0..size).map(|i| eigen.U()[(i, k)]).collect())
        });
        let found: Vec<(f64, Vec<f64>)> = found.collect();
        if found.iter().all(|f| f.0 > 0.0) { Ok(found) } else { Err(failed) }
    }

    /// What a mode leaves over.
    fn left(&self, share: f64, mix: &[f64]) -> Vec<f64> {
        let mut left = vec![0.0; self.basis.first().map_or(0, Vec::len)];
        for ((times, q), answer) in mix.iter().zip(&self.basis).zip(&self.answers) {
            add(&mut left, -times * share, q);
            add(&mut left, *times, answer);
        }
        left
    }
}

/// The lowest squares of frequency of a matrix that is factorised, for tests of the plate by itself.
#[cfg(test)]
pub(crate) fn lowest(
    count: usize,
    size: usize,
    mass: impl Fn(&[f64]) -> Vec<f64>,
    solve: impl Fn(&mut [Vec<f64>]),
) -> Vec<f64> {
    let mut space = Space::default();
    let seed = |k: usize| (0..size).map(|i| ((i * (2 * k + 3)) as f64 * 0.618).sin()).collect::<Vec<f64>>();
    let mut block: Vec<Vec<f64>> = (0..count + 2).map(seed).collect();
    solve(&mut block);
    for _ in 0..8 {
        let first = space.basis.len();
        space.take(block, &mass);
        block = space.masses[first..].to_vec();
        solve(&mut block);
        space.answer(block.clone());
    }
    space.modes(count).unwrap().iter().map(|(share, _)| share.recip()).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    // Four sums side by side, which a processor does at once.
    let mut sums = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a4.zip(b4) {
        for k in 0..4 {
            sums[k] += a[k] * b[k];
        }
    }
    sums[0] + sums[1] + (sums[2] + sums[3]) + rest
}

fn add(to: &mut [f64], times: f64, from: &[f64]) {
    for (t, f) in to.iter_mut().zip(from) {
        *t += times * f;
    }
}
