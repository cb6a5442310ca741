//! What the robot carries: cups, fittings, frame and part as one body at the flange.

use crate::{
    lower::ModelFacts,
    report::{Carried, RobotLoad},
};
use document::{Attached, Cup, FramePiece, ModelId, Tool};
use glam::{DMat3, DVec3};
use mechanics::Body;
use std::collections::HashMap;

const KG_PER_G: f64 = 1e-3;
const M_PER_MM: f64 = 1e-3;

/// Mass, centre and inertia at the flange, without the part and with it; `None` without a part that has a mass.
///
/// Cups count as points half their own height above the lips, on their posts; a rail as a bar of its length and width, a
/// plate as its rectangle, both without thickness.
pub(crate) fn load(
    tool: &Tool,
    placed: &[&Cup],
    models: &HashMap<&ModelId, ModelFacts<'_>>,
    body: Option<Body>,
    payload_kg: Option<f64>,
) -> Option<RobotLoad> {
    let part = body?;
    let mut bodies: Vec<Body> = Vec::new();
    let mut left_out: Vec<String> = Vec::new();

    let mut without: Vec<String> = Vec::new();
    for cup in placed {
        let Some(model) = models.get(&cup.model).map(|facts| facts.model) else { continue };
        let at = cup.at.extend(positive(cup.height_mm) + 0.5 * positive(model.height_mm));
        match mass(model.mass_g * KG_PER_G) {
            Some(kg) => bodies.push(Body::point(kg, at)),
            None if !without.contains(&model.name) => without.push(model.name.clone()),
            None => {}
        }
    }
    left_out.extend(without.into_iter().map(|model| format!("cups {model}")));

    if tool.frame.is_empty() {
        left_out.push("frame".to_owned());
    }
    for piece in &tool.frame {
        match frame_body(piece) {
            Some(body) => bodies.push(body),
            None => left_out.push(piece.name.clone()),
        }
    }
    if tool.masses.is_empty() {
        left_out.push("fittings".to_owned());
    }
    for attached in &tool.masses {
        match attached_body(attached) {
            Some(body) => bodies.push(body),
            None => left_out.push(attached.name.clone()),
        }
    }

    let flange = if tool.flange.is_finite() { tool.flange } else { DVec3::ZERO };
    let empty = (!bodies.is_empty()).then(|| carried(&bodies, flange));
    bodies.push(part);
    let loaded = carried(&bodies, flange);
    let finite = |carried: &Carried| {
        carried.mass_kg.is_finite()
            && carried.centre_mm.is_finite()
            && carried.inertia_kg_m2.iter().all(|value| value.is_finite())
    };
    (finite(&loaded) && empty.as_ref().is_none_or(finite)).then_some(RobotLoad {
        flange_mm: flange,
        empty,
        loaded,
        payload_kg: payload_kg.filter(|kg| kg.is_finite() && *kg > 0.0),
        left_out,
    })
}

fn carried(bodies: &[Body], flange: DVec3) -> Carried {
    let all = mechanics::combined(bodies, flange);
    Carried { mass_kg: all.mass, centre_mm: all.centre, inertia_kg_m2: products(&all.inertia) }
}

/// Ixx, Iyy, Izz, Ixy, Ixz, Iyz, kg·m², from a tensor in kg·mm² that carries minus signs off its diagonal.
pub(crate) fn products(inertia: &DMat3) -> [f64; 6] {
    let metres = *inertia * (M_PER_MM * M_PER_MM);
    [metres.x_axis.x, metres.y_axis.y, metres.z_axis.z, -metres.y_axis.x, -metres.z_axis.x, -metres.z_axis.y]
}

/// A mass that counts.
fn mass(kg: f64) -> Option<f64> {
    (kg.is_finite() && kg > 0.0).then_some(kg)
}

fn positive(mm: f64) -> f64 {
    if mm.is_finite() { mm.max(0.0) } else { 0.0 }
}

fn attached_body(attached: &Attached) -> Option<Body> {
    let kg = mass(attached.mass_kg)?;
    if !(attached.at.is_finite() && attached.size.is_finite()) {
        return None;
    }
    Some(if attached.size == DVec3::ZERO {
        Body::point(kg, attached.at)
    } else {
        let own = Body::block(kg, attached.at, attached.size);
        let turned = DMat3::from_rotation_z(attached.turn_deg.to_radians());
        // Exactly as it is where nothing turns.
        match attached.turn_deg {
            0.0 => own,
            _ => Body { inertia: turned * own.inertia * turned.transpose(), ..own },
        }
    })
}

fn frame_body(piece: &FramePiece) -> Option<Body> {
    let kg = mass(piece.mass_kg())?;
    let own = Body::block(kg, piece.centre(), piece.size().extend(0.0));
    let turned = DMat3::from_rotation_z(piece.turn_deg.to_radians());
    let body = Body { inertia: turned * own.inertia * turned.transpose(), ..own };
    (body.centre.is_finite() && body.inertia.to_cols_array().iter().all(|v| v.is_finite())).then_some(body)
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{AttachedId, FrameId, FrameShape};
    use glam::DVec2;

    fn rail(turn_deg: f64) -> FramePiece {
        FramePiece {
            id: FrameId(1),
            name: "Beam".to_owned(),
            at: DVec2::new(100.0, 50.0),
            turn_deg,
            height_mm: 80.0,
            shape: FrameShape::Rail {
                length_mm: 1000.0,
                width_mm: 40.0,
                pitch_mm: 0.0,
                first_mm: 0.0,
                kg_m: 2.5,
            },
        }
    }

    #[test]
    fn a_rail_is_a_bar_from_its_start() {
        let body = frame_body(&rail(90.0)).unwrap();
        assert!((body.mass - 2.5).abs() < 1e-12);
        assert!((body.centre - DVec3::new(100.0, 550.0, 80.0)).length() < 1e-9);
        // Along y: m (l² + w²)/12 about z, m l²/12 about x, m w²/12 about y.
        let [ixx, iyy, izz, ixy, ..] = products(&body.inertia);
        assert!((ixx - 2.5 / 12.0).abs() < 1e-12 && (iyy - 2.5 * 0.0016 / 12.0).abs() < 1e-12);
        assert!((izz - 2.5 * 1.0016 / 12.0).abs() < 1e-12 && ixy.abs() < 1e-12);
    }

    #[test]
    fn the_part_alone_is_loaded_and_nothing_is_empty() {
        let part = Body::point(4.0, DVec3::new(300.0, 200.0, -1.0));
        let tool = Tool { flange: DVec3::new(300.0, 200.0, 99.0), ..Tool::default() };
        let load = load(&tool, &[], &HashMap::new(), Some(part), Some(f64::NAN)).unwrap();
        assert_eq!((load.empty, load.payload_kg), (None, None));
        assert_eq!(load.left_out, ["frame", "fittings"]);
        assert_eq!(load.loaded.centre_mm, DVec3::new(0.0, 0.0, -100.0));
        // 4 kg at 100 mm below the flange.
        assert!((load.loaded.inertia_kg_m2[0] - 0.04).abs() < 1e-12);
        assert!(super::load(&tool, &[], &HashMap::new(), None, None).is_none());
    }

    #[test]
    fn what_has_no_mass_is_named() {
        let weightless = FramePiece {
            shape: FrameShape::Plate {
                length_mm: 100.0,
                width_mm: 100.0,
                pitch_mm: DVec2::ZERO,
                first_mm: DVec2::ZERO,
                kg_m2: 0.0,
            },
            name: "Plate".to_owned(),
            ..rail(0.0)
        };
        let valve = Attached {
            id: AttachedId(2),
            name: "Valve".to_owned(),
            mass_kg: 0.5,
            at: DVec3::new(0.0, 0.0, 50.0),
            size: DVec3::ZERO,
            turn_deg: 0.0,
        };
        let tool = Tool {
            masses: vec![valve.clone(), Attached { mass_kg: 0.0, name: "Hose".to_owned(), ..valve }],
            frame: vec![weightless],
            ..Tool::default()
        };
        let load = load(&tool, &[], &HashMap::new(), Some(Body::point(1.0, DVec3::ZERO)), None).unwrap();
        assert_eq!(load.left_out, ["Plate", "Hose"]);
        assert_eq!(load.empty.unwrap().mass_kg, 0.5);
        assert!((load.loaded.mass_kg - 1.5).abs() < 1e-12);
    }
}
