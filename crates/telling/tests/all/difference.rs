//! Two projects side by side: what was changed, in words, and what came of it.

use crate::changes;
use crate::common;

use analysis::{Analyst, Severity};

use changes::*;
use common::circuits::{edit_supply, fed};
use common::*;
use document::{
    Accepted, BranchLine, ChangeKind, CupId, Edit, Issued, KeepOut, KeepOutId, Layout, LayoutId, LineLength,
    MassBy, MotionId, Project, Restriction, Sourced, Worst,
};
use glam::DVec2;
use std::sync::Arc;
use telling::{CompareFigure, Difference, FigureChange, difference};
use units::UnitChoice;

fn says(difference: &Difference) -> Vec<&str> {
    difference.changes.iter().map(|line| line.says.as_str()).collect()
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
            "C3 has another model: round-40 instead of round-50",
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
        supply.main.length = LineLength::Typed { mm: 900.0 };
        supply.branches.push(BranchLine { cup: CupId(102), line: common::circuits::line(6.0) });
        supply.filter = Some(Restriction { c_dm3_s_bar: 2.0, b: 0.3 });
    });
    let model = Arc::make_mut(&mut new.models[0]);
    model.shape = geometry::LipShape::Long { length: 90.0, width: 30.0 };
    model.mass_g = 33.0;
    let motion = Arc::make_mut(&mut new.motions[0]);
    motion.acceleration.z = 3.0;
    motion.worst = Worst::TiltTo { deg: 90.0 };
    motion.required_factor = 2.5;
    new.site.payload_kg = Some(12.0);
    new.rules.friction_spread = 0.4;
    new.sheet.owner = "Workshop 3".to_owned();
    let told = between(&old, &new);
    let all = says(&told);
    for line in [
        "Site: payload set to 12.000 kg",
        "Finding limits: spread of assumed friction from 30.0 % to 40.0 %",
        "Title block: legal owner from blank to \u{201c}Workshop 3\u{201d}",
        "Part Sheet: friction from 0.50 (stated) to 0.42 (measured 2026-03-12)",
        "Part Sheet: mass from stated 4.000 kg (stated) to density 7850 kg/m³ (assumed)",
        // The customary digits would read "from 1.0 mm to 1.0 mm".
        "Part Sheet: thickness from 1 mm to 1.004 mm",
        "Part Sheet: turn tolerance from 0.0° to 0.5°",
        "Part Sheet: keep-out 50 added, Logo",
        "Part Sheet: outline changed",
        "Circuit 1: bore of the main hose from 8.0 mm to 10.0 mm",
        "Circuit 1: check valve at every cup from no to yes",
        "Circuit 1: gap under the lips from 0.0 µm (stated) to 5.0 µm (stated)",
        "Circuit 1: length of the main hose from by the plan with slack 50.0 mm to typed 900.0 mm",
        "Circuit 1: branch of C2 added, line bore 6.0 mm and length by the plan with slack 50.0 mm",
        "Circuit 1: filter set to critical pressure ratio 0.3 and sonic conductance 2.000 dm³/(s·bar)",
        "Cup model round-50: mass from 0.010 kg to 0.033 kg",
        "Cup model round-50: shape from round lip diameter 50.0 mm to long lip length 90.0 mm and lip width 30.0 mm",
        "Motion Lift: acceleration from (0.00, 0.00, 0.00) m/s² to (0.00, 0.00, 3.00) m/s²",
        "Motion Lift: worst case from as stated to tilt to 90.0°",
        "Motion Lift: required factor from 2.00 to 2.50",
    ] {
        assert!(all.contains(&line), "{line} is not among {all:#?}");
    }
    assert_eq!(all.len(), 20, "{all:#?}");
    let motion =
        told.changes.iter().find(|line| line.says.starts_with("Motion Lift: required")).expect("a line");
    assert_eq!((motion.motion, motion.layout), (Some(MotionId(1)), None));
    let changed = "Site, finding limits, title block and 4 more changed. ";
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
        let of = |project, required| CompareFigure::Factor { factor: factor(project, index), required };
        let required = |project: &Project| project.motions[index].required_factor;
        assert_eq!(row.from, of(&old, required(&old)));
        assert_eq!(row.to, of(&new, required(&new)));
        assert_eq!((row.better, row.motion), (Some(false), Some(old.motions[index].id)));
    }
    let mass = figure(&told, "Mass of the part");
    assert_eq!((&mass.from, &mass.to), (&CompareFigure::Number(4.0), &CompareFigure::Number(8.0)));
    assert_eq!(mass.better, None);
    assert!(told.figures.iter().all(|row| row.name != "Cups"), "what is the same is left out");
    assert!(told.sentence.contains("The lowest factor goes from "), "{}", told.sentence);

    // The factors stand there even where they are the same.
    let renamed = Edit::RenameProject("Other".to_owned()).apply(&old).expect("a name");
    let told = between(&old, &renamed);
    assert_eq!(
        told.figures.iter().map(|row| row.name.as_str()).collect::<Vec<_>>(),
        ["Factor, lift", "Factor, stop"]
    );
    assert!(told.figures.iter().all(|row| row.better.is_none() && row.from == row.to));
    let stays = format!(
        "The lowest factor is unchanged, {:.2} times the required factor (stop); it holds, as modelled.",
        factor(&old, 1) / 2.0
    );
    assert!(told.sentence.ends_with(&stays), "{}", told.sentence);

    // A motion that only one side has.
    let mut fewer = old.clone();
    fewer.motions.remove(1);
    let told = between(&old, &fewer);
    let stop = figure(&told, "Factor, stop");
    assert_eq!((&stop.to, stop.better), (&CompareFigure::Unknown("not there".to_owned()), None));
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
    let overhangs = |list: &[telling::FindingChange]| -> Vec<u32> {
        let about = |change: &telling::FindingChange| {
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
        ("C2 overhangs the edge by 15.0 mm.", "C2 overhangs the edge by 20.0 mm.")
    );
    let text = text(&old, &new, &told);
    assert!(
        text.contains("\nFindings that got worse\n")
            && text.contains(
                "  fail: C2 overhangs the edge by 20.0 mm. Was: C2 overhangs the edge by 15.0 mm.\n"
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
    let about = |change: &&telling::FindingChange| {
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
    assert!(told.sentence.contains("it no longer holds"), "{}", told.sentence);
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
fn of_many_layouts_those_are_told_whose_least_factor_changes() {
    let mut old = holding();
    for id in 900..905 {
        let layout =
            Layout { id: LayoutId(id), name: format!("Layout {id}"), ..Layout::clone(&old.layouts[0]) };
        old.layouts.push(Arc::new(layout));
    }
    let mut new = old.clone();
    Arc::make_mut(&mut new.layouts[2]).cups.pop();
    let told = between(&old, &new);
    assert!(told.sentence.contains("Layout 901: the lowest factor goes from "), "{}", told.sentence);
    assert!(told.sentence.contains(" That of 5 layouts is unchanged."), "{}", told.sentence);
    assert_eq!(told.sentence.matches("the lowest factor").count(), 1, "{}", told.sentence);
    let renamed = Edit::RenameProject("Other".to_owned()).apply(&old).expect("a name");
    assert!(between(&old, &renamed).sentence.ends_with(" The lowest factor of every layout is unchanged."));
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
        seat: None,
    };
    let new = Edit::Accept(accepted).apply(&old).expect("taken on");
    let told = between(&old, &new);
    assert_eq!(says(&told), ["Acceptance of seat.overhang added, reason \u{201c}Lip trimmed there\u{201d}"]);
    assert_eq!((told.changes[0].layout, &told.changes[0].cups[..]), (Some(layout(&old)), &[CupId(101)][..]));
    assert_eq!(told.findings, telling::FindingChanges::default());
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
    assert!(told.notes[0].ends_with("; figures on sheets issued earlier may differ."), "{:?}", told.notes);
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
