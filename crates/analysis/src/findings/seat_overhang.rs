//! `seat.overhang`: a lip hangs over an edge, a hole or a keep-out.
//!
//! Why: a lip that does not lie wholly on sound surface never seals, so that its factor means nothing.
//! Limit: fails below 0 mm of clearance; watched under an area gripper of which some cells are covered, since each cell seals by
//! itself. Remedy: the move to the nearest landing point, or the largest lip that fits.

use super::{Draft, Facts, RuleInfo, grid};
use crate::{
    report::{CellsReport, Fix, Severity},
    seats::LENGTH_NOISE,
    words,
};
use document::CupId;
use geometry::{Limit, LipShape};
use glam::DVec2;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.overhang",
    title: "Lip overhangs an edge, hole or keep-out",
    explains: "A lip that does not lie fully on sound surface does not seal, so no factor of that cup \
        counts. Under an area gripper each cell seals by itself: cells off the part draw in air, and only \
        the covered share of the area holds, assumed to pull at the gripper\u{2019}s middle.",
    fail: "clearance below 0 mm",
    watch: "area gripper over the edge with cells on the part",
    remedy: "the move to the nearest landing point, or the largest lip that fits there",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for (index, seat) in facts.seats.iter().enumerate() {
        let Some(clearance) = seat.clearance.filter(|c| c.distance < -LENGTH_NOISE) else { continue };
        let tag = facts.tag(index);
        let over = facts.words.some_length(-clearance.distance);
        let what = boundary(facts, clearance.limit);
        let (severity, says) = match cells(facts, facts.cups[index].id) {
            Some(cells) if cells.open < cells.all => {
                let CellsReport { open, all, closed } = cells;
                let do_what = if closed > 0 {
                    "are open, draw too much air and have closed"
                } else {
                    "are open and draw air"
                };
                (
                    Severity::Watch,
                    format!("{tag} overhangs {what} by {over}: {open} of its {all} cells {do_what}."),
                )
            }
            _ => (Severity::Fail, format!("{tag} overhangs {what} by {over}.")),
        };
        out.push(
            Draft::new(INFO.id, severity, says)
                .cups([facts.cups[index].id])
                .figure(clearance.distance, seat.required, Quantity::Length)
                .remedy(remedy(facts, index))
                .fix(fix(facts, index))
                .off(1.0 - clearance.distance / facts.cups[index].lip.shape.size().max_element()),
        );
    }
}

/// The cells of an area gripper in a cup whose circuit is solved.
fn cells(facts: &Facts<'_>, cup: CupId) -> Option<CellsReport> {
    facts.circuits.iter().flat_map(|circuit| &circuit.cups).find(|held| held.id == cup)?.cells
}

/// The thing a lip is nearest to, as a person calls it.
pub(super) fn boundary(facts: &Facts<'_>, limit: Limit) -> String {
    match limit {
        Limit::Edge => "the edge".to_owned(),
        Limit::Hole(index) => match facts.part.map_or(0, |part| part.outline.holes.len()) {
            1 => "the hole".to_owned(),
            _ => format!("hole {}", index + 1),
        },
        Limit::KeepOut(index) => {
            match facts.part.and_then(|part| part.keep_outs.get(index)).map(|k| k.name.as_str()) {
                Some(name) if !name.is_empty() => format!("the keep-out \u{201c}{name}\u{201d}"),
                _ => format!("keep-out {}", index + 1),
            }
        }
    }
}

/// Move or smaller lip, with numbers.
pub(super) fn remedy(facts: &Facts<'_>, index: usize) -> String {
    let (seat, cup, tag) = (&facts.seats[index], &facts.cups[index], facts.tag(index));
    let locked = if facts.locked(index) { format!("Unlock {tag} first. ") } else { String::new() };
    let smaller = seat.largest.map(|shape| size(facts, &shape));
    match (landing(facts, index), smaller) {
        (Some(at), Some(lip)) => {
            format!(
                "{locked}Move {tag} by {}, or use a lip of {lip} or less.",
                facts.words.pair(at - cup.lip.at)
            )
        }
        (Some(at), None) => format!("{locked}Move {tag} by {}.", facts.words.pair(at - cup.lip.at)),
        (None, smaller) if seat.unsought => {
            let smaller = smaller.map_or(String::new(), |lip| format!(", or use a lip of {lip} or less"));
            format!(
                "{locked}Move {tag}{smaller}. The new position is not calculated: the part has too many \
                corners and holes."
            )
        }
        (None, Some(lip)) => {
            format!("No place on the part has room for this lip; use a lip of {lip} or less.")
        }
        (None, None) => {
            "No place on the part has room for this lip; use a smaller model or remove the cup.".to_owned()
        }
    }
}

/// The place where a cup lands: on the person's grid where one near the landing point does; else by a move of which every
/// figure is printed, the printable one nearest to that point that still lands, else the point itself.
fn landing(facts: &Facts<'_>, index: usize) -> Option<DVec2> {
    let (at, lip) = (facts.seats[index].landing?, &facts.cups[index].lip);
    let Some(ground) = facts.ground else { return Some(at) };
    // Beside the other cups where that can be had; that a lip lands at all comes first.
    let lands = |place: DVec2| ground.lands_at(lip, place);
    let clear =
        |place: DVec2| lands(place) && grid::is_clear(facts, index, &geometry::Lip { at: place, ..*lip });
    let on_grid = |does: &dyn Fn(DVec2) -> bool| grid::place(facts.step_mm, &facts.words, (lip.at, at), does);
    let place = on_grid(&clear).or_else(|| on_grid(&lands));
    if place.is_some() {
        return place;
    }
    let by = at - lip.at;
    // Two printable figures on either side, each way.
    let around = |mm: f64| {
        let ([up, more, _], [down, less, _]) =
            (facts.words.upwards(mm, Quantity::Length), facts.words.downwards(mm, Quantity::Length));
        [less, down, up, more]
    };
    let mut places: Vec<DVec2> =
        around(by.x).into_iter().flat_map(|x| around(by.y).map(|y| lip.at + DVec2::new(x, y))).collect();
    places.sort_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
    Some(places.into_iter().find(|place| ground.lands_at(lip, *place)).unwrap_or(at))
}

/// The move as a change the program can make; not for a locked cup.
pub(super) fn fix(facts: &Facts<'_>, index: usize) -> Option<Fix> {
    let at = landing(facts, index)?;
    (!facts.locked(index)).then(|| Fix::MoveCups(vec![(facts.cups[index].id, at)]))
}

/// "38.0 mm" or "90.0 x 30.0 mm", rounded down so that what is printed fits.
fn size(facts: &Facts<'_>, shape: &LipShape) -> String {
    let down = |mm: f64| facts.words.length((mm * 10.0 + 1e-5).floor() / 10.0);
    match *shape {
        LipShape::Round { diameter } => down(diameter),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => {
            words::list(&[format!("{} by {}", down(length), down(width))])
        }
    }
}
