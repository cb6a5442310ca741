//! A loss step by step, in words, for the plan.

use super::follow;
use crate::{
    circuit::Coupling,
    report::{CupInMotion, LossStepReport, Lost},
    snapshot::Snapshot,
    stages::Analyst,
    words::{self, Words},
};
use document::{CupId, Layout, LayoutId, MotionId, Project};
use mechanics::{LipLimit, LossStep};
use std::collections::HashMap;

impl Analyst {
    /// A loss step by step, from the moment a cup or zone lets go; empty when the motion has no figure, or the cup or zone
    /// is not in the layout.
    pub fn replay(
        &mut self,
        project: &Project,
        layout: LayoutId,
        motion: MotionId,
        lost: &Lost,
    ) -> Vec<LossStepReport> {
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.replay(&alone, layout, motion, lost);
        }
        let Some(snapshot) = self.snapshot(project, layout) else { return Vec::new() };
        let (Some(case), Some(layout)) = (snapshot.case(motion), project.layout(layout)) else {
            return Vec::new();
        };
        let gone = match lost {
            Lost::Cup(cup) => snapshot.index_of(*cup).into_iter().collect(),
            Lost::Zone(name) => in_zone(&snapshot, layout, name),
        };
        if gone.is_empty() {
            return Vec::new();
        }
        let loss = follow::follow(&snapshot, &snapshot.springs(), &mut Coupling::new(&snapshot), case, &gone);
        let units = self.units();
        let telling = Telling {
            snapshot: &snapshot,
            tags: layout.cups.iter().map(|cup| (cup.id, cup.tag.as_str())).collect(),
            words: Words { choice: &units },
        };
        loss.steps.iter().map(|step| telling.step(step)).collect()
    }
}

/// Every cup of a zone, also of one that a snapshot does not list because it is one cup or the whole tool.
fn in_zone(snapshot: &Snapshot, layout: &Layout, name: &str) -> Vec<usize> {
    let cups = layout.cups.iter().filter(|cup| cup.zone == name);
    cups.filter_map(|cup| snapshot.index_of(cup.id)).collect()
}

struct Telling<'a> {
    snapshot: &'a Snapshot,
    tags: HashMap<CupId, &'a str>,
    words: Words<'a>,
}

impl Telling<'_> {
    fn id(&self, index: usize) -> CupId {
        self.snapshot.cups.get(index).map_or(CupId(0), |cup| cup.id)
    }

    fn tag(&self, index: usize) -> String {
        self.tags.get(&self.id(index)).map_or_else(String::new, |tag| (*tag).to_owned())
    }

    fn step(&self, step: &LossStep) -> LossStepReport {
        let ids = |indices: &[usize]| indices.iter().map(|index| self.id(*index)).collect();
        let result = step.state.as_ref().ok();
        let cups = result.map_or_else(Vec::new, |result| {
            let each = step.left.iter().zip(result.loads.iter().zip(&result.cup_worst));
            each.map(|(index, (load, (_, factor)))| CupInMotion {
                id: self.id(*index),
                load: *load,
                factor: *factor,
            })
            .collect()
        });
        LossStepReport {
            newly: ids(&step.newly),
            gone: ids(&step.lost),
            cups,
            factor: result.map(|result| result.factor().value),
            says: self.says(step),
        }
    }

    fn says(&self, step: &LossStep) -> String {
        let tags: Vec<String> = step.newly.iter().map(|index| self.tag(*index)).collect();
        let goes = if tags.len() == 1 { "loses its seal" } else { "lose their seal" };
        let start = format!("{} {goes}", words::list(&tags));
        let result = match &step.state {
            Err(_) if step.left.is_empty() => return format!("{start}; no cup is left: the part drops."),
            Err(reason) => {
                // What to do about the tool is not what happens to the part.
                let reason = reason.reason().says(self.words.choice);
                return format!("{start}; {reason}: the part drops.");
            }
            Ok(result) => result,
        };
        let Some(weakest) = step.left.get(result.governing).map(|index| self.tag(*index)) else {
            return format!("{start}.");
        };
        let factor = result.factor();
        if !factor.value.is_finite() {
            return format!("{start}; nothing loads the remaining lips.");
        }
        if factor.value >= 1.0 {
            return format!(
                "{start}; the part is held, {weakest} is then the weakest with {}.",
                self.words.factor(factor.value)
            );
        }
        let does = match factor.limit {
            LipLimit::Seal => "it loses its seal next",
            LipLimit::Slide => "it slides next",
        };
        format!("{start}; {weakest} is then the weakest with {}: {does}.", self.words.factor(factor.value))
    }
}
