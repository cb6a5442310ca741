//! Issued revisions in the file: compact, shared again after reading, and never changed without saying so.
use crate::common;

use document::*;
use geometry::{Loop, Outline};
use glam::DVec2;
use std::sync::Arc;

fn issue(project: &Project, index: &str) -> Project {
    let [on, by, what, program] = ["2026-03-01", "M. Huber", "First", "cupwright 0.1.0"].map(str::to_owned);
    Edit::Issue { index: index.to_owned(), on, by, what, program }.apply(project).unwrap()
}
fn moved(project: &Project, x: f64) -> Project {
    let layout = &project.layouts[0];
    Edit::MoveCups { layout: layout.id, to: vec![(layout.cups[1].id, DVec2::new(x, 160.0))] }
        .apply(project)
        .unwrap()
}
fn says(text: &str) -> String {
    from_text(text, "tray.ron").map(|p| to_text(&p)).expect_err("it should be refused").to_string()
}

#[test]
fn an_outline_is_written_once_however_often_it_was_issued() {
    let mut project = common::tray();
    let circle = (0..5000).map(|i| {
        let turn = f64::from(i) * std::f64::consts::TAU / 5000.0;
        DVec2::new(300.0 + 290.0 * turn.cos(), 200.0 + 190.0 * turn.sin())
    });
    let outline = Outline { outer: Loop::polygon(circle), holes: Vec::new() };
    Arc::make_mut(&mut project.parts[0]).outline = Arc::new(outline);
    let plain = to_text(&project).len();
    let once = issue(&project, "A");
    let twice = issue(&moved(&once, 241.0), "B");
    let thrice = issue(&moved(&twice, 242.0), "C");
    let sizes = [&once, &twice, &thrice].map(|p| to_text(p).len());
    // A revision that only moves a cup costs its layout, title block, settings and trial, and no outline, model or motion.
    assert!(plain > 150_000 && sizes[0] < plain + 15_000, "{plain} {sizes:?}");
    assert!(sizes[1] - sizes[0] < 6_000 && sizes[2] - sizes[1] < 6_000, "{plain} {sizes:?}");

    let read = from_text(&to_text(&thrice), "tray.ron").unwrap();
    assert_eq!(read, thrice);
    for issued in &read.issued {
        assert!(Arc::ptr_eq(&issued.content.parts[0].outline, &read.parts[0].outline));
    }
    let [a, b, c] = [0, 1, 2].map(|i| &read.issued[i].content);
    assert!(Arc::ptr_eq(&a.models[0], &c.models[0]) && Arc::ptr_eq(&b.motions[2], &a.motions[2]));
    assert!(Arc::ptr_eq(&a.circuits[0], &c.circuits[0]) && Arc::ptr_eq(&a.parts[0], &c.parts[0]));
}

#[test]
fn an_outline_that_was_changed_stays_with_the_oldest_revision_that_has_it() {
    let first = issue(&common::tray(), "A");
    let second = issue(&moved(&first, 241.0), "B");
    let mut part = (*second.parts[0]).clone();
    let mut outline = (*part.outline).clone();
    outline.outer.vertices[0].at.x = 25.5;
    part.outline = Arc::new(outline);
    let changed = Edit::ChangePart { part: Arc::new(part), what: String::new() }.apply(&second).unwrap();
    let third = issue(&changed, "C");
    let text = to_text(&third);
    assert_eq!(text.matches("(25.5, 0.0)").count(), 1, "now and in C");
    assert_eq!(text.matches("(20.0, 0.0)").count(), 1, "in A and B");
    assert_eq!(text.matches("outline: Some(Now)").count(), 1);
    assert_eq!(text.matches("As(\"A\", 1)").count(), 1, "the part of B");
    assert_eq!(from_text(&text, "tray.ron"), Ok(third));
}

/// What a person mends by hand is the project as it stands now; what went out stays what it was.
#[test]
fn a_figure_changed_by_hand_changes_no_revision() {
    let project = issue(&common::tray(), "A");
    let text = to_text(&project);
    let mended = text.replacen("thickness_mm: 1.0", "thickness_mm: 1.25", 1).replacen(
        "bore_mm: 2.0",
        "bore_mm: 2.5",
        1,
    );
    let read = from_text(&mended, "tray.ron").unwrap();
    assert_eq!((read.parts[0].thickness_mm, read.models[0].bore_mm), (1.25, 2.5));
    assert_eq!(read.issued, project.issued);
    assert_eq!(read.standing(), Standing::Changed { since: "A".into(), next: "B".into() });
}

/// It opens all the same: nothing is lost. That it is not what was issued is said.
#[test]
fn a_revision_changed_by_hand_opens_and_says_so() {
    let project = issue(&common::tray(), "A");
    let text = to_text(&project);
    let frozen = text.find("issued: [").unwrap();
    let (now, then) = text.split_at(frozen);
    let thicker = format!("{now}{}", then.replacen("thickness_mm: 1.0", "thickness_mm: 1.25", 1));
    let mark = &project.issued[0].fingerprint;
    let other = text.replacen(&format!("fingerprint: \"{mark}\""), "fingerprint: \"0000-0000\"", 1);
    // So is an outline that it shares with what the project holds now.
    let drawn = text.replacen("(600.0, 20.0)", "(600.0, 21.0)", 1);
    for (text, issued_with) in [(&thicker, mark.as_str()), (&drawn, mark), (&other, "0000-0000")] {
        let read = from_text(text, "tray.ron").unwrap();
        assert_eq!(read.standing(), Standing::Altered { since: "A".into(), next: "B".into() });
        let says = read.issued[0].altered().unwrap();
        let found = read.issued[0].content.fingerprint();
        assert_eq!(
            says,
            format!("revision A in the file has the mark {found} and was issued with {issued_with}")
        );
        // Saving it does not make it what was issued.
        assert_eq!(from_text(&to_text(&read), "tray.ron").unwrap().standing(), read.standing());
    }
    assert_eq!(project.issued[0].altered(), None);
}

/// A later version of the program may mark by another form: that is no reason to call the content altered.
#[test]
fn a_mark_of_an_unknown_form_is_refused_with_its_line() {
    let text = to_text(&issue(&common::tray(), "A")).replacen("form: 1,", "form: 2,", 1);
    let said = says(&text);
    assert!(said.contains("revision A is marked by form 2") && said.contains("newer version"), "{said}");
}

#[test]
fn what_a_revision_takes_over_must_be_there() {
    let text = to_text(&issue(&moved(&issue(&common::tray(), "A"), 241.0), "B"));
    // The line is named: of a file of hundreds of lines that is what there is to go by.
    let takes = |from: &str, to: &str| {
        let spoiled = text.replacen(from, to, 1);
        let line = 1 + spoiled[..spoiled.find(to).unwrap()].matches('\n').count();
        (says(&spoiled), format!("line {line}: revision "))
    };
    let (said, line) = takes("As(\"A\", 6)", "As(\"Z\", 6)");
    assert!(
        said.starts_with(&format!("{line}B takes motion 6 from revision Z, which is not in the file")),
        "{said}"
    );
    let (said, line) = takes("As(\"A\", 6)", "As(\"B\", 6)");
    let before = "B takes motion 6 from revision B, which is not in the file before it";
    assert!(said.starts_with(&format!("{line}{before}")), "{said}");
    let (said, line) = takes("As(\"A\", 6)", "As(\"A\", 77)");
    assert!(
        said.starts_with(&format!("{line}B takes motion 77 from revision A, which does not have it")),
        "{said}"
    );
    let (said, line) = takes("outline: Some(Now)", "outline: Some(As(\"Q\"))");
    assert!(said.starts_with(&format!("{line}A takes the outline of part 1 from revision Q")), "{said}");
    let (said, line) = takes("areas: [(2, Now)]", "areas: [(3, Now)]");
    assert!(said.starts_with(&format!("{line}A has no keep-out 3 and an area for it")), "{said}");
    let twice = text.replacen("index: \"B\",\n            on:", "index: \"A\",\n            on:", 1);
    assert!(says(&twice).contains(": revision A occurs twice"), "{}", says(&twice));
}

#[test]
fn review_must_lead_somewhere() {
    let text = to_text(&common::review::reviewed(&common::tray()));
    let remark = |id: &str| text.find(&format!("(id: {id}, pin: Motion")).is_some();
    assert!(remark("23"), "{}", &text[text.find("review:").unwrap()..][..900]);
    assert!(
        says(&text.replacen("(id: 23, pin: Motion", "(id: 22, pin: Motion", 1))
            .contains(": remark 22 occurs twice")
    );
    assert!(
        says(&text.replacen("remark: Some(24)", "remark: Some(99)", 1)).contains(": a tick names remark 99")
    );
    let nowhere = text.replacen("at: (310.5, 20.0)", "at: (310.5, inf)", 1);
    assert!(says(&nowhere).contains(": the place of remark 22 is not a finite number"), "{}", says(&nowhere));
    // What a remark is pinned to may be gone.
    assert!(
        from_text(&text.replacen("pin: Motion(motion: 6)", "pin: Motion(motion: 66)", 1), "tray.ron").is_ok()
    );
}

#[test]
fn a_remark_is_one_line_with_its_answers() {
    let text = to_text(&common::review::reviewed(&common::tray()));
    let line = text.lines().find(|l| l.contains("Why upright?")).unwrap();
    assert!(line.trim_start().starts_with("(id: 21, pin: Cup(layout: 4, cup: 14)"), "{line}");
    assert!(line.contains("The hose needs it") && line.contains("I see") && line.ends_with("),"), "{line}");
}

#[test]
fn the_fingerprint_is_of_the_content_only() {
    let project = common::tray();
    let reviewed = Project { review: common::review::reviewed(&project).review.clone(), ..project.clone() };
    assert_eq!(project.fingerprint(), reviewed.fingerprint());
    let issued = issue(&project, "A");
    assert_ne!(project.fingerprint(), issued.fingerprint(), "the title block says so");
    assert_eq!(issued.fingerprint(), issued.issued[0].fingerprint);
    assert_eq!(issued.issued[0].content.fingerprint(), issued.issued[0].fingerprint);
    assert_eq!(issued.standing(), Standing::AsIssued { index: "A".into() });
    let read = from_text(&to_text(&issued), "tray.ron").unwrap();
    assert_eq!((read.fingerprint(), read.standing()), (issued.fingerprint(), issued.standing()));
}
