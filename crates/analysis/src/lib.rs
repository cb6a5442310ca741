//! Document -> engine problems -> report -> findings.
mod report;
use document::{CupId, LayoutId, Project};
pub use report::*;
use std::sync::Arc;

/// Memoised stages; `check` is a pure function of the project and layout.
#[derive(Default)]
pub struct Analyst {
    _private: (),
}
impl Analyst {
    pub fn new() -> Self {
        Self::default()
    }
    pub fn check(&mut self, project: &Project, layout: LayoutId) -> Arc<Report> {
        todo!()
    }
    /// Where the centre of a cup may be (cached by part, shape, turn and margin).
    pub fn landing_region(
        &mut self,
        project: &Project,
        layout: LayoutId,
        model: &document::ModelId,
        turn_deg: f64,
    ) -> Option<Arc<geometry::LandingRegion>> {
        todo!()
    }
    /// Overhanging pieces of a cup's lip for drawing.
    pub fn overhang(&mut self, project: &Project, layout: LayoutId, cup: CupId) -> Vec<geometry::Overhang> {
        todo!()
    }
}
/// The `check --json` object of one project (all layouts); see crates/analysis/schema/check.schema.json.
pub fn to_json(file: &str, project: &Project, reports: &[Arc<Report>]) -> String {
    todo!()
}
