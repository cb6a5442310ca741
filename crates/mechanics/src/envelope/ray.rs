//! The limits of one lip along a ray of accelerations.

use crate::factor::LipLimit;
use crate::group::CupLoad;
use crate::strength::{LipStrength, NO_SLIDE, Uneven};
use crate::usage::Reach;
use glam::{DVec2, DVec3};

/// A value for the load at rest and for 1 m/s² along each axis.
#[derive(Debug, Clone, Copy)]
struct Affine<T> {
    rest: T,
    along: [T; 3],
}

impl<T: Copy + std::ops::Add<Output = T> + std::ops::Mul<f64, Output = T>> Affine<T> {
    fn of(rest: &CupLoad, along: [&CupLoad; 3], what: impl Fn(&CupLoad) -> T) -> Self {
        Self { rest: what(rest), along: along.map(what) }
    }

    /// Its change per m/s² in a direction.
    fn toward(&self, u: DVec3) -> T {
        self.along[0] * u.x + self.along[1] * u.y + self.along[2] * u.z
    }
}

/// What one cup needs to know to say how far a ray reaches.
#[derive(Debug, Clone)]
pub(super) struct CupRays {
    pull: Affine<f64>,
    /// Fall of the line pressure times the line's length, N/mm.
    gradient: Affine<DVec2>,
    reach: Reach,
    /// Available over the required factor, N.
    seal: f64,
    slide: Affine<DVec3>,
    /// What the tilt is worth as a slide, N.
    tilt: Affine<DVec2>,
    uneven: Uneven,
    /// Slide per force on the lip.
    grip: f64,
    /// As `seal`, for the slide.
    held: f64,
    /// A slide below this is none, N.
    no_slide: f64,
}

impl CupRays {
    pub(super) fn new(lip: &LipStrength, rest: &CupLoad, along: [&CupLoad; 3], required: f64) -> Self {
        let (seal, held) = lip.available();
        let gradient = lip.seal_gradient();
        let twist = lip.twist_as_slide();
        let tilt = lip.tilt_as_slide() * lip.friction.max(0.0);
        Self {
            pull: Affine::of(rest, along, |load| load.pull),
            gradient: Affine::of(rest, along, |load| gradient * load.tilt),
            reach: Reach::of(&lip.shape),
            seal: seal / required,
            slide: Affine::of(rest, along, |load| load.slide.extend(load.twist * twist)),
            tilt: Affine::of(rest, along, |load| tilt * load.tilt),
            uneven: lip.uneven(),
            grip: lip.grip(),
            held: held / required,
            no_slide: NO_SLIDE * lip.vacuum_force,
        }
    }

    /// Largest acceleration along a unit vector, and the limit that ends it.
    pub(super) fn reach(&self, u: DVec3) -> (f64, LipLimit) {
        let pull = (self.pull.rest, self.pull.toward(u));
        let (g0, g1) = (self.gradient.rest, self.gradient.toward(u));
        let (r0, r1) = ((g0 * self.reach.radius).extend(0.0), (g1 * self.reach.radius).extend(0.0));
        let core = self.reach.core;
        // The largest over the signs of the core's terms: the first to be reached counts.
        let mut seal = f64::INFINITY;
        for (x, y) in signs(core) {
            let signed = DVec2::new(x * core.x, y * core.y);
            let left = self.seal - pull.0 - signed.dot(g0);
            seal = seal.min(first_crossing(r0, r1, left, -pull.1 - signed.dot(g1)));
        }
        let slide = self.slides_at(pull, self.slide.toward(u), self.tilt.toward(u), seal);
        if slide < seal { (slide, LipLimit::Slide) } else { (seal, LipLimit::Seal) }
    }

    /// `sealed` is where the seal ends the ray: a slide further out need not be exact.
    fn slides_at(&self, pull: (f64, f64), along: DVec3, tilt: DVec2, sealed: f64) -> f64 {
        let left = (self.held - pull.0, -pull.1);
        if self.grip > 0.0 {
            let (h, k) = (self.grip * left.0, self.grip * left.1);
            let even = first_crossing(self.slide.rest, along, h, k);
            // Both conditions hold at the start and are convex along the ray: one that holds at the end held all the way.
            let end = even.min(sealed);
            if end.is_finite() && self.holds_unevenly(along, tilt, end, h + end * k) {
                return even;
            }
            even.min(self.slides_unevenly(along, tilt, h, k))
        } else if along.length() > self.no_slide {
            0.0 // without friction the least slide is too much
        } else {
            first_crossing(DVec3::ZERO, DVec3::ZERO, left.0, left.1)
        }
    }
}

impl CupRays {
    fn holds_unevenly(&self, along: DVec3, tilt: DVec2, at: f64, most: f64) -> bool {
        let slide = self.slide.rest + along * at;
        self.uneven.sliding(slide.truncate(), self.tilt.rest + tilt * at, slide.z) <= most
    }

    /// Where [`Uneven`] ends the ray: the first over the signs of tilt and twist.
    fn slides_unevenly(&self, along: DVec3, tilt: DVec2, h: f64, k: f64) -> f64 {
        let Uneven { slide, twist, apart, .. } = self.uneven;
        let mut first = f64::INFINITY;
        for sign in [1.0, -1.0] {
            let length = |v: DVec3, tilt: DVec2| ((v.truncate() + sign * tilt) * slide).extend(v.z * twist);
            let (v0, v1) = (length(self.slide.rest, self.tilt.rest), length(along, tilt));
            for apart in [apart, -apart] {
                let (h, k) = (h - apart * self.slide.rest.z, k - apart * along.z);
                first = first.min(first_crossing(v0, v1, h, k));
            }
        }
        first
    }
}

/// Signs that matter for a rectangle of these half sides.
fn signs(core: DVec2) -> impl Iterator<Item = (f64, f64)> {
    let of = |half: f64| if half > 0.0 { &[1.0, -1.0][..] } else { &[1.0][..] };
    of(core.x).iter().flat_map(move |&x| of(core.y).iter().map(move |&y| (x, y)))
}

/// The a >= 0 at which |v0 + a v1| first exceeds h + a k; infinite if never. It does not at a = 0, save for rounding.
///
/// Squared, A a² + 2 B a + C = 0 with A = |v1|² - k², B = v0·v1 - h k, C = |v0|² - h² <= 0. Length minus line is convex, so
/// that it crosses zero upwards at most once: at the larger root when A > 0, at the smaller when the line falls faster
/// than the length can.
fn first_crossing(v0: DVec3, v1: DVec3, h: f64, k: f64) -> f64 {
    let (start, size) = (v0.length(), v1.length());
    if k >= size {
        return f64::INFINITY;
    }
    let h = h.max(start);
    // As products of sum and difference, so that near equality keeps its digits.
    let a = (size - k) * (size + k);
    let b = v0.dot(v1) - h * k;
    let c = (start - h) * (start + h);
    let root = (b * b - a * c).max(0.0).sqrt();
    if b <= 0.0 && k > -size {
        (root - b) / a
    } else if b + root > 0.0 {
        // The same root without a difference; adding zero turns a negative zero into a positive one.
        -c / (b + root) + 0.0
    } else {
        0.0
    }
}
