//! Places for texts among drawn things: each at the first of its places that lies on nothing, else further off with a leader.
//! Plan on screen and plan on paper place their lettering here, so that both keep off the same things.

use crate::{Bounds, ring_contains};
use glam::{DVec2, dvec2};

/// Squares along the longer side of the room, by which neighbours are found.
const CELLS: f64 = 32.0;

/// A drawn thing that lettering keeps off.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A disc by its middle and radius.
    Disc(DVec2, f64),
    /// A line from end to end.
    Line(DVec2, DVec2),
    /// A box.
    Area(Bounds),
    /// A closed line with what it encloses, by its corners.
    Shape(Vec<DVec2>),
}

impl Mark {
    fn bounds(&self) -> Bounds {
        match self {
            Self::Disc(at, radius) => Bounds { min: *at - *radius, max: *at + *radius },
            Self::Line(from, to) => Bounds { min: from.min(*to), max: from.max(*to) },
            Self::Area(area) => *area,
            Self::Shape(points) => Bounds {
                min: points.iter().copied().fold(DVec2::INFINITY, DVec2::min),
                max: points.iter().copied().fold(DVec2::NEG_INFINITY, DVec2::max),
            },
        }
    }

    fn touches(&self, area: &Bounds) -> bool {
        match self {
            Self::Disc(at, radius) => at.clamp(area.min, area.max).distance_squared(*at) < radius * radius,
            Self::Line(from, to) => crosses(area, *from, *to),
            Self::Area(other) => meets(area, other),
            Self::Shape(points) => {
                let next = points.iter().cycle().skip(1);
                points.iter().zip(next).any(|(from, to)| crosses(area, *from, *to))
                    || ring_contains(points, area.centre())
            }
        }
    }
}

/// A line from a text that stands off to what it belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leader {
    /// The middle of what the text belongs to.
    pub to: DVec2,
    /// Half its size: the line ends there.
    pub half: DVec2,
    /// How far beyond its larger half the text may begin, nearest first.
    pub offs: &'static [f64],
    /// Directions that are tried at every distance.
    pub ways: u32,
}

/// A text that wants a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted<'a> {
    /// Boxes in which it may stand, best first.
    pub spots: &'a [Bounds],
    /// Where it may lead to from further off.
    pub leader: Option<Leader>,
    /// Rather over a drawn thing than not at all.
    pub over: bool,
    /// At its first box if there is nothing else.
    pub must: bool,
}

/// Where a text came to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Its box.
    pub bounds: Bounds,
    /// Over something drawn.
    pub over: bool,
    /// The line that leads to what it belongs to: from the text, to the thing.
    pub leader: Option<[DVec2; 2]>,
}

/// How much a room held at some time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    texts: usize,
    marks: usize,
}

/// Things by the squares of a room that they lie in; what lies outside counts to the squares at its rim.
#[derive(Debug, Clone)]
struct Index {
    corner: DVec2,
    cell: f64,
    columns: usize,
    rows: usize,
    squares: Vec<Vec<usize>>,
}

impl Index {
    fn new(room: &Bounds) -> Self {
        let cell = (room.size().max_element() / CELLS).max(1e-3);
        let count = |length: f64| ((length / cell).ceil().min(CELLS) as usize).max(1);
        let (columns, rows) = (count(room.size().x), count(room.size().y));
        Self { corner: room.min, cell, columns, rows, squares: vec![Vec::new(); columns * rows] }
    }
    fn cells(&self, area: &Bounds) -> impl Iterator<Item = usize> + use<> {
        let [low, high] = [area.min, area.max].map(|at| (at - self.corner) / self.cell);
        let cell = |v: f64, count: usize| (v.max(0.0) as usize).min(count - 1);
        let x = cell(low.x, self.columns)..=cell(high.x, self.columns);
        let y = cell(low.y, self.rows)..=cell(high.y, self.rows);
        let columns = self.columns;
        y.flat_map(move |y| x.clone().map(move |x| y * columns + x))
    }
    fn put(&mut self, index: usize, area: &Bounds) {
        for cell in self.cells(area) {
            self.squares[cell].push(index);
        }
    }
    fn near(&self, area: &Bounds) -> impl Iterator<Item = usize> + '_ {
        self.cells(area).flat_map(|cell| &self.squares[cell]).copied()
    }
    fn cut(&mut self, len: usize) {
        self.squares.iter_mut().for_each(|all| all.retain(|index| *index < len));
    }
}

/// What lettering keeps off in a room, and what has been placed there.
///
/// # Units
/// Any, the same throughout: millimetres of paper, points of a screen. Which way y runs does not matter.
///
/// ```
/// use geometry::{Bounds, Mark, Placer, Wanted};
/// use glam::dvec2;
///
/// let at = |x: f64, y: f64| Bounds { min: dvec2(x, y), max: dvec2(x + 10.0, y + 4.0) };
/// let mut placer = Placer::new(Bounds { min: dvec2(0.0, 0.0), max: dvec2(100.0, 100.0) }, 0.5);
/// placer.keep_off(Mark::Line(dvec2(5.0, 0.0), dvec2(5.0, 100.0)));
/// let wanted = Wanted { spots: &[at(0.0, 10.0), at(20.0, 10.0)], leader: None, over: false, must: false };
/// assert_eq!(placer.place(&wanted).map(|place| place.bounds), Some(at(20.0, 10.0)));
/// assert_eq!(placer.place(&wanted), None); // taken by now
/// ```
#[derive(Debug, Clone)]
pub struct Placer {
    room: Bounds,
    air: f64,
    marks: Vec<Mark>,
    by_mark: Index,
    taken: Vec<Bounds>,
    by_taken: Index,
}

impl Placer {
    /// An empty room, with so much air round every text.
    pub fn new(room: Bounds, air: f64) -> Self {
        let (by_mark, by_taken) = (Index::new(&room), Index::new(&room));
        Self { room, air, marks: Vec::new(), by_mark, taken: Vec::new(), by_taken }
    }

    /// Keeps lettering off a thing; what lies outside the room or nowhere is no matter.
    pub fn keep_off(&mut self, mark: Mark) {
        let area = mark.bounds();
        if area.min.is_finite() && area.max.is_finite() && meets_closed(&area, &self.room) {
            let seen = Bounds { min: area.min.max(self.room.min), max: area.max.min(self.room.max) };
            self.by_mark.put(self.marks.len(), &seen);
            self.marks.push(mark);
        }
    }

    /// Whether a box lies in the room and on no text.
    pub fn apart(&self, area: &Bounds) -> bool {
        let grown = self.grown(area);
        let inside = self.room.min.cmple(area.min).all() && area.max.cmple(self.room.max).all();
        inside && self.by_taken.near(&grown).all(|other| !meets(&self.taken[other], &grown))
    }

    /// Whether a box lies on nothing drawn.
    pub fn bare(&self, area: &Bounds) -> bool {
        let grown = self.grown(area);
        self.by_mark.near(&grown).all(|mark| !self.marks[mark].touches(&grown))
    }

    /// Whether a text may stand in this box.
    pub fn clear(&self, area: &Bounds) -> bool {
        self.apart(area) && self.bare(area)
    }

    /// Takes a box for a text.
    pub fn take(&mut self, area: &Bounds) {
        let index = self.taken.len();
        self.by_taken.put(index, area);
        self.taken.push(*area);
    }

    /// How much is placed and kept off by now.
    pub fn state(&self) -> Held {
        Held { texts: self.taken.len(), marks: self.marks.len() }
    }

    /// Takes back what came after a state of this room.
    pub fn back_to(&mut self, held: Held) {
        self.taken.truncate(held.texts);
        self.by_taken.cut(held.texts);
        self.marks.truncate(held.marks);
        self.by_mark.cut(held.marks);
    }

    /// Finds a place for a text and takes it: near, then on a leader, then the same over lines, then over whatever there is, then where
    /// it must; `None` when it is left out.
    pub fn place(&mut self, wanted: &Wanted) -> Option<Place> {
        let near = |bounds: Bounds, over: bool| Place { bounds, over, leader: None };
        let all = || wanted.spots.iter().copied();
        let found = all()
            .find(|spot| self.clear(spot))
            .map(|spot| near(spot, false))
            .or_else(|| self.led(wanted.spots.first()?, &wanted.leader?, &|spot| self.clear(spot)))
            // A hose may be crossed, a cup may not.
            .or_else(|| all().find(|spot| wanted.over && self.off_things(spot)).map(|spot| near(spot, true)))
            .or_else(|| {
                let leader = wanted.leader.filter(|_| wanted.over)?;
                let led = self.led(wanted.spots.first()?, &leader, &|spot| self.off_things(spot))?;
                Some(Place { over: true, ..led })
            })
            .or_else(|| all().find(|spot| wanted.over && self.apart(spot)).map(|spot| near(spot, true)))
            .or_else(|| {
                let spot = wanted.spots.first().filter(|_| wanted.must)?;
                Some(near(*spot, !self.bare(spot)))
            })?;
        self.take(&found.bounds);
        if let Some([from, to]) = found.leader {
            self.keep_off(Mark::Line(from, to));
        }
        Some(found)
    }

    /// Whether a text in this box lies on no other and on lines at most.
    pub fn off_things(&self, area: &Bounds) -> bool {
        let grown = self.grown(area);
        let thing =
            |mark: usize| !matches!(self.marks[mark], Mark::Line(..)) && self.marks[mark].touches(&grown);
        self.apart(area) && !self.by_mark.near(&grown).any(thing)
    }

    /// The nearest free place on a leader whose line crosses no text.
    fn led(&self, text: &Bounds, leader: &Leader, free: &dyn Fn(&Bounds) -> bool) -> Option<Place> {
        let half = text.size() / 2.0;
        let step = std::f64::consts::TAU / f64::from(leader.ways.max(1));
        for off in leader.offs {
            for turn in 0..leader.ways {
                // To both sides of a diagonal in turn: that clears round things soonest.
                let side = if turn % 2 == 0 { 1.0 } else { -1.0 };
                let way = DVec2::from_angle(
                    std::f64::consts::FRAC_PI_4 + side * f64::from(turn.div_ceil(2)) * step,
                );
                let near = leader.to + way * (leader.half.max_element() + off);
                let reach = (half.x / way.x.abs().max(1e-9)).min(half.y / way.y.abs().max(1e-9));
                let middle = near + way * (reach + self.air);
                let bounds = Bounds { min: middle - half, max: middle + half };
                let to = leader.to + way / (way / leader.half.max(DVec2::splat(1e-9))).length();
                if free(&bounds) && self.crosses_no_text(near, to) {
                    return Some(Place { bounds, over: false, leader: Some([near, to]) });
                }
            }
        }
        None
    }

    fn crosses_no_text(&self, from: DVec2, to: DVec2) -> bool {
        let span = Bounds { min: from.min(to), max: from.max(to) };
        self.by_taken.near(&span).all(|text| !crosses(&self.taken[text], from, to))
    }

    fn grown(&self, area: &Bounds) -> Bounds {
        Bounds { min: area.min - self.air, max: area.max + self.air }
    }
}

fn meets(a: &Bounds, b: &Bounds) -> bool {
    a.min.cmplt(b.max).all() && b.min.cmplt(a.max).all()
}

fn meets_closed(a: &Bounds, b: &Bounds) -> bool {
    a.min.cmple(b.max).all() && b.min.cmple(a.max).all()
}

/// Whether a line passes through a box (slab test).
fn crosses(area: &Bounds, from: DVec2, to: DVec2) -> bool {
    let along = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        if along[axis].abs() < 1e-12 {
            if from[axis] < area.min[axis] || from[axis] > area.max[axis] {
                return false;
            }
            continue;
        }
        let a = (area.min[axis] - from[axis]) / along[axis];
        let b = (area.max[axis] - from[axis]) / along[axis];
        enter = enter.max(a.min(b));
        leave = leave.min(a.max(b));
    }
    enter <= leave
}

/// Boxes round a thing in which a text may stand, `(x, y)` signs of the direction in order; at a corner it tucks in on round
/// things.
///
/// # Units
/// Those of `middle`; `beside` and `corner` are the air at sides and at corners.
pub fn around(
    middle: DVec2,
    half: DVec2,
    text: DVec2,
    ways: &[(f64, f64)],
    [beside, corner]: [f64; 2],
) -> Vec<Bounds> {
    /// The corner of a box round a disc lies this far out of it: a text comes nearer there.
    const TUCK: f64 = 0.74;
    ways.iter()
        .map(|(dx, dy)| {
            let at_corner = *dx != 0.0 && *dy != 0.0;
            let reach = if at_corner { half * TUCK + corner } else { half + beside };
            let at = middle + dvec2(dx * (reach.x + text.x / 2.0), dy * (reach.y + text.y / 2.0));
            Bounds { min: at - text / 2.0, max: at + text / 2.0 }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn room() -> Bounds {
        Bounds { min: DVec2::ZERO, max: dvec2(400.0, 300.0) }
    }
    fn spot(x: f64, y: f64) -> Bounds {
        Bounds { min: dvec2(x, y), max: dvec2(x + 30.0, y + 12.0) }
    }
    fn only(spots: &[Bounds]) -> Wanted<'_> {
        Wanted { spots, leader: None, over: false, must: false }
    }

    #[test]
    fn keeps_off_lines_out_of_shapes_and_on_a_leader_off_texts() {
        let mut placer = Placer::new(room(), 1.5);
        let ring = vec![dvec2(0.0, 0.0), dvec2(90.0, 0.0), dvec2(90.0, 90.0), dvec2(0.0, 90.0)];
        placer.keep_off(Mark::Shape(ring));
        assert_eq!(placer.place(&only(&[spot(30.0, 40.0)])), None);
        placer.keep_off(Mark::Disc(dvec2(165.0, 56.0), 20.0));
        placer.keep_off(Mark::Line(dvec2(220.0, 20.0), dvec2(250.0, 90.0)));
        let spots = [spot(150.0, 50.0), spot(220.0, 50.0), spot(300.0, 50.0)];
        assert_eq!(placer.place(&only(&spots)).unwrap().bounds, spots[2]);
        let leader =
            Leader { to: dvec2(300.0, 200.0), half: DVec2::splat(8.0), offs: &[10.0, 30.0], ways: 8 };
        let none_near = [spot(300.0, 50.0)];
        let wanted = Wanted { leader: Some(leader), ..only(&none_near) };
        let [from, to] = placer.place(&wanted).unwrap().leader.unwrap();
        assert!((to.distance(leader.to) - 8.0).abs() < 1e-9 && from.distance(leader.to) > 8.0);
    }

    #[test]
    fn what_was_tried_in_vain_is_taken_back() {
        let mut placer = Placer::new(room(), 1.0);
        let before = placer.state();
        assert!(placer.place(&only(&[spot(10.0, 10.0)])).is_some());
        placer.keep_off(Mark::Area(spot(100.0, 100.0)));
        placer.back_to(before);
        assert!(placer.clear(&spot(10.0, 10.0)) && placer.clear(&spot(100.0, 100.0)));
    }

    #[test]
    fn crossing_is_seen_without_an_end_inside() {
        let area = Bounds { min: dvec2(1.0, 1.0), max: dvec2(2.0, 2.0) };
        assert!(crosses(&area, dvec2(0.0, 0.0), dvec2(3.0, 3.0)));
        assert!(!crosses(&area, dvec2(0.0, 2.1), dvec2(3.0, 2.1)));
        assert!(!crosses(&area, dvec2(0.0, 0.0), dvec2(0.9, 0.9)));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// Whatever is wanted, no two texts that must not lie on another do, none leaves the room and none lies on a mark.
        #[test]
        fn no_text_lies_on_another_or_on_a_mark(
            wanted in prop::collection::vec((-20.0..420.0_f64, -20.0..320.0_f64, any::<bool>()), 0..60),
            discs in prop::collection::vec((0.0..400.0_f64, 0.0..300.0_f64, 2.0..40.0_f64), 0..20),
        ) {
            let mut placer = Placer::new(room(), 1.5);
            let discs: Vec<Mark> = discs.into_iter().map(|(x, y, r)| Mark::Disc(dvec2(x, y), r)).collect();
            discs.iter().for_each(|disc| placer.keep_off(disc.clone()));
            let ways = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (1.0, 1.0)];
            let mut placed: Vec<Bounds> = Vec::new();
            for (x, y, led) in wanted {
                let (to, half) = (dvec2(x, y), DVec2::splat(14.0));
                let spots = around(to, half, dvec2(30.0, 12.0), &ways, [2.0, 1.0]);
                let leader = led.then_some(Leader { to, half, offs: &[20.0, 60.0], ways: 8 });
                let wanted = Wanted { leader, ..only(&spots) };
                placed.extend(placer.place(&wanted).map(|place| place.bounds));
            }
            for (index, a) in placed.iter().enumerate() {
                prop_assert!(a.min.cmpge(room().min).all() && a.max.cmple(room().max).all());
                prop_assert!(placed[index + 1..].iter().all(|b| !meets(a, b)), "{a:?}");
                prop_assert!(discs.iter().all(|disc| !disc.touches(a)), "{a:?}");
            }
        }
    }
}
