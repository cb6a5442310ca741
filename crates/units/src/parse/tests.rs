use super::*;
use crate::{AccelerationUnit, LengthUnit, MassUnit, PressureUnit};

const MM: UnitChoice = UnitChoice {
    length: LengthUnit::Millimetre,
    pressure: PressureUnit::Kilopascal,
    force: crate::ForceUnit::Newton,
    mass: MassUnit::Kilogram,
    acceleration: AccelerationUnit::MetrePerSecondSquared,
    flow: crate::FlowUnit::LitrePerMinute,
    decimal_comma: false,
};

fn check(quantity: Quantity, cases: &[(&str, f64)]) {
    for (text, expected) in cases {
        match parse(text, quantity, &MM) {
            Ok(value) => assert!(
                (value - expected).abs() <= 1e-12 * expected.abs().max(1e-3),
                "{text:?} as {quantity:?}: {value} instead of {expected}"
            ),
            Err(error) => panic!("{text:?} as {quantity:?}: {error}"),
        }
    }
}

fn refused(text: &str, quantity: Quantity) -> String {
    match parse(text, quantity, &MM) {
        Ok(value) => panic!("{text:?} as {quantity:?} was read as {value}"),
        Err(error) => error.to_string(),
    }
}

#[test]
fn lengths() {
    check(
        Quantity::Length,
        &[
            ("12.5", 12.5),
            ("12,5", 12.5),
            (" 12.5 mm ", 12.5),
            ("12.5mm", 12.5),
            ("12.5\u{2009}mm", 12.5),
            ("1\u{202F}250,5 mm", 1250.5),
            ("1.2 m", 1200.0),
            ("3 cm", 30.0),
            ("12.5 in", 317.5),
            ("12 1/2 in", 317.5),
            ("12½ in", 317.5),
            ("½ in", 12.7),
            ("3/8\"", 9.525),
            ("3/8in", 9.525),
            ("3 / 8 in", 9.525),
            ("3⁄8 ″", 9.525),
            ("3/8", 0.375),
            ("1' 6\"", 457.2),
            ("1' 6", 457.2),
            ("1'6\"", 457.2),
            ("1' 6 1/2\"", 469.9),
            ("1 ft 6 in", 457.2),
            ("1ft6in", 457.2),
            ("1' 1/2", 317.5),
            ("1' 1/2\"", 317.5),
            ("1' 6 / 2", 228.6),
            ("2 m 5 cm", 2050.0),
            ("−1' 6\"", -457.2),
            ("5 INCHES", 127.0),
        ],
    );
}

#[test]
fn sums_and_products() {
    check(
        Quantity::Length,
        &[
            ("240+15", 255.0),
            ("240 - 15", 225.0),
            ("1 in + 3 mm", 28.4),
            ("2*(120+5)", 250.0),
            ("2*(120+5) mm", 250.0),
            ("2 × (120 + 5) in", 6350.0),
            ("(1+1) ft", 609.6),
            ("12 1/2 in + 3", 320.5),
            ("240/2", 120.0),
            ("240/2*3", 360.0),
            ("240/2/2", 60.0),
            ("240 mm / 2", 120.0),
            ("100/4 in", 635.0),
            ("6/(3/8)", 16.0),
            ("6*3/8 in", 57.15),
            ("2·120", 240.0),
            ("2 x 120", 240.0),
            ("3 in x 2", 152.4),
            ("-5", -5.0),
            ("--5", 5.0),
            ("-(2+3)", -5.0),
            ("10 - -5", 15.0),
            ("((((1))))", 1.0),
            ("1.5e2 mm", 150.0),
            ("12-1/2", 11.5),
        ],
    );
    let inch = UnitChoice { length: LengthUnit::Inch, ..MM };
    assert_eq!(parse("2*(1+3 mm)", Quantity::Length, &inch), Ok(2.0 * (25.4 + 3.0)));
    assert_eq!(parse("10", Quantity::Length, &inch), Ok(254.0));
    assert_eq!(parse("12 1/2 + 1", Quantity::Length, &inch), Ok(13.5 * 25.4));
}

/// Factors from NIST SP 811 (2008), appendix B.8, from memory.
#[test]
fn every_other_quantity() {
    check(Quantity::Mass, &[("1,5 kg", 1.5), ("250 g", 0.25), ("2 kg 300 g", 2.3), ("1 lb", 0.453_592_37)]);
    check(
        Quantity::Mass,
        &[("5 lb 3 oz", 83.0 * 0.028_349_523_125), ("8 oz", 0.226_796_185), ("1 t", 1000.0)],
    );
    check(Quantity::Force, &[("1.2 kN", 1200.0), ("10 lbf", 44.482_216_152_605), ("1 kgf", 9.806_65)]);
    check(Quantity::VacuumLevel, &[("60", 60.0), ("0.6 bar", 60.0), ("-0.6 bar", 60.0), ("−600 mbar", 60.0)]);
    check(
        Quantity::VacuumLevel,
        &[("60 %", 60.795), ("-60%", 60.795), ("60 kPa vac", 60.0), ("450 torr", 59.995_065_789_473_68)],
    );
    check(
        Quantity::VacuumLevel,
        &[("-20 inHg", 67.727_772_806_82), ("20 in Hg", 67.727_772_806_82), ("60000 Pa", 60.0)],
    );
    check(Quantity::VacuumLevel, &[("500 mmHg", 66.661_193_707_5), ("0.06 MPa", 60.0)]);
    check(
        Quantity::AbsolutePressure,
        &[("40 kPa abs", 40.0), ("14.7 psia", 101.352_932_209_574_9), ("1 atm", 101.325)],
    );
    check(
        Quantity::FeedPressure,
        &[("5 bar", 500.0), ("60 psig", 413.685_437_590_100_2), ("0.5 MPa", 500.0)],
    );
    check(Quantity::AbsolutePressure, &[("0.4 bar(a)", 40.0), ("-5 kPa", -5.0)]);
    check(
        Quantity::Acceleration,
        &[("5 m/s²", 5.0), ("5 m/s2", 5.0), ("5 m/s^2", 5.0), ("5000 mm/s²", 5.0), ("2 g", 19.6133)],
    );
    check(Quantity::Acceleration, &[("10 ft/s²", 3.048), ("1 in/s^2", 0.0254), ("0.5G", 4.903_325)]);
    check(
        Quantity::Angle,
        &[("90", 90.0), ("90°", 90.0), ("90 deg", 90.0), ("1 rad", 57.295_779_513_082_32), ("12° 30'", 12.5)],
    );
    check(
        Quantity::TurnRate,
        &[("30 °/s", 30.0), ("30 deg/s", 30.0), ("1 rad/s", 57.295_779_513_082_32), ("10 rpm", 60.0)],
    );
    check(
        Quantity::TurnAcceleration,
        &[("30 °/s²", 30.0), ("30 deg/s^2", 30.0), ("1 rad/s2", 57.295_779_513_082_32)],
    );
    // ANR and no state at all: volumes, so the size of a litre and of a cubic foot.
    check(
        Quantity::Flow,
        &[
            ("30 L/min", 30.0),
            ("30 l/min ANR", 30.0),
            ("30 L/min (ANR)", 30.0),
            ("1 cfm", 28.316_846_592),
            ("6 m³/h", 100.0),
            ("6 m3/h ANR", 100.0),
            ("1 L/s", 60.0),
        ],
    );
    // Other states are other masses: 101 325 Pa/(287.052 87 J/(kg·K) T) kg/m³ over 1.185 kg/m³.
    check(
        Quantity::Flow,
        &[
            ("1 NL/min", 1.090_523_839_229_967),
            ("1 NL/min (0 °C)", 1.090_523_839_229_967),
            ("1 slpm", 1.090_523_839_229_967),
            ("1 ln/min", 1.090_523_839_229_967),
            ("6 Nm³/h", 109.052_383_922_996_7),
            ("1 scfm", 29.216_360_566_028_147),
            ("1 scfm (60 °F)", 29.216_360_566_028_147),
            ("60 scfh", 29.216_360_566_028_147),
        ],
    );
    check(
        Quantity::Moment,
        &[
            ("5 N·m", 5.0),
            ("5 Nm", 5.0),
            ("5 N m", 5.0),
            ("5 N*m", 5.0),
            ("10 lbf·in", 1.129_848_290_276_167),
        ],
    );
    check(
        Quantity::Moment,
        &[("10 in-lbf", 1.129_848_290_276_167), ("10 lbf in", 1.129_848_290_276_167), ("500 N·mm", 0.5)],
    );
    check(
        Quantity::Density,
        &[
            ("7850", 7850.0),
            ("7.85 g/cm3", 7850.0),
            ("7.85 g/cm³", 7850.0),
            ("1 lb/ft³", 16.018_463_373_960_14),
        ],
    );
    check(Quantity::ArealMass, &[("600 g/m²", 0.6), ("0.6 kg/m2", 0.6), ("600 gsm", 0.6)]);
    check(Quantity::LineMass, &[("1.6 kg/m", 1.6), ("1600 g/m", 1.6), ("1 lb/ft", 1.488_163_943_569_553_8)]);
    check(Quantity::Inertia, &[("0.25 kg·m²", 0.25), ("2500 kg cm2", 0.25)]);
    check(
        Quantity::Volume,
        &[("90", 90.0), ("90 ml", 90.0), ("0.09 L", 90.0), ("90 cm3", 90.0), ("1 in³", 16.387_064)],
    );
    check(Quantity::Permeance, &[("5.67", 5.67), ("5.67 um/(Pa s)", 5.67), ("5.67e-6 m/(Pa·s)", 5.67)]);
    check(Quantity::Stiffness, &[("2 N/mm", 2.0), ("2000 N/m", 2.0), ("10 lbf/in", 1.751_268_352_464_764)]);
    check(Quantity::LineForce, &[("0.2 N/mm", 0.2)]);
    check(
        Quantity::Temperature,
        &[("20", 20.0), ("68 °F", 20.0), ("-40 °F", -40.0), ("293.15 K", 20.0), ("20 °C + 5", 25.0)],
    );
    check(Quantity::Altitude, &[("500", 500.0), ("500 m", 500.0), ("5000 ft", 1524.0), ("1.2 km", 1200.0)]);
    check(Quantity::Time, &[("250 ms", 0.25), ("2 s", 2.0), ("1 min 30 s", 90.0)]);
    check(Quantity::Area, &[("5 cm²", 500.0), ("1 in2", 645.16), ("2 sq in", 1290.32)]);
    check(Quantity::Ratio, &[("0.5", 0.5), ("50 %", 0.5), ("1/2", 0.5)]);
    check(Quantity::Share, &[("50", 0.5), ("50%", 0.5), ("12,5 %", 0.125)]);
}

#[test]
fn wrong_quantities_are_named() {
    assert_eq!(
        refused("5 kg", Quantity::Length),
        "\"5 kg\" is a mass where a length is expected; use mm, cm, m, in or ft"
    );
    assert_eq!(
        refused("2 m + 5 m/s²", Quantity::Length),
        "\"5 m/s²\" is an acceleration where a length is expected; use mm, cm, m, in or ft"
    );
    assert_eq!(
        refused("40 kPa abs", Quantity::VacuumLevel),
        "\"40 kPa abs\" is an absolute pressure where a vacuum level is expected; use kPa, mbar, bar, inHg, psi or %"
    );
    assert_eq!(
        refused("60 kPa vac", Quantity::AbsolutePressure),
        "\"60 kPa vac\" is a vacuum level where an absolute pressure is expected; use kPa, mbar, bar, inHg, psi or Pa"
    );
    assert_eq!(
        refused("5 lb", Quantity::Force),
        "\"5 lb\" is a mass where a force is expected; use N, kN, lbf, kgf or ozf"
    );
    assert_eq!(
        refused("5 mm2", Quantity::Length),
        "\"5 mm2\" is an area where a length is expected; use mm, cm, m, in or ft"
    );
    assert_eq!(
        refused("2 s", Quantity::Ratio),
        "\"2 s\" is a time where a plain number is expected; type it without a unit, or in %"
    );
}

#[test]
fn what_cannot_be_read_is_quoted() {
    assert_eq!(refused("", Quantity::Length), "nothing to read; type a length, such as 12.5 or 12.5 mm");
    assert_eq!(refused(" \t ", Quantity::Angle), "nothing to read; type an angle, such as 12.5 or 12.5°");
    assert_eq!(
        refused("5 furlong", Quantity::Length),
        "\"furlong\" is not a unit of length; use mm, cm, m, in or ft"
    );
    assert_eq!(
        refused("5 m3", Quantity::Length),
        "\"5 m3\" is a volume where a length is expected; use mm, cm, m, in or ft"
    );
    assert_eq!(
        refused("abc", Quantity::Mass),
        "cannot read \"abc\" as a mass; type a number, such as 12.5 or 12.5 kg"
    );
    assert_eq!(
        refused("3 4", Quantity::Length),
        "two numbers are side by side in \"3 4\"; put + or × between them"
    );
    assert_eq!(
        refused("1 in 3 mm", Quantity::Length),
        "two numbers are side by side in \"1 in 3 mm\"; put + or × between them"
    );
    for (text, quantity) in [
        ("1'234", Quantity::Length),
        ("1' 14\"", Quantity::Length),
        ("1' 6/2", Quantity::Length),
        ("5 lb 16 oz", Quantity::Mass),
        ("3' 6'", Quantity::Length),
    ] {
        assert_eq!(
            refused(text, quantity),
            format!("two numbers are side by side in \"{text}\"; put + or × between them")
        );
    }
    assert_eq!(refused("5 kg*m", Quantity::Mass), "\"kg*m\" is not a unit of mass; use kg, g, lb, oz or t");
    assert_eq!(
        refused("2(3+4)", Quantity::Length),
        "two numbers are side by side in \"2(3+4)\"; put + or × between them"
    );
    assert_eq!(
        refused("2*(3+4", Quantity::Length),
        "a bracket in \"(3+4\" has no partner; add or remove one"
    );
    assert_eq!(refused("3+4)", Quantity::Length), "a bracket in \"3+4)\" has no partner; add or remove one");
    assert_eq!(refused("(3 mm) cm", Quantity::Length), "\"(3 mm) cm\" gives a unit twice; keep one of them");
    assert_eq!(
        refused("3 mm * 4 mm", Quantity::Length),
        "\"3 mm * 4 mm\" multiplies or divides by a length; one side must be a plain number"
    );
    assert_eq!(
        refused("3/(4 mm)", Quantity::Length),
        "\"3/(4 mm)\" multiplies or divides by a length; one side must be a plain number"
    );
    assert_eq!(refused("1/0", Quantity::Length), "\"1/0\" divides by zero; change the divisor");
    assert_eq!(refused("1/0 in", Quantity::Length), "\"1/0\" divides by zero; change the divisor");
    assert_eq!(refused("3 1/0 in", Quantity::Length), "\"3 1/0\" divides by zero; change the divisor");
    assert_eq!(
        refused("68 °F + 2", Quantity::Temperature),
        "\"68 °F + 2\" calculates with °F or K; type one reading, or calculate in °C"
    );
}

#[test]
fn no_text_gives_a_number_that_is_none() {
    for text in [
        "nan",
        "NaN",
        "inf",
        "-inf",
        "infinity",
        "1e999",
        "1e308*10",
        "1e308 m",
        "1e308+1e308",
        "1e308 ft 9 in",
    ] {
        assert!(parse(text, Quantity::Length, &MM).is_err(), "{text}");
    }
    let too_small = parse("1e-320*1e-320", Quantity::Length, &MM);
    assert_eq!(too_small, Ok(0.0));
    assert!(parse("-0", Quantity::Length, &MM).unwrap().is_sign_positive());
}

#[test]
fn length_and_depth_are_bounded() {
    let deep = format!("{}1{}", "(".repeat(DEEPEST), ")".repeat(DEEPEST));
    assert_eq!(parse(&deep, Quantity::Length, &MM), Ok(1.0));
    assert_eq!(
        refused(&format!("({deep})"), Quantity::Length),
        "brackets are nested more than 24 deep; simplify the sum"
    );
    assert_eq!(
        refused(&"1+".repeat(500), Quantity::Length),
        "the text is longer than 200 characters; type the number alone"
    );
    assert!(parse(&"- ".repeat(100), Quantity::Length, &MM).is_err());
}

#[test]
fn every_name_of_every_unit_is_read() {
    for quantity in Quantity::ALL {
        for unit in table::units(quantity) {
            for name in unit.names {
                let expected = (1.0 - unit.zero) * unit.scale;
                let ours = parse(&format!("1 {name}"), quantity, &MM);
                assert!(
                    matches!(&ours, Ok(v) if (v - expected).abs() <= 1e-12 * expected.abs()),
                    "{name} as {quantity:?}: {ours:?} instead of {expected}"
                );
            }
        }
    }
}
