//! Whatever is shown can be typed back, in every unit a person may pick.

use proptest::prelude::*;
use units::{
    AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, Quantity, UnitChoice, parse,
    show, show_exact, unit_of,
};

fn any_choice() -> impl Strategy<Value = UnitChoice> {
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

/// Values from the very small to the very large, and those a person types.
fn any_value() -> impl Strategy<Value = f64> {
    prop_oneof![
        (-1e4..1e4_f64),
        (any::<bool>(), -12..12_i32, 1.0..10.0_f64)
            .prop_map(|(minus, power, digits)| digits * 10f64.powi(power) * if minus { -1.0 } else { 1.0 }),
        (-100_000..100_000_i32).prop_map(|thousandths| f64::from(thousandths) / 1000.0),
        Just(0.0),
    ]
}

/// A vacuum level is a positive number; a minus sign before it is the gauge's.
fn in_range(value: f64, quantity: Quantity) -> f64 {
    if quantity == Quantity::VacuumLevel { value.abs() } else { value }
}

/// A reading in degrees Fahrenheit has the digits that 32 leaves it.
fn of_zero(quantity: Quantity, choice: &UnitChoice) -> f64 {
    let fahrenheit = quantity == Quantity::Temperature && choice.length == units::LengthUnit::Inch;
    if fahrenheit { 1e-12 } else { 0.0 }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn exact_text_gives_the_value_back(value in any_value(), choice in any_choice()) {
        for quantity in Quantity::ALL {
            let value = in_range(value, quantity);
            let shown = show_exact(value, quantity, &choice);
            for text in [shown.number.clone(), shown.to_string(), format!("{}{}", shown.number, shown.unit)] {
                let back = parse(&text, quantity, &choice);
                prop_assert!(
                    matches!(back, Ok(v) if (v - value).abs() <= 1e-15 * value.abs() + of_zero(quantity, &choice)),
                    "{:?}: {} was shown as {:?} and read as {:?}", quantity, value, text, back
                );
            }
        }
    }

    #[test]
    fn shown_text_reads_back_to_its_last_figure(value in -1e4..1e4_f64, choice in any_choice()) {
        for quantity in Quantity::ALL {
            let value = in_range(value, quantity);
            let shown = show(value, quantity, &choice);
            let decimals = shown.number.split(['.', ',']).nth(1).map_or(0, str::len);
            let step = unit_of(quantity, &choice).0 * 0.1f64.powi(i32::try_from(decimals).unwrap());
            let back = parse(&shown.to_string(), quantity, &choice);
            prop_assert!(
                matches!(back, Ok(v) if (v - value).abs() <= 0.5001 * step),
                "{:?}: {} was shown as {} and read as {:?}", quantity, value, shown, back
            );
            prop_assert!(!shown.number.contains("NaN") && !shown.number.starts_with('-'));
        }
    }

    #[test]
    fn any_text_gives_a_finite_value_or_a_sentence(
        text in "[0-9.,/*+() '\"°%×−½\u{2009}a-zA-Z²^-]{0,24}",
        choice in any_choice(),
    ) {
        for quantity in Quantity::ALL {
            match parse(&text, quantity, &choice) {
                Ok(value) => prop_assert!(value.is_finite()),
                Err(error) => {
                    let said = error.to_string();
                    prop_assert!(said.len() > 20 && !said.ends_with('.'), "{}", said);
                }
            }
        }
    }

    #[test]
    fn a_sum_is_the_sum_of_its_readings(a in 0.0..1e3_f64, b in 0.0..1e3_f64, choice in any_choice()) {
        let inch = |mm: f64| format!("{} in", mm / 25.4);
        let sum = parse(&format!("{} mm + 2*({})", a, inch(b)), Quantity::Length, &UnitChoice { decimal_comma: false, ..choice });
        prop_assert!(matches!(sum, Ok(v) if (v - (a + 2.0 * b)).abs() <= 1e-9 * (1.0 + a + b)), "{:?}", sum);
    }
}
