//! What is written about, as window and command line have it, and what comes of it.

use analysis::{Analyst, MotionReport, Report};

use document::{LayoutId, MotionId, Part, Project};
use std::sync::Arc;
use telling::{Comparison, Difference};
use units::UnitChoice;

/// Dots per inch of pictures until a person chooses: what a page on a desk is read at.
pub(crate) const USUAL_DPI: f64 = 150.0;

/// What a person chose for one that is written.
#[derive(Debug, Clone)]
pub struct Choices {
    /// Paper, side and units of the sheet.
    pub sheet: sheet::SheetOptions,
    /// Release of a DXF drawing.
    pub dxf: exchange::DxfVersion,
    /// Whether the comparison goes with the sheet.
    pub comparison: bool,
    /// Dots per inch of a PNG.
    pub dpi: f64,
    /// A PDF for an archive, PDF/A-2a.
    pub archival: bool,
}

impl Default for Choices {
    fn default() -> Self {
        Self {
            sheet: sheet::SheetOptions::default(),
            dxf: exchange::DxfVersion::default(),
            comparison: false,
            dpi: USUAL_DPI,
            archival: false,
        }
    }
}

/// The earlier state that a project is set beside.
#[derive(Debug, Clone)]
pub(crate) struct Before {
    /// "revision A", "tray-old.ron".
    pub(crate) name: String,
    /// Its content.
    pub(crate) project: Arc<Project>,
    /// What changed since, where that is known already.
    pub(crate) difference: Option<Arc<Difference>>,
}

/// A project and all that its writers may ask for; what is not known is worked out, however long it takes.
pub(crate) struct Subject<'a> {
    /// Name of the file, for JSON.
    pub(crate) file: String,
    pub(crate) project: Arc<Project>,
    pub(crate) layout: LayoutId,
    pub(crate) units: UnitChoice,
    /// The motion on the plan; `None` takes the one that governs.
    pub(crate) motion: Option<MotionId>,
    /// Layouts that are compared; none, or two and more.
    pub(crate) compared: Vec<LayoutId>,
    pub(crate) beside: Option<Before>,
    pub(crate) choices: Choices,
    /// The table of shortcuts, where they are asked for.
    pub(crate) keys: Option<fn(&UnitChoice) -> Vec<sheet::KeyGroup>>,
    /// Of the layout; the whole one is worked out where this is empty.
    pub(crate) report: Option<Arc<Report>>,
    /// Of the compared layouts.
    pub(crate) comparison: Option<Arc<Comparison>>,
    pub(crate) analyst: &'a mut Analyst,
}

impl<'a> Subject<'a> {
    /// One layout of a project.
    pub(crate) fn new(
        file: &str,
        project: Arc<Project>,
        layout: LayoutId,
        units: UnitChoice,
        analyst: &'a mut Analyst,
    ) -> Self {
        analyst.set_units(units);
        Self {
            file: file.to_owned(),
            project,
            layout,
            units,
            motion: None,
            compared: Vec::new(),
            beside: None,
            choices: Choices::default(),
            keys: None,
            report: None,
            comparison: None,
            analyst,
        }
    }

    /// The part under the layout.
    pub(crate) fn part(&self) -> Option<&Arc<Part>> {
        self.project.part(self.project.layout(self.layout)?.part)
    }

    /// What is known about the layout, slow figures and all.
    pub(crate) fn report(&mut self) -> Arc<Report> {
        let (project, layout, analyst) = (&self.project, self.layout, &mut *self.analyst);
        self.report.get_or_insert_with(|| analyst.check_whole(project, layout)).clone()
    }

    /// The same of these layouts.
    pub(crate) fn reports_of(&mut self, layouts: &[LayoutId]) -> Vec<Arc<Report>> {
        layouts.iter().map(|id| self.analyst.check_whole(&self.project, *id)).collect()
    }

    /// The same of every layout.
    pub(crate) fn reports(&mut self) -> Vec<Arc<Report>> {
        let all: Vec<LayoutId> = self.project.layouts.iter().map(|l| l.id).collect();
        self.reports_of(&all)
    }

    /// The compared layouts side by side; `None` where fewer than two are.
    pub(crate) fn comparison(&mut self) -> Option<Arc<Comparison>> {
        let (project, compared, analyst) = (&self.project, &self.compared, &mut *self.analyst);
        if compared.is_empty() {
            return None;
        }
        let found =
            self.comparison.get_or_insert_with(|| Arc::new(telling::compare(analyst, project, compared)));
        Some(found.clone())
    }

    /// What changed since the state it is set beside.
    pub(crate) fn difference(&mut self) -> Option<Arc<Difference>> {
        let (project, analyst) = (&self.project, &mut *self.analyst);
        let before = self.beside.as_mut()?;
        let earlier = &before.project;
        let found =
            before.difference.get_or_insert_with(|| Arc::new(telling::difference(analyst, earlier, project)));
        Some(found.clone())
    }
}

/// The motion that is shown: the one asked for, else the one that governs, else the one with the least margin.
pub(crate) fn shown_motion(report: &Report, asked: Option<MotionId>) -> Option<&MotionReport> {
    let asked = asked.or(report.verdict.motion);
    match asked.and_then(|id| report.motions.iter().find(|m| m.id == id)) {
        Some(motion) => Some(motion),
        None => report.governing().map(|(motion, _)| motion).or(report.motions.first()),
    }
}

/// What is to be written.
#[derive(Debug, Clone)]
pub(crate) enum Made {
    /// Pages; the ending of the file decides how.
    Pages {
        pages: Vec<sheet::Page>,
        /// Title of a PDF.
        name: String,
        /// The same as one page for a browser, where there is one.
        in_browser: Option<String>,
    },
    /// A table, a drawing or an object.
    Text(String),
}
