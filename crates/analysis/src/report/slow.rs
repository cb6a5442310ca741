//! Slow figures of one motion: limit factor, range, losses.

use super::CupInMotion;
use crate::{slow::Slow, words};
use document::CupId;

/// Whether a slow figure belongs to the plan that the rest of the report is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Age {
    /// It does.
    Current,
    /// It is of an earlier plan and is being worked out anew.
    Older,
    /// There is none yet.
    #[default]
    Absent,
}

/// The age of every slow figure; absent all, to begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Ages([Age; Slow::COUNT]);

impl Ages {
    /// Each by its kind.
    pub fn by(age: impl Fn(Slow) -> Age) -> Self {
        let mut ages = Self::default();
        Slow::all().for_each(|slow| ages.0[slow.place()] = age(slow));
        ages
    }

    /// That of one figure.
    pub fn of(&self, slow: Slow) -> Age {
        self.0[slow.place()]
    }

    /// Whether a figure belongs to this plan.
    pub fn is_current(&self, slow: Slow) -> bool {
        self.of(slow) == Age::Current
    }

    /// Whether all belong to this plan.
    pub fn all_current(&self) -> bool {
        self.0.iter().all(|age| *age == Age::Current)
    }

    /// Those of some figures that are of an age, in words: "lost cups and limit factors"; `None` where none is.
    pub fn told(&self, age: Age, among: &[Slow]) -> Option<String> {
        let of_age = among.iter().filter(|slow| self.of(**slow) == age);
        let names: Vec<String> = of_age.map(|slow| slow.name().to_owned()).collect();
        (!names.is_empty()).then(|| words::all(&names))
    }
}

/// Slow figures of one motion.
#[derive(Debug, Clone, PartialEq)]
pub struct MotionSlow {
    /// How many times the load could be carried were it shared in the best way: the reserve behind the first failure.
    pub limit: LimitFigure,
    /// See [`LimitFigure::at_least`].
    pub limit_at_least: Option<f64>,
    /// What the factor may be when assumed inputs are off by their spread; `None` when nothing it depends on is assumed.
    pub range: Option<FactorRange>,
    /// Every cup, and every zone of more than one cup, lost in turn.
    pub lost: Vec<LostReport>,
    /// Factor of the first lip with each cup left out and the levels of the others as they are; `None` where nothing is left
    /// that carries. Of very many cups the weakest only.
    pub without: Vec<(CupId, Option<f64>)>,
}

/// A limit factor, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub enum LimitFigure {
    /// The largest multiple of the load.
    Factor(f64),
    /// No multiple of the load is too much.
    Unlimited,
    /// Why there is no figure, as a sentence.
    Missing(String),
    /// It was not worked out yet.
    Pending,
}

impl LimitFigure {
    /// What to say of a bound beside a limit factor: the smallest that any direction of a sweep may have, as proved.
    /// `None` when the bound tells the limit to three digits, as it does as a rule, or there is no limit factor; 0 when
    /// nothing was proved.
    pub fn at_least(&self, proved: Option<f64>) -> Option<f64> {
        let Self::Factor(limit) = self else { return None };
        let proved = proved.unwrap_or(0.0);
        (proved < limit * (1.0 - 5e-4)).then_some(proved)
    }
}

/// What is left on the cups when one cup or zone lets go: an open bore lowers the level at its neighbours.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelsWhenLost {
    /// What is lost at first.
    pub lost: Lost,
    /// Every cup that is left.
    pub cups: Vec<LevelLeft>,
}

/// What is left on one cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelLeft {
    /// The cup.
    pub cup: CupId,
    /// At its port, kPa.
    pub level_kpa: f64,
    /// Mean level times the area inside the sealing line, N.
    pub vacuum_force_n: f64,
}

/// Least and largest factor over what is assumed.
#[derive(Debug, Clone, PartialEq)]
pub struct FactorRange {
    /// With every assumed input at its worst.
    pub least: f64,
    /// With everything assumed at its better end; infinite when nothing then loads a lip.
    pub most: f64,
    /// What was assumed: "friction of nitrile rubber on Tray blank".
    pub inputs: Vec<String>,
}

/// What is lost at first.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Lost {
    /// One cup lets go.
    Cup(CupId),
    /// All cups of a zone let go.
    Zone(String),
}

/// What follows when a cup or a zone lets go.
#[derive(Debug, Clone, PartialEq)]
pub struct LostReport {
    /// What is lost at first.
    pub lost: Lost,
    /// Factor of the first lip of what is left; `None` when what is left cannot carry the motion at all.
    pub factor: Option<f64>,
    /// Limit factor of what is left.
    pub limit: LimitFigure,
    /// See [`LimitFigure::at_least`].
    pub limit_at_least: Option<f64>,
    /// Cups that let go because of it, in their order.
    pub then_lost: Vec<CupId>,
    /// Whether the part stays on the tool in the end.
    pub holds: bool,
}

/// One step of a loss, for replay on the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct LossStepReport {
    /// Who lets go in this step.
    pub newly: Vec<CupId>,
    /// All who have let go.
    pub gone: Vec<CupId>,
    /// What is left and what each carries; empty when the part drops.
    pub cups: Vec<CupInMotion>,
    /// Factor of the first lip of what is left.
    pub factor: Option<f64>,
    /// One sentence: "C3 lets go; C4 is then the weakest with 0.84".
    pub says: String,
}
