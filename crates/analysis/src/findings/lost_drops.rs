//! `lost.drops`: what happens when one cup, or all cups of one zone, let go.
//!
//! Why: lips wear, parts have a flaw where one lands, a hose slips off; one cup that lets go must not drop the part.
//! Limits: fails when the part drops after the loss of one cup, in any motion that every cup together carries,
//! at its real load (factor 1). Watched when
//! another lip loses its seal but the part stays, or when the loss of a whole zone drops it. Remedy: the level or acceleration at
//! which it stays, worked out for the loss that leaves least; else more cups, smaller zones, check valves.

use super::{Draft, Facts, RuleInfo, remedies};
use crate::{
    report::{Age, LimitFigure, Lost, LostReport, MotionReport, Severity},
    slow::Slow,
    words,
};
use document::CupId;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "lost.drops",
    title: "Part drops if one cup fails",
    explains: "Every cup, and every zone, is removed in turn: the weakest remaining lip fails next, until \
        the rest hold or the part drops. A lost cup is an open bore on its circuit; where only a level is \
        stated, the remaining cups keep it, as with a check valve.",
    fail: "the part drops after the loss of one cup",
    watch: "another lip loses its seal but the part is held; the part drops after the loss of a zone",
    remedy: "the level or acceleration at which it is held; more cups, smaller zones, check valves",
};

/// Losses that leave the same but for what the solver leaves open (relative): the first of them is told.
pub const SAME: f64 = 1e-3;

/// One loss in one motion.
struct Loss<'a> {
    motion: &'a MotionReport,
    lost: &'a LostReport,
}

impl Loss<'_> {
    fn left(&self) -> f64 {
        match self.lost.limit {
            LimitFigure::Factor(value) => value,
            LimitFigure::Unlimited | LimitFigure::Missing(_) | LimitFigure::Pending => f64::INFINITY,
        }
    }
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let losses: Vec<Loss<'_>> = facts
        .motions
        .iter()
        .filter_map(|motion| {
            // What drops with every cup is told by its factor.
            let outcome = motion.outcome.as_ref().ok().filter(|outcome| outcome.factor >= 1.0)?;
            Some((motion, outcome.slow.as_ref()?))
        })
        .flat_map(|(motion, slow)| slow.lost.iter().map(move |lost| Loss { motion, lost }))
        .collect();
    let one_cup = |loss: &&Loss<'_>| matches!(loss.lost.lost, Lost::Cup(_));
    let drops: Vec<&Loss<'_>> = losses.iter().filter(one_cup).filter(|loss| !loss.lost.holds).collect();
    out.extend(dropped(facts, &drops));
    // What drops the part somewhere is told; what only loses another lip is told for the rest.
    if drops.is_empty() {
        let run_on: Vec<&Loss<'_>> =
            losses.iter().filter(one_cup).filter(|loss| !loss.lost.then_lost.is_empty()).collect();
        out.extend(runs_on(facts, &run_on));
        let zones: Vec<&Loss<'_>> =
            losses.iter().filter(|loss| !one_cup(loss)).filter(|loss| !loss.lost.holds).collect();
        out.extend(zone_drops(facts, &zones));
    }
}

fn dropped(facts: &Facts<'_>, drops: &[&Loss<'_>]) -> Option<Draft> {
    let worst = worst(drops)?;
    let Lost::Cup(cup) = &worst.lost.lost else { return None };
    let alone = facts.cups.len() == 1;
    // The factor of the first lip that is left: below 1 is why it runs on. The limit factor may still be above 1.
    let (figure, limit) = (first_lip(worst), 1.0);
    let why = if alone {
        ": no other cup holds it".to_owned()
    } else if worst.lost.then_lost.is_empty() {
        ": the remaining cups cannot carry it".to_owned()
    } else {
        format!(": {}", follow(facts, &worst.lost.then_lost))
    };
    let says = format!(
        "If {} fails at {}, the part drops{why}.{}",
        tag(facts, *cup),
        words::inside(&worst.motion.name),
        likewise(facts, drops, *cup),
    );
    Some(
        Draft::new(INFO.id, Severity::Fail, at_that_time(facts, says))
            .cups(cups_of(drops))
            .motion(worst.motion.id)
            .figure(figure, limit, Quantity::Ratio)
            .remedy(remedy(facts, alone))
            .off(0.05),
    )
}

fn runs_on(facts: &Facts<'_>, losses: &[&Loss<'_>]) -> Option<Draft> {
    let least = losses.iter().map(|loss| first_lip(loss)).fold(f64::INFINITY, f64::min);
    let worst = losses.iter().find(|loss| first_lip(loss) <= least * (1.0 + SAME))?;
    let Lost::Cup(cup) = &worst.lost.lost else { return None };
    let says = format!(
        "If {} fails at {}, {}; the other cups hold the part.{}",
        tag(facts, *cup),
        words::inside(&worst.motion.name),
        follow(facts, &worst.lost.then_lost),
        likewise(facts, losses, *cup),
    );
    Some(
        Draft::new(INFO.id, Severity::Watch, at_that_time(facts, says))
            .cups(cups_of(losses))
            .motion(worst.motion.id)
            .figure(first_lip(worst), 1.0, Quantity::Ratio)
            .remedy(
                "Do not rely on the remaining cups: a deeper level or larger lips protect the first lip; one \
                more cup on that side may help too."
                    .to_owned(),
            )
            .off(0.05),
    )
}

fn zone_drops(facts: &Facts<'_>, losses: &[&Loss<'_>]) -> Option<Draft> {
    let worst = worst(losses)?;
    let Lost::Zone(zone) = &worst.lost.lost else { return None };
    let says =
        format!("If all cups of zone {zone} fail at {}, the part drops.", words::inside(&worst.motion.name));
    let cups = facts.placed.iter().filter(|cup| cup.zone == *zone).map(|cup| cup.id);
    Some(
        Draft::new(INFO.id, Severity::Watch, at_that_time(facts, says))
            .cups(cups)
            .motion(worst.motion.id)
            .figure(first_lip(worst), 1.0, Quantity::Ratio)
            .remedy(format!(
                "Split zone {zone} so that the cups of each valve are spread over the part, or protect each \
                cup with a check valve."
            ))
            .off(0.02),
    )
}

fn worst<'l, 'a>(losses: &[&'l Loss<'a>]) -> Option<&'l Loss<'a>> {
    let least = losses.iter().map(|loss| loss.left()).fold(f64::INFINITY, f64::min);
    losses.iter().find(|loss| loss.left() <= least * (1.0 + SAME)).copied()
}

fn first_lip(loss: &Loss<'_>) -> f64 {
    loss.lost.factor.unwrap_or(0.0)
}

fn tag<'f>(facts: &Facts<'f>, cup: CupId) -> &'f str {
    facts.index_of(cup).map_or("", |index| facts.tag(index))
}

/// "C4 and C1 follow".
fn follow(facts: &Facts<'_>, cups: &[CupId]) -> String {
    let tags: Vec<String> = cups.iter().map(|cup| tag(facts, *cup).to_owned()).collect();
    let follow = if tags.len() == 1 { "follows" } else { "follow" };
    format!("{} {follow}", words::list(&tags))
}

/// Cups that a finding is about, each once, in the order of the layout's losses.
fn cups_of(losses: &[&Loss<'_>]) -> Vec<CupId> {
    let mut cups: Vec<CupId> = Vec::new();
    for loss in losses {
        if let Lost::Cup(cup) = loss.lost.lost
            && !cups.contains(&cup)
        {
            cups.push(cup);
        }
    }
    cups
}

/// Which other cups and how many other motions it goes for.
fn likewise(facts: &Facts<'_>, losses: &[&Loss<'_>], told: CupId) -> String {
    let others: Vec<String> = cups_of(losses)
        .into_iter()
        .filter(|cup| *cup != told)
        .map(|cup| tag(facts, cup).to_owned())
        .collect();
    let mut motions: Vec<_> = losses.iter().map(|loss| loss.motion.id).collect();
    motions.dedup();
    let more = match motions.len() {
        0 | 1 => String::new(),
        2 => " for one more motion".to_owned(),
        count => format!(" for {} more motions", count - 1),
    };
    match (others.as_slice(), more.as_str()) {
        ([], "") => String::new(),
        ([], more) => format!(" The same goes{more}."),
        (others, "") => format!(" The same goes for {}.", words::list(others)),
        (others, more) => format!(" The same goes for {}, and{more}.", words::list(others)),
    }
}

fn remedy(facts: &Facts<'_>, alone: bool) -> String {
    let mut ways: Vec<String> = Vec::new();
    if let Some(found) = facts.drop_remedy {
        ways.extend(
            found
                .level_times
                .and_then(|times| remedies::level_in_words(facts, times, &|_| true))
                .map(|level| format!("{level} holds the part in this, the worst loss")),
        );
        ways.extend(
            found
                .acceleration_share
                .and_then(|share| remedies::less_acceleration(facts, found.motion, share, &|_| true))
                .map(|most| format!("{most} holds it")),
        );
    }
    if alone {
        return "Add cups so that the others hold the part if one fails; guard the area where it may fall."
            .to_owned();
    }
    ways.push("add a cup beside it, or space the cups wider".to_owned());
    ways.push("a check valve at each cup keeps the others\u{2019} level while one is open".to_owned());
    format!("{}.", words::capital(&ways.join("; ")))
}

/// Figures of an earlier plan are told as such.
fn at_that_time(facts: &Facts<'_>, says: String) -> String {
    match facts.ages.of(Slow::Losses) {
        Age::Older => format!("Before the last change: {}", words::inside(&says)),
        Age::Current | Age::Absent => says,
    }
}
