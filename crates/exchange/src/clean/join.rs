//! Joins ends into chains and loops.

use super::{Closed, Loose, SAME, at_place, faces, place};
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::piece::{self, Piece};
use crate::{ImportCounts, Sources};
use glam::DVec2;
use rstar::{RTree, primitives::GeomWithData};
use std::collections::HashMap;

/// What joining comes to.
pub(super) struct Joined {
    pub(super) loops: Vec<Closed>,
    /// Chains with two open ends.
    pub(super) open: Vec<Vec<Loose>>,
    /// Chains that branch off loops.
    pub(super) branches: Vec<Vec<Loose>>,
}

/// A piece between two points of the drawing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) ends: [usize; 2],
    pub(super) loose: Loose,
}

/// Neighbours of an open end that are considered; more within one gap is a scribble.
const NEIGHBOURS: usize = 12;

/// Joins loose pieces whose ends lie within `gap`, an open end to an open end only.
pub(super) fn join(
    loose: &[Loose],
    gap: f64,
    sources: &Sources,
    counts: &mut ImportCounts,
    notes: &mut Notes,
) -> Result<Joined, Trouble> {
    let mut points = Points::default();
    let mut edges: Vec<Edge> = loose
        .iter()
        .map(|l| Edge { ends: [points.find(l.piece.from), points.find(l.piece.to)], loose: *l })
        .collect();
    let mut degree = vec![0usize; points.at.len()];
    for edge in &edges {
        degree[edge.ends[0]] += 1;
        degree[edge.ends[1]] += 1;
    }
    counts.open_ends = degree.iter().filter(|d| **d == 1).count();
    let (merged, closed) = close_gaps(&points.at, &degree, &edges, gap, sources, notes);
    counts.gaps_closed = closed;
    let mut joined = Joined { loops: Vec::new(), open: Vec::new(), branches: Vec::new() };
    // Ends move onto the common point.
    edges.retain_mut(|edge| {
        for end in 0..2 {
            let to = merged[edge.ends[end]];
            edge.ends[end] = to.0;
            let p = &mut edge.loose.piece;
            *(if end == 0 { &mut p.from } else { &mut p.to }) = to.1;
        }
        if edge.ends[0] != edge.ends[1] {
            return true;
        }
        // Both ends at one point: an arc that goes all the way round, or a crumb within the gap.
        let Loose { piece, source } = edge.loose;
        if piece.chord().length() > SAME && piece.length() > 4.0 * gap {
            joined.loops.push(oriented(vec![piece], source));
        } else {
            let what = format!("{} shorter than the gap dropped", sources.kind(source));
            notes.add(DiagnosticSeverity::Mended, what, || sources.place(source));
        }
        false
    });
    let resolved = faces::resolve(&edges, points.at.len(), notes.watch)?;
    for walk in resolved.loops {
        let source = edges[walk[0].0].loose.source;
        let pieces = walk.iter().map(|(e, back)| directed(&edges[*e], *back)).collect();
        joined.loops.push(oriented(pieces, source));
    }
    let chain = |walk: Vec<(usize, bool)>| -> Vec<Loose> {
        walk.into_iter()
            .map(|(e, back)| Loose { piece: directed(&edges[e], back), source: edges[e].loose.source })
            .collect()
    };
    joined.open = resolved.open.into_iter().map(chain).collect();
    joined.branches = resolved.branches.into_iter().map(chain).collect();
    Ok(joined)
}

fn directed(edge: &Edge, back: bool) -> Piece {
    if back { edge.loose.piece.reversed() } else { edge.loose.piece }
}

/// Counter-clockwise.
pub(super) fn oriented(mut pieces: Vec<Piece>, source: u32) -> Closed {
    if piece::area(&pieces) < 0.0 {
        piece::reverse(&mut pieces);
    }
    Closed { pieces, source }
}

/// Points told apart by [`SAME`], through a grid.
#[derive(Default)]
pub(super) struct Points {
    at: Vec<DVec2>,
    grid: HashMap<(i64, i64), Vec<usize>>,
}

impl Points {
    pub(super) fn len(&self) -> usize {
        self.at.len()
    }

    /// Whether one is there.
    pub(super) fn has(&self, p: DVec2) -> bool {
        self.look(p).is_some()
    }

    fn look(&self, p: DVec2) -> Option<usize> {
        // Cells much wider than SAME: mostly one has to be looked into, more only near their edges.
        for x in cell(p.x - SAME)..=cell(p.x + SAME) {
            for y in cell(p.y - SAME)..=cell(p.y + SAME) {
                let near = self.grid.get(&(x, y));
                let found = near.and_then(|near| near.iter().find(|i| self.at[**i].distance(p) <= SAME));
                if let Some(&found) = found {
                    return Some(found);
                }
            }
        }
        None
    }

    /// The number of a point, a new one where none is near.
    pub(super) fn find(&mut self, p: DVec2) -> usize {
        if let Some(found) = self.look(p) {
            return found;
        }
        self.at.push(p);
        self.grid.entry((cell(p.x), cell(p.y))).or_default().push(self.at.len() - 1);
        self.at.len() - 1
    }
}

/// The cell of the grid that a coordinate lies in.
fn cell(v: f64) -> i64 {
    (v / (16.0 * SAME)).floor() as i64
}

/// For each point: the point it is merged into, and where that lies; and how many gaps were closed.
fn close_gaps(
    at: &[DVec2],
    degree: &[usize],
    edges: &[Edge],
    gap: f64,
    sources: &Sources,
    notes: &mut Notes,
) -> (Vec<(usize, DVec2)>, usize) {
    let open: Vec<usize> = (0..at.len()).filter(|i| degree[*i] == 1).collect();
    let mut piece_at: HashMap<usize, usize> = HashMap::with_capacity(open.len());
    for (e, edge) in edges.iter().enumerate() {
        for end in edge.ends {
            if degree[end] == 1 {
                piece_at.insert(end, e);
            }
        }
    }
    let tree = RTree::bulk_load(open.iter().map(|i| GeomWithData::new([at[*i].x, at[*i].y], *i)).collect());
    let mut root: Vec<usize> = (0..at.len()).collect();
    let mut widest: Option<(f64, usize)> = None;
    let mut closed = 0;
    for &i in &open {
        let near = tree.nearest_neighbor_iter_with_distance_2([at[i].x, at[i].y]).take(NEIGHBOURS);
        for (other, distance2) in near {
            let (j, distance) = (other.data, distance2.sqrt());
            if distance > gap {
                break;
            }
            // The other end of the same short piece is no partner.
            let own = piece_at.get(&i) == piece_at.get(&j)
                && piece_at.get(&i).is_some_and(|e| edges[*e].loose.piece.length() <= 4.0 * gap);
            let (a, b) = (find(&mut root, i), find(&mut root, j));
            if j == i || own || a == b {
                continue;
            }
            root[a.max(b)] = a.min(b);
            closed += 1;
            if widest.is_none_or(|w| distance > w.0) {
                widest = Some((distance, i));
            }
        }
    }
    if let Some((distance, i)) = widest {
        let what = super::leftovers::gaps_closed(distance);
        notes.add_many(DiagnosticSeverity::Mended, what, closed, || match piece_at.get(&i) {
            Some(e) => at_place(sources.place(edges[*e].loose.source), at[i]),
            None => place(at[i]).into(),
        });
    }
    let mut sums: Vec<(DVec2, f64)> = vec![(DVec2::ZERO, 0.0); at.len()];
    for &i in &open {
        let r = find(&mut root, i);
        sums[r] = (sums[r].0 + at[i], sums[r].1 + 1.0);
    }
    let merged = (0..at.len())
        .map(|i| {
            let r = find(&mut root, i);
            let alone = degree[i] != 1 || sums[r].1 <= 1.0;
            if alone { (i, at[i]) } else { (r, sums[r].0 / sums[r].1) }
        })
        .collect();
    (merged, closed)
}

pub(super) fn find(root: &mut [usize], mut i: usize) -> usize {
    while root[i] != i {
        root[i] = root[root[i]];
        i = root[i];
    }
    i
}
