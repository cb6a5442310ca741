//! Proposals for a tool that carries several parts.

use super::held::placed;
use super::*;
use document::{Arrangement, Circuit, CupId, PartId, Seat, SeatId, Supply};
use geometry::Cover;

/// The sheet, and on it a blank of half its size in the corner at the right; the third is the sheet again, a step further on.
fn tool(seats: usize) -> Project {
    let mut project = project();
    project.parts.push(Part::rectangle(PartId(2), "Small blank", 300.0, 200.0).into());
    let seat =
        |id: u32, part: u32, at: [f64; 2]| Seat { at: at.into(), ..Seat::of(SeatId(id), PartId(part)) };
    let all = [seat(301, 1, [0.0, 0.0]), seat(302, 2, [320.0, 210.0]), seat(303, 1, [60.0, -40.0])];
    with_layout(&project, |layout| layout.seats = all[..seats].to_vec())
}

#[test]
fn every_part_is_held_by_the_cups_that_lie_on_it_and_the_figures_are_those_of_the_worst() {
    for (seats, count, pattern) in [(2, 6, None), (3, 8, Some(Pattern::Free))] {
        let project = tool(seats);
        let ask = Question { one_lost: true, pattern, ..question(&project, HowMany::Exactly(count)) };
        let found = run(&project, ask).unwrap();
        assert!(found.says.contains(&format!("every motion of all {seats} parts held")), "{}", found.says);
        let most = found.certainty.at_most().unwrap_or_else(|| panic!("{:?}", found.certainty));
        assert!(!found.proposals.is_empty());
        for of in &found.proposals {
            let with = of.project(&project);
            let report = Analyst::new().check_whole(&with, of.layout.id);
            let family = report.family.as_ref().unwrap();
            assert_eq!(family.seats.len(), seats);
            // No cup draws air, none that lies on a part is shut for it.
            for cup in family.seats.iter().flat_map(|seat| &seat.cups) {
                assert_eq!(cup.cover == Some(Cover::On), cup.holds, "{cup:?}");
                assert!(!cup.draws(), "{cup:?}");
            }
            assert!(family.valves.now_serves && family.valves.now == family.valves.fewest.len());
            let ratios = family.seats.iter().map(|seat| seat.report.governing().unwrap().1);
            let least = ratios.reduce(f64::min).unwrap();
            assert_eq!(of.figures.least, Some(least));
            assert!(least <= most * (1.0 + 1e-9), "{least} {most}");
            assert!(least > 0.2, "{least}");
            // The cups that a part uses stand about its centre of gravity.
            for part in &family.seats {
                assert!(
                    part.report
                        .findings
                        .iter()
                        .all(|finding| finding.rule != "balance.hull"
                            || finding.severity != crate::Severity::Fail),
                    "{}",
                    of.layout.name
                );
            }
            let fails = report.findings.iter().filter(|finding| finding.severity == crate::Severity::Fail);
            assert_eq!(of.fails, fails.map(|finding| finding.says.clone()).collect::<Vec<_>>());
            let reports = family.seats.iter().map(|seat| Arc::clone(&seat.report));
            let lost = reports.map(|report| {
                let side = crate::Side { report };
                let loss = side.worst_loss().unwrap();
                if loss.holds { loss.factor.unwrap() } else { 0.0 }
            });
            assert_eq!(of.figures.one_lost, lost.reduce(f64::min));
            let worst = family.seats.iter().find(|seat| seat.report.governing().unwrap().1 == least).unwrap();
            assert_eq!(of.figures.part_name, worst.name);
            // Taken, it is what the card says; what there was is as it was.
            let taken = of.edit(&project).apply(&project).unwrap();
            let new = taken.layouts.last().unwrap();
            assert_eq!(taken.layouts[..1], project.layouts[..]);
            let again = Analyst::new().check(&taken, new.id);
            let ratios = again.family.as_ref().unwrap().seats.iter();
            let again = ratios.map(|seat| seat.report.governing().unwrap().1).reduce(f64::min).unwrap();
            assert!((again / least - 1.0).abs() < 1e-12, "{again} {least}");
        }
    }
}

#[test]
fn a_part_that_is_moved_on_the_tool_gets_the_same_layout_moved() {
    let here = project();
    let by = DVec2::new(35.0, -120.0);
    let there = with_layout(&here, |layout| {
        layout.seats = vec![Seat { at: by, ..Seat::of(SeatId(301), layout.part) }];
    });
    let ask = |project: &Project| Question {
        pattern: Some(Pattern::Rows),
        ..question(project, HowMany::Exactly(6))
    };
    let a = run(&here, ask(&here)).unwrap();
    let b = run(&there, ask(&there)).unwrap();
    let (a, b) = (&a.proposals[0], &b.proposals[0]);
    assert!((a.figures.least.unwrap() / b.figures.least.unwrap() - 1.0).abs() < 1e-9);
    for (a, b) in a.layout.cups.iter().zip(&b.layout.cups) {
        assert!((a.at + by).distance(b.at) < 1e-6, "{a:?} {b:?}");
        assert_eq!(a.zone, b.zone);
    }
}

#[test]
fn zones_get_valves_of_their_own_and_what_other_layouts_hang_on_stays() {
    let mut project = placed(&tool(2), &model(40.0), &[(100., 100., "A"), (500., 300., "A")]);
    let (layout, circuit) = (project.layouts[0].id, Arc::clone(&project.circuits[0]));
    let source = &document::sources()[0];
    project.sources.push(Arc::clone(source));
    let supply = Supply::preset(&project, layout, circuit.id, source, Arrangement::Central).unwrap();
    project.circuits[0] = Arc::new(Circuit { supply: Some(Arc::new(supply)), ..Circuit::clone(&circuit) });
    assert!(project.circuits[0].supply.as_ref().unwrap().valves.is_empty());
    let before = Analyst::new().check(&project, layout);
    let found = run(&project, question(&project, HowMany::Exactly(6))).unwrap();
    let of =
        found.proposals.iter().find(|of| of.layout.seats.iter().any(|seat| !seat.shut.is_empty())).unwrap();
    let taken = of.edit(&project).apply(&project).unwrap();
    let new = taken.layouts.last().unwrap();
    // The name "A" would put a valve before cups that have none.
    assert!(new.cups.iter().all(|cup| cup.zone != "A"), "{:?}", new.zones());
    let valves = &taken.circuits[0].supply.as_ref().unwrap().valves;
    let named: Vec<&str> = valves.iter().map(|valve| valve.zone.as_str()).collect();
    let mut zones = new.zones();
    zones.sort_unstable();
    assert_eq!(named, zones);
    let levels =
        |report: &crate::Report| -> Vec<f64> { report.cups.iter().map(|cup| cup.level_kpa).collect() };
    assert_eq!(levels(&before), levels(&Analyst::new().check(&taken, layout)));
    let report = Analyst::new().check(&taken, new.id);
    assert!(report.findings.iter().all(|finding| !finding.says.contains("valve")), "{:?}", report.findings);
    assert_eq!(report.verdict.sentence, of.report.verdict.sentence);
}

#[test]
fn what_cannot_be_proposed_for_a_tool_with_several_parts_is_named() {
    let tool_of_two = tool(2);
    let lost = Question { zone_lost: true, ..question(&tool_of_two, HowMany::Exactly(4)) };
    assert_eq!(run(&tool_of_two, lost).unwrap_err(), CannotPropose::ZoneOfSeveral);
    let still = with_layout(&tool_of_two, |layout| {
        layout.seats[1].left_out = tool_of_two.motions.iter().map(|motion| motion.id).collect();
    });
    let why = run(&still, question(&still, HowMany::Exactly(4))).unwrap_err();
    assert_eq!(why, CannotPropose::NoMotionOf("Small blank".to_owned()));
    // A lip that is too large for the small part does not suit, and the part is named.
    let mut narrow = tool_of_two.clone();
    narrow.parts[1] = Part::rectangle(PartId(2), "Strip", 300.0, 30.0).into();
    let why = run(&narrow, question(&narrow, HowMany::Exactly(4))).unwrap_err();
    assert!(matches!(&why, CannotPropose::NoneSuits(says) if says.ends_with("(Strip)")), "{why}");
    // A locked cup half beside one part stays, shut for it; one beside all is named.
    let beside = placed(&tool_of_two, &model(40.0), &[(320., 300., "A"), (900., 900., "A")]);
    let locked = |from: &Project, tags: &[usize]| {
        with_layout(from, |layout| tags.iter().for_each(|&at| layout.cups[at].locked = true))
    };
    let half = locked(&beside, &[0]);
    let found = run(&half, question(&half, HowMany::Exactly(6))).unwrap();
    let stays = CupId(half.layouts[0].cups[0].id.0);
    for of in found.proposals.iter().filter(|of| of.kind != Kind::Present) {
        let report = Analyst::new().check(&of.project(&half), of.layout.id);
        let on: Vec<bool> = report
            .family
            .as_ref()
            .unwrap()
            .seats
            .iter()
            .map(|seat| seat.cups.iter().find(|cup| cup.id == stays).unwrap().holds)
            .collect();
        assert_eq!(on, [true, false]);
    }
    let amiss = locked(&beside, &[1]);
    let why = run(&amiss, question(&amiss, HowMany::Exactly(6))).unwrap_err();
    assert!(why.to_string().contains("it lies wholly on none of the parts"), "{why}");
}

#[test]
fn one_more_cup_helps_the_worst_part() {
    let at = [(80., 80., "A"), (540., 80., "A"), (360., 250., "A"), (580., 370., "A"), (360., 370., "A")];
    let project = placed(&tool(2), &model(40.0), &at);
    let more = Analyst::new().more_job(&project, project.layouts[0].id).run(&ProposalWatch::default());
    assert!(!more.is_empty());
    // Where it lies on one part only, the worst part may have no more than before; on both it is never less than a little less.
    assert!(more.iter().any(|of| of.times > 1.0));
}
