//! What one lip can carry before it leaks or slides.

use crate::factor::Factor;
use crate::group::CupLoad;
use crate::motion::MILLI;
use glam::{DMat2, DVec2};

/// A slide below this share of the vacuum force is rounding, not a slide.
pub(crate) const NO_SLIDE: f64 = 1e-9;

/// What one lip can carry: the sealing line, what presses it on, and its friction on the part.
///
/// Left on the lip under a load is C = F - pull, spread along the line with the gradient that carries the tilt:
/// line pressure p(x, y) = C/L + M_x y/I_x - M_y x/I_y in the lip's own axes. The limits are
/// - seal, onset of leak: p >= `seal_minimum` on the whole line (a round lip without minimum: |M| <= C r/2);
/// - slide and twist under even pressure: (|T|/(s mu C))² + (twist/(s mu C rho))² <= 1 with s = `slide_share`, rho the
///   line's mean radius;
/// - slide and twist under the pressure that the tilt makes uneven: [`Uneven`].
///
/// # Source
/// Pressure under a line as under a section in bending (statics). Limit surface of a sliding contact: Howe &
/// Cutkosky, *Practical force-motion models for sliding manipulation*, Int. J. Robotics Research 15(6), 1996 (from
/// memory): the ellipse is usual, and a thin ring's true surface lies inside it by up to 2 √2/π = 0.900, so take
/// s = 0.9 for a round lip; for others see [`slide_share_within`]. Uneven pressure: derived at [`Uneven`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LipStrength {
    /// Vacuum level at the cup times the area that the sealing line encloses, N.
    pub vacuum_force: f64,
    /// The sealing line.
    pub line: geometry::LipLine,
    /// Turn of the lip's length axis from x, rad.
    pub turn: f64,
    /// Shape of the sealing line.
    pub shape: geometry::LipShape,
    /// Coefficient of friction between lip and part.
    pub friction: f64,
    /// Share of the friction ellipse that may be used.
    pub slide_share: f64,
    /// Least line pressure that seals, N/mm.
    pub seal_minimum: f64,
}

impl LipStrength {
    /// Largest multiple of the load that meets both limits while the vacuum force stays: closed form.
    ///
    /// # Example
    /// ```
    /// use geometry::LipShape;
    /// use glam::DVec2;
    /// use mechanics::{CupLoad, LipLimit, LipStrength};
    /// let shape = LipShape::Round { diameter: 40.0 }; // mm
    /// let line = shape.line();
    /// let force = 0.06 * line.area; // N, at 60 kPa
    /// let lip = LipStrength {
    ///     vacuum_force: force, line, turn: 0.0, shape, friction: 0.5, slide_share: 1.0, seal_minimum: 0.0,
    /// };
    /// // Level: force over pull. On edge: friction times force over slide.
    /// let level = lip.factor(&CupLoad { pull: 20.0, ..Default::default() });
    /// assert!((level.value - force / 20.0).abs() < 1e-12);
    /// let on_edge = lip.factor(&CupLoad { slide: DVec2::new(0.0, -20.0), ..Default::default() });
    /// assert!((on_edge.value - 0.5 * force / 20.0).abs() < 1e-12);
    /// assert_eq!(on_edge.limit, LipLimit::Slide);
    /// ```
    pub fn factor(&self, load: &CupLoad) -> Factor {
        Factor::of(self.available(), self.demand(load))
    }

    /// What the load uses up, N of vacuum force, by seal and by slide; the factor is the smaller of available over
    /// demand. Below zero when the load presses the lip on; the slide's is infinite when there is a slide and no
    /// friction.
    pub fn demand(&self, load: &CupLoad) -> (f64, f64) {
        let seal = load.pull + self.shape.support(self.seal_gradient() * load.tilt);
        let (sliding, grip) = (self.sliding(load), self.grip());
        let slide = if grip > 0.0 {
            load.pull + sliding / grip
        } else if sliding > NO_SLIDE * self.vacuum_force {
            f64::INFINITY
        } else {
            load.pull
        };
        (seal, slide)
    }

    /// What there is to use, N, by seal and by slide.
    pub fn available(&self) -> (f64, f64) {
        (self.vacuum_force - self.seal_minimum * self.line.length, self.vacuum_force)
    }

    /// Slide, twist and what the tilt takes from the friction, together as a slide, N.
    pub(crate) fn sliding(&self, load: &CupLoad) -> f64 {
        let twist = load.twist * self.twist_as_slide();
        let even = load.slide.extend(twist).length();
        let tilt = self.tilt_as_slide() * load.tilt * self.friction.max(0.0);
        self.uneven().sliding(load.slide, tilt, twist).max(even)
    }

    /// The constants of this lip's friction under uneven pressure.
    pub fn uneven(&self) -> Uneven {
        Uneven::of(&self.shape, &self.line)
    }

    /// From a tilt to the slide over the coefficient of friction that it is worth, N per N·m, in the tool's axes.
    pub(crate) fn tilt_as_slide(&self) -> DMat2 {
        let tilt = DVec2::from_array(self.uneven().tilt) * self.twist_as_slide();
        let axes = DMat2::from_angle(self.turn);
        axes * DMat2::from_diagonal(tilt) * axes.transpose()
    }

    /// Slide per force on the lip.
    pub(crate) fn grip(&self) -> f64 {
        (self.slide_share * self.friction).max(0.0)
    }

    /// From a tilt to the N of vacuum force it uses per mm from the centre, in the lip's own axes: the line pressure
    /// times the line's length falls along (x, y) by L (M_y/I_y, -M_x/I_x) · (x, y).
    pub(crate) fn seal_gradient(&self) -> DMat2 {
        let scale = self.line.length / MILLI;
        let fall = DMat2::from_cols(
            DVec2::new(0.0, -scale / self.line.ix), // of M_x
            DVec2::new(scale / self.line.iy, 0.0),  // of M_y
        );
        fall * DMat2::from_angle(-self.turn)
    }

    /// From a twist to the slide it is worth, N per N·m.
    pub(crate) fn twist_as_slide(&self) -> f64 {
        1.0 / (self.line.mean_radius * MILLI)
    }
}

/// Largest share of the friction ellipse at which a lip pressed on evenly stays within its true limit, to be used as
/// `slide_share`: 0.9 for a round lip; for any other the √3/2 of a straight line, which no lip goes below.
///
/// # Source
/// Friction integrated along the lip for each centre of turning (Howe & Cutkosky 1996, as [`LipStrength`]): a ring
/// turned about one of its points keeps 2/π of its slide and of its twist; a straight line turned about its point at
/// 1/√2 of the half length keeps 1/√2 of its slide and 1/2 of its twist.
pub fn slide_share_within(shape: &geometry::LipShape) -> f64 {
    match shape {
        geometry::LipShape::Round { .. } => 0.9,
        geometry::LipShape::Long { .. } | geometry::LipShape::Rectangle { .. } => 0.5 * 3_f64.sqrt(),
    }
}

/// A lip's friction when tilt presses it on unevenly: constants of a bound that stays within the true limit.
///
/// Beside the ellipse of [`LipStrength`] a second condition holds, in the lip's own axes, with t = T/mu, q = |twist|/(mu rho)
/// and m = (`tilt[0]` M_x, `tilt[1]` M_y)/rho, all in N:
///
/// |(`slide` (t + m), `twist` q)| + `apart` q <= s C, and the same with t - m.
///
/// Without tilt it is weaker than the ellipse, so that a lip pressed on evenly slides where it did.
///
/// # Derivation
/// A line under the pressure p >= 0 resists every (T, twist) for which v·T + w twist <= mu ∮ p |v + w z×r| ds, whichever
/// way (v, w) the lip is about to move: the friction does at most that work. p = C/L + g·r makes the right side
/// mu (C I + L g·J), with I = the mean of |v + w z×r| along the line and J that of r |v + w z×r|. So what the load uses up
/// is the largest over (v, w) of (v·t + rho w q - L g·J)/I: the support function of the points (v, -∂(L g·J)/∂(M/rho),
/// rho w)/I. For the round line the middle one is k v/|v|, with 2/3 its largest (v = rho w) and always below both
/// (|v|, rho w)/I; to first order in w, and for every line, it is w rho v/|v|: the friction of a lip that slides acts where
/// the pressure has its centre. The constants are those of an ellipsoid, a(cos) along t, the same times `tilt` along m,
/// `apart` + `twist` sin along q, that touches the ellipse of even pressure from inside where the true surface does (for the
/// ring at v = rho w, for a straight line at rho w = 0.7 v) and that holds all those points together with the ellipse.
/// Where v is small, the middle one is v times rho L (mean of y²/|r|)/I_x for M_x and likewise for M_y: 1 for the round
/// line, up to 2 for a lip ten times as long as wide; `tilt` has that factor, where above 1.
///
/// The bound lies 3 % inside the true limit on average over the loads that a round lip seals under, and 11 % at most (the
/// slide without twist, which s = 0.9 costs already).
///
/// # Source
/// Principle of virtual work; the mean values as in Howe & Cutkosky 1996 (see [`LipStrength`]). The constants were found by
/// search; a test holds the bound against the friction integrated along lips of all shapes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uneven {
    /// Of the slide, and of the slide that the tilt is worth.
    pub slide: f64,
    /// Of the twist, together with the slide.
    pub twist: f64,
    /// Of the twist, added.
    pub apart: f64,
    /// Of the tilt about the lip's length axis and about its width axis.
    pub tilt: [f64; 2],
}

impl Uneven {
    /// For a lip of this shape.
    pub fn of(shape: &geometry::LipShape, line: &geometry::LipLine) -> Self {
        let (slide, twist, apart, tilt) = match shape {
            geometry::LipShape::Round { .. } => (0.79, 0.4185, 0.52, 0.9),
            geometry::LipShape::Long { .. } | geometry::LipShape::Rectangle { .. } => {
                (0.88, 0.5333, 0.3778, 0.86)
            }
        };
        let turning = |part: f64, second: f64| {
            let factor = line.mean_radius * line.length * part / second;
            tilt * if factor > 1.0 { factor } else { 1.0 }
        };
        let across = line.radius_across;
        Self {
            slide,
            twist,
            apart,
            tilt: [turning(across, line.ix), turning(line.mean_radius - across, line.iy)],
        }
    }

    /// The larger of both signs of the tilt, N of slide: `tilt` as slide already, `twist` too.
    pub(crate) fn sliding(&self, slide: DVec2, tilt: DVec2, twist: f64) -> f64 {
        // Of |slide + tilt| and |slide - tilt| the larger.
        let along = if slide.dot(tilt) < 0.0 { slide - tilt } else { slide + tilt };
        (along * self.slide).extend(twist * self.twist).length() + (self.apart * twist).abs()
    }
}

#[cfg(test)]
mod tests;
