//! What changed between two contents, on paper: plans with what was elsewhere, the list of changes, figures before and after,
//! and what became of the findings.

use crate::SheetOptions;
use crate::block::{Block, Section, SectionId, Setting, long_paragraph, paragraph, stacked};
use crate::chapters::{append, body, cautions, listed, note, small, tight};
use crate::compare::{BETTER, draw_plans, under_plans};
use crate::compose::{CLEAR, Draft, Set, columns, inner, numbered, stamped};
use crate::context::{Context, layout_called};
use crate::first;
use crate::flow::Flow;
use crate::frame::{self, Rect};
use crate::page::{Page, Tone, Weight};
use crate::plan::Look;
use crate::style::Style;
use crate::tables::{Cell, Column, figures, flexible, table, words};
use crate::title_block::{self, Facts, Instead};
use analysis::{Analyst, Finding, Report};
use document::{LayoutId, Project};
use std::sync::Arc;
use telling::{CompareFigure, Difference, Elsewhere, FigureChange, FindingChange, Identity};

/// More plans would be too small to read; the list names what changed in the others.
const MOST_PLANS: usize = 4;
/// A longer sentence is not set bold.
const MOST_BOLD: usize = 220;

/// Lays out what changed from `old` to `new`: the plan of every layout in which something is elsewhere, with what was there
/// before dashed and arrows with distances; the sentence; the list of changes; the figures before and after with the better
/// one marked by sign and word; what became of the findings; and what all that rests on. What does not fit beside the plans
/// follows on further pages. The title block is that of `new`.
///
/// `difference` must be that of these two.
///
/// ```
/// use analysis::Analyst;
/// use telling::difference;
/// use document::{Edit, Part, PartId, Project};
/// use sheet::{SheetOptions, compose_difference};
///
/// let old = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let new = Edit::RenameProject("Tray line 3".to_owned()).apply(&old)?;
/// let changes = difference(&mut Analyst::new(), &old, &new);
/// let pages = compose_difference(&old, &new, &changes, &SheetOptions::default());
/// assert_eq!(pages[0].name, "What changed");
/// # Ok::<(), document::EditError>(())
/// ```
pub fn compose_difference(
    old: &Project,
    new: &Project,
    difference: &Difference,
    options: &SheetOptions,
) -> Vec<Page> {
    let moved = moved(old, new, options);
    let left_out = moved.len().saturating_sub(MOST_PLANS);
    let mut analyst = Analyst::with_units(options.units);
    let drawn = moved.iter().map(|(id, _)| *id).take(MOST_PLANS);
    // The title block needs a layout even where no plan is drawn.
    let ids: Vec<LayoutId> = drawn.chain(new.layouts.first().map(|layout| layout.id)).collect();
    let reports: Vec<Arc<Report>> = ids.iter().map(|id| analyst.check(new, *id)).collect();
    let mut shown: Vec<&Report> = reports.iter().map(AsRef::as_ref).collect();
    shown.dedup_by_key(|report| report.layout);
    let identity = Identity::of(new, &shown);
    let of = |report| Context {
        project: new,
        report,
        units: &options.units,
        identity: &identity,
        checklist: false,
        on_tool: None,
        plan: None,
    };
    let Some(context) = reports.last().map(|report| of(report.as_ref())) else { return Vec::new() };
    let plans: Vec<(Look, Context)> = moved
        .into_iter()
        .zip(&reports)
        .map(|((id, ghosts), report)| {
            let name = new.layout(id).map_or("", |layout| layout.name.as_str());
            let heading = format!("{}, seen from the robot side", layout_called("Layout", name));
            (Look { ghosts, heading, bar: true, ..Look::of_layout(name) }, of(report.as_ref()))
        })
        .take(MOST_PLANS)
        .collect();
    let between = format!(
        "from {} to {}",
        called(&old.revision_shown(), &old.fingerprint()),
        called(&identity.revision, &identity.fingerprint)
    );
    let signs = signs(&between, plans.len(), left_out);
    let (drafts, scale, style) = drafts(&context, difference, &plans, &signs, options);
    let instead = Instead { document_type: "difference", about: between, result: result(difference) };
    let facts = Facts { instead: Some(instead), scale, sheet: 0, sheets: 0 };
    numbered(vec![Set { context, drafts, facts, style }], options.size_mm())
}

/// Layouts of the newer project in which something is elsewhere, with what was there.
fn moved(old: &Project, new: &Project, options: &SheetOptions) -> Vec<(LayoutId, Elsewhere)> {
    let of = |id| (id, telling::elsewhere(old, new, id, &options.units));
    new.layouts.iter().map(|layout| of(layout.id)).filter(|(_, ghosts)| !ghosts.is_empty()).collect()
}

/// "revision B, content 3f2a-91c4".
fn called(revision: &str, fingerprint: &str) -> String {
    match revision.trim() {
        "" => format!("content {fingerprint}"),
        revision => format!("revision {revision}, content {fingerprint}"),
    }
}

/// What is compared, and what the signs on the plans mean.
fn signs(between: &str, plans: usize, left_out: usize) -> String {
    let mut says = format!("{}.", units::capital(between));
    if plans > 0 {
        says.push_str(
            " On the plan: dashed as it was, arrows from there to where it is now, with the distance.",
        );
    }
    match left_out {
        0 => {}
        1 => says.push_str(" One more layout has no plan here; the list says what changed in it."),
        many => says.push_str(&format!(
            " {many} more layouts have no plan here; the list says what changed in them."
        )),
    }
    says
}

fn result(difference: &Difference) -> String {
    let counted =
        |count: usize, one: &str, many: &str| format!("{count} {}", if count == 1 { one } else { many });
    let found = &difference.findings;
    format!(
        "{}; {} new, {} gone",
        counted(difference.changes.len(), "change", "changes"),
        counted(found.new.len(), "finding", "findings"),
        found.gone.len()
    )
}

fn drafts(
    context: &Context,
    difference: &Difference,
    plans: &[(Look, Context)],
    signs: &str,
    options: &SheetOptions,
) -> (Vec<Draft>, Option<crate::Scale>, Style) {
    let style = Style::new(options.paper, false);
    let size_mm = options.size_mm();
    let area = frame::area(size_mm);
    let title_block = first::title_rect(area, &style);
    let mut items = stamped(context, size_mm, &style);
    let mut plan = Rect::new(area.min + CLEAR, area.max - CLEAR);
    plan.max.y -= title_block::stamp_height(context);
    let (foot, scale) = draw_plans(plans, plan, title_block, &style, &mut items);
    let later = columns(context, inner(context, size_mm, &style), &style, false);
    let under = under_plans(&later, area, title_block, foot);
    let all = sections(context, difference, signs, later[0].width(), &style);
    let all: Vec<&Section> = all.iter().collect();
    let mut pages = Flow::run(&under, &all, &later, &style).pages.into_iter();
    items.extend(pages.next().unwrap_or_default());
    let mut drafts = vec![Draft { name: "What changed".to_owned(), items, title_block: Some(title_block) }];
    for more in pages {
        let mut items = stamped(context, size_mm, &style);
        items.extend(more);
        drafts.push(Draft { name: "What changed, continued".to_owned(), items, title_block: None });
    }
    (drafts, scale, style)
}

fn section(id: SectionId, heading: &str, rows: Vec<Block>) -> Section {
    Section { id, heading: heading.to_owned(), head: Vec::new(), rows }
}

fn sections(
    context: &Context,
    difference: &Difference,
    signs: &str,
    width: f64,
    style: &Style,
) -> Vec<Section> {
    let found = &difference.findings;
    let mut all = vec![
        sentence(difference, signs, width, style),
        changes(context, difference, width, style),
        figures_of(context, difference, width, style),
        findings("Findings that are new", "new", &found.new, (context, width, style)),
        findings("Findings that are worse", "worse", &found.worse, (context, width, style)),
        findings("Findings that are better", "better", &found.better, (context, width, style)),
        findings("Findings that are resolved", "gone", &found.gone, (context, width, style)),
        notes(difference, width, style),
        cautions::section(width, style),
    ];
    all.retain(|section| !section.rows.is_empty());
    all
}

fn sentence(difference: &Difference, signs: &str, width: f64, style: &Style) -> Section {
    let says = difference.sentence.trim();
    let says = if says.is_empty() { "Nothing changed." } else { says };
    let weight = if says.len() <= MOST_BOLD { Weight::SemiBold } else { Weight::Regular };
    let bold = Setting { weight, ..body(style) };
    let mut rows = long_paragraph(says, bold, width);
    append(&mut rows, Block::space(style.small * 0.5));
    append(&mut rows, paragraph(signs, note(style), 0.0, width));
    section(SectionId::Other("sentence"), "What changed", rows)
}

/// The name of a layout, where there is more than one.
fn layout_name(context: &Context, id: Option<LayoutId>) -> Option<String> {
    let several = context.project.layouts.len() > 1;
    let layout = context.project.layout(id?).filter(|_| several)?;
    Some(layout.name.trim().to_owned())
}

fn changes(context: &Context, difference: &Difference, width: f64, style: &Style) -> Section {
    let with_layout = context.project.layouts.len() > 1;
    let mut columns: Vec<Column> = vec![figures("no."), flexible("change")];
    if with_layout {
        columns.push(words("layout"));
    }
    let rows: Vec<Vec<Cell>> = difference
        .changes
        .iter()
        .enumerate()
        .map(|(index, line)| {
            let mut row = vec![Cell::second((index + 1).to_string()), Cell::plain(line.says.trim())];
            if with_layout {
                row.push(Cell::second(layout_name(context, line.layout).unwrap_or_default()));
            }
            row
        })
        .collect();
    if rows.is_empty() {
        return section(SectionId::Other("changes"), "", Vec::new());
    }
    let (head, rows) = table(&columns, &rows, width, &tight(style));
    Section { id: SectionId::Other("changes"), heading: "Every change".to_owned(), head, rows }
}

fn figures_of(context: &Context, difference: &Difference, width: f64, style: &Style) -> Section {
    let rows: Vec<Vec<Cell>> = difference.figures.iter().map(|figure| cells_of(context, figure)).collect();
    if rows.is_empty() {
        return section(SectionId::Other("figures"), "", Vec::new());
    }
    let columns = [flexible("figure"), figures("before"), figures("now"), words("it became")];
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let says = format!(
        "{BETTER} and the word in the last column mark the better figure; nothing there means the same \
        within half a per cent, or that neither is better. Both sides were calculated by this program."
    );
    append(&mut rows, stacked([Block::space(style.small * 0.5), paragraph(&says, note(style), 0.0, width)]));
    Section { id: SectionId::Other("figures"), heading: "Figures before and after".to_owned(), head, rows }
}

fn cells_of(context: &Context, figure: &FigureChange) -> Vec<Cell> {
    let written = |value: &CompareFigure| match value {
        CompareFigure::Number(value) => context.figure(*value, figure.quantity),
        CompareFigure::Factor { factor, required } => context.factor_of(*factor, *required),
        CompareFigure::Words(says) | CompareFigure::Unknown(says) => says.clone(),
    };
    let marked = |value: &CompareFigure, better: bool| {
        if better { Cell::bold(format!("{BETTER} {}", written(value))) } else { Cell::plain(written(value)) }
    };
    let mut name = units::capital(&figure.name);
    if let Some(layout) = layout_name(context, Some(figure.layout)) {
        name = format!("{name}, layout {layout}");
    }
    let word = match figure.better {
        Some(true) => Cell::plain("better"),
        Some(false) => Cell { tone: Tone::Fail, ..Cell::plain("worse") },
        None => Cell::plain(""),
    };
    vec![
        Cell::plain(name),
        marked(&figure.from, figure.better == Some(false)),
        marked(&figure.to, figure.better == Some(true)),
        word,
    ]
}

fn findings(
    heading: &str,
    word: &str,
    all: &[FindingChange],
    (context, width, style): (&Context, f64, &Style),
) -> Section {
    let said = |finding: &Finding| {
        let accepted = finding.accepted.as_deref().map(str::trim).filter(|reason| !reason.is_empty());
        accepted
            .map_or_else(|| finding.says.clone(), |reason| format!("{} (accepted: {reason})", finding.says))
    };
    let rows = all.iter().filter_map(|change| {
        let latest = change.latest()?;
        let mut lines = vec![(said(latest), Tone::Ink)];
        if let (Some(before), Some(_)) = (&change.before, &change.after) {
            lines.push((format!("Before: {}", said(before)), Tone::Second));
        }
        if change.after.is_some() && !latest.remedy.trim().is_empty() {
            lines.push((latest.remedy.clone(), Tone::Second));
        }
        if let Some(layout) = layout_name(context, Some(change.layout)) {
            lines.push((format!("Layout {layout}."), Tone::Second));
        }
        Some(listed(latest.severity, word, &lines, false, width, style))
    });
    section(SectionId::Other("findings"), heading, rows.flatten().collect())
}

fn notes(difference: &Difference, width: f64, style: &Style) -> Section {
    let air = || Block::space(style.small * 0.35);
    let rows =
        difference.notes.iter().map(|says| stacked([paragraph(says, small(style), 0.0, width), air()]));
    section(SectionId::Other("notes"), "Basis", rows.collect())
}
