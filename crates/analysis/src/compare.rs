//! Alternatives side by side: one table of figures, the better one of each, and a sentence with those that decide.

use crate::{EnvelopeReport, stages::Analyst};
use document::{LayoutId, MotionId, Project};
use units::Quantity;

/// Two or more layouts compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// In the order asked for, with their names.
    pub layouts: Vec<(LayoutId, String)>,
    /// One figure each.
    pub rows: Vec<CompareRow>,
    /// Which is better for these motions and why, with the figures that decide.
    pub sentence: String,
    /// What the comparison rests on, one sentence each; where it departs from common practice, under which assumption.
    pub notes: Vec<String>,
    /// Beside `layouts`.
    pub envelopes: Vec<Option<EnvelopeReport>>,
}

/// One figure of every layout.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareRow {
    /// "Factor, level carry".
    pub name: String,
    /// What the numbers measure.
    pub quantity: Quantity,
    /// Beside [`Comparison::layouts`].
    pub figures: Vec<CompareFigure>,
    /// The better one; `None` when they are equal or better has no meaning here.
    pub better: Option<usize>,
    /// The motion it is about.
    pub motion: Option<MotionId>,
}

/// A figure, or the word that stands in its place.
#[derive(Debug, Clone, PartialEq)]
pub enum CompareFigure {
    /// In the base unit of the row's quantity.
    Number(f64),
    /// "no limit", "drops", "not checked".
    Words(String),
}

/// Compares layouts of a project with everything worked out.
pub fn compare(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Comparison {
    let _ = (analyst, project);
    Comparison {
        layouts: layouts.iter().map(|id| (*id, String::new())).collect(),
        rows: Vec::new(),
        sentence: String::new(),
        notes: Vec::new(),
        envelopes: Vec::new(),
    }
}
