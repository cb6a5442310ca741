//! Remarks, decisions, ticks and issued revisions: what both said is kept.

use super::{Choice, Conflict, Run, Sides, keyed::Three};
use crate::{Answer, Change, ChangeKind, FieldPath, Issued, Project, Remark, Review, Thing, Tick};
use std::sync::Arc;

/// The same list of three reviews.
fn three<'a, T>(sides: &'a Sides, of: impl Fn(&'a Review) -> &'a [T]) -> Three<'a, T> {
    Three { base: of(&sides.base.review), mine: of(&sides.mine.review), theirs: of(&sides.theirs.review) }
}
/// By date and name, then by every word.
fn said(answer: &Answer) -> (String, String, String) {
    (answer.on.clone(), answer.by.clone(), answer.text.clone())
}

impl Run<'_> {
    pub(super) fn review(&mut self, project: &mut Project) {
        let sides = self.sides;
        // Nobody orders them, so the order of either will do; the same one from both sides.
        let remarks = self.list(
            &three(sides, |r| &r.remarks),
            |r| r.id,
            |a, b| a == b,
            |run, _, [base, mine, theirs]| match (mine, theirs) {
                (Some(mine), Some(theirs)) => Some(run.remark(base, mine, theirs)),
                // Taken away by one and answered by the other: it is kept.
                (mine, theirs) => mine.or(theirs).cloned(),
            },
            |_| sooner(&sides.mine.review.remarks, &sides.theirs.review.remarks),
        );
        let decisions = self.list(
            &three(sides, |r| &r.decisions),
            |d| (d.on.clone(), d.by.clone(), format!("{d:?}")),
            |a, b| a == b,
            |_, _, [_, mine, theirs]| mine.or(theirs).cloned(),
            |_| sooner(&sides.mine.review.decisions, &sides.theirs.review.decisions),
        );
        let ticks = self.list(
            &three(sides, |r| &r.ticks),
            |t| t.key.clone(),
            |a, b| a == b,
            |_, _, [_, mine, theirs]| {
                let newest = |t: &&Tick| (t.on.clone(), format!("{t:?}"));
                mine.into_iter().chain(theirs).max_by_key(newest).cloned()
            },
            |_| sooner(&sides.mine.review.ticks, &sides.theirs.review.ticks),
        );
        project.review = Arc::new(Review { remarks, decisions, ticks });
        let issued =
            Three { base: &sides.base.issued, mine: &sides.mine.issued, theirs: &sides.theirs.issued };
        project.issued = self.list(
            &issued,
            // "B" before "AA".
            |i| (i.index.len(), i.index.clone()),
            |a, b| Arc::ptr_eq(a, b) || a == b,
            |run, _, states| {
                let called = format!("revision {}", states[1].or(states[2])?.index);
                let [base, mine, theirs] = states;
                let conflict = Conflict {
                    thing: Thing::Review,
                    mine: vec![issued_change(&called, base, mine)],
                    theirs: vec![issued_change(&called, base, theirs)],
                    called,
                };
                run.choose(|_| conflict).of(mine, theirs).cloned()
            },
            |_| sooner(&sides.mine.issued, &sides.theirs.issued),
        );
    }

    fn remark(&mut self, base: Option<&Remark>, mine: &Remark, theirs: &Remark) -> Remark {
        let head = |r: &Remark| Remark { answers: Vec::new(), resolved: None, ..r.clone() };
        let heads = [base.map(head), Some(head(mine)), Some(head(theirs))];
        let head = self.value([&heads[0], &heads[1], &heads[2]], |run| {
            run.choose(|_| {
                let change = |r: &Remark| Change {
                    kind: ChangeKind::Changed,
                    thing: Thing::Review,
                    called: format!("remark on {}", r.called),
                    field: FieldPath::of("text"),
                    from: base.map(|b| b.text.as_str().into()),
                    to: Some(r.text.as_str().into()),
                };
                let called = format!("remark on {}", mine.called.as_str().min(&theirs.called));
                Conflict {
                    thing: Thing::Review,
                    called,
                    mine: vec![change(mine)],
                    theirs: vec![change(theirs)],
                }
            })
        });
        let none: &[Answer] = &[];
        let answers =
            Three { base: base.map_or(none, |r| &r.answers), mine: &mine.answers, theirs: &theirs.answers };
        let answers = self.list(
            &answers,
            said,
            |a, b| a == b,
            |_, _, [_, mine, theirs]| mine.or(theirs).cloned(),
            |_| sooner(&mine.answers, &theirs.answers),
        );
        let was = base.and_then(|r| r.resolved.clone());
        let resolved = if mine.resolved == theirs.resolved || theirs.resolved == was {
            mine.resolved.clone()
        } else if mine.resolved == was {
            theirs.resolved.clone()
        } else {
            // Settled by both: the later word; settled by one and opened by the other: settled.
            mine.resolved.iter().chain(&theirs.resolved).max_by_key(|a| said(a)).cloned()
        };
        Remark { answers, resolved, ..head.unwrap_or_else(|| mine.clone()) }
    }
}

/// The one of two orders that both sides find without asking.
fn sooner<T: std::fmt::Debug>(mine: &[T], theirs: &[T]) -> Choice {
    if format!("{mine:?}") <= format!("{theirs:?}") { Choice::Mine } else { Choice::Theirs }
}

fn issued_change(called: &str, base: Option<&Arc<Issued>>, now: Option<&Arc<Issued>>) -> Change {
    let kind = match (base, now) {
        (None, _) => ChangeKind::Added,
        (_, None) => ChangeKind::Removed,
        _ => ChangeKind::Changed,
    };
    let print = |i: Option<&Arc<Issued>>| {
        i.map(|i| serde_json::json!({ "on": i.on, "by": i.by, "what": i.what, "fingerprint": i.fingerprint }))
    };
    Change {
        kind,
        thing: Thing::Review,
        called: called.to_owned(),
        field: if kind == ChangeKind::Changed { FieldPath::of("issued") } else { FieldPath::default() },
        from: print(base),
        to: print(now),
    }
}
