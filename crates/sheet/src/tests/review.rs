//! What the sheet says of revisions and of a review.

use super::demos::demos;
use super::fixtures::{Fixture, tray};
use super::pages::{check_border, check_texts};
use crate::{Orientation, Page, Paper, SheetOptions, compose};
use document::{
    Answer, CupId, Decision, Edit, LayoutId, Outcome, Pin, Project, Remark, RemarkId, Review, Tick,
};
use std::sync::Arc;

fn words(pages: &[Page]) -> String {
    let words: Vec<&str> = pages.iter().flat_map(Page::texts).map(|text| text.text.as_str()).collect();
    words.join(" ")
}

fn issued(project: &Project, index: &str) -> Project {
    let [index, on, by, what, program] =
        [index, "2026-03-03", "AD", "for the build", "cupwright 1"].map(str::to_owned);
    Edit::Issue { index, on, by, what, program }.apply(project).unwrap()
}

fn answer(text: &str, by: &str) -> Answer {
    Answer { text: text.to_owned(), by: by.to_owned(), on: "2026-03-04".to_owned() }
}

fn remark(id: u32, pin: Pin, called: &str, text: &str, of: &str) -> Remark {
    Remark {
        id: RemarkId(id),
        pin,
        called: called.to_owned(),
        text: text.to_owned(),
        by: "B. Checker".to_owned(),
        on: "2026-03-03".to_owned(),
        of: of.to_owned(),
        answers: Vec::new(),
        resolved: None,
    }
}

/// The tray with everything that can be said in a review.
fn reviewed() -> Fixture {
    let mut made = tray();
    let mark = made.project.fingerprint();
    let layout = LayoutId(500);
    let mut answered =
        remark(1, Pin::Cup(layout, CupId(4)), "C4", "The lip comes close to the print.", "0123-4567");
    answered.answers =
        vec![answer("It may be moved by 5 mm.", "A. Drafter"), answer("Then do.", "B. Checker")];
    let mut settled = remark(2, Pin::Whole, "", "Which bench is it for?", &mark);
    settled.resolved = Some(answer("", "A. Drafter"));
    let long = "The slide test of the spring was done on dry sheet, and this one comes oiled. ".repeat(40);
    let finding =
        Pin::Finding { layout, rule: "seat.overhang".to_owned(), subject: vec![CupId(4)], motion: None };
    let remarks = vec![
        answered,
        settled,
        remark(3, finding, "the overhang of C4 that hangs over the edge of the part", &long, &mark),
        remark(4, Pin::Place(layout, glam::dvec2(120.0, 30.0)), "", "A clamp stands here.", &mark),
        remark(5, Pin::Cup(LayoutId(501), CupId(9)), "C9", "Not of this layout.", &mark),
    ];
    let decision = |outcome, text: &str, revision: &str, of: &str| Decision {
        outcome,
        text: text.to_owned(),
        by: "B. Checker".to_owned(),
        on: "2026-03-05".to_owned(),
        revision: revision.to_owned(),
        of: of.to_owned(),
    };
    let decisions = vec![
        decision(Outcome::SendBack, "Move C4 off the print.", "A", "0123-4567"),
        decision(Outcome::Accept, "", "", &mark),
    ];
    made.project.review = Arc::new(Review { remarks, decisions, ticks: Vec::new() });
    made
}

/// A sheet on every paper, in both directions, is in order.
fn check_everywhere(project: &Project, report: &analysis::Report, options: &SheetOptions, what: &str) {
    for paper in Paper::ALL {
        for orientation in Orientation::ALL {
            let pages = compose(project, report, &SheetOptions { paper, orientation, ..options.clone() });
            let what = format!("{what} {} {}", paper.label(), orientation.label());
            check_texts(&pages, &what);
            check_border(&pages, &what);
        }
    }
}

#[test]
fn open_remarks_and_decisions_are_printed_and_settled_ones_counted() {
    let made = reviewed();
    let mark = made.project.fingerprint();
    let says = words(&compose(&made.project, &made.report, &SheetOptions::default()));
    for said in [
        "C4",
        "The lip comes close to the print.",
        "B. Checker, 2026-03-03; on content 0123-4567, which is not this one",
        "Answer of A. Drafter, 2026-03-04: It may be moved by 5 mm.",
        "Answer of B. Checker, 2026-03-04: Then do.",
        "at 120.0, 30.0",
        "B. Checker, 2026-03-03; on this content",
        "1 open remark on other layouts. 1 remark was settled.",
        "sent back",
        "B. Checker, 2026-03-05; on content 0123-4567, revision A, which is not this one",
        "No comment.",
        "B. Checker, 2026-03-05; on this content",
    ] {
        assert!(says.contains(said), "{said:?} in {says}");
    }
    assert!(!says.contains("Which bench") && !says.contains("Not of this layout"));
    assert!(says.contains(&mark));
    check_everywhere(&made.project, &made.report, &SheetOptions::default(), "reviewed");
}

#[test]
fn a_project_that_nobody_reviewed_has_no_such_section() {
    let made = tray();
    let says = words(&compose(&made.project, &made.report, &SheetOptions::default()));
    assert!(!says.contains("Review: open remarks"));
}

#[test]
fn every_page_says_how_it_stands_to_what_was_issued() {
    let made = tray();
    let sheet = |project: &Project| compose(project, &made.report, &SheetOptions::default());
    let on_each = |pages: &[Page], says: &str| {
        pages.iter().all(|page| words(std::slice::from_ref(page)).contains(says))
    };
    let never = sheet(&made.project);
    let mark = made.project.fingerprint();
    assert!(on_each(&never, &mark) && on_each(&never, "revision B, from the title block"));
    assert!(!on_each(&never, "never issued") && !words(&never).contains("never issued"));
    let issued = issued(&made.project, "C");
    let pages = sheet(&issued);
    assert!(on_each(&pages, &issued.fingerprint()) && on_each(&pages, "revision C as issued"));
    assert!(words(&pages[..1]).contains("2026-03-03") && !words(&pages).contains("changed since"));
    let changed = Edit::RenameProject("Tray blank, left".to_owned()).apply(&issued).unwrap();
    let pages = sheet(&changed);
    for page in &pages {
        let says = words(std::slice::from_ref(page));
        let stamp =
            page.texts().into_iter().any(|text| text.text == "changed since revision C" && text.size > 4.0);
        assert!(stamp, "{}: no stamp in {says}", page.name);
        assert!(says.contains(&changed.fingerprint()), "{}", page.name);
    }
    // The next revision, and no date of issue that belongs to the one before.
    let title_block = words(&pages[..1]);
    assert!(
        title_block.contains("revision D") && title_block.contains("date of issue not issued"),
        "{title_block}"
    );
}

/// The tray with its cup over the edge, accepted by the review on the content as it stands.
fn approved(project: &Project) -> (Project, std::sync::Arc<analysis::Report>) {
    let decision = Decision {
        outcome: Outcome::Accept,
        text: "May be built.".to_owned(),
        by: "B. Checker".to_owned(),
        on: "2026-03-05".to_owned(),
        revision: String::new(),
        of: project.fingerprint(),
    };
    let project = Edit::Decide(decision).apply(project).unwrap();
    let report = analysis::Analyst::new().check(&project, project.layouts[0].id);
    (project, report)
}

#[test]
fn an_approval_of_what_fails_is_marked_in_red_on_every_page() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/tray-blank.ron");
    let (mut project, _) = document::open(&path).unwrap();
    project.sheet.approved_by.clear();
    let (sound, report) = approved(&project);
    assert_eq!(telling::open_failures(&report).count(), 0);
    let says = words(&compose(&sound, &report, &SheetOptions::default()));
    assert!(says.contains("accepted") && !says.contains("open failures"));

    let layout = project.layouts[0].clone();
    let to = vec![(layout.cups[0].id, glam::dvec2(2.0, 2.0))];
    let broken = Edit::MoveCups { layout: layout.id, to }.apply(&project).unwrap();
    let (broken, report) = approved(&broken);
    let open = telling::open_failures(&report).count();
    assert!(open > 0);
    let pages = compose(&broken, &report, &SheetOptions::default());
    for page in &pages {
        let texts = page.texts();
        let mark = texts.iter().find(|t| t.text == "approved with open failures" && t.size > 4.0);
        assert_eq!(mark.map(|t| t.tone), Some(crate::page::Tone::Fail), "{}", page.name);
    }
    let says = words(&pages);
    assert!(says.contains("approved by B. Checker, 2026-03-05"), "{says}");
    assert_eq!(says.matches("Fails, not accepted:").count(), open);
    check_everywhere(&broken, &report, &SheetOptions::default(), "approved with open failures");

    // Issued as it was approved, then mended: the list still says with what it was approved, the pages no longer do.
    let issued = issued(&broken, "C");
    let (issued, _) = approved(&issued);
    let to = vec![(layout.cups[0].id, layout.cups[0].at)];
    let mended = Edit::MoveCups { layout: layout.id, to }.apply(&issued).unwrap();
    let report = analysis::Analyst::new().check(&mended, layout.id);
    let pages = compose(&mended, &report, &SheetOptions::default());
    let marks = pages.iter().flat_map(Page::texts).filter(|t| t.text == "approved with open failures");
    assert_eq!(marks.count(), 1, "beside the decision on revision C");
}

#[test]
fn a_decision_on_what_was_not_all_checked_has_the_mark_of_the_pages() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/tray-blank.ron");
    let (mut project, _) = document::open(&path).unwrap();
    project.sheet.approved_by.clear();
    let layout = project.layouts[0].clone();
    let cups = layout.cups.iter().map(|cup| cup.id).collect();
    let empty = Edit::RemoveCups { layout: layout.id, cups }.apply(&project).unwrap();
    let (approved_as_is, report) = approved(&empty);
    assert_eq!(report.verdict.severity, analysis::Severity::NotChecked);
    let beside = |pages: &[Page]| {
        let texts = pages.iter().flat_map(Page::texts);
        texts
            .filter(|t| t.text == telling::NOT_ALL_CHECKED && t.size < 4.0)
            .map(|t| t.tone)
            .collect::<Vec<_>>()
    };
    let pages = compose(&approved_as_is, &report, &SheetOptions::default());
    assert_eq!(beside(&pages), [crate::page::Tone::Fail], "{}", words(&pages));

    // Of a revision that the file keeps too, when the content has cups again.
    let (issued, _) = approved(&issued(&empty, "C"));
    let mended = Edit::AddCups { layout: layout.id, cups: layout.cups.to_vec() }.apply(&issued).unwrap();
    let report = analysis::Analyst::new().check(&mended, layout.id);
    assert_ne!(report.verdict.severity, analysis::Severity::NotChecked);
    let pages = compose(&mended, &report, &SheetOptions::default());
    assert_eq!(beside(&pages), [crate::page::Tone::Fail], "{}", words(&pages));
}

#[test]
fn both_stamps_stand_side_by_side() {
    let made = tray();
    let mut changed = issued(&made.project, "with a very long index of its own, as some workshops have");
    changed.sheet.approved_by.clear();
    changed.sheet.number.clear();
    let pages = compose(&changed, &made.report, &SheetOptions::default());
    assert!(pages.iter().all(|page| {
        let texts = page.texts();
        texts.iter().any(|text| text.text == "not for issue" && text.size > 4.0)
            && texts.iter().any(|text| text.text.starts_with("changed since revision") && text.size > 4.0)
    }));
    check_everywhere(&changed, &made.report, &SheetOptions::default(), "both stamps");
}

#[test]
fn the_questions_are_printed_when_asked_for_with_what_was_looked_into() {
    let plain = SheetOptions::default();
    let asked = SheetOptions { checklist: true, ..plain.clone() };
    let demo = &demos()[0];
    let (mut project, report) = (demo.project.clone(), &demo.reports[0]);
    let questions = telling::questions(&project, report, &asked.units);
    assert!(questions.len() > 3);
    let tick = |of: &telling::Question, state: &str| Tick {
        key: of.key.clone(),
        asked: of.says.clone(),
        state: state.to_owned(),
        by: "BC".to_owned(),
        on: "2026-03-05".to_owned(),
        remark: None,
    };
    let ticks = vec![tick(&questions[0], &questions[0].state), tick(&questions[1], "as it was")];
    project.review = Arc::new(Review { ticks, ..Review::default() });
    let pages = compose(&project, report, &asked);
    let says = words(&pages);
    for question in &questions {
        let start: Vec<&str> = question.says.split(' ').take(3).collect();
        assert!(says.contains(&start.join(" ")), "{}", question.says);
    }
    assert!(says.contains("Looked into by BC, 2026-03-05."));
    assert!(says.contains("Looked into by BC, 2026-03-05, when it read otherwise: look again."));
    assert!(pages.iter().any(|page| page.name.contains("checklist")));
    let without = compose(&project, report, &plain);
    assert!(!without.iter().any(|page| page.name.contains("checklist")) && without.len() <= pages.len());
}

#[test]
fn the_questions_of_every_demo_are_in_order() {
    for (index, demo) in demos().iter().enumerate() {
        let (project, report) = (&demo.project, &demo.reports[0]);
        let papers = [Paper::ALL[index % Paper::ALL.len()], Paper::A4];
        for paper in papers {
            for orientation in Orientation::ALL {
                let options = SheetOptions { paper, orientation, checklist: true, ..SheetOptions::default() };
                let pages = compose(project, report, &options);
                let what = format!("{} {} {}", demo.stem, paper.label(), orientation.label());
                check_texts(&pages, &what);
                check_border(&pages, &what);
            }
        }
    }
}

/// Writes pages for a person to look at, in the folder that `CUPWRIGHT_SHEETS` names.
#[test]
fn reviewed_pages_can_be_looked_at() {
    let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS").map(std::path::PathBuf::from) else { return };
    let made = reviewed();
    let mut changed = issued(&made.project, "C");
    changed.sheet.approved_by.clear();
    for paper in [Paper::A3, Paper::A4] {
        let options = SheetOptions { paper, checklist: true, ..SheetOptions::default() };
        for (index, page) in compose(&changed, &made.report, &options).iter().enumerate() {
            let name = format!("reviewed-{}-{}.png", paper.label(), index + 1);
            std::fs::write(folder.join(name), crate::to_png(page, 110.0).unwrap()).unwrap();
        }
    }
}
