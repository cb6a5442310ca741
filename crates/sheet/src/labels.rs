//! Finds places for texts on the plan where they lie on nothing else.

use crate::frame::Rect;
use crate::page::{Anchor, Item, Pen, Text, Tone, Weight};
use crate::style::THIN;
use crate::text_width::{CAP_HEIGHT, DESCENT, text_width};
use geometry::{Bounds, Leader, Mark, Placer, Wanted};
use glam::{DVec2, dvec2};

/// Air around a text.
const AIR: f64 = 0.35;

/// What texts must keep off, and what has been placed.
pub(crate) struct Labels(Placer);

/// Air between a thing and the text at its side, and at its corner, mm.
const BESIDE: [f64; 2] = [0.9, 0.5];
/// The same, where the nearest places are taken, mm more.
const AWAY: [f64; 3] = [0.0, 0.8, 1.8];
/// How far off a text on a leader may begin, mm.
const OFFS: [f64; 10] = [2.2, 4.4, 6.6, 8.8, 11.0, 13.2, 15.4, 17.6, 19.8, 22.0];
/// Directions of a leader.
const WAYS: u32 = 24;

/// A text that wants a place near something.
#[derive(Debug, Clone)]
pub(crate) struct Label<'a> {
    pub says: &'a str,
    pub size: f64,
    pub weight: Weight,
    pub tone: Tone,
    /// Middle and half size of what it belongs to.
    pub of: Rect,
}

/// Directions in the order of preference, as (x, y) signs.
pub(crate) const AROUND: [(f64, f64); 8] =
    [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];

impl Label<'_> {
    /// The boxes of the text when it stands in these directions from its subject, best first.
    fn spots(&self, ways: &[(f64, f64)], away: f64) -> Vec<Bounds> {
        let (centre, half) = ((self.of.min + self.of.max) / 2.0, (self.of.max - self.of.min) / 2.0);
        geometry::around(centre, half, self.extent(), ways, BESIDE.map(|air| air + away))
    }
    /// The box of the text when it stands in a direction from its subject.
    pub fn beside(&self, way: (f64, f64)) -> Rect {
        self.spots(&[way], 0.0).first().map_or(self.of, |spot| Rect::new(spot.min, spot.max))
    }
    fn extent(&self) -> DVec2 {
        dvec2(text_width(self.says, self.weight, self.size), self.size * (CAP_HEIGHT + self.tails()))
    }
    /// Room below the baseline, over the em: tags of capitals and figures need none.
    fn tails(&self) -> f64 {
        // Of the capitals Q alone goes below.
        let level =
            self.says.chars().all(|c| (c.is_ascii_uppercase() && c != 'Q') || c.is_ascii_digit() || c == '.');
        if level { 0.0 } else { DESCENT }
    }
    /// The text in its box.
    pub fn item(&self, place: Rect) -> Item {
        Item::Text(Text {
            at: place.min + dvec2(0.0, self.size * self.tails()),
            text: self.says.to_owned(),
            size: self.size,
            weight: self.weight,
            tone: self.tone,
            anchor: Anchor::Start,
            turn_deg: 0.0,
        })
    }
}

fn bounds(rect: &Rect) -> Bounds {
    Bounds { min: rect.min, max: rect.max }
}

impl Labels {
    /// Texts stay within `room` and off the lines and the closed shapes.
    pub fn new(room: Rect, lines: &[Vec<DVec2>], solids: Vec<Vec<DVec2>>) -> Self {
        let mut placer = Placer::new(bounds(&room.inset(AIR)), AIR);
        for points in lines {
            points.windows(2).for_each(|pair| placer.keep_off(Mark::Line(pair[0], pair[1])));
        }
        solids.into_iter().for_each(|points| placer.keep_off(Mark::Shape(points)));
        Self(placer)
    }
    /// Whether a text may stand in this box.
    pub fn clear(&self, place: &Rect) -> bool {
        self.0.clear(&bounds(place))
    }
    /// Runs an attempt; when it gives up, what it placed is taken back.
    pub fn attempt<T>(&mut self, attempt: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        let before = self.0.state();
        let done = attempt(self);
        if done.is_none() {
            self.0.back_to(before);
        }
        done
    }
    /// Takes the place.
    pub fn take(&mut self, place: &Rect) {
        self.0.take(&bounds(place));
    }
    /// Puts a label beside its subject, then further off with a leader; `None` when there is no room at all.
    pub fn place(&mut self, label: &Label, around: &[(f64, f64)], leader: bool) -> Option<Vec<Item>> {
        let spots: Vec<Bounds> = AWAY.iter().flat_map(|away| label.spots(around, *away)).collect();
        let (to, half) = ((label.of.min + label.of.max) / 2.0, (label.of.max - label.of.min) / 2.0);
        let leader = leader.then_some(Leader { to, half, offs: &OFFS, ways: WAYS });
        let place = self.0.place(&Wanted { spots: &spots, leader, over: false, must: false })?;
        let pen = Pen::solid(THIN, Tone::Second);
        let line = place.leader.map(|[to, from]| Item::Line { from, to, pen });
        let text = label.item(Rect::new(place.bounds.min, place.bounds.max));
        Some(line.into_iter().chain([text]).collect())
    }
    /// A label within its subject, when the subject is wide enough: over a clear patch in its upper half.
    pub fn place_within(&mut self, label: &Label, patch: Tone) -> Option<Vec<Item>> {
        let extent = label.extent();
        let centre = (label.of.min + label.of.max) / 2.0;
        let half = (label.of.max - label.of.min) / 2.0;
        for up in [0.42, -0.42] {
            let middle = centre + dvec2(0.0, half.y * up);
            let place = Rect::new(middle - extent / 2.0, middle + extent / 2.0);
            let corner = (place.max - centre).abs().max((place.min - centre).abs()) + 0.25;
            let fits = (corner / half).length() < 0.94;
            if fits && self.0.apart(&bounds(&place)) {
                self.take(&place);
                let patch_area = place.inset(-0.25);
                let contours = vec![crate::page::Contour::rectangle(patch_area.min, patch_area.max)];
                return Some(vec![Item::Path { contours, pen: None, fill: Some(patch) }, label.item(place)]);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(says: &str) -> Label<'_> {
        let of = Rect::new(dvec2(48.0, 48.0), dvec2(52.0, 52.0));
        Label { says, size: 3.0, weight: Weight::Regular, tone: Tone::Ink, of }
    }
    fn room() -> Rect {
        Rect::new(DVec2::ZERO, dvec2(100.0, 100.0))
    }
    #[test]
    fn second_label_of_one_place_goes_elsewhere() {
        let mut labels = Labels::new(room(), &[], Vec::new());
        let first = labels.place(&label("C1"), &AROUND, true).unwrap();
        let second = labels.place(&label("C1"), &AROUND, true).unwrap();
        assert_ne!(first, second);
    }
    #[test]
    fn keeps_off_lines_and_out_of_shapes() {
        // A wall just right of the subject leaves only the left.
        let wall = vec![vec![dvec2(53.0, 0.0), dvec2(53.0, 100.0)]];
        let mut labels = Labels::new(room(), &wall, Vec::new());
        let items = labels.place(&label("C1"), &AROUND, true).unwrap();
        let Item::Text(text) = &items[0] else { panic!("no text") };
        assert!(text.at.x < 48.0);
        let all = vec![DVec2::ZERO, dvec2(100.0, 0.0), dvec2(100.0, 100.0), dvec2(0.0, 100.0), DVec2::ZERO];
        let mut labels = Labels::new(room(), &[], vec![all]);
        assert_eq!(labels.place(&label("C1"), &AROUND, true), None);
    }
}
