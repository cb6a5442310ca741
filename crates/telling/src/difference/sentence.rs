//! The sentence, and what the difference rests on.

use super::{ChangeLine, FindingChange, FindingChanges, Pair};
use crate::json::PROGRAM;
use analysis::Side;
use analysis::{
    Report, Severity,
    words::{self, Words},
};
use document::{ChangeKind, Issued, Project, Thing};
use std::{collections::HashSet, sync::Arc};

/// More layouts than this are not told one by one.
const TOLD: usize = 3;

pub(super) fn sentence(
    changes: &[ChangeLine],
    pairs: &[Pair],
    findings: &FindingChanges,
    words: Words<'_>,
) -> String {
    if changes.is_empty() {
        return "Nothing was changed.".to_owned();
    }
    let mut sentences = vec![words::sentence(&words::capital(&what_changed(changes)))];
    sentences.extend(of_layouts(pairs, words));
    sentences.extend(counts(findings));
    sentences.join(" ")
}

/// "2 cups moved, 1 added; motion Level lift, title block changed".
fn what_changed(changes: &[ChangeLine]) -> String {
    let of_cups = |is: &dyn Fn(&ChangeLine) -> bool| {
        let cups = changes.iter().filter(|line| matches!(line.change.thing, Thing::Cup(..)) && is(line));
        cups.map(|line| &line.change.thing).collect::<HashSet<_>>().len()
    };
    let field = |name: &'static str| move |line: &ChangeLine| line.change.field.is(name);
    let kinds: [(&str, usize); 6] = [
        ("moved", of_cups(&field("at"))),
        ("turned", of_cups(&field("turn_deg"))),
        ("given another model", of_cups(&field("model"))),
        ("added", of_cups(&|line| line.change.kind == ChangeKind::Added)),
        ("removed", of_cups(&|line| line.change.kind == ChangeKind::Removed)),
        (
            "otherwise changed",
            of_cups(&|line| {
                line.change.kind == ChangeKind::Changed
                    && !["at", "turn_deg", "model"].iter().any(|name| line.change.field.is(name))
            }),
        ),
    ];
    let mut cups: Vec<String> = Vec::new();
    for (what, count) in kinds.into_iter().filter(|(_, count)| *count > 0) {
        let noun = match (cups.is_empty(), count) {
            (true, 1) => " cup",
            (true, _) => " cups",
            (false, _) => "",
        };
        cups.push(format!("{count}{noun} {what}"));
    }
    let mut others: Vec<(ChangeKind, &str)> = Vec::new();
    for line in changes.iter().filter(|line| !matches!(line.change.thing, Thing::Cup(..))) {
        let entry = (line.change.kind, line.change.called.as_str());
        if !others.contains(&entry) {
            others.push(entry);
        }
    }
    let mut clauses = Vec::new();
    if !cups.is_empty() {
        clauses.push(cups.join(", "));
    }
    for (kind, what) in
        [(ChangeKind::Added, "added"), (ChangeKind::Removed, "removed"), (ChangeKind::Changed, "changed")]
    {
        let names: Vec<String> =
            others.iter().filter(|(held, _)| *held == kind).map(|(_, name)| (*name).to_owned()).collect();
        if !names.is_empty() {
            clauses.push(format!("{} {what}", words::list(&names)));
        }
    }
    clauses.join("; ")
}

/// What came of each layout; of many, of those whose least factor changed.
fn of_layouts(pairs: &[Pair], words: Words<'_>) -> Vec<String> {
    let told = pairs.iter().map(|pair| figures(pair, pairs.len() > 1, words));
    if pairs.len() <= TOLD {
        return told.map(|(says, _)| says).collect();
    }
    let mut changed: Vec<String> = told.filter(|(_, stays)| !stays).map(|(says, _)| says).collect();
    if changed.is_empty() {
        return vec!["The lowest factor of every layout is unchanged.".to_owned()];
    }
    let stay = pairs.len() - changed.len();
    let more = changed.len().saturating_sub(TOLD);
    changed.truncate(TOLD);
    if more > 0 {
        changed.push(format!("The lowest factor of {more} more layouts changes."));
    }
    if stay > 0 {
        changed.push(format!("That of {stay} layouts is unchanged."));
    }
    changed
}

/// What came of one layout, and whether its least factor stays.
fn figures(pair: &Pair, name: bool, words: Words<'_>) -> (String, bool) {
    let sides = [&pair.before, &pair.after].map(|report| Side { report: Arc::clone(report) });
    let told = |side: &Side| match side.least_ratio() {
        _ if side.report.cups.is_empty() => "no result, without cups".to_owned(),
        None => "no result for every motion".to_owned(),
        Some((ratio, _)) if ratio.is_infinite() => {
            "no multiple of any motion breaks a seal or makes a lip slide".to_owned()
        }
        Some((ratio, motion)) => {
            format!(
                "{} times the required factor ({})",
                words.factor(below(ratio)),
                words::inside(&motion.name)
            )
        }
    };
    let [was, is] = [told(&sides[0]), told(&sides[1])];
    let verdict = match (holds(&pair.before), holds(&pair.after)) {
        (true, false) => "; it no longer holds",
        (false, true) => "; it holds now, as modelled",
        (true, true) => "; it holds, as modelled",
        (false, false) => "; it does not hold",
    };
    let of = if name { format!("{}: ", pair.after.layout_name) } else { String::new() };
    let text = if was == is {
        format!("{of}the lowest factor is unchanged, {is}{verdict}")
    } else {
        format!("{of}the lowest factor goes from {was} to {is}{verdict}")
    };
    (words::sentence(&words::capital(&text)), was == is)
}

/// A ratio that falls short is never printed as one.
fn below(ratio: f64) -> f64 {
    if ratio < 1.0 { ratio.min(1.0 - 0.005 - 1e-9) } else { ratio }
}

fn holds(report: &Report) -> bool {
    !matches!(report.verdict.severity, Severity::Fail | Severity::NotChecked)
}

/// "Findings: new 1 fails; gone 2 warnings; further off 1 fails."
fn counts(findings: &FindingChanges) -> Option<String> {
    let told: Vec<String> = [
        ("new", &findings.new),
        ("gone", &findings.gone),
        ("worse", &findings.worse),
        ("better", &findings.better),
    ]
    .into_iter()
    .filter(|(_, list)| !list.is_empty())
    .map(|(name, list)| format!("{name} {}", of_severity(list)))
    .collect();
    (!told.is_empty()).then(|| format!("Findings: {}.", told.join("; ")))
}

fn of_severity(list: &[FindingChange]) -> String {
    let severities = [Severity::Fail, Severity::Watch, Severity::NotChecked, Severity::Advice];
    let counts: Vec<String> = severities
        .into_iter()
        .filter_map(|severity| {
            let is =
                |change: &&FindingChange| change.latest().is_some_and(|finding| finding.severity == severity);
            let count = list.iter().filter(is).count();
            (count > 0).then(|| words::counted(count, severity))
        })
        .collect();
    counts.join(", ")
}

pub(super) fn notes(old: &Project, new: &Project, pairs: &[Pair]) -> Vec<String> {
    let mut notes =
        vec![format!("Both sides are calculated by {PROGRAM}; figures on sheets issued earlier may differ.")];
    for (side, other, name) in [(old, new, "older"), (new, old, "newer")] {
        if let Some(issued) = issued_as(side, other) {
            let by = if issued.program.is_empty() { "an unnamed program" } else { &issued.program };
            let on = if issued.on.is_empty() { String::new() } else { format!(" on {}", issued.on) };
            notes.push(format!(
                "The {name} side is revision {}, issued{on} with figures of {by}.",
                issued.index
            ));
        }
    }
    let only = |side: &Project, other: &Project, which: &str| {
        let names: Vec<String> = side
            .layouts
            .iter()
            .filter(|layout| other.layout(layout.id).is_none())
            .map(|layout| layout.name.clone())
            .collect();
        (!names.is_empty()).then(|| {
            let (is, figures) =
                if names.len() == 1 { ("is", "its figures are") } else { ("are", "their figures are") };
            format!("{} {is} on the {which} side only; {figures} not paired.", words::list(&names))
        })
    };
    notes.extend(only(old, new, "older"));
    notes.extend(only(new, old, "newer"));
    for pair in pairs {
        for (report, which) in [(&pair.before, "Before"), (&pair.after, "After")] {
            for motion in &report.motions {
                if let Err(reason) = &motion.outcome {
                    let at = words::inside(&motion.name);
                    notes.push(format!("{which}, {} has no result for {at}: {reason}.", report.layout_name));
                }
            }
        }
    }
    notes
}

/// The revision that a side is, in the list of the other side, which may hold it as a whole, or in its own.
fn issued_as<'p>(side: &'p Project, other: &'p Project) -> Option<&'p Issued> {
    let content = Project { last_id: 0, ..side.content() };
    let is = |issued: &&Arc<Issued>| Project { last_id: 0, ..Project::clone(&issued.content) } == content;
    other.issued.iter().rev().chain(side.issued.iter().rev()).find(is).map(AsRef::as_ref)
}
