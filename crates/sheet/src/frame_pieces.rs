//! Rails and plates of the tool on the plan, with the places they have for cups.

use crate::context::Context;
use crate::frame::Rect;
use crate::labels::{AROUND, Label, Labels};
use crate::page::{Dash, Item, Pen, Tone, Weight};
use crate::plan_symbols::frame_end;
use crate::style::{Style, THIN};
use crate::text_width::{cut_to, printable};
use crate::view::View;
use document::{FramePiece, FrameShape};
use glam::DVec2;

/// Places closer than this on the paper would run together; the parts list then has to do.
const LEAST_APART: f64 = 1.3;
/// More places of one piece are not drawn.
const MOST_PLACES: usize = 4000;

/// Where cups may sit, as points and as lines along open slots, on the part.
fn places(piece: &FramePiece) -> (Vec<DVec2>, Vec<[DVec2; 2]>) {
    let all = piece.places();
    let pairs = |from: &[DVec2], to: &[DVec2]| from.iter().zip(to).map(|(a, b)| [*a, *b]).collect();
    let (open_along, open_across) = match piece.shape {
        FrameShape::Rail { pitch_mm, .. } => (pitch_mm <= 0.0, false),
        FrameShape::Plate { pitch_mm, .. } => (pitch_mm.x <= 0.0, pitch_mm.y <= 0.0),
    };
    match (open_along, open_across) {
        (false, false) => (all, Vec::new()),
        // Of an open slot the two ends are listed, row by row.
        (true, false) => (Vec::new(), all.chunks_exact(2).map(|ends| [ends[0], ends[1]]).collect()),
        (false, true) => {
            let (low, high) = all.split_at(all.len() / 2);
            (Vec::new(), pairs(low, high))
        }
        // Anywhere on the plate.
        (true, true) => (Vec::new(), Vec::new()),
    }
}

/// Whether any piece has places or slots that are drawn at a scale.
pub(crate) fn places_shown(context: &Context, ratio: f64) -> bool {
    pieces(context).iter().any(|piece| {
        let (holes, slots) = places(piece);
        !slots.is_empty() || apart(holes.iter().map(|at| *at * ratio)) && !holes.is_empty()
    })
}

/// Whether places on the paper are few and far enough apart to be drawn.
fn apart(holes: impl ExactSizeIterator<Item = DVec2>) -> bool {
    let few = holes.len() <= MOST_PLACES;
    let holes: Vec<DVec2> = holes.collect();
    few && holes.windows(2).all(|pair| pair[0].distance(pair[1]) >= LEAST_APART)
}

fn pieces<'a>(context: &Context<'a>) -> &'a [FramePiece] {
    context.layout().map_or(&[], |layout| layout.tool.frame.as_slice())
}

/// Draws every piece; returns the lines that texts keep off.
pub(crate) fn draw(context: &Context, view: &View, items: &mut Vec<Item>) -> Vec<Vec<DVec2>> {
    let mut lines = Vec::new();
    for piece in pieces(context) {
        let points: Vec<DVec2> = piece.corners().iter().map(|at| view.at(*at)).collect();
        let wide = points[0].distance(points[3]);
        let mut closed = points.clone();
        closed.push(points[0]);
        lines.push(closed);
        let mut inner = vec![Item::Polyline { points, closed: true, pen: Pen::solid(0.25, Tone::Second) }];
        let (holes, slots) = places(piece);
        if matches!(piece.shape, FrameShape::Rail { .. }) {
            // Texts keep off the row of places of a rail; a plate is full of them.
            lines.push(holes.iter().chain(slots.iter().flatten()).map(|at| view.at(*at)).collect());
        }
        for slot in slots {
            let [from, to] = slot.map(|at| view.at(at));
            let pen = Pen { width: THIN, dash: Dash::Chain, tone: Tone::Second };
            inner.push(Item::Line { from, to, pen });
        }
        let holes: Vec<DVec2> = holes.iter().map(|at| view.at(*at)).collect();
        if apart(holes.iter().copied()) {
            let pen = Some(Pen::solid(0.12, Tone::Second));
            inner.extend(holes.iter().map(|at| Item::Circle { centre: *at, radius: 0.4, pen, fill: None }));
        }
        let size = (wide / 3.0).clamp(0.8, 2.2);
        inner.push(frame_end(
            view.at(piece.at),
            view.along(DVec2::from_angle(piece.turn_deg.to_radians())),
            size,
        ));
        items.push(Item::Group { name: "frame piece".to_owned(), clip: None, items: inner });
    }
    lines
}

/// Names beside the pieces.
pub(crate) fn names(
    context: &Context,
    view: &View,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    for piece in pieces(context) {
        let [a, _, _, d] = piece.corners().map(|at| view.at(at));
        let says = cut_to(&printable(piece.name.trim()), Weight::Italic, style.small, 60.0);
        if says.is_empty() {
            continue;
        }
        let of = Rect::new(a.min(d), a.max(d));
        let label = Label { says: &says, size: style.small, weight: Weight::Italic, tone: Tone::Second, of };
        items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::FrameId;
    use glam::dvec2;

    #[test]
    fn open_slots_are_lines_and_the_rest_points() {
        let rail = FramePiece::rail(FrameId(1), "Rail", dvec2(10.0, 20.0), 500.0, 90.0);
        let (holes, slots) = places(&rail);
        assert!(holes.is_empty() && slots.len() == 1);
        assert!((slots[0][0].x - 10.0).abs() < 1e-9 && slots[0][1].y > slots[0][0].y);
        let plate = FramePiece::plate(FrameId(2), "Plate", dvec2(0.0, 0.0), 300.0, 200.0);
        let (holes, slots) = places(&plate);
        assert!(slots.is_empty() && holes.len() == plate.places().len());
        let slotted = |pitch_mm: DVec2| {
            let FrameShape::Plate { length_mm, width_mm, first_mm, kg_m2, .. } = plate.shape else {
                panic!()
            };
            let shape = FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 };
            places(&FramePiece { shape, ..plate.clone() }).1
        };
        let along = slotted(dvec2(0.0, 50.0));
        assert!(!along.is_empty() && along.iter().all(|[a, b]| a.y == b.y && b.x > a.x), "{along:?}");
        let across = slotted(dvec2(50.0, 0.0));
        assert!(!across.is_empty() && across.iter().all(|[a, b]| a.x == b.x && b.y > a.y), "{across:?}");
        assert!(slotted(DVec2::ZERO).is_empty());
    }
}
