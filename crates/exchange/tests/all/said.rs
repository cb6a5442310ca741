//! What is told of drawings and tables speaks in the units and with the decimal mark that a person picked.

use exchange::{ImportOptions, messages, read_drawing};
use std::{fs, path::Path};
use units::UnitChoice;

#[path = "../../../../tests/said/mod.rs"]
mod rules;

use rules::{metric, none, pointed};

/// Every drawing that the tests and the demos have.
fn drawings() -> Vec<std::path::PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![root.join("tests/drawings"), root.join("../../demo-projects")];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let ending = path.extension().unwrap_or_default().to_string_lossy().to_lowercase();
            if path.is_dir() {
                folders.push(path);
            } else if ["dxf", "svg", "pdf"].contains(&ending.as_str()) {
                found.push(path);
            }
        }
    }
    found.sort();
    assert!(found.len() > 40, "{}", found.len());
    found
}

/// Everything that is told of every drawing, read in a few ways.
fn told(units: &UnitChoice) -> Vec<String> {
    let usual = ImportOptions::default();
    let ways = [
        usual.clone(),
        ImportOptions { gap_mm: 0.0, auto_gap: false, ..usual.clone() },
        ImportOptions { gap_mm: 1.5, inside: Some(glam::DVec2::splat(1e6)), ..usual },
    ];
    let mut all = Vec::new();
    for path in drawings() {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        for options in &ways {
            match read_drawing(&path, options) {
                Ok(drawing) => {
                    for message in messages(&drawing, units) {
                        let other = message.other.map(|(other, _)| other).unwrap_or_default();
                        all.extend([message.says, message.place, other]);
                    }
                    all.extend(drawing.scale_check.map(|check| check.says.says(units)));
                }
                Err(error) => all.push(error.says(units).replace(&name, "")),
            }
        }
    }
    assert!(all.len() > 300, "{}", all.len());
    all
}

/// A table with a mistake of every kind that is told with a figure.
fn of_tables(units: &UnitChoice) -> Vec<String> {
    let sources = "name;kind;level;flow [L/min];feed;flow share;level share;air\n\
        Odd;pump;0;170\n;;40;171\n;;30;10\n\
        Fed;ejector;0;60;500;1;1;100\n;;;;400;0.9;0.9;90\n";
    let models = "name;shape;length;width;corner;bore;height;travel;axial;lateral;hardness\n\
        Wide;rectangle;20;30;0;4;10;2;1;1;50\nRound;rectangle;40;30;20;4;10;2;1;1;50\nOpen;round;20;;;25;10;2;1;1;50\n";
    let mut problems = exchange::sources_from_csv(sources, "s.csv").diagnostics;
    problems.extend(exchange::read_models_csv(models).1);
    problems.extend(exchange::read_level_curve("time s, level kPa\n0, 0\n1, 120\n", units).unwrap_err());
    let says: Vec<String> = problems.iter().map(|problem| problem.says.says(units)).collect();
    for word in
        ["comes after", "rises from", "more than the length", "half the width", "not less than", "no level"]
    {
        assert!(says.iter().any(|says| says.contains(word)), "{word}: {says:#?}");
    }
    says
}

#[test]
fn what_is_told_of_drawings_and_tables_in_inches_has_no_metric_unit() {
    let units = UnitChoice::inch_pound();
    let all = told(&units).into_iter().chain(of_tables(&units));
    none(all.filter_map(|text| Some(format!("\"{}\" in \"{text}\"", metric(&text)?))).collect());
}

#[test]
fn what_is_told_of_drawings_and_tables_with_decimal_commas_has_no_decimal_point() {
    let units = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
    let all = told(&units).into_iter().chain(of_tables(&units));
    none(all.filter_map(|text| Some(format!("\"{}\" in \"{text}\"", pointed(&text)?))).collect());
}
