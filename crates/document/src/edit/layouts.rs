//! What a change of the alternatives themselves makes of a project: added, renamed, moved, taken away, other tool.

use super::{
    Edit, EditError,
    apply::{Outcome, add_cups, finite, layout_mut, missing, place, shift},
    circuits, seats,
};
use crate::{Layout, Project, Tool, ids, numbers, tidy};
use std::{collections::HashSet, sync::Arc};

pub(super) fn change(edit: &Edit, p: &mut Project) -> Outcome {
    match edit {
        Edit::AddLayout(layout) => {
            if p.layout(layout.id).is_some() {
                return Err(EditError::Duplicate { what: format!("layout {}", layout.id) });
            }
            if let Some(gone) = layout.parts().into_iter().find(|part| p.part(*part).is_none()) {
                return Err(missing(format!("part {gone} of layout {}", layout.name)));
            }
            let name = checked_name(&layout.name, || "the new layout".to_owned())?;
            let tool = checked_tool(&layout.tool, &name, None)?;
            let mut highest = layout.id.0.max(ids::highest_in_tool(&tool));
            let proposed = layout.proposed.clone();
            let part = layout.part;
            let (seats, cups) = (Vec::new(), Vec::new());
            let mut new = Layout { id: layout.id, name, part, seats, cups, tool, proposed };
            add_cups(p, &mut new, &layout.cups, &mut highest)?;
            for seat in &layout.seats {
                seats::add(p, &mut new, seat)?;
                highest = highest.max(seat.id.0);
            }
            new.follow_seats();
            p.last_id = p.last_id.max(highest);
            p.layouts.push(Arc::new(new));
        }
        Edit::RenameLayout(id, to) => {
            let layout = layout_mut(p, *id)?;
            layout.name = checked_name(to, || format!("layout {}", layout.name))?;
        }
        Edit::RemoveLayout(id) => {
            let at = place(&p.layouts, id, |x| &x.id, || format!("layout {id}"))?;
            if p.layouts.len() == 1 {
                return Err(EditError::Last {
                    what: format!("layout {}", p.layouts[at].name),
                    kind: "layout",
                });
            }
            p.layouts.remove(at);
            p.accepted.retain(|a| a.layout != *id);
            circuits::forget_gone(p);
        }
        Edit::MoveLayout(id, to) => {
            let at = place(&p.layouts, id, |x| &x.id, || format!("layout {id}"))?;
            shift(&mut p.layouts, at, *to);
        }
        Edit::ChangeTool { layout, tool, .. } => {
            let of = layout_mut(p, *layout)?;
            let checked = checked_tool(tool, &of.name, Some(&of.tool))?;
            p.last_id = p.last_id.max(ids::highest_in_tool(&checked));
            layout_mut(p, *layout)?.tool = checked;
        }
        _ => {}
    }
    Ok(())
}

/// Without blanks around it; compare and the sheet tell layouts apart by their names.
fn checked_name(name: &str, of: impl FnOnce() -> String) -> Result<String, EditError> {
    let name = name.trim();
    if name.is_empty() { Err(EditError::NoName { what: of() }) } else { Ok(name.to_owned()) }
}

fn checked_tool(tool: &Tool, layout: &str, before: Option<&Tool>) -> Result<Arc<Tool>, EditError> {
    let mut tool = tool.clone();
    let what = format!("tool of layout {layout}");
    finite(&mut tool, numbers::tool, &what)?;
    let mut seen = HashSet::new();
    if let Some(twice) = tool.masses.iter().find(|m| !seen.insert(m.id.0)) {
        return Err(EditError::Duplicate { what: format!("mass {} of the {what}", twice.id) });
    }
    seen.clear();
    if let Some(twice) = tool.frame.iter().find(|f| !seen.insert(f.id.0)) {
        return Err(EditError::Duplicate { what: format!("frame piece {} of the {what}", twice.id) });
    }
    Ok(Arc::new(tidy::thing(tool, before, numbers::tool)))
}
