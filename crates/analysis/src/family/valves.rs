//! Fewest valves for the parts of a tool.

use super::take;
use crate::report::{Cover, FurtherValves, PlannedZone, SeatReport, ValvePlan};
use document::{Cup, CupId, Layout, Project, RoutedCup};
use mechanics::valves::{Need, fewest, with};

/// Further valves that are told of; beyond some each buys little.
const MOST_FURTHER: usize = 4;
/// Lengths of hose that differ by less are one, mm: nobody cuts closer.
const SAME_HOSE_MM: f64 = 1.0;

/// Remembers the plan with the needs that it was made from.
#[derive(Default)]
pub(super) struct PlanStage {
    held: Option<(Key, Planned)>,
}

/// Cups with their zones, and what every part needs of them.
type Key = (Vec<(CupId, String)>, Vec<Vec<Need>>);

/// The plan, and the zones of the fewest and of each further number of valves, by name with their cups by place.
struct Planned {
    plan: ValvePlan,
    groupings: Vec<Vec<(String, Vec<usize>)>>,
}

impl PlanStage {
    pub(super) fn plan(&mut self, project: &Project, layout: &Layout, seats: &[SeatReport]) -> ValvePlan {
        let cups: Vec<(CupId, String)> = layout.cups.iter().map(|cup| (cup.id, cup.zone.clone())).collect();
        let key = (cups, needs(layout, seats));
        let planned = match self.held.take() {
            Some((held, planned)) if held == key => planned,
            _ => planned(layout, &key.1),
        };
        let hoses: Vec<Option<f64>> =
            planned.groupings.iter().map(|zones| hose_mm(project, layout, zones)).collect();
        let mut now =
            ValvePlan { now: layout.zones().len(), now_serves: serves(seats), ..planned.plan.clone() };
        let differ = |a: &Option<f64>| a.zip(hoses[0]).is_some_and(|(a, b)| (a - b).abs() >= SAME_HOSE_MM);
        if hoses.iter().all(Option::is_some) && hoses.iter().any(differ) {
            now.hose_mm = hoses[0];
            now.further.iter_mut().zip(&hoses[1..]).for_each(|(further, hose)| further.hose_mm = *hose);
        }
        self.held = Some((key, planned));
        now
    }
}

/// All hoses of the circuits with the cups in these zones, each with a valve: laid out as the circuits lay out theirs. `None` where
/// cups hang on a circuit of which only a level is stated.
fn hose_mm(project: &Project, layout: &Layout, zones: &[(String, Vec<usize>)]) -> Option<f64> {
    let zone_of = |place: usize| {
        let zone = zones.iter().find(|(_, cups)| cups.contains(&place));
        zone.map_or(take::NEVER, |(name, _)| name).to_owned()
    };
    let zoned = |(place, cup): (usize, &Cup)| Cup { zone: zone_of(place), ..cup.clone() };
    let cups: Vec<Cup> = layout.cups.iter().enumerate().map(zoned).collect();
    let mut total = 0.0;
    for circuit in &project.circuits {
        let own = || cups.iter().filter(|cup| cup.circuit == circuit.id);
        if own().next().is_none() {
            continue;
        }
        let circuit = take::zoned(circuit, &cups)?;
        let routed = own().map(|cup| RoutedCup { id: cup.id, zone: &cup.zone, top: project.connection(cup) });
        let routing = circuit.supply.as_ref()?.routing(&routed.collect::<Vec<_>>());
        let mains = routing.runs.iter().flat_map(|run| &run.mains).map(|main| main.length_mm);
        let branches = routing.runs.iter().flat_map(|run| &run.branches).map(|branch| branch.length_mm);
        total += mains.sum::<f64>() + branches.sum::<f64>();
    }
    total.is_finite().then_some(total)
}

/// What every part needs of every cup. Of a cup that cannot be worked with nothing is known: no zone is planned around it.
fn needs(layout: &Layout, seats: &[SeatReport]) -> Vec<Vec<Need>> {
    let need = |seat: &SeatReport, index: usize| match seat.cups.get(index) {
        Some(cup) if cup.cover == Some(Cover::On) && cup.may_stay_shut => Need::Either,
        Some(cup) if cup.cover == Some(Cover::On) => Need::Open,
        _ => Need::Shut,
    };
    (0..layout.cups.len()).map(|index| seats.iter().map(|seat| need(seat, index)).collect()).collect()
}

fn planned(layout: &Layout, needs: &[Vec<Need>]) -> Planned {
    let found = fewest(needs);
    let parts = needs.first().map_or(0, Vec::len);
    let id = |cup: &usize| layout.cups.get(*cup).map(|cup| cup.id);
    let held = layout.zones();
    let named = |zones: &[Vec<usize>]| -> Vec<(String, Vec<usize>)> {
        let names = names(layout, zones, &|_| true, &|name| held.contains(&name));
        names.into_iter().zip(zones.iter().cloned()).collect()
    };
    let mut groupings = vec![named(&found.zones)];
    let zones = groupings[0].iter().enumerate().map(|(index, (name, cups))| PlannedZone {
        name: name.clone(),
        cups: cups.iter().filter_map(id).collect(),
        open: (0..parts).map(|part| found.is_open(needs, index, part)).collect(),
    });
    let zones = zones.collect();
    let mut further = Vec::new();
    let mut kept = found.kept_shut;
    for valves in found.zones.len() + 1..=found.zones.len() + MOST_FURTHER {
        if kept == 0 {
            break;
        }
        let Some(more) = with(needs, valves) else { break };
        kept = more.kept_shut;
        further.push(FurtherValves { valves, kept_shut: kept, hose_mm: None });
        groupings.push(named(&more.zones));
    }
    let never = needs.iter().enumerate().filter(|(_, own)| own.iter().all(|need| *need == Need::Shut));
    let plan = ValvePlan {
        fewest: zones,
        hose_mm: None,
        proved: found.proved,
        kept_shut: found.kept_shut,
        further,
        never: never.filter_map(|(cup, _)| id(&cup)).collect(),
        now: 0,
        now_serves: false,
    };
    Planned { plan, groupings }
}

/// A zone that most cups of a planned one have keeps its name where it may; others are "V1", "V2", by the first that is not taken.
pub(crate) fn names(
    layout: &Layout,
    zones: &[Vec<usize>],
    may_keep: &dyn Fn(&str) -> bool,
    is_taken: &dyn Fn(&str) -> bool,
) -> Vec<String> {
    let held: Vec<&str> = layout.zones().into_iter().filter(|name| may_keep(name)).collect();
    let shared = |planned: usize, zone: &str| {
        let cups = zones[planned].iter().filter_map(|cup| layout.cups.get(*cup));
        cups.filter(|cup| cup.zone == zone).count()
    };
    let mut pairs: Vec<(usize, usize, usize)> = (0..zones.len())
        .flat_map(|planned| (0..held.len()).map(move |zone| (planned, zone)))
        .map(|(planned, zone)| (shared(planned, held[zone]), planned, zone))
        .filter(|(shared, ..)| *shared > 0)
        .collect();
    pairs.sort_by_key(|(shared, planned, zone)| (std::cmp::Reverse(*shared), *planned, *zone));
    let mut names: Vec<Option<String>> = vec![None; zones.len()];
    for (_, planned, zone) in pairs {
        let name = held[zone].to_owned();
        if names[planned].is_none() && !names.contains(&Some(name.clone())) {
            names[planned] = Some(name);
        }
    }
    let mut free = (1u32..).map(|n| format!("V{n}")).filter(|name| !is_taken(name));
    names.into_iter().map(|name| name.or_else(|| free.next()).unwrap_or_default()).collect()
}

fn serves(seats: &[SeatReport]) -> bool {
    let right = |seat: &SeatReport| {
        seat.cups.iter().all(|cup| match cup.cover {
            Some(Cover::On) => cup.zone_on || cup.may_stay_shut,
            _ => !cup.zone_on,
        })
    };
    seats.iter().all(right)
}
