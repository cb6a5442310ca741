//! An approval says what it was given in spite of.

use analysis::{Analyst, Report, Severity};

use document::{Accepted, Decision, Edit, Outcome, Project};
use std::{path::PathBuf, sync::Arc};
use telling::{approval, open_failures};

/// A demo with its first cup pushed over the edge, approved by nobody.
fn failing() -> Project {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/tray-blank.ron");
    let (mut project, _) = document::open(&path).unwrap();
    project.sheet.approved_by.clear();
    let layout = project.layouts[0].clone();
    let to = vec![(layout.cups[0].id, glam::DVec2::new(2.0, 2.0))];
    Edit::MoveCups { layout: layout.id, to }.apply(&project).unwrap()
}

fn decided(project: &Project, outcome: Outcome) -> Project {
    let decision = Decision {
        outcome,
        text: String::new(),
        by: "B. Checker".to_owned(),
        on: "2026-03-05".to_owned(),
        revision: String::new(),
        of: project.fingerprint(),
    };
    Edit::Decide(decision).apply(project).unwrap()
}

fn found(project: &Project) -> Option<telling::Approval> {
    approval(project, &Analyst::new().check(project, project.layouts[0].id))
}

/// What `check --json` says of it.
fn as_json(project: &Project, report: &Arc<Report>) -> serde_json::Value {
    let text = telling::to_json("job.ron", project, std::slice::from_ref(report));
    let object: serde_json::Value = serde_json::from_str(&text).unwrap();
    object["layouts"][0]["approval"].clone()
}

#[test]
fn an_approval_of_what_fails_is_marked_until_each_failure_is_accepted() {
    let project = failing();
    assert_eq!(found(&project), None, "nobody approved it");
    assert_eq!(found(&decided(&project, Outcome::SendBack)), None);
    let approved = decided(&project, Outcome::Accept);
    let report = Analyst::new().check(&approved, approved.layouts[0].id);
    let fails = report.findings.iter().filter(|f| f.severity == Severity::Fail).count();
    assert!(fails > 0);
    let marked = found(&approved).unwrap();
    assert_eq!((marked.by.as_str(), marked.open.len()), ("B. Checker", fails));
    assert_eq!(marked.mark(), Some("approved with open failures"));
    assert!(marked.why().starts_with("approved by B. Checker, 2026-03-05; "), "{}", marked.why());
    let json = as_json(&approved, &report);
    assert_eq!(json["mark"], "approved with open failures");
    assert_eq!((&json["by"], &json["on"]), (&"B. Checker".into(), &"2026-03-05".into()));
    assert_eq!(json["open"].as_array().unwrap().len(), fails);

    // Accepting them is a change of the content: the approval of before is of another one, a new one has no mark.
    let layout = approved.layouts[0].id;
    let mut accepted = approved.clone();
    for finding in open_failures(&report) {
        let entry = Accepted {
            rule: finding.rule.to_owned(),
            subject: finding.subject.clone(),
            motion: finding.motion,
            layout,
            reason: "a trial piece".to_owned(),
            by: "B. Checker".to_owned(),
            on: "2026-03-05".to_owned(),
            seat: None,
        };
        accepted = Edit::Accept(entry).apply(&accepted).unwrap();
    }
    assert_eq!(found(&accepted), None);
    let again = found(&decided(&accepted, Outcome::Accept)).unwrap();
    assert_eq!((again.mark(), again.open.len()), (None, 0));

    // What was approved and then got worse is not what was approved.
    let cup = approved.layouts[0].cups[1].id;
    let worse =
        Edit::MoveCups { layout, to: vec![(cup, glam::DVec2::new(1.0, 1.0))] }.apply(&approved).unwrap();
    assert_eq!(found(&worse), None);
}

#[test]
fn an_approval_of_what_was_not_checked_is_marked() {
    let project = failing();
    let layout = project.layouts[0].clone();
    let cups = layout.cups.iter().map(|cup| cup.id).collect();
    let empty = Edit::RemoveCups { layout: layout.id, cups }.apply(&project).unwrap();
    let approved = decided(&empty, Outcome::Accept);
    let report = Analyst::new().check(&approved, layout.id);
    assert_eq!(report.verdict.severity, Severity::NotChecked, "{:?}", report.verdict);
    let marked = found(&approved).unwrap();
    assert_eq!(marked.mark(), Some("approved, not all checked"));
    assert_eq!(marked.why(), "approved by B. Checker, 2026-03-05: No cups yet: nothing holds the part");
    let json = as_json(&approved, &report);
    assert_eq!(json["mark"], "approved, not all checked");
    assert_eq!(json["unchecked"], "No cups yet: nothing holds the part");
    // On every page as on the screen.
    let stamps = telling::Identity::of(&approved, &[&report]).stamps();
    assert!(stamps.iter().any(|stamp| stamp.words == "approved, not all checked"));
}

#[test]
fn the_title_block_approves_too() {
    let mut project = failing();
    project.sheet.approved_by = "A. Chief".to_owned();
    let marked = found(&project).unwrap();
    assert_eq!((marked.by.as_str(), marked.mark()), ("A. Chief", Some("approved with open failures")));
    // The review has the last word.
    assert_eq!(found(&decided(&project, Outcome::SendBack)), None);
}
