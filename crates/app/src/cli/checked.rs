//! One project checked.

use super::{error::TaskError, places::object};
use crate::outputs::{Output, Subject};
use analysis::{Analyst, Report};
use document::Project;
use std::{path::Path, sync::Arc};
use units::UnitChoice;

/// A project with the reports of all its layouts, and the object where it is asked for.
pub(super) struct Checked {
    pub(super) project: Arc<Project>,
    pub(super) reports: Vec<Arc<Report>>,
    pub(super) object: Option<String>,
}

pub(super) fn checked(path: &Path, name: &str, json: bool) -> Result<Checked, TaskError> {
    let (project, _) = document::open(path)?;
    let project = Arc::new(project);
    let first = project.layouts.first().map_or(document::LayoutId(0), |l| l.id);
    let mut analyst = Analyst::new();
    let mut subject = Subject::new(name, project.clone(), first, UnitChoice::default(), &mut analyst);
    let reports = subject.reports();
    let object = if json { Some(object(Output::FIGURES, &mut subject)?) } else { None };
    Ok(Checked { project, reports, object })
}

/// The last name of a path; where it has none, the whole.
pub(super) fn called(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}
