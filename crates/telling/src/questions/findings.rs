//! Open findings, and findings that were taken on.

use super::{Asking, QuestionGroup, finding_key};
use analysis::{Finding, Severity, rule, words};
use document::{Accepted, Pin};

pub(super) fn ask(asking: &mut Asking<'_>) {
    let report = asking.report;
    for finding in &report.findings {
        let why = match finding.severity {
            _ if finding.accepted.is_some() => continue,
            Severity::Fail => "It exceeds its limit and nobody has accepted it.",
            Severity::Watch => "It is a warning: is it known and intended?",
            Severity::NotChecked => "It has not been checked: how will it be?",
            Severity::Advice | Severity::Ok => continue,
        };
        let why =
            if finding.remedy.is_empty() { why.to_owned() } else { format!("{why} {}", finding.remedy) };
        let key =
            format!("finding/{}", finding_key(report.layout, finding.rule, &finding.subject, finding.motion));
        let about = about(asking, finding);
        asking.ask_in(QuestionGroup::Findings, key, about, (finding.says.clone(), state(finding)), why);
    }
    for accepted in asking.project.accepted.iter().filter(|entry| entry.layout == report.layout) {
        taken_on(asking, accepted);
    }
}

/// How bad it is by which figures, whatever units its sentence is in. To single precision, so that another machine finds the same.
fn state(finding: &Finding) -> String {
    let told = |figure: Option<f64>| figure.map_or_else(String::new, |figure| format!("{:?}", figure as f32));
    format!("{:?}, {} of {}", finding.severity, told(finding.figure), told(finding.limit))
}

fn about(asking: &Asking<'_>, finding: &Finding) -> (Pin, String) {
    let pin = Pin::Finding {
        layout: asking.report.layout,
        rule: finding.rule.to_owned(),
        subject: finding.subject.clone(),
        motion: finding.motion,
    };
    let called = match (&finding.subject[..], finding.motion) {
        ([], Some(motion)) => asking.motion(motion).1,
        ([], None) => title(finding.rule),
        (cups, _) => words::list(&asking.tags(cups)),
    };
    (pin, called)
}

fn title(id: &str) -> String {
    rule(id).map_or_else(|| id.to_owned(), |info| info.title.to_owned())
}

/// Is the reason good enough, and is there still such a finding?
fn taken_on(asking: &mut Asking<'_>, accepted: &Accepted) {
    let report = asking.report;
    let key = finding_key(accepted.layout, &accepted.rule, &accepted.subject, accepted.motion);
    let same = |finding: &&Finding| {
        finding.accepted.is_some()
            && finding_key(report.layout, finding.rule, &finding.subject, finding.motion) == key
    };
    let found = report.findings.iter().find(same);
    let who: Vec<&str> =
        [accepted.by.trim(), accepted.on.trim()].into_iter().filter(|w| !w.is_empty()).collect();
    let who = if who.is_empty() { String::new() } else { format!(" ({})", who.join(", ")) };
    let reason = match accepted.reason.trim() {
        "" => "without a reason".to_owned(),
        reason => format!("because: \u{201c}{reason}\u{201d}"),
    };
    let pin = Pin::Finding {
        layout: accepted.layout,
        rule: accepted.rule.clone(),
        subject: accepted.subject.clone(),
        motion: accepted.motion,
    };
    let tags = words::list(&asking.tags(&accepted.subject));
    let called = if tags.is_empty() { title(&accepted.rule) } else { tags.clone() };
    let taken = format!("Accepted {reason}{who}.");
    let (says, state, why) = match found {
        Some(finding) => (
            format!("{} {taken}", finding.says),
            format!("{} {taken}", state(finding)),
            "Is the reason good enough, and does it still hold with these figures?",
        ),
        // While slow figures are missing, the finding may only not be known yet.
        None if !report.ages.all_current() && solved(asking) => return,
        None => {
            let on = if tags.is_empty() { String::new() } else { format!(" of {tags}") };
            let at = match accepted.motion {
                Some(motion) => format!(" at {}", words::inside(&asking.motion(motion).1)),
                None => String::new(),
            };
            (
                format!(
                    "\u{201c}{}\u{201d}{on}{at} was accepted {reason}{who}; that finding no longer exists.",
                    title(&accepted.rule)
                ),
                taken,
                "Withdraw the acceptance, so that it does not hide the same finding if it comes back.",
            )
        }
    };
    asking.ask_in(QuestionGroup::Accepted, format!("taken on/{key}"), (pin, called), (says, state), why);
}

fn solved(asking: &Asking<'_>) -> bool {
    asking.report.motions.iter().any(|motion| motion.outcome.is_ok())
}
