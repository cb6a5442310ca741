//! What was measured so far, and how long lips last in this cycle.

use super::{append, note_after, nothing, tight};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use document::{Stage, TrialEntry, TrialKind};
use units::Quantity;

/// Life of the lips of each model in picks, and what that means in weeks.
pub(super) fn wear(context: &Context, width: f64, style: &Style) -> Section {
    let changes = analysis::lip_changes(context.project, context.report.layout);
    let Some(first) = changes.first() else { return nothing(SectionId::Other("wear")) };
    let cycle = &context.project.cycle;
    let columns = [
        flexible("cup model"),
        figures("cups"),
        figures("lip life, cycles"),
        words("from"),
        figures("change"),
        figures("lips per year"),
    ];
    let rows: Vec<Vec<Cell>> = changes
        .iter()
        .map(|change| {
            vec![
                Cell::plain(&change.name),
                Cell::plain(change.cups.to_string()),
                Cell::plain(grouped(change.life_picks)),
                Cell::plain(change.origin.label()),
                Cell::bold(change.says()),
                Cell::plain(context.fixed(change.lips_per_year, 1)),
            ]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, &tight(style));
    let says = format!(
        "{} cycles per week: {} per hour ({}), {} hours per year ({}). An assumed life is common practice, \
        no source: count the cycles at every change and enter them. Heat, oil, edges and sliding in each \
        cycle shorten it; change all lips of a model together.",
        grouped(first.life_picks / first.every_weeks),
        grouped(cycle.picks_per_hour.value),
        cycle.picks_per_hour.origin.label(),
        grouped(cycle.hours_per_year.value),
        cycle.hours_per_year.origin.label()
    );
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("wear"), heading: "Wear of the lips".to_owned(), head, rows }
}

/// A whole number with a gap between thousands, so that noughts can be counted.
fn grouped(value: f64) -> String {
    if !value.is_finite() {
        return "none".to_owned();
    }
    let digits = units::fixed(value, 0, &units::UnitChoice::default());
    if digits.contains('e') {
        return digits;
    }
    let count = digits.len();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && count > 4 && (count - index).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}

/// Entries of the trial sheet that belong to this layout.
pub(super) fn measured(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("measured so far"),
        figures("figure"),
        words("at commissioning or later"),
        words("date"),
        words("by"),
    ];
    let entries = context.project.trial.entries.iter();
    let rows: Vec<Vec<Cell>> = entries.filter_map(|entry| measured_row(context, entry)).collect();
    if rows.is_empty() {
        return nothing(SectionId::Other("measured"));
    }
    let (head, mut rows) = table(&columns, &rows, width, &tight(style));
    let curves = context.project.trial.curves.len();
    if curves > 0 {
        let says = format!(
            "{curves} recorded {} of level against time {} kept in the project.",
            if curves == 1 { "curve" } else { "curves" },
            if curves == 1 { "is" } else { "are" }
        );
        append(&mut rows, note_after(&says, width, style));
    }
    Section { id: SectionId::Other("measured"), heading: "Measured so far".to_owned(), head, rows }
}

fn measured_row(context: &Context, entry: &TrialEntry) -> Option<Vec<Cell>> {
    let circuit = |id| context.project.circuit(id).map_or("circuit", |circuit| circuit.name.trim());
    let level = |kpa: f64| context.figure(kpa, Quantity::VacuumLevel);
    let time = |seconds: f64| context.figure(seconds, Quantity::Time);
    let (what, figure) = match &entry.what {
        TrialKind::Level { layout, cup } => {
            if *layout != context.report.layout {
                return None;
            }
            (format!("level at {}, part on", context.tag(*cup)), level(entry.value))
        }
        TrialKind::TimeToLevel { circuit: id, level_kpa } => {
            (format!("{}: time to {}", circuit(*id), level(*level_kpa)), time(entry.value))
        }
        TrialKind::LeakDown { circuit: id, from_kpa, over_s } => (
            format!("{}: level lost from {} in {}", circuit(*id), level(*from_kpa), time(*over_s)),
            level(entry.value),
        ),
        TrialKind::Friction { part, lip_material } => {
            if context.layout().is_some_and(|layout| layout.part != *part) {
                return None;
            }
            (format!("friction of {lip_material} on the part"), context.ratio(entry.value))
        }
    };
    let stage = match entry.stage {
        Stage::Baseline => "commissioning",
        Stage::Field => "later",
    };
    let stated =
        |says: &str| if says.trim().is_empty() { Cell::second("–") } else { Cell::plain(says.trim()) };
    Some(vec![
        Cell::plain(units::capital(&what)),
        Cell::bold(figure),
        Cell::plain(stage),
        stated(&entry.on),
        stated(&entry.by),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_set_apart() {
        assert_eq!(grouped(1_200_000.0), "1 200 000");
        assert_eq!(grouped(45_999.6), "46 000");
        assert_eq!(grouped(4000.0), "4000");
        assert_eq!(grouped(0.0), "0");
    }
}
