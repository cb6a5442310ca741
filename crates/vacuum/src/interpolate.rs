//! Straight lines between the points of a table.

/// The value at `x` of a table sorted by its first column; the nearest end outside it, 0 for an empty table.
pub(crate) fn between(table: &[(f64, f64)], x: f64) -> f64 {
    value_and_slope(table, x).0
}

/// The value and the slope to the right of `x`; slope 0 outside the table.
pub(crate) fn value_and_slope(table: &[(f64, f64)], x: f64) -> (f64, f64) {
    let above = table.partition_point(|&(at, _)| at <= x);
    let first = table.first().map_or(0.0, |p| p.1);
    let last = table.last().map_or(0.0, |p| p.1);
    if above == 0 {
        return (first, 0.0);
    }
    let Some(&(x1, y1)) = table.get(above) else { return (last, 0.0) };
    let (x0, y0) = table[above - 1];
    let slope = (y1 - y0) / (x1 - x0);
    (y0 + slope * (x - x0), slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_join_the_points_and_ends_hold() {
        let table = [(0.0, 1.0), (2.0, 5.0), (3.0, 0.0)];
        assert_eq!(between(&table, -1.0), 1.0);
        assert_eq!(value_and_slope(&table, 1.0), (3.0, 2.0));
        assert_eq!(value_and_slope(&table, 2.5), (2.5, -5.0));
        assert_eq!(between(&table, 9.0), 0.0);
        assert_eq!(between(&[], 9.0), 0.0);
    }
}
