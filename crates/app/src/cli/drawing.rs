//! A drawing becomes a project: how it is read, and what is told of it.

use super::{
    checked::called,
    error::TaskError,
    places::is_standard_output,
    printer::{Printer, tell},
    progress,
};
use crate::outputs::{Kind, OutputError, Permit};
use clap::ValueEnum;
use exchange::{DrawingUnit, ImportOptions, PartRole, SHOWN_FIRST};
use glam::DVec2;
use std::path::Path;
use units::{Quantity, UnitChoice};

/// How a drawing is read. Each line that a reading prints as "or" names one of these.
#[derive(Debug, clap::Args)]
pub(super) struct Reading {
    /// Unit of the drawing, overriding the file
    #[arg(long, value_enum)]
    unit: Option<UnitArgument>,
    /// Join ends closer than this: mm, or with a unit, at most 100 mm; auto joins 0.05 mm, and up to 2 mm where only
    /// that closes an outline
    #[arg(long, default_value = "auto", value_parser = gap, allow_negative_numbers = true)]
    gap: Gap,
    /// Read only these layers (repeat for several)
    #[arg(long)]
    layer: Vec<String>,
    /// Use the innermost closed line around this point as the part: X,Y in mm
    #[arg(long, value_name = "X,Y", value_parser = point, allow_hyphen_values = true)]
    inside: Option<DVec2>,
    /// Read only closed lines within this box: two opposite corners in mm
    #[arg(long = "box", value_name = "X,Y,X,Y", value_parser = corners, allow_hyphen_values = true)]
    within: Option<[DVec2; 2]>,
    /// How many times larger than drawn the part is: 2, or the sheet scale 1:2
    #[arg(long, value_parser = scale)]
    scale: Option<f64>,
    /// The page of a PDF, from 1
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..))]
    page: u16,
    /// Switch the closed line around this point between hole and no hole: X,Y in mm (repeat for several)
    #[arg(long, value_name = "X,Y", value_parser = point, allow_hyphen_values = true)]
    toggle: Vec<DVec2>,
    /// Cut the part along what runs across it from edge to edge, as parts are that have a cut in common
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", default_value_t = false)]
    divide: bool,
}

impl Reading {
    /// As the reader takes it.
    pub(super) fn options(self) -> ImportOptions {
        let usual = ImportOptions::default();
        let (gap_mm, auto_gap) = match self.gap {
            Gap::Auto => (usual.gap_mm, true),
            Gap::Within(mm) => (mm, false),
        };
        ImportOptions {
            unit: self.unit.map(Into::into),
            gap_mm,
            auto_gap,
            layers: (!self.layer.is_empty()).then_some(self.layer),
            inside: self.inside,
            within: self.within,
            scale: self.scale,
            page: usize::from(self.page),
            toggled: self.toggle,
            divide: self.divide,
            ..usual
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum UnitArgument {
    Mm,
    Cm,
    M,
    In,
    Ft,
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

/// Gaps that are joined.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Gap {
    /// Small ones, and those that close an outline.
    Auto,
    /// Those within this, mm.
    Within(f64),
}

/// Widest gap that is joined, mm: wider ones are no slips of the pen.
const WIDEST_GAP: f64 = 100.0;
/// Scales that a sheet may be drawn in.
const SCALES: std::ops::RangeInclusive<f64> = 1e-4..=1e4;
/// Furthest place in a drawing, mm.
const FURTHEST: f64 = 1e9;

fn gap(text: &str) -> Result<Gap, String> {
    if text.trim().eq_ignore_ascii_case("auto") {
        return Ok(Gap::Auto);
    }
    let gap = units::parse(text, Quantity::Length, &UnitChoice::default()).map_err(|e| e.to_string())?;
    if (0.0..=WIDEST_GAP).contains(&gap) {
        Ok(Gap::Within(gap))
    } else {
        Err(format!("it is {gap} mm; use 0 to {WIDEST_GAP} mm, or auto"))
    }
}

fn coordinates(text: &str, count: usize) -> Result<Vec<f64>, String> {
    let number = |t: &str| t.trim().parse::<f64>().ok().filter(|v| v.abs() <= FURTHEST);
    let numbers: Option<Vec<f64>> = text.split([',', ';']).map(number).collect();
    let example = if count == 2 { "120,75.5" } else { "0,0,400,250" };
    numbers
        .filter(|n| n.len() == count)
        .ok_or_else(|| format!("use {count} numbers in mm separated by commas, such as {example}"))
}

fn point(text: &str) -> Result<DVec2, String> {
    coordinates(text, 2).map(|n| DVec2::new(n[0], n[1]))
}

fn corners(text: &str) -> Result<[DVec2; 2], String> {
    coordinates(text, 4).map(|n| [DVec2::new(n[0], n[1]), DVec2::new(n[2], n[3])])
}

fn scale(text: &str) -> Result<f64, String> {
    let number = |t: &str| t.trim().parse::<f64>().ok();
    let times = match text.split_once(':') {
        Some((drawn, real)) => number(real).zip(number(drawn)).map(|(real, drawn)| real / drawn),
        None => number(text),
    };
    times.filter(|t| SCALES.contains(t)).ok_or_else(|| {
        "give how many times larger than drawn the part is, such as 2, or the scale of the sheet, such as 1:2".to_owned()
    })
}

/// Reads a drawing and writes the project.
pub(super) fn import(
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

/// Parts that are listed.
const MOST_PARTS: usize = 20;

/// What was read, and what is told of it: the worst first, and no more than a screen holds.
fn imported(drawing: &exchange::Drawing) -> Vec<String> {
    let mut lines: Vec<String> = drawing
        .parts
        .iter()
        .take(MOST_PARTS)
        .map(|part| {
            let size = part.outline.outer.bounds().map_or(DVec2::ZERO, |b| b.max - b.min);
            let [x, y] = [size.x, size.y].map(|side| units::figure(side, 1));
            let role = match part.role {
                PartRole::Part => String::new(),
                role => format!(" ({}, not used)", role.label()),
            };
            format!(
                "{}: {x} × {y} mm, {}{role}",
                part.name,
                analysis::words::count_of(part.outline.holes.len(), "hole")
            )
        })
        .collect();
    if drawing.parts.len() > MOST_PARTS {
        lines.push(format!("and {} parts more", drawing.parts.len() - MOST_PARTS));
    }
    let messages = exchange::messages(drawing, &UnitChoice::default());
    for m in messages.iter().take(SHOWN_FIRST) {
        let times = if m.count > 1 { format!(" ({}×)", m.count) } else { String::new() };
        let place = if m.place.is_empty() { String::new() } else { format!(" – {}", m.place) };
        let other = match &m.other {
            Some((other, instead)) => format!("; or {other}: {}", instead.argument()),
            None => String::new(),
        };
        lines.push(format!("  {}: {}{times}{place}{other}", m.weight.label(), m.says));
    }
    if messages.len() > SHOWN_FIRST {
        let more = messages.len() - SHOWN_FIRST;
        let noun = if more == 1 { "minor one" } else { "minor ones" };
        lines.push(format!("  and {more} {noun}, listed by --json"));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_places_and_scales_are_figures_within_bounds() {
        assert_eq!(gap("auto"), Ok(Gap::Auto));
        assert_eq!(gap("0.05"), Ok(Gap::Within(0.05)));
        assert_eq!(gap("0"), Ok(Gap::Within(0.0)));
        assert_eq!(gap("0.1 in"), Ok(Gap::Within(2.54)));
        assert_eq!(gap("1,5mm"), Ok(Gap::Within(1.5)));
        for text in ["nan", "NaN", "inf", "-inf", "-1", "1e400", "", "5 kg", "101", "1/0", "wide"] {
            assert!(gap(text).is_err(), "{text}: {:?}", gap(text));
        }
        assert_eq!(point("120, -75.5"), Ok(DVec2::new(120.0, -75.5)));
        assert_eq!(corners("0,0;4,2"), Ok([DVec2::ZERO, DVec2::new(4.0, 2.0)]));
        for text in ["", "1", "1,2,3", "a,b", "nan,0", "1e300,0"] {
            assert!(point(text).is_err(), "{text}");
        }
        assert_eq!(scale("1:2"), Ok(2.0));
        assert_eq!(scale("5:1"), Ok(0.2));
        assert_eq!(scale("1.333"), Ok(1.333));
        for text in ["0", "-2", "1:0", "inf", "half", ""] {
            assert!(scale(text).is_err(), "{text}");
        }
    }
}
