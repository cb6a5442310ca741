//! What was elsewhere before: dashed lips and outlines under a plan, with arrows to where things are now.

use crate::context::Context;
use crate::cups;
use crate::frame::Rect;
use crate::labels::{AROUND, Label, Labels};
use crate::outline::{contour_of, flat};
use crate::page::{Contour, Dash, Item, Pen, Step, Tone, Weight};
use crate::style::{MEDIUM, Style, THIN};
use crate::text_width::{cut_to, printable};
use crate::view::View;
use geometry::Lip;
use glam::DVec2;
use telling::Elsewhere;

/// New cups stand where their lips are in the report.
const SAME: f64 = 1e-6;

/// Corners of all that is drawn, mm on the part.
pub(crate) fn extent(ghosts: &Elsewhere) -> Vec<[DVec2; 2]> {
    let lips = ghosts.cups.iter().filter_map(|ghost| ghost.lip?.outline().bounds());
    let outline = ghosts.outline.iter().filter_map(|outline| outline.outer.bounds());
    lips.chain(outline).map(|bounds| [bounds.min, bounds.max]).collect()
}

const PEN: Pen = Pen { width: 0.22, dash: Dash::Dashed, tone: Tone::Ink };

/// Draws the older lips, outline and arrows; returns the lines that texts keep off.
pub(crate) fn draw(ghosts: &Elsewhere, view: &View, items: &mut Vec<Item>) -> Vec<Vec<DVec2>> {
    let mut lines = Vec::new();
    let mut drawn = Vec::new();
    let outlines =
        ghosts.outline.iter().flat_map(|outline| std::iter::once(&outline.outer).chain(&outline.holes));
    let lips: Vec<_> = ghosts.cups.iter().filter_map(|ghost| Some(ghost.lip?.outline())).collect();
    for contour in outlines.chain(&lips).filter_map(|boundary| contour_of(boundary, view)) {
        let mut points = flat(&contour);
        points.push(contour.from);
        lines.push(points);
        drawn.push(Item::Path { contours: vec![contour], pen: Some(PEN), fill: None });
    }
    for ghost in &ghosts.cups {
        if let Some(to) = ghost.to {
            let (from, to) = (view.at(ghost.at), view.at(to));
            lines.push(vec![from, to]);
            drawn.extend(arrow(from, to));
        }
    }
    if !drawn.is_empty() {
        items.push(Item::Group { name: "as it was".to_owned(), clip: None, items: drawn });
    }
    lines
}

/// A line with a filled head, which is smaller on a short way.
fn arrow(from: DVec2, to: DVec2) -> Vec<Item> {
    let way = to - from;
    let Some(along) = way.try_normalize() else { return Vec::new() };
    let length = (way.length() * 0.45).min(2.4);
    let base = to - along * length;
    let side = along.perp() * length * 0.3;
    let head =
        Contour { from: to, steps: vec![Step::Line(base + side), Step::Line(base - side)], closed: true };
    vec![
        Item::Line { from, to: base, pen: Pen::solid(MEDIUM, Tone::Ink) },
        Item::Path {
            contours: vec![head],
            pen: Some(Pen::solid(THIN * 0.5, Tone::Ink)),
            fill: Some(Tone::Ink),
        },
    ]
}

/// Distances and words beside the arrows and the older lips.
pub(crate) fn names(
    context: &Context,
    ghosts: &Elsewhere,
    view: &View,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    for ghost in &ghosts.cups {
        let says = cut_to(&printable(&ghost.says()), Weight::SemiBold, style.small, 60.0);
        let middle = ghost.to.map(|to| view.at(ghost.at.midpoint(to)));
        let around_lip = |lip: &Lip| {
            let contour = contour_of(&lip.outline(), view)?;
            let (min, max) = cups::half_box(&contour);
            Some(Rect::new(min, max))
        };
        let of = match middle {
            Some(at) => Rect::new(at - 0.4, at + 0.4),
            None => {
                // A cup that is new has its own lip to keep off.
                let is = context.report.cups.iter().find(|cup| cup.at.distance(ghost.at) < SAME);
                let now = is.map(|cup| Lip { shape: cup.shape, at: cup.at, turn: cup.turn_deg.to_radians() });
                let at = view.at(ghost.at);
                ghost.lip.or(now).as_ref().and_then(around_lip).unwrap_or(Rect::new(at - 1.0, at + 1.0))
            }
        };
        let label = Label { says: &says, size: style.small, weight: Weight::SemiBold, tone: Tone::Ink, of };
        items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
    }
}
