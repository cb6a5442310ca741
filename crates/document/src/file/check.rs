//! What a file must keep to before it becomes a project: numbers are numbers, ids are given once, names lead somewhere.

use crate::{CircuitId, CupModel, Layout, Part, Pin, Project, SourceModel, Tool, TrialKind, ids, numbers};
use std::{collections::HashSet, hash::Hash, sync::Arc};

type Outcome = Result<(), String>;

const HIGHEST_ID: u32 = 1_000_000_000;

fn once<K: Hash + Eq>(ids: impl IntoIterator<Item = K>, what: impl Fn(&K) -> String) -> Outcome {
    let mut seen = HashSet::new();
    for id in ids {
        if seen.contains(&id) {
            return Err(format!("{} is there twice; give one of them another id", what(&id)));
        }
        seen.insert(id);
    }
    Ok(())
}
fn finite<T>(thing: &mut T, visit: impl Fn(&mut T, numbers::Each<'_>), what: &str) -> Outcome {
    numbers::first_not_finite(thing, visit).map_or(Ok(()), |field| Err(not_finite(&field, what)))
}
fn not_finite(field: &str, what: &str) -> String {
    format!("{field} of {what} is not a finite number; write a plain figure")
}

/// Checks a project as if it had been read from a file; its counter of ids, raised to the highest one in use.
pub(crate) fn checked(p: &Project) -> Result<u32, String> {
    // A copy: what the checks touch would no longer be shared with other projects.
    let mut copy = p.clone();
    project(&mut copy)?;
    issued(&mut copy)?;
    Ok(copy.last_id)
}

/// Checks a project and raises its counter of ids to the highest one in use.
pub(super) fn project(p: &mut Project) -> Outcome {
    if p.parts.is_empty() {
        return Err("the project has no part; a project needs at least one".to_owned());
    }
    if p.layouts.is_empty() {
        return Err("the project has no layout; a project needs at least one".to_owned());
    }
    finite(&mut p.site, numbers::site, "the site")?;
    finite(&mut p.rules, numbers::rules, "the rules")?;
    finite(&mut p.cycle, numbers::cycle, "the cycle")?;
    finite(Arc::make_mut(&mut p.trial), numbers::trial, "the trial")?;
    once(p.parts.iter().map(|x| x.id), |id| format!("part {id}"))?;
    once(p.layouts.iter().map(|x| x.id), |id| format!("layout {id}"))?;
    once(p.motions.iter().map(|x| x.id), |id| format!("motion {id}"))?;
    once(p.circuits.iter().map(|x| x.id), |id| format!("circuit {id}"))?;
    once(p.models.iter().map(|x| &x.id), |id| format!("cup model {id}"))?;
    once(p.sources.iter().map(|x| &x.id), |id| format!("source {id}"))?;
    p.parts.iter_mut().map(Arc::make_mut).try_for_each(part)?;
    for motion in p.motions.iter_mut().map(Arc::make_mut) {
        let what = format!("motion {}", motion.name);
        finite(motion, numbers::motion, &what)?;
    }
    for circuit in p.circuits.iter_mut().map(Arc::make_mut) {
        let what = format!("circuit {}", circuit.name);
        finite(circuit, numbers::circuit, &what)?;
    }
    for model in p.models.iter_mut().map(Arc::make_mut) {
        let what = format!("cup model {}", model.id);
        finite(model, numbers::model, &what)?;
    }
    for source in p.sources.iter_mut().map(Arc::make_mut) {
        let what = format!("source {}", source.id);
        finite(source, numbers::source, &what)?;
    }
    supplies(p)?;
    let models: HashSet<_> = p.models.iter().map(|m| m.id.clone()).collect();
    let circuits: HashSet<_> = p.circuits.iter().map(|c| c.id).collect();
    let parts: HashSet<_> = p.parts.iter().map(|x| x.id).collect();
    for layout in p.layouts.iter_mut().map(Arc::make_mut) {
        let name = layout.name.clone();
        if !parts.contains(&layout.part) {
            return Err(format!("layout {name} is for part {}, which is not in the file", layout.part));
        }
        once(layout.cups.iter().map(|c| c.id), |id| format!("cup {id} of layout {name}"))?;
        tool(&mut layout.tool, &format!("the tool of layout {name}"))?;
        for cup in &mut layout.cups {
            let what = format!("cup {} of layout {name}", cup.tag);
            finite(cup, numbers::cup, &what)?;
            if !models.contains(&cup.model) {
                return Err(format!("{what} is of model {}, which is not in the file", cup.model));
            }
            if !circuits.contains(&cup.circuit) {
                return Err(format!("{what} hangs on circuit {}, which is not in the file", cup.circuit));
            }
        }
    }
    trial(p)?;
    acceptances(p)?;
    review(p)?;
    p.last_id = p.last_id.max(ids::highest(p));
    // Every later thing needs a number above it.
    if p.last_id > HIGHEST_ID {
        return Err(format!("an id or last_id is {}; give things numbers up to {HIGHEST_ID}", p.last_id));
    }
    Ok(())
}

fn review(p: &Project) -> Outcome {
    let review = &p.review;
    once(review.remarks.iter().map(|r| r.id), |id| format!("remark {id}"))?;
    once(review.ticks.iter().map(|t| &t.key), |key| format!("the tick {key}"))?;
    for remark in &review.remarks {
        // What a remark is pinned to may be gone.
        if let Pin::Place(_, at) = remark.pin
            && !at.is_finite()
        {
            return Err(not_finite("the place", &format!("remark {}", remark.id)));
        }
    }
    match review.ticks.iter().find_map(|t| t.remark.filter(|r| p.remark(*r).is_none())) {
        Some(remark) => Err(format!("a tick names remark {remark}, which is not in the file")),
        None => Ok(()),
    }
}

/// Checks that issued revisions are sound, and are what they were when they were issued.
pub(super) fn issued(p: &mut Project) -> Outcome {
    once(p.issued.iter().map(|i| &i.index), |index| format!("revision {index}"))?;
    for issued in &p.issued {
        let index = &issued.index;
        if index.trim().is_empty() {
            return Err("a revision in issued has no index; give it one".to_owned());
        }
        // A copy: what the checks touch would no longer be shared with other revisions.
        project(&mut Project::clone(&issued.content)).map_err(|says| format!("revision {index}: {says}"))?;
        let found = issued.content.fingerprint();
        if found != issued.fingerprint {
            return Err(format!(
                "revision {index} is not as it was issued, or an outline it shares was changed: its content has the \
                 fingerprint {found} and was issued with {}; put it back as it was, or take the revision out of issued",
                issued.fingerprint
            ));
        }
    }
    p.last_id = p.last_id.max(ids::highest(p));
    Ok(())
}

fn part(part: &mut Part) -> Outcome {
    let what = format!("part {}", part.name);
    finite(part, numbers::part, &what)?;
    if let Some(boundary) = numbers::first_bad_boundary(part) {
        return Err(not_finite("a vertex", &format!("{boundary} of {what}")));
    }
    once(part.keep_outs.iter().map(|k| k.id), |id| format!("keep-out {id} of {what}"))?;
    once(part.attached.iter().map(|a| a.id), |id| format!("attached mass {id} of {what}"))
}

fn tool(tool: &mut Arc<Tool>, what: &str) -> Outcome {
    finite(Arc::make_mut(tool), numbers::tool, what)?;
    once(tool.masses.iter().map(|m| m.id), |id| format!("mass {id} of {what}"))?;
    once(tool.frame.iter().map(|f| f.id), |id| format!("frame piece {id} of {what}"))
}

fn supplies(p: &Project) -> Outcome {
    for circuit in &p.circuits {
        let Some(supply) = &circuit.supply else { continue };
        let what = format!("the supply of circuit {}", circuit.name);
        if p.source(&supply.source).is_none() {
            return Err(format!("{what} has source {}, which is not in the file", supply.source));
        }
        once(supply.branches.iter().map(|b| b.cup), |cup| format!("cup {cup} in the branches of {what}"))?;
        once(supply.valves.iter().map(|v| &v.zone), |zone| format!("zone {zone} in the valves of {what}"))?;
    }
    Ok(())
}

fn acceptances(p: &Project) -> Outcome {
    for a in &p.accepted {
        let what = format!("the acceptance of {}", a.rule);
        let layout: &Layout = p
            .layout(a.layout)
            .ok_or_else(|| format!("{what} names layout {}, which is not in the file", a.layout))?;
        if let Some(cup) = a.subject.iter().find(|id| !layout.cups.iter().any(|c| c.id == **id)) {
            return Err(format!("{what} names cup {cup}, which is not in layout {}", layout.name));
        }
        if let Some(motion) = a.motion
            && p.motion(motion).is_none()
        {
            return Err(format!("{what} names motion {motion}, which is not in the file"));
        }
    }
    Ok(())
}

fn trial(p: &Project) -> Outcome {
    let circuit_there = |id: CircuitId, what: &str| match p.circuit(id) {
        Some(_) => Ok(()),
        None => Err(format!("{what} names circuit {id}, which is not in the file")),
    };
    let what = "an entry of the trial";
    for entry in &p.trial.entries {
        match &entry.what {
            TrialKind::Level { layout, cup } if p.cup(*layout, *cup).is_none() => {
                return Err(format!("{what} names cup {cup} of layout {layout}, which is not in the file"));
            }
            TrialKind::Friction { part, .. } if p.part(*part).is_none() => {
                return Err(format!("{what} names part {part}, which is not in the file"));
            }
            TrialKind::TimeToLevel { circuit, .. } | TrialKind::LeakDown { circuit, .. } => {
                circuit_there(*circuit, what)?;
            }
            TrialKind::Level { .. } | TrialKind::Friction { .. } => {}
        }
    }
    p.trial.curves.iter().try_for_each(|c| circuit_there(c.circuit, "a curve of the trial"))
}

pub(super) fn sources(sources: &mut [SourceModel]) -> Outcome {
    once(sources.iter().map(|s| &s.id), |id| format!("source {id}"))?;
    for source in sources {
        let what = format!("source {}", source.id);
        finite(source, numbers::source, &what)?;
    }
    Ok(())
}

pub(super) fn models(models: &mut [CupModel]) -> Outcome {
    once(models.iter().map(|m| &m.id), |id| format!("cup model {id}"))?;
    for model in models {
        let what = format!("cup model {}", model.id);
        finite(model, numbers::model, &what)?;
    }
    Ok(())
}
