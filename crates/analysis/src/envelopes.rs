//! The largest acceleration in every direction at which each lip still has the required factor.

use crate::{
    loads::Case,
    lower_motion,
    report::{EnvelopePointReport, EnvelopeReport},
    snapshot::Snapshot,
    stages::Analyst,
    words,
};
use document::{CupId, LayoutId, Motion, MotionId, Project};
use glam::DVec3;
use mechanics::{Body, CupGroup, Envelope, EnvelopePoint, Instant, LipStrength, LoadCase};
use units::{Quantity, STANDARD_GRAVITY, Worded};

/// Directions of the curve, besides its corners.
const DIRECTIONS: usize = 72;
/// What is asked of a tool that no motion asks anything of (common practice, no source).
const CUSTOMARY: f64 = 2.0;

/// The required factor that the level envelope keeps: the largest among motions that hold the part level, else among all; only
/// motions with a load case count.
pub(crate) fn required(project: &Project, cases: &[(MotionId, LoadCase)]) -> f64 {
    let largest = |motions: &mut dyn Iterator<Item = &Motion>| {
        motions
            .map(|motion| motion.required_factor)
            .filter(|required| required.is_finite() && *required > 0.0)
            .fold(None, |most: Option<f64>, required| Some(most.map_or(required, |most| most.max(required))))
    };
    let has_case = |motion: &&Motion| cases.iter().any(|(id, _)| *id == motion.id);
    let all = || project.motions.iter().map(AsRef::as_ref).filter(has_case);
    largest(&mut all().filter(|motion| lower_motion::is_level(motion)))
        .or_else(|| largest(&mut all()))
        .unwrap_or(CUSTOMARY)
}

/// What an envelope is worked out for.
pub(crate) struct Held<'a> {
    pub body: &'a Body,
    pub group: &'a CupGroup,
    pub strengths: &'a [LipStrength],
    pub ids: &'a [CupId],
}

impl Held<'_> {
    /// The envelope with the part held level and still; `None` when gravity alone is too much.
    pub(crate) fn level(&self, required: f64, favourable_weight: f64) -> Option<EnvelopeReport> {
        let still = Instant::still(DVec3::NEG_Z * STANDARD_GRAVITY);
        self.around(&[still], (required, favourable_weight), Worded::text("level"))
    }

    fn around(
        &self,
        states: &[Instant],
        (required, favourable_weight): (f64, f64),
        held: Worded,
    ) -> Option<EnvelopeReport> {
        let envelope =
            Envelope::through(self.body, states, self.group, self.strengths, required, favourable_weight)?;
        let point = |point: EnvelopePoint| EnvelopePointReport {
            direction_deg: point.direction.to_degrees(),
            acceleration: point.acceleration,
            cup: self.ids.get(point.cup).copied().unwrap_or(CupId(0)),
            limit: point.limit,
        };
        let points: Vec<EnvelopePointReport> = envelope.curve(DIRECTIONS).into_iter().map(&point).collect();
        let known = |point: &EnvelopePointReport| !point.acceleration.is_nan();
        Some(EnvelopeReport {
            held,
            required_factor: required,
            weakest: point(envelope.weakest()),
            up: point(envelope.along_z(true)),
            down: point(envelope.along_z(false)),
            points,
        })
        .filter(|report| report.points.iter().all(known) && known(&report.weakest))
    }
}

impl Analyst {
    /// The envelope with the part held as in a motion, at that motion's required factor: its tilt at the instant that
    /// governs, and its turning from start to stop, without its acceleration. `None` when gravity and turning alone are too much, or the motion
    /// has no figure.
    pub fn envelope_of(
        &mut self,
        project: &Project,
        layout: LayoutId,
        motion: MotionId,
    ) -> Option<EnvelopeReport> {
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.envelope_of(&alone, layout, motion);
        }
        let snapshot = self.snapshot(project, layout)?;
        let motion = project.motion(motion)?;
        let case = *snapshot.case(motion.id)?;
        let stage = self.layouts.get(&layout)?;
        let (group, solved) = (stage.loads.held_group()?, stage.loads.held_case(motion.id)?);
        let mut states: Vec<Instant> = Vec::new();
        for (_, state) in case.members() {
            let turning = Instant { acceleration: DVec3::ZERO, ..state.at(solved.result.worst_t) };
            if !states.contains(&turning) {
                states.push(turning);
            }
        }
        let held = described(motion, &solved, &case);
        let strengths = snapshot.strengths();
        let ids = ids(&snapshot);
        Held { body: &snapshot.body, group: &group, strengths: &strengths, ids: &ids }.around(
            &states,
            (motion.required_factor, case.favourable_weight),
            held,
        )
    }
}

fn ids(snapshot: &Snapshot) -> Vec<CupId> {
    snapshot.cups.iter().map(|cup| cup.id).collect()
}

/// "level", or "as at turn over, tilted 83.2°".
fn described(motion: &Motion, solved: &Case, case: &LoadCase) -> Worded {
    let turns = case.fixed.turn_rate != DVec3::ZERO || case.fixed.turn_acceleration != DVec3::ZERO;
    let gravity = solved.result.instant.gravity;
    let tilt = gravity.truncate().length().atan2(-gravity.z).to_degrees();
    if tilt.abs() < 1e-9 && !turns {
        return Worded::text("level");
    }
    let turning = if turns { ", turning as there" } else { "" };
    // To a tenth of a degree: a robot is told no finer.
    let tilted = ((tilt * 10.0).round() / 10.0, Quantity::Angle).into();
    Worded::new("as at {}, tilted {}{}", [words::inside(&motion.name).into(), tilted, turning.into()])
}
