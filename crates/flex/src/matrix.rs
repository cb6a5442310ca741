//! Stiffness and mass of a sheet as sparse matrices, and the one factor of its stiffness.

use crate::element::{Square, Triangle, bernstein_gram};
use crate::error::FlexError;
use crate::mesh::Mesh;
use crate::order::{nodes_of, order};
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, Mat, MatRef, Par, Side};

/// Unknowns of a mesh: deflections of all corners, then both slopes corner by corner, then slopes across sides.
pub(crate) fn unknowns(mesh: &Mesh) -> usize {
    3 * mesh.points.len() + mesh.edges.len()
}

/// Unknowns of one triangle in the element's order.
pub(crate) fn unknowns_of(mesh: &Mesh, t: usize) -> [usize; 12] {
    let corners = mesh.points.len();
    let (v, s) = (mesh.triangles[t].map(|i| i as usize), mesh.sides[t].map(|i| i as usize));
    let at = |i: usize| [v[i], corners + 2 * v[i], corners + 2 * v[i] + 1];
    let ([a, b, c], [d, e, f], [g, h, i]) = (at(0), at(1), at(2));
    [a, b, c, d, e, f, g, h, i, 3 * corners + s[0], 3 * corners + s[1], 3 * corners + s[2]]
}

/// The element of a triangle of the mesh.
pub(crate) fn element(mesh: &Mesh, t: usize) -> Triangle {
    let v = mesh.triangles[t];
    // The slope of a side counts to the left of the way from its lower to its higher corner.
    Triangle::new(mesh.corners(t), [v[1] < v[2], v[2] < v[0], v[0] < v[1]])
}

/// Which entries of the lower half there are, in the order of elimination.
pub(crate) struct Pattern {
    /// Where the columns begin.
    starts: Vec<usize>,
    rows: Vec<usize>,
    /// Row of every unknown.
    row_of: Vec<u32>,
    /// Position of every node in the order.
    position: Vec<u32>,
    /// First row of the node at every position.
    first_row: Vec<usize>,
    /// Later neighbours of the node at every position: where they begin, their position, and their place below the node's own rows.
    later: (Vec<usize>, Vec<(u32, u32)>),
}

impl Pattern {
    pub fn new(mesh: &Mesh) -> Self {
        let corners = mesh.points.len();
        let order = order(mesh);
        let nodes = order.len();
        let width = |node: u32| if (node as usize) < corners { 3 } else { 1 };
        let mut position = vec![0_u32; nodes];
        let mut first_row = Vec::with_capacity(nodes);
        let mut row_of = vec![0; unknowns(mesh)];
        let mut row = 0;
        for (place, &node) in order.iter().enumerate() {
            position[node as usize] = place as u32;
            first_row.push(row);
            let n = node as usize;
            if n < corners {
                row_of[n] = row as u32;
                row_of[corners + 2 * n] = row as u32 + 1;
                row_of[corners + 2 * n + 1] = row as u32 + 2;
            } else {
                row_of[2 * corners + n] = row as u32;
            }
            row += width(node);
        }
        // Triangles round every node.
        let mut begin = vec![0_usize; nodes + 1];
        for t in 0..mesh.triangles.len() {
            for node in nodes_of(mesh, t) {
                begin[node as usize + 1] += 1;
            }
        }
        for n in 0..nodes {
            begin[n + 1] += begin[n];
        }
        let mut fill = begin.clone();
        let mut round = vec![0_u32; begin[nodes]];
        for t in 0..mesh.triangles.len() {
            for node in nodes_of(mesh, t) {
                round[fill[node as usize]] = t as u32;
                fill[node as usize] += 1;
            }
        }
        let mut starts = Vec::with_capacity(row + 1);
        let mut rows = Vec::with_capacity(row * 16);
        let mut later = (Vec::with_capacity(nodes + 1), Vec::with_capacity(nodes * 8));
        let mut near: Vec<u32> = Vec::new();
        for (place, &node) in order.iter().enumerate() {
            near.clear();
            for &t in &round[begin[node as usize]..begin[node as usize + 1]] {
                let others = nodes_of(mesh, t as usize).map(|n| position[n as usize]);
                near.extend(others.into_iter().filter(|p| *p > place as u32));
            }
            near.sort_unstable();
            near.dedup();
            later.0.push(later.1.len());
            let mut below = 0;
            for &p in &near {
                later.1.push((p, below));
                below += width(order[p as usize]) as u32;
            }
            for d in 0..width(node) {
                starts.push(rows.len());
                rows.extend(first_row[place] + d..first_row[place] + width(node));
                for &p in &near {
                    let first = first_row[p as usize];
                    rows.extend(first..first + width(order[p as usize]));
                }
            }
        }
        later.0.push(later.1.len());
        starts.push(rows.len());
        Self { starts, rows, row_of, position, first_row, later }
    }

    pub fn size(&self) -> usize {
        self.row_of.len()
    }

    /// The upper half: where its columns begin, and their rows.
    fn transposed(&self) -> (Vec<usize>, Vec<usize>) {
        let size = self.size();
        let mut starts = vec![0; size + 1];
        for row in &self.rows {
            starts[row + 1] += 1;
        }
        for row in 0..size {
            starts[row + 1] += starts[row];
        }
        let mut fill = starts.clone();
        let mut columns = vec![0; self.rows.len()];
        for column in 0..size {
            for &row in &self.rows[self.starts[column]..self.starts[column + 1]] {
                columns[fill[row]] = column;
                fill[row] += 1;
            }
        }
        (starts, columns)
    }

    /// Adds a triangle's matrix to values of this pattern.
    fn scatter(&self, nodes: [u32; 6], matrix: &Square, values: &mut [f64]) {
        const WIDTH: [usize; 6] = [3, 3, 3, 1, 1, 1];
        const FIRST: [usize; 6] = [0, 3, 6, 9, 10, 11];
        let positions = nodes.map(|n| self.position[n as usize]);
        for a in 0..6 {
            let column = self.first_row[positions[a] as usize];
            let range = self.later.0[positions[a] as usize]..self.later.0[positions[a] as usize + 1];
            let near = &self.later.1[range];
            for b in 0..6 {
                if positions[b] < positions[a] {
                    continue;
                }
                let below = near.partition_point(|n| n.0 < positions[b]);
                for d in 0..WIDTH[a] {
                    let start = self.starts[column + d];
                    let from = &matrix[FIRST[a] + d];
                    if a == b {
                        for e in d..WIDTH[a] {
                            values[start + e - d] += from[FIRST[a] + e];
                        }
                    } else {
                        let start = start + WIDTH[a] - d + near[below].1 as usize;
                        for e in 0..WIDTH[b] {
                            values[start + e] += from[FIRST[b] + e];
                        }
                    }
                }
            }
        }
    }

    /// Bending stiffness of all triangles; `stiffer` multiplies that of a triangle.
    pub fn stiffness(
        &self,
        mesh: &Mesh,
        moments: &[[f64; 3]; 3],
        stiffer: impl Fn(usize) -> f64,
    ) -> Vec<f64> {
        let mut values = vec![0.0; self.rows.len()];
        for t in 0..mesh.triangles.len() {
            let times = stiffer(t);
            let moments = moments.map(|row| row.map(|m| m * times));
            self.scatter(nodes_of(mesh, t), &element(mesh, t).stiffness(&moments), &mut values);
        }
        values
    }

    /// Consistent mass of all triangles for one kg/mm².
    pub fn mass(&self, mesh: &Mesh) -> Vec<f64> {
        let gram = bernstein_gram();
        let mut values = vec![0.0; self.rows.len()];
        for t in 0..mesh.triangles.len() {
            self.scatter(nodes_of(mesh, t), &element(mesh, t).mass(&gram), &mut values);
        }
        values
    }

    /// The matrix times a vector, both by unknown.
    pub fn times(&self, values: &[f64], x: &[f64]) -> Vec<f64> {
        let mut inner = vec![0.0; x.len()];
        for (unknown, row) in self.row_of.iter().enumerate() {
            inner[*row as usize] = x[unknown];
        }
        let mut out = vec![0.0; x.len()];
        for column in 0..x.len() {
            let range = self.starts[column]..self.starts[column + 1];
            let (rows, values) = (&self.rows[range.clone()], &values[range]);
            let own = inner[column];
            // The first entry is the diagonal.
            let mut sum = values[0] * own;
            for (row, value) in rows[1..].iter().zip(&values[1..]) {
                sum += value * inner[*row];
                out[*row] += value * own;
            }
            out[column] += sum;
        }
        self.row_of.iter().map(|row| out[*row as usize]).collect()
    }
}

impl Pattern {
    /// The matrix times several vectors, each by unknown: entries are read once for four of them.
    pub fn times_all(&self, values: &[f64], x: MatRef<f64>) -> Mat<f64> {
        const WIDTH: usize = 4;
        let mut result = Mat::zeros(x.nrows(), x.ncols());
        for first in (0..x.ncols()).step_by(WIDTH) {
            let count = WIDTH.min(x.ncols() - first);
            let mut inner = vec![[0.0; WIDTH]; x.nrows()];
            for k in 0..count {
                for (unknown, row) in self.row_of.iter().enumerate() {
                    inner[*row as usize][k] = x[(unknown, first + k)];
                }
            }
            let mut out = vec![[0.0; WIDTH]; x.nrows()];
            for column in 0..x.nrows() {
                let range = self.starts[column]..self.starts[column + 1];
                let own = inner[column];
                let mut sum = own.map(|o| values[range.start] * o);
                let below = range.start + 1..range.end;
                for (&row, value) in self.rows[below.clone()].iter().zip(&values[below]) {
                    let (from, to) = (&inner[row], &mut out[row]);
                    for k in 0..WIDTH {
                        sum[k] += value * from[k];
                        to[k] += value * own[k];
                    }
                }
                for k in 0..WIDTH {
                    out[column][k] += sum[k];
                }
            }
            for k in 0..count {
                for (unknown, row) in self.row_of.iter().enumerate() {
                    result[(unknown, first + k)] = out[*row as usize][k];
                }
            }
        }
        result
    }
}

/// The factor of a stiffness with some unknowns held at nought.
pub(crate) struct Factor {
    symbolic: SymbolicCholesky<usize>,
    values: Vec<f64>,
    row_of: Vec<u32>,
    held: Vec<usize>,
}

impl Factor {
    /// Cholesky factor, in the pattern's order.
    ///
    /// # Errors
    /// [`FlexError::Singular`] where the held unknowns leave a motion free, or a stiffness is no number.
    pub fn new(pattern: &Pattern, stiffness: &[f64], held: &[usize]) -> Result<Self, FlexError> {
        let size = pattern.size();
        let mut own = vec![false; size];
        for unknown in held {
            own[pattern.row_of[*unknown] as usize] = true;
        }
        let mut entries = stiffness.to_vec();
        for column in 0..size {
            let range = pattern.starts[column]..pattern.starts[column + 1];
            for (entry, &row) in entries[range.clone()].iter_mut().zip(&pattern.rows[range]) {
                if own[column] || own[row] {
                    *entry = f64::from(u8::from(row == column));
                }
            }
        }
        // The library follows the tree of elimination through the upper half and factorises from the lower one.
        let (starts, columns) = pattern.transposed();
        let symbolic = factorize_symbolic_cholesky(
            SymbolicSparseColMatRef::new_checked(size, size, &starts, None, &columns),
            Side::Upper,
            SymmetricOrdering::Identity,
            CholeskySymbolicParams::default(),
        )
        .map_err(|_| FlexError::Singular)?;
        let mut values = vec![0.0; symbolic.len_val()];
        let mut memory =
            MemBuffer::new(symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, faer::Spec::default()));
        symbolic
            .factorize_numeric_llt(
                &mut values,
                SparseColMatRef::new(
                    SymbolicSparseColMatRef::new_checked(size, size, &pattern.starts, None, &pattern.rows),
                    &entries,
                ),
                Side::Lower,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                faer::Spec::default(),
            )
            .map_err(|_| FlexError::Singular)?;
        Ok(Self { symbolic, values, row_of: pattern.row_of.clone(), held: held.to_vec() })
    }

    /// Unknowns that are held.
    pub fn held(&self) -> &[usize] {
        &self.held
    }

    /// Solves for several right sides, each by unknown; what stands at held unknowns is passed over and comes out nought.
    pub fn solved(&self, sides: MatRef<f64>) -> Mat<f64> {
        let count = sides.ncols();
        let mut inner = Mat::zeros(self.row_of.len(), count);
        for (from, mut to) in sides.col_iter().zip(inner.col_iter_mut()) {
            for (unknown, row) in self.row_of.iter().enumerate() {
                to[*row as usize] = from[unknown];
            }
            for unknown in &self.held {
                to[self.row_of[*unknown] as usize] = 0.0;
            }
        }
        let mut memory = MemBuffer::new(self.symbolic.solve_in_place_scratch::<f64>(count, Par::Seq));
        LltRef::new(&self.symbolic, &self.values).solve_in_place_with_conj(
            Conj::No,
            inner.as_mut(),
            Par::Seq,
            MemStack::new(&mut memory),
        );
        let mut out = Mat::zeros(self.row_of.len(), count);
        for (from, mut to) in inner.col_iter().zip(out.col_iter_mut()) {
            for (unknown, row) in self.row_of.iter().enumerate() {
                to[unknown] = from[*row as usize];
            }
        }
        out
    }

    /// The same for separate vectors, in place.
    pub fn solve(&self, sides: &mut [Vec<f64>]) {
        if sides.is_empty() {
            return;
        }
        let together = Mat::from_fn(self.row_of.len(), sides.len(), |i, k| sides[k][i]);
        for (side, found) in sides.iter_mut().zip(self.solved(together.as_ref()).col_iter()) {
            side.iter_mut().zip(found.iter()).for_each(|(s, f)| *s = *f);
        }
    }
}
