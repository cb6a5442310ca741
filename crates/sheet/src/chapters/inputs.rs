//! What the figures rest on: every input with its value, where it comes from and when it was entered.

use super::{append, note_after, tight};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::page::Weight;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use document::{Origin, Sourced};
use units::Quantity;

#[derive(Clone, PartialEq)]
struct Input {
    what: String,
    value: String,
    origin: Origin,
    on: String,
}

pub(super) fn section(context: &Context, width: f64, style: &Style) -> Section {
    let mut inputs: Vec<Input> = context
        .report
        .assumptions
        .iter()
        .map(|assumption| Input {
            what: units::capital(&assumption.what),
            value: figure(context, assumption.value, assumption.quantity),
            origin: assumption.origin,
            on: assumption.on.clone(),
        })
        .collect();
    inputs.extend(known(context));
    // What two circuits have in common stands once.
    let mut seen = Vec::new();
    inputs.retain(|input| {
        let is_new = !seen.contains(input);
        if is_new {
            seen.push(input.clone());
        }
        is_new
    });
    // What nobody measured or stated comes first: it is what a trial should replace.
    inputs.sort_by_key(|input| match input.origin {
        Origin::Assumed => 0,
        Origin::Stated => 1,
        Origin::Measured => 2,
    });
    let style = &tight(style);
    let columns = [flexible("input"), figures("value"), words("from"), words("entered")];
    let rows: Vec<Vec<Cell>> = inputs
        .into_iter()
        .map(|input| {
            let weight = if input.origin == Origin::Assumed { Weight::SemiBold } else { Weight::Regular };
            let on = input.on.trim();
            vec![
                Cell::plain(input.what),
                Cell::plain(input.value),
                Cell { weight, ..Cell::plain(input.origin.label()) },
                Cell::second(if on.is_empty() { "–" } else { on }),
            ]
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let site = &context.project.site;
        let says = format!(
            "Site: {} above sea level, {}.",
            context.figure(site.altitude_m, Quantity::Altitude),
            context.figure(site.temperature_c, Quantity::Temperature)
        );
        append(&mut rows, note_after(&says, width, style));
    }
    Section { id: SectionId::Other("assumptions"), heading: "Basis of the figures".to_owned(), head, rows }
}

/// A figure with as many digits as it takes to be none of nought: a gap of some thousandths of a millimetre is one, and what a
/// check valve lets back.
fn figure(context: &Context, value: f64, quantity: Quantity) -> String {
    let shown = context.figure(value, quantity);
    let is_nought = !shown.contains(|digit| matches!(digit, '1'..='9'));
    let may_be_small =
        matches!(quantity, Quantity::Length | Quantity::Flow | Quantity::Volume | Quantity::Time);
    if !may_be_small || !is_nought || value == 0.0 || !value.is_finite() {
        return shown;
    }
    let (factor, unit) = units::unit_of(quantity, context.units);
    let in_unit = value / factor;
    let decimals = (2.0 - in_unit.abs().log10()).ceil().clamp(1.0, 9.0) as usize;
    let number = units::fixed(in_unit, decimals, context.units);
    format!("{} {unit}", units::trimmed(&number))
}

/// What was measured or stated, of the part, the circuits and the models in use.
fn known(context: &Context) -> Vec<Input> {
    let mut inputs = Vec::new();
    let mut add = |what: String, value: &Sourced<f64>, quantity: Quantity| {
        if value.origin != Origin::Assumed {
            inputs.push(Input {
                what: units::capital(&what),
                value: figure(context, value.value, quantity),
                origin: value.origin,
                on: value.on.clone(),
            });
        }
    };
    if let Some(part) = context.part() {
        let quantity = match part.mass {
            document::MassBy::Density { .. } => Quantity::Density,
            document::MassBy::Areal { .. } => Quantity::ArealMass,
            document::MassBy::Stated { .. } => Quantity::Mass,
        };
        add(format!("{} of {}", part.mass.label(), part.name), part.mass.given(), quantity);
        add(format!("friction of the lips on {}", part.name), &part.friction, Quantity::Ratio);
        for pair in &part.pairs {
            let what = format!("friction of {} on {}", pair.lip_material, part.name);
            add(what, &pair.friction, Quantity::Ratio);
        }
        if let Some(centre) = &part.centre_of_gravity {
            for (axis, value) in ["X", "Y", "Z"].into_iter().zip(centre.value.to_array()) {
                let value = Sourced { value, origin: centre.origin, on: centre.on.clone() };
                add(format!("centre of gravity of {}, {axis}", part.name), &value, Quantity::Length);
            }
        }
    }
    let cups = context.layout().map_or(&[][..], |layout| layout.cups.as_slice());
    for circuit in context.project.circuits.iter().filter(|c| cups.iter().any(|cup| cup.circuit == c.id)) {
        let what = format!("vacuum level of {} at sea level", circuit.name);
        add(what, &circuit.level_kpa, Quantity::VacuumLevel);
        let Some(operation) = circuit.supply.as_ref().map(|supply| &supply.operation) else { continue };
        let name = &circuit.name;
        add(format!("response of the valve on {name}"), &operation.valve_s, Quantity::Time);
        add(format!("delay of the vacuum switch on {name}"), &operation.switch_s, Quantity::Time);
        add(format!("leakage of check valves on {name}"), &operation.check_leak_nl_min, Quantity::Flow);
    }
    for model in context.project.models.iter().filter(|m| cups.iter().any(|cup| cup.model == m.id)) {
        let name = &model.name;
        add(format!("sealing line over outer size of {name}"), &model.sealing_share, Quantity::Ratio);
        add(format!("axial stiffness of {name}"), &model.axial_n_mm, Quantity::Stiffness);
        add(format!("lateral stiffness of {name}"), &model.lateral_n_mm, Quantity::Stiffness);
        let tilt = format!("tilt stiffness of {name} over that of its lip line");
        add(tilt, &model.tilt_reduction, Quantity::Ratio);
        add(format!("side-load lever on {name}"), &model.side_lever(), Quantity::Length);
        add(format!("bearing width of the lip of {name}"), &model.lip_width(), Quantity::Length);
        add(format!("seal minimum of {name}"), &model.seal_minimum_n_mm, Quantity::LineForce);
        add(format!("volume inside {name}"), &model.free(), Quantity::Volume);
    }
    inputs
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{LengthUnit, UnitChoice};

    #[test]
    fn a_small_gap_is_not_printed_as_nought() {
        let made = crate::tests::fixtures::tray();
        let inch = UnitChoice { length: LengthUnit::Inch, decimal_comma: true, ..UnitChoice::default() };
        let written = |units: &UnitChoice, value: f64| {
            let (project, report) = (&made.project, &made.report);
            let context = Context::of_plot(project, report, units);
            figure(&context, value, Quantity::Length)
        };
        assert_eq!(written(&UnitChoice::default(), 0.004), "0.004 mm");
        assert_eq!(written(&UnitChoice::default(), 1.26), "1.3 mm");
        let (project, report, units) = (&made.project, &made.report, &UnitChoice::default());
        let context = Context::of_plot(project, report, units);
        assert_eq!(figure(&context, 0.005, Quantity::Flow), "0.00500 L/min ANR");
        assert_eq!(written(&UnitChoice::default(), 0.0), "0.0 mm");
        assert_eq!(written(&inch, 0.00508), "0,0002 in");
    }
}
