//! Which places exclude each other, and every set of places that do not.

/// Places that exclude each other, as lips that would overlap.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Conflicts {
    places: usize,
    /// By place, one bit for every other.
    bits: Vec<Vec<u64>>,
}

impl Conflicts {
    /// Of so many places; `between` is asked once for each pair.
    pub fn of(places: usize, mut between: impl FnMut(usize, usize) -> bool) -> Self {
        let words = places.div_ceil(64);
        let mut bits = vec![vec![0; words]; places];
        for a in 0..places {
            for b in a + 1..places {
                if between(a, b) {
                    bits[a][b / 64] |= 1 << (b % 64);
                    bits[b][a / 64] |= 1 << (a % 64);
                }
            }
        }
        Self { places, bits }
    }

    /// Whether two places exclude each other.
    pub fn between(&self, a: usize, b: usize) -> bool {
        self.bits.get(a).and_then(|row| row.get(b / 64)).is_some_and(|word| word >> (b % 64) & 1 == 1)
    }

    /// Whether a place excludes any of a set.
    pub fn any(&self, place: usize, set: &[usize]) -> bool {
        set.iter().any(|&other| self.between(place, other))
    }

    /// Groups of places of which one at most may be taken, every conflict in at least one of them.
    ///
    /// From every place that has a conflict not yet in a group, one group is grown by the places with which it has most in common: few
    /// large groups prove more than many pairs.
    pub fn cliques(&self) -> Vec<Vec<usize>> {
        let mut covered: Vec<Vec<u64>> = vec![vec![0; self.places.div_ceil(64)]; self.places];
        let mut cliques = Vec::new();
        for seed in 0..self.places {
            loop {
                let open: Vec<u64> =
                    self.bits[seed].iter().zip(&covered[seed]).map(|(all, done)| all & !done).collect();
                let Some(first) = first_bit(&open) else { break };
                let mut clique = vec![seed, first];
                let mut common: Vec<u64> =
                    self.bits[seed].iter().zip(&self.bits[first]).map(|(a, b)| a & b).collect();
                while let Some(next) = self.most_in_common(&common) {
                    clique.push(next);
                    common.iter_mut().zip(&self.bits[next]).for_each(|(held, more)| *held &= more);
                }
                clique.sort_unstable();
                for &a in &clique {
                    for &b in clique.iter().filter(|b| **b != a) {
                        covered[a][b / 64] |= 1 << (b % 64);
                    }
                }
                cliques.push(clique);
            }
        }
        cliques
    }

    /// Of the places of a mask, the first with the most conflicts within it.
    fn most_in_common(&self, mask: &[u64]) -> Option<usize> {
        let shared = |place: usize| -> u32 {
            self.bits[place].iter().zip(mask).map(|(a, b)| (a & b).count_ones()).sum()
        };
        let each = (0..self.places).filter(|&place| mask[place / 64] >> (place % 64) & 1 == 1);
        each.map(|place| (shared(place), place))
            .max_by(|a, b| a.0.cmp(&b.0).then(b.1.cmp(&a.1)))
            .map(|of| of.1)
    }
}

fn first_bit(words: &[u64]) -> Option<usize> {
    let at = words.iter().position(|word| *word != 0)?;
    Some(at * 64 + words[at].trailing_zeros() as usize)
}

/// Hands out every set of `count` places with the `locked` ones, of which none exclude each other, until `give` says stop; whether
/// it came to the end.
pub fn combinations(
    conflicts: &Conflicts,
    locked: &[usize],
    count: usize,
    give: &mut dyn FnMut(&[usize]) -> bool,
) -> bool {
    let mut set = locked.to_vec();
    grown(conflicts, locked, &mut set, count, 0, give)
}

fn grown(
    conflicts: &Conflicts,
    locked: &[usize],
    set: &mut Vec<usize>,
    count: usize,
    from: usize,
    give: &mut dyn FnMut(&[usize]) -> bool,
) -> bool {
    if set.len() >= count {
        return set.len() > count || give(set);
    }
    let missing = count - set.len();
    for place in from..conflicts.places {
        if conflicts.places - place < missing {
            break;
        }
        if locked.contains(&place) || conflicts.any(place, set) {
            continue;
        }
        set.push(place);
        let on = grown(conflicts, locked, set, count, place + 1, give);
        set.pop();
        if !on {
            return false;
        }
    }
    true
}
