//! Mandatory fields of the title block.

use document::Project;

/// Fields of the title block that a sheet cannot go out without and that nobody filled in, in the order of the block: owner,
/// number, title, date of issue, approver, creator. A blank title is the project's name, and a blank kind of document reads
/// "layout sheet", so that neither is ever missing while the project has a name. While one is missing, the sheet is stamped not for
/// issue and the finding `sheet.fields` names it.
///
/// # Source
/// Mandatory data fields of ISO 7200:2004, from memory.
///
/// ```
/// use document::{Part, PartId, Project};
///
/// let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// project.sheet.owner = "Workshop 3".to_owned();
/// let blank = analysis::blank_title_fields(&project);
/// assert_eq!(blank, ["identification number", "created by", "approved by", "date of issue"]);
/// ```
pub fn blank_title_fields(project: &Project) -> Vec<&'static str> {
    let fields = &project.sheet;
    let title = if fields.title.trim().is_empty() { &project.name } else { &fields.title };
    [
        ("sheet.title", title),
        ("sheet.owner", &fields.owner),
        ("sheet.number", &fields.number),
        ("sheet.created_by", &fields.created_by),
        ("sheet.approved_by", &fields.approved_by),
        ("sheet.date", &fields.date),
    ]
    .into_iter()
    .filter(|(_, value)| value.trim().is_empty())
    .map(|(key, _)| document::name_of(key))
    .collect()
}
