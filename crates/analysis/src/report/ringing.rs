//! How a part that bends rings, and what stands behind its factors.

use super::SagIs;
use document::{CupId, MotionId, MoveProfile};
use glam::DVec2;

/// The ringing of a part on its cups.
#[derive(Debug, Clone, PartialEq)]
pub struct RingReport {
    /// Damping ratio that all modes are taken with.
    pub damping: f64,
    /// Ringing that counts as rest, mm either way.
    pub limit_mm: f64,
    /// The lowest ways in which it rings, lowest first.
    pub modes: Vec<ModeReport>,
    /// Every motion with a figure, in the order of the project.
    pub motions: Vec<RingMotion>,
}

/// One way in which a part rings.
#[derive(Debug, Clone, PartialEq)]
pub struct ModeReport {
    /// Hz.
    pub hz: f64,
    /// Mass that moves with it when the tool moves along its axis, kg.
    pub moving_kg: f64,
    /// Its shape at the corners of [`super::SagMap`], the largest of them 1.
    pub shape: Vec<f64>,
}

/// What one motion makes ring.
#[derive(Debug, Clone, PartialEq)]
pub struct RingMotion {
    /// Which motion.
    pub id: MotionId,
    /// What it does.
    pub rings: Rings,
}

/// What a motion does to a sheet across its plane.
#[derive(Debug, Clone, PartialEq)]
pub enum Rings {
    /// Nothing: it moves in the plane of the sheet.
    InPlane,
    /// A stroke from rest to rest.
    Stroke(Box<StrokeRing>),
    /// An acceleration that may come at once, as in an emergency stop.
    Sudden(SuddenRing),
}

/// What a stroke does, and what others would.
#[derive(Debug, Clone, PartialEq)]
pub struct StrokeRing {
    /// As stated.
    pub stated: StrokeFigures,
    /// Where the largest deflection is, mm.
    pub most_at: DVec2,
    /// Where most is left, mm.
    pub left_at: DVec2,
    /// What small deflections are worth at the largest deflection.
    pub most_is: SagIs,
    /// Pause after the stroke, s.
    pub pause_s: f64,
    /// Other profiles in the same time, and times that are a whole number of periods; the soonest at rest first.
    pub others: Vec<StrokeFigures>,
    /// Deflection beyond the weight's at the place of the largest, from the start of the stroke on: s and mm.
    pub course: Vec<[f64; 2]>,
    /// Part of each mode in the shape at each time of the course, mm of its shape.
    pub modal: Vec<Vec<f64>>,
}

impl StrokeRing {
    /// The stroke that has the part at rest soonest, where that is sooner than as stated.
    pub fn better(&self) -> Option<&StrokeFigures> {
        let now = self.stated.at_rest_s()?;
        let best = self.others.iter().find(|other| other.at_rest_s().is_some())?;
        (best.at_rest_s()? < now - 1e-3).then_some(best)
    }
}

/// What one stroke does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrokeFigures {
    /// How its speed goes.
    pub profile: MoveProfile,
    /// Its time, s.
    pub time_s: f64,
    /// Largest deflection that it adds to the weight's, mm.
    pub most_mm: f64,
    /// Amplitude that is left at its end, all modes taken to meet, mm.
    pub left_mm: f64,
    /// Time after its end until the part counts as at rest, s; `None` where it never does.
    pub wait_s: Option<f64>,
}

impl StrokeFigures {
    /// Time from its start until the part counts as at rest, s.
    pub fn at_rest_s(&self) -> Option<f64> {
        Some(self.time_s + self.wait_s?)
    }
}

/// What an acceleration does that comes at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuddenRing {
    /// The cup with the largest pull while it rings.
    pub cup: CupId,
    /// That pull, N.
    pub pull_n: f64,
    /// Its pull with the acceleration held evenly, N.
    pub even_pull_n: f64,
    /// How many times the share of the acceleration alone that is: the dynamic factor of that cup.
    pub times: f64,
    /// Largest sag of the acceleration alone over that when it is held evenly.
    pub sag_times: f64,
}

/// What stands behind the factors of a part that bends.
#[derive(Debug, Clone, PartialEq)]
pub struct BentReserve {
    /// Every motion with a figure, in the order of the project.
    pub motions: Vec<ReserveMotion>,
    /// Where one more cup lowers the largest sag most; `None` where no place does.
    pub one_more: Option<OneMoreCup>,
    /// How far the part is drawn into each lip.
    pub dishing: Vec<DishedCup>,
}

impl BentReserve {
    /// One of its motions.
    pub fn of_motion(&self, motion: MotionId) -> Option<&ReserveMotion> {
        self.motions.iter().find(|reserve| reserve.id == motion)
    }
}

/// The reserve of one motion.
#[derive(Debug, Clone, PartialEq)]
pub struct ReserveMotion {
    /// Which motion.
    pub id: MotionId,
    /// Largest principal bending stress at a face, N/mm².
    pub stress_n_mm2: f64,
    /// Where, mm.
    pub stress_at: DVec2,
    /// Every cup that carries, lost in turn.
    pub lost: Vec<BentLost>,
    /// Least and largest factor over what is assumed; `None` where nothing assumed moves it.
    pub range: Option<[f64; 2]>,
}

/// What follows when a cup of a part that bends lets go.
#[derive(Debug, Clone, PartialEq)]
pub struct BentLost {
    /// The cup.
    pub cup: CupId,
    /// Factor of the first lip of what is left; `None` where that cannot carry the motion.
    pub factor: Option<f64>,
    /// Cups that let go because of it, in their order.
    pub then_lost: Vec<CupId>,
    /// Whether the part stays on the tool in the end.
    pub holds: bool,
}

/// One more cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneMoreCup {
    /// A cup of the same kind.
    pub like: CupId,
    /// Where it would stand, mm.
    pub at: DVec2,
    /// Largest sag over all motions now, mm.
    pub before_mm: f64,
    /// With it, mm: solved, not estimated.
    pub after_mm: f64,
}

/// How far a part is drawn into a lip, between its edge held square and free to turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DishedCup {
    /// The cup.
    pub id: CupId,
    /// mm.
    pub held_mm: f64,
    /// mm.
    pub free_mm: f64,
    /// Largest bending stress of both bounds, N/mm².
    pub stress_n_mm2: f64,
    /// What small deflections are worth there.
    pub is: SagIs,
}
