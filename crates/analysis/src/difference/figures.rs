//! Figures of both sides, paired.

use super::FigureChange;
use crate::{
    compare::{CompareFigure, CompareRow, Side, rows::rows_of},
    report::Report,
};
use document::{MotionId, Project};
use std::sync::Arc;
use units::Quantity;

/// Figures that differ by less than this share differ in their last bits only.
const SAME: f64 = 1e-9;

/// Figures of one layout that changed, and its factors.
pub(super) fn figures(
    old: &Project,
    new: &Project,
    before: &Arc<Report>,
    after: &Arc<Report>,
) -> Vec<FigureChange> {
    // In the order of the newer one, then what is gone.
    let gone = old.motions.iter().filter(|motion| new.motion(motion.id).is_none());
    let motions: Vec<(MotionId, &str)> =
        new.motions.iter().chain(gone).map(|motion| (motion.id, motion.name.as_str())).collect();
    let sides = [before, after].map(|report| Side { report: Arc::clone(report) });
    let mut rows = rows_of(&motions, &sides);
    rows.push(CompareRow {
        name: "Mass of the part".to_owned(),
        quantity: Quantity::Mass,
        figures: [before, after].map(|report| mass(report)).to_vec(),
        better: None,
        motion: None,
    });
    rows.into_iter()
        .filter_map(|row| {
            let CompareRow { name, quantity, mut figures, better, motion } = row;
            let (to, from) = (figures.pop()?, figures.pop()?);
            let keep = motion.is_some() || !same(&from, &to);
            let better = better
                .map(|side| side == 1)
                .filter(|_| ![&from, &to].into_iter().any(|f| lacks(f, quantity)));
            keep.then_some(FigureChange { name, quantity, from, to, better, layout: after.layout, motion })
        })
        .collect()
}

/// Whether nothing can be said for want of a figure: what was not entered is neither better nor worse.
fn lacks(figure: &CompareFigure, quantity: Quantity) -> bool {
    let CompareFigure::Words(word) = figure else { return false };
    let of_circuit = matches!(quantity, Quantity::Flow | Quantity::VacuumLevel);
    matches!(word.as_str(), "not there" | "not stated") || (of_circuit && word == "no figure")
}

fn mass(report: &Report) -> CompareFigure {
    match &report.part {
        Some(part) => CompareFigure::Number(part.mass_kg),
        None => CompareFigure::Words("no figure".to_owned()),
    }
}

pub(super) fn same(from: &CompareFigure, to: &CompareFigure) -> bool {
    match (from, to) {
        (CompareFigure::Number(a), CompareFigure::Number(b)) => (a - b).abs() <= SAME * a.abs().max(b.abs()),
        _ => from == to,
    }
}
