//! Whether a lip lies on a part, beside it, or partly on it: what a tool that carries several parts asks of every cup.

use crate::clearance::core_to_edge;
use crate::{Lip, SoundSurface};
use glam::DVec2;

/// Figures that differ by less are one figure, mm.
const SAME: f64 = 1e-9;
/// Cells along each side of a lip by which its uncovered share is counted: the share is right to about one part in a hundred,
/// more than an open lip's flow needs, which its bore limits.
const CELLS: usize = 40;

/// How a lip lies to a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cover {
    /// The whole lip on sound surface with the required clearance.
    On,
    /// Neither.
    Partly,
    /// The whole lip beside the part or within a hole, with the required clearance.
    Off,
}

/// How a lip lies to a part: `sound` is where a lip may land, `material` the part with its holes but without keep-outs. A lip on
/// a keep-out is on the material and not on sound surface: partly on. `None` where the lip has no clearance.
///
/// # Units
/// mm; `on_mm` is the clearance that a lip on the part must have to its boundaries, `off_mm` the one that a lip beside it must
/// have. A clearance that equals what is required is enough.
///
/// ```
/// use geometry::{Cover, Lip, LipShape, Loop, Outline, SoundSurface, cover};
/// use glam::DVec2;
/// let sheet = SoundSurface::new(&Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0))), &[]); // mm
/// let lip = |x| Lip { shape: LipShape::Round { diameter: 40.0 }, at: DVec2::new(x, 150.0), turn: 0.0 };
/// let of = |x| cover(&sheet, &sheet, &lip(x), 3.0, 3.0); // mm
/// assert_eq!([of(200.0), of(390.0), of(430.0)], [Some(Cover::On), Some(Cover::Partly), Some(Cover::Off)]);
/// ```
pub fn cover(
    sound: &SoundSurface,
    material: &SoundSurface,
    lip: &Lip,
    on_mm: f64,
    off_mm: f64,
) -> Option<Cover> {
    let clearance = sound.clearance(lip)?;
    if clearance.distance >= on_mm - SAME {
        return Some(Cover::On);
    }
    let beside = material.off_by(lip).is_some_and(|distance| distance >= off_mm - SAME);
    Some(if beside { Cover::Off } else { Cover::Partly })
}

impl SoundSurface {
    /// Distance, mm, from a lip that lies wholly off the surface to its nearest boundary; `None` where any of the lip lies on it.
    pub fn off_by(&self, lip: &Lip) -> Option<f64> {
        if !self.has_edge() || !lip.is_finite() || self.contains(lip.at) {
            return None;
        }
        let near = self.all.nearest_neighbor(lip.at.to_array())?;
        let apart = near.nearest(lip.at).distance(lip.at);
        let (corners, count) = lip.core_corners();
        let corners = &corners[..count];
        let core = match corners {
            [_] => apart,
            _ => {
                // The piece nearest to the core is no further from its middle than the nearest one and the core's reach.
                let reach = corners.iter().map(|c| c.distance(lip.at)).fold(0.0, f64::max);
                let within = apart + reach + SAME;
                self.all
                    .locate_within_distance(lip.at.to_array(), within * within)
                    .map(|edge| {
                        let (on_core, on_edge) = core_to_edge(lip, corners, edge);
                        on_core.distance(on_edge)
                    })
                    .fold(f64::INFINITY, f64::min)
            }
        };
        let distance = core - lip.shape.core().radius;
        (core > 0.0 && distance >= -SAME).then_some(distance)
    }

    /// Share of the area within a line of a lip's form that lies off the surface, 0 to 1; counted by cells, to about 0.01.
    pub fn uncovered_share(&self, lip: &Lip) -> f64 {
        let size = lip.shape.size();
        if !(lip.is_finite() && size.min_element() > 0.0 && self.has_edge()) {
            return 0.0;
        }
        let step = |i: usize| (i as f64 + 0.5) / CELLS as f64 - 0.5;
        let cells = (0..CELLS).flat_map(|i| (0..CELLS).map(move |k| DVec2::new(step(i), step(k)) * size));
        let (mut inside, mut open) = (0usize, 0usize);
        for at in cells.map(|local| lip.placed(local)).filter(|at| lip.depth(*at) > 0.0) {
            inside += 1;
            open += usize::from(!self.contains(at));
        }
        if inside == 0 { 0.0 } else { open as f64 / inside as f64 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{LipShape, Loop, Outline};

    fn sheet() -> Outline {
        Outline {
            outer: Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0)),
            holes: vec![Loop::circle(DVec2::new(200.0, 150.0), 60.0)],
        }
    }

    #[test]
    fn a_lip_on_a_keep_out_is_partly_on() {
        let keep_out = Loop::rectangle(DVec2::new(20.0, 20.0), DVec2::new(120.0, 120.0));
        let (sound, material) = (SoundSurface::new(&sheet(), &[keep_out]), SoundSurface::new(&sheet(), &[]));
        let lip = Lip { shape: LipShape::Round { diameter: 30.0 }, at: DVec2::new(70.0, 70.0), turn: 0.0 };
        assert_eq!(cover(&sound, &material, &lip, 0.0, 0.0), Some(Cover::Partly));
        assert_eq!(cover(&material, &material, &lip, 0.0, 0.0), Some(Cover::On));
        assert_eq!(material.uncovered_share(&lip), 0.0);
    }

    #[test]
    fn a_lip_within_a_hole_is_off_by_the_ring_that_is_left() {
        let material = SoundSurface::new(&sheet(), &[]);
        let lip = |shape, turn| Lip { shape, at: DVec2::new(200.0, 150.0), turn };
        let round = lip(LipShape::Round { diameter: 40.0 }, 0.0);
        assert!((material.off_by(&round).unwrap() - 40.0).abs() < 1e-9);
        // The far ends of a long lip are nearest, whichever way it lies.
        for turn in [0.0, 0.4, 1.3] {
            let long = lip(LipShape::Long { length: 90.0, width: 20.0 }, turn);
            assert!((material.off_by(&long).unwrap() - 15.0).abs() < 1e-9);
            assert_eq!(material.uncovered_share(&long), 1.0);
        }
        let wide = lip(LipShape::Rectangle { length: 130.0, width: 20.0, corner: 2.0 }, 0.0);
        assert_eq!(material.off_by(&wide), None);
    }

    #[test]
    fn a_lip_that_holds_a_whole_part_is_not_beside_it() {
        let small = Outline::solid(Loop::rectangle(DVec2::new(-4.0, -4.0), DVec2::new(4.0, 4.0)));
        let material = SoundSurface::new(&small, &[]);
        let shape = LipShape::Rectangle { length: 200.0, width: 200.0, corner: 5.0 };
        let lip = Lip { shape, at: DVec2::new(60.0, 0.0), turn: 0.0 };
        assert_eq!(cover(&material, &material, &lip, 0.0, 0.0), Some(Cover::Partly));
    }

    #[test]
    fn half_a_lip_over_the_edge_is_half_uncovered() {
        let material = SoundSurface::new(&sheet(), &[]);
        let lip = Lip { shape: LipShape::Round { diameter: 50.0 }, at: DVec2::new(400.0, 150.0), turn: 0.7 };
        assert!((material.uncovered_share(&lip) - 0.5).abs() < 0.015);
    }
}
