//! Views of one part: side views as wide or as high, mirrored copies, details, pictures in space.

use super::PartRole;
use super::frame::measures;
use super::shapes::Shape;
use crate::marks::Markings;
use geometry::Bounds;
use glam::DVec2;

/// A part as the order of parts sees it.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    /// Its outer boundary.
    pub(super) shape: Shape,
    /// Area without holes, mm².
    pub(super) net: f64,
    pub(super) holes: Vec<DVec2>,
    /// Open lines inside that hang on its boundary.
    pub(super) inner_lines: usize,
    /// Whether it lies in a hole of another part.
    pub(super) island: bool,
    /// How many dimensions measure it from side to side.
    pub(super) measured: usize,
}

impl Seen {
    pub(super) fn measure(&mut self, marks: &Markings) {
        self.measured = measures(&self.shape, marks);
    }

    fn bounds(&self) -> &Bounds {
        &self.shape.bounds
    }
}

/// Parts looked at for views, the largest first: a nest of hundreds is no drawing of views.
const MOST: usize = 60;

/// Roles of parts and their order, the one to take first.
pub(super) fn order(seen: &[Seen], marks: &Markings) -> Vec<(usize, PartRole)> {
    let mut by_size: Vec<usize> = (0..seen.len()).collect();
    by_size.sort_by(|a, b| seen[*b].net.total_cmp(&seen[*a].net));
    let mut roles = vec![PartRole::Part; seen.len()];
    if seen.len() > 1 {
        for i in by_size.iter().copied().take(MOST) {
            roles[i] = alone(&seen[i], marks);
        }
    }
    // What holes and dimensions speak for is the part when something larger has neither.
    let flat = |i: &usize| roles[*i] == PartRole::Part;
    let picture = |i: usize| seen[i].inner_lines >= 4 && seen[i].holes.is_empty() && seen[i].measured == 0;
    let real = by_size
        .iter()
        .copied()
        .take(MOST)
        .filter(flat)
        .any(|i| !seen[i].holes.is_empty() || seen[i].measured > 0);
    if real {
        for i in by_size.iter().copied().take(MOST) {
            if roles[i] == PartRole::Part && picture(i) {
                roles[i] = PartRole::Picture;
            }
        }
    }
    let main = by_size.iter().copied().find(|i| roles[*i] == PartRole::Part);
    let Some(mut main) = main else { return by_size.into_iter().map(|i| (i, roles[i])).collect() };
    // Seen from above and from below, the one with the most holes shows them.
    let twin = by_size.iter().copied().take(MOST).filter(|i| {
        *i != main
            && roles[*i] == PartRole::Part
            && same_size(&seen[*i], &seen[main])
            && in_line(&seen[*i], &seen[main])
    });
    let holes = |i: usize| seen[i].holes.len();
    main = twin.chain([main]).max_by_key(|i| (holes(*i), usize::from(*i == main))).unwrap_or(main);
    // From the side a deep part may look larger: the holes tell which view is the part.
    if seen[main].holes.is_empty() && !seen[main].island {
        let front = |i: &usize| {
            roles[*i] == PartRole::Part
                && !seen[*i].holes.is_empty()
                && !seen[*i].island
                && is_view(&seen[main], &seen[*i])
        };
        let views = by_size.iter().copied().take(MOST).filter(front);
        main = views.max_by_key(|i| holes(*i)).unwrap_or(main);
    }
    for i in by_size.iter().copied().take(MOST).filter(|i| *i != main) {
        if roles[i] == PartRole::Part && !seen[i].island && is_view(&seen[i], &seen[main]) {
            roles[i] = PartRole::View;
        }
    }
    // What stands in line with a view, and shows no holes either, is one too.
    let views: Vec<usize> = by_size.iter().copied().filter(|i| roles[*i] == PartRole::View).collect();
    for i in by_size.iter().copied().take(MOST).filter(|i| *i != main) {
        let beside = |v: &usize| in_line(&seen[i], &seen[*v]) && !same_size(&seen[i], &seen[*v]);
        if roles[i] == PartRole::Part
            && seen[i].holes.is_empty()
            && !seen[i].island
            && seen[i].net < seen[main].net
            && views.iter().any(beside)
        {
            roles[i] = PartRole::View;
        }
    }
    let rank = |i: usize| (i != main, roles[i] != PartRole::Part);
    by_size.sort_by(|a, b| rank(*a).cmp(&rank(*b)).then(seen[*b].net.total_cmp(&seen[*a].net)));
    by_size.into_iter().map(|i| (i, roles[i])).collect()
}

/// What a shape is by itself: a detail is a circle with its scale or word written at it.
fn alone(seen: &Seen, marks: &Markings) -> PartRole {
    let Some((centre, radius)) = seen.shape.circle else { return PartRole::Part };
    let named = marks
        .texts
        .iter()
        .take(2_000)
        .any(|t| t.at.distance(centre) <= 2.0 * radius && crate::words::is_detail(&t.says));
    if named && seen.measured == 0 { PartRole::Detail } else { PartRole::Part }
}

fn same_size(a: &Seen, b: &Seen) -> bool {
    let (a, b) = (a.shape.size(), b.shape.size());
    (a - b).abs().max_element() <= 2e-3 * b.max_element()
}

/// Whether two stand side by side or above one another, in line.
fn in_line(a: &Seen, b: &Seen) -> bool {
    let (p, q) = (a.bounds(), b.bounds());
    let slack = 2e-3 * b.shape.size().max_element();
    let same = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() <= slack && (a.1 - b.1).abs() <= slack;
    let apart = p.min.cmpgt(q.max).any() || q.min.cmpgt(p.max).any();
    apart && (same((p.min.x, p.max.x), (q.min.x, q.max.x)) || same((p.min.y, p.max.y), (q.min.y, q.max.y)))
}

/// Whether one is a view of another: as wide or as high and in line with it; of the same size, only where its holes are
/// others or mirrored. Equal copies are parts of a nest.
fn is_view(view: &Seen, of: &Seen) -> bool {
    if !in_line(view, of) {
        return false;
    }
    if !same_size(view, of) {
        // From the side a part shows no holes of its own; it is the larger only where the other has some.
        return view.holes.is_empty() && (view.net < of.net || !of.holes.is_empty());
    }
    let equal = view.holes.len() == of.holes.len() && (view.net - of.net).abs() <= 1e-3 * of.net;
    !(equal && copied(view, of))
}

/// Whether the holes of two parts stand at the same places.
fn copied(a: &Seen, b: &Seen) -> bool {
    const LOOKED_AT: usize = 400;
    let shift = b.bounds().min - a.bounds().min;
    let slack = 2e-3 * b.shape.size().max_element();
    a.holes.len() > LOOKED_AT
        || a.holes.iter().all(|h| b.holes.iter().any(|other| other.distance(*h + shift) <= slack))
}
