//! From the part to the page: scale, place, and whether it is seen from the other side.

use glam::{DVec2, dvec2};

/// From the part to the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    /// Where the lower left of the drawn extent lies on the page; when mirrored, its lower right.
    pub corner: DVec2,
    /// The lower left of the extent on the part.
    pub origin: DVec2,
    /// Paper over part.
    pub ratio: f64,
    /// Whether x runs to the left.
    pub mirrored: bool,
}

impl View {
    /// A point of the part on the page.
    pub fn at(&self, on_part: DVec2) -> DVec2 {
        self.corner + self.along(on_part - self.origin) * self.ratio
    }
    /// A direction of the part on the page.
    pub fn along(&self, direction: DVec2) -> DVec2 {
        if self.mirrored { dvec2(-direction.x, direction.y) } else { direction }
    }
}
