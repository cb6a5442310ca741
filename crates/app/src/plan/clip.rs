//! The pieces of lines that are seen.

use egui::{Pos2, Rect};

/// The piece of a line that lies within a rectangle; `None` where none does, or an end is no place.
///
/// # Source
/// Liang & Barsky, *A new concept and method for line clipping*, ACM Trans. Graphics 3(1), 1984 (from memory).
pub(super) fn within(seen: Rect, from: Pos2, to: Pos2) -> Option<[Pos2; 2]> {
    // In double width: the difference of two large places is larger still.
    let [x, y] = [f64::from(from.x), f64::from(from.y)];
    let [dx, dy] = [f64::from(to.x) - x, f64::from(to.y) - y];
    if ![x, y, dx, dy].iter().all(|v| v.is_finite()) {
        return None;
    }
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let sides = [
        (-dx, x - f64::from(seen.left())),
        (dx, f64::from(seen.right()) - x),
        (-dy, y - f64::from(seen.top())),
        (dy, f64::from(seen.bottom()) - y),
    ];
    for (out, room) in sides {
        if out == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if out < 0.0 {
            enters = enters.max(room / out);
        } else {
            leaves = leaves.min(room / out);
        }
    }
    // An end that is seen stays as it is, to the bit.
    let at = |share: f64| match share {
        0.0 => from,
        1.0 => to,
        _ => Pos2::new((x + share * dx) as f32, (y + share * dy) as f32),
    };
    (enters < leaves).then(|| [at(enters), at(leaves)])
}

/// The runs of a line from point to point that lie within a rectangle, each whole, so that dashes go on round its corners.
pub(super) fn runs_within(seen: Rect, points: &[Pos2]) -> Vec<Vec<Pos2>> {
    let mut runs: Vec<Vec<Pos2>> = Vec::new();
    for pair in points.windows(2) {
        let Some([from, to]) = within(seen, pair[0], pair[1]) else { continue };
        match runs.last_mut().filter(|run| run.last() == Some(&from)) {
            Some(run) => run.push(to),
            None => runs.push(vec![from, to]),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_line_only_what_is_seen_is_dashed() {
        let seen = Rect::from_min_max(Pos2::ZERO, Pos2::new(100.0, 50.0));
        let cut = |x: [f32; 2], y: [f32; 2]| within(seen, Pos2::from(x), Pos2::from(y));
        assert_eq!(cut([10.0, 10.0], [90.0, 40.0]), Some([Pos2::new(10.0, 10.0), Pos2::new(90.0, 40.0)]));
        assert_eq!(cut([-50.0, 25.0], [150.0, 25.0]), Some([Pos2::new(0.0, 25.0), Pos2::new(100.0, 25.0)]));
        assert_eq!(cut([-50.0, 60.0], [150.0, 60.0]), None);
        assert_eq!(cut([10.0, 10.0], [f32::INFINITY, 10.0]), None);
        assert_eq!(cut([10.0, f32::NAN], [20.0, 10.0]), None);
        let [from, to] = cut([50.0, 25.0], [50.0, 1e38]).unwrap();
        assert_eq!((from, to), (Pos2::new(50.0, 25.0), Pos2::new(50.0, 50.0)));
    }

    #[test]
    fn what_is_seen_whole_stays_one_line() {
        let seen = Rect::from_min_max(Pos2::ZERO, Pos2::new(100.0, 100.0));
        let ring: Vec<Pos2> =
            (0..=60).map(|i| Pos2::new(50.0, 50.0) + 40.0 * egui::Vec2::angled(i as f32 * 0.1)).collect();
        assert_eq!(runs_within(seen, &ring), std::slice::from_ref(&ring));
        // A corner that is not seen parts it.
        let out = [[10.0, 10.0], [50.0, 10.0], [50.0, 900.0], [90.0, 10.0], [90.0, 20.0]].map(Pos2::from);
        let runs = runs_within(seen, &out);
        assert_eq!(runs.len(), 2, "{runs:?}");
        assert_eq!((runs[0].len(), runs[1].len()), (3, 3));
    }
}
