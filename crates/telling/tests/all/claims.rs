//! What is claimed is what was worked out: open cups, the least ratio, comparisons, ranges, lips that hang over, cups that
//! draw load.

use crate::common;

use analysis::{Analyst, MoreFrom, OpenAt, OpenMeaning, Report, Severity, long_pair};

use common::{circuits::*, *};
use document::{Edit, LayoutId, Project, Sourced};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::sync::Arc;
use telling::{Comparison, compare};

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn opens(report: &Report) -> [&OpenAt; 3] {
    let slow = report.circuits[0].slow.as_ref().expect("slow figures");
    assert_eq!(slow.open_until.each_ref().map(|until| until.what), OpenMeaning::ALL);
    slow.open_until.each_ref().map(|until| &until.at)
}

fn open(at: &OpenAt) -> usize {
    match at {
        OpenAt::With(cups) => cups.len(),
        OpenAt::Never | OpenAt::NoFigure => usize::MAX,
    }
}

#[test]
fn open_cups_are_counted_in_each_meaning_from_none_open_on() {
    // Check valves at every cup: an open one takes nothing from the others but what it held itself.
    let mut project = fed();
    edit_supply(&mut project, |supply| supply.check_valve_at_cup = true);
    let report = whole(&project);
    let factor = report.motions[0].outcome.as_ref().expect("a figure").factor;
    let [required, drops, level] = opens(&report).map(open);
    assert!(0 < required && required <= drops && drops <= 6, "{required} {drops}");
    assert_eq!(level, usize::MAX, "every cup keeps its level");
    // So many cups fewer, and the same again: the factor of the first lip falls below what is required with the last of them.
    let OpenAt::With(cups) = opens(&report)[0].clone() else { panic!("missed some time") };
    let without = |count: usize| {
        let mut fewer = project.clone();
        edit_layout(&mut fewer, |layout| layout.cups.retain(|cup| !cups[..count].contains(&cup.id)));
        let outcome = &Analyst::new().check(&fewer, layout(&fewer)).motions[0].outcome;
        outcome.as_ref().map_or(0.0, |outcome| outcome.factor)
    };
    assert!(without(cups.len()) < 2.0 && without(cups.len() - 1) >= 2.0);
    // More is required than it holds with none open.
    Arc::make_mut(&mut project.motions[0]).required_factor = 1.1 * factor;
    let short = whole(&project);
    assert_eq!(opens(&short)[0], &OpenAt::With(Vec::new()));
    assert_eq!(open(opens(&short)[1]), drops);
    let shown = short.circuits[0].slow.as_ref().expect("slow figures").open_until[0].shown(|_| "C");
    assert_eq!(shown, "0, with none open");
}

#[test]
fn on_a_shared_source_one_open_cup_that_drops_the_part_is_counted_as_such() {
    let report = whole(&leaking());
    let outcome = report.motions[0].outcome.as_ref().expect("a figure");
    let lost = &outcome.slow.as_ref().expect("slow figures").lost;
    let one_drops = lost.iter().any(|lost| matches!(lost.lost, analysis::Lost::Cup(_)) && !lost.holds);
    assert_eq!(open(opens(&report)[1]) == 1, one_drops);
    let one_short = lost.iter().any(|lost| lost.factor.is_none_or(|factor| factor < 2.0));
    assert_eq!(open(opens(&report)[0]) == 1, one_short && outcome.factor >= 2.0);
}

#[test]
fn the_verdict_names_the_least_ratio_and_both_its_figures() {
    // Lift has the smaller factor, and more of it to spare.
    let mut edge = still(2, "On edge", 4.0);
    edge.tilt_deg = 90.0;
    let mut project = project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 1.2), edge],
    );
    edit_part(&mut project, |part| part.friction = Sourced::stated(1.2));
    let report = Analyst::new().check(&project, layout(&project));
    let factor = |index: usize| report.motions[index].outcome.as_ref().expect("a figure").factor;
    assert!(factor(0) < factor(1) && factor(0) / 1.2 > factor(1) / 4.0);
    let expected = format!(
        "Meets the required factor as modelled, at least {:.2} times: C2 slides first at on edge, factor {:.1} of the 4.00 \
         required",
        factor(1) / 4.0,
        factor(1)
    );
    let generic =
        |text: &str| text.replace("C1 ", "C ").replace("C2 ", "C ").replace("C3 ", "C ").replace("C4 ", "C ");
    assert_eq!(generic(&report.verdict.sentence), generic(&expected));
    assert_eq!(report.verdict.motion, Some(project.motions[1].id));
    assert_eq!(report.governing().map(|(motion, _)| motion.id), Some(project.motions[1].id));
    // So does each cup.
    assert!(report.cups.iter().all(|cup| cup.worst.is_some_and(|(motion, _)| motion == 1)));
}

/// A factor of nought is told by its cause: multiplied or not, the weight is more than the lips carry.
#[test]
fn a_weight_that_is_too_much_alone_is_said_to_be() {
    let plate = demos().into_iter().find(|project| project.name.contains("first draft")).expect("the plate");
    let report = Analyst::new().check(&plate, plate.layouts[0].id);
    let says = &report.verdict.sentence;
    assert!(
        says.starts_with(
            "Drops at carry on edge: the weight alone is too much, C5 slides first, factor 0.00"
        ),
        "{says}"
    );
    assert!(report.verdict.detail.contains("leaving nothing for the motion"), "{}", report.verdict.detail);
}

fn rail() -> Project {
    demos().into_iter().find(|project| project.name.contains("rail")).expect("the rail")
}

fn named(project: &Project, name: &str) -> LayoutId {
    project.layouts.iter().find(|layout| layout.name == name).expect("such a layout").id
}

fn compared(project: &Project, names: [&str; 2]) -> Comparison {
    compare(&mut Analyst::new(), project, &names.map(|name| named(project, name)))
}

#[test]
fn layouts_on_raw_and_on_sealed_are_not_ranked() {
    let rail = rail();
    let found = compared(&rail, ["Two round", "Two round, leaking"]);
    assert!(
        found
            .sentence()
            .starts_with("The layouts are over different parts and are not ranked: Two round on "),
        "{}",
        found.sentence()
    );
    assert!(!found.sentence().contains("better") && found.rows.iter().all(|row| row.better.is_none()));
}

#[test]
fn better_is_said_of_what_holds_and_is_ahead_by_more_than_the_inputs_leave_open() {
    let rail = rail();
    let close = compared(&rail, ["Two round", "One long, equal lip area"]);
    assert!(
        close.sentence().contains("There is no difference between them that counts"),
        "{}",
        close.sentence()
    );
    let row =
        |of: &Comparison, name: &str| of.rows.iter().find(|row| row.name == name).expect("a row").better;
    assert_eq!(row(&close, "Lowest factor over required"), None);
    // Both drop.
    assert_eq!(row(&close, "First lip with one cup lost"), None);
    let clear = compared(&rail, ["Two round", "One long, full width"]);
    assert_eq!(row(&clear, "Lowest factor over required"), Some(1));
    assert!(clear.sentence().contains("One long, full width is better"), "{}", clear.sentence());
    // Neither holds what is required.
    let short = compared(&rail, ["Two round, leaking", "One long, leaking"]);
    assert!(
        short.sentence().contains("Neither meets the required factors, so none is called better"),
        "{}",
        short.sentence()
    );
    assert_eq!(row(&short, "Lowest factor over required"), None);
}

/// The friction both rest on is off by the same in both: it takes no lead away that it cannot make.
#[test]
fn what_both_assume_is_off_by_the_same_in_both() {
    let mut edge = still(1, "On edge", 4.0);
    edge.tilt_deg = 90.0;
    let at = corners((300.0, 200.0), 200.0, 100.0);
    let mut project = project(plate(600.0, 400.0, 2.0), model("round-50", round(50.0), 1.0), &at, vec![edge]);
    let friction = |project: &mut Project, friction| edit_part(project, |part| part.friction = friction);
    friction(&mut project, Sourced::assumed(0.5));
    let mut more = document::Layout::clone(&project.layouts[0]);
    more.id = LayoutId(900);
    more.name = "Six".to_owned();
    let model = project.models[0].id.clone();
    let circuit = project.circuits[0].id;
    more.cups.extend([cup(5, &model, (300.0, 100.0), circuit), cup(6, &model, (300.0, 300.0), circuit)]);
    project.layouts.push(Arc::new(more));
    let ids = [layout(&project), LayoutId(900)];
    let found = compare(&mut Analyst::new(), &project, &ids);
    let least = found.rows.iter().find(|row| row.name == "Lowest factor over required").expect("a row");
    assert_eq!(least.better, Some(1), "{}", found.sentence());
    for mu in [0.35, 0.65] {
        friction(&mut project, Sourced::stated(mu));
        let factor = ids.map(|id| Analyst::new().check(&project, id).governing().expect("a figure").1);
        assert!(factor[1] > factor[0], "{mu}");
    }
}

#[test]
fn from_which_spacing_on_two_hold_more_hangs_on_no_place_they_were_drawn_at() {
    let rail = rail();
    let pair = |x: f64| {
        let mut project = rail.clone();
        let layout =
            project.layouts.iter_mut().find(|layout| layout.name == "Two round, leaking").expect("two");
        let layout = Arc::make_mut(layout);
        layout.cups[1].at = DVec2::new(x, layout.cups[1].at.y);
        let ids = [named(&project, "Two round, leaking"), named(&project, "One long, leaking")];
        long_pair(&mut Analyst::new(), &project, &ids).expect("such a pair")
    };
    let (near, far) = (pair(180.0), pair(240.0));
    assert!((near.widest_mm - far.widest_mm).abs() < 1e-9);
    for (a, b) in near.motions.iter().zip(&far.motions) {
        match (a.more, b.more) {
            (MoreFrom::Spacing(a), MoreFrom::Spacing(b)) => assert!((a - b).abs() < 2.0, "{a} {b}"),
            (a, b) => assert_eq!(a, b),
        }
    }
}

#[test]
fn a_range_that_reaches_below_what_is_required_is_watched_and_stands_in_the_verdict() {
    let mut edge = still(1, "On edge", 4.0);
    edge.tilt_deg = 90.0;
    let at = corners((300.0, 200.0), 200.0, 100.0);
    let mut project = project(plate(600.0, 400.0, 4.0), model("round-50", round(50.0), 1.0), &at, vec![edge]);
    edit_part(&mut project, |part| part.friction = Sourced::assumed(0.5));
    let factor = whole(&project).motions[0].outcome.as_ref().expect("a figure").factor;
    let with = |times: f64| {
        let mut project = project.clone();
        Arc::make_mut(&mut project.motions[0]).required_factor = times * factor;
        whole(&project)
    };
    let find = |report: &Report| {
        let found = report.findings.iter().find(|finding| finding.rule == "assumed.friction");
        found.map(|finding| finding.severity)
    };
    // 30 % off.
    assert_eq!(project.rules.friction_spread, 0.3);
    let clear = with(0.69);
    assert_eq!(find(&clear), Some(Severity::Advice));
    assert!(!clear.verdict.sentence.contains("with assumed inputs"), "{}", clear.verdict.sentence);
    let low = with(0.71);
    assert_eq!((find(&low), low.verdict.severity), (Some(Severity::Watch), Severity::Watch));
    let range = format!(", from {:.2} to {:.2} with assumed inputs", 0.7 * factor, 1.3 * factor);
    assert!(low.verdict.sentence.ends_with(&range), "{} {range}", low.verdict.sentence);
}

#[test]
fn friction_that_alone_carries_asks_for_four() {
    let mut stop = still(1, "Emergency stop", 2.0);
    stop.tilt_deg = 90.0;
    let with = |motion: document::Motion| {
        let at = corners((300.0, 200.0), 200.0, 100.0);
        whole(&project(plate(600.0, 400.0, 1.0), model("round-50", round(50.0), 1.0), &at, vec![motion]))
    };
    let low = with(stop.clone());
    let finding = low.findings.iter().find(|f| f.rule == "factor.friction_alone").expect("a finding");
    assert_eq!((finding.severity, finding.figure, finding.limit), (Severity::Watch, Some(2.0), Some(4.0)));
    assert!(
        finding.says.starts_with("Emergency stop requires a factor of 2.00, although friction alone carries")
    );
    stop.required_factor = 4.0;
    assert!(with(stop.clone()).findings.iter().all(|f| f.rule != "factor.friction_alone"));
    let (mut level, mut tip) = (stop.clone(), stop);
    (level.tilt_deg, level.required_factor) = (0.0, 2.0);
    (tip.tilt_deg, tip.required_factor) = (45.0, 2.0);
    for motion in [level, tip] {
        assert!(with(motion).findings.iter().all(|f| f.rule != "factor.friction_alone"));
    }
}

#[test]
fn a_lip_that_hangs_over_is_said_to_be_counted() {
    let mut at = corners((300.0, 200.0), 200.0, 100.0);
    let make = |at: &[(f64, f64)]| {
        let motions = vec![still(1, "Lift", 20.0)];
        whole(&project(plate(600.0, 400.0, 4.0), model("round-50", round(50.0), 1.0), at, motions))
    };
    assert_eq!(make(&at).counted_says(), None);
    at[2].0 = 590.0;
    let report = make(&at);
    assert_eq!(report.counted_as_sealed, [report.cups[2].id]);
    assert_eq!(
        report.counted_says().as_deref(),
        Some("C3 overhangs and is counted in every factor as if it sealed.")
    );
    assert!(
        report.verdict.sentence.ends_with(", with C3 counted as if sealed"),
        "{}",
        report.verdict.sentence
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// A cup is said to lower the least factor where leaving it out raises it, and by what leaving it out gives.
    #[test]
    fn a_cup_that_lowers_the_least_factor_is_named(
        at in prop::collection::vec((40.0..560.0_f64, 40.0..360.0_f64), 3..7),
        carry in 0.0..6.0_f64,
    ) {
        let mut side = still(2, "Carry", 2.0);
        side.acceleration = DVec3::new(carry, 0.5 * carry, 0.0);
        let mut project =
            project(plate(600.0, 400.0, 4.0), model("round-50", round(50.0), 1.0), &at, vec![still(1, "Lift", 2.0), side]);
        edit_part(&mut project, |part| {
            part.centre_of_gravity = Some(Sourced::stated(DVec3::new(300.0, 200.0, -5.0)));
        });
        let report = whole(&project);
        let least = |project: &Project| {
            let report = Analyst::new().check(project, layout(project));
            let all = report.motions.iter().all(|motion| motion.outcome.is_ok());
            report.governing().filter(|_| all).map(|(_, ratio)| ratio)
        };
        let now = least(&project).expect("a figure");
        let mut gains: Vec<(document::CupId, f64)> = Vec::new();
        for cup in &project.layouts[0].cups {
            let removed = Edit::RemoveCups { layout: layout(&project), cups: vec![cup.id] };
            if let Some(ratio) = least(&removed.apply(&project).expect("removed")).filter(|ratio| *ratio > now * 1.005) {
                gains.push((cup.id, ratio));
            }
        }
        let found = report.findings.iter().find(|finding| finding.rule == "cups.draws");
        match found {
            None => prop_assert!(gains.is_empty(), "{gains:?} {now}"),
            Some(finding) => {
                let most = gains.iter().map(|(_, ratio)| *ratio).fold(0.0, f64::max);
                prop_assert!((finding.figure.expect("a ratio") / most - 1.0).abs() < 1e-9, "{}", finding.says);
                prop_assert!(finding.says.contains("lowers the governing factor: without it"));
                prop_assert_eq!(finding.subject.len(), gains.len());
            }
        }
    }
}
