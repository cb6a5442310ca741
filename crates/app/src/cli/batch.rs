//! Many projects checked at once: one line each, worst first; and what another library would change.

use super::{
    apart::apart,
    checked::{Checked, called, checked},
    error::{COULD_NOT, TaskError},
    printer::{Printer, tell},
};
use analysis::{Analyst, Severity};

use document::{CupModel, Project, SourceModel};
use std::{
    collections::HashSet,
    fs,
    num::NonZero,
    path::{Path, PathBuf},
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
    },
};
use telling::{BatchLine, LibraryLine};
use units::UnitChoice;

/// Folders nested deeper than this are not looked into, which is said.
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
    /// Mistakes in the list: the entries that have them were left out.
    problems: Vec<String>,
}

impl Library {
    /// Whether the project holds anything that this list has too.
    fn concerns(&self, project: &Project) -> bool {
        project.models.iter().any(|held| self.models.iter().any(|model| model.id == held.id))
            || project.sources.iter().any(|held| self.sources.iter().any(|source| source.id == held.id))
    }
}

/// One project worked out.
enum Done {
    /// With what it holds itself: its line, and its JSON object where that is wanted.
    Own(BatchLine, Option<String>, u8),
    /// With another library, and whether the project holds anything of it.
    With(LibraryLine, bool),
    /// Not read: its name and why.
    Unread(String, String),
}

/// Whether these paths ask for the table: a folder is among them.
pub(super) fn asked(paths: &[PathBuf]) -> bool {
    paths.iter().any(|path| path.is_dir())
}

/// What is to be checked, and what could not be looked into.
#[derive(Default)]
struct Listed {
    files: Vec<(PathBuf, String)>,
    unread: Vec<(String, String)>,
    /// Folders that were looked into: a link that leads back up is not followed again.
    seen: HashSet<PathBuf>,
}

impl Listed {
    /// The project files of a folder and the folders in it, by name; hidden ones and versions kept beside are passed over.
    fn folder(&mut self, root: &Path, folder: &Path, deep: usize) {
        let name = |path: &Path| path.strip_prefix(root).unwrap_or(path).display().to_string();
        if !self.seen.insert(fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned())) {
            return;
        }
        let read = fs::read_dir(folder).and_then(|entries| {
            entries.map(|entry| entry.map(|entry| entry.path())).collect::<Result<Vec<PathBuf>, _>>()
        });
        let mut entries = match read {
            Ok(entries) => entries,
            Err(error) => {
                let says = crate::OutputError::Read { path: folder.to_owned(), error }.to_string();
                return self.unread.push((called(folder), says));
            }
        };
        entries.sort();
        for path in entries {
            let hidden = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
            if hidden {
                continue;
            }
            if path.is_dir() {
                if deep < DEEPEST {
                    self.folder(root, &path, deep + 1);
                } else {
                    let says = format!(
                        "not searched, it is more than {DEEPEST} folders deep; name it directly: {}",
                        path.display()
                    );
                    self.unread.push((called(&path), says));
                }
            } else if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("ron")) {
                let name = name(&path);
                self.files.push((path, name));
            }
        }
    }

    /// Names that tell the files apart: relative to the folder they were found in.
    fn of(paths: &[PathBuf]) -> Self {
        let mut listed = Self::default();
        for path in paths {
            if !path.is_dir() {
                listed.files.push((path.clone(), called(path)));
                continue;
            }
            let before = (listed.files.len(), listed.unread.len());
            listed.seen.clear();
            listed.folder(path, path, 0);
            if before == (listed.files.len(), listed.unread.len()) {
                let says = format!(
                    "nothing to check, there is no project (.ron) in this folder: {}",
                    path.display()
                );
                listed.unread.push((called(path), says));
            }
        }
        listed
    }
}

fn read_library(path: &Path) -> Result<Library, TaskError> {
    let text = crate::outputs::read_text(path)?;
    let name = path.display().to_string();
    let csv = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let library = if csv { library_from_table(&text, &name) } else { library_from_list(&text, &name)? };
    if library.models.is_empty() && library.sources.is_empty() {
        for problem in &library.problems {
            tell(problem);
        }
        let says = format!("nothing to check with, the list holds no cup model and no source: {name}");
        return Err(TaskError::Asked(says));
    }
    Ok(library)
}

/// A table says by its columns whether it holds models or sources.
fn library_from_table(text: &str, name: &str) -> Library {
    let told = |problems: Vec<exchange::RowProblem>| {
        let one = |p: exchange::RowProblem| {
            let column = if p.column.is_empty() { String::new() } else { format!(", {}", p.column) };
            format!("{name}, line {}{column}: {}", p.line, p.says)
        };
        problems.into_iter().map(one).collect()
    };
    let (models, problems) = exchange::read_models_csv(text);
    if models.is_empty() {
        let read = exchange::sources_from_csv(text, name);
        if !read.sources.is_empty() {
            return Library { models, sources: read.sources, problems: told(read.diagnostics) };
        }
    }
    Library { models, sources: Vec::new(), problems: told(problems) }
}

/// A list says by its entries whether it holds models or sources.
fn library_from_list(text: &str, name: &str) -> Result<Library, TaskError> {
    match document::models_from_text(text, name) {
        Ok(models) => Ok(Library { models, sources: Vec::new(), problems: Vec::new() }),
        Err(error) => match document::sources_from_text(text, name) {
            Ok(sources) => Ok(Library { models: Vec::new(), sources, problems: Vec::new() }),
            Err(_) => Err(error.into()),
        },
    }
}

fn work_out(path: &Path, name: &str, library: Option<&Library>, json: bool) -> Done {
    if let Some(library) = library {
        let project = match document::open(path) {
            Ok((project, _)) => project,
            Err(error) => return Done::Unread(name.to_owned(), error.to_string()),
        };
        let Library { models, sources, .. } = library;
        let line = telling::library_line(&mut Analyst::new(), name, &project, models, sources);
        return Done::With(line, library.concerns(&project));
    }
    match checked(path, name, json) {
        Ok(Checked { project, reports, object }) => {
            let line = telling::batch_line(name, &project, &reports);
            Done::Own(line, object, telling::exit_code(&reports))
        }
        Err(error) => Done::Unread(name.to_owned(), error.to_string()),
    }
}

/// Checks every project on all cores and prints a line for each, worst first.
pub(super) fn check(out: &mut Printer<'_>, batch: &Batch<'_>) -> Result<u8, TaskError> {
    let library = batch.library.map(read_library).transpose()?;
    let Listed { files, unread, .. } = Listed::of(batch.paths);
    let next = AtomicUsize::new(0);
    let done: Vec<Done> = unread.into_iter().map(|(name, says)| Done::Unread(name, says)).collect();
    let done = Mutex::new(done);
    let workers = std::thread::available_parallelism().map_or(1, NonZero::get).min(files.len());
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some((path, name)) = files.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let one = apart(|| work_out(path, name, library.as_ref(), batch.json));
                    let one = one.unwrap_or_else(|says| {
                        Done::Unread(name.clone(), format!("{}: {says}", path.display()))
                    });
                    done.lock().unwrap_or_else(PoisonError::into_inner).push(one);
                }
            });
        }
    });
    let done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    print(out, done, library.as_ref(), batch)
}

fn print(
    out: &mut Printer<'_>,
    done: Vec<Done>,
    library: Option<&Library>,
    batch: &Batch<'_>,
) -> Result<u8, TaskError> {
    let mut status = 0;
    let (mut own, mut with) = (Vec::new(), Vec::new());
    let mut concerned = false;
    for one in done {
        match one {
            Done::Own(line, object, code) => {
                status = status.max(code);
                own.push((line, object));
            }
            Done::With(line, concerns) => {
                status = status.max(u8::from(line.after.severity == Severity::Fail));
                concerned |= concerns;
                with.push(line);
            }
            Done::Unread(name, says) => {
                tell(&says);
                status = COULD_NOT;
                let line = BatchLine::unread(&name, &says);
                if library.is_some() {
                    let (before, after) = (line.clone(), line);
                    with.push(LibraryLine { before, after, differ: Vec::new(), changes: Vec::new() });
                } else {
                    let object = batch.json.then(|| telling::unread_json(&name, &says));
                    own.push((line, object));
                }
            }
        }
    }
    let units = UnitChoice::default();
    if let Some(library) = library {
        out.lines(&telling::library_text(&with, &units))?;
        for problem in &library.problems {
            tell(problem);
            status = COULD_NOT;
        }
        if !concerned {
            tell(
                "nothing was checked with the list: no project here holds any of its cup models or sources, by id",
            );
            status = COULD_NOT;
        }
        return Ok(status);
    }
    own.sort_by(|(a, _), (b, _)| a.order(b));
    if batch.json {
        for object in own.iter().filter_map(|(_, object)| object.as_ref()) {
            out.json(object)?;
        }
        return Ok(status);
    }
    let lines: Vec<BatchLine> = own.into_iter().map(|(line, _)| line).collect();
    out.lines(&telling::batch_text(&lines, &units))?;
    Ok(status)
}
