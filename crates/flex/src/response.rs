//! What a sheet does during a stroke across its plane, after it, and when it is stopped.

use crate::error::FlexError;
use crate::hung::Hung;
use crate::load::SheetLoad;
use crate::oscillator::{Oscillator, Piece, State, Stroke};
use crate::ring::{Mode, Ring};
use glam::DVec2;

/// m of a mm.
const MILLI: f64 = 1e-3;
/// Steps of a halving that finds a time.
const HALVINGS: usize = 60;
/// Periods of the lowest mode after a stop within which its largest answer comes.
const AFTER_A_STOP: f64 = 3.0;

/// What a stroke of the tool along its own axis does to the sheet, against the tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// Largest deflection that the stroke adds to the weight's, mm, where, and when from its start, s.
    pub most: f64,
    /// mm.
    pub most_at: DVec2,
    /// s.
    pub most_after: f64,
    /// Largest amplitude that is left at the end, all modes taken to meet, mm.
    pub left: f64,
    /// Where.
    pub left_at: DVec2,
    /// Time after the end until no place of the sheet rings by more than the limit, s; `None` without damping.
    pub wait: Option<f64>,
    /// Amplitude of each mode at the end, mm of its shape.
    pub amplitudes: Vec<f64>,
}

/// What a sudden stop adds.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// For each cup, how many times the pull of the same acceleration held evenly; 1 where it pulls next to nothing.
    pub pulls: Vec<f64>,
    /// Largest sag over that of the acceleration held evenly.
    pub sag: f64,
}

impl Hung {
    /// Modes of a ring as oscillators.
    fn oscillators(ring: &Ring, damping: f64) -> Result<Vec<Oscillator>, FlexError> {
        ring.modes.iter().map(|mode| Oscillator::new(mode.frequency, damping)).collect()
    }

    /// Deflections at the corners of the mesh per 1 mm/s² of tool acceleration that modes beyond those of the ring give, mm:
    /// the answer at rest less what the modes give at rest.
    fn rest(&self, ring: &Ring) -> Result<Vec<f64>, FlexError> {
        let even = SheetLoad::even(&self.sheet, MILLI);
        let share = self.share(std::slice::from_ref(&even), &ring.lost)?.remove(0);
        let mut rest = self.field(&share).at_corners(&self.sheet).to_vec();
        for mode in &ring.modes {
            let own = mode.participation.x / mode.omega().powi(2);
            rest.iter_mut().zip(&mode.shape.values).for_each(|(r, s)| *r -= own * s);
        }
        Ok(rest)
    }

    /// What a stroke does, with a damping ratio for all modes, and the time until it rings within ± `limit` mm.
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for a stroke, damping or limit that is none; as for sharing.
    ///
    /// # Source
    /// Modal superposition, each mode integrated exactly, modes beyond those of the ring as if at rest (static correction):
    /// Chopra, *Dynamics of Structures*, chapter 12 (from memory).
    pub fn response(
        &self,
        ring: &Ring,
        stroke: &Stroke,
        damping: f64,
        limit: f64,
    ) -> Result<Response, FlexError> {
        crate::error::positive("the limit of ringing in mm", limit)?;
        let pieces = stroke.pieces()?;
        let modes = Self::oscillators(ring, damping)?;
        let rest = self.rest(ring)?;
        let points = &self.sheet.mesh.points;
        // Deflection against the tool counts away from the cups; the tool moves the other way.
        let shares: Vec<f64> = ring.modes.iter().map(|m| -m.participation.x).collect();
        let mut states = vec![State::default(); modes.len()];
        let (mut most, mut most_at, mut most_after) = (0.0_f64, DVec2::ZERO, 0.0);
        let mut start = 0.0;
        for piece in &pieces {
            let count = modes.iter().map(|m| m.places(piece)).max().unwrap_or(1);
            let swings = |t: f64| -> Vec<f64> {
                let swing = |((m, s), f): ((&Oscillator, &State), &f64)| f * m.after(*s, piece, t).x;
                modes.iter().zip(&states).zip(&shares).map(swing).collect()
            };
            let deflection = |corner: usize, now: &[f64], t: f64| {
                let own: f64 = ring.modes.iter().zip(now).map(|(m, x)| m.shape.values[corner] * x).sum();
                own + rest[corner] * piece.at(t)
            };
            let step = piece.time / count as f64;
            let (mut here, mut corner, mut when) = (0.0_f64, 0, 0.0);
            for i in 1..=count {
                let t = step * i as f64;
                let now = swings(t);
                for c in 0..rest.len() {
                    let w = deflection(c, &now, t).abs();
                    if w > here {
                        (here, corner, when) = (w, c, t);
                    }
                }
            }
            let (_, when) = peak(|t| deflection(corner, &swings(t), t).abs(), when, step, piece.time);
            let here = deflection(corner, &swings(when), when);
            if here.abs() > most.abs() {
                (most, most_at, most_after) = (here, points[corner], start + when);
            }
            for (state, mode) in states.iter_mut().zip(&modes) {
                *state = mode.after(*state, piece, piece.time);
            }
            start += piece.time;
        }
        let amplitudes: Vec<f64> =
            modes.iter().zip(&states).zip(&shares).map(|((m, s), f)| f.abs() * m.amplitude(*s)).collect();
        let ringing = |t: f64| {
            let now: Vec<f64> =
                modes.iter().zip(&amplitudes).map(|(m, a)| a * (-m.decay() * t).exp()).collect();
            let at = |corner: usize| {
                ring.modes.iter().zip(&now).map(|(m, a)| a * m.shape.values[corner].abs()).sum::<f64>()
            };
            (0..points.len())
                .map(|i| (at(i), i))
                .fold((0.0, 0), |best, own| if own.0 > best.0 { own } else { best })
        };
        let (left, corner) = ringing(0.0);
        let wait = Self::wait(&modes, left, limit, |t| ringing(t).0);
        Ok(Response { most, most_at, most_after, left, left_at: points[corner], wait, amplitudes })
    }

    /// How far each mode swings during a stroke and for `after` s when it is over, mm of its shape, at `count` evenly spaced times
    /// from its start on.
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for a stroke or damping that is none.
    pub fn course(
        ring: &Ring,
        stroke: &Stroke,
        damping: f64,
        after: f64,
        count: usize,
    ) -> Result<Vec<(f64, Vec<f64>)>, FlexError> {
        let modes = Self::oscillators(ring, damping)?;
        let mut pieces = stroke.pieces()?;
        pieces.push(Piece::constant(after.max(0.0), 0.0));
        let whole: f64 = pieces.iter().map(|piece| piece.time).sum();
        let last = count.max(2) - 1;
        let mut states = vec![State::default(); modes.len()];
        let mut found = Vec::with_capacity(last + 1);
        let mut start = 0.0;
        for (at, piece) in pieces.iter().enumerate() {
            while found.len() <= last {
                let time = whole * found.len() as f64 / last as f64;
                // The last piece takes what rounding leaves beyond it.
                if time > start + piece.time && at + 1 < pieces.len() {
                    break;
                }
                let own = modes.iter().zip(&states).zip(&ring.modes).map(|((mode, state), shape)| {
                    -shape.participation.x * mode.after(*state, piece, time - start).x
                });
                found.push((time, own.collect()));
            }
            for (state, mode) in states.iter_mut().zip(&modes) {
                *state = mode.after(*state, piece, piece.time);
            }
            start += piece.time;
        }
        Ok(found)
    }

    /// When a falling ringing has come down to a limit.
    fn wait(modes: &[Oscillator], left: f64, limit: f64, ringing: impl Fn(f64) -> f64) -> Option<f64> {
        if left <= limit {
            return Some(0.0);
        }
        let slowest = modes.iter().map(Oscillator::decay).fold(f64::INFINITY, f64::min);
        if !(slowest > 0.0 && slowest.is_finite()) {
            return None;
        }
        // All modes fall at least as fast as the slowest.
        let (mut low, mut high) = (0.0, (left / limit).ln() / slowest);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if ringing(middle) > limit { low = middle } else { high = middle }
        }
        Some(high)
    }

    /// What a stop adds whose braking rises from nothing within `rise` s and is then held: an emergency stop with 0.
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for a damping that is none; as for sharing.
    pub fn stop(&self, ring: &Ring, damping: f64, rise: f64) -> Result<Stop, FlexError> {
        let modes = Self::oscillators(ring, damping)?;
        let rise = crate::error::finite("the time in which a stop rises, in s", rise)?.max(0.0);
        let even = SheetLoad::even(&self.sheet, MILLI);
        let share = self.share(std::slice::from_ref(&even), &ring.lost)?.remove(0);
        let rest = self.rest(ring)?;
        let field = self.field(&share);
        let still = field.at_corners(&self.sheet);
        let lowest = ring.modes.iter().map(|m| m.frequency).fold(f64::INFINITY, f64::min);
        let mut pieces = vec![Piece::constant(AFTER_A_STOP / lowest, -1.0)];
        if rise > 0.0 {
            let polynomial = [0.0, -1.0 / rise, 0.0, 0.0];
            pieces.insert(0, Piece { time: rise, polynomial, sine: (0.0, 0.0) });
        }
        let pull_of = |mode: &Mode, cup: usize| mode.participation.x * mode.forces[3 * cup];
        let mut most_pull = vec![0.0_f64; self.cups.len()];
        let mut most_sag = 0.0_f64;
        let mut states = vec![State::default(); modes.len()];
        for piece in &pieces {
            let count = modes.iter().map(|m| m.places(piece)).max().unwrap_or(1);
            let swings = |t: f64| -> Vec<f64> {
                modes.iter().zip(&states).map(|(m, s)| m.after(*s, piece, t).x).collect()
            };
            let pull = |cup: usize, now: &[f64], t: f64| {
                // Modes beyond the ring's as if at rest.
                let modal = |x: &dyn Fn(usize) -> f64| -> f64 {
                    ring.modes.iter().enumerate().map(|(k, m)| pull_of(m, cup) * x(k)).sum()
                };
                let held = share.cups[cup].pull - modal(&|k| ring.modes[k].omega().powi(-2));
                (modal(&|k| now[k]) - held * piece.at(t)) * share.cups[cup].pull.signum()
            };
            let sag = |corner: usize, now: &[f64], t: f64| {
                let modal = |(m, x): (&Mode, &f64)| m.shape.values[corner] * m.participation.x * x;
                (ring.modes.iter().zip(now).map(modal).sum::<f64>() - rest[corner] * piece.at(t)).abs()
            };
            let step = piece.time / count as f64;
            let mut pulls = vec![(0.0_f64, 0.0); most_pull.len()];
            let (mut here, mut corner, mut when) = (0.0_f64, 0, 0.0);
            for i in 1..=count {
                let t = step * i as f64;
                let now = swings(t);
                for (cup, best) in pulls.iter_mut().enumerate() {
                    let own = pull(cup, &now, t);
                    if own > best.0 {
                        *best = (own, t);
                    }
                }
                for c in 0..rest.len() {
                    let own = sag(c, &now, t);
                    if own > here {
                        (here, corner, when) = (own, c, t);
                    }
                }
            }
            for (cup, (most, (_, when))) in most_pull.iter_mut().zip(pulls).enumerate() {
                *most = most.max(peak(|t| pull(cup, &swings(t), t), when, step, piece.time).0);
            }
            most_sag = most_sag.max(peak(|t| sag(corner, &swings(t), t), when, step, piece.time).0);
            for (state, mode) in states.iter_mut().zip(&modes) {
                *state = mode.after(*state, piece, piece.time);
            }
        }
        let largest = share.cups.iter().map(|c| c.pull.abs()).fold(0.0, f64::max);
        let pulls = share
            .cups
            .iter()
            .zip(&most_pull)
            .map(|(cup, most)| if cup.pull.abs() > 1e-6 * largest { most / cup.pull.abs() } else { 1.0 });
        let most_still = still.iter().map(|w| w.abs()).fold(0.0, f64::max);
        Ok(Stop { pulls: pulls.collect(), sag: most_sag / most_still })
    }
}

/// The largest value within a step about a time, and when: where steps alone look, a peak is missed by up to 1 %.
fn peak(of: impl Fn(f64) -> f64, about: f64, step: f64, end: f64) -> (f64, f64) {
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut low, mut high) = ((about - step).max(0.0), (about + step).min(end));
    for _ in 0..HALVINGS {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if of(a) < of(b) { low = a } else { high = b }
    }
    let middle = 0.5 * (low + high);
    let (first, found) = (of(about), of(middle));
    if found > first { (found, middle) } else { (first, about) }
}

impl Mode {
    /// rad/s.
    pub(crate) fn omega(&self) -> f64 {
        std::f64::consts::TAU * self.frequency
    }
}
