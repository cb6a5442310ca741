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
        let along = DVec2::from_angle(piece.turn_deg.to_radians());
        let at = |x: f64, y: f64| piece.at + along * x + along.perp() * y;
        // Across, a rail lies on both sides of its line, a plate on its left.
        let (length, low, high) = match piece.shape {
            FrameShape::Rail { length_mm, width_mm, .. } => (length_mm, -width_mm / 2.0, width_mm / 2.0),
            FrameShape::Plate { length_mm, width_mm, .. } => (length_mm, 0.0, width_mm),
        };
        let corners = [at(0.0, low), at(length, low), at(length, high), at(0.0, high)];
        canvas.add(layer, Shape::Closed(corners.map(|at| Vertex { at, bulge: 0.0 }).to_vec()));
        match piece.shape {
            FrameShape::Rail { pitch_mm, first_mm, .. } => {
                if pitch_mm > 0.0 {
                    let mark = (pitch_mm * 0.2).min(height / 2.0);
                    for x in places(first_mm, pitch_mm, length) {
                        canvas.cross(layer, at(x, 0.0), DVec2::splat(mark), piece.turn_deg.to_radians());
                    }
                } else {
                    canvas.add(layer, Shape::Line(at(0.0, 0.0), at(length, 0.0)));
                }
            }
            FrameShape::Plate { pitch_mm, first_mm, .. } if pitch_mm.min_element() > 0.0 => {
                let mark = (pitch_mm.min_element() * 0.2).min(height / 2.0);
                let rows = places(first_mm.y, pitch_mm.y, high);
                let columns = places(first_mm.x, pitch_mm.x, length);
                if rows.len().saturating_mul(columns.len()) <= MOST_PLACES {
                    for (x, y) in rows.iter().flat_map(|y| columns.iter().map(move |x| (*x, *y))) {
                        canvas.cross(layer, at(x, y), DVec2::splat(mark), piece.turn_deg.to_radians());
                    }
                }
            }
            FrameShape::Plate { .. } => {}
        }
        canvas.add(
            layer,
            Shape::Text {
                at: at(height, low + 0.3 * height),
                height,
                turn_deg: piece.turn_deg,
                says: piece.name.clone(),
                anchor: Anchor::Left,
            },
        );
    }
}

/// Places along a length: the first, then every pitch; the end counts.
pub(super) fn places(first: f64, pitch: f64, length: f64) -> Vec<f64> {
    let count = ((length - first) / pitch + 1e-9).floor();
    if !(0.0..MOST_PLACES as f64).contains(&count) {
        return Vec::new();
    }
    (0..=count as usize).map(|i| first + i as f64 * pitch).collect()
}

#[cfg(test)]
mod tests {
    use super::places;

    #[test]
    fn places_go_to_the_end_and_are_bounded() {
        assert_eq!(places(10.0, 20.0, 70.0), [10.0, 30.0, 50.0, 70.0]);
        assert_eq!(places(0.0, 0.1, 0.3).len(), 4);
        assert!(places(10.0, 20.0, 5.0).is_empty());
        assert!(places(0.0, 1e-9, 1e3).is_empty());
        assert!(places(0.0, 0.0, 1e3).is_empty() && places(f64::NAN, 1.0, 1e3).is_empty());
    }
}
