//! Load sharing, limits and weight against independently computed cases and figures printed elsewhere.
//!
//! The records stand beside this file, verbatim, each with its source and the tolerance of every value:
//! `load_sharing.json` (topic A), `limit_strength.json` (topic C), the one case of `dynamic_start.json` (topic D) and the
//! one of `weight_split.json` (topic E), `zones.json` (topic H). `leaking_channel.rs` carries its few figures with it.

mod dynamic_start;
mod leaking_channel;
mod limit_load;
mod limit_strength;
mod load_sharing;
mod placement;
mod weight_split;
mod zones;

use serde_json::Value;

/// The cases of a record, whose number is pinned.
fn cases(record: &str, count: usize) -> Vec<Value> {
    let record: Value = serde_json::from_str(record).unwrap();
    let cases = record["cases"].as_array().unwrap().clone();
    assert_eq!(cases.len(), count, "the record gained or lost a case");
    assert_eq!(record["n_cases"], count);
    cases
}

fn case<'a>(cases: &'a [Value], id: &str) -> &'a Value {
    cases.iter().find(|case| case["id"] == id).unwrap_or_else(|| panic!("no case {id}"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap_or_else(|| panic!("not a list: {value}")).iter().map(number).collect()
}

fn points(value: &Value) -> Vec<glam::DVec2> {
    value.as_array().unwrap().iter().map(|p| glam::DVec2::new(number(&p[0]), number(&p[1]))).collect()
}

/// Compares with an expected value (a number or a list) within the tolerance that stands beside it.
fn check(id: &str, name: &str, case: &Value, found: &[f64]) {
    let expected = &case["expected"][name];
    let values = if expected["value"].is_array() {
        numbers(&expected["value"])
    } else {
        vec![number(&expected["value"])]
    };
    assert_eq!(values.len(), found.len(), "{id} {name}");
    for (value, found) in values.iter().zip(found) {
        let allowed = match (&expected["tol_abs"], &expected["tol_rel"]) {
            (Value::Number(absolute), _) => absolute.as_f64().unwrap(),
            (_, Value::Number(relative)) => relative.as_f64().unwrap() * value.abs(),
            _ => panic!("{id} {name} states no tolerance"),
        };
        assert!((value - found).abs() <= allowed, "{id} {name}: {found}, expected {value} within {allowed}");
    }
}

/// Compares with values rounded as printed in the source.
fn check_published(id: &str, case: &Value, name: &str, rounding: f64, found: &[f64]) {
    let values = numbers(&case["published_values"][name]);
    assert_eq!(values.len(), found.len(), "{id} {name}");
    for (value, found) in values.iter().zip(found) {
        assert!((value - found).abs() <= rounding, "{id} {name}: {found}, published {value}");
    }
}
