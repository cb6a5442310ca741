//! Inputs that figures depend on and that nobody measured or stated.

use crate::report::Assumption;
use document::{Layout, MassBy, Origin, Part, Project, Sourced};
use units::Quantity;

/// Every assumed input that this layout's figures use: part first, then circuits, then models, each once.
pub(crate) fn assumptions(project: &Project, layout: &Layout, part: Option<&Part>) -> Vec<Assumption> {
    let mut out = Vec::new();
    let mut add = |what: String, value: &Sourced<f64>, quantity: Quantity| {
        if value.origin == Origin::Assumed {
            let (value, on) = (value.value, value.on.clone());
            out.push(Assumption { what, value, quantity, origin: Origin::Assumed, on });
        }
    };
    if let Some(part) = part {
        add(format!("friction of the lips on {}", part.name), &part.friction, Quantity::Ratio);
        match &part.mass {
            MassBy::Density { kg_m3 } => add(format!("density of {}", part.name), kg_m3, Quantity::Density),
            MassBy::Areal { kg_m2 } => {
                add(format!("mass per area of {}", part.name), kg_m2, Quantity::ArealMass);
            }
            MassBy::Stated { kg } => add(format!("mass of {}", part.name), kg, Quantity::Mass),
        }
        if let Some(centre) = &part.centre_of_gravity {
            for (axis, value) in ["x", "y", "z"].into_iter().zip(centre.value.to_array()) {
                let value = Sourced { value, origin: centre.origin, on: centre.on.clone() };
                add(format!("centre of gravity of {}, {axis}", part.name), &value, Quantity::Length);
            }
        }
    }
    for circuit in project.circuits.iter().filter(|c| layout.cups.iter().any(|cup| cup.circuit == c.id)) {
        add(
            format!("vacuum level of {} at sea level", circuit.name),
            &circuit.level_kpa,
            Quantity::VacuumLevel,
        );
    }
    for model in project.models.iter().filter(|m| layout.cups.iter().any(|cup| cup.model == m.id)) {
        let name = &model.name;
        add(format!("sealing line over outer size of {name}"), &model.sealing_share, Quantity::Ratio);
        add(format!("axial stiffness of {name}"), &model.axial_n_mm, Quantity::Stiffness);
        add(format!("lateral stiffness of {name}"), &model.lateral_n_mm, Quantity::Stiffness);
        add(
            format!("tilt stiffness of {name} over that of its lip line"),
            &model.tilt_reduction,
            Quantity::Ratio,
        );
        add(format!("line force that keeps {name} sealed"), &model.seal_minimum_n_mm, Quantity::LineForce);
    }
    out
}
