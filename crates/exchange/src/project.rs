//! A new project from a drawing.

use crate::{Drawing, ImportedKeepOut, ImportedPart, PartRole};
use document::{
    DrawingOrigin, Edit, KeepOut, KeepOutId, LayoutId, MassBy, Part, PartId, Project, Seat, SeatId,
};
use geometry::Outline;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

/// A project with the parts of a drawing: the first is the one the first layout carries, the others are kept beside it;
/// views, details and pictures are not taken. Thickness, mass, surface and friction are assumed and marked so.
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
    let role = |i: &usize| drawing.parts[*i].role;
    // The first is there whatever it is.
    let parts: Vec<usize> =
        (0..drawing.parts.len()).filter(|i| *i == 0 || role(i) == PartRole::Part).collect();
    new_project_from_parts(drawing, &parts, name)
}

/// As [`new_project_from_drawing`] with some of the parts, of which the first is the one that the first layout carries.
/// Indices beyond [`Drawing::parts`] and repeated ones are passed over.
///
/// ```
/// # let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="100mm" viewBox="0 0 300 100">
/// #   <rect x="0" y="0" width="40" height="40"/><rect x="50" y="0" width="200" height="80"/></svg>"#;
/// let drawing = exchange::read_drawing_bytes("two.svg", svg, &exchange::ImportOptions::default())?;
/// let project = exchange::new_project_from_parts(&drawing, &[1], "The small one");
/// assert_eq!(project.parts.len(), 1);
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn new_project_from_parts(drawing: &Drawing, chosen: &[usize], name: &str) -> Project {
    let stem = stem(drawing);
    let mut seen = BTreeSet::new();
    let chosen: Vec<&ImportedPart> =
        chosen.iter().filter(|i| seen.insert(**i)).filter_map(|i| drawing.parts.get(*i)).collect();
    let named = |p: &ImportedPart| if chosen.len() == 1 { stem.to_owned() } else { p.name.clone() };
    let blank = ImportedPart {
        name: stem.to_owned(),
        outline: Outline::default(),
        keep_outs: Vec::new(),
        role: PartRole::Part,
    };
    let first = chosen.first().copied().unwrap_or(&blank);
    let mut project = Project::new(name, part_from_drawing(drawing, first, named(first), PartId(1), &mut 1));
    let mut last = project.last_id;
    for part in chosen.iter().skip(1) {
        let id = next(&mut last);
        project.parts.push(Arc::new(part_from_drawing(drawing, part, named(part), id, &mut last)));
    }
    project.last_id = last;
    project
}

/// The edits that carry a part of a drawing on the tool of a layout too, with its datum on the tool's: of the material, surface and
/// placement that the layout's first part has, since parts of one family mostly share them. `None` without that part or layout.
///
/// ```
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Panels", Part::rectangle(PartId(1), "Panel", 600.0, 400.0));
/// # let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="100mm" viewBox="0 0 300 100">
/// #   <rect x="0" y="0" width="200" height="80"/></svg>"#;
/// let drawing = exchange::read_drawing_bytes("small.svg", svg, &exchange::ImportOptions::default())?;
/// let edit = exchange::seat_edit(&project, project.layouts[0].id, &drawing, 0).expect("it is there");
/// let both = edit.apply(&project).expect("it fits");
/// assert_eq!((both.parts.len(), both.layouts[0].seats.len()), (2, 2));
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn seat_edit(project: &Project, layout: LayoutId, drawing: &Drawing, part: usize) -> Option<Edit> {
    let imported = drawing.parts.get(part)?;
    let like = project.part(project.layout(layout)?.part)?;
    let stem = stem(drawing);
    let name = if drawing.parts.len() == 1 { stem.to_owned() } else { imported.name.clone() };
    let mut last = project.last_id;
    let id = next(&mut last);
    let new = part_from_drawing(drawing, imported, project.free_part_name(&name), id, &mut last);
    // A weight that was stated is that of the other part.
    let mass = if matches!(like.mass, MassBy::Stated { .. }) { new.mass.clone() } else { like.mass.clone() };
    let new = Part {
        material: like.material.clone(),
        thickness_mm: like.thickness_mm,
        mass,
        surface: like.surface,
        friction: like.friction.clone(),
        pairs: like.pairs.clone(),
        permeance_um_pa_s: like.permeance_um_pa_s.clone(),
        uneven_mm: like.uneven_mm,
        placement: like.placement,
        ..new
    };
    let seat = Seat::of(SeatId(last.saturating_add(1)), id);
    Some(Edit::Together {
        name: format!("Add {} to the tool", new.name),
        edits: vec![Edit::AddPart(Arc::new(new)), Edit::AddSeat { layout, seat }],
    })
}

fn next(last: &mut u32) -> PartId {
    *last = last.saturating_add(1);
    PartId(*last)
}

/// Where an outline came from, as the part keeps it.
pub(crate) fn origin(drawing: &Drawing) -> DrawingOrigin {
    DrawingOrigin {
        file_name: drawing.file_name.clone(),
        sha256: drawing.sha256.clone(),
        unit: drawing.unit.symbol().to_owned(),
    }
}

/// A part of which only the outline and its keep-outs are known: the document's defaults (a steel sheet, all marked as
/// assumed), so that the first answer is of the right kind.
fn part_from_drawing(
    drawing: &Drawing,
    part: &ImportedPart,
    name: String,
    id: PartId,
    last_id: &mut u32,
) -> Part {
    Part {
        drawing: Some(origin(drawing)),
        keep_outs: keep_outs(part, last_id),
        ..Part::from_outline(id, &name, Arc::new(part.outline.clone()))
    }
}

/// The keep-outs of a drawing with numbers of their own.
pub(crate) fn keep_outs(part: &ImportedPart, last_id: &mut u32) -> Vec<KeepOut> {
    let numbered = |k: &ImportedKeepOut| {
        let PartId(id) = next(last_id);
        KeepOut { id: KeepOutId(id), name: k.name.clone(), area: Arc::new(k.area.clone()) }
    };
    part.keep_outs.iter().map(numbered).collect()
}

/// The name of the file without its ending.
fn stem(drawing: &Drawing) -> &str {
    let stem = Path::new(&drawing.file_name).file_stem().and_then(|stem| stem.to_str());
    stem.unwrap_or(&drawing.file_name)
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
