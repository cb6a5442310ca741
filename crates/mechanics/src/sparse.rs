//! Cone programmes, put together column by column and row by row.

use clarabel::algebra::CscMatrix;
use clarabel::solver::SupportedConeT;

/// An entry: column, row, value.
pub(crate) type Entry = (usize, usize, f64);

/// A programme in the making: least q·x, where `b - A x` lies in the cones.
#[derive(Default)]
pub(crate) struct Entries {
    pub(crate) rows: usize,
    /// Of A.
    pub(crate) of: Vec<Entry>,
    pub(crate) b: Vec<f64>,
    pub(crate) q: Vec<f64>,
    pub(crate) cones: Vec<SupportedConeT<f64>>,
}

impl Entries {
    /// A variable of this cost; gives its column.
    pub(crate) fn column(&mut self, cost: f64) -> usize {
        self.q.push(cost);
        self.q.len() - 1
    }

    /// A row that holds a constant plus terms; zeros keep their place, so that the pattern is that of the terms.
    pub(crate) fn row(&mut self, constant: f64, terms: impl IntoIterator<Item = (usize, f64)>) {
        let row = self.rows;
        self.of.extend(terms.into_iter().map(|(column, value)| (column, row, -value)));
        self.b.push(constant);
        self.rows += 1;
    }

    /// The matrix, with what stands twice summed and without zeros.
    pub(crate) fn summed(&mut self) -> CscMatrix<f64> {
        self.of.retain(|entry| entry.2 != 0.0);
        self.of.sort_unstable_by_key(|&(column, row, _)| (column, row));
        self.of.dedup_by(|next, held| {
            let same = (next.0, next.1) == (held.0, held.1);
            if same {
                held.2 += next.2;
            }
            same
        });
        by_column(self.rows, self.q.len(), &self.of)
    }
}

/// The matrix of entries that stand by column, then by row, each place once.
pub(crate) fn by_column(rows: usize, columns: usize, entries: &[Entry]) -> CscMatrix<f64> {
    let mut starts = vec![0; columns + 1];
    for &(column, ..) in entries {
        starts[column + 1] += 1;
    }
    for column in 0..columns {
        starts[column + 1] += starts[column];
    }
    let of_row = entries.iter().map(|entry| entry.1).collect();
    let values = entries.iter().map(|entry| entry.2).collect();
    CscMatrix::new(rows, columns, starts, of_row, values)
}
