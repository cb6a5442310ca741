//! What dust makes of the level: hours at work since the filters were cleaned.

use super::heading;
use crate::block::{Section, SectionId};
use crate::chapters::{append, note_after, nothing, tight};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table};
use analysis::CircuitReport;
use units::{Quantity, three_figures, unit_of};

/// Rows of the table at most.
const MOST_ROWS: usize = 10;

pub(super) fn section(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let Some(dust) = circuit.slow.as_ref().and_then(|slow| slow.dust.as_ref()) else {
        return nothing(SectionId::Other("dust"));
    };
    let hours = |hours: f64| three_figures(hours, context.units);
    let unit = unit_of(Quantity::VacuumLevel, context.units).1;
    let columns = [figures("running hours"), figures(format!("level {unit}")), flexible("at the worst cup")];
    let every = dust.points.len().div_ceil(MOST_ROWS).max(1);
    let rows: Vec<Vec<Cell>> = dust
        .points
        .iter()
        .step_by(every)
        .map(|(time, level)| {
            let keeps = if *level < dust.needed_kpa { "below the level the factors rely on" } else { "kept" };
            let level = context.number(*level, Quantity::VacuumLevel);
            vec![Cell::plain(hours(*time)), Cell::plain(level), Cell::plain(keeps)]
        })
        .collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let needed = context.figure(dust.needed_kpa, Quantity::VacuumLevel);
    let says = match dust.keeps_h {
        Some(keeps) => format!(
            "Clean the filters within {} running hours: after that the level is below {needed}. Stated: \
            every {} h.",
            hours(keeps),
            hours(dust.cleaned_h)
        ),
        None => format!(
            "The level stays above {needed} over the whole table. Stated: every {} h.",
            hours(dust.cleaned_h)
        ),
    };
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("dust"), heading: heading(circuit, "dust in the filters"), head, rows }
}
