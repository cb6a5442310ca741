//! The built program as a script sees it: exit codes, JSON, files, and plain sentences when something is wrong.

use crate::program::{err, out, run};
use std::path::{Path, PathBuf};

fn demos() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects"))
}

#[test]
fn check_tells_by_its_exit_code() {
    let holds = run(&["check", "tray-blank.ron"]);
    assert_eq!(holds.status.code(), Some(0), "{}", out(&holds));
    let fails = run(&["check", "bracket-plate.ron"]);
    assert_eq!(fails.status.code(), Some(1));
    assert!(out(&fails).contains("fail"));
    let missing = run(&["check", "nothing.ron", "tray-blank.ron"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(err(&missing).contains("nothing.ron"));
    assert!(out(&missing).contains("tray-blank.ron"), "the readable one is checked all the same");
}

/// A motion that the weight helps is told with what was multiplied, one that hangs on the vacuum alone is not.
#[test]
fn the_text_says_how_a_factor_is_counted() {
    let (mut project, _) = document::open(&demos().join("door-sheet.ron")).unwrap();
    let over = std::sync::Arc::make_mut(&mut project.motions[0]);
    (over.name, over.tilt_deg) = ("Upside down".to_owned(), 180.0);
    over.acceleration = glam::DVec3::new(0.0, 4.3, 0.0);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("over.ron");
    document::save(&project, &file, None).unwrap();
    let text = out(&run(&["check", &file.to_string_lossy()]));
    let line = |motion: &str| {
        let start = format!("{motion}: factor ");
        text.lines().find(|l| l.trim_start().starts_with(&start)).unwrap_or_default().to_owned()
    };
    let counted = ", with the motion multiplied, the weight counted at 90 % where it helps";
    assert!(line("Upside down").contains(counted), "{text}");
    let carry = line("Carry, worst direction");
    assert!(!carry.is_empty() && !carry.contains("multiplied"), "{text}");
}

#[test]
fn json_follows_its_schema_and_can_be_worked_through_again() {
    let output = run(&["check", "tray-blank.ron", "bracket-plate.ron", "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let again = run(&["check", "tray-blank.ron", "bracket-plate.ron", "--json"]);
    assert_eq!(output.stdout, again.stdout, "two runs are byte-identical");
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../telling/schema/check.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let text = out(&output);
    assert_eq!(text.lines().count(), 2, "one object a line");
    for line in text.lines() {
        let object: serde_json::Value = serde_json::from_str(line).unwrap();
        let problems: Vec<String> = validator.iter_errors(&object).map(|e| e.to_string()).collect();
        assert!(problems.is_empty(), "{problems:?}");
        for motion in object["layouts"][0]["motions"].as_array().unwrap() {
            redo(motion, &object["layouts"][0]);
        }
    }
}

/// The arithmetic of one motion from the object alone: force from mass and accelerations, equilibrium of the cups, and
/// the smallest factor.
fn redo(motion: &serde_json::Value, layout: &serde_json::Value) {
    let vector = |v: &serde_json::Value| -> Vec<f64> {
        v.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
    };
    let mass = layout["parts"][0]["mass_kg"].as_f64().unwrap();
    let (gravity, acceleration, force) =
        (vector(&motion["gravity_m_s2"]), vector(&motion["acceleration_m_s2"]), vector(&motion["force_n"]));
    let turning = vector(&motion["turn_rate_rad_s"])
        .iter()
        .chain(&vector(&motion["turn_acceleration_rad_s2"]))
        .any(|v| *v != 0.0);
    if !turning {
        for axis in 0..3 {
            assert!((force[axis] - mass * (gravity[axis] - acceleration[axis])).abs() < 1e-6 * mass * 20.0);
        }
    }
    let cups = motion["cups"].as_array().unwrap();
    let pull: f64 = cups.iter().map(|c| c["pull_n"].as_f64().unwrap()).sum();
    assert!(
        (pull + force[2]).abs() < 1e-6 * mass * 20.0,
        "pulls add up to the force away from the tool: {pull} {}",
        force[2]
    );
    let least = cups.iter().filter_map(|c| c["factor"].as_f64()).fold(f64::INFINITY, f64::min);
    if let Some(factor) = motion["factor"].as_f64() {
        assert!((least - factor).abs() < 1e-9 * factor.max(1.0));
    }
}

#[test]
fn import_sheet_and_export_write_what_they_say() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let project = path("new.ron");
    let import = run(&["import", "bracket-plate.dxf", "-o", &project, "--json"]);
    assert_eq!(import.status.code(), Some(0), "{}", err(&import));
    let object: serde_json::Value = serde_json::from_str(&out(&import)).unwrap();
    assert_eq!(object["unit"], "in");
    assert_eq!(object["parts"][0]["holes"], 3);
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../exchange/schema/import.schema.json")).unwrap();
    assert!(jsonschema::validator_for(&schema).unwrap().is_valid(&object));
    for (name, start) in [("sheet.pdf", &b"%PDF"[..]), ("sheet.svg", b"<"), ("sheet.png", b"\x89PNG")] {
        let sheet = run(&["sheet", "tray-blank.ron", "-o", &path(name)]);
        assert_eq!(sheet.status.code(), Some(0), "{name}: {}", err(&sheet));
        assert!(std::fs::read(path(name)).unwrap().starts_with(start), "{name}");
    }
    let table = run(&["export", "tray-blank.ron", "--csv", &path("holes.csv")]);
    assert_eq!(table.status.code(), Some(0));
    let holes = std::fs::read_to_string(path("holes.csv")).unwrap();
    assert_eq!(holes.lines().filter(|line| !line.starts_with("\"# ")).count(), 9);
}

/// What is decided for a person is printed with the argument that takes the other, and taking it does.
#[test]
fn a_drawing_with_a_frame_is_read_as_asked() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("new.ron").to_str().unwrap().to_owned();
    let drawn =
        |name: &str| format!("{}/../exchange/tests/drawings/awkward/{name}", env!("CARGO_MANIFEST_DIR"));
    let import = |name: &str, more: &[&str]| {
        let drawing = drawn(name);
        run(&[&["import", &drawing, "-o", &project, "--force"], more].concat())
    };
    let half = import("n01b-title-block-drawn-1to2.dxf", &[]);
    assert_eq!(half.status.code(), Some(0), "{}", err(&half));
    let said = out(&half);
    assert!(said.starts_with("Part: 400.0 × 250.0 mm, 6 holes"), "{said}");
    assert!(
        said.contains("ask: a dimension prints 400 where 200 mm is drawn") && said.contains("--scale 1"),
        "{said}"
    );
    assert!(said.lines().count() <= 13, "{said}");
    assert!(
        out(&import("n01b-title-block-drawn-1to2.dxf", &["--scale", "1:1"])).contains("200.0 × 125.0 mm")
    );
    let inside = said.lines().find_map(|l| l.split_once("--inside ")).unwrap().1.trim().to_owned();
    assert!(
        out(&import("n01b-title-block-drawn-1to2.dxf", &["--inside", &inside])).contains("840.0 × 594.0 mm")
    );
    let views = "n03-several-views.dxf";
    assert!(out(&import(views, &["--box", "480,100,520,420"])).starts_with("Part: 3.0 × 250.0 mm"));
    // Left open as asked, the outline is named and no hole takes its place.
    let open = import("n07b-gap-0.5.dxf", &["--gap", "0.05"]);
    assert_eq!(open.status.code(), Some(2));
    let says = err(&open);
    assert!(says.contains("400 × 250 mm does not close") && says.contains("within 0.5 mm"), "{says}");
    assert_eq!(says.trim_end().lines().count(), 1, "{says}");
    assert!(out(&import("n07b-gap-0.5.dxf", &["--gap", "auto"])).contains("400.0 × 250.0 mm, 6 holes"));
}

#[test]
fn compare_says_which_is_better_and_why_and_its_json_follows_its_schema() {
    let pair = ["--layouts", "Two round", "One long, equal lip area"];
    let text = run(&[&["compare", "narrow-rail.ron"], &pair[..]].concat());
    assert_eq!(text.status.code(), Some(0), "{}", err(&text));
    let said = out(&text);
    for part in [
        "Two round holds",
        "two round lips brace each other",
        "Common practice, no source",
        "Lowest limit factor",
        "Spacings are between the cups of Two round",
    ] {
        assert!(said.contains(part), "{part} is not in {said}");
    }
    let json = run(&[&["compare", "narrow-rail.ron", "--json"], &pair[..]].concat());
    let object: serde_json::Value = serde_json::from_str(&out(&json)).unwrap();
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../telling/schema/compare.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let problems: Vec<String> = validator.iter_errors(&object).map(|e| e.to_string()).collect();
    assert!(problems.is_empty(), "{problems:?}");
    // A leaking surface takes force from the long cup: the level falls towards its ends.
    let check = run(&["check", "narrow-rail.ron", "--json"]);
    let object: serde_json::Value = serde_json::from_str(&out(&check)).unwrap();
    let layouts = object["layouts"].as_array().unwrap();
    let of = |name: &str| layouts.iter().find(|l| l["name"] == name).unwrap();
    let long = &of("One long, leaking")["cups"][0];
    let (end, mean) = (&long["channel"]["end_share"], &long["channel"]["mean_share"]);
    assert!(end.as_f64().unwrap() < mean.as_f64().unwrap() && mean.as_f64().unwrap() < 1.0, "{long}");
    let missing = run(&["compare", "narrow-rail.ron", "--layouts", "Two round", "Three round"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(err(&missing).contains("no layout 'Three round'") && err(&missing).contains("'Two round'"));
}

#[test]
fn the_limit_factor_is_never_below_the_factor_and_a_lost_cup_never_raises_it() {
    for demo in ["tray-blank.ron", "glass-pane.ron", "long-profile.ron", "narrow-rail.ron"] {
        let object: serde_json::Value = serde_json::from_str(&out(&run(&["check", demo, "--json"]))).unwrap();
        for motion in
            object["layouts"].as_array().unwrap().iter().flat_map(|l| l["motions"].as_array().unwrap())
        {
            let (Some(factor), Some(limit)) = (motion["factor"].as_f64(), motion["limit_factor"].as_f64())
            else {
                continue;
            };
            assert!(limit >= factor * (1.0 - 1e-5), "{demo}, {}: {limit} below {factor}", motion["name"]);
            for lost in motion["one_cup_lost"].as_array().unwrap() {
                if let Some(left) = lost["limit_factor"].as_f64() {
                    assert!(left <= limit * (1.0 + 1e-5), "{demo}, {lost}: {left} above {limit}");
                }
            }
        }
    }
}

#[test]
fn a_layout_is_drawn_as_dxf_that_reads_back_to_the_same_outline() {
    let folder = tempfile::tempdir().unwrap();
    let project =
        document::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/door-sheet.ron"))
            .unwrap()
            .0;
    for version in ["r12", "2000"] {
        let drawing = folder.path().join(format!("door-{version}.dxf"));
        let to = drawing.to_str().unwrap();
        let export = run(&["export", "door-sheet.ron", "--dxf", to, "--dxf-version", version]);
        assert_eq!(export.status.code(), Some(0), "{}", err(&export));
        let back = exchange::read_drawing(&drawing, &exchange::ImportOptions::default()).unwrap();
        let (ours, theirs) = (
            geometry::section(&project.parts[0].outline).unwrap(),
            geometry::section(&back.parts[0].outline).unwrap(),
        );
        assert!((ours.area / theirs.area - 1.0).abs() < 1e-9, "{} {}", ours.area, theirs.area);
        assert_eq!(back.parts[0].outline.holes.len(), project.parts[0].outline.holes.len());
    }
}

#[test]
fn what_cannot_be_done_is_one_clear_sentence_and_exit_two() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path().to_str().unwrap();
    for (arguments, says) in [
        (vec!["sheet", "tray-blank.ron", "-o", here], "ending"),
        (vec!["sheet", "tray-blank.ron", "-o", "/nowhere/at/all/x.pdf"], "/nowhere/at/all/x.pdf"),
        (vec!["import", "tray-blank.ron", "-o", "/tmp/never.ron"], "tray-blank.ron"),
        (vec!["import", "missing.dxf", "-o", "/tmp/never.ron"], "missing.dxf"),
        (
            vec!["import", "../assets/pictures/window-light.png", "-o", "/tmp/never.ron"],
            "lay it under the plan and trace it",
        ),
        (vec!["export", "missing.ron", "--csv", "/tmp/never.csv"], "missing.ron"),
    ] {
        let output = run(&arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let text = err(&output);
        assert!(text.starts_with("cupwright: ") && text.contains(says), "{arguments:?}: {text}");
        assert_eq!(text.trim_end().lines().count(), 1, "{text}");
        assert!(!text.contains("panicked"));
    }
}

#[test]
fn without_a_display_the_window_says_so_and_leaves() {
    let output = run(&["tray-blank.ron"]);
    assert_eq!(output.status.code(), Some(2));
    let says = err(&output);
    assert!(
        says.contains("no window: there is no display here") && says.contains("cupwright check"),
        "{says}"
    );
    assert_eq!(says.lines().count(), 1, "{says}");
    for words in ["registry", ".rs", ".cargo", "winit"] {
        assert!(!says.contains(words), "{says}");
    }
    let review = run(&["review", "tray-blank.ron", "missing.ron"]);
    assert_eq!(review.status.code(), Some(2));
    assert!(err(&review).contains("missing.ron"), "{}", err(&review));
}

#[test]
fn a_project_from_the_future_is_refused_and_left_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("future.ron");
    let text = app::DEMOS[0].1.replacen("format: 4", "format: 99", 1);
    std::fs::write(&file, &text).unwrap();
    let output = run(&["check", file.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("99"), "{}", err(&output));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), text);
}

#[test]
fn help_names_every_command() {
    let output = run(&["--help"]);
    assert_eq!(output.status.code(), Some(0));
    for command in ["check", "compare", "sheet", "import", "export"] {
        assert!(out(&output).contains(command));
    }
    let rules = run(&["check", "--rules"]);
    for rule in analysis::catalogue() {
        assert!(out(&rules).contains(rule.id), "{}", rule.id);
    }
}

/// What is taken where nobody gave a figure is printed with range and reason, and is what a new project has.
#[test]
fn defaults_are_listed_with_range_and_reason() {
    let output = run(&["check", "--defaults"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let text = out(&output);
    let line = |start: &str| {
        text.lines()
            .find(|l| l.trim_start().starts_with(start))
            .unwrap_or_else(|| panic!("no {start}: {text}"))
    };
    let project =
        document::Project::new("", document::Part::rectangle(document::PartId(1), "", 600.0, 400.0));
    let friction = project.parts[0].friction.value;
    assert!(line("part.friction: ").contains(&format!(": {friction} (")), "{}", line("part.friction: "));
    assert!(line("circuit.supply.feed_kpa: ").contains(" kPa ("));
    assert!(line("design level: ").contains("85 % of the steady level"));
    assert!(text.lines().skip(1).all(|l| l.contains("; ")), "{text}");
}
