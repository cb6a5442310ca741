//! Stops of the part shown while they are being chosen.

use document::{Part, Seat, Stops};
use geometry::Edge;
use glam::DVec2;

/// Edges and stops chosen so far.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StopsDraft {
    /// A place on the edge of stops 1 and 2, and on that of stop 3, in the part's frame, mm.
    pub edges: Vec<DVec2>,
    /// The stops on the tool, mm.
    pub at: [DVec2; 3],
}

impl StopsDraft {
    /// What a seat was laid against, to change it; nothing of one that was placed otherwise.
    pub fn of(seat: &Seat) -> Self {
        seat.stops.map_or_else(Self::default, |stops| Self { edges: stops.edges.to_vec(), at: stops.at })
    }
    /// The stops, once both edges are chosen.
    pub fn stops(&self) -> Option<Stops> {
        let [first, second] = self.edges[..] else { return None };
        Some(Stops { edges: [first, second], at: self.at })
    }
    /// Takes an edge: the one of stops 1 and 2 first, then that of stop 3, which may be chosen again. Stops begin where they touch
    /// the part as it lies.
    pub fn take(&mut self, part: &Part, seat: &Seat, edge: &Edge) {
        let place = edge.middle();
        self.edges.truncate(1);
        let first = self.edges.first().and_then(|place| part.edge_at(*place));
        let begun = Stops::as_it_lies(&seat.pose(), first.as_ref().unwrap_or(edge), edge);
        match first {
            Some(first) if first == *edge => return,
            Some(_) => self.at[2] = begun.at[2],
            None => {
                self.edges.clear();
                self.at = begun.at;
            }
        }
        self.edges.push(place);
    }
}
