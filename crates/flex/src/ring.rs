//! The ringing of a sheet on its cups: frequencies and modes.

use crate::error::FlexError;
use crate::field::Field;
use crate::hung::Hung;
use crate::small::Small;
use crate::vector::{add, dot};
use faer::linalg::matmul::matmul;
use faer::{Accum, ColRef, Mat, MatRef, Par, Side};
use glam::{DVec2, DVec3};
use std::f64::consts::TAU;

/// A mode has settled when one more step changes it by this share; its frequency then errs by the square of that.
const SETTLED: f64 = 1e-4;
/// Its energies must agree with its frequency, and its mass with 1, to this.
const AGREED: f64 = 1e-4;
/// Steps that there is room for at first.
const FIRST_ROOM: usize = 12;
/// Steps of the block until it counts as not settling.
const MOST_STEPS: usize = 40;
/// Where less than this share of a vector's mass is left, what was taken off it was taken off with an error that counts.
const LITTLE: f64 = 1e-4;
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
        let size = self.sheet.unknowns();
        let count = count.clamp(1, size / 4);
        // Answers at the lips beside each other, then the rigid motions.
        let forms = self.yields.len();
        let mut columns = Mat::zeros(size, forms + 3);
        for (mut to, from) in columns.col_iter_mut().zip(self.seats.iter().flat_map(|s| &s.answers)) {
            to.copy_from(ColRef::from_slice(from));
        }
        for (d, q) in [DVec3::X, DVec3::Y, DVec3::Z].into_iter().enumerate() {
            let mut field = vec![0.0; size];
            self.sheet.add_rigid(q, &mut field);
            columns.col_mut(forms + d).copy_from(ColRef::from_slice(&field));
        }
        let width = (count + 1).max(4);
        let mut block = Mat::zeros(size, width);
        for i in 0..width {
            match i < 3 {
                true => block.col_mut(i).copy_from(columns.col(forms + i)),
                false => block.col_mut(i).copy_from(ColRef::from_slice(&self.wave(i))),
            }
        }
        let mass = |q: MatRef<f64>| self.sheet.mass_times_all(q);
        let mut space = Space::new(size, width);
        let mut last: Option<(Vec<f64>, Mat<f64>)> = None;
        for _ in 0..MOST_STEPS {
            let fresh = space.take(block, mass);
            // What the newest directions take from the modes of the step before is what those left over.
            if let Some((shares, mix)) =
                last.filter(|(shares, mix)| space.settled(fresh, shares, mix.as_ref()))
            {
                return self.modes_of(&small, &columns, &space, &shares, mix.as_ref(), lost);
            }
            if fresh == 0 {
                break;
            }
            let (answers, _) =
                self.yielding(&small, &columns, space.masses.subcols(space.count - fresh, fresh))?;
            space.answer(answers.as_ref());
            block = answers;
            last = if space.count >= count { Some(space.modes(count)?) } else { None };
        }
        Err(FlexError::NoModes { steps: MOST_STEPS })
    }

    /// What the sheet on its cups yields to loads, (K + cups)⁻¹ f, and the forces at the forms of the cups.
    fn yielding(
        &self,
        small: &Small,
        columns: &Mat<f64>,
        loads: MatRef<f64>,
    ) -> Result<(Mat<f64>, Vec<Vec<f64>>), FlexError> {
        let forms = self.yields.len();
        // Answers at the lips are symmetric: the lips' deflections under a load are the load's work in them.
        let work = columns.transpose() * loads;
        let free: Vec<(Vec<f64>, DVec3)> = work
            .col_iter()
            .map(|w| ((0..forms).map(|i| w[i]).collect(), DVec3::new(w[forms], w[forms + 1], w[forms + 2])))
            .collect();
        let solved = small.solve(&free)?;
        let motions = Mat::from_fn(forms + 3, loads.ncols(), |i, l| match i.checked_sub(forms) {
            None => -solved[l].0[i],
            Some(d) => solved[l].1[d],
        });
        let mut answers = self.sheet.factor.solved(loads);
        matmul(answers.as_mut(), Accum::Add, columns.as_ref(), motions.as_ref(), 1.0, Par::Seq);
        Ok((answers, solved.into_iter().map(|s| s.0).collect()))
    }

    /// A wave over the part that is even about no line, so that it holds a little of every mode.
    fn wave(&self, index: usize) -> Vec<f64> {
        let mesh = &self.sheet.mesh;
        let corners = mesh.points.len();
        let number =
            DVec2::new(2.3 + 0.71 * index as f64, 3.1 + 0.37 * (index * index) as f64) / self.sheet.length;
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
        columns: &Mat<f64>,
        space: &Space,
        shares: &[f64],
        mix: MatRef<f64>,
        lost: &[usize],
    ) -> Result<Ring, FlexError> {
        let sheet = &*self.sheet;
        let scaled = Mat::from_fn(mix.nrows(), mix.ncols(), |i, k| mix[(i, k)] / shares[k]);
        let inertia = space.masses.subcols(0, mix.nrows()) * scaled;
        let (shapes, forces) = self.yielding(small, columns, inertia.as_ref())?;
        let (bent, heavy) = (
            sheet.pattern.times_all(&sheet.stiffness, shapes.as_ref()),
            sheet.mass_times_all(shapes.as_ref()),
        );
        let mut modes = Vec::with_capacity(shares.len());
        for (k, (share, forces)) in shares.iter().zip(forces).enumerate() {
            let shape = shapes.col(k);
            let values: Vec<f64> = shape.iter().copied().collect();
            let bending = shape.transpose() * bent.col(k);
            let springs: f64 = forces.iter().zip(&self.yields).map(|(f, y)| f * f * y.unwrap_or(0.0)).sum();
            let mass = shape.transpose() * heavy.col(k);
            // What is no number does not agree either.
            let agreed =
                ((bending + springs) / mass * share - 1.0).abs() <= AGREED && (mass - 1.0).abs() <= AGREED;
            if !agreed {
                return Err(FlexError::NoModes { steps: space.count });
            }
            let participation = DVec3::from_array(sheet.unit.each_ref().map(|load| dot(load, &values)));
            let frequency = (PER_SECOND / share).sqrt() / TAU;
            modes.push(Mode { frequency, shape: Field { values }, participation, forces });
        }
        Ok(Ring { modes, lost: lost.to_vec() })
    }
}

/// Directions in which modes are looked for, of mass 1 and without mass in common.
struct Space {
    /// How many there are; the matrices have room for more.
    count: usize,
    basis: Mat<f64>,
    /// Mass times each.
    masses: Mat<f64>,
    /// What the sheet yields to the mass of each.
    answers: Mat<f64>,
    /// The operator in these directions.
    projected: Mat<f64>,
}

impl Space {
    fn new(size: usize, width: usize) -> Self {
        let room = FIRST_ROOM * width;
        let tall = || Mat::zeros(size, room);
        Self { count: 0, basis: tall(), masses: tall(), answers: tall(), projected: Mat::zeros(room, room) }
    }

    /// Makes room for more directions.
    fn grow(&mut self, more: usize) {
        if self.count + more > self.basis.ncols() {
            let room = 2 * self.basis.ncols() + more;
            for matrix in [&mut self.basis, &mut self.masses, &mut self.answers] {
                matrix.resize_with(matrix.nrows(), room, |_, _| 0.0);
            }
            self.projected.resize_with(room, room, |_, _| 0.0);
        }
    }

    /// Takes up what is new in vectors; how many that are.
    fn take(&mut self, mut block: Mat<f64>, mass: impl Fn(MatRef<f64>) -> Mat<f64>) -> usize {
        self.grow(block.ncols());
        let before = self.count;
        let (basis, masses) = (self.basis.subcols(0, before), self.masses.subcols(0, before));
        let common = masses.transpose() * &block;
        matmul(block.as_mut(), Accum::Add, basis, common.as_ref(), -1.0, Par::Seq);
        let mut heavy = mass(block.as_ref());
        let old: Vec<f64> = common.col_iter().map(|c| c.squared_norm_l2()).collect();
        // Twice is enough (Kahan and Parlett), and is needed where little is left of a vector.
        if (0..block.ncols()).any(|i| block.col(i).transpose() * heavy.col(i) < LITTLE * old[i]) {
            let common = masses.transpose() * &block;
            matmul(block.as_mut(), Accum::Add, basis, common.as_ref(), -1.0, Par::Seq);
            matmul(heavy.as_mut(), Accum::Add, masses, common.as_ref(), -1.0, Par::Seq);
        }
        for (i, mut old) in old.into_iter().enumerate() {
            let slice = |m: &Mat<f64>, k: usize| -> Vec<f64> { m.col(k).iter().copied().collect() };
            let (mut vector, mut weight) = (slice(&block, i), slice(&heavy, i));
            // Among those of the same block; with their masses, which no further product is needed for.
            for _ in 0..2 {
                for k in before..self.count {
                    let common = dot(&slice(&self.masses, k), &vector);
                    old += common * common;
                    add(&mut vector, -common, &slice(&self.basis, k));
                    add(&mut weight, -common, &slice(&self.masses, k));
                }
            }
            let size = dot(&vector, &weight).max(0.0).sqrt();
            if size > NOTHING_NEW * (old + size * size).sqrt() {
                vector.iter_mut().chain(&mut weight).for_each(|v| *v /= size);
                self.basis.col_mut(self.count).copy_from(ColRef::from_slice(&vector));
                self.masses.col_mut(self.count).copy_from(ColRef::from_slice(&weight));
                self.count += 1;
            }
        }
        self.count - before
    }

    /// What the sheet yields to the mass of the newest directions.
    fn answer(&mut self, answers: MatRef<f64>) {
        let first = self.count - answers.ncols();
        self.answers.subcols_mut(first, answers.ncols()).copy_from(answers);
        let own = self.masses.subcols(0, self.count).transpose() * answers;
        for (i, k) in (0..self.count).flat_map(|i| (first..self.count).map(move |k| (i, k))) {
            self.projected[(i, k)] = own[(i, k - first)];
            self.projected[(k, i)] = own[(i, k - first)];
        }
    }

    /// The largest yields of the space and how their directions are mixed.
    fn modes(&self, count: usize) -> Result<(Vec<f64>, Mat<f64>), FlexError> {
        let size = self.count;
        let failed = FlexError::NoModes { steps: size };
        let matrix = self.projected.submatrix(0, 0, size, size);
        if !matrix.is_all_finite() {
            return Err(failed);
        }
        let Ok(eigen) = matrix.self_adjoint_eigen(Side::Lower) else { return Err(failed) };
        let shares: Vec<f64> = (size - count..size).rev().map(|k| eigen.S()[k]).collect();
        let mix = Mat::from_fn(size, count, |i, k| eigen.U()[(i, size - 1 - k)]);
        if shares.iter().all(|share| *share > 0.0) { Ok((shares, mix)) } else { Err(failed) }
    }

    /// Whether the `fresh` newest directions would hardly change modes that were found without them.
    fn settled(&self, fresh: usize, shares: &[f64], mix: MatRef<f64>) -> bool {
        let old = mix.nrows();
        let newest = self.masses.subcols(self.count - fresh, fresh);
        let left = newest.transpose() * (self.answers.subcols(0, old) * mix);
        shares.iter().zip(left.col_iter()).all(|(share, left)| left.norm_l2() <= SETTLED * share)
    }
}

/// The lowest squares of frequency of a matrix that is factorised, for tests of the plate by itself.
#[cfg(test)]
pub(crate) fn lowest(
    count: usize,
    size: usize,
    mass: impl Fn(&[f64]) -> Vec<f64>,
    solve: impl Fn(MatRef<f64>) -> Mat<f64>,
) -> Vec<f64> {
    let mass_all = |q: MatRef<f64>| {
        let columns: Vec<Vec<f64>> =
            q.col_iter().map(|c| mass(&c.iter().copied().collect::<Vec<_>>())).collect();
        Mat::from_fn(size, columns.len(), |i, k| columns[k][i])
    };
    let width = count + 2;
    let mut space = Space::new(size, width);
    let mut block =
        solve(Mat::from_fn(size, width, |i, k| ((i * (2 * k + 3)) as f64 * 0.618).sin()).as_ref());
    for _ in 0..8 {
        let fresh = space.take(block, mass_all);
        block = solve(space.masses.subcols(space.count - fresh, fresh));
        space.answer(block.as_ref());
    }
    space.modes(count).unwrap().0.iter().map(|share| share.recip()).collect()
}
