//! Areas, centroids and second moments (`sections.json`), as drawn, at other angles and ten metres away.

use geometry::{Loop, Outline, Section, Vertex, section};
use glam::DVec2;
use proptest::prelude::*;
use serde_json::Value;

use super::{cases, hold, number, numbers};

const COUNT: usize = 7;

fn record() -> Vec<Value> {
    cases(include_str!("sections.json"), COUNT)
}

fn point(value: &Value) -> DVec2 {
    let [x, y] = numbers(value)[..] else { panic!("{value} is no point") };
    DVec2::new(x, y)
}

/// Obround about its middle: two half circles with centres `apart`.
fn obround(middle: DVec2, apart: f64, radius: f64) -> Loop {
    Loop::slot(middle, apart + 2.0 * radius, 2.0 * radius, 0.0)
}

fn outline(case: &Value) -> Outline {
    let inputs = &case["inputs"];
    if let Some(corners) = inputs.get("outline_in").or(inputs.get("outline_mm")) {
        return Outline::solid(Loop::polygon(corners.as_array().expect("corners").iter().map(point)));
    }
    if let Some(size) = inputs.get("rect_mm") {
        let hole = Loop::circle(point(&inputs["hole_centre_mm"]), number(&inputs["hole_radius_mm"]));
        return Outline { outer: Loop::rectangle(DVec2::ZERO, point(size)), holes: vec![hole] };
    }
    if let Some(radius) = inputs.get("radius_mm").map(number) {
        let ends = [(radius, 1.0), (-radius, 0.0)];
        let vertices = ends.map(|(x, bulge)| Vertex { at: DVec2::new(x, 0.0), bulge }).to_vec();
        return Outline::solid(Loop { vertices });
    }
    let outer =
        obround(DVec2::ZERO, number(&inputs["outer_centre_distance_mm"]), number(&inputs["outer_radius_mm"]));
    let slot = obround(
        point(&inputs["slot_centre_mm"]),
        number(&inputs["slot_centre_distance_mm"]),
        number(&inputs["slot_radius_mm"]),
    );
    Outline { outer, holes: vec![slot] }
}

/// Every value the record expects, under the record's names.
fn named(found: &Section, name: &str) -> f64 {
    match name {
        "A" => found.area,
        "cx" => found.centroid.x,
        "cy" => found.centroid.y,
        "Ix" => found.ix,
        "Iy" => found.iy,
        "Ixy" => found.ixy,
        "I1" => found.principal().i1,
        "I2" => found.principal().i2,
        // The record gives the sharp angle between an axis and its principal axis.
        "principal_axis_angle_abs_deg" => {
            let angle = found.principal().angle.to_degrees().abs();
            angle.min(90.0 - angle)
        }
        other => panic!("nothing is known by the name {other}"),
    }
}

fn check(case: &Value, found: &Section, only: impl Fn(&str) -> bool) -> usize {
    let id = case["id"].as_str().expect("id");
    let expected = case["expected"].as_object().expect("expected values");
    let chosen = expected.iter().filter(|(name, _)| only(name));
    chosen.map(|(name, value)| hold(id, name, value, named(found, name))).count()
}

#[test]
fn every_value_as_drawn() {
    let checked: usize =
        record().iter().map(|case| check(case, &section(&outline(case)).expect("has area"), |_| true)).sum();
    assert_eq!(checked, 57, "values checked");
}

/// Half a unit of the last digit that a table prints.
fn rounding(printed: f64) -> f64 {
    let mut unit = 1e-3;
    let whole = |unit: f64| ((printed / unit).round() - printed / unit).abs() < 1e-6;
    while whole(unit * 10.0) {
        unit *= 10.0;
    }
    unit / 2.0
}

/// Tables round to three or four digits; the record says where they include fillets and only agree to 2 %.
#[test]
fn printed_values_within_their_rounding() {
    let mut checked = 0;
    for case in record() {
        let Some(printed) = case["published_values"].as_object() else { continue };
        let found = section(&outline(&case)).expect("has area");
        for (name, value) in printed {
            let value = number(value);
            let allowed = if case["id"] == "B3" { 0.02 * value.abs() } else { rounding(value) };
            // The record's name for the angle, which it gives in degrees.
            let name =
                if name == "tan_principal_axis_angle_deg" { "principal_axis_angle_abs_deg" } else { name };
            let found = named(&found, name);
            assert!((found - value).abs() <= allowed, "{} {name}: {found} for {value}", case["id"]);
            checked += 1;
        }
    }
    assert_eq!(checked, 11, "printed values checked");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What does not depend on the axes holds at any turn, mirrored or not, and ten metres away; either way round.
    #[test]
    fn turned_and_ten_metres_off(turn in -7.0..7.0, way in 0.0..std::f64::consts::TAU, mirror: bool, backwards: bool) {
        for case in record() {
            let drawn = outline(&case);
            let before = section(&drawn).expect("has area");
            let shift = 10_000.0 * DVec2::from_angle(way);
            let mut moved = drawn.transformed(turn, mirror, shift);
            if backwards {
                moved.outer = moved.outer.reversed();
            }
            let found = section(&moved).expect("has area");
            check(&case, &found, |name| ["A", "I1", "I2"].contains(&name));
            // The rest turns with the axes.
            let across = if mirror { -1.0 } else { 1.0 };
            let centre = DVec2::from_angle(turn).rotate(before.centroid * DVec2::new(across, 1.0)) + shift;
            prop_assert!(found.centroid.distance(centre) < 1e-6);
            let (sin, cos) = turn.sin_cos();
            let (ix, iy, ixy) = (before.ix, before.iy, across * before.ixy);
            let turned = ix * cos * cos + iy * sin * sin + 2.0 * ixy * sin * cos;
            prop_assert!((found.ix - turned).abs() <= 1e-6 * (ix + iy), "{}: {} for {turned}", case["id"], found.ix);
            let product = ixy * (cos * cos - sin * sin) + (iy - ix) * sin * cos;
            prop_assert!((found.ixy - product).abs() <= 1e-6 * (ix + iy));
        }
    }
}
