//! Alternatives on paper: plans side by side at one scale, one table, envelopes over each other, and the sentence.

use crate::SheetOptions;
use crate::block::{Block, Section, SectionId, long_paragraph, paragraph, stacked};
use crate::chapters::{append, body, note, small, tight};
use crate::compose::{self, CLEAR, Draft, PAD, Set, columns, inner, numbered, stamped};
use crate::context::Context;
use crate::first;
use crate::flow::Flow;
use crate::frame::{self, Rect};
use crate::page::{Item, Page, Role, Tag};
use crate::plan::{self, Look, Measured};
use crate::plan_content;
use crate::plots::{curves_of, polar};
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use crate::title_block::{self, Facts, Instead};
use analysis::Report;
use telling::Identity;

use document::Project;
use glam::dvec2;
use telling::{CompareFigure, CompareRow, Comparison};

/// Share of the page's height that the plans may take.
const MOST_FOR_PLANS: f64 = 0.52;
/// Marks the better figure of a row, beside the name in the last column.
pub(crate) const BETTER: &str = "•";

/// Lays out a comparison of layouts: their plans side by side at one scale, the sentence that says which is better for
/// these motions and why, the table with the better figure of each row marked by sign and word, the envelopes over each
/// other, and what the comparison rests on. What does not fit beside the plans follows on further pages.
///
/// `reports` are those of the layouts of the comparison; a layout without a report has its figures only.
pub fn compose_comparison(
    project: &Project,
    comparison: &Comparison,
    reports: &[&Report],
    options: &SheetOptions,
) -> Vec<Page> {
    let identity = Identity::of(project, reports);
    let set = set(project, comparison, reports, options, &identity);
    numbered(set.into_iter().collect(), options.size_mm())
}

/// The sheet of a layout as [`crate::compose`] makes it, then the comparison as [`compose_comparison`] does, with one count
/// of pages through both.
pub fn compose_with_comparison(
    project: &Project,
    report: &Report,
    comparison: &Comparison,
    reports: &[&Report],
    options: &SheetOptions,
) -> Vec<Page> {
    // One count of pages, one state of approval: that of every layout shown.
    let shown: Vec<&Report> =
        reports.iter().copied().filter(|other| other.layout != report.layout).chain([report]).collect();
    let identity = Identity::of(project, &shown);
    let tool = compose::of_tool(report);
    let mut sets = compose::sets(project, report, tool.as_ref(), options, &identity);
    sets.extend(set(project, comparison, reports, options, &identity));
    numbered(sets, options.size_mm())
}

fn set<'a>(
    project: &'a Project,
    comparison: &'a Comparison,
    reports: &[&'a Report],
    options: &'a SheetOptions,
    identity: &'a Identity,
) -> Option<Set<'a>> {
    let of = |report: &'a Report| Context {
        project,
        report,
        units: &options.units,
        identity,
        checklist: false,
        on_tool: None,
        plan: None,
    };
    let context = of(reports.first().copied()?);
    let plans: Vec<(Look, Context)> = comparison
        .layouts
        .iter()
        .filter_map(|(id, name)| {
            Some((Look::of_layout(name), of(reports.iter().copied().find(|report| report.layout == *id)?)))
        })
        .collect();
    let style = Style::new(options.paper, false);
    let size_mm = options.size_mm();
    let area = frame::area(size_mm);
    let title_block = first::title_rect(area, &style);
    let mut plan = Rect::new(area.min + CLEAR, area.max - CLEAR);
    let mut items = stamped(&context, size_mm, &style);
    plan.max.y -= title_block::stamp_height(&context);
    let (foot, scale) = draw_plans(&plans, plan, title_block, &style, &mut items);

    let later = columns(&context, inner(&context, size_mm, &style), &style, false);
    let under = under_plans(&later, area, title_block, foot);
    let all = sections(&context, comparison, later[0].width(), &style);
    let all: Vec<&Section> = all.iter().collect();
    let mut pages = Flow::run(&under, &all, &later, &style).pages.into_iter();
    items.extend(pages.next().unwrap_or_default());
    let mut drafts = vec![Draft { name: "Comparison".to_owned(), items, title_block: Some(title_block) }];
    for more in pages {
        let mut items = stamped(&context, size_mm, &style);
        items.extend(more);
        drafts.push(Draft { name: "Comparison, figures".to_owned(), items, title_block: None });
    }
    let names: Vec<&str> = comparison.layouts.iter().map(|(_, name)| name.trim()).collect();
    let instead = Instead {
        document_type: "comparison",
        about: format!("layouts {}", names.join(" and ")),
        result: format!("comparison of {} layouts", names.len()),
    };
    let facts = Facts { instead: Some(instead), scale, sheet: 0, sheets: 0 };
    Some(Set { context, drafts, facts, style })
}

/// The columns of a page as far as they are free under plans that end at `foot`, and over the title block.
pub(crate) fn under_plans(columns: &[Rect], area: Rect, title_block: Rect, foot: f64) -> Vec<Rect> {
    let free = |column: &Rect| {
        let blocked = column.max.x > title_block.min.x;
        let low = if blocked { title_block.max.y + PAD } else { area.min.y + CLEAR };
        Rect::new(
            dvec2(column.min.x, low),
            dvec2(column.max.x, (foot - 2.0).clamp(low, column.max.y.max(low))),
        )
    };
    columns.iter().map(free).collect()
}

/// Plans side by side in the upper part of a rectangle; where they end, and their one scale.
pub(crate) fn draw_plans(
    plans: &[(Look, Context)],
    mut rect: Rect,
    title_block: Rect,
    style: &Style,
    items: &mut Vec<Item>,
) -> (f64, Option<crate::Scale>) {
    if plans.is_empty() {
        return (rect.max.y + 2.0, None);
    }
    rect.min.y = (rect.max.y - (rect.height() + 2.0 * CLEAR) * MOST_FOR_PLANS).max(title_block.max.y);
    let drawn = measured(plans, rect, style);
    let rows = cells(rect, plans.len()).iter().filter(|cell| cell.min.x <= rect.min.x + 0.1).count();
    let tallest = drawn.iter().flatten().map(|measured| measured.block.y).fold(0.0, f64::max);
    // Only as much of the page as the plans take.
    rect.min.y = rect.min.y.max(rect.max.y - rows as f64 * (tallest + plan::MARGIN + 2.0));
    for (((look, context), measured), cell) in plans.iter().zip(&drawn).zip(cells(rect, plans.len())) {
        items.push(match measured {
            Some(measured) => plan::draw(context, measured, cell, look, style),
            None => plan_content::nothing(cell, style),
        });
    }
    (rect.min.y, drawn.iter().flatten().map(|measured| measured.scale).next())
}

/// Places for plans beside each other, in two rows from four on.
fn cells(rect: Rect, count: usize) -> Vec<Rect> {
    let across = if count > 3 { count.div_ceil(2) } else { count.max(1) };
    let down = count.div_ceil(across).max(1);
    let size = dvec2(rect.width() / across as f64, rect.height() / down as f64);
    (0..count)
        .map(|index| {
            let corner = dvec2((index % across) as f64, (down - 1 - index / across) as f64) * size;
            Rect::new(rect.min + corner, rect.min + corner + size)
        })
        .collect()
}

/// Every plan at the one scale at which all fit; none where there is nothing to draw.
fn measured(plans: &[(Look, Context)], rect: Rect, style: &Style) -> Vec<Option<Measured>> {
    let cells = cells(rect, plans.len());
    let at = |scale: Option<crate::Scale>| -> Vec<Option<Measured>> {
        plans
            .iter()
            .zip(&cells)
            .map(|((look, context), cell)| {
                let room = dvec2(cell.width(), cell.height());
                plan::measure(context, room, &Look { scale: scale.or(look.scale), ..look.clone() }, style)
            })
            .collect()
    };
    let each = at(None);
    let least = each.iter().flatten().map(|m| m.scale).min_by(|a, b| a.ratio().total_cmp(&b.ratio()));
    least.map_or(each, |scale| at(Some(scale)))
}

fn sections(context: &Context, comparison: &Comparison, width: f64, style: &Style) -> Vec<Section> {
    let mut all = vec![sentence(comparison, width, style), figures_of(context, comparison, width, style)];
    all.extend([envelopes(context, comparison, width, style), notes(comparison, width, style)]);
    all.retain(|section| !section.rows.is_empty());
    all
}

fn section(id: SectionId, heading: &str, rows: Vec<Block>) -> Section {
    Section { id, heading: heading.to_owned(), head: Vec::new(), rows }
}

fn sentence(comparison: &Comparison, width: f64, style: &Style) -> Section {
    let says = |says: &str| long_paragraph(says, body(style), width);
    let rows = match comparison.sentences.as_slice() {
        [] => says("There is nothing to compare yet."),
        all => all.iter().flat_map(|one| says(one.trim())).collect(),
    };
    section(SectionId::Other("sentence"), "Which is better for these motions", rows)
}

fn notes(comparison: &Comparison, width: f64, style: &Style) -> Section {
    let air = || Block::space(style.small * 0.35);
    let rows =
        comparison.notes.iter().map(|says| stacked([paragraph(says, small(style), 0.0, width), air()]));
    section(SectionId::Other("notes"), "Basis of the comparison", rows.collect())
}

fn figures_of(context: &Context, comparison: &Comparison, width: f64, style: &Style) -> Section {
    let mut columns = vec![flexible("figure")];
    columns.extend(comparison.layouts.iter().map(|(_, name)| figures(name.trim())));
    columns.push(words("better"));
    let rows: Vec<Vec<Cell>> = comparison.rows.iter().map(|row| cells_of(context, comparison, row)).collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let says = format!(
            "{BETTER} and the name in the last column mark the better figure: of a layout that meets the \
            required factors, and by more than assumed inputs could account for."
        );
        let says = paragraph(&says, note(style), 0.0, width);
        append(&mut rows, stacked([Block::space(style.small * 0.5), says]));
    }
    Section { id: SectionId::Other("comparison"), heading: "Figures side by side".to_owned(), head, rows }
}

fn cells_of(context: &Context, comparison: &Comparison, row: &CompareRow) -> Vec<Cell> {
    let mut cells = vec![Cell::plain(units::capital(&row.name))];
    for (index, figure) in row.figures.iter().enumerate() {
        let says = match figure {
            CompareFigure::Number(value) => context.figure(*value, row.quantity),
            CompareFigure::Factor { factor, required } => context.factor_of(*factor, *required),
            CompareFigure::Words(says) | CompareFigure::Unknown(says) => says.clone(),
        };
        cells.push(if row.better == Some(index) {
            Cell::bold(format!("{BETTER} {says}"))
        } else {
            Cell::plain(says)
        });
    }
    let better = row.better.and_then(|index| comparison.layouts.get(index));
    cells.push(better.map_or_else(|| Cell::plain(""), |(_, name)| Cell::plain(name.trim())));
    cells
}

fn envelopes(context: &Context, comparison: &Comparison, width: f64, style: &Style) -> Section {
    let curves = curves_of(comparison);
    let Some((_, first)) = curves.first() else {
        return section(SectionId::Other("envelope"), "", Vec::new());
    };
    let says = format!(
        "Largest acceleration in each direction of the plane, part held {}, with a factor of {} kept.",
        first.held.says(context.units),
        context.ratio(first.required_factor)
    );
    let side = width.min(style.body * 28.0);
    let shift = dvec2((width - side) / 2.0, 0.0);
    let drawn: Vec<Item> =
        polar(context, &curves, side, style).iter().map(|item| item.shifted(shift)).collect();
    let plot = vec![Tag::new(Role::Figure, format!("Polar chart: {says}")).over(drawn)];
    let rows =
        vec![stacked([paragraph(&says, note(style), 0.0, width), Block { height: side, items: plot }])];
    section(SectionId::Other("envelope"), "Envelopes", rows)
}
