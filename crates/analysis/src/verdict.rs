//! One sentence with the figure that governs.

use crate::{
    findings::{FLEX_LOST, Facts, NO_FIGURE, of_factor},
    loads::Case,
    report::{Age, Finding, Severity, Verdict},
    slow::Slow,
    words,
};
use document::CupId;
use mechanics::LipLimit;

/// How the load is counted in the factor of a motion, where it is not multiplied whole.
pub(crate) fn counted_like(facts: &Facts<'_>, case: &Case) -> Option<String> {
    words::counted_like(&case.result.readings, case.load_case.favourable_weight, facts.words.choice)
}

/// "C7 slides first" or "the lip of C7 opens first".
pub(crate) fn first_to_fail(tag: &str, case: &Case) -> String {
    match limit(case) {
        LipLimit::Slide => format!("{tag} slides first"),
        LipLimit::Seal => format!("{tag} loses its seal first"),
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
    let first_broken = open(Severity::Fail).find(|finding| !of_factor(finding.rule));
    let governing = facts.governing();
    let bent = facts.governing_bent();
    let motion = bent.map(|(motion, ..)| motion.id).or(governing.map(|(motion, _)| motion.id));
    let cup = governing.and_then(|(_, case)| facts.cups.get(case.result.governing)).map(|cup| cup.id);
    let cup = bent.map(|(_, bent, _)| bent.governing_cup).or(cup);

    if facts.layout.cups.is_empty() && first_fail.is_none() {
        return nothing_yet("No cups yet: nothing holds the part", findings);
    }
    if facts.motions.is_empty() && first_fail.is_none() {
        return nothing_yet("No motions yet: add one to see whether the cups hold", findings);
    }
    let not_worked_out = findings.iter().find(|finding| finding.rule == NO_FIGURE.id);
    let without_figure = facts.motions.iter().find_map(|motion| motion.outcome.as_ref().err());
    let severity = match (first_fail, without_figure) {
        (Some(_), _) | (None, Some(_)) => Severity::Fail,
        (None, None) if not_worked_out.is_some() => Severity::NotChecked,
        (None, None) if open(Severity::Watch).next().is_some() => Severity::Watch,
        (None, None) => Severity::Ok,
    };
    let (sentence, told, about): (String, Option<&Finding>, Option<CupId>) = match governing {
        // Inputs, or a group that cannot carry: there is no figure to tell.
        None => match (first_broken, without_figure) {
            (Some(finding), _) => {
                (format!("No result yet: {}", words::inside(&clause(&finding.says))), Some(finding), None)
            }
            (None, Some(reason)) => (format!("No result yet: {}", clause(reason)), None, None),
            (None, None) => ("No result yet".to_owned(), None, None),
        },
        Some((motion, case)) => {
            let short = bent.map_or(case.factor() < motion.required_factor, |(_, _, ratio)| ratio < 1.0);
            match (short, first_broken) {
                // A lip that does not seat, or another broken limit, is told first: the factor assumes it away.
                (false, Some(finding)) => {
                    (broken_sentence(finding), Some(finding), finding.subject.first().copied())
                }
                (false, None) if without_figure.is_some() => {
                    let reason = without_figure.map(|reason| clause(reason)).unwrap_or_default();
                    (format!("Some motions have no result: {reason}"), None, None)
                }
                (false, None) if not_worked_out.is_some() => {
                    let says = not_worked_out.map(|finding| clause(&finding.says)).unwrap_or_default();
                    (format!("Not everything is checked: {}", words::inside(&says)), not_worked_out, None)
                }
                _ if bent.is_some() => (bent_sentence(facts), None, None),
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
        Some("input") if finding.motion.is_some() => {
            format!("Some motions have no result: {}", words::inside(&says))
        }
        Some("lost") => format!("Holds with every cup, but {}", words::inside(&says)),
        Some("flex") if finding.rule == FLEX_LOST.id => {
            format!("Holds with every cup, but {}", words::inside(&says))
        }
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

/// "Meets the required factor as modelled, at least 1.29 times: C2 slides first at carry on edge, factor 5.16 of the 4.00
/// required": the least factor over required, both its figures, and what they leave out.
fn factor_sentence(facts: &Facts<'_>) -> String {
    let Some((motion, case)) = facts.governing() else { return String::new() };
    let (factor, required, words) = (case.factor(), motion.required_factor, facts.words);
    let (tag, name) = (facts.tag(case.result.governing), words::inside(&motion.name));
    if !factor.is_finite() {
        let says = if facts.solved().all(|(_, case)| only_pressed_on(facts, case)) {
            "no motion pulls, slides or tilts a lip"
        } else {
            "no multiple of any motion breaks a seal or makes a lip slide"
        };
        return format!("Meets the required factor as modelled: {says}");
    }
    let ratio = words.against(factor / required, 1.0);
    let first = first_to_fail(tag, case);
    let of = format!("factor {} of the {} required", words.against(factor, required), words.factor(required));
    let says = if crate::words::leaves_nothing(&case.result.factor()) {
        format!("Drops at {name}: the weight alone is too much, {first}, {of}")
    } else if factor < 1.0 {
        format!("Drops at {name}, {ratio} times the required factor: {first}, {of}")
    } else if factor < required {
        format!("Holds {ratio} times the required factor: {first} at {name}, {of}")
    } else {
        format!("Meets the required factor as modelled, at least {ratio} times: {first} at {name}, {of}")
    };
    format!("{says}{}{}", may_be_less(facts), counted(facts))
}

/// "Holds 0.82 times what is required as the part bends: the lip of C5 opens first at lift, factor 1.64 of the 2.00 required; as
/// a rigid part 2.31": the same of a part that bends, with the rigid figure beside it.
fn bent_sentence(facts: &Facts<'_>) -> String {
    let Some((motion, bent, ratio)) = facts.governing_bent() else { return String::new() };
    let (words, required) = (facts.words, motion.required_factor);
    let factor = bent.factor.value;
    let name = words::inside(&motion.name);
    if !factor.is_finite() {
        return "Meets the required factor as modelled, as the part bends: no multiple of any motion breaks a \
            seal or makes a lip slide"
            .to_owned();
    }
    let tag = facts.tag_of(bent.governing_cup);
    let first = match bent.factor.limit {
        LipLimit::Slide => format!("{tag} slides first"),
        LipLimit::Seal => format!("{tag} loses its seal first"),
    };
    let times = words.against(ratio, 1.0);
    let of = format!("factor {} of the {} required", words.against(factor, required), words.factor(required));
    let bends = match facts.ages.of(Slow::Bending) {
        Age::Older => "as the part bent before the last change",
        Age::Current | Age::Absent => "as the part bends",
    };
    let says = if factor < 1.0 {
        format!("Drops at {name} {bends}, {times} times the required factor: {first}, {of}")
    } else if ratio < 1.0 {
        format!("Holds {times} times the required factor {bends}: {first} at {name}, {of}")
    } else {
        format!(
            "Meets the required factor as modelled {bends}, at least {times} times: {first} at {name}, {of}"
        )
    };
    let case = facts.solved().find(|(own, _)| own.id == motion.id).map(|(_, case)| case.factor());
    let rigid = case.filter(|factor| factor.is_finite());
    let rigid = rigid.map_or(String::new(), |rigid| format!("; as a rigid part {}", words.factor(rigid)));
    let range = facts.bent_reserve.filter(|_| facts.ages.is_current(Slow::BentReserve));
    let range = range.and_then(|reserve| reserve.of_motion(motion.id)?.range);
    let range = range.map_or(String::new(), |[least, most]| {
        format!(", from {} to {} with assumed inputs", words.against(least, required), words.factor(most))
    });
    let off = facts.bends().map_or(0, |bending| bending.off.len());
    let counted = if off > 0 { String::new() } else { counted(facts) };
    format!("{says}{range}{rigid}{counted}")
}

/// Whether no lip gets anything but a push towards the part, from start to stop; of a motion that sweeps that is not known.
fn only_pressed_on(facts: &Facts<'_>, case: &Case) -> bool {
    const NOTHING: f64 = 1e-9; // N and N·m
    let pressed = |loads: &[mechanics::CupLoad]| {
        loads.iter().all(|load| {
            load.pull <= NOTHING
                && load.slide.length() <= NOTHING
                && load.tilt.length() <= NOTHING
                && load.twist.abs() <= NOTHING
        })
    };
    let (Some(body), Some(group)) = (facts.body, facts.group) else { return false };
    let about = group.centre().extend(0.0);
    case.load_case.sweep.is_none()
        && pressed(&case.result.loads)
        && case
            .load_case
            .members()
            .all(|(_, state)| pressed(&group.share(&mechanics::load(&body, &state.fixed, about))))
}

/// What the factor may be where what is assumed may take it below what is required.
fn may_be_less(facts: &Facts<'_>) -> String {
    let (Some((motion, range)), Some((governing, _))) = (facts.low_range(), facts.governing()) else {
        return String::new();
    };
    let words = facts.words;
    if motion.id == governing.id {
        let (least, most) = (words.against(range.least, motion.required_factor), words.factor(range.most));
        return format!(", from {least} to {most} with assumed inputs");
    }
    format!(
        "; with assumed inputs {} may hold only {} of the {} required",
        words::inside(&motion.name),
        words.against(range.least, motion.required_factor),
        words.factor(motion.required_factor)
    )
}

/// Lips that hang over and that the factors take as sealed.
fn counted(facts: &Facts<'_>) -> String {
    match facts.tags(&facts.hanging()) {
        tags if tags.is_empty() => String::new(),
        tags => format!(", with {tags} counted as if sealed"),
    }
}

/// The level that counts, what else is wrong, then how much there is to do.
fn detail(facts: &Facts<'_>, findings: &[Finding], told: Option<&Finding>) -> String {
    let next = findings.iter().find(|finding| {
        finding.accepted.is_none()
            && finding.severity >= Severity::Watch
            && !of_factor(finding.rule)
            && told.is_none_or(|told| !std::ptr::eq(told, *finding))
    });
    let lead = match (told, facts.governing()) {
        (Some(_), Some((motion, case))) if case.factor().is_finite() && facts.bends().is_none() => {
            Some(format!(
                "With every lip sealed it holds at least {} times the required factor: factor {} of {} at {}.",
                facts.words.against(case.factor() / motion.required_factor, 1.0),
                facts.words.against(case.factor(), motion.required_factor),
                facts.words.factor(motion.required_factor),
                words::inside(&motion.name),
            ))
        }
        _ => next.map(|finding| finding.says.clone()),
    };
    let counted = facts.governing().and_then(|(_, case)| counted_like(facts, case));
    let counted = counted.map(|how| format!("Factor with {how}."));
    let when = facts.governing().and_then(|(motion, _)| {
        let outcome = motion.outcome.as_ref().ok().filter(|outcome| outcome.factor.is_finite())?;
        Some(format!("{} is worst {}.", words::capital(&motion.name), outcome.governs.as_deref()?))
    });
    let level = facts.governing().and_then(|_| words::levels(facts.circuits, facts.words.choice));
    [level, when, counted, lead, Some(counts(findings))].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// "2 fail, 2 warnings, 1 accepted."
fn counts(findings: &[Finding]) -> String {
    let open = |severity| findings.iter().filter(|f| f.accepted.is_none() && f.severity == severity).count();
    let counted = [Severity::Fail, Severity::Watch].map(|severity| (open(severity), severity));
    let accepted = findings.iter().filter(|f| f.accepted.is_some()).count();
    let counted = counted.into_iter().filter(|(count, _)| *count > 0);
    let mut parts: Vec<String> = counted.map(|(count, severity)| words::counted(count, severity)).collect();
    parts.extend((accepted > 0).then(|| format!("{accepted} accepted")));
    if parts.is_empty() { "No finding fails.".to_owned() } else { format!("{}.", parts.join(", ")) }
}

/// A sentence without its full stop, as it stands after a colon.
fn clause(sentence: &str) -> String {
    sentence.trim().trim_end_matches('.').to_owned()
}
