//! The difference as JSON, of whole demos, and its properties.

use crate::changes;
use crate::common;

use changes::*;
use common::*;
use document::{Layout, LayoutId, MassBy, Motion, Project, Sourced, Thing};
use glam::DVec2;
use proptest::prelude::*;
use std::sync::Arc;
use telling::{Difference, difference_json};

fn validator() -> jsonschema::Validator {
    let schema = serde_json::from_str(include_str!("../../schema/diff.schema.json")).expect("a JSON text");
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
            assert_eq!(text, changes::text(&old, &new, &between(&old, &new)), "the same every time");
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
        5 => {
            // The edit before may have taken a motion away.
            if let Some(last) = new.motions.last_mut() {
                Arc::make_mut(last).acceleration.x = 1.0 + 4.0 * amount;
            }
        }
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
        prop_assert_eq!(&itself.findings, &telling::FindingChanges::default());

        let (there, back) = (between(&old, &new), between(&new, &old));
        prop_assert_eq!(there.changes.len(), back.changes.len());
        let swapped = |list: &[telling::FindingChange]| {
            let mut list: Vec<String> = list
                .iter()
                .map(|change| format!("{:?} {:?}", change.after, change.before))
                .collect();
            list.sort();
            list
        };
        let straight = |list: &[telling::FindingChange]| {
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
