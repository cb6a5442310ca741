//! What feeds the cups, for tests: written out by hand, and arbitrary.

use super::{number, origin, sourced, text, three, two};
use document::*;
use glam::{DVec2, DVec3};
use proptest::{collection::vec, option, prelude::*};
use std::sync::Arc;

/// A source of every field, for the circuit of [`supply`].
pub fn source() -> SourceModel {
    let point = |(level_kpa, flow_nl_min)| CurvePoint { level_kpa, flow_nl_min };
    let feed = |feed_kpa, flow_share, level_share, air_nl_min| FeedPoint {
        feed_kpa,
        flow_share,
        level_share,
        air_nl_min,
    };
    SourceModel {
        id: "own-ejector".into(),
        name: "Own ejector".into(),
        kind: SourceKind::Ejector,
        curve: [(0.0, 90.5), (40.0, 48.0), (85.0, 0.0)].map(point).to_vec(),
        curve_flow: document::CurveFlow::Anr,
        feed: vec![feed(350.0, 0.75, 0.7, 68.0), feed(500.0, 1.0, 1.0, 90.0)],
        rated_feed_kpa: 500.0,
        power_w: 0.0,
        straight_bore_mm: Some(9.5),
        air_saving: true,
        volume_ml: 12.5,
        mass_g: 340.0,
        figures: Origin::Measured,
        on: "2026-02-04".into(),
    }
}
/// A supply with something of everything, for cups C1 (11) and C4 (14).
pub fn supply() -> Supply {
    let line = |bore_mm, length, fittings: &[(FittingKind, u32)]| Line {
        bore_mm,
        length,
        fittings: fittings.iter().map(|&(kind, count)| FittingUse::new(kind, count)).collect(),
        coil: None,
    };
    let manifold = Manifold {
        at: DVec2::new(300.0, 180.5),
        turn_deg: 12.5,
        length_mm: 160.0,
        bore_mm: 12.0,
        ports: 4,
        fed: Fed::BothEnds,
    };
    let valve = ZoneValve {
        zone: "A".into(),
        restriction: Restriction { c_dm3_s_bar: 2.4, b: 0.35 },
        check_valve: true,
        manifold: Some(Manifold { ports: 6, fed: Fed::OneEnd, ..manifold }),
    };
    Supply {
        source: "own-ejector".into(),
        arrangement: Arrangement::Central,
        sources: 2,
        feed_kpa: Sourced::measured(480.0, "2026-02-05"),
        at: DVec3::new(300.0, 120.0, 110.5),
        main: line(8.0, LineLength::Plan { slack_mm: 120.0 }, &[(FittingKind::Elbow90, 2)]),
        fitting_loss: FittingLoss::ThreeConstant,
        manifold: Some(manifold),
        branch: Line {
            fittings: vec![
                FittingUse { bore_mm: Some(3.5), ..FittingUse::new(FittingKind::Straight, 1) },
                FittingUse {
                    flow: Some(Restriction { c_dm3_s_bar: 0.9, b: 0.3 }),
                    ..FittingUse::new(FittingKind::WideBend, 1)
                },
            ],
            ..line(4.0, LineLength::Plan { slack_mm: 60.0 }, &[])
        },
        branches: vec![BranchLine {
            cup: CupId(14),
            line: Line {
                coil: Some(Coil { turns: 4.5, diameter_mm: 40.0 }),
                ..line(6.0, LineLength::Typed { mm: 450.0 }, &[(FittingKind::SweptBranch, 1)])
            },
        }],
        restrictor: Some(Restriction { c_dm3_s_bar: 0.3, b: 0.5 }),
        check_valve_at_cup: true,
        filter: Some(Restriction { c_dm3_s_bar: 3.0, b: 0.4 }),
        filter_at_cup: Some(Restriction { c_dm3_s_bar: 0.6, b: 0.4 }),
        dust: Some(Dust {
            load_g_m3: Sourced::measured(0.02, "2026-02-06"),
            capacity_g: Sourced::stated(8.0),
            cleaned_h: Sourced::assumed(24.0),
        }),
        valves: vec![valve],
        lip_gap_um: Sourced::assumed(8.0),
        area_gripper: Some(Cells {
            count: 12,
            bore_mm: 6.0,
            restrictor: Restriction { c_dm3_s_bar: 0.05, b: 0.5 },
        }),
        cell_closing: Some(CellClosing {
            at_nl_min: Sourced::stated(1.25),
            leak_nl_min: Sourced::assumed(0.04),
        }),
        operation: Operation {
            valve_s: Sourced::measured(0.02, "2026-02-05"),
            blow_off: BlowOff::Valve {
                restriction: Restriction { c_dm3_s_bar: 0.8, b: 0.25 },
                feed_kpa: 350.0,
            },
            vessel_ml: 250.0,
            check_leak_nl_min: Sourced::stated(0.002),
            exhaust: Some(Exhaust {
                silencer: Some(Restriction { c_dm3_s_bar: 9.0, b: 0.3 }),
                ..Exhaust::preset(12.0)
            }),
            ..Operation::default()
        },
    }
}
/// The project with a supply, a second circuit without, a cycle and a trial; ids go on from `next_id`.
pub fn with_circuits(mut project: Project) -> Project {
    let id = project.circuits[0].id;
    let (layout, part) = (project.layouts[0].id, project.parts[0].id);
    let cup = project.layouts[0].cups[3].id;
    let circuit = Arc::make_mut(&mut project.circuits[0]);
    circuit.thresholds = Some(Thresholds {
        held_kpa: 45.0,
        alarm_kpa: Some(42.0),
        saving_off_kpa: 62.5,
        time_out_s: 1.2,
        hold_s: 90.0,
    });
    circuit.supply = Some(Arc::new(supply()));
    let second = CircuitId(project.next_id());
    project.circuits.push(Arc::new(Circuit::preset(second, "Circuit 2")));
    project.last_id = second.0;
    project.sources.push(Arc::new(source()));
    project.cycle.picks_per_hour = Sourced::stated(720.0);
    project.cycle.currency = "CHF".into();
    let entry = |what, value, stage| TrialEntry {
        what,
        value,
        stage,
        on: "2026-03-12".into(),
        by: "M. Huber".into(),
    };
    let curve = |kind, cup, stage, points: &[(f64, f64)]| BaselineCurve {
        circuit: id,
        cup,
        kind,
        stage,
        on: "2026-03-12".into(),
        points: points.to_vec(),
    };
    project.trial = Arc::new(Trial {
        entries: vec![
            entry(TrialKind::Level { layout, cup }, 58.5, Stage::Baseline),
            entry(TrialKind::TimeToLevel { circuit: id, level_kpa: 45.0 }, 0.32, Stage::Baseline),
            entry(TrialKind::LeakDown { circuit: id, from_kpa: 58.0, over_s: 60.0 }, 4.5, Stage::Field),
            entry(TrialKind::Friction { part, lip_material: "nitrile rubber".into() }, 0.37, Stage::Baseline),
        ],
        curves: vec![
            curve(CurveKind::Evacuation, Some(cup), Stage::Baseline, &[(0.0, 0.0), (0.1, 31.5), (0.4, 57.0)]),
            curve(CurveKind::LeakDown, None, Stage::Field, &[(0.0, 58.0), (60.0, 53.5)]),
        ],
    });
    project
}

fn restriction() -> BoxedStrategy<Restriction> {
    two().prop_map(|v| Restriction { c_dm3_s_bar: v.x, b: v.y }).boxed()
}
fn manifold() -> BoxedStrategy<Manifold> {
    (two(), three(), any::<u32>(), proptest::sample::select(Fed::ALL))
        .prop_map(|(at, v, ports, fed)| Manifold {
            at,
            turn_deg: v.x,
            length_mm: v.y,
            bore_mm: v.z,
            ports,
            fed,
        })
        .boxed()
}
fn line() -> BoxedStrategy<Line> {
    let length = prop_oneof![
        number().prop_map(|slack_mm| LineLength::Plan { slack_mm }),
        number().prop_map(|mm| LineLength::Typed { mm })
    ];
    let own = (option::of(number()), option::of(restriction()));
    let fittings = vec((proptest::sample::select(FittingKind::ALL), any::<u32>(), own), 0..3);
    let coil = option::of(two().prop_map(|v| Coil { turns: v.x, diameter_mm: v.y }));
    (number(), length, fittings, coil)
        .prop_map(|(bore_mm, length, fittings, coil)| Line {
            bore_mm,
            length,
            fittings: fittings
                .into_iter()
                .map(|(kind, count, (bore_mm, flow))| FittingUse { kind, count, bore_mm, flow })
                .collect(),
            coil,
        })
        .boxed()
}
fn operation() -> BoxedStrategy<Operation> {
    let blow = prop_oneof![
        Just(BlowOff::Usual),
        Just(BlowOff::NotFitted),
        (restriction(), number())
            .prop_map(|(restriction, feed_kpa)| BlowOff::Valve { restriction, feed_kpa })
    ];
    let exhaust = (two(), option::of(restriction()), sourced(number()), sourced(number())).prop_map(
        |(v, silencer, flow_loss_per_kpa, level_loss_per_kpa)| Exhaust {
            bore_mm: v.x,
            length_mm: v.y,
            silencer,
            flow_loss_per_kpa,
            level_loss_per_kpa,
        },
    );
    let times = (sourced(number()), sourced(number()), sourced(number()), two());
    (times, blow, any::<bool>(), option::of(exhaust))
        .prop_map(|((valve_s, switch_s, check_leak_nl_min, v), blow_off, motors_stop, exhaust)| Operation {
            valve_s,
            switch_s,
            blow_off,
            motors_stop,
            vessel_ml: v.x,
            check_leak_nl_min,
            check_leak_at_kpa: v.y,
            exhaust,
        })
        .boxed()
}
fn any_supply(source: SourceId) -> BoxedStrategy<Supply> {
    let cells = (any::<u32>(), number(), restriction()).prop_map(|(count, bore_mm, restrictor)| Cells {
        count,
        bore_mm,
        restrictor,
    });
    let valves = vec((text(), restriction(), any::<bool>(), option::of(manifold())), 0..3);
    let dust = (sourced(number()), sourced(number()), sourced(number()));
    let dust = dust.prop_map(|(load_g_m3, capacity_g, cleaned_h)| Dust { load_g_m3, capacity_g, cleaned_h });
    let closing = (sourced(number()), sourced(number()))
        .prop_map(|(at_nl_min, leak_nl_min)| CellClosing { at_nl_min, leak_nl_min });
    let more = (any::<u32>(), option::of(restriction()), option::of(dust), option::of(closing));
    let what = (proptest::sample::select(Arrangement::ALL), sourced(number()), three(), sourced(number()));
    let loss = proptest::sample::select(FittingLoss::ALL);
    let lines = (line(), line(), vec(line(), 0..3), option::of(manifold()), loss);
    let ways =
        (option::of(restriction()), any::<bool>(), option::of(restriction()), valves, option::of(cells));
    (what, lines, ways, (more, operation()))
        .prop_map(move |((arrangement, feed_kpa, at, lip_gap_um), lines, ways, (more, operation))| {
            let (sources, filter_at_cup, dust, cell_closing) = more;
            let (main, branch, branches, manifold, fitting_loss) = lines;
            let (restrictor, check_valve_at_cup, filter, valves, area_gripper) = ways;
            let valves = valves.into_iter().enumerate();
            Supply {
                source: source.clone(),
                arrangement,
                sources,
                feed_kpa,
                at,
                main,
                fitting_loss,
                manifold,
                branch,
                branches: (600..)
                    .zip(branches)
                    .map(|(id, line)| BranchLine { cup: CupId(id), line })
                    .collect(),
                restrictor,
                check_valve_at_cup,
                filter,
                filter_at_cup,
                dust,
                // Names of zones differ.
                valves: valves
                    .map(|(i, (zone, restriction, check_valve, manifold))| ZoneValve {
                        zone: format!("{i}{zone}"),
                        restriction,
                        check_valve,
                        manifold,
                    })
                    .collect(),
                lip_gap_um,
                area_gripper,
                cell_closing,
                operation,
            }
        })
        .boxed()
}
fn any_source(id: usize) -> BoxedStrategy<SourceModel> {
    let curve = (vec(two(), 0..4), proptest::sample::select(CurveFlow::ALL));
    let feed = vec((two(), two()), 0..3);
    let kind = (text(), proptest::sample::select(SourceKind::ALL), any::<bool>(), origin(), text());
    (kind, curve, feed, (three(), number(), option::of(number())))
        .prop_map(move |((name, kind, air_saving, figures, on), (curve, curve_flow), feed, figs)| {
            let (v, rated_feed_kpa, straight_bore_mm) = figs;
            SourceModel {
                id: format!("source-{id}").as_str().into(),
                name,
                kind,
                curve: curve.into_iter().map(|p| CurvePoint { level_kpa: p.x, flow_nl_min: p.y }).collect(),
                curve_flow,
                feed: feed
                    .into_iter()
                    .map(|(a, b)| FeedPoint {
                        feed_kpa: a.x,
                        flow_share: a.y,
                        level_share: b.x,
                        air_nl_min: b.y,
                    })
                    .collect(),
                rated_feed_kpa,
                power_w: v.x,
                straight_bore_mm,
                air_saving,
                volume_ml: v.y,
                mass_g: v.z,
                figures,
                on,
            }
        })
        .boxed()
}
fn cycle() -> BoxedStrategy<Cycle> {
    (vec(sourced(number()), 6), text())
        .prop_map(|(mut figures, currency)| {
            let mut next = || figures.pop().expect("there are six");
            Cycle {
                picks_per_hour: next(),
                hold_s: next(),
                hours_per_year: next(),
                air_price_per_m3: next(),
                energy_price_per_kwh: next(),
                compressor_kwh_per_m3: next(),
                currency,
            }
        })
        .boxed()
}
/// Entries about circuit 400, part 1.
fn trial() -> BoxedStrategy<Trial> {
    let circuit = CircuitId(400);
    let what = prop_oneof![
        number().prop_map(move |level_kpa| TrialKind::TimeToLevel { circuit, level_kpa }),
        two().prop_map(move |v| TrialKind::LeakDown { circuit, from_kpa: v.x, over_s: v.y }),
        text().prop_map(|lip_material| TrialKind::Friction { part: PartId(1), lip_material }),
    ];
    let stage = || proptest::sample::select(Stage::ALL);
    let entries = vec((what, number(), stage(), text(), text()), 0..3);
    let curves = vec(
        (
            option::of(any::<u32>()),
            proptest::sample::select(CurveKind::ALL),
            stage(),
            text(),
            vec(two(), 0..4),
        ),
        0..2,
    );
    (entries, curves)
        .prop_map(move |(entries, curves)| Trial {
            entries: entries
                .into_iter()
                .map(|(what, value, stage, on, by)| TrialEntry { what, value, stage, on, by })
                .collect(),
            curves: curves
                .into_iter()
                .map(|(cup, kind, stage, on, points)| BaselineCurve {
                    circuit,
                    cup: cup.map(CupId),
                    kind,
                    stage,
                    on,
                    points: points.into_iter().map(|p| (p.x, p.y)).collect(),
                })
                .collect(),
        })
        .boxed()
}
/// Supply and thresholds of the first circuit, sources, cycle and trial of an arbitrary project.
pub fn feeding() -> BoxedStrategy<Feeding> {
    let thresholds = option::of((two(), two())).prop_map(|t| {
        t.map(|(a, b)| Thresholds {
            held_kpa: a.x,
            alarm_kpa: (a.x > 30.0).then_some(0.5 * a.x),
            saving_off_kpa: a.y,
            time_out_s: b.x,
            hold_s: b.y,
        })
    });
    let supply = option::of(any_supply("source-0".into()));
    (thresholds, supply, (any_source(0), option::of(any_source(1))), cycle(), trial())
        .prop_map(|(thresholds, supply, (first, second), cycle, trial)| Feeding {
            thresholds,
            supply,
            sources: [Some(first), second].into_iter().flatten().map(Arc::new).collect(),
            cycle,
            trial,
        })
        .boxed()
}
/// See [`feeding`].
#[derive(Debug, Clone)]
pub struct Feeding {
    thresholds: Option<Thresholds>,
    supply: Option<Supply>,
    sources: Vec<Arc<SourceModel>>,
    cycle: Cycle,
    trial: Trial,
}
impl Feeding {
    /// The project with them.
    pub fn put_into(self, mut project: Project) -> Project {
        let circuit = Arc::make_mut(&mut project.circuits[0]);
        circuit.thresholds = self.thresholds;
        circuit.supply = self.supply.map(Arc::new);
        let (cycle, trial) = (self.cycle, Arc::new(self.trial));
        Project { sources: self.sources, cycle, trial, ..project }
    }
}

/// A question with figures that may be absurd.
pub fn question(a: DVec3, b: DVec3, spare: u32) -> Arc<Question> {
    let count = spare as usize;
    Arc::new(Question {
        models: if spare == 3 { vec![ModelId("model-7".into())] } else { Vec::new() },
        count: if spare > 4 { HowMany::Exactly(count) } else { HowMany::Fewest { most: count + 1 } },
        pattern: Pattern::ALL.get(count).copied(),
        one_lost: spare == 1,
        zone_lost: spare == 2,
        lost_factor: a.x,
        low_end: spare == 4,
        mixed: spare == 5,
        step_mm: a.y,
        spacing_mm: (spare > 2).then_some(b.z),
        prefer: Prefer::ALL[count % Prefer::ALL.len()],
        seed: spare,
    })
}
