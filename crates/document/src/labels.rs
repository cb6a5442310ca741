//! What things are called on screen, on the sheet and in messages.

use crate::{
    Arrangement, CupModel, CurveFlow, CurveKind, Fed, FittingKind, FittingLoss, LipKind, MassBy, MotionKind,
    MoveProfile, Origin, RestrictionUse, SourceKind, Sourced, Stage, StartStop, Texture, TrialKind, Wetness,
    Worst,
};
use geometry::LipShape;

macro_rules! labels {
    ($($type:ident { $($variant:ident => $label:literal),+ $(,)? })+) => { $(
        impl $type {
            /// Every one, in the order a form lists them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];
            /// In plain words, lower case.
            pub fn label(self) -> &'static str {
                match self { $(Self::$variant => $label),+ }
            }
        })+ };
}
labels! {
    Origin { Measured => "measured", Stated => "stated", Assumed => "assumed" }
    Texture { Smooth => "smooth", Structured => "structured", Porous => "porous", Film => "film" }
    Wetness { Dry => "dry", Damp => "damp", Oily => "oily" }
    LipKind { Plain => "plain lip", ThinFilm => "soft thin lip", Foam => "foam ring" }
    MoveProfile { Trapezoid => "trapezoid, thirds", Cycloid => "cycloid", Quintic => "fifth degree" }
    StartStop { Both => "both", AsStated => "as stated only" }
    Arrangement {
        Central => "one central source",
        PerCup => "a source on each cup",
        InLine => "a source in the hose of each cup",
    }
    FittingKind {
        Elbow90 => "90° elbow",
        Elbow45 => "45° elbow",
        TeeRun => "tee, straight through",
        TeeBranch => "tee, out of the branch",
        SweptRun => "swept Y, straight through",
        SweptBranch => "swept Y, out of the branch",
        Straight => "straight fitting",
        WideBend => "wide bend",
    }
    FittingLoss {
        MoreCareful => "largest of three",
        Table => "fixed table",
        TwoConstant => "two constants",
        ThreeConstant => "three constants",
    }
    Fed { OneEnd => "fed at one end", BothEnds => "fed at both ends" }
    RestrictionUse {
        Restrictor => "restrictor",
        CheckValve => "check valve",
        Valve => "valve",
        Filter => "filter",
    }
    CurveFlow { Anr => "air drawn, ANR", Inlet => "volume at the inlet" }
    SourceKind { Ejector => "ejector", Pump => "pump", Blower => "blower" }
    Stage { Baseline => "at commissioning", Field => "later, in the field" }
    CurveKind { Evacuation => "evacuation", LeakDown => "leak-down" }
    MotionKind {
        LevelLift => "level lift",
        LevelCarry => "level carry",
        OnEdge => "carry on edge",
        TurnOver => "turn over",
        EmergencyStop => "emergency stop",
        Swing => "swing",
        StrokeAndTime => "stroke and time",
        Free => "free",
    }
}

impl TrialKind {
    /// What is measured, lower case: "the level at the cup".
    pub fn label(&self) -> &'static str {
        match self {
            Self::Level { .. } => "the level at the cup",
            Self::TimeToLevel { .. } => "the time to the level",
            Self::LeakDown { .. } => "the level lost",
            Self::Friction { .. } => "the friction of the slide test",
        }
    }
}
impl Worst {
    /// In plain words, lower case.
    pub fn label(self) -> &'static str {
        match self {
            Self::AsStated => "as stated",
            Self::Direction => "worst direction of the acceleration",
            Self::Lowest => "worst direction of the tilt",
            Self::TiltTo { .. } => "worst tilt in between",
        }
    }
}

impl CupModel {
    /// What a list shows: "Round 40, flat, medium (40 mm, 50 Shore A)".
    pub fn label(&self) -> String {
        let size = match self.shape {
            LipShape::Round { diameter } => format!("{diameter}"),
            LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => {
                format!("{length} × {width}")
            }
        };
        format!("{} ({size} mm, {} Shore A)", self.name, self.hardness_shore_a)
    }
    /// Shape of the sealing line: what force and strength are computed from.
    pub fn sealing_shape(&self) -> LipShape {
        self.shape.scaled(self.sealing_share.value)
    }
    /// "flat", "one fold", "two folds" ...
    pub fn folds_label(&self) -> &'static str {
        match self.folds {
            0 => "flat",
            1 => "one fold",
            2 => "two folds",
            3 => "three folds",
            4 => "four folds",
            _ => "many folds",
        }
    }
}

impl MassBy {
    /// In plain words, lower case.
    pub fn label(&self) -> &'static str {
        match self {
            Self::Density { .. } => "density",
            Self::Areal { .. } => "mass per area",
            Self::Stated { .. } => "stated mass",
        }
    }
    /// The figure that is given, in kg/m³, kg/m² or kg.
    pub fn given(&self) -> &Sourced<f64> {
        match self {
            Self::Density { kg_m3: given } | Self::Areal { kg_m2: given } | Self::Stated { kg: given } => {
                given
            }
        }
    }
}
