//! A report built by hand for a fixture.

use analysis::{
    Age, Ages, Assumption, Balance, Carried, CupInMotion, CupLoad, CupReport, EnvelopePointReport,
    EnvelopeReport, Factor, FactorRange, Instant, LimitFigure, LipLimit, Lost, LostReport, MotionOutcome,
    MotionReport, MotionSlow, PartReport, Report, RobotLoad, Severity, Verdict, Wrench,
};
use document::{CupId, CupModel, Layout, Motion, MotionId, Origin, Part};
use geometry::{LipLine, LipShape};
use glam::{DVec2, DVec3, dvec2};
use std::sync::Arc;
use units::Quantity;

pub(crate) fn report(part: &Part, layout: &Layout, motions: &[Arc<Motion>], model: &CupModel) -> Report {
    let line = LipLine {
        length: 140.0,
        area: 1600.0,
        ix: 1.0,
        iy: 1.0,
        mean_radius: 22.0,
        radius_across: 11.0,
        half_length: 22.0,
        half_width: 22.0,
    };
    let cups: Vec<CupReport> = layout
        .cups
        .iter()
        .map(|cup| CupReport {
            id: cup.id,
            tag: cup.tag.clone(),
            model: model.name.clone(),
            at: cup.at,
            turn_deg: cup.turn_deg,
            circuit: "main".to_owned(),
            zone: cup.zone.clone(),
            height_mm: cup.height_mm,
            shape: model.shape,
            sealing: match model.shape {
                LipShape::Round { diameter } => LipShape::Round { diameter: diameter * 0.9 },
                LipShape::Long { length, width } => {
                    LipShape::Long { length: length * 0.9, width: width * 0.9 }
                }
                LipShape::Rectangle { length, width, corner } => {
                    LipShape::Rectangle { length: length * 0.9, width: width * 0.9, corner: corner * 0.9 }
                }
            },
            line,
            axial_n_mm: 4.0,
            lateral_n_mm: 3.0,
            tilt_nm_rad: [1.0, 1.0],
            twist_nm_rad: 1.0,
            friction: 0.35,
            seal_minimum_n_mm: 0.01,
            slide_share: 0.9,
            side_lever_mm: 10.0,
            uneven: analysis::Uneven { slide: 0.79, twist: 0.4185, apart: 0.52, tilt: [0.9; 2] },
            clearance: None,
            required_clearance_mm: 2.0,
            level_kpa: 60.0,
            channel: None,
            vacuum_force_n: 95.0,
            worst: None,
        })
        .collect();
    let governing = cups.last().map_or(CupId(0), |cup| cup.id);
    let points: Vec<DVec2> = part.outline.outer.vertices.iter().map(|v| v.at).collect();
    let (min, max) = points.iter().fold((points[0], points[0]), |(min, max), p| (min.min(*p), max.max(*p)));
    let instant = Instant {
        gravity: DVec3::NEG_Z * 9.806_65,
        acceleration: DVec3::ZERO,
        turn_rate: DVec3::ZERO,
        turn_acceleration: DVec3::ZERO,
        pivot: DVec3::ZERO,
    };
    let motions: Vec<MotionReport> = motions
        .iter()
        .enumerate()
        .map(|(index, motion)| MotionReport {
            id: motion.id,
            name: motion.name.clone(),
            required_factor: motion.required_factor,
            outcome: Ok(MotionOutcome {
                factor: motion.required_factor * (1.1 + 0.23 * index as f64),
                governing_cup: governing,
                governing_limit: if index % 2 == 0 { LipLimit::Seal } else { LipLimit::Slide },
                readings: {
                    let value = motion.required_factor * (1.1 + 0.23 * index as f64);
                    let limit = if index % 2 == 0 { LipLimit::Seal } else { LipLimit::Slide };
                    let whole_load = Factor { value, limit, reading: analysis::Reading::WholeLoad };
                    analysis::Readings { whole_load, weight_kept: whole_load }
                },
                favourable_weight: 0.9,
                member: analysis::Member::AS_STATED,
                at_deg: None,
                governs: None,
                instant,
                wrench: Wrench { force: DVec3::ZERO, moment: DVec3::ZERO, about: DVec3::ZERO },
                cups: cups
                    .iter()
                    .map(|cup| CupInMotion {
                        id: cup.id,
                        load: CupLoad::default(),
                        factor: Factor {
                            value: 2.2,
                            limit: LipLimit::Seal,
                            reading: analysis::Reading::WholeLoad,
                        },
                    })
                    .collect(),
                slow: None,
            }),
        })
        .collect();
    let assumption = |what: &str, value: f64, quantity: Quantity, origin: Origin| Assumption {
        what: what.to_owned(),
        value,
        quantity,
        origin,
        on: if origin == Origin::Assumed { String::new() } else { "2026-03-02".to_owned() },
    };
    Report {
        family: None,
        counted_as_sealed: Vec::new(),
        bending: None,
        ringing: None,
        bent_reserve: None,
        ages: analysis::Ages::default(),
        envelope: None,
        levels_when_lost: Vec::new(),
        robot: None,
        circuits: Vec::new(),
        layout: layout.id,
        layout_name: layout.name.clone(),
        verdict: Verdict {
            severity: Severity::Ok,
            sentence: "Holds 2.20 x of the 2.00 x required: the last cup leaks first at Level lift."
                .to_owned(),
            detail: String::new(),
            motion: None,
            cup: None,
        },
        part: Some(PartReport {
            id: part.id,
            name: part.name.clone(),
            area_mm2: 1.0,
            perimeter_mm: 1.0,
            holes: part.outline.holes.len(),
            mass_kg: 3.4,
            centre_of_gravity_mm: ((min + max) / 2.0 + dvec2(3.0, -4.0)).extend(-0.75),
            inertia_kg_m2: [0.0; 6],
            ix_mm4: 0.0,
            iy_mm4: 0.0,
            ixy_mm4: 0.0,
            bounds_mm: [min.x, min.y, max.x, max.y],
        }),
        balance: Some(Balance {
            cup_centre: (min + max) / 2.0,
            centroid_offset: dvec2(3.0, -4.0),
            spread: dvec2(200.0, 100.0),
            inside_hull: true,
            most_over_mean: Some(1.32),
            most_over_mean_motion: Some(MotionId(101)),
        }),
        cups,
        motions,
        findings: Vec::new(),
        assumptions: vec![
            assumption("Friction of lip on part", 0.35, Quantity::Ratio, Origin::Assumed),
            assumption("Mass of the part", 3.4, Quantity::Mass, Origin::Measured),
            assumption("Vacuum level of circuit main", 60.0, Quantity::VacuumLevel, Origin::Stated),
            assumption("Sealing line over lip size", 0.9, Quantity::Ratio, Origin::Assumed),
            assumption(
                "Axial stiffness of round 50, one fold, soft",
                4.0,
                Quantity::Stiffness,
                Origin::Assumed,
            ),
        ],
        not_checked: vec![(
            "Limit factor".to_owned(),
            "the reserve behind the first lip is not calculated yet".to_owned(),
        )],
    }
}

/// Fills in slow figures, envelope and robot load, invented but in proportion.
pub(crate) fn add_slow(report: &mut Report) {
    let ids: Vec<CupId> = report.cups.iter().map(|cup| cup.id).collect();
    let zones: Vec<String> = {
        let mut zones: Vec<String> = report.cups.iter().map(|cup| cup.zone.clone()).collect();
        zones.sort();
        zones.dedup();
        zones
    };
    report.ages = Ages::by(|_| Age::Current);
    for (number, motion) in report.motions.iter_mut().enumerate() {
        let Ok(outcome) = &mut motion.outcome else { continue };
        let mut lost: Vec<LostReport> = ids
            .iter()
            .enumerate()
            .map(|(index, id)| {
                let factor = 0.8 + 0.13 * ((index * 7 + number * 3) % 9) as f64;
                let after = ids[(index + 1) % ids.len()];
                LostReport {
                    lost: Lost::Cup(*id),
                    factor: Some(factor),
                    limit: LimitFigure::Factor(factor * 1.2),
                    limit_at_least: Some(factor * 1.2),
                    then_lost: if factor < 1.0 { vec![after] } else { Vec::new() },
                    holds: factor > 0.85,
                }
            })
            .collect();
        lost.extend(zones.iter().map(|zone| LostReport {
            lost: Lost::Zone(zone.clone()),
            factor: None,
            limit: LimitFigure::Missing("the remaining cups cannot carry the motion".to_owned()),
            limit_at_least: None,
            then_lost: Vec::new(),
            holds: false,
        }));
        outcome.slow = Some(MotionSlow {
            without: Vec::new(),
            limit: match number {
                3 => LimitFigure::Unlimited,
                4 => LimitFigure::Missing("the solver stopped before it was sure".to_owned()),
                _ => LimitFigure::Factor(outcome.factor * 1.22),
            },
            limit_at_least: Some(outcome.factor * 1.22),
            range: (number != 1).then(|| FactorRange {
                least: outcome.factor * 0.8,
                most: outcome.factor * 1.18,
                inputs: vec![
                    "friction of the lips on the part".to_owned(),
                    "tilt stiffness of round 50".to_owned(),
                ],
            }),
            lost,
        });
        for (index, cup) in outcome.cups.iter_mut().enumerate() {
            cup.load.pull = 14.0 + 3.7 * ((index * 5 + number) % 7) as f64 - 12.0 * (number % 2) as f64;
            cup.load.slide = dvec2(4.0 * number as f64, 1.5 * index as f64 % 9.0);
            cup.factor.value = if index + 1 == ids.len() {
                outcome.factor
            } else {
                outcome.factor * (1.1 + 0.21 * (index % 5) as f64)
            };
        }
    }
    let point = |direction_deg: f64| {
        let turned = direction_deg.to_radians();
        let index = ((direction_deg + 20.0) / 75.0) as usize % ids.len().min(5);
        EnvelopePointReport {
            direction_deg,
            acceleration: 7.0 + 2.2 * (2.0 * turned).cos() + 1.1 * (turned - 0.6).sin().abs(),
            cup: ids[index],
            limit: if index == 1 { LipLimit::Seal } else { LipLimit::Slide },
        }
    };
    let points: Vec<EnvelopePointReport> = (0..180).map(|i| point(f64::from(i) * 2.0)).collect();
    let weakest = *points.iter().min_by(|a, b| a.acceleration.total_cmp(&b.acceleration)).unwrap();
    let upright = |acceleration: f64| EnvelopePointReport {
        direction_deg: 0.0,
        acceleration,
        cup: ids[0],
        limit: LipLimit::Seal,
    };
    report.envelope = Some(EnvelopeReport {
        held: units::Worded::text("level"),
        required_factor: 2.0,
        points,
        weakest,
        up: upright(14.3),
        down: upright(f64::INFINITY),
    });
    let carried = |mass_kg: f64| Carried {
        mass_kg,
        centre_mm: DVec3::new(12.5, -8.25, -92.0),
        inertia_kg_m2: [0.1234, 0.2361, 0.3012, -0.0041, 0.0123, 0.0],
    };
    report.robot = Some(RobotLoad {
        flange_mm: DVec3::new(380.0, 200.0, 160.0),
        empty: Some(carried(7.85)),
        loaded: carried(11.25),
        payload_kg: Some(20.0),
        left_out: vec!["hoses".to_owned()],
    });
}
