//! What the fields of a project are called, and what they measure.

mod table;

pub(crate) use table::RULES;
use table::{FIELDS, PLACES};
use units::Quantity;

/// A field in plain words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Field {
    /// As the file has it, with the kind of thing in front where another kind calls it otherwise: "cup.height_mm".
    pub key: &'static str,
    /// In a sentence: "gap between lips that is watched".
    pub name: &'static str,
    pub measure: Measure,
}

/// How the value of a field in the file reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Measure {
    /// In the quantity's base unit.
    Of(Quantity),
    /// Times this in the quantity's base unit.
    Scaled(Quantity, f64),
    /// A plain number and a unit that nobody picks.
    Fixed(&'static str),
    /// A plain number.
    Plain,
    /// A word of a list of choices, or of a longer list; yes and no.
    Choice,
    /// What a person wrote.
    Text,
    /// A part, by its number.
    Part,
    /// A circuit, by its number.
    Circuit,
    /// A cup model, by its id.
    Model,
    /// A source, by its id.
    Source,
}

/// What a field is called and how it reads, by the kind of thing it is of and its path in the file.
pub(crate) struct Told {
    /// "bore of the main hose", "attached mass 17".
    pub name: String,
    pub measure: Measure,
}

/// The name of a field by its path, "supply.main.bore_mm" or `attached[17].mass_kg`. A key that has no entry reads as the file
/// has it, without its unit.
pub(crate) fn told(kind: &str, path: &str) -> Told {
    let mut steps: Vec<(&str, Option<&str>)> = split(path).into_iter().map(step).collect();
    let Some((key, of)) = steps.pop() else { return Told { name: String::new(), measure: Measure::Plain } };
    let inner = steps.iter().map(|(key, _)| *key).next_back();
    let entry = find(kind, inner, key);
    let mut name = match (place(key).filter(|place| !place.is_empty()), of) {
        (Some(place), Some(of)) => format!("{place} {of}"),
        (Some(place), None) => place.to_owned(),
        (None, of) => {
            let name = entry.map_or_else(|| in_words(key), |field| field.name.to_owned());
            of.map_or(name.clone(), |of| format!("{name} {of}"))
        }
    };
    for (key, of) in steps.iter().rev() {
        match (place(key), of) {
            (Some("") | None, Some(of)) => name.push_str(&format!(" of {} {of}", in_words(key))),
            (Some(place), Some(of)) => name.push_str(&format!(" of {place} {of}")),
            (Some(""), None) => {}
            (Some(place), None) => name.push_str(&format!(" of the {place}")),
            (None, None) => name.push_str(&format!(" of {}", in_words(key))),
        }
    }
    Told { name, measure: entry.map_or_else(|| guess(key), |field| field.measure) }
}

/// Splits at the full stops that are not inside brackets.
fn split(path: &str) -> Vec<&str> {
    let mut depth = 0_usize;
    path.split(|c: char| {
        match c {
            '[' => depth += 1,
            ']' => depth = depth.saturating_sub(1),
            _ => {}
        }
        c == '.' && depth == 0
    })
    .collect()
}

/// `attached[17]` as its key and what is in brackets.
fn step(text: &str) -> (&str, Option<&str>) {
    match text.split_once('[') {
        Some((key, of)) => (key, Some(of.trim_end_matches(']'))),
        None => (text, None),
    }
}

fn find(kind: &str, inner: Option<&str>, key: &str) -> Option<&'static Field> {
    let with = |before: &str| {
        FIELDS.iter().chain(&RULES).find(|field| field.key.split_once('.') == Some((before, key)))
    };
    inner
        .and_then(with)
        .or_else(|| with(kind))
        .or_else(|| FIELDS.iter().chain(&RULES).find(|field| field.key == key))
}

fn place(key: &str) -> Option<&'static str> {
    PLACES.iter().find(|(held, _)| *held == key).map(|(_, name)| *name)
}

/// A list by its path: "cups", "lines of the revision table".
pub(crate) fn in_words_of_place(path: &str) -> String {
    let key = split(path).pop().map_or("", |last| step(last).0);
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
    ("_um", Measure::Fixed("µm")),
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
        let name = |kind: &str, path: &str| told(kind, path).name;
        assert_eq!(name("motion", "required_factor"), "required factor");
        assert_eq!(name("circuit", "supply.main.bore_mm"), "bore of the main hose");
        assert_eq!(name("part", "attached[17].mass_kg"), "mass of attached mass 17");
        assert_eq!(name("part", "attached[17]"), "attached mass 17");
        assert_eq!(name("circuit", "supply.valves[A.1].check_valve"), "check valve of valve of zone A.1");
        assert_eq!(name("cup", "height_mm"), "post height");
        assert_eq!(name("model", "height_mm"), "height");
        assert_eq!(told("model", "seal_minimum_n_mm").measure, Measure::Of(Quantity::LineForce));
        // Not in the table.
        assert_eq!(name("cup", "quite_new_mm"), "quite new");
        assert_eq!(told("cup", "quite_new_mm").measure, Measure::Of(Quantity::Length));
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
            let content = ["\n    review:", "\n    issued:"].iter().filter_map(|end| text.find(end)).min();
            let text = &text[..content.unwrap_or(text.len())];
            let text: String = text.lines().map(|line| line.split("//").next().unwrap_or_default()).collect();
            let outside_quotes: String = text.split('"').step_by(2).collect::<Vec<_>>().join("\n");
            for (before, _) in outside_quotes.match_indices(": ").map(|(at, _)| outside_quotes.split_at(at)) {
                let key = before.rsplit(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).next();
                let Some(key) = key.filter(|key| key.starts_with(|c: char| c.is_ascii_lowercase())) else {
                    continue;
                };
                looked_at += 1;
                let named = NEVER.contains(&key)
                    || place(key).is_some()
                    || FIELDS.iter().chain(&RULES).any(|field| {
                        field.key == key || field.key.split_once('.').is_some_and(|(_, held)| held == key)
                    });
                assert!(named, "{key} in {} has no name", path.display());
            }
        }
        assert!(looked_at > 1000, "{looked_at}");
    }

    /// As the project file has them: 500 kPa of feed are not 500 kPa above zero pressure.
    #[test]
    fn feed_pressures_are_above_the_atmosphere() {
        for key in ["feed_kpa", "rated_feed_kpa"] {
            let field = FIELDS.iter().find(|field| field.key == key);
            assert!(
                matches!(field.map(|field| field.measure), Some(Measure::Of(Quantity::FeedPressure))),
                "{key}"
            );
        }
    }

    #[test]
    fn no_key_stands_twice() {
        for (index, field) in FIELDS.iter().enumerate() {
            assert!(!FIELDS[index + 1..].iter().any(|other| other.key == field.key), "{}", field.key);
        }
    }
}
