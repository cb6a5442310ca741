//! How a part that bends rings, and what stands behind its factors.

use super::{known, number, pair};
use analysis::{BentReserve, RingReport, Rings, SagIs, StrokeFigures};
use document::{CupId, MotionId, MoveProfile};
use serde::Serialize;
use std::{collections::HashMap, sync::Arc};

/// What small deflections are worth.
pub(super) fn worth(sag_is: SagIs) -> &'static str {
    match sag_is {
        SagIs::Small => "small",
        SagIs::Less => "less",
        SagIs::VeryLarge => "very_large",
    }
}

#[derive(Serialize, Default)]
pub(super) struct ReserveJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    not_checked: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motions: Vec<ReserveMotionJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    one_more_cup: Option<OneMoreJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    dishing: Vec<DishedJson<'a>>,
}

#[derive(Serialize)]
struct ReserveMotionJson<'a> {
    name: &'a str,
    stress_n_mm2: f64,
    stress_at_mm: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    range: Option<RangeJson>,
    one_cup_lost: Vec<LostJson<'a>>,
}

#[derive(Serialize)]
struct RangeJson {
    least: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    most: Option<f64>,
}

#[derive(Serialize)]
struct LostJson<'a> {
    tag: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    factor: Option<f64>,
    then_lost: Vec<&'a str>,
    holds: bool,
}

#[derive(Serialize)]
struct OneMoreJson<'a> {
    like: &'a str,
    at_mm: [f64; 2],
    sag_before_mm: f64,
    sag_after_mm: f64,
}

#[derive(Serialize)]
struct DishedJson<'a> {
    tag: &'a str,
    held_mm: f64,
    free_mm: f64,
    stress_n_mm2: f64,
    is: &'static str,
}

pub(super) fn reserve<'a>(
    held: &'a Result<Arc<BentReserve>, String>,
    tags: &HashMap<CupId, &'a str>,
    names: &HashMap<MotionId, &'a str>,
) -> ReserveJson<'a> {
    let tag = |id: &CupId| tags.get(id).copied().unwrap_or_default();
    let held = match held {
        Err(why) => return ReserveJson { not_checked: Some(why), ..ReserveJson::default() },
        Ok(held) => held,
    };
    let motions = held.motions.iter().map(|motion| ReserveMotionJson {
        name: names.get(&motion.id).copied().unwrap_or_default(),
        stress_n_mm2: known(motion.stress_n_mm2),
        stress_at_mm: pair(motion.stress_at),
        range: motion.range.map(|[least, most]| RangeJson { least: known(least), most: number(most) }),
        one_cup_lost: motion
            .lost
            .iter()
            .map(|lost| LostJson {
                tag: tag(&lost.cup),
                factor: lost.factor.and_then(number),
                then_lost: lost.then_lost.iter().map(tag).collect(),
                holds: lost.holds,
            })
            .collect(),
    });
    ReserveJson {
        not_checked: None,
        motions: motions.collect(),
        one_more_cup: held.one_more.map(|more| OneMoreJson {
            like: tag(&more.like),
            at_mm: pair(more.at),
            sag_before_mm: known(more.before_mm),
            sag_after_mm: known(more.after_mm),
        }),
        dishing: held
            .dishing
            .iter()
            .map(|cup| DishedJson {
                tag: tag(&cup.id),
                held_mm: known(cup.held_mm),
                free_mm: known(cup.free_mm),
                stress_n_mm2: known(cup.stress_n_mm2),
                is: worth(cup.is),
            })
            .collect(),
    }
}

#[derive(Serialize, Default)]
pub(super) struct RingingJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    not_checked: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    damping: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limit_mm: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    modes: Vec<ModeJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motions: Vec<RingMotionJson<'a>>,
}

#[derive(Serialize)]
struct ModeJson {
    frequency_hz: f64,
    moving_kg: f64,
}

#[derive(Serialize, Default)]
struct RingMotionJson<'a> {
    name: &'a str,
    in_plane: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    stroke: Option<StrokeJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sudden: Option<SuddenJson<'a>>,
}

#[derive(Serialize)]
struct StrokeJson {
    stated: OneStrokeJson,
    most_at_mm: [f64; 2],
    left_at_mm: [f64; 2],
    most_is: &'static str,
    pause_s: f64,
    others: Vec<OneStrokeJson>,
}

#[derive(Serialize)]
struct OneStrokeJson {
    profile: &'static str,
    time_s: f64,
    most_mm: f64,
    left_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    wait_s: Option<f64>,
}

#[derive(Serialize)]
struct SuddenJson<'a> {
    tag: &'a str,
    pull_n: f64,
    even_pull_n: f64,
    times: f64,
    sag_times: f64,
}

fn stroke(figures: &StrokeFigures) -> OneStrokeJson {
    OneStrokeJson {
        profile: match figures.profile {
            MoveProfile::Trapezoid => "trapezoid",
            MoveProfile::Cycloid => "cycloid",
            MoveProfile::Quintic => "quintic",
        },
        time_s: known(figures.time_s),
        most_mm: known(figures.most_mm),
        left_mm: known(figures.left_mm),
        wait_s: figures.wait_s.and_then(number),
    }
}

pub(super) fn ringing<'a>(
    held: &'a Result<Arc<RingReport>, String>,
    tags: &HashMap<CupId, &'a str>,
    names: &HashMap<MotionId, &'a str>,
) -> RingingJson<'a> {
    let held = match held {
        Err(why) => return RingingJson { not_checked: Some(why), ..RingingJson::default() },
        Ok(held) => held,
    };
    let motions = held.motions.iter().map(|motion| {
        let name = names.get(&motion.id).copied().unwrap_or_default();
        match &motion.rings {
            Rings::InPlane => RingMotionJson { name, in_plane: true, ..RingMotionJson::default() },
            Rings::Stroke(ring) => {
                let found = StrokeJson {
                    stated: stroke(&ring.stated),
                    most_at_mm: pair(ring.most_at),
                    left_at_mm: pair(ring.left_at),
                    most_is: worth(ring.most_is),
                    pause_s: known(ring.pause_s),
                    others: ring.others.iter().map(stroke).collect(),
                };
                RingMotionJson { name, stroke: Some(found), ..RingMotionJson::default() }
            }
            Rings::Sudden(ring) => {
                let found = SuddenJson {
                    tag: tags.get(&ring.cup).copied().unwrap_or_default(),
                    pull_n: known(ring.pull_n),
                    even_pull_n: known(ring.even_pull_n),
                    times: known(ring.times),
                    sag_times: known(ring.sag_times),
                };
                RingMotionJson { name, sudden: Some(found), ..RingMotionJson::default() }
            }
        }
    });
    let mode = |mode: &analysis::ModeReport| ModeJson {
        frequency_hz: known(mode.hz),
        moving_kg: known(mode.moving_kg),
    };
    RingingJson {
        not_checked: None,
        damping: number(held.damping),
        limit_mm: number(held.limit_mm),
        modes: held.modes.iter().map(mode).collect(),
        motions: motions.collect(),
    }
}
