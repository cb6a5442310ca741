//! Many projects checked at once: one line each, worst first; and what another library would change.

use super::{COULD_NOT, TaskError};
use analysis::{Analyst, BatchLine, LibraryLine, Report, Severity};
use document::{CupModel, SourceModel};
use std::{
    io::Write,
    num::NonZero,
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex,
        atomic::{AtomicUsize, Ordering},
    },
};
use units::UnitChoice;

/// Folders nested deeper than this are left alone: a link that leads back up must not go on for ever.
const DEEPEST: usize = 12;

/// What `check` was asked to do with many files.
pub(super) struct Batch<'a> {
    /// Files and folders.
    pub paths: &'a [PathBuf],
    /// A list of cup models or sources to work with in place of those that the projects hold.
    pub library: Option<&'a Path>,
    /// One JSON object a line instead of the table.
    pub json: bool,
}

/// Models and sources to work with in place of those that projects hold.
struct Library {
    models: Vec<CupModel>,
    sources: Vec<SourceModel>,
}

/// One project worked out.
enum Done {
    /// With what it holds itself: its line, and its JSON object where that is wanted.
    Own(BatchLine, Option<String>, u8),
    /// With another library.
    With(LibraryLine),
    /// Not read: its name and why.
    Unread(String, String),
}

/// Whether these paths ask for the table: a folder is among them.
pub(super) fn asked(paths: &[PathBuf]) -> bool {
    paths.iter().any(|path| path.is_dir())
}

/// The project files of a folder and the folders in it, by name; hidden ones and versions kept beside are passed over.
fn files_in(folder: &Path, deep: usize, found: &mut Vec<PathBuf>) -> Result<(), TaskError> {
    let refused = |error| TaskError::Output(crate::OutputError::Read { path: folder.to_owned(), error });
    let mut entries: Vec<PathBuf> =
        std::fs::read_dir(folder).map_err(refused)?.flatten().map(|entry| entry.path()).collect();
    entries.sort();
    for path in entries {
        let hidden = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
        if hidden {
            continue;
        }
        if path.is_dir() {
            if deep < DEEPEST {
                files_in(&path, deep + 1, found)?;
            }
        } else if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("ron")) {
            found.push(path);
        }
    }
    Ok(())
}

fn read_library(path: &Path) -> Result<Library, TaskError> {
    let text = crate::outputs::read_text(path)?;
    let name = path.display().to_string();
    let csv = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    if csv {
        let (models, problems) = exchange::read_models_csv(&text);
        for problem in &problems {
            writeln!(
                std::io::stderr(),
                "cupwright: {name}, line {}, {}: {}",
                problem.line,
                problem.column,
                problem.says
            )?;
        }
        return Ok(Library { models, sources: Vec::new() });
    }
    // A list says by its entries whether it holds models or sources.
    match document::models_from_text(&text, &name) {
        Ok(models) => Ok(Library { models, sources: Vec::new() }),
        Err(error) => match document::sources_from_text(&text, &name) {
            Ok(sources) => Ok(Library { models: Vec::new(), sources }),
            Err(_) => Err(error.into()),
        },
    }
}

fn work_out(path: &Path, name: &str, library: Option<&Library>, json: bool) -> Done {
    let project = match document::open(path) {
        Ok((project, _)) => project,
        Err(error) => return Done::Unread(name.to_owned(), error.to_string()),
    };
    let mut analyst = Analyst::new();
    if let Some(Library { models, sources }) = library {
        return Done::With(analysis::library_line(&mut analyst, name, &project, models, sources));
    }
    let reports: Vec<Arc<Report>> =
        project.layouts.iter().map(|layout| analyst.check_whole(&project, layout.id)).collect();
    let line = analysis::batch_line(name, &project, &reports);
    let object = json.then(|| analysis::to_json(name, &project, &reports));
    Done::Own(line, object, analysis::exit_code(&reports))
}

/// Names that tell the files apart: relative to the folder they were found in.
fn listed(paths: &[PathBuf]) -> Result<Vec<(PathBuf, String)>, TaskError> {
    let mut listed = Vec::new();
    for path in paths {
        if path.is_dir() {
            let mut found = Vec::new();
            files_in(path, 0, &mut found)?;
            listed.extend(found.into_iter().map(|file| {
                let name = file.strip_prefix(path).unwrap_or(&file).display().to_string();
                (file, name)
            }));
        } else {
            let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
            listed.push((path.clone(), name));
        }
    }
    Ok(listed)
}

/// Checks every project on all cores and prints a line for each, worst first.
pub(super) fn check(out: &mut impl Write, batch: &Batch<'_>) -> Result<u8, TaskError> {
    let library = batch.library.map(read_library).transpose()?;
    let files = listed(batch.paths)?;
    let next = AtomicUsize::new(0);
    let done = Mutex::new(Vec::with_capacity(files.len()));
    let workers = std::thread::available_parallelism().map_or(1, NonZero::get).min(files.len());
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some((path, name)) = files.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let one = work_out(path, name, library.as_ref(), batch.json);
                    if let Ok(mut done) = done.lock() {
                        done.push(one);
                    }
                }
            });
        }
    });
    print(out, done.into_inner().unwrap_or_default(), library.is_some())
}

fn print(out: &mut impl Write, done: Vec<Done>, with_library: bool) -> Result<u8, TaskError> {
    let mut status = 0;
    let (mut own, mut with) = (Vec::new(), Vec::new());
    for one in done {
        match one {
            Done::Own(line, object, code) => {
                status = status.max(code);
                own.push((line, object));
            }
            Done::With(line) => {
                status = status.max(u8::from(line.after.severity == Severity::Fail));
                with.push(line);
            }
            Done::Unread(name, says) => {
                writeln!(std::io::stderr(), "cupwright: {says}")?;
                status = COULD_NOT;
                let line = BatchLine::unread(&name, &says);
                if with_library {
                    let (before, after) = (line.clone(), line);
                    with.push(LibraryLine { before, after, differ: Vec::new(), changes: Vec::new() });
                } else {
                    own.push((line, None));
                }
            }
        }
    }
    let units = UnitChoice::default();
    if with_library {
        write!(out, "{}", analysis::library_text(&with, &units))?;
        return Ok(status);
    }
    own.sort_by(|(a, _), (b, _)| a.order(b));
    if own.iter().any(|(_, object)| object.is_some()) {
        for object in own.iter().filter_map(|(_, object)| object.as_ref()) {
            writeln!(out, "{object}")?;
        }
        return Ok(status);
    }
    let lines: Vec<BatchLine> = own.into_iter().map(|(line, _)| line).collect();
    write!(out, "{}", analysis::batch_text(&lines, &units))?;
    Ok(status)
}
