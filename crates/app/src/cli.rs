//! The command line: the same checks, drawings and sheets as in the window, for scripts and reviews.

use crate::outputs::{OutputError, write_pages, write_whole};
use analysis::{Analyst, Report};
use arguments::{Arguments, DxfArgument, SheetUnit, Task};
use clap::Parser as _;
use document::Project;
use exchange::{DiagnosticSeverity, ImportOptions};
use std::{
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};
use units::UnitChoice;

mod arguments;
mod batch;
mod diff;
mod text;

/// Something could not be read, written or shown.
const COULD_NOT: u8 = 2;

/// Why a command could not be carried out.
#[derive(Debug, thiserror::Error)]
enum TaskError {
    #[error(transparent)]
    File(#[from] document::FileError),
    #[error(transparent)]
    Import(#[from] exchange::ImportError),
    #[error(transparent)]
    Output(#[from] OutputError),
    #[error("{0}")]
    Layouts(String),
    #[error("{0}")]
    Asked(String),
    #[error("could not print: {0}")]
    Print(#[from] std::io::Error),
    #[error("{0}")]
    Window(String),
}

/// Reads the arguments, does what they say, and gives the exit status.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            let asked = !error.use_stderr();
            let _ = error.print();
            return if asked { ExitCode::SUCCESS } else { ExitCode::from(COULD_NOT) };
        }
    };
    match run(arguments) {
        Ok(status) => ExitCode::from(status),
        // A reader that closes the pipe early has had enough; that is not an error.
        Err(TaskError::Print(error)) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "cupwright: {error}");
            ExitCode::from(COULD_NOT)
        }
    }
}

fn run(arguments: Arguments) -> Result<u8, TaskError> {
    let mut out = std::io::stdout().lock();
    match arguments.command {
        None => window(|| crate::run_window(arguments.file)),
        Some(Task::Review { file, beside }) => {
            // Said here, where a script sees it, rather than in a window.
            document::open(&file)?;
            window(|| crate::run_review(file, beside))
        }
        Some(Task::Check { rules: true, .. }) => {
            for rule in analysis::catalogue() {
                writeln!(
                    out,
                    "{}: {}\n  {}\n  fail: {}\n  watch: {}",
                    rule.id, rule.title, rule.explains, rule.fail, rule.watch
                )?;
            }
            Ok(0)
        }
        Some(Task::Check { files, json, library, .. }) => {
            if library.is_some() || batch::asked(&files) {
                let batch = batch::Batch { paths: &files, library: library.as_deref(), json };
                return batch::check(&mut out, &batch);
            }
            check(&mut out, &files, json)
        }
        Some(Task::Diff { files, revision, json, output, unit }) => {
            let wanted = diff::Wanted { units: units_in(unit), json, output: output.as_deref() };
            diff::diff(&mut out, &files, &revision, &wanted)
        }
        Some(Task::Compare { file, layouts, json }) => compare(&mut out, &file, &layouts, json),
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
        }) => {
            let orientation =
                if portrait { sheet::Orientation::Portrait } else { sheet::Orientation::Landscape };
            let units = units_in(unit);
            let options =
                sheet::SheetOptions { paper: paper.into(), orientation, units, mirrored, checklist };
            sheet_of(&file, layout.as_deref(), &compare, &options, dpi, &output)
        }
        Some(Task::Import { drawing, output, unit, gap, layer, json }) => {
            let options = ImportOptions {
                unit: unit.map(Into::into),
                gap_mm: gap,
                layers: (!layer.is_empty()).then_some(layer),
                ..ImportOptions::default()
            };
            import(&mut out, &drawing, &output, &options, json)
        }
        Some(Task::Export { file, csv, dxf, parts, hoses, findings, dxf_version, layout }) => {
            let (project, report) = one_checked(&file, layout.as_deref(), UnitChoice::default())?;
            if let Some(path) = csv {
                write_whole(&path, exchange::hole_table_csv(&project, &report).as_bytes())?;
            }
            if let Some(path) = parts {
                write_whole(&path, exchange::parts_list_csv(&project, report.layout).as_bytes())?;
            }
            if let Some(path) = hoses {
                write_whole(&path, exchange::hose_schedule_csv(&project, &report).as_bytes())?;
            }
            if let Some(path) = findings {
                write_whole(&path, exchange::findings_csv(&project, &report).as_bytes())?;
            }
            if let Some(path) = dxf {
                let version = match dxf_version {
                    DxfArgument::R12 => exchange::DxfVersion::R12,
                    DxfArgument::R2000 => exchange::DxfVersion::R2000,
                };
                let options = exchange::DxfOptions { version, ..exchange::DxfOptions::default() };
                if let Some(text) = exchange::layout_dxf(&project, &report, report.layout, &options) {
                    write_whole(&path, text.as_bytes())?;
                }
            }
            Ok(0)
        }
    }
}

fn units_in(unit: SheetUnit) -> UnitChoice {
    let length = match unit {
        SheetUnit::Mm => units::LengthUnit::Millimetre,
        SheetUnit::In => units::LengthUnit::Inch,
    };
    UnitChoice { length, ..UnitChoice::default() }
}

fn window(open: impl FnOnce() -> Result<(), String>) -> Result<u8, TaskError> {
    open().map(|()| 0).map_err(|e| {
        TaskError::Window(format!(
            "no window could be opened, {e}. Without a display use 'cupwright check FILE' or 'cupwright sheet FILE -o OUT.pdf'"
        ))
    })
}

/// A project and the whole report of one layout: the named one, or the first.
fn one_checked(
    path: &Path,
    layout: Option<&str>,
    units: UnitChoice,
) -> Result<(Project, Arc<Report>), TaskError> {
    let (project, _) = document::open(path)?;
    let names: Vec<String> = layout.map(str::to_owned).into_iter().collect();
    let layouts = named_layouts(&project, &names)?;
    let first =
        layouts.first().copied().ok_or_else(|| TaskError::Layouts("the project has no layout".to_owned()))?;
    let report = Analyst::with_units(units).check_whole(&project, first);
    Ok((project, report))
}

fn sheet_of(
    file: &Path,
    layout: Option<&str>,
    compared: &[String],
    options: &sheet::SheetOptions,
    dpi: f64,
    output: &Path,
) -> Result<u8, TaskError> {
    let (project, report) = one_checked(file, layout, options.units)?;
    let pages = if compared.is_empty() {
        sheet::compose(&project, &report, options)
    } else {
        let layouts = named_layouts(&project, compared)?;
        let mut analyst = Analyst::with_units(options.units);
        let comparison = analysis::compare(&mut analyst, &project, &layouts);
        let reports: Vec<Arc<Report>> = layouts.iter().map(|id| analyst.check_whole(&project, *id)).collect();
        let reports: Vec<&Report> = reports.iter().map(Arc::as_ref).collect();
        sheet::compose_with_comparison(&project, &report, &comparison, &reports, options)
    };
    write_pages(&pages, &project.name, dpi, output)?;
    Ok(0)
}

fn checked(path: &Path) -> Result<(Project, Vec<Arc<Report>>), TaskError> {
    let (project, _) = document::open(path)?;
    let mut analyst = Analyst::new();
    let reports = project.layouts.iter().map(|l| analyst.check_whole(&project, l.id)).collect();
    Ok((project, reports))
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
    out: &mut impl std::io::Write,
    file: &Path,
    names: &[String],
    json: bool,
) -> Result<u8, TaskError> {
    let (project, _) = document::open(file)?;
    let layouts = named_layouts(&project, names)?;
    let mut analyst = Analyst::new();
    let comparison = analysis::compare(&mut analyst, &project, &layouts);
    let reports: Vec<Arc<Report>> = layouts.iter().map(|id| analyst.check_whole(&project, *id)).collect();
    if json {
        let name = file.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        writeln!(out, "{}", analysis::compare_json(&name, &project, &comparison, &reports))?;
    } else {
        writeln!(out, "{}", analysis::compare_text(&comparison, &UnitChoice::default()).trim_end())?;
    }
    Ok(analysis::exit_code(&reports))
}

fn check(out: &mut impl std::io::Write, files: &[PathBuf], json: bool) -> Result<u8, TaskError> {
    let mut status = 0;
    for file in files {
        match checked(file) {
            Ok((project, reports)) => {
                let name = file.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
                if json {
                    writeln!(out, "{}", analysis::to_json(&name, &project, &reports))?;
                } else {
                    for report in &reports {
                        text::print_report(out, &name, &project, report, reports.len() > 1)?;
                    }
                }
                status = status.max(analysis::exit_code(&reports));
            }
            // One unreadable file does not keep the others from being checked.
            Err(error) => {
                writeln!(std::io::stderr(), "cupwright: {error}")?;
                status = COULD_NOT;
            }
        }
    }
    Ok(status)
}

fn import(
    out: &mut impl std::io::Write,
    path: &Path,
    output: &Path,
    options: &ImportOptions,
    json: bool,
) -> Result<u8, TaskError> {
    let drawing = exchange::read_drawing(path, options)?;
    let name =
        path.file_stem().map_or_else(|| "New project".to_owned(), |s| s.to_string_lossy().into_owned());
    let project = exchange::new_project_from_drawing(&drawing, &name);
    document::save(&project, output, None)?;
    if json {
        writeln!(out, "{}", exchange::import_json(&drawing))?;
        return Ok(0);
    }
    for part in &drawing.parts {
        let size = part.outline.outer.bounds().map_or(glam::DVec2::ZERO, |b| b.max - b.min);
        writeln!(out, "{}: {:.1} × {:.1} mm, {} holes", part.name, size.x, size.y, part.outline.holes.len())?;
    }
    for d in &drawing.diagnostics {
        let word = match d.severity {
            DiagnosticSeverity::Mended => "mended",
            DiagnosticSeverity::Skipped => "skipped",
            DiagnosticSeverity::Warning => "check",
        };
        writeln!(out, "  {word}: {} ({}×) {}", d.what, d.count, d.place)?;
    }
    writeln!(out, "wrote {}", output.display())?;
    Ok(0)
}
