//! Plots as lines and words: the envelope on the sheet, and plots alone as pictures.

mod alone;
pub(crate) mod chart;

pub use alone::{Plot, export_envelopes, export_plot};

use crate::chapters::limit_words;
use crate::context::Context;
use crate::frame::Rect;
use crate::labels::{AROUND, Label, Labels};
use crate::page::{Anchor, Contour, Dash, Item, Pen, Text, Tone, Weight};
use crate::style::{FINE, Style, THIN, left};
use crate::text_width::{CAP_HEIGHT, DESCENT, cut_to, ink_bounds, printable, text_width};
use analysis::EnvelopeReport;
use document::CupId;
use glam::{DVec2, dvec2};
use units::Quantity;

/// A curve that leaves the plot is cut this far beyond the last ring.
const BEYOND: f64 = 1.06;
/// A cup's piece of the curve is named when it is at least this long, mm.
const LEAST_NAMED: f64 = 5.0;

/// Line types of the curves in their order, so that they can be told apart without colour.
fn pen_of(index: usize) -> Pen {
    let dash = [Dash::Solid, Dash::Dashed, Dash::Chain][index % 3];
    let tone = if index / 3 == 0 { Tone::Ink } else { Tone::Second };
    Pen { width: if index == 0 { 0.45 } else { 0.4 }, dash, tone }
}

/// A round step that gives three to five rings up to `most`.
fn ring_step(most: f64) -> f64 {
    let raw = most / 4.0;
    let power = 10f64.powf(raw.log10().floor());
    [1.0, 2.0, 2.5, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| most / step <= 5.0)
        .unwrap_or(raw)
}

struct Polar {
    centre: DVec2,
    /// mm of paper per m/s².
    ratio: f64,
    /// Where curves without an end are cut, m/s².
    cut: f64,
}

impl Polar {
    fn at(&self, direction_deg: f64, acceleration: f64) -> DVec2 {
        let reach = acceleration.clamp(0.0, self.cut);
        self.centre + DVec2::from_angle(direction_deg.to_radians()) * reach * self.ratio
    }
}

/// Envelopes over each other in a square of this side, from its upper left corner; a name for each curve, or none when
/// there is only one. Along the first curve the cups that end it are named.
pub(crate) fn polar(
    context: &Context,
    curves: &[(&str, &EnvelopeReport)],
    side: f64,
    style: &Style,
) -> Vec<Item> {
    let unit = units::unit_of(Quantity::Acceleration, context.units);
    let finite = curves.iter().flat_map(|(_, e)| &e.points).map(|p| p.acceleration).filter(|a| a.is_finite());
    let most = finite.fold(0.0, f64::max);
    if most <= 0.0 || curves.iter().all(|(_, envelope)| envelope.points.len() < 3) {
        let says = "No acceleration in the plane is too much, as modelled.";
        return vec![left(dvec2(0.0, -style.body * 2.0), says, style.body, Weight::Regular, Tone::Second)];
    }
    let step = ring_step(most / unit.0) * unit.0;
    let rings = (most / step - 1e-9).ceil().max(1.0);
    let margin = style.small * 3.2;
    let room = Rect::new(dvec2(0.0, -side), dvec2(side, 0.0));
    let cut = rings * step * BEYOND;
    let polar = Polar { centre: dvec2(side / 2.0, -side / 2.0), ratio: (side / 2.0 - margin) / cut, cut };
    let mut items = Vec::new();
    let mut lines: Vec<Vec<DVec2>> = Vec::new();
    grid(&polar, rings, step, &mut items);
    for (index, (_, envelope)) in curves.iter().enumerate() {
        let points: Vec<DVec2> =
            envelope.points.iter().map(|p| polar.at(p.direction_deg, p.acceleration)).collect();
        let mut closed = points.clone();
        closed.extend(points.first().copied());
        lines.push(closed);
        items.push(Item::Polyline { points, closed: true, pen: pen_of(index) });
    }
    lines.extend([0.0, 90.0].map(|ray| vec![polar.at(ray + 180.0, polar.cut), polar.at(ray, polar.cut)]));
    let mut labels = Labels::new(room, &lines, Vec::new());
    scale_words(context, &polar, rings, step, &mut labels, style, &mut items);
    for (index, (name, envelope)) in curves.iter().enumerate() {
        weakest(context, &polar, envelope, index, name.is_empty(), &mut labels, style, &mut items);
        if !name.is_empty() {
            curve_name(&polar, name, envelope, index, &mut labels, style, &mut items);
        }
    }
    if let [(_, envelope)] = curves {
        governing(context, &polar, envelope, &mut labels, style, &mut items);
    }
    vec![Item::Group { name: "envelope".to_owned(), clip: None, items }]
}

/// Rings and rays no heavier than a hairline, and the two axes.
fn grid(polar: &Polar, rings: f64, step: f64, items: &mut Vec<Item>) {
    let pen = Pen::solid(FINE, Tone::Hairline);
    for ring in 1..=rings as usize {
        let radius = ring as f64 * step * polar.ratio;
        items.push(Item::Circle { centre: polar.centre, radius, pen: Some(pen), fill: None });
    }
    for ray in 0..12 {
        let at = |reach: f64| polar.at(f64::from(ray) * 30.0, reach);
        items.push(Item::Line { from: at(step * 0.5), to: at(polar.cut), pen });
    }
    for direction in [0.0, 90.0] {
        let pen = Pen::solid(THIN, Tone::Second);
        items.push(Item::Line {
            from: polar.at(direction + 180.0, polar.cut),
            to: polar.at(direction, polar.cut),
            pen,
        });
    }
}

fn scale_words(
    context: &Context,
    polar: &Polar,
    rings: f64,
    step: f64,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    let unit = units::unit_of(Quantity::Acceleration, context.units);
    let down = dvec2(0.0, -style.small * 0.33);
    for (direction, says, anchor, by) in [
        (0.0, "X", Anchor::Start, dvec2(0.8, 0.0) + down),
        (90.0, "Y", Anchor::Middle, dvec2(0.0, 0.9)),
        (180.0, "180°", Anchor::End, dvec2(-0.8, 0.0) + down),
        (270.0, "270°", Anchor::Middle, dvec2(0.0, -style.small * 0.95)),
    ] {
        let at = polar.at(direction, polar.cut) + by;
        let word = Text {
            at,
            text: says.to_owned(),
            size: style.small,
            weight: Weight::SemiBold,
            tone: Tone::Second,
            anchor,
            turn_deg: 0.0,
        };
        if let Some([min, max]) = ink_bounds(&word) {
            labels.take(&Rect::new(min, max));
        }
        items.push(Item::Text(word));
    }
    // From the outermost in; the first that finds a place carries the unit.
    let mut with_unit = true;
    for ring in (1..=rings as usize).rev() {
        let number = trimmed(ring as f64 * step / unit.0, context);
        let says = if with_unit { format!("{number} {}", unit.1) } else { number };
        for ray in [45.0, 135.0, 225.0, 315.0, 15.0, 75.0, 105.0, 165.0] {
            let at = polar.at(ray, ring as f64 * step);
            let tall = style.small * (CAP_HEIGHT + DESCENT);
            let half = dvec2(text_width(&says, Weight::Regular, style.small), tall) / 2.0;
            let place = Rect::new(at - half, at + half);
            if labels.clear(&place) {
                labels.take(&place);
                with_unit = false;
                let patch = Contour::rectangle(place.min - 0.2, place.max + 0.2);
                items.push(Item::Path { contours: vec![patch], pen: None, fill: Some(Tone::Paper) });
                let at = place.min + dvec2(0.0, style.small * DESCENT);
                items.push(left(at, &says, style.small, Weight::Regular, Tone::Second));
                break;
            }
        }
    }
}

fn trimmed(value: f64, context: &Context) -> String {
    context.units.marked(units::trimmed(&format!("{value:.3}")))
}

/// A dot at the weakest direction, with its figure when there is one curve only.
#[allow(clippy::too_many_arguments, reason = "what is drawn, where, how, and into what")]
fn weakest(
    context: &Context,
    polar: &Polar,
    envelope: &EnvelopeReport,
    index: usize,
    with_figure: bool,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    let point = &envelope.weakest;
    if !point.acceleration.is_finite() {
        return;
    }
    let at = polar.at(point.direction_deg, point.acceleration);
    let fill = if index == 0 { Tone::Ink } else { Tone::Paper };
    items.push(Item::Circle { centre: at, radius: 0.75, pen: Some(pen_of(0)), fill: Some(fill) });
    if !with_figure {
        return;
    }
    let says = format!("weakest {}", context.figure(point.acceleration, Quantity::Acceleration));
    let of = Rect::new(at - 0.9, at + 0.9);
    let label = Label { says: &says, size: style.small, weight: Weight::SemiBold, tone: Tone::Ink, of };
    items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
}

fn curve_name(
    polar: &Polar,
    name: &str,
    envelope: &EnvelopeReport,
    index: usize,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    let says = cut_to(&printable(name), Weight::SemiBold, style.small, 40.0);
    // Each curve asks first at another direction, so that names stand apart; outside its curve as long as it can.
    let count = envelope.points.len();
    let around: Vec<usize> = (0..count).step_by((count / 24).max(1)).collect();
    for (leader, outside) in [(false, true), (false, false), (true, true)] {
        for turn in 0..around.len() {
            let point = &envelope.points[around[(turn + 2 + index * 5) % around.len()]];
            let at = polar.at(point.direction_deg, point.acceleration);
            let of = Rect::new(at - 0.2, at + 0.2);
            let label =
                Label { says: &says, size: style.small, weight: Weight::SemiBold, tone: Tone::Ink, of };
            let out = (at - polar.centre).normalize_or(DVec2::X);
            let sign = |part: f64| if part.abs() < 0.38 { 0.0 } else { part.signum() };
            let outward = [(sign(out.x), sign(out.y))];
            let directions: &[(f64, f64)] = if outside { &outward } else { &AROUND };
            if let Some(placed) = labels.place(&label, directions, leader) {
                items.extend(placed);
                return;
            }
        }
    }
}

/// Neighbouring directions that the same cup ends.
fn runs(envelope: &EnvelopeReport) -> Vec<(CupId, analysis::LipLimit, usize, usize)> {
    let points = &envelope.points;
    let mut runs: Vec<(CupId, analysis::LipLimit, usize, usize)> = Vec::new();
    for (index, point) in points.iter().enumerate() {
        match runs.last_mut() {
            Some((cup, limit, _, end)) if *cup == point.cup && *limit == point.limit => *end = index,
            _ => runs.push((point.cup, point.limit, index, index)),
        }
    }
    // The last run may go on where the first began.
    if runs.len() > 1
        && let (Some(first), Some(last)) = (runs.first().copied(), runs.last().copied())
        && (first.0, first.1) == (last.0, last.1)
    {
        runs.remove(0);
        if let Some(joined) = runs.last_mut() {
            joined.3 = first.3 + points.len();
        }
    }
    runs
}

/// Ticks where one cup takes over from another, and the cup's tag along its piece.
fn governing(
    context: &Context,
    polar: &Polar,
    envelope: &EnvelopeReport,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    let points = &envelope.points;
    let at = |index: usize| {
        let point = &points[index % points.len()];
        polar.at(point.direction_deg, point.acceleration)
    };
    let runs = runs(envelope);
    for (cup, limit, start, end) in &runs {
        if runs.len() > 1 {
            let here = at(*start);
            let out = (here - polar.centre).normalize_or(DVec2::X);
            let pen = Pen::solid(THIN, Tone::Ink);
            items.push(Item::Line { from: here - out * 0.9, to: here + out * 0.9, pen });
        }
        let length: f64 = (*start..*end).map(|index| at(index).distance(at(index + 1))).sum();
        if length < LEAST_NAMED || points[(start + end) / 2 % points.len()].acceleration.is_infinite() {
            continue;
        }
        let middle = at((start + end) / 2);
        let says = format!("{} {}", context.tag(*cup), limit_words(*limit));
        let says = printable(&says);
        let of = Rect::new(middle - 0.3, middle + 0.3);
        let label = Label { says: &says, size: style.small, weight: Weight::Regular, tone: Tone::Ink, of };
        items.extend(labels.place(&label, &AROUND, false).unwrap_or_default());
    }
}

/// The envelopes that there are, with the names of their layouts.
pub(crate) fn curves_of(comparison: &telling::Comparison) -> Vec<(&str, &EnvelopeReport)> {
    comparison
        .layouts
        .iter()
        .zip(&comparison.envelopes)
        .filter_map(|((_, name), envelope)| Some((name.as_str(), envelope.as_ref()?)))
        .collect()
}
