//! Layouts proposed for a project.

use super::{
    checked::called,
    error::TaskError,
    places::is_standard_output,
    printer::{Printer, tell},
    progress,
};
use crate::outputs::{Kind, OutputError, Permit};
use analysis::{Analyst, CannotPropose, ProposalWatch, Proposals};
use clap::{Args, ValueEnum};
use document::{HowMany, ModelId, Pattern, Prefer, Project, Question};
use std::path::{Path, PathBuf};

/// What is asked for; options left out are as saved in the project.
#[derive(Debug, Args)]
pub(super) struct Asked {
    /// Cup models to use, by name or id, from the project or the library, separated by ; (any: any that suit)
    #[arg(long, value_name = "A;B")]
    models: Option<String>,
    /// How many cups: a number, or fewest
    #[arg(long, value_parser = count, value_name = "N|fewest")]
    count: Option<Count>,
    /// Most cups to try when looking for the fewest
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=200))]
    most: Option<u32>,
    /// Pattern of the cups
    #[arg(long, value_enum)]
    pattern: Option<PatternArgument>,
    /// Every motion is held with any one cup lost
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", value_name = "true|false")]
    one_lost: Option<bool>,
    /// Every motion is held with any one zone lost; a new cup joins the zone of the nearest existing one
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", value_name = "true|false")]
    zone_lost: Option<bool>,
    /// Lowest factor of the remaining cups with a cup or a zone lost
    #[arg(long, value_name = "FACTOR", allow_negative_numbers = true)]
    lost_factor: Option<f64>,
    /// Required factors are met with every assumed input at its worst
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", value_name = "true|false")]
    low_end: Option<bool>,
    /// Two models may be mixed in one layout
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", value_name = "true|false")]
    mixed: Option<bool>,
    /// Positions are multiples of this, mm
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    step: Option<f64>,
    /// Smallest gap between two lips, mm
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    spacing: Option<f64>,
    /// Sort order of layouts that meet the requirements
    #[arg(long, value_enum)]
    prefer: Option<PreferArgument>,
    /// The same seed gives the same proposals
    #[arg(long)]
    seed: Option<u32>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PreferArgument {
    /// Fewest cups, then the largest reserve
    Cups,
    /// The largest factor over required
    Reserve,
    /// Fewest different X and Y on the drawing
    Positions,
    /// Fewest models
    Models,
    /// Least air
    Air,
}

impl From<PreferArgument> for Prefer {
    fn from(argument: PreferArgument) -> Self {
        match argument {
            PreferArgument::Cups => Self::Cups,
            PreferArgument::Reserve => Self::Reserve,
            PreferArgument::Positions => Self::Positions,
            PreferArgument::Models => Self::Models,
            PreferArgument::Air => Self::Air,
        }
    }
}

/// How many cups, as typed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Count {
    Fewest,
    Cups(usize),
}

fn count(text: &str) -> Result<Count, String> {
    match text.trim() {
        "fewest" => Ok(Count::Fewest),
        number => number
            .parse()
            .ok()
            .filter(|count| *count > 0)
            .map(Count::Cups)
            .ok_or_else(|| "give a number of cups, or fewest".to_owned()),
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PatternArgument {
    /// Any pattern
    Any,
    /// Rows and columns of even pitch
    Rows,
    /// On the mounting positions of the frame
    Frame,
    /// Evenly spaced on a circle
    Ring,
    /// Mirrored about a centre line of the part
    Mirrored,
    /// Anywhere on the grid step
    Free,
}

impl PatternArgument {
    fn pattern(self) -> Option<Pattern> {
        match self {
            Self::Any => None,
            Self::Rows => Some(Pattern::Rows),
            Self::Frame => Some(Pattern::Frame),
            Self::Ring => Some(Pattern::Ring),
            Self::Mirrored => Some(Pattern::Mirrored),
            Self::Free => Some(Pattern::Free),
        }
    }
}

impl Asked {
    fn question(&self, project: &Project) -> Result<Question, TaskError> {
        let usual = Question::clone(&project.question);
        let most = match (self.most, usual.count) {
            (Some(most), _) => most as usize,
            (None, HowMany::Fewest { most }) => most,
            (None, HowMany::Exactly(_)) => Question::default().count.most(),
        };
        Ok(Question {
            models: match self.models.as_deref() {
                None => usual.models,
                Some(any) if any.trim().eq_ignore_ascii_case(ANY) => Vec::new(),
                // Names have commas in them.
                Some(names) => names.split(';').map(|name| named(project, name)).collect::<Result<_, _>>()?,
            },
            count: match (self.count, self.most) {
                (Some(Count::Cups(count)), _) => HowMany::Exactly(count),
                (Some(Count::Fewest), _) | (None, Some(_)) => HowMany::Fewest { most },
                (None, None) => usual.count,
            },
            pattern: self.pattern.map_or(usual.pattern, PatternArgument::pattern),
            one_lost: self.one_lost.unwrap_or(usual.one_lost),
            zone_lost: self.zone_lost.unwrap_or(usual.zone_lost),
            lost_factor: self.lost_factor.unwrap_or(usual.lost_factor),
            low_end: self.low_end.unwrap_or(usual.low_end),
            mixed: self.mixed.unwrap_or(usual.mixed),
            step_mm: self.step.unwrap_or(usual.step_mm),
            spacing_mm: self.spacing.or(usual.spacing_mm),
            prefer: self.prefer.map_or(usual.prefer, Prefer::from),
            seed: self.seed.unwrap_or(usual.seed),
        })
    }
}

/// Stands for any model that suits.
const ANY: &str = "any";

/// A model by id or name, of the project before the library.
fn named(project: &Project, name: &str) -> Result<ModelId, TaskError> {
    let name = name.trim();
    let all = || project.models.iter().chain(document::library());
    let by_id = all().find(|model| &*model.id.0 == name);
    let found = by_id.or_else(|| all().find(|model| model.name.eq_ignore_ascii_case(name)));
    found.map(|model| model.id.clone()).ok_or_else(|| CannotPropose::NoModel(name.to_owned()).into())
}

/// What is read and written.
pub(super) struct Task<'a> {
    pub file: &'a Path,
    pub layout: Option<document::LayoutId>,
    pub asked: &'a Asked,
    pub json: bool,
    pub output: Option<PathBuf>,
    pub force: bool,
}

/// Proposes layouts: 0 when one meets what must hold, 1 when none does.
pub(super) fn propose(out: &mut Printer<'_>, project: &Project, task: &Task<'_>) -> Result<u8, TaskError> {
    let layout = task.layout.ok_or_else(|| TaskError::Layouts("the project has no layout".to_owned()))?;
    let question = task.asked.question(project)?;
    let job = Analyst::new().proposal_job(project, layout, question);
    let watch = ProposalWatch::default();
    let stage = || {
        let of = watch.progress();
        format!("{} layouts checked, the best has {}", of.scored, units::figure(of.best, 3))
    };
    let found = progress::told(&format!("proposing for {}", called(task.file)), stage, || {
        job.run(&watch, &mut |_| {})
    })?;
    let printed = task.output.as_deref().is_some_and(is_standard_output);
    if let Some(output) = &task.output {
        let with = with_proposals(project, &found)?;
        write(out, &with, output, task)?;
    }
    if task.json {
        out.json(&telling::proposals_json(&called(task.file), project, &found))?;
    } else {
        for line in telling::proposals_text(&found, &units::UnitChoice::default()).lines() {
            if printed { tell(line) } else { out.line(line)? }
        }
        if let Some(output) = task.output.as_deref().filter(|path| !is_standard_output(path)) {
            out.line(&format!("wrote {}", output.display()))?;
        }
    }
    Ok(u8::from(!telling::any_meets(&found)))
}

/// Asked before anything is calculated, so that a slip is told at once.
pub(super) fn permitted(task: &Task<'_>) -> Result<(), TaskError> {
    let Some(output) = &task.output else { return Ok(()) };
    if is_standard_output(output) {
        let says = "project and figures cannot both go to standard output; name a file for the project";
        return if task.json { Err(TaskError::Asked(says.to_owned())) } else { Ok(()) };
    }
    target(output, task).map(|_| ())
}

fn target(output: &Path, task: &Task<'_>) -> Result<PathBuf, TaskError> {
    let mut permit = Permit::new(&[task.file], task.force);
    let target = permit.ask(output, Kind::Project)?;
    // The version before is kept there: that must not be what is read either.
    if target.path.exists() && crate::outputs::same_file(&document::previous_path(&target.path), task.file) {
        return Err(OutputError::ReadHere { path: output.to_owned(), other: task.file.to_owned() }.into());
    }
    Ok(target.path)
}

/// The project with every proposal as a further layout, the best first.
fn with_proposals(project: &Project, found: &Proposals) -> Result<Project, TaskError> {
    let mut with = project.clone();
    for of in found.proposals.iter().filter(|of| of.kind != analysis::Kind::Present) {
        with = of.edit(&with).apply(&with).map_err(|error| TaskError::Asked(error.to_string()))?;
    }
    Ok(with)
}

fn write(out: &mut Printer<'_>, project: &Project, output: &Path, task: &Task<'_>) -> Result<(), TaskError> {
    if is_standard_output(output) {
        return match document::larger_than_a_file(project) {
            None => Ok(out.file(document::to_text(project).as_bytes())?),
            Some(bytes) => {
                let (most, path) = (document::MOST_FILE_BYTES, output.display().to_string());
                Err(document::FileError::TooLargeToWrite { bytes, most, path }.into())
            }
        };
    }
    document::save(project, &target(output, task)?, None)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_is_a_number_of_cups_or_fewest() {
        assert_eq!((count("fewest"), count(" 6 ")), (Ok(Count::Fewest), Ok(Count::Cups(6))));
        for text in ["0", "-1", "six", "", "1.5", "99999999999999999999999"] {
            assert!(count(text).is_err(), "{text}");
        }
    }
}
