//! Undo, redo and transactions.
use crate::common;

use document::*;
use glam::DVec2;
use proptest::prelude::*;
use std::sync::Arc;

fn move_to(project: &Project, x: f64) -> Edit {
    let cup = &project.layouts[0].cups[3];
    Edit::MoveCups { layout: project.layouts[0].id, to: vec![(cup.id, DVec2::new(x, 50.0))] }
}
fn x_of(project: &Project) -> f64 {
    project.layouts[0].cups[3].at.x
}

#[test]
fn a_drag_is_one_entry_however_often_it_is_previewed() {
    let mut history = History::new(common::tray());
    let start = history.committed().clone();
    history.begin();
    assert!(history.in_transaction() && Arc::ptr_eq(history.shown(), &start));
    for x in 1..=100 {
        history.preview(move_to(&start, f64::from(x))).unwrap();
        assert_eq!(x_of(history.shown()), f64::from(x));
        assert!(Arc::ptr_eq(history.committed(), &start));
    }
    assert_eq!((history.revision(), history.unsaved()), (0, false));
    assert!(history.commit());
    assert_eq!((history.names().collect::<Vec<_>>(), history.revision()), (vec!["Move C4"], 1));
    assert_eq!(history.undo().as_deref(), Some("Move C4"));
    assert!(Arc::ptr_eq(history.shown(), &start), "one step takes the whole drag back");
    assert_eq!(history.redo_name(), Some("Move C4"));
}

#[test]
fn previews_do_not_add_up() {
    let mut history = History::new(common::tray());
    let p = history.committed().clone();
    history.begin();
    let remove = |i: usize| Edit::RemoveCups { layout: p.layouts[0].id, cups: vec![p.layouts[0].cups[i].id] };
    history.preview(remove(0)).unwrap();
    history.preview(remove(1)).unwrap();
    assert_eq!(history.shown().layouts[0].cups.len(), 3);
    // A preview that cannot be made leaves the one before.
    assert!(history.preview(Edit::RemoveMotion(MotionId(99))).is_err());
    assert_eq!(history.shown().layouts[0].cups.len(), 3);
    assert!(history.commit());
    assert_eq!(history.undo_name(), Some("Remove C2"));
}

#[test]
fn nothing_changed_leaves_no_entry() {
    let mut history = History::new(common::tray());
    let p = history.committed().clone();
    history.apply(move_to(&p, x_of(&p))).unwrap();
    history.apply(Edit::Together { name: "Nothing".into(), edits: vec![] }).unwrap();
    // The y differs, so this one counts.
    assert_eq!(history.revision(), 1);

    let p = history.committed().clone();
    history.apply(move_to(&p, x_of(&p))).unwrap();
    history.begin();
    assert!(!history.commit(), "begun and released without a move");
    history.begin();
    history.preview(move_to(&p, 7.0)).unwrap();
    history.preview(move_to(&p, x_of(&p))).unwrap();
    assert!(!history.commit(), "dragged back to the start");
    assert!(!history.commit(), "no transaction is open");
    assert_eq!((history.revision(), history.names().count()), (1, 1));
}

#[test]
fn escape_restores_and_keeps_what_can_be_redone() {
    let mut history = History::new(common::tray());
    let p = history.committed().clone();
    history.apply(move_to(&p, 5.0)).unwrap();
    history.undo();
    history.begin();
    history.preview(move_to(&p, 9.0)).unwrap();
    history.abandon();
    assert!(!history.in_transaction());
    assert_eq!((&**history.shown(), history.redo_name()), (&*p, Some("Move C4")));
    // Undo during a drag takes the drag back and no more.
    history.redo();
    history.begin();
    history.preview(move_to(&p, 9.0)).unwrap();
    assert_eq!(history.undo(), None);
    assert_eq!((x_of(history.shown()), history.undo_name()), (5.0, Some("Move C4")));
}

#[test]
fn an_edit_during_a_drag_commits_the_drag_first() {
    let mut history = History::new(common::tray());
    let p = history.committed().clone();
    history.begin();
    history.preview(move_to(&p, 9.0)).unwrap();
    history.apply(Edit::RenameProject("Other".into())).unwrap();
    assert_eq!(history.names().collect::<Vec<_>>(), ["Move C4", "Rename project to Other"]);
    assert_eq!(x_of(history.shown()), 9.0);
}

#[test]
fn unsaved_follows_what_is_on_disk() {
    let mut history = History::new(common::tray());
    let p = history.committed().clone();
    assert!(!history.unsaved());
    history.apply(move_to(&p, 5.0)).unwrap();
    assert!(history.unsaved());
    history.mark_saved();
    assert!(!history.unsaved());
    history.undo();
    assert!(history.unsaved());
    history.redo();
    assert!(!history.unsaved(), "back at what was saved");
    history.apply(move_to(&p, 6.0)).unwrap();
    history.apply(move_to(&p, 5.0)).unwrap();
    assert!(!history.unsaved(), "the same by another way");

    let mut recovered = History::unsaved_from((*p).clone());
    assert!(recovered.unsaved());
    recovered.apply(move_to(&p, 5.0)).unwrap();
    recovered.undo();
    assert!(recovered.unsaved());
    recovered.mark_saved();
    assert!(!recovered.unsaved());
}

#[test]
fn thousands_of_entries_are_kept_and_the_oldest_go_first() {
    let mut history = History::new(common::tray());
    let p = history.committed().clone();
    for i in 0..10_050 {
        history.apply(move_to(&p, f64::from(i))).unwrap();
    }
    let mut undone = 0;
    while history.undo().is_some() {
        undone += 1;
    }
    assert_eq!((undone, x_of(history.shown())), (10_000, 49.0));
}

/// Edits as a person's hands make them, some of which cannot be made.
fn edit(p: &Project, kind: u8, n: u8, x: i32) -> Edit {
    let at = &p.layouts[n as usize % p.layouts.len()];
    let layout = at.id;
    let id = at.cups.get(n as usize % 5).map_or(CupId(0), |c| c.id);
    let motion = p.motions.get(n as usize % 7).map_or(MotionId(0), |m| m.id);
    let circuit = p.circuits.get(n as usize % 3).map_or(CircuitId(0), |c| c.id);
    match kind {
        0 | 1 => Edit::MoveCups { layout, to: vec![(id, DVec2::new(f64::from(x) / 10.0, 0.1 + 0.2))] },
        2 => Edit::RemoveCups { layout, cups: vec![id] },
        3 => {
            let model = library()[n as usize % library().len()].clone();
            let cup = Cup {
                id: CupId(p.next_id()),
                tag: p.next_tags(layout, 1).remove(0),
                model: model.id.clone(),
                at: DVec2::splat(f64::from(x)),
                turn_deg: 0.0,
                height_mm: 0.0,
                circuit,
                zone: FIRST_ZONE.into(),
                locked: false,
            };
            let edits = vec![Edit::AddModel(model), Edit::AddCups { layout, cups: vec![cup] }];
            Edit::Together { name: "Add a cup".into(), edits }
        }
        4 => Edit::AddMotion(Arc::new(Motion::preset(MotionId(p.next_id()), MotionKind::Swing))),
        5 => Edit::RemoveMotion(motion),
        6 => Edit::AddCircuit(Arc::new(Circuit::preset(CircuitId(p.next_id()), "Another"))),
        7 => Edit::RemoveCircuit(circuit),
        8 => p
            .copy_of_layout(layout, "")
            .map_or(Edit::RemoveLayout(layout), |copy| Edit::AddLayout(Arc::new(copy))),
        9 => Edit::RemoveLayout(layout),
        10 => Edit::Accept(Accepted {
            rule: format!("rule.{}", n % 3),
            subject: vec![id],
            motion: Some(motion),
            layout,
            reason: String::new(),
            by: String::new(),
            on: String::new(),
            seat: None,
        }),
        11 | 12 => {
            let mut tool = (*at.tool).clone();
            if n.is_multiple_of(3) {
                tool.frame.pop();
            } else {
                let (id, at) = (FrameId(p.next_id()), DVec2::new(f64::from(x) / 10.0, 0.1 + 0.2));
                tool.frame.push(FramePiece::rail(id, "Rail", at, 300.0, f64::from(n)));
                tool.flange.z += 0.1;
            }
            Edit::ChangeTool { layout, tool: Arc::new(tool), what: String::new() }
        }
        13 => Edit::RenameLayout(layout, " ".repeat(n as usize % 2) + ["", "B"][n as usize % 2]),
        14 => {
            let none = Circuit::preset(circuit, "Gone");
            let mut changed = p.circuit(circuit).map_or(none, |c| Circuit::clone(c));
            match &mut changed.supply {
                Some(supply) if !n.is_multiple_of(3) => Arc::make_mut(supply).at.x = f64::from(x) / 7.0,
                Some(_) => changed.supply = None,
                None => changed.supply = Some(Arc::new(common::circuits::supply())),
            }
            Edit::ChangeCircuit { circuit: Arc::new(changed), what: String::new() }
        }
        15 => p.sources.first().map_or_else(
            || Edit::AddSource(Arc::new(common::circuits::source())),
            |s| Edit::RemoveSource(s.id.clone()),
        ),
        _ => Edit::MoveMotion(motion, n as usize % 5),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn whatever_is_done_can_be_undone_redone_and_saved(
        steps in proptest::collection::vec((0u8..17, any::<u8>(), -500i32..500, any::<bool>()), 1..25)
    ) {
        let start = common::tray();
        let mut history = History::new(start.clone());
        let mut states = vec![start];
        for (kind, n, x, drag) in steps {
            let before = history.committed().clone();
            let edit = edit(&before, kind, n, x);
            let done = if drag {
                history.begin();
                let done = history.preview(edit);
                history.commit();
                done
            } else {
                history.apply(edit)
            };
            let after = history.committed();
            if done.is_err() {
                prop_assert!(Arc::ptr_eq(after, &before));
            }
            prop_assert!(after.last_id >= before.last_id);
            prop_assert_eq!(&from_text(&to_text(after), "p.ron").unwrap(), &**after);
            if !Arc::ptr_eq(after, &before) {
                states.push((**after).clone());
            }
        }
        for state in states.iter().rev().skip(1) {
            prop_assert!(history.undo().is_some());
            prop_assert_eq!(&**history.shown(), state);
        }
        prop_assert!(history.undo().is_none());
        for state in &states[1..] {
            prop_assert!(history.redo().is_some());
            prop_assert_eq!(&**history.shown(), state);
        }
        prop_assert!(history.redo().is_none());
    }
}

#[test]
fn what_was_merged_is_one_step_and_not_saved_unless_it_is_theirs() {
    let start = common::tray();
    let mut history = History::new(start.clone());
    history.apply(Edit::RenameProject("mine".into())).unwrap();
    let theirs =
        Arc::new(Project { site: document::Site { altitude_m: 900.0, ..start.site }, ..start.clone() });
    let merged = Project { name: "mine".into(), ..(*theirs).clone() };
    history.take_in("Merge", merged.clone(), theirs.clone());
    assert_eq!(**history.committed(), merged);
    assert_eq!(history.saved(), Some(&theirs));
    assert!(history.unsaved());
    assert_eq!(history.undo().as_deref(), Some("Merge"));
    assert_eq!(history.committed().name, "mine");
    // Theirs as it is: nothing is left to save.
    history.take_in("Merge", (*theirs).clone(), theirs);
    assert!(!history.unsaved());
}

#[test]
fn the_same_content_is_told_whatever_is_said_of_it_and_whatever_the_counter_is() {
    let start = common::tray();
    let said = Project { last_id: start.last_id + 7, ..start.clone() };
    assert!(start.same_content(&said));
    let issue = Edit::Issue {
        index: "A".into(),
        on: String::new(),
        by: String::new(),
        what: String::new(),
        program: String::new(),
    };
    let issued = issue.apply(&start).unwrap();
    assert!(issued.same_content(&issued.issued[0].content));
    assert!(!issued.same_content(&start), "the title block bears the revision now");
}
