//! Loops in a net of pieces, also where pieces branch.
//!
//! Where every point joins two pieces a loop is simply walked. Where more meet, what dangles is taken off first, then
//! bridges, and of what remains the *outer* boundary is the loop: a bend line drawn across a part from edge to edge is
//! left over, the part is not cut in two. What lies inside is looked at again, for holes that touch the outline.

use super::join::Edge;
use crate::dxf::Trouble;
use crate::watch::Watch;
use std::collections::VecDeque;

/// Edge and whether it is walked backwards.
type Step = (usize, bool);

/// Rounds of taking outer boundaries off, at most: each goes over the whole net, and a part with loops that touch more
/// than a few deep is a mesh or a hatching.
const MOST_ROUNDS: usize = 24;

/// What a net comes to.
#[derive(Default)]
pub(super) struct Resolved {
    pub(super) loops: Vec<Vec<Step>>,
    /// Chains that meet no loop.
    pub(super) open: Vec<Vec<Step>>,
    /// Chains that hang on to loops or divide them.
    pub(super) branches: Vec<Vec<Step>>,
}

struct Net<'a> {
    edges: &'a [Edge],
    alive: Vec<bool>,
    /// Edges at each point, dead ones included.
    at: Vec<Vec<usize>>,
    degree: Vec<usize>,
}

/// Finds the loops among edges between `points` points.
pub(super) fn resolve(edges: &[Edge], points: usize, watch: &Watch) -> Result<Resolved, Trouble> {
    let mut net =
        Net { edges, alive: vec![true; edges.len()], at: vec![Vec::new(); points], degree: vec![0; points] };
    for (i, edge) in edges.iter().enumerate() {
        for end in edge.ends {
            net.at[end].push(i);
            net.degree[end] += 1;
        }
    }
    let mut resolved = Resolved::default();
    let mut on_loop = vec![false; points];
    let mut left = Vec::new();
    for _ in 0..MOST_ROUNDS {
        watch.go_on()?;
        left.extend(net.prune());
        let simple = net.simple_loops();
        let mut found = simple;
        if net.alive.contains(&true) {
            let (bridges, outer) = net.outer_loops();
            left.extend(bridges);
            found.extend(outer);
        }
        if found.is_empty() && !net.alive.contains(&true) {
            break;
        }
        for step in found.iter().flatten() {
            edges[step.0].ends.iter().for_each(|p| on_loop[*p] = true);
        }
        resolved.loops.append(&mut found);
    }
    left.extend((0..edges.len()).filter(|e| net.alive[*e]));
    for chain in chains(edges, &left, points) {
        let touches = |step: &Step| edges[step.0].ends.iter().any(|p| on_loop[*p]);
        let branches = chain.first().is_some_and(touches) || chain.last().is_some_and(touches);
        if branches { resolved.branches.push(chain) } else { resolved.open.push(chain) }
    }
    Ok(resolved)
}

impl Net<'_> {
    fn kill(&mut self, edge: usize) {
        self.alive[edge] = false;
        for end in self.edges[edge].ends {
            self.degree[end] -= 1;
        }
    }

    fn other(&self, edge: usize, point: usize) -> usize {
        let [a, b] = self.edges[edge].ends;
        if a == point { b } else { a }
    }

    /// Takes off what dangles.
    fn prune(&mut self) -> Vec<usize> {
        let mut off = Vec::new();
        let mut queue: VecDeque<usize> = (0..self.degree.len()).filter(|p| self.degree[*p] == 1).collect();
        while let Some(point) = queue.pop_front() {
            if self.degree[point] != 1 {
                continue;
            }
            let Some(edge) = self.at[point].iter().copied().find(|e| self.alive[*e]) else { continue };
            let other = self.other(edge, point);
            self.kill(edge);
            off.push(edge);
            if self.degree[other] == 1 {
                queue.push_back(other);
            }
        }
        off
    }

    /// Walks loops in which every point joins exactly two pieces.
    fn simple_loops(&mut self) -> Vec<Vec<Step>> {
        let mut seen = vec![false; self.edges.len()];
        let mut loops = Vec::new();
        for first in 0..self.edges.len() {
            if !self.alive[first] || seen[first] {
                continue;
            }
            let start = self.edges[first].ends[0];
            let (mut walk, mut edge, mut point, mut simple) = (Vec::new(), first, start, true);
            loop {
                simple &= self.degree[point] == 2;
                if !simple {
                    break;
                }
                seen[edge] = true;
                walk.push((edge, self.edges[edge].ends[0] != point));
                point = self.other(edge, point);
                if point == start {
                    break;
                }
                let next = self.at[point].iter().copied().find(|e| self.alive[*e] && *e != edge);
                match next {
                    Some(next) => edge = next,
                    None => simple = false,
                }
            }
            if simple {
                walk.iter().for_each(|(e, _)| self.kill(*e));
                loops.push(walk);
            }
        }
        loops
    }

    /// In a net without dangling ends: bridges, or else the outer boundary of every connected net, cut at points it
    /// passes twice. Everything returned is taken out.
    fn outer_loops(&mut self) -> (Vec<usize>, Vec<Vec<Step>>) {
        let (face, faces) = self.walk_faces();
        let bridges: Vec<usize> =
            (0..self.edges.len()).filter(|e| self.alive[*e] && face[2 * e] == face[2 * e + 1]).collect();
        if !bridges.is_empty() {
            bridges.iter().for_each(|e| self.kill(*e));
            return (bridges, Vec::new());
        }
        // The outer face of a net is the one walked clockwise.
        let net_of = self.connected();
        let mut outer: std::collections::BTreeMap<usize, (f64, usize)> = std::collections::BTreeMap::new();
        for (i, walk) in faces.iter().enumerate() {
            let area = self.walk_area(walk);
            let best = outer.entry(net_of[self.edges[walk[0].0].ends[0]]).or_insert((area, i));
            if area < best.0 {
                *best = (area, i);
            }
        }
        let mut loops = Vec::new();
        for (_, i) in outer.into_values() {
            let back: Vec<Step> = faces[i].iter().rev().map(|(e, back)| (*e, !back)).collect();
            back.iter().for_each(|(e, _)| self.kill(*e));
            self.cut_at_repeats(back, &mut loops);
        }
        (Vec::new(), loops)
    }

    fn start_of(&self, step: Step) -> usize {
        self.edges[step.0].ends[usize::from(step.1)]
    }

    fn walk_area(&self, walk: &[Step]) -> f64 {
        let Some(&(first, _)) = walk.first() else { return 0.0 };
        let origin = self.edges[first].loose.piece.from;
        walk.iter()
            .map(|(e, back)| {
                let area = self.edges[*e].loose.piece.area_about(origin);
                if *back { -area } else { area }
            })
            .sum()
    }

    /// Faces to the left of every half edge (edge · 2, + 1 backwards): the face each belongs to, and the walks.
    fn walk_faces(&self) -> (Vec<usize>, Vec<Vec<Step>>) {
        const NONE: usize = usize::MAX;
        let half = |e: usize, back: bool| 2 * e + usize::from(back);
        let mut next = vec![NONE; 2 * self.edges.len()];
        for (point, edges) in self.at.iter().enumerate() {
            if self.degree[point] == 0 {
                continue;
            }
            // Half edges that leave here, counter-clockwise; arcs that leave side by side in order of curvature.
            let mut out: Vec<(f64, f64, usize)> = Vec::new();
            for &e in edges.iter().filter(|e| self.alive[**e]) {
                for back in [false, true] {
                    if self.start_of((e, back)) == point {
                        let p = self.edges[e].loose.piece;
                        let p = if back { p.reversed() } else { p };
                        // Angles equal but for rounding count as equal.
                        let angle = (p.leaves().to_angle() * 1e7)
                            .round()
                            .rem_euclid((std::f64::consts::TAU * 1e7).round());
                        out.push((angle, p.curvature(), half(e, back)));
                    }
                }
            }
            out.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
            out.dedup_by_key(|o| o.2);
            for i in 0..out.len() {
                // Arriving by the twin of `out[i]`, the face to the left goes on with the next one clockwise.
                let previous = out[(i + out.len() - 1) % out.len()].2;
                next[out[i].2 ^ 1] = previous;
            }
        }
        let mut face = vec![NONE; next.len()];
        let mut faces = Vec::new();
        for first in 0..next.len() {
            if !self.alive[first / 2] || face[first] != NONE {
                continue;
            }
            let (mut walk, mut at) = (Vec::new(), first);
            while at != NONE && face[at] == NONE {
                face[at] = faces.len();
                walk.push((at / 2, at % 2 == 1));
                at = next[at];
            }
            faces.push(walk);
        }
        (face, faces)
    }

    /// For each point a number that all points of its net share.
    fn connected(&self) -> Vec<usize> {
        let mut net = vec![usize::MAX; self.at.len()];
        for first in 0..net.len() {
            let mut stack = vec![first];
            while let Some(point) = stack.pop() {
                if net[point] != usize::MAX {
                    continue;
                }
                net[point] = first;
                stack
                    .extend(self.at[point].iter().filter(|e| self.alive[**e]).map(|e| self.other(*e, point)));
            }
        }
        net
    }

    /// A walk that passes a point twice is two loops that touch there.
    fn cut_at_repeats(&self, walk: Vec<Step>, loops: &mut Vec<Vec<Step>>) {
        let mut path: Vec<Step> = Vec::new();
        let mut seen = std::collections::HashMap::new();
        for step in walk {
            let start = self.start_of(step);
            if let Some(&since) = seen.get(&start) {
                let cut: Vec<Step> = path.drain(since..).collect();
                cut.iter().for_each(|s| {
                    seen.remove(&self.start_of(*s));
                });
                loops.push(cut);
            }
            seen.insert(start, path.len());
            path.push(step);
        }
        if !path.is_empty() {
            loops.push(path);
        }
    }
}

/// Leftover edges put together to chains where they follow one another without branching.
fn chains(edges: &[Edge], left: &[usize], points: usize) -> Vec<Vec<Step>> {
    let mut at: Vec<Vec<usize>> = vec![Vec::new(); points];
    for &e in left {
        edges[e].ends.iter().for_each(|p| at[*p].push(e));
    }
    let mut used = vec![false; edges.len()];
    let mut order: Vec<(usize, usize)> = left
        .iter()
        .flat_map(|e| edges[*e].ends.map(|p| (*e, p)))
        .filter(|(_, p)| at[*p].len() != 2)
        .collect();
    // Rings among leftovers have no end to start from.
    order.extend(left.iter().map(|e| (*e, edges[*e].ends[0])));
    let mut out = Vec::new();
    for (first, start) in order {
        if used[first] {
            continue;
        }
        let (mut walk, mut edge, mut point) = (Vec::new(), first, start);
        loop {
            used[edge] = true;
            walk.push((edge, edges[edge].ends[0] != point));
            let [a, b] = edges[edge].ends;
            point = if a == point { b } else { a };
            // Only where two meet is there a way on; a point where thousands do is not gone through for each.
            let [a, b] = at[point][..] else { break };
            match [a, b].into_iter().find(|e| !used[*e]) {
                Some(next) => edge = next,
                None => break,
            }
        }
        out.push(walk);
    }
    out
}
