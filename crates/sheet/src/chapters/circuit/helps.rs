//! What one change of a circuit would give, each solved anew.

use super::heading;
use crate::block::{Section, SectionId};
use crate::chapters::{append, note_after, nothing, tight};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table};
use analysis::{CircuitReport, HelpReport};
use units::{Quantity, unit_of};

/// Longer lists are cut to what helps most.
const MOST_HELPS: usize = 10;

/// The changes, most first.
pub(super) fn section(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let helps = circuit.slow.as_ref().map_or(&[][..], |slow| slow.helps.as_slice());
    if helps.is_empty() {
        return nothing(SectionId::Other("helps"));
    }
    let shown = &helps[..helps.len().min(MOST_HELPS)];
    let unit = unit_of(Quantity::VacuumLevel, context.units).1;
    let with_open = shown.iter().any(|help| help.open_level_kpa_to.is_some());
    let of = |head: &str, group: &str| figures(head).of(format!("{group} {unit}"));
    let mut columns = vec![flexible("one change"), of("now", "lowest level"), of("with it", "lowest level")];
    if with_open {
        columns.extend([of("now", "with that cup open"), of("with it", "with that cup open")]);
    }
    let rows: Vec<Vec<Cell>> = shown.iter().map(|help| row(context, help, with_open)).collect();
    let style = &tight(style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    let mut says =
        "Each change on its own, recalculated, best first. Lowest level: at the worst cup, all cups on the part"
            .to_owned();
    says.push_str(if with_open {
        "; then at the worst other cup with that one off the part. Where one falls while the other rises, \
        choose by what is more likely."
    } else {
        "."
    });
    if shown.len() < helps.len() {
        says.push_str(&format!(" The first {} of {}.", shown.len(), helps.len()));
    }
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("helps"), heading: heading(circuit, "best single changes"), head, rows }
}

fn row(context: &Context, help: &HelpReport, with_open: bool) -> Vec<Cell> {
    let level = |kpa: f64| context.number(kpa, Quantity::VacuumLevel);
    let mut cells = vec![Cell::plain(units::capital(&help.change.says(context.units)))];
    let mut pair = |from: Option<f64>, to: Option<f64>| {
        let better = from.zip(to).is_some_and(|(from, to)| to > from);
        let shown = |value: Option<f64>| value.map_or("–".to_owned(), level);
        let to = shown(to);
        cells.extend([Cell::plain(shown(from)), if better { Cell::bold(to) } else { Cell::plain(to) }]);
    };
    pair(Some(help.worst_level_kpa_from), Some(help.worst_level_kpa_to));
    if with_open {
        pair(help.open_level_kpa_from, help.open_level_kpa_to);
    }
    cells
}
