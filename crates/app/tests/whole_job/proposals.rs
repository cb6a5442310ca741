//! Layouts proposed on the command line: figures, exit status, files.

use crate::program::{err, out, run};
use serde_json::Value;
use std::fs;

fn validated(text: &str) -> Value {
    let schema = include_str!("../../../telling/schema/proposals.schema.json");
    let validator = jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap();
    let object: Value = serde_json::from_str(text).unwrap();
    let problems: Vec<String> = validator.iter_errors(&object).map(|e| e.to_string()).collect();
    assert!(problems.is_empty(), "{problems:?}");
    object
}

const FEW: [&str; 6] = ["propose", "tray-blank.ron", "--count", "4", "--pattern", "rows"];

#[test]
fn proposals_are_written_as_further_layouts_that_check_as_they_say() {
    let folder = tempfile::tempdir().unwrap();
    let written = folder.path().join("with.ron");
    let written = written.to_str().unwrap();
    let done = run(&[&FEW[..], &["--json", "-o", written]].concat());
    assert_eq!(err(&done), "", "{}", out(&done));
    let object = validated(&out(&done));
    let proposals = object["proposals"].as_array().unwrap();
    let first = &proposals[0];
    assert_eq!((first["kind"].as_str(), first["cups"].as_array().unwrap().len()), (Some("rows"), 4));
    assert_eq!(done.status.code(), Some(i32::from(first["meets"] != true)));
    let least = first["least"].as_f64().unwrap();
    let most = object["certainty"]["at_most"].as_f64().unwrap();
    assert!(least <= most * (1.0 + 1e-9), "{least} {most}");
    // Read again, the layout has that factor.
    let (project, _) = document::open(std::path::Path::new(written)).unwrap();
    let before = document::open(&crate::drawing("tray-blank.ron")).unwrap().0;
    assert_eq!(project.layouts[..before.layouts.len()], before.layouts[..]);
    let added = &project.layouts[before.layouts.len()];
    assert_eq!(added.proposed, object["question"]["says"].as_str().unwrap());
    let report = analysis::Analyst::new().check(&project, added.id);
    assert!((report.governing().unwrap().1 - least).abs() <= 1e-9 * least);
    // The same seed gives the same bytes.
    assert_eq!(out(&run(&[&FEW[..], &["--json"]].concat())), out(&done));
}

#[test]
fn in_words_the_question_the_table_and_what_is_proved() {
    let done = run(&FEW);
    let text = out(&done);
    assert!(
        text.starts_with("4 cups of any model that suits, in rows and columns, every motion held."),
        "{text}"
    );
    for part in ["lowest factor", "rows and columns", "as it is", "No layout of 4 cups at these"] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

#[test]
fn what_is_read_is_not_written_and_what_fails_says_which_wish() {
    let before = fs::read(crate::drawing("tray-blank.ron")).unwrap();
    for (more, says) in [
        (&["-o", "tray-blank.ron"][..], "tray-blank.ron"),
        (&["--models", "none-such"], "there is no cup model \"none-such\""),
        (&["--pattern", "frame", "--spacing", "-3"], "spacing is -3"),
        (&["--count", "190", "--spacing", "300"], "there is room for"),
        (&["--layout", "Z"], "there is no layout 'Z'"),
        (&["--json", "-o", "-"], "cannot both go to standard output"),
    ] {
        let done = run(&[&["propose", "tray-blank.ron"][..], more].concat());
        assert_eq!(done.status.code(), Some(2), "{more:?}: {}", out(&done));
        assert!(err(&done).contains(says), "{more:?}: {}", err(&done));
    }
    assert_eq!(fs::read(crate::drawing("tray-blank.ron")).unwrap(), before);
    let help = out(&run(&["propose", "--help"]));
    for argument in ["--models", "--count", "--pattern", "--one-lost", "--seed", "--json", "--output"] {
        assert!(help.contains(argument), "{argument}");
    }
}
