//! `seat.overlap`: two lips overlap or all but touch.
//!
//! Why: cups that touch fold each other's lips and leak; a lip spreads when it is pressed on.
//! Limits: fails below 0 mm between the outer lips under load, watched below 2 mm (project setting). Remedy: the
//! spacing needed and a move.

use super::{Draft, Facts, RuleInfo, grid};
use crate::{
    report::{Fix, Severity},
    seats::{Gap, LENGTH_NOISE},
};
use glam::DVec2;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.overlap",
    title: "Lips overlap",
    explains: "Cups that touch fold each other's lips and leak; a lip spreads under load.",
    fail: "gap between outer lips below 0 mm",
    watch: "gap below 2 mm",
    remedy: "the spacing of the centres needed, and a move",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let limit = facts.project.rules.gap_watch_mm;
    for gap in facts.gaps {
        let [Some(a), Some(b)] = gap.cups.map(|cup| facts.index_of(cup)) else { continue };
        let overlap = gap.distance < -LENGTH_NOISE;
        let apart = facts.cups[a].lip.at.distance(facts.cups[b].lip.at);
        let (tag_a, tag_b) = (facts.tag(a), facts.tag(b));
        let says = if overlap {
            format!("{tag_a} and {tag_b} overlap by {}.", facts.words.length(-gap.distance))
        } else {
            let left = facts.words.length(gap.distance.max(0.0));
            format!("{tag_a} and {tag_b} are {left} apart; lips spread under load.")
        };
        let short = limit.max(0.0) - gap.distance;
        let spacing = format!(
            "Centres {} apart would leave {}",
            facts.words.length(facts.words.upwards(apart + short, Quantity::Length)[0]),
            facts.words.length(limit.max(0.0))
        );
        let moved = shift(facts, gap, [a, b], limit.max(0.0));
        let remedy = match moved {
            Some((index, shift)) => {
                format!("Move {} by {}. {spacing}.", facts.tag(index), facts.words.pair(shift))
            }
            None => format!(
                "{spacing}; there is no room on this line, so move one of them aside or use smaller lips."
            ),
        };
        let fix = moved.map(|(index, shift)| {
            Fix::MoveCups(vec![(facts.cups[index].id, facts.cups[index].lip.at + shift)])
        });
        out.push(
            Draft::new(INFO.id, if overlap { Severity::Fail } else { Severity::Watch }, says)
                .cups(gap.cups)
                .figure(gap.distance, limit, Quantity::Length)
                .remedy(remedy)
                .fix(fix)
                .off(if overlap { 1.0 } else { 0.0 } + short / facts.cups[a].lip.shape.size().max_element()),
        );
    }
}

/// One cup pushed away from the other until the gap is `wide` enough, by a move that can be printed: the second where it may
/// move and still lands, else the first.
fn shift(facts: &Facts<'_>, gap: &Gap, pair: [usize; 2], wide: f64) -> Option<(usize, DVec2)> {
    let [a, b] = pair.map(|index| facts.cups[index].lip.at);
    let away = (b - a)
        .try_normalize()
        .or_else(|| (gap.points[1] - gap.points[0]).try_normalize())
        .unwrap_or(DVec2::X);
    [(pair[1], away), (pair[0], -away)].into_iter().find_map(|(index, way)| {
        let lip = &facts.cups[index].lip;
        let exact = way * (wide - gap.distance);
        let outwards = |mm: f64, more: usize| match facts.words.upwards(mm.abs(), Quantity::Length)[more] {
            _ if mm.abs() < LENGTH_NOISE => 0.0,
            step => step * mm.signum(),
        };
        let other = &facts.cups[pair[0] + pair[1] - index].lip;
        let wide_enough = |moved: &geometry::Lip| geometry::gap(moved, other).0 >= wide - LENGTH_NOISE;
        let apart = |moved: &geometry::Lip| wide_enough(moved) && grid::is_clear(facts, index, moved);
        let on_grid = grid::place(facts, index, lip.at + exact, &apart);
        if let Some(place) = on_grid.filter(|_| !facts.locked(index)) {
            return Some((index, place - lip.at));
        }
        let by = (0..3)
            .map(|more| DVec2::new(outwards(exact.x, more), outwards(exact.y, more)))
            .find(|by| wide_enough(&geometry::Lip { at: lip.at + *by, ..*lip }))
            .unwrap_or(exact);
        let moved = geometry::Lip { at: lip.at + by, ..*lip };
        let clear = grid::is_clear(facts, index, &moved);
        let lands = facts.ground.is_none_or(|ground| ground.lands_at(lip, moved.at));
        (clear && lands && !facts.locked(index)).then_some((index, by))
    })
}
