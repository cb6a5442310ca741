//! What places are counted from: something on the part that a toolmaker can touch.

use super::Part;
use geometry::{Loop, Outline, Segment};
use glam::DVec2;
use units::{Quantity, UnitChoice, show_given};

/// What a datum lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DatumOn {
    /// A corner of the outline, where two straight edges end.
    Corner,
    /// Where the lines of two neighbouring straight edges meet, beyond the rounding or chamfer between them.
    Edges,
    /// The centre of a round hole.
    Hole,
}

/// Where places are counted from on what is handed out; the axes keep their directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datum {
    /// What can be touched there.
    pub on: DatumOn,
    /// Its place from the origin of the drawing, mm.
    pub at: DVec2,
}

/// A datum that is chosen lies on its corner, edges or hole within this, mm: a drawing's noise, well below what is drilled to.
const SAME_MM: f64 = 0.01;
/// Edges that meet flatter than this share (sine) of a right angle give no sharp place: 20 degrees.
const LEAST_SINE: f64 = 0.342;

impl Datum {
    /// Every place of an outline that can be touched: corners, pairs of edges, round holes.
    pub fn of(outline: &Outline) -> Vec<Self> {
        let mut all = Vec::new();
        let edges: Vec<Segment> = outline.outer.segments().collect();
        let count = edges.len();
        for index in 0..count {
            let edge = |by: usize| &edges[(index + by) % count];
            if let Some(at) = meeting(edge(0), edge(1)).filter(|at| at.distance(edge(0).end()) < SAME_MM) {
                all.push(Self { on: DatumOn::Corner, at });
            } else if count > 2
                && !is_long_straight(edge(1), edge(0), edge(2))
                && let Some(at) = meeting(edge(0), edge(2))
            {
                all.push(Self { on: DatumOn::Edges, at });
            }
        }
        let holes = outline.holes.iter().filter_map(round);
        all.extend(holes.map(|(at, _)| Self { on: DatumOn::Hole, at }));
        all
    }

    /// The nearest of [`Datum::of`] within so many millimetres of a place.
    pub fn near(outline: &Outline, place: DVec2, within_mm: f64) -> Option<Self> {
        let away = |datum: &Self| datum.at.distance(place);
        let all = Self::of(outline).into_iter().filter(|datum| away(datum) <= within_mm);
        all.min_by(|a, b| away(a).total_cmp(&away(b)))
    }
}

/// A straight edge between two others that is no chamfer of theirs: as long as the shorter of them.
fn is_long_straight(edge: &Segment, before: &Segment, after: &Segment) -> bool {
    edge.curvature() == 0.0 && edge.length() >= before.length().min(after.length())
}

/// Where the lines of two straight edges meet: after the one and before the other.
fn meeting(before: &Segment, after: &Segment) -> Option<DVec2> {
    if before.curvature() != 0.0 || after.curvature() != 0.0 {
        return None;
    }
    let along = (before.end() - before.start()).try_normalize()?;
    let on = (after.end() - after.start()).try_normalize()?;
    let sine = along.perp_dot(on);
    if sine.abs() < LEAST_SINE {
        return None;
    }
    let from = after.start() - before.end();
    let (beyond, ahead) = (from.perp_dot(on) / sine, from.perp_dot(along) / sine);
    // Behind the end of the first or past the start of the second the two do not enclose a corner.
    (beyond >= -SAME_MM && ahead <= SAME_MM).then(|| before.end() + along * beyond)
}

/// Centre and diameter of a round hole.
fn round(hole: &Loop) -> Option<(DVec2, f64)> {
    const SAME: f64 = 1e-6;
    let bounds = hole.bounds()?;
    let size = bounds.size();
    let diameter = size.x;
    let disc = std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let is_round = diameter > 0.0
        && (size.y - diameter).abs() <= SAME * diameter
        && (hole.signed_area().abs() - disc).abs() <= 10.0 * SAME * disc;
    is_round.then(|| (bounds.centre(), diameter))
}

impl Part {
    /// Where places are counted from on what is handed out, from the origin of the drawing, mm.
    pub fn datum_at(&self) -> DVec2 {
        self.datum.map_or(DVec2::ZERO, |datum| datum.at)
    }

    /// What lies at the datum and can be touched; `None` where nothing does.
    pub fn touched(&self) -> Option<Datum> {
        let all = Datum::of(&self.outline);
        let there = |datum: &&Datum| datum.at.distance(self.datum_at()) < SAME_MM;
        let chosen = self.datum.map(|datum| datum.on);
        let of_kind = all.iter().filter(there).find(|datum| chosen.is_none_or(|on| datum.on == on));
        of_kind.copied()
    }

    /// What the datum lies on, in words that go on from "datum": "at a corner of the outline".
    pub fn datum_says(&self, units: &UnitChoice) -> String {
        match self.touched().map(|datum| datum.on) {
            Some(DatumOn::Corner) => "at a corner of the outline".to_owned(),
            Some(DatumOn::Edges) => "where the lines of two edges meet".to_owned(),
            Some(DatumOn::Hole) => {
                let at = self.datum_at();
                let holes = self.outline.holes.iter().filter_map(round);
                let nearest = holes.min_by(|a, b| a.0.distance(at).total_cmp(&b.0.distance(at)));
                let size = nearest.map_or(0.0, |(_, diameter)| diameter);
                let size = show_given(size, Quantity::Length, units);
                format!("in the centre of the hole of Ø {} {}", units::trimmed(&size.number), size.unit)
            }
            None if self.datum.is_some() => {
                "on what the outline does not have any more; choose another".to_owned()
            }
            None => "at the origin of the drawing, where nothing can be touched".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PartId;
    use std::sync::Arc;

    fn plate() -> Outline {
        let mut outer = Part::rectangle(PartId(1), "Plate", 400.0, 250.0).outline.outer.clone();
        outer = outer.with_corner_rounded(0, 20.0).expect("room for a rounding");
        let holes = vec![Loop::circle(DVec2::new(25.0, 225.0), 6.0)];
        Outline { outer, holes }
    }

    #[test]
    fn corners_edges_and_holes_can_be_touched_and_nothing_else() {
        let mut all = Datum::of(&plate());
        all.sort_by(|a, b| (a.at.x, a.at.y).partial_cmp(&(b.at.x, b.at.y)).expect("numbers"));
        let of = |on: DatumOn| all.iter().filter(|datum| datum.on == on).collect::<Vec<_>>();
        assert_eq!((of(DatumOn::Corner).len(), of(DatumOn::Edges).len(), of(DatumOn::Hole).len()), (3, 1, 1));
        assert!(of(DatumOn::Edges)[0].at.length() < 1e-9, "{all:?}");
        assert_eq!(of(DatumOn::Hole)[0].at, DVec2::new(25.0, 225.0));
        let square = Outline { holes: vec![plate().outer], ..plate() };
        assert!(Datum::of(&square).iter().all(|datum| datum.on != DatumOn::Hole));
        assert!(Datum::of(&Outline::default()).is_empty());
    }

    #[test]
    fn a_click_takes_the_nearest_and_words_say_what_is_there() {
        let units = UnitChoice::default();
        let mut part = Part::from_outline(PartId(1), "Plate", Arc::new(plate()));
        assert_eq!(part.datum_says(&units), "where the lines of two edges meet");
        assert_eq!(Datum::near(&part.outline, DVec2::new(200.0, 100.0), 10.0), None);
        part.datum = Datum::near(&part.outline, DVec2::new(28.0, 222.0), 10.0);
        assert_eq!(part.datum_says(&units), "in the centre of the hole of Ø 12 mm");
        part.outline = Arc::new(Outline { holes: Vec::new(), ..plate() });
        assert!(part.datum_says(&units).contains("choose another"));
    }
}
