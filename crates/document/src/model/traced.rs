//! A picture that lies under the plan to draw an outline over: a scan, a photograph of a drawing.

use glam::DVec2;
use std::sync::Arc;

/// A picture to trace. It is an aid, not content: nothing is worked out from it, nothing of it is handed out, and the mark of
/// the content does not cover it. It is kept in the project rather than by its path, since a colleague who opens the file has
/// neither the folder nor the picture, and a file holds no paths of a machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    /// File name without folders.
    pub name: String,
    /// A PNG of greys, at most [`Traced::MOST_BYTES`].
    pub png: Arc<[u8]>,
    /// Its lower left corner on the part, mm.
    pub at: DVec2,
    /// Turned about that corner, degrees counter-clockwise.
    pub turn_deg: f64,
    /// Side of one of its dots, mm.
    pub dot_mm: f64,
    /// How dark it is drawn: 0 nothing, 1 as it is.
    pub strength: f64,
    /// Whether it stays where it is when it is dragged.
    pub locked: bool,
}

impl Traced {
    /// Bytes that a picture may take in the file. A sheet scanned at 200 dots per inch has some 200 000 as greys.
    pub const MOST_BYTES: usize = 1_000_000;
    /// Dots of a picture, so that unpacking it takes little memory.
    pub const MOST_DOTS: u64 = 4_000_000;
    /// Dots along a side: what a screen's memory of pictures takes.
    pub const MOST_SIDE: u32 = 4096;
    /// A picture under a plan is a guide: dark enough to follow, light enough to see the outline on it (common practice, no
    /// source).
    pub const USUAL_STRENGTH: f64 = 0.35;

    /// Width and height in dots, as the picture's head says (PNG, 11.2.2); `None` where it has no such head, or they are none
    /// that are drawn.
    pub fn dots(&self) -> Option<[u32; 2]> {
        const HEAD: &[u8] = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR";
        let sizes = self.png.strip_prefix(HEAD)?.first_chunk::<8>()?;
        let side = |bytes: &[u8]| bytes.iter().fold(0u32, |all, byte| all << 8 | u32::from(*byte));
        let dots = [side(&sizes[..4]), side(&sizes[4..])];
        let within = dots.iter().all(|side| (1..=Self::MOST_SIDE).contains(side))
            && u64::from(dots[0]) * u64::from(dots[1]) <= Self::MOST_DOTS;
        within.then_some(dots)
    }

    /// Its size on the part, mm.
    pub fn size_mm(&self) -> DVec2 {
        let [wide, high] = self.dots().unwrap_or_default();
        DVec2::new(f64::from(wide), f64::from(high)) * self.dot_mm
    }

    /// Its corners on the part, mm, counter-clockwise from the lower left one of the picture.
    pub fn corners(&self) -> [DVec2; 4] {
        let (size, turn) = (self.size_mm(), DVec2::from_angle(self.turn_deg.to_radians()));
        [DVec2::ZERO, DVec2::new(size.x, 0.0), size, DVec2::new(0.0, size.y)]
            .map(|corner| self.at + turn.rotate(corner))
    }

    /// The picture turned to so many degrees about its own middle.
    ///
    /// # Units
    /// Degrees, counter-clockwise.
    pub fn turned_to(&self, turn_deg: f64) -> Self {
        let [from, _, to, _] = self.corners();
        self.turned_about((from + to) / 2.0, turn_deg - self.turn_deg)
    }

    /// The picture turned, by an eighth of a turn at most, until the line through two places of it lies level or upright,
    /// whichever is nearer; the first place stays where it is. `None` where the two are one place.
    pub fn levelled(&self, from: DVec2, to: DVec2) -> Option<Self> {
        let way = to - from;
        let off = way.to_angle().to_degrees();
        (way.length() > 1e-9).then(|| self.turned_about(from, (off / 90.0).round() * 90.0 - off))
    }

    fn turned_about(&self, middle: DVec2, by_deg: f64) -> Self {
        let turn = DVec2::from_angle(by_deg.to_radians());
        let turn_deg = 180.0 - (180.0 - (self.turn_deg + by_deg)).rem_euclid(360.0);
        // What is a rounding of nothing is nothing.
        let turn_deg = if turn_deg.abs() < 1e-9 { 0.0 } else { turn_deg };
        Self { at: middle + turn.rotate(self.at - middle), turn_deg, ..self.clone() }
    }

    /// The picture at the scale at which two places of it, as it lies, are so far apart; the first stays where it is. `None`
    /// where the two are one place or the distance is none.
    ///
    /// # Units
    /// mm.
    pub fn scaled(&self, from: DVec2, to: DVec2, distance_mm: f64) -> Option<Self> {
        let now = from.distance(to);
        let times = distance_mm / now;
        (now > 1e-9 && distance_mm > 0.0 && times.is_finite() && times > 0.0).then(|| Self {
            at: from + (self.at - from) * times,
            dot_mm: self.dot_mm * times,
            ..self.clone()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(wide: u32, high: u32) -> Traced {
        let mut png = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR".to_vec();
        png.extend(wide.to_be_bytes());
        png.extend(high.to_be_bytes());
        png.extend([8, 0, 0, 0, 0]);
        let at = DVec2::new(10.0, 20.0);
        Traced {
            name: "scan.png".to_owned(),
            png: png.into(),
            at,
            turn_deg: 0.0,
            dot_mm: 0.5,
            strength: 0.35,
            locked: false,
        }
    }

    #[test]
    fn two_places_and_their_distance_give_the_scale() {
        let before = picture(200, 100);
        assert_eq!(before.size_mm(), DVec2::new(100.0, 50.0));
        let (from, to) = (DVec2::new(20.0, 30.0), DVec2::new(60.0, 30.0));
        let after = before.scaled(from, to, 120.0).expect("two places");
        assert!((after.dot_mm - 1.5).abs() < 1e-12);
        // What lay at the first place still does.
        assert!((from - after.at - (from - before.at) * 3.0).length() < 1e-9);
        assert_eq!(before.scaled(from, from, 120.0), None);
        assert_eq!(before.scaled(from, to, 0.0), None);
    }

    #[test]
    fn two_places_lay_a_picture_level_or_upright() {
        let crooked = picture(200, 100).turned_to(3.0);
        assert_eq!(crooked.turn_deg, 3.0);
        let middle = |p: &Traced| (p.corners()[0] + p.corners()[2]) / 2.0;
        assert!((middle(&crooked) - middle(&picture(200, 100))).length() < 1e-9, "about its middle");
        let [a, b, _, d] = crooked.corners();
        for (from, to) in [(a, b), (b, a), (a, d)] {
            let level = crooked.levelled(from, to).expect("two places");
            assert!(level.turn_deg.abs() < 1e-9, "{}", level.turn_deg);
        }
        // What lay at the first place still does, and the rest is where it is turned to.
        let level = crooked.levelled(b, a).expect("two places");
        assert!((level.corners()[1] - b).length() < 1e-9);
        assert_eq!(crooked.levelled(a, a), None);
        // A scan that lies on its side is turned by hand.
        assert_eq!(crooked.turned_to(270.0).turn_deg, -90.0);
        assert_eq!(crooked.turned_to(180.0).turn_deg, 180.0);
        let scaled = crooked.scaled(a, b, 2.0 * a.distance(b)).expect("two places");
        assert!((scaled.corners()[1] - (a + 2.0 * (b - a))).length() < 1e-9);
    }

    #[test]
    fn a_head_that_asks_for_too_much_has_no_dots() {
        assert_eq!(picture(200, 100).dots(), Some([200, 100]));
        assert_eq!(picture(60_000, 60_000).dots(), None);
        assert_eq!(picture(4096, 4096).dots(), None);
        assert_eq!(picture(0, 10).dots(), None);
        assert_eq!(Traced { png: (*b"GIF89a").into(), ..picture(1, 1) }.dots(), None);
    }
}
