//! `circuit.conductance`: a valve, filter, restrictor or fitting that passes more than its connection lets through.
//!
//! Why: a figure of a larger size, or in another unit, makes a circuit look better than any that can be built.
//! Limit: watched when the sonic conductance is above that of an ideal hole, without any loss, of the bore beside it: about
//! 0.199 dm³/(s·bar) for each mm² (isentropic nozzle). Remedy: the figure as built in, or the true bore.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use document::{Arrangement, Line, Restriction, Supply};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.conductance",
    title: "Conductance too high for its connection",
    explains: "Nothing passes more air than an ideal hole the size of its connection. A higher conductance \
        belongs to a larger size or another unit, and makes the calculated levels too deep.",
    fail: "",
    watch: "conductance above that of an ideal hole of its bore",
    remedy: "the installed conductance, or the true bore",
};

/// Figures are entered with three digits.
const ROUNDING: f64 = 1.005;

/// A stated conductance beside a bore.
struct Beside {
    what: String,
    c: f64,
    bore_mm: f64,
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits {
        let held = facts.project.circuit(circuit.id);
        let Some(supply) = held.and_then(|circuit| circuit.supply.as_deref()) else { continue };
        for one in stated(supply) {
            let most = vacuum::Restriction::orifice(one.bore_mm, 1.0).conductance_dm3_s_bar;
            if one.c <= most * ROUNDING {
                continue;
            }
            let figure = |c: f64| facts.words.figure(c, Quantity::Conductance);
            let bore = facts.words.figure(one.bore_mm, Quantity::Length);
            let says = format!(
                "The {} of {} has a conductance of {}; an ideal hole of {bore} has {}.",
                one.what,
                circuit.name,
                figure(one.c),
                figure(most),
            );
            let remedy =
                format!("Enter its installed conductance, at most {}, or the true bore.", figure(most));
            out.push(
                Draft::new(INFO.id, Severity::Watch, says)
                    .cups(facts.on_circuit(circuit.id))
                    .figure(one.c, most, Quantity::Conductance)
                    .remedy(remedy)
                    .off(one.c / most - 1.0),
            );
        }
    }
}

/// Everything with a stated conductance that the circuit uses, with the bore it is joined to.
fn stated(supply: &Supply) -> Vec<Beside> {
    let mut out = Vec::new();
    let mut add = |what: String, of: Restriction, bore_mm: f64| {
        out.push(Beside { what, c: of.c_dm3_s_bar, bore_mm });
    };
    let central = supply.arrangement == Arrangement::Central;
    if let Some(filter) = supply.filter.filter(|_| supply.arrangement != Arrangement::PerCup) {
        add("filter".to_owned(), filter, if central { supply.main.bore_mm } else { supply.branch.bore_mm });
    }
    for valve in supply.valves.iter().filter(|_| central) {
        add(format!("valve for zone {}", valve.zone), valve.restriction, supply.main.bore_mm);
    }
    if let Some(restrictor) = supply.restrictor.filter(|_| supply.arrangement != Arrangement::PerCup) {
        add("restrictor at the cups".to_owned(), restrictor, supply.branch.bore_mm);
    }
    if let Some(filter) = supply.filter_at_cup.filter(|_| supply.arrangement != Arrangement::PerCup) {
        add("filter at the cups".to_owned(), filter, supply.branch.bore_mm);
    }
    if let Some(cells) = supply.area_gripper {
        add("restrictor of a cell".to_owned(), cells.restrictor, cells.bore_mm);
    }
    let mut fittings = |of: &str, line: &Line| {
        for used in &line.fittings {
            if let Some(flow) = used.flow {
                let what = format!("{} in the {of}", used.kind.label());
                add(what, flow, used.bore_mm.unwrap_or(line.bore_mm));
            }
        }
    };
    if central {
        fittings("main hose", &supply.main);
    }
    if supply.arrangement != Arrangement::PerCup {
        fittings("branches", &supply.branch);
        for own in &supply.branches {
            fittings("individual branch of a cup", &own.line);
        }
    }
    out
}
