//! The command line: the same checks, drawings and sheets as in the window, for scripts and reviews.

use crate::outputs::{OutputError, write_pages, write_whole};
use analysis::{Analyst, Report};
use clap::{Parser, Subcommand, ValueEnum};
use document::Project;
use exchange::{DiagnosticSeverity, DrawingUnit, ImportOptions};
use std::{
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};
use units::UnitChoice;

mod text;

/// Something could not be read, written or shown.
const COULD_NOT: u8 = 2;

/// Suction-cup layouts, checked: which cups, how many, where, and whether the tool keeps the part through every motion.
#[derive(Debug, Parser)]
#[command(name = "cupwright", version, about, args_conflicts_with_subcommands = true, after_help = AFTER_HELP)]
struct Arguments {
    /// Project (.ron) or drawing (.dxf, .svg) to open in the window; without one a demo opens
    file: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Task>,
}

const AFTER_HELP: &str = "\
Exit status: 0 holds as modelled, 1 a finding fails, 2 could not read, write or open a window.
Figures assist, and do not replace, the judgement of a competent person, a trial pick with the real part, local codes
and the machine's risk assessment.";

#[derive(Debug, Subcommand)]
enum Task {
    /// Verdict, findings and figures of projects
    Check {
        /// Projects
        #[arg(required_unless_present = "rules")]
        files: Vec<PathBuf>,
        /// One JSON object a line instead of text (crates/analysis/schema/check.schema.json)
        #[arg(long)]
        json: bool,
        /// List the rules behind the findings and leave
        #[arg(long)]
        rules: bool,
    },
    /// Alternatives of a project side by side: factors, reserve, lost cups, envelope, and which is better and why
    Compare {
        /// Project
        file: PathBuf,
        /// Names of the layouts to compare; all of them without this
        #[arg(long, num_args = 2..)]
        layouts: Vec<String>,
        /// One JSON object instead of text (crates/analysis/schema/compare.schema.json)
        #[arg(long)]
        json: bool,
    },
    /// The layout sheet as PDF, SVG or PNG
    Sheet {
        /// Project
        file: PathBuf,
        /// Where to write; the ending decides
        #[arg(short, long)]
        output: PathBuf,
        /// Size of the paper
        #[arg(long, value_enum, default_value = "a3")]
        paper: PaperArgument,
        /// The long side upright
        #[arg(long)]
        portrait: bool,
        /// A second plan, mirrored: the tool on the bench with its lips up
        #[arg(long)]
        mirrored: bool,
        /// Name of the layout; the first one without this
        #[arg(long)]
        layout: Option<String>,
        /// Adds the comparison of these layouts
        #[arg(long, num_args = 2..)]
        compare: Vec<String>,
        /// Dots per inch of PNG pages
        #[arg(long, default_value_t = 150.0)]
        dpi: f64,
        /// Lengths on the sheet
        #[arg(long, value_enum, default_value = "mm")]
        unit: SheetUnit,
    },
    /// A new project from a DXF or SVG drawing
    Import {
        /// Drawing
        drawing: PathBuf,
        /// Project to write
        #[arg(short, long)]
        output: PathBuf,
        /// Unit of the drawing, over what the file says
        #[arg(long, value_enum)]
        unit: Option<UnitArgument>,
        /// Join ends nearer than this, mm
        #[arg(long, default_value_t = 0.05)]
        gap: f64,
        /// Read only these layers (repeat for several)
        #[arg(long)]
        layer: Vec<String>,
        /// What was read, mended and skipped as JSON
        #[arg(long)]
        json: bool,
    },
    /// Drawing and tables of a layout
    #[command(group = clap::ArgGroup::new("what").required(true).multiple(true))]
    Export {
        /// Project
        file: PathBuf,
        /// Hole table: one row a cup, millimetres from the datum
        #[arg(long, group = "what")]
        csv: Option<PathBuf>,
        /// Drawing: part, holes, lips, bores, centres, zones, frame on their own layers, millimetres
        #[arg(long, group = "what")]
        dxf: Option<PathBuf>,
        /// Parts list: cups by generic specification, frame with cut lengths, fittings, spares
        #[arg(long, group = "what")]
        parts: Option<PathBuf>,
        /// Hose schedule: bores, cut lengths, fittings of the circuits that are worked out
        #[arg(long, group = "what")]
        hoses: Option<PathBuf>,
        /// Findings with figures, limits, remedies and reasons
        #[arg(long, group = "what")]
        findings: Option<PathBuf>,
        /// Release of the DXF format
        #[arg(long, value_enum, default_value = "2000")]
        dxf_version: DxfArgument,
        /// Name of the layout; the first one without this
        #[arg(long)]
        layout: Option<String>,
    },
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperArgument {
    A4,
    A3,
    A2,
    A1,
    Letter,
    Tabloid,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum DxfArgument {
    /// What old machine controls read
    R12,
    #[value(name = "2000")]
    R2000,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SheetUnit {
    Mm,
    In,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum UnitArgument {
    Mm,
    Cm,
    M,
    In,
    Ft,
}

impl From<PaperArgument> for sheet::Paper {
    fn from(paper: PaperArgument) -> Self {
        match paper {
            PaperArgument::A4 => Self::A4,
            PaperArgument::A3 => Self::A3,
            PaperArgument::A2 => Self::A2,
            PaperArgument::A1 => Self::A1,
            PaperArgument::Letter => Self::Letter,
            PaperArgument::Tabloid => Self::Tabloid,
        }
    }
}

impl From<UnitArgument> for DrawingUnit {
    fn from(unit: UnitArgument) -> Self {
        match unit {
            UnitArgument::Mm => Self::Millimetre,
            UnitArgument::Cm => Self::Centimetre,
            UnitArgument::M => Self::Metre,
            UnitArgument::In => Self::Inch,
            UnitArgument::Ft => Self::Foot,
        }
    }
}

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
        None => crate::run_window(arguments.file).map(|()| 0).map_err(|e| TaskError::Window(format!("no window could be opened, {e}. Without a display use 'cupwright check FILE' or 'cupwright sheet FILE -o OUT.pdf'"))),
        Some(Task::Check { rules: true, .. }) => {
            for rule in analysis::catalogue() {
                writeln!(out, "{}: {}\n  {}\n  fail: {}\n  watch: {}", rule.id, rule.title, rule.explains, rule.fail, rule.watch)?;
            }
            Ok(0)
        }
        Some(Task::Check { files, json, .. }) => check(&mut out, &files, json),
        Some(Task::Compare { file, layouts, json }) => compare(&mut out, &file, &layouts, json),
        Some(Task::Sheet { file, output, paper, portrait, mirrored, layout, compare, dpi, unit }) => {
            let length = match unit {
                SheetUnit::Mm => units::LengthUnit::Millimetre,
                SheetUnit::In => units::LengthUnit::Inch,
            };
            let orientation = if portrait { sheet::Orientation::Portrait } else { sheet::Orientation::Landscape };
            let units = UnitChoice { length, ..UnitChoice::default() };
            let options = sheet::SheetOptions { paper: paper.into(), orientation, units, mirrored, checklist: false };
            sheet_of(&file, layout.as_deref(), &compare, &options, dpi, &output)
        }
        Some(Task::Import { drawing, output, unit, gap, layer, json }) => {
            let options = ImportOptions { unit: unit.map(Into::into), gap_mm: gap, layers: (!layer.is_empty()).then_some(layer), ..ImportOptions::default() };
            import(&mut out, &drawing, &output, &options, json)
        }
        Some(Task::Export { file, csv, dxf, parts, hoses, findings, dxf_version, layout }) => {
            let (project, report) = one_checked(&file, layout.as_deref())?;
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

/// A project and the whole report of one layout: the named one, or the first.
fn one_checked(path: &Path, layout: Option<&str>) -> Result<(Project, Arc<Report>), TaskError> {
    let (project, _) = document::open(path)?;
    let names: Vec<String> = layout.map(str::to_owned).into_iter().collect();
    let layouts = named_layouts(&project, &names)?;
    let first =
        layouts.first().copied().ok_or_else(|| TaskError::Layouts("the project has no layout".to_owned()))?;
    let report = Analyst::new().check_whole(&project, first);
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
    let (project, report) = one_checked(file, layout)?;
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
                        text::print_report(out, &name, report, reports.len() > 1)?;
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
