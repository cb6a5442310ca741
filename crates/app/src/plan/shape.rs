//! A shape that is being sketched.

use super::boundary::{LoopRef, boundary};
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
    /// Two half circles and straights between.
    Slot,
    /// Rectangle less its upper right corner.
    Angle,
    /// Disc with a hole.
    Ring,
    /// Point by point.
    Polygon,
}

impl SketchForm {
    pub(super) const ALL: [(Self, &'static str); 7] = [
        (Self::Rectangle, "Rectangle"),
        (Self::RoundedRectangle, "Rounded"),
        (Self::Disc, "Disc"),
        (Self::Slot, "Slot"),
        (Self::Angle, "L"),
        (Self::Ring, "Ring"),
        (Self::Polygon, "Polygon"),
    ];

    /// Whether a sketch may take this form: a ring is an outline with its hole, and nothing else has one.
    pub(super) fn suits(self, sketch: &Sketch) -> bool {
        self != Self::Ring || (sketch.target == SketchTarget::Outline && sketch.replaces.is_none())
    }

    /// Whether it is placed by its centre, as a drawing gives it.
    pub(super) fn by_centre(self) -> bool {
        matches!(self, Self::Disc | Self::Ring | Self::Slot)
    }
}

/// A shape being made; nothing is in the document until it is added.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// What it becomes.
    pub target: SketchTarget,
    /// The boundary it takes the place of, as it was when it was taken up; `None` for a new one.
    pub replaces: Option<(LoopRef, Loop)>,
    /// Which shape.
    pub form: SketchForm,
    /// Lower left corner, mm; `None` until it is put somewhere.
    pub min: Option<DVec2>,
    /// Width and height; the width is the diameter of a disc or ring, the overall length of a slot before it is turned.
    pub size: DVec2,
    /// Turn of a slot, degrees.
    pub turn_deg: f64,
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
    pub fn new(target: SketchTarget, part: &Part, step_mm: f64) -> Self {
        let extent = part.outline.outer.bounds().map_or(DVec2::new(400.0, 300.0), |b| b.max - b.min);
        // Whole steps of the person's grid: sizes that are round in their unit.
        let whole = |v: f64| units::tidied((v / step_mm).round().max(1.0) * step_mm);
        let size = match target {
            SketchTarget::Outline => extent,
            _ => (extent / 5.0).map(whole),
        };
        Self {
            target,
            replaces: None,
            form: if target == SketchTarget::Hole { SketchForm::Disc } else { SketchForm::Rectangle },
            min: None,
            size: if target == SketchTarget::Hole { DVec2::splat(size.min_element()) } else { size },
            turn_deg: 0.0,
            corner: whole(size.min_element() / 5.0),
            cut: (size / 2.0).map(whole),
            inner: whole(size.x / 2.0),
            points: Vec::new(),
            next: (100.0, 0.0),
        }
    }

    /// A boundary that is there, as the circle, slot or rectangle that it is; `None` where it is none of these.
    pub fn of(part: &Part, of: LoopRef) -> Option<Self> {
        let boundary = boundary(part, of)?;
        let target = match of {
            LoopRef::Outer => SketchTarget::Outline,
            LoopRef::Hole(_) => SketchTarget::Hole,
            LoopRef::KeepOut(_) => SketchTarget::KeepOut,
        };
        let mut sketch = Self { replaces: Some((of, boundary.clone())), ..Self::new(target, part, 1.0) };
        let tidy = |v: f64| units::tidied(v);
        if let Some((centre, radius)) = boundary.as_circle() {
            sketch.form = SketchForm::Disc;
            sketch.size = DVec2::splat(tidy(2.0 * radius));
            sketch.set_centre(centre);
        } else if let Some((centre, length, width, turn)) = boundary.as_slot() {
            sketch.form = SketchForm::Slot;
            sketch.size = DVec2::new(tidy(length), tidy(width));
            sketch.turn_deg = tidy(turn.to_degrees());
            sketch.set_centre(centre);
        } else {
            let bounds = boundary.bounds()?;
            let corner = |at: DVec2| {
                (at.x == bounds.min.x || at.x == bounds.max.x)
                    && (at.y == bounds.min.y || at.y == bounds.max.y)
            };
            let square = boundary.vertices.len() == 4
                && boundary.vertices.iter().all(|v| v.bulge == 0.0 && corner(v.at));
            if !square || boundary.signed_area().abs() <= 0.0 {
                return None;
            }
            sketch.form = SketchForm::Rectangle;
            sketch.min = Some(bounds.min);
            sketch.size = bounds.max - bounds.min;
        }
        Some(sketch)
    }

    /// The middle of what is sketched, mm.
    pub fn centre(&self) -> Option<DVec2> {
        self.min.map(|min| min + self.size / 2.0)
    }

    /// Puts its middle somewhere.
    pub fn set_centre(&mut self, at: DVec2) {
        self.min = Some((at - self.size / 2.0).map(units::tidied));
    }

    /// Another size round the same middle.
    pub fn resize(&mut self, size: DVec2) {
        let centre = self.centre().filter(|_| self.form.by_centre());
        self.size = size;
        if let Some(at) = centre {
            self.set_centre(at);
        }
    }

    /// Takes a box drawn from corner to corner.
    ///
    /// A disc and a ring grow from their centre.
    pub fn drawn(&mut self, a: DVec2, b: DVec2) {
        if matches!(self.form, SketchForm::Disc | SketchForm::Ring) {
            let radius = a.distance(b);
            if radius > 0.0 {
                self.size = DVec2::splat(units::tidied(2.0 * radius));
                self.inner = self.inner.min(self.size.x * 0.9);
                self.set_centre(a);
            }
            return;
        }
        let (min, max) = (a.min(b), a.max(b));
        let size = max - min;
        if size.min_element() > 0.0 {
            self.min = Some(min);
            self.size = size;
            self.corner = self.corner.min(size.min_element() / 2.0);
            self.cut = self.cut.min(size * 0.8);
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
            SketchForm::Slot => (
                Loop::slot(min + self.size / 2.0, self.size.x, self.size.y, self.turn_deg.to_radians()),
                None,
            ),
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
