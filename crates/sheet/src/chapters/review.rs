//! What colleagues said of the layout and what they decided, and the questions that a reviewer goes through.

use super::{append, body, indented, note_after, nothing, printed, small};
use crate::block::{Block, Section, SectionId, Setting, paragraph, stacked};
use crate::context::Context;
use crate::page::{Item, Pen, Tone, Weight};
use crate::style::{Style, THIN, left};
use crate::text_width::{printable, text_width};
use analysis::Severity;
use document::{Answer, Decision, Outcome, Pin, Remark, Tick};
use glam::dvec2;
use telling::{Question, QuestionGroup};

/// Open remarks with their answers, the decisions, and how many remarks were settled.
pub(super) fn section(context: &Context, width: f64, style: &Style) -> Section {
    let review = &context.project.review;
    let mut section = nothing(SectionId::Other("review"));
    if review.remarks.is_empty() && review.decisions.is_empty() {
        return section;
    }
    let (settled, open): (Vec<&Remark>, Vec<&Remark>) =
        review.remarks.iter().partition(|remark| remark.resolved.is_some());
    let (here, elsewhere): (Vec<&Remark>, Vec<&Remark>) =
        open.into_iter().partition(|remark| concerns(context, &remark.pin));
    let rows = &mut section.rows;
    for remark in &here {
        rows.extend(remark_rows(context, remark, width, style));
    }
    let mut says = Vec::new();
    if here.is_empty() {
        says.push("No remark on this layout is open.".to_owned());
    }
    if !elsewhere.is_empty() {
        says.push(format!("{} on other layouts.", counted(elsewhere.len(), "open remark", "open remarks")));
    }
    if !settled.is_empty() {
        says.push(format!("{} settled.", counted(settled.len(), "remark was", "remarks were")));
    }
    if !says.is_empty() {
        rows.push(stacked([
            paragraph(&says.join(" "), small(style), 0.0, width),
            Block::space(style.body * 0.4),
        ]));
    }
    for decision in &review.decisions {
        rows.extend(decision_rows(context, decision, width, style));
    }
    section.heading = "Review: open remarks and decisions".to_owned();
    section
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Whether something pinned there belongs on the sheet of this layout.
fn concerns(context: &Context, pin: &Pin) -> bool {
    match pin {
        Pin::Whole | Pin::Motion(_) => true,
        Pin::Cup(layout, _) | Pin::Place(layout, _) | Pin::Finding { layout, .. } => {
            *layout == context.report.layout
        }
    }
}

/// "BC, 2026-03-02".
fn who(by: &str, on: &str) -> String {
    let words: Vec<&str> = [by.trim(), on.trim()].into_iter().filter(|word| !word.is_empty()).collect();
    if words.is_empty() { "by nobody named".to_owned() } else { words.join(", ") }
}

/// Which content something was said of, where it is not this one.
fn of_content(context: &Context, of: &str, revision: &str) -> String {
    let revision = revision.trim();
    let issued = if revision.is_empty() { String::new() } else { format!(", revision {revision}") };
    if of == context.identity.fingerprint {
        format!("on this content{issued}")
    } else {
        format!("on content {of}{issued}, which is not this one")
    }
}

fn remark_rows(context: &Context, remark: &Remark, width: f64, style: &Style) -> Vec<Block> {
    let called = match (&remark.pin, remark.called.trim()) {
        (Pin::Place(_, at), _) => format!("at {}", context.point(*at)),
        (_, "") => "whole project".to_owned(),
        (_, called) => called.to_owned(),
    };
    let said = format!("{}; {}", who(&remark.by, &remark.on), of_content(context, &remark.of, ""));
    let mut rows =
        entry(Entry { word: &called, tone: Tone::Ink, says: &remark.text, said: &said }, width, style);
    for Answer { text, by, on } in &remark.answers {
        let says = format!("Answer of {}: {}", who(by, on), text.trim());
        let indent = indent(style) + style.body;
        rows.extend(indented(&says, small(style), indent, width));
    }
    air(rows, style)
}

fn decision_rows(context: &Context, decision: &Decision, width: f64, style: &Style) -> Vec<Block> {
    let (open, unchecked) = match decision.outcome {
        Outcome::Accept => to_mend(context, decision),
        Outcome::SendBack => (Vec::new(), None),
    };
    let (word, tone) = match decision.outcome {
        Outcome::Accept if !open.is_empty() => (telling::WITH_OPEN_FAILURES, Tone::Fail),
        Outcome::Accept if unchecked.is_some() => (telling::NOT_ALL_CHECKED, Tone::Fail),
        Outcome::Accept => ("accepted", Tone::Ink),
        Outcome::SendBack => ("sent back", Tone::Fail),
    };
    let says = decision.text.trim();
    let says = if says.is_empty() { "No comment." } else { says };
    let of = of_content(context, &decision.of, &decision.revision);
    let said = format!("{}; {of}", who(&decision.by, &decision.on));
    let mut rows = entry(Entry { word, tone, says, said: &said }, width, style);
    let setting = Setting { tone: Tone::Fail, ..small(style) };
    let fails = open.iter().map(|failure| format!("Fails, not accepted: {failure}"));
    for line in fails.chain(unchecked) {
        rows.extend(indented(&line, setting, indent(style), width));
    }
    air(rows, style)
}

/// What failed and was not accepted in this layout of the content decided on, and its verdict where that is none: by the report
/// where it is this content, worked out again where it is a revision that the file keeps. Of another content nothing is known.
fn to_mend(context: &Context, decision: &Decision) -> (Vec<String>, Option<String>) {
    let says = |report: &analysis::Report| {
        let open = telling::open_failures(report).map(|finding| finding.says.clone()).collect();
        let verdict = &report.verdict;
        (open, (verdict.severity == Severity::NotChecked).then(|| verdict.sentence.clone()))
    };
    if decision.of == context.identity.fingerprint {
        return says(context.report);
    }
    let layout = context.report.layout;
    let issued = context.project.issued.iter().find(|issued| issued.fingerprint == decision.of);
    issued.filter(|issued| issued.content.layout(layout).is_some()).map_or_else(Default::default, |issued| {
        says(&analysis::Analyst::with_units(*context.units).check(&issued.content, layout))
    })
}

struct Entry<'a> {
    word: &'a str,
    tone: Tone,
    says: &'a str,
    said: &'a str,
}

/// As wide as the words before the findings.
fn indent(style: &Style) -> f64 {
    style.body * 7.4
}

/// A word at the left, what is said beside it, and who said it; under the word where that is long.
fn entry(entry: Entry, width: f64, style: &Style) -> Vec<Block> {
    let word = Setting { weight: Weight::SemiBold, tone: entry.tone, ..body(style) };
    let indent = indent(style);
    let beside = text_width(&printable(entry.word), Weight::SemiBold, style.body) < indent - style.body;
    let mut rows = indented(entry.says.trim(), body(style), indent, width);
    if beside {
        let baseline = dvec2(0.0, -style.body * 0.82);
        let says = left(baseline, entry.word, style.body, Weight::SemiBold, entry.tone);
        if let Some(first) = rows.first_mut() {
            first.items.push(says);
        }
    } else {
        rows.insert(0, paragraph(entry.word, word, 0.0, width));
    }
    let setting = Setting { tone: Tone::Second, ..small(style) };
    rows.extend(indented(&units::capital(entry.said), setting, indent, width));
    rows
}

fn air(mut rows: Vec<Block>, style: &Style) -> Vec<Block> {
    append(&mut rows, Block::space(style.body * 0.45));
    rows
}

/// The questions, group by group, with boxes; nothing unless they were asked for.
pub(super) fn checklist(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    if !context.checklist {
        return Vec::new();
    }
    let questions = telling::questions(context.project, context.report, context.units);
    let mut sections: Vec<Section> = QuestionGroup::ALL
        .iter()
        .map(|group| {
            let of_group = questions.iter().filter(|question| question.group == *group);
            let rows = of_group.flat_map(|question| question_rows(context, question, width, style)).collect();
            Section {
                id: SectionId::Other("checklist"),
                heading: format!("To question: {}", group.label().to_lowercase()),
                head: Vec::new(),
                rows,
            }
        })
        .collect();
    sections = printed(sections);
    if let Some(last) = sections.last_mut() {
        let says = "What a careful colleague would question, from findings, accepted findings, assumed \
            inputs and other inputs. A tick shows that it was looked into, by whom and when.";
        append(&mut last.rows, note_after(says, width, style));
    }
    sections
}

fn question_rows(context: &Context, question: &Question, width: f64, style: &Style) -> Vec<Block> {
    let tick = question.tick(&context.project.review.ticks);
    let current = tick.is_some_and(|(_, current)| current);
    let indent = style.body * 1.75;
    let mut rows = indented(&question.says, body(style), indent, width);
    if let Some(first) = rows.first_mut() {
        first.items.extend(tick_box(current, style));
    }
    let setting = Setting { tone: Tone::Second, ..small(style) };
    rows.extend(indented(&question.why, setting, indent, width));
    if let Some((tick, _)) = tick {
        rows.extend(indented(&looked_into(context, tick, current), small(style), indent, width));
    }
    air(rows, style)
}

fn looked_into(context: &Context, tick: &Tick, current: bool) -> String {
    let who = who(&tick.by, &tick.on);
    let mut says = if current {
        format!("Looked into by {who}.")
    } else {
        format!("Looked into by {who}, when it read otherwise: look again.")
    };
    if let Some(remark) = tick.remark.and_then(|id| context.project.remark(id)) {
        let word = if remark.resolved.is_some() { "settled" } else { "open" };
        says.push_str(&format!(" A remark was made on it, {word}."));
    }
    says
}

/// A box, with its tick where the question was looked into as it reads now.
fn tick_box(ticked: bool, style: &Style) -> Vec<Item> {
    let mut items = vec![super::commissioning::empty_box(style)];
    if ticked {
        let (side, top) = super::commissioning::box_place(style);
        let points = [(0.2, 0.55), (0.42, 0.82), (0.85, 0.15)];
        let points = points.map(|(x, y)| dvec2(0.1 + x * side, top - y * side)).to_vec();
        items.push(Item::Polyline { points, closed: false, pen: Pen::solid(THIN * 2.0, Tone::Ink) });
    }
    items
}
