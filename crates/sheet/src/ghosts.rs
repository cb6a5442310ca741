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
use document::{Cup, LayoutId, Project};
use geometry::{Lip, LipShape, Outline};
use glam::DVec2;
use std::sync::Arc;
use units::{Quantity, UnitChoice, show};

/// Closer places and turns are the same.
const SAME: f64 = 1e-6;

/// A cup as it was, or a place where there was none.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ghost {
    /// Its lip as it was; none for a cup that is new.
    lip: Option<Lip>,
    /// Where it was, or is when it is new.
    at: DVec2,
    /// Where it went, when it moved.
    to: Option<DVec2>,
    /// "12.4 mm", "new", "C4 removed".
    says: String,
}

/// Everything of one layout that was otherwise.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Ghosts {
    cups: Vec<Ghost>,
    outline: Option<Arc<Outline>>,
}

fn lip(project: &Project, cup: &Cup) -> Lip {
    let shape = project.model(&cup.model).map_or(LipShape::Round { diameter: 0.0 }, |model| model.shape);
    Lip { shape, at: cup.at, turn: cup.turn_deg.to_radians() }
}

impl Ghosts {
    /// What of a layout that both have was otherwise in the older project.
    pub fn of(old: &Project, new: &Project, layout: LayoutId, units: &UnitChoice) -> Self {
        let (Some(before), Some(after)) = (old.layout(layout), new.layout(layout)) else {
            return Self::default();
        };
        let mut ghosts = Vec::new();
        for was in &before.cups {
            match after.cups.iter().find(|cup| cup.id == was.id) {
                None => ghosts.push(Ghost {
                    lip: Some(lip(old, was)),
                    at: was.at,
                    to: None,
                    says: format!("{} removed", was.tag.trim()),
                }),
                Some(is) => ghosts.extend(otherwise(old, new, was, is, units)),
            }
        }
        for is in after.cups.iter().filter(|cup| !before.cups.iter().any(|was| was.id == cup.id)) {
            ghosts.push(Ghost { lip: None, at: is.at, to: None, says: "new".to_owned() });
        }
        let outline = |project: &Project, part| project.part(part).map(|part| part.outline.clone());
        let outline = outline(old, before.part)
            .filter(|was| outline(new, after.part).is_some_and(|is| is.as_ref() != was.as_ref()));
        Self { cups: ghosts, outline }
    }
    pub fn is_empty(&self) -> bool {
        self.cups.is_empty() && self.outline.is_none()
    }
    /// Corners of all that is drawn, mm on the part.
    pub fn extent(&self) -> Vec<[DVec2; 2]> {
        let mut corners: Vec<[DVec2; 2]> = self
            .cups
            .iter()
            .filter_map(|ghost| {
                let bounds = ghost.lip?.outline().bounds()?;
                Some([bounds.min, bounds.max])
            })
            .collect();
        corners.extend(
            self.outline
                .iter()
                .filter_map(|outline| outline.outer.bounds())
                .map(|bounds| [bounds.min, bounds.max]),
        );
        corners
    }
}

/// A cup that is in both: moved, turned, or of another model.
fn otherwise(old: &Project, new: &Project, was: &Cup, is: &Cup, units: &UnitChoice) -> Option<Ghost> {
    let distance = was.at.distance(is.at);
    let moved = distance > SAME;
    let mut words = Vec::new();
    if moved {
        words.push(show(distance, Quantity::Length, units).to_string());
    }
    if (was.turn_deg - is.turn_deg).abs() > SAME {
        words.push(format!("turned {}", show(is.turn_deg - was.turn_deg, Quantity::Angle, units)));
    }
    if was.model != is.model || lip(old, was).shape != lip(new, is).shape {
        let name = old.model(&was.model).map_or("another model", |model| model.name.trim());
        words.push(format!("was {name}"));
    }
    (!words.is_empty()).then(|| Ghost {
        lip: Some(lip(old, was)),
        at: was.at,
        to: moved.then_some(is.at),
        says: words.join(", "),
    })
}

const PEN: Pen = Pen { width: 0.22, dash: Dash::Dashed, tone: Tone::Ink };

/// Draws the older lips, outline and arrows; returns the lines that texts keep off.
pub(crate) fn draw(ghosts: &Ghosts, view: &View, items: &mut Vec<Item>) -> Vec<Vec<DVec2>> {
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
    ghosts: &Ghosts,
    view: &View,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    for ghost in &ghosts.cups {
        let says = cut_to(&printable(&ghost.says), Weight::SemiBold, style.small, 60.0);
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
