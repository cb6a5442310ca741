//! What is wrong with the parts on a tool.

use super::{Found, Subject};
use crate::{Layout, Project, Seat, ranges};

pub(super) fn seat(p: &Project, l: &Layout, seat: &Seat, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    if !found.in_range(&subject, |out| ranges::seat(seat, &l.name, out)) {
        return;
    }
    if p.part(seat.part).is_none() {
        let says = format!("a part on the tool of {} is not in the project", l.name);
        found.add(&subject, says, "choose one of the parts");
    }
    let name = p.seat_name(l.id, seat.id);
    stops(p, l, seat, &name, found);
    zones(p, l, seat, &name, found);
}

/// A part that lies this far off a stop does not touch it, mm (assumed: nobody sets stops closer).
const OFF_STOP_MM: f64 = 0.01;

fn stops(p: &Project, l: &Layout, seat: &Seat, name: &str, found: &mut Found) {
    let Some(part) = p.part(seat.part) else { return };
    let subject = Subject::Layout(l.id);
    let off = seat.off_stops(part);
    let numbers = |which: &dyn Fn(&Option<f64>) -> bool| -> Vec<String> {
        let each = off.iter().enumerate().filter(|(_, off)| which(off));
        each.map(|(index, _)| (index + 1).to_string()).collect()
    };
    let told = |numbers: &[String]| match numbers {
        [one] => format!("stop {one}"),
        [one, other] => format!("stops {one} and {other}"),
        _ => "its stops".to_owned(),
    };
    let gone = numbers(&|off| off.is_none());
    if !gone.is_empty() {
        let says = format!("{name} has no straight edge any more at {}", told(&gone));
        found.add(&subject, says, "place it by its stops again, or remove them");
    }
    let away = numbers(&|off| off.is_some_and(|mm| mm.is_nan() || mm > OFF_STOP_MM));
    if !away.is_empty() {
        let says = format!("{name} does not lie against {}", told(&away));
        found.add(&subject, says, "place it by its stops again, or remove them");
    }
}

fn zones(p: &Project, l: &Layout, seat: &Seat, name: &str, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    let there = l.zones();
    for zone in &seat.shut {
        if zone.is_empty() {
            let says = format!("{name} shuts cups without a zone, which hang on no valve");
            found.add(&subject, says, "give those cups a zone");
        } else if !there.contains(&zone.as_str()) {
            let says = format!("{name} shuts zone {zone}, which has no cup in {}", l.name);
            found.add(&subject, says, format!("give cups the zone {zone}, or open it for {name}"));
        }
    }
    let every = !there.is_empty()
        && l.cups.iter().all(|cup| !cup.zone.is_empty())
        && there.iter().all(|zone| !seat.is_on(zone));
    if every {
        let says = format!("all zones of {} are shut for {name}, so nothing holds it", l.name);
        found.add(&subject, says, "open a zone whose cups are on it");
    }
    // A valve for the zone is what shuts it: a circuit that has valves but none for this zone cannot.
    let circuits = p.circuits.iter().filter(|c| l.cups.iter().any(|cup| cup.circuit == c.id));
    for circuit in circuits {
        let Some(supply) = &circuit.supply else { continue };
        let without = seat.shut.iter().find(|zone| {
            let here = l.cups.iter().any(|cup| cup.circuit == circuit.id && cup.zone == **zone);
            here && !supply.valves.iter().any(|valve| valve.zone == **zone)
        });
        if let Some(zone) = without {
            let says = format!("zone {zone} is shut for {name}, and {} has no valve for it", circuit.name);
            found.add(&subject, says, format!("add a valve for zone {zone} to {}", circuit.name));
        }
    }
}
