//! The parts list of a layout by generic specification.

use super::{Table, figure};
use document::{Attached, CupModel, FramePiece, FrameShape, Layout, ModelId, Project};
use geometry::LipShape;

/// One spare cup for every so many of a model, begun: common practice, no source.
const CUPS_PER_SPARE: usize = 5;

/// The parts list of a layout: cups by model, posts by height, frame pieces as cut, fittings; what is alike on one row.
/// Specifications are generic, so that any supplier can quote. Spares are a suggestion (common practice, no source: one
/// for every five cups of a model, begun). Only the header and what the table is of when the layout is not in the
/// project.
///
/// # Units
/// mm and kg, as the header says.
///
/// ```
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
/// let table = exchange::parts_list_csv(&project, &report);
/// assert!(table.starts_with(r#""quantity","what","specification","length mm""#));
/// ```
#[must_use]
pub fn parts_list_csv(project: &Project, report: &analysis::Report) -> String {
    let mut table = Table::new(&[
        "quantity",
        "what",
        "specification",
        "length mm",
        "width mm",
        "height mm",
        "bore mm",
        "thread",
        "material",
        "mass each kg",
        "mass kg",
        "spares",
        "tags",
    ]);
    if let Some(layout) = project.layout(report.layout) {
        cups(&mut table, project, layout);
        posts(&mut table, layout);
        frame(&mut table, &layout.tool.frame);
        fittings(&mut table, &layout.tool.masses);
    }
    table.told(project, &[report]);
    table.finish()
}

/// Things in the order they come first, with all that are alike.
fn alike<T, K: PartialEq>(things: &[T], key: impl Fn(&T) -> Option<K>) -> Vec<(K, Vec<&T>)> {
    let mut groups: Vec<(K, Vec<&T>)> = Vec::new();
    for thing in things {
        let Some(k) = key(thing) else { continue };
        match groups.iter_mut().find(|(known, _)| *known == k) {
            Some((_, all)) => all.push(thing),
            None => groups.push((k, vec![thing])),
        }
    }
    groups
}

/// A row of the list; lengths mm, masses kg, `None` for an empty cell.
#[derive(Default)]
struct Row {
    count: usize,
    what: &'static str,
    specification: String,
    /// Length, width, height, bore.
    sizes: [Option<f64>; 4],
    thread: String,
    material: String,
    mass_kg: Option<f64>,
    spares: Option<usize>,
    tags: String,
}

impl Row {
    fn write(self, table: &mut Table) {
        let number = |value: Option<f64>, decimals| value.map(|v| figure(v, decimals)).unwrap_or_default();
        let [length, width, height, bore] = self.sizes.map(|size| number(size, 3));
        table.row(&[
            self.count.to_string(),
            self.what.to_owned(),
            self.specification,
            length,
            width,
            height,
            bore,
            self.thread,
            self.material,
            number(self.mass_kg, 4),
            number(self.mass_kg.map(|m| m * self.count as f64), 4),
            self.spares.map(|s| s.to_string()).unwrap_or_default(),
            self.tags,
        ]);
    }
}

fn cups(table: &mut Table, project: &Project, layout: &Layout) {
    for (id, cups) in alike(&layout.cups, |c| Some(c.model.clone())) {
        let mut row = match project.model(&id) {
            Some(model) => cup_row(model),
            None => unknown_row(&id),
        };
        row.count = cups.len();
        row.spares = Some(cups.len().div_ceil(CUPS_PER_SPARE));
        row.tags = cups.iter().map(|c| c.tag.as_str()).collect::<Vec<_>>().join(" ");
        row.write(table);
    }
}

fn unknown_row(id: &ModelId) -> Row {
    Row { what: "suction cup", specification: format!("model {id}, not in the project"), ..Row::default() }
}

fn cup_row(model: &CupModel) -> Row {
    let size = model.shape.size();
    let shape = match model.shape {
        LipShape::Round { .. } => "round".to_owned(),
        LipShape::Long { .. } => "long".to_owned(),
        LipShape::Rectangle { corner, .. } => format!("rectangular, corners {}", plain(corner)),
    };
    Row {
        what: "suction cup",
        specification: format!(
            "{}: {shape}, {}, {}, {} Shore A, travel {} mm",
            model.name,
            model.folds_label(),
            model.lip.label(),
            plain(model.hardness_shore_a),
            plain(model.travel_mm.value)
        ),
        sizes: [Some(size.x), Some(size.y), Some(model.height_mm), Some(model.bore_mm)],
        thread: model.thread.clone(),
        material: model.material.clone(),
        mass_kg: Some(model.mass_g / 1000.0),
        ..Row::default()
    }
}

fn posts(table: &mut Table, layout: &Layout) {
    for (height, cups) in alike(&layout.cups, |c| (c.height_mm > 0.0).then_some(c.height_mm)) {
        let row = Row {
            count: cups.len(),
            what: "post",
            specification: "between frame and cup".to_owned(),
            sizes: [Some(height), None, None, None],
            tags: cups.iter().map(|c| c.tag.as_str()).collect::<Vec<_>>().join(" "),
            ..Row::default()
        };
        row.write(table);
    }
}

fn frame(table: &mut Table, pieces: &[FramePiece]) {
    for (shape, pieces) in alike(pieces, |p| Some(p.shape)) {
        let size = pieces[0].size();
        let (what, places) = match shape {
            FrameShape::Rail { pitch_mm, first_mm, .. } => ("rail", every(pitch_mm, first_mm)),
            FrameShape::Plate { pitch_mm, first_mm, .. } => {
                let (along, across) = (every(pitch_mm.x, first_mm.x), every(pitch_mm.y, first_mm.y));
                (
                    "plate",
                    if along == across {
                        format!("both ways {along}")
                    } else {
                        format!("along {along}; across {across}")
                    },
                )
            }
        };
        let row = Row {
            count: pieces.len(),
            what,
            specification: format!("cut to length; mounting positions: {places}"),
            sizes: [Some(size.x), Some(size.y), None, None],
            mass_kg: Some(pieces[0].mass_kg()),
            tags: pieces.iter().map(|p| p.name.as_str()).collect::<Vec<_>>().join("; "),
            ..Row::default()
        };
        row.write(table);
    }
}

fn every(pitch: f64, first: f64) -> String {
    if pitch > 0.0 {
        format!("every {} mm from {} mm", plain(pitch), plain(first))
    } else {
        format!("open slot from {} mm", plain(first))
    }
}

fn fittings(table: &mut Table, masses: &[Attached]) {
    for ((name, mass, _), all) in alike(masses, |m| Some((m.name.clone(), m.mass_kg, m.size))) {
        let size = all[0].size;
        let block = size.max_element() > 0.0;
        let side = |value: f64| block.then_some(value);
        let row = Row {
            count: all.len(),
            what: "fitting",
            specification: name,
            sizes: [side(size.x), side(size.y), side(size.z), None],
            mass_kg: Some(mass),
            ..Row::default()
        };
        row.write(table);
    }
}

/// A figure in a sentence: three decimals at most, no noughts at the end.
fn plain(value: f64) -> String {
    units::trimmed(&figure(value, 3)).to_owned()
}
