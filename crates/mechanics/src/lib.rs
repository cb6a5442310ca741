//! What a motion asks of the cups, how they share it, and what one lip carries.
//!
//! A [`LoadCase`] and a [`Body`] give a [`Wrench`]: the force and moment of the part on the cups. A [`CupGroup`] shares
//! it among the cups as springs. A [`LipStrength`] says how many times the share of one cup could be carried before
//! its lip leaks or slides. [`worst_case`] does all three over every instant of a case.
//!
//! # Units
//! Tool frame: x, y in the plane of the part, z from the part towards the tool, z = 0 the plane of the lips.
//! Forces N, moments N·m, lengths mm, angles rad, accelerations m/s², masses kg, inertia kg·mm², stiffness N/mm and
//! N·m/rad.
//!
//! # Signs
//! Every force and moment is that *of the part on the cups*, by the right-hand rule. A level part that hangs still
//! loads the cups with (0, 0, -m g); the *pull* of a cup is minus the z force on it, so that hanging is positive.
//!
//! # Example
//! ```
//! use glam::{DMat3, DVec2, DVec3};
//! use mechanics::{Body, CupGroup, CupSpring, Instant, load};
//!
//! // 8 kg, level and still, 100 mm off the centre of four cups 400 mm apart.
//! let part = Body { mass: 8.0, centre: DVec3::new(100.0, 0.0, -1.0), inertia: DMat3::ZERO };
//! let still = Instant::still(DVec3::new(0.0, 0.0, -9.80665));
//! let cups: Vec<_> = [(-200.0, -200.0), (200.0, -200.0), (200.0, 200.0), (-200.0, 200.0)]
//!     .map(|(x, y)| CupSpring::point(DVec2::new(x, y), 20.0, 30.0))
//!     .into();
//! let group = CupGroup::new(&cups)?;
//! let loads = group.share(&load(&part, &still, group.centre().extend(0.0)));
//! assert!((loads[1].pull - 8.0 * 9.80665 * (0.25 + 0.125)).abs() < 1e-9); // N, near the centre of gravity
//! assert!((loads[0].pull - 8.0 * 9.80665 * (0.25 - 0.125)).abs() < 1e-9); // N, far from it
//! # Ok::<(), mechanics::GroupError>(())
//! ```

mod arrangement;
mod balance;
mod carried;
mod case;
mod channel;
pub mod choice;
mod envelope;
mod factor;
mod group;
mod group_error;
mod limit;
mod lost;
mod members;
mod motion;
mod profile;
mod readings;
mod remedy;
#[cfg(test)]
mod samples;
mod sharing;
mod sparse;
mod strength;
mod sweep;
mod tipping;
mod usage;
pub mod valves;

pub use arrangement::{Arrangement, IN_LINE, arrangement};
pub use balance::{centroid_offset, most_over_mean, spread};
pub use carried::{Carried, combined};
pub use case::{CaseResult, worst_case, worst_case_shared};
pub use channel::{Channel, air_viscosity};
pub use envelope::{Envelope, EnvelopePoint};
pub use factor::{Factor, LipLimit, Reading};
pub use group::{CupGroup, CupLoad, CupSpring};
pub use group_error::GroupError;
pub use limit::{Contact, Limit, LimitOver, LimitSolver, limit_over};
pub use lost::{Loss, LossStep, SharingOf, follow_loss, follow_loss_shared, follow_loss_within};
pub use members::{Member, Signs};
pub use motion::{Body, FAVOURABLE_WEIGHT, Instant, LoadCase, Sweep, Wrench, gravity_when_tilted, load};
pub use profile::{MoveProfile, sudden_start_amplification};
pub use readings::{Readings, SplitLoad};
pub use remedy::acceleration_scale_for;
pub use sharing::Sharing;
pub use strength::{LipStrength, Uneven, slide_share_within};
pub use tipping::tipping_moment;
