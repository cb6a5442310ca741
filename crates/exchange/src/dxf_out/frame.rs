//! Rails and plates with the places where cups sit.

use super::shape::{Anchor, Canvas, LineType, Shape};
use document::{FramePiece, FrameShape};
use geometry::Vertex;
use glam::DVec2;

/// More places than this on one piece are not drawn one by one.
const MOST_PLACES: usize = 20_000;

pub(super) fn add(canvas: &mut Canvas, frame: &[FramePiece], height: f64) {
    if frame.is_empty() {
        return;
    }
    let layer = canvas.layer("FRAME", 8, LineType::Continuous);
    for piece in frame {
        let corners = piece.corners();
        canvas.add(layer, Shape::Closed(corners.map(|at| Vertex { at, bulge: 0.0 }).to_vec()));
        let places = piece.places();
        let pitch = match piece.shape {
            FrameShape::Rail { pitch_mm, .. } => pitch_mm,
            FrameShape::Plate { pitch_mm, .. } => pitch_mm.min_element(),
        };
        if pitch > 0.0 {
            let mark = DVec2::splat((pitch * 0.2).min(height / 2.0));
            for at in places.iter().take(MOST_PLACES) {
                canvas.cross(layer, *at, mark, piece.turn_deg.to_radians());
            }
        } else if let ([from, to], FrameShape::Rail { .. }) = (places.as_slice(), piece.shape) {
            canvas.add(layer, Shape::Line(*from, *to));
        }
        let along = DVec2::from_angle(piece.turn_deg.to_radians());
        canvas.add(
            layer,
            Shape::Text {
                at: corners[0] + (along + along.perp() * 0.3) * height,
                height,
                turn_deg: piece.turn_deg,
                says: piece.name.clone(),
                anchor: Anchor::Left,
            },
        );
    }
}
