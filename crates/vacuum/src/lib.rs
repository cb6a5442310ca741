//! The vacuum circuit: does the level arrive at every cup, how fast, at what cost, and what happens when one opens.
//!
//! A [`NetworkBuilder`] takes nodes, hoses with fittings, restrictions, cups with their leaks, and sources by curve, all by
//! name; [`solve`] gives pressure at every node, flow, loss and regime of every element, and the level at every cup.
//!
//! # Units
//! Lengths mm, volumes cm³, pressures kPa (absolute and level kept apart by their types), flow in litres ANR per minute
//! ([`NORMAL_DENSITY`]), conductance dm³/(s·bar), permeance µm/(Pa·s), power W, temperature °C. Inside: SI, squared absolute
//! pressures.
//!
//! # What is assumed
//! Dry air, isothermal at one temperature, 10 to 100 kPa absolute; hoses long against their bore; leaks and sources by
//! monotone laws, which is what makes the answer the only one.
//!
//! # Example
//! See [`NetworkBuilder`].
//!
//! What is deliberately absent: cups as drawn things, libraries of parts, files, the clock.

mod air;
mod causes;
mod cost;
mod fitting;
mod friction;
mod interpolate;
mod leak;
mod line;
#[cfg(test)]
mod metamorphic;
mod network;
mod open_cups;
mod restriction;
#[cfg(test)]
mod samples;
mod solve;
mod source;
mod time;
mod what_if;

pub use air::{Air, GAS_CONSTANT, NORMAL_DENSITY, NORMAL_TEMPERATURE, kg_s_from_nl_min, nl_min_from_kg_s};
pub use causes::{
    Cause, Course, CourseKind, Fault, Gauge, Measured, TimedLevel, as_of_baseline, rank_causes,
    unexplained_without_fault,
};
pub use cost::{
    AirSaving, Compressor, CostError, PickCost, Picking, consumption, deepest_common_level, pick_cost,
};
pub use fitting::{Fitting, FittingKind, LossMethod};
pub use friction::Friction;
pub use leak::Leak;
pub use line::{
    Coil, Hose, LAMINAR_UP_TO, Line, LineFlow, LinePart, PartLoss, Regime, SMOOTH_HOSE_ROUGHNESS_MM,
    TURBULENT_FROM,
};
pub use network::{
    Cup, CupId, DEFAULT_DISCHARGE, Element, ElementId, ElementKind, LeakId, Manifold, ManifoldId, NamedLeak,
    NamedSource, Network, NetworkBuilder, Node, NodeId, PlacedCup, Problem, SourceId,
};
pub use open_cups::{Survival, WithOpen, cups_open, each_cup_open, survivable_open_cups};
pub use restriction::{ORIFICE_CRITICAL_RATIO, Restriction, RestrictionFlow, Seep};
pub use solve::{CupFigures, ElementFigures, Solution, SourceFigures, State, Status, solve};
pub use source::{
    AtFeed, CurveError, CurveShape, Ejector, Exhaust, ExhaustTakes, FeedRow, Source, SourceCurve,
    SourceError, SourceKind,
};
pub use time::{
    Change, Evacuation, EvacuationTimes, Event, Follow, HoldTimes, Reached, Release, ReleaseTimes, Sample,
    Stop, TimeError, Transient, TransientStatus, USUAL_SHARES, Watch, emptying_time_s, evacuate, follow,
    hold, release,
};
pub use what_if::{Outcome, rank, shorter_hose};
