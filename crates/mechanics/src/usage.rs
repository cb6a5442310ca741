//! How much of a lip's strength a sweep uses, as a function of the sweep's direction.

use crate::group::CupLoad;
use crate::strength::LipStrength;
use crate::sweep::OnCircle;
use glam::{DVec2, DVec3};

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
/// factor; convex in u = (cos t, sin t), because both demands are a linear function plus norms of linear functions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Usage {
    seal_pull: Varying<f64>,
    gradient: Varying<DVec2>,
    reach: Reach,
    slide_pull: Varying<f64>,
    sliding: Varying<DVec3>,
}

impl Usage {
    /// `None` when the lip has nothing to use.
    pub(crate) fn new(lip: &LipStrength, loads: [&CupLoad; 3]) -> Option<Self> {
        let (seal, slide) = lip.available();
        // Not `seal <= 0.0`: a force that is not a number holds nothing.
        if !(seal > 0.0 && slide > 0.0) {
            return None;
        }
        let (per_seal, per_slide) = (seal.recip(), slide.recip());
        let gradient = lip.seal_gradient() * per_seal;
        let per_grip = per_slide / lip.grip().max(LEAST_GRIP);
        let per_twist = per_grip * lip.twist_as_slide();
        Some(Self {
            seal_pull: Varying::of(loads, |load| load.pull * per_seal),
            gradient: Varying::of(loads, |load| gradient * load.tilt),
            reach: Reach::of(&lip.shape),
            slide_pull: Varying::of(loads, |load| load.pull * per_slide),
            sliding: Varying::of(loads, |load| (load.slide * per_grip).extend(load.twist * per_twist)),
        })
    }
}

impl OnCircle for Usage {
    fn at(&self, u: DVec2) -> f64 {
        let seal = self.seal_pull.at(u) + self.reach.along(self.gradient.at(u));
        let slide = self.slide_pull.at(u) + self.sliding.at(u).length();
        seal.max(slide)
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
        let slide = amplitude(self.slide_pull.along, self.slide_pull.across)
            + bend_of_norm(self.sliding.fixed, self.sliding.along, self.sliding.across);
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
        let radius = ((x + y - both) / (2.0 - std::f64::consts::SQRT_2)).max(0.0);
        Self { core: (DVec2::new(x, y) - radius).max(DVec2::ZERO), radius }
    }

    pub(crate) fn along(&self, direction: DVec2) -> f64 {
        self.core.dot(direction.abs()) + self.radius * direction.length()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn vector() -> impl Strategy<Value = DVec3> {
        [-2.0..2.0f64, -2.0..2.0f64, -2.0..2.0f64].prop_map(DVec3::from_array)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(256))]

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
