//! The sheet as one page of text: to look at without the program, on any screen, without a network.
//!
//! It is made of the same sections as the pages of paper, by their tags ([`crate::Tag`]), so that every figure is the one
//! that is printed. What moves (the motion that is shown, sorting, copying) reads the tables of the page and holds no
//! figure of its own; without a script the page says the same.
//!
//! The page is well-formed as XML too, so that any reader of XML can check it.

mod content;
mod factors;
mod figure;
mod plan;

use crate::block::SectionId;
use crate::chapters::{CHAPTERS, Chapter, ChapterOf, all, first_page};
use crate::context::Context;
use crate::style::Style;
use crate::svg::escaped;
use crate::title_block;
use crate::{Paper, SheetOptions};
use analysis::Report;
use content::{said, section};
use document::Project;
use std::fmt::Write as _;
use telling::Identity;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// What a page begins with, and what says which program made it.
const BEGINS: &str = "<!DOCTYPE html>";
const MADE_BY: &str = "<meta name=\"generator\" content=\"cupwright ";

/// Width for which sections are laid out; only drawings depend on it, mm.
const WIDTH: f64 = 180.0;

/// One file with plan, tables, findings and cautions of one layout: it needs no network, no other file and no program.
/// Units and the reviewer's questions are as the options say; a paper means nothing here. `not_compared` names the layouts
/// whose comparison goes with the sheet on paper: the page has no room for it, and says so.
///
/// The report must be one of a layout of this project.
///
/// ```
/// use document::{Part, PartId, Project};
/// let project = Project::new("Cover plate", Part::rectangle(PartId(1), "Cover plate", 600.0, 400.0));
/// let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
/// let page = sheet::to_html(&project, &report, &sheet::SheetOptions::default(), &[]);
/// assert!(page.starts_with("<!DOCTYPE html>") && page.contains("Cover plate"));
/// ```
pub fn to_html(project: &Project, report: &Report, options: &SheetOptions, not_compared: &[&str]) -> String {
    let identity = Identity::of(project, &[report]);
    html_as(project, report, options, &identity, not_compared)
}

/// The same, of a content that is called so.
pub(crate) fn html_as(
    project: &Project,
    report: &Report,
    options: &SheetOptions,
    identity: &Identity,
    not_compared: &[&str],
) -> String {
    // Of a tool that carries several parts the one that governs is drawn.
    let on_tool = report.family.as_deref().map(|family| (family, family.governing));
    let governing = report.family.as_deref().and_then(|family| family.governing());
    let project = governing.map_or(project, |seat| &seat.project);
    let checklist = options.checklist;
    let context =
        Context { project, report, units: &options.units, identity, checklist, on_tool, plan: None };
    let style = Style::new(Paper::A4, false);
    let mut out = head(&context);
    out.push_str(&top(&context));
    let mut beside = first_page(&context, WIDTH, &style);
    let result =
        beside.iter().position(|section| section.id == SectionId::Result).map(|at| beside.remove(at));
    let mut ids = 0;
    if let Some(result) = &result {
        section(result, &mut ids, &mut out);
    }
    if !not_compared.is_empty() {
        let names: Vec<String> = not_compared.iter().map(|name| (*name).to_owned()).collect();
        let says = format!(
            "The comparison of layouts {} is not on this page; the sheet as PDF, SVG or PNG has it.",
            analysis::words::all(&names)
        );
        let _ = writeln!(out, "<p class=\"left-out\">{}</p>", said(&says));
    }
    out.push_str(&plan::plan(&context));
    for words in &beside {
        section(words, &mut ids, &mut out);
    }
    out.push_str(&factors::table(&context));
    // What stands with the plan stands once.
    let there: Vec<SectionId> = beside.iter().map(|section| section.id).collect();
    let chapters = all(&context);
    let last_of_part = chapters.iter().rposition(|chapter| chapter.of == ChapterOf::EachPart);
    for (index, chapter) in chapters.into_iter().enumerate() {
        // What is of the whole tool comes behind all its parts.
        if last_of_part.is_some_and(|last| index == last + 1) {
            out.push_str(&other_parts(&context, &style, &mut ids));
        }
        let mut sections = (chapter.sections)(&context, WIDTH, &style);
        sections.retain(|section| !there.contains(&section.id));
        if sections.is_empty() {
            continue;
        }
        let _ = writeln!(out, "<h2 id=\"chapter{index}\">{}</h2>", said(&heading(chapter, &context)));
        for words in &sections {
            section(words, &mut ids, &mut out);
        }
    }
    out.push_str(&foot(&context));
    out
}

/// Heading of a chapter, with the part that it is of where the tool carries several.
fn heading(chapter: &Chapter, context: &Context) -> String {
    match context.seat_name().filter(|_| chapter.of == ChapterOf::EachPart) {
        Some(name) => format!("{}: {name}", chapter.name),
        None => chapter.name.to_owned(),
    }
}

/// The parts of the tool besides the one that governs: plan, factors and what follows from them.
fn other_parts(context: &Context, style: &Style, ids: &mut usize) -> String {
    let mut out = String::new();
    let Some((family, governing)) = context.on_tool else { return out };
    for (number, seat) in family.seats.iter().enumerate().filter(|(number, _)| *number != governing) {
        let own = Context {
            project: &seat.project,
            report: &seat.report,
            on_tool: Some((family, number)),
            ..*context
        };
        let _ = writeln!(out, "<h2 id=\"part{number}\">Plan: {}</h2>", said(seat.name.trim()));
        out.push_str(&plan::of_part(&own, number));
        for chapter in CHAPTERS.iter().filter(|chapter| chapter.of == ChapterOf::EachPart) {
            let sections = (chapter.sections)(&own, WIDTH, style);
            if sections.is_empty() {
                continue;
            }
            let _ = writeln!(out, "<h2>{}</h2>", said(&heading(chapter, &own)));
            sections.iter().for_each(|words| section(words, ids, &mut out));
        }
    }
    out
}

/// Whether a text is a page that [`to_html`] made.
pub fn is_html(text: &str) -> bool {
    text.starts_with(BEGINS) && text.contains(MADE_BY)
}

fn head(context: &Context) -> String {
    let comma = if context.units.decimal_comma { " data-comma=\"1\"" } else { "" };
    // The rule for browsers: nothing comes from elsewhere, whatever a name in the project may say.
    format!(
        "{BEGINS}\n<html lang=\"en\"{comma}>\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"color-scheme\" content=\"light dark\"/>\n\
         <meta name=\"generator\" content=\"cupwright {}\"/>\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src 'unsafe-inline'\"/>\n\
         <title>{}</title>\n<style>\n/*<![CDATA[*/\n{STYLE}/*]]>*/\n</style>\n</head>\n<body>\n",
        env!("CARGO_PKG_VERSION"),
        said(&title_block::title(context))
    )
}

/// Title, what keeps it from going out, and the fields of the title block.
fn top(context: &Context) -> String {
    let mut out = format!("<header>\n<h1>{}</h1>\n", said(&title_block::title(context)));
    let _ = writeln!(
        out,
        "<p class=\"about\">{}</p>",
        said(&title_block::supplement(&Context { on_tool: None, ..*context }))
    );
    for stamp in context.identity.stamps() {
        let _ = writeln!(
            out,
            "<p class=\"stamp\"><strong>{}</strong> <span>{}</span></p>",
            said(&stamp.words),
            said(&stamp.why)
        );
    }
    out.push_str("<dl class=\"fields\">\n");
    for (name, value, wrong) in title_block::told(context) {
        let class = if wrong { " class=\"fail\"" } else { "" };
        let _ = writeln!(out, "<div><dt>{}</dt><dd{class}>{}</dd></div>", said(&name), said(&value));
    }
    out.push_str("</dl>\n");
    let chapters = all(context)
        .into_iter()
        .enumerate()
        .filter(|(_, chapter)| !(chapter.sections)(context, WIDTH, &Style::new(Paper::A4, false)).is_empty());
    out.push_str("<nav aria-label=\"Chapters\"><a href=\"#plan\">Plan</a>");
    for (index, chapter) in chapters {
        let _ = write!(out, " <a href=\"#chapter{index}\">{}</a>", said(&heading(chapter, context)));
    }
    if let Some((family, governing)) = context.on_tool {
        for (number, seat) in family.seats.iter().enumerate().filter(|(number, _)| *number != governing) {
            let _ = write!(out, " <a href=\"#part{number}\">{}</a>", said(seat.name.trim()));
        }
    }
    out.push_str("</nav>\n</header>\n<main>\n");
    out
}

fn foot(context: &Context) -> String {
    format!(
        "</main>\n<footer><p>{}, revision {}. Made by cupwright {}. {}</p></footer>\n\
         <script>\n//<![CDATA[\n{SCRIPT}//]]>\n</script>\n</body>\n</html>\n",
        said(&context.identity.content()),
        said(title_block::revision(context)),
        escaped(env!("CARGO_PKG_VERSION")),
        "This page is a copy: it does not follow the project."
    )
}
