//! The slow figures: what they are, that they keep to their bounds, and that older ones are told from current ones.

use crate::common;

use analysis::{Age, Ages, Analyst, LimitFigure, Lost, MotionSlow, Report, Slow, Watch};
use common::*;
use document::{CupId, Motion, MotionId, MotionKind, Project, Sourced, StartStop, Worst};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::sync::Arc;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn slow(report: &Report, motion: usize) -> &MotionSlow {
    let outcome = report.motions[motion].outcome.as_ref().expect("a figure");
    outcome.slow.as_ref().expect("slow figures")
}

fn number(limit: &LimitFigure) -> f64 {
    match limit {
        LimitFigure::Factor(value) => *value,
        LimitFigure::Unlimited => f64::INFINITY,
        LimitFigure::Missing(why) => panic!("{why}"),
        LimitFigure::Pending => panic!("not calculated"),
    }
}

/// Four round cups of 50 mm on the corners of 400 x 200 mm, 4 kg in the plane of the lips.
fn four(motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

#[test]
fn level_and_still_the_limit_is_force_over_weight_whoever_carries_it() {
    let report = whole(&four(vec![still(1, "Lift", 2.0)]));
    assert!(report.ages.all_current());
    let slow = slow(&report, 0);
    let force = holds(50.0, LEVEL);
    // All four at once hold 4 F; two on a diagonal hold 2 F when one is lost.
    let weight = 4.0 * 9.80665;
    assert!((number(&slow.limit) - 4.0 * force / weight).abs() < 1e-4);
    assert_eq!(slow.lost.len(), 4);
    for lost in &slow.lost {
        assert!(lost.holds && lost.then_lost.is_empty());
        // The three that are left could do better than the diagonal with the tilt of their lips, never with less.
        assert!(number(&lost.limit) >= 2.0 * force / weight * (1.0 - 1e-5));
        assert!(number(&lost.limit) < number(&slow.limit));
    }
    // Nothing is assumed in these figures.
    assert_eq!(slow.range, None);
}

#[test]
fn friction_that_is_assumed_makes_a_range_of_its_spread() {
    let mut edge = still(1, "On edge", 2.0);
    edge.tilt_deg = 90.0;
    let mut project = four(vec![edge, still(2, "Lift", 2.0)]);
    edit_part(&mut project, |part| part.friction = Sourced::assumed(0.5));
    project.rules.friction_spread = 0.2;
    let report = whole(&project);
    let factor = report.motions[0].outcome.as_ref().expect("a figure").factor;
    let range = slow(&report, 0).range.as_ref().expect("a range");
    // Where friction alone carries, the factor goes with it.
    assert!((range.least / factor - 0.8).abs() < 1e-6 && (range.most / factor - 1.2).abs() < 1e-6);
    assert_eq!(range.inputs, ["friction of the lips on Sheet"]);
    // Lifted level it does not matter.
    assert_eq!(slow(&report, 1).range, None);
    // Measured, it is no range.
    edit_part(&mut project, |part| part.friction = Sourced::measured(0.5, "2026-01-31"));
    assert_eq!(slow(&whole(&project), 0).range, None);
}

#[test]
fn a_loss_runs_on_until_the_part_drops_and_is_told_step_by_step() {
    // Too heavy for three: with one lost the part swings to the diagonal and the lips there open one after the other.
    let mut project = four(vec![still(1, "Lift", 1.0)]);
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(36.0) });
    let report = whole(&project);
    assert!(report.motions[0].outcome.as_ref().expect("a figure").factor > 1.0);
    let lost = &slow(&report, 0).lost[0];
    assert_eq!((&lost.lost, lost.holds), (&Lost::Cup(CupId(101)), false));
    assert!(!lost.then_lost.is_empty() && lost.factor.expect("a factor") < 1.0);

    let mut analyst = Analyst::new();
    let steps = analyst.replay(&project, layout(&project), MotionId(1), &lost.lost);
    assert_eq!(steps[0].newly, [CupId(101)]);
    assert_eq!(steps[0].factor, lost.factor);
    assert!(steps[0].says.starts_with("C1 loses its seal; C"), "{}", steps[0].says);
    let last = steps.last().expect("steps");
    assert!(last.says.ends_with("the part drops."), "{}", last.says);
    assert!(last.cups.is_empty() && last.factor.is_none());
    let then: Vec<CupId> = steps[1..].iter().flat_map(|step| step.newly.clone()).collect();
    assert_eq!(then, lost.then_lost);
    // What is left carries the whole weight in every step that has figures.
    for step in steps.iter().filter(|step| !step.cups.is_empty()) {
        let pull: f64 = step.cups.iter().map(|cup| cup.load.pull).sum();
        assert!((pull - 36.0 * 9.80665).abs() < 1e-6);
    }
    assert!(analyst.replay(&project, layout(&project), MotionId(99), &lost.lost).is_empty());
    assert!(analyst.replay(&project, layout(&project), MotionId(1), &Lost::Cup(CupId(9))).is_empty());
    assert!(
        analyst.replay(&project, layout(&project), MotionId(1), &Lost::Zone("none".to_owned())).is_empty()
    );
}

#[test]
fn zones_of_several_cups_are_lost_too() {
    let mut project = four(vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| {
        layout.cups[2].zone = "B".to_owned();
        layout.cups[3].zone = "B".to_owned();
    });
    let report = whole(&project);
    let zones: Vec<_> =
        slow(&report, 0).lost.iter().filter(|lost| matches!(lost.lost, Lost::Zone(_))).collect();
    assert_eq!(zones.len(), 2);
    assert_eq!(zones[0].lost, Lost::Zone("A".to_owned()));
    let mut analyst = Analyst::new();
    let steps = analyst.replay(&project, layout(&project), MotionId(1), &Lost::Zone("B".to_owned()));
    assert_eq!(steps[0].gone, [CupId(103), CupId(104)]);
}

#[test]
fn older_figures_stay_until_new_ones_come_and_lose_what_is_gone() {
    let mut project = four(vec![still(1, "Lift", 2.0), still(2, "Set down", 2.0)]);
    let id = layout(&project);
    let mut analyst = Analyst::new();
    assert_eq!(analyst.check(&project, id).ages, Ages::default());
    let job = analyst.slow_job(&project, id).expect("work");
    let stopped = Watch::default();
    stopped.stop_all();
    job.clone().run(&stopped, &mut |found| panic!("{:?} though stopped before it began", found.slow));
    job.run(&Watch::default(), &mut |found| analyst.take_slow(found));
    let first = analyst.check(&project, id);
    assert!(first.ages.all_current());
    assert!(analyst.slow_job(&project, id).is_none());

    // Names change nothing, a moved cup makes them older.
    edit_layout(&mut project, |layout| layout.cups[0].tag = "X1".to_owned());
    assert!(analyst.check(&project, id).ages.all_current());
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 10.0);
    let moved = analyst.check(&project, id);
    assert_eq!(moved.ages, Ages::by(|_| Age::Older));
    assert_eq!(slow(&moved, 0), slow(&first, 0));
    assert_eq!(moved.envelope, first.envelope);

    // A cup that is gone is in no figure; a new motion has none yet.
    edit_layout(&mut project, |layout| {
        layout.cups.remove(3);
    });
    project.motions.push(Arc::new(still(3, "Turn", 2.0)));
    let fewer = analyst.check(&project, id);
    assert_eq!(fewer.ages, Ages::by(|_| Age::Older));
    assert_eq!(slow(&fewer, 0).lost.len(), 3);
    assert!(fewer.motions[2].outcome.as_ref().expect("a figure").slow.is_none());

    // A job for a plan that was changed meanwhile is taken, as an older one.
    let late = analyst.slow_job(&project, id).expect("work");
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 1.0);
    analyst.check(&project, id);
    late.run(&Watch::default(), &mut |found| analyst.take_slow(found));
    assert_eq!(analyst.check(&project, id).ages, Ages::by(|_| Age::Older));
    let whole = analyst.check_whole(&project, id);
    assert!(whole.ages.all_current());
    assert_eq!(*whole, *Analyst::new().check_whole(&project, id));
}

/// Figures that an edit made older.
fn older(analyst: &mut Analyst, project: &Project) -> Vec<Slow> {
    let ages = analyst.check(project, layout(project)).ages;
    let older = Slow::all().filter(|slow| ages.of(*slow) == Age::Older).collect();
    analyst.check_whole(project, layout(project));
    older
}

#[test]
fn each_figure_is_older_only_where_its_own_inputs_changed() {
    let mut project = circuits::leaking();
    edit_part(&mut project, |part| part.friction = Sourced::assumed(0.5));
    let id = layout(&project);
    let mut analyst = Analyst::new();
    analyst.check_whole(&project, id);
    project.rules.friction_spread += 0.05;
    assert_eq!(older(&mut analyst, &project), [Slow::Ranges]);
    project.cycle.air_price_per_m3.value += 0.01;
    assert_eq!(older(&mut analyst, &project), [Slow::Times]);
    // What the envelope keeps is the required factor; limit factors and times look at it too, losses do not.
    Arc::make_mut(&mut project.motions[0]).required_factor = 3.0;
    assert_eq!(older(&mut analyst, &project), [Slow::Limits, Slow::Envelope, Slow::Times, Slow::Remedy]);
    edit_layout(&mut project, |layout| layout.name.push('x'));
    assert_eq!(older(&mut analyst, &project), []);
    Arc::make_mut(&mut project.motions[0]).acceleration.z += 1.0;
    let found = older(&mut analyst, &project);
    assert!(!found.contains(&Slow::Envelope) && found.contains(&Slow::Losses), "{found:?}");
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 1.0);
    assert_eq!(older(&mut analyst, &project).len(), Slow::COUNT);
}

#[test]
fn a_figure_that_was_stopped_stays_away_with_what_stands_on_it_and_comes_later() {
    let project = four(vec![still(1, "Lift", 2.0)]);
    let id = layout(&project);
    let mut analyst = Analyst::new();
    let watch = Watch::default();
    watch.stop(Slow::Limits);
    let job = analyst.slow_job(&project, id).expect("work");
    assert!(job.figures().eq(Slow::all()));
    job.run(&watch, &mut |found| analyst.take_slow(found));
    assert!((watch.progress(Slow::Losses), watch.progress(Slow::Limits)) == (1.0, 0.0));
    let part = analyst.check(&project, id);
    assert_eq!(slow(&part, 0).limit, LimitFigure::Pending);
    assert!(slow(&part, 0).lost.iter().all(|lost| lost.holds && lost.limit == LimitFigure::Pending));
    let said = part.not_checked.iter().find(|(what, _)| what == "limit factor").expect("it is said");
    assert_eq!(said.1, "not calculated yet for this plan");
    assert_eq!(part.ages.told(Age::Absent, &Slow::OF_MOTIONS).as_deref(), Some("limit factors"));
    let job = analyst.slow_job(&project, id).expect("work");
    assert!(job.figures().eq([Slow::Limits, Slow::Remedy]));
    assert!(analyst.still_wants(&job.work(), Slow::Limits));
    assert_eq!(*analyst.check_whole(&project, id), *Analyst::new().check_whole(&project, id));
}

#[test]
fn an_accelerated_stroke_and_a_sudden_start_are_counted() {
    let mut carry = Motion::preset(MotionId(1), MotionKind::StrokeAndTime);
    carry.acceleration = DVec3::new(0.0, 7.0, 0.0); // only its direction counts
    carry.worst = Worst::AsStated;
    carry.stroke = Some(document::Stroke {
        mm: 1200.0,
        time_s: 1.0,
        profile: document::MoveProfile::Trapezoid,
        pause_s: 0.0,
    });
    let mut sudden = Motion { id: MotionId(2), inertia_times: 2.0, ..carry.clone() };
    sudden.name = "Sudden".to_owned();
    let report = whole(&four(vec![carry, sudden]));
    let force = |motion: usize| report.motions[motion].outcome.as_ref().expect("a figure").wrench.force;
    // 4.5 x 1.2 m/s² on 4 kg; the weight stays once.
    assert!((force(0) - DVec3::new(0.0, -21.6, -4.0 * 9.80665)).length() < 1e-9);
    assert!((force(1) - DVec3::new(0.0, -43.2, -4.0 * 9.80665)).length() < 1e-9);
}

#[test]
fn friction_goes_by_lip_material() {
    let mut edge = still(1, "On edge", 2.0);
    edge.tilt_deg = 90.0;
    let mut project = four(vec![edge]);
    edit_part(&mut project, |part| {
        part.pairs = vec![document::FrictionPair {
            lip_material: "Rubber ".to_owned(),
            friction: Sourced::assumed(0.25),
        }];
    });
    let report = whole(&project);
    assert!(report.cups.iter().all(|cup| cup.friction == 0.25));
    assert!(report.assumptions.iter().any(|assumed| assumed.what == "friction of Rubber on Sheet"));
    assert_eq!(slow(&report, 0).range.as_ref().expect("a range").inputs, ["friction of Rubber on Sheet"]);
}

#[test]
fn the_level_falls_along_a_lip_on_a_part_that_air_comes_through() {
    let long = geometry::LipShape::Long { length: 100.0, width: 30.0 };
    let mut project = project(
        plate(600.0, 400.0, 1.0),
        model("long", long, 1.0),
        &[(300.0, 200.0)],
        vec![still(1, "Lift", 2.0)],
    );
    let tight = Analyst::new().check(&project, layout(&project)).cups[0].clone();
    edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(0.5)));
    Arc::make_mut(&mut project.models[0]).channel_mm = Sourced::stated(0.1);
    let report = Analyst::new().check(&project, layout(&project));
    let (cup, channel) = (&report.cups[0], report.cups[0].channel.expect("a channel"));
    // n = sqrt(12 mu P/h³): mu of air at 20 °C after ISO 2533 is 1.812e-5 Pa·s; P = 0.5e-6 m/(Pa·s), h = 0.1 mm.
    let n = (12.0 * 1.812e-5 * 0.5e-6 / 1e-12_f64).sqrt();
    let nl = n * 0.045; // half of 90 % of 100 mm
    assert!((channel.fall_per_m / n - 1.0).abs() < 1e-3);
    assert!((channel.end_share - 1.0 / nl.cosh()).abs() < 1e-3);
    assert!((channel.mean_share - nl.tanh() / nl).abs() < 1e-3);
    assert!((cup.vacuum_force_n / tight.vacuum_force_n - channel.mean_share).abs() < 1e-9);
    // No air through the part, no fall.
    edit_part(&mut project, |part| part.permeance_um_pa_s = None);
    assert_eq!(Analyst::new().check(&project, layout(&project)).cups[0].channel, None);
}

#[test]
fn at_the_envelope_the_factor_is_what_is_required() {
    let mut project = four(vec![still(1, "Lift", 2.0), still(2, "Slow", 1.5)]);
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(330.0, 190.0, -25.0)));
    });
    let report = whole(&project);
    let envelope = report.envelope.as_ref().expect("an envelope");
    assert_eq!((&*envelope.held.to_string(), envelope.required_factor), ("level", 2.0));
    assert!(envelope.points.len() >= 72);
    let least = envelope.points.iter().map(|point| point.acceleration).fold(f64::INFINITY, f64::min);
    assert!(envelope.weakest.acceleration <= least * (1.0 + 1e-9));
    let mut tries: Vec<(DVec3, CupId)> = envelope
        .points
        .iter()
        .step_by(9)
        .map(|point| {
            let direction = DVec2::from_angle(point.direction_deg.to_radians());
            ((direction * point.acceleration).extend(0.0), point.cup)
        })
        .collect();
    tries.push((DVec3::Z * envelope.up.acceleration, envelope.up.cup));
    for (acceleration, cup) in tries {
        // In that direction alone: the opposite one has a point of its own.
        let start_stop = StartStop::AsStated;
        project.motions = vec![Arc::new(Motion { acceleration, start_stop, ..still(1, "Try", 2.0) })];
        let tried = Analyst::new().check(&project, layout(&project));
        let outcome = tried.motions[0].outcome.as_ref().expect("a figure");
        assert!((outcome.factor - 2.0).abs() < 1e-6, "{acceleration} {}", outcome.factor);
        let own = outcome.cups.iter().find(|held| held.id == cup).expect("the cup");
        assert!((own.factor.value - 2.0).abs() < 1e-6);
    }
    // Too heavy at rest: none, and the report says so.
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(60.0) });
    let heavy = whole(&project);
    assert_eq!(heavy.envelope, None);
    assert!(heavy.not_checked.iter().any(|(what, _)| what == "envelope"));
}

#[test]
fn the_envelope_of_a_motion_is_that_of_its_attitude() {
    let mut edge = still(1, "On edge", 3.0);
    edge.tilt_deg = 90.0;
    let project = four(vec![edge.clone(), still(2, "Lift", 2.0)]);
    let mut analyst = Analyst::new();
    let found = analyst.envelope_of(&project, layout(&project), MotionId(1)).expect("an envelope");
    assert_eq!((&*found.held.to_string(), found.required_factor), ("as at on edge, tilted 90°", 3.0));
    // Down along -y gravity helps to slide; accelerated upwards it adds up, so the weakest is upwards.
    assert!((found.weakest.direction_deg - 90.0).abs() < 1.0, "{}", found.weakest.direction_deg);
    let carried = Motion { acceleration: DVec3::Y * found.weakest.acceleration, ..edge };
    let check = Analyst::new().check(&four(vec![carried]), layout(&project));
    assert!((check.motions[0].outcome.as_ref().expect("a figure").factor - 3.0).abs() < 1e-6);
    let level = analyst.envelope_of(&project, layout(&project), MotionId(2)).expect("an envelope");
    assert_eq!(level.held.to_string(), "level");
    assert_eq!(analyst.envelope_of(&project, layout(&project), MotionId(99)), None);
}

#[test]
fn tool_and_part_are_one_body_at_the_flange() {
    let mut project = four(vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| {
        layout.tool = Arc::new(document::Tool {
            flange: DVec3::new(300.0, 200.0, 150.0),
            masses: vec![document::Attached {
                id: document::AttachedId(50),
                name: "Valve".to_owned(),
                mass_kg: 1.0,
                at: DVec3::new(300.0, 200.0, 100.0),
                size: DVec3::ZERO,
                turn_deg: 0.0,
            }],
            frame: Vec::new(),
        });
    });
    let report = whole(&project);
    let robot = report.robot.as_ref().expect("a load");
    let empty = robot.empty.expect("a tool");
    // Four cups of 10 g half of 20 mm above the lips, and the valve.
    assert!((empty.mass_kg - 1.04).abs() < 1e-12);
    let height = (0.04 * 10.0 + 1.0 * 100.0) / 1.04 - 150.0;
    assert!((empty.centre_mm - DVec3::new(0.0, 0.0, height)).length() < 1e-9);
    // About the flange's x: cups at 100 mm across and 140 mm below, the valve 50 mm below.
    let ixx = 4.0 * 0.01 * (0.1f64.powi(2) + 0.14f64.powi(2)) + 0.05f64.powi(2);
    assert!((empty.inertia_kg_m2[0] - ixx).abs() < 1e-12);
    assert!((robot.loaded.mass_kg - 5.04).abs() < 1e-12);
    assert_eq!(robot.left_out, ["frame"]);
}

fn motions() -> Vec<Motion> {
    [MotionKind::LevelLift, MotionKind::OnEdge, MotionKind::EmergencyStop]
        .iter()
        .enumerate()
        .map(|(i, kind)| Motion::preset(MotionId(10 + i as u32), *kind))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn figures_keep_to_their_bounds(
        places in proptest::collection::vec((60.0..540.0f64, 60.0..340.0f64), 3..6),
        kg in 0.5..20.0f64,
    ) {
        let spread = {
            let ((x0, y0), (x1, y1), (x2, y2)) = (places[0], places[1], places[2]);
            ((x2 - x0) * (y1 - y0) - (y2 - y0) * (x1 - x0)).abs() > 1e3
        };
        prop_assume!(spread);
        let mut soft = model("round-40", round(40.0), 0.8);
        soft.sealing_share = Sourced::assumed(SHARE);
        soft.tilt_reduction = Sourced::assumed(0.8);
        soft.lateral_n_mm = Sourced::assumed(11.0);
        let mut project = project(plate(600.0, 400.0, kg), soft, &places, motions());
        edit_part(&mut project, |part| part.friction = Sourced::assumed(0.5));
        let report = whole(&project);
        for motion in &report.motions {
            let Ok(outcome) = &motion.outcome else { continue };
            let slow = outcome.slow.as_ref().expect("slow figures");
            let limit = number(&slow.limit);
            prop_assert!(limit >= outcome.factor, "{} below {}", limit, outcome.factor);
            if let Some(range) = &slow.range {
                prop_assert!(range.least <= outcome.factor && outcome.factor <= range.most);
                prop_assert!(!range.inputs.is_empty());
            }
            for lost in &slow.lost {
                let left = number(&lost.limit);
                prop_assert!(left <= limit, "{left} with one lost, {limit} with all");
                if let Some(factor) = lost.factor {
                    prop_assert!(left >= factor * (1.0 - 1e-5), "{left} below {factor}");
                    prop_assert_eq!(factor >= 1.0 - 1e-9, lost.then_lost.is_empty());
                    prop_assert!(lost.holds || factor < 1.0);
                } else {
                    prop_assert!(!lost.holds);
                }
            }
        }
    }
}

#[test]
fn mirrored_losses_that_the_weight_alone_is_too_much_for_leave_nothing_alike() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/narrow-rail.ron");
    let (project, _) = document::open(&path).expect("a demo");
    let report = whole(&project);
    for motion in 0..report.motions.len() {
        for lost in &slow(&report, motion).lost {
            assert_eq!(lost.factor, Some(0.0));
            assert_eq!(number(&lost.limit), 0.0, "{}: {:?}", report.motions[motion].name, lost.lost);
        }
    }
}
