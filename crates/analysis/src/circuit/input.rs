//! What the levels of one circuit depend on, by value, so that a change of anything else works out nothing.

use super::cells;
use crate::{
    inputs,
    lower::{self, CupFacts, ModelFacts},
    memo::Shared,
    seats::Ground,
};
use document::{
    Arrangement, CircuitId, Cup, CupId, Cycle, Layout, ModelId, Part, Project, RoutedCup, Routing,
    SourceModel, Supply, Texture, Thresholds,
};
use glam::DVec3;
use std::{collections::HashMap, sync::Arc};
use units::AbsolutePressure;
use vacuum::Air;

/// mm³ in a cm³.
const MM3_PER_CM3: f64 = 1e3;

/// One circuit of a layout with everything that its levels depend on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CircuitInput {
    pub id: CircuitId,
    pub name: String,
    /// Level asked for, at the site's atmosphere, kPa.
    pub wanted_kpa: f64,
    pub supply: Shared<Supply>,
    pub model: Shared<SourceModel>,
    pub routing: Routing,
    pub cups: Vec<CupInput>,
    pub air: Air,
    pub cycle: Cycle,
    pub thresholds: Option<Thresholds>,
}

/// One cup as its circuit sees it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CupInput {
    pub id: CupId,
    /// Its place among the lowered cups of the layout.
    pub index: usize,
    pub tag: String,
    pub zone: String,
    /// Where its hose begins, mm.
    pub top: DVec3,
    /// Area inside the sealing line that leaks with the level at the port, mm².
    pub leaking_mm2: f64,
    /// Length of the sealing line, mm.
    pub lip_mm: f64,
    /// How wide the lip bears, mm.
    pub bears_mm: f64,
    pub bore_mm: f64,
    /// Air inside at rest, and with its travel given, which it is at `down_at_kpa`.
    pub free_cm3: f64,
    pub held_cm3: f64,
    pub down_at_kpa: f64,
    /// µm/(Pa·s); 0 on an airtight part.
    pub permeance: f64,
    /// Cells of an area gripper that lie off the part.
    pub open_cells: u32,
    /// Area of the lip that lies beside the part, of a tool that carries several, mm².
    pub uncovered_mm2: f64,
}

impl CupInput {
    /// Cells of an area gripper in this cup that lie open, and all of them.
    pub(crate) fn cells(&self, supply: &Supply) -> Option<(u32, u32)> {
        supply.area_gripper.map(|cells| (self.open_cells.min(cells.count), cells.count))
    }

    /// Share of the area within the sealing line that holds: that of covered cells in an area gripper, else all.
    pub(crate) fn covered(&self, supply: &Supply) -> f64 {
        match self.cells(supply) {
            Some((open, all)) if all > 0 => 1.0 - f64::from(open) / f64::from(all),
            _ => 1.0,
        }
    }
}

/// Circuits of the layout that have a supply, in the order of the project, or why one cannot be worked with.
pub(crate) fn inputs(
    project: &Project,
    layout: &Layout,
    part: &Part,
    lowered: &inputs::Lowered<'_>,
    models: &HashMap<&ModelId, ModelFacts<'_>>,
    ground: Option<Ground<'_>>,
    outside: AbsolutePressure,
) -> Vec<Result<CircuitInput, (CircuitId, Vec<String>)>> {
    let air = Air { ambient: outside, temperature_c: project.site.temperature_c };
    let mut out = Vec::new();
    for circuit in &project.circuits {
        let Some(supply) = &circuit.supply else { continue };
        let on_it = lowered.placed.iter().enumerate().filter(|(_, cup)| cup.circuit == circuit.id);
        let cups: Vec<CupInput> = on_it
            .filter_map(|(index, cup)| {
                let facts = lowered.cups.get(index)?;
                let open_cells = supply
                    .area_gripper
                    .as_ref()
                    .map_or(0, |cells| cells::open_cells(cells, &facts.sealing, &facts.lip, ground));
                let input =
                    cup_input((index, cup), models.get(&cup.model)?, part, facts, project.connection(cup));
                Some(CupInput { open_cells, ..input })
            })
            .collect();
        if cups.is_empty() {
            continue;
        }
        if cups.len() < layout.cups_of(circuit.id).count() {
            let says = format!("a cup of circuit {} has values that cannot be used", circuit.name);
            out.push(Err((circuit.id, vec![says])));
            continue;
        }
        let Some(model) = project.source(&supply.source) else {
            let says = format!(
                "circuit {} has the source {}, which is not in the project; choose one of its sources",
                circuit.name, supply.source
            );
            out.push(Err((circuit.id, vec![says])));
            continue;
        };
        let Some(routing) = project.routing(layout.id, circuit.id) else { continue };
        out.push(Ok(CircuitInput {
            id: circuit.id,
            name: circuit.name.clone(),
            wanted_kpa: lower::level_at_site(circuit.level_kpa.value, outside),
            supply: Shared(Arc::clone(supply)),
            model: Shared(Arc::clone(model)),
            routing,
            cups,
            air,
            cycle: project.cycle.clone(),
            thresholds: circuit.thresholds,
        }));
    }
    out
}

impl CircuitInput {
    /// Sources that draw side by side at one port.
    pub(crate) fn sources(&self) -> u32 {
        match self.supply.0.arrangement {
            Arrangement::Central => self.supply.0.sources.max(1),
            Arrangement::PerCup | Arrangement::InLine => 1,
        }
    }

    /// What all of them are called.
    pub(crate) fn source_name(&self) -> String {
        match self.sources() {
            1 => self.model.0.name.clone(),
            count => format!("{count} × {}", self.model.0.name),
        }
    }

    /// The same circuit fed otherwise, with the hoses that follow: what it is once the document has that supply.
    pub(crate) fn supplied(&self, supply: Supply) -> Self {
        let routed = self.cups.iter().map(|cup| RoutedCup { id: cup.id, zone: &cup.zone, top: cup.top });
        let routing = supply.routing(&routed.collect::<Vec<_>>());
        Self { supply: Shared(Arc::new(supply)), routing, ..self.clone() }
    }
}

/// A cup draws itself down against its own stiffness along its axis. It stiffens on the way: with all its travel given it
/// takes twice the level that a spring as stiff as at first would (an assumption; common practice, no source).
const STIFFENS: f64 = 2.0;
/// kPa in a N/mm².
const KPA_PER_N_MM2: f64 = 1e3;

/// The air inside a cup is that at rest less what its travel takes: the area within its sealing line times the travel.
fn cup_input(
    (index, cup): (usize, &Cup),
    facts: &ModelFacts<'_>,
    part: &Part,
    lowered: &CupFacts,
    top: DVec3,
) -> CupInput {
    let mean_share = lowered.channel.map_or(1.0, |channel| channel.mean_share);
    let model = facts.model;
    let bore = std::f64::consts::FRAC_PI_4 * model.bore_mm * model.bore_mm * model.height_mm;
    let free_cm3 = model.free().value;
    let travel_mm = model.travel_mm.value.max(0.0);
    let given_cm3 = facts.line.area * travel_mm / MM3_PER_CM3;
    let spring_kpa = model.axial_n_mm.value * travel_mm / facts.line.area * KPA_PER_N_MM2;
    let permeance = part.permeance_um_pa_s.as_ref().map_or(0.0, |permeance| permeance.value);
    CupInput {
        id: cup.id,
        index,
        tag: cup.tag.clone(),
        zone: cup.zone.clone(),
        top,
        leaking_mm2: facts.line.area * mean_share,
        lip_mm: facts.line.length,
        bears_mm: model.lip_width().value,
        bore_mm: model.bore_mm,
        free_cm3,
        held_cm3: (free_cm3 - given_cm3).max((bore / MM3_PER_CM3).min(free_cm3)),
        down_at_kpa: STIFFENS * spring_kpa,
        permeance,
        open_cells: 0,
        uncovered_mm2: 0.0,
    }
}

/// Whether air comes through a part.
pub(crate) fn is_porous(part: &Part) -> bool {
    part.surface.texture == Texture::Porous
        || part.permeance_um_pa_s.as_ref().is_some_and(|permeance| permeance.value > 0.0)
}
