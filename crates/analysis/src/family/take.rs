//! The fewest valves as a change of the document.

use crate::report::Family;
use document::{Circuit, Cup, CupId, Edit, Layout, Project, Seat, Supply, ZoneValve};
use std::sync::Arc;

/// Zone of cups that are on no part: its valve stays shut.
pub(super) const NEVER: &str = "unused";

impl Family {
    /// The edit that gives the cups of a layout the zones of the plan, switches them for every part as it asks, and gives every
    /// circuit with a source a valve for each of its zones: like the one it has, else one to fit its main hose.
    pub fn take_zones(&self, project: &Project, layout: &Layout) -> Edit {
        let zone_of = |id: CupId| self.valves.fewest.iter().find(|zone| zone.cups.contains(&id));
        let zoned = |cup: &Cup| Cup {
            zone: zone_of(cup.id).map_or(NEVER, |zone| &zone.name).to_owned(),
            ..cup.clone()
        };
        let cups: Vec<Cup> = layout.cups.iter().map(zoned).collect();
        let mut edits = valve_edits(project, &cups);
        edits.push(Edit::ChangeCups { layout: layout.id, cups: cups.clone(), what: String::new() });
        let never = cups.iter().any(|cup| cup.zone == NEVER);
        for (index, seat) in self.seats.iter().enumerate() {
            let is_shut = |open: &[bool]| !open.get(index).copied().unwrap_or(false);
            let shut = self.valves.fewest.iter().filter(|zone| is_shut(&zone.open));
            let mut shut: Vec<String> = shut.map(|zone| zone.name.clone()).collect();
            shut.extend(never.then(|| NEVER.to_owned()));
            let seat = Seat { shut, ..seat.seat.clone() };
            edits.push(Edit::ChangeSeat { layout: layout.id, seat, what: String::new() });
        }
        Edit::Together { name: format!("Use the fewest zones, {}", self.valves.fewest.len()), edits }
    }
}

/// The edits that give every circuit with a source that cups hang on a valve for each of their zones.
pub(crate) fn valve_edits(project: &Project, cups: &[Cup]) -> Vec<Edit> {
    let used = |circuit: &&Arc<Circuit>| cups.iter().any(|cup| cup.circuit == circuit.id);
    project.circuits.iter().filter(used).filter_map(|circuit| valves(circuit, cups)).collect()
}

/// A valve for each zone that has cups on this circuit; `None` where it has them, or only a level is stated.
fn valves(circuit: &Circuit, cups: &[Cup]) -> Option<Edit> {
    let new = zoned(circuit, cups)?;
    let what = format!("Change valves of {}", circuit.name);
    let same = |supply: &Arc<Supply>| new.supply.as_ref().is_some_and(|new| new.valves == supply.valves);
    let changed = !circuit.supply.as_ref().is_some_and(same);
    changed.then(|| Edit::ChangeCircuit { circuit: Arc::new(new), what })
}

/// The circuit with a valve for each zone that has cups on it; `None` where only a level is stated.
pub(super) fn zoned(circuit: &Circuit, cups: &[Cup]) -> Option<Circuit> {
    let mut new = circuit.clone();
    let supply = Arc::make_mut(new.supply.as_mut()?);
    let mut zones: Vec<&str> =
        cups.iter().filter(|cup| cup.circuit == circuit.id).map(|cup| cup.zone.as_str()).collect();
    zones.sort_unstable();
    zones.dedup();
    let like = supply.valves.first().cloned();
    let held = std::mem::take(&mut supply.valves);
    for zone in zones {
        let there = held.iter().find(|valve| valve.zone == zone).cloned();
        let alike = || like.clone().map(|valve| ZoneValve { zone: zone.to_owned(), manifold: None, ..valve });
        let valve = there.or_else(alike).or_else(|| ZoneValve::preset(zone, supply.main.bore_mm));
        supply.valves.extend(valve);
    }
    Some(new)
}
