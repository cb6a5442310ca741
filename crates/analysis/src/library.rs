//! A project with the entries of another library in place of its own.

use document::{CupModel, Project, SourceModel};
use std::sync::Arc;

/// The project with every cup model and source that it holds replaced by that of the same id, and the names of those that differ, in
/// the order of the project, models first. Entries that the library does not have stay as they are; none is added.
///
/// ```
/// use document::{Part, PartId, Project, library, sources};
///
/// let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let mut own = library()[0].as_ref().clone();
/// own.mass_g += 5.0; // g
/// project.models.push(own.clone().into());
/// let models: Vec<_> = library().iter().map(|model| model.as_ref().clone()).collect();
/// let (after, differ) = analysis::with_library(&project, &models, &[]);
/// assert_eq!(differ, [own.name]);
/// assert_eq!(after.models[0], library()[0]);
/// ```
pub fn with_library(
    project: &Project,
    models: &[CupModel],
    sources: &[SourceModel],
) -> (Project, Vec<String>) {
    let mut differ = Vec::new();
    let mut after = project.clone();
    for held in &mut after.models {
        if let Some(model) = models.iter().find(|model| model.id == held.id).filter(|model| **model != **held)
        {
            differ.push(held.name.clone());
            *held = Arc::new(model.clone());
        }
    }
    for held in &mut after.sources {
        let found = sources.iter().find(|source| source.id == held.id).filter(|source| **source != **held);
        if let Some(source) = found {
            differ.push(held.name.clone());
            *held = Arc::new(source.clone());
        }
    }
    (after, differ)
}
