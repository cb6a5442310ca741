//! What dust in the air makes of a circuit: the filters clog, and the level falls with the hours since they were cleaned.
//!
//! The filter nearest to the cup catches all dust: those at the cups where there are any, else the one at the source. A filter
//! that holds the stated capacity passes half of what it passes clean, C = C0 / (1 + caught/capacity) (common practice, no
//! source). Dust caught goes with the air that passes: what leaks in while a part is held, and what is drawn from hoses and
//! cups at every pick.

use super::{coupling::SnapshotCircuit, lower::Built};
use crate::report::{DustReport, level_curve_at};
use document::{Cycle, Dust};
use vacuum::{
    ElementId, ElementKind, GAS_CONSTANT, NORMAL_DENSITY, Network, Restriction, Solution, Status, solve,
};

/// A step adds this share of its capacity to the filter that fills fastest.
const STEP: f64 = 0.1;
/// Up to so many capacities are looked at: the filter then passes a ninth.
const MOST_FILLED: f64 = 8.0;
/// The curve ends where this share of the level needed is left.
const ENDS_AT: f64 = 0.6;
/// The curve goes on to so many times the stated cleaning interval at most, and to this in any case, h.
const TIMES_STATED: f64 = 10.0;
const L_PER_M3: f64 = 1e3;
const CM3_PER_L: f64 = 1e3;
const MIN_PER_H: f64 = 60.0;
const S_PER_H: f64 = 3600.0;

/// One filter and what it has caught.
struct Filling {
    element: ElementId,
    clean: Restriction,
    /// Over the capacity.
    filled: f64,
}

/// Level at the worst cup against the hours since cleaning; `None` without dust or filter, or without a solution.
pub(super) fn of(circuit: &SnapshotCircuit, built: &Built, needed_kpa: f64) -> Option<DustReport> {
    let dust = circuit.input.supply.0.dust.as_ref()?;
    let mut fillings = filters(built);
    if fillings.is_empty() {
        return None;
    }
    let grams = Catching::of(dust, &circuit.input.cycle, built, fillings.len());
    let capacity = dust.capacity_g.value;
    let last_h = TIMES_STATED * dust.cleaned_h.value;
    let mut solved = clogged(built, &fillings)?;
    let mut points = vec![(0.0, worst(&solved, &built.network)?)];
    let mut hours = 0.0;
    let least = ENDS_AT * needed_kpa.min(points[0].1);
    while hours < last_h && points.last().is_some_and(|(_, level)| *level > least) {
        // Midpoint rule: the flow half a step on.
        let rates = |solution: &Solution| grams.rates(solution, &fillings, capacity);
        let first = rates(&solved)?;
        let fastest = first.iter().copied().fold(0.0, f64::max);
        let step = (STEP / fastest).min(last_h - hours);
        let half = clogged(built, &moved(&fillings, &first, 0.5 * step))?;
        let middle = rates(&half)?;
        fillings = moved(&fillings, &middle, step);
        hours += step;
        solved = clogged(built, &fillings)?;
        points.push((hours, worst(&solved, &built.network)?));
        if fillings.iter().any(|filling| filling.filled > MOST_FILLED) {
            break;
        }
    }
    let cleaned_h = dust.cleaned_h.value;
    Some(DustReport {
        needed_kpa,
        keeps_h: first_below(&points, needed_kpa),
        cleaned_h,
        level_at_cleaning_kpa: level_curve_at(&points, cleaned_h),
        points,
    })
}

/// The filters that catch the dust.
fn filters(built: &Built) -> Vec<Filling> {
    let spec = built.network.spec();
    let catches = |id: &ElementId| built.cup_filters.is_empty() || built.cup_filters.contains(id);
    let all = spec.element_ids().zip(spec.elements()).filter(|(id, _)| catches(id));
    all.filter_map(|(element, placed)| match placed.kind {
        ElementKind::Filter(clean) => Some(Filling { element, clean, filled: 0.0 }),
        _ => None,
    })
    .collect()
}

fn moved(fillings: &[Filling], rates: &[f64], hours: f64) -> Vec<Filling> {
    let each = fillings.iter().zip(rates);
    each.map(|(one, rate)| Filling { filled: one.filled + rate * hours, ..*one }).collect()
}

fn clogged(built: &Built, fillings: &[Filling]) -> Option<Solution> {
    let changed = built.network.edit(|circuit| {
        for filling in fillings {
            if let Some(element) = circuit.element_mut(filling.element) {
                element.kind = ElementKind::Filter(filling.clean.with_share(1.0 / (1.0 + filling.filled)));
            }
        }
    });
    let solution = solve(&changed.ok()?, None);
    (solution.status == Status::Solved).then_some(solution)
}

fn worst(solution: &Solution, network: &Network) -> Option<f64> {
    solution.worst_cup(network).map(|(_, level)| level.kpa())
}

/// How much dust passes.
struct Catching {
    /// g for each litre ANR.
    g_per_nl: f64,
    /// Share of an hour in which parts are held.
    held: f64,
    /// Normal litres for each kPa of level and pick that hoses and cups give one filter, times picks an hour.
    drawn_nl_h_kpa: f64,
}

impl Catching {
    fn of(dust: &Dust, cycle: &Cycle, built: &Built, filters: usize) -> Self {
        let air = built.network.air();
        let kelvin = air.temperature_c + 273.15;
        // m³ around the tool in a litre ANR.
        let outside_pa = air.ambient.kpa() * 1e3;
        let m3_per_nl = NORMAL_DENSITY * GAS_CONSTANT * kelvin / outside_pa / L_PER_M3;
        let picks = cycle.picks_per_hour.value.max(0.0);
        let litres: f64 = built.network.volumes_cm3().iter().sum::<f64>() / CM3_PER_L;
        // Drawn to a level, a volume gives level over atmosphere of itself, in air as it is outside.
        let nl_per_kpa = litres / air.ambient.kpa() / (m3_per_nl * L_PER_M3);
        Self {
            g_per_nl: dust.load_g_m3.value * m3_per_nl,
            held: (picks * cycle.hold_s.value.max(0.0) / S_PER_H).min(1.0),
            drawn_nl_h_kpa: nl_per_kpa * picks / filters as f64,
        }
    }

    /// Capacities an hour, filter by filter.
    fn rates(&self, solution: &Solution, fillings: &[Filling], capacity_g: f64) -> Option<Vec<f64>> {
        let levels = || solution.cups.iter().filter_map(|cup| cup.level);
        let mean = levels().map(|level| level.kpa()).sum::<f64>() / levels().count().max(1) as f64;
        fillings
            .iter()
            .map(|filling| {
                let flow = solution.elements.get(filling.element.index())?.flow_nl_min?.max(0.0);
                let nl_h = flow * MIN_PER_H * self.held + self.drawn_nl_h_kpa * mean;
                Some(nl_h * self.g_per_nl / capacity_g)
            })
            .collect()
    }
}

/// When a falling curve first goes below a level, h.
fn first_below(points: &[(f64, f64)], level: f64) -> Option<f64> {
    if points.first().is_some_and(|(_, first)| *first < level) {
        return Some(0.0);
    }
    points.windows(2).find(|pair| pair[1].1 < level).map(|pair| {
        let [(t0, l0), (t1, l1)] = [pair[0], pair[1]];
        t0 + (t1 - t0) * (l0 - level) / (l0 - l1)
    })
}
