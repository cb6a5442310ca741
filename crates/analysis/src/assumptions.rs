//! Inputs that figures depend on and that nobody measured or stated.

use crate::{lower, report::Assumption};
use document::{CupModel, Layout, MassBy, Origin, Part, Project, SourceKind, Sourced};
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
        for (name, friction) in frictions(project, layout, part) {
            add(name, friction, Quantity::Ratio);
        }
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
        let name = &circuit.name;
        let Some(supply) = &circuit.supply else {
            add(format!("vacuum level of {name} at sea level"), &circuit.level_kpa, Quantity::VacuumLevel);
            continue;
        };
        add(
            format!("vacuum level asked for on {name} at sea level"),
            &circuit.level_kpa,
            Quantity::VacuumLevel,
        );
        let gap = Sourced { value: supply.lip_gap_um.value * 1e-3, ..supply.lip_gap_um.clone() };
        add(format!("gap left under the lips on {name}"), &gap, Quantity::Length);
        if let Some(model) = project.source(&supply.source) {
            let deepest = model.curve.last().map_or(0.0, |point| point.level_kpa);
            let curve = Sourced { value: deepest, origin: model.figures, on: model.on.clone() };
            add(format!("curve of {}, deepest level", model.name), &curve, Quantity::VacuumLevel);
            if model.kind == SourceKind::Ejector {
                add(format!("feed pressure of {name}"), &supply.feed_kpa, Quantity::AbsolutePressure);
            }
        }
    }
    let leaks = part.and_then(|part| part.permeance_um_pa_s.as_ref());
    if let (Some(part), Some(permeance)) = (part, leaks) {
        add(format!("how easily air comes through {}", part.name), permeance, Quantity::Permeance);
    }
    for model in used_models(project, layout) {
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
        add(format!("travel of {name}"), &model.travel_mm, Quantity::Length);
        // Looked at only where air comes through the part.
        if leaks.is_some() {
            add(format!("height left for the air under {name}"), &model.channel_mm, Quantity::Length);
        }
    }
    out
}

fn used_models<'p>(project: &'p Project, layout: &'p Layout) -> impl Iterator<Item = &'p CupModel> {
    let used = |model: &&CupModel| layout.cups.iter().any(|cup| cup.model == model.id);
    project.models.iter().map(AsRef::as_ref).filter(used)
}

/// Friction that the layout's lips have on the part: once for all that have none of their own, then for each lip
/// material that has. The part's own stands for a layout without cups.
fn frictions<'p>(
    project: &'p Project,
    layout: &'p Layout,
    part: &'p Part,
) -> Vec<(String, &'p Sourced<f64>)> {
    let mut out: Vec<(String, &Sourced<f64>)> = Vec::new();
    let mut models = used_models(project, layout).peekable();
    let all = format!("friction of the lips on {}", part.name);
    if models.peek().is_none() {
        return vec![(all, &part.friction)];
    }
    for model in models {
        let entry = match lower::pair(part, model) {
            Some(pair) => {
                (format!("friction of {} on {}", pair.lip_material.trim(), part.name), &pair.friction)
            }
            None => (all.clone(), &part.friction),
        };
        if !out.iter().any(|(name, _)| *name == entry.0) {
            out.push(entry);
        }
    }
    out
}
