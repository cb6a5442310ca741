//! What no text may say to whoever picked other units or another decimal mark; one list for the tests of every crate that
//! tells figures.

use std::{collections::BTreeSet, sync::LazyLock};
use units::{FlowUnit, PressureUnit, Quantity, UnitChoice, unit_of};

/// Words that stand in no table of units and mean one all the same.
const BESIDE: [&str; 13] =
    ["cm", "m", "m³", "dm³", "dm³/(s·bar)", "ml", "Pa", "MPa", "GPa", "kN", "litres", "litre", "mm/m"];
/// Words of metric units that others have too, or that are none by themselves.
const NONE_BY_ITSELF: [&str; 4] = ["ANR", "abs", "per", "0"];

/// Units of nobody who reads inches, pounds and standard cubic feet: those of every quantity that they read otherwise.
static METRIC: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let units_of = |choice: UnitChoice| -> BTreeSet<String> {
        let names = Quantity::ALL.into_iter().map(|quantity| unit_of(quantity, &choice).1);
        names.flat_map(words).map(str::to_owned).collect()
    };
    let inch = units_of(UnitChoice::inch_pound());
    let metric = UnitChoice::default();
    let others = [
        metric,
        UnitChoice { pressure: PressureUnit::Millibar, ..metric },
        UnitChoice { flow: FlowUnit::NormalLitrePerMinute, ..metric },
    ];
    let mut all: BTreeSet<String> = others.into_iter().flat_map(units_of).collect();
    all.extend(BESIDE.map(str::to_owned));
    all.retain(|unit| !inch.contains(unit) && !NONE_BY_ITSELF.contains(&unit.as_str()));
    all
});

/// The words of a text; a unit keeps its own brackets.
fn words(text: &str) -> impl Iterator<Item = &str> {
    let plain = |c: char| !matches!(c, '(' | ')' | ',' | ';' | ':' | '.' | '!' | '?' | '"');
    text.split_whitespace().map(move |word| {
        let inner = word.trim_matches(|c: char| !plain(c) && !matches!(c, '(' | ')'));
        if inner.contains('/') { inner } else { inner.trim_matches(|c: char| !plain(c)) }
    })
}

/// The first metric unit in a text. A bar is left out: it is a scale's too.
pub fn metric(text: &str) -> Option<String> {
    // A text of one letter is a key that is pressed.
    if text.trim().chars().count() == 1 {
        return None;
    }
    words(text).find(|word| *word != "bar" && METRIC.contains(*word)).map(str::to_owned)
}

/// The first number with a decimal point: digits on both sides of it, and nothing of a name or a version around.
pub fn pointed(text: &str) -> Option<String> {
    let figure = |word: &&str| {
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        let word = word
            .trim_start_matches(['\u{2212}', '-', '+', '±', '<', '≈', '×', 'Ø', 'R', 'X', 'Y'])
            .trim_end_matches(['%', '°', '×', '"', '*', ')']);
        word.split_once('.').is_some_and(|(whole, part)| digits(whole) && digits(part))
    };
    words(text).find(figure).map(str::to_owned)
}

/// Fails with all that was found.
pub fn none(mut found: Vec<String>) {
    found.sort();
    found.dedup();
    assert!(found.is_empty(), "{}\n{}", found.len(), found.join("\n"));
}

#[test]
fn rules_of_what_is_said_find_what_they_look_for() {
    for text in ["X, mm", "12.5 mm", "at 20 °C", "0.3 dm³/(s·bar),", "(1.0, 2.0) mm", "kPa", "5 N.", "a N b"]
    {
        assert!(metric(text).is_some(), "{text}");
    }
    for text in ["12.5 in", "0.0425 scfm/psi", "lbf·in", "milk", "No part", "5 g", "this bar", "0.5 s", "3 %"]
    {
        assert_eq!(metric(text), None, "{text}");
    }
    for text in ["12.5 mm", "\u{2212}0.3", "(1.0, 2.0)", "5.0 %", "90.0°"] {
        assert!(pointed(text).is_some(), "{text}");
    }
    for text in ["12,5 mm", "v1.2.3", "tray.ron", "Fig.3", "C1."] {
        assert_eq!(pointed(text), None, "{text}");
    }
}
