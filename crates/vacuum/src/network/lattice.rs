//! Elimination on the lattice of a network.
//!
//! The matrix of a network has one row per node and entries only between connected nodes, the same places above and below
//! the diagonal; nothing off the diagonal is positive, and what the diagonal exceeds the rest of its column by is the slope
//! of what enters or is stored at that node (an M-matrix). Keeping that excess instead of the diagonal, elimination in any
//! order needs no exchange of rows and never subtracts, so that each entry stays right to the last digits however unequal
//! the conductances are (Grassmann, Taksar & Heyman, *Regenerative analysis and steady state distributions for Markov
//! chains*, Operations Research 33, 1985; from memory). Circuits are nearly trees, and least degree first eliminates a tree
//! without fill. Places and order depend on connections only and are found once; what is left is a loop over a list of
//! indices. A general library would subtract, and search for pivots that are never needed.

/// Order of elimination and where every entry lives.
///
/// Entries live in one list: the excess of each column (after elimination, the pivots) in the order of elimination, then what lies right of it row by row, then what
/// lies below it column by column in the same places.
#[derive(Debug)]
pub(crate) struct Pattern {
    /// Place in the order of elimination of each node.
    place: Vec<usize>,
    /// Where the row of each place starts in `right`, and one more.
    start: Vec<usize>,
    /// Places to the right of the diagonal.
    right: Vec<usize>,
    /// For each place, for each pair of its neighbours, the entry that their product lowers.
    lowered: Vec<usize>,
    /// For each element, the entries (from, to) and (to, from).
    between: Vec<(usize, usize)>,
}

impl Pattern {
    /// Order for nodes that elements connect; an element from a node to itself is not allowed.
    pub(crate) fn new(nodes: usize, ends: &[(usize, usize)]) -> Self {
        let mut near: Vec<Vec<usize>> = vec![Vec::new(); nodes];
        for &(a, b) in ends {
            insert(&mut near[a], b);
            insert(&mut near[b], a);
        }
        let mut place = vec![usize::MAX; nodes];
        let mut rows: Vec<Vec<usize>> = Vec::with_capacity(nodes);
        for at in 0..nodes {
            let left = (0..nodes).filter(|&node| place[node] == usize::MAX);
            let Some(least) = left.min_by_key(|&node| near[node].len()) else { break };
            place[least] = at;
            let row = std::mem::take(&mut near[least]);
            for &a in &row {
                near[a].retain(|&node| node != least);
                for &b in row.iter().filter(|&&b| b != a) {
                    insert(&mut near[a], b);
                }
            }
            rows.push(row);
        }
        let mut start = vec![0];
        let mut right = Vec::new();
        for row in &rows {
            let mut places: Vec<usize> = row.iter().map(|&node| place[node]).collect();
            places.sort_unstable();
            right.extend(places);
            start.push(right.len());
        }
        let mut pattern = Self { place, start, right, lowered: Vec::new(), between: Vec::new() };
        for at in 0..nodes {
            let row = pattern.right[pattern.start[at]..pattern.start[at + 1]].to_vec();
            for &a in &row {
                for &b in &row {
                    let entry = pattern.entry(a, b);
                    pattern.lowered.push(entry);
                }
            }
        }
        let place = |node: usize| pattern.place[node];
        let entry =
            |&(a, b): &(usize, usize)| (pattern.entry(place(a), place(b)), pattern.entry(place(b), place(a)));
        pattern.between = ends.iter().map(entry).collect();
        pattern
    }

    /// How many entries a matrix has.
    pub(crate) fn entries(&self) -> usize {
        self.place.len() + 2 * self.right.len()
    }

    /// The entry for the excess of a node's column.
    pub(crate) fn excess(&self, node: usize) -> usize {
        self.place[node]
    }

    /// The entries (from, to) and (to, from) of an element.
    pub(crate) fn between(&self, element: usize) -> (usize, usize) {
        self.between[element]
    }

    /// The entry in row `a` and column `b`, both by their places.
    fn entry(&self, a: usize, b: usize) -> usize {
        let (low, high) = (a.min(b), a.max(b));
        if low == high {
            return low;
        }
        let row = &self.right[self.start[low]..self.start[low + 1]];
        let offset = self.start[low] + row.partition_point(|&place| place < high);
        self.place.len() + offset + if a < b { 0 } else { self.right.len() }
    }

    /// Eliminates in place. False if a pivot is not positive: then nothing holds a node's pressure.
    pub(crate) fn eliminate(&self, entries: &mut [f64]) -> bool {
        let (n, count) = (self.place.len(), self.right.len());
        let mut lowered = 0;
        for at in 0..n {
            let row = self.start[at]..self.start[at + 1];
            let excess = entries[at];
            let pivot = excess - row.clone().map(|below| entries[n + count + below]).sum::<f64>();
            if !(pivot.is_finite() && pivot > 0.0) {
                return false;
            }
            entries[at] = pivot;
            for a in row.clone() {
                // What the node's own excess holds is passed on to its neighbours' columns.
                entries[self.right[a]] -= entries[n + a] * (excess / pivot);
                let below = n + count + a;
                entries[below] /= pivot;
                let factor = entries[below];
                for b in row.clone() {
                    if a != b {
                        entries[self.lowered[lowered]] -= factor * entries[n + b];
                    }
                    lowered += 1;
                }
            }
        }
        true
    }

    /// Solves with eliminated entries. `values` holds the right side by node and then the answer; `work` is scratch.
    pub(crate) fn solve(&self, entries: &[f64], values: &mut [f64], work: &mut Vec<f64>) {
        let (n, count) = (self.place.len(), self.right.len());
        work.clear();
        work.resize(n, 0.0);
        for (node, &place) in self.place.iter().enumerate() {
            work[place] = values[node];
        }
        for at in 0..n {
            let value = work[at];
            for a in self.start[at]..self.start[at + 1] {
                work[self.right[a]] -= entries[n + count + a] * value;
            }
        }
        for at in (0..n).rev() {
            let mut value = work[at];
            for a in self.start[at]..self.start[at + 1] {
                value -= entries[n + a] * work[self.right[a]];
            }
            work[at] = value / entries[at];
        }
        for (node, &place) in self.place.iter().enumerate() {
            values[node] = work[place];
        }
    }
}

/// Inserts into a sorted list what it does not hold.
fn insert(list: &mut Vec<usize>, value: usize) {
    if let Err(at) = list.binary_search(&value) {
        list.insert(at, value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Multiplying the answer by the matrix gives the right side back.
        #[test]
        fn answers_satisfy_the_equations(
            nodes in 2..14_usize,
            picks in prop::collection::vec((0..14_usize, 0..14_usize, 0.01..5.0_f64, 0.0..1.0_f64), 1..40),
            side in prop::collection::vec(-3.0..3.0_f64, 14),
        ) {
            let picks: Vec<_> = picks.into_iter().map(|(a, b, up, share)| (a % nodes, b % nodes, up, share))
                .filter(|p| p.0 != p.1).collect();
            let ends: Vec<_> = picks.iter().map(|p| (p.0, p.1)).collect();
            let pattern = Pattern::new(nodes, &ends);
            let mut dense = vec![vec![0.0; nodes]; nodes];
            let mut entries = vec![0.0; pattern.entries()];
            for node in 0..nodes {
                dense[node][node] += 0.1;
                entries[pattern.excess(node)] += 0.1;
            }
            // A flow that rises with the first end's value and falls with the second's, a choked one less.
            for (element, &(a, b, up, share)) in picks.iter().enumerate() {
                let down = up * share;
                for (row, sign) in [(a, 1.0), (b, -1.0)] {
                    dense[row][a] += sign * up;
                    dense[row][b] -= sign * down;
                }
                let (ab, ba) = pattern.between(element);
                entries[ab] -= down;
                entries[ba] -= up;
            }
            prop_assert!(pattern.eliminate(&mut entries));
            let mut values = side[..nodes].to_vec();
            pattern.solve(&entries, &mut values, &mut Vec::new());
            for row in 0..nodes {
                let product: f64 = (0..nodes).map(|column| dense[row][column] * values[column]).sum();
                let size: f64 = values.iter().fold(1.0, |a, v| a.max(v.abs()));
                prop_assert!((product - side[row]).abs() < 1e-9 * size, "{product} {}", side[row]);
            }
        }
    }

    #[test]
    fn a_tree_gains_no_entries() {
        let ends: Vec<_> = (1..100).map(|node| (node, (node - 1) / 3)).collect();
        assert_eq!(Pattern::new(100, &ends).entries(), 100 + 2 * 99);
    }
}
