//! Many projects checked at once: one line each, worst first; and what another library would change.

use super::{COULD_NOT, TaskError};
use analysis::{Analyst, BatchLine, Report};
use document::{CupModel, Project, SourceModel};
use std::{
    io::Write,
    num::NonZero,
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex,
        atomic::{AtomicUsize, Ordering},
    },
};

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

/// One project worked out, or why it was not.
struct Done {
    name: String,
    outcome: Result<Checked, String>,
}
struct Checked {
    project: Project,
    reports: Vec<Arc<Report>>,
    /// With the library: names of what differs, and the line after.
    after: Option<(Vec<String>, BatchLine, Vec<Arc<Report>>)>,
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

fn reports_of(project: &Project) -> Vec<Arc<Report>> {
    let mut analyst = Analyst::new();
    project.layouts.iter().map(|layout| analyst.check_whole(project, layout.id)).collect()
}

fn work_out(path: &Path, name: &str, library: Option<&Library>) -> Result<Checked, String> {
    let (project, _) = document::open(path).map_err(|error| error.to_string())?;
    let reports = reports_of(&project);
    let after = library.map(|library| {
        let (with, differ) = analysis::with_library(&project, &library.models, &library.sources);
        let reports = if differ.is_empty() { reports.clone() } else { reports_of(&with) };
        (differ, analysis::batch_line(name, &with, &reports), reports)
    });
    Ok(Checked { project, reports, after })
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
                    let outcome = work_out(path, name, library.as_ref());
                    if let Ok(mut done) = done.lock() {
                        done.push(Done { name: name.clone(), outcome });
                    }
                }
            });
        }
    });
    let done = done.into_inner().unwrap_or_default();
    print(out, batch, done)
}

fn print(out: &mut impl Write, batch: &Batch<'_>, done: Vec<Done>) -> Result<u8, TaskError> {
    let mut status = 0;
    let mut checked = Vec::new();
    let mut unread = Vec::new();
    for Done { name, outcome } in done {
        match outcome {
            Ok(one) => {
                let shown = one.after.as_ref().map_or(&one.reports, |(_, _, reports)| reports);
                status = status.max(analysis::exit_code(shown));
                checked.push((analysis::batch_line(&name, &one.project, &one.reports), name, one));
            }
            Err(says) => unread.push((name, says)),
        }
    }
    // By what is decided now: with a library, the verdict after.
    checked.sort_by(|(a, _, x), (b, _, y)| {
        let line =
            |line: &BatchLine, one: &Checked| one.after.as_ref().map_or(line.clone(), |(_, l, _)| l.clone());
        line(a, x).worst_first(&line(b, y))
    });
    unread.sort();
    for (_, says) in &unread {
        writeln!(std::io::stderr(), "cupwright: {says}")?;
        status = COULD_NOT;
    }
    if batch.json {
        for (_, name, one) in &checked {
            let reports = one.after.as_ref().map_or(&one.reports, |(_, _, reports)| reports);
            writeln!(out, "{}", analysis::to_json(name, &one.project, reports))?;
        }
        return Ok(status);
    }
    let lines: Vec<BatchLine> = checked.iter().map(|(line, ..)| line.clone()).collect();
    if batch.library.is_none() {
        write!(out, "{}", analysis::batch_text(&lines))?;
    } else {
        let changes = checked.iter().filter_map(|(before, _, one)| {
            one.after.as_ref().map(|(differ, after, _)| (before, after, differ))
        });
        write!(out, "{}", analysis::library_text(changes))?;
    }
    for (name, _) in &unread {
        writeln!(out, "{name}: not read")?;
    }
    Ok(status)
}
