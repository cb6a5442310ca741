//! Any text, as any quantity, in any unit: a finite value that can be shown and typed back, or a sentence.
#![no_main]

use libfuzzer_sys::fuzz_target;
use units::{
    AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, Quantity, UnitChoice, parse,
    show, show_exact,
};

/// The picks that the lowest bits of one byte choose.
fn choice(bits: u8) -> UnitChoice {
    let bit = |n: u8| usize::from(bits >> n & 1);
    UnitChoice {
        length: LengthUnit::ALL[bit(0)],
        pressure: PressureUnit::ALL[usize::from(bits) % PressureUnit::ALL.len()],
        force: ForceUnit::ALL[bit(1)],
        mass: MassUnit::ALL[bit(2)],
        acceleration: AccelerationUnit::ALL[bit(3)],
        flow: FlowUnit::ALL[usize::from(bits >> 4) % FlowUnit::ALL.len()],
        decimal_comma: bit(5) == 1,
    }
}

fuzz_target!(|input: (u8, u8, &str)| {
    let (quantity, bits, text) = input;
    let quantity = Quantity::ALL[usize::from(quantity) % Quantity::ALL.len()];
    let choice = choice(bits);
    let value = match parse(text, quantity, &choice) {
        Ok(value) => value,
        Err(error) => {
            assert!(error.to_string().len() > 20, "{text:?}: {error}");
            return;
        }
    };
    assert!(value.is_finite(), "{text:?} was read as {value}");
    let _ = show(value, quantity, &choice).to_string();
    let shown = show_exact(value, quantity, &choice).to_string();
    if shown.starts_with(char::is_alphabetic) {
        return; // beyond the picked unit's range
    }
    let expected = if quantity == Quantity::VacuumLevel { value.abs() } else { value };
    let back = parse(&shown, quantity, &choice);
    assert!(
        matches!(back, Ok(v) if (v - expected).abs() <= 1e-9 * expected.abs() + f64::MIN_POSITIVE),
        "{text:?} gave {value}, shown as {shown:?}, read as {back:?}"
    );
});
