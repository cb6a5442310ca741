use super::Draft;
use crate::fields::{parse_quantity, quantity_texts};
use proptest::prelude::*;
use units::{
    AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, Quantity, UnitChoice,
};

fn any_units() -> impl Strategy<Value = UnitChoice> {
    (
        prop::sample::select(&LengthUnit::ALL[..]),
        prop::sample::select(&PressureUnit::ALL[..]),
        prop::sample::select(&ForceUnit::ALL[..]),
        prop::sample::select(&MassUnit::ALL[..]),
        prop::sample::select(&AccelerationUnit::ALL[..]),
        prop::sample::select(&FlowUnit::ALL[..]),
        any::<bool>(),
    )
        .prop_map(|(length, pressure, force, mass, acceleration, flow, decimal_comma)| UnitChoice {
            length,
            pressure,
            force,
            mass,
            acceleration,
            flow,
            decimal_comma,
        })
}

fn any_value() -> impl Strategy<Value = f64> {
    prop_oneof![
        -1e4..1e4_f64,
        (any::<bool>(), -14..14_i32, 1.0..10.0_f64)
            .prop_map(|(minus, power, digits)| digits * 10f64.powi(power) * if minus { -1.0 } else { 1.0 }),
        (-100_000..100_000_i32).prop_map(|thousandths| f64::from(thousandths) / 1000.0),
        Just(0.0),
        Just(-0.0),
    ]
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * b.abs()
}

/// What a reading on a scale with a zero of its own may be off: the last digit is one of the reading, not of the value.
fn of_reading(quantity: Quantity, units: &UnitChoice, share: f64) -> f64 {
    let fahrenheit = quantity == Quantity::Temperature && units.length == units::LengthUnit::Inch;
    if fahrenheit { 32.0 * share } else { 0.0 }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Entered and left again: no field of any quantity in any unit has anything to say.
    #[test]
    fn an_untouched_field_changes_nothing(value in any_value(), units in any_units()) {
        for quantity in Quantity::ALL {
            let (texts, _) = quantity_texts("X", value, quantity, &units);
            let draft = Draft::new(&texts.exact, 0);
            prop_assert_eq!(draft.left(parse_quantity(quantity, units)), None);
        }
    }

    /// What editing starts from, typed over itself with a blank after it, is the same value.
    #[test]
    fn the_draft_reads_back_to_the_value(value in any_value(), units in any_units()) {
        for quantity in Quantity::ALL {
            let value = if quantity == Quantity::VacuumLevel { value.abs() } else { value };
            let (texts, _) = quantity_texts("X", value, quantity, &units);
            let mut draft = Draft::new(&texts.exact, 0);
            draft.text.push(' ');
            let back = draft.left(parse_quantity(quantity, units));
            prop_assert!(matches!(back, Some(Ok(v)) if near(v, value) || (v - value).abs() <= of_reading(quantity, &units, 1e-14)), "{:?} {} {:?}", quantity, value, back);
        }
    }

    /// At rest a field shows the value itself where that is short, else as fine as it is customary; never "0" for
    /// something else, never a minus before nothing.
    #[test]
    fn at_rest_nothing_is_misstated(value in any_value(), units in any_units()) {
        for quantity in Quantity::ALL {
            let value = if quantity == Quantity::VacuumLevel { value.abs() } else { value };
            let (texts, _) = quantity_texts("X", value, quantity, &units);
            let back = units::parse(&texts.rest, quantity, &units);
            prop_assert!(
                matches!(back, Ok(v) if (v - value).abs() <= 5.001e-3 * value.abs() + of_reading(quantity, &units, 1e-3)),
                "{:?}: {} rests as {:?}", quantity, value, texts.rest
            );
            let minus = texts.rest.contains(['-', '\u{2212}']);
            prop_assert!(value != 0.0 || !minus, "{}", texts.rest);
        }
    }
}

#[test]
fn a_change_from_outside_shows_until_something_is_typed() {
    let mut draft = Draft::new("516.667", 0);
    assert!(draft.follow("520"));
    assert_eq!((draft.text.as_str(), draft.touched()), ("520", false));
    draft.text = "530".to_owned();
    assert!(!draft.follow("516.667"));
    assert_eq!(draft.left(|t| Ok(t.to_owned())), Some(Ok("530".to_owned())));
}
