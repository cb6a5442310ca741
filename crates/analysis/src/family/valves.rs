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
    let zones = found.zones.iter().enumerate().map(|(index, cups)| PlannedZone {
        name: format!("V{}", index + 1),
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

fn serves(seats: &[SeatReport]) -> bool {
    let right = |seat: &SeatReport| {
        seat.cups.iter().all(|cup| match cup.cover {
            Some(Cover::On) => cup.zone_on || cup.may_stay_shut,
            _ => !cup.zone_on,
        })
    };
    seats.iter().all(right)
}
