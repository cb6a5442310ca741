//! Lists of things with keys, three ways.

use super::{Choice, Run};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A list in its three states.
pub(super) struct Three<'a, T> {
    pub base: &'a [T],
    pub mine: &'a [T],
    pub theirs: &'a [T],
}
/// One thing in its three states.
pub(super) type States<'a, T> = [Option<&'a T>; 3];

/// Key, and which one of those that have it, counted from 0.
type Numbered<K> = (K, usize);

fn numbered<'a, T, K: Ord + Clone>(list: &'a [T], key: &impl Fn(&T) -> K) -> Vec<(Numbered<K>, &'a T)> {
    let mut seen: BTreeMap<K, usize> = BTreeMap::new();
    let each = list.iter().map(|thing| {
        let key = key(thing);
        let count = seen.entry(key.clone()).or_default();
        *count += 1;
        ((key, *count - 1), thing)
    });
    each.collect()
}

impl Run<'_> {
    /// What stands of a list. `clash` says what becomes of a thing that differs three ways, `order` whose order counts where
    /// both have another one.
    pub(super) fn list<T: Clone, K: Ord + Clone + std::hash::Hash>(
        &mut self,
        lists: &Three<'_, T>,
        key: impl Fn(&T) -> K,
        same: impl Fn(&T, &T) -> bool,
        mut clash: impl FnMut(&mut Self, &K, States<'_, T>) -> Option<T>,
        order: impl FnOnce(&mut Self) -> Choice,
    ) -> Vec<T> {
        let sides = [lists.base, lists.mine, lists.theirs].map(|list| numbered(list, &key));
        let by_key: Vec<HashMap<&Numbered<K>, &T>> =
            sides.iter().map(|side| side.iter().map(|(key, thing)| (key, *thing)).collect()).collect();
        let old: BTreeSet<&Numbered<K>> = sides[0].iter().map(|(key, _)| key).collect();
        let new: BTreeSet<&Numbered<K>> = sides[1..].iter().flatten().map(|(key, _)| key).collect();
        // The old ones as they stood, the new ones by their keys: the same from either side.
        let all = sides[0].iter().map(|(key, _)| key).chain(new.difference(&old).copied());
        let mut left: BTreeMap<&Numbered<K>, T> = BTreeMap::new();
        for key in all {
            let [base, mine, theirs] = [0, 1, 2].map(|side| by_key[side].get(key).copied());
            let alike = |a: Option<&T>, b: Option<&T>| match (a, b) {
                (Some(a), Some(b)) => same(a, b),
                (None, None) => true,
                _ => false,
            };
            let picked = if alike(mine, theirs) || alike(theirs, base) {
                mine.cloned()
            } else if alike(mine, base) {
                theirs.cloned()
            } else {
                clash(self, &key.0, [base, mine, theirs])
            };
            if let Some(picked) = picked {
                left.insert(key, picked);
            }
        }
        let [base, mine, theirs] =
            sides.each_ref().map(|side| side.iter().map(|(key, _)| key).collect::<Vec<_>>());
        let sequence = self.sequence(&base, &mine, &theirs, order);
        sequence.into_iter().filter_map(|key| left.remove(key)).collect()
    }

    fn sequence<'k, K: Ord>(
        &mut self,
        base: &[&'k K],
        mine: &[&'k K],
        theirs: &[&'k K],
        order: impl FnOnce(&mut Self) -> Choice,
    ) -> Vec<&'k K> {
        let [in_base, in_mine, in_theirs] =
            [base, mine, theirs].map(|list| list.iter().copied().collect::<BTreeSet<_>>());
        let everywhere = |list: &[&'k K]| -> Vec<&'k K> {
            let there =
                |key: &&&K| in_base.contains(**key) && in_mine.contains(**key) && in_theirs.contains(**key);
            list.iter().filter(there).copied().collect()
        };
        let [was, here, there] = [base, mine, theirs].map(everywhere);
        let mut out = if mine == theirs || theirs == base {
            mine.to_vec()
        } else if mine == base {
            theirs.to_vec()
        } else if here == there || there == was {
            here
        } else if here == was {
            there
        } else {
            order(self).of(here, there)
        };
        let mut placed: BTreeSet<&K> = out.iter().copied().collect();
        // What only one of the two still has stands after what it stood after.
        let mut before: Option<&K> = None;
        for key in base {
            if placed.insert(key) {
                let place =
                    before.and_then(|before| out.iter().position(|x| *x == before)).map_or(0, |i| i + 1);
                out.insert(place, key);
            }
            before = Some(key);
        }
        let more: BTreeSet<&K> =
            mine.iter().chain(theirs).copied().filter(|key| !placed.contains(key)).collect();
        out.extend(more);
        out
    }
}
