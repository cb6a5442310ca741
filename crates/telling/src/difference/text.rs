//! The difference as plain text, for a terminal and for a list of commits.

use super::{ChangeLine, Difference, FigureChange, FindingChange, says::shift};
use crate::{compare::CompareFigure, plain::plain};
use analysis::{
    Finding,
    words::{self, Words},
};
use document::{ChangeKind, LayoutId, Project, Thing};
use std::mem::discriminant;
use units::{Quantity, UnitChoice};

/// More lines of one sort than this are drawn together.
const MANY: usize = 6;

/// The difference in plain text: the sentence, every change, figures before and after, findings, notes. Long runs of changes of
/// one sort are drawn together. It names no file and no folder, and is the same every time.
///
/// ```
/// use analysis::Analyst;
/// use telling::{difference, difference_text};
/// use document::{Edit, Part, PartId, Project};
///
/// let old = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let new = Edit::RenameProject("Tray line 3".to_owned()).apply(&old)?;
/// let difference = difference(&mut Analyst::new(), &old, &new);
/// let text = difference_text(&old, &new, &difference, &units::UnitChoice::default());
/// assert!(text.contains("\n  Project: name from \u{201c}Tray line 2\u{201d} to \u{201c}Tray line 3\u{201d}\n"));
/// # Ok::<(), document::EditError>(())
/// ```
pub fn difference_text(old: &Project, new: &Project, difference: &Difference, units: &UnitChoice) -> String {
    let words = Words { choice: units };
    let mut out = format!("{}\n", plain(&difference.sentence));
    if difference.changes.is_empty() {
        return out;
    }
    let name = |layout: LayoutId| {
        let held = new.layout(layout).or_else(|| old.layout(layout));
        held.map_or_else(|| format!("layout {layout}"), |layout| layout.name.clone())
    };
    out.push_str("\nChanges\n");
    for (layout, lines) in by_layout(&difference.changes) {
        let told = layout.filter(|_| new.layouts.len().max(old.layouts.len()) > 1);
        let indent = if told.is_some() { "    " } else { "  " };
        if let Some(layout) = told {
            out.push_str(&format!("  {}\n", plain(&name(layout))));
        }
        for line in in_short(&lines, words) {
            out.push_str(&format!("{indent}{}\n", plain(&line)));
        }
    }
    let mut layouts: Vec<LayoutId> = Vec::new();
    for figure in &difference.figures {
        if !layouts.contains(&figure.layout) {
            layouts.push(figure.layout);
        }
    }
    for layout in layouts {
        out.push_str(&format!("\nFigures of {}\n", plain(&name(layout))));
        out.push_str(&table(difference.figures.iter().filter(|figure| figure.layout == layout), words));
    }
    let findings = &difference.findings;
    let lists = [
        ("New findings", &findings.new),
        ("Findings that are resolved", &findings.gone),
        ("Findings that got worse", &findings.worse),
        ("Findings that got better", &findings.better),
    ];
    for (title, list) in lists.into_iter().filter(|(_, list)| !list.is_empty()) {
        out.push_str(&format!("\n{title}\n"));
        for change in list {
            let at = if new.layouts.len() > 1 { format!("{}: ", name(change.layout)) } else { String::new() };
            out.push_str(&format!("  {}\n", plain(&format!("{at}{}", finding(change)))));
        }
    }
    out.push('\n');
    for note in &difference.notes {
        out.push_str(&plain(note));
        out.push('\n');
    }
    out
}

/// What is about no layout first, then layout by layout in the order of the changes.
fn by_layout(changes: &[ChangeLine]) -> Vec<(Option<LayoutId>, Vec<&ChangeLine>)> {
    let mut groups: Vec<(Option<LayoutId>, Vec<&ChangeLine>)> = Vec::new();
    let all = changes.iter().filter(|line| line.layout.is_none());
    for line in all.chain(changes.iter().filter(|line| line.layout.is_some())) {
        match groups.iter_mut().find(|(layout, _)| *layout == line.layout) {
            Some((_, lines)) => lines.push(line),
            None => groups.push((line.layout, vec![line])),
        }
    }
    groups
}

/// One line each, long runs of one sort drawn together.
fn in_short(lines: &[&ChangeLine], words: Words<'_>) -> Vec<String> {
    let same = |a: &ChangeLine, b: &ChangeLine| {
        let (a, b) = (&a.change, &b.change);
        a.kind == b.kind && a.field == b.field && discriminant(&a.thing) == discriminant(&b.thing)
    };
    let mut groups: Vec<Vec<&ChangeLine>> = Vec::new();
    for line in lines {
        match groups.iter_mut().find(|group| group.first().is_some_and(|first| same(first, line))) {
            Some(group) => group.push(line),
            None => groups.push(vec![line]),
        }
    }
    // Short groups keep the order of the file.
    let mut out: Vec<String> = Vec::new();
    let mut told: Vec<bool> = vec![false; groups.len()];
    for line in lines {
        let place = groups.iter().position(|group| group.first().is_some_and(|first| same(first, line)));
        match place {
            Some(place) if groups[place].len() > MANY => {
                if !std::mem::replace(&mut told[place], true) {
                    out.push(together(&groups[place], words));
                }
            }
            _ => out.push(line.says.clone()),
        }
    }
    out
}

fn together(group: &[&ChangeLine], words: Words<'_>) -> String {
    let bare = |line: &&ChangeLine| match line.change.thing {
        Thing::Cup(..) => line.name.clone(),
        _ => line.change.called.clone(),
    };
    let names = words::list(&group.iter().map(bare).collect::<Vec<_>>());
    let shifts: Option<Vec<_>> = group.iter().map(|line| shift(&line.change)).collect();
    if let Some([first, rest @ ..]) = shifts.as_deref() {
        if rest.iter().all(|by| by.distance(*first) < 1e-6) {
            return format!("{names} moved by {}", words.pair(*first));
        }
        let lengths = || shifts.iter().flatten().map(|by| by.length());
        let (least, most) = (lengths().fold(f64::INFINITY, f64::min), lengths().fold(0.0, f64::max));
        return format!("{names} moved by {} to {}", words.length(least), words.length(most));
    }
    let Some(first) = group.first() else { return String::new() };
    match first.change.kind {
        ChangeKind::Added => format!("{names} added"),
        ChangeKind::Removed => format!("{names} removed"),
        ChangeKind::Changed => {
            let kind = super::says::kind(&first.change.thing);
            let field = document::told(kind, &first.change.field).name;
            let all_to = group.iter().all(|line| line.change.to == first.change.to);
            let cups = matches!(first.change.thing, Thing::Cup(..));
            if all_to && cups && !first.change.field.is("model") && !first.became.is_empty() {
                format!("{names}: {field} to {}", first.became)
            } else {
                format!("{names}: {field} changed")
            }
        }
    }
}

fn table<'f>(figures: impl Iterator<Item = &'f FigureChange>, words: Words<'_>) -> String {
    let cell = |figure: &CompareFigure, quantity: Quantity| match figure {
        CompareFigure::Number(value) => words.value(*value, quantity),
        CompareFigure::Factor { factor, required } => words.of(*factor, *required),
        CompareFigure::Words(words) | CompareFigure::Unknown(words) => words.clone(),
    };
    let rows: Vec<[String; 4]> = figures
        .map(|figure| {
            let became = match figure.better {
                Some(true) => "better",
                Some(false) => "worse",
                None if super::figures::same(&figure.from, &figure.to) => "the same",
                None => "",
            };
            let [from, to] = [&figure.from, &figure.to].map(|side| cell(side, figure.quantity));
            [figure.name.clone(), from, to, became.to_owned()].map(|cell| plain(&cell).into_owned())
        })
        .collect();
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths = [width(0), width(1), width(2)];
    rows.iter()
        .map(|[name, from, to, became]| {
            let line =
                format!("  {name:<0$}  {from:>1$}  ->  {to:<2$}  {became}", widths[0], widths[1], widths[2]);
            format!("{}\n", line.trim_end())
        })
        .collect()
}

/// "fail: C4 overhangs the edge by 6.2 mm. Was: ..."
fn finding(change: &FindingChange) -> String {
    let word = |finding: &Finding| analysis::words::severity(finding.severity);
    match (&change.before, &change.after) {
        (Some(before), Some(after)) if before.severity != after.severity => {
            format!("{}, was {}: {} Was: {}", word(after), word(before), after.says, before.says)
        }
        (Some(before), Some(after)) => format!("{}: {} Was: {}", word(after), after.says, before.says),
        (None, Some(only)) | (Some(only), None) => format!("{}: {}", word(only), only.says),
        (None, None) => String::new(),
    }
}
