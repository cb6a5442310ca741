//! What a file must keep to before it becomes a project: numbers are numbers, ids are given once, names lead somewhere.

use super::place::Step::{self, At, Field};
use crate::{
    CircuitId, CupModel, Layout, MotionId, Part, Pin, Project, Seat, SourceModel, Tool, TrialKind, ids,
    numbers,
};
use std::{collections::HashSet, hash::Hash, sync::Arc};

type Outcome = Result<(), Wrong>;

/// What is wrong, and where it stands in the file.
#[derive(Debug)]
pub(crate) struct Wrong {
    /// As a sentence without the file's name.
    pub(crate) says: String,
    /// From the whole down.
    pub(super) at: Vec<Step>,
}
impl From<String> for Wrong {
    fn from(says: String) -> Self {
        Self { says, at: Vec::new() }
    }
}
impl Wrong {
    /// What is wrong with a part of a thing as what is wrong with the thing.
    pub(super) fn within(mut self, path: &[Step]) -> Self {
        self.at.splice(0..0, path.iter().copied());
        self
    }
}
trait Within {
    fn within(self, path: &[Step]) -> Self;
}
impl Within for Outcome {
    fn within(self, path: &[Step]) -> Self {
        self.map_err(|wrong| wrong.within(path))
    }
}

const HIGHEST_ID: u32 = 1_000_000_000;

fn once<K: Hash + Eq>(ids: impl IntoIterator<Item = K>, what: impl Fn(&K) -> String) -> Outcome {
    let mut seen = HashSet::new();
    for (at, id) in ids.into_iter().enumerate() {
        if seen.contains(&id) {
            let says = format!("{} occurs twice; give one of them another id", what(&id));
            return Err(Wrong::from(says).within(&[At(at)]));
        }
        seen.insert(id);
    }
    Ok(())
}
fn finite<T>(thing: &mut T, visit: impl Fn(&mut T, numbers::Each<'_>), what: &str) -> Outcome {
    numbers::first_not_finite(thing, visit).map_or(Ok(()), |field| Err(not_finite(&field, what).into()))
}
fn not_finite(field: &str, what: &str) -> String {
    format!("{field} of {what} is not a finite number; write a plain number")
}

/// Checks a project as if it had been read from a file; its counter of ids, raised to the highest one in use.
pub(crate) fn checked(p: &Project) -> Result<u32, Wrong> {
    // A copy: what the checks touch would no longer be shared with other projects.
    let mut copy = p.clone();
    project(&mut copy)?;
    issued(&mut copy)?;
    Ok(copy.last_id)
}

/// Checks a project and raises its counter of ids to the highest one in use.
pub(super) fn project(p: &mut Project) -> Outcome {
    if p.parts.is_empty() {
        return Err("the project has no part; a project needs at least one".to_owned().into());
    }
    if p.layouts.is_empty() {
        return Err("the project has no layout; a project needs at least one".to_owned().into());
    }
    finite(&mut p.site, numbers::site, "the site").within(&[Field("site")])?;
    finite(&mut p.rules, numbers::rules, "the rules").within(&[Field("rules")])?;
    finite(&mut p.sheet, numbers::sheet, "the title block").within(&[Field("sheet")])?;
    finite(&mut p.cycle, numbers::cycle, "the cycle").within(&[Field("cycle")])?;
    finite(Arc::make_mut(&mut p.question), numbers::question, "the question").within(&[Field("question")])?;
    finite(Arc::make_mut(&mut p.trial), numbers::trial, "the trial").within(&[Field("trial")])?;
    if let Some(why) = p.traced.as_deref().and_then(numbers::wrong_picture) {
        let says = format!("the picture to trace cannot be kept: {why}; take it out of the file");
        return Err(Wrong::from(says).within(&[Field("traced")]));
    }
    once(p.parts.iter().map(|x| x.id), |id| format!("part {id}")).within(&[Field("parts")])?;
    once(p.layouts.iter().map(|x| x.id), |id| format!("layout {id}")).within(&[Field("layouts")])?;
    once(p.motions.iter().map(|x| x.id), |id| format!("motion {id}")).within(&[Field("motions")])?;
    once(p.circuits.iter().map(|x| x.id), |id| format!("circuit {id}")).within(&[Field("circuits")])?;
    once(p.models.iter().map(|x| &x.id), |id| format!("cup model {id}")).within(&[Field("models")])?;
    once(p.sources.iter().map(|x| &x.id), |id| format!("source {id}")).within(&[Field("sources")])?;
    for (at, held) in p.parts.iter_mut().map(Arc::make_mut).enumerate() {
        part(held).within(&[Field("parts"), At(at)])?;
    }
    for (at, motion) in p.motions.iter_mut().map(Arc::make_mut).enumerate() {
        let what = format!("motion {}", motion.name);
        finite(motion, numbers::motion, &what).within(&[Field("motions"), At(at)])?;
    }
    for (at, circuit) in p.circuits.iter_mut().map(Arc::make_mut).enumerate() {
        let what = format!("circuit {}", circuit.name);
        finite(circuit, numbers::circuit, &what).within(&[Field("circuits"), At(at)])?;
    }
    for (at, model) in p.models.iter_mut().map(Arc::make_mut).enumerate() {
        let what = format!("cup model {}", model.id);
        finite(model, numbers::model, &what).within(&[Field("models"), At(at)])?;
    }
    for (at, source) in p.sources.iter_mut().map(Arc::make_mut).enumerate() {
        let what = format!("source {}", source.id);
        finite(source, numbers::source, &what).within(&[Field("sources"), At(at)])?;
    }
    supplies(p)?;
    let models: HashSet<_> = p.models.iter().map(|m| m.id.clone()).collect();
    let circuits: HashSet<_> = p.circuits.iter().map(|c| c.id).collect();
    let parts: HashSet<_> = p.parts.iter().map(|x| x.id).collect();
    let motions: HashSet<_> = p.motions.iter().map(|m| m.id).collect();
    for (at, layout) in p.layouts.iter_mut().map(Arc::make_mut).enumerate() {
        self::layout(layout, &parts, &models, &circuits).within(&[Field("layouts"), At(at)])?;
        seats(layout, &parts, &motions).within(&[Field("layouts"), At(at)])?;
    }
    trial(p).within(&[Field("trial")])?;
    acceptances(p)?;
    review(p).within(&[Field("review")])?;
    p.last_id = p.last_id.max(ids::highest(p));
    // Every later thing needs a number above it.
    if p.last_id > HIGHEST_ID {
        let says = format!("an id or last_id is {}; give things numbers up to {HIGHEST_ID}", p.last_id);
        return Err(says.into());
    }
    Ok(())
}

fn layout(
    layout: &mut Layout,
    parts: &HashSet<crate::PartId>,
    models: &HashSet<crate::ModelId>,
    circuits: &HashSet<CircuitId>,
) -> Outcome {
    let name = layout.name.clone();
    if !parts.contains(&layout.part) {
        let says = format!("layout {name} is for part {}, which is not in the file", layout.part);
        return Err(Wrong::from(says).within(&[Field("part")]));
    }
    once(layout.cups.iter().map(|c| c.id), |id| format!("cup {id} of layout {name}"))
        .within(&[Field("cups")])?;
    tool(&mut layout.tool, &format!("the tool of layout {name}")).within(&[Field("tool")])?;
    for (at, cup) in layout.cups.iter_mut().enumerate() {
        let what = format!("cup {} of layout {name}", cup.tag);
        let here = [Field("cups"), At(at)];
        finite(cup, numbers::cup, &what).within(&here)?;
        if !models.contains(&cup.model) {
            let says = format!("{what} is of model {}, which is not in the file", cup.model);
            return Err(Wrong::from(says).within(&[Field("model")]).within(&here));
        }
        if !circuits.contains(&cup.circuit) {
            let says = format!("{what} is on circuit {}, which is not in the file", cup.circuit);
            return Err(Wrong::from(says).within(&[Field("circuit")]).within(&here));
        }
    }
    Ok(())
}

fn seats(layout: &mut Layout, parts: &HashSet<crate::PartId>, motions: &HashSet<MotionId>) -> Outcome {
    let name = layout.name.clone();
    let Some(first) = layout.seats.first() else { return Ok(()) };
    if first.part != layout.part {
        let says = format!(
            "layout {name} is for part {}, and its first seat carries part {}; write the same part in both",
            layout.part, first.part
        );
        return Err(Wrong::from(says).within(&[Field("part")]));
    }
    once(layout.seats.iter().map(|s| s.id), |id| format!("seat {id} of layout {name}"))
        .within(&[Field("seats")])?;
    let cups: HashSet<_> = layout.cups.iter().map(|c| c.id).collect();
    for (at, seat) in layout.seats.iter_mut().enumerate() {
        let what = format!("seat {} of layout {name}", seat.id);
        let here = [Field("seats"), At(at)];
        finite(seat, numbers::seat, &what).within(&here)?;
        self::seat(seat, &what, parts, motions, &cups).within(&here)?;
    }
    Ok(())
}

fn seat(
    seat: &Seat,
    what: &str,
    parts: &HashSet<crate::PartId>,
    motions: &HashSet<MotionId>,
    cups: &HashSet<crate::CupId>,
) -> Outcome {
    if !parts.contains(&seat.part) {
        let says = format!("{what} carries part {}, which is not in the file", seat.part);
        return Err(Wrong::from(says).within(&[Field("part")]));
    }
    once(&seat.shut, |zone| format!("zone {zone} among those that {what} shuts")).within(&[Field("shut")])?;
    if let Some(motion) = seat.left_out.iter().find(|id| !motions.contains(id)) {
        let says = format!("{what} leaves out motion {motion}, which is not in the file");
        return Err(Wrong::from(says).within(&[Field("left_out")]));
    }
    if let Some(cup) = seat.may_stay_shut.iter().find(|id| !cups.contains(id)) {
        let says = format!("{what} names cup {cup}, which is not in the layout");
        return Err(Wrong::from(says).within(&[Field("may_stay_shut")]));
    }
    Ok(())
}

fn review(p: &Project) -> Outcome {
    let review = &p.review;
    once(review.remarks.iter().map(|r| r.id), |id| format!("remark {id}")).within(&[Field("remarks")])?;
    once(review.ticks.iter().map(|t| &t.key), |key| format!("the tick {key}")).within(&[Field("ticks")])?;
    for (at, remark) in review.remarks.iter().enumerate() {
        // What a remark is pinned to may be gone.
        if let Pin::Place(_, place) = remark.pin
            && !place.is_finite()
        {
            let says = not_finite("the place", &format!("remark {}", remark.id));
            return Err(Wrong::from(says).within(&[Field("remarks"), At(at)]));
        }
    }
    for (at, tick) in review.ticks.iter().enumerate() {
        if let Some(remark) = tick.remark.filter(|r| p.remark(*r).is_none()) {
            let says = format!("a tick names remark {remark}, which is not in the file");
            return Err(Wrong::from(says).within(&[Field("ticks"), At(at)]));
        }
    }
    Ok(())
}

/// Checks that issued revisions are sound, and are what they were when they were issued.
pub(super) fn issued(p: &mut Project) -> Outcome {
    once(p.issued.iter().map(|i| &i.index), |index| format!("revision {index}"))
        .within(&[Field("issued")])?;
    for (at, issued) in p.issued.iter().enumerate() {
        one_issued(issued).within(&[Field("issued"), At(at)])?;
    }
    p.last_id = p.last_id.max(ids::highest(p));
    Ok(())
}

fn one_issued(issued: &crate::Issued) -> Outcome {
    let index = &issued.index;
    if index.trim().is_empty() {
        return Err("a revision in issued has no index; give it one".to_owned().into());
    }
    // A copy: what the checks touch would no longer be shared with other revisions.
    project(&mut Project::clone(&issued.content)).map_err(|wrong| {
        Wrong { says: format!("revision {index}: {}", wrong.says), ..wrong }.within(&[Field("content")])
    })?;
    Ok(())
}

fn part(part: &mut Part) -> Outcome {
    let what = format!("part {}", part.name);
    finite(part, numbers::part, &what)?;
    if let Some(boundary) = numbers::first_bad_boundary(part) {
        return Err(not_finite("a vertex", &format!("{boundary} of {what}")).into());
    }
    once(part.keep_outs.iter().map(|k| k.id), |id| format!("keep-out {id} of {what}"))
        .within(&[Field("keep_outs")])?;
    once(part.attached.iter().map(|a| a.id), |id| format!("attached mass {id} of {what}"))
        .within(&[Field("attached")])
}

fn tool(tool: &mut Arc<Tool>, what: &str) -> Outcome {
    finite(Arc::make_mut(tool), numbers::tool, what)?;
    once(tool.masses.iter().map(|m| m.id), |id| format!("mass {id} of {what}")).within(&[Field("masses")])?;
    once(tool.frame.iter().map(|f| f.id), |id| format!("frame piece {id} of {what}"))
        .within(&[Field("frame")])
}

fn supplies(p: &Project) -> Outcome {
    for (at, circuit) in p.circuits.iter().enumerate() {
        let Some(supply) = &circuit.supply else { continue };
        let what = format!("the supply of circuit {}", circuit.name);
        let here = [Field("circuits"), At(at), Field("supply")];
        if p.source(&supply.source).is_none() {
            let says = format!("{what} has source {}, which is not in the file", supply.source);
            return Err(Wrong::from(says).within(&[Field("source")]).within(&here));
        }
        once(supply.branches.iter().map(|b| b.cup), |cup| format!("cup {cup} in the branches of {what}"))
            .within(&[Field("branches")])
            .within(&here)?;
        once(supply.valves.iter().map(|v| &v.zone), |zone| format!("zone {zone} in the valves of {what}"))
            .within(&[Field("valves")])
            .within(&here)?;
    }
    Ok(())
}

fn acceptances(p: &Project) -> Outcome {
    for (at, a) in p.accepted.iter().enumerate() {
        acceptance(p, a).within(&[Field("accepted"), At(at)])?;
    }
    Ok(())
}

fn acceptance(p: &Project, a: &crate::Accepted) -> Outcome {
    let what = format!("the acceptance of {}", a.rule);
    let layout: &Layout = p
        .layout(a.layout)
        .ok_or_else(|| format!("{what} names layout {}, which is not in the file", a.layout))?;
    if let Some(cup) = a.subject.iter().find(|id| !layout.cups.iter().any(|c| c.id == **id)) {
        return Err(format!("{what} names cup {cup}, which is not in layout {}", layout.name).into());
    }
    if let Some(seat) = a.seat.filter(|id| layout.seat(*id).is_none()) {
        let says = format!("{what} names seat {seat}, which is not in layout {}", layout.name);
        return Err(says.into());
    }
    if let Some(motion) = a.motion
        && p.motion(motion).is_none()
    {
        return Err(format!("{what} names motion {motion}, which is not in the file").into());
    }
    Ok(())
}

fn trial(p: &Project) -> Outcome {
    let circuit_there = |id: CircuitId, what: &str| match p.circuit(id) {
        Some(_) => Ok(()),
        None => Err(Wrong::from(format!("{what} names circuit {id}, which is not in the file"))),
    };
    let what = "an entry of the trial";
    for (at, entry) in p.trial.entries.iter().enumerate() {
        let named = match &entry.what {
            TrialKind::Level { layout, cup } if p.cup(*layout, *cup).is_none() => {
                Err(format!("{what} names cup {cup} of layout {layout}, which is not in the file").into())
            }
            TrialKind::Friction { part, .. } if p.part(*part).is_none() => {
                Err(format!("{what} names part {part}, which is not in the file").into())
            }
            TrialKind::TimeToLevel { circuit, .. } | TrialKind::LeakDown { circuit, .. } => {
                circuit_there(*circuit, what)
            }
            TrialKind::Level { .. } | TrialKind::Friction { .. } => Ok(()),
        };
        named.within(&[Field("entries"), At(at)])?;
    }
    p.trial.curves.iter().enumerate().try_for_each(|(at, c)| {
        circuit_there(c.circuit, "a curve of the trial").within(&[Field("curves"), At(at)])
    })
}

pub(super) fn sources(sources: &mut [SourceModel]) -> Outcome {
    once(sources.iter().map(|s| &s.id), |id| format!("source {id}"))?;
    for (at, source) in sources.iter_mut().enumerate() {
        let what = format!("source {}", source.id);
        finite(source, numbers::source, &what).within(&[At(at)])?;
    }
    Ok(())
}

pub(super) fn models(models: &mut [CupModel]) -> Outcome {
    once(models.iter().map(|m| &m.id), |id| format!("cup model {id}"))?;
    for (at, model) in models.iter_mut().enumerate() {
        let what = format!("cup model {}", model.id);
        finite(model, numbers::model, &what).within(&[At(at)])?;
    }
    Ok(())
}
