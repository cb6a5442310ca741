//! The command line: the same checks, drawings and sheets as in the window, for scripts and reviews.

use crate::outputs::{Choices, Output, Subject};
use analysis::Analyst;
use arguments::{Arguments, SheetUnit, Task};
use checked::{Checked, called, checked};
use clap::Parser as _;
use document::Project;
use error::{COULD_NOT, TaskError};
use places::{Places, object};
use printer::{Printer, tell};
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};
use units::UnitChoice;

mod apart;
mod arguments;
mod batch;
mod checked;
mod diff;
mod display;
mod drawing;
mod error;
mod places;
mod printer;
mod progress;
mod propose;
mod text;

/// Reads the arguments, does what they say, and gives the exit status.
pub fn main() -> ExitCode {
    apart::say_faults_plainly();
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            let asked = !error.use_stderr();
            // Help that nobody waits for was printed; help that found no room was not.
            let printed = match error.print() {
                Err(failed) => failed.kind() == std::io::ErrorKind::BrokenPipe,
                Ok(()) => true,
            };
            return if asked && printed { ExitCode::SUCCESS } else { ExitCode::from(COULD_NOT) };
        }
    };
    match apart::apart(|| run(arguments)).unwrap_or_else(|says| Err(TaskError::Inside(says))) {
        Ok(status) => ExitCode::from(status),
        Err(error) => {
            tell(&error.to_string());
            ExitCode::from(COULD_NOT)
        }
    }
}

fn run(arguments: Arguments) -> Result<u8, TaskError> {
    let mut out = Printer::new(std::io::stdout().lock());
    let status = carry_out(arguments, &mut out)?;
    // What is buffered may still find no room.
    out.finish()?;
    Ok(status)
}

fn carry_out(arguments: Arguments, out: &mut Printer<'_>) -> Result<u8, TaskError> {
    match arguments.command {
        None => window(|| crate::run_window(arguments.file)),
        Some(Task::Review { file, beside }) => {
            // Said here, where a script sees it, rather than in a window.
            for file in std::iter::once(&file).chain(&beside) {
                document::open(file)?;
            }
            window(|| crate::run_review(file, beside))
        }
        Some(Task::Check { rules: true, .. }) => {
            for rule in analysis::catalogue() {
                out.line(&format!("{}: {}", rule.id, rule.title))?;
                for (word, says) in [("", rule.explains), ("fail: ", rule.fail), ("watch: ", rule.watch)] {
                    out.line(&format!("  {word}{says}"))?;
                }
            }
            Ok(0)
        }
        Some(Task::Check { defaults: true, .. }) => {
            text::print_defaults(out)?;
            Ok(0)
        }
        Some(Task::Check { files, json, library, .. }) => {
            if library.is_some() || batch::asked(&files) {
                let batch = batch::Batch { paths: &files, library: library.as_deref(), json };
                return batch::check(out, &batch);
            }
            check(out, &files, json)
        }
        Some(Task::Diff { files, revision, json, output, unit, force }) => {
            let wanted = diff::Wanted { units: units_in(unit), json, output: output.as_deref(), force };
            diff::diff(out, &files, &revision, &wanted)
        }
        Some(Task::Compare { file, layouts, json, output, force }) => {
            compare(out, &file, &layouts, json, output, force)
        }
        Some(Task::Sheet {
            file,
            output,
            paper,
            portrait,
            mirrored,
            layout,
            compare,
            dpi,
            unit,
            checklist,
            pdf_a,
            force,
        }) => {
            let orientation =
                if portrait { sheet::Orientation::Portrait } else { sheet::Orientation::Landscape };
            let units = units_in(unit);
            let options =
                sheet::SheetOptions { paper: paper.into(), orientation, units, mirrored, checklist };
            let choices = Choices {
                sheet: options,
                comparison: !compare.is_empty(),
                dpi,
                archival: pdf_a,
                ..Choices::default()
            };
            let wanted = [(Output::SHEET, output)];
            let layouts = Layouts { shown: layout.as_deref(), compared: &compare };
            export(out, &file, &layouts, units, &choices, &wanted, force)
        }
        Some(Task::Propose { file, asked, layout, json, output, force }) => {
            let mut task = propose::Task { file: &file, layout: None, asked: &asked, json, output, force };
            propose::permitted(&task)?;
            let (project, _) = document::open(&file)?;
            let names: Vec<String> = layout.into_iter().collect();
            task.layout = named_layouts(&project, &names)?.first().copied();
            propose::propose(out, &project, &task)
        }
        Some(Task::Import { drawing, output, reading, json, force }) => {
            drawing::import(out, &drawing, &output, &reading.options(), json, force)
        }
        Some(Task::Export { file, wanted, dxf_version, dpi, unit, layout, force }) => {
            let choices = Choices { dxf: dxf_version.into(), dpi, ..Choices::default() };
            let layouts = Layouts { shown: layout.as_deref(), compared: &[] };
            export(out, &file, &layouts, units_in(unit), &choices, &wanted.0, force)
        }
    }
}

/// Names of layouts as they were typed.
struct Layouts<'a> {
    /// Of the one that is written; the first without it.
    shown: Option<&'a str>,
    /// Of those that are compared.
    compared: &'a [String],
}

fn export(
    out: &mut Printer<'_>,
    file: &Path,
    layouts: &Layouts<'_>,
    units: UnitChoice,
    choices: &Choices,
    wanted: &[(Output, PathBuf)],
    force: bool,
) -> Result<u8, TaskError> {
    let places = Places { wanted, read: &[file], force };
    places.permitted()?;
    let (project, _) = document::open(file)?;
    let shown: Vec<String> = layouts.shown.map(str::to_owned).into_iter().collect();
    let shown = named_layouts(&project, &shown)?.first().copied();
    let shown = shown.ok_or_else(|| TaskError::Layouts("the project has no layout".to_owned()))?;
    let compared =
        if layouts.compared.is_empty() { Vec::new() } else { named_layouts(&project, layouts.compared)? };
    let name = called(file);
    let mut analyst = Analyst::new();
    let mut subject = Subject::new(&name, Arc::new(project), shown, units, &mut analyst);
    (subject.compared, subject.choices) = (compared, choices.clone());
    subject.keys = Some(crate::shortcuts::groups);
    let made = progress::told(&format!("checking {name}"), String::new, || places.made(&mut subject))?;
    places.put(out, &made)?;
    Ok(0)
}

fn units_in(unit: SheetUnit) -> UnitChoice {
    match unit {
        SheetUnit::Mm => UnitChoice::default(),
        SheetUnit::In => UnitChoice::inch_pound(),
    }
}

fn window(open: impl FnOnce() -> Result<(), String>) -> Result<u8, TaskError> {
    open().map(|()| 0).map_err(|says| TaskError::Window(display::no_window(&says)))
}

/// The layouts of these names, or all; a name that is not there is an error that lists those that are.
fn named_layouts(project: &Project, names: &[String]) -> Result<Vec<document::LayoutId>, TaskError> {
    if names.is_empty() {
        return Ok(project.layouts.iter().map(|l| l.id).collect());
    }
    let listed = || project.layouts.iter().map(|l| format!("'{}'", l.name)).collect::<Vec<_>>().join(", ");
    names
        .iter()
        .map(|name| {
            let found = project.layouts.iter().find(|l| l.name == *name);
            let found = found.or_else(|| project.layouts.iter().find(|l| l.name.eq_ignore_ascii_case(name)));
            found.map(|l| l.id).ok_or_else(|| {
                TaskError::Layouts(format!("there is no layout '{name}'; the project has {}", listed()))
            })
        })
        .collect()
}

fn compare(
    out: &mut Printer<'_>,
    file: &Path,
    names: &[String],
    json: bool,
    output: Option<PathBuf>,
    force: bool,
) -> Result<u8, TaskError> {
    let wanted: Vec<(Output, PathBuf)> = output.into_iter().map(|path| (Output::COMPARED, path)).collect();
    let places = Places { wanted: &wanted, read: &[file], force };
    let instead = places.instead_of_text(json)?;
    places.permitted()?;
    let (project, _) = document::open(file)?;
    let layouts = named_layouts(&project, names)?;
    let (first, units) = (layouts.first().copied(), UnitChoice::default());
    let (first, name) = (first.unwrap_or(document::LayoutId(0)), called(file));
    let mut analyst = Analyst::new();
    let mut subject = Subject::new(&name, Arc::new(project), first, units, &mut analyst);
    subject.compared.clone_from(&layouts);
    places.put(out, &places.made(&mut subject)?)?;
    if instead {
        // The pages take the place of the text.
    } else if json {
        out.json(&object(Output::COMPARISON, &mut subject)?)?;
    } else if let Some(comparison) = subject.comparison() {
        out.lines(&telling::compare_text(&comparison, &units))?;
    }
    Ok(telling::exit_code(&subject.reports_of(&layouts)))
}

fn check(out: &mut Printer<'_>, files: &[PathBuf], json: bool) -> Result<u8, TaskError> {
    let mut status = 0;
    for file in files {
        let name = called(file);
        let doing = format!("checking {name}");
        let done = apart::apart(|| progress::told(&doing, String::new, || checked(file, &name, json)))
            .unwrap_or_else(|says| Err(TaskError::Inside(format!("{}: {says}", file.display()))));
        match done {
            Ok(Checked { project, reports, object }) => {
                if let Some(object) = object {
                    out.json(&object)?;
                } else {
                    for report in &reports {
                        text::print_report(out, &name, &project, report, reports.len() > 1)?;
                    }
                }
                status = status.max(telling::exit_code(&reports));
            }
            // One unreadable file does not keep the others from being checked.
            Err(error) => {
                let says = error.to_string();
                if json {
                    out.json(&telling::unread_json(&name, &says))?;
                }
                tell(&says);
                status = COULD_NOT;
            }
        }
    }
    Ok(status)
}
