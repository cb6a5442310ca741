//! Plane areas and masses: cases as recorded, with their sources, in the two files beside this one.

mod masses;
mod sections;

use serde_json::Value;

/// Reads a record and holds its number of cases.
fn cases(text: &str, count: usize) -> Vec<Value> {
    let record: Value = serde_json::from_str(text).expect("the record is JSON");
    let cases = record["cases"].as_array().expect("cases").clone();
    assert_eq!(cases.len(), count, "number of cases in the record");
    assert_eq!(record["n_cases"].as_u64(), Some(count as u64));
    for case in &cases {
        assert!(
            case["source"]["citation"].as_str().is_some_and(|s| !s.is_empty()),
            "{} without a source",
            case["id"]
        );
    }
    cases
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap_or_else(|| panic!("{value} is no list")).iter().map(number).collect()
}

/// Largest difference the record allows for one of its values.
fn allowed(expected: &Value, value: f64) -> f64 {
    let given = |name: &str| expected[name].as_f64();
    assert!(given("tol_rel").is_some() || given("tol_abs").is_some(), "no tolerance in {expected}");
    given("tol_abs").unwrap_or(0.0).max(given("tol_rel").unwrap_or(0.0) * value.abs())
}

fn hold(case: &str, name: &str, expected: &Value, found: f64) {
    let value = number(&expected["value"]);
    let allowed = allowed(expected, value);
    assert!((found - value).abs() <= allowed, "{case} {name}: {found} for {value} within {allowed:e}");
}
