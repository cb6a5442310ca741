//! Brings older formats up to the one this program writes.
//!
//! When a format is added: its types go beside `v4`, the one before gets a step in [`OLDER`], and a file of every format stays in
//! `tests/fixtures`.

use super::{FORMAT, FileError, read, v4};

/// How a file of an older format is read: with its own types, and then up to the latest ones.
struct Older {
    format: u32,
    read: fn(&str, &str) -> Result<v4::Project, FileError>,
}

/// Formats before the latest that are still read.
///
/// A tool of format 3 carries one part. All that format 4 has beside it may be left out, so that its types read both: a layout that
/// names no seat carries its part with its datum on the tool's ([`crate::Layout::all_seats`]).
const OLDER: [Older; 1] = [Older { format: 3, read: read::parse }];

/// Reads text of a known format with that format's types and takes it up to the latest ones.
pub(super) fn to_latest(format: u32, text: &str, name: &str) -> Result<v4::Project, FileError> {
    by_steps(&OLDER, format, text, name)
}

fn by_steps(older: &[Older], format: u32, text: &str, name: &str) -> Result<v4::Project, FileError> {
    if format == FORMAT {
        return read::parse(text, name);
    }
    let path = name.to_owned();
    match older.iter().find(|step| step.format == format) {
        Some(step) => (step.read)(text, name),
        None if format > FORMAT => Err(FileError::Newer { found: format, known: FORMAT, path }),
        None => {
            let oldest = older.iter().map(|step| step.format).fold(FORMAT, u32::min);
            Err(FileError::Older { found: format, oldest, path })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Project, to_text};
    use serde::{Deserialize, Serialize};

    // An older format as there might have been: the project's name was its title, and there was neither review nor issue.
    v4::format_types! {
        Titled {
            format: u32,
            title: String,
            last_id: u32,
            site: v4::Site,
            rules: v4::Rules,
            cycle: v4::Cycle,
            sheet: v4::Sheet,
            parts: Vec<v4::Part>,
            circuits: Vec<v4::Circuit>,
            motions: Vec<v4::Motion>,
            layouts: Vec<v4::Layout>,
            trial: v4::Trial,
            accepted: Vec<v4::Accepted>,
            models: Vec<v4::Model>,
            sources: Vec<v4::Source>,
        }
    }
    impl From<Titled> for v4::Project {
        fn from(old: Titled) -> Self {
            Self {
                format: FORMAT,
                name: old.title,
                last_id: old.last_id,
                site: old.site,
                rules: old.rules,
                cycle: old.cycle,
                sheet: old.sheet,
                parts: old.parts,
                circuits: old.circuits,
                motions: old.motions,
                layouts: old.layouts,
                trial: old.trial,
                accepted: old.accepted,
                models: old.models,
                sources: old.sources,
                question: v4::Question::default(),
                review: v4::Review::default(),
                issued: Vec::new(),
                traced: None,
            }
        }
    }
    const TITLED: [Older; 1] =
        [Older { format: 2, read: |text, name| read::parse::<Titled>(text, name).map(Into::into) }];

    fn plain() -> (Project, String) {
        let text = include_str!("../../tests/fixtures/format-3-plain.ron");
        let older = text.replacen("format: 3,", "format: 2,", 1).replacen("\n    name: ", "\n    title: ", 1);
        (crate::from_text(text, "plain.ron").unwrap(), older)
    }

    #[test]
    fn an_older_file_is_taken_up_with_every_value() {
        let (now, older) = plain();
        let read = by_steps(&TITLED, 2, &older, "old.ron").unwrap();
        assert_eq!(to_text(&Project::from(read)), to_text(&now));
    }

    #[test]
    fn what_an_older_format_did_not_have_is_refused_there_with_its_line() {
        let (_, older) = plain();
        let mixed = older.replacen("    accepted: ", "    review: (),\n    accepted: ", 1);
        let error = by_steps(&TITLED, 2, &mixed, "old.ron").unwrap_err().to_string();
        assert!(error.contains("unknown field review") && error.starts_with("line "), "{error}");
    }

    #[test]
    fn what_is_older_or_newer_than_any_step_is_said() {
        let error = by_steps(&TITLED, 1, "(format: 1)", "old.ron").unwrap_err().to_string();
        assert!(error.contains("format 1") && error.contains("from format 2 on"), "{error}");
        let error = to_latest(2, "(format: 2)", "old.ron").unwrap_err().to_string();
        assert!(error.contains("format 2") && error.contains("from format 3 on"), "{error}");
        assert!(matches!(to_latest(5, "", "new.ron"), Err(FileError::Newer { found: 5, known: 4, .. })));
    }
}
