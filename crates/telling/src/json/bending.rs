//! How a part bends, beside the figures of a rigid one.

use super::{
    known, limit_word, number, pair,
    ringing::{ReserveJson, RingingJson, reserve, ringing, worth},
};
use analysis::{BendingReport, Report};
use document::{CupId, MotionId};
use serde::Serialize;
use serde_with::skip_serializing_none;
use std::{collections::HashMap, sync::Arc};

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
pub(super) struct BendingJson<'a> {
    /// Why there are no figures.
    #[cfg_attr(test, schemars(length(min = 1)))]
    not_checked: Option<&'a str>,
    /// k L^4/D of cups against sheet: far below 1 the part is effectively rigid.
    #[cfg_attr(test, schemars(range(min = 0)))]
    relative_stiffness: Option<f64>,
    /// Largest difference of a pull to that on a rigid part, or of a tilt by its pair of forces at the lip, over
    /// the largest pull there.
    #[cfg_attr(test, schemars(range(min = 0)))]
    from_rigid: Option<f64>,
    /// no pull, and no tilt at its lip, differs by more than 2 % of the largest pull.
    as_good_as_rigid: Option<bool>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motions: Vec<BentMotionJson<'a>>,
    /// Cups whose lip does not lie fully on the part: the bending results are without them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cups_left_out: Vec<&'a str>,
    /// Basis of the factors of the bending part; absent where it was not calculated.
    reserve: Option<ReserveJson<'a>>,
    /// How the part rings on its cups; absent where it was not calculated.
    ringing: Option<RingingJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct BentMotionJson<'a> {
    name: &'a str,
    /// Lowest factor of the bending part; absent where nothing limits it.
    #[cfg_attr(test, schemars(range(min = 0)))]
    factor: Option<f64>,
    governing_cup: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["seal", "slide"])))]
    governing_limit: &'static str,
    /// Greatest deflection beyond the plane of the lips, away from the cups positive.
    sag_mm: f64,
    sag_at_mm: [f64; 2],
    /// Small: up to half the thickness; less: the sheet actually stiffens and sags less; very_large: no more than
    /// that.
    #[cfg_attr(test, schemars(extend("enum" = ["small", "less", "very_large"])))]
    sag_is: &'static str,
    cups: Vec<BentCupJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct BentCupJson<'a> {
    tag: &'a str,
    pull_n: f64,
    tilt_nm: [f64; 2],
    rigid_pull_n: f64,
    /// How far the part leaves a plane along the sealing line.
    #[cfg_attr(test, schemars(range(min = 0)))]
    gap_mm: f64,
    /// Of the part at the lip along x and y, mm/mm.
    slope: [f64; 2],
    /// Its own worst factor in the motion; absent where nothing limits it.
    #[cfg_attr(test, schemars(range(min = 0)))]
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
