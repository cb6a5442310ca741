//! Every number of a file has a range, in one table: on opening it is a problem and nothing is altered, on entering it is refused.
use crate::common;

use document::*;
use std::{
    collections::{HashMap, HashSet},
    fs,
    path::Path,
    sync::Arc,
};
use units::{LengthUnit, UnitChoice};

/// Texts of projects that have every kind of thing between them.
fn texts() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let paths = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let demos = paths.filter(|path| path.extension().is_some_and(|e| e == "ron"));
    let mut texts: Vec<(String, String)> = demos
        .map(|path| {
            (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(path).unwrap())
        })
        .collect();
    texts.push(("the tray of these tests".to_owned(), to_text(&common::tray())));
    texts.sort();
    texts
}

/// Places of numbers outside quotation marks, with the name of the field they stand in.
fn numbers(text: &str) -> Vec<(String, (usize, usize))> {
    let bytes = text.as_bytes();
    let (mut found, mut at, mut quoted, mut name) = (Vec::new(), 0, false, String::new());
    while at < bytes.len() {
        let in_name = |b: u8| b.is_ascii_alphanumeric() || b == b'_';
        match bytes[at] {
            b'\\' if quoted => at += 1,
            b'"' => quoted = !quoted,
            b'/' if !quoted && bytes.get(at + 1) == Some(&b'/') => {
                at += bytes[at..].iter().take_while(|b| **b != b'\n').count();
                continue;
            }
            b if !quoted && (b.is_ascii_alphabetic() || b == b'_') => {
                let end = at + bytes[at..].iter().take_while(|b| in_name(**b)).count();
                if bytes.get(end) == Some(&b':') || bytes.get(end) == Some(&b'(') {
                    name = text[at..end].to_owned();
                }
                at = end;
                continue;
            }
            b'0'..=b'9' | b'-' if !quoted => {
                let more = |b: &&u8| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'e' | b'+');
                let end = at + bytes[at..].iter().take_while(more).count();
                found.push((name.clone(), (at, end)));
                at = end;
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    found
}

#[test]
fn every_number_of_the_file_has_a_range() {
    let mut met: HashSet<&'static str> = HashSet::new();
    for (file, text) in texts() {
        let mut times: HashMap<String, usize> = HashMap::new();
        for (name, (from, to)) in numbers(&text) {
            let times = times.entry(name.clone()).or_default();
            *times += 1;
            // A place on the plan that a remark is pinned to is no figure of the content.
            if *times > 4 || name == "Place" {
                continue;
            }
            let mut spoilt = text.clone();
            spoilt.replace_range(from..to, "1e200");
            // A whole number, or one of a revision that was issued, cannot be so large in a file that opens.
            let Ok(project) = from_text(&spoilt, "spoilt.ron") else { continue };
            // What is frozen in a revision is checked when somebody looks at that revision.
            if project.issued.iter().any(|issued| issued.is_altered()) {
                continue;
            }
            let line = text[..from].matches('\n').count() + 1;
            let problems = project.problems();
            let out = problems.iter().find_map(|p| p.out_of_range.as_ref());
            let out = out.unwrap_or_else(|| panic!("{file}:{line} {name} has no range: {problems:#?}"));
            met.insert(out.field.key);
            assert_eq!(out.value, 1e200, "{file}:{line} {name}: {out:?}");
            // Told in short, and the file keeps its figure.
            let problem = problems.iter().find(|p| p.out_of_range.is_some()).unwrap();
            assert!(
                problem.says.len() < 200 && ["e19", "e20"].iter().any(|power| problem.says.contains(power)),
                "{}",
                problem.says
            );
            assert!(to_text(&project).contains("e200"), "{file}:{line}");
        }
    }
    let numbers: Vec<_> = fields().iter().filter(|field| field.is_number()).collect();
    let unmet: Vec<&str> = numbers.iter().map(|field| field.key).filter(|key| !met.contains(key)).collect();
    println!("{} of {} rows met, not {unmet:?}", met.len(), numbers.len());
    assert!(met.len() * 10 > numbers.len() * 8, "{unmet:?}");
}

#[test]
fn rows_are_sound() {
    let mut keys = HashSet::new();
    let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
    for field in fields().iter().filter(|field| field.is_number()) {
        assert!(keys.insert(field.key), "{} occurs twice", field.key);
        assert!(field.least < field.most && field.least.is_finite() && field.most.is_finite(), "{field:?}");
        assert!(field.allows(field.least) && field.allows(field.most) && !field.allows(f64::NAN));
        assert!(
            !field.why(&inch).is_empty() && !field.why(&inch).ends_with('.') && !field.name.ends_with(' '),
            "{field:?}"
        );
        for units in [UnitChoice::default(), inch] {
            let range = field.range(&units);
            assert!(range.len() < 60 && !range.contains("NaN") && !range.contains("inf"), "{range}");
        }
    }
}

fn sound() -> Project {
    Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0))
}
fn thickness(p: &Project, thickness_mm: f64) -> Edit {
    let part = Part { thickness_mm, ..Part::clone(&p.parts[0]) };
    Edit::ChangePart { part: Arc::new(part), what: String::new() }
}

#[test]
fn an_entered_figure_out_of_range_is_refused_in_the_persons_unit() {
    let project = sound();
    let error = thickness(&project, 1e308).apply(&project).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the thickness of part Tray blank is 1e308 mm, nothing was changed; enter 0.0001 mm to 5000 mm (from a foil to a \
         block)"
    );
    let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
    let says = thickness(&project, -1.27).apply(&project).unwrap_err().in_units(&inch);
    assert!(
        says.starts_with("the thickness of part Tray blank is \u{2212}0.05 in, nothing was changed;"),
        "{says}"
    );
    assert!(says.contains("enter 0.00000394 in to 196 in"), "{says}");
    for bad in [0.0, -1.0, 1e160, -1e308, 1e30, f64::NAN, f64::INFINITY] {
        assert!(thickness(&project, bad).apply(&project).is_err(), "{bad}");
    }
    assert!(thickness(&project, 3.0).apply(&project).is_ok());
}

/// A file with a remark far off opens, since nothing is worked out from it; to make one is refused.
#[test]
fn a_remark_on_a_place_far_off_is_refused() {
    let project = sound();
    let layout = project.layouts[0].id;
    let on = |x: f64| {
        let remark = Remark {
            id: RemarkId(project.next_id()),
            pin: Pin::Place(layout, glam::dvec2(x, 20.0)),
            called: "a place".into(),
            text: "What is here?".into(),
            by: "M. Huber".into(),
            on: "2026-03-01".into(),
            of: project.fingerprint(),
            answers: Vec::new(),
            resolved: None,
        };
        Edit::AddRemark(remark).apply(&project)
    };
    let made = on(310.5).unwrap();
    let text = to_text(&made).replace("310.5", "1e200");
    let far = from_text(&text, "far.ron").unwrap();
    assert_eq!(far.problems(), made.problems());
    let says = on(1e200).unwrap_err().to_string();
    assert!(
        says.starts_with("the place of remark") && says.contains("enter \u{2212}100000 mm to 100000 mm"),
        "{says}"
    );
    assert!(on(f64::NAN).is_err());
}

#[test]
fn what_was_out_of_range_before_stands_in_nobodys_way() {
    let mut project = sound();
    Arc::make_mut(&mut project.parts[0]).thickness_mm = 1e9;
    // Another field of the same part, and a mend.
    let part = Part { material: "birch".into(), ..Part::clone(&project.parts[0]) };
    let other = Edit::ChangePart { part: Arc::new(part), what: String::new() };
    assert_eq!(other.apply(&project).unwrap().parts[0].thickness_mm, 1e9);
    assert_eq!(thickness(&project, 3.0).apply(&project).unwrap().problems(), []);
    // Not another one as wrong.
    assert!(thickness(&project, 2e9).apply(&project).is_err());
    // A copy of what is there.
    let copy = Part { id: PartId(90), ..Part::clone(&project.parts[0]) };
    assert!(Edit::AddPart(Arc::new(copy)).apply(&project).is_ok());
}

#[test]
fn a_merge_keeps_the_figure_and_tells_of_it() {
    let base = sound();
    let mine = Edit::RenameProject("Tray line 3".into()).apply(&base).unwrap();
    let mut theirs = base.clone();
    theirs.site.altitude_m = 1e30;
    let merged = merge(&base, &mine, &theirs).project(&[]).unwrap();
    assert_eq!((&*merged.name, merged.site.altitude_m), ("Tray line 3", 1e30));
    let problems = merged.problems();
    assert_eq!(problems[0].says, "the altitude of the site is 1e30 m");
    assert_eq!(problems[0].subject, Subject::Site);
}

#[test]
fn a_number_that_is_none_is_refused_by_its_field() {
    let text = to_text(&sound()).replacen("altitude_m: 0.0", "altitude_m: NaN", 1);
    let error = from_text(&text, "nan.ron").unwrap_err().to_string();
    assert!(error.contains("altitude_m of the site is not a finite number"), "{error}");
}
