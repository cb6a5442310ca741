//! Lays a report out on sheets.

use crate::block::{Section, paragraph};
use crate::context::Context;
use crate::flow::{Packing, Shelf, draw_section, run_on};
use crate::frame::{self, Rect};
use crate::page::{Item, Page};
use crate::plan::{self, Measured};
use crate::sections::{self, note};
use crate::style::Style;
use crate::title_block::{self, Facts, STAMP, stamp};
use crate::{Paper, SheetOptions, plan_content};
use analysis::Report;
use document::Project;
use glam::dvec2;
use std::cmp::Ordering;

/// Air between the border and what stands inside it.
const PAD: f64 = 4.0;
/// Air that also clears the centring marks, which reach 5 mm in.
const CLEAR: f64 = 6.5;

/// Lays the sheet out: plan, tables, findings, cautions and title block on one sheet as long as they fit; tables that
/// do not go to later sheets, each with its number "n of m". The same project and report give the same pages.
///
/// The report must be one of a layout of this project.
pub fn compose(project: &Project, report: &Report, options: &SheetOptions) -> Vec<Page> {
    compose_marked(project, report, options, &crate::fingerprint(project))
}

/// As [`compose`], with the fingerprint given.
pub(crate) fn compose_marked(
    project: &Project,
    report: &Report,
    options: &SheetOptions,
    fingerprint: &str,
) -> Vec<Page> {
    let context = Context { project, report, units: &options.units };
    let first = best_arrangement(&context, options.paper);
    let style = &first.style;
    let area = frame::area(options.paper);
    let width = first.template.columns[first.template.noted].width();
    let list = &sections::all(&context, width, style);
    let later_columns = later_columns(options.paper, style);
    let later_list = sections::all(&context, later_columns[0].width(), style);
    let later: Vec<&Section> = first.packing.later.iter().map(|index| &later_list[*index]).collect();
    let later_sheets = if later.is_empty() { Vec::new() } else { run_on(&later, &later_columns, style) };
    let sheets = 1 + later_sheets.len();
    let scale = first.measured.as_ref().map(|measured| measured.scale);
    let facts = |sheet: usize| Facts { fingerprint, scale, sheet, sheets };
    let size_mm = options.paper.size_mm();

    let mut items = vec![frame::draw(options.paper, true)];
    items.extend(first_sheet(&context, &first, list));
    items.push(title_block::draw(&context, &facts(1), first.template.title_block, style));
    let mut pages = vec![Page { size_mm, items }];
    for (index, content) in later_sheets.into_iter().enumerate() {
        let foot = Rect::new(area.min, dvec2(area.max.x, area.min.y + style.title_row));
        let mut items = vec![frame::draw(options.paper, false)];
        items.extend(content);
        items.push(title_block::strip(&context, &facts(index + 2), foot, style));
        pages.push(Page { size_mm, items });
    }
    pages
}

/// Where things stand on the first sheet.
#[derive(Debug, Clone)]
struct Template {
    plan: Rect,
    columns: Vec<Rect>,
    /// The column over the title block, which says where the rest is.
    noted: usize,
    title_block: Rect,
}

#[derive(Debug, Clone)]
struct Arrangement {
    style: Style,
    template: Template,
    packing: Packing,
    measured: Option<Measured>,
}

/// A plan smaller than this share of the largest possible one is too dear a price for one sheet.
const LEAST_PLAN: f64 = 0.45;

/// The arrangement that keeps everything on the first sheet with a plan of decent size; among those the larger scale,
/// then the one that keeps more, then the usual size of letters.
fn best_arrangement(context: &Context, paper: Paper) -> Arrangement {
    let mut all: Vec<Arrangement> = Vec::new();
    for compact in [false, true] {
        let style = Style::new(paper, compact);
        let mut known = Known::default();
        for template in templates(context, paper, &style) {
            all.push(arrange(context, template, style, &mut known));
        }
    }
    let ratio = |a: &Arrangement| a.measured.as_ref().map_or(0.0, |m| m.scale.ratio());
    let largest = all.iter().map(ratio).fold(0.0, f64::max);
    // The first of equals wins: usual letters before compact ones, the side before the band.
    let mut best: Option<&Arrangement> = None;
    for arrangement in &all {
        let rank = |a: &Arrangement| {
            let decent = ratio(a) >= LEAST_PLAN * largest;
            (decent && a.packing.later.is_empty(), ratio(a), a.packing.placed.len())
        };
        if best.is_none_or(|b| rank(arrangement).partial_cmp(&rank(b)) == Some(Ordering::Greater)) {
            best = Some(arrangement);
        }
    }
    best.cloned().unwrap_or_else(|| {
        let style = Style::new(paper, false);
        arrange(context, side(frame::area(paper), &style, 0.0, 1), style, &mut Known::default())
    })
}

/// Sections already set at a width: templates share most of their columns.
#[derive(Default)]
struct Known(Vec<(f64, Vec<Section>)>);

impl Known {
    fn at(&mut self, context: &Context, width: f64, style: &Style) -> Vec<f64> {
        let known = self.0.iter().position(|(known, _)| *known == width);
        let index = known.unwrap_or_else(|| {
            self.0.push((width, sections::all(context, width, style)));
            self.0.len() - 1
        });
        self.0[index].1.iter().map(|section| section.height(style)).collect()
    }
    fn names(&self) -> Vec<&'static str> {
        self.0.first().map_or_else(Vec::new, |(_, all)| all.iter().map(|section| section.name).collect())
    }
}

fn arrange(context: &Context, template: Template, style: Style, known: &mut Known) -> Arrangement {
    let heights: Vec<Vec<f64>> =
        template.columns.iter().map(|column| known.at(context, column.width(), &style)).collect();
    let room: Vec<f64> = template.columns.iter().map(Rect::height).collect();
    let shelf = Shelf { names: known.names(), heights: &heights, gap: style.gap };
    let packing = shelf.pack(&room, template.noted, style.small_leading * 2.5);
    let measured = plan::measure(context, plan_room(context, &template.plan), &style);
    Arrangement { style, template, packing, measured }
}

/// What the stamp leaves of the plan's rectangle.
fn plan_room(context: &Context, plan: &Rect) -> glam::DVec2 {
    let stamp = if title_block::missing(context).is_empty() { 0.0 } else { STAMP };
    dvec2(plan.width(), plan.height() - stamp)
}

fn templates(context: &Context, paper: Paper, style: &Style) -> Vec<Template> {
    let area = frame::area(paper);
    let mut all: Vec<Template> = [(0.0, 1), (1.0, 1), (1.0, 2), (1.4, 1), (1.4, 2)]
        .map(|(band, parts)| side(area, style, band, parts))
        .to_vec();
    all.extend(across(context, area, style));
    all
}

fn title_rect(area: Rect, style: &Style) -> Rect {
    let corner = dvec2(area.max.x - style.column, area.min.y);
    Rect::new(corner, dvec2(area.max.x, area.min.y + title_block::height(style)))
}

/// Plan on the left, tables on the right; with a band of text under the plan, `band` times as high as the title block.
fn side(area: Rect, style: &Style, band: f64, parts: usize) -> Template {
    let title_block = title_rect(area, style);
    let right = Rect::new(
        dvec2(title_block.min.x + 2.0, title_block.max.y + PAD),
        dvec2(area.max.x - CLEAR, area.max.y - PAD),
    );
    let mut plan = Rect::new(area.min + CLEAR, dvec2(title_block.min.x - 2.0, area.max.y - CLEAR));
    let mut columns = vec![right];
    if band > 0.0 {
        let top = area.min.y + title_block.height() * band;
        let below = Rect::new(
            dvec2(area.min.x + CLEAR, area.min.y + CLEAR),
            dvec2(title_block.min.x - PAD - 2.0, top),
        );
        columns.extend(if parts > 1 { split(below) } else { vec![below] });
        plan.min.y = top + 2.0;
    }
    Template { plan, columns, noted: 0, title_block }
}

/// Plan over the whole width, tables under it: for long parts.
fn across(context: &Context, area: Rect, style: &Style) -> Option<Template> {
    let title_block = title_rect(area, style);
    let mut plan = Rect::new(area.min + CLEAR, area.max - CLEAR);
    plan.min.y = area.max.y - area.height() * 0.5;
    let room = plan_room(context, &plan);
    let measured = plan::measure(context, room, style)?;
    plan.min.y = plan.max.y - (plan.height() - room.y) - measured.block.y - plan::MARGIN - 0.5;
    let top = plan.min.y - 2.0;
    let right =
        Rect::new(dvec2(title_block.min.x + 2.0, title_block.max.y + PAD), dvec2(area.max.x - CLEAR, top));
    let left =
        Rect::new(dvec2(area.min.x + CLEAR, area.min.y + CLEAR), dvec2(title_block.min.x - PAD - 2.0, top));
    let mut columns = if left.width() > 260.0 { split(left) } else { vec![left] };
    columns.push(right);
    Some(Template { plan, noted: columns.len() - 1, columns, title_block })
}

/// Two columns when they are wide enough to read, else one.
fn split(rect: Rect) -> Vec<Rect> {
    const GUTTER: f64 = 7.0;
    let half = (rect.width() - GUTTER) / 2.0;
    if half < 90.0 {
        return vec![rect];
    }
    vec![
        Rect::new(rect.min, dvec2(rect.min.x + half, rect.max.y)),
        Rect::new(dvec2(rect.max.x - half, rect.min.y), rect.max),
    ]
}

fn later_columns(paper: Paper, style: &Style) -> Vec<Rect> {
    const GUTTER: f64 = 9.0;
    let area = frame::area(paper);
    let inner = Rect::new(dvec2(area.min.x + CLEAR, area.min.y + style.title_row + PAD), area.max - CLEAR);
    let count = (inner.width() / (style.column * 0.95)).floor().max(1.0);
    let width = (inner.width() - GUTTER * (count - 1.0)) / count;
    (0..count as usize)
        .map(|index| {
            let x = inner.min.x + index as f64 * (width + GUTTER);
            Rect::new(dvec2(x, inner.min.y), dvec2(x + width, inner.max.y))
        })
        .collect()
}

fn first_sheet(context: &Context, first: &Arrangement, list: &[Section]) -> Vec<Item> {
    let (style, template) = (&first.style, &first.template);
    let mut plan = template.plan;
    let mut items = vec![Item::Bookmark { title: "Plan".to_owned(), at: plan.upper_left() }];
    let missing = title_block::missing(context);
    if !missing.is_empty() {
        items.push(stamp(&missing, plan, style));
        plan.max.y -= STAMP;
    }
    items.push(match &first.measured {
        Some(measured) => plan::draw(context, measured, plan, style),
        None => plan_content::nothing(plan, style),
    });
    let mut tops: Vec<Option<f64>> = vec![None; template.columns.len()];
    for (index, column) in &first.packing.placed {
        let rect = template.columns[*column];
        let top = tops[*column].map_or(rect.max.y, |y| y - style.gap);
        let section = &sections::all(context, rect.width(), style)[*index];
        let end = draw_section(section, &section.rows, false, rect.min.x, top, style, &mut items);
        tops[*column] = Some(end);
    }
    if !first.packing.later.is_empty() {
        let names: Vec<&str> =
            first.packing.later.iter().map(|index| list[*index].heading.as_str()).collect();
        let says = format!("On the next sheets: {}.", names.join("; "));
        let rect = template.columns[template.noted];
        let block = paragraph(&says, note(style), 0.0, rect.width());
        items.extend(block.at(dvec2(rect.min.x, rect.min.y + block.height)));
    }
    items
}
