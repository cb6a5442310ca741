//! Issued revisions: what they share is written once, and is shared again after reading.

use super::{Back, Out, layout, m, v4};
use crate::difference::{bare, same_area, same_outline, same_part};
use crate::file::{
    check::Wrong,
    place::Step::{At, Field},
};
use crate::mark;
use std::sync::Arc;

/// Revisions that come before the one that is written or read.
type Earlier<'a> = &'a [Arc<m::Issued>];

/// Issued revisions of a project, each without what an earlier one or the project itself has.
pub(super) fn freeze(now: &m::Project) -> Vec<v4::Issued> {
    let each = now.issued.iter().enumerate();
    each.map(|(i, issued)| v4::Issued {
        index: issued.index.clone(),
        on: issued.on.clone(),
        by: issued.by.clone(),
        what: issued.what.clone(),
        program: issued.program.clone(),
        fingerprint: issued.fingerprint.clone(),
        form: mark::FORM,
        content: content(&issued.content, &now.issued[..i], now),
    })
    .collect()
}

fn content(p: &m::Project, earlier: Earlier<'_>, now: &m::Project) -> v4::Content {
    v4::Content {
        name: p.name.clone(),
        last_id: p.last_id,
        site: p.site.out(),
        rules: p.rules.out(),
        cycle: p.cycle.clone().out(),
        sheet: p.sheet.clone().out(),
        parts: p.parts.iter().map(|part| frozen_part(part, earlier, now)).collect(),
        circuits: frozen(&p.circuits, earlier, |p| &p.circuits, |c| c.id),
        motions: frozen(&p.motions, earlier, |p| &p.motions, |m| m.id),
        layouts: frozen(&p.layouts, earlier, |p| &p.layouts, |l| l.id),
        trial: p.trial.clone().out(),
        accepted: p.accepted.clone().out(),
        models: frozen(&p.models, earlier, |p| &p.models, |m| m.id.clone()),
        sources: frozen(&p.sources, earlier, |p| &p.sources, |s| s.id.clone()),
    }
}
/// Index of the oldest earlier revision that has this, which is the one where it is written out.
fn seen(earlier: Earlier<'_>, has: impl Fn(&m::Project) -> bool) -> Option<String> {
    earlier.iter().find(|i| has(&i.content)).map(|i| i.index.clone())
}
fn frozen<T: PartialEq, F, I: PartialEq + Out<K>, K>(
    list: &[Arc<T>],
    earlier: Earlier<'_>,
    of: fn(&m::Project) -> &[Arc<T>],
    id: impl Fn(&T) -> I,
) -> Vec<v4::Frozen<F, K>>
where
    for<'a> F: From<&'a T>,
{
    let each = |thing: &Arc<T>| {
        let same = |x: &Arc<T>| Arc::ptr_eq(x, thing) || x == thing;
        match seen(earlier, |p| of(p).iter().any(same)) {
            Some(index) => v4::Frozen::As(index, id(thing).out()),
            None => v4::Frozen::Own(F::from(thing)),
        }
    };
    list.iter().map(each).collect()
}

fn frozen_part(part: &Arc<m::Part>, earlier: Earlier<'_>, now: &m::Project) -> v4::Frozen<v4::OwnPart> {
    if let Some(index) = seen(earlier, |p| p.parts.iter().any(|x| same_part(x, part))) {
        return v4::Frozen::As(index, part.id.out());
    }
    let drawn = |has: &dyn Fn(&m::Part) -> bool| {
        let has = |p: &m::Project| p.part(part.id).is_some_and(|p| has(p));
        if has(now) { Some(v4::Drawn::Now) } else { seen(earlier, has).map(v4::Drawn::As) }
    };
    let outline = drawn(&|p| same_outline(&p.outline, &part.outline));
    let areas: Vec<v4::Area> = part
        .keep_outs
        .iter()
        .filter_map(|k| {
            let same = |p: &m::Part| area(p, k.id).is_some_and(|area| same_area(area, &k.area));
            drawn(&same).map(|drawn| v4::Area(k.id.out(), drawn))
        })
        .collect();
    let mut own = bare(part);
    if outline.is_none() {
        own.outline = part.outline.clone();
    }
    for (own, k) in own.keep_outs.iter_mut().zip(&part.keep_outs) {
        if !areas.iter().any(|v4::Area(id, _)| *id == k.id.0) {
            own.area = k.area.clone();
        }
    }
    v4::Frozen::Own(v4::OwnPart { outline, areas, part: (&own).into() })
}
fn area(part: &m::Part, id: m::KeepOutId) -> Option<&Arc<geometry::Loop>> {
    part.keep_outs.iter().find(|k| k.id == id).map(|k| &k.area)
}

/// Issued revisions as they were, with what they share shared; or what is missing, and where.
pub(in crate::file) fn thaw(list: Vec<v4::Issued>, now: &m::Project) -> Result<Vec<Arc<m::Issued>>, Wrong> {
    let mut all: Vec<Arc<m::Issued>> = Vec::new();
    for (at, issued) in list.into_iter().enumerate() {
        let whose = format!("revision {}", issued.index);
        let content = thawed(issued.content, &all, now, &whose)
            .map_err(|wrong| wrong.within(&[Field("issued"), At(at), Field("content")]))?;
        let content = Arc::new(content);
        let v4::Issued { index, on, by, what, program, fingerprint, form, .. } = issued;
        if form != mark::FORM {
            let says = format!(
                "revision {index} is marked by form {form}, which this program does not know; open it with a newer version"
            );
            return Err(Wrong::from(says).within(&[Field("issued"), At(at), Field("form")]));
        }
        let mark = content.fingerprint();
        let found = (mark != fingerprint).then_some(mark);
        all.push(Arc::new(m::Issued { index, on, by, what, program, fingerprint, found, content }));
    }
    Ok(all)
}

/// What a thing of a revision is called in messages.
type Called<'a> = (&'a str, &'a str);

fn revision<'a>(
    earlier: Earlier<'a>,
    index: &str,
    (what, whose): Called<'_>,
) -> Result<&'a m::Project, String> {
    let missing =
        || format!("{whose} takes {what} from revision {index}, which is not in the file before it");
    earlier.iter().find(|i| i.index == index).map(|i| &*i.content).ok_or_else(missing)
}
fn things<T, F, K: std::fmt::Display>(
    (field, list): (&'static str, Vec<v4::Frozen<F, K>>),
    (what, whose): Called<'_>,
    earlier: Earlier<'_>,
    find: impl Fn(&m::Project, &K) -> Option<Arc<T>>,
    own: impl Fn(F) -> Result<Arc<T>, Wrong>,
) -> Result<Vec<Arc<T>>, Wrong> {
    let each = |(at, thing)| {
        let found = match thing {
            v4::Frozen::Own(thing) => own(thing),
            v4::Frozen::As(index, id) => {
                let what = format!("{what} {id}");
                let missing =
                    || format!("{whose} takes {what} from revision {index}, which does not have it");
                revision(earlier, &index, (&what, whose))
                    .and_then(|earlier| find(earlier, &id).ok_or_else(missing))
                    .map_err(Wrong::from)
            }
        };
        found.map_err(|wrong| wrong.within(&[Field(field), At(at)]))
    };
    list.into_iter().enumerate().map(each).collect()
}

fn thawed(c: v4::Content, earlier: Earlier<'_>, now: &m::Project, whose: &str) -> Result<m::Project, Wrong> {
    let part = |p: &m::Project, id: &u32| p.part(m::PartId(*id)).cloned();
    let circuit = |p: &m::Project, id: &u32| p.circuit(m::CircuitId(*id)).cloned();
    let motion = |p: &m::Project, id: &u32| p.motion(m::MotionId(*id)).cloned();
    let find_layout = |p: &m::Project, id: &u32| p.layout(m::LayoutId(*id)).cloned();
    let model = |p: &m::Project, id: &String| p.model(&id.as_str().into()).cloned();
    let source = |p: &m::Project, id: &String| p.source(&id.as_str().into()).cloned();
    let parts = things(("parts", c.parts), ("part", whose), earlier, part, |own| {
        thawed_part(own, earlier, now, whose).map(Arc::new)
    })?;
    let layouts = things(("layouts", c.layouts), ("layout", whose), earlier, find_layout, |own| {
        Ok(layout(own, &parts))
    })?;
    Ok(m::Project {
        name: c.name,
        parts,
        layouts,
        motions: things(("motions", c.motions), ("motion", whose), earlier, motion, |own| Ok(own.back()))?,
        circuits: things(("circuits", c.circuits), ("circuit", whose), earlier, circuit, |own| {
            Ok(own.back())
        })?,
        models: things(("models", c.models), ("cup model", whose), earlier, model, |own| Ok(own.back()))?,
        sources: things(("sources", c.sources), ("source", whose), earlier, source, |own| Ok(own.back()))?,
        cycle: c.cycle.back(),
        trial: c.trial.back(),
        site: c.site.back(),
        rules: c.rules.back(),
        accepted: c.accepted.back(),
        sheet: c.sheet.back(),
        question: Arc::default(),
        issued: Vec::new(),
        traced: None,
        review: Arc::default(),
        last_id: c.last_id,
    })
}

fn thawed_part(
    own: v4::OwnPart,
    earlier: Earlier<'_>,
    now: &m::Project,
    whose: &str,
) -> Result<m::Part, Wrong> {
    let mut part: m::Part = own.part.back();
    let id = part.id;
    let from = |drawn: v4::Drawn, what: &str| -> Result<(Arc<m::Part>, String), String> {
        let (p, place) = match drawn {
            v4::Drawn::Now => (now, "what the project holds now".to_owned()),
            v4::Drawn::As(index) => (revision(earlier, &index, (what, whose))?, format!("revision {index}")),
        };
        let missing = || format!("{whose} takes {what} from {place}, which does not have it");
        Ok((p.part(id).cloned().ok_or_else(missing)?, missing()))
    };
    let twice = |what: &str| format!("{whose} has {what} of its own and takes it from elsewhere; keep one");
    if let Some(drawn) = own.outline {
        let here = |says: String| Wrong::from(says).within(&[Field("outline")]);
        let what = format!("the outline of part {id}");
        if !(part.outline.outer.vertices.is_empty() && part.outline.holes.is_empty()) {
            return Err(here(twice(&what)));
        }
        part.outline = from(drawn, &what).map_err(here)?.0.outline.clone();
    }
    for (at, v4::Area(keep_out, drawn)) in own.areas.into_iter().enumerate() {
        let here = |says: String| Wrong::from(says).within(&[Field("areas"), At(at)]);
        let what = format!("the area of keep-out {keep_out} of part {id}");
        let (other, missing) = from(drawn, &what).map_err(here)?;
        let id = m::KeepOutId(keep_out);
        let keep_out = part.keep_outs.iter_mut().find(|k| k.id == id);
        let keep_out =
            keep_out.ok_or_else(|| here(format!("{whose} has no keep-out {id} and an area for it")))?;
        if !keep_out.area.vertices.is_empty() {
            return Err(here(twice(&what)));
        }
        keep_out.area = area(&other, id).cloned().ok_or_else(|| here(missing))?;
    }
    Ok(part)
}
