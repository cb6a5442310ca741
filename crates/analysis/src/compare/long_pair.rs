//! One long cup against two round ones: from which spacing of the two on they hold more.

use super::Side;
use crate::{loads, part_stage, report::CupReport, seats::Ground, snapshot::Snapshot, stages::Analyst};
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
    /// The widest at which both lips still land on the part as they are turned now, mm.
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
    /// Where the two begin to hold more.
    pub more: MoreFrom,
}

/// Spacing from which on two round cups hold more than a long one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MoreFrom {
    /// At every spacing, from touching lips on.
    Touching,
    /// From this distance of their centres on, mm.
    Spacing(f64),
    /// At no spacing within this part.
    Never,
}

/// Compares one long cup with two round ones over the same part; `None` when the layouts are not such a pair.
pub fn long_pair(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Option<LongPair> {
    let sides = super::sides(analyst, project, layouts);
    let long = sides.iter().position(|side| is_long(&side.report.cups))?;
    let pair = sides.iter().position(|side| is_pair(&side.report.cups))?;
    let part_of = |side: &Side| project.layout(side.report.layout).map(|layout| layout.part);
    if part_of(&sides[long]) != part_of(&sides[pair]) {
        return None;
    }
    let part = project.part(part_of(&sides[pair])?)?;
    let cups = &sides[pair].report.cups;
    let snapshot = analyst.snapshot(project, sides[pair].report.layout)?;
    let ground = part_stage::ground(analyst.parts.entry(part.id).or_default(), part)?;
    let row = Row::of(&cups[0], &cups[1], sides[long].report.cups[0].turn_deg);
    let touching_mm = 0.5 * (cups[0].shape.size().max_element() + cups[1].shape.size().max_element());
    let widest_mm = row.widest(&ground, cups, touching_mm);
    let motions = sides[pair]
        .report
        .motions
        .iter()
        .filter_map(|motion| {
            let held = sides[long].report.motions.iter().find(|held| held.id == motion.id)?;
            let (pair, long) = (motion.outcome.as_ref().ok()?.factor, held.outcome.as_ref().ok()?.factor);
            let case = snapshot.case(motion.id)?;
            let more = row.more_from(&snapshot, case, long, touching_mm, widest_mm);
            Some(SpacingReport { motion: motion.id, long, pair, more })
        })
        .collect();
    let spacing_mm = cups[0].at.distance(cups[1].at);
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
    fn of(a: &CupReport, b: &CupReport, turn_deg: f64) -> Self {
        let along = (b.at - a.at).normalize_or(DVec2::from_angle(turn_deg.to_radians()));
        Self { middle: 0.5 * (a.at + b.at), along }
    }

    fn places(&self, spacing: f64) -> [DVec2; 2] {
        let half = self.along * (0.5 * spacing);
        [self.middle - half, self.middle + half]
    }

    /// The widest spacing at which both lips land on sound surface, within a thousandth of the part.
    fn widest(&self, ground: &Ground<'_>, cups: &[CupReport], touching: f64) -> f64 {
        let bounds = ground.shape.bounds;
        let reach = DVec2::new(bounds[2] - bounds[0], bounds[3] - bounds[1]).length();
        let lands = |spacing: f64| {
            self.places(spacing).iter().zip(cups).all(|(at, cup)| {
                let lip = Lip { shape: cup.shape, at: *at, turn: cup.turn_deg.to_radians() };
                ground.shape.surface.clearance(&lip).is_some_and(|clearance| clearance.distance >= 0.0)
            })
        };
        let at = |step: u32| touching + (reach - touching).max(0.0) * f64::from(step) / 1000.0;
        (0..=1000).rev().map(at).find(|spacing| lands(*spacing)).unwrap_or(touching)
    }

    fn more_from(
        &self,
        snapshot: &Snapshot,
        case: &LoadCase,
        long: f64,
        touching: f64,
        widest: f64,
    ) -> MoreFrom {
        let more = |spacing: f64| self.factor(snapshot, case, spacing) > long;
        if !more(widest) {
            return MoreFrom::Never;
        }
        let at = |step: u32| touching + (widest - touching) * f64::from(step) / f64::from(SPACINGS);
        let Some(step) = (0..SPACINGS).rev().find(|step| !more(at(*step))) else { return MoreFrom::Touching };
        let (mut less, mut enough) = (at(step), at(step + 1));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (less + enough);
            if more(middle) { enough = middle } else { less = middle }
        }
        MoreFrom::Spacing(enough)
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
pub(crate) fn opening_moments(cup: &CupReport) -> [f64; 2] {
    const M_PER_MM: f64 = 1e-3;
    let line = &cup.line;
    let left = (cup.vacuum_force_n - cup.seal_minimum_n_mm * line.length).max(0.0);
    [line.ix / line.half_width, line.iy / line.half_length]
        .map(|modulus| left * modulus / line.length * M_PER_MM)
}
