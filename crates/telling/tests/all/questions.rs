//! The reviewer's checklist: what is asked, under keys that stay.

use crate::common;

use analysis::{Analyst, Report};

use common::circuits::{edit_supply, fed};
use common::*;
use document::{
    Accepted, Answer, CupId, Decision, Edit, Motion, MotionKind, Outcome, Pin, Project, Remark, RemarkId,
    Sourced, Stage, Thresholds, Tick, TrialEntry, TrialKind,
};
use std::sync::Arc;
use telling::{Question, QuestionGroup, questions};
use units::UnitChoice;

pub fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn asked(project: &Project) -> Vec<Question> {
    questions(project, &whole(project), &UnitChoice::default())
}

pub fn find<'q>(asked: &'q [Question], key: &str) -> Option<&'q Question> {
    asked.iter().find(|question| question.key == key)
}

fn one<'q>(asked: &'q [Question], key: &str) -> &'q Question {
    find(asked, key).unwrap_or_else(|| {
        panic!("no {key} among {:#?}", asked.iter().map(|question| &question.key).collect::<Vec<_>>())
    })
}

/// Four round cups of 50 mm under 4 kg, lifted.
pub fn holding() -> Project {
    project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0)],
    )
}

fn accepted(project: &Project, rule: &str, cup: u32, reason: &str) -> Accepted {
    Accepted {
        rule: rule.to_owned(),
        subject: vec![CupId(cup)],
        motion: None,
        layout: layout(project),
        reason: reason.to_owned(),
        by: "A. Berg".to_owned(),
        on: "2026-03-12".to_owned(),
        seat: None,
    }
}

#[test]
fn an_open_finding_is_asked_with_its_remedy() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    let asked = asked(&project);
    let question = one(&asked, "finding/layout 2/seat.overhang/cups 101");
    assert_eq!((question.group, question.called.as_str()), (QuestionGroup::Findings, "C1"));
    assert_eq!(question.says, "C1 overhangs the edge by 6.2 mm.");
    assert!(question.why.contains("Move C1 by (6.2, 0.0) mm"), "{}", question.why);
    let Pin::Finding { rule, subject, .. } = &question.pin else { panic!("{:?}", question.pin) };
    assert_eq!((rule.as_str(), &subject[..]), ("seat.overhang", &[CupId(101)][..]));
}

#[test]
fn a_finding_taken_on_is_asked_for_its_reason_and_a_stale_one_for_its_use() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    project.accepted = vec![
        accepted(&project, "seat.overhang", 101, "Lip trimmed there"),
        accepted(&project, "seat.overhang", 103, "Old edge"),
    ];
    let asked = asked(&project);
    assert!(find(&asked, "finding/layout 2/seat.overhang/cups 101").is_none(), "not open any more");
    let taken = one(&asked, "taken on/layout 2/seat.overhang/cups 101");
    assert_eq!(
        taken.says,
        "C1 overhangs the edge by 6.2 mm. Accepted because: \u{201c}Lip trimmed there\u{201d} (A. Berg, 2026-03-12)."
    );
    assert_eq!(taken.group, QuestionGroup::Accepted);
    let stale = one(&asked, "taken on/layout 2/seat.overhang/cups 103");
    assert!(stale.says.ends_with("that finding no longer exists."), "{}", stale.says);
    assert!(stale.says.contains("of C3 was accepted because: \u{201c}Old edge\u{201d}"), "{}", stale.says);
    assert_eq!(stale.called, "C3");
    // The same acceptance before and after it went stale is the same question with another text.
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 100.0);
    let after = self::asked(&project);
    let gone = one(&after, "taken on/layout 2/seat.overhang/cups 101");
    assert_ne!(gone.says, taken.says);
    // A slow finding may only not be known yet.
    project.accepted = vec![accepted(&project, "lost.drops", 101, "Guarded")];
    let quick = Analyst::new().check(&project, layout(&project));
    let asked = questions(&project, &quick, &UnitChoice::default());
    assert!(asked.iter().all(|question| question.group != QuestionGroup::Accepted), "{asked:#?}");
}

#[test]
fn assumed_values_are_asked_each_under_its_thing() {
    let mut project = holding();
    edit_part(&mut project, |part| part.friction = Sourced::assumed(0.5));
    Arc::make_mut(&mut project.models[0]).axial_n_mm = Sourced::assumed(20.0);
    let first = asked(&project);
    let friction = one(&first, "assumed/part 1/friction");
    assert_eq!(friction.says, "The friction of the lips on Sheet is assumed: 0.50.");
    assert!(friction.why.starts_with("From 0.35 to 0.65 "), "{}", friction.why);
    let model = one(&first, "assumed/model round-50");
    assert_eq!(model.says, "Assumed for round-50: axial stiffness 20.00 N/mm, travel 3.0 mm.");
    let model = Arc::make_mut(&mut project.models[0]);
    model.lip_life_picks = Sourced::assumed(1_200_000.0);
    assert_eq!(
        one(&asked(&project), "assumed/model round-50/lip life").says,
        // 600 an hour for 4000 hours: half a year.
        "The lips of round-50 are assumed to last 1200000 cycles: due every 26 weeks."
    );
    Arc::make_mut(&mut project.models[0]).lip_life_picks = Sourced::stated(1_200_000.0);
    assert!(find(&asked(&project), "assumed/model round-50/lip life").is_none());
    // Renaming the part keeps the key; another value keeps the key and changes the text.
    edit_part(&mut project, |part| {
        part.name = "Blank".to_owned();
        part.friction = Sourced::assumed(0.4);
    });
    let later = asked(&project);
    assert_eq!(
        one(&later, "assumed/part 1/friction").says,
        "The friction of the lips on Blank is assumed: 0.40."
    );
    edit_part(&mut project, |part| part.friction = Sourced::measured(0.4, "2026-03-12"));
    assert!(find(&asked(&project), "assumed/part 1/friction").is_none());
}

#[test]
fn inputs_that_are_plausible_and_may_be_wrong_are_asked() {
    let mut project = holding();
    let stop = Motion::preset(document::MotionId(7), MotionKind::EmergencyStop);
    let mut edge = still(8, "On edge", 2.0);
    edge.tilt_deg = 90.0;
    let mut first = asked(&project);
    for key in
        ["part 1/size", "part 1/even", "part 1/placement", "one layout", "payload", "site", "emergency stop"]
    {
        let question = one(&first, &format!("inputs/{key}"));
        assert_eq!(question.group, QuestionGroup::Inputs);
    }
    for key in ["part 1/mass", "part 1/centre", "limits", "motion 1/required"] {
        assert!(find(&first, &format!("inputs/{key}")).is_none(), "{key}: stated, or as usual");
    }

    project.motions.extend([Arc::new(stop), Arc::new(edge)]);
    edit_part(&mut project, |part| {
        part.centre_of_gravity = None;
        part.mass = document::MassBy::Density { kg_m3: Sourced::stated(7850.0) };
        part.uneven_mm = 0.3;
        part.placement.position_mm = 1.0;
    });
    edit_layout(&mut project, |layout| {
        layout.cups[1].locked = true;
        layout.cups[1].at.x = 500.37;
    });
    project.site.payload_kg = Some(10.0);
    project.site.altitude_m = 450.0;
    project.rules.gap_watch_mm = 0.5;
    first = asked(&project);
    assert_eq!(
        one(&first, "inputs/part 1/mass").says,
        "Sheet weighs 1.884 kg, calculated from 1.0 mm of thickness and its density."
    );
    assert!(
        one(&first, "inputs/part 1/centre")
            .says
            .contains("from its outline alone: (300.0, 200.0) mm on the plan")
    );
    assert_eq!(
        one(&first, "inputs/motion 7/proposed").says,
        "Emergency stop is still at its defaults, with 8.00 m/s²."
    );
    assert!(find(&first, "inputs/motion 7/as stated").is_none());
    let motion_7 = project.motions.iter().position(|motion| motion.id.0 == 7).expect("it");
    Arc::make_mut(&mut project.motions[motion_7]).start_stop = document::StartStop::AsStated;
    assert_eq!(
        one(&asked(&project), "inputs/motion 7/as stated").says,
        "Emergency stop is checked as stated only."
    );
    assert_eq!(
        one(&first, "finding/layout 2/factor.friction_alone/motion 8").says,
        "On edge requires a factor of 2.00, although friction alone carries the weight: 4.00 is usual \
        (common practice, no source)."
    );
    assert_eq!(
        one(&first, "inputs/layout 2/cup 102/locked").says,
        "C2 is locked at (500.4, 100.0) mm, which is not a round dimension."
    );
    assert_eq!(one(&first, "inputs/layout 2/left out").called, project.layouts[0].name);
    assert_eq!(
        one(&first, "inputs/limits").says,
        "Finding limits were changed: gap warning limit 0.5 mm instead of 2.0 mm."
    );
    for key in ["part 1/even", "part 1/placement", "payload", "site", "emergency stop"] {
        assert!(find(&first, &format!("inputs/{key}")).is_none(), "{key}: mended");
    }
}

#[test]
fn every_limit_that_was_moved_is_named() {
    let usual = document::Rules::default();
    let mut project = holding();
    project.rules = document::Rules {
        gap_watch_mm: usual.gap_watch_mm + 1.0,
        factor_watch: usual.factor_watch + 1.0,
        centroid_offset_share: usual.centroid_offset_share + 0.1,
        most_over_mean: usual.most_over_mean + 1.0,
        slide_share: usual.slide_share - 0.1,
        payload_watch: usual.payload_watch - 0.1,
        friction_spread: usual.friction_spread + 0.1,
        stiffness_spread: usual.stiffness_spread + 0.1,
        lip_spread: usual.lip_spread + 0.1,
        supply_margin: usual.supply_margin + 0.1,
        level_spread: usual.level_spread + 0.1,
        element_loss: usual.element_loss + 0.1,
        favourable_weight: usual.favourable_weight - 0.1,
        sag_watch_mm: usual.sag_watch_mm + 1.0,
        ring_limit_mm: usual.ring_limit_mm + 1.0,
    };
    let asked = asked(&project);
    let says = &one(&asked, "inputs/limits").says;
    assert_eq!(says.matches(" instead of ").count(), 15, "{says}");
    assert!(says.contains("spread of assumed friction 40.0 % instead of 30.0 %"), "{says}");
}

#[test]
fn a_circuit_is_asked_what_its_level_rests_on() {
    let typed = asked(&holding());
    let question = one(&typed, "circuit 3/typed");
    assert!(question.says.contains("60.0 kPa, is entered by hand"), "{}", question.says);

    let mut project = fed();
    let first = asked(&project);
    assert!(find(&first, "circuit 3/typed").is_none());
    for key in ["check valve", "hold", "no leak", "filter", "switch"] {
        assert_eq!(one(&first, &format!("circuit 3/{key}")).group, QuestionGroup::Circuit);
    }
    assert!(one(&first, "circuit/cycle").says.contains("number of cycles per hour 600"));
    let report = whole(&project);
    let needed = report.circuits[0].slow.as_ref().and_then(|slow| slow.controls).expect("controls").alarm_kpa;
    edit_supply(&mut project, |supply| {
        supply.check_valve_at_cup = true;
        supply.lip_gap_um = Sourced::stated(5.0);
    });
    let circuit = Arc::make_mut(&mut project.circuits[0]);
    circuit.thresholds = Some(Thresholds {
        held_kpa: 0.5 * needed,
        alarm_kpa: None,
        saving_off_kpa: 70.0,
        time_out_s: 1.0,
        hold_s: 5.0,
    });
    let second = asked(&project);
    assert!(find(&second, "circuit 3/check valve").is_none() && find(&second, "circuit 3/no leak").is_none());
    assert!(one(&second, "circuit 3/switch").says.contains("the required factors need "));
    let circuit = Arc::make_mut(&mut project.circuits[0]);
    circuit.thresholds = Some(Thresholds {
        held_kpa: needed + 5.0,
        alarm_kpa: None,
        saving_off_kpa: 70.0,
        time_out_s: 1.0,
        hold_s: 5.0,
    });
    assert!(find(&asked(&project), "circuit 3/switch").is_none());
}

#[test]
fn handing_over_asks_for_the_title_block_a_trial_and_open_remarks() {
    let mut project = holding();
    let first = asked(&project);
    assert!(one(&first, "handing over/title block").says.contains("legal owner"));
    assert!(find(&first, "handing over/trial").is_some());
    let fields = &mut project.sheet;
    for field in [&mut fields.owner, &mut fields.number, &mut fields.date] {
        *field = "x".to_owned();
    }
    fields.created_by = "A. Berg".to_owned();
    fields.approved_by = "a. berg ".to_owned();
    let remark = Remark {
        id: RemarkId(900),
        pin: Pin::Cup(layout(&project), CupId(101)),
        called: "C1".to_owned(),
        text: "Too near the seam?".to_owned(),
        by: "M. Huber".to_owned(),
        on: "2026-03-12".to_owned(),
        of: project.fingerprint(),
        answers: Vec::new(),
        resolved: None,
    };
    let mut project = Edit::AddRemark(remark).apply(&project).expect("a remark");
    let second = asked(&project);
    assert!(find(&second, "handing over/title block").is_none());
    assert_eq!(one(&second, "handing over/one person").says, "A. Berg has both made and approved it.");
    assert_eq!(one(&second, "handing over/remarks").says, "A remark is still open, on C1.");
    let settled = Answer { text: String::new(), by: "A. Berg".to_owned(), on: "2026-03-13".to_owned() };
    project = Edit::ResolveRemark(RemarkId(900), Some(settled)).apply(&project).expect("settled");
    let what = TrialKind::Level { layout: layout(&project), cup: CupId(101) };
    let entry =
        TrialEntry { what, value: 60.0, stage: Stage::Baseline, on: String::new(), by: String::new() };
    project = project.enter_trial(entry).expect("an edit").apply(&project).expect("entered");
    let third = asked(&project);
    assert!(find(&third, "handing over/remarks").is_none() && find(&third, "handing over/trial").is_none());
}

#[test]
fn a_revision_on_its_way_and_one_sent_back_are_asked_about() {
    let issue = Edit::Issue {
        index: "B".to_owned(),
        on: "2026-03-12".to_owned(),
        by: "A. Berg".to_owned(),
        what: "First".to_owned(),
        program: "cupwright 0.0.9".to_owned(),
    };
    let mut project = issue.apply(&holding()).expect("issued");
    assert!(find(&asked(&project), "handing over/changed").is_none());
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 5.0);
    let says = &one(&asked(&project), "handing over/changed").says.clone();
    assert_eq!(says, "It was changed since revision B was issued, as a draft of C.");
    let decide = |outcome: Outcome| {
        Edit::Decide(Decision {
            outcome,
            text: "C1 sits on the seam".to_owned(),
            by: "M. Huber".to_owned(),
            on: "2026-03-14".to_owned(),
            revision: "B".to_owned(),
            of: project.fingerprint(),
        })
    };
    let back = decide(Outcome::SendBack).apply(&project).expect("decided");
    assert_eq!(
        one(&asked(&back), "handing over/sent back").says,
        "M. Huber sent it back on 2026-03-14: \u{201c}C1 sits on the seam\u{201d}."
    );
    let accepted = decide(Outcome::Accept).apply(&back).expect("decided");
    assert!(find(&asked(&accepted), "handing over/sent back").is_none());
}

#[test]
fn a_tick_of_an_older_state_is_recognised_in_any_units() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    let first = asked(&project);
    let question = one(&first, "finding/layout 2/seat.overhang/cups 101");
    let tick = Tick {
        key: question.key.clone(),
        asked: question.says.clone(),
        state: question.state.clone(),
        by: "M. Huber".to_owned(),
        on: "2026-03-12".to_owned(),
        remark: None,
    };
    let ticked = Edit::Tick(tick.clone()).apply(&project).expect("a tick");
    // Ticking changes no question.
    assert_eq!(asked(&ticked), first);
    // A colleague who reads inches sees the same tick: of a finding and of every other question.
    let inch =
        UnitChoice { length: units::LengthUnit::Inch, mass: units::MassUnit::Pound, ..UnitChoice::default() };
    let report = Analyst::with_units(inch).check_whole(&ticked, layout(&ticked));
    let in_inches = questions(&ticked, &report, &inch);
    assert_eq!(one(&in_inches, &tick.key).tick(&ticked.review.ticks), Some((&tick, true)));
    for (here, there) in first.iter().zip(&in_inches) {
        assert_eq!((&here.key, &here.state), (&there.key, &there.state));
    }
    assert!(first.iter().zip(&in_inches).any(|(here, there)| here.says != there.says));
    let mut moved = ticked;
    edit_layout(&mut moved, |layout| layout.cups[0].at.x = 20.0);
    let later = asked(&moved);
    let same = one(&later, &tick.key);
    assert_ne!(same.says, tick.asked);
    assert_eq!(same.tick(&moved.review.ticks), Some((&tick, false)));
}

#[test]
fn the_units_are_those_picked_and_nothing_is_promised() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    let inch = UnitChoice { length: units::LengthUnit::Inch, ..UnitChoice::default() };
    let report = Analyst::with_units(inch).check_whole(&project, layout(&project));
    let asked = questions(&project, &report, &inch);
    assert!(one(&asked, "inputs/part 1/size").says.contains("23.622 in by 15.748 in"));
    assert!(asked.iter().all(|question| !question.says.contains(" mm")), "{asked:#?}");
    let nowhere = Analyst::new().check(&project, document::LayoutId(77));
    assert_eq!(questions(&project, &nowhere, &inch), []);
}
