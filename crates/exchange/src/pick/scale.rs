//! The scale of the sheet: by what dimensions print against what is drawn, and by what the title block says.

use super::frame::Frame;
use super::told;
use crate::choice::{Choice, Instead};
use crate::marks::Markings;
use crate::words::{self, StatedScale};
use crate::{DrawingUnit, ImportOptions};
use glam::DVec2;
use units::Worded;

/// Scales that drawings are made in, as times the part is larger than drawn.
///
/// # Source
/// ISO 5455 (1:1, 1:2, 1:5, 1:10 ... and 2:1, 5:1, 10:1 ...), with 2.5, 4, 20 and 25 in use beside it; from memory.
const SCALES: [f64; 20] = [
    2.0,
    2.5,
    4.0,
    5.0,
    10.0,
    15.0,
    20.0,
    25.0,
    50.0,
    100.0,
    200.0,
    0.5,
    0.4,
    0.25,
    0.2,
    0.1,
    0.05,
    0.02,
    // Millimetres that were written as pixels: 96 to the inch as in browsers, 72 as in programs for printing.
    96.0 / 25.4,
    72.0 / 25.4,
];

/// Dimensions looked at.
const MOST: usize = 2_000;

/// What the scale was decided by.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reason {
    /// The scale taken.
    taken: f64,
    /// The other one.
    other: f64,
    why: Worded,
}

impl Reason {
    /// As a choice; `size` is that of the part as taken, mm.
    pub(super) fn choice(self, size: DVec2) -> Choice {
        let Self { taken, other, why } = self;
        let as_large = |times: f64| {
            if (times - 1.0).abs() < 1e-9 {
                "as drawn".to_owned()
            } else {
                format!("{} times as large as drawn", told::times(times))
            }
        };
        Choice {
            says: Worded::new(
                "{}; the part is read {}, {}",
                [why.into(), as_large(taken).into(), told::size(size)],
            ),
            other: Worded::new(
                "read it {}, {}",
                [as_large(other).into(), told::size(size * (other / taken))],
            ),
            instead: Instead::Scale(other),
            at: None,
            doubtful: true,
        }
    }
}

/// The scale, and why where it is not plain.
pub(super) struct Decided {
    pub(super) scale: f64,
    pub(super) choice: Option<Reason>,
}

/// Decides the scale; dimensions `across` a break say nothing of it.
pub(super) fn decide(
    marks: &Markings,
    across: &[usize],
    frames: &[Frame],
    options: &ImportOptions,
    unit: DrawingUnit,
) -> Decided {
    if let Some(scale) = options.scale.filter(|s| s.is_finite() && *s > 0.0) {
        return Decided { scale, choice: None };
    }
    let printed = by_dimensions(marks, across, unit);
    let stated = by_title(marks);
    let decided = |scale: f64, other: f64, why: Worded| Decided {
        scale,
        choice: Some(Reason { taken: scale, other, why }),
    };
    let same = |a: f64, b: f64| (a / b - 1.0).abs() < 0.01;
    match (printed, stated) {
        (Some(p), stated) if !same(p.times, 1.0) => {
            let also = stated.filter(|s| same(s.times, p.times));
            let says = Worded::new(
                "a dimension prints {} where {} is drawn{}",
                [
                    told::times(p.example.0).into(),
                    units::Part::Length(p.example.1),
                    if also.is_some() { ", and the title block says the same scale" } else { "" }.into(),
                ],
            );
            // One figure alone may be a dimension that somebody typed over.
            if p.count > 1 || also.is_some() {
                decided(p.times, 1.0, says)
            } else {
                decided(1.0, p.times, says)
            }
        }
        (Some(_), _) | (None, None) => Decided { scale: 1.0, choice: None },
        (None, Some(s)) if same(s.times, 1.0) => Decided { scale: 1.0, choice: None },
        (None, Some(s)) => {
            let says = format!("the drawing states a scale of {}", ratio(s.times));
            let sheet = |scale: f64| frames.iter().filter_map(|f| f.sheet).any(|f| same(f.scale, scale));
            // A sheet that is itself drawn larger shows the part in its own size.
            if sheet(s.times) {
                Decided { scale: 1.0, choice: None }
            } else if sheet(1.0) {
                decided(s.times, 1.0, format!("{says} and its sheet has the size of paper").into())
            } else if s.named {
                decided(1.0, s.times, says.into())
            } else {
                Decided { scale: 1.0, choice: None }
            }
        }
    }
}

fn ratio(times: f64) -> String {
    if times >= 1.0 { format!("1:{}", told::times(times)) } else { format!("{}:1", told::times(1.0 / times)) }
}

struct Printed {
    times: f64,
    count: usize,
    /// What is printed, and how many mm are drawn there.
    example: (f64, f64),
}

/// How much larger dimensions print than is drawn; 1 where they agree with some unit.
fn by_dimensions(marks: &Markings, across: &[usize], unit: DrawingUnit) -> Option<Printed> {
    let mut votes: Vec<(f64, f64, f64, f64)> = Vec::new();
    for (i, d) in marks.dimensions.iter().enumerate().take(MOST) {
        if across.contains(&i) {
            continue;
        }
        let Some(figure) = d.printed.filter(|_| d.measured > 0.0) else { continue };
        let slack = figure.within / figure.value + 2e-3;
        if slack < 0.05 {
            votes.push((figure.value / d.measured, slack, figure.value, d.measured));
        }
    }
    // Dimensions are printed in some unit, most likely the drawing's or mm.
    let prints = [unit.mm(), 1.0, DrawingUnit::Inch.mm(), 10.0, 1000.0];
    let agrees =
        |(k, slack, _, _): &(f64, f64, f64, f64)| prints.iter().any(|u| (k * u - 1.0).abs() <= *slack);
    let agreeing = votes.iter().filter(|v| agrees(v)).count();
    if agreeing > 0 && 2 * agreeing >= votes.len() {
        return Some(Printed { times: 1.0, count: agreeing, example: (0.0, 0.0) });
    }
    let mut best: Option<Printed> = None;
    for u in [unit.mm(), 1.0, DrawingUnit::Inch.mm()] {
        for times in SCALES {
            let fits: Vec<_> = votes.iter().filter(|v| (v.0 * u / times - 1.0).abs() <= v.1).collect();
            let longest = fits.iter().max_by(|a, b| a.2.total_cmp(&b.2));
            if let Some(longest) = longest
                && 2 * fits.len() > votes.len()
                && best.as_ref().is_none_or(|b| fits.len() > b.count)
            {
                best = Some(Printed { times, count: fits.len(), example: (longest.2, longest.3) });
            }
        }
    }
    best
}

/// Another unit, where figures that state theirs say so: 16" over what is 16 of the drawing's millimetres.
pub(super) fn unit_choice(
    marks: &Markings,
    options: &ImportOptions,
    unit: DrawingUnit,
    size: DVec2,
) -> Option<Choice> {
    if options.unit.is_some() || options.scale.is_some() {
        return None;
    }
    let stated = marks.dimensions.iter().take(MOST).filter_map(|d| Some((d.printed?, d.printed?.unit?, d)));
    let stated: Vec<_> = stated.filter(|(_, _, d)| d.measured > 0.0).collect();
    let fits = |other: DrawingUnit| {
        let agrees =
            |(figure, states, d): &&(crate::marks::Figure, DrawingUnit, &crate::marks::Dimension)| {
                let drawn = d.measured / unit.mm() * other.mm();
                let slack = figure.within / figure.value + 2e-3;
                slack < 0.05 && (figure.value * states.mm() / drawn - 1.0).abs() <= slack
            };
        stated.iter().filter(agrees).count()
    };
    let units = [DrawingUnit::Inch, DrawingUnit::Millimetre, DrawingUnit::Centimetre, DrawingUnit::Metre];
    let other = units.into_iter().filter(|u| *u != unit).max_by_key(|u| fits(*u))?;
    (fits(other) > fits(unit)).then(|| {
        let says = Worded::new(
            "dimensions state {}, and agree with the drawing if it is in {}; it is read in {}, the part is {}",
            [
                stated[0].1.plural().into(),
                other.plural().into(),
                unit.plural().into(),
                told::size(size),
            ],
        );
        told::other_unit(says, unit, other, size)
    })
}

/// The scale that texts state: the named ones where they agree, else the only one there is.
fn by_title(marks: &Markings) -> Option<StatedScale> {
    let all: Vec<StatedScale> =
        marks.texts.iter().take(MOST).filter_map(|t| words::scale_in(&t.says)).collect();
    let named: Vec<StatedScale> = all.iter().copied().filter(|s| s.named).collect();
    let list = if named.is_empty() { all } else { named };
    let first = list.first().copied()?;
    list.iter().all(|s| (s.times / first.times - 1.0).abs() < 1e-6).then_some(first)
}
