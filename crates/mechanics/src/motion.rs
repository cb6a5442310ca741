//! What one instant of a motion asks of the cups.

use crate::members::Signs;
use glam::{DMat3, DVec3};

/// Metres in a millimetre; N·mm to N·m, mm/s² to m/s².
pub(crate) const MILLI: f64 = 1e-3;
/// kg·mm²/s² to N·m.
const INERTIA_TO_MOMENT: f64 = 1e-6;

/// The part, with everything attached to it.
///
/// # Units
/// `mass` kg, `centre` of gravity mm in the tool frame, `inertia` about the centre of gravity kg·mm², minus signs off
/// the diagonal (`I e` is the moment that makes the angular acceleration `e`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// kg.
    pub mass: f64,
    /// Centre of gravity, mm.
    pub centre: DVec3,
    /// Inertia tensor about the centre of gravity, kg·mm².
    pub inertia: DMat3,
}

/// One instant of a motion, in the tool's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Free fall, m/s²; (0, 0, -g) when level.
    pub gravity: DVec3,
    /// Acceleration of the pivot, m/s².
    pub acceleration: DVec3,
    /// rad/s.
    pub turn_rate: DVec3,
    /// rad/s².
    pub turn_acceleration: DVec3,
    /// Pivot of the turning, mm.
    pub pivot: DVec3,
}

impl Instant {
    /// At rest, or at constant speed, under the given free fall.
    ///
    /// # Units
    /// m/s².
    pub fn still(gravity: DVec3) -> Self {
        Self {
            gravity,
            acceleration: DVec3::ZERO,
            turn_rate: DVec3::ZERO,
            turn_acceleration: DVec3::ZERO,
            pivot: DVec3::ZERO,
        }
    }
}

impl Instant {
    /// Whether neither gravity nor any acceleration or turning acts.
    pub(crate) fn is_still(&self) -> bool {
        [self.gravity, self.acceleration, self.turn_rate, self.turn_acceleration]
            .iter()
            .all(|v| *v == DVec3::ZERO)
    }
}

/// One-parameter family of instants: `fixed + cos t · along + sin t · across`, t from `from` to `to`.
/// Gravity and acceleration may vary; the turning is fixed.
///
/// "Worst of all directions in the plane" is a full turn with `acceleration_along` = (a, 0, 0) and
/// `acceleration_across` = (0, a, 0); "every tilt up to 90 degrees" is `gravity_along` = level gravity and
/// `gravity_across` = gravity on edge, from 0 to pi/2, with no gravity in the fixed instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep {
    /// m/s², times cos t.
    pub gravity_along: DVec3,
    /// m/s², times sin t.
    pub gravity_across: DVec3,
    /// m/s², times cos t.
    pub acceleration_along: DVec3,
    /// m/s², times sin t.
    pub acceleration_across: DVec3,
    /// rad.
    pub from: f64,
    /// rad; a span of a full turn or more means the whole circle.
    pub to: f64,
}

/// Share of the weight that is counted on where it helps, unless a project says otherwise.
///
/// # Source
/// EN 1990, table A1.2(A) (EQU): permanent actions that are favourable are counted 0.9 times (from memory).
pub const FAVOURABLE_WEIGHT: f64 = 0.9;

/// A load case: one instant, or a family of them of which the worst counts: over a sweep, over the
/// [states](LoadCase::members) of a motion, or both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadCase {
    /// What does not vary.
    pub fixed: Instant,
    /// What varies.
    pub sweep: Option<Sweep>,
    /// Share of the weight that is counted on where it helps while the motion is multiplied: in (0, 1]; see
    /// [`Reading`](crate::Reading).
    pub favourable_weight: f64,
    /// Whether only what is stated counts, or every start and stop: see [`LoadCase::members`].
    pub signs: Signs,
}

impl LoadCase {
    /// One instant that does not vary, as stated.
    pub fn single(instant: Instant) -> Self {
        Self { fixed: instant, sweep: None, favourable_weight: FAVOURABLE_WEIGHT, signs: Signs::AsStated }
    }

    /// As [`single`](Self::single), with what varies.
    pub fn swept(fixed: Instant, sweep: Sweep) -> Self {
        Self { sweep: Some(sweep), ..Self::single(fixed) }
    }

    /// The same case without its accelerations and turning: what gravity alone does.
    pub fn weight(&self) -> Self {
        let none = DVec3::ZERO;
        Self {
            fixed: Instant::still(self.fixed.gravity),
            sweep: self.sweep.map(|s| Sweep { acceleration_along: none, acceleration_across: none, ..s }),
            ..*self
        }
    }

    /// The same case without gravity: what accelerations and turning alone do.
    pub fn motion(&self) -> Self {
        let none = DVec3::ZERO;
        Self {
            fixed: Instant { gravity: none, ..self.fixed },
            sweep: self.sweep.map(|s| Sweep { gravity_along: none, gravity_across: none, ..s }),
            ..*self
        }
    }

    /// The instant at `t` (rad); without a sweep the fixed one whatever `t`.
    pub fn at(&self, t: f64) -> Instant {
        let Some(sweep) = self.sweep else { return self.fixed };
        let (sin, cos) = t.sin_cos();
        Instant {
            gravity: self.fixed.gravity + sweep.gravity_along * cos + sweep.gravity_across * sin,
            acceleration: self.fixed.acceleration
                + sweep.acceleration_along * cos
                + sweep.acceleration_across * sin,
            ..self.fixed
        }
    }

    /// The same case with every acceleration `scale` times as large: the turn rate grows with the square root, so that
    /// the centripetal acceleration scales too. Gravity stays. A negative scale counts as zero.
    pub fn with_accelerations_scaled(&self, scale: f64) -> Self {
        let scale = scale.max(0.0);
        Self {
            fixed: Instant {
                acceleration: self.fixed.acceleration * scale,
                turn_rate: self.fixed.turn_rate * scale.sqrt(),
                turn_acceleration: self.fixed.turn_acceleration * scale,
                ..self.fixed
            },
            sweep: self.sweep.map(|sweep| Sweep {
                acceleration_along: sweep.acceleration_along * scale,
                acceleration_across: sweep.acceleration_across * scale,
                ..sweep
            }),
            ..*self
        }
    }

    /// Instants of the fixed part, of `along` and of `across`, whose wrenches are [`Self::wrenches`].
    pub(crate) fn parts(&self) -> [Instant; 3] {
        let varying =
            |gravity: DVec3, acceleration: DVec3| Instant { acceleration, ..Instant::still(gravity) };
        let (along, across) =
            self.sweep.map_or((Instant::still(DVec3::ZERO), Instant::still(DVec3::ZERO)), |sweep| {
                (
                    varying(sweep.gravity_along, sweep.acceleration_along),
                    varying(sweep.gravity_across, sweep.acceleration_across),
                )
            });
        [self.fixed, along, across]
    }

    /// Wrenches of the fixed part, of `along` and of `across`; the wrench at t is their sum with 1, cos t, sin t.
    pub(crate) fn wrenches(&self, body: &Body, about: DVec3) -> [Wrench; 3] {
        let varying = |gravity: DVec3, acceleration: DVec3| {
            let force = body.mass * (gravity - acceleration);
            Wrench { force, moment: (body.centre - about).cross(force) * MILLI, about }
        };
        let (along, across) = self.sweep.map_or((Wrench::zero(about), Wrench::zero(about)), |sweep| {
            (
                varying(sweep.gravity_along, sweep.acceleration_along),
                varying(sweep.gravity_across, sweep.acceleration_across),
            )
        });
        [load(body, &self.fixed, about), along, across]
    }
}

/// Gravity in the frame of a tool turned by `tilt` from level so that the direction `toward` in the plan is lowest.
///
/// # Units
/// `g` m/s², angles rad; the result m/s².
///
/// # Source
/// Statics: g cos(tilt) along the cups' axis, g sin(tilt) in their plane.
///
/// # Example
/// ```
/// let on_edge = mechanics::gravity_when_tilted(9.80665, 90_f64.to_radians(), -90_f64.to_radians());
/// assert!((on_edge - glam::DVec3::new(0.0, -9.80665, 0.0)).length() < 1e-12); // m/s²
/// ```
pub fn gravity_when_tilted(g: f64, tilt: f64, toward: f64) -> DVec3 {
    let in_plane = g * tilt.sin();
    DVec3::new(in_plane * toward.cos(), in_plane * toward.sin(), -g * tilt.cos())
}

/// Force and moment of the part on the cups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrench {
    /// N.
    pub force: DVec3,
    /// N·m about `about`.
    pub moment: DVec3,
    /// mm.
    pub about: DVec3,
}

impl Wrench {
    /// No load.
    pub fn zero(about: DVec3) -> Self {
        Self { force: DVec3::ZERO, moment: DVec3::ZERO, about }
    }

    /// The same load with its moment about another point (mm).
    pub fn moved_to(&self, about: DVec3) -> Self {
        Self {
            force: self.force,
            moment: self.moment + (self.about - about).cross(self.force) * MILLI,
            about,
        }
    }

    /// Where the pull alone, put on the plane of the lips, would tip the cups as this load does (mm); the load hangs
    /// inside the cups when this point lies in their hull. `None` when there is next to no force along the cups' axis.
    pub fn centre_of_pull(&self) -> Option<glam::DVec2> {
        let here = self.moved_to(DVec3::ZERO);
        let axial = here.force.z;
        (axial.abs() > 1e-9 * here.force.length())
            .then(|| glam::DVec2::new(-here.moment.y, here.moment.x) / (axial * MILLI))
    }
}

/// Force and moment of the part on the cups at one instant: **F** = m (**g** - **a_c**) with the acceleration of the
/// centre of gravity **a_c** = **a** + **e** x **r** + **w** x (**w** x **r**), **r** from the pivot to it; moment about
/// `about` = **d** x **F** - (I **e** + **w** x I **w**), **d** from `about` to the centre of gravity.
///
/// # Units
/// `about` mm; the result N and N·m.
///
/// # Source
/// Newton's and Euler's equations of a rigid body; e.g. Meriam & Kraige, *Engineering Mechanics: Dynamics*, chapter 7
/// (from memory).
///
/// # Example
/// ```
/// use glam::{DMat3, DVec3};
/// use mechanics::{Body, Instant, load};
/// let part = Body { mass: 2.0, centre: DVec3::new(0.0, 0.0, -50.0), inertia: DMat3::ZERO }; // kg, mm
/// let carry = Instant { acceleration: DVec3::new(3.0, 0.0, 0.0), ..Instant::still(DVec3::new(0.0, 0.0, -9.8)) };
/// let wrench = load(&part, &carry, DVec3::ZERO);
/// assert_eq!(wrench.force, DVec3::new(-6.0, 0.0, -19.6)); // N: the part hangs back against the acceleration
/// assert!((wrench.moment.y - 0.3).abs() < 1e-12); // N·m: 6 N at 50 mm
/// ```
pub fn load(body: &Body, instant: &Instant, about: DVec3) -> Wrench {
    let (w, e) = (instant.turn_rate, instant.turn_acceleration);
    let arm = body.centre - instant.pivot;
    let acceleration = instant.acceleration + (e.cross(arm) + w.cross(w.cross(arm))) * MILLI;
    let force = body.mass * (instant.gravity - acceleration);
    let turning = body.inertia * e + w.cross(body.inertia * w);
    let moment = (body.centre - about).cross(force) * MILLI - turning * INERTIA_TO_MOMENT;
    Wrench { force, moment, about }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::FRAC_PI_2;

    const G: f64 = 9.80665;

    fn close(a: DVec3, b: DVec3) -> bool {
        (a - b).length() <= 1e-9 * (1.0 + a.length().max(b.length()))
    }

    fn block() -> Body {
        let diagonal = DVec3::new(4e5, 9e5, 13e5);
        Body { mass: 7.5, centre: DVec3::new(30.0, -20.0, -15.0), inertia: DMat3::from_diagonal(diagonal) }
    }

    #[test]
    fn a_hanging_part_pulls_down_by_its_weight() {
        let wrench = load(&block(), &Instant::still(DVec3::new(0.0, 0.0, -G)), DVec3::ZERO);
        assert!(close(wrench.force, DVec3::new(0.0, 0.0, -7.5 * G)));
        // -20 mm in y and 30 mm in x: Mx = y Fz, My = -x Fz.
        assert!(close(wrench.moment, DVec3::new(0.020 * 7.5 * G, 0.030 * 7.5 * G, 0.0)));
        let centre = wrench.centre_of_pull().unwrap();
        assert!((centre - glam::DVec2::new(30.0, -20.0)).length() < 1e-9);
    }

    #[test]
    fn steady_turning_pulls_outwards() {
        // 2 kg at 800 mm from the axis at 3 rad/s: m w² r = 14.4 N outwards; a point mass has no inertia of its own.
        let body = Body { mass: 2.0, centre: DVec3::new(800.0, 0.0, 0.0), inertia: DMat3::ZERO };
        let swing = Instant { turn_rate: DVec3::new(0.0, 0.0, 3.0), ..Instant::still(DVec3::ZERO) };
        assert!(close(load(&body, &swing, DVec3::ZERO).force, DVec3::new(14.4, 0.0, 0.0)));
    }

    #[test]
    fn a_turn_about_the_centre_takes_only_the_inertia() {
        let body = block();
        let turn = Instant {
            turn_acceleration: DVec3::new(0.0, 0.0, 10.0),
            pivot: body.centre,
            ..Instant::still(DVec3::ZERO)
        };
        let wrench = load(&body, &turn, body.centre);
        // 1.3e6 kg·mm² is 1.3 kg·m²; 10 rad/s² asks for 13 N·m of the cups, so the part holds back with 13.
        assert!(close(wrench.moment, DVec3::new(0.0, 0.0, -13.0)) && close(wrench.force, DVec3::ZERO));
    }

    #[test]
    fn gyroscopic_moment_of_a_turn_off_the_principal_axes() {
        // w = (w, w, 0)/√2 on diag(a, b, c): w x I w = (0, 0, w²/2 (b - a)).
        let body = Body { centre: DVec3::ZERO, ..block() };
        let turn = Instant { turn_rate: DVec3::new(2.0, 2.0, 0.0), ..Instant::still(DVec3::ZERO) };
        let wrench = load(&body, &turn, DVec3::ZERO);
        assert!(close(wrench.moment, DVec3::new(0.0, 0.0, -4.0 * (0.9 - 0.4))));
    }

    #[test]
    fn tilt_lowers_the_named_side() {
        let g = gravity_when_tilted(G, 30_f64.to_radians(), FRAC_PI_2);
        assert!(close(g, DVec3::new(0.0, G * 0.5, -G * 0.75_f64.sqrt())));
    }

    #[test]
    fn without_a_sweep_every_instant_is_the_fixed_one() {
        let case = LoadCase::single(Instant::still(DVec3::NEG_Z));
        assert_eq!(case.at(1.0), case.fixed);
    }

    fn vector(size: f64) -> impl Strategy<Value = DVec3> {
        [-size..size, -size..size, -size..size].prop_map(DVec3::from_array)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn moving_the_reference_changes_nothing_but_the_lever(
            a in vector(20.0), w in vector(5.0), e in vector(20.0), pivot in vector(1000.0),
            p in vector(1000.0), q in vector(1000.0),
        ) {
            let instant = Instant {
                gravity: DVec3::new(0.0, 0.0, -G), acceleration: a, turn_rate: w, turn_acceleration: e, pivot,
            };
            let there = load(&block(), &instant, q);
            let moved = load(&block(), &instant, p).moved_to(q);
            prop_assert!(close(there.force, moved.force) && close(there.moment, moved.moment));
        }

        #[test]
        fn two_point_masses_are_one_body(
            w in vector(5.0), e in vector(20.0), a in vector(20.0), p in vector(500.0), q in vector(500.0),
        ) {
            // Newton's law for each particle on its own against the rigid body with their inertia.
            let (m1, m2) = (1.5, 2.5);
            let centre = (m1 * p + m2 * q) / (m1 + m2);
            let about = |m: f64, r: DVec3| {
                let outer = DMat3::from_cols(r * r.x, r * r.y, r * r.z);
                (DMat3::from_diagonal(DVec3::splat(r.length_squared())) - outer) * m
            };
            let body = Body { mass: m1 + m2, centre, inertia: about(m1, p - centre) + about(m2, q - centre) };
            let instant = Instant {
                gravity: DVec3::new(1.0, 2.0, -9.0), acceleration: a, turn_rate: w, turn_acceleration: e,
                pivot: DVec3::new(100.0, -50.0, 20.0),
            };
            let whole = load(&body, &instant, DVec3::ZERO);
            let part = |m: f64, at: DVec3| {
                load(&Body { mass: m, centre: at, inertia: DMat3::ZERO }, &instant, DVec3::ZERO)
            };
            let (one, two) = (part(m1, p), part(m2, q));
            prop_assert!(close(whole.force, one.force + two.force));
            prop_assert!(close(whole.moment, one.moment + two.moment));
        }

        #[test]
        fn the_wrench_is_affine_in_the_sweep(
            t in -4.0..4.0f64, ga in vector(10.0), gx in vector(10.0), aa in vector(10.0), ax in vector(10.0),
            w in vector(3.0),
        ) {
            let sweep = Sweep {
                gravity_along: ga, gravity_across: gx, acceleration_along: aa, acceleration_across: ax,
                from: 0.0, to: 6.0,
            };
            let fixed = Instant { turn_rate: w, ..Instant::still(DVec3::new(0.0, 0.0, -G)) };
            let case = LoadCase::swept(fixed, sweep);
            let about = DVec3::new(10.0, 20.0, 0.0);
            let direct = load(&block(), &case.at(t), about);
            let [f, c, s] = case.wrenches(&block(), about);
            prop_assert!(close(direct.force, f.force + c.force * t.cos() + s.force * t.sin()));
            prop_assert!(close(direct.moment, f.moment + c.moment * t.cos() + s.moment * t.sin()));
        }
    }

    #[test]
    fn scaling_accelerations_scales_the_centripetal_part_and_not_gravity() {
        let fixed = Instant {
            acceleration: DVec3::new(1.0, 2.0, 3.0),
            turn_rate: DVec3::new(0.5, 0.0, 1.5),
            turn_acceleration: DVec3::new(4.0, 5.0, 6.0),
            pivot: DVec3::new(100.0, 0.0, 0.0),
            ..Instant::still(DVec3::new(0.0, 0.0, -G))
        };
        let force = |scale: f64| {
            let case = LoadCase::single(fixed).with_accelerations_scaled(scale);
            load(&block(), &case.at(0.0), DVec3::ZERO)
        };
        let (rest, once, thrice) = (force(0.0), force(1.0), force(3.0));
        assert!(close(rest.force, DVec3::new(0.0, 0.0, -7.5 * G)));
        assert!(close(thrice.force - rest.force, 3.0 * (once.force - rest.force)));
        assert!(close(thrice.moment - rest.moment, 3.0 * (once.moment - rest.moment)));
    }
}
