//! The hole table as CSV.

use super::{Table, figure};
use document::{Project, Tool};
use glam::DVec2;

/// The hole table: one row a cup of the report's layout; every text quoted, decimal point, unit in the header, so that any
/// spreadsheet and any drilling program reads it alike. Places are counted from the datum of the part, and behind
/// them from the lower left corner of its outline and from the flange's centre; the latter are empty where no flange is
/// stated. The hole is what is drilled in the tool for the cup's fastening, empty where its model does not state it; never the
/// cup's own bore.
///
/// # Units
/// mm and degrees, as the header says.
///
/// ```
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
/// assert!(exchange::hole_table_csv(&project, &report).starts_with(r#""tag","x mm","y mm","turn deg""#));
/// ```
#[must_use]
pub fn hole_table_csv(project: &Project, report: &analysis::Report) -> String {
    let mut table = Table::new(&[
        "tag",
        "x mm",
        "y mm",
        "turn deg",
        "model",
        "hole mm",
        "thread",
        "zone",
        "circuit",
        "height mm",
        "post mm",
        "x from corner mm",
        "y from corner mm",
        "x from flange mm",
        "y from flange mm",
    ]);
    let layout = project.layout(report.layout);
    let part = layout.and_then(|l| project.part(l.part));
    // Of several parts none is the one to count from: the tool's own datum is.
    let counted_from = part.filter(|_| report.family.is_none());
    let datum = counted_from.map_or(DVec2::ZERO, |p| p.datum_at());
    let corner = part.and_then(|p| p.outline.bounds()).map(|b| b.min);
    // A tool that nobody described has no flange to count from.
    let flange = layout.map(|l| &*l.tool).filter(|t| **t != Tool::default()).map(|t| t.flange.truncate());
    // Every cup of the tool is drilled for, whichever of its parts needs it.
    for cup in report.family.as_ref().map_or(&report.cups, |family| &family.cups) {
        let model =
            layout.and_then(|l| l.cups.iter().find(|c| c.id == cup.id)).and_then(|c| project.model(&c.model));
        let from = |origin: Option<DVec2>, pick: fn(DVec2) -> f64| {
            origin.map(|origin| figure(pick(cup.at - origin), 3)).unwrap_or_default()
        };
        table.row(&[
            cup.tag.clone(),
            figure(cup.at.x - datum.x, 3),
            figure(cup.at.y - datum.y, 3),
            figure(cup.turn_deg, 3),
            cup.model.clone(),
            model.and_then(|m| m.drill_mm).map(|hole| figure(hole, 3)).unwrap_or_default(),
            model.map(|m| m.thread.clone()).unwrap_or_default(),
            cup.zone.clone(),
            cup.circuit.clone(),
            model.map(|m| figure(m.height_mm + cup.height_mm, 3)).unwrap_or_default(),
            figure(cup.height_mm, 3),
            from(corner, |d| d.x),
            from(corner, |d| d.y),
            from(flange, |d| d.x),
            from(flange, |d| d.y),
        ]);
    }
    table.told(project, &[report]);
    table.finish()
}
