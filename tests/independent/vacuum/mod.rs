//! The vacuum circuit against independently computed cases and figures printed elsewhere.
//!
//! The records stand beside this file as recorded (less remarks on where a text was read), each with its source, how it was
//! verified, and its tolerance.

mod energy;
mod fittings;
mod networks;
mod porous;
mod restrictions;
mod transients;
mod tubes;

use serde_json::Value;
use units::AbsolutePressure;

/// The cases of a record, whose number is pinned.
fn cases(record: &str, count: usize) -> Vec<Value> {
    let record: Value = serde_json::from_str(record).unwrap();
    let cases = record["cases"].as_array().unwrap().clone();
    assert_eq!(cases.len(), count, "the record gained or lost a case");
    assert_eq!(record["n_cases"], count);
    for case in &cases {
        assert!(case["source"].as_str().is_some_and(|s| !s.is_empty()), "{} without a source", case["name"]);
    }
    cases
}

fn case<'a>(cases: &'a [Value], name: &str) -> &'a Value {
    let found = cases.iter().find(|case| case["name"].as_str().is_some_and(|n| n.starts_with(name)));
    found.unwrap_or_else(|| panic!("no case {name}"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap_or_else(|| panic!("not a list: {value}")).iter().map(number).collect()
}

/// Compares with an expected value within the case's relative tolerance.
fn check(case: &Value, name: &str, found: f64) {
    check_value(case, name, &case["expected"][name], found);
}

fn check_value(case: &Value, name: &str, expected: &Value, found: f64) {
    let (expected, allowed) = (number(expected), number(&case["tolerance"]["rel"]));
    assert!(
        (found - expected).abs() <= allowed * expected.abs(),
        "{} {name}: {found}, expected {expected} within {allowed:e}",
        case["name"]
    );
}

fn pascal(pa: f64) -> AbsolutePressure {
    AbsolutePressure::from_kpa(pa * 1e-3)
}
