//! The hole table as CSV.

use document::Project;

/// The hole table: one row a cup of the report's layout, from the datum (0, 0) of the part; every text quoted, decimal
/// point, unit in the header, so that any spreadsheet and any drilling program reads it alike.
///
/// # Units
/// mm and degrees, as the header says.
#[must_use]
pub fn hole_table_csv(project: &Project, report: &analysis::Report) -> String {
    let mut writer =
        csv::WriterBuilder::new().quote_style(csv::QuoteStyle::NonNumeric).from_writer(Vec::new());
    // Writing to memory cannot fail.
    let mut row = |cells: &[String]| drop(writer.write_record(cells));
    row(&["tag", "x mm", "y mm", "turn deg", "model", "bore mm", "zone", "circuit", "height mm"]
        .map(str::to_owned));
    let layout = project.layout(report.layout);
    for cup in &report.cups {
        let model =
            layout.and_then(|l| l.cups.iter().find(|c| c.id == cup.id)).and_then(|c| project.model(&c.model));
        row(&[
            cup.tag.clone(),
            figure(cup.at.x, 3),
            figure(cup.at.y, 3),
            figure(cup.turn_deg, 3),
            cup.model.clone(),
            model.map(|m| figure(m.bore_mm, 3)).unwrap_or_default(),
            cup.zone.clone(),
            cup.circuit.clone(),
            figure(cup.height_mm, 3),
        ]);
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

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
