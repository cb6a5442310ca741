//! One tool, several parts: figures per part, the verdict as the worst of them, what draws air, the fewest valves.

use crate::common::{circuits::*, *};
use crate::rules::{find, said};
use analysis::{Analyst, Cover, Family, Finding, Report, Severity};
use document::{Cup, CupId, Edit, Part, PartId, Project, Seat, SeatId, Worst};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::sync::Arc;

pub const SECOND: SeatId = SeatId(501);

/// Six cups of 50 mm in two rows under a large sheet, C5 and C6 in zone B, the rest in zone A.
pub fn large() -> Project {
    let mut stop = still(2, "Stop", 1.5);
    stop.acceleration = DVec3::new(3.0, 0.0, 0.5);
    stop.worst = Worst::Direction;
    let at = [(100.0, 100.0), (300.0, 100.0), (100.0, 300.0), (300.0, 300.0), (500.0, 100.0), (500.0, 300.0)];
    let mut project = project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &at,
        vec![still(1, "Lift", 2.0), stop],
    );
    edit_layout(&mut project, |layout| {
        for cup in &mut layout.cups[4..] {
            cup.zone = "B".to_owned();
        }
    });
    project
}

/// A sheet of 400 x 400 mm that lies on the first four cups.
pub fn small() -> Part {
    Part { id: PartId(400), name: "Small blank".to_owned(), ..plate(400.0, 400.0, 2.5) }
}

/// Both on one tool; the small one as `change` has it.
pub fn both(change: impl FnOnce(&mut Seat)) -> Project {
    let project = Edit::AddPart(Arc::new(small())).apply(&large()).unwrap();
    let mut seat = Seat::of(SECOND, PartId(400));
    change(&mut seat);
    Edit::AddSeat { layout: layout(&project), seat }.apply(&project).unwrap()
}
pub fn shut_b(seat: &mut Seat) {
    seat.shut = vec!["B".to_owned()];
}
pub fn check(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}
pub fn family(report: &Report) -> &Family {
    report.family.as_deref().expect("a tool with several parts")
}
pub fn covers(report: &Report, seat: usize) -> Vec<Option<Cover>> {
    family(report).seats[seat].cups.iter().map(|cup| cup.cover).collect()
}
fn of_seat<'r>(report: &'r Report, seat: usize, rule: &str) -> Option<&'r Finding> {
    find(&family(report).seats[seat].report, rule)
}

#[test]
fn the_first_part_keeps_its_figures_bit_by_bit() {
    let alone = check(&large());
    assert!(alone.family.is_none());
    let report = check(&both(shut_b));
    let first = &family(&report).seats[0].report;
    assert_eq!(first.motions, alone.motions);
    assert_eq!(first.cups, alone.cups);
    assert_eq!((&first.balance, &first.robot, &first.part), (&alone.balance, &alone.robot, &alone.part));
    assert_eq!(first.verdict, alone.verdict);
}

#[test]
fn the_second_part_has_the_figures_of_its_cups_alone() {
    let report = check(&both(shut_b));
    let second = &family(&report).seats[1].report;
    // By hand: the small sheet under four cups, a project of its own.
    let mut own = large();
    edit_layout(&mut own, |layout| layout.cups.truncate(4));
    own.parts[0] = Arc::new(Part { id: PartId(1), name: "Sheet".to_owned(), ..small() });
    let own = check(&own);
    let factors = |report: &Report| -> Vec<f64> {
        report.motions.iter().map(|motion| motion.outcome.as_ref().unwrap().factor).collect()
    };
    assert_eq!(factors(second), factors(&own));
    assert_eq!(second.cups.len(), 4);
    // The robot carries all six cups whichever part it is.
    let kg = |report: &Report| report.robot.as_ref().unwrap().empty.unwrap().mass_kg;
    assert_eq!(kg(second), kg(&family(&report).seats[0].report));
    assert!(kg(second) > kg(&own));
}

#[test]
fn the_verdict_is_that_of_the_worst_part_and_names_it() {
    let report = check(&both(shut_b));
    let governing = family(&report).governing().unwrap();
    let least = family(&report).seats.iter().map(|seat| seat.report.governing().unwrap().1);
    assert_eq!(governing.report.governing().unwrap().1, least.fold(f64::INFINITY, f64::min));
    assert!(
        report.verdict.sentence.starts_with(&format!("{}: ", governing.name)),
        "{}",
        report.verdict.sentence
    );
    assert_eq!(report.motions, governing.report.motions);
    let other = if governing.name == "Sheet" { "Small blank" } else { "Sheet" };
    assert!(
        report.verdict.detail.contains(&format!("{other} holds as modelled.")),
        "{}",
        report.verdict.detail
    );
}

#[test]
fn a_cup_beside_a_part_with_its_zone_on_fails_and_names_the_part() {
    let report = check(&both(|_| {}));
    assert_eq!(covers(&report, 0), vec![Some(Cover::On); 6]);
    let [.., five, six] = covers(&report, 1)[..] else { panic!() };
    assert_eq!((five, six), (Some(Cover::Off), Some(Cover::Off)));
    assert_eq!(report.verdict.severity, Severity::Fail);
    let finding = said(&report, "seat.open");
    assert_eq!(finding.seat, Some(SECOND));
    assert_eq!(
        finding.says,
        "Small blank: C5 and C6 lie beside the part with zone B open and draw air freely."
    );
    assert_eq!(finding.remedy, "Shut zone B for this part.");
    assert!(of_seat(&report, 0, "seat.open").is_none());
    // Shut, it is in order, and nothing is said of cups that lie beside.
    let shut = check(&both(shut_b));
    assert!(find(&shut, "seat.open").is_none() && find(&shut, "seat.shut").is_none());
    assert_ne!(shut.verdict.severity, Severity::Fail);
}

#[test]
fn a_cup_partly_on_fails_with_its_zone_on_and_not_with_it_shut() {
    // Moved by 110 mm the small sheet ends in the middle of C5 and C6; its left cups lie 10 mm beside it.
    let moved = |seat: &mut Seat| seat.at = DVec2::new(110.0, 0.0);
    let report = check(&both(moved));
    let seats = &family(&report).seats;
    assert_eq!(covers(&report, 1)[4], Some(Cover::Partly));
    let open = seats[1].cups[4].uncovered_mm2;
    let line = std::f64::consts::FRAC_PI_4 * (50.0 * SHARE) * (50.0 * SHARE);
    // 15 mm of its 25 mm lie on the sheet.
    assert!(open > 0.05 * line && open < 0.5 * line, "{open} of {line}");
    let finding = of_seat(&report, 1, "seat.partly").unwrap();
    assert_eq!(finding.severity, Severity::Fail);
    assert!(finding.says.contains("partly on with zone A open: it draws air through"), "{}", finding.says);
    // C1 and C3 in zone A lie partly on too; what draws is not among what holds.
    assert_eq!(seats[1].report.cups.len(), 2, "{:?}", covers(&report, 1));
    let shut = check(&both(|seat| {
        moved(seat);
        shut_b(seat);
    }));
    let partly = family(&shut).seats[1].report.findings.iter().filter(|f| f.rule == "seat.partly");
    assert!(partly.clone().count() > 0 && partly.clone().all(|f| !f.says.starts_with("C5")));
}

#[test]
fn a_cup_on_a_part_with_its_zone_shut_is_noted() {
    let report = check(&both(|seat| seat.shut = vec!["A".into(), "B".into()]));
    let finding = said(&report, "seat.shut");
    assert_eq!(finding.severity, Severity::Advice);
    assert!(finding.says.starts_with("Small blank: C1, C2, C3 and C4 are on the part"), "{}", finding.says);
    let none = said(&report, "seat.none");
    assert_eq!(none.says, "Small blank: The zones of all 4 cups on the part are shut.");
    let marked = check(&both(|seat| {
        seat.shut = vec!["A".into(), "B".into()];
        seat.may_stay_shut = (101..105).map(CupId).collect();
    }));
    assert!(find(&marked, "seat.shut").is_none());
}

#[test]
fn a_part_beside_all_cups_is_named_and_the_other_keeps_its_figures() {
    let report = check(&both(|seat| {
        shut_b(seat);
        seat.at = DVec2::new(2000.0, 0.0);
    }));
    let finding = said(&report, "seat.none");
    assert_eq!(finding.says, "Small blank: The part lies beside all cups of the tool.");
    assert!(
        report.verdict.sentence.starts_with("Small blank: No result yet: "),
        "{}",
        report.verdict.sentence
    );
    assert!(family(&report).seats[0].report.motions.iter().all(|motion| motion.outcome.is_ok()));
    assert!(family(&report).seats[1].report.motions.iter().all(|motion| motion.outcome.is_err()));
}

#[test]
fn motions_that_a_part_does_not_make_are_left_out() {
    let report = check(&both(|seat| {
        shut_b(seat);
        seat.left_out = vec![document::MotionId(2)];
    }));
    let names = |seat: usize| -> Vec<&str> {
        family(&report).seats[seat].report.motions.iter().map(|m| m.name.as_str()).collect()
    };
    assert_eq!((names(0), names(1)), (vec!["Lift", "Stop"], vec!["Lift"]));
}

#[test]
fn an_open_cup_takes_the_level_of_its_circuit() {
    // The tool of `large` fed by a pump; the small sheet lies beside C5 and C6.
    let fed = |project: Project| {
        let mut project = project;
        feed(&mut project, pump(), supply(&pump()));
        let valve = |zone: &str| document::ZoneValve {
            zone: zone.to_owned(),
            restriction: document::Restriction { c_dm3_s_bar: 3.0, b: 0.3 },
            check_valve: false,
            manifold: None,
        };
        edit_supply(&mut project, |supply| supply.valves = vec![valve("A"), valve("B")]);
        project
    };
    let level = |report: &Report, seat: usize| {
        family(report).seats[seat].report.circuits[0].source_level_kpa.unwrap()
    };
    let shut = check(&fed(both(shut_b)));
    let open = check(&fed(both(|_| {})));
    assert!(level(&open, 1) < 0.5 * level(&shut, 1), "{} {}", level(&open, 1), level(&shut, 1));
    // The other part does not know of it, bit by bit.
    assert_eq!(level(&open, 0).to_bits(), level(&shut, 0).to_bits());
    let cups = &family(&open).seats[1].report.circuits[0].cups;
    assert_eq!(cups.len(), 6);
    let leak = |tag: u32| cups.iter().find(|cup| cup.id == CupId(100 + tag)).unwrap().leak_nl_min;
    assert!(leak(5) > 1.0 && leak(1).abs() < 1e-6);
    // A zone that is off is a shut branch: as if its cups were not there.
    assert_eq!(family(&shut).seats[1].report.circuits[0].cups.len(), 4);
}

#[test]
fn the_fewest_valves_serve_both_parts_and_what_is_switched_is_told() {
    let project = both(shut_b);
    let report = check(&project);
    let plan = &family(&report).valves;
    assert!(plan.proved && plan.now_serves);
    let zones: Vec<(Vec<u32>, Vec<bool>)> = plan
        .fewest
        .iter()
        .map(|zone| (zone.cups.iter().map(|c| c.0 - 100).collect(), zone.open.clone()))
        .collect();
    assert_eq!(zones, [(vec![1, 2, 3, 4], vec![true, true]), (vec![5, 6], vec![true, false])]);
    assert!(!family(&check(&both(|_| {}))).valves.now_serves);
    let overs = family(&report).change_overs();
    assert_eq!(overs.len(), 1);
    assert_eq!((&overs[0].open[..], &overs[0].shut[..]), (&[][..], &["B".to_owned()][..]));
    let [Some(large), Some(small)] = overs[0].mass_kg else { panic!() };
    assert!((large - small - 1.5).abs() < 1e-9);
    assert_eq!((family(&report).used_by(CupId(101)), family(&report).used_by(CupId(105))), (2, 1));
}

#[test]
fn slow_figures_come_for_every_part_and_stay_with_it() {
    let project = both(shut_b);
    let mut analyst = Analyst::new();
    let report = analyst.check_whole(&project, layout(&project));
    assert_eq!(report.ages, analysis::Ages::by(|_| analysis::Age::Current));
    for seat in &family(&report).seats {
        for motion in &seat.report.motions {
            let slow = motion.outcome.as_ref().unwrap().slow.as_ref().expect("its slow figures");
            assert!(!slow.lost.is_empty());
        }
    }
    assert!(analyst.slow_job(&project, layout(&project)).is_none());
    // One part moved: the other's figures are still those of the plan.
    let moved = both(|seat| {
        shut_b(seat);
        seat.at = DVec2::new(-5.0, 0.0);
    });
    let report = analyst.check(&moved, layout(&moved));
    let current = |seat: usize| family(&report).seats[seat].report.ages.all_current();
    assert!(current(0) && !current(1));
    assert!(!report.ages.all_current());
    assert_eq!(analyst.slow_job(&moved, layout(&moved)).unwrap().seat(), Some(SECOND));
}

#[test]
fn a_finding_is_taken_on_for_one_part() {
    let project = both(|_| {});
    let report = check(&project);
    let finding = said(&report, "seat.open");
    let accepted = document::Accepted {
        rule: finding.rule.to_owned(),
        layout: layout(&project),
        subject: finding.subject.clone(),
        motion: None,
        seat: finding.seat,
        reason: "Plugged by hand".to_owned(),
        by: String::new(),
        on: String::new(),
    };
    let project = Edit::Accept(accepted).apply(&project).unwrap();
    let report = check(&project);
    assert_eq!(said(&report, "seat.open").accepted.as_deref(), Some("Plugged by hand"));
    assert_ne!(report.verdict.severity, Severity::Fail);
    let off = Edit::RemoveSeat { layout: layout(&project), seat: SECOND }.apply(&project).unwrap();
    assert!(off.accepted.is_empty());
}

/// Tool and parts elsewhere together, turned by quarter turns, which are exact on the tool.
fn moved(project: &Project, by: DVec2, quarters: u32) -> Project {
    let turn = DVec2::from_angle(f64::from(quarters) * std::f64::consts::FRAC_PI_2);
    let put = |at: DVec2| turn.rotate(at) + by;
    let deg = f64::from(quarters) * 90.0;
    let mut project = project.clone();
    edit_layout(&mut project, |layout| {
        for cup in &mut layout.cups {
            (cup.at, cup.turn_deg) = (put(cup.at), cup.turn_deg + deg);
        }
        for seat in &mut layout.seats {
            (seat.at, seat.turn_deg) = (put(seat.at), seat.turn_deg + deg);
        }
        let tool = Arc::make_mut(&mut layout.tool);
        tool.flange = put(tool.flange.truncate()).extend(tool.flange.z);
    });
    project
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn moving_tool_and_parts_together_changes_nothing(
        x in -500.0..500.0f64, y in -500.0..500.0f64, quarters in 0..4u32,
        at in (-60.0..60.0f64, -60.0..60.0f64), turn in -30.0..30.0f64,
    ) {
        let project = both(|seat| {
            shut_b(seat);
            seat.at = DVec2::new(at.0, at.1);
            seat.turn_deg = turn;
        });
        let there = moved(&project, DVec2::new(x, y), quarters);
        let (a, b) = (check(&project), check(&there));
        for (one, other) in family(&a).seats.iter().zip(&family(&b).seats) {
            for (p, q) in one.cups.iter().zip(&other.cups) {
                // Where a lip just touches what is asked for, rounding decides.
                let near = p.clearance_mm.zip(Some(p.required_mm)).is_some_and(|(c, r)| (c.abs() - r).abs() < 1e-6);
                prop_assert!(near || p.cover == q.cover);
            }
            for (m, n) in one.report.motions.iter().zip(&other.report.motions) {
                match (&m.outcome, &n.outcome) {
                    (Ok(m), Ok(n)) => {
                        prop_assert!((m.factor - n.factor).abs() <= 1e-6 * m.factor.abs(), "{} {}", m.factor, n.factor);
                    }
                    (m, n) => prop_assert_eq!(m.is_err(), n.is_err()),
                }
            }
        }
    }

    #[test]
    fn one_more_part_never_needs_fewer_valves(
        places in prop::collection::vec((-300.0..300.0f64, -200.0..200.0f64, 0.0..360.0f64), 1..4),
    ) {
        let mut project = both(|_| {});
        let mut before = family(&check(&project)).valves.fewest.len();
        for (index, (x, y, turn)) in places.into_iter().enumerate() {
            let seat = Seat {
                at: DVec2::new(x, y),
                turn_deg: turn,
                ..Seat::of(SeatId(600 + index as u32), PartId(400))
            };
            project = Edit::AddSeat { layout: layout(&project), seat }.apply(&project).unwrap();
            let report = check(&project);
            let plan = &family(&report).valves;
            prop_assert!(plan.proved && plan.fewest.len() >= before);
            before = plan.fewest.len();
        }
    }

    #[test]
    fn what_is_remembered_of_parts_never_shows(
        steps in prop::collection::vec((0..4u8, -80.0..80.0f64, -80.0..80.0f64), 1..8),
    ) {
        let mut project = both(|_| {});
        let mut analyst = Analyst::new();
        for (what, x, y) in steps {
            let of = layout(&project);
            let second = project.layouts[0].seats[1].clone();
            let seat = |seat: Seat| Edit::ChangeSeat { layout: of, seat, what: String::new() };
            let cup: &Cup = &project.layouts[0].cups[2];
            let edit = match what {
                0 => seat(Seat { at: DVec2::new(x, y), ..second }),
                1 => seat(Seat { turn_deg: x, ..second }),
                2 => seat(Seat { shut: if x > 0.0 { vec!["B".into()] } else { Vec::new() }, ..second }),
                _ => Edit::MoveCups { layout: of, to: vec![(cup.id, DVec2::new(100.0 + x, 300.0 + y))] },
            };
            project = edit.apply(&project).unwrap();
            prop_assert_eq!(&*analyst.check(&project, of), &*check(&project));
        }
    }
}

#[test]
fn a_zone_that_no_valve_shuts_and_one_without_cups_are_told() {
    let mut project = both(shut_b);
    feed(&mut project, pump(), supply(&pump()));
    let report = check(&project);
    let says = &said(&report, "input.layout").says;
    assert_eq!(says, "Small blank: Zone B is shut for Small blank, and Circuit 1 has no valve for it.");
    let report = check(&both(|seat| seat.shut = vec!["B".into(), "Z".into()]));
    let says = &said(&report, "input.layout").says;
    assert_eq!(says, "Small blank: Small blank shuts zone Z, which has no cup in Layout A.");
    assert!(family(&report).seats.iter().all(|seat| seat.report.motions.iter().all(|m| m.outcome.is_ok())));
}

#[test]
fn taking_the_fewest_zones_gives_every_part_its_cups_and_every_zone_a_valve() {
    // Six cups each in a zone of its own; nothing is shut for the small blank.
    let mut project = both(|_| {});
    edit_layout(&mut project, |layout| {
        for (index, cup) in layout.cups.iter_mut().enumerate() {
            cup.zone = format!("Z{index}");
        }
    });
    feed(&mut project, pump(), supply(&pump()));
    let report = check(&project);
    assert_eq!(report.verdict.severity, Severity::Fail);
    let edit = family(&report).take_zones(&project, &project.layouts[0]);
    assert_eq!(edit.name(&project), "Use the fewest zones, 2");
    let taken = edit.apply(&project).unwrap();
    let report = check(&taken);
    assert!(family(&report).valves.now_serves);
    assert_eq!(taken.layouts[0].zones(), ["Z0", "Z4"], "a zone keeps the name of one of its cups");
    let valves: Vec<&str> =
        taken.circuits[0].supply.as_ref().unwrap().valves.iter().map(|valve| valve.zone.as_str()).collect();
    assert_eq!(valves, ["Z0", "Z4"]);
    assert_ne!(report.verdict.severity, Severity::Fail, "{:#?}", report.findings);
    // Taken again it changes nothing.
    let again = family(&report).take_zones(&taken, &taken.layouts[0]).apply(&taken).unwrap();
    assert_eq!(again, taken);
}

#[test]
fn what_a_pick_costs_on_the_mean_goes_by_the_shares() {
    let cost = |share: f64| {
        let mut project = both(|seat| {
            shut_b(seat);
            seat.share = share;
        });
        feed(&mut project, ejector(), supply(&ejector()));
        let valve = |zone: &str| document::ZoneValve {
            zone: zone.to_owned(),
            restriction: document::Restriction { c_dm3_s_bar: 3.0, b: 0.3 },
            check_valve: false,
            manifold: None,
        };
        edit_supply(&mut project, |supply| supply.valves = vec![valve("A"), valve("B")]);
        let report = Analyst::new().check_whole(&project, layout(&project));
        let each = family(&report)
            .seats
            .iter()
            .map(|seat| seat.report.circuits[0].slow.as_ref().unwrap().air_nl_per_pick.unwrap());
        (family(&report).mix().unwrap().air_nl_per_pick.unwrap(), each.collect::<Vec<f64>>())
    };
    for share in [1.0, 3.0] {
        let (mean, each) = cost(share);
        assert!((mean - (each[0] + share * each[1]) / (1.0 + share)).abs() < 1e-12 * mean);
        assert_ne!(each[0], each[1]);
    }
    assert!(
        check(&both(shut_b)).family.as_ref().unwrap().mix().is_none(),
        "a stated level costs nothing known"
    );
}

#[test]
fn a_fix_that_takes_a_cup_off_another_part_is_not_offered_and_the_part_is_named() {
    // The four cups under both parts lie 100 mm beside the middle of the large sheet.
    let four = |mut project: Project| {
        edit_layout(&mut project, |layout| layout.cups.truncate(4));
        project
    };
    let alone = check(&four(large()));
    let offset = find(&alone, "balance.offset").expect("the cups are off the centre of gravity");
    assert!(matches!(&offset.fix, Some(analysis::Fix::MoveCups(to)) if to[1].1.x > 390.0), "{offset:?}");

    let tool = four(both(|_| ()));
    let report = check(&tool);
    let held = of_seat(&report, 0, "balance.offset").expect("the same of the large sheet");
    assert_eq!(held.fix, None, "{held:?}");
    assert!(held.remedy.ends_with("The move would take C2 and C4 off Small blank."), "{}", held.remedy);
    // Where the small one reaches as far, it is offered as ever.
    let wide = Part { id: PartId(400), ..plate(600.0, 400.0, 2.5) };
    let tool = Edit::ChangePart { part: Arc::new(wide), what: String::new() }.apply(&tool).unwrap();
    let report = check(&tool);
    assert_eq!(of_seat(&report, 0, "balance.offset").unwrap().fix, offset.fix);
}
