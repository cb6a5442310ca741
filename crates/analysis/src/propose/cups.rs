//! A set of places as a layout.

use super::board::Board;
use document::{Circuit, CircuitId, Cup, CupId, CupModel, Edit, Layout, LayoutId, Project};
use glam::DVec2;
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
    let used =
        stay.iter().filter_map(|cup| cup.tag.strip_prefix('C')?.parse::<usize>().ok()).max().unwrap_or(0);
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
            model: models[board.places[place].kind].id.clone(),
            at: DVec2::new(kept(lip.at.x), kept(lip.at.y)),
            turn_deg: kept(lip.turn.to_degrees()),
            height_mm: near.map_or(0.0, |cup| cup.height_mm),
            circuit: near.map_or(circuit, |cup| cup.circuit),
            zone: near.map_or_else(|| "A".to_owned(), |cup| cup.zone.clone()),
            locked: false,
        }
    });
    let cups = stay.into_iter().cloned().chain(new).collect();
    Layout {
        id: LayoutId(project.next_id()),
        name: String::new(),
        part: present.part,
        seats: present.seats.clone(),
        cups,
        tool: Arc::clone(&present.tool),
        proposed: String::new(),
    }
}

/// The project with a layout, and with the models that its cups are of.
pub(super) fn with(project: &Project, layout: &Layout, models: &[Arc<CupModel>]) -> Project {
    let mut with = project.clone();
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
    edits.push(Edit::AddLayout(Arc::new(layout)));
    Edit::Together { name: format!("Add {name}"), edits }
}
