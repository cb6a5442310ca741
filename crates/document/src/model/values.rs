//! Ids, and values that carry where they come from.

use std::{fmt, sync::Arc};

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => { $($(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        })+ };
}
id!(
    /// A [`Part`](crate::Part); never reused within a project.
    PartId,
    /// A [`Layout`](crate::Layout); never reused within a project.
    LayoutId,
    /// A [`Cup`](crate::Cup), unique within its layout. A copied layout keeps the ids, so that compare pairs the cups.
    CupId,
    /// A [`Motion`](crate::Motion); never reused within a project.
    MotionId,
    /// A [`Circuit`](crate::Circuit); never reused within a project.
    CircuitId,
    /// A [`KeepOut`](crate::KeepOut), unique within its part.
    KeepOutId,
    /// An [`Attached`](crate::Attached) mass, unique within its part or tool.
    AttachedId,
    /// A [`FramePiece`](crate::FramePiece), unique within its layout.
    FrameId,
    /// A [`Seat`](crate::Seat), unique within its layout. A copied layout keeps the ids.
    SeatId,
    /// A [`Remark`](crate::Remark); never reused within a project.
    RemarkId,
);

/// Name of a cup model in the library and in the project, e.g. "round-40-flat"; never reused.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ModelId(pub Arc<str>);

impl fmt::Display for ModelId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
impl From<&str> for ModelId {
    fn from(name: &str) -> Self {
        Self(name.into())
    }
}

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Taken on the real thing.
    Measured,
    /// Given by a drawing, a data sheet or the customer.
    Stated,
    /// Nobody said so yet; the sheet lists it.
    Assumed,
}
/// A value that could have been assumed, and when it was entered (ISO date, may be empty).
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    /// The value itself, in the base unit that its field names.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
    /// Date of entry, ISO 8601 ("2026-01-31"), or empty.
    pub on: String,
}
impl<T> Sourced<T> {
    /// Nobody said so: a default or a guess, without a date.
    pub fn assumed(value: T) -> Self {
        Self { value, origin: Origin::Assumed, on: String::new() }
    }
    /// Given by a drawing, a data sheet or the customer.
    pub fn stated(value: T) -> Self {
        Self { value, origin: Origin::Stated, on: String::new() }
    }
    /// Taken on the real thing on this day (ISO 8601).
    pub fn measured(value: T, on: &str) -> Self {
        Self { value, origin: Origin::Measured, on: on.to_owned() }
    }
}
