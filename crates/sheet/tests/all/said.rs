//! What stands on the sheet speaks in the units and with the decimal mark that were asked for.

use analysis::Analyst;
use document::{Project, from_text};
use sheet::{SheetOptions, compose, compose_with_comparison};
use std::{fs, path::Path, sync::Arc};
use units::UnitChoice;

#[path = "../../../../tests/said/mod.rs"]
mod rules;

use rules::{metric, none, pointed};

fn demos() -> Vec<(String, Project)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "ron"));
    paths.sort();
    assert!(paths.len() > 6);
    let name = |path: &Path| path.file_stem().unwrap().to_string_lossy().into_owned();
    let read = |path: &Path| from_text(&fs::read_to_string(path).unwrap(), &name(path)).unwrap();
    paths.iter().map(|path| (name(path), without_words_of_people(read(path)))).collect()
}

/// What people have called and written stays as they wrote it.
fn without_words_of_people(mut project: Project) -> Project {
    project.accepted.clear();
    project.issued.clear();
    project.review = Arc::default();
    for (at, motion) in project.motions.iter_mut().enumerate() {
        Arc::make_mut(motion).name = format!("Motion {at}");
    }
    for (at, source) in project.sources.iter_mut().enumerate() {
        Arc::make_mut(source).name = format!("Source {at}");
    }
    for (at, model) in project.models.iter_mut().enumerate() {
        Arc::make_mut(model).name = format!("Model {at}");
    }
    project
}

/// Every text of the sheet of every demo, layouts side by side where there are several.
fn said(units: UnitChoice) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for (name, project) in demos() {
        let mut analyst = Analyst::with_units(units);
        let options = SheetOptions { units, ..SheetOptions::default() };
        let ids: Vec<_> = project.layouts.iter().map(|layout| layout.id).collect();
        let project = Arc::new(project);
        let reports: Vec<_> = ids.iter().map(|id| analyst.check_whole(&project, *id)).collect();
        let pages = if ids.len() > 1 {
            let compared = telling::compare(&mut analyst, &project, &ids);
            let reports: Vec<&analysis::Report> = reports.iter().map(Arc::as_ref).collect();
            compose_with_comparison(&project, reports[0], &compared, &reports, &options)
        } else {
            compose(&project, &reports[0], &options)
        };
        all.extend(pages.iter().flat_map(|page| page.texts()).map(|text| (name.clone(), text.text.clone())));
    }
    assert!(all.len() > 2000, "{}", all.len());
    all
}

#[test]
fn an_inch_sheet_has_no_metric_unit() {
    let found = said(UnitChoice::inch_pound())
        .into_iter()
        .filter_map(|(demo, text)| Some(format!("{demo}: \"{}\" in \"{text}\"", metric(&text)?)));
    none(found.collect());
}

#[test]
fn a_sheet_with_decimal_commas_has_no_decimal_point() {
    let comma = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
    let found = said(comma)
        .into_iter()
        .filter_map(|(demo, text)| Some(format!("{demo}: \"{}\" in \"{text}\"", pointed(&text)?)));
    none(found.collect());
}
