//! A new project from a drawing.

use crate::Drawing;
use document::{DrawingOrigin, Part, PartId, Project};
use std::sync::Arc;

/// A project with the parts of a drawing: the largest is the one the first layout carries, the others are kept
/// beside it. Thickness, mass, surface and friction are assumed and marked so.
///
/// # Units
/// The parts' outlines are in mm.
///
/// ```
/// # let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80">
/// #   <rect x="10" y="10" width="100" height="60"/></svg>"#;
/// let drawing = exchange::read_drawing_bytes("plate.svg", svg, &exchange::ImportOptions::default())?;
/// let project = exchange::new_project_from_drawing(&drawing, "Plate");
/// assert_eq!(project.parts[0].drawing.as_ref().map(|d| d.unit.as_str()), Some("mm"));
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn new_project_from_drawing(drawing: &Drawing, name: &str) -> Project {
    let origin = DrawingOrigin {
        file_name: drawing.file_name.clone(),
        sha256: drawing.sha256.clone(),
        unit: drawing.unit.symbol().to_owned(),
    };
    let stem = drawing.file_name.rsplit_once('.').map_or(drawing.file_name.as_str(), |(stem, _)| stem);
    let single = drawing.parts.len() == 1;
    let mut parts = drawing.parts.iter().map(|p| {
        let name = if single { stem.to_owned() } else { p.name.clone() };
        blank_part(name, Arc::new(p.outline.clone()), Some(origin.clone()))
    });
    let first =
        parts.next().unwrap_or_else(|| blank_part(stem.to_owned(), Arc::default(), Some(origin.clone())));
    let mut project = Project::new(name, first);
    for mut part in parts {
        project.last_id += 1;
        part.id = PartId(project.last_id);
        project.parts.push(Arc::new(part));
    }
    project
}

/// A part of which only the outline is known: the document's defaults (a steel sheet, all marked as assumed), so that
/// the first answer is of the right kind.
fn blank_part(name: String, outline: Arc<geometry::Outline>, drawing: Option<DrawingOrigin>) -> Part {
    Part { drawing, ..Part::from_outline(PartId(1), &name, outline) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ImportOptions, read_drawing_bytes};

    #[test]
    fn largest_part_comes_first_and_ids_differ() {
        let svg =
            br#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="100mm" viewBox="0 0 300 100">
            <rect x="0" y="0" width="40" height="40"/><rect x="50" y="0" width="200" height="80"/></svg>"#;
        let drawing = read_drawing_bytes("two.svg", svg, &ImportOptions::default()).expect("a drawing");
        let project = new_project_from_drawing(&drawing, "Two");
        assert_eq!(project.name, "Two");
        assert_eq!(project.parts.len(), 2);
        assert_ne!(project.parts[0].id, project.parts[1].id);
        assert_eq!(project.layouts[0].part, project.parts[0].id);
        assert!(project.parts.iter().all(|p| p.id.0 <= project.last_id));
        let width = |i: usize| {
            let b = project.parts[i].outline.outer.bounds().expect("bounds");
            b.max.x - b.min.x
        };
        assert!((width(0) - 200.0).abs() < 1e-3 && (width(1) - 40.0).abs() < 1e-3);
        let origin = project.parts[1].drawing.as_ref().expect("an origin");
        assert_eq!((origin.file_name.as_str(), origin.sha256.len()), ("two.svg", 64));
    }
}
