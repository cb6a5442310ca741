//! Which cup models suit a part, and why the others do not.

use super::on_tool::{Loads, OnTool};
use crate::{
    lower::{self, ModelFacts},
    seats::Ground,
    words,
};
use document::{CupModel, ModelId, Part, Project};
use geometry::{Lip, LipShape};
use mechanics::{LoadCase, choice::Duty};
use std::sync::Arc;
use units::{AbsolutePressure, UnitChoice};

/// One cup model and whether it suits.
#[derive(Debug, Clone, PartialEq)]
pub struct Suits {
    /// The model.
    pub model: ModelId,
    /// Its name.
    pub name: String,
    /// Why it does not; `None` where it does.
    pub why_not: Option<String>,
    /// So many cups at least, by the sum of what all of them hold against what the worst motion asks: a first guess from below.
    pub at_least: Option<usize>,
    /// Largest clearance that its lip has anywhere on the part beyond what is required, mm: the room in the tightest fit.
    pub room_mm: Option<f64>,
}

/// Every model that may be used, of the project first, or of those that were named.
pub(super) fn models(
    project: &Project,
    named: &[ModelId],
) -> Result<Vec<Arc<CupModel>>, super::CannotPropose> {
    if named.is_empty() {
        let own = &project.models;
        let more = document::library().iter().filter(|model| own.iter().all(|held| held.id != model.id));
        return Ok(own.iter().chain(more).cloned().collect());
    }
    named
        .iter()
        .map(|id| {
            let own = project.models.iter().find(|model| model.id == *id);
            let found = own.or_else(|| document::library().iter().find(|model| model.id == *id));
            found.cloned().ok_or_else(|| super::CannotPropose::NoModel(id.0.to_string()))
        })
        .collect()
}

/// Whether a model suits every part on the tool; where it does not, for which.
pub(super) fn judged_on(model: &Arc<CupModel>, on_tool: &[OnTool], named: bool, units: &UnitChoice) -> Suits {
    let each = on_tool.iter().filter_map(|on| {
        let mut suits = judged(model, &on.part, on.surface()?.ground, named, units);
        if let Some(why) = suits.why_not.as_mut().filter(|_| !on.name.is_empty()) {
            *why = format!("{why} ({})", on.name);
        }
        Some(suits)
    });
    let all = each.reduce(|a, b| Suits {
        room_mm: a.room_mm.zip(b.room_mm).map(|(a, b)| a.min(b)),
        why_not: a.why_not.or(b.why_not),
        ..a
    });
    all.unwrap_or_else(|| Suits {
        model: model.id.clone(),
        name: model.name.clone(),
        why_not: Some("there is no part".to_owned()),
        at_least: None,
        room_mm: None,
    })
}

/// So many cups of a kind at least, for the part that takes most.
pub(super) fn at_least_on(
    facts: &ModelFacts<'_>,
    on_tool: &[OnTool],
    loads: &[Loads],
    level_kpa: f64,
    project: &Project,
) -> Option<usize> {
    let of = |(on, loads): (&OnTool, &Loads)| {
        at_least(facts, &loads.duties, &loads.body, level_kpa, &on.part, project)
    };
    let each: Option<Vec<usize>> = on_tool.iter().zip(loads).map(of).collect();
    each?.into_iter().max()
}

/// Whether a model suits the part: lip, surface, unevenness, room. One that was named by the person is not asked about its surface.
fn judged(model: &Arc<CupModel>, part: &Part, ground: Ground<'_>, named: bool, units: &UnitChoice) -> Suits {
    let words = words::Words { choice: units };
    let size = model.shape.size();
    let room = room(ground, &model.shape);
    let why_not = if model.out_of_range().is_some() {
        Some("one of its values is out of range".to_owned())
    } else if !named && !model.allowed.is_empty() && !model.allowed.contains(&part.surface.texture) {
        Some(format!("its lip is not meant for a {} surface", part.surface.texture.label()))
    } else if part.uneven_mm > model.travel_mm.value {
        Some(format!(
            "its travel is {} and the part varies in height by {}",
            words.length(model.travel_mm.value),
            words.length(part.uneven_mm)
        ))
    } else {
        match room {
            Some(room) if room >= 0.0 => None,
            Some(room) => Some(format!(
                "its lip of {} does not fit: the best place is {} short",
                words.length(size.max_element()),
                words.length(-room)
            )),
            None => Some("its lip does not fit on the part".to_owned()),
        }
    };
    Suits { model: model.id.clone(), name: model.name.clone(), why_not, at_least: None, room_mm: room }
}

/// Places tried along the longer side of the part for the roomiest.
const TRIED: f64 = 40.0;

/// The most clearance beyond what is required at any of some places, mm.
fn room(ground: Ground<'_>, shape: &LipShape) -> Option<f64> {
    let [x0, y0, x1, y1] = ground.shape.bounds;
    let step = (x1 - x0).max(y1 - y0) / TRIED;
    if !(step > 0.0 && step.is_finite()) {
        return None;
    }
    let turns = super::board::turns(shape);
    let steps =
        |from: f64, to: f64| (1..((to - from) / step).ceil() as usize).map(move |i| from + step * i as f64);
    let each = turns.iter().flat_map(|&turn| {
        steps(x0, x1)
            .flat_map(move |x| steps(y0, y1).map(move |y| Lip { shape: *shape, at: (x, y).into(), turn }))
    });
    let spare = each.filter_map(|lip| {
        let clearance = ground.shape.surface.clearance(&lip)?.distance;
        let spare = clearance - ground.required(shape, lip.at);
        spare.is_finite().then_some(spare)
    });
    spare.reduce(f64::max)
}

/// So many cups of a kind at least: all together must pull and rub as much as the worst motion asks.
///
/// Left on all lips is n F - pull, and friction gives no more than grip times that: n >= required (pull + slide/grip)/F.
fn at_least(
    facts: &ModelFacts<'_>,
    duties: &[Duty],
    body: &mechanics::Body,
    level_kpa: f64,
    part: &Part,
    project: &Project,
) -> Option<usize> {
    let lip = Lip { shape: facts.model.shape, at: glam::DVec2::ZERO, turn: 0.0 };
    let cup = lower::placed(document::CupId(0), lip, facts, level_kpa, part, project).strength;
    let grip = cup.slide_share * cup.friction;
    let most = duties.iter().flat_map(|duty| {
        let states: Vec<LoadCase> = duty.case.members().map(|(_, case)| case).collect();
        states.into_iter().flat_map(move |case| {
            let ends = case
                .sweep
                .map_or(vec![0.0], |sweep| vec![sweep.from, 0.5 * (sweep.from + sweep.to), sweep.to]);
            ends.into_iter().map(move |t| {
                let force = mechanics::load(body, &case.at(t), glam::DVec3::ZERO).force;
                duty.required * (-force.z + force.truncate().length() / grip) / cup.vacuum_force
            })
        })
    });
    let least = most.fold(0.0_f64, f64::max);
    (least.is_finite() && least < 1e6).then(|| (least - 1e-9).ceil().max(1.0) as usize)
}

/// Level that a cup of a circuit of which only a level is stated has at the site, kPa.
pub(super) fn stated_level(
    project: &Project,
    circuit: document::CircuitId,
    outside: AbsolutePressure,
) -> Option<f64> {
    let circuit = project.circuit(circuit)?;
    Some(lower::level_at_site(circuit.level_kpa.value, outside))
}
