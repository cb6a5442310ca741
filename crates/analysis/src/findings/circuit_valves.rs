//! `circuit.valves`: a zone's valve that does nothing, or not what it would on a central source.
//!
//! Why: where every cup has a source of its own there is no common hose to shut; a zone is switched by the feed of its sources.
//! The conductance and the manifold of such a valve do not count, and whoever relies on them should know. Limit: advice for a
//! valve in such a circuit, and for a valve of a zone in which no cup is. Remedy: which figures count.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use document::{Arrangement, ZoneValve};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.valves",
    title: "Zone valve has no effect",
    explains: "A zone valve closes the line from its cups to a central source. Where each cup has its own \
        source, it switches the feed of those sources instead; the valve of a zone without cups switches \
        nothing.",
    fail: "",
    watch: "",
    remedy: "which values of the valve apply",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits {
        let held = facts.project.circuit(circuit.id);
        let Some(supply) = held.and_then(|circuit| circuit.supply.as_deref()) else { continue };
        let used = |valve: &&ZoneValve| facts.layout.cups_of(circuit.id).any(|cup| cup.zone == valve.zone);
        // On a tool for several parts a zone that is shut for this one has its cups all the same.
        let of_tool = |valve: &&ZoneValve| {
            facts.seated.is_some_and(|seated| seated.tags.iter().any(|(_, zone)| *zone == valve.zone))
        };
        let (switching, idle): (Vec<&ZoneValve>, Vec<&ZoneValve>) = supply.valves.iter().partition(used);
        let idle: Vec<&ZoneValve> = idle.into_iter().filter(|valve| !of_tool(valve)).collect();
        let names = |valves: &[&ZoneValve]| {
            words::list(&valves.iter().map(|valve| valve.zone.clone()).collect::<Vec<_>>())
        };
        let zones = |valves: &[&ZoneValve]| if valves.len() == 1 { "zone" } else { "zones" };
        if !switching.is_empty() && supply.arrangement != Arrangement::Central {
            let says = format!(
                "On {} the valves switch the feed of the sources at the cups of {} {}: conductance and manifold of a valve \
                 have no effect there.",
                circuit.name,
                zones(&switching),
                names(&switching),
            );
            let remedy = "A check valve, if chosen, sits at every source of its zone; nothing else needs to be entered.";
            out.push(
                Draft::new(INFO.id, Severity::Advice, says)
                    .cups(facts.on_circuit(circuit.id))
                    .remedy(remedy.to_owned()),
            );
        }
        if !idle.is_empty() {
            let says = format!(
                "{} has a valve for {} {}, which has no cups: it switches nothing.",
                circuit.name,
                zones(&idle),
                names(&idle),
            );
            let remedy = "Assign its cups to that zone, or remove the valve.";
            out.push(
                Draft::new(INFO.id, Severity::Advice, says)
                    .cups(facts.on_circuit(circuit.id))
                    .remedy(remedy.to_owned()),
            );
        }
    }
}
