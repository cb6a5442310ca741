//! What is said of the figures of one layout: findings, verdict, report.

use crate::{
    assemble,
    assumptions::assumptions,
    family::Seated,
    figures::Figures,
    findings::{self, Facts},
    report::Report,
    shape::Regions,
    stages::LayoutStage,
    verdict,
    words::Words,
};
use document::{Layout, Problem, Project};
use std::{cell::RefCell, sync::Arc};

/// What is looked at, and in which units it is told.
#[derive(Clone, Copy)]
pub(crate) struct Of<'a> {
    pub project: &'a Project,
    pub layout: &'a Layout,
    pub problems: &'a [Problem],
    pub words: Words<'a>,
    /// Grid that fixes land on, mm; `None` where nobody has one.
    pub step_mm: Option<f64>,
    /// Where the layout is that of one part of a tool that carries several.
    pub seated: Option<&'a Seated>,
}

/// Judges the figures and puts them into a report.
pub(crate) fn judge(
    of: Of<'_>,
    mut figures: Figures<'_>,
    stage: &LayoutStage,
    regions: &mut Regions,
) -> Report {
    let Of { project, layout, problems, words, .. } = of;
    let Figures { ref lowered, ref seats, ref gaps, ref group, ref cases, .. } = figures;
    let cups = lowered.cups.as_slice();
    let ages = stage.slow.ages();
    let envelope = stage.slow.envelope();
    let facts = Facts {
        project,
        layout,
        part: figures.part,
        words,
        step_mm: of.step_mm,
        ground: figures.ground,
        body: figures.body,
        cups,
        placed: &lowered.placed,
        seats,
        gaps,
        group: group.as_ref().and_then(|group| group.as_ref().ok()).map(Arc::as_ref),
        group_error: group.as_ref().is_some_and(|group| group.is_err()),
        arrangement: mechanics::arrangement(&cups.iter().map(|cup| cup.lip.at).collect::<Vec<_>>()),
        balance: figures.balance.as_ref(),
        bending: figures.bending.as_ref().map(|held| held.as_ref().map(Arc::as_ref).map_err(String::as_str)),
        ringing: figures.ringing.as_ref().and_then(|held| held.as_ref().ok()).map(Arc::as_ref),
        bent_reserve: figures.bent_reserve.as_ref().and_then(|held| held.as_ref().ok()).map(Arc::as_ref),
        motions: &figures.motions,
        cases,
        problems,
        drawing_problems: &figures.drawing_problems,
        mass_problem: figures.mass_problem(),
        ages,
        drop_remedy: stage.slow.drop_remedy(),
        robot: figures.robot.as_ref(),
        circuits: &figures.circuits.reports,
        assumed: &figures.assumed,
        models: &figures.models,
        outside: figures.outside,
        seated: of.seated,
        regions: RefCell::new(regions),
    };
    let counted_as_sealed = facts.hanging().into_iter().map(|index| facts.cups[index].id).collect();
    let findings = findings::all(&facts, &project.accepted, layout.id);
    let verdict = verdict::verdict(&facts, &findings);
    let mass = figures.mass.and_then(|mass| mass.as_ref().ok());
    let part = figures.part.zip(figures.ground).zip(mass);
    let cups =
        assemble::cup_reports(project, figures.part, lowered, figures.ground, seats, &figures.models, cases);
    findings::judge_levels(&mut figures.circuits.reports, &findings);
    Report {
        layout: layout.id,
        layout_name: layout.name.clone(),
        verdict,
        part: part.map(|((part, ground), mass)| assemble::part_report(part, ground.shape, mass)),
        levels_when_lost: stage.slow.levels_when_lost(&cups),
        cups,
        balance: figures.balance,
        not_checked: assemble::not_checked(
            &figures.motions,
            envelope.as_ref(),
            ages,
            figures.robot.is_some(),
            &figures.circuits.reports,
            matches!(figures.bending, Some(Ok(_))),
        ),
        ages,
        envelope,
        robot: figures.robot,
        circuits: figures.circuits.reports,
        counted_as_sealed,
        bending: figures.bending,
        ringing: figures.ringing,
        bent_reserve: figures.bent_reserve,
        family: None,
        motions: figures.motions,
        findings,
        assumptions: assumptions(project, layout, figures.part),
    }
}
