//! What the command line takes.

use super::drawing::Reading;
use crate::outputs::{Output, USUAL_DPI};
use clap::{Arg, ArgGroup, ArgMatches, FromArgMatches, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Suction-cup layouts, checked: which cups, how many, where, and whether the tool keeps the part through every motion.
#[derive(Debug, Parser)]
#[command(name = "cupwright", version, about, args_conflicts_with_subcommands = true, after_help = AFTER_HELP)]
pub(super) struct Arguments {
    /// Project (.ron) or drawing (.dxf, .svg, .pdf) to open in the window; without one a demo opens
    pub file: Option<PathBuf>,
    #[command(subcommand)]
    pub command: Option<Task>,
}

const AFTER_HELP: &str = "\
Exit status of check and compare: 0 holds as modelled, 1 a finding fails. Of propose: 0 a proposal meets the requirements,
1 none does. Of every command: 2 something could not be read, written or shown, or there was nothing to check; the
rest is still done. A closed pipe changes none of these.

Files: what is read is never written, by whatever name. A table or picture replaces one of its own kind; any other existing
file stays unless --force is given. Links are followed; devices, pipes and protected files are refused; - is standard
output. Output is written completely or not at all, all pages and tables of one run together. Saving a project keeps the
previous version beside it as NAME.ron.previous.

Figures assist, and do not replace, the judgement of a competent person, a trial pick with the real part, local codes
and the machine's risk assessment.";

#[derive(Debug, Subcommand)]
pub(super) enum Task {
    /// Verdict, findings and figures of projects; for a folder one line per project, worst first
    Check {
        /// Projects, or folders with projects in them
        #[arg(required_unless_present_any = ["rules", "defaults"])]
        files: Vec<PathBuf>,
        #[arg(long, help = instead(Output::FIGURES))]
        json: bool,
        /// A list of cup models or sources (.ron, .csv): which projects would change with these instead of their own
        #[arg(long, conflicts_with = "json")]
        library: Option<PathBuf>,
        /// List the rules behind the findings and exit
        #[arg(long, conflicts_with_all = ["files", "json", "library"])]
        rules: bool,
        /// List the defaults for values that are not entered, with range and reason, and exit
        #[arg(long, conflicts_with_all = ["files", "json", "library", "rules"])]
        defaults: bool,
    },
    /// Alternatives of a project side by side: factors, reserve, lost cups, envelope, and which is better and why
    Compare {
        /// Project
        file: PathBuf,
        /// Names of the layouts to compare; all of them by default
        #[arg(long, num_args = 2..)]
        layouts: Vec<String>,
        #[arg(long, help = instead(Output::COMPARISON))]
        json: bool,
        #[arg(short, long, help = also(Output::COMPARED))]
        output: Option<PathBuf>,
        /// Replace an existing file of any kind
        #[arg(long)]
        force: bool,
    },
    /// What changed between two files, or since a revision: cups, inputs, figures, findings
    Diff {
        /// Earlier and later file, or one file (also takes the seven arguments of a git difference driver)
        #[arg(required = true, num_args = 1..=7)]
        files: Vec<PathBuf>,
        /// For one file: changes since this revision; given twice: from the first to the second; by default since the last issued one
        #[arg(long)]
        revision: Vec<String>,
        #[arg(long, help = instead(Output::DIFFERENCE))]
        json: bool,
        #[arg(short, long, help = also(Output::CHANGES))]
        output: Option<PathBuf>,
        /// Replace an existing file of any kind
        #[arg(long)]
        force: bool,
        /// Units in the text and on the pages: mm, kPa, N, kg or in, inHg, lbf, lb
        #[arg(long, value_enum, default_value = "mm")]
        unit: SheetUnit,
    },
    /// Open a file in the window for review: remarks, checklist and decision only
    Review {
        /// Project
        file: PathBuf,
        /// An earlier file to compare with; by default its last revision that differs
        beside: Option<PathBuf>,
    },
    #[command(about = Output::SHEET.help())]
    Sheet {
        /// Project
        file: PathBuf,
        /// Output file; the extension sets the format; - writes a PDF to standard output
        #[arg(short, long)]
        output: PathBuf,
        /// Replace an existing file of any kind
        #[arg(long)]
        force: bool,
        /// Paper size
        #[arg(long, value_enum, default_value = "a3")]
        paper: PaperArgument,
        /// Portrait orientation
        #[arg(long)]
        portrait: bool,
        /// A second plan, mirrored: the tool on the bench with its lips up
        #[arg(long)]
        mirrored: bool,
        /// Name of the layout; by default the first one
        #[arg(long)]
        layout: Option<String>,
        /// Adds the comparison of these layouts
        #[arg(long, num_args = 2..)]
        compare: Vec<String>,
        /// Adds the reviewer's checklist with boxes to tick
        #[arg(long)]
        checklist: bool,
        /// Dots per inch of PNG pages, 10 to 2400
        #[arg(long, default_value_t = USUAL_DPI, value_parser = dots_per_inch, allow_negative_numbers = true)]
        dpi: f64,
        /// A PDF for archiving (PDF/A-2a), with today's date
        #[arg(long)]
        pdf_a: bool,
        /// Units on the sheet: mm, kPa, N, kg or in, inHg, lbf, lb
        #[arg(long, value_enum, default_value = "mm")]
        unit: SheetUnit,
    },
    /// Layouts proposed by the program: which cups, how many and where, with a proved upper bound
    Propose {
        /// Project: its part, motions, circuits and locked cups are kept
        file: PathBuf,
        #[command(flatten)]
        asked: super::propose::Asked,
        /// Name of the layout to start from; by default the first one
        #[arg(long)]
        layout: Option<String>,
        /// Instead of text, a JSON object with every proposal, see proposals.schema.json
        #[arg(long)]
        json: bool,
        /// A project with every proposal as a further layout; - writes it to standard output and the text to standard error
        #[arg(short, long)]
        output: Option<PathBuf>,
        /// Replace an existing file of any kind
        #[arg(long)]
        force: bool,
    },
    /// A new project from a DXF, SVG or PDF drawing
    Import {
        /// Drawing
        drawing: PathBuf,
        /// Project to write; - writes it to standard output and the report to standard error
        #[arg(short, long)]
        output: PathBuf,
        /// Replace an existing file of any kind
        #[arg(long)]
        force: bool,
        #[command(flatten)]
        reading: Reading,
        /// What was read, decided, repaired and skipped, as JSON
        #[arg(long)]
        json: bool,
    },
    /// Drawing, tables and pictures of a layout
    Export {
        /// Project
        file: PathBuf,
        /// Replace an existing file of any kind
        #[arg(long)]
        force: bool,
        #[command(flatten)]
        wanted: Wanted,
        /// Version of the DXF format
        #[arg(long, value_enum, default_value = "2000")]
        dxf_version: DxfArgument,
        /// Dots per inch of PNG pictures, 10 to 2400
        #[arg(long, default_value_t = USUAL_DPI, value_parser = dots_per_inch, allow_negative_numbers = true)]
        dpi: f64,
        /// Units in the findings and on pictures: mm, kPa, N, kg or in, inHg, lbf, lb
        #[arg(long, value_enum, default_value = "mm")]
        unit: SheetUnit,
        /// Name of the layout; by default the first one
        #[arg(long)]
        layout: Option<String>,
    },
}

/// What is printed in place of text.
fn instead(output: Output) -> String {
    format!("Instead of text, {}", output.holds())
}

/// Pages that go with what is printed.
fn also(output: Output) -> String {
    format!("{}; - writes a PDF to standard output instead of the text", output.help())
}

/// What `export` is to write: an option for each row of the table of outputs that has one.
#[derive(Debug, Clone)]
pub(super) struct Wanted(pub Vec<(Output, PathBuf)>);

fn flags() -> impl Iterator<Item = (Output, &'static str)> {
    Output::all().filter_map(|output| Some((output, output.flag()?)))
}

impl FromArgMatches for Wanted {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let path = |flag| matches.get_one::<PathBuf>(flag).cloned();
        Ok(Self(flags().filter_map(|(output, flag)| Some((output, path(flag)?))).collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl clap::Args for Wanted {
    fn augment_args(command: clap::Command) -> clap::Command {
        let argument = |(output, flag): (Output, &'static str)| {
            let path = clap::value_parser!(PathBuf);
            Arg::new(flag).long(flag).value_name("OUT").value_parser(path).help(output.help())
        };
        let one = ArgGroup::new("what").args(flags().map(|(_, flag)| flag)).required(true).multiple(true);
        command.args(flags().map(argument)).group(one)
    }

    fn augment_args_for_update(command: clap::Command) -> clap::Command {
        Self::augment_args(command)
    }
}

fn dots_per_inch(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(dpi) if (10.0..=2400.0).contains(&dpi) => Ok(dpi),
        _ => Err("use a number of dots per inch from 10 to 2400, without a unit".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_figures_within_bounds_and_nothing_else() {
        assert_eq!(dots_per_inch("300"), Ok(300.0));
        for text in ["nan", "inf", "-150", "0", "9", "1e9", "150 dpi", ""] {
            assert!(dots_per_inch(text).is_err(), "{text}");
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum PaperArgument {
    A4,
    A3,
    A2,
    A1,
    A0,
    Letter,
    Tabloid,
    AnsiC,
    AnsiD,
    AnsiE,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum DxfArgument {
    /// What old machine controls read
    R12,
    #[value(name = "2000")]
    R2000,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum SheetUnit {
    Mm,
    In,
}

impl From<PaperArgument> for sheet::Paper {
    fn from(paper: PaperArgument) -> Self {
        match paper {
            PaperArgument::A4 => Self::A4,
            PaperArgument::A3 => Self::A3,
            PaperArgument::A2 => Self::A2,
            PaperArgument::A1 => Self::A1,
            PaperArgument::A0 => Self::A0,
            PaperArgument::Letter => Self::Letter,
            PaperArgument::Tabloid => Self::Tabloid,
            PaperArgument::AnsiC => Self::AnsiC,
            PaperArgument::AnsiD => Self::AnsiD,
            PaperArgument::AnsiE => Self::AnsiE,
        }
    }
}

impl From<DxfArgument> for exchange::DxfVersion {
    fn from(version: DxfArgument) -> Self {
        match version {
            DxfArgument::R12 => Self::R12,
            DxfArgument::R2000 => Self::R2000,
        }
    }
}
