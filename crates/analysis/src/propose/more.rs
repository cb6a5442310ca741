//! Where one more cup would help most.

use super::board::{Board, Making};
use super::proposal::MoreAt;
use super::work::{ProposalJob, ProposalWatch};
use crate::{Analyst, lower, part_stage::PartStage};
use document::{LayoutId, Project, Question};
use mechanics::choice::{Goal, Scorer};
use std::sync::Arc;

/// Places looked at.
const PLACES: usize = 700;

/// A layout with what it takes to say where one more of its cups would help; may go to another thread.
#[derive(Debug, Clone)]
pub struct MoreJob(ProposalJob);

impl Analyst {
    /// What it takes to say where one more cup, of the model that the layout has most of, would help most.
    pub fn more_job(&self, project: &Project, layout: LayoutId) -> MoreJob {
        MoreJob(self.proposal_job(project, layout, Question::clone(&project.question)))
    }
}

impl MoreJob {
    /// Score with one more cup over the score as it is, at places spread over the part where such a cup lands and finds room; none
    /// without a figure, or when stopped.
    pub fn run(&self, watch: &ProposalWatch) -> Arc<[MoreAt]> {
        self.found(watch).unwrap_or_default().into()
    }

    fn found(&self, watch: &ProposalWatch) -> Option<Vec<MoreAt>> {
        let ProposalJob { project, layout, question, .. } = &self.0;
        let present = project.layout(*layout).filter(|present| present.seats.is_empty())?;
        let part = project.part(present.part)?;
        let mut stage = PartStage::default();
        stage.prepare(part);
        let body = lower::body(stage.mass.held()?.as_ref().ok()?);
        let ground = stage.ground(part)?;
        let duties = self.0.duties().ok()?;
        let uses = |id: &document::ModelId| present.cups.iter().filter(|cup| cup.model == *id).count();
        // The first of equals.
        let model = present.cups.iter().map(|cup| &cup.model).rev().max_by_key(|id| uses(id))?;
        let facts = lower::models(project);
        let level_kpa =
            Analyst::new().check(project, *layout).cups.iter().map(|cup| cup.level_kpa).reduce(f64::min)?;
        let making = Making {
            project,
            part,
            ground,
            models: vec![*facts.get(model)?],
            level_kpa,
            zones: Vec::new(),
            spacing_mm: self.0.spacing(),
        };
        let mut board = Board::new(&making, question.step_mm);
        let some = board.spread(Some(0), PLACES);
        let mut set = Vec::new();
        for cup in &present.cups {
            let facts = facts.get(&cup.model)?;
            let lip = geometry::Lip { shape: facts.model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
            let place = making.place_of(facts, lip);
            set.push(board.taken(lip, place));
        }
        let mut scorer = Scorer::new(&body, &duties, &board.places);
        let as_it_is = scorer.at_most(Goal::default(), &set, -1.0);
        if !(as_it_is > 0.0 && as_it_is.is_finite()) {
            return None;
        }
        let mut found = Vec::new();
        for place in some {
            if watch.is_stopped() {
                return None;
            }
            if set.iter().any(|&other| making.too_near(&board.lips[place], &board.lips[other])) {
                continue;
            }
            set.push(place);
            let with = scorer.at_most(Goal::default(), &set, -1.0);
            set.pop();
            found.push(MoreAt { at: board.lips[place].at, times: with / as_it_is });
        }
        Some(found)
    }
}
