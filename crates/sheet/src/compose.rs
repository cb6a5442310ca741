//! Lays a report out on pages: the plan, then chapter by chapter what belongs to it.

use crate::SheetOptions;
use crate::block::{Section, SectionId};
use crate::chapters::{self, CHAPTERS, Chapter, ChapterOf, PARTS_ON_THE_TOOL, WORDS_OF_THE_PLAN};
use crate::context::Context;
use crate::first::{self, Arrangement, First, MAY_FOLLOW};
use crate::flow::{Column, Flow};
use crate::frame::{self, Rect};
use crate::page::{Item, Page, Pen, Tone, Weight};
use crate::plan::Look;
use crate::style::Style;
use crate::text_width::{cut_to, printable};
use crate::title_block::{self, Facts};
use analysis::Report;
use document::Project;
use glam::dvec2;
use telling::Identity;

/// Air between the border and what stands inside it.
pub(crate) const PAD: f64 = 4.0;
/// Air that also clears the centring marks, which reach 5 mm in.
pub(crate) const CLEAR: f64 = 6.5;

/// Lays the sheet out: the plan with result, signs and cautions; its mirrored twin when asked for; cups and parts list;
/// what the tool holds and what that rests on; commissioning and upkeep. The hole table stands beside the plan where it has
/// room there. A chapter begins under the one before, tables that do not fit go on, and every page has its number "n of m".
/// The same project and report give the same pages.
///
/// The report must be one of a layout of this project.
///
/// ```
/// use document::{Part, PartId, Project};
/// use sheet::{SheetOptions, compose, to_pdf};
/// let project = Project::new("Cover plate", Part::rectangle(PartId(1), "Cover plate", 600.0, 400.0));
/// let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
/// let pages = compose(&project, &report, &SheetOptions::default());
/// assert_eq!(pages[0].name, "Plan");
/// assert!(to_pdf(&pages, &project.name)?.starts_with(b"%PDF-"));
/// # Ok::<(), sheet::SheetError>(())
/// ```
pub fn compose(project: &Project, report: &Report, options: &SheetOptions) -> Vec<Page> {
    compose_as(project, report, options, &Identity::of(project, &[report]))
}

/// What a page holds before its number is known.
pub(crate) struct Draft {
    pub name: String,
    pub items: Vec<Item>,
    /// The whole title block, or the strip of later pages.
    pub title_block: Option<Rect>,
}

/// Pages that share a title block, before their numbers are known.
pub(crate) struct Set<'a> {
    pub context: Context<'a>,
    pub drafts: Vec<Draft>,
    pub facts: Facts,
    pub style: Style,
}

/// As [`compose`], with what the sheet says of the content given.
pub(crate) fn compose_as(
    project: &Project,
    report: &Report,
    options: &SheetOptions,
    identity: &Identity,
) -> Vec<Page> {
    let tool = of_tool(report);
    numbered(sets(project, report, tool.as_ref(), options, identity), options.size_mm())
}

/// Of a tool that carries several parts: the report with all its cups, for what is told of the tool once.
pub(crate) fn of_tool(report: &Report) -> Option<Report> {
    let family = report.family.as_ref()?;
    Some(Report { cups: family.cups.clone(), ..report.clone() })
}

/// The pages of one layout; of a tool that carries several parts (`tool` is then [`of_tool`]) a plan of each, what is told of
/// the tool once, what holds each, and commissioning.
pub(crate) fn sets<'a>(
    project: &'a Project,
    report: &'a Report,
    tool: Option<&'a Report>,
    options: &'a SheetOptions,
    identity: &'a Identity,
) -> Vec<Set<'a>> {
    let (Some(family), Some(tool)) = (report.family.as_deref(), tool) else {
        return vec![set(project, report, options, identity)];
    };
    let of = |project: &'a Project, report: &'a Report, on_tool| Context {
        project,
        report,
        units: &options.units,
        identity,
        checklist: options.checklist,
        on_tool,
        plan: None,
    };
    let chapters = |of: ChapterOf| CHAPTERS.iter().filter(move |chapter| chapter.of == of);
    let style = Style::new(options.paper, false);
    let (mut plans, mut later, mut beside) = (Vec::new(), Vec::new(), Vec::new());
    for (index, seat) in family.seats.iter().enumerate() {
        let context = of(&seat.project, &seat.report, Some((family, index)));
        let look = Look::from_robot_side().of_part(&seat.name);
        let first = first::best(&context, options, &look);
        let scale = first.measured.as_ref().map(|measured| measured.scale);
        let context = Context { plan: scale.map(|scale| scale.ratio()), ..context };
        let facts = Facts { instead: None, scale, sheet: 0, sheets: 0 };
        let name = |what: &str| format!("{what}, {}", seat.name.trim());
        let mut drafts = vec![plan_page(&context, &first, &look, &name("Plan"))];
        if options.mirrored {
            let look = Look::mirrored().of_part(&seat.name);
            drafts.push(plan_page(&context, &first, &look, &name("Plan, mirrored")));
        }
        let said = first.said();
        beside.push(said.there.clone());
        let mut pages =
            chapter_pages(&context, options, &said, &with_words(&said, chapters(ChapterOf::EachPart)));
        pages.iter_mut().for_each(|page| page.name = name(&page.name));
        plans.push(Set { context, drafts, facts: facts.clone(), style: first.style });
        later.push(Set { context, drafts: pages, facts, style: first.style });
    }
    let facts = Facts { instead: None, scale: None, sheet: 0, sheets: 0 };
    // Signs and revisions stand once, where they stand with the plan of every part.
    let there = [SectionId::Key, SectionId::Revisions]
        .into_iter()
        .filter(|id| beside.iter().all(|all| all.contains(id)));
    let with_plans = First { words: false, there: there.collect() };
    let of_tool = |chapters: Vec<&Chapter>| {
        let context = of(project, tool, None);
        let drafts = chapter_pages(&context, options, &with_plans, &chapters);
        Set { context, drafts, facts: facts.clone(), style }
    };
    let once = of_tool([&PARTS_ON_THE_TOOL].into_iter().chain(chapters(ChapterOf::Holes)).collect());
    let last = of_tool(chapters(ChapterOf::Tool).collect());
    plans.into_iter().chain([once]).chain(later).chain([last]).collect()
}

/// The pages of one layout.
pub(crate) fn set<'a>(
    project: &'a Project,
    report: &'a Report,
    options: &'a SheetOptions,
    identity: &'a Identity,
) -> Set<'a> {
    let context = Context {
        project,
        report,
        units: &options.units,
        identity,
        checklist: options.checklist,
        on_tool: None,
        plan: None,
    };
    let first = first::best(&context, options, &Look::from_robot_side());
    let scale = first.measured.as_ref().map(|measured| measured.scale);
    let context = Context { plan: scale.map(|scale| scale.ratio()), ..context };
    let mut drafts = vec![plan_page(&context, &first, &Look::from_robot_side(), "Plan")];
    if options.mirrored {
        drafts.push(plan_page(&context, &first, &Look::mirrored(), "Plan, mirrored"));
    }
    let said = first.said();
    drafts.extend(chapter_pages(&context, options, &said, &with_words(&said, &CHAPTERS)));
    let facts = Facts { instead: None, scale, sheet: 0, sheets: 0 };
    Set { context, drafts, facts, style: first.style }
}

/// Frame, title block and number of every page, counted through all sets.
pub(crate) fn numbered(sets: Vec<Set>, size_mm: [f64; 2]) -> Vec<Page> {
    let sheets = sets.iter().map(|set| set.drafts.len()).sum();
    let area = frame::area(size_mm);
    let mut pages: Vec<Page> = Vec::new();
    for Set { context, drafts, facts, style } in sets {
        for draft in drafts {
            let facts = Facts { sheet: pages.len() + 1, sheets, ..facts.clone() };
            let title_block = match draft.title_block {
                Some(rect) => title_block::draw(&context, &facts, rect, &style),
                None => title_block::strip(&context, &facts, strip_rect(area, &style), &style),
            };
            // Who has the page read out hears first what it is a page of.
            let mut items = vec![frame::draw(size_mm, foot_free(&draft, size_mm)), title_block];
            items.extend(draft.items);
            pages.push(Page { name: draft.name, size_mm, items });
        }
    }
    pages
}

/// Whether the centring mark at the foot may reach into the page.
fn foot_free(draft: &Draft, size_mm: [f64; 2]) -> bool {
    draft.title_block.is_some_and(|block| block.min.x > size_mm[0] / 2.0 + 1.0)
}

fn strip_rect(area: Rect, style: &Style) -> Rect {
    Rect::new(area.min, dvec2(area.max.x, area.min.y + style.title_row))
}

fn plan_page(context: &Context, first: &Arrangement, look: &Look, name: &str) -> Draft {
    Draft {
        name: name.to_owned(),
        items: first.draw(context, look),
        title_block: Some(first.template.title_block),
    }
}

/// What a later page leaves for its chapters.
pub(crate) fn inner(context: &Context, size_mm: [f64; 2], style: &Style) -> Rect {
    let area = frame::area(size_mm);
    let mut inner =
        Rect::new(dvec2(area.min.x + CLEAR, area.min.y + style.title_row + PAD), area.max - CLEAR);
    inner.max.y -= title_block::stamp_height(context);
    inner
}

/// The stamp over a later page, when it must have one.
pub(crate) fn stamped(context: &Context, size_mm: [f64; 2], style: &Style) -> Vec<Item> {
    let inner = inner(context, size_mm, style);
    let top = inner.max.y + title_block::stamp_height(context);
    title_block::stamp(context, Rect::new(inner.min, dvec2(inner.max.x, top)), inner.min.x, style)
        .into_iter()
        .collect()
}

/// Between two chapters on a page; a rule stands in the middle.
const BETWEEN_CHAPTERS: f64 = 7.0;
/// A chapter begins on the page of the one before where this share of it is left, or where it fits there whole.
const LEAST_SHARE: f64 = 1.0 / 3.0;

/// Chapters, behind what found no room beside the plan.
fn with_words<'c>(first: &First, chapters: impl IntoIterator<Item = &'c Chapter>) -> Vec<&'c Chapter> {
    first.words.then_some(&WORDS_OF_THE_PLAN).into_iter().chain(chapters).collect()
}

fn chapter_pages(
    context: &Context,
    options: &SheetOptions,
    first: &First,
    chapters: &[&Chapter],
) -> Vec<Draft> {
    let drafts = |style: Style| chapter_drafts(context, options, first, chapters, &style);
    let mut best = drafts(Style::new(options.paper, false));
    // Closer rows where they save a page and can still be read.
    for style in [Style::new(options.paper, true), Style::closest(options.paper)] {
        let closer = drafts(style);
        if closer.len() < best.len() {
            best = closer;
        }
    }
    best
}

/// Heading of a chapter of one part among several: later pages of each look alike.
fn of_part(heading: &str, context: &Context, width: f64, style: &Style) -> String {
    match context.seat_name() {
        Some(name) if !heading.is_empty() => {
            cut_to(&printable(&format!("{heading}: {name}")), Weight::SemiBold, style.heading, width)
        }
        _ => heading.to_owned(),
    }
}

fn chapter_drafts(
    context: &Context,
    options: &SheetOptions,
    first: &First,
    chapters: &[&Chapter],
    style: &Style,
) -> Vec<Draft> {
    let size_mm = options.size_mm();
    let inner = inner(context, size_mm, style);
    let mut drafts: Vec<Draft> = Vec::new();
    // Where the page before ends, when something stands on it.
    let mut foot = inner.min.y;
    // What belongs to the plan stands once: beside it, on a page of its own, or with the parts.
    let mut there = first.there.clone();
    for chapter in chapters {
        let with_holes = chapter.of == ChapterOf::Holes && !first.there.contains(&SectionId::Holes);
        let later = columns(context, inner, style, with_holes);
        let mut sections = (chapter.sections)(context, later[0].width(), style);
        sections.retain(|section| !there.contains(&section.id));
        there.extend(sections.iter().map(|section| section.id).filter(|id| MAY_FOLLOW.contains(id)));
        let Some(section) = sections.first_mut() else { continue };
        section.heading = of_part(&section.heading, context, later[0].width(), style);
        let sections: Vec<&Section> = sections.iter().collect();
        let top = foot - BETWEEN_CHAPTERS;
        let low = |column: &Column| Rect::new(column.min, dvec2(column.max.x, top.max(column.min.y)));
        let rest: Vec<Column> = later.iter().map(low).collect();
        let below = (!drafts.is_empty()).then(|| Flow::run(&rest, &sections, &later, style));
        let roomy = top - inner.min.y >= LEAST_SHARE * inner.height();
        let below = below.filter(|flow| flow.pages.len() == 1 || (roomy && !flow.pages[0].is_empty()));
        let shares = below.is_some();
        let flow = below.unwrap_or_else(|| Flow::run(&later, &sections, &later, style));
        foot = flow.foot;
        for (index, items) in flow.pages.into_iter().enumerate() {
            if index == 0
                && shares
                && let Some(last) = drafts.last_mut()
            {
                let y = top + BETWEEN_CHAPTERS / 2.0;
                let pen = Pen::solid(crate::style::THIN, Tone::Second);
                last.name = format!("{}; {}", last.name, chapter.name);
                last.items.push(Item::Line { from: dvec2(inner.min.x, y), to: dvec2(inner.max.x, y), pen });
                last.items.extend(items);
                continue;
            }
            let continued = if index == 0 { "" } else { ", continued" };
            let items = stamped(context, size_mm, style).into_iter().chain(items).collect();
            drafts.push(Draft { name: format!("{}{continued}", chapter.name), items, title_block: None });
        }
    }
    drafts
}

/// Columns of a later page: as many as can be read, fewer where the hole table would have to wrap.
pub(crate) fn columns(context: &Context, inner: Rect, style: &Style, with_holes: bool) -> Vec<Column> {
    const GUTTER: f64 = 9.0;
    // On letter paper two columns are a little narrower than on A4.
    let least = style.column * 0.9;
    let mut count = ((inner.width() + GUTTER) / (least + GUTTER)).floor().max(1.0);
    let width = |count: f64| (inner.width() - GUTTER * (count - 1.0)) / count;
    if with_holes {
        while count > 1.0 && width(count) < chapters::hole_table_width(context, style) {
            count -= 1.0;
        }
    }
    let width = width(count);
    (0..count as usize)
        .map(|index| {
            let x = inner.min.x + index as f64 * (width + GUTTER);
            Rect::new(dvec2(x, inner.min.y), dvec2(x + width, inner.max.y))
        })
        .collect()
}
