//! Hoses, fittings and restrictions of the document as the engine takes them, and the words for them.

use crate::report::ElementOf;
use document::{FittingKind as Kind, FittingLoss, FittingUse, Line};
use units::{Part, Quantity, Worded};
use vacuum::{Coil, Fitting, FittingKind, Hose, LossMethod, Restriction};

/// Hose between ends that coincide, mm.
const SHORTEST_MM: f64 = 1.0;
/// Bores that differ by less than this are one, mm.
const SAME_BORE_MM: f64 = 1e-6;
/// Radius over bore of a wide bend: the table and both methods with constants have their least loss there.
const WIDE: f64 = 3.0;

/// A restriction by its two figures.
pub(crate) fn restriction(stated: document::Restriction) -> Restriction {
    Restriction { conductance_dm3_s_bar: stated.c_dm3_s_bar, critical_ratio: stated.b }
}

/// The method of the engine for a circuit's choice.
pub(super) const fn method(loss: FittingLoss) -> LossMethod {
    match loss {
        FittingLoss::MoreCareful => LossMethod::MoreCareful,
        FittingLoss::Table => LossMethod::Multiple,
        FittingLoss::TwoConstant => LossMethod::TwoK,
        FittingLoss::ThreeConstant => LossMethod::ThreeK,
    }
}

/// Where the air turns at the end of a hose, besides the fittings that somebody listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turn {
    /// Out of a branch into the channel of a manifold: the branch of a tee.
    PortTee,
    /// Out of a manifold's end or a parting point into a hose, or to such a point: a sharp entrance.
    Entry,
}

impl Turn {
    const fn kind(self) -> FittingKind {
        match self {
            Self::PortTee => FittingKind::TeeBranch,
            Self::Entry => FittingKind::Entrance,
        }
    }

    const fn of(self) -> ElementOf {
        match self {
            Self::PortTee => ElementOf::PortTee,
            Self::Entry => ElementOf::Entry,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::PortTee => "tee at the port",
            Self::Entry => "entry",
        }
    }
}

/// Some of the fittings of a line, as the report tells them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Piece {
    pub of: ElementOf,
    /// "2 × elbow 90°".
    pub what: Worded,
    /// How many of the engine's fittings it is, in their order.
    pub fittings: usize,
    /// mm.
    pub bore_mm: f64,
    /// The method of its loss.
    pub method: &'static str,
}

/// A line of the engine with its fittings in the words of the report.
pub(super) struct Made {
    pub line: vacuum::Line,
    /// In the order of the engine's fittings; what the air loses at the cup's end stands behind them.
    pub pieces: Vec<Piece>,
    /// Fittings by what their maker states: elements of their own behind the line.
    pub stated: Vec<Stated>,
}

/// One fitting by what its maker states.
pub(super) struct Stated {
    pub kind: Kind,
    /// "elbow 90°, stated C 0.5 dm³/(s·bar)".
    pub what: Worded,
    pub through: Restriction,
    pub bore_mm: f64,
}

/// A hose with its fittings, each fitting once per piece, in the order of the document; `from_rest` as at a cup, where the air
/// enters through a sharp edge.
pub(super) fn line(line: &Line, cut_mm: f64, by: FittingLoss, turn: Option<Turn>, from_rest: bool) -> Made {
    let coil = line
        .coil
        .filter(|coil| coil.turns != 0.0)
        .map(|coil| Coil { length_mm: coil.length_mm(), diameter_mm: coil.diameter_mm });
    // Ends that coincide still need a piece of hose between them.
    let cut_mm = if cut_mm == 0.0 { SHORTEST_MM } else { cut_mm };
    let hose = Hose { coil, ..Hose::new(cut_mm, line.bore_mm) };
    // Behind an open cup the air's own acceleration counts.
    let mut made = vacuum::Line::hose(hose).with_acceleration();
    let (mut pieces, mut stated) = (Vec::new(), Vec::new());
    for used in line.fittings.iter().filter(|used| used.count > 0) {
        let bore_mm = used.bore_mm.unwrap_or(line.bore_mm);
        if let Some(flow) = used.flow {
            let what =
                Worded::new("{}, stated C {}", [word(used.kind).into(), conductance(flow.c_dm3_s_bar)]);
            let (kind, through) = (used.kind, restriction(flow));
            stated.extend((0..used.count).map(|_| Stated { kind, what: what.clone(), through, bore_mm }));
            continue;
        }
        let one = Fitting::new(kind(used.kind), bore_mm).by(method(by));
        let necks = necks(bore_mm, line.bore_mm);
        for _ in 0..used.count {
            made = necks.iter().fold(made.with(one), |made, neck| made.with(*neck));
        }
        let own = used.bore_mm.map(own_bore).unwrap_or_default();
        let method = one.method_used().map_or("", LossMethod::word);
        let what = Worded::text(times(used, word(used.kind))).and(own);
        pieces.push(Piece {
            of: ElementOf::Fitting(used.kind),
            what: what.and(Worded::text(format!(", {method}"))),
            fittings: used.count as usize * (1 + necks.len()),
            bore_mm,
            method,
        });
    }
    if let Some(turn) = turn {
        let one = Fitting::new(turn.kind(), line.bore_mm).by(method(by));
        made = made.with(one);
        // An entrance loses half a dynamic head by every handbook.
        let method = one.method_used().map_or("K 0.5", LossMethod::word);
        let what = Worded::text(format!("{}, {method}", turn.word()));
        pieces.push(Piece { of: turn.of(), what, fittings: 1, bore_mm: line.bore_mm, method });
    }
    Made { line: if from_rest { made.open_ended() } else { made }, pieces, stated }
}

/// What the change of bore into a fitting and out of it loses, referred to the smaller bore; nothing where bores are alike.
fn necks(fitting_mm: f64, hose_mm: f64) -> Vec<Fitting> {
    if (fitting_mm - hose_mm).abs() < SAME_BORE_MM {
        return Vec::new();
    }
    let (small, large) = (fitting_mm.min(hose_mm), fitting_mm.max(hose_mm));
    vec![
        Fitting::new(FittingKind::Contraction { from_mm: large }, small),
        Fitting::new(FittingKind::Expansion { to_mm: large }, small),
    ]
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
        Kind::WideBend => FittingKind::Bend { radius_over_bore: WIDE },
    }
}

/// The word for a fitting.
const fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Elbow90 => "elbow 90°",
        Kind::Elbow45 => "elbow 45°",
        Kind::TeeRun => "tee, run",
        Kind::TeeBranch => "tee, branch",
        Kind::SweptRun => "swept Y, run",
        Kind::SweptBranch => "swept Y, branch",
        Kind::Straight => "straight coupling",
        Kind::WideBend => "wide bend",
    }
}

fn times(used: &FittingUse, word: &str) -> String {
    if used.count == 1 { word.to_owned() } else { format!("{} × {word}", used.count) }
}

pub(super) fn fittings_text(line: &Line) -> Worded {
    let each = |used: &FittingUse| {
        let bore = used.bore_mm.map(own_bore).unwrap_or_default();
        let flow = used.flow.map_or_else(Worded::default, |flow| {
            Worded::new(", C {}, b {}", [conductance(flow.c_dm3_s_bar), (flow.b, Quantity::Ratio).into()])
        });
        Worded::text(times(used, word(used.kind))).and(bore).and(flow)
    };
    Worded::joined(line.fittings.iter().filter(|used| used.count > 0).map(each), "; ")
}

fn own_bore(mm: f64) -> Worded {
    Worded::new(", bore {}", [(mm, Quantity::Length).into()])
}

/// C, dm³/(s·bar), in its place in a text.
pub(super) fn conductance(dm3_s_bar: f64) -> Part {
    (dm3_s_bar, Quantity::Conductance).into()
}
