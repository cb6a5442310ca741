//! Two states of a project told apart, and many projects checked at once, as a script sees it.

use super::program::{err, out, run};
use document::{Edit, Project};
use std::path::{Path, PathBuf};

const DEMOS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");

fn demo(name: &str) -> Project {
    document::open(&Path::new(DEMOS).join(name)).unwrap().0
}

/// The demo with one cup moved and one removed.
fn changed(project: &Project) -> Project {
    let layout = project.layouts[0].clone();
    let (first, last) = (&layout.cups[0], layout.cups.last().unwrap());
    let edits = vec![
        Edit::MoveCups { layout: layout.id, to: vec![(first.id, first.at + glam::DVec2::new(30.0, 40.0))] },
        Edit::RemoveCups { layout: layout.id, cups: vec![last.id] },
    ];
    Edit::Together { name: "Change two cups".to_owned(), edits }.apply(project).unwrap()
}

fn saved(folder: &Path, name: &str, project: &Project) -> String {
    let path = folder.join(name);
    document::save(project, &path, None).unwrap();
    path.display().to_string()
}

#[test]
fn what_changed_between_two_files_is_told_in_text_and_json() {
    let folder = tempfile::tempdir().unwrap();
    let before = demo("door-sheet.ron");
    let old = saved(folder.path(), "old.ron", &before);
    let new = saved(folder.path(), "new.ron", &changed(&before));
    let text = run(&["diff", &old, &new]);
    assert_eq!(text.status.code(), Some(0), "{}", err(&text));
    assert!(out(&text).starts_with("old.ron → new.ron\n"), "{}", out(&text));
    assert!(out(&text).contains("C1 moved 50.0 mm"), "{}", out(&text));
    assert!(out(&text).contains("C8 removed"), "{}", out(&text));
    let inches = out(&run(&["diff", &old, &new, "--unit", "in"]));
    assert!(inches.contains("C1 moved 1.969 in"), "{inches}");
    let json = run(&["diff", &old, &new, "--json"]);
    assert_eq!(json.stdout, run(&["diff", &old, &new, "--json"]).stdout, "two runs are byte-identical");
    let value: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../telling/schema/diff.schema.json")).unwrap();
    jsonschema::validator_for(&schema).unwrap().validate(&value).unwrap();
    let same = run(&["diff", &old, &old]);
    assert_eq!(same.status.code(), Some(0));
    assert!(!out(&same).contains("moved"));
}

#[test]
fn revisions_in_one_file_are_told_apart_and_a_missing_one_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let start = demo("door-sheet.ron");
    let issue = |index: &str| Edit::Issue {
        index: index.to_owned(),
        on: "2026-11-25".to_owned(),
        by: "A. Drafter".to_owned(),
        what: "Issue".to_owned(),
        program: "cupwright 0.1.0".to_owned(),
    };
    let none = saved(folder.path(), "none.ron", &start);
    let refused = run(&["diff", &none]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("no revision was issued yet"), "{}", err(&refused));
    let issued = issue("A").apply(&start).unwrap();
    let second = issue("B").apply(&changed(&issued)).unwrap();
    let file = saved(folder.path(), "tray.ron", &second);
    let between = out(&run(&["diff", &file, "--revision", "A", "--revision", "B"]));
    assert!(between.contains("C1 moved 50.0 mm"), "{between}");
    assert!(out(&run(&["diff", &file, "--revision", "a"])).contains("C1 moved 50.0 mm"));
    let since_last = run(&["diff", &file]);
    assert!(
        out(&since_last).contains("revision B") && !out(&since_last).contains("moved"),
        "{}",
        out(&since_last)
    );
    let missing = run(&["diff", &file, "--revision", "Q"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(err(&missing).contains("there is no revision 'Q' in the file, it has A, B"), "{}", err(&missing));
}

#[test]
fn git_can_use_it_as_a_difference_driver() {
    let folder = tempfile::tempdir().unwrap();
    let before = demo("door-sheet.ron");
    let old = saved(folder.path(), "x1", &before);
    let new = saved(folder.path(), "x2", &changed(&before));
    let driven = run(&["diff", "jobs/door.ron", &old, "0a1b", "100644", &new, "2c3d", "100644"]);
    assert_eq!(driven.status.code(), Some(0), "{}", err(&driven));
    assert!(out(&driven).starts_with("door.ron → door.ron\n"), "{}", out(&driven));
    let added = run(&["diff", "jobs/door.ron", "/dev/null", ".", ".", &new, "2c3d", "100644"]);
    assert_eq!(out(&added), "door.ron: added\n");
}

#[test]
fn a_folder_is_one_line_a_project_worst_first() {
    let folder = tempfile::tempdir().unwrap();
    let deep = folder.path().join("line 2");
    std::fs::create_dir(&deep).unwrap();
    for (name, to) in [
        ("tray-blank.ron", folder.path().join("a.ron")),
        ("bracket-plate.ron", deep.join("b.ron")),
        ("door-sheet.ron", deep.join("c.ron")),
    ] {
        std::fs::copy(PathBuf::from(DEMOS).join(name), to).unwrap();
    }
    let path = folder.path().display().to_string();
    let table = run(&["check", &path]);
    assert_eq!(table.status.code(), Some(1), "{}", err(&table));
    let text = out(&table);
    let at = |name: &str| text.find(name).unwrap_or_else(|| panic!("{name} is not in {text}"));
    assert_eq!(text.lines().count(), 4, "a heading and three projects: {text}");
    assert!(at("b.ron") < at("a.ron") && at("a.ron") < at("c.ron"), "{text}");
    let json = run(&["check", &path, "--json"]);
    let lines: Vec<serde_json::Value> =
        out(&json).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 3);
    assert_eq!(lines[0]["verdict"]["severity"], "fail");
    assert_eq!(json.stdout, run(&["check", &path, "--json"]).stdout, "cores do not change the order");
    std::fs::write(deep.join("letter.ron"), "Dear colleague").unwrap();
    let unread = run(&["check", &path]);
    assert_eq!(unread.status.code(), Some(2));
    assert!(out(&unread).lines().nth(1).unwrap().contains("letter.ron"), "{}", out(&unread));
    assert!(out(&unread).contains("c.ron"), "the others are checked all the same");
}

#[test]
fn another_library_shows_whose_verdict_changes() {
    let folder = tempfile::tempdir().unwrap();
    let start = demo("door-sheet.ron");
    saved(folder.path(), "door.ron", &start);
    saved(folder.path(), "tray.ron", &demo("tray-blank.ron"));
    // The lip of the door's model seals on a much smaller line.
    let mut other = start.clone();
    std::sync::Arc::make_mut(&mut other.models[0]).sealing_share.value = 0.5;
    // In a project as in a list a model is one line.
    let text = document::to_text(&other);
    let id = format!("(id: \"{}\"", other.models[0].id.0);
    let model = text.lines().find(|line| line.trim_start().starts_with(&id)).unwrap();
    let list = folder.path().join("models.list");
    std::fs::write(&list, format!("[\n{model}\n]\n")).unwrap();
    let path = folder.path().display().to_string();
    let table = run(&["check", &path, "--library", list.to_str().unwrap()]);
    let text = out(&table);
    assert_eq!(table.status.code(), Some(1), "{text}{}", err(&table));
    assert!(text.contains("1 verdict of 2 projects changes"), "{text}");
    assert!(text.contains("sealing"), "{text}");
    let broken = folder.path().join("broken.list");
    std::fs::write(&broken, "[(id: 3").unwrap();
    let refused = run(&["check", &path, "--library", broken.to_str().unwrap()]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("broken.list"), "{}", err(&refused));
}

/// A revision that somebody changed by hand opens, and check, difference and paper say that it is not what was issued.
#[test]
fn a_revision_altered_by_hand_is_told_everywhere() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(Path::new(DEMOS).join("door-sheet-review.ron")).unwrap();
    let (now, then) = text.split_at(text.find("issued: [").unwrap());
    let altered = format!("{now}{}", then.replacen("altitude_m: 0.0", "altitude_m: 5.0", 1));
    assert_ne!(altered, text);
    let file = folder.path().join("altered.ron");
    std::fs::write(&file, &altered).unwrap();
    let (file, pages) = (file.display().to_string(), folder.path().join("sheet.svg").display().to_string());
    let check = out(&run(&["check", &file]));
    assert!(check.contains("it is not what was issued") && check.contains("[sheet.issued]"), "{check}");
    let diff = out(&run(&["diff", &file, "--revision", "A"]));
    assert!(
        diff.starts_with("altered.ron, revision A, not as it was issued → altered.ron, as it is\n"),
        "{diff}"
    );
    assert_eq!(run(&["sheet", &file, "-o", &pages]).status.code(), Some(0));
    let drawn: String = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|kind| kind == "svg"))
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect();
    assert!(drawn.contains("not as issued"), "no stamp");
    assert!(!out(&run(&["check", &format!("{DEMOS}/door-sheet-review.ron")])).contains("sheet.issued"));
}
