//! What the controls are to switch at, stated by a person or taken from the circuit that was worked out.

use super::change::Change;
use crate::{fields, view::View};
use analysis::CircuitReport;
use document::{Circuit, Thresholds};
use egui::{RichText, Ui};
use units::Quantity;

/// Fields of the form, by their keys.
type Slot = fn(&mut Thresholds) -> &mut f64;
const ROWS: [(&str, Slot); 4] = [
    ("circuit.thresholds.held_kpa", |t| &mut t.held_kpa),
    ("circuit.thresholds.saving_off_kpa", |t| &mut t.saving_off_kpa),
    ("circuit.thresholds.time_out_s", |t| &mut t.time_out_s),
    ("circuit.thresholds.hold_s", |t| &mut t.hold_s),
];

/// The level that stops the machine with a part held: the held level unless somebody states less.
fn alarm_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &Circuit,
    (stated, suggested): (Thresholds, Option<Thresholds>),
    change: &mut Change<'_>,
) {
    let worked_out = suggested
        .and_then(|found| found.alarm_kpa)
        .map(|alarm| format!("calculated: {}", view.text(alarm, Quantity::VacuumLevel)));
    let now = stated.alarm_kpa.unwrap_or(stated.held_kpa);
    let row = fields::known("circuit.thresholds.alarm_kpa").of(&circuit.name);
    let row = row.more(worked_out.as_deref().unwrap_or_default());
    let entered = row.number(ui, circuit.id, now, &view.units);
    if let Some(alarm) = entered {
        change("thresholds", &|c| {
            c.thresholds =
                Some(Thresholds { alarm_kpa: (alarm != stated.held_kpa).then_some(alarm), ..stated });
        });
    }
}

/// Draws the form.
pub(super) fn thresholds_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &Circuit,
    report: Option<&CircuitReport>,
    change: &mut Change<'_>,
) {
    fields::subheading(ui, "For the controls");
    let slow = report.and_then(|r| r.slow.as_ref());
    let suggested = slow.and_then(|d| d.controls.as_ref()).map(analysis::ControlsReport::thresholds);
    if let Some(stated) = circuit.thresholds {
        for (key, slot) in ROWS {
            let mut new = stated;
            let quantity = document::field(key).map_or(Quantity::Ratio, |field| field.measure.in_base().0);
            let worked_out =
                suggested.map(|mut s| format!("calculated: {}", view.text(*slot(&mut s), quantity)));
            let row = fields::known(key).of(&circuit.name).more(worked_out.as_deref().unwrap_or_default());
            if let Some(v) = row.number(ui, circuit.id, *slot(&mut new), &view.units) {
                *slot(&mut new) = v;
                change("thresholds", &|c| c.thresholds = Some(new));
            }
        }
        alarm_ui(ui, view, circuit, (stated, suggested), change);
    } else {
        let says = if circuit.supply.is_some() {
            format!("Nothing entered yet: factors are calculated at {}.", analysis::design_share())
        } else {
            "Nothing entered yet.".to_owned()
        };
        ui.add(egui::Label::new(RichText::new(says).color(view.tokens.second)).wrap());
    }
    fields::row(ui, "", "", |ui| {
        if circuit.thresholds.is_some() && ui.link("remove them").clicked() {
            change("Remove the thresholds", &|c| c.thresholds = None);
        }
        ui.add_space(fields::BETWEEN_LINKS);
        match suggested {
            Some(suggested) => {
                let why = "Uses the levels and times calculated for this circuit";
                let same = circuit.thresholds == Some(suggested);
                if !same && ui.link("suggest").on_hover_text(why).clicked() {
                    change("Use the calculated thresholds", &|c| c.thresholds = Some(suggested));
                }
            }
            None if circuit.thresholds.is_none() => {
                let why = "Usual shares of the required level; once every required factor is met, the \
                    calculated ones can be used";
                if ui.link("enter them").on_hover_text(why).clicked() {
                    let start = Thresholds::preset(circuit.level_kpa.value);
                    change("thresholds", &|c| c.thresholds = Some(start));
                }
            }
            None => {}
        }
    });
}
