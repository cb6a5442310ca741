//! What a new project, part and motion start from. Every figure is assumed until a person says otherwise.

mod circuit;
mod materials;

use crate::{
    Circuit, CircuitId, Cycle, Layout, LayoutId, MassBy, Motion, MotionId, MotionKind, MoveProfile, Part,
    PartId, Placement, Project, Rules, SheetFields, Site, Sourced, StartStop, Stroke, Surface, Texture,
    Wetness, Worst, tidy,
};
use geometry::Outline;
use glam::{DVec2, DVec3};
pub use materials::{MATERIALS, MaterialPreset, POROUS_UM_PA_S, PresetMass, materials_called};
use std::sync::Arc;

/// Zone of a cup that nobody put into another one.
pub const FIRST_ZONE: &str = "A";

impl Project {
    /// A project with one part, one empty layout, one circuit and the default motions.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Part, PartId, Project};
    /// let part = Part::from_outline(PartId(1), "Tray blank", Arc::default());
    /// let project = Project::new("Tray line 2", part);
    /// assert_eq!(project.layouts[0].part, PartId(1));
    /// assert_eq!(project.motions.len(), 4);
    /// ```
    pub fn new(name: &str, part: Part) -> Self {
        let part = tidy::part(part, None);
        let mut last_id = crate::ids::highest_in_part(&part);
        let mut next = || {
            last_id += 1;
            last_id
        };
        let layout = Layout::empty(LayoutId(next()), "Layout A", &part);
        let circuit = Circuit::preset(CircuitId(next()), "Circuit 1");
        let kinds =
            [MotionKind::LevelLift, MotionKind::LevelCarry, MotionKind::OnEdge, MotionKind::EmergencyStop];
        let motions = kinds.map(|kind| Arc::new(Motion::preset(MotionId(next()), kind))).to_vec();
        Self {
            name: name.to_owned(),
            parts: vec![Arc::new(part)],
            layouts: vec![Arc::new(layout)],
            motions,
            circuits: vec![Arc::new(circuit)],
            models: Vec::new(),
            sources: Vec::new(),
            cycle: Cycle::default(),
            trial: Arc::default(),
            site: Site::default(),
            rules: Rules::default(),
            accepted: Vec::new(),
            sheet: SheetFields { title: name.to_owned(), ..SheetFields::default() },
            issued: Vec::new(),
            traced: None,
            review: Arc::default(),
            last_id,
        }
    }
}

impl Circuit {
    /// A circuit at 60 kPa, assumed: what a single-stage source holds on a tight part (common practice, no source).
    pub fn preset(id: CircuitId, name: &str) -> Self {
        Self { id, name: name.to_owned(), level_kpa: Sourced::assumed(60.0), thresholds: None, supply: None }
    }
}

impl Motion {
    /// A preset of the kind with its customary figures and required factor: 2, and 4 where friction alone carries
    /// (common practice, no source).
    ///
    /// ```
    /// # use document::{Motion, MotionId, MotionKind};
    /// let on_edge = Motion::preset(MotionId(7), MotionKind::OnEdge);
    /// assert_eq!(on_edge.tilt_deg, 90.0);
    /// assert_eq!(on_edge.required_factor, 4.0);
    /// ```
    pub fn preset(id: MotionId, kind: MotionKind) -> Self {
        let name = |s: &str| s.to_owned();
        let level = Self {
            id,
            name: String::new(),
            required_factor: 2.0,
            kind,
            tilt_deg: 0.0,
            lowest_deg: -90.0,
            acceleration: DVec3::ZERO,
            stroke: None,
            inertia_times: 1.0,
            turn_rate_deg_s: DVec3::ZERO,
            turn_acceleration_deg_s2: DVec3::ZERO,
            pivot_mm: DVec3::ZERO,
            worst: Worst::AsStated,
            start_stop: StartStop::Both,
        };
        match kind {
            MotionKind::LevelLift => {
                Self { name: name("Level lift"), acceleration: DVec3::new(0.0, 0.0, 2.0), ..level }
            }
            MotionKind::LevelCarry => Self {
                name: name("Level carry"),
                acceleration: DVec3::new(3.0, 0.0, 0.0),
                worst: Worst::Direction,
                ..level
            },
            // Lifted along +y, against the lowest direction.
            MotionKind::OnEdge => Self {
                name: name("Carry on edge"),
                required_factor: 4.0,
                tilt_deg: 90.0,
                acceleration: DVec3::new(0.0, 1.0, 0.0),
                ..level
            },
            // -y goes down first: a turn about -x. The axis lies in the tool, above the lips.
            MotionKind::TurnOver => Self {
                name: name("Turn over"),
                required_factor: 4.0,
                turn_rate_deg_s: DVec3::new(-60.0, 0.0, 0.0),
                turn_acceleration_deg_s2: DVec3::new(-120.0, 0.0, 0.0),
                pivot_mm: DVec3::new(0.0, 0.0, 200.0),
                worst: Worst::TiltTo { deg: 180.0 },
                ..level
            },
            MotionKind::EmergencyStop => Self {
                name: name("Emergency stop"),
                acceleration: DVec3::new(8.0, 0.0, 0.0),
                worst: Worst::Direction,
                ..level
            },
            MotionKind::Swing => Self {
                name: name("Swing"),
                turn_rate_deg_s: DVec3::new(0.0, 0.0, 90.0),
                turn_acceleration_deg_s2: DVec3::new(0.0, 0.0, 180.0),
                pivot_mm: DVec3::new(-1000.0, 0.0, 0.0),
                ..level
            },
            MotionKind::StrokeAndTime => Self {
                name: name("Move by stroke and time"),
                acceleration: DVec3::new(1.0, 0.0, 0.0),
                stroke: Some(Stroke {
                    mm: 800.0,
                    time_s: 0.8,
                    profile: MoveProfile::Trapezoid,
                    pause_s: 0.0,
                }),
                worst: Worst::Direction,
                ..level
            },
            MotionKind::Free => Self { name: name("Motion"), ..level },
        }
    }
}

impl Part {
    /// A part with this outline: 1 mm steel sheet, dry and smooth, everything assumed.
    ///
    /// # Units
    /// Outline in mm.
    pub fn from_outline(id: PartId, name: &str, outline: Arc<Outline>) -> Self {
        let mut part = Self {
            id,
            name: name.to_owned(),
            outline,
            keep_outs: Vec::new(),
            drawing: None,
            material: String::new(),
            thickness_mm: 1.0,
            mass: MassBy::Density { kg_m3: Sourced::assumed(7850.0) },
            centre_of_gravity: None,
            attached: Vec::new(),
            surface: Surface::default(),
            friction: Sourced::assumed(0.5),
            pairs: Vec::new(),
            permeance_um_pa_s: None,
            modulus_n_mm2: None,
            poisson: None,
            modulus_across_n_mm2: None,
            along_deg: 0.0,
            allowable_n_mm2: None,
            damping: None,
            stiff_blocks: false,
            datum: None,
            uneven_mm: 0.0,
            placement: Placement::default(),
        };
        if let Some(steel) = MATERIALS.first() {
            steel.apply_to(&mut part);
        }
        part
    }
    /// A plain rectangle with its lower left corner at the origin, otherwise as [`Part::from_outline`].
    ///
    /// # Units
    /// Sides in mm.
    pub fn rectangle(id: PartId, name: &str, width_mm: f64, depth_mm: f64) -> Self {
        let outer = geometry::Loop::rectangle(DVec2::ZERO, DVec2::new(width_mm, depth_mm));
        Self::from_outline(id, name, Arc::new(Outline { outer, holes: Vec::new() }))
    }
}

impl Default for Surface {
    fn default() -> Self {
        Self { texture: Texture::Smooth, wetness: Wetness::Dry }
    }
}
impl Default for Placement {
    /// A part against stops on a table: 1 mm, 0.5°, 0.5 mm.
    fn default() -> Self {
        Self { position_mm: 1.0, turn_deg: 0.5, drawing_mm: 0.5 }
    }
}
impl Default for Site {
    /// Sea level, 20 °C.
    fn default() -> Self {
        Self { altitude_m: 0.0, temperature_c: 20.0, payload_kg: None }
    }
}
impl Default for Cycle {
    /// 600 picks an hour of 2 s, two shifts, and prices to begin with (invented, generic figures); 0.113 kWh for a m³ ANR
    /// is isentropic work to 700 kPa at an overall efficiency of 0.7.
    fn default() -> Self {
        Self {
            picks_per_hour: Sourced::assumed(600.0),
            hold_s: Sourced::assumed(2.0),
            hours_per_year: Sourced::assumed(4000.0),
            air_price_per_m3: Sourced::assumed(0.025),
            energy_price_per_kwh: Sourced::assumed(0.20),
            compressor_kwh_per_m3: Sourced::assumed(0.113),
            currency: "EUR".to_owned(),
        }
    }
}
impl Default for Rules {
    fn default() -> Self {
        Self {
            gap_watch_mm: 2.0,
            factor_watch: 1.15,
            centroid_offset_share: 0.10,
            most_over_mean: 1.5,
            slide_share: 0.9,
            payload_watch: 0.85,
            // Figures given for one rubber on one surface lie that far apart with load, wear, dust, film and damp
            // (common practice, no source).
            friction_spread: 0.3,
            stiffness_spread: 0.3,
            lip_spread: 0.05,
            supply_margin: 0.25,
            level_spread: 0.05,
            element_loss: 0.10,
            favourable_weight: 0.9,
            sag_watch_mm: 10.0,
            ring_limit_mm: 1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_motion_has_a_preset() {
        for kind in MotionKind::ALL {
            let motion = Motion::preset(MotionId(3), *kind);
            assert_eq!((motion.id, motion.kind), (MotionId(3), *kind));
            assert!(!motion.name.is_empty());
            // Common practice, no source: 2 level, 4 where friction alone carries.
            let upright = motion.tilt_deg == 90.0 || matches!(motion.worst, Worst::TiltTo { .. });
            assert_eq!(motion.required_factor, if upright { 4.0 } else { 2.0 });
        }
    }

    #[test]
    fn ids_of_a_new_project_are_distinct_and_counted() {
        let project = Project::new("P", Part::from_outline(PartId(9), "Blank", Arc::default()));
        let mut ids: Vec<u32> = project.motions.iter().map(|m| m.id.0).collect();
        ids.extend([project.parts[0].id.0, project.layouts[0].id.0, project.circuits[0].id.0]);
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), 7);
        assert_eq!(ids.last(), Some(&project.last_id));
        assert_eq!(project.circuits[0].level_kpa, Sourced::assumed(60.0));
    }
}
