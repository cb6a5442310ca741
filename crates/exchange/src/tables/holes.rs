//! The hole table as CSV.

use super::{Table, figure};
use document::Project;

/// The hole table: one row a cup of the report's layout, from the datum (0, 0) of the part; every text quoted, decimal
/// point, unit in the header, so that any spreadsheet and any drilling program reads it alike.
///
/// # Units
/// mm and degrees, as the header says.
#[must_use]
pub fn hole_table_csv(project: &Project, report: &analysis::Report) -> String {
    let mut table =
        Table::new(&["tag", "x mm", "y mm", "turn deg", "model", "bore mm", "zone", "circuit", "height mm"]);
    let layout = project.layout(report.layout);
    for cup in &report.cups {
        let model =
            layout.and_then(|l| l.cups.iter().find(|c| c.id == cup.id)).and_then(|c| project.model(&c.model));
        table.row(&[
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
    table.finish()
}
