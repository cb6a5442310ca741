//! Rails and plates of the tool on the plan, with the places they have for cups.

use crate::context::Context;
use crate::frame::Rect;
use crate::labels::{AROUND, Label, Labels};
use crate::page::{Dash, Item, Pen, Tone, Weight};
use crate::style::{Style, THIN};
use crate::text_width::{cut_to, printable};
use crate::view::View;
use document::{FramePiece, FrameShape};
use glam::{DVec2, dvec2};

/// Places closer than this on the paper would run together; the parts list then has to do.
const LEAST_APART: f64 = 1.3;
/// More places of one piece are not drawn.
const MOST_PLACES: usize = 2000;

/// Length and width on the plan, mm.
pub(crate) fn size_of(shape: &FrameShape) -> DVec2 {
    match *shape {
        FrameShape::Rail { length_mm, width_mm, .. } | FrameShape::Plate { length_mm, width_mm, .. } => {
            dvec2(length_mm, width_mm)
        }
    }
}

/// Corners of a piece on the part, counter-clockwise from its start.
pub(crate) fn corners(piece: &FramePiece) -> [DVec2; 4] {
    let size = size_of(&piece.shape);
    let low = match piece.shape {
        FrameShape::Rail { .. } => -size.y / 2.0,
        FrameShape::Plate { .. } => 0.0,
    };
    let high = low + size.y;
    [dvec2(0.0, low), dvec2(size.x, low), dvec2(size.x, high), dvec2(0.0, high)].map(|at| placed(piece, at))
}

fn placed(piece: &FramePiece, at: DVec2) -> DVec2 {
    piece.at + DVec2::from_angle(piece.turn_deg.to_radians()).rotate(at)
}

/// Where cups may sit, as points and as lines along open slots, on the part.
fn places(piece: &FramePiece) -> (Vec<DVec2>, Vec<[DVec2; 2]>) {
    let run = |first: f64, pitch: f64, length: f64| -> Vec<f64> {
        let count = ((length - first) / pitch + 1e-6).floor();
        if !(0.0..MOST_PLACES as f64).contains(&count) {
            return Vec::new();
        }
        (0..=count as usize).map(|index| first + index as f64 * pitch).collect()
    };
    match piece.shape {
        FrameShape::Rail { length_mm, pitch_mm, first_mm, .. } if pitch_mm > 0.0 => {
            let along = run(first_mm, pitch_mm, length_mm);
            (along.into_iter().map(|x| placed(piece, dvec2(x, 0.0))).collect(), Vec::new())
        }
        FrameShape::Rail { length_mm, first_mm, .. } => {
            let ends = [first_mm, length_mm - first_mm].map(|x| placed(piece, dvec2(x, 0.0)));
            (Vec::new(), if length_mm > 2.0 * first_mm { vec![ends] } else { Vec::new() })
        }
        FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, .. } => {
            let across = run(first_mm.y, pitch_mm.y, width_mm);
            if pitch_mm.x > 0.0 && pitch_mm.y > 0.0 {
                let along = run(first_mm.x, pitch_mm.x, length_mm);
                let points = across.iter().flat_map(|y| along.iter().map(move |x| dvec2(*x, *y)));
                (points.take(MOST_PLACES).map(|at| placed(piece, at)).collect(), Vec::new())
            } else if pitch_mm.y > 0.0 {
                let slot =
                    |y: &f64| [first_mm.x, length_mm - first_mm.x].map(|x| placed(piece, dvec2(x, *y)));
                (Vec::new(), across.iter().map(slot).collect())
            } else {
                (Vec::new(), Vec::new())
            }
        }
    }
}

fn pieces<'a>(context: &Context<'a>) -> &'a [FramePiece] {
    context.layout().map_or(&[], |layout| layout.tool.frame.as_slice())
}

/// Draws every piece; returns the lines that texts keep off.
pub(crate) fn draw(context: &Context, view: &View, items: &mut Vec<Item>) -> Vec<Vec<DVec2>> {
    let mut lines = Vec::new();
    for piece in pieces(context) {
        let points: Vec<DVec2> = corners(piece).iter().map(|at| view.at(*at)).collect();
        let mut closed = points.clone();
        closed.push(points[0]);
        lines.push(closed);
        let mut inner = vec![Item::Polyline { points, closed: true, pen: Pen::solid(0.25, Tone::Second) }];
        let (holes, slots) = places(piece);
        for slot in slots {
            let [from, to] = slot.map(|at| view.at(at));
            let pen = Pen { width: THIN, dash: Dash::Chain, tone: Tone::Second };
            inner.push(Item::Line { from, to, pen });
        }
        let holes: Vec<DVec2> = holes.iter().map(|at| view.at(*at)).collect();
        if holes.windows(2).all(|pair| pair[0].distance(pair[1]) >= LEAST_APART) {
            let pen = Some(Pen::solid(0.12, Tone::Second));
            inner.extend(holes.iter().map(|at| Item::Circle { centre: *at, radius: 0.4, pen, fill: None }));
        }
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
        let [a, _, _, d] = corners(piece).map(|at| view.at(at));
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

    fn piece(shape: FrameShape) -> FramePiece {
        let name = "Rail".to_owned();
        FramePiece { id: FrameId(1), name, at: dvec2(10.0, 20.0), turn_deg: 90.0, height_mm: 60.0, shape }
    }
    #[test]
    fn a_rail_upright_has_its_places_above_each_other() {
        let rail =
            FrameShape::Rail { length_mm: 100.0, width_mm: 30.0, pitch_mm: 40.0, first_mm: 10.0, kg_m: 1.0 };
        let (holes, slots) = places(&piece(rail));
        assert!(slots.is_empty());
        for (hole, y) in holes.iter().zip([30.0, 70.0, 110.0]) {
            assert!(hole.distance(dvec2(10.0, y)) < 1e-9, "{hole}");
        }
        assert_eq!(holes.len(), 3);
        assert!(corners(&piece(rail))[0].distance(dvec2(25.0, 20.0)) < 1e-9);
    }
    #[test]
    fn an_open_rail_has_one_slot_and_a_plate_a_grid() {
        let open =
            FrameShape::Rail { length_mm: 100.0, width_mm: 30.0, pitch_mm: 0.0, first_mm: 10.0, kg_m: 1.0 };
        let (holes, slots) = places(&piece(open));
        assert!(holes.is_empty() && slots.len() == 1);
        let plate = FrameShape::Plate {
            length_mm: 100.0,
            width_mm: 60.0,
            pitch_mm: dvec2(25.0, 20.0),
            first_mm: dvec2(25.0, 20.0),
            kg_m2: 8.0,
        };
        // Along 25, 50, 75, 100; across 20, 40, 60.
        assert_eq!(places(&piece(plate)).0.len(), 12);
    }
}
