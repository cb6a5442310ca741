//! Mass, centre and inertia at the flange, for the robot's programmer.

use super::{append, note_after, nothing};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table};
use analysis::Carried;
use units::Quantity;

pub(super) fn section(context: &Context, width: f64, style: &Style) -> Section {
    let Some(robot) = &context.report.robot else { return nothing(SectionId::Other("robot load")) };
    let columns = [flexible("at the flange's centre"), figures("tool empty"), figures("with the part")];
    let line = |name: String, of: &dyn Fn(&Carried) -> String| {
        vec![
            Cell::plain(name),
            Cell::plain(robot.empty.as_ref().map_or("not stated".to_owned(), of)),
            Cell::bold(of(&robot.loaded)),
        ]
    };
    let mut rows = vec![line("mass".to_owned(), &|c| context.figure(c.mass_kg, Quantity::Mass))];
    for (index, axis) in ["X", "Y", "Z"].into_iter().enumerate() {
        let name = format!("centre {axis}");
        rows.push(line(name, &|c| context.figure(c.centre_mm[index], Quantity::Length)));
    }
    for (index, axes) in ["XX", "YY", "ZZ", "XY", "XZ", "YZ"].into_iter().enumerate() {
        let what = if index < 3 { "inertia" } else { "product" };
        rows.push(line(format!("{what} {axes}"), &|c| inertia(context, c, index)));
    }
    let (head, mut rows) = table(&columns, &rows, width.min(style.body * 44.0), style);
    let at = |value: f64| context.figure(value, Quantity::Length);
    let mut says = format!(
        "Axes as on the plan, Z towards the robot; the flange's centre lies at X {}, Y {}, Z {} from the datum. Products \
         are the plain integral of x y dm: some controllers want them with the other sign.",
        at(robot.flange_mm.x - context.datum().x),
        at(robot.flange_mm.y - context.datum().y),
        at(robot.flange_mm.z)
    );
    match robot.payload_kg {
        Some(payload) => says.push_str(&format!(
            " The robot may carry {}; tool and part are {}.",
            context.figure(payload, Quantity::Mass),
            context.figure(robot.loaded.mass_kg, Quantity::Mass)
        )),
        None => says.push_str(" What the robot may carry was not stated."),
    }
    if !robot.left_out.is_empty() {
        says.push_str(&format!(" Left out, mass not stated: {}.", robot.left_out.join(", ")));
    }
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("robot load"), heading: "Load on the robot".to_owned(), head, rows }
}

/// As many decimals as give the largest of them four figures.
fn inertia(context: &Context, of: &Carried, index: usize) -> String {
    let (scale, unit) = units::unit_of(Quantity::Inertia, context.units);
    let value = of.inertia_kg_m2[index] / scale;
    if !value.is_finite() {
        return "none".to_owned();
    }
    let largest = of.inertia_kg_m2.iter().map(|value| value.abs() / scale).fold(1e-3, f64::max);
    let decimals = (3 - largest.log10().floor() as i32).clamp(0, 6) as usize;
    format!("{} {unit}", units::fixed(value, decimals, context.units))
}
