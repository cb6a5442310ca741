//! A set of places as a layout.

use super::board::{Board, Making};
use crate::family;
use document::{Circuit, CircuitId, Cup, CupId, CupModel, Edit, Layout, LayoutId, Project, Seat};
use glam::DVec2;
use mechanics::valves::{Need, fewest};
use std::sync::Arc;

/// Positions are kept to this, mm: a place between two steps of the grid came from rounding.
const KEPT: f64 = 1e-6;

/// Tags count row by row from the top left, as one reads.
fn reading(a: DVec2, b: DVec2) -> std::cmp::Ordering {
    b.y.total_cmp(&a.y).then(a.x.total_cmp(&b.x))
}

/// The cups of a set of places: those of locked cups as they are, the others on circuit, zone and post of the nearest cup there is.
pub(super) fn layout(
    project: &Project,
    present: &Layout,
    models: &[Arc<CupModel>],
    board: &Board,
    set: &[usize],
    locked: &[(usize, Cup)],
) -> Layout {
    let stay: Vec<&Cup> =
        locked.iter().filter(|(place, _)| set.contains(place)).map(|(_, cup)| cup).collect();
    let mut places: Vec<usize> =
        set.iter().copied().filter(|place| locked.iter().all(|(held, _)| held != place)).collect();
    places.sort_by(|a, b| reading(board.lips[*a].at, board.lips[*b].at));
    let used = document::highest_number(stay.iter().copied()) as usize;
    let first = project.next_id().saturating_add(1);
    let circuit = project.circuits.first().map_or(CircuitId(0), |circuit: &Arc<Circuit>| circuit.id);
    let new = places.iter().enumerate().map(|(index, &place)| {
        let lip = &board.lips[place];
        let near = present
            .cups
            .iter()
            .min_by(|a, b| a.at.distance_squared(lip.at).total_cmp(&b.at.distance_squared(lip.at)));
        let kept = |v: f64| (v / KEPT).round() * KEPT + 0.0;
        Cup {
            id: CupId(first.saturating_add(index as u32)),
            tag: format!("C{}", used + 1 + index),
            model: models[board.kind(place)].id.clone(),
            at: DVec2::new(kept(lip.at.x), kept(lip.at.y)),
            turn_deg: kept(lip.turn.to_degrees()),
            height_mm: near.map_or(0.0, |cup| cup.height_mm),
            circuit: near.map_or(circuit, |cup| cup.circuit),
            zone: near.map_or_else(|| "A".to_owned(), |cup| cup.zone.clone()),
            locked: false,
        }
    });
    let cups: Vec<Cup> = stay.into_iter().cloned().chain(new).collect();
    // Every valve is open; what may stay shut was said of the cups that stay alone.
    let seat = |seat: &Seat| Seat {
        shut: Vec::new(),
        may_stay_shut: seat
            .may_stay_shut
            .iter()
            .copied()
            .filter(|id| cups.iter().any(|cup| cup.id == *id))
            .collect(),
        ..seat.clone()
    };
    let seats = present.seats.iter().map(seat).collect();
    Layout {
        id: LayoutId(project.next_id()),
        name: String::new(),
        part: present.part,
        seats,
        cups,
        tool: Arc::clone(&present.tool),
        proposed: String::new(),
    }
}

/// Divides the cups of a layout for several parts into the fewest zones, and shuts for each part those of cups that do not lie
/// wholly on it. A zone that most of its cups are in already keeps its name, where a valve shuts it in every circuit.
pub(super) fn take_zones(project: &Project, layout: &mut Layout, making: &Making<'_>) {
    let need = |cup: &Cup| {
        let facts = making.facts_of(&cup.model);
        let on = |at: usize| {
            facts.as_ref().is_some_and(|facts| {
                let turn = cup.turn_deg.to_radians();
                let lip = geometry::Lip { shape: facts.model.shape, at: cup.at, turn };
                making.parts[at].ground.lands_at(&lip, lip.at)
            })
        };
        (0..making.parts.len()).map(|at| if on(at) { Need::Open } else { Need::Shut }).collect()
    };
    let needs: Vec<Vec<Need>> = layout.cups.iter().map(need).collect();
    let found = fewest(&needs);
    // One zone that every part uses takes no valve.
    if found.zones.len() == 1 && needs.iter().flatten().all(|need| *need == Need::Open) {
        return;
    }
    let supplied = |cup: &Cup| project.circuit(cup.circuit).and_then(|circuit| circuit.supply.as_ref());
    let is_shut = |name: &str| {
        let mut cups = layout.cups.iter().filter_map(supplied);
        cups.all(|supply| supply.valves.iter().any(|valve| valve.zone == name))
    };
    let is_taken = |name: &str| {
        let mut cups = project.layouts.iter().flat_map(|layout| &layout.cups);
        let mut supplies = project.circuits.iter().filter_map(|circuit| circuit.supply.as_ref());
        cups.any(|cup| cup.zone == name)
            || supplies.any(|supply| supply.valves.iter().any(|valve| valve.zone == name))
    };
    let names = family::zone_names(layout, &found.zones, &is_shut, &is_taken);
    for (cups, name) in found.zones.iter().zip(&names) {
        cups.iter().for_each(|&cup| layout.cups[cup].zone.clone_from(name));
    }
    for (part, seat) in layout.seats.iter_mut().enumerate() {
        let shut = names.iter().enumerate().filter(|(zone, _)| !found.is_open(&needs, *zone, part));
        seat.shut = shut.map(|(_, name)| name.clone()).collect();
    }
}

/// The edits that give circuits a valve for each zone that a layout shuts for one of its parts.
fn valves(project: &Project, layout: &Layout) -> Vec<Edit> {
    if layout.seats.iter().all(|seat| seat.shut.is_empty()) {
        return Vec::new();
    }
    family::valve_edits(project, &layout.cups)
}

/// The project with a layout, with the models that its cups are of, and with a valve for each zone that it shuts.
pub(super) fn with(project: &Project, layout: &Layout, models: &[Arc<CupModel>]) -> Project {
    let valves = valves(project, layout);
    let valved = valves.iter().try_fold(project.clone(), |project, edit| edit.apply(&project));
    let mut with = valved.unwrap_or_else(|_| project.clone());
    with.models.extend(missing(project, layout, models).cloned());
    with.layouts.push(Arc::new(layout.clone()));
    with.last_id = with.last_id.max(highest(layout));
    with
}

fn highest(layout: &Layout) -> u32 {
    layout.cups.iter().map(|cup| cup.id.0).fold(layout.id.0, u32::max)
}

/// Models that the cups of a layout are of and that the project does not have.
fn missing<'a>(
    project: &'a Project,
    layout: &'a Layout,
    models: &'a [Arc<CupModel>],
) -> impl Iterator<Item = &'a Arc<CupModel>> {
    models.iter().filter(|model| {
        project.model(&model.id).is_none() && layout.cups.iter().any(|cup| cup.model == model.id)
    })
}

/// The edit that adds a proposed layout to a project, whatever was added to it since: new ids, a free name, models that it lacks.
pub(super) fn edit(project: &Project, proposed: &Layout, models: &[Arc<CupModel>]) -> Edit {
    let first = project.next_id();
    let cups =
        proposed.cups.iter().zip(first + 1..).map(|(cup, id)| Cup { id: CupId(id), ..cup.clone() }).collect();
    let name = project.free_layout_name(&proposed.name);
    let layout = Layout { id: LayoutId(first), name: name.clone(), cups, ..proposed.clone() };
    let mut edits: Vec<Edit> = missing(project, &layout, models).cloned().map(Edit::AddModel).collect();
    edits.extend(valves(project, &layout));
    edits.push(Edit::AddLayout(Arc::new(layout)));
    Edit::Together { name: format!("Add {name}"), edits }
}
