//! Many projects at once, and what another library would make of them.

use crate::common;

use analysis::{Analyst, Severity, with_library};

use common::circuits::{fed, pump};
use common::*;
use document::{CupModel, Layout, LayoutId, Project, Sourced};
use proptest::prelude::*;
use std::{cmp::Ordering, sync::Arc};
use telling::{BatchLine, batch_line, batch_text, library_line, library_text};
use units::UnitChoice;

/// Four round cups of 50 mm that lift so many kilogrammes.
fn lifting(kg: f64) -> Project {
    let model = model("round-50", round(50.0), 1.0);
    let at = corners((300.0, 200.0), 200.0, 100.0);
    project(plate(600.0, 400.0, kg), model, &at, vec![still(1, "Lift", 2.0)])
}

fn line(file: &str, project: &Project) -> BatchLine {
    let mut analyst = Analyst::new();
    let reports: Vec<_> = project.layouts.iter().map(|layout| analyst.check(project, layout.id)).collect();
    batch_line(file, project, &reports)
}

#[test]
fn worst_first_and_one_line_each() {
    // 4 x 95.4 N against kg x g: 4.87, 1.08 (watched below 1.15), 0.97 and 0.49 of what is required.
    let mut lines: Vec<BatchLine> =
        [("light", 4.0), ("near", 18.0), ("heavy", 20.0), ("heaviest", 40.0), ("b light", 4.0)]
            .map(|(file, kg)| line(&format!("jobs/{file}.ron"), &lifting(kg)))
            .to_vec();
    lines.push(BatchLine::unread("jobs/torn.ron", "line 3: expected a number"));
    let mut empty = lifting(4.0);
    edit_layout(&mut empty, |layout| layout.cups.clear());
    lines.push(line("jobs/empty.ron", &empty));
    let text = batch_text(&lines, &UnitChoice::default());
    let files: Vec<&str> = text.lines().skip(1).filter_map(|line| line.split_whitespace().nth(2)).collect();
    assert_eq!(
        files,
        [
            "jobs/torn.ron",
            "jobs/empty.ron",
            "jobs/heaviest.ron",
            "jobs/heavy.ron",
            "jobs/near.ron",
            "jobs/b",
            "jobs/light.ron"
        ]
    );
    assert_eq!(text.lines().count(), 1 + lines.len());
    assert!(text.starts_with("verdict  least  file "), "{text}");
    let heavy = text.lines().find(|line| line.contains("jobs/heavy.ron")).expect("a line");
    let figure = lines[2].figure.expect("a figure");
    assert!((figure - 4.0 * holds(50.0, LEVEL) / (20.0 * units::STANDARD_GRAVITY) / 2.0).abs() < 1e-9);
    assert!(
        heavy.starts_with("fail     0.97 ") && heavy.contains("factor 1.95 of the 2.00 required"),
        "{heavy}"
    );
    assert!(
        text.contains("fail     none   jobs/torn.ron      Not read: line 3: expected a number\n"),
        "{text}"
    );
    assert_eq!(batch_text(&[], &UnitChoice::default()), "");
    let comma = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
    assert!(batch_text(&lines, &comma).contains("fail     0,97 "));
}

#[test]
fn of_several_layouts_the_worst_is_told_by_name() {
    let mut project = lifting(4.0);
    let mut second = Layout { id: LayoutId(900), name: "B".to_owned(), ..Layout::clone(&project.layouts[0]) };
    second.cups[0].at.x = 10.0;
    project.layouts.push(Arc::new(second));
    let told = line("tray.ron", &project);
    assert_eq!((told.severity, told.layout.as_str()), (Severity::Fail, "B"));
    assert!(
        batch_text(&[told], &UnitChoice::default())
            .contains("  B: Does not hold as drawn: C1 overhangs the edge by 15.0 mm")
    );
    let mut idle = lifting(4.0);
    idle.layouts.clear();
    let none = line("tray.ron", &idle);
    assert_eq!((none.severity, none.sentence.as_str()), (Severity::Fail, "No layout to check"));
}

#[test]
fn a_ratio_just_short_never_reads_as_met() {
    let kg = 2.0 * holds(50.0, LEVEL) / units::STANDARD_GRAVITY * 1.001;
    let told = line("tray.ron", &lifting(kg));
    assert_eq!(told.severity, Severity::Fail);
    assert!(told.figure.expect("a figure") > 0.998);
    assert!(batch_text(&[told], &UnitChoice::default()).contains("fail     0.99 "));
}

fn library(project: &Project, edit: impl Fn(&mut CupModel)) -> Vec<CupModel> {
    let mut models: Vec<CupModel> = project.models.iter().map(|model| model.as_ref().clone()).collect();
    models.iter_mut().for_each(edit);
    models.push(model("another", round(10.0), 1.0));
    models
}

#[test]
fn entries_of_the_same_id_are_replaced_and_nothing_else() {
    let project = fed();
    let (same, differ) = with_library(&project, &library(&project, |_| {}), &[pump()]);
    assert_eq!((same, differ), (project.clone(), Vec::new()));
    let weaker = document::SourceModel { power_w: 99.0, ..pump() };
    let models = library(&project, |model| model.seal_minimum_n_mm = Sourced::stated(0.2));
    let (after, differ) = with_library(&project, &models, &[weaker]);
    assert_eq!(differ, ["round-50", "Test pump"]);
    assert_eq!(after.models.len(), project.models.len(), "none is added");
    assert_eq!(after.models[0].seal_minimum_n_mm.value, 0.2);
    assert_eq!(after.sources[0].power_w, 99.0);
    assert_eq!(
        Project { models: project.models.clone(), sources: project.sources.clone(), ..after },
        project
    );
    // Once replaced, nothing differs any more.
    let (replaced, _) = with_library(&project, &models, &[]);
    assert_eq!(with_library(&replaced, &models, &[]).1, Vec::<String>::new());
}

#[test]
fn a_library_that_changes_a_verdict_is_told_with_what_changed() {
    let (tight, loose) = (lifting(17.0), lifting(4.0));
    let models = library(&tight, |model| model.sealing_share = Sourced::stated(0.8));
    let mut analyst = Analyst::new();
    let mut other = lifting(4.0);
    Arc::make_mut(&mut other.models[0]).id = "own".into();
    edit_layout(&mut other, |layout| layout.cups.iter_mut().for_each(|cup| cup.model = "own".into()));
    let lines = [("loose.ron", &loose), ("tight.ron", &tight), ("other.ron", &other)]
        .map(|(file, project)| library_line(&mut analyst, file, project, &models, &[]));
    assert!(lines[1].changes_verdict() && !lines[0].changes_verdict() && !lines[2].changes_verdict());
    assert_eq!(lines[1].differ, ["round-50"]);
    assert!(lines[2].differ.is_empty() && lines[2].changes.is_empty());
    // Area goes with the square of the sealing line.
    let [before, after] = [&lines[1].before, &lines[1].after].map(|line| line.figure.expect("a figure"));
    assert!((after / before - (0.8f64 / SHARE).powi(2)).abs() < 1e-9);
    let text = library_text(&lines, &UnitChoice::default());
    assert!(text.starts_with("With this library 1 verdict of 3 projects changes.\n\nbefore"), "{text}");
    let rows: Vec<&str> = text.lines().skip(3).take(3).collect();
    assert!(
        rows[0].contains("tight.ron") && rows[0].starts_with("watch 1.14") && rows[0].contains("fail 0.90"),
        "{text}"
    );
    assert!(rows.iter().any(|row| row.contains("other.ron") && row.ends_with("nothing")), "{text}");
    assert!(
        text.contains("\n  Cup model round-50: sealing line from 90.0 % (stated) to 80.0 % (stated)\n"),
        "{text}"
    );
    assert_eq!(text.matches("Cup model round-50: ").count(), 1, "only of what changes a verdict");
    let same = [lines[0].clone()];
    assert!(
        library_text(&same, &UnitChoice::default())
            .starts_with("With this library no verdict of 1 project changes.\n")
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// The order is one of all lines, whatever order they come in.
    #[test]
    fn the_table_does_not_depend_on_the_order_of_the_files(
        masses in prop::collection::vec(1.0..60.0f64, 2..6),
        turn in 0..6usize,
    ) {
        let lines: Vec<BatchLine> = masses
            .iter()
            .enumerate()
            .map(|(index, kg)| line(&format!("{index}.ron"), &lifting(*kg)))
            .collect();
        let mut turned = lines.clone();
        turned.rotate_left(turn % lines.len());
        let text = batch_text(&lines, &UnitChoice::default());
        prop_assert_eq!(&text, &batch_text(&turned, &UnitChoice::default()));
        turned.sort_by(BatchLine::order);
        for pair in turned.windows(2) {
            prop_assert!(pair[0].order(&pair[1]) == Ordering::Less);
            prop_assert!(pair[0].severity >= pair[1].severity);
            let heavier = |line: &BatchLine| masses[line.file[..1].parse::<usize>().expect("a number")];
            prop_assert!(heavier(&pair[0]) >= heavier(&pair[1]));
        }
    }
}

/// Demos as they come with the library as it comes: what was handed out still says the same.
#[test]
fn the_demos_and_the_library_that_comes_with_the_program() {
    let models: Vec<CupModel> = document::library().iter().map(|model| model.as_ref().clone()).collect();
    for project in demos() {
        let line = library_line(&mut Analyst::new(), "demo.ron", &project, &models, &[]);
        assert!(!line.changes_verdict(), "{}: {:?}", project.name, line.changes);
        let half: Vec<CupModel> = models
            .iter()
            .map(|model| CupModel { sealing_share: Sourced::stated(0.2), ..model.clone() })
            .collect();
        let (after, differ) = with_library(&project, &half, &[]);
        assert!(!differ.is_empty(), "{}", project.name);
        let report = Analyst::new().check(&after, layout(&after));
        assert_eq!(batch_line("demo.ron", &after, &[report]).severity, Severity::Fail, "{}", project.name);
    }
}
