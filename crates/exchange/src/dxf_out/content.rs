//! What stands on the drawing of a layout.

use super::DxfOptions;
use super::dimensions;
use super::frame;
use super::shape::{Anchor, Canvas, LineType, Shape, closed, cross};
use document::{Layout, Part, Project, Tool};
use geometry::Bounds;
use glam::DVec2;
use std::collections::BTreeMap;

/// Heights of texts, mm.
const TEXT: std::ops::RangeInclusive<f64> = 1.8..=25.0;

pub(super) fn of(
    project: &Project,
    report: &analysis::Report,
    layout: &Layout,
    part: &Part,
    options: &DxfOptions,
) -> Canvas {
    let mut canvas = Canvas::default();
    let size = part.outline.bounds().map_or(0.0, |b| b.size().length());
    let height = (size / 120.0).clamp(*TEXT.start(), *TEXT.end());
    boundaries(&mut canvas, part);
    cups(&mut canvas, project, layout, height);
    carried_by(&mut canvas, &layout.tool, height);
    datum(&mut canvas, part.datum_at(), height);
    if options.dimensions {
        dimensions::add(&mut canvas, part, layout, height);
    }
    border(&mut canvas, project, report, layout, part, height);
    // Who drills from the file counts from its origin.
    canvas.shift(-part.datum_at());
    canvas
}

fn boundaries(canvas: &mut Canvas, part: &Part) {
    let layer = canvas.layer("PART", 7, LineType::Continuous);
    canvas.boundary(layer, &part.outline.outer);
    let layer = canvas.layer("HOLE", 7, LineType::Continuous);
    part.outline.holes.iter().for_each(|hole| canvas.boundary(layer, hole));
    let layer = canvas.layer("KEEPOUT", 1, LineType::Dashed);
    for keep_out in &part.keep_outs {
        canvas.boundary(layer, &keep_out.area);
        let says = keep_out.name.trim();
        // Inside the area, so that whoever reads the drawing back finds its name there.
        let Some(at) = inner_point(&keep_out.area).filter(|_| !says.is_empty()) else { continue };
        let height = TEXT.start() * 1.0;
        canvas.add(
            layer,
            Shape::Text { at, height, turn_deg: 0.0, says: says.to_owned(), anchor: Anchor::Left },
        );
    }
}

/// A point within a closed line: its centre, else the middle of the widest stretch on a level through it.
fn inner_point(area: &geometry::Loop) -> Option<DVec2> {
    let bounds = area.bounds()?;
    let centre = bounds.centre();
    if area.contains(centre) {
        return Some(centre);
    }
    (1..32)
        .flat_map(|y| (1..32).map(move |x| DVec2::new(f64::from(x), f64::from(y)) / 32.0))
        .map(|share| bounds.min + share * bounds.size())
        .find(|at| area.contains(*at))
}

/// Lettering of a thread over that of a tag.
const THREAD_SHARE: f64 = 0.6;

fn cups(canvas: &mut Canvas, project: &Project, layout: &Layout, height: f64) {
    let [lip, drill, thread, centre, text] = [
        ("LIP", 5, LineType::Continuous),
        ("DRILL", 3, LineType::Continuous),
        ("THREAD", 3, LineType::Continuous),
        ("CENTRE", 4, LineType::Centre),
        ("TEXT", 7, LineType::Continuous),
    ]
    .map(|(name, colour, line)| canvas.layer(name, colour, line));
    let zones = zone_layers(canvas, layout);
    for cup in &layout.cups {
        let Some(model) = project.model(&cup.model) else { continue };
        let half = model.shape.size() / 2.0;
        let block = canvas.block(block_name(&model.name, &model.id.0), || {
            let outline = geometry::Lip { shape: model.shape, at: DVec2::ZERO, turn: 0.0 }.outline();
            let mut shapes: Vec<(usize, Shape)> =
                closed(&outline).map(|shape| (lip, shape)).into_iter().collect();
            shapes.extend(model.drill_mm.map(|hole| (drill, Shape::Circle(DVec2::ZERO, hole / 2.0))));
            // The mark reaches past the lip, so that it is seen where bore and tag stand.
            shapes.extend(cross(DVec2::ZERO, half + height / 2.0, 0.0).map(|shape| (centre, shape)));
            shapes
        });
        // The block stands on the layer of its zone; what is in it keeps the layers that say what it is.
        let layer = zones.get(cup.zone.as_str()).copied().unwrap_or(lip);
        canvas.add(layer, Shape::Insert { block, at: cup.at, turn_deg: cup.turn_deg });
        let tag = height.min(half.min_element() * 0.5).max(*TEXT.start());
        let beside = DVec2::splat((tag * 0.35).max(0.5 * model.drill_mm.unwrap_or(0.0) + tag * 0.1));
        let written = |at: DVec2, height: f64, says: &str| Shape::Text {
            at,
            height,
            turn_deg: 0.0,
            says: says.to_owned(),
            anchor: Anchor::Left,
        };
        canvas.add(text, written(cup.at + beside, tag, &cup.tag));
        if !model.thread.is_empty() {
            let small = (THREAD_SHARE * tag).max(*TEXT.start());
            let below = cup.at + DVec2::new(beside.x, -beside.y - small);
            canvas.add(thread, written(below, small, &model.thread));
        }
    }
}

/// Name of the block of a model: `CUP_`, the start of its name and a number that tells models of one start apart.
fn block_name(name: &str, id: &str) -> String {
    const NAME: usize = 20;
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c.to_ascii_uppercase() } else { '_' };
    let start: String = name.trim().chars().map(plain).take(NAME).collect();
    // FNV-1a, as wide as is left of the 31 letters of release 12.
    let number = id.bytes().fold(0x811c_9dc5_u32, |hash, b| (hash ^ u32::from(b)).wrapping_mul(0x0100_0193));
    format!("CUP_{start}_{:05X}", number & 0xf_ffff)
}

/// Longest layer name of release 12.
const LONGEST_NAME: usize = 31;

/// A layer for each zone: `ZONE_` and its name in the letters that every release takes.
fn zone_layers<'a>(canvas: &mut Canvas, layout: &'a Layout) -> BTreeMap<&'a str, usize> {
    let mut layers = BTreeMap::new();
    for cup in &layout.cups {
        if layers.contains_key(cup.zone.as_str()) {
            continue;
        }
        let plain =
            |c: char| if c.is_ascii_alphanumeric() || c == '-' { c.to_ascii_uppercase() } else { '_' };
        let mut name: String =
            "ZONE_".chars().chain(cup.zone.trim().chars().map(plain)).take(LONGEST_NAME).collect();
        if cup.zone.trim().is_empty() {
            name += "NONE";
        }
        // Zones whose names come to the same letters are told apart by a number.
        let mut number = 2;
        while canvas.layers.iter().any(|l| l.name == name) {
            let end = format!("_{number}");
            name.truncate(name.len().min(LONGEST_NAME - end.len()));
            name += &end;
            number += 1;
        }
        let colour = [6, 30, 94, 140, 200][layers.len() % 5];
        layers.insert(cup.zone.as_str(), canvas.layer(&name, colour, LineType::Continuous));
    }
    layers
}

fn carried_by(canvas: &mut Canvas, tool: &Tool, height: f64) {
    frame::add(canvas, &tool.frame, height);
    // A tool that nobody described has no flange to show.
    if *tool == Tool::default() {
        return;
    }
    let layer = canvas.layer("FLANGE", 30, LineType::Continuous);
    let at = tool.flange.truncate();
    canvas.cross(layer, at, DVec2::splat(2.5 * height), 0.0);
    canvas.add(layer, Shape::Circle(at, 1.5 * height));
    let says = format!("flange centre, {} above the lips", dimensions::figure(tool.flange.z));
    let at = at + DVec2::new(1.8, -1.6) * height;
    canvas.add(layer, Shape::Text { at, height, turn_deg: 0.0, says, anchor: Anchor::Left });
}

/// Origin and directions of the axes.
fn datum(canvas: &mut Canvas, origin: DVec2, height: f64) {
    let layer = canvas.layer("DATUM", 2, LineType::Continuous);
    canvas.add(layer, Shape::Circle(origin, height / 2.0));
    for (axis, says) in [(DVec2::X, "X"), (DVec2::Y, "Y")] {
        let tip = origin + axis * 5.0 * height;
        canvas.add(layer, Shape::Line(origin, tip));
        for side in [-1.0, 1.0] {
            canvas.add(layer, Shape::Line(tip, tip - axis * height + axis.perp() * side * 0.35 * height));
        }
        let at = tip + axis * 0.9 * height - DVec2::new(0.0, height / 2.0) * axis.x;
        canvas.add(
            layer,
            Shape::Text { at, height, turn_deg: 0.0, says: says.to_owned(), anchor: Anchor::Middle },
        );
    }
}

/// Letters of a line of the frame's text.
const LINE: usize = 96;

/// Words in lines of [`LINE`] letters at most, a longer word on a line of its own.
fn wrapped(says: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in says.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= LINE => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A frame around everything, with what the drawing is in its lower edge.
fn border(
    canvas: &mut Canvas,
    project: &Project,
    report: &analysis::Report,
    layout: &Layout,
    part: &Part,
    height: f64,
) {
    let layer = canvas.layer("BORDER", 9, LineType::Continuous);
    let Some(around) = canvas.bounds() else { return };
    let sheet = &project.sheet;
    let title = if sheet.title.trim().is_empty() { &project.name } else { &sheet.title };
    let mut lines = vec![format!("{title}: {}, {}", part.name, layout.name)];
    let identity = telling::Identity::of(project, &[report]);
    let date = if identity.changed_since().is_some() { "not issued" } else { sheet.date.trim() };
    let fields = [
        ("", sheet.number.trim()),
        ("revision ", identity.revision.trim()),
        ("", date),
        ("", sheet.owner.trim()),
    ];
    let issue: Vec<String> =
        fields.iter().filter(|(_, v)| !v.is_empty()).map(|(k, v)| format!("{k}{v}")).collect();
    if !issue.is_empty() {
        lines.push(issue.join(", "));
    }
    lines.push(identity.content());
    let lies = part.datum_says(&units::UnitChoice::default());
    lines.extend(wrapped(&format!(
        "Millimetres, from the datum at 0, 0, {lies}; seen from the robot side, x right, y up"
    )));
    lines.push(sheet.general_tolerance(&units::UnitChoice::default()));
    lines.push(report.verdict.sentence.clone());
    lines.extend(telling::CAUTIONS.iter().flat_map(|caution| wrapped(caution)));
    let corner = around.min + DVec2::new(0.0, -3.0 * height);
    for (i, says) in lines.into_iter().enumerate() {
        let at = corner - DVec2::new(0.0, i as f64 * 1.7 * height);
        canvas.add(layer, Shape::Text { at, height, turn_deg: 0.0, says, anchor: Anchor::Left });
    }
    // Red, over the rest, on a layer of its own.
    let mut top = DVec2::new(around.min.x, around.max.y + 3.0 * height);
    for stamp in identity.stamps().into_iter().rev() {
        let layer = canvas.layer("STATUS", 1, LineType::Continuous);
        for (at, height, says) in [
            (top + DVec2::Y * 2.0 * height, 1.5 * height, stamp.words.to_uppercase()),
            (top, height, stamp.why),
        ] {
            canvas.add(layer, Shape::Text { at, height, turn_deg: 0.0, says, anchor: Anchor::Left });
        }
        top.y += 5.0 * height;
    }
    let Some(Bounds { min, max }) = canvas.bounds().map(|b| b.expanded(2.0 * height)) else { return };
    let corners = [min, DVec2::new(max.x, min.y), max, DVec2::new(min.x, max.y)];
    canvas.add(layer, Shape::Closed(corners.map(|at| geometry::Vertex { at, bulge: 0.0 }).to_vec()));
}
