//! The states that a motion takes between its start and its end.

use crate::motion::{Instant, LoadCase};

/// Whether a motion is judged as stated or in every state from start to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Signs {
    /// Exactly as stated, whatever else the part meets before and after.
    #[default]
    AsStated,
    /// In the worst of its starts and stops: the fixed acceleration and the turn acceleration each as stated and reversed,
    /// the turn at its full rate and not turning yet, or no longer.
    Worst,
}

/// One state of a motion: how many times each part of it is taken as it is stated, for its load case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Member {
    /// Of the fixed acceleration: 1, or -1 when it is reversed. The acceleration of a sweep is taken as it is.
    pub acceleration: f64,
    /// Of the turn rate: 1, or 0 when the turn has not begun or has ended. Its sign changes no load.
    pub turn_rate: f64,
    /// Of the turn acceleration: 1, or -1 when it is reversed.
    pub turn_acceleration: f64,
}

impl Member {
    /// Everything as stated.
    pub const AS_STATED: Self = Self { acceleration: 1.0, turn_rate: 1.0, turn_acceleration: 1.0 };
}

impl LoadCase {
    /// The states of the motion that bound all others, as stated first; those that equal one before are left out.
    ///
    /// The load is affine in the multiples of acceleration and turn acceleration (-1 to 1) and in the square of that of
    /// the turn rate (0 to 1). What a share of it uses of a lip, or of all cups, is convex in the load, in every
    /// [`Reading`](crate::Reading), so that no state within this box uses more than the worst of its corners. Standing
    /// still is within it wherever something is reversed.
    ///
    /// # Example
    /// ```
    /// use glam::DVec3;
    /// use mechanics::{Instant, LoadCase, Member, Signs};
    /// let level = Instant::still(DVec3::new(0.0, 0.0, -9.80665));
    /// let lift = Instant { acceleration: DVec3::new(0.0, 0.0, 2.0), ..level }; // m/s²
    /// let case = LoadCase { signs: Signs::Worst, ..LoadCase::single(lift) };
    /// let states: Vec<(Member, LoadCase)> = case.members().collect();
    /// assert_eq!(states[0].0, Member::AS_STATED);
    /// assert_eq!(states[1].1.fixed.acceleration.z, -2.0); // m/s²: as it stops
    /// assert_eq!(states.len(), 2);
    /// ```
    pub fn members(&self) -> impl Iterator<Item = (Member, LoadCase)> + use<> {
        let case = *self;
        let other = move |varies: bool, other: f64| {
            let varies = varies && case.signs == Signs::Worst;
            if varies { [Some(1.0), Some(other)] } else { [Some(1.0), None] }.into_iter().flatten()
        };
        let moves = |vector: glam::DVec3| vector != glam::DVec3::ZERO;
        let fixed = case.fixed;
        other(moves(fixed.acceleration), -1.0).flat_map(move |acceleration| {
            other(moves(fixed.turn_rate), 0.0).flat_map(move |turn_rate| {
                other(moves(fixed.turn_acceleration), -1.0).map(move |turn_acceleration| {
                    let member = Member { acceleration, turn_rate, turn_acceleration };
                    (member, case.in_state(&member))
                })
            })
        })
    }

    /// The case in one state of its motion.
    pub fn in_state(&self, member: &Member) -> Self {
        // Exactly as stated where nothing is changed.
        let times = |vector: glam::DVec3, times: f64| if times == 1.0 { vector } else { vector * times };
        let fixed = Instant {
            acceleration: times(self.fixed.acceleration, member.acceleration),
            turn_rate: times(self.fixed.turn_rate, member.turn_rate),
            turn_acceleration: times(self.fixed.turn_acceleration, member.turn_acceleration),
            ..self.fixed
        };
        Self { fixed, signs: Signs::AsStated, ..*self }
    }
}

#[cfg(test)]
mod tests;
