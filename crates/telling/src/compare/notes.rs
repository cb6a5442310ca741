//! What a comparison rests on, and where it departs from common practice.

use analysis::{CupReport, words, words::Words};
use analysis::{LongPair, MoreFrom, Side, opening_moments};
use document::{MotionId, Project};
use glam::DVec2;
use mechanics::LipLimit;

/// A sideways force below this share of the whole force does not say which way a motion goes.
const SIDEWAYS: f64 = 0.1;
/// A level at the ends above this share of that at the port is told as no fall.
const NO_FALL: f64 = 0.995;

pub(super) fn notes(sides: &[Side], words: &Words<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    notes.extend(
        sides.iter().filter_map(|side| Some(format!("{}: {}", side.name(), side.report.counted_says()?))),
    );
    for side in sides {
        for motion in &side.report.motions {
            if let Err(reason) = &motion.outcome {
                notes.push(format!(
                    "{} has no result for {}: {reason}.",
                    side.name(),
                    words::inside(&motion.name)
                ));
            }
        }
    }
    let assumed = assumed(sides, words);
    if let Some(assumed) = assumed {
        notes.push(assumed);
    }
    let circuits =
        sides.iter().all(|side| side.report.circuits.iter().any(|circuit| !circuit.cups.is_empty()));
    let left_out = if circuits { "" } else { ", level at each cup on its hoses, air used" };
    notes.push(format!(
        "Not compared, because not calculated: sag of the sheet{left_out}. Factors do not count on \
        redistribution among cups; the limit factor does."
    ));
    notes
}

/// How far the least factors may be off because of what is assumed.
fn assumed(sides: &[Side], words: &Words<'_>) -> Option<String> {
    let mut inputs: Vec<String> = Vec::new();
    let mut ranges: Vec<String> = Vec::new();
    for side in sides {
        let Some((_, motion)) = side.least_ratio() else { continue };
        let slow = motion.outcome.as_ref().ok()?.slow.as_ref()?;
        let Some(range) = &slow.range else { continue };
        for input in &range.inputs {
            if !inputs.contains(input) {
                inputs.push(input.clone());
            }
        }
        ranges.push(format!(
            "{} {} to {} of {} at {}",
            side.name(),
            words.against(range.least, motion.required_factor),
            words.factor(range.most),
            words.factor(motion.required_factor),
            words::inside(&motion.name)
        ));
    }
    (!ranges.is_empty()).then(|| {
        format!(
            "Assumed: {}. Varied by its spread, it gives factors of {}. What both layouts assume is varied \
            alike in both where they are compared.",
            inputs.join(", "),
            ranges.join("; ")
        )
    })
}

fn cup(side: &Side) -> Option<&CupReport> {
    side.report.cups.first()
}

/// Why the one or the other holds more, with the figures that say so.
pub(super) fn why(sides: &[Side], pair: &LongPair, words: &Words<'_>) -> String {
    let (Some(long), Some(round)) = (cup(&sides[pair.long]), cup(&sides[pair.pair])) else {
        return String::new();
    };
    let [about_length, about_width] = opening_moments(long);
    let lever = long_lever(pair, round);
    let mut text = format!(
        "The long lip is strong along its length and weak across it: it loses its seal at {} about its width \
        and at {} about its length. The two round lips brace each other: {} apart they lose their seal at {} \
        about the line across them, and at {} about the line that joins them.",
        words.moment(about_width),
        words.moment(about_length),
        words.length(pair.spacing_mm),
        words.moment(lever),
        words.moment(2.0 * opening_moments(round)[0]),
    );
    let slides = |side: &Side, motion: MotionId| {
        side.report
            .motions
            .iter()
            .find(|held| held.id == motion)
            .and_then(|held| held.outcome.as_ref().ok())
            .is_some_and(|outcome| outcome.governing_limit == LipLimit::Slide)
    };
    let sliding: Vec<String> = sides[pair.long]
        .report
        .motions
        .iter()
        .filter(|motion| slides(&sides[pair.long], motion.id) && slides(&sides[pair.pair], motion.id))
        .map(|motion| words::inside(&motion.name))
        .collect();
    if !sliding.is_empty() {
        text.push_str(&format!(
            " At {} both slide before they lose their seal: friction, area and vacuum level decide there, \
            and lip shape matters little.",
            words::list(&sliding)
        ));
    }
    if let Some(fall) = long.channel.filter(|fall| fall.end_share < NO_FALL) {
        let round_fall = round.channel.map_or(1.0, |fall| fall.end_share);
        text.push_str(&format!(
            " Air passes through the part: the level under the long lip falls to {} at its ends, {} of the \
            level on average; under the round ones to {}.",
            words.percent(fall.end_share),
            words.percent(fall.mean_share),
            words.percent(round_fall),
        ));
    }
    text
}

/// Moment about the line across two round lips that opens the first of them, each pulled by the moment over the spacing
/// or tilted with the part, whichever is shared by their stiffness, N·m.
fn long_lever(pair: &LongPair, round: &CupReport) -> f64 {
    const M_PER_MM: f64 = 1e-3;
    let half = 0.5 * pair.spacing_mm;
    // Of a turn by one rad: each cup pulls k half and tilts by its own stiffness.
    let pull = round.axial_n_mm * half;
    let tilt = round.tilt_nm_rad[1];
    let moment = 2.0 * (pull * half * M_PER_MM + tilt);
    let line = &round.line;
    let used = pull + tilt / M_PER_MM / line.iy * line.half_length * line.length;
    let left = (round.vacuum_force_n - round.seal_minimum_n_mm * line.length).max(0.0);
    left / used * moment
}

/// Where each wins, from which spacing on, and what common practice says.
pub(super) fn of_long_pair(
    project: &Project,
    sides: &[Side],
    pair: &LongPair,
    words: &Words<'_>,
) -> Vec<String> {
    let (long, two) = (sides[pair.long].name(), sides[pair.pair].name());
    let name =
        |id: MotionId| project.motion(id).map_or_else(String::new, |motion| words::inside(&motion.name));
    let required = |id: MotionId| project.motion(id).map_or(1.0, |motion| motion.required_factor);
    let mut notes: Vec<String> = pair
        .motions
        .iter()
        .map(|motion| {
            let at = name(motion.motion);
            let where_ = match motion.more {
                MoreFrom::Touching => format!("{two} holds more at every spacing of its cups"),
                MoreFrom::Spacing(mm) => {
                    format!("{two} holds more from {} between its cups", words.length(mm))
                }
                MoreFrom::Between(from, to) => format!(
                    "{two} holds more between {} and {} between its cups",
                    words.length(from),
                    words.length(to)
                ),
                MoreFrom::NoDifference => {
                    format!("{two} does not hold more at any spacing, within the range of the inputs")
                }
                MoreFrom::Never => format!(
                    "{two} holds less at every spacing within this part, where its cups can be at most {} apart",
                    words.length(pair.widest_mm)
                ),
                MoreFrom::NoRoom => format!("at no spacing do both cups of {two} land"),
            };
            format!(
                "{}: {where_}; as drawn, {} apart, {} against {} of {long}.",
                words::capital(&at),
                words.length(pair.spacing_mm),
                words.of(motion.pair, required(motion.motion)),
                words.of(motion.long, required(motion.motion)),
            )
        })
        .collect();
    notes.push(format!(
        "Spacings are between the cups of {two} on their line, centred on the centre of gravity, where both \
        land; more and less mean by more than assumed inputs could account for."
    ));
    notes.push(
        "Common practice, no source: a long cup suits fast motion along its length, two round ones grip the ends of a \
         narrow part better."
            .to_owned(),
    );
    let ahead = |two: bool, along: bool| -> Vec<String> {
        pair.motions
            .iter()
            .filter(|motion| match two {
                true => motion.pair > motion.long * (1.0 + motion.margin),
                false => motion.long > motion.pair * (1.0 + motion.margin),
            })
            .filter(|motion| goes_along(&sides[pair.long], motion.motion) == along)
            .map(|motion| name(motion.motion))
            .collect()
    };
    let along = ahead(true, true);
    let ends = ahead(false, false);
    if !along.is_empty() {
        notes.push(format!(
            "The model disagrees at {}, along the long cup, where it favours the two: it treats friction as \
            proportional to the force on a lip, whatever its shape and the speed. It does not cover how a \
            lip bends or drags at speed: try it with the real part.",
            words::list(&along)
        ));
    }
    if !ends.is_empty() {
        notes.push(format!(
            "The model disagrees at {}, where it favours the long one: it treats the part as rigid and flat, \
            so sagging, whipping or bowed ends do not count against one cup in the middle. The more the ends \
            flex, the better the two.",
            words::list(&ends)
        ));
    }
    if along.is_empty() && ends.is_empty() {
        notes
            .push("The model agrees with that for these motions, with the part treated as rigid.".to_owned());
    }
    notes
}

/// Whether the force of a motion that is not along the cup's axis goes along the long lip at its governing instant.
fn goes_along(side: &Side, motion: MotionId) -> bool {
    let found = || {
        let cup = cup(side)?;
        let outcome = side.report.motions.iter().find(|held| held.id == motion)?.outcome.as_ref().ok()?;
        let force = outcome.wrench.force;
        let own = DVec2::from_angle(-cup.turn_deg.to_radians()).rotate(force.truncate());
        Some(own.length() > SIDEWAYS * force.length() && own.x.abs() > own.y.abs())
    };
    found().unwrap_or(false)
}
