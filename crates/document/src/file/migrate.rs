//! Brings older formats up to the one this program writes, one step at a time.
//!
//! Each format has its own types (`v1`, `v2` ...). When a format is added: its types go beside them, a step from
//! the one before is added to [`to_latest`], and a file of every format ever written stays in `tests/fixtures`.
//! Issued revisions are checked against the fingerprint that they were issued with: a format that adds to the content
//! must take that fingerprint of the content as the format before wrote it.

use super::{FORMAT, FileError, read, v1, v2, v3};
use crate::LipKind;

/// Reads text of a known format with that format's types and takes it up to the latest ones.
pub(super) fn to_latest(format: u32, text: &str, name: &str) -> Result<v3::Project, FileError> {
    match format {
        1 => read::parse::<v1::Project>(text, name).map(|p| v2::Project::from(p).into()),
        2 => read::parse::<v2::Project>(text, name).map(v3::Project::from),
        3 => read::parse(text, name),
        found => Err(FileError::Newer { found, known: FORMAT, path: name.to_owned() }),
    }
}

/// As [`to_latest`] for a list of cup models, which does not say its format. What is wrong is said for the latest.
pub(super) fn models_to_latest(text: &str, name: &str) -> Result<Vec<v3::Model>, FileError> {
    read::parse(text, name).or_else(|wrong| {
        let of_2 = || read::parse::<Vec<v2::Model>>(text, name).ok();
        let of_1 = || Some(all(read::parse::<Vec<v1::Model>>(text, name).ok()?));
        of_2().or_else(of_1).map(all).ok_or(wrong)
    })
}

fn all<A, B: From<A>>(list: Vec<A>) -> Vec<B> {
    list.into_iter().map(B::from).collect()
}

/// The same fields, taken over, and new ones.
macro_rules! step {
    ($($name:ident { $($field:ident),+ } + { $($new:ident: $value:expr),+ })+) => { $(
        impl From<v1::$name> for v2::$name {
            fn from(x: v1::$name) -> Self { Self { $($field: x.$field,)+ $($new: $value),+ } }
        })+ };
}
step! {
    Site { altitude_m, temperature_c } + { payload_kg: None }
    Rules { gap_watch_mm, factor_watch, centroid_offset_share, most_over_mean, slide_share } + {
        payload_watch: v2::payload_watch(),
        friction_spread: v2::friction_spread(),
        stiffness_spread: v2::stiffness_spread(),
        lip_spread: v2::lip_spread(),
        supply_margin: v2::supply_margin(),
        level_spread: v2::level_spread(),
        element_loss: v2::element_loss(),
        favourable_weight: v2::favourable_weight()
    }
    Sheet { title, owner, number, revision, created_by, approved_by, date, document_type } + {
        revisions: Vec::new()
    }
    Part {
        id, name, material, thickness_mm, mass, centre_of_gravity, surface, friction, uneven_mm, placement, attached,
        keep_outs, drawing, outline
    } + { pairs: Vec::new(), permeance_um_pa_s: None }
    Layout { id, name, part, cups } + { tool: None }
}

impl From<v1::Project> for v2::Project {
    fn from(p: v1::Project) -> Self {
        Self {
            format: 2,
            name: p.name,
            last_id: p.last_id,
            site: p.site.into(),
            rules: p.rules.into(),
            cycle: v2::cycle(),
            sheet: p.sheet.into(),
            parts: all(p.parts),
            circuits: all(p.circuits),
            motions: all(p.motions),
            layouts: all(p.layouts),
            trial: v2::Trial::default(),
            accepted: p.accepted,
            models: all(p.models),
            sources: Vec::new(),
        }
    }
}
impl From<v1::MotionKind> for v2::MotionKind {
    fn from(kind: v1::MotionKind) -> Self {
        use v1::MotionKind as Old;
        match kind {
            Old::LevelLift => Self::LevelLift,
            Old::LevelCarry => Self::LevelCarry,
            Old::OnEdge => Self::OnEdge,
            Old::TurnOver => Self::TurnOver,
            Old::EmergencyStop => Self::EmergencyStop,
            Old::Swing => Self::Swing,
            Old::Free => Self::Free,
        }
    }
}
impl From<v1::Motion> for v2::Motion {
    fn from(m: v1::Motion) -> Self {
        Self {
            id: m.id,
            name: m.name,
            kind: m.kind.into(),
            required_factor: m.required_factor,
            tilt_deg: m.tilt_deg,
            lowest_deg: m.lowest_deg,
            acceleration: m.acceleration,
            stroke: None,
            inertia_times: v2::inertia_times(),
            turn_rate_deg_s: m.turn_rate_deg_s,
            turn_acceleration_deg_s2: m.turn_acceleration_deg_s2,
            pivot_mm: m.pivot_mm,
            worst: m.worst,
            start_stop: v2::StartStop::default(),
        }
    }
}
impl From<v1::Model> for v2::Model {
    fn from(m: v1::Model) -> Self {
        Self {
            id: m.id,
            name: m.name,
            shape: m.shape,
            sealing_share: m.sealing_share,
            bore_mm: m.bore_mm,
            height_mm: m.height_mm,
            // Format 1 did not say where it came from.
            travel_mm: v2::Sourced(m.travel_mm, v2::Origin::Assumed, String::new()),
            channel_mm: v2::channel_mm(),
            folds: m.folds,
            axial_n_mm: m.axial_n_mm,
            lateral_n_mm: m.lateral_n_mm,
            tilt_reduction: m.tilt_reduction,
            hardness_shore_a: m.hardness_shore_a,
            lip: m.lip,
            seal_minimum_n_mm: m.seal_minimum_n_mm,
            closes_mm: m.closes_mm,
            allowed: m.allowed,
            material: m.material,
            thread: m.thread,
            mass_g: m.mass_g,
        }
    }
}

impl From<v2::Project> for v3::Project {
    fn from(p: v2::Project) -> Self {
        Self {
            format: FORMAT,
            name: p.name,
            last_id: p.last_id,
            site: p.site,
            rules: p.rules,
            cycle: p.cycle,
            sheet: p.sheet,
            parts: p.parts,
            circuits: p.circuits,
            motions: p.motions,
            layouts: p.layouts,
            trial: p.trial,
            accepted: p.accepted,
            models: all(p.models),
            sources: p.sources,
            review: v3::Review::default(),
            issued: Vec::new(),
        }
    }
}
impl From<v2::Model> for v3::Model {
    fn from(m: v2::Model) -> Self {
        // Format 2 did not know it.
        let life = LipKind::from(m.lip).life_picks();
        Self {
            id: m.id,
            name: m.name,
            shape: m.shape,
            sealing_share: m.sealing_share,
            bore_mm: m.bore_mm,
            height_mm: m.height_mm,
            travel_mm: m.travel_mm,
            channel_mm: m.channel_mm,
            folds: m.folds,
            axial_n_mm: m.axial_n_mm,
            lateral_n_mm: m.lateral_n_mm,
            tilt_reduction: m.tilt_reduction,
            free_ml: None,
            side_lever_mm: None,
            lip_width_mm: None,
            hardness_shore_a: m.hardness_shore_a,
            lip: m.lip,
            lip_life_picks: v3::Sourced(life, v3::Origin::Assumed, String::new()),
            seal_minimum_n_mm: m.seal_minimum_n_mm,
            closes_mm: m.closes_mm,
            allowed: m.allowed,
            material: m.material,
            thread: m.thread,
            mass_g: m.mass_g,
        }
    }
}
