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
/// - slide and twist: (|T|/(s mu C))² + (twist/(s mu C rho))² <= 1 with s = `slide_share`, rho the line's mean radius.
///
/// # Source
/// Pressure under a line as under a section in bending (statics). Limit surface of a sliding contact: Howe &
/// Cutkosky, *Practical force-motion models for sliding manipulation*, Int. J. Robotics Research 15(6), 1996 (from
/// memory): the ellipse is usual, and a thin ring's true surface lies inside it by up to 2 √2/π = 0.900, so take
/// s = 0.9 for a round lip; for others see [`slide_share_within`].
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

    /// Slide and twist together, N.
    pub(crate) fn sliding(&self, load: &CupLoad) -> f64 {
        load.slide.extend(load.twist * self.twist_as_slide()).length()
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

#[cfg(test)]
mod tests;
