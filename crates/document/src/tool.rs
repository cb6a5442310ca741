//! What carries the cups: presets, and where on it a cup can sit.

use crate::{Attached, AttachedId, FrameId, FramePiece, FrameShape, Part, Tool, defaults::flange};
use glam::{DVec2, DVec3};

/// Height of a new piece of frame, of its middle, mm: half way up to the flange (an invented, generic figure).
const FRAME_HEIGHT_MM: f64 = 75.0;
/// A hollow 40 × 40 mm light-metal profile (an invented, generic figure).
const RAIL_KG_M: f64 = 1.6;
const RAIL_WIDTH_MM: f64 = 40.0;
/// 10 mm of aluminium, 2700 kg/m³ (typical handbook figure, from memory).
const PLATE_KG_M2: f64 = 27.0;
const PLATE_PITCH_MM: f64 = 25.0;
/// From the end of a piece to the first place for a cup, so that its fastening stays on it.
const FIRST_MM: f64 = 20.0;
/// A piece with a pitch far below any cup is not listed place by place.
const MOST_PLACES: usize = 10_000;
/// Arithmetic may leave the last place this far beyond the end of a piece, as a share of the pitch.
const ROUNDING: f64 = 1e-9;

impl Tool {
    /// A tool with nothing on it but the flange, 150 mm above the lips over the part's centre of gravity.
    ///
    /// # Units
    /// mm.
    ///
    /// ```
    /// use document::{Part, PartId, Tool};
    /// let part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0);
    /// assert_eq!(Tool::preset(&part).flange.to_array(), [300.0, 200.0, 150.0]);
    /// ```
    pub fn preset(part: &Part) -> Self {
        Self { flange: flange(part, &[]), masses: Vec::new(), frame: Vec::new() }
    }
    /// The first piece with a place for a cup within `tolerance_mm` of `at`.
    ///
    /// # Units
    /// mm.
    pub fn carrier_of(&self, at: DVec2, tolerance_mm: f64) -> Option<&FramePiece> {
        self.frame.iter().find(|piece| piece.carries(at, tolerance_mm))
    }
    /// The piece whose nearest place is nearest, and that place; `None` without a frame.
    ///
    /// # Units
    /// mm.
    pub fn nearest_place(&self, at: DVec2) -> Option<(&FramePiece, DVec2)> {
        let places = self.frame.iter().map(|piece| (piece, piece.nearest_place(at)));
        places.min_by(|(_, a), (_, b)| a.distance_squared(at).total_cmp(&b.distance_squared(at)))
    }
}

impl Attached {
    /// A point mass of a tool or part.
    ///
    /// # Units
    /// kg, mm.
    pub fn point(id: AttachedId, name: &str, mass_kg: f64, at: DVec3) -> Self {
        Self { id, name: name.to_owned(), mass_kg, at, size: DVec3::ZERO, turn_deg: 0.0 }
    }
}

/// One direction of a piece: its length and the places along it.
#[derive(Debug, Clone, Copy)]
struct Axis {
    length: f64,
    pitch: f64,
    first: f64,
}
impl Axis {
    /// Whether a cup may sit anywhere along it; what is not a number is no grid.
    fn is_open(self) -> bool {
        self.pitch.is_nan() || self.pitch <= 0.0
    }
    /// From where to where places are; never reversed.
    fn ends(self) -> (f64, f64) {
        let length = self.length.max(0.0);
        if self.is_open() {
            let margin = self.first.clamp(0.0, length / 2.0);
            (margin, length - margin)
        } else {
            let first = self.first.clamp(0.0, length);
            (first, first + self.pitch * ((length - first) / self.pitch + ROUNDING).floor())
        }
    }
    fn nearest(self, along: f64) -> f64 {
        let (from, to) = self.ends();
        let within = along.max(from).min(to);
        if self.is_open() { within } else { from + self.pitch * ((within - from) / self.pitch).round() }
    }
    fn places(self) -> Vec<f64> {
        let (from, to) = self.ends();
        if self.is_open() {
            return if from == to { vec![from] } else { vec![from, to] };
        }
        let last = ((to - from) / self.pitch).round().min(MOST_PLACES as f64) as usize;
        (0..=last).map(|i| from + self.pitch * i as f64).collect()
    }
}

impl FramePiece {
    /// A rail of 40 × 40 mm profile, 1.6 kg/m, with an open slot; invented, generic figures.
    ///
    /// # Units
    /// mm; `at` is the start of its centre line, `turn_deg` degrees from x.
    ///
    /// ```
    /// use document::{FrameId, FramePiece};
    /// let rail = FramePiece::rail(FrameId(9), "Rail 1", (0.0, 60.0).into(), 500.0, 0.0);
    /// assert!(rail.carries((120.0, 60.0).into(), 0.5));
    /// assert!(!rail.carries((120.0, 70.0).into(), 0.5));
    /// assert_eq!(rail.mass_kg(), 0.8);
    /// ```
    pub fn rail(id: FrameId, name: &str, at: DVec2, length_mm: f64, turn_deg: f64) -> Self {
        let shape = FrameShape::Rail {
            length_mm,
            width_mm: RAIL_WIDTH_MM,
            pitch_mm: 0.0,
            first_mm: FIRST_MM,
            kg_m: RAIL_KG_M,
        };
        Self { id, name: name.to_owned(), at, turn_deg, height_mm: FRAME_HEIGHT_MM, shape }
    }
    /// A plate of 10 mm aluminium with holes every 25 mm; invented, generic figures.
    ///
    /// # Units
    /// mm; `at` is its lower left corner.
    pub fn plate(id: FrameId, name: &str, at: DVec2, length_mm: f64, width_mm: f64) -> Self {
        let shape = FrameShape::Plate {
            length_mm,
            width_mm,
            pitch_mm: DVec2::splat(PLATE_PITCH_MM),
            first_mm: DVec2::splat(FIRST_MM),
            kg_m2: PLATE_KG_M2,
        };
        Self { id, name: name.to_owned(), at, turn_deg: 0.0, height_mm: FRAME_HEIGHT_MM, shape }
    }

    /// Length and width on the plan, mm.
    pub fn size(&self) -> DVec2 {
        match self.shape {
            FrameShape::Rail { length_mm, width_mm, .. } | FrameShape::Plate { length_mm, width_mm, .. } => {
                DVec2::new(length_mm, width_mm)
            }
        }
    }
    /// Mass as cut, kg; the holes are not taken off.
    pub fn mass_kg(&self) -> f64 {
        match self.shape {
            FrameShape::Rail { length_mm, kg_m, .. } => length_mm / 1000.0 * kg_m,
            FrameShape::Plate { length_mm, width_mm, kg_m2, .. } => length_mm * width_mm / 1e6 * kg_m2,
        }
    }
    /// Its corners on the plan, mm, counter-clockwise from where its length starts.
    pub fn corners(&self) -> [DVec2; 4] {
        let size = self.size();
        // A rail is placed by its centre line, a plate by its corner.
        let (low, high) = match self.shape {
            FrameShape::Rail { .. } => (-size.y / 2.0, size.y / 2.0),
            FrameShape::Plate { .. } => (0.0, size.y),
        };
        [(0.0, low), (size.x, low), (size.x, high), (0.0, high)].map(|(x, y)| self.on_plan(DVec2::new(x, y)))
    }
    /// Middle of the piece, mm; z above the plane of the lips.
    pub fn centre(&self) -> DVec3 {
        let [a, _, b, _] = self.corners();
        ((a + b) / 2.0).extend(self.height_mm)
    }
    /// The place for a cup that is nearest to a point. Along an open slot (pitch 0) any point is a place, from the first one
    /// to as far from the other end; otherwise the first one and those a pitch apart, as long as they lie on the piece.
    ///
    /// # Units
    /// mm.
    ///
    /// ```
    /// use document::{FrameId, FramePiece};
    /// let plate = FramePiece::plate(FrameId(9), "Plate", (0.0, 0.0).into(), 300.0, 200.0);
    /// assert_eq!(plate.nearest_place((50.0, 90.0).into()).to_array(), [45.0, 95.0]);
    /// ```
    pub fn nearest_place(&self, at: DVec2) -> DVec2 {
        let along = turned(at - self.at, -self.turn_deg);
        let [x, y] = self.axes();
        self.on_plan(DVec2::new(x.nearest(along.x), y.nearest(along.y)))
    }
    /// Whether a cup at a point sits on a place of this piece.
    ///
    /// # Units
    /// mm.
    pub fn carries(&self, at: DVec2, tolerance_mm: f64) -> bool {
        self.nearest_place(at).distance(at) <= tolerance_mm
    }
    /// The places for cups, mm, row by row; of an open slot its two ends. At most ten thousand a row are listed.
    pub fn places(&self) -> Vec<DVec2> {
        let [x, y] = self.axes();
        let xs = x.places();
        let rows = y.places().into_iter().take(MOST_PLACES / xs.len().max(1) + 1);
        rows.flat_map(|y| xs.iter().map(move |x| DVec2::new(*x, y))).map(|p| self.on_plan(p)).collect()
    }

    fn axes(&self) -> [Axis; 2] {
        match self.shape {
            FrameShape::Rail { length_mm, pitch_mm, first_mm, .. } => [
                Axis { length: length_mm, pitch: pitch_mm, first: first_mm },
                Axis { length: 0.0, pitch: 0.0, first: 0.0 },
            ],
            FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, .. } => [
                Axis { length: length_mm, pitch: pitch_mm.x, first: first_mm.x },
                Axis { length: width_mm, pitch: pitch_mm.y, first: first_mm.y },
            ],
        }
    }
    /// From along and across the piece to the plan.
    fn on_plan(&self, along: DVec2) -> DVec2 {
        self.at + turned(along, self.turn_deg)
    }
}

/// Quarter turns are exact, so that a rail along y has no noise in its places.
fn turned(v: DVec2, deg: f64) -> DVec2 {
    match deg.rem_euclid(360.0) {
        0.0 => v,
        90.0 => v.perp(),
        180.0 => -v,
        270.0 => -v.perp(),
        other => DVec2::from_angle(other.to_radians()).rotate(v),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rail(length_mm: f64, pitch_mm: f64, first_mm: f64, turn_deg: f64) -> FramePiece {
        let shape = FrameShape::Rail { length_mm, width_mm: 40.0, pitch_mm, first_mm, kg_m: 1.5 };
        let at = DVec2::new(100.0, 50.0);
        FramePiece { shape, ..FramePiece::rail(FrameId(1), "Rail", at, length_mm, turn_deg) }
    }

    #[test]
    fn places_of_a_rail_are_a_pitch_apart_and_stay_on_it() {
        let piece = rail(300.0, 80.0, 20.0, 0.0);
        let xs: Vec<f64> = piece.places().iter().map(|p| p.x).collect();
        assert_eq!(xs, [120.0, 200.0, 280.0, 360.0]);
        assert_eq!(piece.nearest_place(DVec2::new(245.0, 90.0)), DVec2::new(280.0, 50.0));
        assert_eq!(piece.nearest_place(DVec2::new(900.0, 50.0)), DVec2::new(360.0, 50.0));
        assert_eq!(piece.nearest_place(DVec2::new(-900.0, 50.0)), DVec2::new(120.0, 50.0));
        // The last place may lie at the very end.
        assert_eq!(rail(0.3, 0.1, 0.0, 0.0).places().len(), 4);
    }

    #[test]
    fn an_open_slot_takes_a_cup_anywhere_between_its_ends() {
        let piece = rail(300.0, 0.0, 20.0, 90.0);
        assert_eq!(piece.places(), [DVec2::new(100.0, 70.0), DVec2::new(100.0, 330.0)]);
        assert_eq!(piece.nearest_place(DVec2::new(130.0, 123.4)), DVec2::new(100.0, 123.4));
        assert!(
            piece.carries(DVec2::new(100.3, 200.0), 0.5) && !piece.carries(DVec2::new(100.6, 200.0), 0.5)
        );
        assert!(!piece.carries(DVec2::new(100.0, 60.0), 0.5), "too near the end");
        // A first place beyond the middle leaves the middle.
        assert_eq!(rail(300.0, 0.0, 200.0, 0.0).places(), [DVec2::new(250.0, 50.0)]);
    }

    #[test]
    fn a_piece_weighs_what_is_cut_and_lies_where_it_is_turned() {
        let piece = rail(400.0, 0.0, 20.0, 90.0);
        assert!((piece.mass_kg() - 0.6).abs() < 1e-12);
        assert_eq!(piece.centre(), DVec3::new(100.0, 250.0, FRAME_HEIGHT_MM));
        assert_eq!(piece.corners()[0], DVec2::new(120.0, 50.0));
        let plate = FramePiece::plate(FrameId(2), "Plate", DVec2::new(10.0, 20.0), 400.0, 250.0);
        assert!((plate.mass_kg() - 2.7).abs() < 1e-12);
        assert_eq!(plate.centre(), DVec3::new(210.0, 145.0, FRAME_HEIGHT_MM));
        assert_eq!(plate.places().len(), 16 * 10, "380/25 and 230/25 whole spaces, and one each");
    }

    #[test]
    fn the_nearest_piece_is_found() {
        let low = FramePiece::rail(FrameId(1), "Low", DVec2::ZERO, 600.0, 0.0);
        let high = FramePiece { at: DVec2::new(0.0, 200.0), id: FrameId(2), ..low.clone() };
        let tool = Tool { frame: vec![low, high], ..Tool::default() };
        let at = DVec2::new(333.0, 150.0);
        let (piece, place) = tool.nearest_place(at).unwrap();
        assert_eq!((piece.id, place), (FrameId(2), DVec2::new(333.0, 200.0)));
        assert_eq!(tool.carrier_of(place, 0.1).map(|p| p.id), Some(FrameId(2)));
        assert_eq!(tool.carrier_of(at, 0.1), None);
        assert_eq!(Tool::default().nearest_place(at), None);
    }

    #[test]
    fn a_part_without_an_outline_has_the_flange_over_the_origin() {
        let part = Part::from_outline(crate::PartId(1), "P", std::sync::Arc::default());
        assert_eq!(Tool::preset(&part).flange, DVec3::new(0.0, 0.0, 150.0));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// No listed place is nearer than the nearest one, and the nearest is carried.
        #[test]
        fn the_nearest_place_is_the_nearest(
            x in -500.0..900.0f64, y in -500.0..900.0f64, turn in -400.0..400.0f64, plate in any::<bool>(),
            length in 1.0..600.0f64, pitch in 5.0..90.0f64, first in 0.0..700.0f64,
        ) {
            let mut piece = rail(length, pitch, first, turn);
            if plate {
                let (pitch_mm, first_mm) = (DVec2::new(pitch, 30.0), DVec2::new(first, 5.0));
                piece.shape = FrameShape::Plate { length_mm: length, width_mm: 200.0, pitch_mm, first_mm, kg_m2: 1.0 };
            }
            let at = DVec2::new(x, y);
            let nearest = piece.nearest_place(at);
            prop_assert!(piece.carries(nearest, 1e-6));
            let by_hand = piece.places().iter().map(|p| p.distance(at)).fold(f64::MAX, f64::min);
            prop_assert!((nearest.distance(at) - by_hand).abs() < 1e-6);
        }

        /// Whatever a form may hold for a moment, nothing panics or hangs.
        #[test]
        fn absurd_figures_are_survived(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), d in any::<f64>()) {
            let piece = rail(a, b, c, d);
            let _ = (piece.nearest_place(DVec2::new(d, a)), piece.carries(DVec2::ZERO, b), piece.corners());
            prop_assert!(piece.places().len() <= 2 * MOST_PLACES + 2);
        }
    }
}
