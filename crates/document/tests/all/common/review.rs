//! What is said in review and what was issued, for tests: written out by hand, and arbitrary.

use super::{number, text, two};
use document::*;
use glam::DVec2;
use proptest::{collection::vec, option, prelude::*};
use std::sync::Arc;

fn answer(text: &str, by: &str, on: &str) -> Answer {
    Answer { text: text.into(), by: by.into(), on: on.into() }
}
fn issue(index: &str, on: &str, what: &str) -> Edit {
    let by = "M. Huber".to_owned();
    Edit::Issue {
        index: index.into(),
        on: on.into(),
        by,
        what: what.into(),
        program: "cupwright 0.1.0".into(),
    }
}

/// The project issued twice with changes between and after, with remarks, decisions and ticks.
pub fn reviewed(project: &Project) -> Project {
    let layout = project.layouts[0].id;
    let cups = &project.layouts[0].cups;
    let together = |project: &Project, edits: Vec<Edit>| {
        Edit::Together { name: String::new(), edits }.apply(project).expect("it is sound")
    };
    let mut part = (*project.parts[0]).clone();
    part.thickness_mm = 1.5;
    let first = together(
        project,
        vec![
            issue("A", "2026-03-01", "First issue"),
            Edit::ChangePart { part: Arc::new(part), what: String::new() },
            Edit::MoveCups { layout, to: vec![(cups[1].id, DVec2::new(240.0, 162.5))] },
        ],
    );
    let mut part = (*first.parts[0]).clone();
    let mut area = (*part.keep_outs[0].area).clone();
    area.vertices[1].at.x = 65.0;
    part.keep_outs[0].area = Arc::new(area);
    let id = first.next_id();
    let remark = |id: u32, pin, called: &str, text: &str| Remark {
        id: RemarkId(id),
        pin,
        called: called.into(),
        text: text.into(),
        by: "A. Weber".into(),
        on: "2026-03-10".into(),
        of: first.fingerprint(),
        answers: Vec::new(),
        resolved: None,
    };
    let finding = Pin::Finding {
        layout,
        rule: "seat.overlap".into(),
        subject: vec![cups[0].id, cups[1].id],
        motion: None,
    };
    let decision = Decision {
        outcome: Outcome::SendBack,
        text: "Turn C4 first".into(),
        by: "A. Weber".into(),
        on: "2026-03-10".into(),
        revision: "B".into(),
        of: first.fingerprint(),
    };
    let tick = |key: &str, remark| Tick {
        key: key.into(),
        asked: "Is a friction of 0.42 measured on oiled sheet?".into(),
        state: String::new(),
        by: "A. Weber".into(),
        on: "2026-03-10".into(),
        remark,
    };
    together(
        &first,
        vec![
            issue("B", "2026-03-08", "C2 moved, \"thicker\" sheet"),
            Edit::AddRemark(remark(
                id,
                Pin::Cup(layout, cups[3].id),
                "C4",
                "Why upright?\nIt shades the seam",
            )),
            Edit::AddRemark(remark(
                id + 1,
                Pin::Place(layout, DVec2::new(310.5, 20.0)),
                "310.5, 20",
                "A seam",
            )),
            Edit::AddRemark(remark(id + 2, Pin::Motion(project.motions[0].id), "Level lift", "2 m/s²?")),
            Edit::AddRemark(remark(id + 3, finding, "seat.overlap", "Not held in the trial")),
            Edit::AddRemark(remark(id + 4, Pin::Whole, "the project", "Good work")),
            Edit::AnswerRemark(RemarkId(id), answer("The hose needs it", "M. Huber", "2026-03-11")),
            Edit::AnswerRemark(RemarkId(id), answer("I see", "A. Weber", "2026-03-12")),
            Edit::ResolveRemark(RemarkId(id), Some(answer("", "A. Weber", "2026-03-12"))),
            Edit::Decide(decision.clone()),
            Edit::Decide(Decision { outcome: Outcome::Accept, on: "2026-03-15".into(), ..decision }),
            Edit::Tick(tick("assumed friction of part 1", Some(RemarkId(id + 3)))),
            Edit::Tick(tick("level of circuit 5", None)),
            Edit::ChangePart { part: Arc::new(part), what: String::new() },
        ],
    )
}

fn any_answer() -> BoxedStrategy<Answer> {
    (text(), text(), text()).prop_map(|(text, by, on)| Answer { text, by, on }).boxed()
}
fn pin() -> BoxedStrategy<Pin> {
    let layout = || (500u32..503).prop_map(LayoutId);
    let cup = || (600u32..606).prop_map(CupId);
    let motion = || (300u32..302).prop_map(MotionId);
    prop_oneof![
        Just(Pin::Whole),
        (layout(), cup()).prop_map(|(l, c)| Pin::Cup(l, c)),
        (layout(), two()).prop_map(|(l, at)| Pin::Place(l, at)),
        motion().prop_map(Pin::Motion),
        (layout(), text(), vec(cup(), 0..3), option::of(motion()))
            .prop_map(|(layout, rule, subject, motion)| Pin::Finding { layout, rule, subject, motion }),
    ]
    .boxed()
}
fn remark(id: u32) -> BoxedStrategy<Remark> {
    let said = (pin(), text(), text(), text(), text(), text());
    (said, vec(any_answer(), 0..3), option::of(any_answer()))
        .prop_map(move |((pin, called, text, by, on, of), answers, resolved)| Remark {
            id: RemarkId(id),
            pin,
            called,
            text,
            by,
            on,
            of,
            answers,
            resolved,
        })
        .boxed()
}
fn review() -> BoxedStrategy<Review> {
    let outcome = any::<bool>().prop_map(|yes| if yes { Outcome::Accept } else { Outcome::SendBack });
    let decision = (outcome, text(), text(), text(), text(), text())
        .prop_map(|(outcome, text, by, on, revision, of)| Decision { outcome, text, by, on, revision, of });
    let ticks = vec((text(), [text(), text()], text(), text(), any::<bool>()), 0..3);
    (option::of(remark(700)), option::of(remark(701)), vec(decision, 0..3), ticks)
        .prop_map(|(first, second, decisions, ticks)| {
            let remarks: Vec<Remark> = [first, second].into_iter().flatten().collect();
            let some = remarks.first().map(|r| r.id);
            let ticks = ticks.into_iter().enumerate().map(|(i, (key, [asked, state], by, on, with))| Tick {
                // Keys differ.
                key: format!("{i}{key}"),
                asked,
                state,
                by,
                on,
                remark: some.filter(|_| with),
            });
            Review { ticks: ticks.collect(), remarks, decisions }
        })
        .boxed()
}
/// Review and issued revisions of an arbitrary project.
pub fn reviewing() -> BoxedStrategy<Reviewing> {
    let between = (number(), text(), two(), 0u8..16);
    (review(), vec((text(), between), 0..4)).prop_map(|(review, issues)| Reviewing { review, issues }).boxed()
}
/// See [`reviewing`].
#[derive(Debug, Clone)]
pub struct Reviewing {
    review: Review,
    issues: Vec<(String, (f64, String, DVec2, u8))>,
}
impl Reviewing {
    /// The project with them: issued, changed here and there, and issued again.
    pub fn put_into(self, mut project: Project) -> Project {
        for (i, (what, (figure, name, at, which))) in self.issues.into_iter().enumerate() {
            project = issue(&format!("{i}{what}"), &name, &what).apply(&project).expect("it is sound");
            if which & 1 > 0 {
                Arc::make_mut(&mut project.parts[0]).thickness_mm = figure;
            }
            if which & 2 > 0
                && let Some(cup) = Arc::make_mut(&mut project.layouts[0]).cups.first_mut()
            {
                cup.at = at;
            }
            if which & 4 > 0 {
                let part = Arc::make_mut(&mut project.parts[0]);
                if let Some(vertex) = Arc::make_mut(&mut part.outline).outer.vertices.first_mut() {
                    vertex.at = at;
                }
                if let Some(keep_out) = part.keep_outs.first_mut() {
                    Arc::make_mut(&mut keep_out.area).vertices.clear();
                }
            }
            if which & 8 > 0 {
                Arc::make_mut(&mut project.circuits[0]).name = name;
            }
        }
        Project { review: Arc::new(self.review), ..project }
    }
}
