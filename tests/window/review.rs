//! A review by accessible names: issuing, what changed since, remarks, checklist, decision; and a file that two people save.

use super::hands::{Window, at, click, ready, run_command, settle, type_into, window, window_in};
use document::{Edit, Outcome, Pin, Standing};
use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::Queryable as _;
use std::path::Path;

fn issue(window: &mut Window<'_>, what: &str) {
    run_command(window, "issue a revision");
    type_into(window, "What changed, text", what);
    // Enter in the last field is what the first button does.
    type_into(window, "Your name, text", "A. Drafter");
}

/// Fills the form of a remark, which is up already.
fn say(window: &mut Window<'_>, text: &str) {
    window.get_by_label("Remark, text").focus();
    ready(window);
    window.get_by_label("Remark, text").type_text(text);
    ready(window);
    type_into(window, "Your name, text", "B. Checker");
}

#[test]
fn a_revision_is_issued_changed_reviewed_and_decided_on() {
    let mut window = window();
    click(&mut window, "Hide guide");
    issue(&mut window, "First issue");
    let issued = window.state().project().issued.clone();
    assert_eq!((issued.len(), issued[0].index.as_str()), (1, "B"));
    assert_eq!(window.state().project().standing(), Standing::AsIssued { index: "B".into() });
    let as_issued = window.state().project().fingerprint();

    // What is done now is on the way to the next revision.
    click(&mut window, "Cup C1");
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    ready(&mut window);
    assert!(matches!(window.state().project().standing(), Standing::Changed { next, .. } if next == "C"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::R);
    ready(&mut window);
    settle(&mut window);
    window.get_by_label_contains("Since revision B:");
    window.get_by_label_contains("C1 moved 10.0 mm");
    window.key_press(Key::Period);
    ready(&mut window);
    assert_eq!(window.state().selection().len(), 1);

    window.key_press_modifiers(Modifiers::COMMAND, Key::M);
    ready(&mut window);
    say(&mut window, "Why nearer the edge?");
    let remark = window.state().project().review.remarks[0].clone();
    assert!(matches!(remark.pin, Pin::Cup(..)));
    assert_eq!((remark.called.as_str(), remark.by.as_str()), ("C1", "B. Checker"));
    click(&mut window, "Pin of remark 1 on C1");
    window.get_by_label("Remark 1 on C1");
    click(&mut window, "Answer…");
    window.get_by_label("Answer, text").focus();
    ready(&mut window);
    window.get_by_label("Answer, text").type_text("Clears the rib.");
    ready(&mut window);
    // The field bears that name too; the button comes after it.
    window.get_all_by_label("Answer").last().unwrap().click();
    ready(&mut window);
    click(&mut window, "Settle…");
    click(&mut window, "Settle");
    let remark = &window.state().project().review.remarks[0];
    assert_eq!(remark.answers[0].text, "Clears the rib.");
    assert!(remark.resolved.is_some());
    click(&mut window, "Show 1 settled");
    window.get_by_label("Reopen");

    // A place of the plan.
    click(&mut window, "On a point…");
    let plan = window.get_by_label("Plan").rect();
    at(&mut window, plan.center() + Vec2::new(120.0, -60.0));
    say(&mut window, "Label goes here.");
    assert!(matches!(window.state().project().review.remarks[1].pin, Pin::Place(..)));

    click(&mut window, "Approve or send back…");
    window.get_by_label_contains("one remark is open");
    click(&mut window, "Send back");
    click(&mut window, "Confirm");
    let decision = window.state().project().review.decisions[0].clone();
    assert_eq!(decision.outcome, Outcome::SendBack);
    assert_eq!(decision.of, window.state().project().fingerprint());
    assert_ne!(decision.of, as_issued);
    window.get_by_label_contains("Sent back by B. Checker");

    // Saying things changed no content.
    assert!(matches!(window.state().project().standing(), Standing::Changed { .. }));
    issue(&mut window, "C1 moved");
    assert_eq!(window.state().project().sheet.revisions.len(), issued[0].content.sheet.revisions.len() + 1);
    assert_eq!(window.state().project().standing(), Standing::AsIssued { index: "C".into() });
}

#[test]
fn a_failing_layout_is_approved_with_its_failures_said_or_each_accepted_with_a_reason() {
    let mut window = window();
    click(&mut window, "Hide guide");
    run_command(&mut window, "title block");
    type_into(&mut window, "Approved by", " ");
    click(&mut window, "Close");
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5");
    settle(&mut window);
    let fails = telling::open_failures(window.state().report()).count();
    assert!(fails > 0);
    let mark = "Approved with open failures.";
    assert!(window.query_by_label(mark).is_none());
    window.key_press_modifiers(Modifiers::COMMAND, Key::R);
    ready(&mut window);
    click(&mut window, "Approve or send back…");
    click(&mut window, "Approve");
    window.get_by_label_contains("will say \"approved with open failures\"");
    type_into(&mut window, "Your name, text", "B. Checker");
    if window.query_by_label("Confirm").is_some() {
        click(&mut window, "Confirm");
    }
    assert_eq!(window.state().project().review.decisions.len(), 1);
    settle(&mut window);
    window.get_by_label(mark);

    // Each accepted with a reason, in the same form: the approval is of the content with them, and bears no mark.
    click(&mut window, "Approve or send back…");
    click(&mut window, "Approve");
    for i in 1..=fails {
        let field = format!("Reason to accept failure {i}");
        window.get_by_label(&field).focus();
        ready(&mut window);
        window.get_by_label(&field).type_text("a trial piece");
        ready(&mut window);
    }
    assert!(window.query_by_label_contains("will say \"approved").is_none());
    click(&mut window, "Confirm");
    settle(&mut window);
    let project = window.state().project().clone();
    assert_eq!(project.accepted.len(), fails);
    assert_eq!(project.review.decisions.last().unwrap().of, project.fingerprint());
    assert!(window.query_by_label(mark).is_none());
    window.get_by_label_contains("Approved by B. Checker");
}

#[test]
fn a_question_is_ticked_and_a_tick_of_an_older_state_says_so() {
    let mut window = window();
    click(&mut window, "Hide guide");
    window.key_press_modifiers(Modifiers::COMMAND, Key::R);
    ready(&mut window);
    settle(&mut window);
    let label = window.query_all_by_label_contains("Checklist").next().unwrap();
    label.click();
    ready(&mut window);
    let view = window.state().view(app::theme::tokens(false));
    let question = view.review.unwrap().questions[0].clone();
    let tick = format!("Tick: {}", question.says);
    click(&mut window, &tick);
    assert_eq!(window.state().project().review.ticks[0].key, question.key);
    click(&mut window, &tick);
    assert!(window.state().project().review.ticks.is_empty());
}

fn saved_demo(folder: &Path, name: &str) -> std::path::PathBuf {
    let path = folder.join(name);
    document::save(window().state().project(), &path, None).unwrap();
    path
}

#[test]
fn a_file_under_review_takes_remarks_and_nothing_else_until_one_chooses_to() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_demo(folder.path(), "tray.ron");
    let mut window = window();
    let other = path.clone();
    window.state_mut().review_file(&other, None);
    ready(&mut window);
    let before = window.state().project().clone();
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    window.get_by_label_contains("the file is under review");
    let centre = super::hands::cup_centre(&window, "C2");
    super::hands::drag(&mut window, centre, centre + Vec2::new(60.0, 0.0));
    window.key_press(Key::Delete);
    ready(&mut window);
    assert_eq!(window.state().project(), &before);
    window.key_press_modifiers(Modifiers::COMMAND, Key::M);
    ready(&mut window);
    say(&mut window, "Good.");
    assert_eq!(window.state().project().review.remarks.len(), 1);
    assert_eq!(window.state().project().content().layouts, before.layouts);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    let (saved, _) = document::open(&path).unwrap();
    assert_eq!(saved.review.remarks[0].text, "Good.");
    click(&mut window, "Edit this file");
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    assert_ne!(window.state().project().layouts, before.layouts);
}

/// Someone else's program moves a cup and saves.
fn elsewhere(path: &Path, tag: &str, to: glam::DVec2) {
    let (project, stamp) = document::open(path).unwrap();
    let layout = project.layouts[0].clone();
    let cup = layout.cups.iter().find(|c| c.tag == tag).unwrap().id;
    let moved = Edit::MoveCups { layout: layout.id, to: vec![(cup, to)] }.apply(&project).unwrap();
    document::save(&moved, path, Some(&stamp)).unwrap();
}

fn place(window: &Window<'_>, tag: &str) -> glam::DVec2 {
    window.state().project().layouts[0].cups.iter().find(|c| c.tag == tag).unwrap().at
}

#[test]
fn what_two_people_saved_is_merged_and_one_choice_is_asked_where_they_meet() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_demo(folder.path(), "tray.ron");
    let mut window = window_in(Some(folder.path().join("prefs")), Some(path.clone()));
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    let mine = place(&window, "C1");
    let theirs = place(&window, "C2") + glam::DVec2::new(3.0, 0.0);
    elsewhere(&path, "C2", theirs);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    click(&mut window, "Merge…");
    // Nothing meets: both lists are shown, nothing is asked.
    window.get_by_label("Theirs, added");
    click(&mut window, "Merge");
    assert_eq!((place(&window, "C1"), place(&window, "C2")), (mine, theirs));
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    let (saved, _) = document::open(&path).unwrap();
    assert_eq!(saved.layouts, window.state().project().layouts);

    // Both move C1.
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    let theirs = mine + glam::DVec2::new(0.0, 7.0);
    elsewhere(&path, "C1", theirs);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    click(&mut window, "Merge…");
    click(&mut window, "Merge");
    assert_eq!(place(&window, "C1"), mine + glam::DVec2::X, "nothing is merged before the choice");
    // Said in words and units, as everywhere.
    window.get_by_label_contains("C1 moved 7.0 mm");
    let choice = window.query_all_by_label_contains(": theirs").next().unwrap();
    choice.click();
    ready(&mut window);
    click(&mut window, "Merge");
    assert_eq!(place(&window, "C1"), theirs);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(place(&window, "C1"), mine + glam::DVec2::X);
}

#[test]
fn a_folder_that_is_gone_keeps_the_work_and_says_where() {
    let folder = tempfile::tempdir().unwrap();
    let shared = folder.path().join("shared");
    std::fs::create_dir(&shared).unwrap();
    let path = saved_demo(&shared, "tray.ron");
    let prefs = folder.path().join("prefs");
    let mut window = window_in(Some(prefs.clone()), Some(path.clone()));
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    std::fs::rename(&shared, folder.path().join("away")).unwrap();
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    window.get_by_label_contains("a copy was kept as");
    let kept = std::fs::read_dir(prefs.join("kept")).unwrap().next().unwrap().unwrap().path();
    let (project, _) = document::open(&kept).unwrap();
    assert_eq!(&project, &**window.state().project());
}

#[test]
fn a_file_that_is_open_elsewhere_says_by_whom_and_a_stale_note_is_explained() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_demo(folder.path(), "tray.ron");
    let note = folder.path().join(".tray.ron.in-use");
    let own = document::leave_note(&path, "Anna", "2026-11-25 08:00").unwrap();
    let text = std::fs::read_to_string(&note).unwrap();
    drop(own);
    assert!(!note.exists());
    let of_process = |process: u32| {
        let other = text.replace(&format!("process:{}", std::process::id()), &format!("process:{process}"));
        assert_ne!(other, text);
        std::fs::write(&note, other).unwrap();
        window_in(Some(folder.path().join("prefs")), Some(path.clone()))
    };
    // The first process of a machine is always there.
    let window = of_process(1);
    window.get_by_label_contains("This file is also open here by Anna since 2026-11-25 08:00");
    window.get_by_label("shared");
    drop(window);
    assert!(note.exists(), "the note of another is left alone");
    let mut gone = std::process::Command::new("true").spawn().unwrap();
    gone.wait().unwrap();
    let window = of_process(gone.id());
    window.get_by_label_contains("its note is stale");
    assert!(window.query_by_label("shared").is_none());
    drop(window);
    assert!(!note.exists(), "a note of one's own took its place and was taken away");
}
