//! A cup model to scale: its lip in plan with sealing line and bore, and its side with the folds.

use crate::theme::Tokens;
use document::CupModel;
use egui::{Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};
use geometry::LipShape;

/// Between plan and side, px.
const APART: f32 = 8.0;
/// Air left and right of the picture, px.
const AIR: f32 = 3.0;

/// How large both pictures beside each other are without what parts them: width and height, mm.
pub(crate) fn extent(model: &CupModel) -> [f64; 2] {
    let size = model.shape.size();
    [size.x + size.y, size.y.max(model.height_mm)]
}

/// Pixels of a millimetre, so that pictures of this extent fit into the room.
pub(crate) fn scale(largest: [f64; 2], room: Vec2) -> f64 {
    let fits = |room: f32, mm: f64| if mm > 0.0 { f64::from(room) / mm } else { f64::INFINITY };
    let scale = fits(room.x - APART - 2.0 * AIR, largest[0]).min(fits(room.y, largest[1]));
    if scale.is_finite() { scale } else { 1.0 }
}

/// Draws both; `scale` in pixels of a millimetre, one for all that stand beside each other.
pub(crate) fn draw(painter: &Painter, t: &Tokens, rect: Rect, model: &CupModel, scale: f64) {
    let px = |mm: f64| (mm * scale) as f32;
    let size = model.shape.size();
    let plan = Pos2::new(rect.left() + AIR + px(size.x) / 2.0, rect.center().y);
    lip(painter, plan, &model.shape, scale, Stroke::new(1.4, t.ink));
    lip(painter, plan, &model.sealing_shape(), scale, Stroke::new(0.8, t.second));
    painter.circle_stroke(plan, px(model.bore_mm / 2.0).max(0.5), Stroke::new(1.0, t.second));
    let left = plan.x + px(size.x) / 2.0 + APART;
    let foot = Pos2::new(left + px(size.y) / 2.0, rect.center().y + px(model.height_mm) / 2.0);
    side(painter, t, foot, model, scale);
}

/// An outline of a lip.
fn lip(painter: &Painter, at: Pos2, shape: &LipShape, scale: f64, stroke: Stroke) {
    let px = |mm: f64| (mm * scale) as f32;
    let corner = match *shape {
        LipShape::Round { diameter } => {
            painter.circle_stroke(at, px(diameter / 2.0), stroke);
            return;
        }
        LipShape::Long { width, .. } => width / 2.0,
        LipShape::Rectangle { corner, .. } => corner,
    };
    let size = shape.size();
    let rect = Rect::from_center_size(at, Vec2::new(px(size.x), px(size.y)));
    painter.rect_stroke(rect, px(corner), stroke, StrokeKind::Middle);
}

/// Half widths from the lip up to the fitting, each with its height as a share of the whole: a flat lip is a bell, every fold
/// a bulge above it.
fn half_widths(model: &CupModel) -> Vec<(f64, f64)> {
    let lip = model.shape.size().y / 2.0;
    // A fitting is somewhat wider than the bore that it has.
    let neck = (0.8 * model.bore_mm).min(0.8 * lip);
    let folds = usize::from(model.folds);
    let mut out = vec![(lip, 0.0), (0.94 * lip, 0.06)];
    let (from, to) = (0.22, 0.78);
    let step = (to - from) / folds.max(1) as f64;
    for fold in 0..folds {
        let at = from + step * fold as f64;
        out.push((0.62 * lip, at));
        out.push((0.86 * lip, at + 0.5 * step));
    }
    out.push((if folds > 0 { 0.6 * lip } else { 0.5 * lip }.max(neck), if folds > 0 { to } else { 0.55 }));
    out.extend([(neck, 0.82), (neck, 1.0)]);
    out
}

/// The side, standing on its lip.
fn side(painter: &Painter, t: &Tokens, foot: Pos2, model: &CupModel, scale: f64) {
    let at = |side: f64, (half, up): (f64, f64)| {
        Pos2::new(foot.x + (side * half * scale) as f32, foot.y - (up * model.height_mm * scale) as f32)
    };
    let widths = half_widths(model);
    let right = widths.iter().map(|one| at(1.0, *one));
    let left = widths.iter().rev().map(|one| at(-1.0, *one));
    painter.add(Shape::closed_line(right.chain(left).collect(), Stroke::new(1.2, t.ink)));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_fits_its_room_and_keeps_to_the_models_sizes() {
        for model in document::library() {
            let room = Vec2::new(112.0, 44.0);
            let scale = scale(extent(model), room);
            let [wide, high] = extent(model).map(|mm| (mm * scale) as f32);
            assert!(wide + APART + 2.0 * AIR <= room.x + 0.01 && high <= room.y + 0.01, "{}", model.name);
            let widths = half_widths(model);
            let widest = widths.iter().map(|(half, _)| *half).fold(0.0, f64::max);
            assert_eq!(widest, model.shape.size().y / 2.0, "{}", model.name);
            assert!(widths.windows(2).all(|pair| pair[0].1 <= pair[1].1), "{}: it goes up", model.name);
            assert!(widths.last().is_some_and(|(_, up)| *up == 1.0));
            // Each fold bulges once.
            let bulges = widths.windows(3).filter(|w| w[1].0 > w[0].0 && w[1].0 > w[2].0).count();
            assert_eq!(bulges, usize::from(model.folds), "{}", model.name);
        }
    }

    #[test]
    fn nothing_in_view_has_no_scale_of_its_own() {
        assert_eq!(scale([0.0, 0.0], Vec2::new(100.0, 40.0)), 1.0);
    }
}
