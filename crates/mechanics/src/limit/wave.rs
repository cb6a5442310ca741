//! A load, and the height of a plane, along a sweep; the largest of some values.

use super::Release;
use crate::motion::Wrench;
use glam::{DVec2, DVec3};

/// The load at an instant of a sweep.
pub(super) fn at(loads: &[Wrench; 3], t: f64) -> Wrench {
    let ([fixed, along, across], (sin, cos)) = (loads, t.sin_cos());
    Wrench {
        force: fixed.force + along.force * cos + across.force * sin,
        moment: fixed.moment + along.moment * cos + across.moment * sin,
        about: fixed.about,
    }
}

/// How a plane's height varies along the sweep: its part times (cos t, sin t).
pub(super) fn wave(release: &Release, loads: &[Wrench; 3]) -> DVec2 {
    DVec2::new(release.rate(&loads[1]), release.rate(&loads[2]))
}

/// The largest of some bounds, and which.
pub(super) fn worst(bounds: &[Option<f64>]) -> (usize, f64) {
    let known = bounds.iter().enumerate().filter_map(|(i, bound)| Some((i, (*bound)?)));
    known.fold((0, f64::NEG_INFINITY), |worst, here| if here.1 > worst.1 { here } else { worst })
}

/// The largest second value.
pub(super) fn highest(points: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    points.fold((0.0, f64::NEG_INFINITY), |best, point| if point.1 > best.1 { point } else { best })
}

/// Whether nothing is carried at all.
pub(super) fn is_nothing(load: &Wrench) -> bool {
    load.force == DVec3::ZERO && load.moment == DVec3::ZERO
}
