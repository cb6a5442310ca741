//! Tables as CSV, read alike by any spreadsheet: every text quoted, decimal point, unit in the header.

mod findings;
mod holes;
mod hoses;
mod parts;

pub use findings::findings_csv;
pub use holes::hole_table_csv;
pub use hoses::hose_schedule_csv;
pub use parts::parts_list_csv;

use crate::csv_out::Table;

/// Fixed decimals, no "-0.000"; empty when it is not a number.
fn figure(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return String::new();
    }
    let text = format!("{value:.decimals$}");
    if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::figure;

    #[test]
    fn figures_keep_their_decimals_and_lose_a_negative_zero() {
        assert_eq!(figure(-0.000_01, 3), "0.000");
        assert_eq!(figure(-12.5, 3), "-12.500");
        assert_eq!(figure(f64::NAN, 3), "");
    }
}
