//! How a part that bends rings, and what stands behind its factors.

use super::{known, number, pair};
use analysis::{BentReserve, RingReport, Rings, SagIs, StrokeFigures};
use document::{CupId, MotionId, MoveProfile};
use serde::Serialize;
use serde_with::skip_serializing_none;
use std::{collections::HashMap, sync::Arc};

/// What small deflections are worth.
pub(super) fn worth(sag_is: SagIs) -> &'static str {
    match sag_is {
        SagIs::Small => "small",
        SagIs::Less => "less",
        SagIs::VeryLarge => "very_large",
    }
}

#[skip_serializing_none]
#[derive(Serialize, Default)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
pub(super) struct ReserveJson<'a> {
    /// Why there are no figures.
    #[cfg_attr(test, schemars(length(min = 1)))]
    not_checked: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motions: Vec<ReserveMotionJson<'a>>,
    /// Where one more cup lowers the largest sag most, solved; absent where none does.
    one_more_cup: Option<OneMoreJson<'a>>,
    /// How far the part is drawn into each lip.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    dishing: Vec<DishedJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct ReserveMotionJson<'a> {
    name: &'a str,
    /// Largest principal bending stress at a face.
    #[cfg_attr(test, schemars(range(min = 0)))]
    stress_n_mm2: f64,
    stress_at_mm: [f64; 2],
    /// Of the factor, with assumed inputs.
    range: Option<BentRangeJson>,
    one_cup_lost: Vec<BentLostJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct BentRangeJson {
    #[cfg_attr(test, schemars(range(min = 0)))]
    least: f64,
    /// Absent where nothing limits it.
    #[cfg_attr(test, schemars(range(min = 0)))]
    most: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct BentLostJson<'a> {
    tag: &'a str,
    /// Of the first lip of the remaining cups; absent where they cannot carry the motion, or nothing limits it.
    #[cfg_attr(test, schemars(range(min = 0)))]
    factor: Option<f64>,
    then_lost: Vec<&'a str>,
    holds: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct OneMoreJson<'a> {
    like: &'a str,
    at_mm: [f64; 2],
    sag_before_mm: f64,
    sag_after_mm: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct DishedJson<'a> {
    tag: &'a str,
    /// Drawn in with a clamped edge.
    #[cfg_attr(test, schemars(range(min = 0)))]
    held_mm: f64,
    /// With a simply supported edge.
    #[cfg_attr(test, schemars(range(min = 0)))]
    free_mm: f64,
    stress_n_mm2: f64,
    #[cfg_attr(test, schemars(extend("enum" = ["small", "less", "very_large"])))]
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
        range: motion.range.map(|[least, most]| BentRangeJson { least: known(least), most: number(most) }),
        one_cup_lost: motion
            .lost
            .iter()
            .map(|lost| BentLostJson {
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

#[skip_serializing_none]
#[derive(Serialize, Default)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
pub(super) struct RingingJson<'a> {
    /// Why there are no figures.
    #[cfg_attr(test, schemars(length(min = 1)))]
    not_checked: Option<&'a str>,
    /// Damping ratio of all modes.
    #[cfg_attr(test, schemars(range(min = 0)))]
    damping: Option<f64>,
    /// Ringing limit at rest, either way.
    #[cfg_attr(test, schemars(range(min = 0)))]
    limit_mm: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    modes: Vec<RingModeJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motions: Vec<RingMotionJson<'a>>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct RingModeJson {
    /// Of the part on its cups.
    #[cfg_attr(test, schemars(range(min = 0)))]
    frequency_hz: f64,
    /// Mass that moves with it when the tool moves along its axis.
    #[cfg_attr(test, schemars(range(min = 0)))]
    moving_kg: f64,
}

#[skip_serializing_none]
#[derive(Serialize, Default)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct RingMotionJson<'a> {
    name: &'a str,
    /// It moves in the plane of the part, which does not ring.
    in_plane: bool,
    /// A stroke from rest to rest across the part.
    stroke: Option<RingStrokeJson>,
    /// A sudden acceleration across the part.
    sudden: Option<SuddenRingJson<'a>>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct RingStrokeJson {
    stated: OneStrokeJson,
    most_at_mm: [f64; 2],
    left_at_mm: [f64; 2],
    #[cfg_attr(test, schemars(extend("enum" = ["small", "less", "very_large"])))]
    most_is: &'static str,
    pause_s: f64,
    /// Other profiles and times, the soonest at rest first.
    others: Vec<OneStrokeJson>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct OneStrokeJson {
    #[cfg_attr(test, schemars(extend("enum" = ["trapezoid", "cycloid", "quintic"])))]
    profile: &'static str,
    time_s: f64,
    /// Largest deflection that the stroke adds to the weight's.
    most_mm: f64,
    /// Amplitude left at its end, all modes in phase.
    #[cfg_attr(test, schemars(range(min = 0)))]
    left_mm: f64,
    /// After its end until it rings within the limit; absent where it never does.
    #[cfg_attr(test, schemars(range(min = 0)))]
    wait_s: Option<f64>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct SuddenRingJson<'a> {
    tag: &'a str,
    /// Of the cup with the largest pull, while it rings.
    pull_n: f64,
    /// With the acceleration held steadily.
    even_pull_n: f64,
    /// Dynamic factor of that cup.
    #[cfg_attr(test, schemars(range(min = 0)))]
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
                let found = RingStrokeJson {
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
                let found = SuddenRingJson {
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
    let mode = |mode: &analysis::ModeReport| RingModeJson {
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
