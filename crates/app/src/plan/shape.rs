//! A shape that is being sketched.

use document::Part;
use geometry::Loop;
use glam::DVec2;

/// What the sketch becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SketchTarget {
    /// The part's outline.
    Outline,
    /// A hole.
    Hole,
    /// A keep-out.
    KeepOut,
}

/// Which shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SketchForm {
    /// Corner to corner.
    Rectangle,
    /// With corner radius.
    RoundedRectangle,
    /// Full circle.
    Disc,
    /// Rectangle less its upper right corner.
    Angle,
    /// Disc with a hole.
    Ring,
    /// Point by point.
    Polygon,
}

impl SketchForm {
    pub(super) const ALL: [(Self, &'static str); 6] = [
        (Self::Rectangle, "Rectangle"),
        (Self::RoundedRectangle, "Rounded"),
        (Self::Disc, "Disc"),
        (Self::Angle, "L"),
        (Self::Ring, "Ring"),
        (Self::Polygon, "Polygon"),
    ];
}

/// A shape being made; nothing is in the document until it is added.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// What it becomes.
    pub target: SketchTarget,
    /// Which shape.
    pub form: SketchForm,
    /// Lower left corner, mm; `None` until it is put somewhere.
    pub min: Option<DVec2>,
    /// Width and height; the width is the diameter of a disc or ring.
    pub size: DVec2,
    /// Corner radius.
    pub corner: f64,
    /// Cut of the L.
    pub cut: DVec2,
    /// Inner diameter of the ring.
    pub inner: f64,
    /// Points of the polygon.
    pub points: Vec<DVec2>,
    /// Typed length and direction of the next polygon edge.
    pub next: (f64, f64),
}

impl Sketch {
    /// An empty sketch, sized to suit what is there.
    pub fn new(target: SketchTarget, part: &Part) -> Self {
        let extent = part.outline.outer.bounds().map_or(DVec2::new(400.0, 300.0), |b| b.max - b.min);
        let size = match target {
            SketchTarget::Outline => extent,
            _ => (extent / 5.0).round().max(DVec2::ONE),
        };
        Self {
            target,
            form: SketchForm::Rectangle,
            min: None,
            size,
            corner: (size.min_element() / 5.0).round(),
            cut: (size / 2.0).round(),
            inner: (size.x / 2.0).round(),
            points: Vec::new(),
            next: (100.0, 0.0),
        }
    }

    /// Takes a box drawn from corner to corner.
    pub fn drawn(&mut self, a: DVec2, b: DVec2) {
        let (min, max) = (a.min(b), a.max(b));
        let mut size = max - min;
        if matches!(self.form, SketchForm::Disc | SketchForm::Ring) {
            size = DVec2::splat(size.max_element());
        }
        if size.min_element() > 0.0 {
            self.min = Some(min);
            self.size = size;
            self.corner = self.corner.min(size.min_element() / 2.0);
            self.cut = self.cut.min(size * 0.8);
            self.inner = self.inner.min(size.x * 0.9);
        }
    }

    /// Boundary and inner boundary as they stand.
    pub fn loops(&self) -> Option<(Loop, Option<Loop>)> {
        if self.form == SketchForm::Polygon {
            return (self.points.len() >= 3).then(|| (Loop::polygon(self.points.iter().copied()), None));
        }
        let min = self.min?;
        if self.size.min_element() <= 0.0 {
            return None;
        }
        let max = min + self.size;
        let radius = self.size.x / 2.0;
        let centre = min + DVec2::splat(radius);
        Some(match self.form {
            SketchForm::Rectangle | SketchForm::Polygon => (Loop::rectangle(min, max), None),
            SketchForm::RoundedRectangle => (
                Loop::rounded_rectangle(min, max, self.corner.clamp(0.0, self.size.min_element() / 2.0)),
                None,
            ),
            SketchForm::Disc => (Loop::circle(centre, radius), None),
            SketchForm::Angle => {
                (Loop::angle_piece(min, max, self.cut.clamp(DVec2::ZERO, self.size * 0.999)), None)
            }
            SketchForm::Ring => (
                Loop::circle(centre, radius),
                Some(Loop::circle(centre, (self.inner / 2.0).clamp(0.0, radius * 0.999))),
            ),
        })
    }
}
