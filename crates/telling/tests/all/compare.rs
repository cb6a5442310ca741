//! Layouts side by side: which is better, by what figures, and from which spacing two round cups beat one long one.

use crate::common;

use analysis::{Analyst, MoreFrom, long_pair};

use common::*;
use document::{Cup, CupId, Layout, LayoutId, Motion, Project, Sourced, Worst};
use geometry::LipShape;
use glam::{DVec2, DVec3};
use std::sync::Arc;
use telling::{CompareFigure, CompareRow, Comparison, compare, compare_json, compare_text};
use units::UnitChoice;

/// Accelerated along x or y, level.
fn carry(id: u32, name: &str, acceleration: DVec3) -> Motion {
    Motion { acceleration, worst: Worst::AsStated, ..still(id, name, 2.0) }
}

/// A profile 400 x 40 mm of 1 kg whose centre of gravity hangs 20 mm below the lips: one long cup of 120 x 30 mm against
/// two round ones of 30 mm, 280 mm apart.
fn narrow() -> Project {
    let mut part = plate(400.0, 40.0, 1.0);
    part.centre_of_gravity = Some(Sourced::stated(DVec3::new(200.0, 20.0, -20.0)));
    let motions = vec![
        still(1, "Lift", 2.0),
        carry(2, "Carry along", DVec3::new(4.0, 0.0, 0.0)),
        carry(3, "Carry across", DVec3::new(0.0, 4.0, 0.0)),
    ];
    let long = model("Long 120", LipShape::Long { length: 120.0, width: 30.0 }, 1.0);
    let mut project = project(part, long, &[(200.0, 20.0)], motions);
    let small = model("Round 30", round(30.0), 1.0);
    let cups: Vec<Cup> = [60.0, 340.0]
        .iter()
        .enumerate()
        .map(|(i, x)| Cup {
            id: CupId(200 + i as u32),
            tag: format!("C{}", i + 1),
            model: small.id.clone(),
            at: DVec2::new(*x, 20.0),
            ..project.layouts[0].cups[0].clone()
        })
        .collect();
    project.models.push(Arc::new(small));
    let one = Layout::clone(&project.layouts[0]);
    project.layouts = vec![
        Arc::new(Layout { name: "One long".to_owned(), ..one.clone() }),
        Arc::new(Layout { id: LayoutId(900), name: "Two round".to_owned(), cups, ..one }),
    ];
    project
}

fn ids(project: &Project) -> Vec<LayoutId> {
    project.layouts.iter().map(|layout| layout.id).collect()
}

fn compared(project: &Project) -> Comparison {
    compare(&mut Analyst::new(), project, &ids(project))
}

fn row<'c>(comparison: &'c Comparison, name: &str) -> &'c CompareRow {
    comparison.rows.iter().find(|row| row.name == name).unwrap_or_else(|| panic!("no row {name}"))
}

fn number(figure: &CompareFigure) -> f64 {
    match figure {
        CompareFigure::Number(value) | CompareFigure::Factor { factor: value, .. } => *value,
        CompareFigure::Words(words) | CompareFigure::Unknown(words) => panic!("{words}"),
    }
}

#[test]
fn the_table_holds_the_reports_figures_and_marks_the_better_one() {
    let project = narrow();
    let comparison = compared(&project);
    let reports: Vec<_> = ids(&project).iter().map(|id| Analyst::new().check_whole(&project, *id)).collect();
    for (index, motion) in project.motions.iter().enumerate() {
        let row = comparison.rows.iter().find(|row| row.motion == Some(motion.id)).expect("a row");
        for (figure, report) in row.figures.iter().zip(&reports) {
            let factor = report.motions[index].outcome.as_ref().expect("a figure").factor;
            assert_eq!(number(figure), factor);
        }
        let better = usize::from(number(&row.figures[1]) > number(&row.figures[0]));
        assert_eq!(row.better, Some(better), "{}", row.name);
    }
    assert_eq!(row(&comparison, "Factor, carry across").motion, Some(project.motions[2].id));
    assert_eq!(row(&comparison, "Cups").figures, ["1", "2"].map(|n| CompareFigure::Words(n.to_owned())));
    assert_eq!(row(&comparison, "Cups").better, None);
    // 10 g a cup.
    assert_eq!(row(&comparison, "Mass of the tool").better, Some(0));
    assert!((number(&row(&comparison, "Mass of the tool").figures[1]) - 0.02).abs() < 1e-12);
    let lost = row(&comparison, "One cup lost");
    assert_eq!(lost.figures[0], CompareFigure::Words("drops at C1".to_owned()));
    assert_eq!(lost.better, None);
    assert_eq!(comparison.envelopes[0], reports[0].envelope);
}

#[test]
fn the_sentence_says_which_and_by_what() {
    let comparison = compared(&narrow());
    let says = &comparison.sentence();
    assert!(
        says.starts_with(
            "One long holds 4.35 times the required factor at its worst motion (carry along); Two round 1.59 \
            (carry across). One long is better for these motions. With one cup lost, One long drops the part"
        ),
        "{says}"
    );
    assert!(says.contains("strong along its length and weak across it"), "{says}");
    assert!(says.contains(" At carry along both slide before they lose their seal"), "{says}");
    assert!(!says.to_lowercase().contains("safe"));
    let text = compare_text(&comparison, &UnitChoice::default());
    assert!(text.contains("\n* better"));
    let line = text.lines().find(|line| line.starts_with("Factor, lift")).expect("a line");
    assert_eq!(
        line.split_whitespace().collect::<Vec<_>>(),
        ["Factor,", "lift", "16.9", "of", "2.00", "*", "7.01", "of", "2.00"]
    );
}

/// The two round cups large enough that their area together is that of the long one.
fn equal_area() -> Project {
    let mut project = narrow();
    let long = project.models[0].shape.scaled(SHARE).line().area;
    let diameter = (2.0 * long / std::f64::consts::PI).sqrt() / SHARE;
    Arc::make_mut(&mut project.models[1]).shape = round(diameter);
    edit_part(&mut project, |part| {
        let outer = geometry::Loop::rectangle(DVec2::new(0.0, -20.0), DVec2::new(400.0, 60.0));
        Arc::make_mut(&mut part.outline).outer = outer;
    });
    project
}

#[test]
fn the_spacing_from_which_two_hold_more_is_where_they_hold_the_same() {
    let mut project = equal_area();
    // Tipped about the line across the part by a turn about y.
    let mut tip = still(4, "Tip", 2.0);
    tip.turn_acceleration_deg_s2 = DVec3::new(0.0, 4000.0, 0.0);
    tip.pivot_mm = DVec3::new(200.0, 20.0, -20.0);
    project.motions.push(Arc::new(tip));
    let pair = long_pair(&mut Analyst::new(), &project, &ids(&project)).expect("such a pair");
    assert_eq!((pair.long, pair.pair), (0, 1));
    assert!((pair.spacing_mm - 280.0).abs() < 1e-12);
    let tip = pair.motions.iter().find(|motion| motion.motion.0 == 4).expect("the tip");
    let MoreFrom::Spacing(mm) = tip.more else { panic!("{:?}", tip.more) };
    assert!(pair.touching_mm < mm && mm < pair.widest_mm);
    let at = |spacing: f64| {
        let mut moved = project.clone();
        let layout = Arc::make_mut(&mut moved.layouts[1]);
        layout.cups[0].at.x = 200.0 - 0.5 * spacing;
        layout.cups[1].at.x = 200.0 + 0.5 * spacing;
        let report = Analyst::new().check(&moved, layout_of(&moved, 1));
        report.motions[3].outcome.as_ref().expect("a figure").factor
    };
    // Nothing is assumed: they hold more by more than the printed figures show.
    let enough = tip.long * (1.0 + tip.margin);
    assert_eq!(tip.margin, 0.01);
    assert!((at(mm) - enough).abs() < 1e-4 * enough, "{} {enough}", at(mm));
    assert!(at(mm + 10.0) > enough && at(mm - 10.0) < enough);
    let comparison = compared(&project);
    assert!(comparison.notes.iter().any(|note| note.starts_with("Tip: Two round holds more from ")));
    assert!(comparison.notes.iter().any(|note| note.starts_with("Common practice, no source:")));
}

fn layout_of(project: &Project, index: usize) -> LayoutId {
    project.layouts[index].id
}

#[test]
fn on_a_leaking_part_the_sentence_tells_how_far_the_level_falls() {
    let mut project = narrow();
    edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(1.0)));
    for model in &mut project.models {
        Arc::make_mut(model).channel_mm = Sourced::stated(0.1);
    }
    let comparison = compared(&project);
    assert!(comparison.sentence().contains("Air passes through the part"), "{}", comparison.sentence());
    let airtight = compared(&narrow());
    // The long one loses the larger share of what it held.
    let share = |index: usize| {
        number(&row(&comparison, "Factor, lift").figures[index])
            / number(&row(&airtight, "Factor, lift").figures[index])
    };
    assert!(share(0) < share(1) && share(1) < 1.0);
}

#[test]
fn what_cannot_be_compared_is_said() {
    let mut project = narrow();
    let mut other = document::Part::clone(&project.parts[0]);
    other.id = document::PartId(77);
    other.name = "Other".to_owned();
    project.parts.push(Arc::new(other));
    Arc::make_mut(&mut project.layouts[1]).part = document::PartId(77);
    let comparison = compared(&project);
    // Named first, and nothing is ranked.
    assert!(
        comparison.sentence().starts_with(
            "The layouts are over different parts and are not ranked: One long on Sheet; Two round on Other. One long \
             holds "
        ),
        "{}",
        comparison.sentence()
    );
    assert!(!comparison.sentence().contains("better"), "{}", comparison.sentence());
    assert!(comparison.rows.iter().all(|row| row.better.is_none()), "{:#?}", comparison.rows);
    assert!(comparison.long_pair.is_none());

    let mut empty = narrow();
    Arc::make_mut(&mut empty.layouts[1]).cups.clear();
    let comparison = compared(&empty);
    assert!(
        comparison.sentence().contains("Two round has no result for every motion"),
        "{}",
        comparison.sentence()
    );
    assert_eq!(row(&comparison, "Factor, lift").figures[1], CompareFigure::Words("no result".to_owned()));
    assert_eq!(row(&comparison, "Factor, lift").better, Some(0));

    let mut idle = narrow();
    idle.motions.clear();
    assert!(compared(&idle).sentence().starts_with("There are no motions yet"));
    let project = narrow();
    assert_eq!(compare(&mut Analyst::new(), &project, &[]).sentence(), "No layout to compare.");
    let missing = compare(&mut Analyst::new(), &project, &[LayoutId(1), ids(&project)[0]]);
    assert_eq!(missing.layouts.len(), 1);
}

#[test]
fn copies_are_equal_and_three_can_be_compared() {
    let mut project = narrow();
    let mut copy = Layout::clone(&project.layouts[1]);
    copy.id = LayoutId(901);
    copy.name = "Copy".to_owned();
    project.layouts.push(Arc::new(copy));
    let comparison = compare(&mut Analyst::new(), &project, &[LayoutId(900), LayoutId(901)]);
    assert!(comparison.rows.iter().all(|row| row.better.is_none()), "{:#?}", comparison.rows);
    assert!(
        comparison.sentence().contains("They carry the same at their worst motions"),
        "{}",
        comparison.sentence()
    );
    let three = compared(&project);
    assert!(three.rows.iter().all(|row| row.figures.len() == 3));
    assert_eq!(row(&three, "Factor, lift").better, Some(0));
}

#[test]
fn the_json_is_valid_and_pairs_findings() {
    let schema = serde_json::from_str(include_str!("../../schema/compare.schema.json")).expect("a JSON text");
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    for project in [narrow(), equal_area()] {
        let mut analyst = Analyst::new();
        let comparison = compare(&mut analyst, &project, &ids(&project));
        let reports: Vec<_> = ids(&project).iter().map(|id| analyst.check_whole(&project, *id)).collect();
        let text = compare_json("/home/someone/rail.ron", &project, &comparison, &reports);
        assert!(!text.contains("null") && !text.contains("NaN") && !text.contains("someone"));
        let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let problems: Vec<String> =
            validator.iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(problems.is_empty(), "{problems:#?}");
        assert_eq!(value["sentence"], comparison.sentence());
        assert_eq!(value["layouts"][1]["cups"], 2);
        let scope = value["findings"]
            .as_array()
            .expect("a list")
            .iter()
            .find(|finding| finding["rule"] == "scope.not_checked")
            .expect("in both");
        assert_eq!(scope["layouts"].as_array().map(Vec::len), Some(2));
        assert!(value["long_against_two"]["motions"].as_array().is_some_and(|list| list.len() == 3));
    }
}
