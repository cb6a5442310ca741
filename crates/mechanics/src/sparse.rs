//! Matrices of cone programmes, from their entries.

use clarabel::algebra::CscMatrix;

/// An entry: column, row, value.
pub(crate) type Entry = (usize, usize, f64);

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
