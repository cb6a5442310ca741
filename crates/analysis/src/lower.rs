//! Document to engine problems; the only place where a part, cup or motion becomes an engine's input.
//!
//! The engines take lengths in mm, forces in N, moments in N·m, masses in kg, angles in radians. The document holds
//! angles in degrees, levels in kPa at sea level and models by name; both worlds meet here and nowhere else.

use document::{Cup, CupId, CupModel, MassBy, ModelId, Motion, Part, Project, Worst};
use geometry::{Lip, LipLine, LipShape, MassProperties, Section};
use glam::DVec3;
use mechanics::{Body, CupSpring, Instant, LipStrength, LoadCase, Sweep};
use std::collections::HashMap;
use units::{AbsolutePressure, STANDARD_GRAVITY, VacuumLevel};

/// kPa times mm² in N.
const N_PER_KPA_MM2: f64 = 1e-3;
const NO_MASS: &str = "the part has no mass: state a mass, a mass per area or a density";

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
    /// Vacuum level at the site's atmosphere, kPa.
    pub level_kpa: f64,
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
    let square_metres = section.area * 1e-6;
    let own = match &part.mass {
        MassBy::Density { kg_m3 } => square_metres * geometry::areal_mass(kg_m3.value, part.thickness_mm),
        MassBy::Areal { kg_m2 } => square_metres * kg_m2.value,
        MassBy::Stated { kg } => kg.value,
    };
    if !(own.is_finite() && own > 0.0) {
        return Err(NO_MASS.to_owned());
    }
    let plate = MassProperties::plate(section, part.thickness_mm.max(0.0), own);
    let attached = part.attached.iter().filter(|a| a.mass_kg > 0.0).map(|a| {
        if a.size == DVec3::ZERO {
            MassProperties::point(a.mass_kg, a.at)
        } else {
            MassProperties::block(a.mass_kg, a.at, a.size)
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
        Err("the mass of the part is not a finite figure: check thickness and attached masses".to_owned())
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
        .map(|model| {
            let sealing = model.shape.scaled(model.sealing_share.value);
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
        ),
        strength: LipStrength {
            vacuum_force: level_kpa * facts.line.area * N_PER_KPA_MM2,
            line: facts.line,
            turn: lip.turn,
            shape: facts.sealing,
            friction: part.friction.value,
            slide_share: slide_share(project.rules.slide_share, &facts.sealing),
            seal_minimum: model.seal_minimum_n_mm.value,
        },
        level_kpa,
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
    /// Whether the engines can take this cup: every figure finite, sizes and forces positive.
    pub(crate) fn usable(&self) -> bool {
        let spring = &self.spring;
        let strength = &self.strength;
        let positive =
            [spring.axial, spring.lateral, strength.vacuum_force, strength.friction, strength.slide_share];
        let not_negative = [spring.tilt[0], spring.tilt[1], spring.twist, strength.seal_minimum];
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

/// A motion as a load case in the tool's frame, with the sweep that its worst state asks for.
///
/// When a motion is tilted its acceleration stays as stated in the tool's frame; only gravity turns.
pub(crate) fn load_case(motion: &Motion) -> LoadCase {
    let tilt = motion.tilt_deg.to_radians();
    let lowest = motion.lowest_deg.to_radians();
    let fixed = Instant {
        gravity: mechanics::gravity_when_tilted(STANDARD_GRAVITY, tilt, lowest),
        acceleration: motion.acceleration,
        turn_rate: radians(motion.turn_rate_deg_s),
        turn_acceleration: radians(motion.turn_acceleration_deg_s2),
        pivot: motion.pivot_mm,
    };
    match motion.worst {
        Worst::AsStated => LoadCase { fixed, sweep: None },
        Worst::Direction => every_direction(fixed),
        Worst::Lowest => every_lowest(fixed, tilt),
        Worst::TiltTo { deg } => tilting(fixed, tilt, deg.to_radians(), lowest),
    }
}

/// The in-plane acceleration keeps its size and takes every direction.
fn every_direction(fixed: Instant) -> LoadCase {
    let in_plane = fixed.acceleration.truncate().length();
    if in_plane == 0.0 {
        return LoadCase { fixed, sweep: None };
    }
    LoadCase {
        fixed: Instant { acceleration: DVec3::new(0.0, 0.0, fixed.acceleration.z), ..fixed },
        sweep: Some(Sweep {
            gravity_along: DVec3::ZERO,
            gravity_across: DVec3::ZERO,
            acceleration_along: DVec3::X * in_plane,
            acceleration_across: DVec3::Y * in_plane,
            from: 0.0,
            to: std::f64::consts::TAU,
        }),
    }
}

/// The tilt is kept and every direction in the plan is lowest in turn.
fn every_lowest(fixed: Instant, tilt: f64) -> LoadCase {
    let sideways = STANDARD_GRAVITY * tilt.sin();
    if sideways == 0.0 {
        return LoadCase { fixed, sweep: None };
    }
    LoadCase {
        fixed: Instant { gravity: DVec3::new(0.0, 0.0, -STANDARD_GRAVITY * tilt.cos()), ..fixed },
        sweep: Some(Sweep {
            gravity_along: DVec3::X * sideways,
            gravity_across: DVec3::Y * sideways,
            acceleration_along: DVec3::ZERO,
            acceleration_across: DVec3::ZERO,
            from: 0.0,
            to: std::f64::consts::TAU,
        }),
    }
}

/// The tool tilts from one angle to another about a fixed direction.
fn tilting(fixed: Instant, from: f64, to: f64, lowest: f64) -> LoadCase {
    if from == to {
        return LoadCase { fixed, sweep: None };
    }
    LoadCase {
        fixed: Instant { gravity: DVec3::ZERO, ..fixed },
        sweep: Some(Sweep {
            gravity_along: DVec3::NEG_Z * STANDARD_GRAVITY,
            gravity_across: DVec3::new(lowest.cos(), lowest.sin(), 0.0) * STANDARD_GRAVITY,
            acceleration_along: DVec3::ZERO,
            acceleration_across: DVec3::ZERO,
            from: from.min(to),
            to: from.max(to),
        }),
    }
}

fn radians(degrees: DVec3) -> DVec3 {
    DVec3::new(degrees.x.to_radians(), degrees.y.to_radians(), degrees.z.to_radians())
}
