//! Areal masses and inertia (`masses.json`).

use geometry::{Loop, MassProperties, Outline, areal_mass, section};
use glam::DVec2;
use serde_json::Value;

use super::{allowed, cases, hold, number, numbers};

const COUNT: usize = 5;

fn hold_all(case: &Value, name: &str, found: &[f64]) {
    let expected = &case["expected"][name];
    let values = numbers(&expected["value"]);
    assert_eq!(values.len(), found.len(), "{} {name}", case["id"]);
    for (value, found) in values.iter().zip(found) {
        assert!(
            (found - value).abs() <= allowed(expected, *value),
            "{} {name}: {found} for {value}",
            case["id"]
        );
    }
}

#[test]
fn every_mass() {
    let mut checked = Vec::new();
    for case in cases(include_str!("masses.json"), COUNT) {
        let id = case["id"].as_str().expect("id").to_owned();
        let inputs = &case["inputs"];
        match id.as_str() {
            "E1" | "E2" | "E3" | "E5" => {
                let density = number(&inputs["density_kg_m3"]);
                let found: Vec<f64> =
                    numbers(&inputs["thickness_mm"]).iter().map(|t| areal_mass(density, *t)).collect();
                hold_all(&case, "areal_mass_kg_m2", &found);
            }
            "E8" => {
                let [length, width] = numbers(&inputs["size_mm"])[..] else { panic!("two sides") };
                let thickness = number(&inputs["thickness_mm"]);
                let sheet = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(length, width)));
                let section = section(&sheet).expect("has area");
                // mm² to m².
                let mass = areal_mass(number(&inputs["density_kg_m3"]), thickness) * section.area * 1e-6;
                let body = MassProperties::plate(&section, thickness, mass);
                let expected = &case["expected"];
                hold(&id, "mass", &expected["mass_kg"], body.mass);
                hold(&id, "Ixx", &expected["Ixx_kgmm2"], body.inertia.x_axis.x);
                hold(&id, "Iyy", &expected["Iyy_kgmm2"], body.inertia.y_axis.y);
                hold(&id, "Izz", &expected["Izz_kgmm2"], body.inertia.z_axis.z);
            }
            other => panic!("nothing checks {other}"),
        }
        checked.push(id);
    }
    assert_eq!(checked, ["E1", "E2", "E3", "E5", "E8"]);
}
