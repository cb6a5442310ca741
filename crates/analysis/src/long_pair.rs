//! One long cup against two round ones: from which spacing of the two on they hold more.

use crate::{
    loads, part_stage,
    report::CupReport,
    seats::Ground,
    side::{Side, sides},
    slow::{Known, ratios},
    snapshot::Snapshot,
    stages::Analyst,
    support::PRINTED,
};
use document::{LayoutId, MotionId, Project};
use geometry::{Lip, LipShape};
use glam::DVec2;
use mechanics::{CupSpring, LipStrength, LoadCase};

/// Longer than this times its width, a lip counts as long.
const LONG: f64 = 1.2;
/// Spacings looked at between touching lips and the widest, before the place of a change is narrowed down.
const SPACINGS: u32 = 60;
/// Narrowings of a place, each by half.
const HALVINGS: u32 = 40;

/// One long cup and two round ones over the same part.
#[derive(Debug, Clone, PartialEq)]
pub struct LongPair {
    /// Place of the layout with the long cup among those compared.
    pub long: usize,
    /// Place of the layout with the two round ones.
    pub pair: usize,
    /// Distance of the centres of the two as drawn, mm.
    pub spacing_mm: f64,
    /// At which their lips touch, mm.
    pub touching_mm: f64,
    /// The widest at which both lips still land on the part as they are turned now, set evenly about the centre of gravity, mm;
    /// as touching where none does.
    pub widest_mm: f64,
    /// For every motion that has a figure in both layouts.
    pub motions: Vec<SpacingReport>,
}

/// From which spacing on two round cups hold more than the long one, in one motion.
#[derive(Debug, Clone, PartialEq)]
pub struct SpacingReport {
    /// The motion.
    pub motion: MotionId,
    /// Factor of the long cup.
    pub long: f64,
    /// Factor of the two as drawn.
    pub pair: f64,
    /// By how much the ratio of the two may be off with what is assumed, or the printed figures, as a share of it.
    pub margin: f64,
    /// Where the two hold more.
    pub more: MoreFrom,
}

/// Spacings at which two round cups, set evenly about the centre of gravity, hold more than a long one by more than what is
/// assumed could make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MoreFrom {
    /// At every spacing, from touching lips on.
    Touching,
    /// From this distance of their centres on, mm.
    Spacing(f64),
    /// From this distance to that, and not at the widest, mm.
    Between(f64, f64),
    /// At no spacing, nor less at every one.
    NoDifference,
    /// Less at every spacing within this part.
    Never,
    /// At no spacing do both land.
    NoRoom,
}

/// Compares one long cup with two round ones over the same part; `None` when the layouts are not such a pair.
pub fn long_pair(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Option<LongPair> {
    let sides = sides(analyst, project, layouts);
    let long = sides.iter().position(|side| is_long(&side.report.cups))?;
    let pair = sides.iter().position(|side| is_pair(&side.report.cups))?;
    let part_of = |side: &Side| project.layout(side.report.layout).map(|layout| layout.part);
    if part_of(&sides[long]) != part_of(&sides[pair]) {
        return None;
    }
    let part = project.part(part_of(&sides[pair])?)?;
    let cups = &sides[pair].report.cups;
    let (snapshot, names) = analyst.snapshot_named(project, sides[pair].report.layout)?;
    let of_long = analyst.snapshot_named(project, sides[long].report.layout)?;
    let ground = part_stage::ground(analyst.parts.entry(part.id).or_default(), part)?;
    let row =
        Row::of(&cups[0], &cups[1], sides[long].report.cups[0].turn_deg, snapshot.body.centre.truncate());
    let touching_mm = 0.5 * (cups[0].shape.size().max_element() + cups[1].shape.size().max_element());
    let spacings = row.spacings(&ground, cups, touching_mm);
    let widest_mm = spacings.last().copied().unwrap_or(touching_mm);
    let spacing_mm = cups[0].at.distance(cups[1].at);
    // What is assumed is looked at with the two set evenly, so that it does not hang on where they were drawn.
    let mut even = Snapshot::clone(&snapshot);
    let places = row.places(spacing_mm.clamp(touching_mm, widest_mm.max(touching_mm)));
    for (cup, at) in even.cups.iter_mut().zip(places) {
        cup.spring.at = at;
    }
    let ratios =
        ratios(&Known { snapshot: &even, names: &names }, &Known { snapshot: &of_long.0, names: &of_long.1 });
    let margin = |id: MotionId| {
        let found = ratios.as_ref().and_then(|found| found.motions.iter().find(|(motion, _)| *motion == id));
        found.map_or(0.0, |(_, ratio)| ratio.margin()).max(PRINTED)
    };
    let motions = sides[pair]
        .report
        .motions
        .iter()
        .filter_map(|motion| {
            let held = sides[long].report.motions.iter().find(|held| held.id == motion.id)?;
            let (pair, long) = (motion.outcome.as_ref().ok()?.factor, held.outcome.as_ref().ok()?.factor);
            let case = snapshot.case(motion.id)?;
            let margin = margin(motion.id);
            let more = row.more_from(&snapshot, case, (long, margin), &spacings);
            Some(SpacingReport { motion: motion.id, long, pair, margin, more })
        })
        .collect();
    Some(LongPair { long, pair, spacing_mm, touching_mm, widest_mm, motions })
}

fn is_long(cups: &[CupReport]) -> bool {
    let [cup] = cups else { return false };
    let size = cup.sealing.size();
    !matches!(cup.shape, LipShape::Round { .. }) && size.x > LONG * size.y
}

fn is_pair(cups: &[CupReport]) -> bool {
    cups.len() == 2 && cups.iter().all(|cup| matches!(cup.shape, LipShape::Round { .. }))
}

/// Two cups on a line about their middle.
struct Row {
    middle: DVec2,
    along: DVec2,
}

impl Row {
    /// On the line of two cups, about the place on it that is nearest to the centre of gravity: where they were drawn along
    /// it makes no difference.
    fn of(a: &CupReport, b: &CupReport, turn_deg: f64, centre: DVec2) -> Self {
        let along = (b.at - a.at).normalize_or(DVec2::from_angle(turn_deg.to_radians()));
        Self { middle: a.at + along * along.dot(centre - a.at), along }
    }

    fn places(&self, spacing: f64) -> [DVec2; 2] {
        let half = self.along * (0.5 * spacing);
        [self.middle - half, self.middle + half]
    }

    /// Spacings at which both lips land on sound surface, from touching on, the widest to a thousandth of the part.
    fn spacings(&self, ground: &Ground<'_>, cups: &[CupReport], touching: f64) -> Vec<f64> {
        let bounds = ground.shape.bounds;
        let reach = DVec2::new(bounds[2] - bounds[0], bounds[3] - bounds[1]).length();
        let lands = |spacing: &f64| {
            self.places(*spacing).iter().zip(cups).all(|(at, cup)| {
                let lip = Lip { shape: cup.shape, at: *at, turn: cup.turn_deg.to_radians() };
                ground.shape.surface.clearance(&lip).is_some_and(|clearance| clearance.distance >= 0.0)
            })
        };
        let between = |to: f64, step: u32, of: u32| {
            touching + (to - touching).max(0.0) * f64::from(step) / f64::from(of)
        };
        let Some(widest) = (0..=1000).rev().map(|step| between(reach, step, 1000)).find(lands) else {
            return Vec::new();
        };
        (0..=SPACINGS).map(|step| between(widest, step, SPACINGS)).filter(lands).collect()
    }

    fn more_from(
        &self,
        snapshot: &Snapshot,
        case: &LoadCase,
        (long, margin): (f64, f64),
        spacings: &[f64],
    ) -> MoreFrom {
        let more = |spacing: f64| self.factor(snapshot, case, spacing) > long * (1.0 + margin);
        let less = |spacing: f64| self.factor(snapshot, case, spacing) * (1.0 + margin) < long;
        let found: Vec<bool> = spacings.iter().map(|spacing| more(*spacing)).collect();
        let (Some(last), Some(widest)) = (found.last(), spacings.last()) else { return MoreFrom::NoRoom };
        if found.iter().all(|more| *more) {
            return MoreFrom::Touching;
        }
        if *last {
            let start = found.iter().rposition(|more| !more).unwrap_or(0);
            let (mut short, mut enough) =
                (spacings[start], spacings.get(start + 1).copied().unwrap_or(*widest));
            for _ in 0..HALVINGS {
                let middle = 0.5 * (short + enough);
                if more(middle) { enough = middle } else { short = middle }
            }
            return MoreFrom::Spacing(enough);
        }
        let first = found.iter().position(|more| *more);
        match first {
            Some(first) => {
                let run = found[first..].iter().take_while(|more| **more).count();
                MoreFrom::Between(spacings[first], spacings[first + run - 1])
            }
            None if spacings.iter().all(|spacing| less(*spacing)) => MoreFrom::Never,
            None => MoreFrom::NoDifference,
        }
    }

    fn factor(&self, snapshot: &Snapshot, case: &LoadCase, spacing: f64) -> f64 {
        let places = self.places(spacing);
        let springs: Vec<CupSpring> =
            snapshot.cups.iter().zip(places).map(|(cup, at)| CupSpring { at, ..cup.spring }).collect();
        let strengths: Vec<LipStrength> = snapshot.strengths();
        loads::factored(&springs)
            .ok()
            .and_then(|group| loads::solve(&group, &snapshot.body, &strengths, case).ok())
            .map_or(0.0, |solved| solved.factor())
    }
}

/// Moments that open a lip which carries nothing else, about its length and about its width, N·m.
///
/// # Source
/// The seal limit of [`LipStrength`] without pull.
pub fn opening_moments(cup: &CupReport) -> [f64; 2] {
    const M_PER_MM: f64 = 1e-3;
    let line = &cup.line;
    let left = (cup.vacuum_force_n - cup.seal_minimum_n_mm * line.length).max(0.0);
    [line.ix / line.half_width, line.iy / line.half_length]
        .map(|modulus| left * modulus / line.length * M_PER_MM)
}
