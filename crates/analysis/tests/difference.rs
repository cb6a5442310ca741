//! Two projects side by side: what was changed, in words, and what came of it.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that cannot go on stops here")]

mod common;

use analysis::{
    Analyst, CompareFigure, Difference, FigureChange, Severity, difference, difference_json, difference_text,
};
use common::circuits::{edit_supply, fed};
use common::*;
use document::{
    Accepted, ChangeKind, CupId, Edit, Issued, KeepOut, KeepOutId, Layout, LayoutId, MassBy, Motion,
    MotionId, Project, Sourced, Thing, Worst,
};
use glam::DVec2;
use proptest::prelude::*;
use std::sync::Arc;
use units::UnitChoice;

fn between(old: &Project, new: &Project) -> Difference {
    difference(&mut Analyst::new(), old, new)
}

fn says(difference: &Difference) -> Vec<&str> {
    difference.changes.iter().map(|line| line.says.as_str()).collect()
}

fn text(old: &Project, new: &Project, difference: &Difference) -> String {
    difference_text(old, new, difference, &UnitChoice::default())
}

/// Four round cups of 50 mm under 4 kg, lifted and stopped.
fn holding() -> Project {
    let mut stop = still(2, "Stop", 2.0);
    stop.acceleration.x = 6.0;
    stop.worst = Worst::Direction;
    let mut project = project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0), stop],
    );
    project.models.push(Arc::new(model("round-40", round(40.0), 1.0)));
    project
}

fn figure<'d>(difference: &'d Difference, name: &str) -> &'d FigureChange {
    let held = difference.figures.iter().find(|figure| figure.name == name);
    held.unwrap_or_else(|| panic!("no {name} among {:#?}", difference.figures))
}

#[test]
fn cups_moved_turned_swapped_added_and_removed_are_told_in_words() {
    let old = holding();
    let mut new = old.clone();
    edit_layout(&mut new, |layout| {
        layout.cups[0].at = DVec2::new(112.0, 97.0);
        layout.cups[1].turn_deg = -30.0;
        layout.cups[1].locked = true;
        layout.cups[2].model = "round-40".into();
        layout.cups[2].zone = "B".to_owned();
        layout.cups[2].height_mm = 4.0;
        layout.cups[3].tag = "C9".to_owned();
        let added = document::Cup { id: CupId(120), tag: "C5".to_owned(), ..layout.cups[0].clone() };
        layout.cups.remove(0);
        layout.cups.push(document::Cup { at: DVec2::new(300.0, 200.0), ..added });
    });
    let told = between(&old, &new);
    assert_eq!(
        says(&told),
        [
            "C2: locked",
            "C2 turned 30.0° clockwise: from 0.0° to \u{2212}30.0°",
            "C3: post height from 0.0 mm to 4.0 mm",
            "C3 has another model: round-40 in place of round-50",
            "C3: zone from \u{201c}A\u{201d} to \u{201c}B\u{201d}",
            "C4 renamed to C9",
            "C5 added at (300.0, 200.0) mm, round-50",
            "C1 removed at (100.0, 100.0) mm, round-50",
        ]
        .map(|says| says.replace("C2: locked", "C2 locked"))
    );
    let turned = &told.changes[1];
    assert_eq!(
        (turned.layout, &turned.cups[..], turned.motion),
        (Some(layout(&new)), &[CupId(102)][..], None)
    );
    assert!(
        told.sentence
            .starts_with("1 cup turned, 1 given another model, 1 added, 1 removed, 3 otherwise changed. "),
        "{}",
        told.sentence
    );

    let mut moved = old.clone();
    edit_layout(&mut moved, |layout| layout.cups[0].at = DVec2::new(112.0, 103.0));
    assert_eq!(says(&between(&old, &moved)), ["C1 moved 12.4 mm: from (100.0, 100.0) to (112.0, 103.0) mm"]);
    edit_layout(&mut moved, |layout| layout.cups[0].at = DVec2::new(100.004, 100.0));
    assert!(says(&between(&old, &moved))[0].starts_with("C1 moved less than 0.1 mm: "));
    let inch = UnitChoice { length: units::LengthUnit::Inch, ..UnitChoice::default() };
    edit_layout(&mut moved, |layout| layout.cups[0].at = DVec2::new(125.4, 100.0));
    let told = difference(&mut Analyst::with_units(inch), &old, &moved);
    assert_eq!(says(&told), ["C1 moved 1.000 in: from (3.937, 3.937) to (4.937, 3.937) in"]);
}

#[test]
fn inputs_are_told_by_plain_names_with_units() {
    let old = fed();
    let mut new = old.clone();
    edit_part(&mut new, |part| {
        part.friction = Sourced::measured(0.42, "2026-03-12");
        part.mass = MassBy::Density { kg_m3: Sourced::assumed(7850.0) };
        part.thickness_mm = 1.004;
        part.placement.turn_deg = 0.5;
        part.keep_outs.push(KeepOut {
            id: KeepOutId(50),
            name: "Logo".to_owned(),
            area: Arc::new(geometry::Loop::rectangle(DVec2::new(510.0, 280.0), DVec2::new(560.0, 320.0))),
        });
        Arc::make_mut(&mut part.outline).outer =
            geometry::Loop::rectangle(DVec2::ZERO, DVec2::new(610.0, 400.0));
    });
    edit_supply(&mut new, |supply| {
        supply.main.bore_mm = 10.0;
        supply.check_valve_at_cup = true;
        supply.lip_gap_um = Sourced::stated(5.0);
    });
    let motion = Arc::make_mut(&mut new.motions[0]);
    motion.acceleration.z = 3.0;
    motion.worst = Worst::TiltTo { deg: 90.0 };
    motion.required_factor = 2.5;
    new.site.payload_kg = Some(12.0);
    new.rules.friction_spread = 0.3;
    new.sheet.owner = "Workshop 3".to_owned();
    let told = between(&old, &new);
    let all = says(&told);
    for line in [
        "Site: payload of the robot set to 12.000 kg",
        "Limits of the findings: spread of assumed friction from 20.0 % to 30.0 %",
        "Title block: legal owner from blank to \u{201c}Workshop 3\u{201d}",
        "Part Sheet: friction from 0.50 (stated) to 0.42 (measured 2026-03-12)",
        "Part Sheet: mass from stated 4.000 kg (stated) to density 7850 kg/m³ (assumed)",
        // The customary digits would read "from 1.0 mm to 1.0 mm".
        "Part Sheet: thickness from 1 mm to 1.004 mm",
        "Part Sheet: turn tolerance from 0.0° to 0.5°",
        "Part Sheet: keep-out 50 set to Logo",
        "Part Sheet: outline changed",
        "Circuit 1: bore of the main hose from 8.0 mm to 10.0 mm",
        "Circuit 1: check valve at every cup from no to yes",
        "Circuit 1: gap left under the lips from 0 µm (stated) to 5 µm (stated)",
        "Motion Lift: acceleration from (0.00, 0.00, 0.00) m/s² to (0.00, 0.00, 3.00) m/s²",
        "Motion Lift: what is taken in its worst state from as stated to tilt to 90.0°",
        "Motion Lift: required factor from 2.00 to 2.50",
    ] {
        assert!(all.contains(&line), "{line} is not among {all:#?}");
    }
    assert_eq!(all.len(), 15, "{all:#?}");
    let motion =
        told.changes.iter().find(|line| line.says.starts_with("Motion Lift: required")).expect("a line");
    assert_eq!((motion.motion, motion.layout), (Some(MotionId(1)), None));
    let changed =
        "Site, limits of the findings, title block, part Sheet, Circuit 1 and motion Lift changed. ";
    assert!(told.sentence.starts_with(changed), "{}", told.sentence);
}

#[test]
fn figures_are_the_reports_of_both_sides_and_say_what_is_better() {
    let old = holding();
    let mut new = old.clone();
    edit_part(&mut new, |part| part.mass = MassBy::Stated { kg: Sourced::stated(8.0) });
    let told = between(&old, &new);
    let factor = |project: &Project, motion: usize| {
        let report = Analyst::new().check_whole(project, layout(project));
        report.motions[motion].outcome.as_ref().expect("a figure").factor
    };
    for (index, name) in ["Factor, lift", "Factor, stop"].iter().enumerate() {
        let row = figure(&told, name);
        assert_eq!(row.from, CompareFigure::Number(factor(&old, index)));
        assert_eq!(row.to, CompareFigure::Number(factor(&new, index)));
        assert_eq!((row.better, row.motion), (Some(false), Some(old.motions[index].id)));
    }
    let mass = figure(&told, "Mass of the part");
    assert_eq!((&mass.from, &mass.to), (&CompareFigure::Number(4.0), &CompareFigure::Number(8.0)));
    assert_eq!(mass.better, None);
    assert!(told.figures.iter().all(|row| row.name != "Cups"), "what is the same is left out");
    assert!(told.sentence.contains("The least factor goes from "), "{}", told.sentence);

    // The factors stand there even where they are the same.
    let renamed = Edit::RenameProject("Other".to_owned()).apply(&old).expect("a name");
    let told = between(&old, &renamed);
    assert_eq!(
        told.figures.iter().map(|row| row.name.as_str()).collect::<Vec<_>>(),
        ["Factor, lift", "Factor, stop"]
    );
    assert!(told.figures.iter().all(|row| row.better.is_none() && row.from == row.to));
    let stays = format!(
        "The least factor stays as it is, {:.2} times what is required (stop); it holds, as modelled.",
        factor(&old, 1) / 2.0
    );
    assert!(told.sentence.ends_with(&stays), "{}", told.sentence);

    // A motion that only one side has.
    let mut fewer = old.clone();
    fewer.motions.remove(1);
    let told = between(&old, &fewer);
    let stop = figure(&told, "Factor, stop");
    assert_eq!((&stop.to, stop.better), (&CompareFigure::Words("not there".to_owned()), None));
    assert_eq!(figure(&told, "Required factors met").better, None);
}

#[test]
fn findings_come_go_and_are_further_off() {
    let mut old = holding();
    edit_layout(&mut old, |layout| {
        layout.cups[0].at.x = 18.8;
        layout.cups[1].at.x = 590.0;
        layout.cups[2].at.x = 588.0;
    });
    let mut new = old.clone();
    edit_layout(&mut new, |layout| {
        layout.cups[0].at.x = 100.0;
        layout.cups[1].at.x = 595.0;
        layout.cups[2].at.x = 580.0;
        layout.cups[3].at.x = 20.0;
    });
    let told = between(&old, &new);
    let overhangs = |list: &[analysis::FindingChange]| -> Vec<u32> {
        let about = |change: &analysis::FindingChange| {
            let finding = change.latest().expect("one of them");
            (finding.rule == "seat.overhang").then(|| finding.subject[0].0)
        };
        list.iter().filter_map(about).collect()
    };
    let findings = &told.findings;
    assert_eq!(overhangs(&findings.new), [104]);
    assert_eq!(overhangs(&findings.gone), [101]);
    assert_eq!(overhangs(&findings.worse), [102]);
    assert_eq!(overhangs(&findings.better), [103]);
    let worse = findings.worse.iter().find(|change| overhangs(&[(*change).clone()]) == [102]).expect("C2");
    let [before, after] = [&worse.before, &worse.after].map(|side| side.as_ref().expect("both").says.clone());
    assert_eq!(
        (before.as_str(), after.as_str()),
        ("C2 hangs 15.0 mm over the edge.", "C2 hangs 20.0 mm over the edge.")
    );
    let text = text(&old, &new, &told);
    assert!(
        text.contains("\nFindings further off\n")
            && text.contains(
                "  to mend: C2 hangs 20.0 mm over the edge. Was: C2 hangs 15.0 mm over the edge.\n"
            ),
        "{text}"
    );
}

#[test]
fn a_severity_that_rises_is_worse_and_a_factor_keeps_its_motion() {
    let mut old = holding();
    Arc::make_mut(&mut old.motions[0]).required_factor = 9.0;
    let mut new = old.clone();
    // Another cup governs, and the factor falls below.
    edit_layout(&mut new, |layout| layout.cups[2].at = DVec2::new(480.0, 280.0));
    edit_part(&mut new, |part| part.mass = MassBy::Stated { kg: Sourced::stated(4.5) });
    let told = between(&old, &new);
    let about = |change: &&analysis::FindingChange| {
        change.latest().is_some_and(|finding| finding.rule == "factor.under_required")
    };
    let lists = [&told.findings.new, &told.findings.gone, &told.findings.better];
    assert!(lists.iter().all(|list| {
        !list
            .iter()
            .any(|change| about(&change) && change.latest().and_then(|f| f.motion) == Some(MotionId(1)))
    }));
    let worse = told.findings.worse.iter().find(about).expect("worse");
    let severities = [&worse.before, &worse.after].map(|side| side.as_ref().map(|finding| finding.severity));
    assert_eq!(severities, [Some(Severity::Watch), Some(Severity::Fail)]);
    assert!(told.sentence.contains("it does not hold any more"), "{}", told.sentence);
}

#[test]
fn layouts_are_paired_by_id_and_one_alone_is_a_change() {
    let old = holding();
    let mut new = old.clone();
    let copy = Layout { id: LayoutId(900), name: "Layout B".to_owned(), ..Layout::clone(&old.layouts[0]) };
    new.layouts.insert(0, Arc::new(copy));
    let told = between(&old, &new);
    assert_eq!(says(&told), ["Layout B added, 4 cups on Sheet"]);
    assert!(told.figures.iter().all(|figure| figure.layout == layout(&old)));
    assert!(
        told.notes.contains(&"Layout B is on the newer side only; its figures are not paired.".to_owned()),
        "{:?}",
        told.notes
    );
    let back = between(&new, &old);
    assert_eq!(back.changes[0].change.kind, ChangeKind::Removed);
    assert!(
        back.notes.contains(&"Layout B is on the older side only; its figures are not paired.".to_owned())
    );
}

#[test]
fn a_finding_taken_on_is_a_change_and_no_better_finding() {
    let mut old = holding();
    edit_layout(&mut old, |layout| layout.cups[0].at.x = 18.8);
    let accepted = Accepted {
        rule: "seat.overhang".to_owned(),
        subject: vec![CupId(101)],
        motion: None,
        layout: layout(&old),
        reason: "Lip trimmed there".to_owned(),
        by: String::new(),
        on: String::new(),
    };
    let new = Edit::Accept(accepted).apply(&old).expect("taken on");
    let told = between(&old, &new);
    assert_eq!(says(&told), ["Acceptance of seat.overhang added, reason \u{201c}Lip trimmed there\u{201d}"]);
    assert_eq!((told.changes[0].layout, &told.changes[0].cups[..]), (Some(layout(&old)), &[CupId(101)][..]));
    assert_eq!(told.findings, analysis::FindingChanges::default());
}

#[test]
fn an_issued_side_is_named_with_its_program() {
    let mut issued = holding();
    issued = Edit::Issue {
        index: "B".to_owned(),
        on: "2026-03-12".to_owned(),
        by: "A. Berg".to_owned(),
        what: "First".to_owned(),
        program: "cupwright 0.0.9".to_owned(),
    }
    .apply(&issued)
    .expect("issued");
    let frozen: &Issued = &issued.issued[0];
    let mut new = issued.clone();
    edit_layout(&mut new, |layout| layout.cups[0].at.x += 5.0);
    let told = between(&frozen.content, &new);
    assert_eq!(says(&told).len(), 1);
    assert!(
        told.notes[0].ends_with("; figures on sheets handed out earlier are historical."),
        "{:?}",
        told.notes
    );
    assert_eq!(
        told.notes[1],
        "The older side is revision B, issued on 2026-03-12 with figures of cupwright 0.0.9."
    );
    // Review and issued revisions are no content.
    let same = between(&frozen.content, &issued);
    assert_eq!(same.sentence, "Nothing was changed.");
    assert!(same.changes.is_empty() && same.figures.is_empty());
}

#[test]
fn long_runs_are_drawn_together() {
    let old = large(12, 120, 1);
    let mut new = old.clone();
    edit_layout(&mut new, |layout| {
        for (index, cup) in layout.cups.iter_mut().enumerate() {
            cup.at.x += 3.0;
            if index < 8 {
                cup.zone = "B".to_owned();
            }
            if index > 9 {
                cup.height_mm = 5.0;
            }
        }
    });
    let told = between(&old, &new);
    assert_eq!(told.changes.len(), 12 + 8 + 2);
    let text = text(&old, &new, &told);
    assert!(text.contains("  C1, C2, C3 and 9 more moved by (3.0, 0.0) mm\n"), "{text}");
    assert!(text.contains("  C1, C2, C3 and 5 more: zone to \u{201c}B\u{201d}\n"), "{text}");
    assert!(text.contains("  C12: post height from 0.0 mm to 5.0 mm\n"), "{text}");
    assert!(text.lines().count() < 40, "{text}");
}

fn validator() -> jsonschema::Validator {
    let schema = serde_json::from_str(include_str!("../schema/diff.schema.json")).expect("a JSON text");
    jsonschema::draft202012::new(&schema).expect("a schema")
}

fn valid(old: &Project, new: &Project, told: &Difference) -> serde_json::Value {
    let text = difference_json(["/home/someone/a.ron", "/home/someone/b.ron"], old, new, told);
    assert!(
        !text.contains("null") && !text.contains("NaN") && !text.contains("someone") && !text.contains('\n')
    );
    let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let problems: Vec<String> =
        validator().iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(problems.is_empty(), "{problems:#?}\n{text}");
    value
}

#[test]
fn the_json_has_the_keys_of_the_schema() {
    let mut old = holding();
    edit_layout(&mut old, |layout| layout.cups[0].at.x = 18.8);
    let mut new = old.clone();
    edit_layout(&mut new, |layout| layout.cups[0].at.x = 12.0);
    new.layouts.push(Arc::new(Layout { id: LayoutId(900), ..Layout::clone(&old.layouts[0]) }));
    new.motions.push(Arc::new(still(3, "Rest", 2.0)));
    let told = between(&old, &new);
    let value = valid(&old, &new, &told);
    let moved =
        value["changes"].as_array().and_then(|all| all.iter().find(|c| c["field"] == "at")).expect("a move");
    assert_eq!(moved["kind"], "changed");
    assert_eq!(moved["subject"], "cup C1");
    assert_eq!((&moved["from"][0], &moved["to"][0]), (&18.8.into(), &12.0.into()));
    let factor = value["figures"]
        .as_array()
        .and_then(|all| all.iter().find(|f| f["name"] == "factor, lift"))
        .expect("a factor");
    assert!(factor["from"].is_number() && factor["to"].is_number());
    assert_eq!(value["findings"]["worse"][0]["rule"], "seat.overhang");
    assert_eq!(value["findings"]["worse"][0]["subject"][0], "C1");
    assert_eq!(value["findings"]["worse"][0]["before"]["figure"], -6.2);
    assert_eq!((&value["old"]["file"], &value["new"]["file"]), (&"a.ron".into(), &"b.ron".into()));
    // The schema is no blank cheque.
    let mut wrong = value.clone();
    wrong["findings"]["worse"][0].as_object_mut().expect("an object").remove("before");
    assert!(!validator().is_valid(&wrong));
}

/// Each demo against itself with edits of every kind applied.
#[test]
fn the_demos_with_edits_of_every_kind() {
    for (index, old) in demos().into_iter().enumerate() {
        let layout = layout(&old);
        let mut new = old.clone();
        edit_layout(&mut new, |layout| {
            layout.cups[0].at += DVec2::new(3.0, -2.0);
            if layout.cups.len() > 2 {
                layout.cups[1].turn_deg += 15.0;
                layout.cups.pop();
            }
        });
        let mut motion = Motion::clone(&new.motions[0]);
        motion.required_factor += 0.5;
        new.motions[0] = Arc::new(motion);
        edit_part(&mut new, |part| part.friction = Sourced::assumed(part.friction.value * 0.5));
        let told = between(&old, &new);
        let things: Vec<&Thing> = told.changes.iter().map(|line| &line.change.thing).collect();
        assert!(
            things.iter().any(|thing| matches!(thing, Thing::Cup(held, _) if *held == layout)),
            "{}",
            old.name
        );
        assert!(things.iter().any(|thing| matches!(thing, Thing::Motion(_))), "{}", old.name);
        assert!(things.iter().any(|thing| matches!(thing, Thing::Part(_))), "{}", old.name);
        let factors = told.figures.iter().filter(|figure| figure.motion.is_some() && figure.layout == layout);
        assert_eq!(factors.count(), old.motions.len(), "{}", old.name);
        valid(&old, &new, &told);
        let text = text(&old, &new, &told);
        assert!(
            !text.to_lowercase().contains("safe") && !text.contains("NaN") && !text.contains("null"),
            "{text}"
        );
        if index == 0 {
            assert_eq!(text, self::text(&old, &new, &between(&old, &new)), "the same every time");
        }
    }
}

/// An edit of a random kind.
fn edited(project: &Project, kind: usize, amount: f64) -> Project {
    let mut new = project.clone();
    match kind {
        0 => edit_layout(&mut new, |layout| layout.cups[0].at.x += 1.0 + 100.0 * amount),
        1 => edit_layout(&mut new, |layout| {
            layout.cups.pop();
        }),
        2 => edit_layout(&mut new, |layout| layout.cups[1].model = "round-40".into()),
        3 => edit_part(&mut new, |part| {
            part.mass = MassBy::Stated { kg: Sourced::stated(1.0 + 40.0 * amount) }
        }),
        4 => edit_part(&mut new, |part| part.friction = Sourced::assumed(0.1 + 0.3 * amount)),
        5 => Arc::make_mut(&mut new.motions[1]).acceleration.x = 1.0 + 4.0 * amount,
        6 => {
            new.motions.remove(0);
        }
        _ => new.site.altitude_m = 1.0 + 2000.0 * amount,
    }
    new
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    /// Nothing differs from itself; the other way round, what came is gone and what is worse is better.
    #[test]
    fn swapped_sides_swap_the_difference(kinds in prop::collection::vec((0..8usize, 0.0..1.0f64), 1..3)) {
        let old = holding();
        let new = kinds.iter().fold(old.clone(), |project, (kind, amount)| edited(&project, *kind, *amount));
        let itself = between(&new, &new);
        prop_assert!(itself.changes.is_empty() && itself.figures.is_empty());
        prop_assert_eq!(&itself.findings, &analysis::FindingChanges::default());

        let (there, back) = (between(&old, &new), between(&new, &old));
        prop_assert_eq!(there.changes.len(), back.changes.len());
        let swapped = |list: &[analysis::FindingChange]| {
            let mut list: Vec<String> = list
                .iter()
                .map(|change| format!("{:?} {:?}", change.after, change.before))
                .collect();
            list.sort();
            list
        };
        let straight = |list: &[analysis::FindingChange]| {
            let mut list: Vec<String> = list
                .iter()
                .map(|change| format!("{:?} {:?}", change.before, change.after))
                .collect();
            list.sort();
            list
        };
        prop_assert_eq!(straight(&there.findings.new), swapped(&back.findings.gone));
        prop_assert_eq!(straight(&there.findings.gone), swapped(&back.findings.new));
        prop_assert_eq!(straight(&there.findings.worse), swapped(&back.findings.better));
        prop_assert_eq!(straight(&there.findings.better), swapped(&back.findings.worse));
        for figure in &there.figures {
            let other = back.figures.iter().find(|held| held.name == figure.name).expect("the same figures");
            prop_assert_eq!((&figure.from, &figure.to), (&other.to, &other.from));
            prop_assert_eq!(figure.better, other.better.map(|better| !better), "{}", figure.name);
        }
    }
}
