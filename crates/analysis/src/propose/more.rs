//! Where one more cup would help most.

use super::board::{Board, Making};
use super::on_tool::{OnTool, Surface};
use super::proposal::MoreAt;
use super::work::{ProposalJob, ProposalWatch, carried, least_level};
use crate::{Analyst, lower};
use document::{LayoutId, Project, Question};
use mechanics::choice::{Goal, PartsScorer, Score as _};
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
    /// without a figure, or when stopped. Of several parts the score is that of the worst, and the cup is open for those that it
    /// lies on.
    pub fn run(&self, watch: &ProposalWatch) -> Arc<[MoreAt]> {
        self.found(watch).unwrap_or_default().into()
    }

    fn found(&self, watch: &ProposalWatch) -> Option<Vec<MoreAt>> {
        let ProposalJob { project, layout, question, .. } = &self.0;
        let present = project.layout(*layout)?;
        let on_tool = self.0.on_tool(present).ok()?;
        let loads = self.0.loads(&on_tool).ok()?;
        let uses = |id: &document::ModelId| present.cups.iter().filter(|cup| cup.model == *id).count();
        // The first of equals.
        let model = present.cups.iter().map(|cup| &cup.model).rev().max_by_key(|id| uses(id))?;
        let facts = lower::models(project);
        let making = Making {
            project,
            parts: on_tool.iter().filter_map(OnTool::surface).collect::<Vec<Surface<'_>>>(),
            models: vec![*facts.get(model)?],
            level_kpa: least_level(&Analyst::new().check(project, *layout))?,
            zones: Vec::new(),
            spacing_mm: self.0.spacing(),
        };
        let mut board = Board::new(&making, question.step_mm);
        let some = board.spread(PLACES, |_| true);
        let mut set = Vec::new();
        for cup in &present.cups {
            let facts = facts.get(&cup.model)?;
            let lip = geometry::Lip { shape: facts.model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
            let mut place = making.place_of(facts, lip);
            for ((_, on), part) in place.iter_mut().zip(&on_tool) {
                *on &= part.seat.is_on(&cup.zone);
            }
            set.push(board.taken(lip, &place));
        }
        let mut scorer = PartsScorer::new(&carried(&loads));
        board.tell(&mut scorer);
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
