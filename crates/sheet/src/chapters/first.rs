//! What stands beside the plan: the result, what the signs mean, earlier issues, cautions.

use super::{body, cautions, printed, small};
use crate::block::{Block, Section, SectionId, Setting, long_paragraph, paragraph, stacked};
use crate::context::Context;
use crate::cups;
use crate::frame_pieces;
use crate::hatch;
use crate::outline::flat;
use crate::page::{Contour, Dash, Item, Pen, Role, Tag, Tone, Weight};
use crate::plan_symbols::{FLANGE, GRAVITY, centre_of_gravity, datum_sign, flange_sign, frame_end, hatched};
use crate::style::{MEDIUM, Style, THIN};
use crate::tables::{Cell, flexible, table, words};
use crate::text_width::has_glyph;
use analysis::Severity;
use document::Revision;
use glam::{DVec2, dvec2};
use std::collections::BTreeSet;

/// Sections of the first page in the order of reading.
pub(crate) fn first_page(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    printed(vec![
        result(context, width, style),
        key(context, width, style),
        revisions(context, width, style),
        cautions::section(width, style),
    ])
}

/// What the signs on the plan mean.
pub(super) fn key(context: &Context, width: f64, style: &Style) -> Section {
    Key::of(context).section(width, style)
}

fn result(context: &Context, width: f64, style: &Style) -> Section {
    let verdict = &context.report.verdict;
    let tone = match verdict.severity {
        Severity::Fail => Tone::Fail,
        Severity::Watch => Tone::Watch,
        _ => Tone::Ink,
    };
    let mut rows = Vec::new();
    if !verdict.sentence.trim().is_empty() {
        let bold = Setting { weight: Weight::SemiBold, tone, ..body(style) };
        rows.extend(long_paragraph(&verdict.sentence, bold, width));
    }
    let count = |severity: Severity| {
        context.report.findings.iter().filter(|f| f.severity == severity && f.accepted.is_none()).count()
    };
    let accepted = context.report.findings.iter().filter(|f| f.accepted.is_some()).count();
    let told = [Severity::Fail, Severity::Watch, Severity::NotChecked];
    let mut says: Vec<String> = told
        .into_iter()
        .map(|severity| (count(severity), severity))
        .filter(|(count, _)| *count > 0)
        .map(|(count, severity)| analysis::words::counted(count, severity))
        .collect();
    says.extend((accepted > 0).then(|| format!("{accepted} accepted with a reason")));
    if !says.is_empty() {
        let says = format!("Findings: {}; in full under {}.", says.join(", "), super::findings::HEADING);
        rows.push(paragraph(&says, small(style), 0.0, width));
    }
    if let Some(says) = unprinted(context) {
        rows.push(paragraph(&says, small(style), 0.0, width));
    }
    Section { id: SectionId::Result, heading: "Result".to_owned(), head: Vec::new(), rows }
}

/// Letters of names that the sheet's fonts do not have, with what is printed in their place.
fn unprinted(context: &Context) -> Option<String> {
    const SHOWN: usize = 12;
    let fields = &context.project.sheet;
    let mut texts: Vec<&str> = vec![&context.project.name, &fields.title, &fields.owner, &fields.number];
    texts.extend([&fields.created_by, &fields.approved_by].map(String::as_str));
    texts.extend(context.part().into_iter().flat_map(|part| [part.name.as_str(), part.material.as_str()]));
    texts.extend(context.report.cups.iter().flat_map(|cup| [cup.tag.as_str(), &cup.model, &cup.zone]));
    texts.extend(context.report.motions.iter().map(|motion| motion.name.as_str()));
    let missing = |c: &char| !has_glyph(*c) && !c.is_whitespace() && !c.is_control() && *c != '\u{2300}';
    let codes: BTreeSet<char> = texts.into_iter().flat_map(str::chars).filter(missing).collect();
    let mut named: Vec<String> =
        codes.iter().take(SHOWN).map(|c| format!("U+{:04X}", u32::from(*c))).collect();
    if codes.len() > SHOWN {
        named.push("others".to_owned());
    }
    (!named.is_empty()).then(|| {
        let named = analysis::words::all(&named);
        format!("Names contain letters that this sheet cannot print; a question mark stands for {named}.")
    })
}

/// Lines of the revision table beside the plan; earlier ones stand with the parts list.
const MOST_REVISIONS: usize = 6;

pub(super) fn revisions(context: &Context, width: f64, style: &Style) -> Section {
    let all = &context.project.sheet.revisions;
    let earlier = all.len().saturating_sub(MOST_REVISIONS);
    let mut section = revision_table(SectionId::Revisions, "Revisions", &all[earlier..], width, style);
    if earlier > 0 {
        let says = format!("The {earlier} earlier ones are below the parts list.");
        super::append(&mut section.rows, super::note_after(&says, width, style));
    }
    section
}

/// Revisions that have no room beside the plan.
pub(super) fn earlier_revisions(context: &Context, width: f64, style: &Style) -> Section {
    let all = &context.project.sheet.revisions;
    let earlier = all.len().saturating_sub(MOST_REVISIONS);
    revision_table(SectionId::Other("earlier revisions"), "Earlier revisions", &all[..earlier], width, style)
}

fn revision_table(
    id: SectionId,
    heading: &str,
    revisions: &[Revision],
    width: f64,
    style: &Style,
) -> Section {
    let columns = [words("revision"), words("date"), words("by"), flexible("what changed")];
    let rows: Vec<Vec<Cell>> = revisions
        .iter()
        .map(|revision| {
            vec![
                Cell::bold(&revision.index),
                Cell::plain(&revision.date),
                Cell::plain(&revision.by),
                Cell::plain(&revision.what),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, &super::tight(style));
    Section { id, heading: heading.to_owned(), head, rows }
}

/// What the signs of a plan mean, those that occur on it.
pub(crate) struct Key {
    entries: Vec<(Sign, String)>,
}

enum Sign {
    Lip { sealing: bool, bore: bool },
    Zone(usize),
    Gravity,
    Datum,
    Flange,
    KeepOut,
    Overhang,
    Frame { places: bool },
    ShutCup,
    OtherPart,
}

impl Key {
    pub fn of(context: &Context) -> Self {
        let mut entries = Vec::new();
        let report = context.report;
        let any = |which: &dyn Fn(&cups::Drawn) -> bool| {
            let shown = |cup| context.plan.map(|ratio| cups::drawn(cup, context.model_of(cup.id), ratio));
            report.cups.iter().any(|cup| shown(cup).is_none_or(|shown| which(&shown)))
        };
        if !report.cups.is_empty() {
            let [sealing, bore] = [any(&|shown| shown.sealing), any(&|shown| shown.bore)];
            let says = ["outer lip"]
                .into_iter()
                .chain(sealing.then_some("sealing line dashed"))
                .chain(bore.then_some("bore"))
                .chain(["centre marks"]);
            entries.push((Sign::Lip { sealing, bore }, says.collect::<Vec<_>>().join(", ")));
        }
        let zones = context.zones();
        let hatched = zones.len() > 1 && any(&|shown| shown.hatching);
        for (index, zone) in zones.iter().enumerate().filter(|_| hatched) {
            let count = report.cups.iter().filter(|cup| cup.zone.trim() == *zone).count();
            if count == 0 && context.on_tool.is_some() {
                continue;
            }
            let cups = if count == 1 { "cup" } else { "cups" };
            entries.push((Sign::Zone(index), format!("zone {zone}, {count} {cups}")));
        }
        if let Some(part) = &report.part {
            let at = context.point(part.centre_of_gravity_mm.truncate());
            entries.push((Sign::Gravity, format!("centre of gravity of the part at {at}")));
        }
        let lies = context.part().map(|part| part.datum_says(context.units));
        let lies = lies.map_or_else(String::new, |lies| format!(", {lies}"));
        entries.push((Sign::Datum, format!("datum: X 0, Y 0{lies}")));
        if let Some(tool) = context.stated_tool() {
            let at = context.point(tool.flange.truncate());
            entries.push((Sign::Flange, format!("centre of the robot's flange at {at}")));
            if !tool.frame.is_empty() {
                let places = context.plan.is_none_or(|ratio| frame_pieces::places_shown(context, ratio));
                let says = if places {
                    "frame with its mounting positions, counted from the end with the triangle"
                } else {
                    "frame; its mounting positions count from the end with the triangle"
                };
                entries.push((Sign::Frame { places }, says.to_owned()));
            }
        }
        if context.part().is_some_and(|part| !part.keep_outs.is_empty()) {
            entries.push((Sign::KeepOut, "keep-out: no lip may land there".to_owned()));
        }
        if report.cups.iter().any(|cup| cup.clearance.is_some_and(|c| c.distance < 0.0)) {
            entries.push((Sign::Overhang, "lip overhangs, by the amount shown".to_owned()));
        }
        if context.cups_beside().next().is_some() {
            entries.push((Sign::ShutCup, "cup of the tool that does not hold this part".to_owned()));
        }
        if !context.parts_beside().is_empty() {
            entries.push((Sign::OtherPart, "other parts that the tool carries".to_owned()));
        }
        Self { entries }
    }

    pub fn section(&self, width: f64, style: &Style) -> Section {
        let least = style.body * 26.0;
        let columns = if width >= 2.0 * least { 2 } else { 1 };
        let cell = width / columns as f64;
        let blocks: Vec<Block> =
            self.entries.iter().map(|(sign, says)| entry(sign, says, cell - style.body, style)).collect();
        let rows = blocks
            .chunks(columns)
            .map(|pair| {
                let height = pair.iter().map(|block| block.height).fold(0.0, f64::max);
                let items =
                    pair.iter().enumerate().flat_map(|(i, block)| block.at(dvec2(cell * i as f64, 0.0)));
                Block { height, items: items.collect() }
            })
            .collect();
        Section { id: SectionId::Key, heading: "Legend of the plan".to_owned(), head: Vec::new(), rows }
    }
}

/// Room that a sign takes, mm.
const SIGN: f64 = 5.2;

fn entry(sign: &Sign, says: &str, width: f64, style: &Style) -> Block {
    let text = paragraph(says, small(style), SIGN + 2.6, width);
    let mut block = stacked([Block::space((SIGN - style.small_leading).max(0.0) / 2.0), text]);
    block.height = (block.height + style.small * 0.2).max(SIGN + 0.6);
    let middle = dvec2(SIGN / 2.0 + 0.4, -SIGN / 2.0);
    block.items.insert(0, Tag::new(Role::Figure, "").over(drawn(sign, middle)));
    block
}

fn drawn(sign: &Sign, at: DVec2) -> Vec<Item> {
    let radius = SIGN / 2.0 - 0.3;
    let circle = |radius: f64, pen: Pen| Item::Circle { centre: at, radius, pen: Some(pen), fill: None };
    let corner = dvec2(radius + 0.3, radius * 0.8);
    match sign {
        Sign::Lip { sealing, bore } => {
            let mut items = vec![circle(radius, Pen::solid(MEDIUM, Tone::Ink))];
            let dashed = Pen { width: THIN, dash: Dash::Dashed, tone: Tone::Ink };
            items.extend(sealing.then(|| circle(radius * 0.78, dashed)));
            items.extend(bore.then(|| circle(radius * 0.22, Pen::solid(THIN, Tone::Ink))));
            for axis in [DVec2::X, DVec2::Y] {
                let half = axis * (radius + 0.25);
                items.push(Item::Line { from: at - half, to: at + half, pen: cups::centre_pen(4.0) });
            }
            items
        }
        Sign::Zone(index) => {
            let contour = cups::disc(at, radius);
            let mut items = hatch::lines(&[flat(&contour)], hatch::of_zone(*index), Tone::Second);
            items.push(circle(radius, Pen::solid(MEDIUM, Tone::Ink)));
            items
        }
        Sign::ShutCup => vec![circle(radius, Pen { width: THIN, dash: Dash::Solid, tone: Tone::Second })],
        Sign::OtherPart => {
            let pen = Some(Pen { width: THIN, dash: Dash::Dashed, tone: Tone::Second });
            let contours = vec![Contour::rectangle(at - corner, at + corner)];
            vec![Item::Path { contours, pen, fill: None }]
        }
        Sign::Gravity => vec![centre_of_gravity(at, GRAVITY)],
        Sign::Datum => vec![datum_sign(at)],
        Sign::Flange => vec![flange_sign(at, FLANGE)],
        Sign::KeepOut => vec![hatched(Contour::rectangle(at - corner, at + corner))],
        Sign::Overhang => {
            let pen = Pen { width: 0.8, dash: Dash::Overhang, tone: Tone::Fail };
            vec![Item::Arc {
                centre: at - dvec2(0.0, radius),
                radius: radius * 1.6,
                start: 0.6,
                sweep: 1.95,
                pen,
            }]
        }
        Sign::Frame { places } => {
            let half = dvec2(radius + 0.3, radius * 0.5);
            let points = vec![at - half, at + dvec2(half.x, -half.y), at + half, at + dvec2(-half.x, half.y)];
            let mut items =
                vec![Item::Polyline { points, closed: true, pen: Pen::solid(0.25, Tone::Second) }];
            items.push(frame_end(at - dvec2(half.x, 0.0), DVec2::X, 1.6));
            let pen = Some(Pen::solid(0.12, Tone::Second));
            let all = if *places { &[-1.5, 0.0, 1.5][..] } else { &[] };
            items.extend(all.iter().map(|x| Item::Circle {
                centre: at + dvec2(*x, 0.0),
                radius: 0.4,
                pen,
                fill: None,
            }));
            items
        }
    }
}
