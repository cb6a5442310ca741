//! `frame.off_slot`: a cup that sits beside the places of the frame.
//!
//! Why: a cup is screwed into a slot or a hole; drawn beside it, the tool cannot be built as drawn.
//! Limits: watched when a place of the frame is near, advice when no piece of the frame is near the cup. Nothing is said
//! of a tool without a frame. Remedy: the move to the nearest place.

use super::{Draft, Facts, RuleInfo};
use crate::report::{Fix, Severity};
use glam::DVec2;
use units::Quantity;

/// A cup this near a place sits on it, mm.
const ON: f64 = 0.05;
/// A cup within this of a place is meant for it, mm.
const NEAR: f64 = 40.0;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "frame.off_slot",
    title: "Cup off the frame's mounting positions",
    explains: "A cup is fastened in a slot or hole of the frame; one drawn off it cannot be built as drawn.",
    fail: "",
    watch: "nearest mounting position within 40 mm but not at the cup (advice: no piece is near)",
    remedy: "the move to the nearest mounting position",
};

struct Off<'a> {
    index: usize,
    by: DVec2,
    piece: &'a str,
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let tool = &facts.layout.tool;
    if tool.frame.is_empty() {
        return;
    }
    let (mut near, mut far): (Vec<Off<'_>>, Vec<usize>) = (Vec::new(), Vec::new());
    for (index, cup) in facts.cups.iter().enumerate() {
        let at = cup.lip.at;
        if tool.carrier_of(at, ON).is_some() {
            continue;
        }
        match tool.nearest_place(at).map(|(piece, place)| (piece, place - at)) {
            Some((piece, by)) if by.is_finite() && by.length() <= NEAR => {
                near.push(Off { index, by, piece: &piece.name });
            }
            _ => far.push(index),
        }
    }
    out.extend(beside(facts, &near));
    if !far.is_empty() {
        let carries = if far.len() == 1 { "No frame piece carries" } else { "No frame pieces carry" };
        out.push(
            Draft::new(INFO.id, Severity::Advice, format!("{carries} {}.", facts.tags(&far)))
                .cups(far.iter().map(|index| facts.cups[*index].id))
                .remedy("Add a rail or plate there, or move the cups onto one.".to_owned()),
        );
    }
}

fn beside(facts: &Facts<'_>, near: &[Off<'_>]) -> Option<Draft> {
    let farthest = near.iter().max_by(|a, b| a.by.length().total_cmp(&b.by.length()))?;
    let words = facts.words;
    let tags = facts.tags(&near.iter().map(|off| off.index).collect::<Vec<_>>());
    let says = match near {
        [one] => format!(
            "{tags} is {} off the nearest mounting position of {}.",
            words.length(one.by.length()),
            one.piece
        ),
        _ => format!(
            "{tags} are off the mounting positions of the frame, {} by {} from {}.",
            facts.tag(farthest.index),
            words.length(farthest.by.length()),
            farthest.piece
        ),
    };
    let free: Vec<&Off<'_>> = near.iter().filter(|off| !facts.locked(off.index)).collect();
    let move_ = match free.as_slice() {
        [] => format!("Unlock {tags} and move onto the frame."),
        [one] => format!("Move {} by {}.", facts.tag(one.index), words.pair(one.by)),
        _ => "Move each to its nearest mounting position.".to_owned(),
    };
    let fix = (!free.is_empty()).then(|| {
        Fix::MoveCups(
            free.iter()
                .map(|off| (facts.cups[off.index].id, facts.cups[off.index].lip.at + off.by))
                .collect(),
        )
    });
    Some(
        Draft::new(INFO.id, Severity::Watch, says)
            .cups(near.iter().map(|off| facts.cups[off.index].id))
            .figure(farthest.by.length(), 0.0, Quantity::Length)
            .remedy(move_)
            .fix(fix)
            .off(farthest.by.length() / NEAR),
    )
}
