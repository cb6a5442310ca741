//! What a change makes of a project, and what stands against it.

use super::{Edit, EditError, circuits, layouts, review, seats};
use crate::{
    Accepted, Cup, CupId, CupModel, Layout, LayoutId, Motion, Part, Project, Question, ids, numbers, ranges,
    tidy,
};
use std::{
    collections::{HashMap, HashSet},
    sync::Arc,
};

pub(super) type Outcome = Result<(), EditError>;

impl Edit {
    /// The project with this change made. Numbers are tidied of arithmetic noise on the way in
    /// (0.30000000000000004 becomes 0.3); nothing else of what is given is altered.
    ///
    /// # Errors
    /// Something named is not there, is there already or is still in use; a figure is no number, or out of the range of its
    /// field and was not so before ([`crate::fields`]). Nothing is half applied.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Edit, Part, PartId, Project};
    /// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
    /// let last = project.layouts[0].id;
    /// let error = Edit::RemoveLayout(last).apply(&project).unwrap_err();
    /// assert!(error.to_string().starts_with("layout Layout A is the last layout"));
    /// ```
    pub fn apply(&self, project: &Project) -> Result<Project, EditError> {
        let mut after = project.clone();
        apply(self, &mut after)?;
        crate::defaults::follow(project, &mut after);
        match ranges::brought_in(project, &after) {
            Some(out) => Err(EditError::OutOfRange(Box::new(out))),
            None => Ok(after),
        }
    }
}

pub(super) fn missing(what: impl Into<String>) -> EditError {
    EditError::Missing { what: what.into() }
}
pub(super) fn finite<T>(thing: &mut T, visit: impl Fn(&mut T, numbers::Each<'_>), what: &str) -> Outcome {
    match numbers::first_not_finite(thing, visit) {
        Some(field) => Err(EditError::NotFinite { what: what.to_owned(), field }),
        None => Ok(()),
    }
}
/// Place of the thing with this id in a list.
pub(super) fn place<T, K: PartialEq>(
    list: &[Arc<T>],
    id: &K,
    of: impl Fn(&T) -> &K,
    what: impl Fn() -> String,
) -> Result<usize, EditError> {
    list.iter().position(|x| of(x) == id).ok_or_else(|| missing(what()))
}
pub(super) fn shift<T>(list: &mut Vec<T>, from: usize, to: usize) {
    let moved = list.remove(from);
    list.insert(to.min(list.len()), moved);
}

fn apply(edit: &Edit, p: &mut Project) -> Outcome {
    match edit {
        Edit::RenameProject(name) => p.name.clone_from(name),
        Edit::AddPart(part) => {
            if p.part(part.id).is_some() {
                return Err(EditError::Duplicate { what: format!("part {}", part.id) });
            }
            let part = checked_part(part, None)?;
            p.last_id = p.last_id.max(ids::highest_in_part(&part));
            p.parts.push(Arc::new(part));
        }
        Edit::ChangePart { part, .. } => {
            let at = place(&p.parts, &part.id, |x| &x.id, || format!("part {}", part.id))?;
            let part = checked_part(part, Some(&p.parts[at]))?;
            p.last_id = p.last_id.max(ids::highest_in_part(&part));
            p.parts[at] = Arc::new(part);
        }
        Edit::RemovePart(id) => {
            let at = place(&p.parts, id, |x| &x.id, || format!("part {id}"))?;
            let what = format!("part {}", p.parts[at].name);
            let users: Vec<&str> =
                p.layouts.iter().filter(|l| l.parts().contains(id)).map(|l| l.name.as_str()).collect();
            if !users.is_empty() {
                let remedy = if p.layouts.iter().any(|l| l.seats.len() > 1 && l.parts().contains(id)) {
                    "remove it from their tools first"
                } else {
                    "remove those layouts first"
                };
                return Err(EditError::InUse { what, by: listed("layout", &users), remedy });
            }
            if p.parts.len() == 1 {
                return Err(EditError::Last { what, kind: "part" });
            }
            p.parts.remove(at);
            circuits::forget_gone(p);
        }
        Edit::AddLayout(_)
        | Edit::RenameLayout(..)
        | Edit::RemoveLayout(_)
        | Edit::MoveLayout(..)
        | Edit::ChangeTool { .. } => {
            layouts::change(edit, p)?;
        }
        Edit::AddSeat { .. } | Edit::ChangeSeat { .. } | Edit::RemoveSeat { .. } => seats::change(edit, p)?,
        Edit::AddCups { .. } | Edit::RemoveCups { .. } | Edit::MoveCups { .. } | Edit::ChangeCups { .. } => {
            change_cups(edit, p)?;
        }
        Edit::AddMotion(motion) => {
            if p.motion(motion.id).is_some() {
                return Err(EditError::Duplicate { what: format!("motion {}", motion.id) });
            }
            p.motions.push(checked_motion(motion, None)?);
            p.last_id = p.last_id.max(motion.id.0);
        }
        Edit::ChangeMotion { motion, .. } => {
            let at = place(&p.motions, &motion.id, |x| &x.id, || format!("motion {}", motion.id))?;
            p.motions[at] = checked_motion(motion, Some(&p.motions[at]))?;
        }
        Edit::RemoveMotion(id) => {
            let at = place(&p.motions, id, |x| &x.id, || format!("motion {id}"))?;
            p.motions.remove(at);
            p.accepted.retain(|a| a.motion != Some(*id));
            seats::drop_stale(p);
        }
        Edit::MoveMotion(id, to) => {
            let at = place(&p.motions, id, |x| &x.id, || format!("motion {id}"))?;
            shift(&mut p.motions, at, *to);
        }
        Edit::AddCircuit(_)
        | Edit::ChangeCircuit { .. }
        | Edit::RemoveCircuit(_)
        | Edit::AddSource(_)
        | Edit::ChangeSource { .. }
        | Edit::RemoveSource(_)
        | Edit::ChangeCycle { .. }
        | Edit::ChangeTrial { .. } => circuits::change(edit, p)?,
        Edit::AddModel(_) | Edit::ChangeModel { .. } | Edit::RemoveModel(_) => change_models(edit, p)?,
        Edit::ChangeSite { site, .. } => {
            finite(&mut site.clone(), numbers::site, "the site")?;
            p.site = tidy::thing(*site, Some(&p.site), numbers::site);
        }
        Edit::ChangeRules { rules, .. } => {
            finite(&mut rules.clone(), numbers::rules, "the finding limits")?;
            p.rules = tidy::thing(*rules, Some(&p.rules), numbers::rules);
        }
        Edit::Ask(question) => {
            let mut question = Question::clone(question);
            finite(&mut question, numbers::question, "the question")?;
            p.question = Arc::new(question);
        }
        Edit::ChangeSheet { sheet, .. } => {
            finite(&mut sheet.clone(), numbers::sheet, "the title block")?;
            p.sheet = tidy::thing(sheet.clone(), Some(&p.sheet), numbers::sheet);
        }
        Edit::Accept(accepted) => {
            check_acceptance(p, accepted)?;
            match p.accepted.iter_mut().find(|a| same_finding(a, accepted)) {
                Some(earlier) => *earlier = accepted.clone(),
                None => p.accepted.push(accepted.clone()),
            }
        }
        Edit::Unaccept { rule, subject, motion, layout, seat } => {
            let before = p.accepted.len();
            p.accepted.retain(|a| {
                (&a.rule, &a.subject, &a.motion, &a.layout, &a.seat) != (rule, subject, motion, layout, seat)
            });
            if p.accepted.len() == before {
                return Err(missing(format!("the acceptance of {rule}")));
            }
        }
        Edit::Trace { picture, .. } => {
            if let Some(picture) = picture {
                traced(picture)?;
            }
            p.traced.clone_from(picture);
        }
        Edit::Together { edits, .. } => edits.iter().try_for_each(|e| apply(e, p))?,
        Edit::Issue { .. }
        | Edit::AddRemark(_)
        | Edit::AnswerRemark(..)
        | Edit::ResolveRemark(..)
        | Edit::RemoveRemark(_)
        | Edit::Decide(_)
        | Edit::Tick(_)
        | Edit::Untick { .. } => review::change(edit, p)?,
    }
    Ok(())
}

fn checked_part(part: &Part, before: Option<&Part>) -> Result<Part, EditError> {
    let mut part = part.clone();
    let what = format!("part {}", part.name);
    finite(&mut part, numbers::part, &what)?;
    if let Some(field) = numbers::first_bad_boundary(&part) {
        return Err(EditError::NotFinite { what, field });
    }
    let mut seen = HashSet::new();
    if let Some(twice) = part.keep_outs.iter().find(|k| !seen.insert(k.id.0)) {
        return Err(EditError::Duplicate { what: format!("keep-out {} of {what}", twice.id) });
    }
    seen.clear();
    if let Some(twice) = part.attached.iter().find(|a| !seen.insert(a.id.0)) {
        return Err(EditError::Duplicate { what: format!("attached mass {} of {what}", twice.id) });
    }
    Ok(tidy::part(part, before))
}
/// What a file may hold of a picture.
fn traced(picture: &crate::Traced) -> Outcome {
    let refused = |why| EditError::Picture { name: picture.name.clone(), why };
    match crate::numbers::wrong_picture(picture) {
        Some(why) => Err(refused(why)),
        None => Ok(()),
    }
}
fn checked_motion(motion: &Motion, before: Option<&Motion>) -> Result<Arc<Motion>, EditError> {
    let mut motion = motion.clone();
    let what = format!("motion {}", motion.name);
    finite(&mut motion, numbers::motion, &what)?;
    Ok(Arc::new(tidy::thing(motion, before, numbers::motion)))
}

pub(super) fn layout_mut(p: &mut Project, id: LayoutId) -> Result<&mut Layout, EditError> {
    p.layouts
        .iter_mut()
        .find(|l| l.id == id)
        .map(Arc::make_mut)
        .ok_or_else(|| missing(format!("layout {id}")))
}
fn cup_named(id: CupId, layout: &Layout) -> String {
    format!("cup {id} of layout {}", layout.name)
}

fn change_cups(edit: &Edit, p: &mut Project) -> Outcome {
    let (Edit::AddCups { layout: id, .. }
    | Edit::RemoveCups { layout: id, .. }
    | Edit::MoveCups { layout: id, .. }
    | Edit::ChangeCups { layout: id, .. }) = edit
    else {
        return Ok(());
    };
    let place_of_layout = place(&p.layouts, id, |x| &x.id, || format!("layout {id}"))?;
    let mut layout = (*p.layouts[place_of_layout]).clone();
    let places: HashMap<CupId, usize> = layout.cups.iter().enumerate().map(|(i, c)| (c.id, i)).collect();
    let find = |cup: CupId| places.get(&cup).copied().ok_or_else(|| missing(cup_named(cup, &layout)));
    match edit {
        Edit::AddCups { cups, .. } => {
            let mut highest = 0;
            add_cups(p, &mut layout, cups, &mut highest)?;
            p.last_id = p.last_id.max(highest);
        }
        Edit::RemoveCups { cups, .. } => {
            cups.iter().try_for_each(|c| find(*c).map(|_| ()))?;
            layout.cups.retain(|c| !cups.contains(&c.id));
            p.accepted.retain(|a| a.layout != *id || !a.subject.iter().any(|c| cups.contains(c)));
        }
        Edit::MoveCups { to, .. } => {
            let places = to.iter().map(|(cup, at)| Ok((find(*cup)?, *at))).collect::<Result<Vec<_>, _>>()?;
            for (i, at) in places {
                if !at.is_finite() {
                    let what = format!("cup {}", layout.cups[i].tag);
                    return Err(EditError::NotFinite { what, field: "at".to_owned() });
                }
                layout.cups[i].at = tidy::point(at);
            }
        }
        Edit::ChangeCups { cups, .. } => {
            let places = cups.iter().map(|c| find(c.id)).collect::<Result<Vec<_>, _>>()?;
            for (i, cup) in places.into_iter().zip(cups) {
                layout.cups[i] = checked_cup(p, cup, Some(&layout.cups[i]))?;
            }
        }
        _ => {}
    }
    p.layouts[place_of_layout] = Arc::new(layout);
    if matches!(edit, Edit::RemoveCups { .. }) {
        circuits::forget_gone(p);
        seats::drop_stale(p);
    }
    Ok(())
}

fn checked_cup(p: &Project, cup: &Cup, before: Option<&Cup>) -> Result<Cup, EditError> {
    let mut cup = cup.clone();
    let what = format!("cup {}", cup.tag);
    finite(&mut cup, numbers::cup, &what)?;
    if p.model(&cup.model).is_none() {
        return Err(missing(format!("cup model {} of cup {}", cup.model, cup.tag)));
    }
    if p.circuit(cup.circuit).is_none() {
        return Err(missing(format!("circuit {} of cup {}", cup.circuit, cup.tag)));
    }
    Ok(tidy::thing(cup, before, numbers::cup))
}
pub(super) fn add_cups(p: &Project, layout: &mut Layout, cups: &[Cup], highest: &mut u32) -> Outcome {
    let mut taken: HashSet<CupId> = layout.cups.iter().map(|c| c.id).collect();
    for cup in cups {
        if !taken.insert(cup.id) {
            return Err(EditError::Duplicate { what: cup_named(cup.id, layout) });
        }
        layout.cups.push(checked_cup(p, cup, None)?);
        *highest = (*highest).max(cup.id.0);
    }
    Ok(())
}

fn change_models(edit: &Edit, p: &mut Project) -> Outcome {
    let checked = |model: &CupModel, before: Option<&CupModel>| {
        let mut model = model.clone();
        let what = format!("cup model {}", model.name);
        finite(&mut model, numbers::model, &what)?;
        Ok(Arc::new(tidy::thing(model, before, numbers::model)))
    };
    match edit {
        Edit::AddModel(model) => {
            let new = checked(model, None)?;
            match p.model(&model.id) {
                Some(there) if *there == new => {}
                Some(_) => {
                    return Err(EditError::Duplicate { what: format!("another cup model {}", model.id) });
                }
                None => p.models.push(new),
            }
        }
        Edit::ChangeModel { model, .. } => {
            let at = place(&p.models, &model.id, |x| &x.id, || format!("cup model {}", model.id))?;
            p.models[at] = checked(model, Some(&p.models[at]))?;
        }
        Edit::RemoveModel(id) => {
            let at = place(&p.models, id, |x| &x.id, || format!("cup model {id}"))?;
            let users = tags(p, |c| c.model == *id);
            if !users.is_empty() {
                return Err(EditError::InUse {
                    what: format!("cup model {}", p.models[at].name),
                    by: listed("cup", &users),
                    remedy: "give those cups another model first",
                });
            }
            p.models.remove(at);
        }
        _ => {}
    }
    Ok(())
}

/// Tags of cups in all layouts.
pub(super) fn tags(p: &Project, which: impl Fn(&Cup) -> bool) -> Vec<&str> {
    p.layouts.iter().flat_map(|l| &l.cups).filter(|c| which(c)).map(|c| c.tag.as_str()).collect()
}
/// "cup C4", "cups C4, C5 and 3 more".
pub(super) fn listed(kind: &str, names: &[&str]) -> String {
    match names {
        [only] => format!("{kind} {only}"),
        [first, second] => format!("{kind}s {first} and {second}"),
        [first, second, rest @ ..] => format!("{kind}s {first}, {second} and {} more", rest.len()),
        [] => format!("no {kind}"),
    }
}

fn same_finding(a: &Accepted, b: &Accepted) -> bool {
    (&a.rule, &a.subject, a.motion, a.layout, a.seat) == (&b.rule, &b.subject, b.motion, b.layout, b.seat)
}
fn check_acceptance(p: &Project, accepted: &Accepted) -> Outcome {
    let layout = p.layout(accepted.layout).ok_or_else(|| missing(format!("layout {}", accepted.layout)))?;
    for cup in &accepted.subject {
        if !layout.cups.iter().any(|c| c.id == *cup) {
            return Err(missing(cup_named(*cup, layout)));
        }
    }
    if let Some(seat) = accepted.seat.filter(|id| layout.seat(*id).is_none()) {
        return Err(missing(format!("seat {seat} of layout {}", layout.name)));
    }
    match accepted.motion {
        Some(id) if p.motion(id).is_none() => Err(missing(format!("motion {id}"))),
        _ => Ok(()),
    }
}
