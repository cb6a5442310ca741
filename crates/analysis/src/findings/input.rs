//! `input.*`: an input that cannot be worked with.
//!
//! Why: a figure made from a mass of nothing or a friction of nothing would mislead; the motions it touches have none.
//! Limit: fails whenever the document names a problem with something this layout uses. Remedy: what to enter.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use document::{Problem, Subject};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "input.*",
    title: "Input that cannot be worked with",
    explains: "Mass, friction, level, sizes and required factors must be positive figures, outlines must close; what \
               depends on one that is not has no figure.",
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
    let part_named =
        facts.problems.iter().any(|problem: &Problem| matches!(problem.subject, Subject::Part(_)));
    if part_named {
        return;
    }
    // The stages found what the document did not: say it here, so that no figure is missing without a finding.
    let own = facts.drawing_problems.iter().map(String::as_str).chain(facts.mass_problem);
    out.extend(own.map(|says| Draft::new("input.part", Severity::Fail, words::sentence(says)).off(10.0)));
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
        Subject::Site => "input.site",
    }
}
