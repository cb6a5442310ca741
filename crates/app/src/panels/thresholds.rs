//! What the controls are to switch at, stated by a person or taken from the circuit that was worked out.

use super::change::Change;
use crate::{fields, view::View};
use analysis::CircuitReport;
use document::{Circuit, Thresholds};
use egui::{RichText, Ui};
use units::Quantity;

/// One figure of the form.
struct Row {
    name: &'static str,
    quantity: Quantity,
    why: &'static str,
    slot: fn(&mut Thresholds) -> &mut f64,
}

const ROWS: [Row; 4] = [
    Row {
        name: "Part held from",
        quantity: Quantity::VacuumLevel,
        why: "The vacuum switch reports the part as held from this level on: factors are worked out at it, and every good pick \
              must get there",
        slot: |t| &mut t.held_kpa,
    },
    Row {
        name: "Air saving off at",
        quantity: Quantity::VacuumLevel,
        why: "The air-saving switch stops the source at this level, above the one the part is held from, and below what the \
              source reaches",
        slot: |t| &mut t.saving_off_kpa,
    },
    Row {
        name: "Time-out",
        quantity: Quantity::Time,
        why: "Without the held level after this time the pick is given up: longer than any good pick takes",
        slot: |t| &mut t.time_out_s,
    },
    Row {
        name: "Hold after feed fails",
        quantity: Quantity::Time,
        why: "The level must last this long after the feed fails, so that the part can be set down",
        slot: |t| &mut t.hold_s,
    },
];

/// The level that stops the machine with a part held: the held level unless somebody states less.
fn alarm_ui(
    ui: &mut Ui,
    view: &View,
    circuit: &Circuit,
    (stated, suggested): (Thresholds, Option<Thresholds>),
    change: &mut Change<'_>,
) {
    let mut why = "With a part held the machine stops below this level; until then it carries the part at whatever level there \
                   is, so that the required factors must be met here too. The held level unless stated"
        .to_owned();
    if let Some(alarm) = suggested.and_then(|found| found.alarm_kpa) {
        why += &format!(".\nWorked out: {}", view.text(alarm, Quantity::VacuumLevel));
    }
    let salt = ("threshold", circuit.id, "alarm");
    let now = stated.alarm_kpa.unwrap_or(stated.held_kpa);
    let of = circuit.name.as_str();
    let entered =
        fields::quantity_of(ui, salt, "Alarm below", of, now, Quantity::VacuumLevel, &view.units, &why);
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
    let depth = report.and_then(|r| r.depth.as_ref());
    let suggested = depth.and_then(|d| d.controls.as_ref()).map(analysis::ControlsReport::thresholds);
    if let Some(stated) = circuit.thresholds {
        for row in &ROWS {
            let mut new = stated;
            let slot = (row.slot)(&mut new);
            let salt = ("threshold", circuit.id, row.name);
            let why = match suggested {
                Some(mut s) => {
                    format!("{}.\nWorked out: {}", row.why, view.text(*(row.slot)(&mut s), row.quantity))
                }
                None => row.why.to_owned(),
            };
            let of = circuit.name.as_str();
            if let Some(v) =
                fields::quantity_of(ui, salt, row.name, of, *slot, row.quantity, &view.units, &why)
            {
                *slot = v;
                change("thresholds", &|c| c.thresholds = Some(new));
            }
        }
        alarm_ui(ui, view, circuit, (stated, suggested), change);
    } else {
        let says = if circuit.supply.is_some() {
            format!("Nothing stated yet: factors are worked out at {}.", analysis::design_share())
        } else {
            "Nothing stated yet.".to_owned()
        };
        ui.add(egui::Label::new(RichText::new(says).color(view.tokens.second)).wrap());
    }
    fields::row(ui, "", "", |ui| {
        if circuit.thresholds.is_some() && ui.link("state none").clicked() {
            change("Take the thresholds away", &|c| c.thresholds = None);
        }
        ui.add_space(fields::BETWEEN_LINKS);
        match suggested {
            Some(suggested) => {
                let why = "Takes the levels and times that were worked out for this circuit";
                let same = circuit.thresholds == Some(suggested);
                if !same && ui.link("suggest").on_hover_text(why).clicked() {
                    change("Take the thresholds as worked out", &|c| c.thresholds = Some(suggested));
                }
            }
            None if circuit.thresholds.is_none() => {
                let why = "Customary shares of the level asked for; once every required factor is met, they can be taken from the \
                           circuit that was worked out";
                if ui.link("state them").on_hover_text(why).clicked() {
                    let start = Thresholds::preset(circuit.level_kpa.value);
                    change("thresholds", &|c| c.thresholds = Some(start));
                }
            }
            None => {}
        }
    });
}
