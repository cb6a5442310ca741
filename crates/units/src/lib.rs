//! Quantities a person types and reads.
//!
//! Inside the program every figure is a plain `f64` in one fixed unit per [`Quantity`] (its *base* unit, see
//! [`Quantity::base_unit`]); this crate is the only place that knows other units. [`parse`] turns what a person
//! typed into a base-unit value, [`show`] turns a value into figures and a unit for a view, [`show_given`] one
//! that a person gave, [`show_exact`] into the text an edit field starts from.
//!
//! Two pressures that are easily mixed up are types: [`AbsolutePressure`] and [`VacuumLevel`].
//!
//! ```
//! use units::{parse, show, Quantity, UnitChoice};
//!
//! let metric = UnitChoice::default();
//! let mm = parse("12 1/2 in + 3", Quantity::Length, &metric)?;
//! assert!((mm - 320.5).abs() < 1e-9); // 317.5 mm and 3 mm: a bare number is in the unit picked
//! assert_eq!(show(mm, Quantity::Length, &metric).to_string(), "320.5 mm");
//! # Ok::<(), units::ParseError>(())
//! ```
//!
//! What is deliberately absent: a general system of units (nothing multiplies a length by a length), units
//! attached to numbers inside the program, and any knowledge of files, screens or languages.

mod atmosphere;
mod choice;
mod error;
mod number;
mod parse;
mod pressure;
mod quantity;
mod show;
mod table;
mod text;
mod worded;

pub use atmosphere::{ANR_DENSITY, STANDARD_ATMOSPHERE, STANDARD_GRAVITY, standard_atmosphere};
pub use choice::{
    AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, UnitChoice, priced_air,
    unit_of,
};
pub use error::ParseError;
pub use parse::parse;
pub use pressure::{AbsolutePressure, VacuumLevel};
pub use quantity::Quantity;
pub use show::{
    Shown, figure, fixed, show, show_at_least, show_at_most, show_exact, show_given, show_size, three_figures,
};
pub use table::tidied;
pub use text::{capital, trimmed};
pub use worded::{Part, Worded};
