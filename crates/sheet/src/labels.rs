//! Finds places for texts on the plan where they lie on nothing else.

use crate::frame::Rect;
use crate::page::{Anchor, Item, Pen, Text, Tone, Weight};
use crate::style::THIN;
use crate::text_width::{CAP_HEIGHT, DESCENT, text_width};
use glam::{DVec2, dvec2};
use rstar::primitives::{GeomWithData, Line, Rectangle};
use rstar::{AABB, RTree};

/// Air around a text.
const AIR: f64 = 0.35;

/// What texts must keep off, and what has been placed.
pub(crate) struct Labels {
    room: Rect,
    lines: RTree<Line<[f64; 2]>>,
    solids: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    shapes: Vec<Vec<DVec2>>,
    texts: RTree<Rectangle<[f64; 2]>>,
}

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
    /// The box of the text when it stands in a direction from its subject; corners tuck in on round things.
    pub fn beside(&self, (dx, dy): (f64, f64), away: f64) -> Rect {
        let (w, h) = self.extent();
        let (centre, half) = ((self.of.min + self.of.max) / 2.0, (self.of.max - self.of.min) / 2.0);
        let corner = dx != 0.0 && dy != 0.0;
        let reach = if corner { half * 0.74 + 0.5 } else { half + 0.9 } + away;
        let middle = centre + dvec2(dx * (reach.x + w / 2.0), dy * (reach.y + h / 2.0));
        Rect::new(middle - dvec2(w, h) / 2.0, middle + dvec2(w, h) / 2.0)
    }
    fn extent(&self) -> (f64, f64) {
        (text_width(self.says, self.weight, self.size), self.size * (CAP_HEIGHT + self.tails()))
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

fn envelope(rect: &Rect) -> AABB<[f64; 2]> {
    AABB::from_corners(rect.min.to_array(), rect.max.to_array())
}

impl Labels {
    /// Texts stay within `room` and off the lines and the closed shapes.
    pub fn new(room: Rect, lines: &[Vec<DVec2>], solids: Vec<Vec<DVec2>>) -> Self {
        let mut segments = Vec::new();
        for points in lines.iter().chain(&solids) {
            segments.extend(points.windows(2).map(|pair| Line::new(pair[0].to_array(), pair[1].to_array())));
        }
        let boxes = solids.iter().enumerate().filter_map(|(index, points)| {
            let first = points.first()?;
            let (min, max) =
                points.iter().fold((*first, *first), |(min, max), point| (min.min(*point), max.max(*point)));
            Some(GeomWithData::new(Rectangle::from_corners(min.to_array(), max.to_array()), index))
        });
        Self {
            room,
            lines: RTree::bulk_load(segments),
            solids: RTree::bulk_load(boxes.collect()),
            texts: RTree::new(),
            shapes: solids,
        }
    }
    /// Whether a text may stand in this box.
    pub fn clear(&self, place: &Rect) -> bool {
        let middle = (place.min + place.max) / 2.0;
        let wide = place.inset(-AIR);
        self.apart(place)
            && !self.lines.locate_in_envelope_intersecting(envelope(&wide)).any(|line| crosses(&wide, line))
            && !self
                .solids
                .locate_in_envelope_intersecting(envelope(&wide))
                .any(|solid| geometry::ring_contains(&self.shapes[solid.data], middle))
    }
    /// Whether a box lies in the room and on no other text.
    fn apart(&self, place: &Rect) -> bool {
        let wide = place.inset(-AIR);
        self.room.contains(&wide)
            && self.texts.locate_in_envelope_intersecting(envelope(&wide)).next().is_none()
    }
    /// Runs an attempt; when it gives up, what it placed is taken back.
    pub fn attempt<T>(&mut self, attempt: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        let before = self.texts.clone();
        let done = attempt(self);
        if done.is_none() {
            self.texts = before;
        }
        done
    }
    /// Takes the place.
    pub fn take(&mut self, place: &Rect) {
        self.texts.insert(Rectangle::from_corners(place.min.to_array(), place.max.to_array()));
    }
    /// Puts a label beside its subject, then further off with a leader; `None` when there is no room at all.
    pub fn place(&mut self, label: &Label, around: &[(f64, f64)], leader: bool) -> Option<Vec<Item>> {
        for away in [0.0, 0.8, 1.8] {
            for direction in around {
                let place = label.beside(*direction, away);
                if self.clear(&place) {
                    self.take(&place);
                    return Some(vec![label.item(place)]);
                }
            }
        }
        if leader { self.with_leader(label) } else { None }
    }
    /// A label within its subject, when the subject is wide enough: over a clear patch in its upper half.
    pub fn place_within(&mut self, label: &Label, patch: Tone) -> Option<Vec<Item>> {
        let (w, h) = label.extent();
        let centre = (label.of.min + label.of.max) / 2.0;
        let half = (label.of.max - label.of.min) / 2.0;
        for up in [0.42, -0.42] {
            let middle = centre + dvec2(0.0, half.y * up);
            let place = Rect::new(middle - dvec2(w, h) / 2.0, middle + dvec2(w, h) / 2.0);
            let corner = (place.max - centre).abs().max((place.min - centre).abs()) + 0.25;
            let fits = (corner / half).length() < 0.94;
            if fits && self.apart(&place) {
                self.take(&place);
                let patch_area = place.inset(-0.25);
                let contours = vec![crate::page::Contour::rectangle(patch_area.min, patch_area.max)];
                return Some(vec![Item::Path { contours, pen: None, fill: Some(patch) }, label.item(place)]);
            }
        }
        None
    }
    fn with_leader(&mut self, label: &Label) -> Option<Vec<Item>> {
        let (w, h) = label.extent();
        let centre = (label.of.min + label.of.max) / 2.0;
        let half = (label.of.max - label.of.min) / 2.0;
        for ring in 1..=10 {
            let far = half.max_element() + f64::from(ring) * 2.2;
            for step in 0..24 {
                let toward = DVec2::from_angle(f64::from(step) * std::f64::consts::TAU / 24.0);
                let near = centre + toward * far;
                let side = if toward.x >= 0.0 { 1.0 } else { -1.0 };
                let middle = near + dvec2(side * (w / 2.0 + 0.6), 0.0);
                let place = Rect::new(middle - dvec2(w, h) / 2.0, middle + dvec2(w, h) / 2.0);
                let from = centre + toward * (half * toward.abs()).length().min(half.max_element());
                if self.clear(&place) && self.free_of_texts(from, near) {
                    self.take(&place);
                    let pen = Pen::solid(THIN, Tone::Second);
                    return Some(vec![Item::Line { from, to: near, pen }, label.item(place)]);
                }
            }
        }
        None
    }
    fn free_of_texts(&self, from: DVec2, to: DVec2) -> bool {
        let line = Line::new(from.to_array(), to.to_array());
        let span = Rect::new(from.min(to), from.max(to));
        !self.texts.locate_in_envelope_intersecting(envelope(&span)).any(|text| {
            let (lower, upper) = (text.lower(), text.upper());
            crosses(&Rect::new(lower.into(), upper.into()), &line)
        })
    }
}

/// Whether a line passes through a rectangle (slab test).
fn crosses(rect: &Rect, line: &Line<[f64; 2]>) -> bool {
    let (from, to) = (DVec2::from(line.from), DVec2::from(line.to));
    let along = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        if along[axis].abs() < 1e-12 {
            if from[axis] < rect.min[axis] || from[axis] > rect.max[axis] {
                return false;
            }
            continue;
        }
        let a = (rect.min[axis] - from[axis]) / along[axis];
        let b = (rect.max[axis] - from[axis]) / along[axis];
        enter = enter.max(a.min(b));
        leave = leave.min(a.max(b));
    }
    enter <= leave
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
    #[test]
    fn crossing_is_seen_without_an_end_inside() {
        let rect = Rect::new(dvec2(1.0, 1.0), dvec2(2.0, 2.0));
        assert!(crosses(&rect, &Line::new([0.0, 0.0], [3.0, 3.0])));
        assert!(!crosses(&rect, &Line::new([0.0, 2.1], [3.0, 2.1])));
        assert!(!crosses(&rect, &Line::new([0.0, 0.0], [0.9, 0.9])));
    }
}
