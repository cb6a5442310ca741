//! What a field is called by its path in the file, as a difference has it.

use super::{ALL, Field, Measure};
use crate::FieldPath;
use units::Quantity;

/// What a field is called and how it reads, by the kind of thing it is of and its path in the file.
pub struct Told {
    /// "bore of the main hose", "attached mass 17".
    pub name: String,
    /// What it holds.
    pub measure: Measure,
}

/// Steps of a path on the way to a field, and lists whose elements come and go. An empty name is passed over.
const PLACES: &[(&str, &str)] = &[
    ("surface", ""),
    ("placement", ""),
    ("datum", ""),
    ("drawing", "drawing"),
    ("attached", "attached mass"),
    ("masses", "fitting"),
    ("keep_outs", "keep-out"),
    ("pairs", "the lip material"),
    ("frame", "piece of frame"),
    ("stroke", "stroke"),
    ("thresholds", "switch levels"),
    ("supply", ""),
    ("main", "main hose"),
    ("branch", "branches"),
    ("branches", "branch of cup"),
    ("line", ""),
    ("coil", "coil"),
    ("manifold", "manifold"),
    ("restrictor", "restrictor"),
    ("restriction", ""),
    ("filter", "filter"),
    ("operation", ""),
    ("exhaust", "exhaust"),
    ("silencer", "silencer"),
    ("valves", "valve of zone"),
    ("area_gripper", "cells"),
    ("revisions", "line of the revision table"),
    ("cups", "cups"),
    ("seats", "part on the tool"),
    ("stops", "stops"),
    ("layouts", "layouts"),
    ("motions", "motions"),
    ("circuits", "circuits"),
    ("parts", "parts"),
    ("models", "cup models"),
    ("sources", "sources"),
    ("accepted", "accepted findings"),
    ("entries", "entries"),
    ("curves", "curves"),
    ("order", "order"),
];

/// The name of a field by its path, "supply.main.bore_mm" or `attached[17].mass_kg`. A key that has no row reads as the file has
/// it, without its unit.
pub fn told(kind: &str, path: &FieldPath) -> Told {
    told_with(kind, path, &|_, _| None)
}

/// As [`told`], where `element` may name an element of a list otherwise than by what it is found by: list and that in, what it is
/// called out.
pub fn told_with(kind: &str, path: &FieldPath, element: &dyn Fn(&str, &str) -> Option<String>) -> Told {
    let order = path.is_order().then_some(("order", None));
    let mut steps: Vec<(&str, Option<&str>)> =
        path.steps().iter().map(|step| (step.key.as_str(), step.of.as_deref())).chain(order).collect();
    let Some((key, of)) = steps.pop() else { return Told { name: String::new(), measure: Measure::Plain } };
    let above: Vec<&str> = std::iter::once(kind).chain(steps.iter().map(|(key, _)| *key)).collect();
    let row = find(&above, key);
    let called =
        |place: &str, key: &str, of: &str| element(key, of).unwrap_or_else(|| format!("{place} {of}"));
    let mut name = match (place(key).filter(|place| !place.is_empty()), of) {
        (Some(place), Some(of)) => called(place, key, of),
        // A list and a number may go by one key: the number of sources of a circuit.
        (Some(place), None) if row.is_none_or(|row| above.len() < row.key.split('.').count() - 1) => {
            place.to_owned()
        }
        (_, of) => {
            let name = row.map_or_else(|| in_words(key), |field| field.name.to_owned());
            of.map_or(name.clone(), |of| format!("{name} {of}"))
        }
    };
    for (key, of) in steps.iter().rev() {
        match (place(key), of) {
            (Some("") | None, Some(of)) => name.push_str(&format!(" of {} {of}", in_words(key))),
            (Some(place), Some(of)) => name.push_str(&format!(" of {}", called(place, key, of))),
            (Some(""), None) => {}
            (Some(place), None) if name.ends_with(place) || name.starts_with(place) => {}
            (Some(place), None) => name.push_str(&format!(" of the {place}")),
            (None, None) => name.push_str(&format!(" of {}", in_words(key))),
        }
    }
    Told { name, measure: row.map_or_else(|| guess(key), |field| field.measure) }
}

/// The row that ends in a key and has most of the steps above it; the nearest to the kind of thing among equals.
fn find(above: &[&str], key: &str) -> Option<&'static Field> {
    let ends = |field: &&Field| field.key.rsplit('.').next() == Some(key);
    // Later rows win with max_by_key: the first is wanted.
    ALL.iter().rev().filter(ends).max_by_key(|field| {
        let steps = field.key.split('.').count() - 1;
        let met = field.key.split('.').take(steps).filter(|step| above.contains(step)).count();
        let own_kind = field.key.split('.').next() == above.first().copied();
        (own_kind, met, std::cmp::Reverse(steps))
    })
}

fn place(key: &str) -> Option<&'static str> {
    PLACES.iter().find(|(held, _)| *held == key).map(|(_, name)| *name)
}

/// A list by its path: "cups", "lines of the revision table".
pub fn list_in_words(path: &FieldPath) -> String {
    let key = path.steps().last().map_or("", |last| &last.key);
    place(key).map_or_else(|| in_words(key), str::to_owned)
}

/// Ends of keys that name a unit, the longer first.
const SUFFIXES: [(&str, Measure); 12] = [
    ("_deg_s2", Measure::Of(Quantity::TurnAcceleration)),
    ("_deg_s", Measure::Of(Quantity::TurnRate)),
    ("_n_mm", Measure::Of(Quantity::Stiffness)),
    ("_nl_min", Measure::Of(Quantity::Flow)),
    ("_kpa", Measure::Of(Quantity::VacuumLevel)),
    ("_deg", Measure::Of(Quantity::Angle)),
    ("_mm", Measure::Of(Quantity::Length)),
    ("_kg", Measure::Of(Quantity::Mass)),
    ("_g", Measure::Scaled(Quantity::Mass, 1e-3)),
    ("_um", Measure::Of(Quantity::Gap)),
    ("_s", Measure::Of(Quantity::Time)),
    ("_m", Measure::Of(Quantity::Altitude)),
];

fn guess(key: &str) -> Measure {
    SUFFIXES.iter().find(|(end, _)| key.ends_with(end)).map_or(Measure::Plain, |(_, measure)| *measure)
}

/// A key in words, without its unit: "required_factor" reads "required factor".
fn in_words(key: &str) -> String {
    let bare = SUFFIXES.iter().find_map(|(end, _)| key.strip_suffix(end)).unwrap_or(key);
    bare.replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_read_as_a_person_says_them() {
        let path = |steps: &[&str]| {
            steps.iter().fold(FieldPath::default(), |path, step| match step.split_once('[') {
                Some((list, of)) => path.with(list).element(of.trim_end_matches(']')),
                None => path.with(step),
            })
        };
        let told = |kind: &str, steps: &[&str]| told(kind, &path(steps));
        let name = |kind: &str, steps: &[&str]| told(kind, steps).name;
        assert_eq!(name("motion", &["required_factor"]), "required factor");
        assert_eq!(name("motion", &["stroke", "mm"]), "stroke");
        assert_eq!(name("circuit", &["supply", "main", "bore_mm"]), "bore of the main hose");
        assert_eq!(name("circuit", &["supply", "manifold", "bore_mm"]), "bore of the manifold");
        assert_eq!(name("circuit", &["supply", "sources"]), "number of sources");
        assert_eq!(name("circuit", &["supply", "manifold"]), "manifold");
        assert_eq!(name("part", &["attached[17]", "mass_kg"]), "mass of attached mass 17");
        assert_eq!(name("part", &["attached[17]"]), "attached mass 17");
        assert_eq!(name("part", &["placement", "turn_deg"]), "turn tolerance");
        assert_eq!(
            name("circuit", &["supply", "valves[A.1]", "check_valve"]),
            "check valve of valve of zone A.1"
        );
        assert_eq!(name("cup", &["height_mm"]), "post height");
        assert_eq!(name("model", &["height_mm"]), "height");
        assert_eq!(name("tool", &["frame[3]", "height_mm"]), "height above the lips of piece of frame 3");
        assert_eq!(told("model", &["seal_minimum_n_mm"]).measure, Measure::Of(Quantity::LineForce));
        let branch = path(&["supply", "branches[17]", "bore_mm"]);
        assert_eq!(super::told("circuit", &branch).name, "bore of branch of cup 17");
        let tag = |list: &str, of: &str| (list == "branches").then(|| format!("branch {of} by tag"));
        assert_eq!(told_with("circuit", &branch, &tag).name, "bore of branch 17 by tag");
        assert_eq!(super::told("layout", &FieldPath::of("cups").order()).name, "order of the cups");
        // Not in the table.
        assert_eq!(name("cup", &["quite_new_mm"]), "quite new");
        assert_eq!(told("cup", &["quite_new_mm"]).measure, Measure::Of(Quantity::Length));
    }

    /// Keys that no line of a difference names: ids, lists of things that are told one by one, and what is told in short.
    const NEVER: [&str; 16] = [
        "format", "id", "last_id", "trial", "tool", "cycle", "outer", "holes", "rules", "site", "sheet",
        "rule", "layout", "cup", "subject", "motion",
    ];

    /// Every key of the files that come with the program has a name, so that a new one cannot be forgotten.
    #[test]
    fn every_key_of_the_files_has_a_name() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        let files = ["demo-projects", "assets/library", "crates/document/tests/fixtures"]
            .iter()
            .flat_map(|folder| std::fs::read_dir(root.join(folder)).into_iter().flatten().flatten())
            .map(|entry| entry.path())
            .filter(|path| path.extension().is_some_and(|extension| extension == "ron"));
        let mut looked_at = 0;
        for path in files {
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            // What stands behind the content is told by no difference.
            let content = ["\n    question:", "\n    review:", "\n    issued:"]
                .iter()
                .filter_map(|end| text.find(end))
                .min();
            let text = &text[..content.unwrap_or(text.len())];
            let text: String = text.lines().map(|line| line.split("//").next().unwrap_or_default()).collect();
            let outside_quotes: String = text.split('"').step_by(2).collect::<Vec<_>>().join("\n");
            for (before, _) in outside_quotes.match_indices(": ").map(|(at, _)| outside_quotes.split_at(at)) {
                let key = before.rsplit(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).next();
                let Some(key) = key.filter(|key| key.starts_with(|c: char| c.is_ascii_lowercase())) else {
                    continue;
                };
                looked_at += 1;
                let row = ALL.iter().any(|field| field.key.rsplit('.').next() == Some(key));
                let named = NEVER.contains(&key) || place(key).is_some() || row;
                assert!(named, "{key} in {} has no name", path.display());
            }
        }
        assert!(looked_at > 1000, "{looked_at}");
    }

    /// As the project file has them: 500 kPa of feed are not 500 kPa above zero pressure.
    #[test]
    fn feed_pressures_are_above_the_atmosphere() {
        for field in ALL.iter().filter(|field| field.key.ends_with("feed_kpa")) {
            assert_eq!(field.measure, Measure::Of(Quantity::FeedPressure), "{}", field.key);
        }
    }
}
