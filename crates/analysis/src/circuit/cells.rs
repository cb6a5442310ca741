//! Cells of an area gripper over the part: which are covered, and which lie open past an edge or over a hole.

use crate::seats::{Ground, LENGTH_NOISE};
use document::Cells;
use geometry::{Lip, LipShape};
use glam::DVec2;

/// So many cells are placed one by one; of more, this many stand for all.
const MOST_PLACED: u32 = 1000;

/// How many of the cells of one cup lie open: those whose opening is not wholly on sound surface. Without a sound surface
/// none is taken as open, since nothing is known.
///
/// Cells lie evenly in rows within the sealing line, each row with as many as its length has room for.
pub(crate) fn open_cells(cells: &Cells, sealing: &LipShape, lip: &Lip, ground: Option<Ground<'_>>) -> u32 {
    let Some(ground) = ground.filter(|_| lip.at.is_finite() && lip.turn.is_finite() && cells.bore_mm > 0.0)
    else {
        return 0;
    };
    let placed = places(sealing, cells.count.min(MOST_PLACED));
    let turn = DVec2::from_angle(lip.turn);
    let is_open = |place: &DVec2| {
        let opening = Lip {
            shape: LipShape::Round { diameter: cells.bore_mm },
            at: lip.at + turn.rotate(*place),
            turn: 0.0,
        };
        ground.shape.surface.clearance(&opening).is_some_and(|clearance| clearance.distance < -LENGTH_NOISE)
    };
    let open = placed.iter().filter(|place| is_open(place)).count() as u32;
    if cells.count <= MOST_PLACED {
        return open;
    }
    let share = f64::from(open) / f64::from(MOST_PLACED);
    (share * f64::from(cells.count)).round() as u32
}

/// So many places spread evenly within a shape about its centre, its length along x, mm.
fn places(shape: &LipShape, count: u32) -> Vec<DVec2> {
    let size = shape.size();
    if count == 0 || !(size.is_finite() && size.min_element() > 0.0) {
        return Vec::new();
    }
    let rows = ((f64::from(count) * size.y / size.x).sqrt().round() as u32).clamp(1, count);
    let middle = |row: u32| size.y * ((f64::from(row) + 0.5) / f64::from(rows) - 0.5);
    let chords: Vec<f64> = (0..rows).map(|row| chord(shape, middle(row))).collect();
    let all: f64 = chords.iter().sum();
    let mut out = Vec::with_capacity(count as usize);
    let (mut so_far, mut placed) = (0.0, 0);
    for (row, chord) in (0..rows).zip(&chords) {
        // As many in all as the length of the rows up to here has room for.
        so_far += chord;
        let until = if row + 1 == rows { count } else { (f64::from(count) * so_far / all).round() as u32 };
        let here = until.saturating_sub(placed);
        for at in 0..here {
            let x = chord * ((f64::from(at) + 0.5) / f64::from(here) - 0.5);
            out.push(DVec2::new(x, middle(row)));
        }
        placed = until.max(placed);
    }
    out
}

/// Length of a shape across at a height over its middle, mm.
fn chord(shape: &LipShape, y: f64) -> f64 {
    let round = |r: f64, y: f64| (r * r - y * y).max(0.0).sqrt();
    match *shape {
        LipShape::Round { diameter } => 2.0 * round(0.5 * diameter, y),
        LipShape::Long { length, width } => (length - width).max(0.0) + 2.0 * round(0.5 * width, y),
        LipShape::Rectangle { length, width, corner } => {
            let over = (y.abs() - (0.5 * width - corner)).max(0.0);
            length - 2.0 * corner + 2.0 * round(corner, over)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_as_many_as_asked_for_even_and_inside() {
        let shapes = [
            LipShape::Round { diameter: 80.0 },
            LipShape::Long { length: 120.0, width: 40.0 },
            LipShape::Rectangle { length: 300.0, width: 100.0, corner: 10.0 },
        ];
        for shape in shapes {
            for count in [1, 2, 7, 24, 100, 1000] {
                let places = places(&shape, count);
                assert_eq!(places.len(), count as usize, "{shape:?}");
                let centre = places.iter().sum::<DVec2>() / f64::from(count);
                assert!(centre.length() < 0.05 * shape.size().max_element(), "{shape:?} {count}: {centre}");
                assert!(places.iter().all(|at| at.x.abs() < 0.5 * chord(&shape, at.y) + 1e-9));
            }
        }
        // A plain grid where the shape is one.
        let grid = places(&LipShape::Rectangle { length: 120.0, width: 60.0, corner: 0.0 }, 8);
        assert_eq!(grid[0], DVec2::new(-45.0, -15.0));
        assert_eq!(grid[7], DVec2::new(45.0, 15.0));
    }
}
