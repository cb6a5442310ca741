//! Circuits: what the levels rest on, and what happens when the feed fails.

use super::{Asking, QuestionGroup};
use analysis::{CircuitReport, CircuitStatus, Slow, words};
use document::{Circuit, Origin, Pin, Sourced, Supply};
use units::Quantity;

pub(super) fn ask(asking: &mut Asking<'_>) {
    let (project, report) = (asking.project, asking.report);
    let mut any = false;
    for held in &report.circuits {
        let Some(circuit) = project.circuit(held.id) else { continue };
        match &circuit.supply {
            None => typed(asking, circuit, held),
            Some(supply) => {
                any = true;
                supplied(asking, circuit, supply, held);
            }
        }
    }
    if any {
        cycle(asking);
    }
}

fn about(circuit: &Circuit) -> (Pin, String) {
    (Pin::Whole, circuit.name.clone())
}

fn key(circuit: &Circuit, what: &str) -> String {
    format!("circuit {}/{what}", circuit.id)
}

fn typed(asking: &mut Asking<'_>, circuit: &Circuit, held: &CircuitReport) {
    let says = format!(
        "The level of {}, {}, is entered by hand and not calculated from a source, hoses and leaks.",
        circuit.name,
        asking.words.level(held.wanted_kpa)
    );
    let why = "Will the source hold it at every cup, with the leakage there is? Enter source and hoses, or \
        measure it at the last cup with the part on.";
    asking.ask(QuestionGroup::Circuit, key(circuit, "typed"), about(circuit), says, why);
}

fn supplied(asking: &mut Asking<'_>, circuit: &Circuit, supply: &Supply, held: &CircuitReport) {
    let words = asking.words;
    let name = &circuit.name;
    let slow = held.slow.as_ref().filter(|_| asking.report.ages.is_current(Slow::Times));
    let check = supply.check_valve_at_cup || supply.valves.iter().any(|valve| valve.check_valve);
    if !check {
        let lasts = slow.and_then(|slow| slow.hold_s).filter(|hold| hold.is_finite());
        let lasts = lasts.map_or_else(String::new, |hold| {
            format!(": the level lasts {} after the feed fails", words.figure(hold, Quantity::Time))
        });
        let says = format!("{name} has no check valve at its cups or its valves{lasts}.");
        let why = "What happens to the part when power or air fails in the middle of a move?";
        asking.ask(QuestionGroup::Circuit, key(circuit, "check valve"), about(circuit), says, why);
    }
    if let Some(hold) = slow.and_then(|slow| slow.hold_with_check_s) {
        let lasts = if hold.is_finite() {
            format!("lasts {}", words.figure(hold, Quantity::Time))
        } else {
            "lasts more than ten minutes".to_owned()
        };
        let says =
            format!("With a check valve at the source the level of {name} {lasts} after the feed fails.");
        let why = "Is the part set down or caught within that time, and is somebody alerted?";
        asking.ask(QuestionGroup::Circuit, key(circuit, "hold"), about(circuit), says, why);
    }
    let airtight = asking.part.is_some_and(|part| part.permeance_um_pa_s.is_none());
    // An assumed gap is a question of its own.
    if supply.lip_gap_um.value == 0.0 && supply.lip_gap_um.origin != Origin::Assumed && airtight {
        let says =
            format!("{name} has no leakage: the lips are assumed to seal perfectly on an airtight part.");
        let why =
            "Worn lips and rough or dirty parts leak. What gap is left under a lip after half its life?";
        asking.ask(QuestionGroup::Circuit, key(circuit, "no leak"), about(circuit), says, why);
    }
    if supply.filter.is_none() && held.status == CircuitStatus::Solved {
        let says = format!("{name} has no filter in front of its source.");
        let why = "Does dust, scale or oil come with the part? A filter costs level, and more as it clogs.";
        asking.ask(QuestionGroup::Circuit, key(circuit, "filter"), about(circuit), says, why);
    }
    thresholds(asking, circuit, held);
}

/// What the controls switch at, against what is worked out.
fn thresholds(asking: &mut Asking<'_>, circuit: &Circuit, held: &CircuitReport) {
    let words = asking.words;
    let slow = held.slow.as_ref().filter(|_| asking.report.ages.is_current(Slow::Times));
    let needed = slow.and_then(|slow| slow.controls.as_ref());
    match (&circuit.thresholds, needed) {
        (None, _) => {
            let says = format!("No part-held level is entered for {}.", circuit.name);
            let why = "Without it the robot starts moving at whatever level it has. Enter what the switch is set to.";
            asking.ask(QuestionGroup::Circuit, key(circuit, "switch"), about(circuit), says, why);
        }
        (Some(stated), Some(needed)) if stated.held_kpa < needed.alarm_kpa * (1.0 - 1e-6) => {
            let says = format!(
                "On {} the part counts as held from {}; the required factors need {} at the switch.",
                circuit.name,
                words.level(stated.held_kpa),
                words.level(needed.alarm_kpa),
            );
            let why = "Set the switch higher, or say why less is enough.";
            asking.ask(QuestionGroup::Circuit, key(circuit, "switch"), about(circuit), says, why);
        }
        _ => {}
    }
}

/// Assumed figures of the cycle: air and cost rest on them, no factor does.
fn cycle(asking: &mut Asking<'_>) {
    let (cycle, words) = (&asking.project.cycle, asking.words);
    let plain = |value: f64| units::show_exact(value, Quantity::Ratio, words.choice).number;
    let price =
        |value: f64, per: &str| format!("{} {} {per}", plain(value), cycle.currency).replace("  ", " ");
    let air = units::show_given(cycle.air_price_per_m3.value, Quantity::PerAirVolume, words.choice);
    let air = format!("{} {} {}", air.number, cycle.currency, air.unit).replace("  ", " ");
    let figures: [(&str, &Sourced<f64>, String); 6] = [
        ("cycle.picks_per_hour", &cycle.picks_per_hour, plain(cycle.picks_per_hour.value)),
        ("cycle.hold_s", &cycle.hold_s, words.figure(cycle.hold_s.value, Quantity::Time)),
        ("cycle.hours_per_year", &cycle.hours_per_year, format!("{} h", plain(cycle.hours_per_year.value))),
        ("cycle.air_price_per_m3", &cycle.air_price_per_m3, air.to_owned()),
        (
            "cycle.energy_price_per_kwh",
            &cycle.energy_price_per_kwh,
            price(cycle.energy_price_per_kwh.value, "a kWh"),
        ),
        (
            "cycle.compressor_kwh_per_m3",
            &cycle.compressor_kwh_per_m3,
            units::show_given(cycle.compressor_kwh_per_m3.value, Quantity::AirEnergy, words.choice)
                .to_string(),
        ),
    ];
    let assumed: Vec<String> = figures
        .iter()
        .filter(|(_, value, _)| value.origin == Origin::Assumed)
        .map(|(key, _, text)| format!("{} {text}", document::name_of(key)))
        .collect();
    if assumed.is_empty() {
        return;
    }
    let says = format!("Air, energy and cost per cycle depend on assumed inputs: {}.", assumed.join("; "));
    let why = "No factor depends on them. Ask production for cycles and hours, and the plant for prices.";
    asking.ask(
        QuestionGroup::Circuit,
        "circuit/cycle".to_owned(),
        asking.whole(),
        words::capital(&says),
        why,
    );
}
