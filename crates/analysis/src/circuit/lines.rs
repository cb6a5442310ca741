//! Hoses, fittings and restrictions of the document as the engine takes them, and the words for them.

use document::{FittingKind as Kind, FittingUse, Line};
use vacuum::{Coil, Fitting, FittingKind, Hose, Restriction};

/// Hose between ends that coincide, mm.
const SHORTEST_MM: f64 = 1.0;

/// A restriction by its two figures.
pub(crate) fn restriction(stated: document::Restriction) -> Restriction {
    Restriction { conductance_dm3_s_bar: stated.c_dm3_s_bar, critical_ratio: stated.b }
}

/// A hose with its fittings, each fitting once per piece, in the order of the document; `from_rest` as at a cup, where the air
/// enters through a sharp edge.
pub(super) fn line(line: &Line, cut_mm: f64, from_rest: bool) -> vacuum::Line {
    let coil = line
        .coil
        .filter(|coil| coil.turns != 0.0)
        .map(|coil| Coil { length_mm: coil.length_mm(), diameter_mm: coil.diameter_mm });
    // Ends that coincide still need a piece of hose between them.
    let cut_mm = if cut_mm == 0.0 { SHORTEST_MM } else { cut_mm };
    let hose = Hose { coil, ..Hose::new(cut_mm, line.bore_mm) };
    // Behind an open cup the air's own acceleration counts.
    let mut made = vacuum::Line::hose(hose).with_acceleration();
    for used in &line.fittings {
        for _ in 0..used.count {
            made = made.with(Fitting::new(kind(used.kind), line.bore_mm));
        }
    }
    if from_rest { made.open_ended() } else { made }
}

const fn kind(kind: Kind) -> FittingKind {
    match kind {
        Kind::Elbow90 => FittingKind::Elbow90,
        Kind::Elbow45 => FittingKind::Elbow45,
        Kind::TeeRun => FittingKind::TeeRun,
        Kind::TeeBranch => FittingKind::TeeBranch,
        Kind::SweptRun => FittingKind::SweptRun,
        Kind::SweptBranch => FittingKind::SweptBranch,
        Kind::Straight => FittingKind::Straight,
    }
}

/// The word for a fitting.
pub(crate) const fn fitting_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Elbow90 => "elbow 90°",
        Kind::Elbow45 => "elbow 45°",
        Kind::TeeRun => "tee, run",
        Kind::TeeBranch => "tee, branch",
        Kind::SweptRun => "swept Y, run",
        Kind::SweptBranch => "swept Y, branch",
        Kind::Straight => "straight coupling",
    }
}

pub(super) fn fittings_text(line: &Line) -> String {
    let each = |used: &FittingUse| match used.count {
        1 => fitting_word(used.kind).to_owned(),
        count => format!("{count} × {}", fitting_word(used.kind)),
    };
    let used: Vec<String> = line.fittings.iter().filter(|used| used.count > 0).map(each).collect();
    used.join("; ")
}
