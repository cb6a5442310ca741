//! What changed between two states of a project.

use super::{
    checked::called,
    error::TaskError,
    places::{Places, object},
    printer::Printer,
};
use crate::outputs::{Before, Output, Subject};
use analysis::Analyst;
use document::Project;
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};
use units::UnitChoice;

/// How many arguments git gives to a difference driver: path, old file, its hash and mode, new file, its hash and mode.
const FROM_GIT: usize = 7;

/// One side: what it is called, and its content where there is one.
struct Side {
    name: String,
    project: Option<Project>,
}

fn file(path: &Path) -> Result<Side, TaskError> {
    // Git names the null device where a file was added or removed.
    if path == Path::new("/dev/null") || path == Path::new("nul") {
        return Ok(Side { name: "nothing".to_owned(), project: None });
    }
    let (project, _) = document::open(path)?;
    Ok(Side { name: called(path), project: Some(project) })
}

fn revision(project: &Project, name: &str, index: &str) -> Result<Side, TaskError> {
    let found = project.issued.iter().find(|issued| issued.index.eq_ignore_ascii_case(index));
    let Some(issued) = found else {
        let there: Vec<&str> = project.issued.iter().map(|issued| issued.index.as_str()).collect();
        let there = if there.is_empty() {
            "none was issued yet".to_owned()
        } else {
            format!("it has {}", there.join(", "))
        };
        return Err(TaskError::Asked(format!("there is no revision '{index}' in the file, {there}: {name}")));
    };
    Ok(Side { name: format!("{name}, {}", issued.called()), project: Some((*issued.content).clone()) })
}

fn sides(files: &[PathBuf], revisions: &[String]) -> Result<[Side; 2], TaskError> {
    let two = "name an earlier and a later file, or one file and one or two of its revisions";
    match (files, revisions) {
        (given, []) if given.len() == FROM_GIT => {
            let mut sides = [file(&given[1])?, file(&given[4])?];
            // The temporary files that git hands over have names nobody knows.
            for side in sides.iter_mut().filter(|side| side.project.is_some()) {
                side.name = called(&given[0]);
            }
            Ok(sides)
        }
        ([old, new], []) => Ok([file(old)?, file(new)?]),
        ([only], wanted) => {
            let (project, _) = document::open(only)?;
            let name = called(only);
            let now = |project: Project| Side { name: format!("{name}, as it is"), project: Some(project) };
            match wanted {
                [] => match project.issued.last().map(|issued| issued.index.clone()) {
                    Some(last) => Ok([revision(&project, &name, &last)?, now(project)]),
                    None => Err(TaskError::Asked(format!("no revision was issued yet, {two}: {name}"))),
                },
                [since] => Ok([revision(&project, &name, since)?, now(project)]),
                [from, to] => Ok([revision(&project, &name, from)?, revision(&project, &name, to)?]),
                _ => Err(TaskError::Asked(two.to_owned())),
            }
        }
        _ => Err(TaskError::Asked(two.to_owned())),
    }
}

/// How a difference is wanted.
pub(super) struct Wanted<'a> {
    /// Of text and pages.
    pub units: UnitChoice,
    /// One JSON object instead of text.
    pub json: bool,
    /// Pages with plans, too.
    pub output: Option<&'a Path>,
    /// Replace what is there.
    pub force: bool,
}

/// Prints what changed.
pub(super) fn diff(
    out: &mut Printer<'_>,
    files: &[PathBuf],
    revisions: &[String],
    wanted: &Wanted<'_>,
) -> Result<u8, TaskError> {
    let read: Vec<&Path> = files.iter().map(PathBuf::as_path).collect();
    let pages: Vec<(Output, PathBuf)> =
        wanted.output.iter().map(|path| (Output::CHANGES, path.to_path_buf())).collect();
    let places = Places { wanted: &pages, read: &read, force: wanted.force };
    let instead = places.instead_of_text(wanted.json)?;
    places.permitted()?;
    let [old, new] = sides(files, revisions)?;
    let added = old.project.is_none();
    let (before, after) = match (old.project, new.project) {
        (Some(before), Some(after)) => (before, after),
        (Some(only), None) | (None, Some(only)) => {
            if wanted.output.is_some() {
                let says = "no pages were written: one side has nothing to draw";
                return Err(TaskError::Asked(says.to_owned()));
            }
            let name = if added { &new.name } else { &old.name };
            if wanted.json {
                out.json(&telling::one_sided_json(name, &only, added))?;
            } else {
                out.line(&format!("{name}: {}", if added { "added" } else { "removed" }))?;
            }
            return Ok(0);
        }
        (None, None) => {
            return Err(TaskError::Asked("there is nothing on either side to compare".to_owned()));
        }
    };
    let layout = after.layouts.first().map_or(document::LayoutId(0), |l| l.id);
    let mut analyst = Analyst::new();
    let mut subject = Subject::new(&new.name, Arc::new(after), layout, wanted.units, &mut analyst);
    let before = Before { name: old.name, project: Arc::new(before), difference: None };
    subject.beside = Some(before.clone());
    places.put(out, &places.made(&mut subject)?)?;
    if instead {
        return Ok(0);
    }
    if wanted.json {
        out.json(&object(Output::DIFFERENCE, &mut subject)?)?;
    } else if let Some(difference) = subject.difference() {
        let (old, now) = (&before.project, &subject.project);
        out.line(&format!("{} → {}", before.name, new.name))?;
        out.lines(&telling::difference_text(old, now, &difference, &wanted.units))?;
    }
    Ok(0)
}
