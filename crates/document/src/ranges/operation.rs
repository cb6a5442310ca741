//! The rows of how a circuit is run.

use super::table::{bore, level, row};
use super::{Field, Measure as M};
use units::Quantity as Q;

/// Every number of [`Operation`](crate::Operation).
pub(super) const FIELDS: &[Field] = &[
    row(
        "circuit.supply.operation.valve_s",
        "the response of the valve",
        M::Of(Q::Time),
        (0.0, 60.0),
        "no valve takes a minute; 0.01 to 0.05 s is usual",
    ),
    row(
        "circuit.supply.operation.switch_s",
        "the delay of the switch",
        M::Of(Q::Time),
        (0.0, 60.0),
        "no switch takes a minute; 0.005 to 0.04 s is usual",
    ),
    row(
        "circuit.supply.operation.blow_off.feed_kpa",
        "the feed pressure",
        M::Of(Q::FeedPressure),
        (1.0, 5000.0),
        "compressed air for tools has up to 1000 kPa",
    ),
    row(
        "circuit.supply.operation.vessel_ml",
        "the vessel",
        M::Of(Q::Volume),
        (0.0, 1e8),
        "no vessel of a tool holds 100 m³",
    ),
    row(
        "circuit.supply.operation.check_leak_nl_min",
        "what a check valve lets back",
        M::Of(Q::Flow),
        (0.0, 1000.0),
        "a check valve that lets 1 m³ a minute back is none; 0 is tight",
    ),
    level("circuit.supply.operation.check_leak_at_kpa", "the level at which a check valve lets it back", 0.1),
    bore("circuit.supply.operation.exhaust.bore_mm", "the bore"),
    row(
        "circuit.supply.operation.exhaust.length_mm",
        "the length",
        M::Of(Q::Length),
        (0.0, 1e6),
        "no hose is over 1 km",
    ),
    row(
        "circuit.supply.operation.exhaust.flow_loss_per_kpa",
        "the share of flow lost for each kPa of back-pressure",
        M::Of(Q::Share),
        (0.0, 1.0),
        "more would be lost to nothing; 2 % is usual",
    ),
    row(
        "circuit.supply.operation.exhaust.level_loss_per_kpa",
        "the share of level lost for each kPa of back-pressure",
        M::Of(Q::Share),
        (0.0, 1.0),
        "more would be lost to nothing; 1 % is usual",
    ),
];
