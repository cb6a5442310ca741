//! How a part bends, beside the figures of a rigid one.

use super::{
    known, limit_word, number, pair,
    ringing::{ReserveJson, RingingJson, reserve, ringing, worth},
};
use analysis::{BendingReport, Report};
use document::{CupId, MotionId};
use serde::Serialize;
use std::{collections::HashMap, sync::Arc};

#[derive(Serialize)]
pub(super) struct BendingJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    not_checked: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    relative_stiffness: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    from_rigid: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    as_good_as_rigid: Option<bool>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motions: Vec<BentMotionJson<'a>>,
    /// Cups whose lip does not lie wholly on the part.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cups_left_out: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reserve: Option<ReserveJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ringing: Option<RingingJson<'a>>,
}

#[derive(Serialize)]
struct BentMotionJson<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    factor: Option<f64>,
    governing_cup: &'a str,
    governing_limit: &'static str,
    sag_mm: f64,
    sag_at_mm: [f64; 2],
    sag_is: &'static str,
    cups: Vec<BentCupJson<'a>>,
}

#[derive(Serialize)]
struct BentCupJson<'a> {
    tag: &'a str,
    pull_n: f64,
    tilt_nm: [f64; 2],
    rigid_pull_n: f64,
    gap_mm: f64,
    slope: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    factor: Option<f64>,
}

pub(super) fn bending<'a>(
    held: &'a Result<Arc<BendingReport>, String>,
    report: &'a Report,
    tags: &HashMap<CupId, &'a str>,
    names: &HashMap<MotionId, &'a str>,
) -> BendingJson<'a> {
    let tag = |id: &CupId| tags.get(id).copied().unwrap_or_default();
    match held {
        Err(why) => BendingJson {
            not_checked: Some(why),
            relative_stiffness: None,
            from_rigid: None,
            as_good_as_rigid: None,
            motions: Vec::new(),
            cups_left_out: Vec::new(),
            reserve: None,
            ringing: None,
        },
        Ok(bending) => BendingJson {
            not_checked: None,
            relative_stiffness: number(bending.relative_stiffness),
            from_rigid: number(bending.from_rigid),
            as_good_as_rigid: Some(bending.as_good_as_rigid()),
            cups_left_out: bending.off.iter().map(tag).collect(),
            reserve: report.bent_reserve.as_ref().map(|held| reserve(held, tags, names)),
            ringing: report.ringing.as_ref().map(|held| ringing(held, tags, names)),
            motions: bending
                .motions
                .iter()
                .map(|motion| BentMotionJson {
                    name: names.get(&motion.id).copied().unwrap_or_default(),
                    factor: number(motion.factor.value),
                    governing_cup: tag(&motion.governing_cup),
                    governing_limit: limit_word(motion.factor.limit),
                    sag_mm: known(motion.sag_mm),
                    sag_at_mm: pair(motion.sag_at),
                    sag_is: worth(motion.sag_is),
                    cups: motion
                        .cups
                        .iter()
                        .map(|cup| BentCupJson {
                            tag: tag(&cup.id),
                            pull_n: known(cup.load.pull),
                            tilt_nm: pair(cup.load.tilt),
                            rigid_pull_n: known(cup.rigid_pull_n),
                            gap_mm: known(cup.gap_mm),
                            slope: pair(cup.slope),
                            factor: number(cup.factor.value),
                        })
                        .collect(),
                })
                .collect(),
        },
    }
}
