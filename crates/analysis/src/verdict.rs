//! One sentence with the figure that governs.

use crate::{
    findings::Facts,
    loads::Case,
    report::{Finding, Severity, Verdict},
    words,
};
use document::CupId;
use mechanics::LipLimit;

/// "C7 slides first" or "the lip of C7 opens first".
pub(crate) fn first_to_fail(tag: &str, case: &Case) -> String {
    match limit(case) {
        LipLimit::Slide => format!("{tag} slides first"),
        LipLimit::Seal => format!("the lip of {tag} opens first"),
    }
}

fn limit(case: &Case) -> LipLimit {
    case.result.cup_worst.get(case.result.governing).map_or(LipLimit::Seal, |(_, factor)| factor.limit)
}

/// The verdict on a layout from its findings and its governing motion.
pub(crate) fn verdict(facts: &Facts<'_>, findings: &[Finding]) -> Verdict {
    let open = |severity: Severity| {
        findings.iter().filter(move |finding| finding.accepted.is_none() && finding.severity == severity)
    };
    let first_fail = open(Severity::Fail).next();
    let first_broken = open(Severity::Fail).find(|finding| !finding.rule.starts_with("factor."));
    let governing = facts.governing();
    let motion = governing.map(|(motion, _)| motion.id);
    let cup = governing.and_then(|(_, case)| facts.cups.get(case.result.governing)).map(|cup| cup.id);

    if facts.layout.cups.is_empty() && first_fail.is_none() {
        return nothing_yet("No cups yet: pick a cup and click on the part", findings);
    }
    if facts.motions.is_empty() && first_fail.is_none() {
        return nothing_yet("No motions yet: add one to see whether it holds", findings);
    }
    let without_figure = facts.motions.iter().find_map(|motion| motion.outcome.as_ref().err());
    let severity = match (first_fail, without_figure) {
        (Some(_), _) | (None, Some(_)) => Severity::Fail,
        (None, None) if open(Severity::Watch).next().is_some() => Severity::Watch,
        (None, None) => Severity::Ok,
    };
    let (sentence, told, about): (String, Option<&Finding>, Option<CupId>) = match governing {
        // Inputs, or a group that cannot carry: there is no figure to tell.
        None => match (first_broken, without_figure) {
            (Some(finding), _) => {
                (format!("No figure yet: {}", words::inside(&clause(&finding.says))), Some(finding), None)
            }
            (None, Some(reason)) => (format!("No figure yet: {}", clause(reason)), None, None),
            (None, None) => ("No figure yet".to_owned(), None, None),
        },
        Some((motion, case)) => {
            let short = case.factor() < motion.required_factor;
            match (short, first_broken) {
                // A lip that does not seat, or another broken limit, is told first: the factor assumes it away.
                (false, Some(finding)) => {
                    (broken_sentence(finding), Some(finding), finding.subject.first().copied())
                }
                (false, None) if without_figure.is_some() => {
                    let reason = without_figure.map(|reason| clause(reason)).unwrap_or_default();
                    (format!("Some motions have no figure: {reason}"), None, None)
                }
                _ => (factor_sentence(facts), None, None),
            }
        }
    };
    let motion = if about.is_some() { None } else { motion };
    Verdict { severity, sentence, detail: detail(facts, findings, told), motion, cup: about.or(cup) }
}

/// A limit that is broken although every motion has its factor.
fn broken_sentence(finding: &Finding) -> String {
    let says = clause(&finding.says);
    match finding.rule.split('.').next() {
        Some("lost") => format!("Holds with every cup, but {}", words::inside(&says)),
        Some("robot") => format!("Too heavy for the robot: {}", words::inside(&says)),
        _ => format!("Does not hold as drawn: {says}"),
    }
}

fn nothing_yet(sentence: &str, findings: &[Finding]) -> Verdict {
    // Without a figure, no finding does not mean that all is well.
    let told = findings.iter().any(|finding| finding.severity >= Severity::Watch);
    Verdict {
        severity: Severity::NotChecked,
        sentence: sentence.to_owned(),
        detail: if told { counts(findings) } else { "Nothing to check yet.".to_owned() },
        motion: None,
        cup: None,
    }
}

/// "Holds 1.36 of the 2.00 required: C7 slides first at emergency stop".
fn factor_sentence(facts: &Facts<'_>) -> String {
    let Some((motion, case)) = facts.governing() else { return String::new() };
    let (factor, required, words) = (case.factor(), motion.required_factor, facts.words);
    let (tag, name) = (facts.tag(case.result.governing), words::inside(&motion.name));
    if !factor.is_finite() {
        return "Meets the required factor as modelled: no motion pulls, slides or tilts a lip".to_owned();
    }
    let (has, needs) = (words.factor(below(factor, required)), words.factor(required));
    if factor < 1.0 {
        return format!(
            "Drops at {name}: {}, holding {has} of the {needs} required",
            first_to_fail(tag, case)
        );
    }
    if factor < required {
        return format!("Holds {has} of the {needs} required: {} at {name}", first_to_fail(tag, case));
    }
    let doing = match limit(case) {
        LipLimit::Slide => format!("{tag} sliding"),
        LipLimit::Seal => format!("the lip of {tag} opening"),
    };
    format!("Meets the required factor as modelled: least is {has} of {needs}, {doing} at {name}")
}

/// A factor that falls short is never printed as the required factor: 1.9996 of 2 reads 1.99.
fn below(factor: f64, required: f64) -> f64 {
    if factor < required { factor.min(required - 0.005 - 1e-9) } else { factor }
}

/// What else is wrong, then how much there is to do.
fn detail(facts: &Facts<'_>, findings: &[Finding], told: Option<&Finding>) -> String {
    let next = findings.iter().find(|finding| {
        finding.accepted.is_none()
            && finding.severity >= Severity::Watch
            && !finding.rule.starts_with("factor.")
            && told.is_none_or(|told| !std::ptr::eq(told, *finding))
    });
    let lead = match (told, facts.governing()) {
        (Some(_), Some((motion, case))) if case.factor().is_finite() => Some(format!(
            "With every lip sealed the least factor is {} of the {} required, at {}.",
            facts.words.factor(case.factor()),
            facts.words.factor(motion.required_factor),
            words::inside(&motion.name),
        )),
        _ => next.map(|finding| finding.says.clone()),
    };
    match lead {
        Some(lead) => format!("{lead} {}", counts(findings)),
        None => counts(findings),
    }
}

/// "2 to mend, 2 to watch, 1 accepted."
fn counts(findings: &[Finding]) -> String {
    let open = |severity| findings.iter().filter(|f| f.accepted.is_none() && f.severity == severity).count();
    let accepted = findings.iter().filter(|f| f.accepted.is_some()).count();
    let parts: Vec<String> =
        [(open(Severity::Fail), "to mend"), (open(Severity::Watch), "to watch"), (accepted, "accepted")]
            .into_iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, what)| format!("{count} {what}"))
            .collect();
    if parts.is_empty() { "Nothing to mend.".to_owned() } else { format!("{}.", parts.join(", ")) }
}

/// A sentence without its full stop, as it stands after a colon.
fn clause(sentence: &str) -> String {
    sentence.trim().trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_factor_just_short_never_reads_as_met() {
        assert!(below(1.9996, 2.0) < 1.995);
        assert_eq!(below(1.36, 2.0), 1.36);
        assert_eq!(below(2.0, 2.0), 2.0);
    }
}
