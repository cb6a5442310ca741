//! A part that bends, worked out beside the rigid one and remembered by its inputs.

use crate::{
    lower::{self, CupFacts},
    memo::{Shared, Slot},
    report::{BendingReport, BentCup, BentMotion, SagIs},
};
use document::{MotionId, Part};
use flex::{
    Attached, Bending, FlexCup, FlexError, FlexGroup, Footprint, Hung, Sheet, SheetInput, SheetLoad, Validity,
};
use geometry::{Outline, Section};
use glam::DVec3;
use mechanics::{Body, CaseResult, CupGroup, LipStrength, LoadCase, worst_case_shared};
use std::sync::Arc;

/// Poisson's ratio where nobody said: most metals, glass and hard plastics lie from 0.2 to 0.4, and a sag changes by a tenth
/// between them (from memory).
pub const USUAL_POISSON: f64 = 0.3;

/// What a sheet by itself depends on.
#[derive(Debug, Clone, PartialEq)]
struct SheetKey {
    outline: Shared<Outline>,
    thickness_mm: f64,
    modulus: f64,
    poisson: f64,
    mass_kg: f64,
    attached: Vec<document::Attached>,
}

/// What the figures of the motions depend on besides the sheet on its cups.
#[derive(Debug, Clone, PartialEq)]
struct MotionsKey {
    hung: u64,
    body: Body,
    strengths: Vec<LipStrength>,
    cases: Vec<(MotionId, LoadCase)>,
}

type OnCups = Result<Arc<FlexGroup>, FlexError>;

/// The bending part of one layout.
#[derive(Default)]
pub(crate) struct BendingStage {
    sheet: Slot<SheetKey, Result<Arc<Sheet>, FlexError>>,
    hung: Slot<(u64, Vec<FlexCup>), OnCups>,
    motions: Slot<MotionsKey, Result<Arc<BendingReport>, String>>,
}

impl BendingStage {
    /// Figures of a part that bends; `None` of one that is taken as rigid, else why there are none.
    pub(crate) fn bring(
        &mut self,
        (part, section): (&Part, &Section),
        cups: &[CupFacts],
        tag: impl Fn(usize) -> String,
        group: &CupGroup,
        body: &Body,
        cases: &[(MotionId, LoadCase)],
    ) -> Option<Result<Arc<BendingReport>, String>> {
        let modulus = part.modulus_n_mm2.as_ref()?.value;
        let own = match lower::own_mass(part, section) {
            Ok(own) => own,
            Err(reason) => return Some(Err(reason)),
        };
        let key = SheetKey {
            outline: Shared(Arc::clone(&part.outline)),
            thickness_mm: part.thickness_mm,
            modulus,
            poisson: part.poisson.as_ref().map_or(USUAL_POISSON, |p| p.value),
            mass_kg: own,
            attached: part.attached.clone(),
        };
        let sheet = self.sheet.get(key, |key| sheet(key).map(Arc::new));
        let sheet = match sheet {
            Ok(sheet) => Arc::clone(sheet),
            Err(error) => return Some(Err(error.to_string())),
        };
        let places: Vec<FlexCup> =
            cups.iter().map(|cup| FlexCup { spring: cup.spring, line: cup.sealing }).collect();
        let hung = self.hung.get_after((self.sheet.made(), places), |(_, places), before| {
            let before = before.and_then(|held| held.as_ref().ok()).map(|held| held.hung());
            Hung::new(&sheet, places, before)?.group(group).map(Arc::new)
        });
        let hung = match hung {
            Ok(hung) => Arc::clone(hung),
            Err(FlexError::LipOff { cup, .. }) => {
                return Some(Err(format!("the lip of {} does not lie wholly on the part", tag(*cup))));
            }
            Err(error) => return Some(Err(error.to_string())),
        };
        let key = MotionsKey {
            hung: self.hung.made(),
            body: *body,
            strengths: cups.iter().map(|cup| cup.strength).collect(),
            cases: cases.to_vec(),
        };
        Some(self.motions.get(key, |key| figures(&hung, group, cups, key).map(Arc::new)).clone())
    }

    /// There is nothing to work out.
    pub(crate) fn clear(&mut self) {
        self.motions.clear();
    }
}

fn sheet(key: &SheetKey) -> Result<Sheet, FlexError> {
    let attached: Vec<Attached> = key.attached.iter().filter(|a| a.mass_kg > 0.0).map(lowered).collect();
    Sheet::new(&SheetInput {
        outline: &key.outline.0,
        thickness: key.thickness_mm,
        bending: Bending::Isotropic { modulus: key.modulus, poisson: key.poisson },
        mass: key.mass_kg,
        attached: &attached,
        corners: flex::USUAL_CORNERS,
    })
}

/// A block is spread over its footprint and lets the sheet bend below it: nobody said how it is fixed, and the larger sag is on
/// the careful side.
fn lowered(mass: &document::Attached) -> Attached {
    let size = mass.size.truncate();
    let footprint = (size.min_element() > 0.0).then_some(Footprint { size, turn: 0.0, stiff: false });
    Attached { mass: mass.mass_kg, at: mass.at.truncate(), height: mass.at.z, footprint }
}

fn figures(
    flex: &FlexGroup,
    group: &CupGroup,
    cups: &[CupFacts],
    key: &MotionsKey,
) -> Result<BendingReport, String> {
    let hung = flex.hung();
    let worst: Vec<CaseResult> =
        key.cases.iter().map(|(_, case)| worst_case_shared(&key.body, case, flex, &key.strengths)).collect();
    let loads: Vec<SheetLoad> = worst.iter().map(|found| flex.load(&found.instant, &found.wrench)).collect();
    // All motions at once: what the sheet answers is read once for them.
    let shares = hung.share(&loads, &[]).map_err(|error| error.to_string())?;
    let (sags, all_gaps) = (hung.sag(&shares), hung.gaps(&shares));
    let mut from_rigid = 0.0_f64;
    let mut motions = Vec::with_capacity(key.cases.len());
    for (((id, _), found), (sag, gaps)) in key.cases.iter().zip(&worst).zip(sags.iter().zip(&all_gaps)) {
        let (sag_mm, sag_at) = sag.largest();
        let sag_is = match sag.validity(hung.sheet().thickness()) {
            Validity::Small => SagIs::Small,
            Validity::Stiffens => SagIs::Less,
            Validity::VeryLarge => SagIs::VeryLarge,
        };
        let rigid = group.share(&found.wrench);
        let largest = rigid.iter().map(|load| load.pull.abs()).fold(0.0, f64::max);
        let cups_at = cups;
        let rows = cups.iter().zip(&found.loads).zip(&rigid).zip(gaps);
        let cups: Vec<BentCup> = rows
            .map(|(((cup, load), rigid), gap)| BentCup {
                id: cup.id,
                load: *load,
                rigid_pull_n: rigid.pull,
                gap_mm: *gap,
            })
            .collect();
        if largest > 0.0 {
            let pulls = cups.iter().map(|cup| (cup.load.pull - cup.rigid_pull_n).abs());
            // A tilt counts by the pair of forces at the lip that makes it: alike pulls may still open a lip.
            let tilts = cups_at.iter().zip(&found.loads).zip(&rigid).map(|((cup, load), rigid)| {
                (load.tilt - rigid.tilt).length() * 1000.0 / (0.5 * cup.sealing.size().max_element())
            });
            from_rigid = from_rigid.max(pulls.chain(tilts).fold(0.0, f64::max) / largest);
        }
        let governing_cup = cups.get(found.governing).map_or(document::CupId(0), |cup| cup.id);
        let factor = found.factor();
        let known = |cup: &BentCup| {
            let moments = DVec3::new(cup.load.tilt.x, cup.load.tilt.y, cup.load.twist);
            cup.load.pull.is_finite()
                && cup.load.slide.is_finite()
                && moments.is_finite()
                && cup.gap_mm.is_finite()
        };
        if factor.value.is_nan() || !sag_mm.is_finite() || !cups.iter().all(known) {
            return Err("its loads are beyond what can be computed: check its motions".to_owned());
        }
        motions.push(BentMotion { id: *id, factor, governing_cup, sag_mm, sag_at, sag_is, cups });
    }
    let relative_stiffness = hung.relative_stiffness();
    if !relative_stiffness.is_finite() {
        return Err("its stiffness is beyond what can be computed: check thickness and modulus".to_owned());
    }
    Ok(BendingReport { relative_stiffness, from_rigid, motions })
}
