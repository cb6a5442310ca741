//! Sheets that bend and ring: how a thin part sags between its cups, what each cup then gets, and how it swings after a stroke.
//!
//! A [`Sheet`] is a part by itself: triangles, one factor of its stiffness, its answers to the loads that every motion is made
//! of. It knows no cups. [`Hung`] is a sheet on cups: three more answers for each, kept while it stays where it is, and a small
//! set of equations for all loads at once. Everything else is a sum of those answers.
//!
//! | question | answered by |
//! | --- | --- |
//! | what a motion asks of the sheet | [`SheetLoad`] |
//! | pull and tilt of each cup, and with cups lost | [`Hung::share`] |
//! | the factor of the worst instant with them | [`Hung::group`] with [`mechanics::worst_case_shared`] |
//! | is it as good as rigid | [`Hung::relative_stiffness`] |
//! | sag and where, what small deflections are worth there | [`Hung::sag`], [`Sag`], [`Validity`] |
//! | the deflected sheet, sections through it, its moments and stress | [`Hung::field`], [`Field`], [`MomentField`] |
//! | slope and gap at each lip | [`CupShare::slope`], [`Hung::gaps`] |
//! | where one more cup lowers the sag most | [`Hung::with_one_more`] |
//! | dishing inside a lip | [`dishing`] |
//! | frequencies and modes on the cups | [`Hung::ring`], [`Mode`] |
//! | sag during a stroke, what it leaves, how long to wait | [`Hung::response`] |
//! | which time leaves less | [`Oscillator::quieter`] |
//! | what a sudden stop adds | [`Hung::stop`] |
//!
//! # Units
//! Lengths and deflections mm, forces N, moments per width N (N·mm/mm), moduli N/mm², bending stiffness N·mm, masses kg,
//! specific forces N/kg (m/s²), times s, frequencies Hz. Cups' springs and loads as in [`mechanics`].
//!
//! # Signs
//! Deflection `w` counts from the cups to the part, against the tool's z: down for a level part that hangs. A pull is positive
//! away from the cup. Moments are positive where they make the far side of the sheet longer: a part that sags between its cups
//! has positive ones in the middle.
//!
//! # Limits
//! Kirchhoff's plate with small deflections; stiff in its plane, so that loads in the plane are shared as on a rigid part.
//!
//! # Example
//! ```
//! use flex::{Bending, FlexCup, Hung, Sheet, SheetInput, SheetLoad, USUAL_CORNERS};
//! use geometry::{LipShape, Loop, Outline};
//! use glam::DVec2;
//! use mechanics::CupSpring;
//! use std::sync::Arc;
//!
//! // 1 m of steel sheet, 0.8 mm thick, on two rows of cups.
//! let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(1000.0, 400.0)));
//! let steel = Bending::Isotropic { modulus: 210_000.0, poisson: 0.3 };
//! let input = SheetInput {
//!     outline: &outline, thickness: 0.8, bending: steel, mass: 2.512, attached: &[], corners: USUAL_CORNERS,
//! };
//! let sheet = Arc::new(Sheet::new(&input)?);
//! let line = LipShape::Round { diameter: 40.0 };
//! let cup = |x: f64, y: f64| FlexCup {
//!     spring: CupSpring::along_lip(DVec2::new(x, y), 0.0, 15.0, 10.0, &line.line(), 1.0),
//!     line,
//! };
//! let cups = [cup(60.0, 60.0), cup(500.0, 60.0), cup(940.0, 60.0), cup(60.0, 340.0), cup(500.0, 340.0), cup(940.0, 340.0)];
//! let hung = Hung::new(&sheet, &cups, None)?;
//! let hanging = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[])?;
//! let pulls: Vec<f64> = hanging[0].cups.iter().map(|c| c.pull).collect();
//! assert!(pulls[1] > 1.5 * pulls[0]); // rigid, all six would pull the same
//! assert!((pulls.iter().sum::<f64>() - 2.512 * 9.80665).abs() < 1e-9);
//! let sag = hung.sag(&hanging)[0].largest().0; // mm
//! assert!(sag > 0.4 && sag < 4.0, "{sag}");
//! let lowest = hung.ring(1, &[])?.modes[0].frequency; // Hz
//! assert!(lowest > 2.0 && lowest < 40.0, "{lowest}");
//! # Ok::<(), flex::FlexError>(())
//! ```

mod attached;
mod dish;
mod element;
mod error;
mod field;
mod group;
mod hung;
mod load;
mod locate;
mod material;
mod matrix;
mod mesh;
mod one_more;
mod order;
mod oscillator;
mod response;
mod ring;
mod sag;
mod seat;
mod sheet;
mod small;
#[cfg(test)]
mod tests;
mod vector;

pub use attached::{Attached, Footprint};
pub use dish::{Dishing, dishing};
pub use error::FlexError;
pub use field::{Field, MomentField, Moments};
pub use group::FlexGroup;
pub use hung::{CupShare, FlexCup, Hung, Share};
pub use load::SheetLoad;
pub use material::Bending;
pub use mesh::Mesh;
pub use one_more::OneMore;
pub use oscillator::{Oscillator, Stroke};
pub use response::{Response, Stop};
pub use ring::{Mode, Ring};
pub use sag::{Plane, Sag, Validity};
pub use seat::LipPlace;
pub use sheet::{Sheet, SheetInput, USUAL_CORNERS};
