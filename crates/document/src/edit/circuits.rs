//! What a change of circuits, sources, cycle or trial makes of a project.

use super::{
    Edit, EditError,
    apply::{Outcome, finite, listed, missing, place, tags},
};
use crate::{Circuit, CircuitId, Project, SourceId, SourceModel, Supply, Trial, TrialKind, numbers, tidy};
use std::{collections::HashSet, sync::Arc};

pub(super) fn change(edit: &Edit, p: &mut Project) -> Outcome {
    match edit {
        Edit::AddCircuit(circuit) => {
            if p.circuit(circuit.id).is_some() {
                return Err(EditError::Duplicate { what: format!("circuit {}", circuit.id) });
            }
            p.circuits.push(checked(p, circuit, None)?);
            p.last_id = p.last_id.max(circuit.id.0);
        }
        Edit::ChangeCircuit { circuit, .. } => {
            let at = place(&p.circuits, &circuit.id, |x| &x.id, || format!("circuit {}", circuit.id))?;
            p.circuits[at] = checked(p, circuit, Some(&p.circuits[at]))?;
        }
        Edit::RemoveCircuit(id) => {
            let at =
                place(&p.circuits, id, |x: &Circuit| -> &CircuitId { &x.id }, || format!("circuit {id}"))?;
            let users = tags(p, |c| c.circuit == *id);
            if !users.is_empty() {
                return Err(EditError::InUse {
                    what: format!("circuit {}", p.circuits[at].name),
                    by: listed("cup", &users),
                    remedy: "put those cups on another circuit first",
                });
            }
            p.circuits.remove(at);
            forget_gone(p);
        }
        Edit::ChangeCycle { cycle, .. } => {
            let mut cycle = cycle.clone();
            finite(&mut cycle, numbers::cycle, "the cycle")?;
            p.cycle = tidy::thing(cycle, Some(&p.cycle), numbers::cycle);
        }
        Edit::ChangeTrial { trial, .. } => {
            let mut trial = Trial::clone(trial);
            finite(&mut trial, numbers::trial, "the trial")?;
            if let Some(gone) = trial.entries.iter().find_map(|e| not_there(p, &e.what)) {
                return Err(missing(gone));
            }
            if let Some(curve) = trial.curves.iter().find(|c| p.circuit(c.circuit).is_none()) {
                return Err(missing(format!("circuit {} of a curve of the trial", curve.circuit)));
            }
            p.trial = Arc::new(tidy::thing(trial, Some(&p.trial), numbers::trial));
        }
        _ => change_sources(edit, p)?,
    }
    Ok(())
}

fn change_sources(edit: &Edit, p: &mut Project) -> Outcome {
    let checked = |source: &SourceModel, before: Option<&SourceModel>| {
        let mut source = source.clone();
        let what = format!("source {}", source.name);
        finite(&mut source, numbers::source, &what)?;
        Ok(Arc::new(tidy::thing(source, before, numbers::source)))
    };
    let find = |p: &Project, id: &SourceId| place(&p.sources, id, |x| &x.id, || format!("source {id}"));
    match edit {
        Edit::AddSource(source) => {
            let new = checked(source, None)?;
            match p.source(&source.id) {
                Some(there) if *there == new => {}
                Some(_) => {
                    return Err(EditError::Duplicate { what: format!("another source {}", source.id) });
                }
                None => p.sources.push(new),
            }
        }
        Edit::ChangeSource { source, .. } => {
            let at = find(p, &source.id)?;
            p.sources[at] = checked(source, Some(&p.sources[at]))?;
        }
        Edit::RemoveSource(id) => {
            let at = find(p, id)?;
            let uses = |c: &&Arc<Circuit>| c.supply.as_ref().is_some_and(|s| s.source == *id);
            let users: Vec<&str> = p.circuits.iter().filter(uses).map(|c| c.name.as_str()).collect();
            if !users.is_empty() {
                return Err(EditError::InUse {
                    what: format!("source {}", p.sources[at].name),
                    by: listed("circuit", &users),
                    remedy: "choose another source for them first",
                });
            }
            p.sources.remove(at);
        }
        _ => {}
    }
    Ok(())
}

fn checked(p: &Project, circuit: &Circuit, before: Option<&Circuit>) -> Result<Arc<Circuit>, EditError> {
    let mut circuit = circuit.clone();
    let what = format!("circuit {}", circuit.name);
    finite(&mut circuit, numbers::circuit, &what)?;
    if let Some(supply) = &circuit.supply {
        if p.source(&supply.source).is_none() {
            return Err(missing(format!("source {} of {what}", supply.source)));
        }
        let mut cups = HashSet::new();
        if let Some(twice) = supply.branches.iter().find(|b| !cups.insert(b.cup)) {
            let what = format!("a branch for cup {} in the supply of {what}", twice.cup);
            return Err(EditError::Duplicate { what });
        }
        let mut zones = HashSet::new();
        if let Some(twice) = supply.valves.iter().find(|v| !zones.insert(&v.zone)) {
            let what = format!("a valve for zone {} in the supply of {what}", twice.zone);
            return Err(EditError::Duplicate { what });
        }
    }
    Ok(Arc::new(tidy::thing(circuit, before, numbers::circuit)))
}

/// What an entry is about, if that is not in the project.
fn not_there(p: &Project, what: &TrialKind) -> Option<String> {
    match what {
        TrialKind::Level { layout, cup } => {
            p.cup(*layout, *cup).is_none().then(|| format!("cup {cup} of layout {layout}"))
        }
        TrialKind::TimeToLevel { circuit, .. } | TrialKind::LeakDown { circuit, .. } => {
            p.circuit(*circuit).is_none().then(|| format!("circuit {circuit}"))
        }
        TrialKind::Friction { part, .. } => p.part(*part).is_none().then(|| format!("part {part}")),
    }
}

/// Drops measurements of what is not in the project; whether there were any.
pub(crate) fn drop_stale(p: &Project, trial: &mut Arc<Trial>) -> bool {
    let stale = trial.entries.iter().any(|e| not_there(p, &e.what).is_some())
        || trial.curves.iter().any(|c| p.circuit(c.circuit).is_none());
    if stale {
        let trial = Arc::make_mut(trial);
        trial.entries.retain(|e| not_there(p, &e.what).is_none());
        trial.curves.retain(|c| p.circuit(c.circuit).is_some());
    }
    stale
}

/// After something was taken away: drops measurements of it and branches to it, so that the file names nothing that is gone.
pub(super) fn forget_gone(p: &mut Project) {
    let mut trial = p.trial.clone();
    if drop_stale(p, &mut trial) {
        p.trial = trial;
    }
    if p.circuits.iter().all(|c| c.supply.as_ref().is_none_or(|s| s.branches.is_empty())) {
        return;
    }
    let cups: HashSet<_> = p.layouts.iter().flat_map(|l| l.cups.iter().map(|c| c.id)).collect();
    for circuit in &mut p.circuits {
        let stale = |s: &Arc<Supply>| s.branches.iter().any(|b| !cups.contains(&b.cup));
        if circuit.supply.as_ref().is_some_and(stale)
            && let Some(supply) = &mut Arc::make_mut(circuit).supply
        {
            Arc::make_mut(supply).branches.retain(|b| cups.contains(&b.cup));
        }
    }
}
