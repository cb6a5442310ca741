//! What was measured so far.

use super::{append, note_after, nothing, tight};
use crate::block::Section;
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use document::{Stage, TrialEntry, TrialKind};
use units::Quantity;

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
