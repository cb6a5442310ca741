//! What the sheet is about, and how its figures are written.

use analysis::{CupReport, Family, MotionReport, Report, Severity};
use document::{CupModel, Layout, Motion, MotionId, Part, Project, Tool};
use glam::DVec2;
use telling::Identity;
use units::{Quantity, UnitChoice, show, show_given};

/// A layout by its name, with the word before it where the name does not say so itself: "Layout A", "layout Two round".
pub(crate) fn layout_called(word: &str, name: &str) -> String {
    let name = name.trim();
    let says_so = name.to_lowercase().contains("layout");
    if says_so { name.to_owned() } else { format!("{word} {name}") }
}

/// The project, the report that is printed, the units it is printed in, and which content it is.
#[derive(Clone, Copy)]
pub(crate) struct Context<'a> {
    pub project: &'a Project,
    pub report: &'a Report,
    pub units: &'a UnitChoice,
    pub identity: &'a Identity,
    /// Whether the reviewer's questions are printed.
    pub checklist: bool,
    /// Of a tool that carries several parts: all of them, and which this is about.
    pub on_tool: Option<(&'a Family, usize)>,
    /// How large the plan is drawn, once that is known: signs that are too small to be drawn have no place in its legend.
    pub plan: Option<f64>,
}

/// Whether the sheet may say that the factor is met.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outcome {
    pub meets: bool,
    pub says: String,
}

/// Whether a motion has a figure that reaches what is required of it; a figure that is no number does not.
pub(crate) fn met(motion: &MotionReport) -> bool {
    motion.outcome.as_ref().is_ok_and(|outcome| outcome.factor >= motion.required_factor)
}

/// What stands for a value that is not finite: nothing limits it, or there is none.
fn without_figure(value: f64) -> String {
    if value == f64::INFINITY { "no limit".to_owned() } else { "none".to_owned() }
}

impl<'a> Context<'a> {
    /// Name of the part that this tells of, where a tool carries several.
    pub fn seat_name(&self) -> Option<String> {
        let (family, at) = self.on_tool?;
        Some(family.seats.get(at)?.name.trim().to_owned())
    }

    pub fn layout(&self) -> Option<&'a Layout> {
        self.project.layout(self.report.layout).map(AsRef::as_ref)
    }
    pub fn part(&self) -> Option<&'a Part> {
        self.project.part(self.layout()?.part).map(AsRef::as_ref)
    }
    pub fn motion(&self, id: MotionId) -> Option<&'a Motion> {
        self.project.motion(id).map(AsRef::as_ref)
    }
    /// The model of a cup of the report; by the document, since the report carries only its name.
    pub fn model_of(&self, cup: document::CupId) -> Option<&'a CupModel> {
        let cup = self.layout()?.cups.iter().find(|c| c.id == cup)?;
        self.project.model(&cup.model).map(AsRef::as_ref)
    }
    /// What carries the cups, when anybody said so: without that the flange is not known.
    pub fn stated_tool(&self) -> Option<&'a Tool> {
        self.layout().map(|layout| layout.tool.as_ref()).filter(|tool| **tool != Tool::default())
    }
    /// Cups of the tool that do not hold this part.
    pub fn cups_beside(&self) -> impl Iterator<Item = &'a CupReport> + use<'a> {
        let report = self.report;
        let all = self.on_tool.into_iter().flat_map(|(family, _)| &family.cups);
        all.filter(move |cup| report.cups.iter().all(|held| held.id != cup.id))
    }
    /// The other parts as they lie on the tool, each with its name.
    pub fn parts_beside(&self) -> Vec<(&'a str, &'a Part)> {
        let Some((family, own)) = self.on_tool else { return Vec::new() };
        let others = family.seats.iter().enumerate().filter(|(index, _)| *index != own);
        others
            .filter_map(|(_, seat)| Some((seat.name.as_str(), seat.project.part(seat.seat.part)?.as_ref())))
            .collect()
    }
    /// Names of the zones in use, sorted.
    pub fn zones(&self) -> Vec<&'a str> {
        // A zone keeps its hatching from part to part.
        let cups = self.on_tool.map_or(&self.report.cups, |(family, _)| &family.cups);
        let mut zones: Vec<&str> =
            cups.iter().map(|cup| cup.zone.trim()).filter(|zone| !zone.is_empty()).collect();
        zones.sort_unstable();
        zones.dedup();
        zones
    }
    /// Figures alone.
    pub fn number(&self, value: f64, quantity: Quantity) -> String {
        if value.is_finite() { show(value, quantity, self.units).number } else { without_figure(value) }
    }
    /// Figures and unit.
    pub fn figure(&self, value: f64, quantity: Quantity) -> String {
        if value.is_finite() { show(value, quantity, self.units).to_string() } else { without_figure(value) }
    }
    /// Figures and unit of what a person gave: every digit where those are few.
    pub fn given(&self, value: f64, quantity: Quantity) -> String {
        let shown = show_given(value, quantity, self.units).to_string();
        if value.is_finite() { shown } else { without_figure(value) }
    }
    /// A place or size on the part as it is to be made: every digit where those are few, without the noise of a difference.
    pub fn as_made(&self, mm: f64) -> String {
        const NOISE: f64 = 1e6;
        let value = if mm.abs() < 1e9 { (mm * NOISE).round() / NOISE } else { mm };
        if value.is_finite() {
            show_given(value, Quantity::Length, self.units).number
        } else {
            without_figure(value)
        }
    }
    pub fn length(&self, value: f64) -> String {
        self.number(value, Quantity::Length)
    }
    /// A round length without its empty decimals: "100 mm".
    pub fn round_length(&self, mm: f64) -> String {
        let shown = show(mm, Quantity::Length, self.units);
        format!("{} {}", units::trimmed(&shown.number), shown.unit)
    }
    /// Where places are counted from, on the part.
    pub fn datum(&self) -> DVec2 {
        self.part().map_or(DVec2::ZERO, Part::datum_at)
    }
    /// A place on the part, from the datum.
    pub fn point(&self, at: DVec2) -> String {
        self.way(at - self.datum())
    }
    /// A distance along both axes.
    pub fn way(&self, at: DVec2) -> String {
        // A decimal comma would make a plain comma between the two figures unreadable.
        format!("{}{}{}", self.length(at.x), self.units.between(), self.length(at.y))
    }
    pub fn length_unit(&self) -> &'static str {
        match self.units.length {
            units::LengthUnit::Millimetre => "mm",
            units::LengthUnit::Inch => "in",
        }
    }
    pub fn length_unit_name(&self) -> &'static str {
        match self.units.length {
            units::LengthUnit::Millimetre => "millimetres",
            units::LengthUnit::Inch => "inches",
        }
    }
    /// A factor to two decimals, never rounded up to a requirement that it misses.
    pub fn factor(&self, factor: f64, required: f64) -> String {
        let (shown, needed) = (self.ratio(factor), self.ratio(required));
        if factor < required && shown == needed { format!("< {needed}") } else { shown }
    }
    /// A factor with what it is held against, "5.16 of 4.00".
    pub fn factor_of(&self, factor: f64, required: f64) -> String {
        if !factor.is_finite() {
            return without_figure(factor);
        }
        format!("{} of {}", self.factor(factor, required), self.ratio(required))
    }
    pub fn ratio(&self, value: f64) -> String {
        if !value.is_finite() {
            return without_figure(value);
        }
        units::fixed(value, if value.abs() >= 1000.0 { 0 } else { 2 }, self.units)
    }
    /// A plain figure to so many decimals.
    pub fn fixed(&self, value: f64, decimals: usize) -> String {
        if !value.is_finite() {
            return without_figure(value);
        }
        units::fixed(value, decimals, self.units)
    }
    pub fn tag(&self, id: document::CupId) -> &'a str {
        self.report.cups.iter().find(|cup| cup.id == id).map_or("?", |cup| cup.tag.as_str())
    }
    /// What the title block says of the requirement.
    pub fn outcome(&self) -> Outcome {
        let no = |says: String| Outcome { meets: false, says };
        let report = self.report;
        if report.cups.is_empty() || report.motions.is_empty() {
            return no("does not meet the required factor: no result".to_owned());
        }
        // Of a part that bends the factor as it bends is what counts.
        let short = |motion: &&MotionReport| {
            !met(motion) || report.factor_of(motion).is_none_or(|factor| factor < motion.required_factor)
        };
        let worst = report.motions.iter().filter(short).map(|motion| {
            let factor = report.factor_of(motion);
            (motion, factor, factor.unwrap_or(0.0) / motion.required_factor)
        });
        if let Some((motion, factor, _)) = worst.min_by(|a, b| a.2.total_cmp(&b.2)) {
            return no(match factor {
                Some(factor) => format!(
                    "does not meet the required factor as modelled: {} of {}",
                    self.factor(factor, motion.required_factor),
                    self.ratio(motion.required_factor)
                ),
                None => format!("does not meet the required factor: {} has no result", motion.name),
            });
        }
        let open =
            report.findings.iter().filter(|f| f.severity == Severity::Fail && f.accepted.is_none()).count();
        match open {
            0 => Outcome { meets: true, says: "meets the required factor as modelled".to_owned() },
            1 => no("does not meet every check: 1 finding fails".to_owned()),
            many => no(format!("does not meet every check: {many} findings fail")),
        }
    }
}
