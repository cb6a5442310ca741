//! Which parts of a lip's outer line lie off the sound surface.

use glam::DVec2;
use rstar::{AABB, RTreeObject};

use crate::edge::Edge;
use crate::{Lip, Segment, SoundSurface};

/// A part of the lip's outer line that lies off the sound surface, for drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Overhang {
    /// Points along the line, mm; first and last are where it leaves and comes back (the same place when the whole line
    /// is off).
    pub points: Vec<DVec2>,
    /// Length along the line, arcs as arcs, mm.
    pub length: f64,
}

/// Chord error of the points, mm.
const CHORD: f64 = 0.01;
/// Stretches shorter than this are noise of a touch, mm.
const LEAST: f64 = 1e-7;

impl SoundSurface {
    /// The parts of a lip's outer line off the sound surface, cut exactly where the line crosses a boundary. Empty when
    /// the lip lies wholly on it.
    pub fn overhang(&self, lip: &Lip) -> Vec<Overhang> {
        if !self.has_edge() || !lip.is_finite() {
            return Vec::new();
        }
        // Stretches between cuts, in order round the lip.
        let mut stretches: Vec<(Segment, bool)> = Vec::new();
        for edge in Edge::of_loop(&lip.outline(), 0) {
            for piece in self.cut(&edge) {
                if piece.length() > LEAST {
                    stretches.push((piece, !self.contains(piece.point_at(0.5))));
                }
            }
        }
        let count = stretches.len();
        // Start just behind a sound stretch, so that no overhang is split by where the outline happens to begin.
        let Some(start) = stretches.iter().position(|(_, off)| !off) else {
            return if count == 0 { Vec::new() } else { vec![joined(stretches.iter().map(|(s, _)| s))] };
        };
        stretches.rotate_left(start);
        stretches
            .chunk_by(|a, b| a.1 == b.1)
            .filter(|run| run[0].1)
            .map(|run| joined(run.iter().map(|(s, _)| s)))
            .collect()
    }

    fn cut(&self, edge: &Edge) -> Vec<Segment> {
        let segment = edge.segment;
        let envelope = edge.envelope();
        let (low, high) = (DVec2::from_array(envelope.lower()), DVec2::from_array(envelope.upper()));
        let slack = 1e-9;
        let mut shares = vec![0.0, 1.0];
        for other in self.all.locate_in_envelope_intersecting(AABB::from_corners(
            (low - slack).to_array(),
            (high + slack).to_array(),
        )) {
            shares.extend(
                segment.meets(&other.segment, slack).points().iter().map(|p| segment.nearest_share(*p)),
            );
        }
        shares.sort_by(f64::total_cmp);
        shares.windows(2).filter(|w| w[1] > w[0]).map(|w| part(&segment, w[0], w[1])).collect()
    }
}

/// The stretch of a piece between two shares of its length.
pub(crate) fn part(segment: &Segment, from: f64, to: f64) -> Segment {
    match *segment {
        Segment::Line { .. } => Segment::Line { from: segment.point_at(from), to: segment.point_at(to) },
        Segment::Arc { centre, radius, start, sweep } => {
            Segment::Arc { centre, radius, start: start + sweep * from, sweep: sweep * (to - from) }
        }
    }
}

fn joined<'a>(stretches: impl Iterator<Item = &'a Segment>) -> Overhang {
    let mut points: Vec<DVec2> = Vec::new();
    let mut length = 0.0;
    for stretch in stretches {
        let chords = stretch.chords(CHORD);
        let first = usize::from(!points.is_empty());
        points.extend((first..=chords).map(|k| stretch.point_at(k as f64 / chords as f64)));
        length += stretch.length();
    }
    Overhang { points, length }
}
