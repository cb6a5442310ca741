//! A cup on the plan: lip, sealing line, bore, centre marks, and what of the lip hangs over.

use crate::hatch;
use crate::outline::{contour_of, flat};
use crate::page::{Contour, Dash, Item, Pen, Step, Tone};
use crate::style::{MEDIUM, THIN};
use crate::view::View;
use analysis::CupReport;
use document::CupModel;
use geometry::{Lip, LipShape};
use glam::DVec2;

/// A sealing line closer to the lip than this on the paper would run into it and is left out.
const LEAST_FOR_SEALING: f64 = 0.42;
/// Thinner details than this would be lost in the line.
const LEAST_BORE: f64 = 0.35;

/// Smaller lips on the paper are not hatched: the lines would fill them.
const LEAST_HATCHED: f64 = 4.0;

/// The lip as it lies on the paper.
pub(crate) fn lip_contour(cup: &CupReport, shape: LipShape, view: &View) -> Option<Contour> {
    let lip = Lip { shape, at: cup.at, turn: cup.turn_deg.to_radians() };
    contour_of(&lip.outline(), view)
}

/// Half size of the upright box around the lip on the paper.
pub(crate) fn half_box(contour: &Contour) -> (DVec2, DVec2) {
    let points = flat(contour);
    points
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(min, max), point| (min.min(*point), max.max(*point)))
}

/// What of a cup is drawn at a scale besides its lip and its centre marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Drawn {
    pub sealing: bool,
    pub bore: bool,
    pub hatching: bool,
}

pub(crate) fn drawn(cup: &CupReport, model: Option<&CupModel>, ratio: f64) -> Drawn {
    let size = cup.shape.size() * ratio;
    Drawn {
        sealing: (size - cup.sealing.size() * ratio).min_element() / 2.0 >= LEAST_FOR_SEALING,
        bore: model.is_some_and(|m| m.bore_mm / 2.0 * ratio >= LEAST_BORE),
        hatching: size.min_element() >= LEAST_HATCHED,
    }
}

/// Hatching of its zone, lip, sealing line, bore and centre marks.
pub(crate) fn draw(cup: &CupReport, model: Option<&CupModel>, view: &View, zone: Option<usize>) -> Vec<Item> {
    let at = view.at(cup.at);
    let size = cup.shape.size() * view.ratio;
    let shown = drawn(cup, model, view.ratio);
    let bore = model.map(|m| m.bore_mm / 2.0 * view.ratio).filter(|_| shown.bore);
    let mut items = Vec::new();
    if let Some(zone) = zone.filter(|_| shown.hatching) {
        let mut shapes: Vec<Vec<DVec2>> = lip_contour(cup, cup.shape, view).iter().map(flat).collect();
        shapes.extend(bore.map(|radius| flat(&disc(at, radius))));
        items.extend(hatch::lines(&shapes, hatch::of_zone(zone), Tone::Second));
    }
    let mut ring = |shape: LipShape, pen: Pen| match shape {
        LipShape::Round { diameter } => {
            let radius = diameter / 2.0 * view.ratio;
            items.push(Item::Circle { centre: at, radius, pen: Some(pen), fill: None });
        }
        _ => {
            let contours: Vec<Contour> = lip_contour(cup, shape, view).into_iter().collect();
            items.push(Item::Path { contours, pen: Some(pen), fill: None });
        }
    };
    ring(cup.shape, Pen::solid(MEDIUM, Tone::Ink));
    if shown.sealing {
        ring(cup.sealing, Pen { width: THIN, dash: Dash::Dashed, tone: Tone::Ink });
    }
    if let Some(radius) = bore {
        let pen = Some(Pen::solid(THIN, Tone::Ink));
        items.push(Item::Circle { centre: at, radius, pen, fill: None });
    }
    let beyond = (size.min_element() * 0.18).clamp(0.5, 1.4);
    let long = view.along(DVec2::from_angle(cup.turn_deg.to_radians()));
    for (direction, length) in [(long, size.x), (long.perp(), size.y)] {
        let half = direction * (length / 2.0 + beyond);
        items.push(Item::Line { from: at - half, to: at + half, pen: centre_pen(length) });
    }
    items
}

/// A circle as a contour.
pub(crate) fn disc(centre: DVec2, radius: f64) -> Contour {
    let whole = Step::Arc { centre, radius, start: 0.0, sweep: std::f64::consts::TAU };
    Contour { from: centre + DVec2::X * radius, steps: vec![whole], closed: true }
}

/// Chain line, or a plain thin one where a chain would not show.
pub(crate) fn centre_pen(length: f64) -> Pen {
    // ISO 128: thin and unbroken where a chain would have hardly more than a dash (limit from memory).
    let dash = if length < 12.0 { Dash::Solid } else { Dash::Chain };
    Pen { width: 0.13, dash, tone: Tone::Second }
}
