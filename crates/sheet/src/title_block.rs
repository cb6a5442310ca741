//! The title block with the fields of ISO 7200 (from memory), the strip of later sheets, and the stamp.

use crate::Scale;
use crate::context::{Context, Outcome, layout_called};
use crate::frame::Rect;
use crate::page::{Anchor, Contour, Item, Pen, Role, Tag, Tone, Weight};
use crate::style::{MEDIUM, NOTE, Style, left, text};
use crate::text_width::{cut_to, fit, printable, text_width, wrap};
use document::name_of;
use glam::dvec2;

/// What a title block needs besides the project.
#[derive(Debug, Clone)]
pub(crate) struct Facts {
    /// What stands in place of the kind of document, of the line under the title and of the result.
    pub instead: Option<Instead>,
    pub scale: Option<Scale>,
    pub sheet: usize,
    pub sheets: usize,
}

/// What a sheet that is not about one layout says of itself.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Instead {
    pub document_type: &'static str,
    pub about: String,
    pub result: String,
}

/// The title as stated, or the project's name.
pub(crate) fn title(context: &Context) -> String {
    let stated = context.project.sheet.title.trim();
    if stated.is_empty() { context.project.name.trim().to_owned() } else { stated.to_owned() }
}

/// The revision that the sheet shows.
pub(crate) fn revision<'a>(context: &Context<'a>) -> &'a str {
    let revision = context.identity.revision.trim();
    if revision.is_empty() { "none" } else { revision }
}

/// The mark of the content and how it stands to what was issued.
fn content(context: &Context) -> String {
    context.identity.content().trim_start_matches("content ").to_owned()
}

/// The date in the project is that of the last issue, and no date of what was changed since.
fn date_of_issue<'a>(context: &Context, share: f64) -> Field<'a> {
    match context.identity.changed_since() {
        Some(_) => Field {
            tone: Tone::Fail,
            weight: Weight::Italic,
            ..field(name_of("sheet.date"), "not issued", share)
        },
        None => stated(name_of("sheet.date"), &context.project.sheet.date, share),
    }
}

struct Field<'a> {
    label: &'a str,
    value: String,
    weight: Weight,
    tone: Tone,
    share: f64,
}

fn field<'a>(label: &'a str, value: impl Into<String>, share: f64) -> Field<'a> {
    Field { label, value: value.into(), weight: Weight::Regular, tone: Tone::Ink, share }
}
/// A mandatory field: says so when it is blank.
fn stated<'a>(label: &'a str, value: &str, share: f64) -> Field<'a> {
    if value.trim().is_empty() {
        Field { tone: Tone::Fail, weight: Weight::Italic, ..field(label, "not stated", share) }
    } else {
        field(label, value.trim(), share)
    }
}
fn bold(field: Field) -> Field {
    let weight = if field.weight == Weight::Italic { Weight::Italic } else { Weight::SemiBold };
    Field { weight, ..field }
}

/// Height of the title block.
pub(crate) fn height(style: &Style) -> f64 {
    style.title_row * 4.55
}

/// Name and value of every field, and whether it wants attention; for a page that has no title block.
pub(crate) fn told(context: &Context) -> Vec<(String, String, bool)> {
    let facts = Facts { instead: None, scale: None, sheet: 1, sheets: 1 };
    let of_paper = ["scale", "sheet"];
    rows(context, &facts)
        .into_iter()
        .flatten()
        .filter(|field| !of_paper.contains(&field.label))
        .map(|field| (field.label.to_owned(), field.value, field.tone == Tone::Fail))
        .collect()
}

/// The fields, row by row.
fn rows<'a>(context: &'a Context, facts: &'a Facts) -> [Vec<Field<'a>>; 3] {
    let fields = &context.project.sheet;
    let Outcome { meets, says } = match &facts.instead {
        Some(instead) => Outcome { meets: true, says: instead.result.clone() },
        None => context.outcome(),
    };
    let document_type = match &facts.instead {
        Some(instead) => instead.document_type,
        None if fields.document_type.trim().is_empty() => "layout sheet",
        None => fields.document_type.trim(),
    };
    let revision = revision(context);
    let result = Field {
        tone: if meets { Tone::Ink } else { Tone::Fail },
        weight: Weight::SemiBold,
        ..field("result", says, 0.38)
    };
    let scale = facts.scale.map_or("none".to_owned(), |scale| scale.to_string());
    [
        vec![
            stated(name_of("sheet.owner"), &fields.owner, 0.5),
            bold(stated(name_of("sheet.number"), &fields.number, 0.27)),
            bold(field("revision", revision, 0.23)),
        ],
        vec![
            stated(name_of("sheet.created_by"), &fields.created_by, 0.25),
            stated(name_of("sheet.approved_by"), &fields.approved_by, 0.25),
            date_of_issue(context, 0.25),
            field(name_of("sheet.document_type"), document_type, 0.25),
        ],
        vec![
            field("content", content(context), 0.24),
            result,
            field("scale", scale, 0.11),
            field("lengths in", context.length_unit_name(), 0.15),
            field("sheet", format!("{} of {}", facts.sheet, facts.sheets), 0.12),
        ],
    ]
}

/// The title block in a rectangle of [`height`].
pub(crate) fn draw(context: &Context, facts: &Facts, rect: Rect, style: &Style) -> Item {
    let rows = rows(context, facts);
    let mut items = vec![outline(rect)];
    let pen = Pen::solid(MEDIUM, Tone::Ink);
    let mut top = rect.max.y - style.title_row * 1.55;
    items.extend(title_cell(context, facts, Rect::new(dvec2(rect.min.x, top), rect.max), style));
    for row in &rows {
        items.push(Item::Line { from: dvec2(rect.min.x, top), to: dvec2(rect.max.x, top), pen });
        let bottom = top - style.title_row;
        items.extend(cells(row, Rect::new(dvec2(rect.min.x, bottom), dvec2(rect.max.x, top)), style));
        top = bottom;
    }
    Item::Group { name: "title block".to_owned(), clip: None, items }
}

/// One row along the foot of a later sheet.
pub(crate) fn strip(context: &Context, facts: &Facts, rect: Rect, style: &Style) -> Item {
    let fields = &context.project.sheet;
    let revision = revision(context);
    let status = field("status", context.identity.status(), 0.25);
    let status = if context.identity.stamps().is_empty() {
        status
    } else {
        Field { tone: Tone::Fail, ..bold(status) }
    };
    let mut row = vec![
        bold(stated("title", &title(context), 0.3)),
        stated(name_of("sheet.number"), &fields.number, 0.14),
        field("revision", revision, 0.08),
        field("content", context.identity.fingerprint.clone(), 0.14),
        status,
        field("sheet", format!("{} of {}", facts.sheet, facts.sheets), 0.09),
    ];
    // Pages of one part among several are told apart by it.
    if let Some(name) = context.seat_name() {
        row[0].share = 0.18;
        row.insert(1, bold(field("part", name, 0.12)));
    }
    let mut items = vec![outline(rect)];
    items.extend(cells(&row, rect, style));
    Item::Group { name: "title block".to_owned(), clip: None, items }
}

fn outline(rect: Rect) -> Item {
    let contours = vec![Contour::rectangle(rect.min, rect.max)];
    Item::Path { contours, pen: Some(Pen::solid(0.5, Tone::Ink)), fill: None }
}

fn title_cell(context: &Context, facts: &Facts, rect: Rect, style: &Style) -> Vec<Item> {
    let said = title(context);
    vec![Tag::new(Role::Title, said).over(title_items(context, facts, rect, style))]
}

fn title_items(context: &Context, facts: &Facts, rect: Rect, style: &Style) -> Vec<Item> {
    let pad = style.body * 0.5;
    let room = rect.width() - 2.0 * pad;
    let title = title(context);
    let (says, tone) =
        if title.is_empty() { ("not stated".to_owned(), Tone::Fail) } else { (printable(&title), Tone::Ink) };
    let label = label_size(style);
    let mut items = vec![left(
        dvec2(rect.min.x + pad, rect.max.y - label * 1.15),
        "title",
        label,
        Weight::Regular,
        Tone::Second,
    )];
    let size = style.title_row * 0.42;
    let top = rect.max.y - label * 1.5;
    if text_width(&says, Weight::SemiBold, size * 0.7) <= room {
        let (says, size) = fit(&says, Weight::SemiBold, size, size * 0.7, room);
        let at = dvec2(rect.min.x + pad, top - style.title_row * 0.46);
        items.push(left(at, &says, size, Weight::SemiBold, tone));
    } else {
        let size = size * 0.62;
        for (index, line) in lines(&says, Weight::SemiBold, size, room, 2).iter().enumerate() {
            let at = dvec2(rect.min.x + pad, top - size * (0.85 + 1.15 * index as f64));
            items.push(left(at, line, size, Weight::SemiBold, tone));
        }
    }
    let about = facts.instead.as_ref().map_or_else(|| supplement(context), |instead| instead.about.clone());
    let at = dvec2(rect.min.x + pad, rect.min.y + style.title_row * 0.2);
    let about = cut_to(&printable(&about), Weight::Regular, style.small, room);
    items.push(left(at, &about, style.small, Weight::Regular, Tone::Second));
    items
}

/// Layout, part, thickness, material and mass in one line.
pub(crate) fn supplement(context: &Context) -> String {
    use units::Quantity::{Length, Mass};
    let mut words = vec![layout_called("layout", &context.report.layout_name)];
    // What is told of a tool once is told of all its parts.
    if let (Some(family), None) = (&context.report.family, context.on_tool) {
        let names: Vec<String> = family.seats.iter().map(|seat| seat.name.trim().to_owned()).collect();
        words.push(format!("parts {}", analysis::words::list(&names)));
        return words.join(" · ");
    }
    if let Some(part) = context.part() {
        words.push(format!("part {}", part.name.trim()));
        words.push(format!("{} thick", context.figure(part.thickness_mm, Length)));
        if !part.material.trim().is_empty() {
            words.push(part.material.trim().to_owned());
        }
    }
    if let Some(part) = &context.report.part {
        words.push(context.figure(part.mass_kg, Mass));
    }
    words.join(" · ")
}

fn label_size(style: &Style) -> f64 {
    (style.title_row * 0.19).max(NOTE)
}

fn cells(row: &[Field], rect: Rect, style: &Style) -> Vec<Item> {
    let mut items = Vec::new();
    let mut x = rect.min.x;
    for (index, field) in row.iter().enumerate() {
        if index > 0 {
            let pen = Pen::solid(MEDIUM, Tone::Ink);
            items.push(Item::Line { from: dvec2(x, rect.min.y), to: dvec2(x, rect.max.y), pen });
        }
        let width = rect.width() * field.share;
        let cell = cell(field, Rect::new(dvec2(x, rect.min.y), dvec2(x + width, rect.max.y)), style);
        items.push(Tag::new(Role::Paragraph, format!("{}: {}", field.label, field.value)).over(cell));
        x += width;
    }
    items
}

fn cell(field: &Field, rect: Rect, style: &Style) -> Vec<Item> {
    let pad = style.body * 0.5;
    let room = rect.width() - 2.0 * pad;
    let label = label_size(style);
    let says = cut_to(field.label, Weight::Regular, label, room);
    let at = dvec2(rect.min.x + pad, rect.max.y - label * 1.15);
    let mut items = vec![left(at, &says, label, Weight::Regular, Tone::Second)];
    let value = printable(&field.value);
    let size = style.title_row * 0.27;
    let foot = rect.min.y + style.title_row * 0.2;
    let least = (size * 0.8).max(NOTE);
    if text_width(&value, field.weight, least) <= room {
        let (value, size) = fit(&value, field.weight, size, least, room);
        items.push(left(dvec2(rect.min.x + pad, foot), &value, size, field.weight, field.tone));
    } else {
        let size = (size * 0.72).max(NOTE);
        let lines = lines(&value, field.weight, size, room, 2);
        for (index, line) in lines.iter().enumerate() {
            let up = (lines.len() - 1 - index) as f64 * size * 1.15;
            let at = dvec2(rect.min.x + pad, foot - size * 0.15 + up);
            items.push(left(at, line, size, field.weight, field.tone));
        }
    }
    items
}

/// At most `most` lines, the last cut with an ellipsis when there is more to say.
fn lines(says: &str, weight: Weight, size: f64, room: f64, most: usize) -> Vec<String> {
    let mut lines = wrap(says, weight, size, room);
    if lines.len() > most {
        let rest = lines.split_off(most - 1).join(" ");
        lines.push(cut_to(&rest, weight, size, room));
    }
    lines
}

/// Height that the stamps take from a page.
pub(crate) fn stamp_height(context: &Context) -> f64 {
    const STAMP: f64 = 12.0;
    if context.identity.stamps().is_empty() { 0.0 } else { STAMP }
}

/// Width of the boxes of every stamp beside each other, in a rectangle so wide.
pub(crate) fn stamps_width(context: &Context, width: f64) -> f64 {
    let boxes = context.identity.stamps().into_iter().map(|stamp| box_of(&stamp.words, width).1 + BETWEEN);
    boxes.sum()
}

const STAMPED: f64 = 4.2;
/// Between two boxes.
const BETWEEN: f64 = 2.0;

/// What a box says, cut to what a rectangle so wide allows, and its width.
fn box_of(words: &str, width: f64) -> (String, f64) {
    let words = cut_to(&printable(words), Weight::SemiBold, STAMPED, width * 0.42 - 6.0);
    let wide = text_width(&words, Weight::SemiBold, STAMPED) + 6.0;
    (words, wide)
}

/// The words of every stamp in boxes in the upper right corner of a rectangle, and why left of them, from `left` on.
pub(crate) fn stamp(context: &Context, rect: Rect, left: f64, style: &Style) -> Option<Item> {
    let stamps = context.identity.stamps();
    if stamps.is_empty() {
        return None;
    }
    let size = STAMPED;
    let pen = Pen::solid(0.5, Tone::Fail);
    let mut items = Vec::new();
    let mut right = rect.max.x;
    for stamp in &stamps {
        let (words, wide) = box_of(&stamp.words, rect.width());
        let max = dvec2(right, rect.max.y);
        let min = max - dvec2(wide, size * 1.75);
        let at = dvec2((min.x + max.x) / 2.0, min.y + size * 0.58);
        items.push(Item::Path { contours: vec![Contour::rectangle(min, max)], pen: Some(pen), fill: None });
        items.push(text(at, &words, size, Weight::SemiBold, Tone::Fail, Anchor::Middle));
        right = min.x - BETWEEN;
    }
    let why: Vec<&str> = stamps.iter().map(|stamp| stamp.why.as_str()).collect();
    let room = right - left - 3.0;
    let lines = lines(&printable(&why.join("; ")), Weight::Regular, style.small, room, 4);
    for (index, line) in lines.iter().enumerate() {
        let at = dvec2(right, rect.max.y - 1.0 - style.small * (0.8 + 1.25 * index as f64));
        items.push(text(at, line, style.small, Weight::Regular, Tone::Fail, Anchor::End));
    }
    let says: Vec<String> = stamps.iter().map(|stamp| format!("{}: {}", stamp.words, stamp.why)).collect();
    let tag = Tag::new(Role::Paragraph, says.join(". "));
    Some(Item::Group { name: "stamp".to_owned(), clip: None, items: vec![tag.over(items)] })
}
