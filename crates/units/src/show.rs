//! Values as text.

use crate::choice::zero_of;
use crate::table;
use crate::{
    AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, Quantity, UnitChoice, unit_of,
};

/// A number ready to show: figures and unit apart, so that a view can set the unit in a lighter tone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The figures, with a sign if negative.
    pub number: String,
    /// The unit's name; empty for a plain number.
    pub unit: &'static str,
}

impl Shown {
    /// Digits behind the decimal mark.
    pub fn places(&self) -> usize {
        let after = self.number.split_once(['.', ',']).map_or("", |(_, after)| after);
        after.bytes().take_while(u8::is_ascii_digit).count()
    }
}

impl std::fmt::Display for Shown {
    /// Figures and unit as one text: "12.5 mm", "90.0°", "2.00".
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.number)?;
        // ISO 80000-1: a space before every unit but the signs of the plane angle.
        if !self.unit.is_empty() && self.unit != "°" {
            f.write_str(" ")?;
        }
        f.write_str(self.unit)
    }
}

/// From here on figures are printed with a power of ten: no such value fits a field or means anything to a person.
const HUGE: f64 = 1e10;

/// Shows a base-unit value with the decimals customary for the quantity (mm 1, in 3, kPa 1, N 1 ...), no "-0.0".
///
/// The minus sign is the real one (U+2212), as wide as the figures. A value that is not a finite number shows as a
/// dash, never as "NaN".
///
/// # Units
/// `value` in the quantity's base unit.
///
/// ```
/// use units::{show, Quantity, UnitChoice};
///
/// let comma = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
/// let shown = show(-12.34, Quantity::Length, &comma);
/// assert_eq!((shown.number.as_str(), shown.unit), ("\u{2212}12,3", "mm"));
/// ```
#[must_use]
pub fn show(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    let (scale, unit) = unit_of(quantity, choice);
    let number = value / scale + zero_of(quantity, choice);
    let mut places = decimals(quantity, choice);
    // Leaks are small beside what a source draws, and are told to three figures all the same; so are a restrictor beside a
    // valve and the stress of foam beside that of steel. A part of less than a gram has a mass.
    let small_below = match quantity {
        Quantity::Flow
        | Quantity::InletFlow
        | Quantity::AirVolume
        | Quantity::Conductance
        | Quantity::Stress => 1.0,
        Quantity::Mass => 10.0_f64.powi(-(places as i32)),
        _ => 0.0,
    };
    if number.abs() >= MANY {
        places = 0;
    } else if number != 0.0 && number.abs() < small_below {
        let leading = (2.0 - number.abs().log10().floor()).max(0.0) as usize;
        places = places.max(leading.min(FINEST_FLOW));
    }
    Shown { number: fixed(number, places, choice), unit }
}

/// From here on nobody measures the decimals.
const MANY: f64 = 1e6;

/// Most decimals of a small flow: less than this many say is none.
const FINEST_FLOW: usize = 5;

/// A plain number with so many decimals, as [`show`] prints it: no "-0.0", a real minus sign, a power of ten where it is huge,
/// and a dash where it is not a finite number.
///
/// ```
/// use units::{UnitChoice, fixed};
///
/// let metric = UnitChoice::default();
/// assert_eq!(fixed(1.356, 2, &metric), "1.36");
/// assert_eq!(fixed(f64::INFINITY, 2, &metric), "\u{2013}");
/// assert_eq!(fixed(1.0e300, 0, &metric), "1.000e300");
/// ```
#[must_use]
pub fn fixed(number: f64, decimals: usize, choice: &UnitChoice) -> String {
    if !number.is_finite() {
        return "\u{2013}".to_owned();
    }
    let plain = if number.abs() < HUGE { format!("{number:.decimals$}") } else { format!("{number:.3e}") };
    let plain = match plain.strip_prefix('-') {
        Some(figures) if figures.bytes().all(|b| matches!(b, b'0' | b'.')) => figures.to_owned(),
        Some(figures) => format!("\u{2212}{figures}"),
        None => plain,
    };
    choice.marked(&plain)
}

/// A plain number in a sentence of an engine, which knows no choice of units: as [`fixed`] with a decimal point.
///
/// ```
/// assert_eq!(units::figure(-0.04, 1), "0.0");
/// assert_eq!(units::figure(f64::NAN, 1), "\u{2013}");
/// ```
#[must_use]
pub fn figure(number: f64, decimals: usize) -> String {
    fixed(number, decimals, &UnitChoice::default())
}

/// A plain number to three figures, "1.36", "12.4", "136", printed as [`fixed`] does.
///
/// ```
/// assert_eq!(units::three_figures(12.44, &units::UnitChoice::default()), "12.4");
/// ```
#[must_use]
pub fn three_figures(number: f64, choice: &UnitChoice) -> String {
    let size = number.abs();
    let decimals = if size < 9.995 {
        2
    } else if size < 99.95 {
        1
    } else {
        0
    };
    fixed(number, decimals, choice)
}

/// As [`show`], with enough digits that [`crate::parse`] gives the same value back (what an edit field starts
/// from), and with the minus sign of the keyboard.
///
/// The shortest such text is taken: 12.7 mm is "0.5" in inches, not "0.50000000". Where a unit is
/// converted and no figure gives the same value to the last bit, the nearest one stands. A value that is
/// not a finite number gives an empty text.
///
/// # Units
/// `value` in the quantity's base unit.
///
/// ```
/// use units::{parse, show_exact, Quantity, UnitChoice};
///
/// let metric = UnitChoice::default();
/// let text = show_exact(1.0 / 3.0, Quantity::Mass, &metric).number;
/// assert_eq!(parse(&text, Quantity::Mass, &metric), Ok(1.0 / 3.0)); // kg
/// ```
#[must_use]
pub fn show_exact(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    let ((scale, unit), zero) = (unit_of(quantity, choice), zero_of(quantity, choice));
    let number = value / scale + zero;
    if !number.is_finite() {
        return Shown { number: String::new(), unit };
    }
    if number == 0.0 {
        return Shown { number: "0".to_owned(), unit };
    }
    // 17 significant figures name every f64; fewer often come back to the same value, and are easier to edit.
    let shortest = (0..17)
        .filter_map(|places| format!("{number:.places$e}").parse::<f64>().ok())
        .find(|short| {
            let above = if zero == 0.0 { *short } else { table::above(*short, zero) };
            table::scaled(above, scale) == value
        })
        .unwrap_or(number);
    Shown { number: plain(shortest, choice), unit }
}

/// The smallest figure of at most three digits that is not below the value: the lower end of a range as a person is told it.
///
/// # Units
/// `value` in the quantity's base unit.
///
/// ```
/// use units::{LengthUnit, Quantity, UnitChoice, show_at_least};
///
/// let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
/// assert_eq!(show_at_least(0.1, Quantity::Length, &inch).to_string(), "0.00394 in");
/// ```
#[must_use]
pub fn show_at_least(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    show_limit(value, quantity, choice, f64::ceil)
}

/// As [`show_at_least`] for the upper end: the largest figure of at most three digits that is not above the value.
///
/// ```
/// use units::{LengthUnit, Quantity, UnitChoice, show_at_most};
///
/// let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
/// assert_eq!(show_at_most(5000.0, Quantity::Length, &inch).to_string(), "196 in");
/// ```
#[must_use]
pub fn show_at_most(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    show_limit(value, quantity, choice, f64::floor)
}

fn show_limit(value: f64, quantity: Quantity, choice: &UnitChoice, round: fn(f64) -> f64) -> Shown {
    let (scale, unit) = unit_of(quantity, choice);
    let number = value / scale + zero_of(quantity, choice);
    if number == 0.0 || !number.is_finite() {
        return show_exact(value, quantity, choice);
    }
    let digit = 10_f64.powi(number.abs().log10().floor() as i32 - 2);
    // A value that has three digits keeps them, whatever the division makes of its last bit.
    let digits = number / digit;
    let whole = if (digits - digits.round()).abs() < 1e-9 { digits.round() } else { round(digits) };
    let limit = format!("{:.2e}", whole * digit).parse().unwrap_or(number);
    Shown { number: plain(limit, choice), unit }
}

/// A finite number other than zero with every digit it has.
fn plain(number: f64, choice: &UnitChoice) -> String {
    let text = if (1e-6..HUGE).contains(&number.abs()) { format!("{number}") } else { format!("{number:e}") };
    choice.marked(&text)
}

/// Shows a base-unit value that a person gave: as [`show`] where that is the value itself, else with every digit where
/// those are few, else (a figure that was worked out, or converted) rounded to the customary decimals and to no fewer
/// than three significant figures.
///
/// # Units
/// `value` in the quantity's base unit.
///
/// ```
/// use units::{show_given, Quantity, UnitChoice};
///
/// let metric = UnitChoice::default();
/// let mm = |value| show_given(value, Quantity::Length, &metric).to_string();
/// assert_eq!([320.0, 9.525, 0.04].map(mm), ["320.0 mm", "9.525 mm", "0.04 mm"]);
/// assert_eq!([1550.0 / 3.0, 0.1 / 3.0].map(mm), ["516.7 mm", "0.0333 mm"]);
/// ```
#[must_use]
pub fn show_given(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    let usual = show(value, quantity, choice);
    let (scale, unit) = unit_of(quantity, choice);
    let number = value / scale + zero_of(quantity, choice);
    if number == 0.0 || !number.is_finite() || number.abs() >= HUGE {
        return usual;
    }
    let exact = show_exact(value, quantity, choice).number;
    let number_is_below_zero = number < 0.0;
    let plain = exact.trim_start_matches('-');
    let usual_places = decimals(quantity, choice);
    let places = plain.split_once(['.', ',']).map_or(0, |(_, part)| part.len());
    let few = !plain.contains('e') && plain.len() <= FEW_DIGITS && places <= usual_places + FINER;
    if places <= usual_places && !plain.contains('e') {
        return usual;
    }
    let number = if few {
        plain.to_owned()
    } else {
        let leading = number.abs().log10().floor();
        if leading < -(FINER as f64) {
            format!("{:.2e}", number.abs())
        } else {
            let places = usual_places.max((2.0 - leading).max(0.0) as usize);
            choice.marked(&format!("{:.places$}", number.abs()))
        }
    };
    let sign = if number_is_below_zero { "\u{2212}" } else { "" };
    Shown { number: choice.marked(&format!("{sign}{number}")), unit }
}

/// As [`show_given`] without noughts at the end: the size that a thing is called by.
///
/// # Units
/// `value` in the quantity's base unit.
///
/// ```
/// use units::{Quantity, UnitChoice, show_size};
///
/// let mm = |value| show_size(value, Quantity::Length, &UnitChoice::default()).to_string();
/// assert_eq!([6.0, 9.525, 400.0].map(mm), ["6 mm", "9.525 mm", "400 mm"]);
/// assert_eq!(show_size(6.0, Quantity::Length, &UnitChoice::inch_pound()).to_string(), "0.236 in");
/// ```
#[must_use]
pub fn show_size(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    let shown = show_given(value, quantity, choice);
    // A power of ten keeps its digits.
    let whole = shown.number.contains('e');
    Shown { number: if whole { shown.number } else { crate::trimmed(&shown.number).to_owned() }, ..shown }
}

/// Digits and mark of a figure that is shown whole.
const FEW_DIGITS: usize = 8;
/// Decimals beyond the customary ones that are shown whole.
const FINER: usize = 4;

/// Decimals customary for a quantity in the unit picked: about as fine as it can be measured on the shop floor.
pub(crate) fn decimals(quantity: Quantity, choice: &UnitChoice) -> usize {
    let either = |picked, imperial, metric| if picked { imperial } else { metric };
    let inch = choice.length == LengthUnit::Inch;
    let pound_force = choice.force == ForceUnit::PoundForce;
    let pound = choice.mass == MassUnit::Pound;
    match quantity {
        Quantity::Length => either(inch, 3, 1),
        Quantity::Area => either(inch, 2, 0),
        Quantity::VacuumLevel | Quantity::AbsolutePressure => match choice.pressure {
            PressureUnit::Kilopascal | PressureUnit::InchMercury => 1,
            PressureUnit::Millibar => 0,
            PressureUnit::Bar => 3,
            PressureUnit::Psi => 2,
        },
        Quantity::FeedPressure => match choice.pressure {
            PressureUnit::Kilopascal => 0,
            PressureUnit::Millibar | PressureUnit::Bar => 2,
            PressureUnit::InchMercury | PressureUnit::Psi => 1,
        },
        Quantity::Force => either(pound_force, 2, 1),
        Quantity::Moment => either(pound_force, 1, 2),
        Quantity::Stiffness => 2,
        Quantity::LineForce => either(pound_force, 2, 3),
        Quantity::Mass => either(pound, 2, 3),
        Quantity::Density => either(pound, 1, 0),
        Quantity::ArealMass => either(pound, 3, 2),
        Quantity::LineMass => either(pound, 3, 2),
        Quantity::Inertia => either(pound, 2, 4),
        Quantity::Permeance | Quantity::Conductance => 3,
        Quantity::AirVolume => either(choice.flow == FlowUnit::StandardCubicFootPerMinute, 2, 1),
        Quantity::PerAirVolume | Quantity::AirEnergy => 3,
        Quantity::Stress => either(pound_force, 2, 1),
        Quantity::TiltStiffness => either(pound_force, 1, 2),
        Quantity::Gap => either(inch, 2, 1),
        Quantity::Slope => either(inch, 3, 1),
        Quantity::SmallMass => either(pound, 2, 1),
        Quantity::DustLoad => 3,
        Quantity::Volume => 1,
        Quantity::Acceleration => either(choice.acceleration == AccelerationUnit::Gravity, 3, 2),
        Quantity::Flow | Quantity::InletFlow => {
            either(choice.flow == FlowUnit::StandardCubicFootPerMinute, 2, 1)
        }
        Quantity::Angle | Quantity::TurnRate | Quantity::TurnAcceleration => 1,
        Quantity::Time | Quantity::Ratio | Quantity::SharePerPressure => 2,
        Quantity::Temperature | Quantity::Share => 1,
        Quantity::Altitude => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn metric(value: f64, quantity: Quantity) -> String {
        show(value, quantity, &UnitChoice::default()).to_string()
    }

    #[test]
    fn customary_decimals_and_unit() {
        assert_eq!(metric(320.449, Quantity::Length), "320.4 mm");
        assert_eq!(metric(60.0, Quantity::VacuumLevel), "60.0 kPa");
        assert_eq!(metric(101.325, Quantity::AbsolutePressure), "101.3 kPa abs");
        assert_eq!(metric(90.0, Quantity::Angle), "90.0°");
        assert_eq!(metric(30.0, Quantity::TurnRate), "30.0 °/s");
        assert_eq!(metric(1.356, Quantity::Ratio), "1.36");
        assert_eq!(metric(0.125, Quantity::Share), "12.5 %");
        assert_eq!(metric(12_345.6, Quantity::Length), "12345.6 mm");
        let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
        assert_eq!(show(12.7, Quantity::Length, &inch).to_string(), "0.500 in");
    }

    #[test]
    fn less_than_a_gram_is_no_nought_and_huge_figures_have_no_decimals() {
        assert_eq!(metric(0.00042, Quantity::Mass), "0.00042 kg");
        assert_eq!(metric(0.009, Quantity::Mass), "0.009 kg");
        assert_eq!(show(0.0042, Quantity::Mass, &UnitChoice::inch_pound()).to_string(), "0.00926 lb");
        assert_eq!(metric(0.0, Quantity::Mass), "0.000 kg");
        assert_eq!(metric(1_228_167.94, Quantity::Acceleration), "1228168 m/s²");
        assert_eq!(metric(999_999.4, Quantity::Length), "999999.4 mm");
    }

    #[test]
    fn inch_mode_tells_temperatures_in_fahrenheit_and_small_flows_to_three_figures() {
        let inch = UnitChoice::inch_pound();
        for (celsius, text) in
            [(20.0, "68.0 °F"), (0.0, "32.0 °F"), (-40.0, "\u{2212}40.0 °F"), (-20.0, "\u{2212}4.0 °F")]
        {
            assert_eq!(show(celsius, Quantity::Temperature, &inch).to_string(), text);
            assert_eq!(show_given(celsius, Quantity::Temperature, &inch).to_string(), text);
            let exact = show_exact(celsius, Quantity::Temperature, &inch).number;
            assert_eq!(crate::parse(&exact, Quantity::Temperature, &inch), Ok(celsius), "{exact}");
        }
        assert_eq!(crate::parse("20 °C", Quantity::Temperature, &inch), Ok(20.0));
        assert_eq!(crate::parse("77", Quantity::Temperature, &inch), Ok(25.0));
        // 1 L/min is 0.0353 ft3/min; by mass at 60 F and 14.696 psi a little less.
        assert_eq!(metric(0.0213, Quantity::Flow), "0.0213 L/min ANR");
        assert_eq!(metric(0.5, Quantity::Flow), "0.500 L/min ANR");
        assert_eq!(metric(12.34, Quantity::Flow), "12.3 L/min ANR");
        assert_eq!(metric(0.0, Quantity::Flow), "0.0 L/min ANR");
        assert!(show(0.06, Quantity::Flow, &inch).number.starts_with("0.0020"));
        // A restrictor of 0.3 dm³/(s·bar); an orifice of 5 µm is none of a pipe.
        assert_eq!(show(0.3, Quantity::Conductance, &inch).to_string(), "0.0425 scfm/psi");
        assert_eq!(metric(0.3, Quantity::Conductance), "0.300 dm³/(s·bar)");
        assert_eq!(
            crate::parse("0.0425", Quantity::Conductance, &inch).map(|c| (c * 100.0).round()),
            Ok(30.0)
        );
        assert_eq!(crate::parse("0.3 dm3/(s bar)", Quantity::Conductance, &inch), Ok(0.3));
    }

    #[test]
    fn no_negative_zero_and_a_real_minus() {
        assert_eq!(metric(-0.04, Quantity::Length), "0.0 mm");
        assert_eq!(metric(-0.0, Quantity::Altitude), "0 m");
        assert_eq!(metric(-0.06, Quantity::Length), "\u{2212}0.1 mm");
        assert_eq!(show_exact(-0.0, Quantity::Length, &UnitChoice::default()).number, "0");
        assert_eq!(show_exact(-6.2, Quantity::Length, &UnitChoice::default()).number, "-6.2");
    }

    #[test]
    fn what_is_not_a_number_is_not_printed_as_one() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(metric(value, Quantity::Force), "\u{2013} N");
            assert_eq!(show_exact(value, Quantity::Force, &UnitChoice::default()).number, "");
        }
        assert_eq!(metric(1e300, Quantity::Force), "1.000e300 N");
    }

    #[test]
    fn exact_text_is_short_where_it_can_be() {
        let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
        assert_eq!(show_exact(9.525, Quantity::Length, &inch).number, "0.375");
        assert_eq!(show_exact(0.85, Quantity::Share, &inch).number, "85");
        let comma = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
        assert_eq!(show_exact(0.1 + 0.2, Quantity::Mass, &comma).number, "0,30000000000000004");
    }
}
