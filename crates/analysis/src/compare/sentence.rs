//! The sentence: which is better for these motions, and the figures that decide.

use super::{LongPair, Side, best, notes};
use crate::{Lost, words, words::Words};
use document::Project;

pub(super) fn sentence(
    project: &Project,
    sides: &[Side],
    pair: Option<&LongPair>,
    words: &Words<'_>,
) -> String {
    let [first, second, ..] = sides else {
        return match sides {
            [] => "No layout to compare.".to_owned(),
            _ => "Only one layout: there is nothing to compare it with.".to_owned(),
        };
    };
    if project.motions.is_empty() {
        return "There are no motions yet: add one to see which layout carries more.".to_owned();
    }
    let ratios: Vec<Option<f64>> =
        sides.iter().map(|side| side.least_ratio().map(|(ratio, _)| ratio)).collect();
    let holds: Vec<String> = sides.iter().map(|side| holding(side, words)).collect();
    let mut text = words::capital(&holds.join("; "));
    text.push_str(&match best(&ratios) {
        Some(better) if ratios[better].is_some() => {
            let enough = ratios[better].is_some_and(|ratio| ratio >= 1.0);
            let but = if enough { "" } else { ", though not what is required" };
            let by = if close(&ratios, better) { ", by little" } else { "" };
            format!(". {} is the better one for these motions{by}{but}", sides[better].name())
        }
        _ if ratios.iter().all(Option::is_none) => ". Neither has a figure for every motion".to_owned(),
        _ => ". They carry the same at their worst motions".to_owned(),
    });
    if sides.len() == 2 {
        text.push_str(&split(project, first, second));
    }
    text.push('.');
    if let Some(loss) = losses(sides) {
        text.push(' ');
        text.push_str(&loss);
    }
    if let Some(pair) = pair {
        text.push(' ');
        text.push_str(&notes::why(sides, pair, words));
    }
    text
}

/// Whether the best is ahead of the next by less than what one can count on.
fn close(ratios: &[Option<f64>], better: usize) -> bool {
    const LITTLE: f64 = 0.03;
    let next =
        ratios.iter().enumerate().filter(|(index, _)| *index != better).filter_map(|(_, ratio)| *ratio);
    let next = next.fold(0.0, f64::max);
    ratios[better].is_some_and(|most| next > most * (1.0 - LITTLE))
}

/// "Two round holds 1.42 times what is required at its worst motion (carry across)".
fn holding(side: &Side, words: &Words<'_>) -> String {
    match side.least_ratio() {
        None => format!("{} has no figure for every motion", side.name()),
        Some((ratio, _)) if ratio.is_infinite() => format!("{} is not loaded by any motion", side.name()),
        Some((ratio, motion)) => format!(
            "{} holds {} times what is required at its worst motion ({})",
            side.name(),
            words.factor(ratio),
            words::inside(&motion.name)
        ),
    }
}

/// Which motions each carries better, where that is not always the same one.
fn split(project: &Project, first: &Side, second: &Side) -> String {
    let mut ahead: [Vec<String>; 2] = [Vec::new(), Vec::new()];
    for motion in &project.motions {
        let factor = |side: &Side| {
            let held = side.report.motions.iter().find(|held| held.id == motion.id)?;
            Some(held.outcome.as_ref().ok()?.factor)
        };
        if let Some(better) = best(&[factor(first), factor(second)]) {
            ahead[better].push(words::inside(&motion.name));
        }
    }
    let [of_first, of_second] = ahead;
    if of_first.is_empty() || of_second.is_empty() {
        return String::new();
    }
    format!(
        "; {} holds more at {}, {} at {}",
        first.name(),
        words::list(&of_first),
        second.name(),
        words::list(&of_second)
    )
}

/// What the loss of one cup does, where that is not the same for all.
fn losses(sides: &[Side]) -> Option<String> {
    let told: Vec<(bool, String)> = sides
        .iter()
        .map(|side| {
            let loss = side.worst_loss()?;
            let tag = match &loss.lost.lost {
                Lost::Cup(cup) => side.tag(*cup).to_owned(),
                Lost::Zone(zone) => format!("zone {zone}"),
            };
            Some(if loss.lost.holds {
                (true, format!("{} keeps the part", side.name()))
            } else {
                let at = words::inside(&loss.motion.name);
                (false, format!("{} drops the part (when {tag} lets go at {at})", side.name()))
            })
        })
        .collect::<Option<_>>()?;
    let drop = told.iter().filter(|(holds, _)| !holds).count();
    if drop == 0 {
        return None;
    }
    let all: Vec<String> = told.into_iter().map(|(_, text)| text).collect();
    Some(format!("With one cup lost, {}.", all.join(", ")))
}
