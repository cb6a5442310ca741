//! One tool, several parts: what concerns the tool as a whole - lips against lips, where a cup may stand, hoses - and bad input.

use crate::common::{circuits::*, *};
use crate::family::{SECOND, both, check, covers, family, large, shut_b, small};
use crate::rules::{find, said};
use analysis::{Analyst, Cover, Fix, Landing, Report, Severity};
use document::{Cup, CupId, Edit, Project, Seat, SeatId};
use geometry::LandingRegion;
use glam::DVec2;
use std::sync::Arc;

/// The large sheet with C5 near its right edge, and the small one right of it with C7 in a zone of its own.
fn side_by_side(small_x: f64) -> Project {
    let mut project = both(|seat| {
        seat.at = DVec2::new(small_x, 0.0);
        seat.shut = vec!["A".into(), "B".into()];
    });
    edit_layout(&mut project, |layout| {
        layout.cups[4].at = DVec2::new(565.0, 100.0);
        let seventh = Cup {
            id: CupId(107),
            tag: "C7".into(),
            at: DVec2::new(610.0, 100.0),
            zone: "S".into(),
            ..layout.cups[0].clone()
        };
        layout.cups.push(seventh);
        layout.seats[0].shut = vec!["S".into()];
    });
    project
}

#[test]
fn cups_of_different_parts_that_overlap_are_named_and_parted() {
    let project = side_by_side(550.0);
    let report = check(&project);
    assert_eq!((covers(&report, 0)[4], covers(&report, 1)[6]), (Some(Cover::On), Some(Cover::On)));
    assert!(!family(&report).seats.iter().any(|seat| {
        let holds = |index: usize| seat.cups[index].holds;
        holds(4) && holds(6)
    }));
    let finding = said(&report, "seat.overlap");
    assert_eq!((finding.says.as_str(), finding.severity), ("C5 and C7 overlap by 5.0 mm.", Severity::Fail));
    assert_eq!((finding.seat, &finding.subject[..]), (None, &[CupId(105), CupId(107)][..]));
    assert_eq!(report.findings.iter().filter(|held| held.rule == "seat.overlap").count(), 1, "told once");
    assert_eq!(report.verdict.severity, Severity::Fail);
    let Some(Fix::MoveCups(to)) = finding.fix.clone() else { panic!("{finding:?}") };
    let mended = Edit::MoveCups { layout: layout(&project), to }.apply(&project).unwrap();
    let report = check(&mended);
    assert!(find(&report, "seat.overlap").is_none());
    assert_eq!((covers(&report, 0)[4], covers(&report, 1)[6]), (Some(Cover::On), Some(Cover::On)));
}

#[test]
fn lips_are_parted_by_a_move_that_keeps_the_parts_on_them() {
    // C7 lies at the right edge of the small sheet: it is C5 that moves.
    let report = check(&side_by_side(240.0));
    let finding = said(&report, "seat.overlap");
    assert!(finding.remedy.starts_with("Move C5 by "), "{}", finding.remedy);
    let Some(Fix::MoveCups(to)) = finding.fix.clone() else { panic!("{finding:?}") };
    assert_eq!(to[0].0, CupId(105));
    // Neither may go: the spacing is told, and no move.
    let mut held = side_by_side(240.0);
    edit_layout(&mut held, |layout| layout.cups[4].locked = true);
    let report = check(&held);
    let finding = said(&report, "seat.overlap");
    assert!(finding.fix.is_none() && finding.remedy.contains("no room on this line"), "{}", finding.remedy);
}

#[test]
fn moves_of_a_tool_with_several_parts_land_on_the_persons_grid() {
    let on_grid = |at: DVec2, step: f64| (at / step - (at / step).round()).abs().max_element() < 1e-6;
    let mut analyst = Analyst::new();
    for step in [5.0, 6.35] {
        analyst.set_step(Some(step));
        // Lips that overlap across parts.
        let project = side_by_side(550.0);
        let report = analyst.check(&project, layout(&project));
        let finding = said(&report, "seat.overlap");
        let Some(Fix::MoveCups(to)) = finding.fix.clone() else { panic!("{finding:?}") };
        assert!(to.iter().all(|(_, at)| on_grid(*at, step)), "{step}: {to:?}");
        let mended = Edit::MoveCups { layout: layout(&project), to }.apply(&project).unwrap();
        assert!(find(&analyst.check(&mended, layout(&mended)), "seat.overlap").is_none());
    }
    // The step is an input like any other: without it fixes are as before.
    analyst.set_step(None);
    let project = side_by_side(550.0);
    assert_eq!(analyst.check(&project, layout(&project)).findings, check(&project).findings);
}

fn landing(analyst: &mut Analyst, project: &Project, zone: &str) -> Landing {
    analyst.landing(project, layout(project), &project.models[0].id, 0.0, zone).expect("a region")
}

#[test]
fn a_cup_lands_where_it_lands_on_every_part_that_it_is_open_for() {
    let project = both(|seat| {
        shut_b(seat);
        seat.at = DVec2::new(60.0, 30.0);
        seat.turn_deg = 12.0;
    });
    let mut analyst = Analyst::new();
    let mut of = |seat: SeatId| -> Arc<LandingRegion> {
        analyst.show_seat(layout(&project), Some(seat));
        analyst.landing_region(&project, layout(&project), &project.models[0].id, 0.0).unwrap()
    };
    let [large, small] = [project.layouts[0].seats[0].id, SECOND].map(&mut of);
    let (a, b) = (landing(&mut analyst, &project, "A"), landing(&mut analyst, &project, "B"));
    // Zone B is shut for the small sheet: only the large one counts.
    assert_eq!(b.every, large);
    assert_eq!((a.parts.len(), b.parts.len()), (2, 1));
    let mut inside = [0, 0];
    for i in 0..2_000 {
        let share = |step: f64| (f64::from(i) * step).fract();
        let at = DVec2::new(700.0 * share(0.618_033_988_7), 500.0 * share(0.754_877_666_2)) - 40.0;
        let (on_large, on_small) = (large.contains(at), small.contains(at));
        assert_eq!(a.every.contains(at), on_large && on_small, "{at}");
        assert_eq!(a.any.as_ref().unwrap().contains(at), on_large || on_small, "{at}");
        assert_eq!(a.misses(at).len(), usize::from(!on_large) + usize::from(!on_small));
        inside[0] += usize::from(on_large && on_small);
        inside[1] += usize::from(on_large || on_small);
    }
    assert!(inside[0] > 200 && inside[1] > inside[0] + 100, "{inside:?}");
    // Where it says so, a cup moved there is on both parts.
    let at = a.every.nearest(DVec2::new(700.0, 500.0)).unwrap();
    let moved =
        Edit::MoveCups { layout: layout(&project), to: vec![(CupId(104), at)] }.apply(&project).unwrap();
    let report = check(&moved);
    assert_eq!([covers(&report, 0)[3], covers(&report, 1)[3]], [Some(Cover::On); 2]);
    // One part at the datum has its own region and no other.
    let alone = crate::family::large();
    let only = landing(&mut Analyst::new(), &alone, "A");
    assert!(only.any.is_none() && only.parts.is_empty() && only.misses(DVec2::ZERO).is_empty());
}

#[test]
fn a_part_that_cannot_be_worked_with_leaves_no_claim_where_a_cup_lands() {
    let mut project = both(|_| {});
    let index = project.parts.iter().position(|part| part.name == "Small blank").unwrap();
    Arc::make_mut(&mut project.parts[index]).outline = Arc::default();
    let mut analyst = Analyst::new();
    let model = project.models[0].id.clone();
    assert!(analyst.landing(&project, layout(&project), &model, 0.0, "A").is_none());
    // Shut for that part, the other decides.
    edit_layout(&mut project, |layout| layout.seats[1].shut = vec!["A".into()]);
    assert!(analyst.landing(&project, layout(&project), &model, 0.0, "A").is_some());
}

/// C1 to C4 may stay shut for both sheets, C5 and C6 are needed for the large one: one valve keeps four cups shut.
fn one_valve() -> Project {
    let mut project = both(|_| {});
    edit_layout(&mut project, |layout| {
        for seat in &mut layout.seats {
            seat.may_stay_shut = (101..105).map(CupId).collect();
        }
    });
    feed(&mut project, pump(), supply(&pump()));
    project
}
/// Hoses of the circuit as the document lays them out with these zones, each with a valve, mm.
fn hose_mm(project: &Project, zone_of: impl Fn(usize) -> &'static str, zones: &[&str]) -> f64 {
    let mut project = project.clone();
    edit_layout(&mut project, |layout| {
        for (index, cup) in layout.cups.iter_mut().enumerate() {
            cup.zone = zone_of(index).to_owned();
        }
    });
    edit_supply(&mut project, |supply| {
        supply.valves = zones.iter().filter_map(|zone| document::ZoneValve::preset(zone, 8.0)).collect();
    });
    let routing = project.routing(layout(&project), project.circuits[0].id).unwrap();
    let runs = routing.runs.iter();
    runs.map(|run| {
        run.mains.iter().map(|main| main.length_mm).sum::<f64>()
            + run.branches.iter().map(|branch| branch.length_mm).sum::<f64>()
    })
    .sum()
}

#[test]
fn a_further_valve_tells_the_cups_it_opens_and_the_hose_it_takes() {
    let project = one_valve();
    let report = check(&project);
    let plan = &family(&report).valves;
    assert_eq!((plan.fewest.len(), plan.kept_shut, plan.further.len()), (1, 4, 1));
    let one = hose_mm(&project, |_| "A", &["A"]);
    let two = hose_mm(&project, |cup| if cup < 4 { "A" } else { "B" }, &["A", "B"]);
    assert!((one - two).abs() > 10.0, "{one} {two}");
    let told = [plan.hose_mm, plan.further[0].hose_mm].map(Option::unwrap);
    assert!((told[0] - one).abs() < 1e-9 && (told[1] - two).abs() < 1e-9, "{told:?} {one} {two}");
    let says = telling::valves_in_words(family(&report), &units::UnitChoice::default());
    let shown = |mm: f64| units::show(mm, units::Quantity::Length, &units::UnitChoice::default()).to_string();
    assert!(says.contains(&format!("They take {} of hose.", shown(one))), "{says}");
    assert!(says.contains(&format!("With 2 valves: never, {} of hose.", shown(two))), "{says}");
    // The hoses follow a cup that is moved, the grouping stays.
    let mut analyst = Analyst::new();
    analyst.check(&project, layout(&project));
    let to = vec![(CupId(101), DVec2::new(100.0, 60.0))];
    let moved = Edit::MoveCups { layout: layout(&project), to }.apply(&project).unwrap();
    let after = analyst.check(&moved, layout(&moved));
    assert!((family(&after).valves.hose_mm.unwrap() - hose_mm(&moved, |_| "A", &["A"])).abs() < 1e-9);
    // Without hoses on the circuit nothing is said of them.
    let mut stated = one_valve();
    Arc::make_mut(&mut stated.circuits[0]).supply = None;
    let report = check(&stated);
    let plan = &family(&report).valves;
    assert!(plan.hose_mm.is_none() && plan.further[0].hose_mm.is_none());
}

#[test]
fn the_object_has_every_cup_with_its_figures_on_each_part() {
    let project = both(shut_b);
    let report = check(&project);
    let text = telling::to_json("tray.ron", &project, &[Arc::clone(&report)]);
    let object: serde_json::Value = serde_json::from_str(&text).unwrap();
    let cups = object["layouts"][0]["cups"].as_array().unwrap();
    assert_eq!(cups.len(), 6);
    let parts = |cup: &serde_json::Value| -> Vec<String> {
        let all = cup["on_parts"].as_array().unwrap().iter();
        all.map(|on| on["part"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(parts(&cups[0]), ["Sheet", "Small blank"]);
    assert_eq!(parts(&cups[4]), ["Sheet"]);
    for (cup, held) in cups.iter().zip(&family(&report).cups) {
        assert_eq!(cup["tag"], held.tag.as_str());
        for on in cup["on_parts"].as_array().unwrap() {
            let seat = family(&report).seats.iter().find(|seat| seat.name == on["part"]).unwrap();
            let own = seat.report.cups.iter().find(|own| own.id == held.id).unwrap();
            let (index, factor) = own.worst.unwrap();
            assert!((on["least_factor"].as_f64().unwrap() - factor.value).abs() < 1e-9);
            assert_eq!(on["least_factor_motion"], seat.report.motions[index].name.as_str());
            assert!((on["vacuum_force_n"].as_f64().unwrap() - own.vacuum_force_n).abs() < 1e-6);
        }
    }
    // Of a tool with one part there is nothing besides.
    let alone = large();
    let text = telling::to_json("tray.ron", &alone, &[check(&alone)]);
    assert!(!text.contains("on_parts"));
}

#[test]
fn stops_are_in_the_object() {
    let stops = document::Stops {
        edges: [(200.0, 0.0), (0.0, 200.0)].map(DVec2::from),
        at: [(60.0, 5.0), (260.0, 5.0), (10.0, 100.0)].map(DVec2::from),
    };
    let placed = both(|seat| *seat = seat.by_stops(&small(), stops).unwrap());
    let text = telling::to_json("tray.ron", &placed, &[check(&placed)]);
    let object: serde_json::Value = serde_json::from_str(&text).unwrap();
    let seat = &object["layouts"][0]["family"]["seats"][1];
    assert_eq!(seat["at_mm"], serde_json::json!([10.0, 5.0]));
    assert_eq!(seat["stops"]["at_mm"][2], serde_json::json!([10.0, 100.0]));
    assert_eq!(seat["stops"]["edges_mm"][0], serde_json::json!([[0.0, 0.0], [400.0, 0.0]]));
    assert_eq!(seat["stops"]["off_mm"], 0.0);
}

// Bad input: named, nothing lost.

fn kept(project: &Project) {
    let text = document::to_text(project);
    assert_eq!(document::from_text(&text, "tray.ron").unwrap(), *project, "the file keeps it");
}

#[test]
fn switching_that_contradicts_itself_is_named_with_the_way_out() {
    // Zone A must be open for the small sheet, since C2 to C4 hold it, and shut, since C1 lies partly on it.
    let mut project = both(shut_b);
    edit_layout(&mut project, |layout| layout.cups[0].at = DVec2::new(100.0, 395.0));
    kept(&project);
    let report = check(&project);
    let own = &family(&report).seats[1].report;
    let finding = find(own, "seat.partly").expect("C1 is partly on");
    assert!(finding.says.starts_with("C1 is partly on with zone A open"), "{}", finding.says);
    let wanted =
        "Move C1, or give it a zone of its own that is shut for this part: other cups of zone A hold it.";
    assert_eq!(finding.remedy, wanted);
    assert!(!family(&report).valves.now_serves);
    // Shut, it is the others that are named, and that opening the zone is no way.
    edit_layout(&mut project, |layout| layout.seats[1].shut = vec!["A".into(), "B".into()]);
    let report = check(&project);
    let own = &family(&report).seats[1].report;
    let finding = find(own, "seat.shut").expect("cups on the part are shut");
    assert!(finding.says.starts_with("C2, C3 and C4 are on the part"), "{}", finding.says);
    assert!(
        finding.remedy.starts_with("Give them a zone without C1, which would draw air"),
        "{}",
        finding.remedy
    );
    assert!(!family(&report).valves.now_serves);
    // The plan has zones that do not contradict each other.
    let plan = &family(&report).valves;
    let of = |cup: u32| plan.fewest.iter().position(|zone| zone.cups.contains(&CupId(cup)));
    assert_ne!(of(101), of(102));
    let taken = family(&report).take_zones(&project, &project.layouts[0]).apply(&project).unwrap();
    assert!(family(&check(&taken)).valves.now_serves);
}

#[test]
fn a_cup_without_a_zone_that_lies_partly_on_is_told_what_to_do() {
    let mut project = both(shut_b);
    edit_layout(&mut project, |layout| {
        layout.cups[0].at = DVec2::new(100.0, 395.0);
        layout.cups[0].zone = String::new();
    });
    let report = check(&project);
    let finding = find(&family(&report).seats[1].report, "seat.partly").unwrap();
    assert_eq!(finding.remedy, "Move C1, or give it a zone with a valve that is shut for this part.");
}

#[test]
fn a_part_beside_all_cups_keeps_its_seat_and_the_valves_of_the_other() {
    let project = both(|seat| {
        shut_b(seat);
        seat.at = DVec2::new(5000.0, 0.0);
    });
    kept(&project);
    let report = check(&project);
    assert_eq!(said(&report, "seat.none").seat, Some(SECOND));
    assert_eq!(covers(&report, 1), vec![Some(Cover::Off); 6]);
    // One valve serves the only part that has cups, and none is planned for the other.
    let plan = &family(&report).valves;
    assert_eq!((plan.fewest.len(), &plan.fewest[0].open[..]), (1, &[true, false][..]));
    let back = Seat { at: DVec2::ZERO, ..project.layouts[0].seats[1].clone() };
    let back = Edit::ChangeSeat { layout: layout(&project), seat: back, what: String::new() };
    let figures = |report: &Report| family(report).seats[1].report.motions.clone();
    assert_eq!(figures(&check(&back.apply(&project).unwrap())), figures(&check(&both(shut_b))));
}

#[test]
fn a_part_that_a_seat_uses_stays_in_the_project() {
    let project = both(shut_b);
    let error = Edit::RemovePart(small().id).apply(&project).unwrap_err().to_string();
    assert!(error.contains("Small blank") && error.contains("nothing was changed"), "{error}");
    // A file whose seat leads to no part is refused and says where.
    let text = document::to_text(&project).replace("part: 400,", "part: 999,");
    let error = document::from_text(&text, "tray.ron").unwrap_err().to_string();
    assert!(error.contains("carries part 999, which is not in the file"), "{error}");
}

#[test]
fn zones_without_cups_are_named_and_kept() {
    let project = both(|seat| seat.shut = vec!["B".into(), "Z".into()]);
    kept(&project);
    let report = check(&project);
    let finding = said(&report, "input.layout");
    assert!(finding.says.contains("shuts zone Z, which has no cup"), "{}", finding.says);
    // All cups of zone B go: the seat still shuts it, and says so.
    let gone = Edit::RemoveCups { layout: layout(&project), cups: vec![CupId(105), CupId(106)] };
    let gone = gone.apply(&project).unwrap();
    kept(&gone);
    assert_eq!(gone.layouts[0].seats[1].shut, ["B", "Z"]);
    let says: Vec<String> = check(&gone).findings.iter().map(|finding| finding.says.clone()).collect();
    for zone in ["B", "Z"] {
        let named = |says: &String| says.contains(&format!("shuts zone {zone}, which has no cup"));
        assert!(says.iter().any(named), "{zone}: {says:?}");
    }
}
