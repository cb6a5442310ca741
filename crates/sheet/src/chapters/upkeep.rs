//! What was measured so far, and how long lips last in this cycle.

use super::{append, note_after, nothing, parts, tight};
use crate::block::Section;
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use document::{Stage, TrialEntry, TrialKind};
use units::Quantity;

/// Days of a year over days of a week.
const WEEKS_PER_YEAR: f64 = 365.25 / 7.0;
/// A lip that outlasts this is changed for its age.
const MOST_WEEKS: f64 = 10.0 * WEEKS_PER_YEAR;

/// Life of the lips of each model in picks, and what that means in weeks.
pub(super) fn wear(context: &Context, width: f64, style: &Style) -> Section {
    let cycle = &context.project.cycle;
    let per_year = cycle.picks_per_hour.value * cycle.hours_per_year.value;
    let columns = [
        flexible("cup model"),
        figures("cups"),
        figures("lip life, picks"),
        words("from"),
        figures("change every"),
        figures("lips a year"),
    ];
    let rows: Vec<Vec<Cell>> = parts::models(context)
        .into_iter()
        .filter_map(|(name, count, model)| {
            let life = &model?.lip_life_picks;
            let [weeks, lips] = wear_of(life.value, per_year, count);
            Some(vec![
                Cell::plain(name),
                Cell::plain(count.to_string()),
                Cell::plain(grouped(life.value)),
                Cell::plain(life.origin.label()),
                Cell::bold(weeks),
                Cell::plain(lips),
            ])
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, &tight(style));
    if rows.is_empty() {
        return nothing("wear");
    }
    let says = format!(
        "{} picks a week: {} an hour ({}), {} hours a year ({}). A life that is assumed is common practice, no source: count the \
         picks at every change and enter them. Heat, oil, edges and a slide at each pick shorten it; change all lips of a model \
         together.",
        grouped(per_year / WEEKS_PER_YEAR),
        grouped(cycle.picks_per_hour.value),
        cycle.picks_per_hour.origin.label(),
        grouped(cycle.hours_per_year.value),
        cycle.hours_per_year.origin.label()
    );
    append(&mut rows, note_after(&says, width, style));
    Section { name: "wear", heading: "Wear of the lips".to_owned(), head, rows }
}

/// Weeks between changes, in words, and lips bought in a year.
fn wear_of(life_picks: f64, picks_per_year: f64, cups: usize) -> [String; 2] {
    let usable = |value: f64| value.is_finite() && value > 0.0;
    if !usable(life_picks) || !usable(picks_per_year) {
        return ["no figure", "no figure"].map(str::to_owned);
    }
    let weeks = life_picks / picks_per_year * WEEKS_PER_YEAR;
    let lips = (cups as f64 * picks_per_year / life_picks).ceil();
    let every = if weeks < 1.0 {
        "less than a week".to_owned()
    } else if weeks < 2.0 {
        "week".to_owned()
    } else if weeks > MOST_WEEKS {
        "over 10 years, for age".to_owned()
    } else {
        // Rather too early than too late.
        format!("{:.0} weeks", weeks.floor())
    };
    [every, grouped(lips)]
}

/// A whole number with a gap between thousands, so that noughts can be counted.
fn grouped(value: f64) -> String {
    if !value.is_finite() {
        return "none".to_owned();
    }
    let digits = format!("{value:.0}");
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
        words("when taken into service or later"),
        words("date"),
        words("by"),
    ];
    let entries = context.project.trial.entries.iter();
    let rows: Vec<Vec<Cell>> = entries.filter_map(|entry| measured_row(context, entry)).collect();
    if rows.is_empty() {
        return nothing("measured");
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
    Section { name: "measured", heading: "Measured so far".to_owned(), head, rows }
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
        Stage::Baseline => "into service",
        Stage::Field => "later",
    };
    let stated =
        |says: &str| if says.trim().is_empty() { Cell::second("–") } else { Cell::plain(says.trim()) };
    Some(vec![
        Cell::plain(super::capitalised(&what)),
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
    fn weeks_come_from_life_and_picks() {
        // 600 picks an hour in 4000 hours are 2 400 000 a year; a life of 1 200 000 is half a year, 26.09 weeks.
        assert_eq!(wear_of(1.2e6, 2.4e6, 5), ["26 weeks", "10"]);
        // A third of a lip a year is bought as a whole one.
        assert_eq!(wear_of(3.0e6, 1.0e6, 1), ["156 weeks", "1"]);
        assert_eq!(wear_of(1.0e4, 2.4e6, 5)[0], "less than a week");
        assert_eq!(wear_of(7.0e4, 2.4e6, 5)[0], "week");
        assert_eq!(wear_of(1.0e9, 2.4e6, 5)[0], "over 10 years, for age");
        for odd in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(wear_of(odd, 2.4e6, 5)[0], "no figure");
            assert_eq!(wear_of(1.2e6, odd, 5)[0], "no figure");
        }
    }

    #[test]
    fn thousands_are_set_apart() {
        assert_eq!(grouped(1_200_000.0), "1 200 000");
        assert_eq!(grouped(45_999.6), "46 000");
        assert_eq!(grouped(4000.0), "4000");
        assert_eq!(grouped(0.0), "0");
    }
}
