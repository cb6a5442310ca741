//! In which order unknowns are eliminated.

use crate::mesh::Mesh;

/// Sets of so few triangles are not split further.
const LEAF: usize = 8;

/// Corners (by index) and sides (by index after the corners) in the order in which they are eliminated.
///
/// # Source
/// Nested dissection: George, *Nested dissection of a regular finite element mesh*, SIAM J. Numer. Anal. 10, 1973. The triangles
/// are halved by the middle of their centres along the longer way; what both halves share comes last.
pub(crate) fn order(mesh: &Mesh) -> Vec<u32> {
    let corners = mesh.points.len();
    let nodes = corners + mesh.edges.len();
    let mut work = Work {
        mesh,
        centres: (0..mesh.triangles.len())
            .map(|t| {
                let [a, b, c] = mesh.corners(t);
                [a.x + b.x + c.x, a.y + b.y + c.y]
            })
            .collect(),
        mark: vec![0; nodes],
        stamp: 0,
        placed: vec![false; nodes],
        backwards: Vec::with_capacity(nodes),
    };
    let mut all: Vec<u32> = (0..mesh.triangles.len() as u32).collect();
    work.split(&mut all);
    work.backwards.reverse();
    work.backwards
}

struct Work<'a> {
    mesh: &'a Mesh,
    /// Three times the centre of every triangle.
    centres: Vec<[f64; 2]>,
    mark: Vec<u32>,
    stamp: u32,
    placed: Vec<bool>,
    backwards: Vec<u32>,
}

/// Corners and sides of a triangle as nodes.
pub(crate) fn nodes_of(mesh: &Mesh, t: usize) -> [u32; 6] {
    let first = mesh.points.len() as u32;
    let ([a, b, c], [p, q, r]) = (mesh.triangles[t], mesh.sides[t]);
    [a, b, c, first + p, first + q, first + r]
}

impl Work<'_> {
    fn split(&mut self, set: &mut [u32]) {
        if set.len() <= LEAF {
            // Corners touch more than sides do, so they come later.
            for corner in [true, false].into_iter().rev() {
                for &t in set.iter() {
                    for node in nodes_of(self.mesh, t as usize) {
                        if ((node as usize) < self.mesh.points.len()) != corner {
                            self.place(node);
                        }
                    }
                }
            }
            return;
        }
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for &t in set.iter() {
            for d in 0..2 {
                low[d] = low[d].min(self.centres[t as usize][d]);
                high[d] = high[d].max(self.centres[t as usize][d]);
            }
        }
        let way = usize::from(high[1] - low[1] > high[0] - low[0]);
        let half = set.len() / 2;
        let centres = &self.centres;
        set.select_nth_unstable_by(half, |a, b| {
            centres[*a as usize][way].total_cmp(&centres[*b as usize][way]).then(a.cmp(b))
        });
        let (one, other) = set.split_at_mut(half);
        self.stamp += 1;
        for &t in one.iter() {
            for node in nodes_of(self.mesh, t as usize) {
                self.mark[node as usize] = self.stamp;
            }
        }
        for &t in other.iter() {
            for node in nodes_of(self.mesh, t as usize) {
                if self.mark[node as usize] == self.stamp {
                    self.place(node);
                }
            }
        }
        self.split(other);
        self.split(one);
    }

    fn place(&mut self, node: u32) {
        if !std::mem::replace(&mut self.placed[node as usize], true) {
            self.backwards.push(node);
        }
    }
}
