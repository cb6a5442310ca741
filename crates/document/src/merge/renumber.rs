//! Numbers of their own for things that both added under one number.

use crate::{
    Cup, CupId, LayoutId, Pin, Project, Remark, TrialKind, difference::same_part, file::content_form,
};
use std::{
    cmp::Reverse,
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

/// What a number is given to; numbers of one kind differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Part,
    Circuit,
    Motion,
    Layout,
    Cup,
    Remark,
}
type Number = (Kind, u32);

/// Both sides, with things that are new in both and not alike under numbers of their own. Which side gets other numbers
/// depends on what they hold, not on whose they are: the one that issued fewer revisions, so that what was handed out keeps
/// its numbers; then the one whose text comes later.
pub(super) fn apart(base: &Project, mine: &Project, theirs: &Project) -> (Project, Project) {
    let old = numbers(base);
    let here: BTreeSet<Number> = numbers(mine).difference(&old).copied().collect();
    let both: Vec<Number> = numbers(theirs).difference(&old).filter(|n| here.contains(n)).copied().collect();
    let mut differ: BTreeSet<Number> = both.iter().filter(|n| !alike(**n, mine, theirs)).copied().collect();
    // What is worded alike but leads to things that are not is not alike either.
    while !differ.is_empty() {
        let leads =
            |n: &&Number| !differ.contains(n) && references(**n, mine).iter().any(|r| differ.contains(r));
        let more: Vec<Number> = both.iter().filter(leads).copied().collect();
        if more.is_empty() {
            break;
        }
        differ.extend(more);
    }
    if differ.is_empty() {
        return (mine.clone(), theirs.clone());
    }
    let rank =
        |p: &Project| (Reverse(p.issued.len()), content_form(p).to_string(), format!("{:?}", p.review));
    let free = base.last_id.max(mine.last_id).max(theirs.last_id).saturating_add(1);
    let numbers: Map = Map((free..).zip(differ).map(|(new, old)| (old, new)).collect());
    if rank(mine) <= rank(theirs) {
        (mine.clone(), numbers.put_into(theirs.clone()))
    } else {
        (numbers.put_into(mine.clone()), theirs.clone())
    }
}

fn numbers(p: &Project) -> BTreeSet<Number> {
    let parts = p.parts.iter().map(|x| (Kind::Part, x.id.0));
    let circuits = p.circuits.iter().map(|x| (Kind::Circuit, x.id.0));
    let motions = p.motions.iter().map(|x| (Kind::Motion, x.id.0));
    let layouts = p.layouts.iter().map(|x| (Kind::Layout, x.id.0));
    let cups = p.layouts.iter().flat_map(|l| l.cups.iter().map(|c| (Kind::Cup, c.id.0)));
    let remarks = p.review.remarks.iter().map(|x| (Kind::Remark, x.id.0));
    parts.chain(circuits).chain(motions).chain(layouts).chain(cups).chain(remarks).collect()
}

fn cups(p: &Project, id: u32) -> Vec<(LayoutId, &Cup)> {
    let each = p.layouts.iter().flat_map(|l| l.cups.iter().map(|c| (l.id, c)));
    each.filter(|(_, c)| c.id.0 == id).collect()
}
fn remark(p: &Project, id: u32) -> Option<&Remark> {
    p.review.remarks.iter().find(|r| r.id.0 == id)
}
fn alike((kind, id): Number, a: &Project, b: &Project) -> bool {
    fn find<T>(list: &[Arc<T>], is: impl Fn(&T) -> bool) -> Option<&Arc<T>> {
        list.iter().find(|x| is(x))
    }
    match kind {
        Kind::Part => match (find(&a.parts, |p| p.id.0 == id), find(&b.parts, |p| p.id.0 == id)) {
            (Some(a), Some(b)) => same_part(a, b),
            _ => false,
        },
        Kind::Circuit => find(&a.circuits, |c| c.id.0 == id) == find(&b.circuits, |c| c.id.0 == id),
        Kind::Motion => find(&a.motions, |m| m.id.0 == id) == find(&b.motions, |m| m.id.0 == id),
        Kind::Layout => find(&a.layouts, |l| l.id.0 == id) == find(&b.layouts, |l| l.id.0 == id),
        Kind::Cup => cups(a, id) == cups(b, id),
        Kind::Remark => remark(a, id) == remark(b, id),
    }
}
/// Numbers that a thing names.
fn references((kind, id): Number, p: &Project) -> Vec<Number> {
    let circuit = |c: &Cup| (Kind::Circuit, c.circuit.0);
    match kind {
        Kind::Part | Kind::Motion => Vec::new(),
        Kind::Circuit => {
            let circuits = p.circuits.iter().filter(|c| c.id.0 == id).filter_map(|c| c.supply.as_ref());
            circuits.flat_map(|s| s.branches.iter().map(|b| (Kind::Cup, b.cup.0))).collect()
        }
        Kind::Layout => {
            let layouts = || p.layouts.iter().filter(|l| l.id.0 == id);
            let cups = layouts().flat_map(|l| &l.cups).flat_map(|c| [(Kind::Cup, c.id.0), circuit(c)]);
            let seats = layouts().flat_map(|l| &l.seats);
            let motions = seats.flat_map(|s| s.left_out.iter().map(|m| (Kind::Motion, m.0)));
            let parts = layouts().flat_map(|l| l.parts().into_iter().map(|part| (Kind::Part, part.0)));
            parts.chain(cups).chain(motions).collect()
        }
        Kind::Cup => {
            let each = cups(p, id).into_iter();
            each.flat_map(|(layout, c)| [(Kind::Layout, layout.0), circuit(c)]).collect()
        }
        Kind::Remark => match remark(p, id).map(|r| &r.pin) {
            Some(Pin::Cup(l, c)) => vec![(Kind::Layout, l.0), (Kind::Cup, c.0)],
            Some(Pin::Place(l, _)) => vec![(Kind::Layout, l.0)],
            Some(Pin::Motion(m)) => vec![(Kind::Motion, m.0)],
            Some(Pin::Finding { layout, subject, motion, .. }) => {
                let motion = motion.iter().map(|m| (Kind::Motion, m.0));
                let cups = subject.iter().map(|c| (Kind::Cup, c.0));
                cups.chain(motion).chain([(Kind::Layout, layout.0)]).collect()
            }
            Some(Pin::Whole) | None => Vec::new(),
        },
    }
}

/// New numbers for old ones.
struct Map(BTreeMap<Number, u32>);

impl Map {
    fn put(&self, kind: Kind, id: &mut u32) {
        if let Some(new) = self.0.get(&(kind, *id)) {
            *id = *new;
        }
    }
    /// Changes a shared thing only where a number in it changes.
    fn each<T: Clone + PartialEq>(list: &mut [Arc<T>], change: impl Fn(&mut T)) {
        for thing in list {
            let mut changed = T::clone(thing);
            change(&mut changed);
            if changed != **thing {
                *thing = Arc::new(changed);
            }
        }
    }
    /// The project with the new numbers, everywhere they are named. What was issued stays as it was handed out.
    fn put_into(&self, mut p: Project) -> Project {
        for part in &mut p.parts {
            if self.0.contains_key(&(Kind::Part, part.id.0)) {
                self.put(Kind::Part, &mut Arc::make_mut(part).id.0);
            }
        }
        Self::each(&mut p.motions, |m| self.put(Kind::Motion, &mut m.id.0));
        Self::each(&mut p.circuits, |c| {
            self.put(Kind::Circuit, &mut c.id.0);
            let named =
                |s: &crate::Supply| s.branches.iter().any(|b| self.0.contains_key(&(Kind::Cup, b.cup.0)));
            if let Some(supply) = c.supply.as_mut().filter(|s| named(s)) {
                for branch in &mut Arc::make_mut(supply).branches {
                    self.put(Kind::Cup, &mut branch.cup.0);
                }
            }
        });
        Self::each(&mut p.layouts, |l| {
            self.put(Kind::Layout, &mut l.id.0);
            self.put(Kind::Part, &mut l.part.0);
            for seat in &mut l.seats {
                self.put(Kind::Part, &mut seat.part.0);
                seat.left_out.iter_mut().for_each(|id| self.put(Kind::Motion, &mut id.0));
                seat.may_stay_shut.iter_mut().for_each(|id| self.put(Kind::Cup, &mut id.0));
            }
            for cup in &mut l.cups {
                self.put(Kind::Cup, &mut cup.id.0);
                self.put(Kind::Circuit, &mut cup.circuit.0);
            }
        });
        for accepted in &mut p.accepted {
            self.finding(&mut accepted.layout, &mut accepted.subject, &mut accepted.motion);
        }
        let trial = Arc::make_mut(&mut p.trial);
        for entry in &mut trial.entries {
            match &mut entry.what {
                TrialKind::Level { layout, cup } => {
                    self.put(Kind::Layout, &mut layout.0);
                    self.put(Kind::Cup, &mut cup.0);
                }
                TrialKind::TimeToLevel { circuit, .. } | TrialKind::LeakDown { circuit, .. } => {
                    self.put(Kind::Circuit, &mut circuit.0);
                }
                TrialKind::Friction { part, .. } => self.put(Kind::Part, &mut part.0),
            }
        }
        for curve in &mut trial.curves {
            self.put(Kind::Circuit, &mut curve.circuit.0);
            if let Some(cup) = &mut curve.cup {
                self.put(Kind::Cup, &mut cup.0);
            }
        }
        let review = Arc::make_mut(&mut p.review);
        for remark in &mut review.remarks {
            self.put(Kind::Remark, &mut remark.id.0);
            match &mut remark.pin {
                Pin::Whole => {}
                Pin::Cup(layout, cup) => {
                    self.put(Kind::Layout, &mut layout.0);
                    self.put(Kind::Cup, &mut cup.0);
                }
                Pin::Place(layout, _) => self.put(Kind::Layout, &mut layout.0),
                Pin::Motion(motion) => self.put(Kind::Motion, &mut motion.0),
                Pin::Finding { layout, subject, motion, .. } => self.finding(layout, subject, motion),
            }
        }
        for tick in &mut review.ticks {
            if let Some(remark) = &mut tick.remark {
                self.put(Kind::Remark, &mut remark.0);
            }
        }
        p.last_id = self.0.values().copied().fold(p.last_id, u32::max);
        p
    }
    fn finding(&self, layout: &mut LayoutId, subject: &mut [CupId], motion: &mut Option<crate::MotionId>) {
        self.put(Kind::Layout, &mut layout.0);
        for cup in subject {
            self.put(Kind::Cup, &mut cup.0);
        }
        if let Some(motion) = motion {
            self.put(Kind::Motion, &mut motion.0);
        }
    }
}
