//! What is wrong with the parts on a tool.

use super::{Found, Subject};
use crate::{Layout, Project, Seat, ranges};

pub(super) fn seat(p: &Project, l: &Layout, seat: &Seat, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    if !found.in_range(&subject, |out| ranges::seat(seat, &l.name, out)) {
        return;
    }
    if p.part(seat.part).is_none() {
        let says = format!("a seat of {} is for a part that is not in the project", l.name);
        found.add(&subject, says, "choose one of the parts");
    }
    zones(p, l, seat, &p.seat_name(l.id, seat.id), found);
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
