//! `seat.overlap`: two lips overlap or all but touch.
//!
//! Why: cups that touch fold each other's lips and leak; a lip spreads when it is pressed on. On a tool for several parts two
//! cups stand in each other's way whichever parts they hold.
//! Limits: fails below 0 mm between the outer lips under load, watched below 2 mm (project setting). Remedy: the
//! spacing needed and a move.

use super::{Draft, Facts, RuleInfo, grid};
use crate::{
    report::{Fix, Severity},
    seats::{Gap, LENGTH_NOISE},
    words::Words,
};
use document::{Cup, CupId};
use geometry::Lip;
use glam::DVec2;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.overlap",
    title: "Lips overlap",
    explains: "Cups that touch fold each other's lips and leak; a lip spreads under load. On a tool for several parts it is \
               every cup of the tool against every other, whichever parts they hold.",
    fail: "gap between outer lips below 0 mm",
    watch: "gap below 2 mm",
    remedy: "the spacing of the centres needed, and a move",
};

/// Two lips too near each other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Near {
    gap: Gap,
    tags: [String; 2],
    /// Of the centres, mm.
    apart: f64,
    /// Largest size of the first lip, mm.
    size: f64,
    /// The cup to move, by how much and to where, mm; `None` where no move along the line of the centres is clear.
    moved: Option<(CupId, DVec2, DVec2)>,
}

/// Lips that may be near each other, and what a move of one must keep.
pub(crate) struct Lips<'a> {
    /// Cups with their lips.
    pub cups: &'a [(&'a Cup, Lip)],
    /// Pairs with less than the limit between them.
    pub gaps: &'a [Gap],
    /// The gap that is asked for, mm.
    pub limit: f64,
    /// Whether a cup, by its place in the list, may go to a place.
    pub lands: &'a dyn Fn(usize, DVec2) -> bool,
    /// Units in which a move must be printable.
    pub words: Words<'a>,
    /// Grid that a move lands on, mm; `None` where nobody has one.
    pub step_mm: Option<f64>,
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let limit = facts.project.rules.gap_watch_mm;
    let own;
    let near: &[Near] = match facts.seated {
        Some(seated) => &seated.near,
        None => {
            let cups: Vec<(&Cup, Lip)> =
                facts.placed.iter().zip(facts.cups).map(|(cup, of)| (*cup, of.lip)).collect();
            let lands = |index: usize, at: DVec2| {
                facts.ground.is_none_or(|ground| ground.lands_at(&cups[index].1, at))
            };
            let (gaps, words, step_mm) = (facts.gaps, facts.words, facts.step_mm);
            own = near(&Lips { cups: &cups, gaps, limit, lands: &lands, words, step_mm });
            &own
        }
    };
    out.extend(near.iter().map(|near| draft(facts.words, near, limit)));
}

fn draft(words: Words<'_>, near: &Near, limit: f64) -> Draft {
    let Near { gap, tags: [a, b], apart, size, moved } = near;
    let overlap = gap.distance < -LENGTH_NOISE;
    let says = if overlap {
        format!("{a} and {b} overlap by {}.", words.length(-gap.distance))
    } else {
        let left = words.length(gap.distance.max(0.0));
        format!("{a} and {b} are {left} apart; lips spread under load.")
    };
    let short = limit.max(0.0) - gap.distance;
    let spacing = format!(
        "Centres {} apart would leave {}",
        words.length(words.upwards(apart + short, Quantity::Length)[0]),
        words.length(limit.max(0.0))
    );
    let remedy = match moved {
        Some((cup, shift, _)) => {
            let tag = if *cup == gap.cups[1] { b } else { a };
            format!("Move {tag} by {}. {spacing}.", words.pair(*shift))
        }
        None => {
            format!(
                "{spacing}; there is no room on this line, so move one of them aside or use smaller lips."
            )
        }
    };
    let fix = moved.map(|(cup, _, to)| Fix::MoveCups(vec![(cup, to)]));
    Draft::new(INFO.id, if overlap { Severity::Fail } else { Severity::Watch }, says)
        .cups(gap.cups)
        .figure(gap.distance, limit, Quantity::Length)
        .remedy(remedy)
        .fix(fix)
        .off(if overlap { 1.0 } else { 0.0 } + short / size)
}

/// What is told of the gaps, in their order.
pub(crate) fn near(lips: &Lips<'_>) -> Vec<Near> {
    let place = |id: CupId| lips.cups.iter().position(|(cup, _)| cup.id == id);
    let each = lips.gaps.iter().filter_map(|gap| {
        let [Some(a), Some(b)] = gap.cups.map(place) else { return None };
        let moved = shift(lips, gap, [a, b]).map(|(index, shift)| {
            let (cup, lip) = &lips.cups[index];
            (cup.id, shift, lip.at + shift)
        });
        let [first, second] = [a, b].map(|index| &lips.cups[index]);
        Some(Near {
            gap: *gap,
            tags: [first.0.tag.clone(), second.0.tag.clone()],
            apart: first.1.at.distance(second.1.at),
            size: first.1.shape.size().max_element(),
            moved,
        })
    });
    each.collect()
}

/// One cup pushed away from the other until the gap is wide enough, by a move that can be printed: the second where it may
/// move and still lands, else the first.
fn shift(lips: &Lips<'_>, gap: &Gap, pair: [usize; 2]) -> Option<(usize, DVec2)> {
    let wide = lips.limit.max(0.0);
    let [a, b] = pair.map(|index| lips.cups[index].1.at);
    let away = (b - a)
        .try_normalize()
        .or_else(|| (gap.points[1] - gap.points[0]).try_normalize())
        .unwrap_or(DVec2::X);
    [(pair[1], away), (pair[0], -away)].into_iter().find_map(|(index, way)| {
        let (cup, lip) = &lips.cups[index];
        let exact = way * (wide - gap.distance);
        let outwards = |mm: f64, more: usize| match lips.words.upwards(mm.abs(), Quantity::Length)[more] {
            _ if mm.abs() < LENGTH_NOISE => 0.0,
            step => step * mm.signum(),
        };
        let other = &lips.cups[pair[0] + pair[1] - index].1;
        let wide_enough = |moved: &Lip| geometry::gap(moved, other).0 >= wide - LENGTH_NOISE;
        // With overlaps all over the part no single move is clear, and looking would cost the square of the cups.
        let clear = |moved: &Lip| {
            lips.gaps.len() > grid::MANY_GAPS
                || lips.cups.iter().enumerate().all(|(i, (_, held))| {
                    i == index
                        || held.at.distance(moved.at) > lip.shape.size().length() + held.shape.size().length()
                        || geometry::gap(moved, held).0 >= -LENGTH_NOISE
                })
        };
        let goes = |at: DVec2| {
            let moved = Lip { at, ..*lip };
            clear(&moved) && (lips.lands)(index, at) && !cup.locked
        };
        let apart = |at: DVec2| wide_enough(&Lip { at, ..*lip }) && goes(at);
        if let Some(place) = grid::place(lips.step_mm, &lips.words, (lip.at, lip.at + exact), &apart) {
            return Some((index, place - lip.at));
        }
        let by = (0..3)
            .map(|more| DVec2::new(outwards(exact.x, more), outwards(exact.y, more)))
            .find(|by| wide_enough(&Lip { at: lip.at + *by, ..*lip }))
            .unwrap_or(exact);
        goes(lip.at + by).then_some((index, by))
    })
}
