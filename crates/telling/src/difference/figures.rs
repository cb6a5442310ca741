//! Figures of both sides, paired.

use super::FigureChange;
use crate::compare::{
    CompareFigure::{self, Unknown},
    CompareRow,
    rows::rows_of,
};
use analysis::{Report, Side, Support};
use document::{Motion, MotionId, Project};
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
    let mut rows = rows_of(&motions, &sides, &Support::of_a_change(sides.len()));
    rows.push(CompareRow {
        name: "Mass of the part".to_owned(),
        quantity: Quantity::Mass,
        figures: [before, after].map(|report| mass(report)).to_vec(),
        better: None,
        motion: None,
        of_motions: false,
    });
    let part = |report: &Report| report.part.as_ref().map(|part| part.id);
    let same_part = part(before) == part(after);
    let same_motions = motions.iter().all(|(id, _)| same_motion(old, new, *id));
    rows.into_iter()
        .filter_map(|row| {
            let CompareRow { name, quantity, mut figures, better, motion, of_motions } = row;
            let (to, from) = (figures.pop()?, figures.pop()?);
            let keep = motion.is_some() || !same(&from, &to);
            // Of another part, or of other motions, a figure is another one, neither better nor worse.
            let alike = same_part
                && match motion {
                    Some(id) => same_motion(old, new, id),
                    None => !of_motions || same_motions,
                };
            let better = better
                .map(|side| side == 1)
                .filter(|_| alike && !matches!((&from, &to), (Unknown(_), _) | (_, Unknown(_))));
            keep.then_some(FigureChange { name, quantity, from, to, better, layout: after.layout, motion })
        })
        .collect()
}

/// Whether a motion asks the same in both, whatever its name.
fn same_motion(old: &Project, new: &Project, id: MotionId) -> bool {
    let (Some(was), Some(is)) = (old.motion(id), new.motion(id)) else { return false };
    **was == Motion { name: was.name.clone(), ..Motion::clone(is) }
}

fn mass(report: &Report) -> CompareFigure {
    match &report.part {
        Some(part) => CompareFigure::Number(part.mass_kg),
        None => CompareFigure::Words("no result".to_owned()),
    }
}

pub(super) fn same(from: &CompareFigure, to: &CompareFigure) -> bool {
    match (from, to) {
        (CompareFigure::Number(a), CompareFigure::Number(b)) => (a - b).abs() <= SAME * a.abs().max(b.abs()),
        (
            CompareFigure::Factor { factor: a, required },
            CompareFigure::Factor { factor: b, required: now },
        ) => required == now && (a - b).abs() <= SAME * a.abs().max(b.abs()),
        _ => from == to,
    }
}
