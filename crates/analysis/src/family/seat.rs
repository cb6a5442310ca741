//! One part on the tool: which cups are on it, and the project of it alone.

use crate::{
    findings::Near,
    memo::{Shared, Slot},
    part_stage::ground,
    report::{CupOnPart, SeatReport},
    seats::{Ground, LENGTH_NOISE},
    stages::Analyst,
};
use document::{Accepted, Cup, CupId, Layout, Motion, Part, Problem, Project, Seat, SeatId};
use geometry::{Cover, Lip, LipShape, Outline, SoundSurface, cover};
use glam::DVec2;
use std::{collections::HashMap, sync::Arc};
use units::UnitChoice;

/// What a check of one part must know of the tool besides the cups that hold.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Seated {
    /// Which seat.
    pub seat: SeatId,
    /// Area that is open to the air, mm², of cups whose zone is on and which do not hold: leaks of their circuits.
    pub open: HashMap<CupId, f64>,
    /// Cups of the tool that the report does not know, which the robot carries all the same.
    pub beside: Vec<Cup>,
    /// Beside the cups of the layout.
    pub cups: Vec<CupOnPart>,
    /// Tags of those cups, and their zones.
    pub tags: Vec<(String, String)>,
    /// What is wrong with the seat: a zone that no cup has, one that no valve shuts.
    pub problems: Vec<Problem>,
    /// Cups of the tool that stand in each other's way, whichever parts they hold.
    pub near: Arc<[Near]>,
}

/// A part as it lies on the tool, and how the cups are to it.
pub(super) struct Laid {
    part: Option<Arc<Part>>,
    /// Beside the cups of the layout.
    pub(super) cups: Vec<CupOnPart>,
}

/// The stages of one part on the tool.
#[derive(Default)]
pub(crate) struct SeatStage {
    pub(crate) analyst: Analyst,
    placed: Slot<(Shared<Part>, DVec2, f64), Arc<Part>>,
    /// The part without its keep-outs, where it has some.
    material: Slot<(Shared<Outline>, bool), Option<SoundSurface>>,
    covers: HashMap<CupId, (CoverKey, Covered)>,
    /// The project of the part alone, as it was last lowered: what did not change keeps its address.
    project: Option<Arc<Project>>,
}

/// What the cover of one cup depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct CoverKey {
    lip: Lip,
    sealing: LipShape,
    drawing: u64,
    required_mm: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Covered {
    cover: Option<Cover>,
    clearance_mm: Option<f64>,
    uncovered_mm2: f64,
}

impl SeatStage {
    pub(crate) fn set_units(&mut self, units: UnitChoice) {
        self.analyst.set_units(units);
    }

    /// Lays the part on the tool.
    pub(super) fn lay(&mut self, project: &Project, layout: &Layout, seat: &Seat) -> Laid {
        let part = project.part(seat.part).map(|part| {
            let key = (Shared(Arc::clone(part)), seat.at, seat.turn_deg);
            Arc::clone(self.placed.get(key, |(part, ..)| seat.place(&part.0)))
        });
        let cups = self.cups(project, layout, seat, part.as_deref());
        Laid { part, cups }
    }

    /// Whether a lip put elsewhere keeps the clearance that is required there on the part laid last.
    pub(super) fn lands(&self, laid: &Laid, lip: &Lip, at: DVec2) -> bool {
        let part = laid.part.as_deref();
        let ground = part.and_then(|part| self.analyst.parts.get(&part.id)?.ground(part));
        ground.is_none_or(|ground| ground.lands_at(lip, at))
    }

    /// Works out one part.
    pub(super) fn check(
        &mut self,
        project: &Project,
        layout: &Layout,
        seat: &Seat,
        laid: &Laid,
        near: Arc<[Near]>,
    ) -> SeatReport {
        let Laid { part, cups } = laid;
        let each = || layout.cups.iter().zip(cups);
        let seated = Seated {
            seat: seat.id,
            open: cups.iter().filter(|cup| cup.draws()).map(|cup| (cup.id, cup.uncovered_mm2)).collect(),
            beside: each().filter(|(_, of)| !of.holds).map(|(cup, _)| cup.clone()).collect(),
            tags: layout.cups.iter().map(|cup| (cup.tag.clone(), cup.zone.clone())).collect(),
            cups: cups.clone(),
            problems: project.seat_problems(layout.id, seat.id),
            near,
        };
        let alone = Arc::new(self.alone(project, layout, seat, part.clone(), cups));
        let alone = match self.project.take() {
            Some(held) if held == alone => held,
            _ => alone,
        };
        self.project = Some(Arc::clone(&alone));
        self.analyst.seat(seated);
        let report = self.analyst.check(&alone, layout.id);
        let name = project.seat_name(layout.id, seat.id);
        SeatReport { seat: seat.clone(), name, project: alone, report, cups: cups.clone() }
    }

    /// How every cup of the tool is to the part.
    fn cups(
        &mut self,
        project: &Project,
        layout: &Layout,
        seat: &Seat,
        part: Option<&Part>,
    ) -> Vec<CupOnPart> {
        let sound = part.filter(|part| part.out_of_range().is_none());
        let Self { analyst, material, covers, .. } = self;
        let ground = sound.and_then(|part| ground(analyst.parts.entry(part.id).or_default(), part));
        let material = sound.and_then(|part| {
            let key = (Shared(Arc::clone(&part.outline)), part.keep_outs.is_empty());
            let made =
                material.get(key, |(outline, same)| (!same).then(|| SoundSurface::new(&outline.0, &[])));
            made.as_ref()
        });
        let mut kept = HashMap::with_capacity(layout.cups.len());
        let mut on_part = |cup: &Cup| {
            let model = project.model(&cup.model).filter(|model| model.out_of_range().is_none());
            let zone_on = seat.is_on(&cup.zone);
            let unknown = CupOnPart {
                id: cup.id,
                cover: None,
                clearance_mm: None,
                required_mm: 0.0,
                uncovered_mm2: 0.0,
                zone_on,
                may_stay_shut: seat.may_stay_shut.contains(&cup.id),
                // What is not known is told by the report, which must know of it.
                holds: zone_on,
            };
            let (Some(model), Some(ground)) = (model, ground) else { return unknown };
            let lip = Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
            let required_mm = ground.required(&lip.shape, lip.at);
            let sealing = model.sealing_shape();
            let key = CoverKey { lip, sealing, drawing: ground.drawing_count, required_mm };
            let held = covers.get(&cup.id).filter(|(held, _)| *held == key).map(|(_, held)| *held);
            let of_material = material.unwrap_or(&ground.shape.surface);
            let found = held.unwrap_or_else(|| covered(&key, ground, of_material));
            kept.insert(cup.id, (key, found));
            // An area gripper seals cell by cell: what of it lies beside the part is counted there.
            let supply = project.circuit(cup.circuit).and_then(|circuit| circuit.supply.as_ref());
            let in_cells = supply.is_some_and(|supply| supply.area_gripper.is_some());
            let lands = found.clearance_mm.is_none_or(|distance| distance >= -LENGTH_NOISE);
            CupOnPart {
                cover: found.cover,
                clearance_mm: found.clearance_mm,
                required_mm,
                uncovered_mm2: found.uncovered_mm2,
                holds: zone_on && (lands || (in_cells && found.cover != Some(Cover::Off))),
                ..unknown
            }
        };
        let out = layout.cups.iter().map(&mut on_part).collect();
        *covers = kept;
        out
    }

    /// The project of the part alone. Cups that draw air stand behind those that hold, so that these keep their places.
    fn alone(
        &self,
        project: &Project,
        layout: &Layout,
        seat: &Seat,
        part: Option<Arc<Part>>,
        cups: &[CupOnPart],
    ) -> Project {
        let of = |which: &dyn Fn(&CupOnPart) -> bool| -> Vec<Cup> {
            layout.cups.iter().zip(cups).filter(|(_, of)| which(of)).map(|(cup, _)| cup.clone()).collect()
        };
        let cups = of(&|cup| cup.holds).into_iter().chain(of(&CupOnPart::draws)).collect();
        let own = Layout { part: seat.part, seats: Vec::new(), cups, ..layout.clone() };
        let held = self.project.as_ref().and_then(|held| held.layout(layout.id));
        let own = held.filter(|held| ***held == own).cloned().unwrap_or_else(|| Arc::new(own));
        let placed = |part_of: &Arc<Part>| match &part {
            Some(placed) if placed.id == part_of.id => Arc::clone(placed),
            _ => Arc::clone(part_of),
        };
        let makes = |motion: &&Arc<Motion>| !seat.left_out.contains(&motion.id);
        let taken_on = |accepted: &&Accepted| {
            accepted.layout == layout.id && accepted.seat.is_none_or(|id| id == seat.id)
        };
        let accepted = project.accepted.iter().filter(taken_on);
        Project {
            parts: project.parts.iter().map(placed).collect(),
            layouts: vec![own],
            motions: project.motions.iter().filter(makes).cloned().collect(),
            accepted: accepted.map(|accepted| Accepted { seat: None, ..accepted.clone() }).collect(),
            ..project.clone()
        }
    }
}

fn covered(key: &CoverKey, ground: Ground<'_>, material: &SoundSurface) -> Covered {
    let CoverKey { lip, sealing, required_mm, .. } = key;
    let sound = &ground.shape.surface;
    // Rounding is no lack of clearance, as for the findings of a lip.
    let enough = required_mm - LENGTH_NOISE;
    let cover = cover(sound, material, lip, enough, enough);
    let within = Lip { shape: *sealing, ..*lip };
    let share = match cover {
        Some(Cover::On) | None => 0.0,
        Some(Cover::Off) => 1.0,
        Some(Cover::Partly) => material.uncovered_share(&within),
    };
    Covered {
        cover,
        clearance_mm: sound.clearance(lip).map(|clearance| clearance.distance),
        uncovered_mm2: share * sealing.line().area,
    }
}
