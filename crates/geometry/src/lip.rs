//! Lips: their outline, their line, and the core they are a rounding of.

use std::f64::consts::{FRAC_PI_2, PI};

use glam::DVec2;

use crate::Loop;

/// Outline of a lip about its centre; `length` runs along the lip's own x axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LipShape {
    /// A circle.
    Round {
        /// mm.
        diameter: f64,
    },
    /// Two half circles of `width` and straights; `length` overall.
    Long {
        /// Overall, mm.
        length: f64,
        /// mm.
        width: f64,
    },
    /// A rectangle with rounded corners.
    Rectangle {
        /// mm.
        length: f64,
        /// mm.
        width: f64,
        /// Corner radius, mm.
        corner: f64,
    },
}

/// A closed line as a line: length, area enclosed, second moments of the *line* about its own axes, mean radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LipLine {
    /// mm.
    pub length: f64,
    /// Area enclosed, mm².
    pub area: f64,
    /// ∫ y² ds, mm³.
    pub ix: f64,
    /// ∫ x² ds, mm³.
    pub iy: f64,
    /// Mean distance of the line from the centre, mm.
    pub mean_radius: f64,
    /// The part of `mean_radius` that lies across the length, mm: the mean of y² over the distance from the centre; the mean
    /// of x² over it is the rest.
    pub radius_across: f64,
    /// Half of the extent along x, mm.
    pub half_length: f64,
    /// Half of the extent along y, mm.
    pub half_width: f64,
}

/// A lip placed on the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lip {
    /// Its outline.
    pub shape: LipShape,
    /// Centre, mm.
    pub at: DVec2,
    /// Turn of its length axis from x, rad.
    pub turn: f64,
}

/// Every lip is a rectangle `half` (a point or a segment when a side is nought) grown all round by `radius`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Core {
    pub half: DVec2,
    pub radius: f64,
}

impl LipShape {
    pub(crate) fn core(&self) -> Core {
        // f64::max turns what is not a number into 0.
        let (length, width, corner) = match *self {
            LipShape::Round { diameter } => {
                return Core { half: DVec2::ZERO, radius: diameter.max(0.0) / 2.0 };
            }
            LipShape::Long { length, width } => (length.max(0.0), width.max(0.0), f64::INFINITY),
            LipShape::Rectangle { length, width, corner } => {
                (length.max(0.0), width.max(0.0), corner.max(0.0))
            }
        };
        let radius = corner.min(length.min(width) / 2.0);
        Core { half: DVec2::new(length / 2.0 - radius, width / 2.0 - radius).max(DVec2::ZERO), radius }
    }

    /// Overall size along the lip's own x and y, mm.
    pub fn size(&self) -> DVec2 {
        match *self {
            LipShape::Round { diameter } => DVec2::splat(diameter),
            LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => {
                DVec2::new(length, width)
            }
        }
    }

    /// The same kind of shape with all sizes times `share` (outer size to sealing line).
    pub fn scaled(&self, share: f64) -> Self {
        match *self {
            LipShape::Round { diameter } => LipShape::Round { diameter: diameter * share },
            LipShape::Long { length, width } => {
                LipShape::Long { length: length * share, width: width * share }
            }
            LipShape::Rectangle { length, width, corner } => {
                LipShape::Rectangle { length: length * share, width: width * share, corner: corner * share }
            }
        }
    }

    /// The same kind of shape with its outer line `by` mm further out all round (further in when negative).
    pub fn grown(&self, by: f64) -> Self {
        let more = |size: f64| (size + 2.0 * by).max(0.0);
        match *self {
            LipShape::Round { diameter } => LipShape::Round { diameter: more(diameter) },
            LipShape::Long { length, width } => LipShape::Long { length: more(length), width: more(width) },
            LipShape::Rectangle { length, width, corner } => LipShape::Rectangle {
                length: more(length),
                width: more(width),
                corner: (corner + by).max(0.0),
            },
        }
    }

    /// Length, area, second moments and mean radius of the lip's line.
    ///
    /// # Units
    /// mm, mm², mm³.
    ///
    /// # Source
    /// Line integrals over the straights and the quarter circles in closed form; the mean distance of a quarter circle
    /// from the centre is an incomplete elliptic integral of the second kind, taken by a 16-point Gauss rule (its
    /// integrand is smooth: the rule is exact to rounding), and its part across the length likewise.
    ///
    /// ```
    /// use geometry::LipShape;
    /// let line = LipShape::Round { diameter: 40.0 }.line(); // mm
    /// assert!((line.length - 125.664).abs() < 1e-3); // mm
    /// assert!((line.ix - std::f64::consts::PI * 20f64.powi(3)).abs() < 1e-6); // mm³
    /// assert!((line.mean_radius - 20.0).abs() < 1e-12); // mm
    /// ```
    pub fn line(&self) -> LipLine {
        let Core { half: h, radius: r } = self.core();
        let length = 4.0 * (h.x + h.y) + 2.0 * PI * r;
        // ∫ (distance from the axis)² ds with `a` the core's half side along the axis and `b` across it.
        let second = |a: f64, b: f64| {
            4.0 * a * (b + r).powi(2)
                + 4.0 / 3.0 * b.powi(3)
                + 2.0 * PI * r * b * b
                + 8.0 * b * r * r
                + PI * r.powi(3)
        };
        let around = 4.0 * (straight(h.x, h.y + r) + straight(h.y, h.x + r) + quarter(h, r, DVec2::length));
        // y²/|p| along the straights: d² asinh(a/d) where y is the distance d, and what is left of |p| where x is.
        let level = tail(h.x, h.y + r);
        let upright = straight(h.y, h.x + r) - tail(h.y, h.x + r);
        let across = 4.0 * (level + upright + quarter(h, r, |p| p.y * p.y / p.length()));
        let mean = |sum: f64| if length > 0.0 { sum / length } else { 0.0 };
        LipLine {
            length,
            area: 4.0 * h.x * h.y + 4.0 * r * (h.x + h.y) + PI * r * r,
            ix: second(h.x, h.y),
            iy: second(h.y, h.x),
            mean_radius: mean(around),
            radius_across: mean(across),
            half_length: h.x + r,
            half_width: h.y + r,
        }
    }

    /// The lip as a loop about the origin, length along x, counter-clockwise.
    pub fn outline(&self) -> Loop {
        let Core { half, radius } = self.core();
        if half == DVec2::ZERO {
            return Loop::circle(DVec2::ZERO, radius);
        }
        let reach = half + radius;
        Loop::rounded_rectangle(-reach, reach, radius)
    }

    /// How far the lip reaches along a direction in its own frame, mm: the largest x·direction over its line. The
    /// direction need not be of unit length.
    pub fn support(&self, direction: DVec2) -> f64 {
        let Core { half, radius } = self.core();
        half.dot(direction.abs()) + radius * direction.length()
    }
}

/// ∫ of the distance from the centre along a straight from its middle to `a`, at distance `d`.
fn straight(a: f64, d: f64) -> f64 {
    if a == 0.0 { 0.0 } else { (a * a.hypot(d) + tail(a, d)) / 2.0 }
}

/// ∫ of d² over the distance from the centre along the same straight.
fn tail(a: f64, d: f64) -> f64 {
    if d > 0.0 { d * d * (a / d).asinh() } else { 0.0 }
}

/// ∫ of a function of the place from the centre along a quarter circle of radius `r` about `h`.
fn quarter(h: DVec2, r: f64, of: impl Fn(DVec2) -> f64) -> f64 {
    if r == 0.0 {
        return 0.0;
    }
    let at = |angle: f64| of(h + r * DVec2::from_angle(angle));
    let (middle, reach) = (FRAC_PI_2 / 2.0, FRAC_PI_2 / 2.0);
    let sum: f64 = GAUSS.iter().map(|(x, w)| w * (at(middle - reach * x) + at(middle + reach * x))).sum();
    sum * reach * r
}

/// Positive nodes and weights of the 16-point Gauss-Legendre rule (Abramowitz & Stegun, table 25.4).
#[allow(clippy::excessive_precision, reason = "as tabulated")]
const GAUSS: [(f64, f64); 8] = [
    (0.095012509837637440185, 0.189450610455068496285),
    (0.281603550779258913230, 0.182603415044923588867),
    (0.458016777657227386342, 0.169156519395002538189),
    (0.617876244402643748447, 0.149595988816576732081),
    (0.755404408355003033895, 0.124628971255533872052),
    (0.865631202387831743880, 0.095158511682492784810),
    (0.944575023073232576078, 0.062253523938647892863),
    (0.989400934991649932596, 0.027152459411754094852),
];

impl Lip {
    /// The lip where it lies on the part, counter-clockwise.
    pub fn outline(&self) -> Loop {
        self.shape.outline().transformed(self.turn, false, self.at)
    }

    pub(crate) fn is_finite(&self) -> bool {
        self.at.is_finite() && self.turn.is_finite() && self.shape.size().is_finite()
    }

    pub(crate) fn local(&self, point: DVec2) -> DVec2 {
        DVec2::from_angle(-self.turn).rotate(point - self.at)
    }

    pub(crate) fn placed(&self, local: DVec2) -> DVec2 {
        DVec2::from_angle(self.turn).rotate(local) + self.at
    }

    /// Corners of the core on the part: one point, two ends or four corners counter-clockwise.
    pub(crate) fn core_corners(&self) -> ([DVec2; 4], usize) {
        let Core { half: h, .. } = self.shape.core();
        let place = |x: f64, y: f64| self.placed(DVec2::new(x * h.x, y * h.y));
        match (h.x > 0.0, h.y > 0.0) {
            (false, false) => ([self.at; 4], 1),
            (true, true) => ([place(-1.0, -1.0), place(1.0, -1.0), place(1.0, 1.0), place(-1.0, 1.0)], 4),
            _ => {
                let (a, b) = (place(-1.0, -1.0), place(1.0, 1.0));
                ([a, b, a, b], 2)
            }
        }
    }

    /// How deep a point lies below the lip's outer line, mm; negative outside the lip.
    ///
    /// # Source
    /// Signed distance of a rounded box.
    pub fn depth(&self, point: DVec2) -> f64 {
        let Core { half, radius } = self.shape.core();
        let beyond = self.local(point).abs() - half;
        radius - beyond.max(DVec2::ZERO).length() - beyond.max_element().min(0.0)
    }

    /// Point of the lip's outer line nearest to a point, mm.
    pub fn nearest(&self, point: DVec2) -> DVec2 {
        let Core { half, radius } = self.shape.core();
        let local = self.local(point);
        let inner = local.clamp(-half, half);
        let out = local - inner;
        let reach = out.length();
        // On the core itself the direction outwards would be rounding.
        if reach > 1e-9 * (1.0 + half.max_element()) {
            return self.placed(inner + out * (radius / reach));
        }
        let gap = half - local.abs();
        let side = |v: f64| if v < 0.0 { -1.0 } else { 1.0 };
        self.placed(if gap.x < gap.y {
            DVec2::new(side(local.x) * (half.x + radius), local.y)
        } else {
            DVec2::new(local.x, side(local.y) * (half.y + radius))
        })
    }

    /// The lip as a union of discs whose centres run along straight strokes while the radius changes evenly: its medial
    /// axis. Every largest disc inside the lip is one of them.
    pub(crate) fn strokes(&self) -> Vec<Stroke> {
        let Core { half: h, radius } = self.shape.core();
        let short = h.min_element();
        let ridge = h - DVec2::splat(short);
        let mut strokes = vec![Stroke {
            a: self.placed(-ridge),
            b: self.placed(ridge),
            radius_a: radius + short,
            radius_b: radius + short,
        }];
        if short > 0.0 {
            for (x, y) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                let side = DVec2::new(x, y);
                strokes.push(Stroke {
                    a: self.placed(ridge * side),
                    b: self.placed(h * side),
                    radius_a: radius + short,
                    radius_b: radius,
                });
            }
        }
        strokes
    }
}

/// Discs along a straight line, from one radius to another.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stroke {
    pub a: DVec2,
    pub b: DVec2,
    pub radius_a: f64,
    pub radius_b: f64,
}
