//! How cups share the load of an instant, whatever the part is like.

use crate::group::{CupGroup, CupLoad};
use crate::motion::{Instant, Wrench};
use glam::DVec2;

/// A way in which cups share loads: linear, so that shares add up as instants do.
pub trait Sharing {
    /// Number of cups.
    fn len(&self) -> usize;

    /// Whether there are none.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Where moments are taken about, mm.
    fn centre(&self) -> DVec2;

    /// Each cup's share of what an instant asks; `wrench` is the same as one force and moment. Gravity and accelerations of the
    /// instant may be a part of those of a motion.
    fn share_of(&self, instant: &Instant, wrench: &Wrench) -> Vec<CupLoad>;
}

/// A rigid part: the force and moment say all.
impl Sharing for CupGroup {
    fn len(&self) -> usize {
        self.len()
    }

    fn centre(&self) -> DVec2 {
        self.centre()
    }

    fn share_of(&self, _instant: &Instant, wrench: &Wrench) -> Vec<CupLoad> {
        self.share(wrench)
    }
}
