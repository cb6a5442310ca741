//! What follows from bringing two projects together: nothing names what is gone, and tags of cups are unique.

use super::Sides;
use crate::{Cup, CupId, Layout, LayoutId, Project, edit, ids::highest_number};
use std::{
    collections::{BTreeSet, HashMap, HashSet},
    sync::Arc,
};

pub(super) fn settle(p: &mut Project, sides: &Sides) {
    keep_what_is_used(p, sides);
    forget_what_is_gone(p, sides);
    for layout in &mut p.layouts {
        let tags = new_tags(layout, sides);
        if !tags.is_empty() {
            for cup in &mut Arc::make_mut(layout).cups {
                if let Some(tag) = tags.get(&cup.id) {
                    cup.tag.clone_from(tag);
                }
            }
        }
    }
}

/// Brings back what one of the two took away while the other came to use it. Where one still has it, that is how it was left.
fn keep_what_is_used(p: &mut Project, sides: &Sides) {
    let all = [&sides.mine, &sides.theirs, &sides.base];
    fn back<T>(list: &mut Vec<Arc<T>>, find: impl Fn(&Project) -> Option<&Arc<T>>, all: [&Project; 3]) {
        list.extend(all.into_iter().find_map(find).cloned());
    }
    if p.layouts.is_empty() {
        // Each took another one away.
        let first = sides.base.layouts.first().map(|l| l.id);
        back(&mut p.layouts, |side| first.and_then(|id| side.layout(id)), all);
    }
    for layout in p.layouts.clone() {
        for part in layout.parts() {
            if p.part(part).is_none() {
                back(&mut p.parts, |side| side.part(part), all);
            }
        }
        for cup in &layout.cups {
            if p.circuit(cup.circuit).is_none() {
                back(&mut p.circuits, |side| side.circuit(cup.circuit), all);
            }
            if p.model(&cup.model).is_none() {
                back(&mut p.models, |side| side.model(&cup.model), all);
            }
        }
    }
    for circuit in p.circuits.clone() {
        if let Some(supply) = &circuit.supply
            && p.source(&supply.source).is_none()
        {
            back(&mut p.sources, |side| side.source(&supply.source), all);
        }
    }
}

fn cups_of(p: &Project) -> HashSet<CupId> {
    p.layouts.iter().flat_map(|l| l.cups.iter().map(|c| c.id)).collect()
}
fn forget_what_is_gone(p: &mut Project, sides: &Sides) {
    let mut trial = p.trial.clone();
    if edit::drop_stale(p, &mut trial) {
        p.trial = trial;
    }
    let cup_there = |l: LayoutId, c: CupId| p.cup(l, c).is_some();
    let mut accepted = p.accepted.clone();
    accepted.retain(|a| {
        p.layout(a.layout).is_some_and(|l| a.seat.is_none_or(|seat| l.seat(seat).is_some()))
            && a.subject.iter().all(|c| cup_there(a.layout, *c))
            && a.motion.is_none_or(|m| p.motion(m).is_some())
    });
    p.accepted = accepted;
    edit::drop_from_seats(p);
    // Only branches of cups that were taken away in this merge or by one of the two.
    let here = cups_of(p);
    let gone: HashSet<CupId> = [&sides.base, &sides.mine, &sides.theirs]
        .into_iter()
        .flat_map(cups_of)
        .filter(|c| !here.contains(c))
        .collect();
    for circuit in &mut p.circuits {
        let stale = |s: &Arc<crate::Supply>| s.branches.iter().any(|b| gone.contains(&b.cup));
        if circuit.supply.as_ref().is_some_and(stale)
            && let Some(supply) = &mut Arc::make_mut(circuit).supply
        {
            Arc::make_mut(supply).branches.retain(|b| !gone.contains(&b.cup));
        }
    }
    let remarks: HashSet<_> = p.review.remarks.iter().map(|r| r.id).collect();
    if p.review.ticks.iter().any(|t| t.remark.is_some_and(|r| !remarks.contains(&r))) {
        for tick in &mut Arc::make_mut(&mut p.review).ticks {
            tick.remark = tick.remark.filter(|r| remarks.contains(r));
        }
    }
}

/// Tags for cups whose tag another cup has since the merge. Cups of the base keep theirs first, then lower numbers.
fn new_tags(layout: &Layout, sides: &Sides) -> HashMap<CupId, String> {
    let of = |side: &Project| -> HashMap<CupId, String> {
        side.layout(layout.id).into_iter().flat_map(|l| &l.cups).map(|c| (c.id, c.tag.clone())).collect()
    };
    let (base, mine, theirs) = (of(&sides.base), of(&sides.mine), of(&sides.theirs));
    let alike_before = |a: &Cup, b: &Cup| {
        [&mine, &theirs].iter().any(|side| {
            let is = |c: &Cup| side.get(&c.id).is_some_and(|tag| *tag == c.tag);
            is(a) && is(b)
        })
    };
    let mut cups: Vec<&Cup> = layout.cups.iter().collect();
    cups.sort_by_key(|c| (!base.contains_key(&c.id), c.id));
    let mut next = u64::from(highest_number(&layout.cups));
    let mut kept: HashMap<&str, Vec<&Cup>> = HashMap::new();
    let mut new = HashMap::new();
    let mut seen = BTreeSet::new();
    for cup in cups {
        let others = kept.entry(cup.tag.as_str()).or_default();
        if seen.insert(cup.id) && others.iter().any(|other| !alike_before(other, cup)) {
            next += 1;
            new.insert(cup.id, format!("C{next}"));
        } else {
            others.push(cup);
        }
    }
    new
}
