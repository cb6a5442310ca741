//! One way of ringing by itself: exactly through a stroke, and what is left after it.

use crate::error::{FlexError, finite, positive};
use mechanics::MoveProfile;
use std::f64::consts::TAU;

/// Places at which a swing is looked at per period of it, before its extremes are narrowed down.
const PER_PERIOD: f64 = 24.0;
/// No more places in one piece of a stroke.
const MOST_PLACES: usize = 20_000;

/// A relative difference of frequencies that changes no figure.
const HAIR: f64 = 1e-6;

/// A move from rest to rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// How its acceleration runs.
    pub profile: MoveProfile,
    /// mm.
    pub length: f64,
    /// s.
    pub time: f64,
}

/// An acceleration over a while: a polynomial in time, mm/s² and s, and one sine.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    pub time: f64,
    pub polynomial: [f64; 4],
    /// Size and angular frequency, rad/s.
    pub sine: (f64, f64),
}

impl Piece {
    pub fn constant(time: f64, acceleration: f64) -> Self {
        Self { time, polynomial: [acceleration, 0.0, 0.0, 0.0], sine: (0.0, 0.0) }
    }

    /// Acceleration after a time, mm/s².
    pub fn at(&self, t: f64) -> f64 {
        let [a, b, c, d] = self.polynomial;
        a + t * (b + t * (c + t * d)) + self.sine.0 * (self.sine.1 * t).sin()
    }
}

impl Stroke {
    /// Its acceleration, piece by piece.
    ///
    /// # Source
    /// Second derivatives of [`MoveProfile::position`].
    pub(crate) fn pieces(&self) -> Result<Vec<Piece>, FlexError> {
        positive("the time of a stroke in s", self.time)?;
        finite("the length of a stroke in mm", self.length)?;
        let (t, a) = (self.time, self.length / (self.time * self.time));
        Ok(match self.profile {
            MoveProfile::Trapezoid => [4.5, 0.0, -4.5].map(|s| Piece::constant(t / 3.0, s * a)).to_vec(),
            MoveProfile::Cycloid => {
                vec![Piece { time: t, polynomial: [0.0; 4], sine: (TAU * a, TAU / t) }]
            }
            MoveProfile::Quintic => {
                let polynomial = [0.0, 60.0 * a / t, -180.0 * a / (t * t), 120.0 * a / t.powi(3)];
                vec![Piece { time: t, polynomial, sine: (0.0, 0.0) }]
            }
        })
    }
}

/// Deflection against the tool and its speed, mm and mm/s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct State {
    pub x: f64,
    pub v: f64,
}

/// A mass on a spring with damping: x″ + 2 ζ ω x′ + ω² x = -a(t), x against the tool that moves with a.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oscillator {
    /// rad/s.
    omega: f64,
    damping: f64,
}

impl Oscillator {
    /// From a frequency in Hz and a damping ratio, 0 to below 1.
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for others.
    pub fn new(frequency: f64, damping: f64) -> Result<Self, FlexError> {
        positive("a frequency in Hz", frequency)?;
        if !(0.0..1.0).contains(&damping) {
            let need = "enter 0 to below 1; thin sheets have 0.005 to 0.05";
            return Err(FlexError::BadInput { what: "the damping ratio", value: damping, need });
        }
        Ok(Self { omega: TAU * frequency, damping })
    }

    /// Rate at which its envelope falls, 1/s.
    pub fn decay(&self) -> f64 {
        self.damping * self.omega
    }

    /// Frequency of its damped swing, rad/s.
    fn damped(&self) -> f64 {
        self.omega * (1.0 - self.damping * self.damping).sqrt()
    }

    /// Amplitude of the free swing through a state, mm.
    pub(crate) fn amplitude(&self, state: State) -> f64 {
        state.x.hypot((state.v + self.decay() * state.x) / self.damped())
    }

    /// The forced part of the answer to a piece after a time: position and speed.
    fn forced(&self, piece: &Piece, t: f64) -> State {
        let (w2, c) = (self.omega * self.omega, 2.0 * self.decay());
        let a = piece.polynomial;
        let p3 = -a[3] / w2;
        let p2 = (-a[2] - 3.0 * c * p3) / w2;
        let p1 = (-a[1] - 2.0 * c * p2 - 6.0 * p3) / w2;
        let p0 = (-a[0] - c * p1 - 2.0 * p2) / w2;
        let mut state = State { x: p0 + t * (p1 + t * (p2 + t * p3)), v: p1 + t * (2.0 * p2 + 3.0 * t * p3) };
        let (size, sine) = piece.sine;
        if size != 0.0 {
            // x = P sin + Q cos.
            let gap = w2 - sine * sine;
            let drag = c * sine;
            let whole = gap * gap + drag * drag;
            let (p, q) = (-size * gap / whole, size * drag / whole);
            let (s, co) = (sine * t).sin_cos();
            state.x += p * s + q * co;
            state.v += sine * (p * co - q * s);
        }
        state
    }

    /// State after a time within a piece that began with `from`; exact.
    ///
    /// # Source
    /// Linear oscillator, e.g. Chopra, *Dynamics of Structures*, chapters 2 to 4 (from memory).
    pub(crate) fn after(&self, from: State, piece: &Piece, t: f64) -> State {
        // At its very frequency the forced and the free part both grow without end: a hair beside it their sum is the same.
        let sine = piece.sine.1;
        if self.damping < HAIR && piece.sine.0 != 0.0 && (self.omega - sine).abs() < HAIR * sine {
            return Self { omega: sine * (1.0 + 2.0 * HAIR), ..*self }.after(from, piece, t);
        }
        let start = self.forced(piece, 0.0);
        let (decay, wd) = (self.decay(), self.damped());
        let free = State { x: from.x - start.x, v: from.v - start.v };
        let (a, b) = (free.x, (free.v + decay * free.x) / wd);
        let (s, c) = (wd * t).sin_cos();
        let fall = (-decay * t).exp();
        let now = self.forced(piece, t);
        State {
            x: now.x + fall * (a * c + b * s),
            v: now.v + fall * (wd * (b * c - a * s) - decay * (a * c + b * s)),
        }
    }

    /// State at the end of pieces, from rest.
    pub(crate) fn end(&self, pieces: &[Piece]) -> State {
        pieces.iter().fold(State::default(), |state, piece| self.after(state, piece, piece.time))
    }

    /// Amplitude that is left at the end of a stroke, mm.
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for a stroke without time.
    pub fn left_after(&self, stroke: &Stroke) -> Result<f64, FlexError> {
        Ok(self.amplitude(self.end(&stroke.pieces()?)))
    }

    /// In how many steps a piece is looked at.
    pub(crate) fn places(&self, piece: &Piece) -> usize {
        ((PER_PERIOD * piece.time * self.omega / TAU).ceil() as usize).clamp(PER_PERIOD as usize, MOST_PLACES)
    }

    /// The next longer time for a stroke that leaves least: within one and a half periods, where a trapezoid leaves nothing at a
    /// whole multiple of that, a cycloid at whole periods.
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for a stroke without time.
    pub fn quieter(&self, stroke: &Stroke) -> Result<Stroke, FlexError> {
        const STEPS: usize = 150;
        let longest = 1.55 * TAU / self.damped();
        let at = |t: f64| Stroke { time: t, ..*stroke };
        let left = |t: f64| self.left_after(&at(t));
        let step = longest / STEPS as f64;
        let mut best = (left(stroke.time)?, stroke.time);
        for i in 1..=STEPS {
            let t = stroke.time + i as f64 * step;
            let found = left(t)?;
            if found < best.0 {
                best = (found, t);
            }
        }
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        let (mut low, mut high) = ((best.1 - step).max(stroke.time), best.1 + step);
        for _ in 0..60 {
            let (a, b) = (high - golden * (high - low), low + golden * (high - low));
            if left(a)? < left(b)? { high = b } else { low = a }
        }
        let found = 0.5 * (low + high);
        Ok(at(if left(found)? <= best.0 { found } else { best.1 }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Small steps of the classical fourth-order rule.
    fn integrated(o: &Oscillator, pieces: &[Piece]) -> (State, f64) {
        let (mut s, mut most) = (State::default(), 0.0_f64);
        for piece in pieces {
            let n = 40_000;
            let h = piece.time / f64::from(n);
            let slope =
                |s: State, t: f64| (s.v, -piece.at(t) - 2.0 * o.decay() * s.v - o.omega * o.omega * s.x);
            for i in 0..n {
                let t = h * f64::from(i);
                let a = slope(s, t);
                let b = slope(State { x: s.x + 0.5 * h * a.0, v: s.v + 0.5 * h * a.1 }, t + 0.5 * h);
                let c = slope(State { x: s.x + 0.5 * h * b.0, v: s.v + 0.5 * h * b.1 }, t + 0.5 * h);
                let d = slope(State { x: s.x + h * c.0, v: s.v + h * c.1 }, t + h);
                s.x += h / 6.0 * (a.0 + 2.0 * b.0 + 2.0 * c.0 + d.0);
                s.v += h / 6.0 * (a.1 + 2.0 * b.1 + 2.0 * c.1 + d.1);
                most = most.max(s.x.abs());
            }
        }
        (s, most)
    }

    #[test]
    fn every_profile_is_followed_exactly() {
        for profile in MoveProfile::ALL {
            for (frequency, damping, time) in [(5.0, 0.01, 0.83), (2.0, 0.2, 0.4), (11.0, 0.0, 0.31)] {
                let o = Oscillator::new(frequency, damping).unwrap();
                let stroke = Stroke { profile, length: 400.0, time };
                let (end, scale) = integrated(&o, &stroke.pieces().unwrap());
                assert!(
                    (o.amplitude(end) - o.left_after(&stroke).unwrap()).abs() < 1e-6 * scale,
                    "{profile:?}"
                );
            }
        }
    }

    #[test]
    fn a_stroke_stops_where_it_should() {
        for profile in MoveProfile::ALL {
            let stroke = Stroke { profile, length: 321.0, time: 0.7 };
            let (mut v, mut x) = (0.0, 0.0);
            for piece in stroke.pieces().unwrap() {
                let n = 20_000;
                let h = piece.time / f64::from(n);
                for i in 0..n {
                    let a = piece.at(h * (f64::from(i) + 0.5));
                    x += h * v + 0.5 * h * h * a;
                    v += h * a;
                }
            }
            assert!(v.abs() < 1e-6 && (x - 321.0).abs() < 1e-4, "{profile:?} {v} {x}");
        }
    }

    #[test]
    fn a_sine_at_the_very_frequency_is_followed() {
        let o = Oscillator::new(4.0, 0.0).unwrap();
        let stroke = Stroke { profile: MoveProfile::Cycloid, length: 100.0, time: 0.25 };
        let (end, _) = integrated(&o, &stroke.pieces().unwrap());
        let found = o.left_after(&stroke).unwrap();
        assert!((found / o.amplitude(end) - 1.0).abs() < 1e-5, "{found} {}", o.amplitude(end));
    }

    #[test]
    fn a_quieter_time_is_a_multiple_of_one_and_a_half_periods() {
        let o = Oscillator::new(5.0, 0.0).unwrap();
        let stroke = Stroke { profile: MoveProfile::Trapezoid, length: 500.0, time: 1.0 };
        let quiet = o.quieter(&stroke).unwrap();
        assert!((quiet.time - 1.2).abs() < 1e-3, "{}", quiet.time);
        assert!(o.left_after(&quiet).unwrap() < 1e-4 * o.left_after(&stroke).unwrap());
    }
}
