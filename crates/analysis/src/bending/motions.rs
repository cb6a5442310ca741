//! Every motion of a part that bends, where its first lip lets go.

use super::seated::Seated;
use crate::{
    report::{BendingReport, BentCup, BentMotion, CupInMotion, SagIs, SagMap},
    snapshot::Snapshot,
};
use document::{CupId, MotionId};
use flex::{SheetLoad, Validity};
use glam::DVec3;
use mechanics::{CaseResult, worst_case_shared};
use std::sync::Arc;
use units::Worded;

/// What a sag is worth.
pub(super) fn sag_is(validity: Validity) -> SagIs {
    match validity {
        Validity::Small => SagIs::Small,
        Validity::Stiffens => SagIs::Less,
        Validity::VeryLarge => SagIs::VeryLarge,
    }
}

/// Pulls, factors, sag and gaps of all motions; `before` is a report of the same sheet, whose map is taken over.
///
/// # Errors
/// Why there are none.
pub(crate) fn motions(
    seated: &Seated,
    snapshot: &Snapshot,
    before: Option<&BendingReport>,
) -> Result<BendingReport, Worded> {
    let hung = seated.hung();
    let (sheet, strengths) = (hung.sheet(), seated.strengths(snapshot));
    let id = |place: usize| seated.cups.get(place).and_then(|cup| snapshot.cups.get(*cup)).map(|cup| cup.id);
    let worst: Vec<(MotionId, CaseResult)> = snapshot
        .cases
        .iter()
        .map(|(id, case)| (*id, worst_case_shared(&snapshot.body, case, seated.flex.as_ref(), &strengths)))
        .collect();
    let loads: Vec<SheetLoad> =
        worst.iter().map(|(_, found)| seated.flex.load(&found.instant, &found.wrench)).collect();
    // All motions at once: what the sheet answers is read once for them.
    let shares = hung.share(&loads, &[]).map_err(|error| error.worded())?;
    let (sags, all_gaps) = (hung.sag(&shares), hung.gaps(&shares));
    let mut from_rigid = 0.0_f64;
    let mut motions = Vec::with_capacity(worst.len());
    for (((motion, found), share), (sag, gaps)) in worst.iter().zip(&shares).zip(sags.iter().zip(&all_gaps)) {
        let (sag_mm, sag_at) = sag.largest();
        let rigid = seated.rigid.share(&found.wrench);
        let rows = found.loads.iter().zip(&rigid).zip(gaps.iter().zip(&share.cups)).enumerate();
        let cups: Vec<BentCup> = rows
            .filter_map(|(place, ((load, rigid), (gap, share)))| {
                Some(BentCup {
                    id: id(place)?,
                    load: *load,
                    rigid_pull_n: rigid.pull,
                    gap_mm: *gap,
                    slope: share.slope,
                    factor: found.cup_worst.get(place)?.1,
                })
            })
            .collect();
        from_rigid = from_rigid.max(apart(seated, found, &rigid));
        let factor = found.factor();
        let known = |cup: &BentCup| {
            let moments = DVec3::new(cup.load.tilt.x, cup.load.tilt.y, cup.load.twist);
            cup.load.pull.is_finite()
                && cup.load.slide.is_finite()
                && moments.is_finite()
                && cup.gap_mm.is_finite()
        };
        if factor.value.is_nan() || !sag_mm.is_finite() || !cups.iter().all(known) {
            return Err("its loads are outside the range that can be calculated: check its motions".into());
        }
        let field = hung.field(share);
        let points = &sheet.mesh().points;
        let over_lips = field.at_corners(sheet).iter().zip(points).map(|(w, at)| w - sag.plane.at(*at));
        motions.push(BentMotion {
            id: *motion,
            factor,
            governing_cup: id(found.governing).unwrap_or(CupId(0)),
            sag_mm,
            sag_at,
            sag_is: sag_is(sag.validity(sheet.thickness())),
            in_motion: cups
                .iter()
                .map(|cup| CupInMotion { id: cup.id, load: cup.load, factor: cup.factor })
                .collect(),
            cups,
            over_lips: over_lips.collect(),
        });
    }
    let relative_stiffness = hung.relative_stiffness();
    if !relative_stiffness.is_finite() {
        return Err(
            "its stiffness is outside the range that can be calculated: check thickness and modulus".into()
        );
    }
    let map = before.map_or_else(
        || {
            let mesh = sheet.mesh();
            Arc::new(SagMap { points: mesh.points.clone(), triangles: mesh.triangles.clone() })
        },
        |before| Arc::clone(&before.map),
    );
    let off = seated.off.iter().filter_map(|cup| Some(snapshot.cups.get(*cup)?.id)).collect();
    Ok(BendingReport { relative_stiffness, from_rigid, motions, off, map })
}

/// Largest difference of a pull, or of a tilt, to those of a rigid part, as a share of the largest pull there.
fn apart(seated: &Seated, found: &CaseResult, rigid: &[mechanics::CupLoad]) -> f64 {
    let largest = rigid.iter().map(|load| load.pull.abs()).fold(0.0, f64::max);
    if largest <= 0.0 {
        return 0.0;
    }
    let pulls = found.loads.iter().zip(rigid).map(|(load, rigid)| (load.pull - rigid.pull).abs());
    // A tilt counts by the pair of forces at the lip that makes it: alike pulls may still open a lip.
    let tilts = seated.hung().cups().iter().zip(&found.loads).zip(rigid).map(|((cup, load), rigid)| {
        (load.tilt - rigid.tilt).length() * 1000.0 / (0.5 * cup.line.size().max_element())
    });
    pulls.chain(tilts).fold(0.0, f64::max) / largest
}
