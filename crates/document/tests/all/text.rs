//! The text of a project: what it looks like, that nothing is lost, and what is said about bad text.
use crate::common;

use document::{DrawingOrigin, Edit, FileError, MassBy, Origin, Sourced, Tool, from_text, open, to_text};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::sync::Arc;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_project_comes_back_the_same(project in common::project()) {
        let text = to_text(&project);
        let back = from_text(&text, "p.ron").map_err(|e| TestCaseError::fail(format!("{e}\n{text}")))?;
        prop_assert_eq!(&back, &project);
        prop_assert_eq!(to_text(&back), text);
    }

    /// Bytes that are no project end in an error with a sentence, whatever they are.
    #[test]
    fn damaged_text_is_refused_in_a_sentence(at in 0usize..6000, cut in 1usize..40, put in "[(){}\\[\\]:,\"0-9a-z\n]{0,6}") {
        let text = to_text(&common::tray());
        let at = at % text.len();
        let end = (at + cut).min(text.len());
        let (Some(start), Some(end)) = (text.get(..at), text.get(end..)) else { return Ok(()) };
        match from_text(&format!("{start}{put}{end}"), "tray.ron") {
            // Damage within a comment, a text or a number may leave a project.
            Ok(project) => prop_assert_eq!(from_text(&to_text(&project), "x"), Ok(project)),
            Err(error) => prop_assert!(error.to_string().ends_with("tray.ron"), "{}", error),
        }
    }
}

fn says(text: &str) -> String {
    from_text(text, "tray.ron").map(|p| to_text(&p)).expect_err("it should be refused").to_string()
}
fn tray_with(from: &str, to: &str) -> String {
    let text = to_text(&common::tray());
    assert!(text.contains(from), "{from} is not in\n{text}");
    text.replacen(from, to, 1)
}

#[test]
fn a_cup_and_a_motion_are_a_line_each_and_moving_a_cup_changes_one_line() {
    let project = common::tray();
    let before = to_text(&project);
    let cup = project.layouts[0].cups[1].clone();
    let to = vec![(cup.id, DVec2::new(0.1 + 0.2, 161.0))];
    let after = to_text(&Edit::MoveCups { layout: project.layouts[0].id, to }.apply(&project).unwrap());
    let changed: Vec<_> = before.lines().zip(after.lines()).filter(|(a, b)| a != b).collect();
    assert_eq!(before.lines().count(), after.lines().count());
    assert_eq!(changed.len(), 1);
    assert!(changed[0].1.trim_start().starts_with("(id: 12, tag: \"C2\""));
    assert!(changed[0].1.contains("at: (0.3, 161.0)"), "{}", changed[0].1);
    for name in ["Coupling", "Rail 1", "Plate"] {
        let line = before.lines().find(|l| l.contains(&format!("name: \"{name}\""))).unwrap();
        assert!(line.trim_start().starts_with("(id: ") && line.ends_with("),"), "{line}");
    }
    for motion in &project.motions {
        let start = format!("(id: {}, name: \"{}\"", motion.id, motion.name);
        assert!(before.lines().any(|l| l.trim_start().starts_with(&start) && l.ends_with("),")));
    }
}

#[test]
fn long_outlines_are_wrapped_and_values_read_well() {
    let text = to_text(&common::tray());
    assert!(text.starts_with("// Cupwright project"));
    assert!(text.contains("\n    format: 4,\n"));
    assert!(text.contains("friction: (0.42, Measured, \"2026-01-31\"),"));
    assert!(text.contains("mass: Density(7850.0, Assumed, \"\"),"));
    assert!(text.contains("(580.0, 0.0, 0.41421356237309503), (600.0, 20.0),"));
    let widest = text.lines().map(|l| l.matches("), (").count() + 1).max();
    assert!(widest <= Some(8), "{widest:?}");
}

#[test]
fn no_machine_path_reaches_the_file() {
    let mut project = common::tray();
    let mut part = (*project.parts[0]).clone();
    let file_name = "C:\\Users\\someone\\drawings/tray.dxf".to_owned();
    part.drawing = Some(DrawingOrigin { file_name, sha256: String::new(), unit: "mm".into() });
    project.parts[0] = Arc::new(part);
    let text = to_text(&project);
    assert!(text.contains("file_name: \"tray.dxf\"") && !text.contains("someone"));
}

#[test]
fn what_may_be_left_out_by_hand_is_filled_in() {
    let text = r#"(format: 4, name: "By hand", last_id: 0, site: (altitude_m: 0, temperature_c: 20),
        rules: (gap_watch_mm: 2, factor_watch: 1.15, centroid_offset_share: 0.1, most_over_mean: 1.5, slide_share: 0.9),
        parts: [(id: 7, name: "Pane", thickness_mm: 4, mass: Stated(12, Measured), surface: (texture: Smooth, wetness: Dry),
            friction: (0.5, Assumed), placement: (position_mm: 1, turn_deg: 0, drawing_mm: 0),
            outline: (outer: [(0, 0), (10, 0), (10, 5)]))],
        layouts: [(id: 3, name: "A", part: 7, cups: [])])"#;
    let project = from_text(text, "hand.ron").unwrap();
    assert_eq!(project.last_id, 7, "the counter of ids is raised to the highest in use");
    let kg = Sourced { value: 12.0, origin: Origin::Measured, on: String::new() };
    assert_eq!(project.parts[0].mass, MassBy::Stated { kg });
    assert_eq!(project.parts[0].outline.outer.vertices[1].at, DVec2::new(10.0, 0.0));
    // A text editor's mark at the start and its line ends do no harm.
    let windows = format!("\u{feff}{}", to_text(&common::tray()).replace('\n', "\r\n"));
    assert_eq!(from_text(&windows, "tray.ron"), Ok(common::tray()));
}

/// A layout without a tool has the flange over its part, as a new one has; what a tool does not list it has not.
#[test]
fn a_tool_may_be_left_out_or_be_short() {
    let text = to_text(&common::tray());
    let start = text.find("            tool: (").unwrap();
    let end = start + text[start..].find("\n            ),\n").unwrap() + "\n            ),\n".len();
    let without = from_text(&format!("{}{}", &text[..start], &text[end..]), "tray.ron").unwrap();
    assert_eq!(*without.layouts[0].tool, Tool::preset(&without.parts[0]));
    let gravity = without.parts[0].gravity_on_plan().unwrap();
    assert!((without.layouts[0].tool.flange - gravity.extend(150.0)).length() < 1e-9);
    let short = format!("{}tool: (flange: (1, 2, 3)),{}", &text[..start], &text[end..]);
    let flange = DVec3::new(1.0, 2.0, 3.0);
    assert_eq!(*from_text(&short, "tray.ron").unwrap().layouts[0].tool, Tool { flange, ..Tool::default() });
    assert!(
        says(&short.replace("flange: (1, 2, 3)", ""))
            .contains("layouts[0].tool: the field flange is missing")
    );
}

#[test]
fn a_newer_format_is_refused_by_both_numbers_and_left_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("future.ron");
    let text = "(format: 5, name: \"Tray\", tooling: {\"a\": [Suction(1.0)]}, new_things: Some(3))";
    std::fs::write(&path, text).unwrap();
    let error = open(&path).unwrap_err();
    assert!(matches!(error, FileError::Newer { found: 5, known: 4, .. }), "{error:?}");
    assert_eq!(
        error.to_string(),
        format!(
            "the file has format 5 and this program knows formats up to 4; open it with a newer version of the program, \
             the file was left untouched: {}",
            path.display()
        )
    );
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
}

#[test]
fn a_file_without_a_format_is_no_project() {
    assert!(matches!(from_text("(name: \"Tray\", format: 5)", "x"), Err(FileError::Newer { found: 5, .. })));
    assert!(matches!(
        from_text("// later\n(format: 12, @new{grammar})", "x"),
        Err(FileError::Newer { found: 12, .. })
    ));
    for text in ["(name: \"Tray\")", "(format: \"one\")", "(format: 0)", "(format: 1.5)"] {
        let error = from_text(text, "tray.ron").unwrap_err();
        assert!(matches!(error, FileError::NoFormat { .. }), "{text}: {error}");
    }
    assert!(says("").starts_with("the file is empty"));
    assert!(says("// nothing but a remark\n").ends_with(": tray.ron"));
    assert!(says("%PDF-1.7").starts_with("line 1, column 1"));
}

#[test]
fn syntax_errors_name_line_column_and_field() {
    let wrong = tray_with("at: (233.5, 160.0)", "at: (233.5, \"160\")");
    let error = from_text(&wrong, "tray.ron").unwrap_err();
    let FileError::Syntax { line, column, field, says: why, .. } = &error else { panic!("{error:?}") };
    let expected_line = 1 + wrong.lines().position(|l| l.contains("\"160\"")).unwrap();
    assert_eq!((*line, field.as_str()), (expected_line, "layouts[0].cups[1].at[1]"));
    assert!(*column > 1);
    assert_eq!(why, "expected a number");
    assert!(error.to_string().contains("; correct it in a text editor: tray.ron"));

    assert!(
        says(&tray_with("        (id: 12, ", "        ("))
            .contains("layouts[0].cups[1]: the field id is missing")
    );
    assert!(
        says(&tray_with("kind: OnEdge", "kind: Upright"))
            .contains("unknown choice Upright; known here: LevelLift")
    );
    assert!(
        says(&tray_with("thickness_mm", "thikness_mm"))
            .contains("unknown field thikness_mm; known here: id, name")
    );
    assert!(
        says(&tray_with("thickness_mm: 1.0,", "thickness_mm: 1.0, thickness_mm: 2.0,"))
            .contains("occurs twice")
    );
    let text = to_text(&common::tray());
    for end in (text.find("format").unwrap()..text.trim_end().len()).step_by(97) {
        let Some(cut) = text.get(..end) else { continue };
        let said = says(cut);
        let at_a_word = cut.ends_with(|c: char| c.is_ascii_alphanumeric() || c == '.' || c == '_');
        assert!(
            at_a_word || said.contains("the text ends too early"),
            "{said} after {}",
            &cut[cut.len() - 30..]
        );
    }
    assert!(says(&(text + "(")).contains("more text after the end"));
    let deep = "[".repeat(1_000_000);
    assert!(says(&format!("(name: {deep}, format: 3")).contains("nested too deep"));
    assert!(says(&format!("(format: {deep}")).contains("nested too deep"));
    assert!(says(&format!("(format: 4, other: {deep}")).contains("unknown field other"));
}

#[test]
fn contradictions_name_the_thing() {
    let cases = [
        (tray_with("(id: 12,", "(id: 11,"), "cup 11 of layout Layout A occurs twice"),
        (tray_with("(id: 7, name", "(id: 6, name"), "motion 6 occurs twice"),
        (
            tray_with("model: \"long-", "model: \"short-"),
            "cup C4 of layout Layout A is of model short-30x10-flat-medium, which is not in the file",
        ),
        (tray_with("circuit: 5", "circuit: 50"), "cup C1 of layout Layout A is on circuit 50"),
        (tray_with("part: 1,", "part: 9,"), "layout Layout A is for part 9, which is not in the file"),
        (
            tray_with("(id: 17, name: \"Coupling\"", "(id: 16, name: \"Coupling\""),
            "mass 16 of the tool of layout Layout A",
        ),
        (
            tray_with("(id: 19, name: \"Plate\"", "(id: 18, name: \"Plate\""),
            "frame piece 18 of the tool of layout",
        ),
        (
            tray_with("last_id: 20", "last_id: 4000000000"),
            "an id or last_id is 4000000000; give things numbers up to",
        ),
        (tray_with("subject: [11", "subject: [99"), "the acceptance of seat.overlap names cup 99"),
        (
            tray_with("thickness_mm: 1.0", "thickness_mm: NaN"),
            "thickness_mm of part Tray blank is not a finite number",
        ),
        (
            tray_with("(20.0, 0.0)", "(inf, 0.0)"),
            "a vertex of outline of part Tray blank is not a finite number",
        ),
        (tray_with("at: (100.0", "at: (-inf"), "at of cup C1 of layout Layout A is not a finite number"),
        (
            tray_with("source: \"own-ejector\"", "source: \"lost\""),
            "the supply of circuit Circuit 1 has source lost, which is not in the file",
        ),
        (
            tray_with(
                "(cup: 14, line:",
                "(cup: 14, line: (bore_mm: 6, length: Typed(mm: 1))), (cup: 14, line:",
            ),
            "cup 14 in the branches of the supply of circuit Circuit 1 occurs twice",
        ),
        (
            tray_with("(zone: \"A\"", "(zone: \"A\", restriction: (c_dm3_s_bar: 1, b: 0)), (zone: \"A\""),
            "zone A in the valves of the supply of circuit Circuit 1 occurs twice",
        ),
        (
            tray_with("(40.0, 48.0)", "(NaN, 48.0)"),
            "curve.level_kpa of source own-ejector is not a finite number",
        ),
        (tray_with("(0.1, 31.5)", "(0.1, inf)"), "points.level of the trial is not a finite number"),
        (tray_with("hold_s: 90.0", "hold_s: inf"), "thresholds.hold_s of circuit Circuit 1 is not a finite"),
        (tray_with("hold_s: (2.0,", "hold_s: (inf,"), "hold_s of the cycle is not a finite number"),
        (
            tray_with("Level(layout: 4, cup: 14)", "Level(layout: 4, cup: 44)"),
            "an entry of the trial names cup 44 of layout 4, which is not in the file",
        ),
        (
            tray_with("LeakDown(circuit: 5", "LeakDown(circuit: 6"),
            "an entry of the trial names circuit 6, which is not",
        ),
        (tray_with("(circuit: 5, cup", "(circuit: 7, cup"), "a curve of the trial names circuit 7, which"),
        (tray_with("Friction(part: 1", "Friction(part: 3"), "an entry of the trial names part 3, which"),
        (
            tray_with("tilt_deg: 0.0", "tilt_deg: 1e999"),
            "tilt_deg of motion Level lift is not a finite number",
        ),
    ];
    let sound = to_text(&common::tray());
    for (text, sentence) in cases {
        let said = says(&text);
        let (line, rest) =
            said.strip_prefix("line ").and_then(|rest| rest.split_once(": ")).unwrap_or(("", &said));
        assert!(rest.starts_with(sentence) && said.ends_with("tray.ron"), "{said}");
        // The line is that of the thing: at what was changed, or a little above it in the same thing.
        let changed = 1 + text.lines().zip(sound.lines()).position(|(a, b)| a != b).unwrap();
        match line.parse::<usize>() {
            Ok(line) => {
                let far =
                    if sentence.ends_with("finite number") || sentence.contains("finite") { 60 } else { 3 };
                assert!(line <= changed && changed - line <= far, "{said}, changed in {changed}");
            }
            Err(_) => assert!(sentence.starts_with("an id or last_id"), "{said}"),
        }
    }
    let start = to_text(&common::tray());
    let without = start[..start.find("    layouts: [").unwrap()].to_owned() + "layouts: [])";
    assert!(says(&without).starts_with("the project has no layout"), "{}", says(&without));
}

/// Every number of the file in turn: none is forgotten by the check.
#[test]
fn no_number_may_be_infinite() {
    let text = to_text(&common::tray());
    let is_part = |c: char| c.is_ascii_digit() || ".e-".contains(c);
    let mut tried = 0;
    let head = text.find("\n(\n").unwrap();
    for (dot, _) in text.match_indices('.').filter(|(dot, _)| *dot > head) {
        let start = text[..dot].rfind(|c| !is_part(c)).unwrap() + 1;
        let end = dot + text[dot..].find(|c| !is_part(c)).unwrap();
        if text[start..end].parse::<f64>().is_err() || text[..start].ends_with(['"', '/']) {
            continue;
        }
        let error = from_text(&format!("{}inf{}", &text[..start], &text[end..]), "tray.ron");
        assert!(matches!(error, Err(FileError::Contents { .. })), "{error:?} for {}", &text[start - 30..end]);
        tried += 1;
    }
    assert!(tried > 190, "{tried}");
}
