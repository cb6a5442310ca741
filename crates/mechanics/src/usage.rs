//! How much of a lip's strength a sweep uses, as a function of the sweep's direction.

use crate::group::CupLoad;
use crate::strength::{LipStrength, Uneven};
use crate::sweep::OnCircle;
use glam::{DMat2, DVec2, DVec3};

/// Friction below this is taken as this while looking for the worst instant, so that the search stays finite.
const LEAST_GRIP: f64 = 1e-12;

/// A value that varies as `fixed + cos t · along + sin t · across`.
#[derive(Debug, Clone, Copy)]
struct Varying<T> {
    fixed: T,
    along: T,
    across: T,
}

impl<T: Copy + std::ops::Add<Output = T> + std::ops::Mul<f64, Output = T>> Varying<T> {
    fn at(&self, u: DVec2) -> T {
        self.fixed + self.along * u.x + self.across * u.y
    }

    fn of(loads: [&CupLoad; 3], what: impl Fn(&CupLoad) -> T) -> Self {
        let [fixed, along, across] = loads.map(what);
        Self { fixed, along, across }
    }
}

/// What one lip uses of its strength: the larger of seal and slide demand over what is available, that is one over the
/// factor; convex in u = (cos t, sin t), because both demands are the largest of linear functions plus norms of linear functions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Usage {
    seal_pull: Varying<f64>,
    gradient: Varying<DVec2>,
    reach: Reach,
    slide_pull: Varying<f64>,
    /// Slide and twist under even pressure.
    sliding: Varying<DVec3>,
    /// What the tilt is worth as a slide, its sign free; slide and twist are scaled by `uneven` when they meet it.
    tilt: Varying<DVec2>,
    uneven: Uneven,
}

/// A lip with what its limits come to per newton worked out once, for many loads.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Prepared {
    per_seal: f64,
    per_slide: f64,
    gradient: DMat2,
    per_grip: f64,
    per_twist: f64,
    per_tilt: DMat2,
    reach: Reach,
    uneven: Uneven,
}

impl Prepared {
    /// `None` when the lip has nothing to use.
    pub(crate) fn new(lip: &LipStrength) -> Option<Self> {
        let (seal, slide) = lip.available();
        // Not `seal <= 0.0`: a force that is not a number holds nothing.
        if !(seal > 0.0 && slide > 0.0) {
            return None;
        }
        let (per_seal, per_slide) = (seal.recip(), slide.recip());
        let per_grip = per_slide / lip.grip().max(LEAST_GRIP);
        Some(Self {
            per_seal,
            per_slide,
            gradient: lip.seal_gradient() * per_seal,
            per_grip,
            per_twist: per_grip * lip.twist_as_slide(),
            per_tilt: lip.tilt_as_slide() * (per_grip * lip.friction.max(0.0)),
            reach: Reach::of(&lip.shape),
            uneven: lip.uneven(),
        })
    }

    /// What a load uses of the lip, the larger of both limits: 1 when it is just carried.
    pub(crate) fn usage(&self, load: &CupLoad) -> f64 {
        let seal = load.pull * self.per_seal + self.reach.along(self.gradient * load.tilt);
        let sliding = (load.slide * self.per_grip).extend(load.twist * self.per_twist);
        larger(seal, load.pull * self.per_slide, sliding, self.per_tilt * load.tilt, &self.uneven)
    }
}

/// The larger of what seal and slide use, `pull` that of the slide's.
fn larger(seal: f64, pull: f64, sliding: DVec3, tilt: DVec2, uneven: &Uneven) -> f64 {
    let even = sliding.length();
    // Without tilt uneven pressure asks for less than even; so it is left out where even the sum is not needed.
    let most = uneven.slide * (tilt.x.abs() + tilt.y.abs());
    if pull + even + most <= seal {
        return seal;
    }
    let uneven = uneven.sliding(sliding.truncate(), tilt, sliding.z);
    seal.max(pull + even.max(uneven))
}

impl Usage {
    /// `None` when the lip has nothing to use.
    pub(crate) fn new(lip: &LipStrength, loads: [&CupLoad; 3]) -> Option<Self> {
        let Prepared { per_seal, per_slide, gradient, per_grip, per_twist, per_tilt, reach, uneven } =
            Prepared::new(lip)?;
        Some(Self {
            seal_pull: Varying::of(loads, |load| load.pull * per_seal),
            gradient: Varying::of(loads, |load| gradient * load.tilt),
            reach,
            slide_pull: Varying::of(loads, |load| load.pull * per_slide),
            sliding: Varying::of(loads, |load| (load.slide * per_grip).extend(load.twist * per_twist)),
            tilt: Varying::of(loads, |load| per_tilt * load.tilt),
            uneven,
        })
    }

    /// The part of [`Uneven`] that is a length, for one sign of the tilt.
    fn beside_tilt(&self, sign: f64) -> Varying<DVec3> {
        let of = |sliding: DVec3, tilt: DVec2| {
            ((sliding.truncate() + sign * tilt) * self.uneven.slide).extend(sliding.z * self.uneven.twist)
        };
        Varying {
            fixed: of(self.sliding.fixed, self.tilt.fixed),
            along: of(self.sliding.along, self.tilt.along),
            across: of(self.sliding.across, self.tilt.across),
        }
    }
}

impl OnCircle for Usage {
    fn at(&self, u: DVec2) -> f64 {
        let seal = self.seal_pull.at(u) + self.reach.along(self.gradient.at(u));
        let (pull, sliding, tilt) = (self.slide_pull.at(u), self.sliding.at(u), self.tilt.at(u));
        larger(seal, pull, sliding, tilt, &self.uneven)
    }

    /// How sharply the usage can bend downwards along t. A bend upwards (a kink where one limit takes over from the
    /// other, or where a tilt changes sign) does no harm.
    fn bend(&self) -> f64 {
        let amplitude = |along: f64, across: f64| along.hypot(across);
        let Varying { fixed, along, across } = self.gradient;
        let norm = bend_of_norm(fixed.extend(0.0), along.extend(0.0), across.extend(0.0));
        let seal = amplitude(self.seal_pull.along, self.seal_pull.across)
            + self.reach.core.x * amplitude(along.x, across.x)
            + self.reach.core.y * amplitude(along.y, across.y)
            + self.reach.radius * norm;
        // The largest of several bends no more than the one of them that bends most, a sum no more than its terms.
        let of = |v: Varying<DVec3>| bend_of_norm(v.fixed, v.along, v.across);
        let twist = |v: DVec3| DVec3::Z * (self.uneven.apart * v.z);
        let apart =
            bend_of_norm(twist(self.sliding.fixed), twist(self.sliding.along), twist(self.sliding.across));
        let uneven = apart + of(self.beside_tilt(1.0)).max(of(self.beside_tilt(-1.0)));
        let slide = amplitude(self.slide_pull.along, self.slide_pull.across) + of(self.sliding).max(uneven);
        seal.max(slide)
    }
}

/// As `bend`, of |a + b cos t + c sin t|.
///
/// With v = a + A u, v' = A u', v'' = -A u the second derivative of |v| is (|v'|² - (e·v')²)/|v| - e·A u, e = v/|v|: at
/// least minus the largest |A u|. When v never comes near zero a second bound is better, above all for a slide of nearly
/// constant size: |v| = √q with q = q0 + (first harmonic, amplitude c1) + (second harmonic, amplitude c2), so that
/// (√q)'' = q''/(2√q) - q'²/(4 q^1.5) >= -(c1 + 4 c2)/(2√m) - (c1 + 2 c2)²/(4 m^1.5), m the least q.
fn bend_of_norm(a: DVec3, b: DVec3, c: DVec3) -> f64 {
    let (bb, cc, bc) = (b.length_squared(), c.length_squared(), b.dot(c));
    let second = (0.5 * (bb - cc)).hypot(bc);
    let mean = 0.5 * (bb + cc);
    let simple = (mean + second).max(0.0).sqrt();
    let first = 2.0 * a.dot(b).hypot(a.dot(c));
    let far = a.length();
    let least = (far - simple).max((mean - second).max(0.0).sqrt() - far).max(0.0);
    let least = (least * least).max(far * far + mean - first - second);
    if least <= 0.0 {
        return simple;
    }
    let root = least.sqrt();
    let steep = first + 2.0 * second;
    simple.min((first + 4.0 * second) / (2.0 * root) + steep * steep / (4.0 * least * root))
}

/// [`geometry::LipShape::support`] taken apart for speed: every lip is a rectangle, or less, swept by a circle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach {
    /// Half sides of the rectangle, mm.
    pub core: DVec2,
    /// Radius of the circle, mm.
    pub radius: f64,
}

impl Reach {
    pub(crate) fn of(shape: &geometry::LipShape) -> Self {
        let [x, y, both] = [DVec2::X, DVec2::Y, DVec2::ONE].map(|direction| shape.support(direction));
        // x = a + r, y = b + r, both = a + b + √2 r.
        // What is left in the last digits of a round lip or of a sharp corner is nothing: a core of 1e-15 mm gives the
        // limit's programme rows that it cannot solve.
        let none = 1e-9 * x.max(y);
        let kept = |length: f64| if length > none { length } else { 0.0 };
        let radius = kept((x + y - both) / (2.0 - std::f64::consts::SQRT_2));
        Self { core: DVec2::new(kept(x - radius), kept(y - radius)), radius }
    }

    pub(crate) fn along(&self, direction: DVec2) -> f64 {
        self.core.dot(direction.abs()) + self.radius * direction.length()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{any_strength, cup_load, strength};
    use proptest::prelude::*;

    fn vector() -> impl Strategy<Value = DVec3> {
        [-2.0..2.0f64, -2.0..2.0f64, -2.0..2.0f64].prop_map(DVec3::from_array)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(256))]

        #[test]
        fn a_round_lip_has_no_core_and_a_sharp_corner_no_radius(size in 5.0..500.0f64, share in 0.1..1.0f64) {
            use geometry::LipShape;
            let round = Reach::of(&LipShape::Round { diameter: size * share });
            prop_assert_eq!(round.core, DVec2::ZERO);
            prop_assert!((round.radius - size * share / 2.0).abs() < 1e-9 * size);
            let long = Reach::of(&LipShape::Long { length: size, width: size * share });
            prop_assert_eq!(long.core.y, 0.0);
            let sharp = Reach::of(&LipShape::Rectangle { length: size, width: size * share, corner: 0.0 });
            prop_assert_eq!(sharp.radius, 0.0);
        }

        #[test]
        fn the_bend_bound_holds(a in vector(), b in vector(), c in vector(), far in 0.0..10.0f64) {
            // Second differences of |a + b cos t + c sin t| never fall below minus the bound.
            let a = a * far;
            let bound = bend_of_norm(a, b, c);
            let value = |t: f64| (a + b * t.cos() + c * t.sin()).length();
            let h = 1e-3;
            for i in 0..180 {
                let t = f64::from(i) * 0.035;
                let second = (value(t + h) - 2.0 * value(t) + value(t - h)) / (h * h);
                prop_assert!(second >= -bound * (1.0 + 1e-6) - 1e-6 * (1.0 + far), "{second} {bound} at {t}");
            }
        }

        #[test]
        fn the_usage_is_one_over_the_factor_and_bends_no_more_than_it_says(
            lip in any_strength(), loads in [cup_load(), cup_load(), cup_load()], far in 0.0..4.0f64,
        ) {
            let lip = LipStrength { seal_minimum: 0.0, ..lip };
            let fixed = CupLoad::default().plus(far, &loads[0]);
            let usage = Usage::new(&lip, [&fixed, &loads[1], &loads[2]]).unwrap();
            let bound = usage.bend();
            let value = |t: f64| usage.at(DVec2::from_angle(t));
            let h = 1e-3;
            for i in 0..180 {
                let t = f64::from(i) * 0.035;
                let load = fixed.plus(t.cos(), &loads[1]).plus(t.sin(), &loads[2]);
                let factor = lip.factor(&load).value;
                prop_assert!(factor == f64::INFINITY || (value(t) * factor - 1.0).abs() < 1e-9);
                let second = (value(t + h) - 2.0 * value(t) + value(t - h)) / (h * h);
                prop_assert!(second >= -bound * (1.0 + 1e-6) - 1e-6 * (1.0 + far), "{second} {bound} at {t}");
            }
        }

        /// As a sweep of directions gives it where every lip takes its slide and the tilt of it.
        #[test]
        fn a_slide_of_constant_size_with_its_tilt_does_not_bend(size in 1.0..20.0f64, turn in 0.0..6.0f64, h in 0.0..60.0f64) {
            let toward = |angle: f64| {
                let slide = DVec2::from_angle(angle) * size;
                CupLoad { slide, tilt: slide.perp() * h / 1000.0, ..CupLoad::default() }
            };
            let quarter = std::f64::consts::FRAC_PI_2;
            let loads = [CupLoad::default(), toward(turn), toward(turn + quarter)];
            let usage = Usage::new(&strength(20.0, 0.0), [&loads[0], &loads[1], &loads[2]]).unwrap();
            let of = |v: Varying<DVec3>| bend_of_norm(v.fixed, v.along, v.across);
            for sign in [1.0, -1.0] {
                prop_assert!(of(usage.beside_tilt(sign)) < 1e-9 * size);
            }
        }

        #[test]
        fn the_reach_is_the_lips_support(
            length in 10.0..100.0f64, share in 0.1..1.0f64, corner in 0.0..60.0f64, angle in -4.0..4.0f64,
        ) {
            use geometry::LipShape;
            let width = length * share;
            let direction = DVec2::from_angle(angle) * 3.0;
            for shape in [
                LipShape::Round { diameter: length },
                LipShape::Long { length, width },
                LipShape::Rectangle { length, width, corner },
            ] {
                let (found, expected) = (Reach::of(&shape).along(direction), shape.support(direction));
                prop_assert!((found - expected).abs() < 1e-12 * length * 3.0, "{shape:?} {found} {expected}");
            }
        }

        #[test]
        fn a_slide_of_constant_size_does_not_bend(size in 0.1..10.0f64, turn in 0.0..6.0f64) {
            let (b, c) = (DVec2::from_angle(turn) * size, DVec2::from_angle(turn).perp() * size);
            prop_assert!(bend_of_norm(DVec3::ZERO, b.extend(0.0), c.extend(0.0)) < 1e-12 * size);
        }
    }
}
