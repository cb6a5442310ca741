//! The command line: the same checks, drawings and sheets as in the window, for scripts and reviews.

use crate::outputs::{Kind, OutputError, Permit, Target, page_kind, write_pages, write_together};
use analysis::{Analyst, Report};
use arguments::{Arguments, DxfArgument, SheetUnit, Task};
use clap::Parser as _;
use document::Project;
use exchange::{DiagnosticSeverity, ImportOptions};
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
mod diff;
mod display;
mod printer;
mod progress;
mod text;

/// Something could not be read, written or shown, or there was nothing to check.
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
    Inside(String),
    #[error("{0}")]
    Window(String),
}

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
        Some(Task::Compare { file, layouts, json }) => compare(out, &file, &layouts, json),
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
            force,
        }) => {
            let orientation =
                if portrait { sheet::Orientation::Portrait } else { sheet::Orientation::Landscape };
            let units = units_in(unit);
            let options =
                sheet::SheetOptions { paper: paper.into(), orientation, units, mirrored, checklist };
            let to = Pages { path: &output, read: &[&file], force, dpi };
            to.permitted()?;
            let (pages, name) = sheet_of(&file, layout.as_deref(), &compare, &options)?;
            to.write(out, &pages, &name)?;
            Ok(0)
        }
        Some(Task::Import { drawing, output, unit, gap, layer, json, force }) => {
            let options = ImportOptions {
                unit: unit.map(Into::into),
                gap_mm: gap,
                layers: (!layer.is_empty()).then_some(layer),
                ..ImportOptions::default()
            };
            import(out, &drawing, &output, &options, json, force)
        }
        Some(Task::Export { file, csv, dxf, parts, hoses, findings, dxf_version, layout, force }) => {
            let wanted = [
                (Table::Holes, csv),
                (Table::Parts, parts),
                (Table::Hoses, hoses),
                (Table::Findings, findings),
                (Table::Drawing(dxf_version), dxf),
            ];
            let wanted: Vec<(Table, PathBuf)> =
                wanted.into_iter().filter_map(|(table, path)| path.map(|path| (table, path))).collect();
            export(out, &file, layout.as_deref(), &wanted, force)
        }
    }
}

/// Whether a path stands for standard output.
fn is_standard_output(path: &Path) -> bool {
    path == Path::new("-")
}

/// Where pages go.
struct Pages<'a> {
    path: &'a Path,
    read: &'a [&'a Path],
    force: bool,
    dpi: f64,
}

impl Pages<'_> {
    /// Asked before anything is worked out, so that a slip is told at once.
    fn permitted(&self) -> Result<(), TaskError> {
        if !is_standard_output(self.path) {
            Permit::new(self.read, self.force).ask(self.path, page_kind(self.path)?)?;
        }
        Ok(())
    }

    fn write(&self, out: &mut Printer<'_>, pages: &[sheet::Page], name: &str) -> Result<(), TaskError> {
        if is_standard_output(self.path) {
            return Ok(out.file(&sheet::to_pdf(pages, name).map_err(OutputError::from)?)?);
        }
        let mut permit = Permit::new(self.read, self.force);
        let written = write_pages(&mut permit, pages, name, self.dpi, self.path)?;
        if let Some(note) = written.note() {
            tell(&note);
        }
        Ok(())
    }
}

/// What can be exported.
#[derive(Clone, Copy)]
enum Table {
    Holes,
    Parts,
    Hoses,
    Findings,
    Drawing(DxfArgument),
}

fn export(
    out: &mut Printer<'_>,
    file: &Path,
    layout: Option<&str>,
    wanted: &[(Table, PathBuf)],
    force: bool,
) -> Result<u8, TaskError> {
    if wanted.iter().filter(|(_, path)| is_standard_output(path)).count() > 1 {
        return Err(TaskError::Asked(
            "only one of these can go to standard output; name files for the others".to_owned(),
        ));
    }
    let mut permit = Permit::new(&[file], force);
    let mut targets: Vec<(Table, Option<Target>)> = Vec::new();
    for (table, path) in wanted {
        let kind = if matches!(table, Table::Drawing(_)) { Kind::Dxf } else { Kind::Table };
        let target = if is_standard_output(path) { None } else { Some(permit.ask(path, kind)?) };
        targets.push((*table, target));
    }
    let (project, report) = one_checked(file, layout, UnitChoice::default())?;
    let mut files: Vec<(Target, Vec<u8>)> = Vec::new();
    let mut printed = None;
    for (table, target) in targets {
        let text = match table {
            Table::Holes => exchange::hole_table_csv(&project, &report),
            Table::Parts => exchange::parts_list_csv(&project, report.layout),
            Table::Hoses => exchange::hose_schedule_csv(&project, &report),
            Table::Findings => exchange::findings_csv(&project, &report),
            Table::Drawing(version) => {
                let version = match version {
                    DxfArgument::R12 => exchange::DxfVersion::R12,
                    DxfArgument::R2000 => exchange::DxfVersion::R2000,
                };
                let options = exchange::DxfOptions { version, ..exchange::DxfOptions::default() };
                exchange::layout_dxf(&project, &report, report.layout, &options).ok_or_else(|| {
                    TaskError::Layouts("there is no part under this layout to draw".to_owned())
                })?
            }
        };
        match target {
            Some(target) => files.push((target, text.into_bytes())),
            None => printed = Some(text),
        }
    }
    write_together(&files)?;
    if let Some(text) = printed {
        out.file(text.as_bytes())?;
    }
    Ok(0)
}

fn units_in(unit: SheetUnit) -> UnitChoice {
    let length = match unit {
        SheetUnit::Mm => units::LengthUnit::Millimetre,
        SheetUnit::In => units::LengthUnit::Inch,
    };
    UnitChoice { length, ..UnitChoice::default() }
}

fn window(open: impl FnOnce() -> Result<(), String>) -> Result<u8, TaskError> {
    open().map(|()| 0).map_err(|says| TaskError::Window(display::no_window(&says)))
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
    let check = || Analyst::with_units(units).check_whole(&project, first);
    let report = progress::told(&format!("checking {}", called(path)), String::new, check);
    Ok((project, report))
}

/// Pages of the sheet, and the name of the project.
fn sheet_of(
    file: &Path,
    layout: Option<&str>,
    compared: &[String],
    options: &sheet::SheetOptions,
) -> Result<(Vec<sheet::Page>, String), TaskError> {
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
    Ok((pages, project.name.clone()))
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

/// The last name of a path; where it has none, the whole.
fn called(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

fn compare(out: &mut Printer<'_>, file: &Path, names: &[String], json: bool) -> Result<u8, TaskError> {
    let (project, _) = document::open(file)?;
    let layouts = named_layouts(&project, names)?;
    let mut analyst = Analyst::new();
    let comparison = analysis::compare(&mut analyst, &project, &layouts);
    let reports: Vec<Arc<Report>> = layouts.iter().map(|id| analyst.check_whole(&project, *id)).collect();
    if json {
        out.json(&analysis::compare_json(&called(file), &project, &comparison, &reports))?;
    } else {
        out.lines(&analysis::compare_text(&comparison, &UnitChoice::default()))?;
    }
    Ok(analysis::exit_code(&reports))
}

fn check(out: &mut Printer<'_>, files: &[PathBuf], json: bool) -> Result<u8, TaskError> {
    let mut status = 0;
    for file in files {
        let name = called(file);
        let doing = format!("checking {name}");
        let done = apart::apart(|| progress::told(&doing, String::new, || checked(file)))
            .unwrap_or_else(|says| Err(TaskError::Inside(format!("{}: {says}", file.display()))));
        match done {
            Ok((project, reports)) => {
                if json {
                    out.json(&analysis::to_json(&name, &project, &reports))?;
                } else {
                    for report in &reports {
                        text::print_report(out, &name, &project, report, reports.len() > 1)?;
                    }
                }
                status = status.max(analysis::exit_code(&reports));
            }
            // One unreadable file does not keep the others from being checked.
            Err(error) => {
                let says = error.to_string();
                if json {
                    out.json(&analysis::unread_json(&name, &says))?;
                }
                tell(&says);
                status = COULD_NOT;
            }
        }
    }
    Ok(status)
}

fn import(
    out: &mut Printer<'_>,
    path: &Path,
    output: &Path,
    options: &ImportOptions,
    json: bool,
    force: bool,
) -> Result<u8, TaskError> {
    let printed = is_standard_output(output);
    if printed && json {
        let says = "project and report cannot both go to standard output; name a file for the project";
        return Err(TaskError::Asked(says.to_owned()));
    }
    let target = if printed {
        None
    } else {
        let mut permit = Permit::new(&[path], force);
        let target = permit.ask(output, Kind::Project)?;
        // The version before is kept there: that must not be the drawing either.
        if target.path.exists() && crate::outputs::same_file(&document::previous_path(&target.path), path) {
            return Err(OutputError::ReadHere { path: output.to_owned(), other: path.to_owned() }.into());
        }
        Some(target)
    };
    let watch = exchange::Watch::default();
    let stage = || {
        let exchange::Progress { stage, share } = watch.progress();
        share.map_or_else(
            || stage.to_owned(),
            |share| format!("{stage}, {} %", units::figure(100.0 * f64::from(share), 0)),
        )
    };
    let read = || exchange::read_drawing_watched(path, options, &watch);
    let drawing = progress::told(&format!("reading {}", called(path)), stage, read)?;
    let name =
        path.file_stem().map_or_else(|| "New project".to_owned(), |s| s.to_string_lossy().into_owned());
    let project = exchange::new_project_from_drawing(&drawing, &name);
    match &target {
        Some(target) => {
            document::save(&project, &target.path, None)?;
        }
        // What is printed is to be read again too.
        None => match document::larger_than_a_file(&project) {
            None => out.file(document::to_text(&project).as_bytes())?,
            Some(bytes) => {
                let (most, path) = (document::MOST_FILE_BYTES, output.display().to_string());
                return Err(document::FileError::TooLargeToWrite { bytes, most, path }.into());
            }
        },
    }
    if json {
        out.json(&exchange::import_json(&drawing))?;
        return Ok(0);
    }
    for line in imported(&drawing) {
        if printed { tell(&line) } else { out.line(&line)? }
    }
    if target.is_some() {
        out.line(&format!("wrote {}", output.display()))?;
    }
    Ok(0)
}

/// What was read, and what was mended or skipped.
fn imported(drawing: &exchange::Drawing) -> Vec<String> {
    let parts = drawing.parts.iter().map(|part| {
        let size = part.outline.outer.bounds().map_or(glam::DVec2::ZERO, |b| b.max - b.min);
        let [x, y] = [size.x, size.y].map(|side| units::figure(side, 1));
        format!("{}: {x} × {y} mm, {} holes", part.name, part.outline.holes.len())
    });
    let notes = drawing.diagnostics.iter().map(|d| {
        let word = match d.severity {
            DiagnosticSeverity::Mended => "mended",
            DiagnosticSeverity::Skipped => "skipped",
            DiagnosticSeverity::Warning => "check",
        };
        format!("  {word}: {} ({}×) {}", d.what, d.count, d.place)
    });
    parts.chain(notes).collect()
}
