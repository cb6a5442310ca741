//! A source of the document as the engine takes it.

use super::input::CircuitInput;
use document::{CurveFlow, SourceKind, SourceModel};
use vacuum::{Ejector, FeedRow, Restriction, Source, SourceCurve};

/// Feed points this close to the stated feed (relative) are that feed.
const SAME_FEED: f64 = 1e-9;
/// bar in the standard atmosphere.
const BAR: f64 = 1.013_25;

/// The source at its feed, running, with a check valve.
///
/// # Errors
/// A sentence on a curve that is none, or a feed outside its table.
pub(crate) fn source(input: &CircuitInput) -> Result<Source, String> {
    of_model(&side_by_side(&input.model.0, input.sources()), input.supply.0.feed_kpa.value)
        .map_err(|says| format!("source {} of circuit {}: {says}", input.model.0.name, input.name))
}

/// So many of a source at one port as one: flows, air, power and volume are added, levels stay.
pub(crate) fn side_by_side(model: &SourceModel, count: u32) -> SourceModel {
    let times = f64::from(count);
    let mut all = model.clone();
    all.curve.iter_mut().for_each(|point| point.flow_nl_min *= times);
    all.feed.iter_mut().for_each(|point| point.air_nl_min *= times);
    all.power_w *= times;
    all.volume_ml *= times;
    // As wide as all of them together.
    all.straight_bore_mm = model.straight_bore_mm.map(|bore| bore * times.sqrt());
    all
}

/// A source model at a feed pressure (kPa above the atmosphere).
///
/// # Errors
/// As [`source`], without its name.
pub(crate) fn of_model(model: &SourceModel, feed_kpa: f64) -> Result<Source, String> {
    let points: Vec<(f64, f64)> =
        model.curve.iter().map(|point| (point.level_kpa, point.flow_nl_min)).collect();
    let curve = match model.curve_flow {
        CurveFlow::Anr => SourceCurve::from_points(&points),
        CurveFlow::Inlet => SourceCurve::from_inlet_points(&points),
    };
    let curve = curve.map_err(|error| error.to_string())?;
    let source = match model.kind {
        SourceKind::Pump => Source::pump(curve, model.power_w),
        SourceKind::Blower => Source::blower(curve, model.power_w),
        SourceKind::Ejector => Source::ejector(ejector(model, &curve, feed_kpa), feed_kpa),
    };
    source.curve().map_err(|error| error.to_string())?;
    Ok(source)
}

fn ejector(model: &SourceModel, curve: &SourceCurve, feed_kpa: f64) -> Ejector {
    let row = |feed_kpa: f64, flow: f64, level: f64, air: f64| FeedRow {
        feed_kpa,
        free_flow_nl_min: curve.free_flow_nl_min * flow,
        ultimate_kpa: curve.ultimate.kpa() * level,
        consumption_nl_min: air,
    };
    let mut rows: Vec<FeedRow> = model
        .feed
        .iter()
        .map(|point| row(point.feed_kpa, point.flow_share, point.level_share, point.air_nl_min))
        .collect();
    // One that only has its rated curve can only be fed as rated.
    if rows.is_empty() {
        let rated = model.rated_feed_kpa;
        let as_rated = (feed_kpa - rated).abs() <= SAME_FEED * rated.abs();
        rows.push(row(if as_rated { feed_kpa } else { rated }, 1.0, 1.0, 0.0));
    }
    Ejector { shape: curve.shape.clone(), rows }
}

/// The way back through a source without a check valve while it stands still: its straight bore, or, where none is
/// stated, an opening through which as much comes back as it draws at most.
pub(crate) fn way_back(model: &SourceModel, source: &Source) -> Restriction {
    if let Some(bore) = model.straight_bore_mm.filter(|bore| *bore > 0.0 && bore.is_finite()) {
        return Restriction::orifice(bore, vacuum::DEFAULT_DISCHARGE);
    }
    let free = source.curve().map_or(0.0, |curve| curve.free_flow_nl_min);
    Restriction { conductance_dm3_s_bar: free / 60.0 / BAR, critical_ratio: vacuum::ORIFICE_CRITICAL_RATIO }
}
