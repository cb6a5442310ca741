//! A cup on the plan: lip, sealing line, bore, centre marks, and what of the lip hangs over.

use crate::outline::{contour_of, flat};
use crate::page::{Contour, Dash, Item, Pen, Tone};
use crate::style::{MEDIUM, THIN};
use analysis::CupReport;
use document::CupModel;
use geometry::{Lip, LipShape};
use glam::DVec2;

/// A sealing line closer to the lip than this on the paper would run into it and is left out.
const LEAST_FOR_SEALING: f64 = 0.42;
/// Thinner details than this would be lost in the line.
const LEAST_BORE: f64 = 0.35;

/// The lip as it lies on the paper.
pub(crate) fn lip_contour(
    cup: &CupReport,
    shape: LipShape,
    paper: impl Fn(DVec2) -> DVec2,
    ratio: f64,
) -> Option<Contour> {
    let lip = Lip { shape, at: cup.at, turn: cup.turn_deg.to_radians() };
    contour_of(&lip.outline(), paper, ratio)
}

/// Half size of the upright box around the lip on the paper.
pub(crate) fn half_box(contour: &Contour) -> (DVec2, DVec2) {
    let points = flat(contour);
    points
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(min, max), point| (min.min(*point), max.max(*point)))
}

/// Lip, sealing line, bore and centre marks.
pub(crate) fn draw(
    cup: &CupReport,
    model: Option<&CupModel>,
    paper: impl Fn(DVec2) -> DVec2,
    ratio: f64,
) -> Vec<Item> {
    let at = paper(cup.at);
    let size = cup.shape.size() * ratio;
    let mut items = Vec::new();
    let mut ring = |shape: LipShape, pen: Pen| match shape {
        LipShape::Round { diameter } => {
            let radius = diameter / 2.0 * ratio;
            items.push(Item::Circle { centre: at, radius, pen: Some(pen), fill: None });
        }
        _ => {
            let contours: Vec<Contour> = lip_contour(cup, shape, &paper, ratio).into_iter().collect();
            items.push(Item::Path { contours, pen: Some(pen), fill: None });
        }
    };
    ring(cup.shape, Pen::solid(MEDIUM, Tone::Ink));
    if (size - cup.sealing.size() * ratio).min_element() / 2.0 >= LEAST_FOR_SEALING {
        ring(cup.sealing, Pen { width: THIN, dash: Dash::Dashed, tone: Tone::Ink });
    }
    if let Some(radius) = model.map(|m| m.bore_mm / 2.0 * ratio).filter(|r| *r >= LEAST_BORE) {
        let pen = Some(Pen::solid(THIN, Tone::Ink));
        items.push(Item::Circle { centre: at, radius, pen, fill: None });
    }
    let beyond = (size.min_element() * 0.18).clamp(0.5, 1.4);
    let long = DVec2::from_angle(cup.turn_deg.to_radians());
    for (direction, length) in [(long, size.x), (long.perp(), size.y)] {
        let half = direction * (length / 2.0 + beyond);
        items.push(Item::Line { from: at - half, to: at + half, pen: centre_pen(length) });
    }
    items
}

/// Chain line, or a plain thin one where a chain would not show.
pub(crate) fn centre_pen(length: f64) -> Pen {
    let dash = if length < 6.0 { Dash::Solid } else { Dash::Chain };
    Pen { width: 0.13, dash, tone: Tone::Second }
}
