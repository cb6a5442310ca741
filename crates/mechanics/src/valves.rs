//! Fewest valves for a tool that carries several parts, by exact search.
//!
//! For every part a cup must be open, must be shut, or may be either. Cups may hang on one valve unless for some part one of
//! them must be open and another shut: a zone is open for a part where one of its cups must be. Two cups conflict or not whatever
//! else hangs on the valve, so the fewest valves are the fewest colours of the graph of conflicts, and cups with the same needs
//! never cost a valve of their own.

/// What a part needs of a cup.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Need {
    /// The cup is on the part and is needed.
    Open,
    /// The cup is on the part, which holds without it too.
    Either,
    /// The cup is beside the part or partly on it: open it would draw air.
    Shut,
}

/// Cups in zones, each with a valve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grouping {
    /// Cups by their place in the list, each zone in order, zones in the order of their first cup.
    pub zones: Vec<Vec<usize>>,
    /// So many cups that may be open for a part hang on a valve that must be shut for it, counted over all parts.
    pub kept_shut: usize,
    /// Whether the search looked at all groupings: then no fewer valves do, and none of that number keeps fewer cups shut.
    pub proved: bool,
}

impl Grouping {
    /// Whether the valve of a zone is open for a part: a cup of it must be, or may be and none must be shut.
    pub fn is_open(&self, needs: &[Vec<Need>], zone: usize, part: usize) -> bool {
        let of = |need: Need| {
            let cups = self.zones.get(zone).into_iter().flatten();
            cups.filter_map(|cup| needs.get(*cup)?.get(part)).any(|held| *held == need)
        };
        !of(Need::Shut) && (of(Need::Open) || of(Need::Either))
    }
}

/// States looked at before the search gives the best so far, unproved. Some 24 cups with 8 parts take a few thousand.
const MOST_STATES: u64 = 2_000_000;

/// The fewest valves, and of the groupings with that number one that keeps the fewest cups shut which might be open. `needs` holds
/// a list for each cup, with an entry for each part; cups that are on no part are in no zone.
///
/// # Source
/// Colouring by saturation with backtracking (Brélaz, "New methods to color the vertices of a graph", Communications of the ACM
/// 22, 1979, from memory).
///
/// ```
/// use mechanics::valves::{Need::*, fewest};
/// // A large part on all three cups, a small one on the first: the others may share a valve.
/// let found = fewest(&[vec![Open, Open], vec![Open, Shut], vec![Open, Shut]]);
/// assert_eq!(found.zones, [vec![0], vec![1, 2]]);
/// assert!(found.proved);
/// ```
pub fn fewest(needs: &[Vec<Need>]) -> Grouping {
    let kinds = Kinds::of(needs);
    let least = kinds.clique();
    let mut unproved = false;
    for zones in least..=kinds.list.len() {
        let mut search = Search::new(&kinds, zones);
        search.run();
        unproved |= search.states >= MOST_STATES;
        if let Some((cost, of_kind)) = search.best {
            return kinds.grouping(&of_kind, cost, !unproved);
        }
    }
    // Every kind apart never conflicts, so the loop ends before, but for a tool without a cup on a part.
    kinds.grouping(&(0..kinds.list.len()).collect::<Vec<_>>(), 0, true)
}

/// The grouping with at most so many valves that keeps the fewest cups shut which might be open; `None` where so few do not do.
pub fn with(needs: &[Vec<Need>], valves: usize) -> Option<Grouping> {
    let kinds = Kinds::of(needs);
    let mut search = Search::new(&kinds, valves);
    search.run();
    let proved = search.states < MOST_STATES;
    let (cost, of_kind) = search.best?;
    Some(kinds.grouping(&of_kind, cost, proved))
}

/// Cups with the same needs, as one.
struct Kinds {
    /// Needs, and the cups that have them.
    list: Vec<(Vec<Need>, Vec<usize>)>,
    /// Which kinds may not hang on one valve.
    conflicts: Vec<Vec<bool>>,
}

impl Kinds {
    fn of(needs: &[Vec<Need>]) -> Self {
        let mut list: Vec<(Vec<Need>, Vec<usize>)> = Vec::new();
        for (cup, own) in needs.iter().enumerate() {
            if own.iter().all(|need| *need == Need::Shut) {
                continue;
            }
            match list.iter_mut().find(|(held, _)| held == own) {
                Some((_, cups)) => cups.push(cup),
                None => list.push((own.clone(), vec![cup])),
            }
        }
        let clash = |a: &[Need], b: &[Need]| {
            a.iter().zip(b).any(|pair| matches!(pair, (Need::Open, Need::Shut) | (Need::Shut, Need::Open)))
        };
        let conflicts = list.iter().map(|(a, _)| list.iter().map(|(b, _)| clash(a, b)).collect()).collect();
        Self { list, conflicts }
    }

    /// Size of a set of kinds that all conflict with each other: no fewer valves do.
    fn clique(&self) -> usize {
        let mut most = usize::from(!self.list.is_empty());
        for first in 0..self.list.len() {
            let mut clique = vec![first];
            for next in 0..self.list.len() {
                if clique.iter().all(|held| self.conflicts[*held][next]) {
                    clique.push(next);
                }
            }
            most = most.max(clique.len());
        }
        most
    }

    fn grouping(&self, zone_of_kind: &[usize], kept_shut: usize, proved: bool) -> Grouping {
        let mut zones: Vec<Vec<usize>> = Vec::new();
        for ((_, cups), zone) in self.list.iter().zip(zone_of_kind) {
            if zones.len() <= *zone {
                zones.resize(*zone + 1, Vec::new());
            }
            zones[*zone].extend(cups);
        }
        zones.retain(|zone| !zone.is_empty());
        zones.iter_mut().for_each(|zone| zone.sort_unstable());
        zones.sort_by_key(|zone| zone.first().copied());
        Grouping { zones, kept_shut, proved }
    }
}

struct Search<'a> {
    kinds: &'a Kinds,
    /// Most zones.
    most: usize,
    /// Zone of each kind, where it has one.
    zone: Vec<Option<usize>>,
    used: usize,
    states: u64,
    /// Cost and zones of the best so far.
    best: Option<(usize, Vec<usize>)>,
}

impl<'a> Search<'a> {
    fn new(kinds: &'a Kinds, most: usize) -> Self {
        Self { kinds, most, zone: vec![None; kinds.list.len()], used: 0, states: 0, best: None }
    }

    fn run(&mut self) {
        self.states += 1;
        if self.states >= MOST_STATES {
            return;
        }
        let cost = self.cost();
        if self.best.as_ref().is_some_and(|(best, _)| cost >= *best) {
            return;
        }
        let Some(kind) = self.next() else {
            self.best = Some((cost, self.zone.iter().map(|zone| zone.unwrap_or(0)).collect()));
            return;
        };
        // Zones that are not in use yet are alike: one of them stands for all.
        for zone in 0..(self.used + 1).min(self.most) {
            if self.barred(kind, zone) {
                continue;
            }
            let used = self.used;
            self.zone[kind] = Some(zone);
            self.used = used.max(zone + 1);
            self.run();
            self.zone[kind] = None;
            self.used = used;
            if self.best.as_ref().is_some_and(|(best, _)| *best == 0) {
                return;
            }
        }
    }

    fn barred(&self, kind: usize, zone: usize) -> bool {
        let in_zone = self.zone.iter().enumerate().filter(|(_, held)| **held == Some(zone));
        in_zone.into_iter().any(|(other, _)| self.kinds.conflicts[kind][other])
    }

    /// The kind that fewest zones are left for, the one with most conflicts among equals.
    fn next(&self) -> Option<usize> {
        let open = (0..self.zone.len()).filter(|kind| self.zone[*kind].is_none());
        open.max_by_key(|kind| {
            let barred = (0..self.used).filter(|zone| self.barred(*kind, *zone)).count();
            let conflicts = self.kinds.conflicts[*kind].iter().filter(|clash| **clash).count();
            (barred, conflicts, std::cmp::Reverse(*kind))
        })
    }

    /// Cups that might be open for a part and are in a zone that must be shut for it; it only grows as kinds join.
    fn cost(&self) -> usize {
        let parts = self.kinds.list.first().map_or(0, |(needs, _)| needs.len());
        let mut cost = 0;
        for zone in 0..self.used {
            for part in 0..parts {
                let kinds = || {
                    let all = self.kinds.list.iter().zip(&self.zone);
                    all.filter(move |(_, held)| **held == Some(zone)).map(move |((needs, cups), _)| {
                        (needs.get(part).copied().unwrap_or(Need::Shut), cups.len())
                    })
                };
                if kinds().any(|(need, _)| need == Need::Shut) {
                    cost += kinds().filter(|(need, _)| *need == Need::Either).map(|(_, n)| n).sum::<usize>();
                }
            }
        }
        cost
    }
}

#[cfg(test)]
mod tests {
    use super::Need::{Either, Open, Shut};
    use super::*;
    use proptest::prelude::*;

    fn valid(needs: &[Vec<Need>], found: &Grouping) -> bool {
        let parts = needs.first().map_or(0, Vec::len);
        let clash = |zone: &Vec<usize>| {
            (0..parts).any(|part| {
                let has = |need| zone.iter().any(|cup| needs[*cup][part] == need);
                has(Open) && has(Shut)
            })
        };
        let mut placed: Vec<usize> = found.zones.concat();
        placed.sort_unstable();
        let on: Vec<usize> = (0..needs.len()).filter(|cup| needs[*cup].iter().any(|n| *n != Shut)).collect();
        placed == on && !found.zones.iter().any(clash)
    }

    /// Every way to part the cups into zones, by hand: the fewest, and the fewest kept shut.
    fn by_trying_all(needs: &[Vec<Need>]) -> (usize, usize) {
        fn go(needs: &[Vec<Need>], cups: &[usize], zones: &mut Vec<Vec<usize>>, best: &mut (usize, usize)) {
            let Some((cup, rest)) = cups.split_first() else {
                let found = Grouping { zones: zones.clone(), kept_shut: 0, proved: true };
                if valid(needs, &found) {
                    let parts = needs.first().map_or(0, Vec::len);
                    let kept = |zone: &Vec<usize>| -> usize {
                        (0..parts)
                            .filter(|part| zone.iter().any(|c| needs[*c][*part] == Shut))
                            .map(|part| zone.iter().filter(|c| needs[**c][part] == Either).count())
                            .sum()
                    };
                    *best = (*best).min((zones.len(), zones.iter().map(kept).sum()));
                }
                return;
            };
            for zone in 0..zones.len() {
                zones[zone].push(*cup);
                go(needs, rest, zones, best);
                zones[zone].pop();
            }
            zones.push(vec![*cup]);
            go(needs, rest, zones, best);
            zones.pop();
        }
        let on: Vec<usize> = (0..needs.len()).filter(|cup| needs[*cup].iter().any(|n| *n != Shut)).collect();
        let mut best = (usize::MAX, usize::MAX);
        go(needs, &on, &mut Vec::new(), &mut best);
        best
    }

    fn need() -> impl Strategy<Value = Need> {
        prop_oneof![3 => Just(Open), 1 => Just(Either), 3 => Just(Shut)]
    }
    fn table(cups: usize, parts: usize) -> impl Strategy<Value = Vec<Vec<Need>>> {
        (1..=parts)
            .prop_flat_map(move |parts| prop::collection::vec(prop::collection::vec(need(), parts), 0..=cups))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn no_fewer_valves_do_and_no_fewer_cups_are_kept_shut(needs in table(7, 4)) {
            let found = fewest(&needs);
            prop_assert!(found.proved && valid(&needs, &found), "{found:?}");
            let (zones, kept) = by_trying_all(&needs);
            prop_assert_eq!((found.zones.len(), found.kept_shut), (zones, kept));
        }

        #[test]
        fn one_more_part_never_needs_fewer_valves(needs in table(24, 8)) {
            let parts = needs.first().map_or(0, Vec::len);
            let mut before = 0;
            for count in 1..=parts {
                let some: Vec<Vec<Need>> = needs.iter().map(|own| own[..count].to_vec()).collect();
                let found = fewest(&some);
                prop_assert!(valid(&some, &found) && found.zones.len() >= before);
                before = found.zones.len();
            }
        }

        #[test]
        fn more_valves_keep_no_more_cups_shut(needs in table(7, 4)) {
            let least = fewest(&needs);
            let mut before = least.kept_shut;
            for valves in least.zones.len()..=needs.len() {
                let Some(found) = with(&needs, valves) else { prop_assert!(false); return Ok(()) };
                prop_assert!(found.zones.len() <= valves && found.kept_shut <= before && valid(&needs, &found));
                before = found.kept_shut;
            }
            if !least.zones.is_empty() {
                prop_assert_eq!(with(&needs, least.zones.len() - 1), None);
            }
        }
    }

    #[test]
    fn a_zone_is_open_where_a_cup_needs_it_and_none_forbids() {
        let needs = [vec![Open, Shut, Shut], vec![Either, Either, Shut]];
        let found = fewest(&needs);
        // Together the second cup would be kept shut for the second part; one valve is fewer all the same.
        assert_eq!((found.zones.len(), found.kept_shut), (1, 1));
        assert_eq!([0, 1, 2].map(|part| found.is_open(&needs, 0, part)), [true, false, false]);
        assert_eq!(with(&needs, 2).map(|found| found.kept_shut), Some(0));
        assert!(fewest(&[]).zones.is_empty());
    }
}
