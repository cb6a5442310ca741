//! Open findings, accepted ones with their reasons, and what was not checked.

use super::{append, body, indented, small};
use crate::block::{Block, Section, SectionId, Setting, paragraph, stacked};
use crate::context::Context;
use crate::page::{Anchor, Contour, Dash, Item, Pen, Role, Step, Tag, Tone, Weight};
use crate::style::{Style, THIN, left, text};
use analysis::{Finding, Severity};
use glam::{DVec2, dvec2};

/// Heading under which every finding stands.
pub(super) const HEADING: &str = "Open and accepted findings";

pub(crate) fn section(context: &Context, width: f64, style: &Style) -> Section {
    let (accepted, open): (Vec<&Finding>, Vec<&Finding>) = context
        .report
        .findings
        .iter()
        .filter(|f| f.severity != Severity::Ok)
        .partition(|f| f.accepted.is_some());
    let mut rows = Vec::new();
    if open.is_empty() {
        rows.push(paragraph("No open findings.", body(style), 0.0, width));
    }
    rows.extend(open.iter().flat_map(|finding| open_finding(finding, width, style)));
    rows.extend(accepted.iter().flat_map(|finding| accepted_finding(context, finding, width, style)));
    let unchecked: Vec<(String, Tone)> = by_reason(&context.report.not_checked)
        .into_iter()
        .map(|(what, why)| (format!("{}: {why}", units::capital(&what.join("; "))), Tone::Second))
        .collect();
    // A few lines at a time, so that a long list may break between sheets.
    rows.extend(
        unchecked
            .chunks(6)
            .flat_map(|lines| listed(Severity::NotChecked, "not checked", lines, true, width, style)),
    );
    Section { id: SectionId::Other("findings"), heading: HEADING.to_owned(), head: Vec::new(), rows }
}

/// What has the same reason, together, in the order of first mention.
pub(crate) fn by_reason(items: &[(String, String)]) -> Vec<(Vec<&str>, &str)> {
    let mut groups: Vec<(Vec<&str>, &str)> = Vec::new();
    for (what, why) in items {
        match groups.iter_mut().find(|(_, known)| known == why) {
            Some((whats, _)) => whats.push(what),
            None => groups.push((vec![what], why)),
        }
    }
    groups
}

fn open_finding(finding: &Finding, width: f64, style: &Style) -> Vec<Block> {
    let word = analysis::words::severity(finding.severity);
    let mut lines = vec![(finding.says.clone(), Tone::Ink)];
    if !finding.remedy.trim().is_empty() {
        lines.push((finding.remedy.clone(), Tone::Second));
    }
    listed(finding.severity, word, &lines, false, width, style)
}

fn accepted_finding(context: &Context, finding: &Finding, width: f64, style: &Style) -> Vec<Block> {
    let reason = finding.accepted.as_deref().unwrap_or_default().trim();
    let reason = if reason.is_empty() { "not stated" } else { reason };
    let by = context.project.accepted.iter().find(|accepted| {
        accepted.layout == context.report.layout
            && accepted.rule == finding.rule
            && accepted.subject == finding.subject
            && accepted.motion == finding.motion
    });
    let who: Vec<&str> = by
        .iter()
        .flat_map(|accepted| [accepted.by.trim(), accepted.on.trim()])
        .filter(|word| !word.is_empty())
        .collect();
    let who = if who.is_empty() { String::new() } else { format!(" ({})", who.join(", ")) };
    let lines = [(finding.says.clone(), Tone::Ink), (format!("Reason: {reason}{who}"), Tone::Second)];
    listed(Severity::Ok, "accepted", &lines, false, width, style)
}

/// Longer texts may be cut where a column ends.
const MOST_KEPT_WHOLE: usize = 4;

/// A mark, a word and sentences beside them, the first in the usual size unless all are to be small.
pub(crate) fn listed(
    severity: Severity,
    word: &str,
    lines: &[(String, Tone)],
    all_small: bool,
    width: f64,
    style: &Style,
) -> Vec<Block> {
    let indent = style.body * 7.4;
    let sentences = lines.iter().enumerate().flat_map(|(index, (says, tone))| {
        let setting = if index == 0 && !all_small { body(style) } else { small(style) };
        indented(says, Setting { tone: *tone, ..setting }, indent, width)
    });
    let mut rows: Vec<Block> = sentences.collect();
    if rows.len() <= MOST_KEPT_WHOLE.max(lines.len()) {
        rows = vec![stacked(rows)];
    }
    let tone = match severity {
        Severity::Fail => Tone::Fail,
        Severity::Watch => Tone::Watch,
        Severity::NotChecked => Tone::Second,
        _ => Tone::Ink,
    };
    let baseline = -style.body * 0.82;
    let size = style.body * 0.36;
    if let Some(first) = rows.first_mut() {
        let mut label = mark(severity, dvec2(size, baseline + style.body * 0.32), size, tone);
        label.push(left(dvec2(style.body * 1.15, baseline), word, style.body, Weight::SemiBold, tone));
        let tag = Tag { tone, weight: Weight::SemiBold, ..Tag::new(Role::Label, word) };
        first.items.insert(0, tag.over(label));
    }
    append(&mut rows, Block::space(style.body * 0.35));
    rows
}

/// Filled octagon, open triangle, dashed ring, ringed i, tick: never colour alone.
fn mark(severity: Severity, centre: DVec2, size: f64, tone: Tone) -> Vec<Item> {
    let corners = |count: usize, start: f64| -> Contour {
        let at = |i: usize| {
            centre + DVec2::from_angle(start + std::f64::consts::TAU * i as f64 / count as f64) * size
        };
        Contour { from: at(0), steps: (1..count).map(|i| Step::Line(at(i))).collect(), closed: true }
    };
    let pen = Pen::solid(THIN * 1.2, tone);
    match severity {
        Severity::Fail => {
            let octagon = corners(8, std::f64::consts::FRAC_PI_8);
            vec![Item::Path { contours: vec![octagon], pen: None, fill: Some(tone) }]
        }
        Severity::Watch => {
            let triangle = corners(3, std::f64::consts::FRAC_PI_2);
            vec![Item::Path { contours: vec![triangle], pen: Some(pen), fill: None }]
        }
        Severity::NotChecked => {
            let pen = Pen { dash: Dash::Dashed, ..pen };
            vec![Item::Circle { centre, radius: size * 0.9, pen: Some(pen), fill: None }]
        }
        Severity::Advice => vec![
            Item::Circle { centre, radius: size, pen: Some(pen), fill: None },
            text(centre - dvec2(0.0, size * 0.52), "i", size * 1.5, Weight::SemiBold, tone, Anchor::Middle),
        ],
        Severity::Ok => {
            let points = [dvec2(-0.8, 0.0), dvec2(-0.2, -0.7), dvec2(0.9, 0.8)];
            let points = points.iter().map(|p| centre + *p * size).collect();
            vec![Item::Polyline { points, closed: false, pen }]
        }
    }
}
