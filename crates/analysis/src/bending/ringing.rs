//! How a sheet rings on its cups, and what strokes and sudden stops make of it.

use super::{
    input::{BendingInput, Move},
    motions::sag_is,
    seated::{Bent, Seated},
};
use crate::{
    report::{ModeReport, RingMotion, RingReport, Rings, StrokeFigures, StrokeRing, SuddenRing},
    snapshot::Snapshot,
};
use document::{CupId, MoveProfile};
use flex::{FlexError, Hung, Oscillator, Ring, SheetLoad, Stroke};
use units::Worded;

/// So many modes are looked for: those beyond answer as if at rest.
const MODES: usize = 6;
/// Times at which a course is kept for playing it back.
const COURSE: usize = 161;
/// Longest ringing after a stroke that is played back, s.
const PLAYED: f64 = 3.0;

const PROFILES: [(MoveProfile, mechanics::MoveProfile); 3] = [
    (MoveProfile::Trapezoid, mechanics::MoveProfile::Trapezoid),
    (MoveProfile::Cycloid, mechanics::MoveProfile::Cycloid),
    (MoveProfile::Quintic, mechanics::MoveProfile::Quintic),
];

/// Modes, and what every motion makes ring; `None` when `told` says to stop.
pub(crate) fn ringing(
    bent: &Bent,
    snapshot: &Snapshot,
    input: &BendingInput,
    told: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Result<RingReport, Worded>> {
    let hung = bent.seated.hung();
    let ring = match hung.ring(MODES, &[]) {
        Err(error) => return Some(Err(error.worded())),
        Ok(ring) => ring,
    };
    let work = Work { seated: &bent.seated, hung, ring: &ring, snapshot, input };
    let count = snapshot.cases.len();
    let mut motions = Vec::with_capacity(count);
    for (index, bent) in bent.report.motions.iter().enumerate() {
        if !told(index, count) {
            return None;
        }
        let rings = match input.move_of(bent.id) {
            Move::InPlane => Ok(Rings::InPlane),
            Move::Stroke(stroke, pause_s) => {
                work.stroke(&stroke, pause_s).map(|found| Rings::Stroke(Box::new(found)))
            }
            Move::Sudden(acceleration) => {
                let pulls: Vec<f64> = bent.cups.iter().map(|cup| cup.load.pull).collect();
                work.sudden(acceleration, &pulls).map(|found| found.map_or(Rings::InPlane, Rings::Sudden))
            }
        };
        match rings {
            Err(error) => return Some(Err(error.worded())),
            Ok(rings) => motions.push(RingMotion { id: bent.id, rings }),
        }
    }
    let modes = ring.modes.iter().map(|mode| {
        let shape = mode.shape.at_corners(hung.sheet());
        let largest = largest(shape);
        ModeReport {
            hz: mode.frequency,
            moving_kg: mode.participation.x.powi(2),
            shape: shape.iter().map(|value| value / largest).collect(),
        }
    });
    let report =
        RingReport { damping: input.damping, limit_mm: input.ring_limit_mm, modes: modes.collect(), motions };
    let known =
        report.modes.iter().all(|mode| mode.hz.is_finite() && mode.shape.iter().all(|v| v.is_finite()));
    Some(if known {
        Ok(report)
    } else {
        Err("its frequencies are outside the range that can be calculated".into())
    })
}

/// The value of the largest size, with its sign; never nothing.
fn largest(values: &[f64]) -> f64 {
    let found = values
        .iter()
        .copied()
        .fold(0.0, |most: f64, value| if value.abs() > most.abs() { value } else { most });
    if found == 0.0 { 1.0 } else { found }
}

struct Work<'a> {
    seated: &'a Seated,
    hung: &'a Hung,
    ring: &'a Ring,
    snapshot: &'a Snapshot,
    input: &'a BendingInput,
}

impl Work<'_> {
    fn figures(&self, stroke: &Stroke) -> Result<(StrokeFigures, flex::Response), FlexError> {
        let found = self.hung.response(self.ring, stroke, self.input.damping, self.input.ring_limit_mm)?;
        let figures = StrokeFigures {
            profile: PROFILES
                .iter()
                .find(|(_, own)| *own == stroke.profile)
                .map_or(MoveProfile::Trapezoid, |p| p.0),
            time_s: stroke.time,
            most_mm: found.most,
            left_mm: found.left,
            wait_s: found.wait,
        };
        Ok((figures, found))
    }

    /// The mode that is left ringing most, as an oscillator.
    fn loudest(&self, found: &flex::Response) -> Result<Option<Oscillator>, FlexError> {
        let sheet = self.hung.sheet();
        let sizes = self.ring.modes.iter().zip(&found.amplitudes);
        let sizes = sizes.map(|(mode, size)| (mode, size * largest(mode.shape.at_corners(sheet)).abs()));
        let loudest = sizes.max_by(|a, b| a.1.total_cmp(&b.1));
        loudest.map(|(mode, _)| Oscillator::new(mode.frequency, self.input.damping)).transpose()
    }

    fn stroke(&self, stroke: &Stroke, pause_s: f64) -> Result<StrokeRing, FlexError> {
        let (stated, found) = self.figures(stroke)?;
        let mut others = Vec::new();
        for (_, profile) in PROFILES {
            let same_time = Stroke { profile, ..*stroke };
            let (figures, own) = self.figures(&same_time)?;
            if profile != stroke.profile {
                others.push(figures);
            }
            // A longer time in which the loudest mode comes to rest by itself.
            let Some(mode) = self.loudest(&own)? else { continue };
            let longer = mode.quieter(&same_time)?;
            if longer.time > stroke.time * (1.0 + 1e-6) {
                others.push(self.figures(&longer)?.0);
            }
        }
        let key = |figures: &StrokeFigures| figures.at_rest_s().unwrap_or(f64::INFINITY);
        others.sort_by(|a, b| key(a).total_cmp(&key(b)));
        let sheet = self.hung.sheet();
        let after = stated.wait_s.unwrap_or(PLAYED).clamp(0.2, PLAYED);
        let course = Hung::course(self.ring, stroke, self.input.damping, after, COURSE)?;
        let shapes: Vec<f64> = self
            .ring
            .modes
            .iter()
            .map(|mode| mode.shape.deflection(sheet, found.most_at).unwrap_or(0.0))
            .collect();
        let scales: Vec<f64> =
            self.ring.modes.iter().map(|mode| largest(mode.shape.at_corners(sheet))).collect();
        let swings = course
            .iter()
            .map(|(time, own)| [*time, own.iter().zip(&shapes).map(|(own, shape)| own * shape).sum::<f64>()]);
        let validity = flex::Sag {
            plane: flex::Plane::default(),
            most: (stated.most_mm, found.most_at),
            least: (0.0, found.most_at),
        }
        .validity(sheet.thickness());
        Ok(StrokeRing {
            stated,
            most_at: found.most_at,
            left_at: found.left_at,
            most_is: sag_is(validity),
            pause_s,
            others,
            course: swings.collect(),
            modal: course
                .iter()
                .map(|(_, own)| own.iter().zip(&scales).map(|(own, scale)| own * scale).collect())
                .collect(),
        })
    }

    /// An acceleration that comes at once; `pulls` are those with it held evenly. `None` where no cup pulls.
    fn sudden(&self, acceleration: f64, pulls: &[f64]) -> Result<Option<SuddenRing>, FlexError> {
        let stop = self.hung.stop(self.ring, self.input.damping, 0.0)?;
        let even = SheetLoad::even(self.hung.sheet(), acceleration.abs());
        let share = self.hung.share(&[even], &[])?;
        let Some(share) = share.first() else { return Ok(None) };
        let each = pulls.iter().zip(&share.cups).zip(&stop.pulls).enumerate();
        let ringing = each.map(|(place, ((pull, own), times))| {
            // Only what the acceleration pulls with is taken more than once.
            (place, pull + (times - 1.0).max(0.0) * own.pull.abs(), *pull, *times)
        });
        let most = ringing.max_by(|a, b| a.1.total_cmp(&b.1));
        Ok(most.map(|(place, pull_n, even_pull_n, times)| SuddenRing {
            cup: self.cup(place),
            pull_n,
            even_pull_n,
            times,
            sag_times: stop.sag,
        }))
    }

    fn cup(&self, place: usize) -> CupId {
        let cup = self.seated.cups.get(place).and_then(|cup| self.snapshot.cups.get(*cup));
        cup.map_or(CupId(0), |cup| cup.id)
    }
}
