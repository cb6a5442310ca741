//! Two people's changes of one project come together thing by thing, and what comes out is always a sound project.
use crate::common;

use common::changes::{ACTIONS, COLLIDING, act, normal};
use document::*;
use glam::DVec2;
use proptest::{collection::vec, prelude::*};
use std::sync::Arc;

fn after(project: &Project, edits: Vec<Edit>) -> Project {
    Edit::Together { name: String::new(), edits }.apply(project).unwrap()
}
fn to(project: &Project, cup: usize, x: f64) -> Edit {
    let layout = &project.layouts[0];
    Edit::MoveCups { layout: layout.id, to: vec![(layout.cups[cup].id, DVec2::new(x, 50.0))] }
}
fn remove(project: &Project, cup: usize) -> Edit {
    let layout = &project.layouts[0];
    Edit::RemoveCups { layout: layout.id, cups: vec![layout.cups[cup].id] }
}
fn sound(project: &Project) -> Project {
    let read = from_text(&to_text(project), "merged.ron").unwrap();
    assert_eq!(&read, project);
    read
}
fn flipped(choices: &[Choice]) -> Vec<Choice> {
    let other = |c: &Choice| if *c == Choice::Mine { Choice::Theirs } else { Choice::Mine };
    choices.iter().map(other).collect()
}

#[test]
fn the_same_cup_moved_to_two_places_is_a_conflict_with_a_choice() {
    let base = common::tray();
    let (mine, theirs) = (after(&base, vec![to(&base, 1, 240.0)]), after(&base, vec![to(&base, 1, 250.0)]));
    let merged = merge(&base, &mine, &theirs);
    let [conflict] = &merged.conflicts[..] else { panic!("{:?}", merged.conflicts) };
    assert_eq!((&*conflict.called, conflict.mine.len(), conflict.theirs.len()), ("cup C2", 1, 1));
    assert_eq!(conflict.thing, Thing::Cup(LayoutId(4), CupId(12)));
    assert_eq!(merged.project(&[Choice::Mine]).unwrap(), mine);
    assert_eq!(merged.project(&[Choice::Theirs]).unwrap(), theirs);
    let error = merged.project(&[]).unwrap_err();
    assert_eq!(error.to_string(), "0 choices were made for 1 conflicts; make one for each");
    // The same move by both is no conflict.
    assert_eq!(merge(&base, &mine, &mine.clone()).conflicts, []);
}

#[test]
fn what_one_removed_and_the_other_changed_is_a_conflict() {
    let base = common::tray();
    let (mine, theirs) = (after(&base, vec![remove(&base, 0)]), after(&base, vec![to(&base, 0, 90.0)]));
    let merged = merge(&base, &mine, &theirs);
    let [conflict] = &merged.conflicts[..] else { panic!("{:?}", merged.conflicts) };
    assert_eq!(conflict.mine[0].kind, ChangeKind::Removed);
    let kept = merged.project(&[Choice::Theirs]).unwrap();
    assert_eq!(kept.layouts, theirs.layouts);
    // The acceptance about the cup went with it on one side, and was not touched on the other.
    assert_eq!((kept.accepted.len(), merged.project(&[Choice::Mine]).unwrap().accepted.len()), (0, 0));
    sound(&kept);
}

#[test]
fn what_goes_with_a_removed_cup_goes_in_a_merge_too() {
    let base = common::tray();
    let layout = base.layouts[0].id;
    let mine = after(&base, vec![remove(&base, 3)]);
    let said = Accepted {
        rule: "seat.margin".into(),
        subject: vec![base.layouts[0].cups[3].id],
        motion: None,
        layout,
        reason: "Measured".into(),
        by: String::new(),
        on: String::new(),
        seat: None,
    };
    let mut circuit = (*base.circuits[0]).clone();
    circuit.level_kpa = Sourced::stated(55.0);
    let circuit = Edit::ChangeCircuit { circuit: Arc::new(circuit), what: String::new() };
    let theirs = after(&base, vec![Edit::Accept(said), to(&base, 1, 9.0)]);
    let merged = merge(&base, &mine, &theirs).project(&[]).unwrap();
    assert_eq!((merged.layouts[0].cups.len(), merged.accepted.len()), (3, 1));
    assert_eq!(merged.trial.entries.len(), 3);
    sound(&merged);
    // Their other level and my branch that went with the cup are changes of one circuit.
    let theirs = after(&base, vec![circuit]);
    let merged = merge(&base, &mine, &theirs);
    assert_eq!(merged.conflicts[0].thing, Thing::Circuit(CircuitId(5)));
    let project = merged.project(&[Choice::Theirs]).unwrap();
    assert_eq!(project.circuits[0].level_kpa.value, 55.0);
    assert!(project.circuits[0].supply.as_ref().unwrap().branches.is_empty());
    sound(&project);
}

#[test]
fn what_the_other_one_came_to_use_stays() {
    let base = common::tray();
    let spare = base.circuits[1].id;
    let mine = after(&base, vec![Edit::RemoveCircuit(spare)]);
    let mut cup = base.layouts[0].cups[2].clone();
    cup.circuit = spare;
    let layout = base.layouts[0].id;
    let theirs = after(&base, vec![Edit::ChangeCups { layout, cups: vec![cup], what: String::new() }]);
    let merged = merge(&base, &mine, &theirs);
    assert_eq!(merged.conflicts, []);
    assert!(sound(&merged.project(&[]).unwrap()).circuit(spare).is_some());
    // Each removed another one of two layouts: one stays.
    let copy = Layout { id: LayoutId(90), name: "Two".into(), ..(*base.layouts[0]).clone() };
    let two = after(&base, vec![Edit::AddLayout(Arc::new(copy))]);
    let mine = after(&two, vec![Edit::RemoveLayout(layout)]);
    let theirs = after(&two, vec![Edit::RemoveLayout(LayoutId(90))]);
    assert_eq!(sound(&merge(&two, &mine, &theirs).project(&[]).unwrap()).layouts.len(), 1);
}

#[test]
fn things_added_under_one_number_get_their_own() {
    let base = common::tray();
    let layout = base.layouts[0].id;
    let id = base.next_id();
    let added = |x: f64, level: f64| {
        let circuit =
            Circuit { level_kpa: Sourced::stated(level), ..Circuit::preset(CircuitId(id), "Third") };
        let cup = Cup {
            id: CupId(id + 1),
            tag: "C5".into(),
            at: DVec2::new(x, 300.0),
            circuit: CircuitId(id),
            ..base.layouts[0].cups[2].clone()
        };
        let remark = Remark {
            id: RemarkId(id + 2),
            pin: Pin::Cup(layout, CupId(id + 1)),
            called: "C5".into(),
            text: format!("Why at {x}?"),
            by: String::new(),
            on: String::new(),
            of: String::new(),
            answers: Vec::new(),
            resolved: None,
        };
        let cups = vec![cup];
        let edits = vec![
            Edit::AddCircuit(Arc::new(circuit)),
            Edit::AddCups { layout, cups },
            Edit::AddRemark(remark),
        ];
        after(&base, edits)
    };
    let (mine, theirs) = (added(100.0, 40.0), added(200.0, 70.0));
    let merged = merge(&base, &mine, &theirs);
    assert_eq!(merged.conflicts, []);
    let project = sound(&merged.project(&[]).unwrap());
    assert_eq!((project.circuits.len(), project.layouts[0].cups.len()), (4, 6));
    let of = |x: f64| project.layouts[0].cups.iter().find(|c| c.at.x == x && c.at.y == 300.0).unwrap();
    for (x, level) in [(100.0, 40.0), (200.0, 70.0)] {
        assert_eq!(project.circuit(of(x).circuit).unwrap().level_kpa.value, level);
        let remark = project.review.remarks.iter().find(|r| r.text == format!("Why at {x}?")).unwrap();
        assert_eq!(remark.pin, Pin::Cup(layout, of(x).id));
    }
    assert_ne!(of(100.0).tag, of(200.0).tag);
    assert_eq!(merge(&base, &theirs, &mine).project(&[]).unwrap(), project);
    // Both added the very same: it is there once.
    let twice = merge(&base, &mine, &after(&mine, vec![to(&base, 0, 7.0)])).project(&[]).unwrap();
    assert_eq!((twice.circuits.len(), twice.layouts[0].cups.len()), (3, 5));
}

/// What is worded alike but hangs on circuits that are not is apart as well.
#[test]
fn references_to_renumbered_things_follow() {
    let base = common::tray();
    let (layout, id) = (base.layouts[0].id, base.next_id());
    let added = |name: &str| {
        let cup = Cup { id: CupId(id + 1), circuit: CircuitId(id), ..base.layouts[0].cups[2].clone() };
        let circuit = Edit::AddCircuit(Arc::new(Circuit::preset(CircuitId(id), name)));
        after(&base, vec![circuit, Edit::AddCups { layout, cups: vec![cup] }])
    };
    let project = sound(&merge(&base, &added("One"), &added("Two")).project(&[]).unwrap());
    let names: Vec<&str> =
        project.layouts[0].cups[4..].iter().map(|c| &*project.circuit(c.circuit).unwrap().name).collect();
    assert_eq!((project.layouts[0].cups.len(), names.len()), (6, 2));
    assert!(names.contains(&"One") && names.contains(&"Two"));
}

#[test]
fn what_both_said_is_kept() {
    let base = common::review::reviewed(&common::tray());
    let id = base.review.remarks[1].id;
    let answer = |text: &str, on: &str| Answer { text: text.into(), by: "A".into(), on: on.into() };
    let tick = |on: &str| Tick { on: on.into(), ..base.review.ticks[0].clone() };
    let decide = |on: &str| Edit::Decide(Decision { on: on.into(), ..base.review.decisions[0].clone() });
    let mine = after(
        &base,
        vec![
            Edit::AnswerRemark(id, answer("Second", "2026-04-02")),
            Edit::Tick(tick("2026-04-02")),
            decide("2026-04-05"),
            Edit::RemoveRemark(base.review.remarks[4].id),
        ],
    );
    let theirs = after(
        &base,
        vec![
            Edit::AnswerRemark(id, answer("First", "2026-04-01")),
            Edit::ResolveRemark(id, Some(answer("", "2026-04-03"))),
            Edit::Tick(tick("2026-04-09")),
            decide("2026-04-04"),
            Edit::AnswerRemark(base.review.remarks[3].id, answer("It did", "2026-04-01")),
        ],
    );
    let merged = merge(&base, &mine, &theirs);
    assert_eq!((&merged.conflicts[..], &merged.mine[..]), (&[][..], &[][..]));
    let project = sound(&merged.project(&[]).unwrap());
    let remark = project.remark(id).unwrap();
    let texts: Vec<&str> = remark.answers.iter().map(|a| &*a.text).collect();
    assert_eq!((texts, remark.resolved.is_some()), (vec!["First", "Second"], true));
    let dates: Vec<&str> = project.review.decisions.iter().map(|d| &*d.on).collect();
    assert_eq!(dates, ["2026-03-10", "2026-03-15", "2026-04-04", "2026-04-05"]);
    assert_eq!((project.review.remarks.len(), &*project.review.ticks[0].on), (4, "2026-04-09"));
    assert_eq!(merge(&base, &theirs, &mine).project(&[]).unwrap(), project);
    // Taken away by one, answered by the other: it stays.
    let gone = after(&base, vec![Edit::RemoveRemark(id)]);
    assert!(merge(&base, &gone, &theirs).project(&[]).unwrap().remark(id).is_some());
}

#[test]
fn one_index_issued_with_two_contents_is_a_conflict() {
    let base = common::tray();
    let issue = |index: &str, x: f64| {
        let [on, by, what, program] = ["2026-03-01", "M. Huber", "First", "0.1.0"].map(str::to_owned);
        after(&base, vec![to(&base, 1, x), Edit::Issue { index: index.into(), on, by, what, program }])
    };
    let merged = merge(&base, &issue("C", 240.0), &issue("C", 250.0));
    assert!(merged.conflicts.iter().any(|c| c.thing == Thing::Review && c.called == "revision C"));
    let choices = vec![Choice::Theirs; merged.conflicts.len()];
    assert_eq!(merged.project(&choices).unwrap(), issue("C", 250.0));
    let merged = merge(&base, &issue("C", 240.0), &issue("D", 240.0));
    let choices = vec![Choice::Theirs; merged.conflicts.len()];
    let project = sound(&merged.project(&choices).unwrap());
    let indices: Vec<&str> = project.issued.iter().map(|i| &*i.index).collect();
    assert_eq!((indices, &*project.sheet.revision), (vec!["C", "D"], "D"));
    assert_eq!(project.sheet.revisions.len(), base.sheet.revisions.len() + 2);
}

#[test]
fn settings_go_by_field() {
    let base = common::tray();
    let site = |site: Site| Edit::ChangeSite { site, what: String::new() };
    let mine = after(&base, vec![site(Site { altitude_m: 800.0, ..base.site })]);
    let theirs = after(&base, vec![site(Site { payload_kg: None, ..base.site })]);
    let merged = merge(&base, &mine, &theirs).project(&[]).unwrap();
    assert_eq!((merged.site.altitude_m, merged.site.payload_kg), (800.0, None));
    let theirs =
        after(&base, vec![site(Site { altitude_m: 500.0, temperature_c: 30.0, payload_kg: Some(9.0) })]);
    let merged = merge(&base, &mine, &theirs);
    assert_eq!(
        (merged.conflicts.len(), &*merged.conflicts[0].theirs[0].field.to_string()),
        (1, "altitude_m")
    );
    let project = merged.project(&[Choice::Mine]).unwrap();
    assert_eq!(project.site, Site { altitude_m: 800.0, temperature_c: 30.0, payload_kg: Some(9.0) });
}

#[test]
fn one_measurement_with_two_figures_is_a_conflict() {
    let base = common::tray();
    let measured = |value: f64| {
        let mut trial = (*base.trial).clone();
        trial.entries[1].value = value;
        Edit::ChangeTrial { trial: Arc::new(trial), what: String::new() }
    };
    let renamed = Circuit { name: "Front".into(), ..(*base.circuits[0]).clone() };
    let renamed = Edit::ChangeCircuit { circuit: Arc::new(renamed), what: String::new() };
    let merged =
        merge(&base, &after(&base, vec![measured(0.4)]), &after(&base, vec![measured(0.5), renamed]));
    let [conflict] = &merged.conflicts[..] else { panic!("{:?}", merged.conflicts) };
    assert_eq!((&conflict.thing, conflict.mine.len(), conflict.theirs.len()), (&Thing::Trial, 1, 1));
    let project = sound(&merged.project(&[Choice::Theirs]).unwrap());
    assert_eq!((project.trial.entries[1].value, &*project.circuits[0].name), (0.5, "Front"));
}

/// Which of the actions a side does, and with what figure.
fn doing(count: usize) -> impl Strategy<Value = Vec<Option<u8>>> {
    vec(prop_oneof![2 => Just(None), 1 => (0u8..4).prop_map(Some)], count)
}
fn done(base: &Project, doing: &[Option<u8>]) -> Project {
    done_after(base, base, doing)
}
fn done_after(start: &Project, base: &Project, doing: &[Option<u8>]) -> Project {
    let does = doing.iter().enumerate().filter_map(|(i, figure)| figure.map(|figure| (i, figure)));
    does.fold(start.clone(), |project, (i, figure)| act(&project, base, i, figure))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn disjoint_changes_are_both_made(sides in vec((0u8..3, 0u8..4), ACTIONS)) {
        let base = common::tray();
        let of = |side: u8| -> Vec<Option<u8>> {
            sides.iter().map(|(whose, figure)| (*whose == side).then_some(*figure)).collect()
        };
        let (mine, theirs) = (done(&base, &of(1)), done(&base, &of(2)));
        let merged = merge(&base, &mine, &theirs);
        prop_assert_eq!(&merged.conflicts, &vec![]);
        let project = merged.project(&[]).unwrap();
        for both in [done_after(&mine, &base, &of(2)), done_after(&theirs, &base, &of(1))] {
            let (project, both) = (normal(&project), normal(&both));
            prop_assert_eq!(&project, &both, "{:?}", difference(&project, &both));
        }
        prop_assert_eq!(from_text(&to_text(&project), "m"), Ok(project.clone()));
        let back = merge(&base, &theirs, &mine).project(&[]).unwrap();
        prop_assert_eq!(&back, &project, "{:?}", difference(&back, &project));
        // Merging again with either side changes nothing.
        prop_assert_eq!(&merge(&mine, &mine, &project).project(&[]).unwrap(), &project);
        prop_assert_eq!(&merge(&base, &project, &theirs).conflicts, &vec![]);
    }

    #[test]
    fn a_merge_is_the_same_from_both_sides(a in doing(ACTIONS + COLLIDING), b in doing(ACTIONS + COLLIDING), pick in any::<u64>()) {
        let base = common::tray();
        let (mine, theirs) = (done(&base, &a), done(&base, &b));
        let (here, there) = (merge(&base, &mine, &theirs), merge(&base, &theirs, &mine));
        prop_assert_eq!(here.conflicts.len(), there.conflicts.len());
        for (here, there) in here.conflicts.iter().zip(&there.conflicts) {
            prop_assert_eq!((&here.thing, &here.mine, &here.theirs), (&there.thing, &there.theirs, &there.mine));
            prop_assert!(!here.mine.is_empty() && !here.theirs.is_empty(), "{:?}", here);
        }
        let pick = |i: usize| if pick >> (i % 64) & 1 == 0 { Choice::Mine } else { Choice::Theirs };
        let choices: Vec<Choice> = (0..here.conflicts.len()).map(pick).collect();
        let project = here.project(&choices).map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert_eq!(&there.project(&flipped(&choices)).unwrap(), &project);
        prop_assert_eq!(from_text(&to_text(&project), "m"), Ok(project.clone()));
        for layout in &project.layouts {
            let tags: std::collections::HashSet<&str> = layout.cups.iter().map(|c| &*c.tag).collect();
            prop_assert_eq!(tags.len(), layout.cups.len());
        }
    }

    #[test]
    fn who_changed_nothing_gets_what_the_other_has(a in doing(ACTIONS + COLLIDING)) {
        let base = common::review::reviewed(&common::tray());
        let a = done(&base, &a);
        for (base, mine, theirs) in [(&base, &a, &a), (&base, &a, &base), (&base, &base, &a), (&a, &a, &a)] {
            let merged = merge(base, mine, theirs);
            prop_assert_eq!(&merged.conflicts, &vec![]);
            prop_assert_eq!(&merged.project(&[]).unwrap(), &a);
        }
    }

    /// Projects that have nothing to do with each other.
    #[test]
    fn anything_merges_into_a_sound_project(
        base in common::project(), mine in common::project(), theirs in common::project(), pick in any::<u64>()
    ) {
        let merged = merge(&base, &mine, &theirs);
        let pick = |i: usize| if pick >> (i % 64) & 1 == 0 { Choice::Mine } else { Choice::Theirs };
        let choices: Vec<Choice> = (0..merged.conflicts.len()).map(pick).collect();
        let project = merged.project(&choices).map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert_eq!(from_text(&to_text(&project), "m"), Ok(project.clone()));
        let back = merge(&base, &theirs, &mine).project(&flipped(&choices));
        prop_assert_eq!(back, Ok(project));
    }
}
