//! The findings of a layout.

use super::{Table, figure};
use analysis::{Report, Severity};
use document::Project;

/// What was found about a layout, in the order of the report: worst first, accepted ones last. Figure and limit stand in
/// the base unit of what they measure, named in a column of its own; a figure that there is not is an empty cell.
///
/// # Units
/// The base unit of each quantity, in the column "unit".
///
/// ```
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
/// let table = exchange::findings_csv(&project, &report);
/// assert!(table.starts_with(r#""severity","rule","cups","motion","figure","limit","unit""#));
/// ```
#[must_use]
pub fn findings_csv(project: &Project, report: &Report) -> String {
    let mut table = Table::new(&[
        "severity",
        "rule",
        "cups",
        "motion",
        "figure",
        "limit",
        "unit",
        "finding",
        "remedy",
        "accepted because",
    ]);
    let tag = |id: &document::CupId| {
        let known = report.cups.iter().find(|c| c.id == *id).map(|c| c.tag.clone());
        known
            .or_else(|| project.cup(report.layout, *id).map(|c| c.tag.clone()))
            .unwrap_or_else(|| id.to_string())
    };
    for finding in &report.findings {
        let number = |value: Option<f64>| value.map(|v| figure(v, 6)).unwrap_or_default();
        let measured = finding.figure.or(finding.limit).is_some();
        table.row(&[
            word(finding.severity).to_owned(),
            finding.rule.to_owned(),
            finding.subject.iter().map(tag).collect::<Vec<_>>().join(" "),
            finding.motion.and_then(|id| project.motion(id)).map(|m| m.name.clone()).unwrap_or_default(),
            number(finding.figure),
            number(finding.limit),
            if measured { finding.quantity.base_unit().to_owned() } else { String::new() },
            finding.says.clone(),
            finding.remedy.clone(),
            finding.accepted.clone().unwrap_or_default(),
        ]);
    }
    table.told(project, &[report]);
    table.finish()
}

fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Ok => "ok",
        Severity::Advice => "advice",
        Severity::NotChecked => "not checked",
        Severity::Watch => "watch",
        Severity::Fail => "fail",
    }
}
