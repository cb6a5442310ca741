//! Text back into a project, with errors that name the line and the field.

use super::{FileError, check, convert, error::in_short, migrate, place, v4};
use crate::{CupModel, Project, SourceModel};
use ron::error::SpannedError;
use serde::{Deserialize, de::DeserializeOwned};

/// Larger files are refused unread: a project of a thousand cups and a hundred thousand vertices is under 8 MB.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;
/// The format nests fifteen deep.
const DEEPEST: usize = 32;

/// Reads the text of a project; `name` is what messages call it.
///
/// # Errors
/// Where and what is wrong with the text, that its format is newer than this program, or that its contents contradict
/// each other.
///
/// ```
/// let error = document::from_text("(format: 99, name: \"Tray\")", "tray.ron").unwrap_err();
/// assert!(error.to_string().contains("format 99"));
/// ```
pub fn from_text(text: &str, name: &str) -> Result<Project, FileError> {
    if text.len() as u64 > MOST_BYTES {
        return Err(FileError::TooLarge {
            bytes: text.len() as u64,
            most: MOST_BYTES,
            path: name.to_owned(),
        });
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(FileError::Empty { path: name.to_owned() });
    }
    let mut file = migrate::to_latest(format_of(text, name)?, text, name)?;
    let issued = std::mem::take(&mut file.issued);
    let mut project = Project::from(file);
    let contents = |wrong| contradiction(wrong, text, name);
    check::project(&mut project).map_err(contents)?;
    project.issued = convert::thaw(issued, &project).map_err(contents)?;
    check::issued(&mut project).map_err(contents)?;
    Ok(project)
}

/// What is wrong with contents, with the line where it stands.
fn contradiction(wrong: check::Wrong, text: &str, name: &str) -> FileError {
    let line = place::line_of(text, &wrong.at);
    FileError::Contents { says: in_short(wrong.says), line, path: name.to_owned() }
}

/// Reads a list of cup models as `assets/library/cup-models.ron` is one.
///
/// # Errors
/// Where and what is wrong with the text, or which model is there twice.
pub fn models_from_text(text: &str, name: &str) -> Result<Vec<CupModel>, FileError> {
    let models: Vec<v4::Model> = parse(text, name)?;
    let mut models: Vec<CupModel> = models.into_iter().map(CupModel::from).collect();
    check::models(&mut models).map_err(|wrong| contradiction(wrong, text, name))?;
    Ok(models)
}

/// Reads a list of sources as `assets/library/sources.ron` is one.
///
/// # Errors
/// Where and what is wrong with the text, or which source is there twice.
pub fn sources_from_text(text: &str, name: &str) -> Result<Vec<SourceModel>, FileError> {
    let sources: Vec<v4::Source> = parse(text, name)?;
    let mut sources: Vec<SourceModel> = sources.into_iter().map(SourceModel::from).collect();
    check::sources(&mut sources).map_err(|wrong| contradiction(wrong, text, name))?;
    Ok(sources)
}

/// Only the number of the format; everything else is passed over, so that a newer file can be told from a broken one.
#[derive(Deserialize)]
#[serde(rename = "Project")]
struct Head {
    #[serde(default, deserialize_with = "any")]
    format: Option<ron::Value>,
}
/// Without this, only `Some(1)` would do for an optional field.
fn any<'de, D: serde::Deserializer<'de>>(reader: D) -> Result<Option<ron::Value>, D::Error> {
    ron::Value::deserialize(reader).map(Some)
}

fn format_of(text: &str, name: &str) -> Result<u32, FileError> {
    // What the program writes says it first; then neither a newer grammar nor damage further down hides it.
    if let Some(format) = announced(text) {
        return Ok(format);
    }
    let head: Head = parse(text, name)?;
    match head.format {
        Some(ron::Value::Number(n))
            if (1.0..=f64::from(u32::MAX)).contains(&n.into_f64()) && n.into_f64().fract() == 0.0 =>
        {
            Ok(n.into_f64() as u32)
        }
        _ => Err(FileError::NoFormat { path: name.to_owned() }),
    }
}
/// Whether a text, or its start, looks like that of a project, sound or not: one that may hold somebody's work.
pub fn looks_like_project(text: &str) -> bool {
    let mut rest = text.trim_start_matches('\u{feff}').trim_start();
    while rest.starts_with("//") {
        let Some((_, after)) = rest.split_once('\n') else { return false };
        rest = after.trim_start();
    }
    let rest = rest.strip_prefix("Project").unwrap_or(rest).trim_start();
    rest.starts_with('(') && ["format", "layouts", "parts"].iter().any(|field| rest.contains(field))
}
/// The format, where it is the first thing after remarks.
fn announced(text: &str) -> Option<u32> {
    let mut rest = text.trim_start();
    while rest.starts_with("//") {
        rest = rest.split_once('\n')?.1.trim_start();
    }
    let rest = rest.strip_prefix('(')?.trim_start().strip_prefix("format")?.trim_start();
    let (number, _) = rest.strip_prefix(':')?.split_once([',', ')'])?;
    number.trim().parse().ok().filter(|format| *format > 0)
}

/// Reads a value and says line, column and field of what is wrong.
pub(super) fn parse<T: DeserializeOwned>(text: &str, name: &str) -> Result<T, FileError> {
    let options = ron::Options::default().with_recursion_limit(DEEPEST);
    let syntax = |error: SpannedError, field: String, rest: &str| FileError::Syntax {
        line: error.span.start.line,
        column: error.span.start.col,
        field,
        says: if rest.trim().is_empty() && is_about_form(&error.code) {
            "the text ends too early, it was cut short".to_owned()
        } else {
            in_short(plain(&error.code))
        },
        path: name.to_owned(),
    };
    let mut reader = ron::Deserializer::from_str_with_options(text, &options)
        .map_err(|e| syntax(e, String::new(), text))?;
    let value = T::deserialize(&mut reader).map_err(|e| {
        let rest = reader.remainder();
        let field = in_short(place::path_at(text, text.len() - rest.len()));
        syntax(reader.span_error(e), field, rest)
    })?;
    reader.end().map_err(|e| syntax(reader.span_error(e), String::new(), reader.remainder()))?;
    Ok(value)
}
/// Whether it is brackets, commas and the like that are wrong, not what they hold.
fn is_about_form(code: &ron::Error) -> bool {
    use ron::Error as E;
    !matches!(
        code,
        E::MissingStructField { .. }
            | E::DuplicateStructField { .. }
            | E::NoSuchStructField { .. }
            | E::NoSuchEnumVariant { .. }
            | E::InvalidValueForType { .. }
            | E::ExceededRecursionLimit
            | E::Message(_)
    )
}

/// What the RON library says, in the words of this program.
fn plain(code: &ron::Error) -> String {
    use ron::Error as E;
    match code {
        E::ExceededRecursionLimit => "brackets are nested too deep".to_owned(),
        E::TrailingCharacters => "there is more text after the end of the project".to_owned(),
        E::MissingStructField { field, .. } => format!("the field {field} is missing"),
        E::DuplicateStructField { field, .. } => format!("the field {field} occurs twice"),
        E::NoSuchStructField { found, expected, .. } => {
            format!("unknown field {found}; known here: {}", expected.join(", "))
        }
        E::NoSuchEnumVariant { found, expected, .. } => {
            format!("unknown choice {found}; known here: {}", expected.join(", "))
        }
        E::InvalidValueForType { expected, found } => format!("expected {expected}, found {found}"),
        E::ExpectedFloat | E::ExpectedInteger => "expected a number".to_owned(),
        E::ExpectedStringEnd => {
            "the text ends too early within quotation marks, or one of the marks is missing".to_owned()
        }
        E::ExpectedString => "expected text in quotation marks".to_owned(),
        E::ExpectedBoolean => "expected true or false".to_owned(),
        other => {
            let text = other.to_string();
            let mut letters = text.chars();
            letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
        }
    }
}
