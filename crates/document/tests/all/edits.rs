//! Edits: what they make, what they are called, and what stands against them.
use crate::common;

use document::*;
use glam::{DVec2, DVec3};
use std::sync::Arc;

fn cup(project: &Project, tag: &str) -> Cup {
    project.layouts[0].cups.iter().find(|c| c.tag == tag).unwrap().clone()
}
fn refused(edit: Edit, project: &Project) -> String {
    edit.apply(project).expect_err("it should be refused").to_string()
}
fn layout_of(project: &Project) -> LayoutId {
    project.layouts[0].id
}

#[test]
fn changes_are_called_what_a_person_would_call_them() {
    let p = common::tray();
    let layout = layout_of(&p);
    let all: Vec<CupId> = p.layouts[0].cups.iter().map(|c| c.id).collect();
    let to = |n: usize| all[..n].iter().map(|id| (*id, DVec2::ZERO)).collect::<Vec<_>>();
    let part = p.parts[0].clone();
    let what = "Change thickness of Tray blank to 4 mm".to_owned();
    let cases = [
        (Edit::MoveCups { layout, to: to(1) }, "Move C1"),
        (Edit::MoveCups { layout, to: to(3) }, "Move 3 cups"),
        (Edit::AddCups { layout, cups: vec![Cup { tag: "C9".into(), ..cup(&p, "C1") }] }, "Add C9"),
        (Edit::RemoveCups { layout, cups: all.clone() }, "Remove 4 cups"),
        (Edit::RemoveCups { layout, cups: vec![all[3]] }, "Remove C4"),
        (
            Edit::ChangeCups { layout, cups: vec![cup(&p, "C2")], what: "Turn C2 to 45°".into() },
            "Turn C2 to 45°",
        ),
        (Edit::ChangeCups { layout, cups: vec![cup(&p, "C2")], what: String::new() }, "Change C2"),
        (Edit::ChangePart { part: part.clone(), what: what.clone() }, what.as_str()),
        (Edit::ChangePart { part, what: " ".into() }, "Change part Tray blank"),
        (Edit::RenameLayout(layout, " Grid".into()), "Rename Layout A to Grid"),
        (Edit::RemoveLayout(layout), "Remove Layout A"),
        (Edit::MoveLayout(layout, 1), "Move Layout A to position 2"),
        (
            Edit::AddLayout(Arc::new(Layout { name: "Two round".into(), ..(*p.layouts[0]).clone() })),
            "Add layout Two round",
        ),
        (Edit::ChangeTool { layout, tool: Arc::default(), what: String::new() }, "Change tool of Layout A"),
        (Edit::MoveMotion(p.motions[0].id, 2), "Move motion Level lift to position 3"),
        (Edit::RemoveModel(p.models[0].id.clone()), "Remove cup model Round 10, flat, medium"),
        (Edit::Together { name: "Align left".into(), edits: vec![] }, "Align left"),
    ];
    for (edit, name) in cases {
        assert_eq!(edit.name(&p), name);
    }
}

#[test]
fn what_names_something_unknown_is_refused() {
    let p = common::tray();
    let layout = layout_of(&p);
    let nowhere = LayoutId(900);
    let stranger = || Cup { id: CupId(99), tag: "C9".into(), ..cup(&p, "C1") };
    let cases = [
        (Edit::RemovePart(PartId(9)), "part 9 is not in the project"),
        (Edit::MoveCups { layout: nowhere, to: vec![] }, "layout 900 is not in the project"),
        (Edit::MoveCups { layout, to: vec![(CupId(99), DVec2::ZERO)] }, "cup 99 of layout Layout A is not"),
        (Edit::RemoveCups { layout, cups: vec![CupId(99)] }, "cup 99 of layout Layout A is not"),
        (
            Edit::ChangeCups { layout, cups: vec![stranger()], what: String::new() },
            "cup 99 of layout Layout A is not",
        ),
        (
            Edit::AddCups { layout, cups: vec![Cup { model: "square-3".into(), ..stranger() }] },
            "cup model square-3 of cup C9 is not in the project",
        ),
        (
            Edit::AddCups { layout, cups: vec![Cup { circuit: CircuitId(77), ..stranger() }] },
            "circuit 77 of cup C9 is not in the project",
        ),
        (
            Edit::AddLayout(Arc::new(Layout {
                id: nowhere,
                name: "B".into(),
                part: PartId(9),
                cups: vec![],
                tool: Arc::default(),
                proposed: String::new(),
                seats: Vec::new(),
            })),
            "part 9 of layout B",
        ),
        (
            Edit::ChangeMotion {
                motion: Arc::new(Motion::preset(MotionId(70), MotionKind::Free)),
                what: String::new(),
            },
            "motion 70",
        ),
        (Edit::RemoveCircuit(CircuitId(70)), "circuit 70 is not"),
        (Edit::RemoveModel("none".into()), "cup model none is not"),
        (
            Edit::Unaccept { rule: "factor".into(), subject: vec![], motion: None, layout, seat: None },
            "the acceptance of factor is not in the project",
        ),
        (
            Edit::Accept(Accepted { subject: vec![CupId(99)], ..p.accepted[0].clone() }),
            "cup 99 of layout Layout A",
        ),
        (Edit::Accept(Accepted { motion: Some(MotionId(99)), ..p.accepted[0].clone() }), "motion 99"),
    ];
    for (edit, start) in cases {
        let said = refused(edit, &p);
        assert!(said.starts_with(start) && said.contains("nothing was changed"), "{said}");
    }
}

#[test]
fn what_is_there_already_or_still_needed_is_refused() {
    let p = common::tray();
    let layout = layout_of(&p);
    let twice = Cup { tag: "C9".into(), ..cup(&p, "C2") };
    assert!(
        refused(Edit::AddCups { layout, cups: vec![twice] }, &p)
            .starts_with("cup 12 of layout Layout A is already in the project")
    );
    assert!(refused(Edit::AddPart(p.parts[0].clone()), &p).starts_with("part 1 is already in the project"));
    assert!(
        refused(Edit::AddMotion(p.motions[0].clone()), &p).starts_with("motion 6 is already in the project")
    );
    let bent = Arc::new(CupModel { bore_mm: 3.3, ..(*p.models[0]).clone() });
    assert!(
        refused(Edit::AddModel(bent), &p)
            .starts_with("another cup model round-10-flat-medium is already in the project")
    );
    // The same model again is no change: whoever places cups need not look first.
    assert_eq!(Edit::AddModel(p.models[0].clone()).apply(&p).as_ref(), Ok(&p));

    assert!(refused(Edit::RemoveLayout(layout), &p).starts_with("layout Layout A is the last layout"));
    let said = refused(Edit::RemoveCircuit(p.circuits[0].id), &p);
    assert_eq!(
        said,
        "circuit Circuit 1 is used by cups C1, C2 and 2 more, nothing was changed; put those cups on another circuit first"
    );
    assert!(refused(Edit::RemoveModel(p.models[1].id.clone()), &p).contains("is used by cup C4"));
    assert!(refused(Edit::RemovePart(PartId(1)), &p).contains("is used by layout Layout A"));
    let spare = Arc::new(Part::from_outline(PartId(50), "Spare", Arc::default()));
    let more = Edit::AddPart(spare).apply(&p).unwrap();
    assert_eq!(Edit::RemovePart(PartId(50)).apply(&more).unwrap().parts, p.parts);
}

#[test]
fn numbers_that_are_none_are_refused_and_noise_is_taken_off() {
    let p = common::tray();
    let layout = layout_of(&p);
    let id = cup(&p, "C1").id;
    let said = refused(Edit::MoveCups { layout, to: vec![(id, DVec2::new(f64::NAN, 0.0))] }, &p);
    assert!(said.starts_with("at of cup C1 is not a finite number"), "{said}");
    let part = Part { thickness_mm: f64::INFINITY, ..(*p.parts[0]).clone() };
    let said = refused(Edit::ChangePart { part: Arc::new(part), what: String::new() }, &p);
    assert!(said.starts_with("thickness_mm of part Tray blank"), "{said}");
    let motion = Motion { pivot_mm: DVec3::NAN, ..(*p.motions[0]).clone() };
    let said = refused(Edit::ChangeMotion { motion: Arc::new(motion), what: String::new() }, &p);
    assert!(said.starts_with("pivot_mm of motion Level lift"), "{said}");
    let site = Site { altitude_m: f64::NAN, ..p.site };
    assert!(
        refused(Edit::ChangeSite { site, what: String::new() }, &p).starts_with("altitude_m of the site")
    );

    let moved =
        Edit::MoveCups { layout, to: vec![(id, DVec2::new(0.1 + 0.2, 3.0 * 25.400_000_000_000_002))] };
    assert_eq!(cup(&moved.apply(&p).unwrap(), "C1").at, DVec2::new(0.3, 76.2));
}

#[test]
fn together_is_all_or_nothing_and_each_sees_the_ones_before() {
    let p = common::tray();
    let layout = layout_of(&p);
    let model = library().iter().find(|m| p.model(&m.id).is_none()).unwrap().clone();
    let new = Cup { id: CupId(p.next_id()), tag: "C5".into(), model: model.id.clone(), ..cup(&p, "C1") };
    let place = vec![Edit::AddModel(model), Edit::AddCups { layout, cups: vec![new] }];
    let placed = Edit::Together { name: "Add C5".into(), edits: place.clone() }.apply(&p).unwrap();
    assert_eq!((placed.layouts[0].cups.len(), placed.models.len(), placed.last_id), (5, 3, p.last_id + 1));

    let mut failing = place;
    failing.push(Edit::RemoveMotion(MotionId(99)));
    let mut history = History::new(p.clone());
    assert!(history.apply(Edit::Together { name: "Add C5".into(), edits: failing }).is_err());
    assert_eq!((&**history.shown(), history.undo_name(), history.revision()), (&p, None, 0));
}

#[test]
fn what_goes_takes_its_acceptances_along() {
    let p = common::tray();
    let layout = layout_of(&p);
    assert_eq!(p.accepted.len(), 1);
    let without = Edit::RemoveCups { layout, cups: vec![cup(&p, "C2").id] }.apply(&p).unwrap();
    assert!(without.accepted.is_empty());
    assert_eq!(
        Edit::RemoveCups { layout, cups: vec![cup(&p, "C4").id] }.apply(&p).unwrap().accepted.len(),
        1
    );

    let of_motion =
        Accepted { rule: "factor".into(), motion: Some(p.motions[0].id), ..p.accepted[0].clone() };
    let more = Edit::Accept(of_motion).apply(&p).unwrap();
    assert_eq!(Edit::RemoveMotion(p.motions[0].id).apply(&more).unwrap().accepted, p.accepted);
    // A second reason for the same finding replaces the first.
    let again = Accepted { reason: "Measured".into(), ..p.accepted[0].clone() };
    assert_eq!(Edit::Accept(again.clone()).apply(&p).unwrap().accepted, std::slice::from_ref(&again));
    let Accepted { rule, subject, motion, layout, .. } = again;
    assert!(
        Edit::Unaccept { rule, subject, motion, layout, seat: None }.apply(&p).unwrap().accepted.is_empty()
    );
}

#[test]
fn ids_are_never_given_twice_and_a_copied_layout_keeps_them() {
    let p = common::tray();
    let copy = Layout { id: LayoutId(40), name: "Layout B".into(), ..(*p.layouts[0]).clone() };
    let both = Edit::AddLayout(Arc::new(copy)).apply(&p).unwrap();
    assert_eq!(both.last_id, 40);
    assert_eq!(both.layouts[1].cups, p.layouts[0].cups);
    let fewer = Edit::RemoveLayout(LayoutId(40)).apply(&both).unwrap();
    assert_eq!(fewer.next_id(), 41, "40 is not given again");
    assert_eq!(fewer.next_tags(layout_of(&fewer), 2), ["C5", "C6"]);
    let first = Edit::MoveLayout(LayoutId(40), 0).apply(&both).unwrap();
    assert_eq!(first.layouts[0].id, LayoutId(40));
    assert_eq!(Edit::MoveLayout(LayoutId(40), 99).apply(&first).unwrap(), both);
}

#[test]
fn a_layout_has_a_name_and_a_copy_one_of_its_own() {
    let p = common::tray();
    let layout = layout_of(&p);
    let said = refused(Edit::RenameLayout(layout, " \t".into()), &p);
    assert_eq!(said, "layout Layout A has no name, nothing was changed; type one");
    let nameless = Layout { id: LayoutId(40), name: String::new(), ..(*p.layouts[0]).clone() };
    let said = refused(Edit::AddLayout(Arc::new(nameless)), &p);
    assert!(said.starts_with("the new layout has no name, nothing was changed"), "{said}");
    let renamed = Edit::RenameLayout(layout, "  Two round ".into()).apply(&p).unwrap();
    assert_eq!(renamed.layouts[0].name, "Two round");

    let copy = renamed.copy_of_layout(layout, " ").unwrap();
    assert_eq!((copy.id, copy.name.as_str()), (LayoutId(renamed.next_id()), "Two round copy"));
    assert_eq!((&copy.cups, &copy.tool, copy.part), (&p.layouts[0].cups, &p.layouts[0].tool, PartId(1)));
    let both = Edit::AddLayout(Arc::new(copy)).apply(&renamed).unwrap();
    assert_eq!((both.layouts.len(), both.last_id), (2, renamed.last_id + 1));
    assert_eq!(both.accepted, p.accepted, "what was accepted there was not accepted here");
    assert_eq!(both.copy_of_layout(layout, "").unwrap().name, "Two round copy 2");
    assert_eq!(both.copy_of_layout(layout, "Two round").unwrap().name, "Two round 2");
    assert_eq!(both.copy_of_layout(layout, "One long").unwrap().name, "One long");
    assert_eq!(both.copy_of_layout(LayoutId(900), "One long"), None);
}

#[test]
fn tools_are_checked_however_they_come_in() {
    let p = common::tray();
    let layout = layout_of(&p);
    let bent = |change: fn(&mut Tool)| {
        let mut tool = (*p.layouts[0].tool).clone();
        change(&mut tool);
        Arc::new(tool)
    };
    let cases = [
        (bent(|t| t.flange.z = f64::NAN), "flange of tool of layout Layout A is not a finite number"),
        (bent(|t| t.frame[0].turn_deg = f64::INFINITY), "frame.turn_deg of tool of layout Layout A is not"),
        (bent(|t| t.masses[1].id = t.masses[0].id), "mass 16 of the tool of layout Layout A is already in"),
        (
            bent(|t| t.frame[1].id = t.frame[0].id),
            "frame piece 18 of the tool of layout Layout A is already in",
        ),
    ];
    for (tool, says) in cases {
        let said = refused(Edit::ChangeTool { layout, tool: tool.clone(), what: String::new() }, &p);
        assert!(said.starts_with(says), "{said}");
        let new = Layout { id: LayoutId(40), tool, ..(*p.layouts[0]).clone() };
        let said = refused(Edit::AddLayout(Arc::new(new)), &p);
        assert!(said.starts_with(says), "{said}");
    }
    // Noise is taken off, and the numbers of masses and pieces count.
    let tool = bent(|t| {
        t.flange.z = 0.1 + 0.2;
        t.frame.push(FramePiece::rail(FrameId(70), "Rail 2", DVec2::ZERO, 300.0, 90.0));
    });
    let changed = Edit::ChangeTool { layout, tool: tool.clone(), what: String::new() }.apply(&p).unwrap();
    assert_eq!((changed.layouts[0].tool.flange.z, changed.last_id), (0.3, 70));
    let new = Layout { id: LayoutId(40), tool, ..(*p.layouts[0]).clone() };
    assert_eq!(Edit::AddLayout(Arc::new(new)).apply(&p).unwrap().last_id, 70);
    assert!(
        refused(Edit::ChangeTool { layout: LayoutId(900), tool: Arc::default(), what: String::new() }, &p)
            .starts_with("layout 900 is not in the project")
    );
}

#[test]
fn what_is_not_touched_stays_shared() {
    let p = common::tray();
    let moved =
        Edit::MoveCups { layout: layout_of(&p), to: vec![(cup(&p, "C1").id, DVec2::ONE)] }.apply(&p).unwrap();
    assert!(Arc::ptr_eq(&moved.parts[0], &p.parts[0]) && Arc::ptr_eq(&moved.motions[0], &p.motions[0]));
    let part = Part { thickness_mm: 2.0, ..(*p.parts[0]).clone() };
    let thicker = Edit::ChangePart { part: Arc::new(part), what: String::new() }.apply(&p).unwrap();
    assert!(Arc::ptr_eq(&thicker.parts[0].outline, &p.parts[0].outline));
    assert!(Arc::ptr_eq(&thicker.layouts[0], &p.layouts[0]));
}

/// Thirds and sevenths have no end: an edit of one figure of a part, its outline or a cup leaves every other to the last digit.
#[test]
fn an_edit_leaves_what_it_does_not_touch_to_the_last_digit() {
    let mut p = common::tray();
    let layout = layout_of(&p);
    let cup_id = p.layouts[0].cups[0].id;
    {
        let part = Arc::make_mut(&mut p.parts[0]);
        (part.uneven_mm, part.friction.value) = (1.0 / 7.0, 5.0 / 7.0);
        let outline = Arc::make_mut(&mut part.outline);
        outline.outer.vertices[0].at.x += 1.0 / 3.0;
        let cups = &mut Arc::make_mut(&mut p.layouts[0]).cups;
        cups[0].at = DVec2::new(100.0 / 3.0, 200.0 / 7.0);
        cups[0].turn_deg = 10.0 / 3.0;
    }
    let corner = p.parts[0].outline.outer.vertices[0].at.x;

    let thickness = Part { thickness_mm: 4.1, ..Part::clone(&p.parts[0]) };
    let after = Edit::ChangePart { part: Arc::new(thickness), what: String::new() }.apply(&p).unwrap();
    assert_eq!((after.parts[0].uneven_mm, after.parts[0].friction.value), (1.0 / 7.0, 5.0 / 7.0));
    assert!(Arc::ptr_eq(&after.parts[0].outline, &p.parts[0].outline));

    let mut moved = Part::clone(&p.parts[0]);
    Arc::make_mut(&mut moved.outline).outer.vertices[1].at.y = 0.1 + 0.2;
    let after = Edit::ChangePart { part: Arc::new(moved), what: String::new() }.apply(&p).unwrap();
    let vertices = &after.parts[0].outline.outer.vertices;
    assert_eq!((vertices[0].at.x, vertices[1].at.y), (corner, 0.3), "noise goes, the rest stays");
    assert_eq!(after.parts[0].uneven_mm, 1.0 / 7.0);

    let turned = Cup { height_mm: 7.5, ..p.layouts[0].cups[0].clone() };
    let after = Edit::ChangeCups { layout, cups: vec![turned], what: String::new() }.apply(&p).unwrap();
    let cup = after.layouts[0].cups.iter().find(|c| c.id == cup_id).unwrap();
    assert_eq!((cup.at, cup.turn_deg), (DVec2::new(100.0 / 3.0, 200.0 / 7.0), 10.0 / 3.0));
}

#[test]
fn a_picture_to_trace_is_an_edit_like_others_and_no_content() {
    let before = common::tray();
    let lay = |picture: Traced| Edit::Trace { picture: Some(Arc::new(picture)), what: String::new() };
    let edit = lay(common::picture::traced());
    assert_eq!(edit.name(&before), "Lay scan.png under the plan");
    assert!(!edit.is_review());
    let after = edit.apply(&before).unwrap();
    // It is no content: neither mark nor difference sees it, and no issued revision keeps it.
    assert_eq!(after.fingerprint(), before.fingerprint());
    assert!(difference(&before, &after).is_empty() && after.same_content(&before));
    let text = to_text(&after);
    assert!(text.trim_end().ends_with("),\n)"), "last in the file");
    assert_eq!(from_text(&text, "tray.ron").unwrap(), after);
    let mut history = History::new(before.clone());
    history.apply(edit).unwrap();
    history.undo();
    assert_eq!(**history.committed(), before);
    let away = Edit::Trace { picture: None, what: String::new() };
    assert_eq!(away.name(&after), "Remove the picture under the plan");
    assert_eq!(away.apply(&after).unwrap(), before);

    let large = Traced { png: vec![0; Traced::MOST_BYTES + 1].into(), ..common::picture::traced() };
    let says = refused(lay(large.clone()), &before);
    assert_eq!(
        says,
        "the picture scan.png cannot be kept: it takes more than 1 MB, nothing was changed; choose a smaller picture"
    );
    assert!(
        refused(lay(Traced { dot_mm: 0.0, ..common::picture::traced() }), &before)
            .contains("no sensible figure")
    );
    assert!(refused(lay(Traced { turn_deg: 1e3, ..common::picture::traced() }), &before).contains("turn"));
    // A picture that lies straight says nothing of it.
    let straight = lay(Traced { turn_deg: 0.0, ..common::picture::traced() }).apply(&before).unwrap();
    assert_eq!(text.replace("turn_deg: -2.5, ", ""), to_text(&straight));
    assert_ne!(text, to_text(&straight));
    // The same holds for a file that somebody else wrote.
    let mut wrong = before.clone();
    wrong.traced = Some(Arc::new(Traced { strength: 7.0, ..common::picture::traced() }));
    let says = from_text(&to_text(&wrong), "tray.ron").unwrap_err().to_string();
    assert!(says.contains("picture to trace") && says.contains("tray.ron"), "{says}");
    let spoilt = text.replace("png: \"", "png: \"!");
    assert!(from_text(&spoilt, "tray.ron").unwrap_err().to_string().contains("base64"));
}

#[test]
fn the_datum_is_kept_in_the_file_and_left_out_where_it_is_the_origin() {
    let before = common::tray();
    assert!(!to_text(&before).contains("datum"));
    let part = before.parts[0].clone();
    let datum = Datum::near(&part.outline, part.outline.bounds().unwrap().min, 1.0);
    assert!(datum.is_some());
    let part = Arc::new(Part { datum, ..(*part).clone() });
    let after =
        Edit::ChangePart { part, what: "Set the datum on a corner".to_owned() }.apply(&before).unwrap();
    assert_ne!(after.fingerprint(), before.fingerprint());
    let text = to_text(&after);
    assert_eq!(from_text(&text, "tray.ron").unwrap(), after);
    let changes = difference(&before, &after);
    assert!(
        !changes.is_empty() && changes.iter().all(|change| change.field.to_string().starts_with("datum")),
        "{changes:?}"
    );
}
