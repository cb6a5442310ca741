//! What a change is called.

use super::Edit;
use crate::{Cup, CupId, LayoutId, MotionId, Outcome, Project, RemarkId, Seat, difference::titled};

/// "C4" or "3 cups".
fn cups<'a>(tags: impl ExactSizeIterator<Item = Option<&'a str>>) -> String {
    let count = tags.len();
    let mut tags = tags;
    match tags.next() {
        Some(Some(tag)) if count == 1 => tag.to_owned(),
        _ if count == 1 => "1 cup".to_owned(),
        _ => format!("{count} cups"),
    }
}
fn tags_of(cups: &[Cup]) -> impl ExactSizeIterator<Item = Option<&str>> {
    cups.iter().map(|c| Some(c.tag.as_str()))
}
fn tag(project: &Project, layout: LayoutId, cup: CupId) -> Option<&str> {
    project.layout(layout)?.cups.iter().find(|c| c.id == cup).map(|c| c.tag.as_str())
}
fn or<'a>(given: &'a str, otherwise: impl FnOnce() -> String) -> std::borrow::Cow<'a, str> {
    if given.trim().is_empty() { otherwise().into() } else { given.into() }
}
fn layout_name(project: &Project, id: LayoutId) -> &str {
    project.layout(id).map_or("", |l| l.name.as_str())
}
fn layout(name: &str) -> String {
    titled("layout", name)
}
/// "Place Panel on the tool", "Shut zone B for Panel".
fn seat_change(before: &Project, layout: LayoutId, seat: &Seat) -> String {
    let name = before.seat_name(layout, seat.id);
    let held = before.layout(layout).and_then(|l| l.all_seats().into_iter().find(|s| s.id == seat.id));
    let Some(held) = held else { return format!("Change {name} on the tool") };
    let only = |zones: &[String], others: &[String]| -> Vec<String> {
        zones.iter().filter(|zone| !others.contains(zone)).cloned().collect()
    };
    let (shut, opened) = (only(&seat.shut, &held.shut), only(&held.shut, &seat.shut));
    let others = Seat {
        shut: held.shut.clone(),
        at: held.at,
        turn_deg: held.turn_deg,
        stops: held.stops,
        ..seat.clone()
    };
    match (shut.as_slice(), opened.as_slice()) {
        ([], []) if others == held && seat.stops != held.stops => match seat.stops {
            Some(_) => format!("Place {name} by its stops"),
            None => format!("Remove the stops of {name}"),
        },
        _ if others != held => format!("Change {name} on the tool"),
        ([], []) if held.at == seat.at => format!("Turn {name} on the tool"),
        ([], []) => format!("Place {name} on the tool"),
        ([zone], []) => format!("Shut zone {zone} for {name}"),
        ([], [zone]) => format!("Open zone {zone} for {name}"),
        _ => format!("Switch zones for {name}"),
    }
}
fn motion_name(project: &Project, id: MotionId) -> &str {
    project.motion(id).map_or("motion", |m| m.name.as_str())
}

fn remark(project: &Project, id: RemarkId) -> &str {
    project.remark(id).map_or("the project", |r| r.called.as_str())
}

impl Edit {
    /// What undo and redo call it: "Move C4", "Add 8 cups", "Change thickness of Tray blank to 4 mm".
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Edit, Part, PartId, Project};
    /// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
    /// let remove = Edit::RemoveMotion(project.motions[0].id);
    /// assert_eq!(remove.name(&project), "Remove motion Level lift");
    /// ```
    pub fn name(&self, before: &Project) -> String {
        match self {
            Self::RenameProject(to) => format!("Rename project to {to}"),
            Self::Trace { picture, what } => or(what, || match picture {
                Some(picture) => format!("Lay {} under the plan", picture.name),
                None => "Remove the picture under the plan".to_owned(),
            })
            .into_owned(),
            Self::AddPart(part) => format!("Add part {}", part.name),
            Self::ChangePart { part, what } => or(what, || format!("Change part {}", part.name)).into_owned(),
            Self::RemovePart(id) => {
                format!("Remove part {}", before.part(*id).map_or("", |p| p.name.as_str()))
                    .trim_end()
                    .to_owned()
            }
            Self::AddLayout(new) => format!("Add {}", layout(&new.name)),
            Self::RenameLayout(id, to) => {
                format!("Rename {} to {}", layout(layout_name(before, *id)), to.trim())
            }
            Self::RemoveLayout(id) => format!("Remove {}", layout(layout_name(before, *id))),
            Self::MoveLayout(id, place) => {
                format!("Move {} to position {}", layout(layout_name(before, *id)), place + 1)
            }
            Self::ChangeTool { layout: id, what, .. } => {
                or(what, || format!("Change tool of {}", layout(layout_name(before, *id)))).into_owned()
            }
            Self::AddSeat { seat, .. } => format!("Add {} to the tool", before.name_of_part(seat.part)),
            Self::ChangeSeat { layout, seat, what } => {
                or(what, || seat_change(before, *layout, seat)).into_owned()
            }
            Self::RemoveSeat { layout, seat } => {
                format!("Remove {} from the tool", before.seat_name(*layout, *seat))
            }
            Self::AddCups { cups: new, .. } => format!("Add {}", cups(tags_of(new))),
            Self::RemoveCups { layout, cups: ids } => {
                format!("Remove {}", cups(ids.iter().map(|id| tag(before, *layout, *id))))
            }
            Self::MoveCups { layout, to } => {
                format!("Move {}", cups(to.iter().map(|(id, _)| tag(before, *layout, *id))))
            }
            Self::ChangeCups { cups: changed, what, .. } => {
                or(what, || format!("Change {}", cups(tags_of(changed)))).into_owned()
            }
            Self::AddMotion(motion) => format!("Add motion {}", motion.name),
            Self::ChangeMotion { motion, what } => {
                or(what, || format!("Change motion {}", motion.name)).into_owned()
            }
            Self::RemoveMotion(id) => format!("Remove motion {}", motion_name(before, *id)),
            Self::MoveMotion(id, place) => {
                format!("Move motion {} to position {}", motion_name(before, *id), place + 1)
            }
            Self::AddCircuit(circuit) => format!("Add {}", circuit.name),
            Self::ChangeCircuit { circuit, what } => {
                or(what, || format!("Change {}", circuit.name)).into_owned()
            }
            Self::RemoveCircuit(id) => {
                format!("Remove {}", before.circuit(*id).map_or("circuit", |c| c.name.as_str()))
            }
            Self::AddSource(source) => format!("Add source {}", source.name),
            Self::ChangeSource { source, what } => {
                or(what, || format!("Change source {}", source.name)).into_owned()
            }
            Self::RemoveSource(id) => {
                format!("Remove source {}", before.source(id).map_or(&*id.0, |s| s.name.as_str()))
            }
            Self::ChangeCycle { what, .. } => or(what, || "Change cycle and prices".to_owned()).into_owned(),
            Self::Ask(_) => "Change the question for proposals".to_owned(),
            Self::ChangeTrial { what, .. } => or(what, || "Change trial".to_owned()).into_owned(),
            Self::AddModel(model) => format!("Add cup model {}", model.name),
            Self::ChangeModel { model, what } => {
                or(what, || format!("Change cup model {}", model.name)).into_owned()
            }
            Self::RemoveModel(id) => {
                format!("Remove cup model {}", before.model(id).map_or(&*id.0, |m| m.name.as_str()))
            }
            Self::ChangeSite { what, .. } => or(what, || "Change site".to_owned()).into_owned(),
            Self::ChangeRules { what, .. } => or(what, || "Change finding limits".to_owned()).into_owned(),
            Self::ChangeSheet { what, .. } => or(what, || "Change title block".to_owned()).into_owned(),
            Self::Accept(accepted) => format!("Accept finding {}", accepted.rule),
            Self::Unaccept { rule, .. } => format!("Withdraw acceptance of {rule}"),
            Self::Issue { index, .. } => format!("Issue revision {index}"),
            Self::AddRemark(remark) => format!("Remark on {}", remark.called),
            Self::AnswerRemark(id, _) => format!("Answer remark on {}", remark(before, *id)),
            Self::ResolveRemark(id, Some(_)) => format!("Settle remark on {}", remark(before, *id)),
            Self::ResolveRemark(id, None) => format!("Reopen remark on {}", remark(before, *id)),
            Self::RemoveRemark(id) => format!("Remove remark on {}", remark(before, *id)),
            Self::Decide(decision) => match decision.outcome {
                Outcome::Accept => "Approve in review".to_owned(),
                Outcome::SendBack => "Send back in review".to_owned(),
            },
            Self::Tick(_) => "Tick a review question".to_owned(),
            Self::Untick { .. } => "Untick a review question".to_owned(),
            Self::Together { name, edits } => or(name, || match &edits[..] {
                [only] => only.name(before),
                _ => format!("Make {} changes", edits.len()),
            })
            .into_owned(),
        }
    }
}
