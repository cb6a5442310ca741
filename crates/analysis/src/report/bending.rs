//! A part that bends between its cups.

use super::CupInMotion;
use document::{CupId, MotionId};
use glam::DVec2;
use mechanics::{CupLoad, Factor};
use std::sync::Arc;

/// A part that bends, worked out beside the rigid one: what its cups get in every motion, and how it sags.
#[derive(Debug, Clone, PartialEq)]
pub struct BendingReport {
    /// Stiffness of the cups against the sheet's, k L⁴/D: far below 1 it is as good as rigid.
    pub relative_stiffness: f64,
    /// Largest difference of a pull to that on a rigid part, or of a tilt by its pair of forces at the lip, over the motions, as a
    /// share of the largest pull there.
    pub from_rigid: f64,
    /// Motions that have a figure, in the order of the project.
    pub motions: Vec<BentMotion>,
    /// Cups whose lip does not lie wholly on the part: they carry nothing here and have no figure.
    pub off: Vec<CupId>,
    /// Where the sheet's deflections are known.
    pub map: Arc<SagMap>,
}

/// The triangles of a sheet, for drawing what varies over it.
#[derive(Debug, Clone, PartialEq)]
pub struct SagMap {
    /// Corners, mm.
    pub points: Vec<DVec2>,
    /// Three corners each, counter-clockwise.
    pub triangles: Vec<[u32; 3]>,
}

impl SagMap {
    /// The line of one figure of the corners, in pieces, triangle by triangle.
    pub fn contour(&self, values: &[f64], level: f64) -> Vec<[DVec2; 2]> {
        let mut pieces = Vec::new();
        for corners in &self.triangles {
            let at = corners.map(|corner| self.points[corner as usize]);
            let over =
                corners.map(|corner| values.get(corner as usize).map_or(f64::NAN, |value| value - level));
            let mut ends = [DVec2::ZERO; 3];
            let mut count = 0;
            for (a, b) in [(0, 1), (1, 2), (2, 0)] {
                // A corner on the line counts as above it, so that the line neither ends nor doubles there.
                if (over[a] < 0.0) != (over[b] < 0.0) {
                    ends[count] = at[a].lerp(at[b], over[a] / (over[a] - over[b]));
                    count += 1;
                }
            }
            if count == 2 {
                pieces.push([ends[0], ends[1]]);
            }
        }
        pieces
    }

    /// A figure of the corners at a place, even between them; `None` off the sheet.
    pub fn at(&self, values: &[f64], place: DVec2) -> Option<f64> {
        self.triangles.iter().find_map(|corners| {
            let [a, b, c] = corners.map(|corner| self.points[corner as usize]);
            let area = (b - a).perp_dot(c - a);
            let shares = [
                (b - place).perp_dot(c - place),
                (c - place).perp_dot(a - place),
                (a - place).perp_dot(b - place),
            ];
            // A place on an edge belongs to both its triangles.
            let inside = shares.iter().all(|share| *share >= -1e-9 * area);
            let value = |k: usize| values.get(corners[k] as usize).map(|value| value * shares[k] / area);
            inside.then(|| Some(value(0)? + value(1)? + value(2)?))?
        })
    }
}

impl BendingReport {
    /// Whether taking the part as rigid would have done: no pull, and no tilt at its lip, differs by more than 2 % of the
    /// largest pull.
    pub fn as_good_as_rigid(&self) -> bool {
        self.from_rigid <= 0.02
    }

    /// One of its motions.
    pub fn of_motion(&self, motion: MotionId) -> Option<&BentMotion> {
        self.motions.iter().find(|bent| bent.id == motion)
    }

    /// The motion with the largest sag.
    pub fn deepest(&self) -> Option<&BentMotion> {
        self.motions.iter().max_by(|a, b| a.sag_mm.abs().total_cmp(&b.sag_mm.abs()))
    }
}

/// One motion of a part that bends, where its first lip lets go.
#[derive(Debug, Clone, PartialEq)]
pub struct BentMotion {
    /// Which motion.
    pub id: MotionId,
    /// Its least factor, and what limits it.
    pub factor: Factor,
    /// The cup whose lip lets go first.
    pub governing_cup: CupId,
    /// Greatest deflection beyond the plane of the lips, mm; away from the cups is positive.
    pub sag_mm: f64,
    /// Where, mm.
    pub sag_at: DVec2,
    /// What small deflections are worth at this sag.
    pub sag_is: SagIs,
    /// Every cup that carries, in the order of the layout.
    pub cups: Vec<BentCup>,
    /// The same cups as a motion of a rigid part has them.
    pub in_motion: Vec<CupInMotion>,
    /// Deflection beyond the plane of the lips at every corner of the map, mm; away from the cups is positive.
    pub over_lips: Vec<f64>,
}

/// What one cup gets from a part that bends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentCup {
    /// Which cup.
    pub id: CupId,
    /// Its load.
    pub load: CupLoad,
    /// Its pull on a rigid part, N.
    pub rigid_pull_n: f64,
    /// How far the part leaves a plane along the lip, mm.
    pub gap_mm: f64,
    /// Slope of the part at the lip along x and y, mm/mm.
    pub slope: DVec2,
    /// Its own worst factor in the motion.
    pub factor: Factor,
}

/// What small deflections are worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SagIs {
    /// Up to half the thickness: as computed.
    Small,
    /// Up to five times the thickness: the sheet stiffens in truth and sags less.
    Less,
    /// Beyond: very large, and no more than that.
    VeryLarge,
}

/// A round step, 1, 2 or 5 times a power of ten, of which a span holds about so many; 0 where there is no span.
pub fn round_step(span: f64, about: f64) -> f64 {
    let rough = span / about;
    if !(rough.is_finite() && rough > 0.0) {
        return 0.0;
    }
    let power = 10f64.powf(rough.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|times| times * power >= rough).unwrap_or(10.0);
    times * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        let steps = [round_step(3.2, 6.0), round_step(9.0, 6.0), round_step(0.07, 6.0)];
        assert_eq!(steps.map(|step| (step * 1e6).round()), [1e6, 2e6, 2e4]);
        assert_eq!(round_step(0.0, 6.0), 0.0);
    }

    /// Over a plane the line of a figure is straight and as long as the square is wide, and a place has the plane's own figure.
    #[test]
    fn a_plane_has_straight_lines_and_its_own_figures() {
        let points = vec![DVec2::ZERO, DVec2::X, DVec2::ONE, DVec2::Y];
        let map = SagMap { points, triangles: vec![[0, 1, 2], [0, 2, 3]] };
        let values: Vec<f64> = map.points.iter().map(|p| 2.0 * p.y).collect();
        let pieces = map.contour(&values, 0.5);
        let length: f64 = pieces.iter().map(|[a, b]| a.distance(*b)).sum();
        assert!((length - 1.0).abs() < 1e-12 && pieces.iter().flatten().all(|p| (p.y - 0.25).abs() < 1e-12));
        assert!(map.contour(&values, 3.0).is_empty());
        assert!((map.at(&values, DVec2::new(0.3, 0.7)).unwrap() - 1.4).abs() < 1e-12);
        assert_eq!(map.at(&values, DVec2::new(1.3, 0.7)), None);
    }
}
