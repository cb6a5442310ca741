//! The text of a project: own line breaks, so that one thing is one line for a diff tool; each line by the RON library.

mod circuit;
mod issued;

use super::v4;
use crate::Project;
use ron::ser::PrettyConfig;
use serde::Serialize;
use std::fmt::Write;

const HEAD: &str = "\
// Cupwright project: parts, cups, motions and circuits. Nothing computed is kept here.
// Lengths mm, angles degrees, masses kg (cup models: g), vacuum levels kPa, accelerations m/s², stiffness N/mm,
// permeance µm/(Pa·s), mass of a rail kg/m, of a plate kg/m², flow L/min ANR, sonic conductance dm³/(s·bar).
// A value with its origin reads (value, Measured | Stated | Assumed, \"date\"); a vertex reads (x, y) or, where an arc
// starts, (x, y, tan(sweep / 4)).
";
const VERTICES_A_LINE: usize = 8;
const INDENT: &str = "    ";

/// Deterministic text of a project (format 4): the same project always gives the same bytes.
///
/// ```
/// # use std::sync::Arc;
/// # use document::{Part, PartId, Project, from_text, to_text};
/// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let text = to_text(&project);
/// assert!(text.contains("format: 4,"));
/// assert_eq!(from_text(&text, "tray.ron").unwrap(), project);
/// ```
pub fn to_text(project: &Project) -> String {
    let p = v4::Project::from(project);
    let mut out = Text { text: HEAD.to_owned(), depth: 0 };
    out.open("", "(");
    out.field("format", &p.format);
    out.field("name", &p.name);
    out.field("last_id", &p.last_id);
    content(&mut out, &p);
    if p.question != v4::Question::default() {
        out.field("question", &p.question);
    }
    if p.review != v4::Review::default() {
        out.open("review: ", "(");
        out.lines("remarks", &p.review.remarks);
        out.lines("decisions", &p.review.decisions);
        out.lines("ticks", &p.review.ticks);
        out.close("),");
    }
    if !p.issued.is_empty() {
        out.list("issued", &p.issued, issued::issued);
    }
    if p.traced.is_some() {
        out.field("traced", &p.traced);
    }
    out.close(")");
    out.text
}

/// Bytes that the text of a project has at least, from its corners, each of which is `(0.0, 0.0),` or longer.
pub(super) fn bytes_at_least(project: &Project) -> u64 {
    const CORNER: u64 = 11;
    let corners = |l: &geometry::Loop| l.vertices.len() as u64;
    let of_parts = |p: &Project| -> u64 {
        p.parts
            .iter()
            .map(|part| {
                part.outline.loops().map(corners).sum::<u64>()
                    + part.keep_outs.iter().map(|k| corners(&k.area)).sum::<u64>()
            })
            .sum()
    };
    CORNER * of_parts(project)
}

fn content(out: &mut Text, p: &v4::Project) {
    out.field("site", &p.site);
    out.field("rules", &p.rules);
    out.field("cycle", &p.cycle);
    sheet(out, &p.sheet);
    out.list("parts", &p.parts, |out, p| part(out, "(", p, "),"));
    out.list("circuits", &p.circuits, |out, c| circuit::circuit(out, PLAIN, c));
    out.lines("motions", &p.motions);
    out.list("layouts", &p.layouts, |out, l| layout(out, PLAIN, l));
    circuit::trial(out, &p.trial);
    out.lines("accepted", &p.accepted);
    out.lines("models", &p.models);
    out.lines("sources", &p.sources);
}

/// What stands around a thing.
type Around = (&'static str, &'static str);
const PLAIN: Around = ("", "");

fn sheet(out: &mut Text, s: &v4::Sheet) {
    out.open("sheet: ", "(");
    out.field("title", &s.title);
    out.field("owner", &s.owner);
    out.field("number", &s.number);
    out.field("revision", &s.revision);
    out.field("created_by", &s.created_by);
    out.field("approved_by", &s.approved_by);
    out.field("date", &s.date);
    out.field("document_type", &s.document_type);
    let usual = v4::Sheet::default();
    if s.tolerances != usual.tolerances {
        out.field("tolerances", &s.tolerances);
    }
    if s.position_tolerance_mm != usual.position_tolerance_mm {
        out.field("position_tolerance_mm", &s.position_tolerance_mm);
    }
    out.lines("revisions", &s.revisions);
    out.close("),");
}
fn layout(out: &mut Text, (before, after): Around, l: &v4::Layout) {
    out.open(before, "(");
    out.field("id", &l.id);
    out.field("name", &l.name);
    out.field("part", &l.part);
    if !l.proposed.is_empty() {
        out.field("proposed", &l.proposed);
    }
    if !l.seats.is_empty() {
        out.lines("seats", &l.seats);
    }
    out.lines("cups", &l.cups);
    if let Some(tool) = &l.tool {
        out.open("tool: ", "(");
        out.field("flange", &tool.flange);
        out.lines("masses", &tool.masses);
        out.lines("frame", &tool.frame);
        out.close("),");
    }
    out.close(&format!("){after},"));
}

fn part(out: &mut Text, before: &str, p: &v4::Part, after: &str) {
    out.open("", before);
    out.field("id", &p.id);
    out.field("name", &p.name);
    out.field("material", &p.material);
    out.field("thickness_mm", &p.thickness_mm);
    out.field("mass", &p.mass);
    out.field("centre_of_gravity", &p.centre_of_gravity);
    out.field("surface", &p.surface);
    out.field("friction", &p.friction);
    out.lines("pairs", &p.pairs);
    out.field("permeance_um_pa_s", &p.permeance_um_pa_s);
    let bends = [
        ("modulus_n_mm2", &p.modulus_n_mm2),
        ("poisson", &p.poisson),
        ("modulus_across_n_mm2", &p.modulus_across_n_mm2),
        ("allowable_n_mm2", &p.allowable_n_mm2),
        ("damping", &p.damping),
    ];
    for (name, bends) in bends.into_iter().filter(|(_, bends)| bends.is_some()) {
        out.field(name, bends);
    }
    if p.along_deg != 0.0 {
        out.field("along_deg", &p.along_deg);
    }
    if p.stiff_blocks {
        out.field("stiff_blocks", &p.stiff_blocks);
    }
    out.field("uneven_mm", &p.uneven_mm);
    out.field("placement", &p.placement);
    out.lines("attached", &p.attached);
    out.list("keep_outs", &p.keep_outs, |out, k| {
        out.open("", "(");
        out.field("id", &k.id);
        out.field("name", &k.name);
        out.vertices("area: ", &k.area);
        out.close("),");
    });
    if p.datum.is_some() {
        out.field("datum", &p.datum);
    }
    out.field("drawing", &p.drawing);
    out.open("outline: ", "(");
    out.vertices("outer: ", &p.outline.outer);
    out.list("holes", &p.outline.holes, |out, hole| out.vertices("", hole));
    out.close("),");
    out.close(after);
}

struct Text {
    text: String,
    depth: usize,
}

impl Text {
    fn start(&mut self) {
        for _ in 0..self.depth {
            self.text.push_str(INDENT);
        }
    }
    fn open(&mut self, before: &str, bracket: &str) {
        self.start();
        self.text.push_str(before);
        self.text.push_str(bracket);
        self.text.push('\n');
        self.depth += 1;
    }
    fn close(&mut self, bracket: &str) {
        self.depth -= 1;
        self.start();
        self.text.push_str(bracket);
        self.text.push('\n');
    }
    fn field(&mut self, name: &str, value: &impl Serialize) {
        self.start();
        self.text.push_str(name);
        self.text.push_str(": ");
        self.value(value);
        self.text.push_str(",\n");
    }
    fn line(&mut self, value: &impl Serialize) {
        self.start();
        self.value(value);
        self.text.push_str(",\n");
    }
    fn lines<T: Serialize>(&mut self, name: &str, list: &[T]) {
        self.list(name, list, |out, item| out.line(item));
    }
    fn list<T>(&mut self, name: &str, list: &[T], item: impl Fn(&mut Self, &T)) {
        if list.is_empty() {
            self.start();
            self.text.push_str(name);
            self.text.push_str(": [],\n");
            return;
        }
        self.open(&format!("{name}: "), "[");
        for each in list {
            item(self, each);
        }
        self.close("],");
    }
    fn vertices(&mut self, before: &str, vertices: &[v4::Vertex]) {
        self.open(before, "[");
        for run in vertices.chunks(VERTICES_A_LINE) {
            self.start();
            for (i, v4::Vertex(x, y, bulge)) in run.iter().enumerate() {
                let gap = if i == 0 { "" } else { " " };
                // Writing to a string cannot fail. `{:?}` is the shortest text that reads back to the same number.
                let _ = if *bulge == 0.0 {
                    write!(self.text, "{gap}({x:?}, {y:?}),")
                } else {
                    write!(self.text, "{gap}({x:?}, {y:?}, {bulge:?}),")
                };
            }
            self.text.push('\n');
        }
        self.close("],");
    }
    fn value(&mut self, value: &impl Serialize) {
        let one_line = PrettyConfig::new().compact_structs(true).compact_arrays(true).compact_maps(true);
        // The format types hold numbers, text, lists and plain variants only: none of them can refuse to be written.
        let written = ron::Options::default().to_writer_pretty(&mut self.text, value, one_line);
        debug_assert!(written.is_ok());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{library, models_from_text, sources, sources_from_text};
    use std::sync::Arc;

    /// One thing a line.
    fn list<T: Serialize>(things: impl Iterator<Item = T>) -> String {
        let mut out = Text { text: String::new(), depth: 0 };
        out.open("", "[");
        things.for_each(|thing| out.line(&thing));
        out.close("]");
        out.text
    }

    #[test]
    fn built_in_lists_are_kept_as_the_program_would_write_them() {
        let models = list(library().iter().map(|m| v4::Model::from(&**m)));
        assert_eq!(models.lines().count(), library().len() + 2);
        let kept = include_str!("../../../../assets/library/cup-models.ron");
        let invented =
            "// Invented, generic figures; not any maker's data. Replace with measured or stated ones.";
        assert!(kept.starts_with(invented) && kept.ends_with(&models));
        let back: Vec<_> =
            models_from_text(&models, "models.ron").unwrap().into_iter().map(Arc::new).collect();
        assert_eq!(back, library());

        let all = list(sources().iter().map(|s| v4::Source::from(&**s)));
        assert_eq!(all.lines().count(), sources().len() + 2);
        assert_eq!(all, include_str!("../../../../assets/library/sources.ron"));
        let back: Vec<_> =
            sources_from_text(&all, "sources.ron").unwrap().into_iter().map(Arc::new).collect();
        assert_eq!(back, sources());
    }
}
