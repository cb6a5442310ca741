//! Why a typed text is not a quantity.

use crate::Quantity;

/// Why a typed text is not a quantity. The message quotes the offending piece and says what would do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseError {
    /// Nothing was typed.
    #[error("nothing to read; type {}{}", .quantity.noun(), example(*.quantity))]
    Empty {
        /// What was expected.
        quantity: Quantity,
    },
    /// A piece that is neither a number nor a sign of arithmetic.
    #[error("cannot read \"{text}\" as {}; type a number{}", .quantity.noun(), example(*.quantity))]
    NotANumber {
        /// The piece.
        text: String,
        /// What was expected.
        quantity: Quantity,
    },
    /// A number with two decimal marks, or marks where no group of thousands is.
    #[error("\"{text}\" is not a number; use one decimal mark and no other")]
    MalformedNumber {
        /// The number as typed.
        text: String,
    },
    /// A number whose one mark may separate thousands or decimals.
    #[error("\"{text}\" can be read as {whole} or as {decimal}; write one of the two")]
    AmbiguousMark {
        /// The number as typed.
        text: String,
        /// The reading with thousands, as it would be typed.
        whole: String,
        /// The reading with decimals, as it would be typed.
        decimal: String,
    },
    /// A unit nobody knows.
    #[error("\"{text}\" is not a unit of {}; {}", bare(*.quantity), advice(*.quantity))]
    UnknownUnit {
        /// The unit as typed.
        text: String,
        /// What was expected.
        quantity: Quantity,
    },
    /// A unit of another quantity.
    #[error("\"{text}\" is {} where {} is expected; {}", .found.noun(), .expected.noun(), advice(*.expected))]
    WrongQuantity {
        /// Number and unit as typed.
        text: String,
        /// What the unit measures.
        found: Quantity,
        /// What was expected.
        expected: Quantity,
    },
    /// A bracket with a unit behind it whose content has a unit already.
    #[error("\"{text}\" gives a unit twice; keep one of them")]
    UnitTwice {
        /// The bracket and its unit as typed.
        text: String,
    },
    /// Two numbers without a sign between them.
    #[error("two numbers are side by side in \"{text}\"; put + or × between them")]
    SideBySide {
        /// The piece as typed.
        text: String,
    },
    /// An opened bracket without its end, or an end without an opened one.
    #[error("a bracket in \"{text}\" has no partner; add or remove one")]
    UnpairedBracket {
        /// The piece as typed.
        text: String,
    },
    /// A product of two quantities, or something divided by one.
    #[error("\"{text}\" multiplies or divides by {}; one side must be a plain number", .quantity.noun())]
    TwoUnits {
        /// The piece as typed.
        text: String,
        /// What was expected.
        quantity: Quantity,
    },
    /// °F or K in a sum or a product, where it is not clear whether a reading or a difference is meant.
    #[error("\"{text}\" calculates with °F or K; type one reading, or calculate in °C")]
    ReadingInSum {
        /// The piece as typed.
        text: String,
    },
    /// A division by zero.
    #[error("\"{text}\" divides by zero; change the divisor")]
    DividesByZero {
        /// The piece as typed.
        text: String,
    },
    /// A result beyond what a number can hold.
    #[error("\"{text}\" is too large; type a smaller number")]
    TooLarge {
        /// The piece as typed.
        text: String,
    },
    /// Brackets within brackets beyond any use.
    #[error("brackets are nested more than {limit} deep; simplify the sum")]
    TooDeep {
        /// How deep they may stand.
        limit: usize,
    },
    /// A text no person typed into a field.
    #[error("the text is longer than {limit} characters; type the number alone")]
    TooLong {
        /// How long it may be.
        limit: usize,
    },
}

/// ", such as 12.5 or 12.5 mm", with the first unit that would do.
fn example(quantity: Quantity) -> String {
    match crate::table::units(quantity).first().and_then(|u| u.names.first()) {
        None => ", such as 12.5".to_owned(),
        Some(&"°") => ", such as 12.5 or 12.5°".to_owned(),
        Some(unit) => format!(", such as 12.5 or 12.5 {unit}"),
    }
}

fn bare(quantity: Quantity) -> &'static str {
    let noun = quantity.noun();
    noun.split_once(' ').map_or(noun, |(_, rest)| rest)
}

fn advice(quantity: Quantity) -> String {
    match quantity {
        Quantity::Ratio => "type it without a unit, or in %".to_owned(),
        _ => format!("use {}", quantity.units_that_would_do()),
    }
}
