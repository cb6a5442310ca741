//! The reviewer's checklist as a whole: of every demo, and of whatever is changed.

use crate::common;

use crate::questions::{find, holding, whole};
use analysis::{Analyst, Severity};
use common::*;
use document::{CupId, Project, Sourced};
use proptest::prelude::*;
use std::collections::HashSet;
use telling::{Question, QuestionGroup, questions};
use units::UnitChoice;

/// Demos as they come: each open finding and each assumption has its question, keys are unique, groups in order.
#[test]
fn the_demos_are_asked_about_everything() {
    for project in demos() {
        let report = whole(&project);
        let asked = questions(&project, &report, &UnitChoice::default());
        sound(&asked);
        // A tick holds whatever units it was set in.
        let inch = UnitChoice {
            length: units::LengthUnit::Inch,
            pressure: units::PressureUnit::InchMercury,
            force: units::ForceUnit::PoundForce,
            mass: units::MassUnit::Pound,
            flow: units::FlowUnit::StandardCubicFootPerMinute,
            decimal_comma: true,
            ..UnitChoice::default()
        };
        let elsewhere = Analyst::with_units(inch).check_whole(&project, report.layout);
        for (here, there) in asked.iter().zip(questions(&project, &elsewhere, &inch)) {
            assert_eq!((&here.key, &here.state), (&there.key, &there.state), "{}", project.name);
        }
        let open = |severity| severity >= Severity::NotChecked;
        for finding in report.findings.iter().filter(|f| f.accepted.is_none() && open(f.severity)) {
            let covered =
                asked.iter().any(|q| q.group == QuestionGroup::Findings && q.says.contains(&finding.says));
            assert!(covered, "{}: {}", project.name, finding.says);
        }
        let words: Vec<&Question> =
            asked.iter().filter(|question| question.group == QuestionGroup::Assumptions).collect();
        for assumption in &report.assumptions {
            let units = UnitChoice::default();
            let value =
                analysis::words::Words { choice: &units }.value(assumption.value, assumption.quantity);
            let covered = words.iter().any(|q| {
                q.says.contains(&value)
                    && (q.says.contains(&assumption.what) || q.says.starts_with("Assumed for "))
            });
            assert!(covered, "{}: {assumption:?} {value}", project.name);
        }
    }
}

fn sound(asked: &[Question]) {
    let mut keys = HashSet::new();
    let mut at = QuestionGroup::Findings;
    for question in asked {
        assert!(keys.insert(question.key.as_str()), "{} twice", question.key);
        assert!(question.group >= at, "{} is out of order", question.key);
        at = question.group;
        let text = format!("{} {}", question.says, question.why);
        assert!(!text.to_lowercase().contains("safe"), "{text}");
        assert!(!text.contains("NaN") && !text.contains("inf ") && !text.contains("\u{2013} "), "{text}");
        assert!(
            question.says.ends_with('.') && !question.why.is_empty() && !question.called.is_empty(),
            "{text}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Figures and other things come and go: what a question is about keeps its key, and asking twice is asking once.
    #[test]
    fn keys_stay_and_asking_is_pure(
        x in 10.0..590.0f64,
        kg in 0.5..60.0f64,
        friction in 0.05..1.0f64,
        gone in 1..4usize,
    ) {
        let mut project = holding();
        edit_part(&mut project, |part| {
            part.friction = Sourced::assumed(0.5);
            part.mass = document::MassBy::Stated { kg: Sourced::assumed(4.0) };
        });
        edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
        let check = |project: &Project| {
            let report = Analyst::new().check(project, layout(project));
            let asked = questions(project, &report, &UnitChoice::default());
            assert_eq!(questions(project, &report, &UnitChoice::default()), asked);
            sound(&asked);
            asked
        };
        let before = check(&project);
        // Other figures, a cup gone and one new with the highest number.
        edit_layout(&mut project, |layout| {
            let mut new = layout.cups[gone].clone();
            new.id = CupId(999);
            new.at.x = x;
            layout.cups.remove(gone);
            layout.cups.insert(0, new);
        });
        edit_part(&mut project, |part| {
            part.friction = Sourced::assumed(friction);
            part.mass = document::MassBy::Stated { kg: Sourced::assumed(kg) };
        });
        let after = check(&project);
        let about_others = |question: &&Question| {
            [
                QuestionGroup::Assumptions,
                QuestionGroup::Inputs,
                QuestionGroup::Circuit,
                QuestionGroup::Issue
            ].contains(&question.group)
                || question.key.ends_with("seat.overhang/cups 101")
        };
        for question in before.iter().filter(about_others) {
            prop_assert!(find(&after, &question.key).is_some(), "{} is gone", question.key);
        }
    }
}
