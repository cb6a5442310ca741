//! Numbers given to things, and tags given to cups.

use crate::{Cup, LayoutId, Part, Project, Tool};

/// Highest number in a part: its own, its keep-outs', its attached masses'.
pub(crate) fn highest_in_part(part: &Part) -> u32 {
    let inner = part.keep_outs.iter().map(|k| k.id.0).chain(part.attached.iter().map(|a| a.id.0));
    inner.fold(part.id.0, u32::max)
}

/// Highest number in what carries the cups.
pub(crate) fn highest_in_tool(tool: &Tool) -> u32 {
    let masses = tool.masses.iter().map(|m| m.id.0);
    masses.chain(tool.frame.iter().map(|f| f.id.0)).max().unwrap_or(0)
}

/// Highest number in a project.
pub(crate) fn highest(project: &Project) -> u32 {
    let parts = project.parts.iter().map(|p| highest_in_part(p));
    let tool = |l: &crate::Layout| highest_in_tool(&l.tool);
    let layouts = project.layouts.iter().flat_map(|l| {
        let seats = l.seats.iter().map(|s| s.id.0);
        l.cups.iter().map(|c| c.id.0).chain(seats).chain([l.id.0, tool(l)])
    });
    let others = project.motions.iter().map(|m| m.id.0).chain(project.circuits.iter().map(|c| c.id.0));
    let others = others.chain(project.review.remarks.iter().map(|r| r.id.0));
    let others = others.chain(project.issued.iter().map(|i| i.content.last_id));
    parts.chain(layouts).chain(others).max().unwrap_or(0)
}

impl Project {
    /// The number after the last one given; callers use it to build ids for new things inside one edit.
    pub fn next_id(&self) -> u32 {
        self.last_id.saturating_add(1)
    }
    /// Free tags "C9", "C10" ... in a layout: they go on after the highest one in use.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Part, PartId, Project};
    /// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
    /// assert_eq!(project.next_tags(project.layouts[0].id, 2), ["C1", "C2"]);
    /// ```
    pub fn next_tags(&self, layout: LayoutId, count: usize) -> Vec<String> {
        let used = self.layout(layout).map_or(0, |l| highest_number(&l.cups));
        (1..=count as u64).map(|i| format!("C{}", u64::from(used) + i)).collect()
    }
}

/// The highest number of a tag "C9" among cups; 0 where none has such a tag.
pub fn highest_number<'c>(cups: impl IntoIterator<Item = &'c Cup>) -> u32 {
    cups.into_iter().filter_map(|c| c.tag.strip_prefix('C')?.parse().ok()).max().unwrap_or(0)
}
