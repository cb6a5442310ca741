//! Where a flat thing lies: turned, then shifted, and the place and turn that three stops give it.

use glam::DVec2;

/// A rigid placement in the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Where the thing's origin lies, mm.
    pub at: DVec2,
    /// Direction of its x axis, a unit vector.
    along: DVec2,
}

impl Pose {
    /// With its origin at `at`, mm, turned by so many degrees counter-clockwise; a quarter turn is exact.
    pub fn new(at: DVec2, turn_deg: f64) -> Self {
        let along = match turn_deg.rem_euclid(360.0) {
            0.0 => DVec2::X,
            90.0 => DVec2::Y,
            180.0 => DVec2::NEG_X,
            270.0 => DVec2::NEG_Y,
            turn => DVec2::from_angle(turn.to_radians()),
        };
        Self { at, along }
    }

    /// Turn, degrees counter-clockwise, above -180 and up to 180.
    pub fn turn_deg(&self) -> f64 {
        self.along.to_angle().to_degrees()
    }

    /// A point of the thing where it lies, mm.
    pub fn out(&self, of_thing: DVec2) -> DVec2 {
        self.along.rotate(of_thing) + self.at
    }

    /// A point of the plane in the thing's frame, mm.
    pub fn back(&self, of_plane: DVec2) -> DVec2 {
        turned_back(self.along, of_plane - self.at)
    }
}

/// `v` turned by the angle of `along` the other way round.
fn turned_back(along: DVec2, v: DVec2) -> DVec2 {
    DVec2::new(along.x, -along.y).rotate(v)
}

/// A straight edge of a thing, mm, in its frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// One end.
    pub from: DVec2,
    /// The other.
    pub to: DVec2,
}

impl Edge {
    /// Length, mm.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }
    /// Its middle, mm.
    pub fn middle(&self) -> DVec2 {
        (self.from + self.to) / 2.0
    }
    /// Distance of a point from the line through the edge, mm; positive on its left.
    pub fn off_line(&self, point: DVec2) -> f64 {
        (self.to - self.from).normalize_or_zero().perp_dot(point - self.from)
    }
    /// By how much a point lies beyond the edge's ends along its line, mm; 0 between them.
    pub fn beyond(&self, point: DVec2) -> f64 {
        let along = (self.to - self.from).normalize_or_zero().dot(point - self.from);
        (-along).max(along - self.length()).max(0.0)
    }
}

/// Why three stops give no place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPlace {
    /// A place or an edge is not a figure, or an edge has no length.
    NoFigures,
    /// The first two stops are no more than this apart, mm: they touch on one point and leave the turn open.
    OnePoint(f64),
    /// The edges run the same way within a degree: along them the part is not held.
    Parallel,
    /// The part could only touch beyond the end of an edge: at which stop, counted from 0, and by how much, mm.
    Beyond {
        /// Which stop.
        stop: usize,
        /// mm.
        by: f64,
    },
}

/// Stops nearer than this fix no turn that anybody could build, mm (assumed: a stop's own width is more).
const NEAREST_MM: f64 = 1.0;
/// Sine of the angle below which two edges count as parallel: one degree (assumed: the place along them would be off by
/// sixty times what a stop is).
const PARALLEL: f64 = 0.017_452_406_437_283_51;
/// A touch this far beyond the end of an edge is rounding, mm.
const ROUNDING_MM: f64 = 1e-6;

/// The place of a thing whose first edge touches stops 0 and 1 and whose second edge touches stop 2; stops are points, in the
/// frame that the thing is placed in, mm. There are two, half a turn apart: of those in which every touch lies on its edge the
/// one whose turn is nearer to `near_deg`.
///
/// # Errors
/// [`NoPlace`]: what stands against it.
///
/// # Source
/// Two points of a line give its direction, which gives the turn; each touched line is then one linear equation of the shift.
///
/// ```
/// use geometry::{Edge, three_stops};
/// use glam::DVec2;
/// // The lower left corner of a sheet of 600 x 400 mm against three pins.
/// let edge = |from: (f64, f64), to: (f64, f64)| Edge { from: from.into(), to: to.into() };
/// let (lower, left) = (edge((0.0, 0.0), (600.0, 0.0)), edge((0.0, 400.0), (0.0, 0.0)));
/// let stops = [(150.0, 20.0), (450.0, 20.0), (10.0, 200.0)].map(DVec2::from); // mm
/// let lies = three_stops(lower, left, stops, 0.0).unwrap();
/// assert!(lies.at.distance(DVec2::new(10.0, 20.0)) < 1e-12 && lies.turn_deg() == 0.0);
/// ```
pub fn three_stops(first: Edge, second: Edge, stops: [DVec2; 3], near_deg: f64) -> Result<Pose, NoPlace> {
    let edges = [first, second];
    let finite = stops.iter().all(|stop| stop.is_finite()) && near_deg.is_finite();
    let sound = |edge: &Edge| edge.from.is_finite() && edge.to.is_finite() && edge.length() > 1e-9;
    if !finite || !edges.iter().all(sound) {
        return Err(NoPlace::NoFigures);
    }
    let apart = stops[0].distance(stops[1]);
    if apart < NEAREST_MM {
        return Err(NoPlace::OnePoint(apart));
    }
    let [u, v] = edges.map(|edge| (edge.to - edge.from).normalize());
    if u.perp_dot(v).abs() < PARALLEL {
        return Err(NoPlace::Parallel);
    }
    let near = DVec2::from_angle(near_deg.to_radians());
    let way = |way: f64| {
        let along = exact(turned_back(u, way * (stops[1] - stops[0]) / apart).normalize());
        let pose = Pose { at: shift(along, edges, [u, v], stops), along };
        let beyond = |stop: usize| (stop, edges[stop / 2].beyond(pose.back(stops[stop])));
        let furthest = (0..3).map(beyond).max_by(|a, b| a.1.total_cmp(&b.1));
        match furthest.filter(|(_, by)| *by > ROUNDING_MM) {
            Some((stop, by)) => Err((pose, NoPlace::Beyond { stop, by })),
            None => Ok(pose),
        }
    };
    let nearer = |a: &Pose, b: &Pose| a.along.dot(near) >= b.along.dot(near);
    // Touches on the edges come first, then the turn.
    match (way(1.0), way(-1.0)) {
        (Ok(a), Ok(b)) => Ok(if nearer(&a, &b) { a } else { b }),
        (Ok(pose), Err(_)) | (Err(_), Ok(pose)) => Ok(pose),
        (Err((a, why_a)), Err((b, why_b))) => Err(if nearer(&a, &b) { why_a } else { why_b }),
    }
}

/// A direction that is off an axis by rounding only, on it: then a quarter turn stays exact.
fn exact(along: DVec2) -> DVec2 {
    let axes = [DVec2::X, DVec2::Y, DVec2::NEG_X, DVec2::NEG_Y];
    axes.into_iter().find(|axis| axis.distance(along) < 1e-14).unwrap_or(along)
}

/// The shift that brings the turned first edge's line through the first stop and the second one's through the last.
fn shift(along: DVec2, edges: [Edge; 2], ways: [DVec2; 2], stops: [DVec2; 3]) -> DVec2 {
    let normal = |way: DVec2| along.rotate(way).perp();
    let [n, m] = ways.map(normal);
    // The middle of both touches keeps the error of the first edge's line lowest.
    let held = [(stops[0] + stops[1]) / 2.0, stops[2]];
    let want = |line: usize, normal: DVec2| normal.dot(held[line] - along.rotate(edges[line].from));
    let (a, b) = (want(0, n), want(1, m));
    // n.t = a, m.t = b.
    DVec2::new(a * m.y - b * n.y, b * n.x - a * m.x) / n.perp_dot(m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn edge(from: (f64, f64), to: (f64, f64)) -> Edge {
        Edge { from: from.into(), to: to.into() }
    }
    /// Lower and left edge of 600 x 400 mm.
    fn sheet() -> [Edge; 2] {
        [edge((0.0, 0.0), (600.0, 0.0)), edge((0.0, 400.0), (0.0, 0.0))]
    }
    fn at(stops: [(f64, f64); 3]) -> [DVec2; 3] {
        stops.map(DVec2::from)
    }

    #[test]
    fn a_quarter_turn_comes_out_exactly_and_the_nearer_turn_is_taken() {
        let [lower, left] = sheet();
        // The lower edge against two pins on x = 50, one above the other; the left edge on y = -30.
        let stops = at([(50.0, 100.0), (50.0, 400.0), (-20.0, -30.0)]);
        let lies = three_stops(lower, left, stops, 80.0).unwrap();
        assert_eq!((lies.at, lies.turn_deg()), (DVec2::new(50.0, -30.0), 90.0));
        // Turned by half a turn the edge would lie beyond its ends: what lies on the edges wins over the nearer turn.
        assert_eq!(three_stops(lower, left, stops, -90.0), Ok(lies));
        // About the middle of two edges that cross both ways lie on them: the turn asked for decides.
        let cross = [edge((-100.0, 0.0), (100.0, 0.0)), edge((0.0, 50.0), (0.0, -50.0))];
        let stops = at([(-10.0, 0.0), (10.0, 0.0), (0.0, 0.0)]);
        for near in [0.0, 180.0] {
            let lies = three_stops(cross[0], cross[1], stops, near).unwrap();
            assert_eq!((lies.at.abs(), lies.turn_deg().abs()), (DVec2::ZERO, near));
        }
    }

    #[test]
    fn what_gives_no_place_is_told_apart() {
        let [lower, left] = sheet();
        let upper = edge((600.0, 400.0), (0.0, 400.0));
        let good = at([(150.0, 0.0), (450.0, 0.0), (0.0, 200.0)]);
        assert_eq!(three_stops(lower, upper, good, 0.0), Err(NoPlace::Parallel));
        assert_eq!(three_stops(lower, lower, good, 0.0), Err(NoPlace::Parallel));
        let one = at([(150.0, 0.0), (150.0, 0.5), (0.0, 200.0)]);
        assert_eq!(three_stops(lower, left, one, 0.0), Err(NoPlace::OnePoint(0.5)));
        let far = at([(150.0, 0.0), (450.0, 0.0), (0.0, 500.0)]);
        let Err(NoPlace::Beyond { stop: 2, by }) = three_stops(lower, left, far, 0.0) else { panic!() };
        assert!((by - 100.0).abs() < 1e-9, "{by}");
        let nowhere = at([(f64::NAN, 0.0), (450.0, 0.0), (0.0, 200.0)]);
        assert_eq!(three_stops(lower, left, nowhere, 0.0), Err(NoPlace::NoFigures));
        let none = edge((5.0, 5.0), (5.0, 5.0));
        assert_eq!(three_stops(none, left, good, 0.0), Err(NoPlace::NoFigures));
    }

    /// Two edges at an angle, a pose, and touches at shares of the edges: what three stops there must give back.
    fn case() -> impl Strategy<Value = ([Edge; 2], [f64; 3], Pose)> {
        let point = || (-1000.0..1000.0f64, -1000.0..1000.0f64).prop_map(DVec2::from);
        let lines = (point(), 20.0..900.0f64, -180.0..180.0f64, point(), 20.0..900.0f64, 2.0..178.0f64);
        let shares = (0.0..0.4f64, 0.6..1.0f64, 0.0..1.0f64);
        (lines, shares, point(), -180.0..180.0f64).prop_map(|(lines, shares, at, turn)| {
            let (p, length, way, q, other, angle) = lines;
            let to = |from: DVec2, length: f64, deg: f64| from + length * DVec2::from_angle(deg.to_radians());
            let edges =
                [Edge { from: p, to: to(p, length, way) }, Edge { from: q, to: to(q, other, way + angle) }];
            (edges, [shares.0, shares.1, shares.2], Pose::new(at, turn))
        })
    }
    fn touched(edges: [Edge; 2], shares: [f64; 3], pose: &Pose) -> [DVec2; 3] {
        [0, 1, 2].map(|stop| {
            let Edge { from, to } = edges[stop / 2];
            pose.out(from + shares[stop] * (to - from))
        })
    }

    proptest! {
        #[test]
        fn a_part_that_touches_is_found_where_it_lies((edges, shares, pose) in case()) {
            let stops = touched(edges, shares, &pose);
            let lies = three_stops(edges[0], edges[1], stops, pose.turn_deg()).unwrap();
            prop_assert!(lies.at.distance(pose.at) < 1e-6, "{:?} {:?}", lies, pose);
            for (stop, place) in stops.iter().enumerate() {
                let edge = edges[stop / 2];
                prop_assert!(edge.off_line(lies.back(*place)).abs() < 1e-9);
                prop_assert!(edge.beyond(lies.back(*place)) < 1e-6);
                // As a file keeps it, by its turn in degrees.
                let kept = Pose::new(lies.at, lies.turn_deg());
                prop_assert!(edge.off_line(kept.back(*place)).abs() < 1e-9);
            }
        }

        #[test]
        fn a_tool_moved_with_its_stops_moves_the_part(
            (edges, shares, pose) in case(),
            by in (-500.0..500.0f64, -500.0..500.0f64),
            turn in -180.0..180.0f64,
        ) {
            let stops = touched(edges, shares, &pose);
            let moved = Pose::new(DVec2::from(by), turn);
            let lies = three_stops(edges[0], edges[1], stops, pose.turn_deg()).unwrap();
            let there = stops.map(|stop| moved.out(stop));
            let after = three_stops(edges[0], edges[1], there, pose.turn_deg() + turn).unwrap();
            for point in [DVec2::ZERO, DVec2::new(300.0, 0.0), DVec2::new(0.0, -700.0)] {
                prop_assert!(after.out(point).distance(moved.out(lies.out(point))) < 1e-6);
            }
        }

        #[test]
        fn there_and_back_is_the_same_point(
            at in (-900.0..900.0f64, -900.0..900.0f64), turn in -720.0..720.0f64, point in (-900.0..900.0f64, -900.0..900.0f64),
        ) {
            let pose = Pose::new(DVec2::from(at), turn);
            let point = DVec2::from(point);
            prop_assert!(pose.back(pose.out(point)).distance(point) < 1e-9);
        }
    }
}
