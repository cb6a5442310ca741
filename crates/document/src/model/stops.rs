//! Stops: the three points that a part is laid against, for people who locate it by them.

use super::{Part, Seat};
use geometry::{Edge, NoPlace, Pose, Segment, three_stops};
use glam::DVec2;
use units::{Quantity, UnitChoice};

/// Three stops of a part on the tool: two on one straight edge of it, one on another. They are points: where a pin has a
/// thickness it is the place of its side that touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// A place on each of the two edges that are touched, in the part's frame, mm: it says which edge.
    pub edges: [DVec2; 2],
    /// Where the stops are on the tool, mm: the first two on the first edge, the third on the second.
    pub at: [DVec2; 3],
}

/// Why stops give no place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPlaceByStops {
    /// No straight edge of the part is where the first, 0, or second, 1, was.
    NoEdge(usize),
    /// The stops and the edges do not go together.
    NoPlace(NoPlace),
}

impl NoPlaceByStops {
    /// What is wrong and what to do, in sentences.
    pub fn says(&self, units: &UnitChoice) -> String {
        let length = |mm: f64| units::show(mm, Quantity::Length, units).to_string();
        match *self {
            Self::NoEdge(edge) => {
                let which = if edge == 0 { "Stops 1 and 2 touch" } else { "Stop 3 touches" };
                format!("{which} no straight edge of the part. Choose the edge again.")
            }
            Self::NoPlace(NoPlace::NoFigures) => {
                "A stop has no place, or an edge no length. Enter X and Y of all three stops.".to_owned()
            }
            Self::NoPlace(NoPlace::OnePoint(apart)) => format!(
                "Stops 1 and 2 are {} apart: they touch on one point, which leaves the turn open. Put them {} apart or more.",
                length(apart),
                length(1.0)
            ),
            Self::NoPlace(NoPlace::Parallel) => {
                "The two edges run the same way: nothing holds the part along them. Choose an edge across the first."
                    .to_owned()
            }
            Self::NoPlace(NoPlace::Beyond { stop, by }) => format!(
                "Stop {} would touch {} beyond the end of its edge. Move that stop, or choose another edge.",
                stop + 1,
                length(by)
            ),
        }
    }
}

/// A place on an edge is as near to it as this, mm.
const ON_EDGE_MM: f64 = 0.01;
/// Edges shorter than this are not offered to lay a part against, mm (assumed: a stop is wider).
const SHORTEST_MM: f64 = 2.0;

impl Part {
    /// Straight edges of outline and holes long enough to lie against a stop, mm, in the order of the drawing.
    pub fn straight_edges(&self) -> impl Iterator<Item = Edge> + '_ {
        let segments = self.outline.loops().flat_map(|boundary| boundary.segments());
        segments
            .filter_map(|segment| match segment {
                Segment::Line { from, to } => Some(Edge { from, to }),
                Segment::Arc { .. } => None,
            })
            .filter(|edge| edge.length() >= SHORTEST_MM)
    }
    /// The straight edge that a place lies on.
    pub fn edge_at(&self, place: DVec2) -> Option<Edge> {
        let off = |edge: &Edge| edge.off_line(place).abs().max(edge.beyond(place));
        let near = self.straight_edges().map(|edge| (off(&edge), edge));
        let near = near.filter(|(off, _)| *off <= ON_EDGE_MM);
        near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, edge)| edge)
    }
}

impl Stops {
    /// Both edges of a part.
    ///
    /// # Errors
    /// [`NoPlaceByStops::NoEdge`] where the part has no such edge.
    pub fn edges_of(&self, part: &Part) -> Result<[Edge; 2], NoPlaceByStops> {
        let edge = |index: usize| part.edge_at(self.edges[index]).ok_or(NoPlaceByStops::NoEdge(index));
        Ok([edge(0)?, edge(1)?])
    }
    /// Where they lay a part; of the two ways about the one nearer to `near_deg`.
    ///
    /// # Errors
    /// [`NoPlaceByStops`].
    pub fn place(&self, part: &Part, near_deg: f64) -> Result<Pose, NoPlaceByStops> {
        let [first, second] = self.edges_of(part)?;
        three_stops(first, second, self.at, near_deg).map_err(NoPlaceByStops::NoPlace)
    }
    /// Stops that touch a part as it lies: at a quarter and three quarters of the first edge, in the middle of the second.
    pub fn as_it_lies(lies: &Pose, first: &Edge, second: &Edge) -> Self {
        let on = |edge: &Edge, share: f64| (lies.out(edge.from.lerp(edge.to, share))).map(units::tidied);
        let at = [on(first, 0.25), on(first, 0.75), on(second, 0.5)];
        Self { edges: [first.middle(), second.middle()], at }
    }
}

impl Seat {
    /// The same seat with its part against these stops.
    ///
    /// # Errors
    /// [`NoPlaceByStops`].
    ///
    /// ```
    /// # use document::{Part, PartId, Seat, SeatId, Stops};
    /// let part = Part::rectangle(PartId(1), "Blank", 600.0, 400.0);
    /// let edges = [(300.0, 0.0), (0.0, 200.0)].map(Into::into); // mm
    /// let at = [(110.0, 25.0), (500.0, 25.0), (10.0, 200.0)].map(Into::into); // mm
    /// let seat = Seat::of(SeatId(2), part.id).by_stops(&part, Stops { edges, at }).unwrap();
    /// assert_eq!((seat.at, seat.turn_deg), ((10.0, 25.0).into(), 0.0));
    /// ```
    pub fn by_stops(&self, part: &Part, stops: Stops) -> Result<Self, NoPlaceByStops> {
        let lies = stops.place(part, self.turn_deg)?;
        Ok(Self { at: lies.at, turn_deg: lies.turn_deg(), stops: Some(stops), ..self.clone() })
    }
    /// How far each stop is off the part as it lies, mm: from the line of its edge or beyond its end; `None` where the part has no
    /// such edge any more. Empty without stops.
    pub fn off_stops(&self, part: &Part) -> Vec<Option<f64>> {
        let Some(stops) = &self.stops else { return Vec::new() };
        let edges = stops.edges.map(|place| part.edge_at(place));
        let off = |(index, stop): (usize, &DVec2)| {
            let (edge, place) = (edges[index / 2]?, self.in_part(*stop));
            Some(edge.off_line(place).abs().max(edge.beyond(place)))
        };
        stops.at.iter().enumerate().map(off).collect()
    }
}
