//! What the sheet says, chapter by chapter; each section is made for a column of a given width.

mod bending;
pub(crate) mod cautions;
pub(crate) mod circuit;
mod commissioning;
mod cups;
mod family;
mod findings;
mod first;
mod inputs;
mod loads;
mod lost;
mod motions;
mod parts;
mod review;
mod robot;
mod upkeep;

use crate::block::{Block, Section, SectionId, Setting, long_paragraph, paragraph, stacked};
use crate::context::Context;
use crate::page::{Tone, Weight};
use crate::style::Style;
use glam::dvec2;

use findings::by_reason;
pub(crate) use findings::listed;
pub(crate) use first::first_page;
pub(crate) use motions::limit_words;

/// What a chapter is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ChapterOf {
    /// What belongs beside the plan.
    Plan,
    /// Where the cups go, and what is bought: told once of a tool, whatever it carries.
    Holes,
    /// What is told of every part that a tool carries.
    EachPart,
    /// What is told of the tool as a whole.
    Tool,
}

/// What follows the plan: a name for the bookmark and its sections.
pub(crate) struct Chapter {
    pub name: &'static str,
    pub of: ChapterOf,
    pub sections: fn(&Context, f64, &Style) -> Vec<Section>,
}

/// In the order of the sheet. The circuits' chapter prints nothing where every circuit is one stated level, which the
/// figures list; that of the bending nothing of a
/// part that is taken as rigid, that of the questions nothing unless they were asked for.
pub(crate) const CHAPTERS: [Chapter; 6] = [
    Chapter { name: "Cups and parts list", of: ChapterOf::Holes, sections: cups_and_parts },
    Chapter { name: "Factors", of: ChapterOf::EachPart, sections: what_it_holds },
    Chapter { name: "As it bends", of: ChapterOf::EachPart, sections: bending::sections },
    Chapter { name: "Circuits", of: ChapterOf::EachPart, sections: circuit::sections },
    Chapter { name: "Commissioning and maintenance", of: ChapterOf::Tool, sections: commissioning::sections },
    Chapter { name: "Reviewer's checklist", of: ChapterOf::Tool, sections: review::checklist },
];

/// What a tool that carries several parts prints besides, before all others.
pub(crate) const PARTS_ON_THE_TOOL: Chapter =
    Chapter { name: "Parts on the tool", of: ChapterOf::Tool, sections: family::sections };

/// The chapters of a page of text.
pub(crate) fn all(context: &Context) -> Vec<&'static Chapter> {
    let several = context.report.family.is_some();
    several.then_some(&PARTS_ON_THE_TOOL).into_iter().chain(&CHAPTERS).collect()
}

/// The width at which no row of the hole table wraps.
pub(crate) fn hole_table_width(context: &Context, style: &Style) -> f64 {
    cups::wanted_width(context, style)
}

/// What of the parts stands beside the plan where it has room: the hole table where no more than its models' names wrap, and
/// the cups of the parts list.
pub(crate) fn beside_the_plan(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    const NAMES_WRAP: f64 = 0.87;
    let wide = width >= NAMES_WRAP * hole_table_width(context, style);
    let holes = wide.then(|| cups::section(context, width, style));
    printed(holes.into_iter().chain([parts::cups(context, width, style)]).collect())
}

/// What stands beside the plan, when there is too much of it.
pub(crate) const WORDS_OF_THE_PLAN: Chapter =
    Chapter { name: "Result, legend, cautions", of: ChapterOf::Plan, sections: first_page };

fn cups_and_parts(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let sections = vec![
        first::key(context, width, style),
        cups::section(context, width, style),
        parts::cups(context, width, style),
        parts::located(context, width, style),
        parts::posts(context, width, style),
        parts::frame(context, width, style),
        parts::fittings(context, width, style),
        parts::spares(context, width, style),
        first::revisions(context, width, style),
        first::earlier_revisions(context, width, style),
    ];
    printed(sections)
}

fn what_it_holds(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let mut sections = vec![
        motions::verdict(context, width, style),
        motions::section(context, width, style),
        motions::balance(context, width, style),
        findings::section(context, width, style),
        review::section(context, width, style),
    ];
    sections.extend(lost::sections(context, width, style));
    sections.extend(loads::sections(context, width, style));
    sections.push(loads::envelope(context, width, style));
    sections.push(robot::section(context, width, style));
    sections.push(inputs::section(context, width, style));
    printed(sections)
}

fn printed(mut sections: Vec<Section>) -> Vec<Section> {
    sections.retain(|section| !section.rows.is_empty());
    sections
}

pub(crate) fn note(style: &Style) -> Setting {
    Setting { size: style.small, leading: style.small_leading, weight: Weight::Italic, tone: Tone::Second }
}
pub(crate) fn small(style: &Style) -> Setting {
    Setting { size: style.small, leading: style.small_leading, weight: Weight::Regular, tone: Tone::Ink }
}
pub(crate) fn body(style: &Style) -> Setting {
    Setting { size: style.body, leading: style.leading, weight: Weight::Regular, tone: Tone::Ink }
}

/// A note after a table, with air above it.
fn note_after(says: &str, width: f64, style: &Style) -> Block {
    stacked([Block::space(style.small * 0.5), paragraph(says, note(style), 0.0, width)])
}

/// Puts a note under the last row, so that it never stands in a column of its own.
pub(crate) fn append(rows: &mut Vec<Block>, block: Block) {
    match rows.pop() {
        Some(last) => rows.push(stacked([last, block])),
        None => rows.push(block),
    }
}

/// A paragraph that may be cut where a column ends, indented.
fn indented(says: &str, setting: Setting, indent: f64, width: f64) -> Vec<Block> {
    let mut rows = long_paragraph(says, setting, width - indent);
    for row in &mut rows {
        row.items = row.items.iter().map(|item| item.shifted(dvec2(indent, 0.0))).collect();
    }
    rows
}

/// Smaller letters and closer rows, for long tables that are looked up rather than read.
pub(crate) fn tight(style: &Style) -> Style {
    Style { body: style.small * 1.08, pitch: style.small * 1.5, leading: style.small_leading, ..*style }
}

/// A section that prints nothing.
fn nothing(id: SectionId) -> Section {
    Section { id, heading: String::new(), head: Vec::new(), rows: Vec::new() }
}
