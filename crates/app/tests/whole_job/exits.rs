//! Exit codes as a script sees them: no failure passes for success, whoever stops reading and whatever the disk is like.

use crate::program::{command, err, out, run};
use std::{
    fs::{self, OpenOptions},
    path::Path,
    process::Stdio,
};

fn schema() -> jsonschema::Validator {
    let schema = include_str!("../../../telling/schema/check.schema.json");
    jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap()
}

/// Every line is an object that follows the schema.
fn objects(text: &str) -> Vec<serde_json::Value> {
    let validator = schema();
    let object = |line: &str| {
        let object: serde_json::Value = serde_json::from_str(line).unwrap();
        let problems: Vec<String> = validator.iter_errors(&object).map(|e| e.to_string()).collect();
        assert!(problems.is_empty(), "{problems:?}");
        object
    };
    text.lines().map(object).collect()
}

fn demo(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects").join(name)
}

#[test]
fn a_closed_pipe_keeps_the_verdict() {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(demo("bracket-plate.ron"), folder.path().join("a.ron")).unwrap();
    let here = folder.path().to_str().unwrap();
    for (arguments, code) in [
        (&["check", "tray-blank.ron", "bracket-plate.ron"][..], 1),
        (&["check", "--json", "bracket-plate.ron", "tray-blank.ron"], 1),
        (&["check", "tray-blank.ron"], 0),
        (&["check", "missing.ron", "tray-blank.ron"], 2),
        (&["check", here], 1),
        (&["check", here, "--json"], 1),
        (&["compare", "bracket-plate.ron"], 1),
        (&["check", "--rules"], 0),
        (&["--help"], 0),
    ] {
        // Nobody reads either.
        let mut child = command(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop((child.stdout.take(), child.stderr.take()));
        assert_eq!(child.wait().unwrap().code(), Some(code), "{arguments:?}");
    }
}

/// `/dev/full` takes nothing, as a full disk does.
#[cfg(target_os = "linux")]
#[test]
fn what_could_not_be_printed_is_no_success() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("new.ron");
    let (project, here) = (project.to_str().unwrap(), folder.path().to_str().unwrap());
    fs::copy(demo("tray-blank.ron"), folder.path().join("a.ron")).unwrap();
    for arguments in [
        &["check", "tray-blank.ron"][..],
        &["check", "tray-blank.ron", "--json"],
        &["check", here],
        &["check", here, "--json"],
        &["check", "--rules"],
        &["compare", "narrow-rail.ron"],
        &["diff", "tray-blank.ron", "bracket-plate.ron", "--json"],
        &["import", "tray-blank.dxf", "-o", project],
        &["export", "tray-blank.ron", "--csv", "-"],
        &["sheet", "tray-blank.ron", "-o", "-"],
        &["--help"],
        &["--version"],
    ] {
        let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
        let ended = command(arguments).stdout(full).output().unwrap();
        assert_eq!(ended.status.code(), Some(2), "{arguments:?}: {}", err(&ended));
    }
}

#[test]
fn nothing_checked_is_no_success() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::create_dir_all(at("empty/deeper")).unwrap();
    fs::create_dir_all(at("full")).unwrap();
    fs::write(at("empty/readme.txt"), "nothing here").unwrap();
    fs::copy(demo("tray-blank.ron"), at("full/tray.ron")).unwrap();
    let empty = run(&["check", &at("empty")]);
    assert_eq!(empty.status.code(), Some(2));
    assert!(
        err(&empty).contains("nothing to check, there is no project (.ron) in this folder"),
        "{}",
        err(&empty)
    );
    let both = run(&["check", &at("empty"), &at("full")]);
    assert_eq!(both.status.code(), Some(2));
    assert!(out(&both).contains("tray.ron"), "the other folder is checked all the same");
    let json = run(&["check", &at("empty"), "--json"]);
    assert_eq!(json.status.code(), Some(2));
    assert!(objects(&out(&json))[0]["unread"].as_str().unwrap().contains("nothing to check"));

    // Lists of models: empty, no text, of another program, of other models.
    let utf16 = |text: &str| text.encode_utf16().flat_map(u16::to_le_bytes).collect::<Vec<u8>>();
    let built_in = include_str!("../../../../assets/library/cup-models.ron");
    let first = built_in.lines().find(|line| line.starts_with("    (")).unwrap();
    let other = format!("[\n{first}\n]\n").replace(&*document::library()[0].id.0, "nobody-has-this");
    for (name, bytes, words) in [
        ("empty.ron", Vec::new(), "empty"),
        ("blank.ron", b"\n \n".to_vec(), "blank"),
        ("none.ron", b"[]".to_vec(), "holds no cup model and no source"),
        ("none.csv", Vec::new(), "holds no cup model and no source"),
        ("binary.csv", b"\x7fELF\x02\x01\0\0\xff\xfe\0".to_vec(), "not text"),
        ("binary.ron", vec![0, 1, 2, 3], "not text"),
        ("wide.csv", utf16("name;shape\nA;round\n"), "not text"),
        ("marked.csv", [vec![0xff, 0xfe], utf16("name;shape\nA;round\n")].concat(), "needed columns"),
        ("other.ron", other.into_bytes(), "nothing was checked with the list"),
    ] {
        fs::write(at(name), bytes).unwrap();
        let ended = run(&["check", &at("full"), "--library", &at(name)]);
        assert_eq!(ended.status.code(), Some(2), "{name}: {}{}", out(&ended), err(&ended));
        assert!(err(&ended).contains(words), "{name}: {}", err(&ended));
    }
    // A list that says something about the project is checked, whatever the spreadsheet that saved it.
    let held = document::open(&demo("tray-blank.ron")).unwrap().0.models[0].as_ref().clone();
    let table = exchange::models_csv(&[held]);
    for (name, bytes) in
        [("list.csv", table.clone().into_bytes()), ("wide.csv", [vec![0xff, 0xfe], utf16(&table)].concat())]
    {
        fs::write(at(name), bytes).unwrap();
        let ended = run(&["check", &at("full"), "--library", &at(name)]);
        assert_eq!(ended.status.code(), Some(0), "{name}: {}", err(&ended));
    }
    let spoilt = table.clone() + "\"Bad\",\"cube\"\n";
    fs::write(at("list.csv"), spoilt).unwrap();
    let ended = run(&["check", &at("full"), "--library", &at("list.csv")]);
    assert_eq!(ended.status.code(), Some(2), "a row that was left out was not checked");

    let rules = run(&["check", "--rules", "tray-blank.ron"]);
    assert_eq!(rules.status.code(), Some(2), "the file would not be checked");
    let nothing = run(&["diff", "/dev/null", "/dev/null"]);
    assert_eq!(nothing.status.code(), Some(2));
}

#[test]
fn what_cannot_be_read_is_counted_and_the_rest_is_checked() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::write(at("broken.ron"), "(format: 4").unwrap();
    fs::write(at("empty.ron"), "").unwrap();
    let ended = run(&["check", &at(""), "--json"]);
    assert_eq!(ended.status.code(), Some(2));
    let unread = objects(&out(&ended));
    assert_eq!(unread.len(), 2, "JSON also where nothing could be read");
    assert!(unread.iter().all(|object| object["unread"].is_string()));

    fs::copy(demo("tray-blank.ron"), at("tray.ron")).unwrap();
    // Twelve folders deep is far enough; a link back up is followed once.
    let deep = (0..14).map(|i| i.to_string()).collect::<Vec<_>>().join("/");
    fs::create_dir_all(at(&deep)).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(folder.path(), at("0/back")).unwrap();
    let ended = run(&["check", &at("")]);
    assert_eq!(ended.status.code(), Some(2));
    assert_eq!(out(&ended).lines().filter(|line| line.contains("tray.ron")).count(), 1, "{}", out(&ended));
    assert!(err(&ended).contains("more than 12 folders deep"), "{}", err(&ended));

    // One by one, too.
    let ended = run(&["check", "--json", &at("empty.ron"), &at("tray.ron")]);
    assert_eq!(ended.status.code(), Some(2));
    let told = objects(&out(&ended));
    assert!(told[0]["unread"].is_string() && told[1]["layouts"].is_array());
}

#[test]
fn added_and_removed_files_are_json_too() {
    let schema = include_str!("../../../telling/schema/diff.schema.json");
    let validator = jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap();
    for (files, word) in
        [(["/dev/null", "tray-blank.ron"], "added"), (["tray-blank.ron", "/dev/null"], "removed")]
    {
        let ended = run(&["diff", files[0], files[1], "--json"]);
        assert_eq!(ended.status.code(), Some(0));
        let object: serde_json::Value = serde_json::from_str(&out(&ended)).unwrap();
        let problems: Vec<String> = validator.iter_errors(&object).map(|e| e.to_string()).collect();
        assert!(problems.is_empty() && object["sentence"].as_str().unwrap().ends_with(word), "{problems:?}");
        let folder = tempfile::tempdir().unwrap();
        let pages = folder.path().join("changes.pdf");
        let ended = run(&["diff", files[0], files[1], "-o", pages.to_str().unwrap()]);
        assert_eq!(ended.status.code(), Some(2), "no pages were written");
    }
}

#[test]
fn names_of_other_people_do_not_act_on_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let mut project = document::open(&demo("bracket-plate.ron")).unwrap().0;
    let evil = "\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\r\nholds as modelled \u{202e}";
    project.name += evil;
    for layout in &mut project.layouts {
        let layout = std::sync::Arc::make_mut(layout);
        layout.name += evil;
        for cup in &mut layout.cups {
            cup.tag += evil;
            cup.zone += evil;
        }
    }
    for motion in &mut project.motions {
        std::sync::Arc::make_mut(motion).name += evil;
    }
    for part in &mut project.parts {
        std::sync::Arc::make_mut(part).name += evil;
    }
    let file = folder.path().join("e\u{1b}[31mvil.ron");
    document::save(&project, &file, None).unwrap();
    let (file, here) = (file.to_str().unwrap(), folder.path().to_str().unwrap());
    fs::write(folder.path().join("b\u{1b}[31mad.ron"), "(format: 4, name: \"\u{1b}[31m\"").unwrap();
    for arguments in [
        &["check", file][..],
        &["check", file, "--json"],
        &["check", here],
        &["compare", file],
        &["diff", "bracket-plate.ron", file],
        &["diff", "bracket-plate.ron", file, "--json"],
    ] {
        let ended = run(arguments);
        let said = out(&ended) + &err(&ended);
        let acts = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{202a}'..='\u{202e}');
        assert!(!said.contains(acts), "{arguments:?}: {said:?}");
        assert!(!said.lines().any(|line| line.starts_with("holds")), "{said}");
        if arguments.contains(&"--json") {
            assert!(said.contains("\\u009b"), "the object still says what the file says");
        }
    }
}

#[test]
fn numbers_that_are_none_are_refused() {
    for value in ["nan", "inf", "-1", "1e999", "5 kg"] {
        let ended = run(&["import", "tray-blank.dxf", "-o", "/nowhere/x.ron", "--gap", value]);
        assert_eq!(ended.status.code(), Some(2), "{value}");
        assert!(err(&ended).contains("--gap"), "{}", err(&ended));
        let ended = run(&["sheet", "tray-blank.ron", "-o", "/nowhere/x.png", "--dpi", value]);
        assert_eq!(ended.status.code(), Some(2), "{value}");
        assert!(err(&ended).contains("--dpi"), "{}", err(&ended));
    }
}
