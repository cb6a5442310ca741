//! Figures in sentences: the unit the person picked and the customary digits.

use crate::report::{BendingReport, CircuitReport, DesignFrom, SagIs, Severity};
use document::Measure;
use glam::DVec2;
use mechanics::{Reading, Readings};
use units::{Quantity, UnitChoice};

/// Writes figures for the sentences of a report.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// Units and decimal mark.
    pub choice: &'a UnitChoice,
}

impl Words<'_> {
    /// A figure with its unit, "6.2 mm".
    pub fn figure(&self, value: f64, quantity: Quantity) -> String {
        units::show(value, quantity, self.choice).to_string()
    }

    /// A figure that a person gave, with every digit where those are few.
    pub fn given(&self, value: f64, quantity: Quantity) -> String {
        units::show_given(value, quantity, self.choice).to_string()
    }

    /// A length, mm, with its unit.
    pub fn length(&self, mm: f64) -> String {
        self.figure(mm, Quantity::Length)
    }

    /// A moment, N·m, with its unit.
    pub fn moment(&self, newton_metres: f64) -> String {
        self.figure(newton_metres, Quantity::Moment)
    }

    /// A vacuum level, kPa, with its unit.
    pub fn level(&self, kpa: f64) -> String {
        self.figure(kpa, Quantity::VacuumLevel)
    }

    /// An acceleration, m/s², with its unit.
    pub fn acceleration(&self, metres_per_second_squared: f64) -> String {
        self.figure(metres_per_second_squared, Quantity::Acceleration)
    }

    /// A plain number to three figures, "1.36", "12.4", "136".
    pub fn factor(&self, value: f64) -> String {
        units::three_figures(value, self.choice)
    }

    /// A factor that is held against another figure: one that falls short is never printed as what it falls short of.
    pub fn against(&self, value: f64, needed: f64) -> String {
        let (says, asked) = (self.factor(value), self.factor(needed));
        if !(value < needed && says == asked) {
            return says;
        }
        let step = match needed.abs() {
            size if size < 9.995 => 0.01,
            size if size < 99.95 => 0.1,
            _ => 1.0,
        };
        self.factor((needed / step).round() * step - step)
    }

    /// A factor with what it is held against, "1.36 of 2.00".
    pub fn of(&self, factor: f64, required: f64) -> String {
        format!("{} of {}", self.against(factor, required), self.factor(required))
    }

    /// A figure with its unit; a plain number to three figures.
    pub fn value(&self, value: f64, quantity: Quantity) -> String {
        match quantity {
            Quantity::Ratio => self.factor(value),
            _ => self.figure(value, quantity),
        }
    }

    /// A figure of the file as its field says.
    pub fn measured(&self, value: f64, measure: Measure) -> String {
        self.shown(value, measure).to_string()
    }

    /// As [`Self::measured`], with figure and unit apart.
    pub fn shown(&self, value: f64, measure: Measure) -> units::Shown {
        let plain = |unit| units::Shown { number: self.plain(value), unit };
        let of = |value: f64, quantity: Quantity| match quantity {
            Quantity::Ratio => units::Shown { number: self.factor(value), unit: "" },
            _ => units::show(value, quantity, self.choice),
        };
        match measure {
            Measure::Of(quantity) => of(value, quantity),
            Measure::Scaled(quantity, times) => of(value * times, quantity),
            Measure::Fixed(unit) => plain(unit),
            _ => plain(""),
        }
    }

    /// The first three figures that can be printed and are not below a value, all but rounding, in its own base unit: what is
    /// offered as enough is printed by one of them.
    pub fn upwards(&self, value: f64, quantity: Quantity) -> [f64; 3] {
        self.printable(value, quantity, |steps, more| (steps - 1e-9 * steps.abs().max(1.0)).ceil() + more)
    }

    /// As [`Words::upwards`] for what is offered as the most that is allowed.
    pub fn downwards(&self, value: f64, quantity: Quantity) -> [f64; 3] {
        self.printable(value, quantity, |steps, more| (steps + 1e-9 * steps.abs().max(1.0)).floor() - more)
    }

    fn printable(&self, value: f64, quantity: Quantity, step: impl Fn(f64, f64) -> f64) -> [f64; 3] {
        let places = self.shown(value, Measure::Of(quantity)).places();
        let (scale, per_unit) = (units::unit_of(quantity, self.choice).0, 10.0_f64.powf(places as f64));
        [0.0, 1.0, 2.0].map(|more| step(value / scale * per_unit, more) / per_unit * scale)
    }

    /// A length above nought, "6.2 mm"; one that would be printed as nought is "less than 0.1 mm".
    pub fn some_length(&self, mm: f64) -> String {
        let says = self.length(mm);
        if mm > 0.0 && says == self.length(0.0) {
            let [least, next, _] = self.upwards(mm, Quantity::Length);
            return format!("less than {}", self.length(if least > 0.0 { least } else { next }));
        }
        says
    }

    /// A plain number as it was typed.
    pub fn plain(&self, value: f64) -> String {
        if !value.is_finite() {
            return units::fixed(value, 0, self.choice);
        }
        units::show_exact(value, Quantity::Ratio, self.choice).number.replace('-', "\u{2212}")
    }

    /// A share of one in per cent, "12 %".
    pub fn percent(&self, share: f64) -> String {
        format!("{} %", units::fixed(share * 100.0, 0, self.choice))
    }

    /// A point or shift in the plan, "(−6.2, 0.0) mm"; apart by semicolons where the comma is the decimal sign.
    pub fn pair(&self, value: DVec2) -> String {
        let (bare, unit) = self.bare_pair(value);
        format!("{bare} {unit}")
    }

    /// As [`Self::pair`], and its unit apart.
    pub fn bare_pair(&self, value: DVec2) -> (String, &'static str) {
        let x = units::show(value.x, Quantity::Length, self.choice);
        let y = units::show(value.y, Quantity::Length, self.choice);
        let apart = if self.choice.decimal_comma { ";" } else { "," };
        (format!("({}{apart} {})", x.number, y.number), y.unit)
    }
}

/// What was multiplied to get a factor, where it is not the whole load, "the motion multiplied, the weight counted at 90 % where
/// it helps".
pub fn counted_like(readings: &Readings, favourable_weight: f64, choice: &UnitChoice) -> Option<String> {
    let worse = readings.worse();
    if !worse.value.is_finite() {
        return None;
    }
    if leaves_nothing(&worse) {
        return Some("the weight alone too much, leaving nothing for the motion".to_owned());
    }
    match worse.reading {
        Reading::WholeLoad => None,
        Reading::WeightOnce => Some("the motion multiplied, the weight counted once".to_owned()),
        Reading::FavourableWeight => Some(format!(
            "the motion multiplied, the weight counted at {} where it helps",
            Words { choice }.percent(favourable_weight)
        )),
    }
}

/// The levels that factors are worked out at, as a sentence; `None` where no circuit has one.
pub fn levels(circuits: &[CircuitReport], choice: &UnitChoice) -> Option<String> {
    let words = Words { choice };
    let each = circuits.iter().filter_map(|circuit| {
        let design = circuit.design.as_ref()?;
        let why = match design.from {
            DesignFrom::Switch if design.never_held() => {
                "the steady level, at which the switch never signals part held".to_owned()
            }
            DesignFrom::Switch => "from which the part counts as held".to_owned(),
            DesignFrom::Share => {
                format!("{}, since no switch level is entered", crate::circuit::design_share())
            }
            DesignFrom::Stated => "the stated level".to_owned(),
        };
        Some((circuit.name.as_str(), words.level(design.design_kpa), why))
    });
    match each.collect::<Vec<_>>().as_slice() {
        [] => None,
        [(_, level, why), others @ ..] if others.iter().all(|(_, l, w)| (l, w) == (level, why)) => {
            Some(format!("Factors are at {level}, {why}."))
        }
        several => {
            let each: Vec<String> =
                several.iter().map(|(name, level, why)| format!("{level} on {name}, {why}")).collect();
            Some(format!("Factors are at {}.", each.join("; ")))
        }
    }
}

/// Whether a factor is 0 because the weight alone is too much.
pub fn leaves_nothing(factor: &mechanics::Factor) -> bool {
    factor.value == 0.0 && factor.reading.keeps_weight()
}

/// The word for a severity.
pub fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Fail => "fail",
        Severity::Watch => "warning",
        Severity::NotChecked => "not checked",
        Severity::Advice => "advice",
        Severity::Ok => "OK",
    }
}

/// So many findings of a severity: "1 fails", "2 warnings".
pub fn counted(count: usize, severity: Severity) -> String {
    let word = match (severity, count) {
        (Severity::Fail, 1) => "fails",
        (Severity::Watch, 2..) => "warnings",
        (severity, _) => self::severity(severity),
    };
    format!("{count} {word}")
}

/// "1 cup", "6 cups".
pub fn count_of(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// Joins "C1", "C2" and "C3" as a person would.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [many @ .., last] if many.len() <= 5 => format!("{} and {last}", many.join(", ")),
        [first, second, third, rest @ ..] => {
            format!("{first}, {second}, {third} and {} more", rest.len())
        }
        [first, last] => format!("{first} and {last}"),
    }
}

/// Every item, joined as a person would.
pub fn all(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [many @ .., last] => format!("{} and {last}", many.join(", ")),
    }
}

/// A name as it stands inside a sentence: "Emergency stop" becomes "emergency stop", "AGV stop" stays.
pub fn inside(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if first.is_uppercase() && (second.is_lowercase() || second == ' ') => {
            first.to_lowercase().chain(std::iter::once(second)).chain(letters).collect()
        }
        _ => name.to_owned(),
    }
}

/// A clause as a sentence of its own: capital first, full stop last.
pub fn sentence(clause: &str) -> String {
    format!("{}.", capital(clause.trim().trim_end_matches('.')))
}

/// A text that starts with a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// How a part bends, in a line: its greatest sag, where it is from the part's datum, and how far its cups are from those of a
/// rigid part.
pub fn bending(report: &BendingReport, datum: DVec2, choice: &UnitChoice) -> String {
    let words = Words { choice };
    let sag = report.deepest().map_or_else(String::new, |motion| {
        let worth = match motion.sag_is {
            SagIs::Small => "",
            SagIs::Less => " or less",
            SagIs::VeryLarge => ", very large",
        };
        format!(
            "Sags by {}{worth} at {}; ",
            words.length(motion.sag_mm.abs()),
            words.pair(motion.sag_at - datum)
        )
    });
    let rigid = if report.as_good_as_rigid() {
        "effectively rigid".to_owned()
    } else {
        format!(
            "a cup\u{2019}s load differs from that on a rigid part by up to {} of the largest pull",
            words.percent(report.from_rigid)
        )
    };
    format!("{sag}{rigid}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shifts_have_a_true_minus_and_no_negative_zero() {
        let choice = UnitChoice::default();
        assert_eq!(Words { choice: &choice }.pair(DVec2::new(-6.2, -0.01)), "(\u{2212}6.2, 0.0) mm");
        let comma = UnitChoice { decimal_comma: true, ..choice };
        assert_eq!(Words { choice: &comma }.pair(DVec2::new(1.5, 0.0)), "(1,5; 0,0) mm");
    }

    #[test]
    fn a_length_above_nought_is_never_printed_as_nought() {
        let choice = UnitChoice::default();
        let words = Words { choice: &choice };
        assert_eq!(words.some_length(0.049), "less than 0.1 mm");
        assert_eq!(words.some_length(1e-12), "less than 0.1 mm");
        assert_eq!(words.some_length(0.051), "0.1 mm");
        let inch = UnitChoice { length: units::LengthUnit::Inch, ..choice };
        assert_eq!(Words { choice: &inch }.some_length(0.001), "less than 0.001 in");
    }

    #[test]
    fn factors_have_three_figures() {
        let choice = UnitChoice::default();
        let words = Words { choice: &choice };
        assert_eq!(words.factor(1.3649), "1.36");
        assert_eq!(words.factor(9.9960), "10.0");
        assert_eq!(words.factor(12.44), "12.4");
        assert_eq!(words.factor(136.4), "136");
        let comma = UnitChoice { decimal_comma: true, ..choice };
        assert_eq!(Words { choice: &comma }.factor(1.36), "1,36");
    }

    #[test]
    fn a_factor_that_falls_short_never_reads_as_met() {
        let choice = UnitChoice::default();
        let words = Words { choice: &choice };
        let cases = [(1.9996, 2.0, "1.99"), (1.36, 2.0, "1.36"), (2.0, 2.0, "2.00"), (12.496, 12.5, "12.4")];
        for (value, needed, says) in cases.into_iter().chain([(0.99999, 1.0, "0.99"), (9.999, 10.0, "9.90")])
        {
            assert_eq!(words.against(value, needed), says);
        }
    }

    #[test]
    fn names_join_as_a_person_writes_them() {
        let tags = |n: usize| (1..=n).map(|i| format!("C{i}")).collect::<Vec<_>>();
        assert_eq!(list(&tags(1)), "C1");
        assert_eq!(list(&tags(2)), "C1 and C2");
        assert_eq!(list(&tags(3)), "C1, C2 and C3");
        assert_eq!(list(&tags(12)), "C1, C2, C3 and 9 more");
        assert_eq!(inside("Emergency stop"), "emergency stop");
        assert_eq!(inside("AGV stop"), "AGV stop");
    }
}
