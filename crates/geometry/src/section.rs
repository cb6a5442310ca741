//! Area, centroid and second moments of outlines with arcs kept as arcs.

use glam::DVec2;

use crate::segment::less_sine;
use crate::{Loop, Outline, Segment};

/// Area, centroid, second moments about the centroid; exact for arcs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// mm².
    pub area: f64,
    /// mm.
    pub centroid: DVec2,
    /// ∫ y² dA about the centroid, mm⁴.
    pub ix: f64,
    /// ∫ x² dA about the centroid, mm⁴.
    pub iy: f64,
    /// ∫ x y dA about the centroid, mm⁴ (plain sign).
    pub ixy: f64,
}

/// Principal second moments i1 >= i2 and the angle of axis 1 from x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Principal {
    /// Larger second moment, mm⁴.
    pub i1: f64,
    /// Smaller second moment, mm⁴.
    pub i2: f64,
    /// Angle from x of the axis about which the second moment is `i1`, rad, in -π/2..=π/2.
    pub angle: f64,
}

impl Section {
    /// Principal second moments.
    ///
    /// # Source
    /// Mohr's circle of the second moments, e.g. Beer & Johnston, Mechanics of Materials, appendix A (from memory).
    pub fn principal(&self) -> Principal {
        let mean = (self.ix + self.iy) / 2.0;
        let half = (self.ix - self.iy) / 2.0;
        let reach = half.hypot(self.ixy);
        // I(angle) = mean + half cos 2a - ixy sin 2a is largest at tan 2a = -ixy / half.
        Principal { i1: mean + reach, i2: mean - reach, angle: (-self.ixy).atan2(half) / 2.0 }
    }
}

/// Integrals over an area: 1, x, y, x², y², xy.
#[derive(Debug, Clone, Copy, Default)]
struct Moments {
    area: f64,
    first: DVec2,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Moments {
    fn add(&mut self, other: &Moments, sign: f64) {
        self.area += sign * other.area;
        self.first += sign * other.first;
        self.xx += sign * other.xx;
        self.yy += sign * other.yy;
        self.xy += sign * other.xy;
    }

    /// Signed triangle origin, a, b.
    fn triangle(a: DVec2, b: DVec2) -> Self {
        let across = a.perp_dot(b);
        Moments {
            area: across / 2.0,
            first: across / 6.0 * (a + b),
            xx: across / 12.0 * (a.x * a.x + a.x * b.x + b.x * b.x),
            yy: across / 12.0 * (a.y * a.y + a.y * b.y + b.y * b.y),
            xy: across / 24.0 * (2.0 * a.x * a.y + a.x * b.y + b.x * a.y + 2.0 * b.x * b.y),
        }
    }

    /// Signed area between an arc and its chord, positive for a counter-clockwise arc.
    ///
    /// With half angle h: area = r² (h - sin h cos h), first moment from the centre = 2/3 r³ sin³h, second moments about
    /// the axis of symmetry and across it as in the table.
    fn circular_segment(centre: DVec2, radius: f64, start: f64, sweep: f64) -> Self {
        let half = sweep.abs() / 2.0;
        let (sin, cos) = half.sin_cos();
        let lens = less_sine(2.0 * half) / 2.0; // h - sin h cos h
        let cubed = sin * sin * sin;
        let area = radius * radius * lens;
        let along = 2.0 / 3.0 * radius.powi(3) * cubed;
        let fourth = radius.powi(4);
        // u runs from the centre to the middle of the arc, v across it.
        let uu = fourth / 4.0 * (lens + 2.0 * cubed * cos);
        let vv = fourth / 12.0 * (3.0 * lens - 2.0 * cubed * cos);
        let u = DVec2::from_angle(start + sweep / 2.0);
        let v = u.perp();
        let mut moments = Moments {
            area,
            first: area * centre + along * u,
            xx: uu * u.x * u.x + vv * v.x * v.x + 2.0 * along * u.x * centre.x + area * centre.x * centre.x,
            yy: uu * u.y * u.y + vv * v.y * v.y + 2.0 * along * u.y * centre.y + area * centre.y * centre.y,
            xy: uu * u.x * u.y
                + vv * v.x * v.y
                + along * (u.x * centre.y + u.y * centre.x)
                + area * centre.x * centre.y,
        };
        if sweep < 0.0 {
            let positive = moments;
            moments = Moments::default();
            moments.add(&positive, -1.0);
        }
        moments
    }

    fn of_loop(boundary: &Loop, origin: DVec2) -> Self {
        let mut total = Moments::default();
        for (_, from, to, segment) in boundary.pieces() {
            total.add(&Moments::triangle(from - origin, to - origin), 1.0);
            if let Segment::Arc { centre, radius, start, sweep } = segment {
                total.add(&Moments::circular_segment(centre - origin, radius, start, sweep), 1.0);
            }
        }
        total
    }
}

pub(crate) fn loop_area(boundary: &Loop) -> f64 {
    let Some(bounds) = boundary.bounds() else { return 0.0 };
    Moments::of_loop(boundary, bounds.centre()).area
}

/// Area, centroid and second moments of an outline, arcs as arcs; holes subtract whichever way round they run.
///
/// Integrals are taken from the middle of the outline, so a part drawn metres from the origin loses no digits.
/// `None` for an outline without area (say so through [`validate`](crate::validate)).
///
/// # Units
/// mm in; mm², mm and mm⁴ out.
///
/// # Source
/// Green's theorem on the polygon of corners plus circular segments between arcs and their chords; circular segment:
/// Roark's Formulas for Stress and Strain, table A.1, "segment of a circle" (from memory).
///
/// ```
/// use geometry::{Loop, Outline, section};
/// use glam::DVec2;
/// let plate = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(800.0, 500.0))); // mm
/// let found = section(&plate).unwrap();
/// assert_eq!(found.area, 400_000.0); // mm²
/// assert_eq!(found.centroid, DVec2::new(400.0, 250.0)); // mm
/// ```
pub fn section(outline: &Outline) -> Option<Section> {
    let bounds = outline.outer.bounds()?;
    let origin = bounds.centre();
    let mut total = Moments::default();
    for (i, boundary) in outline.loops().enumerate() {
        let moments = Moments::of_loop(boundary, origin);
        let way = if moments.area < 0.0 { -1.0 } else { 1.0 };
        total.add(&moments, if i == 0 { way } else { -way });
    }
    let square = bounds.size().length_squared();
    if !total.area.is_finite() || total.area <= 1e-12 * square {
        return None;
    }
    let centre = total.first / total.area;
    let section = Section {
        area: total.area,
        centroid: origin + centre,
        ix: total.yy - total.area * centre.y * centre.y,
        iy: total.xx - total.area * centre.x * centre.x,
        ixy: total.xy - total.area * centre.x * centre.y,
    };
    (section.centroid.is_finite() && (section.ix + section.iy + section.ixy).is_finite()).then_some(section)
}
