//! Motions, reserve, lost cups, alternatives, comparison, tool and robot, by accessible name.

use crate::hands::{Window, click, ready, settle, type_into, window, window_in};
use analysis::LimitFigure;
use document::{FrameShape, MotionKind, MoveProfile, StartStop};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn demo(window: &mut Window<'_>) {
    click(window, "Hide guide");
    settle(window);
}

#[test]
fn limit_factor_and_range_stand_beside_the_factor() {
    let mut window = window();
    demo(&mut window);
    assert!(window.state().report().ages.all_current());
    let report = window.state().report().clone();
    for motion in &report.motions {
        let outcome = motion.outcome.as_ref().unwrap();
        let slow = outcome.slow.as_ref().unwrap();
        let LimitFigure::Factor(limit) = slow.limit else { panic!("{}: {:?}", motion.name, slow.limit) };
        assert!(limit >= outcome.factor * (1.0 - 1e-6), "{}: {limit} below {}", motion.name, outcome.factor);
    }
    window.get_by_label_contains("Limit factor:");
    window.get_by_label_contains("Only the first counts");
}

#[test]
fn a_lost_cup_is_played_back_step_by_step_and_escape_ends_it() {
    let mut window = window();
    demo(&mut window);
    let row = window.get_all_by_label_contains("Without ").next().unwrap();
    row.click();
    ready(&mut window);
    window.get_by_label_contains("step 1 of");
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(window.query_by_label_contains("step 1 of").is_none());
}

#[test]
fn a_stroke_in_a_time_gives_the_acceleration_of_its_profile() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "add…");
    click(&mut window, "Stroke and time");
    let made = |window: &Window<'_>| window.state().project().motions.last().unwrap().clone();
    assert_eq!(made(&window).kind, MotionKind::StrokeAndTime);
    type_into(&mut window, "Stroke, mm", "900");
    type_into(&mut window, "Stroke time, s", "0.9");
    let motion = made(&window);
    let stroke = motion.stroke.unwrap();
    assert_eq!((stroke.mm, stroke.time_s, stroke.profile), (900.0, 0.9, MoveProfile::Trapezoid));
    // 4.5 s/t² (trapezoid in thirds): 4.5 x 0.9 m / 0.81 s².
    assert!((analysis::acceleration_of(&motion).length() - 5.0).abs() < 1e-9);
    // A sudden start is offered, never taken by itself.
    let before = window.state().report().motions.last().unwrap().outcome.as_ref().unwrap().factor;
    assert_eq!(motion.inertia_times, 1.0);
    click(&mut window, "sudden start: twice");
    assert_eq!(made(&window).inertia_times, 2.0);
    let after = window.state().report().motions.last().unwrap().outcome.as_ref().unwrap().factor;
    assert!(after < before, "{after} {before}");
}

#[test]
fn a_motion_that_turns_says_what_governs_and_may_be_kept_to_what_is_stated() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "Motion Swing about axis");
    let swing = |window: &Window<'_>| {
        let state = window.state();
        let index = state.project().motions.iter().position(|m| m.name == "Swing about axis").unwrap();
        let outcome = state.report().motions[index].outcome.as_ref().unwrap().clone();
        (state.project().motions[index].start_stop, outcome)
    };
    let (start_stop, both) = swing(&window);
    assert_eq!(start_stop, StartStop::Both);
    let governs = both.governs.clone().unwrap();
    assert!(governs.contains("turn"), "{governs}");
    window.get_by_label(&format!("Worst {governs}"));
    click(&mut window, "Start and stop");
    click(&mut window, "as stated only");
    let (start_stop, stated) = swing(&window);
    assert_eq!(start_stop, StartStop::AsStated);
    assert_eq!(stated.governs, None);
    assert!(stated.factor >= both.factor, "{} {}", stated.factor, both.factor);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(swing(&window).0, StartStop::Both);
}

/// Upside down the weight presses the part on: it must not be multiplied into a help, and the window says what was.
#[test]
fn a_motion_that_the_weight_helps_says_how_it_is_counted() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("over.ron");
    let mut project = document::Project::clone(window().state().project());
    let mut over = document::Motion::clone(&project.motions[0]);
    (over.name, over.id) = ("Upside down".to_owned(), document::MotionId(project.last_id + 1));
    over.tilt_deg = 180.0;
    over.acceleration = glam::DVec3::new(0.0, 4.3, 0.0);
    project.last_id += 1;
    project.motions.push(std::sync::Arc::new(over));
    document::save(&project, &file, None).unwrap();
    let mut window = window_in(Some(folder.path().to_owned()), Some(file));
    settle(&mut window);
    click(&mut window, "Motion Upside down");
    window.get_by_label("Factor with the motion multiplied, the weight counted at 90 % where it helps");
    click(&mut window, "Motion Level lift");
    assert!(window.query_by_label_contains("Factor with the motion multiplied").is_none());
}

#[test]
fn alternatives_are_copied_renamed_moved_and_removed_and_edits_act_on_the_one_shown() {
    let mut window = window();
    demo(&mut window);
    let names = |window: &Window<'_>| -> Vec<String> {
        window.state().project().layouts.iter().map(|l| l.name.clone()).collect()
    };
    assert_eq!(names(&window).len(), 1);
    click(&mut window, "copy to compare");
    assert_eq!(names(&window), ["Layout A", "Layout A copy"]);
    window.key_press(Key::F2);
    ready(&mut window);
    type_into(&mut window, "Name of the layout", "Wider");
    assert_eq!(names(&window), ["Layout A", "Wider"]);
    // The copy is shown: what is moved is its cup.
    let first = window.state().project().layouts[0].clone();
    click(&mut window, "Cup C1");
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    ready(&mut window);
    assert_eq!(window.state().project().layouts[0], first);
    assert!((window.state().project().layouts[1].cups[0].at - first.cups[0].at).x > 9.0);
    click(&mut window, "Alternatives");
    click(&mut window, "Move layout left");
    assert_eq!(names(&window), ["Wider", "Layout A"]);
    click(&mut window, "Alternatives");
    click(&mut window, "Remove this layout");
    assert_eq!(names(&window), ["Layout A"]);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(names(&window), ["Wider", "Layout A"]);
}

#[test]
fn two_alternatives_stand_side_by_side_with_a_table_and_a_sentence() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "copy to compare");
    // Fewer cups in the copy, so that the two differ.
    click(&mut window, "Cup C1");
    window.key_press(Key::Delete);
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    ready(&mut window);
    settle(&mut window);
    window.get_by_label("Plan of Layout A, to compare");
    window.get_by_label_contains("Cups: ");
    window.get_by_label_contains("is better");
    // A click on a motion's row shows its loads on both plans.
    let row = window.get_all_by_label_contains("Factor, ").next().unwrap();
    row.click();
    ready(&mut window);
    // The other one on the plan, this one beside.
    click(&mut window, "Layout A");
    settle(&mut window);
    window.get_by_label("Plan of Layout A copy, to compare");
    click(&mut window, "end comparison");
    assert!(window.query_by_label("Plan of Layout A copy, to compare").is_none());
}

#[test]
fn the_compared_envelope_is_that_of_the_plans_as_they_are() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "copy to compare");
    click(&mut window, "Cup C1");
    window.key_press(Key::Delete);
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    ready(&mut window);
    settle(&mut window);
    // The envelope of both is that of a part held level.
    window.get_all_by_label_contains("Factor, level lift").next().unwrap().click();
    ready(&mut window);
    let spoken = |window: &Window<'_>| -> Vec<String> {
        let node = window.get_by_label_contains("Envelope. ");
        let label = node.accesskit_node().label().unwrap();
        label.trim_start_matches("Envelope. ").split("; ").map(str::to_owned).collect()
    };
    let before = spoken(&window);
    assert!(before.len() == 2 && before[1].starts_with("Layout A: weakest"), "{before:?}");
    // The same site carries both plans: what is changed there changes both curves.
    type_into(&mut window, "Altitude, m", "2500");
    let between = spoken(&window);
    assert!(between.len() == 1 || between[1] != before[1], "{between:?} is of the site before");
    settle(&mut window);
    let higher = spoken(&window);
    assert!(higher.len() == 2 && higher[0] != before[0] && higher[1] != before[1], "{higher:?}");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    let undone = spoken(&window);
    assert!(undone.len() == 1 || undone == before, "{undone:?} is of the site before the undo");
    settle(&mut window);
    assert_eq!(spoken(&window), before);
}

#[test]
fn tool_and_robot_are_stated_and_weighed() {
    let mut window = window();
    demo(&mut window);
    type_into(&mut window, "Payload, kg", "12");
    assert_eq!(window.state().project().site.payload_kg, Some(12.0));
    let robot = window.state().report().robot.clone().unwrap();
    assert_eq!(robot.payload_kg, Some(12.0));
    let part = window.state().report().part.clone().unwrap().mass_kg;
    let tool = robot.empty.unwrap().mass_kg;
    assert!((robot.loaded.mass_kg - part - tool).abs() < 1e-9);
    // A rail through two cups.
    click(&mut window, "details…");
    let pieces = window.state().project().layouts[0].tool.frame.len();
    click(&mut window, "rail");
    let frame = window.state().project().layouts[0].tool.frame.clone();
    assert_eq!(frame.len(), pieces + 1);
    assert!(matches!(frame.last().unwrap().shape, FrameShape::Rail { .. }));
    let heavier = window.state().report().robot.clone().unwrap();
    assert!(heavier.loaded.mass_kg > robot.loaded.mass_kg);
}

#[test]
fn without_a_motion_or_with_one_too_strong_at_rest_the_window_says_so() {
    let mut window = window();
    demo(&mut window);
    let motions = window.state().project().motions.len();
    for _ in 0..motions {
        let first = window.state().project().motions[0].name.clone();
        click(&mut window, &format!("Motion {first}"));
        click(&mut window, "remove");
    }
    settle(&mut window);
    assert!(window.state().project().motions.is_empty());
    window.get_by_label_contains("without a motion there is no factor");
    assert!(window.query_by_label_contains("Limit factor:").is_none());
}

#[test]
fn the_plan_alone_fills_the_window_and_comes_back() {
    let mut window = window();
    demo(&mut window);
    let width = |window: &Window<'_>| window.get_by_label("Plan").rect().width();
    let before = width(&window);
    window.key_press(Key::F11);
    ready(&mut window);
    assert!(window.query_by_label("Findings").is_none() && window.query_by_label("Load per cup").is_none());
    // The answer stays in sight.
    window.get_by_label_contains("Verdict: ");
    assert!(width(&window) > 1.5 * before, "{} of {before}", width(&window));
    window.key_press(Key::F11);
    ready(&mut window);
    window.get_by_label("Findings");
    assert_eq!(width(&window), before);
}

#[test]
fn each_bar_tells_factor_and_requirement_and_the_least_is_named() {
    let mut window = window();
    demo(&mut window);
    let report = window.state().report().clone();
    let (least, ratio) = report.governing().unwrap();
    // What the sentence says and what the bars mark is the same motion and the same ratio.
    assert!(report.verdict.sentence.contains(&format!("{ratio:.2} times")), "{}", report.verdict.sentence);
    assert_eq!(report.verdict.motion, Some(least.id));
    for motion in &report.motions {
        let name = format!("Motion {}: factor ", motion.name);
        let bar = window.get_by_label_contains(&name);
        let spoken = bar.accesskit_node().label().unwrap();
        assert!(spoken.ends_with(&format!(" of {:.2}", motion.required_factor)), "{spoken}");
    }
}

#[test]
fn a_part_is_let_bend_and_taken_as_rigid_again_and_the_form_keeps_its_place() {
    let mut window = window_in(None, Some(crate::demo_drawing("door-sheet.ron")));
    ready(&mut window);
    let left = |window: &Window<'_>| window.get_by_label("replace drawing…").rect();
    let before = left(&window);
    click(&mut window, "treat as flexible…");
    settle(&mut window);
    let bending = window.state().report().bending.clone().unwrap().unwrap();
    let shown = window.state().report().governing().unwrap().0.id;
    assert!(bending.motions.iter().any(|bent| bent.id == shown && bent.sag_mm.abs() > 0.0));
    // A sentence in the form wraps: what stands above it stays where it was.
    assert_eq!(left(&window), before);
    click(&mut window, "treat as rigid");
    settle(&mut window);
    assert!(window.state().report().bending.is_none());
}
