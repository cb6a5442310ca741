//! How a circuit is run: valve and switch, blow-off, motors, vessel, check valves, exhaust.

use super::{
    change::{Change, with},
    circuit_parts::restriction_ui,
};
use crate::{fields, view::View};
use document::{BlowOff, CircuitId, Exhaust, Operation, Restriction, SourceKind, Sourced, Supply};
use egui::Ui;

/// A silencer to start from (invented, generic).
const SILENCER: Restriction = Restriction { c_dm3_s_bar: 10.0, b: 0.3 };

/// Changes how a circuit is run.
fn operated(change: &mut Change<'_>, what: &str, apply: &dyn Fn(&mut Operation)) {
    change(what, &|c| with(c, |s| apply(&mut s.operation)));
}

/// Draws the group.
pub(super) fn operation_ui(
    ui: &mut Ui,
    view: &View,
    id: CircuitId,
    (supply, kind): (&Supply, SourceKind),
    change: &mut Change<'_>,
) {
    fields::subheading(ui, "Operation");
    times_ui(ui, view, id, supply, change);
    if kind != SourceKind::Ejector {
        let mut stop = supply.operation.motors_stop;
        let why =
            "Unless this is chosen, the motor runs through the whole cycle, and energy and cost count that";
        if ui
            .checkbox(&mut stop, document::name_of("circuit.supply.operation.motors_stop"))
            .on_hover_text(why)
            .changed()
        {
            operated(change, "whether motors stop between cycles", &|o| o.motors_stop = stop);
        }
    }
    blow_off_ui(ui, view, id, (supply, kind), change);
    if supply.arrangement == document::Arrangement::Central {
        let row = fields::known("circuit.supply.operation.vessel_ml");
        if let Some(v) = row.number(ui, id, supply.operation.vessel_ml, &view.units) {
            operated(change, "the vessel", &|o| o.vessel_ml = v);
        }
    }
    check_leak_ui(ui, view, id, supply, change);
    if kind == SourceKind::Ejector {
        exhaust_ui(ui, view, id, supply, change);
    }
}

type Slot = fn(&mut Operation) -> &mut Sourced<f64>;

fn times_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let operation = &supply.operation;
    let rows: [(&'static str, &Sourced<f64>, Slot); 2] = [
        ("circuit.supply.operation.valve_s", &operation.valve_s, |o| &mut o.valve_s),
        ("circuit.supply.operation.switch_s", &operation.switch_s, |o| &mut o.switch_s),
    ];
    for (key, now, slot) in rows {
        if let Some(new) = fields::known(key).sourced(ui, id, now, &view.units) {
            operated(change, document::name_of(key), &|o| *slot(o) = new.clone());
        }
    }
}

fn blow_off_ui(
    ui: &mut Ui,
    view: &View,
    id: CircuitId,
    (supply, kind): (&Supply, SourceKind),
    change: &mut Change<'_>,
) {
    let now = supply.operation.blow_off;
    let choices = [
        (0, if kind == SourceKind::Ejector { "as usual" } else { "not stated: none" }),
        (1, "none is fitted"),
        (2, "a valve"),
    ];
    let at = match now {
        BlowOff::Usual => 0,
        BlowOff::NotFitted => 1,
        BlowOff::Valve { .. } => 2,
    };
    let why = "Blows the part off. Its air counts in consumption and cost; unless entered, an ejector is \
        assumed to have a usual valve";
    if let Some(v) = fields::choice(ui, (id, "blow-off"), "Blow-off", at, &choices, why) {
        operated(change, "the blow-off", &|o| {
            o.blow_off = match v {
                0 => BlowOff::Usual,
                1 => BlowOff::NotFitted,
                _ => BlowOff::valve(),
            };
        });
    }
    let BlowOff::Valve { restriction, feed_kpa } = now else { return };
    let set = |change: &mut Change<'_>, new: BlowOff| {
        operated(change, "the blow-off", &|o| o.blow_off = new);
    };
    restriction_ui(ui, view, (id, "blow-off"), "blow-off valve", restriction, &mut |restriction| {
        set(change, BlowOff::Valve { restriction, feed_kpa });
    });
    let row = fields::known("circuit.supply.operation.blow_off.feed_kpa");
    if let Some(feed_kpa) = row.number(ui, id, feed_kpa, &view.units) {
        set(change, BlowOff::Valve { restriction, feed_kpa });
    }
}

fn check_leak_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let operation = &supply.operation;
    let row = fields::known("circuit.supply.operation.check_leak_nl_min");
    if let Some(new) = row.sourced(ui, id, &operation.check_leak_nl_min, &view.units) {
        operated(change, "leakage of the check valves", &|o| o.check_leak_nl_min = new.clone());
    }
    let row = fields::known("circuit.supply.operation.check_leak_at_kpa");
    if let Some(v) = row.number(ui, id, operation.check_leak_at_kpa, &view.units) {
        operated(change, "the level at which check valves leak", &|o| o.check_leak_at_kpa = v);
    }
}

fn exhaust_ui(ui: &mut Ui, view: &View, id: CircuitId, supply: &Supply, change: &mut Change<'_>) {
    let mut on = supply.operation.exhaust.is_some();
    let why = "A hose or silencer behind the ejector raises its back-pressure: flow and deepest level fall";
    if ui.checkbox(&mut on, "exhaust hose or silencer").on_hover_text(why).changed() {
        let bore_mm = supply.main.bore_mm;
        operated(change, "the exhaust", &|o| o.exhaust = on.then(|| Exhaust::preset(bore_mm)));
    }
    let Some(exhaust) = &supply.operation.exhaust else { return };
    let mut set = |apply: &dyn Fn(&mut Exhaust)| {
        operated(change, "the exhaust", &|o| o.exhaust.iter_mut().for_each(apply));
    };
    type Slot<T> = fn(&mut Exhaust) -> &mut T;
    let rows: [(&str, f64, Slot<f64>); 2] = [
        ("circuit.supply.operation.exhaust.bore_mm", exhaust.bore_mm, |e| &mut e.bore_mm),
        ("circuit.supply.operation.exhaust.length_mm", exhaust.length_mm, |e| &mut e.length_mm),
    ];
    for (key, now, slot) in rows {
        if let Some(v) = fields::known(key).of("exhaust hose").number(ui, id, now, &view.units) {
            set(&|e| *slot(e) = v);
        }
    }
    let mut silenced = exhaust.silencer.is_some();
    if ui.checkbox(&mut silenced, "silencer at its end").changed() {
        set(&|e| e.silencer = silenced.then_some(SILENCER));
    }
    if let Some(silencer) = exhaust.silencer {
        restriction_ui(ui, view, (id, "silencer"), "silencer", silencer, &mut |new| {
            set(&|e| e.silencer = Some(new));
        });
    }
    type Loss<'a> = (&'static str, &'a Sourced<f64>, Slot<Sourced<f64>>);
    let losses: [Loss<'_>; 2] = [
        ("circuit.supply.operation.exhaust.flow_loss_per_kpa", &exhaust.flow_loss_per_kpa, |e| {
            &mut e.flow_loss_per_kpa
        }),
        ("circuit.supply.operation.exhaust.level_loss_per_kpa", &exhaust.level_loss_per_kpa, |e| {
            &mut e.level_loss_per_kpa
        }),
    ];
    for (key, now, slot) in losses {
        if let Some(new) = fields::known(key).sourced(ui, id, now, &view.units) {
            set(&|e| *slot(e) = new.clone());
        }
    }
}
