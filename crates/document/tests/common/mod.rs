//! Projects for tests: one written out by hand, and arbitrary ones.
#![allow(dead_code, reason = "each test file uses its own share")]

use document::*;
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use proptest::{collection::vec, option, prelude::*};
use std::sync::Arc;

/// A small project with something of everything.
pub fn tray() -> Project {
    let vertex = |x: f64, y: f64, bulge: f64| Vertex { at: DVec2::new(x, y), bulge };
    let outer = Loop {
        vertices: vec![
            vertex(20.0, 0.0, 0.0),
            vertex(580.0, 0.0, 0.414_213_562_373_095_03),
            vertex(600.0, 20.0, 0.0),
            vertex(600.0, 380.0, 0.414_213_562_373_095_03),
            vertex(580.0, 400.0, 0.0),
            vertex(20.0, 400.0, 0.414_213_562_373_095_03),
            vertex(0.0, 380.0, 0.0),
            vertex(0.0, 300.0, 0.0),
            vertex(0.0, 20.0, 0.414_213_562_373_095_03),
        ],
    };
    let hole = Loop { vertices: vec![vertex(270.0, 200.0, 1.0), vertex(330.0, 200.0, 1.0)] };
    let mut part =
        Part::from_outline(PartId(1), "Tray blank", Arc::new(Outline { outer, holes: vec![hole] }));
    part.drawing = Some(DrawingOrigin {
        file_name: "tray.dxf".into(),
        sha256: "5d41402abc4b2a76b9719d911017c592".into(),
        unit: "mm".into(),
    });
    part.friction = Sourced::measured(0.42, "2026-01-31");
    part.keep_outs = vec![KeepOut {
        id: KeepOutId(2),
        name: "Print \"front\"".into(),
        area: Arc::new(Loop {
            vertices: vec![vertex(10.0, 10.0, 0.0), vertex(60.5, 10.0, 0.0), vertex(60.5, 40.0, 0.0)],
        }),
    }];
    part.attached = vec![Attached {
        id: AttachedId(3),
        name: "Bracket".into(),
        mass_kg: 0.35,
        at: DVec3::new(500.0, 300.0, -20.0),
        size: DVec3::ZERO,
    }];
    let mut project = Project::new("Tray line 2", part);
    project.motions.push(Arc::new(Motion::preset(MotionId(project.next_id()), MotionKind::TurnOver)));
    project.last_id += 1;
    let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
    let flat = library().iter().find(|m| m.folds == 0).expect("the library has flat cups").clone();
    let long = library()
        .iter()
        .find(|m| matches!(m.shape, LipShape::Long { .. }))
        .expect("the library has long cups")
        .clone();
    let first = project.next_id();
    let cups = (0..4)
        .map(|i| Cup {
            id: CupId(first + i),
            tag: format!("C{}", i + 1),
            model: if i == 3 { long.id.clone() } else { flat.id.clone() },
            at: DVec2::new(100.0 + 133.5 * f64::from(i), 80.0 + 80.0 * f64::from(i % 2)),
            turn_deg: if i == 3 { 90.0 } else { 0.0 },
            height_mm: 0.0,
            circuit,
            zone: FIRST_ZONE.into(),
            locked: i == 0,
        })
        .collect();
    let place = vec![Edit::AddModel(flat), Edit::AddModel(long), Edit::AddCups { layout, cups }];
    let placed =
        Edit::Together { name: "Place cups".into(), edits: place }.apply(&project).expect("it is sound");
    let accept = Accepted {
        rule: "seat.overlap".into(),
        subject: vec![CupId(first), CupId(first + 1)],
        motion: None,
        layout,
        reason: "Trial pick of 12 March held".into(),
        by: "M. Huber".into(),
        on: "2026-03-12".into(),
    };
    Edit::Accept(accept).apply(&placed).expect("it is sound")
}

fn number() -> BoxedStrategy<f64> {
    prop_oneof![
        4 => (-1_000_000i32..1_000_000).prop_map(|n| f64::from(n) / 1000.0),
        1 => proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL | proptest::num::f64::ZERO,
        1 => Just(0.1 + 0.2),
    ]
    .boxed()
}
fn text() -> BoxedStrategy<String> {
    prop_oneof![3 => "[A-Za-z0-9 .,-]{0,12}", 1 => "\\PC{0,8}", 1 => "(.|[\n\r\t\"\\\\])".prop_map(|s| s + "\u{301}é✂")]
        .boxed()
}
fn origin() -> BoxedStrategy<Origin> {
    proptest::sample::select(Origin::ALL).boxed()
}
fn sourced<T: std::fmt::Debug + 'static>(
    value: impl Strategy<Value = T> + 'static,
) -> BoxedStrategy<Sourced<T>> {
    (value, origin(), text()).prop_map(|(value, origin, on)| Sourced { value, origin, on }).boxed()
}
fn two() -> BoxedStrategy<DVec2> {
    (number(), number()).prop_map(DVec2::from).boxed()
}
fn three() -> BoxedStrategy<DVec3> {
    (number(), number(), number()).prop_map(DVec3::from).boxed()
}
fn boundary() -> BoxedStrategy<Loop> {
    let bulge = prop_oneof![2 => Just(0.0), 1 => number()];
    vec((two(), bulge).prop_map(|(at, bulge)| Vertex { at, bulge }), 0..20)
        .prop_map(|vertices| Loop { vertices })
        .boxed()
}
fn mass() -> BoxedStrategy<MassBy> {
    prop_oneof![
        sourced(number()).prop_map(|kg_m3| MassBy::Density { kg_m3 }),
        sourced(number()).prop_map(|kg_m2| MassBy::Areal { kg_m2 }),
        sourced(number()).prop_map(|kg| MassBy::Stated { kg }),
    ]
    .boxed()
}
/// Keep-outs and attached masses get numbers of their own.
fn part(id: u32) -> BoxedStrategy<Part> {
    let surface = (proptest::sample::select(Texture::ALL), proptest::sample::select(Wetness::ALL))
        .prop_map(|(texture, wetness)| Surface { texture, wetness });
    let placement = three().prop_map(|v| Placement { position_mm: v.x, turn_deg: v.y, drawing_mm: v.z });
    let drawing = ("[a-z]{0,6}", text(), text()).prop_map(|(file_name, sha256, unit)| DrawingOrigin {
        file_name,
        sha256,
        unit,
    });
    let outline =
        (boundary(), vec(boundary(), 0..3)).prop_map(|(outer, holes)| Arc::new(Outline { outer, holes }));
    let attached = vec((text(), number(), three(), three()), 0..3);
    let keep_outs = vec((text(), boundary()), 0..3);
    let shape = (outline, keep_outs, option::of(drawing), attached);
    let matter = (text(), text(), number(), mass(), option::of(sourced(three())));
    let lips = (surface, sourced(number()), number(), placement);
    (shape, matter, lips)
        .prop_map(move |((outline, keep_outs, drawing, attached), matter, lips)| {
            let (name, material, thickness_mm, mass, centre_of_gravity) = matter;
            let (surface, friction, uneven_mm, placement) = lips;
            let keep_outs = (id * 100..).zip(keep_outs);
            let attached = (id * 100 + 50..).zip(attached);
            Part {
                id: PartId(id),
                name,
                outline,
                keep_outs: keep_outs
                    .map(|(id, (name, area))| KeepOut { id: KeepOutId(id), name, area: Arc::new(area) })
                    .collect(),
                drawing,
                material,
                thickness_mm,
                mass,
                centre_of_gravity,
                attached: attached
                    .map(|(id, (name, mass_kg, at, size))| Attached {
                        id: AttachedId(id),
                        name,
                        mass_kg,
                        at,
                        size,
                    })
                    .collect(),
                surface,
                friction,
                uneven_mm,
                placement,
            }
        })
        .boxed()
}
fn motion(id: u32) -> BoxedStrategy<Motion> {
    let worst = prop_oneof![
        Just(Worst::AsStated),
        Just(Worst::Direction),
        Just(Worst::Lowest),
        number().prop_map(|deg| Worst::TiltTo { deg })
    ];
    let kind = proptest::sample::select(MotionKind::ALL);
    ((text(), number(), kind, number(), number()), (three(), three(), three(), three(), worst))
        .prop_map(move |((name, required_factor, kind, tilt_deg, lowest_deg), moving)| {
            let (acceleration, turn_rate_deg_s, turn_acceleration_deg_s2, pivot_mm, worst) = moving;
            Motion {
                id: MotionId(id),
                name,
                required_factor,
                kind,
                tilt_deg,
                lowest_deg,
                acceleration,
                turn_rate_deg_s,
                turn_acceleration_deg_s2,
                pivot_mm,
                worst,
            }
        })
        .boxed()
}
fn model(id: usize) -> BoxedStrategy<CupModel> {
    let shape = prop_oneof![
        number().prop_map(|diameter| LipShape::Round { diameter }),
        two().prop_map(|v| LipShape::Long { length: v.x, width: v.y }),
        three().prop_map(|v| LipShape::Rectangle { length: v.x, width: v.y, corner: v.z }),
    ];
    let stiff =
        (sourced(number()), sourced(number()), sourced(number()), sourced(number()), sourced(number()));
    let size = (three(), any::<u8>(), number(), number(), number());
    let kind = (
        proptest::sample::select(LipKind::ALL),
        vec(proptest::sample::select(Texture::ALL), 0..4),
        text(),
        text(),
    );
    (text(), shape, stiff, size, kind)
        .prop_map(move |(name, shape, stiff, (sizes, folds, hardness_shore_a, closes_mm, mass_g), kind)| {
            let (sealing_share, axial_n_mm, lateral_n_mm, tilt_reduction, seal_minimum_n_mm) = stiff;
            let (lip, allowed, material, thread) = kind;
            CupModel {
                id: format!("model-{id}").as_str().into(),
                name,
                shape,
                sealing_share,
                bore_mm: sizes.x,
                height_mm: sizes.y,
                travel_mm: sizes.z,
                folds,
                axial_n_mm,
                lateral_n_mm,
                tilt_reduction,
                hardness_shore_a,
                lip,
                seal_minimum_n_mm,
                closes_mm,
                allowed,
                material,
                thread,
                mass_g,
            }
        })
        .boxed()
}

/// Any project whose references lead somewhere; numbers and texts may be absurd.
pub fn project() -> BoxedStrategy<Project> {
    let parts =
        (part(1), option::of(part(2))).prop_map(|(a, b)| [Some(a), b].into_iter().flatten().map(Arc::new));
    let circuits = vec((text(), sourced(number())), 1..3);
    let cups = vec((text(), two(), number(), number(), text(), any::<bool>(), any::<[u8; 2]>()), 0..6);
    let layouts = vec((text(), cups), 1..3);
    let motions = (option::of(motion(300)), option::of(motion(301)));
    let models = (model(0), option::of(model(1)));
    let accepted = vec((text(), text(), text(), text(), any::<u8>()), 0..3);
    let rules = (three(), two());
    ((text(), parts, circuits, layouts), (motions, models, accepted), (two(), rules, vec(text(), 8), 0u32..9))
        .prop_map(|((name, parts, circuits, layouts), (motions, models, accepted), rest)| {
            let (site, (a, b), words, spare) = rest;
            let circuits: Vec<_> = (400..)
                .zip(circuits)
                .map(|(id, (name, level_kpa))| Arc::new(Circuit { id: CircuitId(id), name, level_kpa }))
                .collect();
            let models: Vec<_> = [Some(models.0), models.1].into_iter().flatten().map(Arc::new).collect();
            let motions: Vec<_> = [motions.0, motions.1].into_iter().flatten().map(Arc::new).collect();
            let layouts: Vec<_> = (500..)
                .zip(layouts)
                .map(|(id, (name, cups))| {
                    let cups =
                        (600..).zip(cups).map(|(id, (tag, at, turn_deg, height_mm, zone, locked, pick))| {
                            Cup {
                                id: CupId(id),
                                tag,
                                model: models[pick[0] as usize % models.len()].id.clone(),
                                at,
                                turn_deg,
                                height_mm,
                                circuit: circuits[pick[1] as usize % circuits.len()].id,
                                zone,
                                locked,
                            }
                        });
                    Arc::new(Layout { id: LayoutId(id), name, part: PartId(1), cups: cups.collect() })
                })
                .collect();
            let accepted = accepted
                .into_iter()
                .map(|(rule, reason, by, on, pick)| {
                    let layout = &layouts[pick as usize % layouts.len()];
                    let subject = layout.cups.iter().take(pick as usize % 3).map(|c| c.id).collect();
                    Accepted {
                        rule,
                        subject,
                        motion: motions.first().map(|m| m.id),
                        layout: layout.id,
                        reason,
                        by,
                        on,
                    }
                })
                .collect();
            let mut words = words.into_iter();
            let mut word = || words.next().unwrap_or_default();
            Project {
                name,
                parts: parts.collect(),
                layouts,
                motions,
                circuits,
                models,
                site: Site { altitude_m: site.x, temperature_c: site.y },
                rules: Rules {
                    gap_watch_mm: a.x,
                    factor_watch: a.y,
                    centroid_offset_share: a.z,
                    most_over_mean: b.x,
                    slide_share: b.y,
                },
                accepted,
                sheet: SheetFields {
                    title: word(),
                    owner: word(),
                    number: word(),
                    revision: word(),
                    created_by: word(),
                    approved_by: word(),
                    date: word(),
                    document_type: word(),
                },
                last_id: 700 + spare,
            }
        })
        .boxed()
}
