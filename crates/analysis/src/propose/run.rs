//! Proposals as they come, model by model, and what is proved of them.

use super::board::{Board, Making};
use super::certainty::{Asked, Certainty, bound_of, lower};
use super::error::CannotPropose;
use super::find::{Candidate, Finding};
use super::on_tool::Surface;
use super::proposal::{Kind, Proposal, Proposals, figures, in_order};
use super::suit::Suits;
use super::work::{Given, LEVEL, ProposalJob, ProposalWatch, least_level};
use super::{cups, question, told};
use crate::{Analyst, Slow, Watch, words::Words};
use document::{Cup, CupModel, HowMany, Layout, Pattern, Project};
use std::sync::Arc;

/// Proposals as they come.
pub(super) struct Run<'a> {
    pub job: &'a ProposalJob,
    pub given: Given<'a>,
    pub suits: Vec<Suits>,
    pub watch: &'a ProposalWatch,
    /// With the models that may be used.
    pub project: Project,
    pub found: Vec<Proposal>,
    pub beside: Vec<CannotPropose>,
    pub best: Option<Proven>,
}

/// What is proved of the models of the best proposal.
pub(super) struct Proven {
    count: usize,
    certainty: Certainty,
    fewer: Option<Certainty>,
    places: (usize, f64),
    at_least: usize,
    score: f64,
}

impl Run<'_> {
    pub(super) fn of_models(
        &mut self,
        models: &[Arc<CupModel>],
        surfaces: &[Surface<'_>],
        level: f64,
        at_least: usize,
        give: &mut dyn FnMut(Proposals),
    ) -> Result<(), CannotPropose> {
        let project = self.project.clone();
        let facts = crate::lower::models(&project);
        let of: Vec<_> = models.iter().filter_map(|model| facts.get(&model.id).copied()).collect();
        let (mut level, mut enough) = (level, 1.0);
        let several = surfaces.len() > 1;
        for round in 1..=ROUNDS {
            let making = Making {
                project: &project,
                parts: surfaces.to_vec(),
                models: of.clone(),
                level_kpa: level,
                // Of several parts the zones follow from where the cups lie.
                zones: if several { Vec::new() } else { zones(self.given.present) },
                spacing_mm: self.job.spacing(),
            };
            let mut board = Board::new(&making, self.job.question.step_mm);
            let locked = locked(&making, &mut board, self.given.present)?;
            let mut scorer = self.given.scorer().unless(&self.watch.when_stopped());
            board.tell(&mut scorer);
            let question = self.job.question.clone();
            let balanced = self.given.can_be_balanced(&board);
            let mut finding = Finding {
                question: &question,
                making: &making,
                board,
                scorer,
                present: self.given.present,
                locked,
                at_least,
                balanced,
                watch: self.watch,
                enough,
            };
            let mut first = Vec::new();
            let candidates = finding.found(&mut |finding, candidates| {
                first = candidates.iter().filter_map(|of| self.proposed(finding, of, models)).collect();
                if !first.is_empty() {
                    give(self.so_far(&first));
                }
            })?;
            let proposed = |of: &[Candidate]| -> Vec<Proposal> {
                of.iter().filter_map(|of| self.proposed(&finding, of, models)).collect()
            };
            let (half, rest) = candidates.split_at(candidates.len().div_ceil(2));
            let (mut proposals, more) = self.watch.both(|| proposed(half), || proposed(rest));
            proposals.extend(more);
            // Told to stop, what was given before is the best that is known with its figures.
            if proposals.len() < candidates.len() {
                self.found.extend(if proposals.is_empty() { first } else { proposals });
                return Ok(());
            }
            // What the source gives so many cups may be another level than was searched with.
            let solved = proposals.iter().filter_map(|of| least_level(&of.report)).reduce(f64::min);
            let last = round == ROUNDS || self.watch.is_stopped();
            if let Some(solved) =
                solved.filter(|solved| (solved / level - 1.0).abs() > LEVEL && !last && *solved > 0.0)
            {
                level = solved;
                continue;
            }
            // A part that bends, and inputs at their worse end, leave less than what was searched with.
            let short = self.short(&candidates, &proposals, enough);
            if let Some(more) = short.filter(|_| !last) {
                enough = more;
                continue;
            }
            self.prove(&finding, &candidates, at_least);
            self.found.extend(proposals);
            return Ok(());
        }
        Ok(())
    }

    /// What sets must score so that the best of them would do, where fewest cups are asked for and none does as it counts.
    fn short(&self, candidates: &[Candidate], proposals: &[Proposal], enough: f64) -> Option<f64> {
        let fewest = matches!(self.job.question.count, HowMany::Fewest { .. });
        if !fewest || proposals.iter().any(|of| of.meets) {
            return None;
        }
        let pairs =
            candidates.iter().zip(proposals).filter(|(set, of)| set.set.score >= enough && of.counts > 0.0);
        let (set, of) = pairs.max_by(|a, b| a.1.counts.total_cmp(&b.1.counts))?;
        let more = set.set.score / of.counts;
        (more.is_finite() && more > enough * (1.0 + 1e-3)).then_some(more)
    }

    /// A set of places with its report, lost cups and all; `None` when told to stop before that was there.
    fn proposed(&self, finding: &Finding<'_>, of: &Candidate, models: &[Arc<CupModel>]) -> Option<Proposal> {
        let mut layout = cups::layout(
            &self.job.project,
            self.given.present,
            models,
            &finding.board,
            &of.set.places,
            &finding.locked,
        );
        if layout.seats.len() > 1 {
            cups::take_zones(&self.job.project, &mut layout, finding.making);
        }
        let names: Vec<String> = models.iter().map(|model| model.name.clone()).collect();
        layout.name = format!(
            "{}, {} × {}",
            crate::words::capital(of.pattern.name()),
            layout.cups.len(),
            names.join(" and ")
        );
        layout.proposed = question::says(&self.job.question, &self.names(), self.given.on_tool.len());
        self.reported(Kind::Pattern(of.pattern), layout, models.to_vec())
    }

    fn names(&self) -> Vec<String> {
        let name = |id: &document::ModelId| {
            self.project.model(id).map_or_else(|| id.0.to_string(), |model| model.name.clone())
        };
        self.job.question.models.iter().map(name).collect()
    }

    fn reported(&self, kind: Kind, layout: Layout, mut models: Vec<Arc<CupModel>>) -> Option<Proposal> {
        // Cups that stay may be of other models.
        for cup in &layout.cups {
            if models.iter().all(|model| model.id != cup.model) {
                models.extend(self.project.models.iter().find(|model| model.id == cup.model).cloned());
            }
        }
        let mut analyst = Analyst::with_units(self.job.units);
        let (project, id) = match kind {
            Kind::Present => (self.job.project.clone(), self.job.layout),
            Kind::Pattern(_) => (cups::with(&self.job.project, &layout, &models), layout.id),
        };
        let question = &self.job.question;
        let asked = |slow: Slow| match slow {
            Slow::Losses | Slow::Bending => true,
            Slow::Ranges => question.low_end,
            Slow::BentReserve => question.low_end || question.one_lost,
            _ => false,
        };
        for job in analyst.slow_jobs(&project, id) {
            let only = Arc::new(Watch::default());
            self.watch.stops_with(&only);
            Slow::all().filter(|slow| !asked(*slow)).for_each(|slow| only.stop(slow));
            job.run(&only, &mut |found| analyst.take_slow(found));
        }
        if self.watch.is_stopped() {
            return None;
        }
        let report = analyst.check(&project, id);
        let figures = figures(&report, &layout, &models, question.low_end);
        let counts = figures.counts(question);
        let meets = counts >= 1.0 - 1e-9;
        let open = |finding: &&crate::Finding| {
            finding.severity == crate::Severity::Fail && finding.accepted.is_none()
        };
        let fails = report.findings.iter().filter(open).map(|finding| finding.says.clone()).collect();
        Some(Proposal { kind, layout: Arc::new(layout), meets, fails, counts, figures, report, models })
    }

    /// The bound for as many cups as the best has, and for one fewer.
    fn prove(&mut self, finding: &Finding<'_>, candidates: &[Candidate], at_least: usize) {
        let fewest = candidates.iter().map(|of| of.set.places.len()).min().unwrap_or(0);
        let Some(best) = candidates
            .iter()
            .filter(|of| of.set.places.len() == fewest)
            .max_by(|a, b| a.set.score.total_cmp(&b.set.score))
        else {
            return;
        };
        if self
            .best
            .as_ref()
            .is_some_and(|held| held.score.min(1.0) >= best.set.score.min(1.0) && held.count <= fewest)
        {
            return;
        }
        let stop = self.watch.when_stopped();
        let locked: Vec<usize> = finding.locked.iter().map(|(place, _)| *place).collect();
        let sets: Vec<&[usize]> = candidates
            .iter()
            .filter(|of| of.set.places.len() == fewest)
            .map(|of| of.set.places.as_slice())
            .collect();
        let bound = |count: usize| {
            if count < locked.len().max(1) || self.watch.is_stopped() {
                return Certainty::NotAsked;
            }
            let of = |left: bool, count: usize| {
                let asked = Asked {
                    making: finding.making,
                    board: &finding.board,
                    scorer: &finding.scorer,
                    left,
                    locked: &locked,
                    sets: &sets,
                    count,
                };
                bound_of(&asked, &stop)
            };
            let intact = of(false, count);
            if !self.job.question.one_lost || count < 2 || count <= locked.len() {
                return intact;
            }
            // With a cup lost one fewer must have what is then required.
            lower(intact, of(true, count - 1))
        };
        let of_all =
            || if best.set.all && best.pattern == Pattern::Free { Certainty::Best } else { bound(fewest) };
        let of_fewer = || (fewest > 1 && fewest > at_least).then(|| bound(fewest - 1));
        let (certainty, fewer) = self.watch.both(of_all, of_fewer);
        self.best = Some(Proven {
            count: fewest,
            certainty,
            fewer,
            places: (finding.board.lips.len(), finding.board.step_mm),
            at_least,
            score: best.set.score,
        });
    }

    fn so_far(&self, first: &[Proposal]) -> Proposals {
        let mut proposals = self.found.clone();
        proposals.extend(first.iter().cloned());
        self.told(proposals, false)
    }

    fn told(&self, mut proposals: Vec<Proposal>, whole: bool) -> Proposals {
        let words = Words { choice: &self.job.units };
        proposals.sort_by(|a, b| in_order(a, b, self.job.question.prefer));
        let proven = self.best.as_ref();
        let count =
            proven.map_or_else(|| proposals.first().map_or(0, |of| of.figures.cups), |proven| proven.count);
        let certainty = proven.map_or(Certainty::NotAsked, |proven| proven.certainty.clone());
        let places = proven.map_or((0, self.job.question.step_mm), |proven| proven.places);
        let of_count = proposals.iter().filter(|of| of.figures.cups == count);
        let least = |of: &Proposal| of.figures.least.unwrap_or(0.0);
        let best = of_count.max_by(|a, b| a.meets.cmp(&b.meets).then(least(a).total_cmp(&least(b))));
        let fewest = matches!(self.job.question.count, HowMany::Fewest { .. });
        Proposals {
            question: self.job.question.clone(),
            says: question::says(&self.job.question, &self.names(), self.given.on_tool.len()),
            why_not_better: told::why_not_better(&certainty, best, count, places, &words),
            why_not_fewer: proven.map_or_else(String::new, |proven| {
                told::why_not_fewer(proven.fewer.as_ref(), count, proven.at_least, fewest, places, &words)
            }),
            count,
            certainty,
            fewer: proven.and_then(|proven| proven.fewer.clone()),
            places,
            suits: self.suits.clone(),
            beside: self.beside.clone(),
            proposals,
            whole,
        }
    }

    pub(super) fn ended(mut self) -> Result<Proposals, CannotPropose> {
        if self.found.is_empty() {
            let stopped = self.watch.is_stopped().then_some(CannotPropose::Stopped);
            return Err(self.beside.drain(..).next().or(stopped).unwrap_or(CannotPropose::Stopped));
        }
        let fewest = matches!(self.job.question.count, HowMany::Fewest { .. });
        if fewest && self.found.iter().all(|of| !of.meets) && !self.watch.is_stopped() {
            return Err(self.out_of_reach());
        }
        // What is worse in every column than another is not shown, nor what is the same.
        let mut kept: Vec<Proposal> = Vec::new();
        let mut all = std::mem::take(&mut self.found);
        all.sort_by(|a, b| in_order(a, b, self.job.question.prefer));
        for of in all {
            let beaten = kept.iter().any(|held| {
                (held.meets || !of.meets)
                    && (held.fails.is_empty() || !of.fails.is_empty())
                    && (held.figures.beats(&of.figures) || same_places(&held.layout, &of.layout))
            });
            if !beaten {
                kept.push(of);
            }
        }
        kept.truncate(MOST_SHOWN);
        if !self.given.present.cups.is_empty() {
            kept.extend(self.reported(Kind::Present, self.given.present.clone(), Vec::new()));
        }
        let whole = !self.watch.is_stopped();
        Ok(self.told(kept, whole))
    }

    fn out_of_reach(&self) -> CannotPropose {
        let words = Words { choice: &self.job.units };
        let best = self
            .found
            .iter()
            .max_by(|a, b| a.figures.least.unwrap_or(0.0).total_cmp(&b.figures.least.unwrap_or(0.0)));
        let most = self.job.question.count.most();
        let proved =
            self.best.as_ref().and_then(|proven| proven.certainty.at_most()).filter(|most| *most < 1.0);
        CannotPropose::OutOfReach {
            most,
            cups: best.map_or(0, |of| of.figures.cups),
            model: best
                .and_then(|of| of.figures.models.first())
                .map_or_else(String::new, |(name, _)| name.clone()),
            best: best.map_or_else(String::new, |of| words.factor(of.figures.least.unwrap_or(0.0))),
            motion: best.map_or_else(String::new, |of| of.figures.least_where()),
            proved: proved
                .map_or_else(String::new, |most| format!(", and none has more than {}", words.factor(most))),
        }
    }
}

/// Proposals beside the present layout at most.
const MOST_SHOWN: usize = 5;

/// Looked for at most so often again: at the level that the circuit comes to, and with more reserve where less counts in the end.
const ROUNDS: usize = 4;

fn same_places(a: &Layout, b: &Layout) -> bool {
    a.cups.len() == b.cups.len()
        && a.cups.iter().all(|cup| {
            b.cups.iter().any(|other| other.model == cup.model && other.at.distance(cup.at) < 1e-3)
        })
}

/// Zones of the present cups, numbered in their order.
fn zones(layout: &Layout) -> Vec<(glam::DVec2, usize)> {
    let mut names: Vec<&str> = Vec::new();
    layout
        .cups
        .iter()
        .map(|cup| {
            let known = names.iter().position(|name| *name == cup.zone);
            let zone = known.unwrap_or_else(|| {
                names.push(&cup.zone);
                names.len() - 1
            });
            (cup.at, zone)
        })
        .collect()
}

/// Locked cups as places, of whatever model they are.
fn locked(
    making: &Making<'_>,
    board: &mut Board,
    present: &Layout,
) -> Result<Vec<(usize, Cup)>, CannotPropose> {
    let mut places: Vec<(usize, Cup)> = Vec::new();
    for cup in present.cups.iter().filter(|cup| cup.locked) {
        let amiss = |why: &str| CannotPropose::LockedAmiss(cup.tag.clone(), why.to_owned());
        let facts = making.facts_of(&cup.model).ok_or_else(|| amiss("its model is not in the project"))?;
        let lip = geometry::Lip { shape: facts.model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
        let place = making.place_of(&facts, lip);
        if place.iter().all(|(_, on)| !on) {
            return Err(amiss("it lies wholly on none of the parts"));
        }
        if let Some((other, _)) = places.iter().find(|(other, _)| making.too_near(&board.lips[*other], &lip))
        {
            let near = places.iter().find(|(held, _)| held == other).map_or("", |(_, cup)| cup.tag.as_str());
            return Err(amiss(&format!("it is closer to {near} than the requested spacing")));
        }
        let place = board.taken(lip, &place);
        places.push((place, cup.clone()));
    }
    Ok(places)
}
