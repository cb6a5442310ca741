//! Rows of fields that the registry names: label, unit, help and what is sensible come from there.

use super::{NumberRow, Takes, choice, count, origin, stated, text};
use document::{Field, Measure, Sourced};
use egui::Ui;
use std::hash::Hash;
use units::{Quantity, UnitChoice};

/// A row by its key; nothing is drawn where the registry has none.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    field: Option<&'static Field>,
    of: Option<&'a str>,
    axis: Option<&'static str>,
    more: &'a str,
    unit: Option<&'a str>,
}

/// The row of a field: "part.thickness_mm".
pub fn known(key: &str) -> Known<'static> {
    let field = document::field(key);
    debug_assert!(field.is_some(), "{key} is no field");
    Known { field, of: None, axis: None, more: "", unit: None }
}

impl<'a> Known<'a> {
    /// What it belongs to, where the label alone would not tell: spoken, not shown.
    pub fn of(self, of: &'a str) -> Self {
        Self { of: Some(of), ..self }
    }
    /// One number of a place or a vector: X, Y or Z.
    pub fn axis(self, axis: usize) -> Self {
        Self { axis: ["X", "Y", "Z"].get(axis).copied(), ..self }
    }
    /// What is said besides the registry's help.
    pub fn more(self, more: &'a str) -> Self {
        Self { more, ..self }
    }
    /// A unit of its own, such as a price's.
    pub fn unit(self, unit: &'a str) -> Self {
        Self { unit: Some(unit), ..self }
    }

    fn label(&self, field: &Field) -> String {
        match self.axis {
            Some(axis) => format!("{} {axis}", field.label()),
            None => field.label(),
        }
    }
    fn why(&self, field: &Field, units: &UnitChoice) -> String {
        let help = field.help(units);
        let apart = if help.is_empty() || self.more.is_empty() { "" } else { "; " };
        format!("{help}{apart}{}", self.more)
    }

    /// A number in the file's unit; gives the new one.
    pub fn number(self, ui: &mut Ui, salt: impl Hash, value: f64, units: &UnitChoice) -> Option<f64> {
        self.taking(ui, salt, value, units, |_| Takes::Any)
    }

    /// As [`Known::number`], of a form that is not an edit yet: a figure that makes no sense is refused with a sentence.
    pub fn bounded(self, ui: &mut Ui, salt: impl Hash, value: f64, units: &UnitChoice) -> Option<f64> {
        self.taking(ui, salt, value, units, |(least, most)| Takes::Within(least, most))
    }

    /// `takes` gets the range in the base unit.
    fn taking(
        self,
        ui: &mut Ui,
        salt: impl Hash,
        value: f64,
        units: &UnitChoice,
        takes: impl FnOnce((f64, f64)) -> Takes,
    ) -> Option<f64> {
        let field = self.field?;
        let (label, why) = (self.label(field), self.why(field, units));
        let (quantity, times) = field.measure.in_base();
        let scaled = |value: f64| if times == 1.0 { value } else { units::tidied(value * times) };
        let fixed = if let Measure::Fixed(unit) = field.measure { Some(unit) } else { None };
        // Small figures that rounding would misstate.
        let small = matches!(
            quantity,
            Quantity::Ratio
                | Quantity::Permeance
                | Quantity::Time
                | Quantity::Flow
                | Quantity::Conductance
                | Quantity::Stress
                | Quantity::Gap
                | Quantity::SmallMass
                | Quantity::DustLoad
                | Quantity::PerAirVolume
                | Quantity::AirEnergy
        );
        let row = NumberRow {
            of: self.of,
            // A converted figure has digits without end.
            every_digit: small && units::unit_of(quantity, units).0.fract() == 0.0,
            own_unit: self.unit.or(fixed),
            takes: takes((scaled(field.least), scaled(field.most))),
            ..NumberRow::new(&label, scaled(value), quantity, units, &why)
        };
        let entered = row.ui(ui, (field.key, self.axis, salt))?;
        Some(if times == 1.0 { entered } else { units::tidied(entered / times) })
    }

    /// A whole number.
    pub fn count(self, ui: &mut Ui, salt: impl Hash, value: u32, units: &UnitChoice) -> Option<u32> {
        let field = self.field?;
        let (label, why) = (self.label(field), self.why(field, units));
        let bounds = (field.least.max(0.0) as u32, field.most as u32);
        count(ui, (field.key, salt), &label, self.of, value, bounds, units, &why)
    }

    /// A number with where it comes from; what is typed is stated today.
    pub fn sourced(
        self,
        ui: &mut Ui,
        salt: impl Hash + Copy,
        value: &Sourced<f64>,
        units: &UnitChoice,
    ) -> Option<Sourced<f64>> {
        let field = self.field?;
        let name = match self.of {
            Some(of) => format!("{} of {of}", self.label(field)),
            None => self.label(field),
        };
        let typed = self.number(ui, salt, value.value, units).map(stated);
        typed.or(origin(ui, &format!("{name} comes from"), value))
    }

    /// One of a list.
    pub fn choice<T: PartialEq + Copy>(
        self,
        ui: &mut Ui,
        salt: impl Hash,
        value: T,
        all: &[(T, &str)],
    ) -> Option<T> {
        let field = self.field?;
        // Words have no figures.
        let why = self.why(field, &UnitChoice::default());
        choice(ui, (field.key, salt), &self.label(field), value, all, &why)
    }

    /// What a person writes.
    pub fn text(self, ui: &mut Ui, salt: impl Hash, value: &str) -> Option<String> {
        let field = self.field?;
        text(ui, (field.key, salt), &self.label(field), value, &self.why(field, &UnitChoice::default()))
    }
}
