//! The figures over the sheet that are shown at an instant.

use super::state::{Bending, What};
use crate::view::View;
use analysis::{BendingReport, BentMotion, RingReport, Rings, SagMap, StrokeRing};
use std::{borrow::Cow, f64::consts::TAU};

/// A mode is played so that one swing takes this long, s: real ones are too fast to see.
const SWING: f64 = 1.6;

/// Figures over the sheet.
pub(super) struct Shown<'a> {
    pub map: &'a SagMap,
    /// At every corner of the map.
    pub values: Cow<'a, [f64]>,
    /// Size that the darkest shade stands for.
    pub most: f64,
    /// Whether the figures are millimetres; else shares of the largest.
    pub lengths: bool,
    pub bent: Option<&'a BentMotion>,
}

pub(super) fn bending(view: &View) -> Option<&BendingReport> {
    view.report.bending.as_ref()?.as_ref().ok().map(AsRef::as_ref)
}

pub(super) fn ring(view: &View) -> Option<&RingReport> {
    view.report.ringing.as_ref()?.as_ref().ok().map(AsRef::as_ref)
}

/// The stroke of the shown motion, where it has one across the sheet.
pub(super) fn stroke(view: &View) -> Option<&StrokeRing> {
    let motion = view.shown_motion()?;
    match &ring(view)?.motions.iter().find(|own| own.id == motion.id)?.rings {
        Rings::Stroke(stroke) => Some(stroke),
        Rings::InPlane | Rings::Sudden(_) => None,
    }
}

pub(super) fn shown<'a>(view: &'a View, state: &Bending) -> Option<Shown<'a>> {
    let bending = bending(view)?;
    let map = bending.map.as_ref();
    let count = map.points.len();
    let of_motion = view.shown_motion().and_then(|motion| bending.of_motion(motion.id));
    let sag = || {
        let bent = of_motion?;
        let most = bent.over_lips.iter().map(|w| w.abs()).fold(bent.sag_mm.abs(), f64::max);
        Some(Shown {
            map,
            values: Cow::Borrowed(bent.over_lips.as_slice()),
            most,
            lengths: true,
            bent: Some(bent),
        })
    };
    let found = match state.what {
        What::Sag => sag()?,
        What::Mode(at) => {
            let mode = ring(view)?.modes.get(at)?;
            let swing = if state.playing { (TAU * state.time / SWING).cos() } else { 1.0 };
            let values = mode.shape.iter().map(|value| value * swing).collect();
            Shown { map, values: Cow::Owned(values), most: 1.0, lengths: false, bent: None }
        }
        What::Stroke => {
            let (ring, stroke) = (ring(view)?, stroke(view)?);
            let at = instant(state, stroke);
            let parts = stroke.modal.get(at)?;
            let mut values = vec![0.0; count];
            for (mode, part) in ring.modes.iter().zip(parts) {
                values.iter_mut().zip(&mode.shape).for_each(|(value, shape)| *value += part * shape);
            }
            let most = stroke.stated.most_mm.abs().max(1e-9);
            Shown { map, values: Cow::Owned(values), most, lengths: true, bent: None }
        }
    };
    (found.values.len() == count && found.most > 0.0).then_some(found)
}

/// Which of the kept instants of a stroke is shown: the one of the largest swing until it is played.
pub(super) fn instant(state: &Bending, stroke: &StrokeRing) -> usize {
    let course = &stroke.course;
    if !state.playing {
        let most = course.iter().enumerate().max_by(|a, b| a.1[1].abs().total_cmp(&b.1[1].abs()));
        return most.map_or(0, |(at, _)| at);
    }
    let whole = course.last().map_or(0.0, |last| last[0]);
    let time = if whole > 0.0 { (state.time * state.pace.times()).rem_euclid(whole) } else { 0.0 };
    course.iter().position(|[at, _]| *at >= time).unwrap_or(0)
}
