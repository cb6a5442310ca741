//! Records of cases: a list with inputs, expected values and tolerances; a value passes within tol_abs + tol_rel |value|.

use flex::{Attached, Bending, FlexCup, Hung, Ring, Sheet, SheetInput};
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::DVec2;
use mechanics::CupSpring;
use serde_json::Value;
use std::f64::consts::TAU;
use std::sync::Arc;

pub fn cases(record: &str, count: usize) -> Vec<Value> {
    let record: Value = serde_json::from_str(record).unwrap();
    let cases = record["cases"].as_array().unwrap().clone();
    assert_eq!(cases.len(), count, "the record gained or lost a case");
    cases
}

pub fn case<'a>(cases: &'a [Value], id: &str) -> &'a Value {
    cases.iter().find(|case| case["id"] == id).unwrap_or_else(|| panic!("no case {id}"))
}

pub fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

/// Every number of a value that is a number, a list or a list of lists.
pub fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Array(list) => list.iter().flat_map(numbers).collect(),
        other => vec![number(other)],
    }
}

pub fn points(value: &Value) -> Vec<DVec2> {
    value.as_array().unwrap().iter().map(|p| DVec2::new(number(&p[0]), number(&p[1]))).collect()
}

/// Compares with an expected value within the tolerance that stands beside it.
#[track_caller]
pub fn check(case: &Value, name: &str, found: &[f64]) {
    let expected = &case["expected"][name];
    let values = numbers(&expected["value"]);
    assert_eq!(values.len(), found.len(), "{} {name}", case["id"]);
    let tolerance = |key: &str| expected[key].as_f64().unwrap_or(0.0);
    let mut bad = String::new();
    let mut worst = 0.0_f64;
    for (value, found) in values.iter().zip(found) {
        let allowed = tolerance("tol_abs") + tolerance("tol_rel") * value.abs();
        worst = worst.max((value - found).abs() / allowed);
        let within = (value - found).abs() <= allowed;
        if !within {
            bad += &format!("  {found}, expected {value} within {allowed}\n");
        }
    }
    println!("{} {name}: {worst:.3} of the tolerance at most", case["id"]);
    assert!(bad.is_empty(), "{} {name}:\n{bad}", case["id"]);
}

pub fn polygon(corners: &[DVec2]) -> Outline {
    Outline::solid(Loop { vertices: corners.iter().map(|&at| Vertex { at, bulge: 0.0 }).collect() })
}

/// The plate of a case with its bending stiffness multiplied.
pub fn sheet(inputs: &Value, stiffer: f64, corners: usize) -> Arc<Sheet> {
    let outline = polygon(&points(&inputs["outline_mm"]));
    let thickness = number(inputs.get("thickness_mm").unwrap_or(&inputs["t_mm"]));
    let area = geometry::section(&outline).unwrap().area;
    let mass = number(&inputs["density_kg_m3"]) * 1e-9 * thickness * area;
    let none = Vec::new();
    let masses = inputs["point_masses"].as_array().unwrap_or(&none);
    let attached: Vec<Attached> = masses
        .iter()
        .map(|m| Attached {
            mass: number(&m["mass_kg"]),
            at: DVec2::new(number(&m["xy_mm"][0]), number(&m["xy_mm"][1])),
            height: 0.0,
            footprint: None,
        })
        .collect();
    let bending =
        Bending::Isotropic { modulus: stiffer * number(&inputs["E_MPa"]), poisson: number(&inputs["nu"]) };
    let input = SheetInput { outline: &outline, thickness, bending, mass, attached: &attached, corners };
    Arc::new(Sheet::new(&input).unwrap())
}

/// A round cup: place and radius mm, stiffness N/mm and N·mm/rad.
pub fn cup(at: DVec2, radius: f64, axial: f64, tilt: f64) -> FlexCup {
    let mut spring = CupSpring::point(at, axial, 1.0);
    spring.tilt = [tilt / 1e3; 2];
    FlexCup { spring, line: LipShape::Round { diameter: 2.0 * radius } }
}

pub fn cups(inputs: &Value) -> Vec<FlexCup> {
    let of = |c: &Value| {
        let at = DVec2::new(number(&c["xy_mm"][0]), number(&c["xy_mm"][1]));
        cup(at, number(&c["ring_radius_mm"]), number(&c["k_axial_N_mm"]), number(&c["k_tilt_Nmm_rad"]))
    };
    inputs["cups"].as_array().unwrap().iter().map(of).collect()
}

pub fn hung(sheet: &Arc<Sheet>, cups: &[FlexCup]) -> Hung {
    Hung::new(sheet, cups, None).unwrap()
}

/// A plate of 1 kg, far stiffer than the four cups that make it heave at a frequency in Hz, and its lowest modes.
pub fn heaving(frequency: f64) -> (Hung, Ring) {
    let outline = polygon(&[(0., 0.), (400., 0.), (400., 400.), (0., 400.)].map(DVec2::from));
    let bending = Bending::Isotropic { modulus: 1e10 * frequency * frequency, poisson: 0.3 };
    let input =
        SheetInput { outline: &outline, thickness: 1.0, bending, mass: 1.0, attached: &[], corners: 100 };
    let sheet = Arc::new(Sheet::new(&input).unwrap());
    let corners = [(100., 100.), (300., 100.), (300., 300.), (100., 300.)];
    // N/mm over kg are 1000 per s². Pitching and rolling take no part in what the tool does along its axis.
    let rings = |axial: f64| {
        let hung = hung(&sheet, &corners.map(|at| cup(at.into(), 10.0, axial, 0.0)));
        let ring = hung.ring(3, &[]).unwrap();
        (hung, ring)
    };
    let axial = (TAU * frequency).powi(2) / 4.0 / 1e3;
    // Even this plate bends by a hair.
    let heave = rings(axial).1.modes[2].frequency;
    rings(axial * (frequency / heave).powi(2))
}
