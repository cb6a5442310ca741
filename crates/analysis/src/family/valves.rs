//! Fewest valves for the parts of a tool.

use crate::report::{Cover, PlannedZone, SeatReport, ValvePlan};
use document::{CupId, Layout};
use mechanics::valves::{Need, fewest, with};

/// Further valves that are told of; beyond some each buys little.
const MOST_FURTHER: usize = 4;

/// Remembers the plan with the needs that it was made from.
#[derive(Default)]
pub(super) struct PlanStage {
    held: Option<(Vec<CupId>, Vec<Vec<Need>>, ValvePlan)>,
}

impl PlanStage {
    pub(super) fn plan(&mut self, layout: &Layout, seats: &[SeatReport]) -> ValvePlan {
        let cups: Vec<CupId> = layout.cups.iter().map(|cup| cup.id).collect();
        let needs = needs(layout, seats);
        let plan = match self.held.take() {
            Some((held_cups, held, plan)) if held_cups == cups && held == needs => plan,
            _ => planned(layout, &needs),
        };
        let now = ValvePlan { now: layout.zones().len(), now_serves: serves(seats), ..plan.clone() };
        self.held = Some((cups, needs, plan));
        now
    }
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

fn planned(layout: &Layout, needs: &[Vec<Need>]) -> ValvePlan {
    let found = fewest(needs);
    let parts = needs.first().map_or(0, Vec::len);
    let id = |cup: &usize| layout.cups.get(*cup).map(|cup| cup.id);
    let held = layout.zones();
    let names = names(layout, &found.zones, &|_| true, &|name| held.contains(&name));
    let zones = found.zones.iter().zip(names).enumerate().map(|(index, (cups, name))| PlannedZone {
        name,
        cups: cups.iter().filter_map(id).collect(),
        open: (0..parts).map(|part| found.is_open(needs, index, part)).collect(),
    });
    let mut further = Vec::new();
    let mut kept = found.kept_shut;
    for valves in found.zones.len() + 1..=found.zones.len() + MOST_FURTHER {
        if kept == 0 {
            break;
        }
        let Some(more) = with(needs, valves) else { break };
        kept = more.kept_shut;
        further.push((valves, kept));
    }
    let never = needs.iter().enumerate().filter(|(_, own)| own.iter().all(|need| *need == Need::Shut));
    ValvePlan {
        fewest: zones.collect(),
        proved: found.proved,
        kept_shut: found.kept_shut,
        further,
        never: never.filter_map(|(cup, _)| id(&cup)).collect(),
        now: 0,
        now_serves: false,
    }
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
