//! What a finding of one part offers, held against the other parts of the tool: a move that takes a cup off one of them is no fix.

use super::seat::{Laid, SeatStage};
use crate::{
    report::{Fix, SeatReport},
    words,
};
use document::{Cup, Layout, Project, Seat};
use geometry::Lip;
use glam::DVec2;
use std::sync::Arc;

/// Takes back the fixes that another part would not bear, and says which part that is.
pub(super) fn hold_against(
    project: &Project,
    layout: &Layout,
    stages: &[(&Seat, SeatStage)],
    laid: &[Laid],
    reports: &mut [SeatReport],
) {
    let names: Vec<String> = reports.iter().map(|of| of.name.clone()).collect();
    for (index, of) in reports.iter_mut().enumerate() {
        let others = || (0..stages.len()).filter(|other| *other != index);
        let spoilt = |fix: &Fix| {
            let each = others().filter_map(|other| {
                let off = cups_off(project, layout, stages[other].0, &stages[other].1, &laid[other], fix);
                (!off.is_empty()).then(|| format!("{} off {}", words::list(&off), names[other]))
            });
            let each: Vec<String> = each.collect();
            let what = if matches!(fix, Fix::MoveCups(_)) { "The move would take" } else { "It would put" };
            (!each.is_empty()).then(|| format!("{what} {}.", words::all(&each)))
        };
        let findings = of.report.findings.iter().enumerate();
        let spoilt: Vec<(usize, String)> =
            findings.filter_map(|(at, finding)| Some((at, spoilt(finding.fix.as_ref()?)?))).collect();
        if spoilt.is_empty() {
            continue;
        }
        let report = Arc::make_mut(&mut of.report);
        for (at, says) in spoilt {
            report.findings[at].fix = None;
            report.findings[at].remedy = format!("{} {says}", report.findings[at].remedy).trim().to_owned();
        }
    }
}

/// Tags of the cups that hold a part and would no longer, and of a new one that would draw air beside it.
fn cups_off(
    project: &Project,
    layout: &Layout,
    seat: &Seat,
    stage: &SeatStage,
    laid: &Laid,
    fix: &Fix,
) -> Vec<String> {
    let place = |id| layout.cups.iter().position(|cup| cup.id == id);
    let lands = |cup: &Cup, at: DVec2| {
        project.model(&cup.model).is_none_or(|model| {
            let lip = Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
            stage.lands(laid, &lip, at)
        })
    };
    match fix {
        Fix::MoveCups(to) => {
            let held = to.iter().filter_map(|(id, at)| Some((place(*id)?, *at)));
            let held = held.filter(|(place, _)| laid.cups.get(*place).is_some_and(|of| of.holds));
            held.filter(|(place, at)| !lands(&layout.cups[*place], *at))
                .map(|(place, _)| layout.cups[place].tag.clone())
                .collect()
        }
        Fix::AddCup { like, at } => {
            let like = place(*like).map(|place| &layout.cups[place]);
            let open = like.filter(|cup| seat.is_on(&cup.zone));
            open.filter(|cup| !lands(cup, *at)).map(|_| "the new cup".to_owned()).into_iter().collect()
        }
        Fix::Stroke { .. } => Vec::new(),
    }
}
