//! `input.*`: an input that cannot be worked with.
//!
//! Why: a figure made from a mass of nothing or a friction of nothing would mislead; the motions it touches have none.
//! Limit: fails whenever the document names a problem with something this layout uses. Remedy: what to enter.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use document::Subject;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "input.*",
    title: "Input cannot be used",
    explains: "Mass, friction, level, sizes and required factors must be positive numbers and outlines must \
        close; whatever depends on one that is not has no result.",
    fail: "an input used by this layout is missing, not a number, or out of its range",
    watch: "",
    remedy: "what to enter",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for problem in facts.problems {
        let draft = Draft::new(rule(&problem.subject), Severity::Fail, words::sentence(&problem.says))
            .remedy(words::sentence(&problem.remedy))
            .off(10.0);
        out.push(match problem.subject {
            Subject::Cup(_, cup) => draft.cups([cup]),
            Subject::Motion(motion) => draft.motion(motion),
            _ => draft,
        });
    }
    let Some(part) = facts.part else { return };
    // An empty outline is among the document's own problems.
    if !part.outline.outer.vertices.is_empty() {
        out.extend(facts.drawing_problems.iter().map(|problem| {
            let says = words::sentence(&format!("part {}: {problem}", part.name));
            Draft::new("input.part", Severity::Fail, says)
                .remedy("Correct the outline in the sketch or in the drawing.".to_owned())
                .off(10.0)
        }));
    }
    // What the mass stage finds and the document does not, so that no figure is missing without a finding.
    let part_named = facts.problems.iter().any(|problem| matches!(problem.subject, Subject::Part(_)));
    if let (Some(says), false) = (facts.mass_problem, part_named) {
        out.push(Draft::new("input.part", Severity::Fail, words::sentence(says)).off(10.0));
    }
}

fn rule(subject: &Subject) -> &'static str {
    match subject {
        Subject::Project => "input.project",
        Subject::Part(_) => "input.part",
        Subject::Layout(_) => "input.layout",
        Subject::Cup(..) => "input.cup",
        Subject::Motion(_) => "input.motion",
        Subject::Circuit(_) => "input.circuit",
        Subject::Model(_) => "input.model",
        Subject::Source(_) => "input.source",
        Subject::Site => "input.site",
    }
}
