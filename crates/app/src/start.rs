//! What a start shows before anything is opened, and what stands in where nothing is.

use document::{Layout, LayoutId, Part, PartId, Project};
use std::sync::Arc;

/// The demo that the first start opens, compiled in so that it is there wherever the program is.
pub const DEMOS: &[(&str, &str)] = &crate::demos::DEMOS;

/// The finished demo.
pub fn demo_project() -> Project {
    let (name, text) = DEMOS[0];
    document::from_text(text, name).unwrap_or_else(|error| {
        // A test opens every demo; should one be broken all the same, an empty plan is better than no window.
        log::error!("{error}");
        Project::new("New project", (*no_part()).clone())
    })
}

/// Stands in where a project has no layout.
pub fn no_layout() -> Arc<Layout> {
    Arc::new(Layout {
        id: LayoutId(0),
        name: String::new(),
        part: PartId(0),
        seats: Vec::new(),
        cups: Vec::new(),
        tool: Arc::default(),
        proposed: String::new(),
    })
}

/// A plain sheet to start from.
pub fn no_part() -> Arc<Part> {
    let outer = geometry::Loop::rectangle(glam::DVec2::ZERO, glam::DVec2::new(400.0, 300.0));
    Arc::new(Part::from_outline(
        PartId(1),
        "New part",
        Arc::new(geometry::Outline { outer, holes: Vec::new() }),
    ))
}
