//! What must hold of proposals: they land, keep what is asked, have the figures of a check, and change nothing.

mod held;
mod several;

use super::*;
use crate::Analyst;
use document::{
    CupModel, Edit, FrameId, FramePiece, HowMany, Layout, Motion, MotionId, MotionKind, Part, PartId,
    Pattern, Prefer, Project, Question, Tool, library,
};
use glam::DVec2;
use std::sync::Arc;

fn model(diameter: f64) -> Arc<CupModel> {
    let round = |model: &&Arc<CupModel>| {
        matches!(model.shape, geometry::LipShape::Round { diameter: d } if d == diameter) && model.folds == 0
    };
    library().iter().find(round).unwrap_or_else(|| panic!("no round flat model of {diameter} mm")).clone()
}

/// A sheet of 600 by 400 by 2 mm with lift and carry.
fn project() -> Project {
    let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    project.last_id = 99;
    let motion = |id, kind| Arc::new(Motion::preset(MotionId(id), kind));
    project.motions = vec![motion(90, MotionKind::LevelLift), motion(91, MotionKind::LevelCarry)];
    project
}

fn question(project: &Project, count: HowMany) -> Question {
    Question { models: vec![model(40.0).id.clone()], count, ..Question::clone(&project.question) }
}

fn run(project: &Project, question: Question) -> Result<Proposals, CannotPropose> {
    let job = Analyst::new().proposal_job(project, project.layouts[0].id, question);
    job.run(&ProposalWatch::default(), &mut |_| {})
}

fn with_layout(project: &Project, change: impl FnOnce(&mut Layout)) -> Project {
    let mut project = project.clone();
    let mut layout = Layout::clone(&project.layouts[0]);
    change(&mut layout);
    project.layouts[0] = Arc::new(layout);
    project
}

#[test]
fn proposals_have_the_figures_of_a_check_and_none_is_above_what_is_proved() {
    let project = project();
    let found = run(&project, question(&project, HowMany::Exactly(6))).unwrap();
    assert!(found.whole && found.proposals.len() >= 2, "{found:?}");
    let most = found.certainty.at_most().unwrap_or_else(|| panic!("{:?}", found.certainty));
    for of in &found.proposals {
        let with = of.project(&project);
        let report = Analyst::new().check(&with, of.layout.id);
        let (_, ratio) = report.governing().unwrap();
        assert_eq!(of.figures.least, Some(ratio));
        assert_eq!(of.figures.cups, 6);
        assert!(ratio <= most * (1.0 + 1e-9), "{ratio} {most}");
        assert!(
            report.cups.iter().all(|cup| cup.clearance.unwrap().distance >= cup.required_clearance_mm - 1e-6)
        );
        assert!(!report.findings.iter().any(|finding| finding.rule == "seat.overlap"));
        assert_eq!(of.layout.proposed, found.says);
    }
    let best = found.proposals.iter().filter_map(|of| of.figures.least).fold(0.0, f64::max);
    assert!(best >= most * 0.9, "{best} {most}");
    assert!(found.why_not_better.contains("No layout of 6 cups"), "{}", found.why_not_better);
    // Every position is a multiple of the step, but in a ring or as a mirror image.
    let free =
        found.proposals.iter().filter(|of| matches!(of.kind, Kind::Pattern(Pattern::Free | Pattern::Rows)));
    for cup in free.flat_map(|of| &of.layout.cups) {
        assert_eq!((cup.at / 5.0).round() * 5.0, cup.at, "{cup:?}");
    }
}

#[test]
fn the_same_question_has_the_same_answer() {
    let project = project();
    let ask =
        || run(&project, Question { one_lost: true, ..question(&project, HowMany::Exactly(5)) }).unwrap();
    let (a, b) = (ask(), ask());
    assert_eq!(a.proposals.len(), b.proposals.len());
    for (a, b) in a.proposals.iter().zip(&b.proposals) {
        assert_eq!((a.kind, &a.layout, &a.figures), (b.kind, &b.layout, &b.figures));
    }
    assert_eq!((&a.certainty, &a.why_not_fewer), (&b.certainty, &b.why_not_fewer));
}

#[test]
fn one_core_finds_what_two_find() {
    let project = project();
    for count in [HowMany::Exactly(5), HowMany::Fewest { most: 12 }] {
        let ask = Question { one_lost: true, ..question(&project, count) };
        let job = Analyst::new().proposal_job(&project, project.layouts[0].id, ask);
        let two = job.run(&ProposalWatch::default(), &mut |_| {}).unwrap();
        let one = job.run(&ProposalWatch::on_one_core(), &mut |_| {}).unwrap();
        assert!(one.proposals.len() > 1);
        let told = |of: &Proposals| -> Vec<(Kind, Arc<Layout>, ProposalFigures)> {
            of.proposals.iter().map(|of| (of.kind, Arc::clone(&of.layout), of.figures.clone())).collect()
        };
        assert_eq!(told(&one), told(&two));
        assert_eq!((one.certainty, one.fewer, one.beside), (two.certainty, two.fewer, two.beside));
    }
}

#[test]
fn fewest_cups_meet_what_must_hold_and_one_fewer_is_ruled_out_or_not_found() {
    let mut heavy = project();
    let mut part = Part::clone(&heavy.parts[0]);
    part.thickness_mm = 6.0;
    heavy.parts[0] = Arc::new(part);
    for one_lost in [false, true] {
        let found =
            run(&heavy, Question { one_lost, ..question(&heavy, HowMany::Fewest { most: 20 }) }).unwrap();
        let best = &found.proposals[0];
        assert!(best.meets && best.figures.least.unwrap() >= 1.0);
        if one_lost {
            assert!(best.figures.one_lost.unwrap() >= 1.0 - 1e-9 && best.figures.holds_lost == Some(true));
        }
        assert_eq!(found.count, best.figures.cups);
        if found.count > 1 {
            let exactly = Question {
                pattern: Some(Pattern::Free),
                one_lost,
                ..question(&heavy, HowMany::Exactly(found.count - 1))
            };
            let one_less = run(&heavy, exactly).unwrap();
            assert!(!one_less.proposals[0].meets, "{:?}", one_less.proposals[0].figures);
        }
        assert!(!found.why_not_fewer.is_empty());
    }
}

#[test]
fn what_there_is_stands_last_and_is_never_better_than_the_free_proposal() {
    let project = project();
    let found = run(&project, question(&project, HowMany::Exactly(6))).unwrap();
    let rows = found.proposals.iter().find(|of| of.kind != Kind::Pattern(Pattern::Free)).unwrap();
    let with = with_layout(&rows.project(&project), |layout| layout.cups = rows.layout.cups.clone());
    let again = run(&with, question(&with, HowMany::Exactly(6))).unwrap();
    let present = again.proposals.last().unwrap();
    assert_eq!(present.kind, Kind::Present);
    assert_eq!(present.figures.least, rows.figures.least);
    let best = again.proposals.iter().filter_map(|of| of.figures.least).fold(0.0, f64::max);
    assert!(best >= present.figures.least.unwrap());
}

#[test]
fn a_proposal_becomes_a_further_layout_and_nothing_else_changes() {
    let project = project();
    let found = run(&project, question(&project, HowMany::Exactly(4))).unwrap();
    let edit = found.proposals[0].edit(&project);
    let after = edit.apply(&project).unwrap();
    assert_eq!(after.layouts.len(), 2);
    assert_eq!(after.layouts[0], project.layouts[0]);
    assert_eq!(
        (&after.parts, &after.motions, &after.circuits),
        (&project.parts, &project.motions, &project.circuits)
    );
    assert_eq!(after.layouts[1].cups.len(), 4);
    assert!(after.model(&model(40.0).id).is_some(), "the model comes with it");
    assert!(matches!(&edit, Edit::Together { name, .. } if name.starts_with("Add ")));
    // Taken twice it is added twice, under a name of its own.
    let twice = found.proposals[0].edit(&after).apply(&after).unwrap();
    assert_ne!(twice.layouts[2].name, twice.layouts[1].name);
}

#[test]
fn locked_cups_stay_and_new_ones_keep_their_distance() {
    let project = project();
    let found = run(&project, question(&project, HowMany::Exactly(4))).unwrap();
    let mut cup = found.proposals[0].layout.cups[0].clone();
    (cup.at, cup.locked) = (DVec2::new(303.0, 201.5), true);
    let with = with_layout(&found.proposals[0].project(&project), |layout| layout.cups = vec![cup.clone()]);
    let question = Question { spacing_mm: Some(40.0), ..question(&with, HowMany::Exactly(5)) };
    let found = run(&with, question).unwrap();
    for of in found.proposals.iter().filter(|of| of.kind != Kind::Present) {
        assert_eq!(of.layout.cups[0], cup);
        for (i, a) in of.layout.cups.iter().enumerate() {
            assert!(
                of.layout.cups[..i].iter().all(|b| a.at.distance(b.at) >= 80.0 - 1e-6),
                "{:?}",
                of.layout.cups
            );
        }
    }
}

#[test]
fn cups_on_the_frame_stand_on_its_places() {
    let project = project();
    let frame = vec![
        FramePiece::rail(FrameId(70), "Rail", DVec2::new(50.0, 120.0), 500.0, 0.0),
        FramePiece::rail(FrameId(71), "Rail", DVec2::new(50.0, 280.0), 500.0, 0.0),
    ];
    let with = with_layout(&project, |layout| {
        layout.tool = Arc::new(Tool { frame: frame.clone(), ..Tool::clone(&layout.tool) });
    });
    let found =
        run(&with, Question { pattern: Some(Pattern::Frame), ..question(&with, HowMany::Exactly(4)) })
            .unwrap();
    let cups = &found.proposals[0].layout.cups;
    assert!(cups.iter().all(|cup| frame.iter().any(|piece| piece.carries(cup.at, 1e-6))), "{cups:?}");
}

#[test]
fn each_part_of_a_question_that_fails_is_named_with_the_nearest_that_works() {
    let project = project();
    let ask = |project: &Project, change: &dyn Fn(&mut Question)| {
        let mut question = question(project, HowMany::Exactly(4));
        change(&mut question);
        run(project, question).unwrap_err()
    };
    let no_room = ask(&project, &|question| {
        (question.models, question.spacing_mm) = (vec![model(60.0).id.clone()], Some(500.0))
    });
    assert!(matches!(no_room, CannotPropose::NoRoom { wanted: 4, most: 2, .. }), "{no_room}");
    assert!(no_room.to_string().contains("there is room for 2"), "{no_room}");
    let mut heavy = project.clone();
    let mut part = Part::clone(&heavy.parts[0]);
    part.mass = document::MassBy::Stated { kg: document::Sourced::stated(60.0) };
    heavy.parts[0] = Arc::new(part);
    let few = ask(&heavy, &|question| {
        (question.count, question.spacing_mm) = (HowMany::Fewest { most: 24 }, Some(300.0))
    });
    let CannotPropose::FewFit { needed, room, .. } = &few else { panic!("{few}") };
    assert!(room < needed, "{few}");
    let frame = ask(&project, &|question| question.pattern = Some(Pattern::Frame));
    assert_eq!(frame, CannotPropose::NoFrame);
    let unknown = ask(&project, &|question| question.models = vec![document::ModelId("none-such".into())]);
    assert!(unknown.to_string().contains("\"none-such\""), "{unknown}");
    let step = ask(&project, &|question| question.step_mm = f64::NAN);
    assert!(step.to_string().contains("position step"), "{step}");
    let mut still = project.clone();
    still.motions.clear();
    assert_eq!(ask(&still, &|_| {}), CannotPropose::NoMotion);
    let mut uneven = project.clone();
    let mut part = Part::clone(&uneven.parts[0]);
    part.uneven_mm = 300.0;
    uneven.parts[0] = Arc::new(part);
    let none = ask(&uneven, &|question| question.models = Vec::new());
    assert!(none.to_string().contains("varies in height by 300.0 mm"), "{none}");
    let locked = run(&project, question(&project, HowMany::Exactly(3))).unwrap();
    let with = with_layout(&locked.proposals[0].project(&project), |layout| {
        layout.cups = locked.proposals[0].layout.cups.clone();
        layout.cups.iter_mut().for_each(|cup| cup.locked = true);
    });
    let more = ask(&with, &|question| question.count = HowMany::Exactly(2));
    assert_eq!(more, CannotPropose::MoreLocked { locked: 3, wanted: 2 });
    let mut fast = project.clone();
    let mut motion = Motion::clone(&fast.motions[1]);
    motion.acceleration.x = 90.0;
    fast.motions[1] = Arc::new(motion);
    let out = ask(&fast, &|question| question.count = HowMany::Fewest { most: 4 });
    assert!(matches!(out, CannotPropose::OutOfReach { most: 4, cups: 4, .. }), "{out}");
    assert!(out.to_string().contains("and none has more than"), "{out}");
}

#[test]
fn what_is_stopped_gives_the_best_so_far_or_says_so() {
    let project = project();
    let job =
        Analyst::new().proposal_job(&project, project.layouts[0].id, question(&project, HowMany::Exactly(8)));
    let watch = ProposalWatch::default();
    let mut given = 0;
    let found = job.run(&watch, &mut |so_far| {
        given += 1;
        assert!(!so_far.whole && !so_far.proposals.is_empty());
        watch.stop();
    });
    let found = found.unwrap();
    assert!(given == 1 && !found.whole && found.proposals[0].figures.cups == 8);
    assert_eq!(found.certainty, Certainty::NotAsked);
    assert!(watch.progress().scored > 0 && watch.progress().best > 0.0);
    let early = ProposalWatch::default();
    early.stop();
    assert!(matches!(
        job.run(&early, &mut |_| {}),
        Err(CannotPropose::Stopped) | Ok(Proposals { whole: false, .. })
    ));
}

#[test]
fn two_models_stand_in_one_layout_only_when_asked() {
    let project = project();
    let both = vec![model(40.0).id.clone(), model(60.0).id.clone()];
    let apart =
        run(&project, Question { models: both.clone(), ..question(&project, HowMany::Exactly(4)) }).unwrap();
    assert!(apart.proposals.iter().all(|of| of.figures.models.len() == 1));
    let mixed = Question {
        models: both,
        mixed: true,
        pattern: Some(Pattern::Free),
        ..question(&project, HowMany::Exactly(4))
    };
    let mixed = run(&project, mixed).unwrap();
    assert!(
        mixed.proposals[0].figures.least
            >= apart.proposals.iter().filter_map(|of| of.figures.least).reduce(f64::max).map(|v| v * 0.98)
    );
}
