//! Built-in sources, hoses, fittings and restrictions are there, plausible and in order. Their figures are invented, so the
//! ranges are common practice, without a source, but for what physics asks.
use document::*;
use std::collections::BTreeSet;

/// kPa.
const ATMOSPHERE: f64 = 101.325;

fn of(kind: SourceKind) -> impl Iterator<Item = &'static SourceModel> {
    sources().iter().map(|s| &**s).filter(move |s| s.kind == kind)
}
fn source(id: &str) -> &'static SourceModel {
    sources().iter().find(|s| &*s.id.0 == id).unwrap()
}
fn free_flow(s: &SourceModel) -> f64 {
    s.curve[0].flow_nl_min
}
fn deepest(s: &SourceModel) -> f64 {
    s.curve.last().unwrap().level_kpa
}
/// Air drawn, in litres of the atmosphere outside.
fn flow_at(s: &SourceModel, level: f64) -> f64 {
    let pair = s.curve.windows(2).find(|p| (p[0].level_kpa..=p[1].level_kpa).contains(&level));
    let flow = pair.map_or(0.0, |p| {
        let share = (level - p[0].level_kpa) / (p[1].level_kpa - p[0].level_kpa);
        p[0].flow_nl_min + share * (p[1].flow_nl_min - p[0].flow_nl_min)
    });
    match s.curve_flow {
        CurveFlow::Anr => flow,
        // The air there is thin.
        CurveFlow::Inlet => flow * (ATMOSPHERE - level) / ATMOSPHERE,
    }
}
/// Power that compressing a flow from below to the atmosphere takes without any loss, W: isothermal compression, the least
/// there is (any text on thermodynamics).
fn least_power(flow_nl_min: f64, level_kpa: f64) -> f64 {
    let ratio = ATMOSPHERE / (ATMOSPHERE - level_kpa);
    // 100 kPa is the normal state's pressure: kPa × L/min ANR / 60 = W.
    100.0 * flow_nl_min / 60.0 * ratio.ln()
}

#[test]
fn every_kind_of_source_is_there() {
    assert!(of(SourceKind::Ejector).count() >= 7 && sources().len() >= 12);
    assert!(of(SourceKind::Pump).count() >= 2 && of(SourceKind::Blower).count() >= 2);
    let ejector = |which: &dyn Fn(&SourceModel) -> bool| of(SourceKind::Ejector).filter(|s| which(s)).count();
    assert!(ejector(&|s| deepest(s) >= 85.0 && s.air_saving) >= 3, "deep level");
    assert!(ejector(&|s| free_flow(s) >= 200.0 && deepest(s) >= 50.0) >= 2, "high flow for porous parts");
    // Low-feed territory is about 345 to 415 kPa (50 to 60 psi).
    let low = |s: &SourceModel| (345.0..=415.0).contains(&s.rated_feed_kpa) && s.feed[0].feed_kpa < 345.0;
    assert!(ejector(&low) >= 1, "low feed");
    assert!(ejector(&|s| s.straight_bore_mm.is_some_and(|b| b >= 12.0)) >= 2, "dirt-tolerant");
    assert!(ejector(&|s| s.mass_g <= 30.0) >= 1, "small enough for a cup");
}

#[test]
fn sources_are_sound_and_marked_assumed() {
    let ids: BTreeSet<_> = sources().iter().map(|s| &s.id).collect();
    let names: BTreeSet<_> = sources().iter().map(|s| &s.name).collect();
    assert_eq!((ids.len(), names.len()), (sources().len(), sources().len()));
    for s in sources() {
        assert_eq!(s.problems(), []);
        assert_eq!(s.figures, Origin::Assumed, "{}: invented", s.id);
        assert!(s.name.ends_with(&format!("{} L/min", free_flow(s))), "{}", s.name);
    }
}

#[test]
fn an_ejector_uses_more_air_with_more_feed_and_is_best_at_its_rated_feed() {
    for s in of(SourceKind::Ejector) {
        let rated = s.feed.iter().find(|f| f.feed_kpa == s.rated_feed_kpa).unwrap();
        assert_eq!((rated.flow_share, rated.level_share), (1.0, 1.0), "{}", s.id);
        for f in &s.feed {
            // A choked nozzle: air goes with the absolute feed pressure. The figures are rounded.
            let choked = rated.air_nl_min * (f.feed_kpa + ATMOSPHERE) / (rated.feed_kpa + ATMOSPHERE);
            assert!((f.air_nl_min / choked - 1.0).abs() < 0.01, "{} at {} kPa", s.id, f.feed_kpa);
            assert!(f.level_share <= 1.0, "the level peaks at the rated feed");
        }
        assert!(s.feed.windows(2).all(|p| p[0].flow_share <= p[1].flow_share));
        // What it does to the air it draws is less than what its own air could do expanding.
        let spent = 100.0 * rated.air_nl_min / 60.0 * ((s.rated_feed_kpa + ATMOSPHERE) / ATMOSPHERE).ln();
        for level in (1..100).map(|i| deepest(s) * f64::from(i) / 100.0) {
            let share = least_power(flow_at(s, level), level) / spent;
            assert!(share < 0.35, "{} at {level} kPa: {share}", s.id);
        }
    }
}

#[test]
fn a_motor_gives_more_than_the_compression_takes() {
    for s in of(SourceKind::Pump).chain(of(SourceKind::Blower)) {
        let most = (1..100).map(|i| deepest(s) * f64::from(i) / 100.0).map(|l| least_power(flow_at(s, l), l));
        let share = most.fold(0.0, f64::max) / s.power_w;
        assert!((0.15..0.7).contains(&share), "{}: {share}", s.id);
    }
    assert!(of(SourceKind::Blower).all(|s| deepest(s) < 40.0 && free_flow(s) > 1000.0));
    assert!(of(SourceKind::Pump).all(|s| deepest(s) > 80.0));
}

#[test]
fn no_pump_or_blower_draws_more_volume_than_it_displaces() {
    for s in of(SourceKind::Pump).chain(of(SourceKind::Blower)) {
        for level in (0..100).map(|i| deepest(s) * f64::from(i) / 100.0) {
            let volume = flow_at(s, level) * ATMOSPHERE / (ATMOSPHERE - level);
            assert!(
                volume <= free_flow(s) * (1.0 + 1e-9),
                "{} at {level} kPa: {volume} L/min at the inlet",
                s.id
            );
        }
    }
}

#[test]
fn a_part_that_leaks_is_better_held_by_flow_and_a_tight_one_by_depth() {
    let (deep, flow) = (source("ejector-deep-90"), source("ejector-flow-200"));
    assert!(deepest(deep) > deepest(flow));
    assert!(flow_at(flow, 30.0) > flow_at(deep, 30.0));
    // At a feed of 380 kPa the one for a low feed still reaches a depth that the other does not.
    let at_380 = |s: &SourceModel| {
        let pair = s.feed.windows(2).find(|p| (p[0].feed_kpa..=p[1].feed_kpa).contains(&380.0)).unwrap();
        let share = (380.0 - pair[0].feed_kpa) / (pair[1].feed_kpa - pair[0].feed_kpa);
        deepest(s) * (pair[0].level_share + share * (pair[1].level_share - pair[0].level_share))
    };
    assert!(at_380(source("ejector-low-feed-70")) > at_380(deep));
}

#[test]
fn hoses_go_from_2_to_25_mm_in_both_counts() {
    let bores: Vec<f64> = hoses().iter().map(|h| h.bore_mm).collect();
    assert!(bores.windows(2).all(|p| p[0] < p[1]), "{bores:?}");
    assert_eq!((bores[0], bores[bores.len() - 1]), (2.0, 25.4));
    assert!(hoses().iter().any(|h| h.bore_mm == 25.0));
    for h in hoses() {
        assert!(h.outer_mm >= h.bore_mm + 1.5 && h.outer_mm <= 2.0 * h.bore_mm + 1e-9, "{}", h.name);
        assert!(h.bend_mm >= 3.0 * h.bore_mm && h.bend_mm <= 7.0 * h.bore_mm, "{}", h.name);
        let (figure, unit) = h.name.split_once(' ').unwrap();
        let value = figure.split_once('/').map_or_else(
            || figure.parse::<f64>().unwrap(),
            |(n, d)| n.parse::<f64>().unwrap() / d.parse::<f64>().unwrap(),
        );
        let mm = if h.inch { value * 25.4 } else { value };
        assert_eq!(unit, if h.inch { "in" } else { "mm" });
        assert!((mm - h.bore_mm).abs() < 1e-9, "{}", h.name);
    }
    assert!(hoses().iter().filter(|h| h.inch).count() >= 6);
    let up = |mm| next_bore_up(mm).map(|h| h.name);
    assert_eq!((up(4.0), up(6.35), up(7.3)), (Some("5 mm"), Some("3/8 in"), Some("8 mm")));
    assert_eq!((up(25.4), up(25.0), up(0.0)), (None, None, Some("2 mm")));
}

#[test]
fn each_fitting_has_a_loss_and_says_where_from() {
    assert_eq!(FITTINGS.len(), FittingKind::ALL.len());
    let of = |kind| FITTINGS.iter().find(|f| f.kind == kind).unwrap();
    for kind in FittingKind::ALL {
        let f = of(*kind);
        assert!(f.multiple > 0.0 && f.low >= 0.0 && !f.origin.is_empty());
    }
    let multiple = |kind| of(kind).multiple;
    // Straight or swept beats an elbow, an elbow the branch of a tee.
    assert!(multiple(FittingKind::Straight) < multiple(FittingKind::Elbow45));
    assert!(multiple(FittingKind::Elbow45) < multiple(FittingKind::Elbow90));
    assert!(multiple(FittingKind::Elbow90) < multiple(FittingKind::TeeBranch));
    assert!(multiple(FittingKind::SweptBranch) < multiple(FittingKind::TeeBranch));
    assert!(multiple(FittingKind::SweptRun) < multiple(FittingKind::TeeRun));
}

#[test]
fn restrictions_grow_with_their_bore_and_fit_a_hose() {
    // 0.199 dm³/(s·bar) for each mm² of an ideal nozzle: none passes more than its bore could.
    for r in RESTRICTIONS {
        let ideal = 0.199 * std::f64::consts::FRAC_PI_4 * r.bore_mm * r.bore_mm;
        let share = r.restriction.c_dm3_s_bar / ideal;
        assert!((0.3..0.85).contains(&share), "{}: {share}", r.name());
        assert!((0.2..=0.5).contains(&r.restriction.b));
    }
    for is in RestrictionUse::ALL {
        let list: Vec<_> = RESTRICTIONS.iter().filter(|r| r.is == *is).collect();
        assert!(list.len() >= 4, "{}", is.label());
        assert!(list.windows(2).all(|p| {
            p[0].bore_mm < p[1].bore_mm && p[0].restriction.c_dm3_s_bar < p[1].restriction.c_dm3_s_bar
        }));
    }
    let fit = |mm| restriction_for(RestrictionUse::Valve, mm).unwrap().name();
    assert_eq!([fit(6.0), fit(7.0), fit(40.0)], ["valve, 6 mm", "valve, 8 mm", "valve, 20 mm"]);
}
