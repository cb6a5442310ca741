//! Format 1 as it stands in the file. These types never change once released: a later format gets its own file, and
//! `migrate` brings this one up to it.
//!
//! Lengths mm, angles degrees, masses kg (cups: g), pressures kPa, accelerations m/s², stiffness N/mm.

use serde::{Deserialize, Serialize};

/// Types of things in the file: every field must be there unless it says otherwise, and no other may be.
macro_rules! format_types {
    ($($(#[$doc:meta])* $name:ident { $($(#[$attr:meta])* $field:ident: $type:ty),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name { $($(#[$attr])* pub $field: $type),+ })+ };
}
pub(super) use format_types;

/// x, y.
pub(crate) type Two = (f64, f64);
/// x, y, z.
pub(crate) type Three = (f64, f64, f64);

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Origin {
    Measured,
    Stated,
    Assumed,
}
/// `(0.5, Assumed, "2026-01-31")`; the date may be left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Sourced<T>(pub T, pub Origin, #[serde(default)] pub String);

/// `(x, y)`, or `(x, y, bulge)` where an arc starts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) struct Vertex(pub f64, pub f64, #[serde(default)] pub f64);

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) enum Mass {
    /// kg/m³.
    Density(f64, Origin, #[serde(default)] String),
    /// kg/m².
    Areal(f64, Origin, #[serde(default)] String),
    /// kg.
    Stated(f64, Origin, #[serde(default)] String),
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Texture {
    Smooth,
    Structured,
    Porous,
    Film,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Wetness {
    Dry,
    Damp,
    Oily,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum MotionKind {
    LevelLift,
    LevelCarry,
    OnEdge,
    TurnOver,
    EmergencyStop,
    Swing,
    Free,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Worst {
    AsStated,
    Direction,
    Lowest,
    TiltTo { deg: f64 },
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum LipKind {
    Plain,
    ThinFilm,
    Foam,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum Shape {
    Round { diameter: f64 },
    Long { length: f64, width: f64 },
    Rectangle { length: f64, width: f64, corner: f64 },
}

format_types! {
    /// The whole file.
    Project {
        format: u32,
        name: String,
        last_id: u32,
        site: Site,
        rules: Rules,
        #[serde(default)]
        sheet: Sheet,
        parts: Vec<Part>,
        #[serde(default)]
        circuits: Vec<Circuit>,
        #[serde(default)]
        motions: Vec<Motion>,
        layouts: Vec<Layout>,
        #[serde(default)]
        accepted: Vec<Accepted>,
        #[serde(default)]
        models: Vec<Model>,
    }
    Site {
        altitude_m: f64,
        temperature_c: f64,
    }
    Rules {
        gap_watch_mm: f64,
        factor_watch: f64,
        centroid_offset_share: f64,
        most_over_mean: f64,
        slide_share: f64,
    }
    Part {
        id: u32,
        name: String,
        #[serde(default)]
        material: String,
        thickness_mm: f64,
        mass: Mass,
        #[serde(default)]
        centre_of_gravity: Option<Sourced<Three>>,
        surface: Surface,
        friction: Sourced<f64>,
        #[serde(default)]
        uneven_mm: f64,
        placement: Placement,
        #[serde(default)]
        attached: Vec<Attached>,
        #[serde(default)]
        keep_outs: Vec<KeepOut>,
        #[serde(default)]
        drawing: Option<Drawing>,
        outline: Outline,
    }
    Surface {
        texture: Texture,
        wetness: Wetness,
    }
    Placement {
        position_mm: f64,
        turn_deg: f64,
        drawing_mm: f64,
    }
    Attached {
        id: u32,
        name: String,
        mass_kg: f64,
        at: Three,
        size: Three,
    }
    KeepOut {
        id: u32,
        name: String,
        area: Vec<Vertex>,
    }
    Drawing {
        file_name: String,
        sha256: String,
        unit: String,
    }
    Outline {
        outer: Vec<Vertex>,
        #[serde(default)]
        holes: Vec<Vec<Vertex>>,
    }
    Circuit {
        id: u32,
        name: String,
        level_kpa: Sourced<f64>,
    }
    Motion {
        id: u32,
        name: String,
        kind: MotionKind,
        required_factor: f64,
        tilt_deg: f64,
        lowest_deg: f64,
        acceleration: Three,
        turn_rate_deg_s: Three,
        turn_acceleration_deg_s2: Three,
        pivot_mm: Three,
        worst: Worst,
    }
    Layout {
        id: u32,
        name: String,
        part: u32,
        cups: Vec<Cup>,
    }
    Cup {
        id: u32,
        tag: String,
        model: String,
        at: Two,
        #[serde(default)]
        turn_deg: f64,
        #[serde(default)]
        height_mm: f64,
        circuit: u32,
        #[serde(default)]
        zone: String,
        #[serde(default)]
        locked: bool,
    }
    Accepted {
        rule: String,
        layout: u32,
        subject: Vec<u32>,
        #[serde(default)]
        motion: Option<u32>,
        reason: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
    }
    Model {
        id: String,
        name: String,
        shape: Shape,
        sealing_share: Sourced<f64>,
        bore_mm: f64,
        height_mm: f64,
        travel_mm: f64,
        folds: u8,
        axial_n_mm: Sourced<f64>,
        lateral_n_mm: Sourced<f64>,
        tilt_reduction: Sourced<f64>,
        hardness_shore_a: f64,
        lip: LipKind,
        seal_minimum_n_mm: Sourced<f64>,
        closes_mm: f64,
        allowed: Vec<Texture>,
        #[serde(default)]
        material: String,
        #[serde(default)]
        thread: String,
        #[serde(default)]
        mass_g: f64,
    }
}

/// Title block; every field may be left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Sheet {
    pub title: String,
    pub owner: String,
    pub number: String,
    pub revision: String,
    pub created_by: String,
    pub approved_by: String,
    pub date: String,
    pub document_type: String,
}
