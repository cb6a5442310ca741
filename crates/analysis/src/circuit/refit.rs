//! The gap under the lips that explains the level measured when the tool was taken into service.

use super::{input::CircuitInput, lower, steady::Solved};
use crate::{memo::Shared, stages::Analyst, words::Words};
use document::{
    Circuit, CircuitId, CupId, Edit, LayoutId, Origin, Project, Sourced, Stage, Supply, TrialEntry, TrialKind,
};
use std::sync::Arc;
use units::VacuumLevel;
use vacuum::Status;

/// A wider gap is no gap under a lip any more, µm.
const WIDEST_UM: f64 = 200.0;
/// Halvings of that.
const HALVINGS: u32 = 48;
/// Levels closer than this are the same, kPa.
const SAME_KPA: f64 = 0.02;
/// Digits that a fitted gap keeps.
const DIGITS: i32 = 4;

/// What entering a measurement changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Entered {
    /// The change.
    pub edit: Edit,
    /// What else was changed by it, or why nothing else was, as a sentence; `None` where there is nothing to say.
    pub says: Option<String>,
}

/// A level measured at a cup.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MeasuredLevel {
    pub cup: CupId,
    pub kpa: f64,
    pub on: String,
}

/// Levels measured at cups of a layout when the tool was taken into service, of each cup the latest.
pub(crate) fn baseline_levels(project: &Project, layout: LayoutId) -> Vec<MeasuredLevel> {
    let mut found: Vec<MeasuredLevel> = Vec::new();
    for entry in project.trial.entries.iter().filter(|entry| entry.stage == Stage::Baseline) {
        if let TrialKind::Level { layout: of, cup } = entry.what
            && of == layout
        {
            found.retain(|held| held.cup != cup);
            found.push(MeasuredLevel { cup, kpa: entry.value, on: entry.on.clone() });
        }
    }
    found
}

impl Analyst {
    /// The change that enters a measurement ([`Project::enter_trial`]), with what follows from it for a circuit that is worked
    /// out: a level measured when the tool is taken into service makes the gap under the lips the one with which the circuit
    /// comes to that level, so that the report agrees with what was measured.
    ///
    /// With levels at several cups of a circuit, their mean is met. A gap that somebody stated stays. Where no gap explains the
    /// level, nothing is replaced and the sentence says so: then source, feed or permeance is not as stated.
    ///
    /// # Source
    /// More leak never leaves a deeper level ([`vacuum::solve`]), so that the gap is found by halving.
    pub fn enter_trial(&mut self, project: &Project, entry: TrialEntry) -> Option<Entered> {
        let level = match (&entry.what, entry.stage) {
            (TrialKind::Level { layout, cup }, Stage::Baseline) => Some((*layout, *cup)),
            _ => None,
        };
        let on = entry.on.clone();
        let edit = project.enter_trial(entry)?;
        let as_is = |says| Entered { edit: edit.clone(), says };
        let Some((layout, cup)) = level else { return Some(as_is(None)) };
        let circuit = project.cup(layout, cup).and_then(|cup| project.circuit(cup.circuit));
        let Some((circuit, supply)) = circuit.and_then(|held| Some((held, held.supply.as_deref()?))) else {
            return Some(as_is(None));
        };
        if supply.lip_gap_um.origin == Origin::Stated {
            let says = format!(
                "The gap under the lips on {} was entered and is kept; the findings show where the level \
                differs.",
                circuit.name
            );
            return Some(as_is(Some(says)));
        }
        let Ok(with_entry) = edit.apply(project) else { return Some(as_is(None)) };
        let units = self.units();
        let words = Words { choice: &units };
        let found = match self.fitted_gap(&with_entry, layout, circuit.id) {
            Ok(found) => found,
            Err(says) => return Some(as_is(Some(says))),
        };
        let gap = |um: f64| words.length_of_gap(um);
        let says = format!(
            "The gap under the lips on {} changed from {} to {} to match the measured level: {} instead of \
            {} at {}.",
            circuit.name,
            gap(supply.lip_gap_um.value),
            gap(found.gap_um),
            words.level(found.to_kpa),
            words.level(found.from_kpa),
            project.cup(layout, cup).map_or("", |cup| cup.tag.as_str()),
        );
        let fitted = Supply { lip_gap_um: Sourced::measured(found.gap_um, &on), ..supply.clone() };
        let changed = Circuit { supply: Some(Arc::new(fitted)), ..Circuit::clone(circuit) };
        let name = edit.name(project);
        let what = format!("{name}: gap under the lips of {}", circuit.name);
        let edits = vec![edit, Edit::ChangeCircuit { circuit: Arc::new(changed), what }];
        Some(Entered { edit: Edit::Together { name, edits }, says: Some(says) })
    }

    /// The gap with which a circuit comes to its baseline levels; the levels told are those at the cup measured last.
    fn fitted_gap(
        &mut self,
        project: &Project,
        layout: LayoutId,
        circuit: CircuitId,
    ) -> Result<Fitted, String> {
        self.check(project, layout);
        let units = self.units();
        let words = Words { choice: &units };
        let stage = self.layouts.get(&layout).map(|stage| &stage.circuits);
        let (input, solved) = stage
            .and_then(|circuits| circuits.held(circuit))
            .ok_or("The circuit is not calculated, so no gap under its lips was fitted.")?;
        let measured = baseline_levels(project, layout);
        let placed: Vec<(usize, f64)> = measured
            .iter()
            .filter_map(|level| Some((input.cups.iter().position(|cup| cup.id == level.cup)?, level.kpa)))
            .collect();
        let last = placed.last().map(|(place, _)| *place).ok_or("No level was measured on this circuit.")?;
        fit(input, solved, &placed, last, &words)
    }
}

struct Fitted {
    gap_um: f64,
    from_kpa: f64,
    to_kpa: f64,
}

fn fit(
    input: &CircuitInput,
    solved: &Solved,
    placed: &[(usize, f64)],
    last: usize,
    words: &Words<'_>,
) -> Result<Fitted, String> {
    let near = solved.solution.as_deref().map(|solution| &solution.state);
    let levels = |gap_um: f64| -> Option<Vec<f64>> {
        let mut supply = Supply::clone(&input.supply.0);
        supply.lip_gap_um.value = gap_um;
        let with_gap = CircuitInput { supply: Shared(Arc::new(supply)), ..input.clone() };
        let built = lower::network(&with_gap).ok()?;
        let solution = vacuum::solve(&built.network, near);
        let levels: Option<Vec<VacuumLevel>> = solution.cups.iter().map(|cup| cup.level).collect();
        let levels = levels.filter(|_| solution.status != Status::NotConverged)?;
        Some(levels.into_iter().map(|level| level.kpa()).collect())
    };
    let mean = |of: &dyn Fn(usize) -> f64| {
        placed.iter().map(|(place, _)| of(*place)).sum::<f64>() / placed.len() as f64
    };
    let wanted = placed.iter().map(|(_, kpa)| kpa).sum::<f64>() / placed.len() as f64;
    let at = |gap_um: f64| {
        let levels =
            levels(gap_um).ok_or("The circuit has no level, so no gap under its lips was fitted.")?;
        Ok::<f64, String>(mean(&|place| levels.get(place).copied().unwrap_or(0.0)))
    };
    let (tight, wide) = (at(0.0)?, at(WIDEST_UM)?);
    if wanted > tight + SAME_KPA {
        return Err(format!(
            "Measured: {}. Even with perfect lips {} reaches only {}: its source, its feed pressure or the \
            air permeability of the part is not as entered. The gap under the lips is unchanged.",
            words.level(wanted),
            input.name,
            words.level(tight)
        ));
    }
    if wanted < wide {
        return Err(format!(
            "Measured: {}, lower than {} reaches with any gap under its lips: look for a leak, a clogged \
            filter or a wrong feed pressure. The gap is unchanged.",
            words.level(wanted),
            input.name
        ));
    }
    let (mut low, mut high) = (0.0, WIDEST_UM);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if at(middle)? > wanted { low = middle } else { high = middle }
    }
    let gap_um = rounded(0.5 * (low + high));
    let of_last =
        |levels: Option<Vec<f64>>| levels.and_then(|levels| levels.get(last).copied()).unwrap_or(0.0);
    let before = solved.report.cups.get(last).map_or(0.0, |cup| cup.level_kpa);
    Ok(Fitted { gap_um, from_kpa: before, to_kpa: of_last(levels(gap_um)) })
}

/// To as many digits as a fitted figure is worth writing down with.
fn rounded(um: f64) -> f64 {
    if um < 10.0_f64.powi(-DIGITS) {
        return 0.0;
    }
    let step = 10.0_f64.powi(um.log10().floor() as i32 - DIGITS + 1);
    let digits = (DIGITS - 1 - um.log10().floor() as i32).max(0) as usize;
    format!("{:.digits$}", (um / step).round() * step).parse().unwrap_or(um)
}

impl Words<'_> {
    /// A gap under a lip.
    pub(crate) fn length_of_gap(&self, um: f64) -> String {
        // Lengths are shown in a tenth of a millimetre, which no gap under a lip is.
        format!("{} µm", units::fixed(um, 1, self.choice))
    }
}
