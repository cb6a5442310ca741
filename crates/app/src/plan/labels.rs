//! Lettering on the plan, placed together: what counts most first, nothing on anything else. A label that finds no place is
//! left out, and is told under the pointer; zooming in brings it back.

use egui::{Align2, Color32, Galley, Painter, Pos2, Rect, Shape, Stroke, Vec2};
use geometry::{Bounds, Leader, Mark, Placer, Wanted};
use glam::{DVec2, dvec2};
use std::{cell::RefCell, sync::Arc};

/// Room kept free round a label, points.
const APART: f64 = 1.5;
/// What a bar below a label takes, points.
const BAR: f32 = 5.0;
/// A line of more points than this is a drawing's detail, not an edge to read by.
const MOST_POINTS: usize = 1_500;
/// How far off a label on a leader may begin, points beyond what it belongs to.
const OFFS: [f64; 3] = [24.0, 46.0, 82.0];
/// Directions of a leader.
const WAYS: u32 = 8;

/// What counts more is placed first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rank {
    /// Of what is selected or under the pointer: always shown.
    InHand,
    /// Of what fails.
    Fails,
    /// Names of cups.
    Tag,
    /// Figures beside cups.
    Figure,
    /// Names of everything else.
    Name,
}

/// A text that wants a place.
pub struct Label {
    rank: Rank,
    galley: Arc<Galley>,
    colour: Color32,
    /// Where it may stand, best first.
    spots: Vec<Rect>,
    /// The middle of what it belongs to and half its size, where a line may lead there.
    leader: Option<(Pos2, Vec2)>,
    /// Over drawn things it stands on a patch of this.
    patch: Color32,
    /// A bar below it: its filled share and colours.
    bar: Option<(f32, [Color32; 2])>,
    /// Where the pointer brings it out when it was left out.
    home: Rect,
}

impl Label {
    /// A text at one of some places, best first; over drawn things it stands on a patch.
    pub fn new(
        rank: Rank,
        galley: Arc<Galley>,
        colour: Color32,
        spots: &[(Pos2, Align2)],
        patch: Color32,
    ) -> Self {
        let spots: Vec<Rect> =
            spots.iter().map(|(at, align)| align.anchor_size(*at, galley.size())).collect();
        let home = spots.first().copied().unwrap_or(Rect::NOTHING);
        Self { rank, galley, colour, spots, leader: None, patch, bar: None, home }
    }

    /// With a line to what it belongs to, where it stands off: to the ellipse in the box of half this size about its middle.
    pub fn leading_to(self, at: Pos2, half: Vec2) -> Self {
        Self { leader: Some((at, half)), ..self }
    }

    /// What the pointer brings it out over when it was left out.
    pub fn of(self, home: Rect) -> Self {
        Self { home, ..self }
    }

    /// Where the pointer brings it out: beside what it belongs to, off other texts and things where one of its sides is.
    fn brought_out(&self, bounds: Rect, placer: &Placer) -> Rect {
        let free = |at: &Rect| placer.off_things(&box_of(at.expand(2.5)));
        beside(self.home, self.galley.size(), bounds, free)
    }

    /// With a bar below, filled to a share.
    pub fn with_bar(self, share: f32, colours: [Color32; 2]) -> Self {
        Self { bar: Some((share.clamp(0.0, 1.0), colours)), ..self }
    }
}

/// Places round a middle in which a text of a cup or a mark may stand: right, left, above, below, then the corners, or with
/// those above and below first.
pub fn around(middle: Pos2, reach: Vec2, upright: bool) -> Vec<(Pos2, Align2)> {
    let at = |x: f32, y: f32| middle + Vec2::new(x * reach.x, y * reach.y);
    let sides = [(at(1.0, 0.0), Align2::LEFT_CENTER), (at(-1.0, 0.0), Align2::RIGHT_CENTER)];
    let ends = [(at(0.0, -1.0), Align2::CENTER_BOTTOM), (at(0.0, 1.0), Align2::CENTER_TOP)];
    let corners = [
        (at(0.75, -0.75), Align2::LEFT_BOTTOM),
        (at(-0.75, -0.75), Align2::RIGHT_BOTTOM),
        (at(0.75, 0.75), Align2::LEFT_TOP),
        (at(-0.75, 0.75), Align2::RIGHT_TOP),
    ];
    let (first, second) = if upright { (ends, sides) } else { (sides, ends) };
    first.into_iter().chain(second).chain(corners).collect()
}

/// A place within the plan for a text of this size that leaves what it belongs to free, and others too if one of its sides does.
fn beside(home: Rect, size: Vec2, bounds: Rect, free: impl Fn(&Rect) -> bool) -> Rect {
    const AIR: f32 = 8.0;
    let most = bounds.shrink(4.0);
    let within = |at: Rect| {
        let into = |low: f32, high: f32, least: f32, most: f32| (most - high).min(0.0).max(least - low);
        at.translate(Vec2::new(
            into(at.left(), at.right(), most.left(), most.right()),
            into(at.top(), at.bottom(), most.top(), most.bottom()),
        ))
    };
    let sides = [
        Align2::LEFT_CENTER.anchor_size(home.right_center() + Vec2::new(AIR, 0.0), size),
        Align2::RIGHT_CENTER.anchor_size(home.left_center() - Vec2::new(AIR, 0.0), size),
        Align2::CENTER_BOTTOM.anchor_size(home.center_top() - Vec2::new(0.0, AIR), size),
        Align2::CENTER_TOP.anchor_size(home.center_bottom() + Vec2::new(0.0, AIR), size),
    ];
    let sides = sides.map(within);
    let own = |at: &&Rect| !at.intersects(home);
    let found = sides.iter().filter(own).find(|at| free(at)).or_else(|| sides.iter().find(own));
    *found.unwrap_or(&sides[0])
}

/// Labels and marks of one frame.
#[derive(Default)]
pub struct Labels {
    wanted: Vec<Label>,
    marks: Vec<Mark>,
    /// Everything stands on a patch: shades and their lines lie under the whole plan.
    patched: bool,
}

/// Where a label came to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    rect: Rect,
    /// Over something drawn.
    over: bool,
    /// The line that leads to what it belongs to.
    led: Option<[Pos2; 2]>,
}

fn place_of(at: Pos2) -> DVec2 {
    dvec2(f64::from(at.x), f64::from(at.y))
}
fn box_of(rect: Rect) -> Bounds {
    Bounds { min: place_of(rect.min), max: place_of(rect.max) }
}
fn point_of(at: DVec2) -> Pos2 {
    Pos2::new(at.x as f32, at.y as f32)
}

impl Labels {
    /// Wants a place for a text.
    pub fn add(&mut self, label: Label) {
        self.wanted.push(label);
    }

    /// Every text stands on a patch.
    pub fn on_patches(&mut self) {
        self.patched = true;
    }

    /// Keeps lettering off a disc.
    pub fn keep_off_disc(&mut self, at: Pos2, radius: f32) {
        self.marks.push(Mark::Disc(place_of(at), f64::from(radius)));
    }

    /// Keeps lettering off a line, such as an arrow.
    pub fn keep_off_line(&mut self, from: Pos2, to: Pos2) {
        self.marks.push(Mark::Line(place_of(from), place_of(to)));
    }

    /// Keeps lettering off a line from point to point, unless there are so many that nothing could be kept off them.
    pub fn keep_off_path(&mut self, points: impl ExactSizeIterator<Item = Pos2>) {
        if points.len() > MOST_POINTS {
            return;
        }
        let mut last = None;
        for point in points {
            if let Some(last) = last {
                self.keep_off_line(last, point);
            }
            last = Some(point);
        }
    }

    /// Keeps lettering off an area.
    pub fn keep_off(&mut self, area: Rect) {
        self.marks.push(Mark::Area(box_of(area)));
    }

    /// A place for each label within the bounds; `None` for one that is left out. And what is free then.
    fn places(&self, bounds: Rect) -> (Vec<Option<Place>>, Placer) {
        let mut placer = Placer::new(box_of(bounds), APART);
        self.marks.iter().for_each(|mark| placer.keep_off(mark.clone()));
        let mut order: Vec<usize> = (0..self.wanted.len()).collect();
        order.sort_by_key(|index| self.wanted[*index].rank);
        let mut places = vec![None; self.wanted.len()];
        for index in order {
            let label = &self.wanted[index];
            let bar = Vec2::new(0.0, if label.bar.is_some() { BAR } else { 0.0 });
            let with_bar = |rect: &Rect| box_of(Rect::from_min_max(rect.min, rect.max + bar));
            let spots: Vec<Bounds> = label.spots.iter().map(with_bar).collect();
            let leader = label.leader.map(|(to, half)| {
                let half = place_of(half.to_pos2());
                Leader { to: place_of(to), half, offs: &OFFS, ways: WAYS }
            });
            // Rather over a line than not at all, where it counts.
            let (over, must) = (label.rank <= Rank::Figure, label.rank == Rank::InHand);
            let placed = placer.place(&Wanted { spots: &spots, leader, over, must });
            places[index] = placed.map(|place| {
                let rect = Rect::from_min_max(point_of(place.bounds.min), point_of(place.bounds.max) - bar);
                Place { rect, over: place.over, led: place.leader.map(|line| line.map(point_of)) }
            });
        }
        (places, placer)
    }

    /// Draws all that found a place, and what the pointer is over of those that did not.
    pub fn draw(self, painter: &Painter, bounds: Rect, pointer: Option<Pos2>, line: Color32) {
        let (places, placer) = self.places(bounds);
        let mut missing: Vec<&Label> = Vec::new();
        for (label, place) in self.wanted.iter().zip(places) {
            let Some(place) = place else {
                missing.push(label);
                continue;
            };
            if let Some([from, to]) = place.led {
                painter.line_segment([from, to], Stroke::new(0.8, line));
                painter.circle_filled(to, 1.5, line);
            }
            if place.over || place.led.is_some() || self.patched {
                painter.rect_filled(place.rect.expand2(Vec2::new(3.0, 0.0)), 2.0, label.patch);
            }
            painter.galley(place.rect.min, label.galley.clone(), label.colour);
            if let Some((share, [empty, full])) = label.bar {
                let below = place.rect.left_bottom() + Vec2::new(0.0, 1.0);
                let bar = Rect::from_min_size(below, Vec2::new(place.rect.width(), 3.0));
                painter.rect_filled(bar, 1.0, empty);
                let fill = Rect::from_min_size(bar.min, Vec2::new(bar.width() * share, bar.height()));
                painter.rect_filled(fill, 1.0, full);
            }
        }
        let over = |pointer: Pos2| missing.into_iter().find(|label| label.home.contains(pointer));
        if let Some(label) = pointer.and_then(over) {
            let at = label.brought_out(bounds, &placer);
            painter.rect_filled(at.expand2(Vec2::new(4.0, 2.0)), 2.0, label.patch.to_opaque());
            painter.add(Shape::galley(at.min, label.galley.clone(), label.colour));
        }
    }

    /// What would be left out within the bounds, for tests.
    #[cfg(test)]
    fn left_out(&self, bounds: Rect) -> Vec<Rank> {
        let (places, _) = self.places(bounds);
        self.wanted
            .iter()
            .zip(places)
            .filter(|(_, place)| place.is_none())
            .map(|(label, _)| label.rank)
            .collect()
    }
}

/// What a frame of the plan collects its labels in.
pub type Collected = RefCell<Labels>;

#[cfg(test)]
mod tests {
    use super::*;
    use egui::FontId;
    use proptest::prelude::*;

    const BOUNDS: Rect = Rect { min: Pos2::ZERO, max: Pos2::new(400.0, 300.0) };

    fn labels(wanted: Vec<(Rank, Vec<Rect>)>, marks: Vec<Mark>) -> Labels {
        let ctx = egui::Context::default();
        let mut galley = None;
        let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
            galley = Some(ui.painter().layout_no_wrap("C1".to_owned(), FontId::default(), Color32::BLACK));
        });
        output.textures_delta.clear();
        let galley = galley.unwrap();
        let label = |(rank, spots): (Rank, Vec<Rect>)| Label {
            rank,
            galley: galley.clone(),
            colour: Color32::BLACK,
            leader: spots.first().map(|spot| (spot.left_center(), Vec2::splat(3.0))),
            home: spots.first().copied().unwrap_or(Rect::NOTHING),
            spots,
            patch: Color32::WHITE,
            bar: None,
        };
        Labels { wanted: wanted.into_iter().map(label).collect(), marks, patched: false }
    }

    fn spot(x: f32, y: f32) -> Rect {
        Rect::from_min_size(Pos2::new(x, y), Vec2::new(30.0, 12.0))
    }

    #[test]
    fn the_first_free_place_is_taken_and_what_counts_more_has_it() {
        let two = vec![(Rank::Name, vec![spot(50.0, 50.0)]), (Rank::Tag, vec![spot(50.0, 50.0)])];
        let places = labels(two, Vec::new()).places(BOUNDS).0;
        assert_eq!(places[1].unwrap().rect, spot(50.0, 50.0));
        // The other one stands off on a leader.
        assert!(places[0].is_some_and(|place| place.led.is_some()));
    }

    #[test]
    fn what_the_pointer_brings_out_leaves_its_cup_free() {
        for x in [0.0, 40.0, 200.0, 360.0, 400.0] {
            let home = Rect::from_center_size(Pos2::new(x, 150.0), Vec2::splat(60.0));
            let at = beside(home, Vec2::new(80.0, 14.0), BOUNDS, |_| true);
            assert!(BOUNDS.contains_rect(at) && !at.intersects(home), "{at:?}");
            let other = beside(home, Vec2::new(80.0, 14.0), BOUNDS, |side| !side.intersects(at));
            assert!(BOUNDS.contains_rect(other) && !other.intersects(home), "{other:?}");
            assert!(!other.intersects(at), "{at:?}");
        }
    }

    #[test]
    fn what_the_pointer_brings_out_keeps_off_cups() {
        let home = Rect::from_center_size(BOUNDS.center(), Vec2::new(100.0, 30.0));
        let cup = Mark::Disc(place_of(home.right_center() + Vec2::new(30.0, 0.0)), 20.0);
        let labels = labels(vec![(Rank::Name, vec![home])], vec![cup.clone(), Mark::Area(box_of(home))]);
        let (places, placer) = labels.places(BOUNDS);
        let lone = &labels.wanted[0];
        assert!(places[0].is_none_or(|place| place.led.is_some()));
        let at = lone.brought_out(BOUNDS, &placer);
        assert!(!at.intersects(home) && at.right() < home.left(), "{at:?}");
        let (_, bare) = Labels::default().places(BOUNDS);
        assert!(lone.brought_out(BOUNDS, &bare).left() > home.right(), "the first side where nothing stands");
    }

    /// Over shades a text has a ground of its own wherever it stands.
    #[test]
    fn over_shades_every_text_stands_on_a_patch() {
        let patches = |patched: bool| {
            let mut all = labels(vec![(Rank::Tag, vec![spot(50.0, 50.0)])], Vec::new());
            if patched {
                all.on_patches();
            }
            let ctx = egui::Context::default();
            let mut all = Some(all);
            let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
                if let Some(all) = all.take() {
                    all.draw(ui.painter(), BOUNDS, None, Color32::BLACK);
                }
            });
            output.textures_delta.clear();
            output.shapes.iter().filter(|clipped| matches!(clipped.shape, Shape::Rect(_))).count()
        };
        assert_eq!(patches(true), patches(false) + 1);
    }

    /// A long lip that lies across is not high: the line ends at the lip and not beside it.
    #[test]
    fn a_line_ends_at_what_it_belongs_to() {
        let taken = vec![(Rank::Tag, vec![spot(150.0, 100.0)]), (Rank::Name, vec![spot(150.0, 100.0)])];
        let (at, half) = (Pos2::new(165.0, 106.0), Vec2::new(60.0, 12.0));
        let mut long = labels(taken, Vec::new());
        long.wanted[1].leader = Some((at, half));
        let [_, end] = long.places(BOUNDS).0[1].unwrap().led.unwrap();
        assert!(Rect::from_center_size(at, 2.0 * half).expand(0.01).contains(end), "{end:?}");
    }

    #[test]
    fn a_name_is_left_out_where_a_figure_stands_over_a_line_on_a_patch() {
        let all = Mark::Area(box_of(BOUNDS));
        let two = vec![(Rank::Name, vec![spot(50.0, 50.0)]), (Rank::Figure, vec![spot(150.0, 50.0)])];
        let crowded = labels(two, vec![all]);
        assert_eq!(crowded.left_out(BOUNDS), [Rank::Name]);
        assert!(crowded.places(BOUNDS).0[1].unwrap().over);
    }

    #[test]
    fn what_is_in_hand_is_always_shown() {
        let taken = vec![(Rank::InHand, vec![spot(-10.0, 50.0)]), (Rank::Tag, vec![spot(50.0, 50.0)])];
        assert!(labels(taken, Vec::new()).left_out(BOUNDS).is_empty());
    }

    #[test]
    fn lettering_keeps_off_discs_and_arrows() {
        let marks =
            vec![Mark::Disc(dvec2(65.0, 56.0), 20.0), Mark::Line(dvec2(120.0, 20.0), dvec2(150.0, 90.0))];
        let spots = vec![spot(50.0, 50.0), spot(120.0, 50.0), spot(200.0, 50.0)];
        let place = labels(vec![(Rank::Tag, spots)], marks).places(BOUNDS).0[0].unwrap();
        assert_eq!((place.rect, place.over), (spot(200.0, 50.0), false));
    }

    #[test]
    fn among_lines_a_figure_stands_on_lines_and_on_no_cup() {
        let hoses = (0..100).map(|i| {
            let y = 3.0 * f64::from(i);
            Mark::Line(dvec2(0.0, y), dvec2(400.0, y))
        });
        let marks: Vec<Mark> = hoses.chain([Mark::Disc(dvec2(65.0, 56.0), 20.0)]).collect();
        let spots = vec![spot(50.0, 50.0), spot(200.0, 50.0)];
        let place = labels(vec![(Rank::Figure, spots)], marks.clone()).places(BOUNDS).0[0].unwrap();
        assert_eq!((place.rect, place.over), (spot(200.0, 50.0), true));
        // With nothing but the cup near it, it stands off on a leader.
        let led = labels(vec![(Rank::Figure, vec![spot(50.0, 50.0)])], marks).places(BOUNDS).0[0].unwrap();
        assert!(led.led.is_some() && led.over, "{led:?}");
    }

    proptest! {
        /// Whatever is wanted, no two labels that are shown touch, and none leaves the plan, but for what is in hand.
        #[test]
        fn no_label_lies_on_another(
            wanted in proptest::collection::vec((1u8..5, -20.0f32..420.0, -20.0f32..320.0), 0..60),
            discs in proptest::collection::vec((0.0f32..400.0, 0.0f32..300.0, 2.0f32..40.0), 0..20),
        ) {
            let rank = |at: u8| [Rank::InHand, Rank::Fails, Rank::Tag, Rank::Figure, Rank::Name][usize::from(at)];
            let wanted = wanted.into_iter().map(|(r, x, y)| {
                let spots = around(Pos2::new(x, y), Vec2::splat(14.0), r == 2);
                (rank(r), spots.into_iter().map(|(at, align)| align.anchor_size(at, Vec2::new(30.0, 12.0))).collect())
            });
            let marks = discs.into_iter().map(|(x, y, r)| Mark::Disc(dvec2(x.into(), y.into()), r.into())).collect();
            let labels = labels(wanted.collect(), marks);
            let places: Vec<Rect> = labels.places(BOUNDS).0.into_iter().flatten().map(|p| p.rect).collect();
            for (i, a) in places.iter().enumerate() {
                prop_assert!(BOUNDS.contains_rect(*a));
                for b in &places[i + 1..] {
                    prop_assert!(!a.intersects(*b), "{a:?} on {b:?}");
                }
            }
        }
    }
}
