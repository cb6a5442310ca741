//! The hose schedule as CSV.

use super::{Table, figure};
use document::Project;

/// The hose schedule: one row a hose of the report's layout, cut length with its coil, in the order of the circuits. Only
/// the header when no circuit is worked out.
///
/// # Units
/// mm, as the header says.
///
/// ```
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
/// // Its circuit is one stated level, without hoses.
/// assert_eq!(
///     exchange::hose_schedule_csv(&project, &report).lines().next(),
///     Some(r#""circuit","name","from","to","bore mm","cut length mm","fittings","layout""#)
/// );
/// ```
#[must_use]
pub fn hose_schedule_csv(project: &Project, report: &analysis::Report) -> String {
    let mut table =
        Table::new(&["circuit", "name", "from", "to", "bore mm", "cut length mm", "fittings", "layout"]);
    let layout = project.layout(report.layout).map_or(&report.layout_name, |layout| &layout.name);
    // A valve that is shut for one part is open for another: the hoses of all are made.
    let parts = report.family.iter().flat_map(|family| family.seats.iter().map(|seat| &*seat.report));
    let mut made: Vec<(String, String)> = Vec::new();
    for hose in std::iter::once(report).chain(parts).flat_map(analysis::hose_schedule) {
        let which = (hose.circuit.clone(), hose.name.clone());
        if made.contains(&which) {
            continue;
        }
        made.push(which);
        table.row(&[
            hose.circuit,
            hose.name,
            hose.from,
            hose.to,
            figure(hose.bore_mm, 3),
            figure(hose.cut_length_mm, 1),
            hose.fittings.to_string(),
            layout.clone(),
        ]);
    }
    table.told(project, &[report]);
    table.finish()
}

#[cfg(test)]
mod tests {
    use super::hose_schedule_csv;
    use analysis::{Analyst, CircuitReport, CircuitStatus, HoseRow, Report};
    use document::{Part, PartId, Project};
    use std::sync::Arc;

    fn with_hoses(hoses: Vec<HoseRow>) -> (Project, Report) {
        let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
        let mut report = Arc::unwrap_or_clone(Analyst::new().check(&project, project.layouts[0].id));
        report.circuits = vec![CircuitReport {
            id: project.circuits[0].id,
            name: "Circuit 1".to_owned(),
            status: CircuitStatus::Solved,
            wanted_kpa: 60.0,
            design: None,
            source_level_kpa: Some(61.0),
            flow_nl_min: Some(1.0),
            air_nl_min: None,
            power_w: None,
            cups: Vec::new(),
            elements: Vec::new(),
            sources: Vec::new(),
            manifolds: Vec::new(),
            hoses,
            zones: Vec::new(),
            slow: None,
        }];
        (project, report)
    }

    #[test]
    fn every_hose_is_a_row_with_its_length_to_a_tenth() {
        let (project, report) = with_hoses(vec![HoseRow {
            circuit: "Circuit \"1\"".to_owned(),
            name: "branch C4".to_owned(),
            cup: None,
            from: "C4".to_owned(),
            to: "manifold, port 3".to_owned(),
            bore_mm: 6.0,
            cut_length_mm: 504.0206,
            fittings: units::Worded::text("2 × elbow 90°; tee, branch"),
        }]);
        let table = hose_schedule_csv(&project, &report);
        let rows: Vec<&str> = table.lines().filter(|line| !line.starts_with("\"# ")).collect();
        assert_eq!(rows.len(), 2);
        let layout = &project.layouts[0].name;
        let wanted = format!(
            r#""Circuit ""1""","branch C4","C4","manifold, port 3",6.000,504.0,"2 × elbow 90°; tee, branch","{layout}""#
        );
        assert_eq!(rows[1], wanted);
    }

    #[test]
    fn without_hoses_there_is_the_header_only() {
        let (project, report) = with_hoses(Vec::new());
        let table = hose_schedule_csv(&project, &report);
        assert_eq!(table.lines().filter(|line| !line.starts_with("\"# ")).count(), 1);
    }
}
