//! Circuits that were worked out: schematic, levels, hoses, losses, controls, and what follows when something fails.

pub(crate) mod curves;
mod dust;
mod helps;
mod schematic;
mod slow;
mod steady;
mod symbols;

use super::printed;
use crate::block::Section;
use crate::context::Context;
use crate::style::Style;
use analysis::{CircuitReport, CircuitStatus};
use units::{Quantity, unit_of};

/// Nothing without a circuit that was worked out.
pub(super) fn sections(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let solved = context.report.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved);
    printed(solved.flat_map(|circuit| of_one(context, circuit, width, style)).collect())
}

fn of_one(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Vec<Section> {
    vec![
        schematic::section(context, circuit, width, style),
        steady::levels(context, circuit, width, style),
        curves::source(context, circuit, width, style),
        curves::evacuation(context, circuit, width, style),
        steady::hoses(context, circuit, width, style),
        steady::losses(context, circuit, width, style),
        helps::section(context, circuit, width, style),
        steady::zones(context, circuit, width, style),
        slow::controls(context, circuit, width, style),
        slow::open(context, circuit, width, style),
        slow::figures_of(context, circuit, width, style),
        dust::section(context, circuit, width, style),
    ]
}

/// "Circuit 1: hose schedule".
fn heading(circuit: &CircuitReport, what: &str) -> String {
    format!("{}: {what}", circuit.name.trim())
}

/// A figure of a quantity that has one unit only.
fn plain(context: &Context, value: f64, decimals: usize, unit: &str) -> String {
    if !value.is_finite() {
        return "none".to_owned();
    }
    format!("{} {unit}", context.fixed(value, decimals))
}

/// The figures alone; what is too small for them is said to be less than the least that they can show.
fn least(context: &Context, value: f64, quantity: Quantity) -> String {
    let mut shown = context.number(value, quantity);
    let nought = shown.ends_with('0') && !shown.contains(|digit| matches!(digit, '1'..='9'));
    if value > 0.0 && nought {
        shown.pop();
        return format!("< {shown}1");
    }
    shown
}

/// As [`least`], with the unit.
fn with_unit(context: &Context, value: f64, quantity: Quantity) -> String {
    format!("{} {}", least(context, value, quantity), unit_of(quantity, context.units).1)
}
