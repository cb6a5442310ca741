//! Copies of layouts, to be changed and compared.

use crate::{Layout, LayoutId, Part, Project, Tool};
use std::sync::Arc;

impl Layout {
    /// A layout without cups for a part, its flange over the part's centre of gravity.
    pub fn empty(id: LayoutId, name: &str, part: &Part) -> Self {
        let tool = Arc::new(Tool::preset(part));
        Self {
            id,
            name: name.to_owned(),
            part: part.id,
            seats: Vec::new(),
            cups: Vec::new(),
            tool,
            proposed: String::new(),
        }
    }
}

impl Project {
    /// A copy of a layout under a new id and a name of its own, for [`crate::Edit::AddLayout`]. Cups, tool and frame keep
    /// their ids, so that compare pairs them. An empty `name` stands for "Layout A copy"; one that is taken gets a number.
    /// Reasons for findings are not copied: what was accepted there was not accepted here. `None` without that layout.
    ///
    /// ```
    /// # use document::{Edit, Part, PartId, Project};
    /// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    /// let copy = project.copy_of_layout(project.layouts[0].id, "").unwrap();
    /// assert_eq!(copy.name, "Layout A copy");
    /// let both = Edit::AddLayout(copy.into()).apply(&project).unwrap();
    /// assert_eq!(both.copy_of_layout(both.layouts[0].id, "").unwrap().name, "Layout A copy 2");
    /// ```
    pub fn copy_of_layout(&self, id: LayoutId, name: &str) -> Option<Layout> {
        let from = self.layout(id)?;
        let wanted = if name.trim().is_empty() { format!("{} copy", from.name) } else { name.to_owned() };
        let name = self.free_layout_name(&wanted);
        Some(Layout { id: LayoutId(self.next_id()), name, ..(**from).clone() })
    }
    /// `wanted`, or with the first number behind it that no layout has: "Layout A copy 2".
    pub fn free_layout_name(&self, wanted: &str) -> String {
        let wanted = wanted.trim();
        let taken = |name: &str| self.layouts.iter().any(|l| l.name == name);
        if !taken(wanted) {
            return wanted.to_owned();
        }
        let numbered = (2u64..).map(|n| format!("{wanted} {n}"));
        numbered.into_iter().find(|name| !taken(name)).unwrap_or_default()
    }
}
