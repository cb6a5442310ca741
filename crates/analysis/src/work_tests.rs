//! How much each edit makes the stages work: what a stage does not depend on must not start it.

use crate::Analyst;
use crate::slow::Slow;
use crate::slow::Watch;
use document::{LayoutId, MassBy, Motion, Project, Sourced};
use std::sync::Arc;

#[path = "../../telling/tests/all/common/mod.rs"]
mod common;
use common::*;

/// Drawings prepared, masses, clearances, groups, motions, regions so far.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Work {
    drawings: u64,
    masses: u64,
    clearances: u64,
    groups: u64,
    motions: u64,
    regions: u64,
}

fn work(analyst: &Analyst, layout: LayoutId) -> Work {
    let stage = &analyst.layouts[&layout];
    let (groups, motions) = stage.loads.made();
    Work {
        drawings: analyst.parts.values().map(|part| part.shape.made()).sum(),
        masses: analyst.parts.values().map(|part| part.mass.made()).sum(),
        clearances: stage.seats.clearances_made,
        groups,
        motions,
        regions: analyst.regions.made(),
    }
}

/// What checking the project after an edit adds.
fn added(edit: impl FnOnce(&mut Project)) -> Work {
    let mut project = project(
        plate(600.0, 400.0, 5.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0), still(2, "Carry", 2.0), still(3, "Set down", 2.0)],
    );
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    analyst.check(&project, layout);
    let before = work(&analyst, layout);
    assert_eq!(before, Work { drawings: 1, masses: 1, clearances: 4, groups: 1, motions: 3, regions: 0 });
    edit(&mut project);
    analyst.check(&project, layout);
    let after = work(&analyst, layout);
    Work {
        drawings: after.drawings - before.drawings,
        masses: after.masses - before.masses,
        clearances: after.clearances - before.clearances,
        groups: after.groups - before.groups,
        motions: after.motions - before.motions,
        regions: after.regions - before.regions,
    }
}

#[test]
fn an_analyst_can_go_to_a_worker_thread() {
    fn goes<T: Send>(value: T) -> T {
        value
    }
    assert_eq!(goes(Analyst::new()).layouts.len(), 0);
}

const NONE: Work = Work { drawings: 0, masses: 0, clearances: 0, groups: 0, motions: 0, regions: 0 };

#[test]
fn names_work_out_nothing() {
    assert_eq!(added(|project| edit_layout(project, |layout| layout.cups[0].tag = "X9".to_owned())), NONE);
    assert_eq!(added(|project| edit_part(project, |part| part.name = "Other".to_owned())), NONE);
    assert_eq!(added(|project| Arc::make_mut(&mut project.motions[0]).name = "Other".to_owned()), NONE);
    assert_eq!(added(|project| Arc::make_mut(&mut project.models[0]).name = "Other".to_owned()), NONE);
    assert_eq!(added(|project| project.name = "Other".to_owned()), NONE);
    assert_eq!(added(|project| Arc::make_mut(&mut project.motions[0]).required_factor = 3.0), NONE);
}

#[test]
fn dragging_a_cup_works_out_its_seat_and_the_motions() {
    let moved = added(|project| edit_layout(project, |layout| layout.cups[0].at.x += 3.0));
    assert_eq!(moved, Work { clearances: 1, groups: 1, motions: 3, ..NONE });
}

#[test]
fn an_overhanging_cup_asks_for_one_landing_region_however_far_it_is_dragged() {
    let moved = added(|project| edit_layout(project, |layout| layout.cups[0].at.x = 10.0));
    assert_eq!(moved.regions, 1);
    let mut project = project(
        plate(600.0, 400.0, 5.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0)],
    );
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    for x in [20.0, 15.0, 10.0, 5.0] {
        edit_layout(&mut project, |layout| layout.cups[0].at.x = x);
        analyst.check(&project, layout);
    }
    assert_eq!(work(&analyst, layout).regions, 1);
    // The window lights the same region while dragging.
    assert!(analyst.landing_region(&project, layout, &project.models[0].id, 30.0).is_some());
    assert_eq!(work(&analyst, layout).regions, 1);
}

#[test]
fn one_motion_works_out_itself_and_a_new_mass_all_of_them() {
    let moved = added(|project| {
        let motion = Motion { acceleration: glam::DVec3::X, ..Motion::clone(&project.motions[1]) };
        project.motions[1] = Arc::new(motion);
    });
    assert_eq!(moved, Work { motions: 1, ..NONE });
    let heavier = added(|project| {
        edit_part(project, |part| part.mass = MassBy::Stated { kg: Sourced::stated(6.0) });
    });
    assert_eq!(heavier, Work { masses: 1, motions: 3, ..NONE });
    let slippery = added(|project| edit_part(project, |part| part.friction = Sourced::stated(0.3)));
    assert_eq!(slippery, Work { motions: 3, ..NONE });
}

#[test]
fn a_new_outline_works_out_the_part_and_every_seat() {
    let cut = added(|project| {
        edit_part(project, |part| {
            let outline = geometry::Outline {
                outer: geometry::Loop::rectangle(glam::DVec2::ZERO, glam::DVec2::new(600.0, 390.0)),
                holes: Vec::new(),
            };
            part.outline = Arc::new(outline);
        });
    });
    // The mass and its centre are stated, its inertia is not.
    assert_eq!(cut, Work { drawings: 1, masses: 1, clearances: 4, motions: 3, ..NONE });
}

#[test]
fn dragging_a_corner_of_the_outline_works_out_no_landing_region_until_it_is_asked_for() {
    let mut project = project(
        plate(600.0, 400.0, 5.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0)],
    );
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    for step in 0..5u32 {
        edit_part(&mut project, |part| {
            Arc::make_mut(&mut part.outline).outer.vertices[2].at.x = 600.0 + f64::from(step);
        });
        analyst.check(&project, layout);
        analyst.check(&project, layout);
    }
    let dragged = work(&analyst, layout);
    assert_eq!((dragged.drawings, dragged.regions), (5, 0));
    assert!(analyst.landing_region(&project, layout, &project.models[0].id, 0.0).is_some());
    assert_eq!(work(&analyst, layout), Work { regions: 1, ..dragged });
}

#[test]
fn a_thousand_motions_end_and_say_what_was_left_out() {
    let motions = (0..1000).map(|i| still(1000 + i, "Lift", 2.0)).collect();
    let mut project = project(
        plate(600.0, 400.0, 5.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    );
    // One that is weaker than the others is not left out.
    Arc::make_mut(&mut project.motions[700]).acceleration.z = 5.0;
    let mut analyst = Analyst::new();
    let most = crate::slow::Most { programmes: 2_000, followed: usize::MAX };
    let stopped = Watch::default();
    stopped.stop(Slow::Losses);
    let job = analyst.slow_job_of(&project, layout(&project), most).expect("a job");
    let mut found = Vec::new();
    job.clone().run(&stopped, &mut |figure| found.push(figure.slow));
    // Told to stop, it does, with what stands on it; the others go on, those of a part that bends with nothing to say.
    let rest = [Slow::Bending, Slow::Ranges, Slow::Envelope, Slow::Ringing, Slow::BentReserve];
    assert_eq!(found, rest);
    job.run(&Watch::default(), &mut |found| analyst.take_slow(found));
    let stage = &analyst.layouts[&layout(&project)].slow;
    let slow = |motion: usize| stage.of_motion(project.motions[motion].id).expect("slow figures");
    let found = |motion: &usize| matches!(slow(*motion).limit, crate::LimitFigure::Factor(_));
    let count = (0..1000).filter(found).count();
    // Half of 2000 cups over 8 solves of 4 cups.
    assert_eq!(count, 31);
    assert!(found(&700));
    // What follows when a cup is lost is known of every motion, with a limit of as many as the budget has.
    assert!((0..1000).all(|motion| slow(motion).lost.len() == 4));
}

#[test]
fn losses_of_too_many_cups_are_followed_for_the_weakest_and_the_rest_is_said() {
    let places: Vec<(f64, f64)> =
        (0..36).map(|i| (50.0 + f64::from(i % 6) * 90.0, 40.0 + f64::from(i / 6) * 60.0)).collect();
    let motions = vec![still(1000, "Lift", 2.0), still(1001, "Hold", 2.0)];
    let project = project(plate(600.0, 400.0, 5.0), model("round-50", round(50.0), 1.0), &places, motions);
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    // Ten losses of 36 cups for each of two motions.
    let most = crate::slow::Most { programmes: 1_000, followed: 2 * 360 };
    let job = analyst.slow_job_of(&project, layout, most).expect("a job");
    job.run(&Watch::default(), &mut |found| analyst.take_slow(found));
    let report = analyst.check(&project, layout);
    for motion in &report.motions {
        let outcome = motion.outcome.as_ref().expect("a factor");
        let lost = &outcome.slow.as_ref().expect("slow figures").lost;
        assert_eq!(lost.len(), 10);
        let factor = |id| outcome.cups.iter().find(|c| c.id == id).map_or(f64::NAN, |c| c.factor.value);
        let weakest = outcome.cups.iter().map(|c| c.factor.value).fold(f64::INFINITY, f64::min);
        assert!(lost.iter().any(|l| matches!(l.lost, crate::Lost::Cup(id) if factor(id) == weakest)));
        let says = format!("one cup lost, {}", motion.name);
        let said = report.not_checked.iter().find(|(what, _)| *what == says).expect("it is said");
        assert_eq!(said.1, "too many cups: only the loss of 10 of 36 is checked, weakest first");
        // Ten more are left out in turn, beside those whose loss was followed.
        assert_eq!(outcome.slow.as_ref().map(|slow| slow.without.len()), Some(20));
        let says = format!("one cup left out, {}", motion.name);
        let said = report.not_checked.iter().find(|(what, _)| *what == says).expect("it is said");
        assert_eq!(
            said.1,
            "too many cups: the factor without each cup is calculated only for 20 of 36, weakest first"
        );
    }
}

#[test]
fn a_circuit_is_solved_when_its_inputs_change_and_only_then() {
    let mut project = circuits::leaking();
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    analyst.check(&project, layout);
    let mut made = 1;
    let mut solves = |project: &Project, added: u64| {
        analyst.check(project, layout);
        made += added;
        assert_eq!(analyst.layouts[&layout].circuits.made(), made);
    };
    solves(&project, 0);
    Arc::make_mut(&mut project.motions[0]).required_factor = 3.0;
    solves(&project, 0);
    Arc::make_mut(&mut project.models[0]).mass_g = 11.0;
    solves(&project, 0);
    edit_part(&mut project, |part| part.friction = Sourced::stated(0.4));
    solves(&project, 0);
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 1.0);
    solves(&project, 1);
    circuits::edit_source(&mut project, |source| source.volume_ml += 1.0);
    solves(&project, 1);
}

#[test]
fn slow_figures_of_motions_are_taken_over_when_a_price_changes() {
    let mut project = circuits::leaking();
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    analyst.check_whole(&project, layout);
    let before = analyst.snapshot(&project, layout).expect("a snapshot");
    project.cycle.air_price_per_m3.value += 0.01;
    let after = analyst.snapshot(&project, layout).expect("a snapshot");
    assert_ne!(before, after);
    assert!(before.circuits[0].same_air(&after.circuits[0]));
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 1.0);
    let moved = analyst.snapshot(&project, layout).expect("a snapshot");
    assert!(!before.circuits[0].same_air(&moved.circuits[0]));
}

/// Eight parts of one outline on a tool of 24 cups, each part a little elsewhere.
fn eight_parts() -> (Project, Vec<document::SeatId>) {
    let mut project = common::large(24, 200, 3);
    common::carried(&mut project, 8);
    let seats: Vec<_> = project.layouts[0].seats.iter().map(|seat| seat.id).collect();
    assert_eq!(seats.len(), 8);
    (project, seats)
}

/// What each part's stages made so far.
fn work_of_each(analyst: &Analyst, layout: LayoutId, seats: &[document::SeatId]) -> Vec<Work> {
    seats.iter().map(|seat| work(&analyst.family.seats[&(layout, *seat)].analyst, layout)).collect()
}

#[test]
fn dragging_one_part_works_out_that_part_alone() {
    let (mut project, seats) = eight_parts();
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    analyst.check(&project, layout);
    let before = work_of_each(&analyst, layout, &seats);
    edit_layout(&mut project, |layout| layout.seats[3].at.x += 0.5);
    let report = analyst.check(&project, layout);
    let cups = &report.family.as_ref().unwrap().seats[3].cups;
    let holding = cups.iter().filter(|cup| cup.holds).count() as u64;
    assert!(holding > 12, "{holding}");
    let after = work_of_each(&analyst, layout, &seats);
    for (place, (before, after)) in before.iter().zip(&after).enumerate() {
        if place == 3 {
            assert_eq!((after.drawings, after.motions), (before.drawings + 1, before.motions + 3));
            assert_eq!(after.clearances, before.clearances + holding);
        } else {
            assert_eq!(before, after, "part {place}");
        }
    }
}

#[test]
fn dragging_one_cup_works_out_that_cup_and_the_motions_of_every_part_it_holds() {
    let (mut project, seats) = eight_parts();
    let layout = layout(&project);
    let mut analyst = Analyst::new();
    analyst.check(&project, layout);
    let zone = project.layouts[0].cups[5].zone.clone();
    let model = project.models[0].id.clone();
    let shown = analyst.landing(&project, layout, &model, 0.0, &zone).unwrap();
    let before = work_of_each(&analyst, layout, &seats);
    for _ in 0..4 {
        edit_layout(&mut project, |layout| layout.cups[5].at.x += 0.5);
        analyst.check(&project, layout);
        // The region that every part offers is put together once for the whole drag.
        assert!(analyst.landing(&project, layout, &model, 0.0, &zone).unwrap().is(&shown));
    }
    assert_eq!(analyst.landings_made(), 1);
    let after = work_of_each(&analyst, layout, &seats);
    for (before, after) in before.iter().zip(&after) {
        assert_eq!(
            (after.drawings, after.masses, after.regions),
            (before.drawings, before.masses, before.regions)
        );
        assert_eq!((after.clearances, after.groups), (before.clearances + 4, before.groups + 4));
        assert_eq!(after.motions, before.motions + 4 * 3);
    }
    // Shut for a part, a cup that is dragged leaves its motions as they are.
    edit_layout(&mut project, |layout| {
        layout.cups[5].zone = "S".to_owned();
        layout.seats[2].shut = vec!["S".to_owned()];
    });
    analyst.check(&project, layout);
    let before = work_of_each(&analyst, layout, &seats);
    edit_layout(&mut project, |layout| layout.cups[5].at.x += 0.5);
    analyst.check(&project, layout);
    let after = work_of_each(&analyst, layout, &seats);
    assert_eq!(before[2].motions, after[2].motions);
    assert_eq!(before[1].motions + 3, after[1].motions);
}
