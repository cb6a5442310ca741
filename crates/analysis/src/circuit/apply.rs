//! A change that would help, as an edit of the project.

use crate::report::{HelpChange, HosePart};
use document::{
    Arrangement, Circuit, CircuitId, Edit, Fed, FittingKind, FittingUse, Line, LineLength, Manifold, Origin,
    Project, Sourced, Supply,
};
use std::sync::Arc;

impl HelpChange {
    /// The edit that makes the change in a circuit, dated `on` (ISO 8601) where a stated figure changes; `None` where no edit of
    /// the circuit can: a hose whose length follows from the plan gets shorter by moving what it joins. Also `None`
    /// where the circuit or its supply is gone, or nothing would change.
    ///
    /// ```
    /// # use analysis::HelpChange;
    /// # use document::{Part, PartId, Project};
    /// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    /// // Only a level is stated: there is no manifold to feed.
    /// assert_eq!(HelpChange::FedAtBothEnds.edit(&project, project.circuits[0].id, "2026-03-12"), None);
    /// ```
    pub fn edit(&self, project: &Project, circuit: CircuitId, on: &str) -> Option<Edit> {
        let before = project.circuit(circuit)?;
        let old = before.supply.as_deref()?;
        let supply = self.made(old, on)?;
        let changed = Circuit { supply: Some(Arc::new(supply)), ..Circuit::clone(before) };
        let what = format!("Apply {}", self.says(&units::UnitChoice::default()));
        Some(Edit::ChangeCircuit { circuit: Arc::new(changed), what })
    }

    /// The supply with the change; `None` where nothing would change.
    pub(crate) fn made(&self, old: &Supply, on: &str) -> Option<Supply> {
        let mut supply = old.clone();
        self.make(&mut supply, on);
        (supply != *old).then_some(supply)
    }

    fn make(&self, supply: &mut Supply, on: &str) {
        match self {
            Self::Bore { of: HosePart::Manifold, to_mm, .. } => {
                manifolds(supply).filter(|m| m.bore_mm < *to_mm).for_each(|m| m.bore_mm = *to_mm);
            }
            Self::Bore { of, to_mm, .. } => {
                lines(supply, *of).filter(|l| l.bore_mm < *to_mm).for_each(|l| l.bore_mm = *to_mm);
            }
            Self::Shorter(of) => {
                if lines(supply, *of).all(|line| matches!(line.length, LineLength::Typed { .. })) {
                    for line in lines(supply, *of) {
                        if let LineLength::Typed { mm } = &mut line.length {
                            *mm *= super::helps::SHORTER;
                        }
                    }
                }
            }
            Self::Uncoiled(of) => lines(supply, *of).for_each(|line| line.coil = None),
            Self::Swept(of) => lines(supply, *of).for_each(|line| {
                refit(line, |kind| match kind {
                    FittingKind::TeeRun => FittingKind::SweptRun,
                    FittingKind::TeeBranch => FittingKind::SweptBranch,
                    other => other,
                });
            }),
            Self::WideBends(of) => lines(supply, *of).for_each(|line| {
                refit(line, |kind| match kind {
                    FittingKind::Elbow90 => FittingKind::WideBend,
                    other => other,
                });
            }),
            Self::EqualBranches { mm } => {
                for line in lines(supply, HosePart::Branches) {
                    let wound = line.coil.map_or(0.0, |coil| coil.length_mm());
                    line.length = LineLength::Typed { mm: (mm - wound).max(0.0) };
                }
            }
            Self::FedAtBothEnds => manifolds(supply).for_each(|m| m.fed = Fed::BothEnds),
            Self::Restrictors(through) => supply.restrictor = Some(*through),
            Self::CheckValves => supply.check_valve_at_cup = true,
            Self::SourceAtCups => supply.arrangement = Arrangement::PerCup,
            Self::Feed { to_kpa, .. } => {
                supply.feed_kpa = Sourced { value: *to_kpa, origin: Origin::Stated, on: on.to_owned() };
            }
        }
    }
}

fn lines(supply: &mut Supply, of: HosePart) -> Box<dyn Iterator<Item = &mut Line> + '_> {
    match of {
        HosePart::Branches => {
            let own = supply.branches.iter_mut().map(|branch| &mut branch.line);
            Box::new(std::iter::once(&mut supply.branch).chain(own))
        }
        HosePart::Main => Box::new(std::iter::once(&mut supply.main)),
        HosePart::Manifold => Box::new(std::iter::empty()),
    }
}

fn manifolds(supply: &mut Supply) -> impl Iterator<Item = &mut Manifold> {
    supply.manifold.iter_mut().chain(supply.valves.iter_mut().filter_map(|valve| valve.manifold.as_mut()))
}

/// Other fittings in place of those there, those of one kind counted together again.
fn refit(line: &mut Line, change: impl Fn(FittingKind) -> FittingKind) {
    let mut after: Vec<FittingUse> = Vec::with_capacity(line.fittings.len());
    for used in &line.fittings {
        // What a maker states is of the fitting that was there.
        let flow = used.flow.filter(|_| change(used.kind) == used.kind);
        let new = FittingUse { kind: change(used.kind), flow, ..*used };
        match after.iter_mut().find(|there| there.is_like(&new)) {
            Some(there) => there.count = there.count.saturating_add(used.count),
            None => after.push(new),
        }
    }
    if line.fittings.iter().any(|used| change(used.kind) != used.kind) {
        line.fittings = after;
    }
}
