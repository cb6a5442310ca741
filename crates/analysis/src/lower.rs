//! Document to engine problems; the only place where a part, cup or motion becomes an engine's input.
//!
//! The engines take lengths in mm, forces in N, moments in N·m, masses in kg, angles in radians. The document holds
//! angles in degrees, levels in kPa at sea level and models by name; both worlds meet here and nowhere else.

use crate::report::ChannelReport;
use document::{Cup, CupId, CupModel, FrictionPair, MassBy, ModelId, Part, Project, Sourced};
use geometry::{Lip, LipLine, LipShape, MassProperties, Section};
use glam::DVec3;
use mechanics::{Body, Channel, CupSpring, LipStrength};
use std::collections::HashMap;
use units::{AbsolutePressure, VacuumLevel};

/// kPa times mm² in N.
const N_PER_KPA_MM2: f64 = 1e-3;
const METRES_PER_MICROMETRE: f64 = 1e-6;
const KELVIN_AT_0_CELSIUS: f64 = 273.15;
const NO_MASS: &str = "the part has no mass: enter a mass, a mass per area or a density";

/// What the lowered values of one cup model have in common for every cup that uses it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ModelFacts<'a> {
    pub model: &'a CupModel,
    pub sealing: LipShape,
    pub line: LipLine,
}

/// One cup as the engines see it. Compared by value, so a new tag or a renamed model changes nothing here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CupFacts {
    pub id: CupId,
    pub lip: Lip,
    pub sealing: LipShape,
    pub spring: CupSpring,
    pub strength: LipStrength,
    /// Vacuum level at the port at the site's atmosphere, kPa.
    pub level_kpa: f64,
    /// How the level falls from the port to the ends; `None` on an airtight part.
    pub channel: Option<ChannelReport>,
    /// Share of the area within the sealing line that holds: less than 1 under an area gripper whose cells partly lie open.
    pub covered: f64,
}

/// Mass of a part without what is attached to it, kg.
///
/// # Errors
/// A sentence when there is no positive, finite mass.
pub(crate) fn own_mass(part: &Part, section: &Section) -> Result<f64, String> {
    let square_metres = section.area * 1e-6;
    let own = match &part.mass {
        MassBy::Density { kg_m3 } => square_metres * geometry::areal_mass(kg_m3.value, part.thickness_mm),
        MassBy::Areal { kg_m2 } => square_metres * kg_m2.value,
        MassBy::Stated { kg } => kg.value,
    };
    if own.is_finite() && own > 0.0 { Ok(own) } else { Err(NO_MASS.to_owned()) }
}

/// Mass, centre of gravity and inertia of a part with everything attached to it.
///
/// A stated centre of gravity moves the centre and keeps the inertia about it: nothing is known of how the mass that
/// moved it is spread.
///
/// # Units
/// kg, mm, kg·mm².
///
/// # Errors
/// A sentence when there is no positive, finite mass.
pub(crate) fn mass(part: &Part, section: &Section) -> Result<MassProperties, String> {
    let own = own_mass(part, section)?;
    let plate = MassProperties::plate(section, part.thickness_mm.max(0.0), own);
    let attached = part.attached.iter().filter(|a| a.mass_kg > 0.0).map(|a| {
        if a.size == DVec3::ZERO {
            MassProperties::point(a.mass_kg, a.at)
        } else {
            MassProperties::block(a.mass_kg, a.at, a.size).turned(a.turn_deg.to_radians())
        }
    });
    let mut all =
        MassProperties::combined(std::iter::once(plate).chain(attached)).ok_or_else(|| NO_MASS.to_owned())?;
    if let Some(stated) = &part.centre_of_gravity {
        all.centre = stated.value;
    }
    let finite = all.mass.is_finite()
        && all.centre.is_finite()
        && all.inertia.to_cols_array().iter().all(|value| value.is_finite());
    if finite {
        Ok(all)
    } else {
        Err("the mass of the part is not a finite number: check thickness and attached masses".to_owned())
    }
}

/// The part as the load engine takes it.
pub(crate) fn body(mass: &MassProperties) -> Body {
    Body { mass: mass.mass, centre: mass.centre, inertia: mass.inertia }
}

/// Level that a source stated for sea level reaches at the site, kPa.
///
/// # Source
/// A source keeps its pressure ratio; atmosphere after ISO 2533.
pub(crate) fn level_at_site(sea_level_kpa: f64, outside: AbsolutePressure) -> f64 {
    VacuumLevel::from_kpa(sea_level_kpa).at_atmosphere(outside).kpa()
}

/// Shapes shared by all cups of each model, worked out once.
pub(crate) fn models(project: &Project) -> HashMap<&ModelId, ModelFacts<'_>> {
    project
        .models
        .iter()
        // One that a cup of this layout is of stops everything before; any other is not looked at.
        .filter(|model| model.out_of_range().is_none())
        .map(|model| {
            let sealing = model.sealing_shape();
            (&model.id, ModelFacts { model, sealing, line: sealing.line() })
        })
        .collect()
}

/// One cup: its lip for seating, its springs for sharing, its strength for the limits.
///
/// # Errors
/// A sentence when the model or circuit is missing or its figures are not usable.
pub(crate) fn cup(
    cup: &Cup,
    models: &HashMap<&ModelId, ModelFacts<'_>>,
    project: &Project,
    part: &Part,
    outside: AbsolutePressure,
) -> Result<CupFacts, String> {
    let facts = models
        .get(&cup.model)
        .ok_or_else(|| format!("{} uses the model {}, which is not in the project", cup.tag, cup.model.0))?;
    let circuit = project
        .circuit(cup.circuit)
        .ok_or_else(|| format!("{} is on a circuit that is not in the project", cup.tag))?;
    let level_kpa = level_at_site(circuit.level_kpa.value, outside);
    let turn = cup.turn_deg.to_radians();
    Ok(placed(cup.id, Lip { shape: facts.model.shape, at: cup.at, turn }, facts, level_kpa, part, project))
}

/// A cup of a model at a place; also used to try out a cup that is not in the layout.
pub(crate) fn placed(
    id: CupId,
    lip: Lip,
    facts: &ModelFacts<'_>,
    level_kpa: f64,
    part: &Part,
    project: &Project,
) -> CupFacts {
    let model = facts.model;
    let channel = channel(part, model, &facts.sealing, project.site.temperature_c);
    let mean_share = channel.map_or(1.0, |channel| channel.mean_share);
    CupFacts {
        id,
        lip,
        sealing: facts.sealing,
        spring: CupSpring::along_lip(
            lip.at,
            lip.turn,
            model.axial_n_mm.value,
            model.lateral_n_mm.value,
            &facts.line,
            model.tilt_reduction.value,
        )
        .with_side_lever(model.side_lever().value),
        strength: LipStrength {
            vacuum_force: level_kpa * mean_share * facts.line.area * N_PER_KPA_MM2,
            line: facts.line,
            turn: lip.turn,
            shape: facts.sealing,
            friction: friction(part, model).value,
            slide_share: slide_share(project.rules.slide_share, &facts.sealing),
            seal_minimum: model.seal_minimum_n_mm.value,
        },
        level_kpa,
        channel,
        covered: 1.0,
    }
}

/// Friction of a model's lip on a part: that of the pair where one is given for its material, else the part's.
pub(crate) fn friction<'p>(part: &'p Part, model: &CupModel) -> &'p Sourced<f64> {
    part.friction_of(&model.material)
}

/// Friction given for this lip material on this part.
pub(crate) fn pair<'p>(part: &'p Part, model: &CupModel) -> Option<&'p FrictionPair> {
    part.pairs.iter().find(|pair| pair.is_for(&model.material))
}

/// The fall of the level under a cup on a part that air comes through.
///
/// Every lip is taken as a strip as long as its sealing line, fed in its middle: exact in kind for a long lip, and for a
/// round one or a rectangle a simplification with its half length for the way that the air goes. That the air draws
/// together towards a small port is left out for all of them alike, so that a long cup and two round ones stay comparable.
///
/// # Units
/// `temperature_c` °C.
///
/// # Source
/// [`mechanics::Channel`].
pub(crate) fn channel(
    part: &Part,
    model: &CupModel,
    sealing: &LipShape,
    temperature_c: f64,
) -> Option<ChannelReport> {
    let permeance = part.permeance_um_pa_s.as_ref()?.value * METRES_PER_MICROMETRE;
    if permeance == 0.0 {
        return None;
    }
    let viscosity = mechanics::air_viscosity(temperature_c + KELVIN_AT_0_CELSIUS);
    let half_length_mm = 0.5 * sealing.size().max_element();
    let gap_mm = model.channel_mm.value;
    // What is no figure leaves none, so that the cup is told of and not reckoned with.
    if !(permeance > 0.0 && gap_mm > 0.0 && viscosity.is_finite() && half_length_mm.is_finite()) {
        let none = f64::NAN;
        return Some(ChannelReport { end_share: none, mean_share: none, fall_per_m: none, half_length_mm });
    }
    Some(channel_report(&Channel::of(permeance, gap_mm, half_length_mm, viscosity)))
}

/// The shares that a channel leaves.
pub(crate) fn channel_report(channel: &Channel) -> ChannelReport {
    ChannelReport {
        end_share: channel.share_at_end(),
        mean_share: channel.mean_share(),
        fall_per_m: channel.fall_per_m,
        half_length_mm: channel.half_length_mm,
    }
}

/// Share of the friction ellipse that a lip may use: the share that the project states, and for a lip that is not round
/// no more than its true limit keeps to. The project's share (0.9 by default) is that of a ring; a long lip that slides
/// and turns at once reaches less far.
///
/// # Source
/// [`mechanics::slide_share_within`].
pub(crate) fn slide_share(stated: f64, sealing: &LipShape) -> f64 {
    match sealing {
        LipShape::Round { .. } => stated,
        // One out of its range stays, so that the cup is told of and not reckoned with.
        LipShape::Long { .. } | LipShape::Rectangle { .. } if stated <= 1.0 => {
            stated.min(mechanics::slide_share_within(sealing))
        }
        LipShape::Long { .. } | LipShape::Rectangle { .. } => stated,
    }
}

impl CupFacts {
    /// Gives the cup another level at its port, kPa.
    pub(crate) fn set_level(&mut self, level_kpa: f64) {
        let mean_share = self.channel.map_or(1.0, |channel| channel.mean_share);
        self.level_kpa = level_kpa;
        let holding = self.covered * self.strength.line.area;
        self.strength.vacuum_force = level_kpa * mean_share * holding * N_PER_KPA_MM2;
    }

    /// Whether the engines can take this cup: every figure finite, sizes and forces positive.
    pub(crate) fn usable(&self) -> bool {
        let spring = &self.spring;
        let strength = &self.strength;
        let positive =
            [spring.axial, spring.lateral, strength.vacuum_force, strength.friction, strength.slide_share];
        let not_negative =
            [spring.tilt[0], spring.tilt[1], spring.twist, spring.side_lever, strength.seal_minimum];
        let corner_fits = match self.lip.shape {
            LipShape::Rectangle { length, width, corner } => {
                (0.0..=0.5 * length.min(width)).contains(&corner)
            }
            LipShape::Round { .. } | LipShape::Long { .. } => true,
        };
        corner_fits
            && self.lip.at.is_finite()
            && self.lip.turn.is_finite()
            && positive.iter().all(|value| value.is_finite() && *value > 0.0)
            && not_negative.iter().all(|value| value.is_finite() && *value >= 0.0)
            && strength.slide_share <= 1.0
            && strength.line.length.is_finite()
            && strength.line.length > 0.0
    }
}
