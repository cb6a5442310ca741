//! Projects for tests: one written out by hand, and arbitrary ones.
#![allow(dead_code, reason = "each test file uses its own share")]

pub mod changes;
pub mod circuits;
pub mod picture;
pub mod review;
mod tray;

use document::*;
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use proptest::{collection::vec, option, prelude::*};
use std::sync::Arc;
pub use tray::tray;

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
    let pairs = vec((text(), sourced(number())), 0..3);
    let lips = (surface, sourced(number()), number(), placement, pairs, option::of(sourced(number())));
    (shape, matter, lips)
        .prop_map(move |((outline, keep_outs, drawing, attached), matter, lips)| {
            let (name, material, thickness_mm, mass, centre_of_gravity) = matter;
            let (surface, friction, uneven_mm, placement, pairs, permeance_um_pa_s) = lips;
            let pairs =
                pairs.into_iter().map(|(lip_material, friction)| FrictionPair { lip_material, friction });
            let keep_outs = (id * 100..).zip(keep_outs);
            let attached = (id * 100 + 50..).zip(attached);
            Part {
                id: PartId(id),
                name,
                outline,
                datum: drawing.is_some().then(|| picture::datum(uneven_mm)),
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
                        turn_deg: 0.0,
                    })
                    .collect(),
                surface,
                friction,
                pairs: pairs.collect(),
                modulus_n_mm2: permeance_um_pa_s.clone(),
                poisson: permeance_um_pa_s.clone(),
                modulus_across_n_mm2: permeance_um_pa_s.clone(),
                along_deg: uneven_mm,
                allowable_n_mm2: permeance_um_pa_s.clone(),
                damping: permeance_um_pa_s.clone(),
                stiff_blocks: permeance_um_pa_s.is_some(),
                permeance_um_pa_s,
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
    let profile = proptest::sample::select(MoveProfile::ALL);
    let stroke =
        (two(), profile).prop_map(|(v, profile)| Stroke { mm: v.x, time_s: v.y, profile, pause_s: 0.25 });
    let start_stop = proptest::sample::select(StartStop::ALL);
    let inertia = (option::of(stroke), number(), start_stop);
    ((text(), number(), kind, number(), number()), (three(), three(), three(), three(), worst), inertia)
        .prop_map(move |((name, required_factor, kind, tilt_deg, lowest_deg), moving, inertia)| {
            let (stroke, inertia_times, start_stop) = inertia;
            let (acceleration, turn_rate_deg_s, turn_acceleration_deg_s2, pivot_mm, worst) = moving;
            Motion {
                id: MotionId(id),
                name,
                required_factor,
                kind,
                tilt_deg,
                lowest_deg,
                acceleration,
                stroke,
                inertia_times,
                turn_rate_deg_s,
                turn_acceleration_deg_s2,
                pivot_mm,
                worst,
                start_stop,
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
    let [lever, width, free] = [(); 3].map(|()| option::of(sourced(number())));
    let sizes = (two(), sourced(number()), sourced(number()), sourced(number()), (lever, width, free));
    let size = (sizes, any::<u8>(), number(), number(), number());
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
            let (sizes, travel_mm, channel_mm, lip_life_picks, (side_lever_mm, lip_width_mm, free_ml)) =
                sizes;
            CupModel {
                sealing_share,
                bore_mm: sizes.x,
                height_mm: sizes.y,
                travel_mm,
                channel_mm,
                free_ml,
                folds,
                axial_n_mm,
                lateral_n_mm,
                tilt_reduction,
                side_lever_mm,
                lip_width_mm,
                hardness_shore_a,
                lip,
                lip_life_picks,
                seal_minimum_n_mm,
                closes_mm,
                allowed,
                material,
                thread,
                mass_g,
                ..CupModel::unstated(format!("model-{id}").as_str().into(), &name, shape)
            }
        })
        .boxed()
}

/// Masses and pieces of frame get numbers of their own.
fn tool() -> BoxedStrategy<Tool> {
    let masses = vec((text(), number(), three(), three()), 0..3);
    let rail = (three(), two()).prop_map(|(a, b)| FrameShape::Rail {
        length_mm: a.x,
        width_mm: a.y,
        pitch_mm: a.z,
        first_mm: b.x,
        kg_m: b.y,
    });
    let plate = (three(), two(), two()).prop_map(|(a, pitch_mm, first_mm)| FrameShape::Plate {
        length_mm: a.x,
        width_mm: a.y,
        pitch_mm,
        first_mm,
        kg_m2: a.z,
    });
    let frame = vec((text(), two(), two(), prop_oneof![rail, plate]), 0..3);
    (three(), masses, frame)
        .prop_map(|(flange, masses, frame)| Tool {
            flange,
            masses: (650..)
                .zip(masses)
                .map(|(id, (name, mass_kg, at, size))| Attached {
                    id: AttachedId(id),
                    name,
                    mass_kg,
                    at,
                    size,
                    turn_deg: at.x,
                })
                .collect(),
            frame: (660..)
                .zip(frame)
                .map(|(id, (name, at, more, shape))| FramePiece {
                    id: FrameId(id),
                    name,
                    at,
                    turn_deg: more.x,
                    height_mm: more.y,
                    shape,
                })
                .collect(),
        })
        .boxed()
}

/// Any project whose references lead somewhere; numbers and texts may be absurd.
pub fn project() -> BoxedStrategy<Project> {
    let parts =
        (part(1), option::of(part(2))).prop_map(|(a, b)| [Some(a), b].into_iter().flatten().map(Arc::new));
    let circuits = vec((text(), sourced(number())), 1..3);
    let cups = vec((text(), two(), number(), number(), text(), any::<bool>(), any::<[u8; 2]>()), 0..6);
    let beside = option::of((two(), two(), text()));
    let layouts = vec((text(), cups, tool(), beside), 1..3);
    let motions = (option::of(motion(300)), option::of(motion(301)));
    let models = (model(0), option::of(model(1)));
    let accepted = vec((text(), text(), text(), text(), any::<u8>()), 0..3);
    let rules = (three(), three(), three(), three(), number());
    let revisions = vec(vec(text(), 4), 0..3);
    let site = (two(), option::of(number()));
    let rest = (site, rules, vec(text(), 8), 0u32..9, revisions);
    let rest = ((rest, review::reviewing()), circuits::feeding());
    ((text(), parts, circuits, layouts), (motions, models, accepted), rest)
        .prop_map(|((name, parts, circuits, layouts), (motions, models, accepted), (rest, feeding))| {
            let (rest, reviewing) = rest;
            let ((site, payload_kg), (a, b, c, d, weight), words, spare, revisions) = rest;
            let circuits: Vec<_> = (400..)
                .zip(circuits)
                .map(|(id, (name, level_kpa))| {
                    Arc::new(Circuit { level_kpa, ..Circuit::preset(CircuitId(id), &name) })
                })
                .collect();
            let models: Vec<_> = [Some(models.0), models.1].into_iter().flatten().map(Arc::new).collect();
            let motions: Vec<_> = [motions.0, motions.1].into_iter().flatten().map(Arc::new).collect();
            let layouts: Vec<_> = (500..)
                .zip(layouts)
                .map(|(id, (name, cups, tool, beside))| {
                    let cups: Vec<Cup> = (600..)
                        .zip(cups)
                        .map(|(id, (tag, at, turn_deg, height_mm, zone, locked, pick))| Cup {
                            id: CupId(id),
                            tag,
                            model: models[pick[0] as usize % models.len()].id.clone(),
                            at,
                            turn_deg,
                            height_mm,
                            circuit: circuits[pick[1] as usize % circuits.len()].id,
                            zone,
                            locked,
                        })
                        .collect();
                    let beside = beside.map(|(at, more, zone)| Seat {
                        at,
                        turn_deg: more.x,
                        shut: vec![zone],
                        left_out: motions.iter().take(1).map(|m| m.id).collect(),
                        may_stay_shut: cups.iter().take(1).map(|c| c.id).collect(),
                        share: more.y,
                        ..Seat::of(SeatId(701), PartId(1))
                    });
                    let first = beside.iter().map(|_| Seat::of(SeatId(700), PartId(1))).collect::<Vec<_>>();
                    let seats = first.into_iter().chain(beside).collect();
                    let tool = Arc::new(tool);
                    Arc::new(Layout {
                        id: LayoutId(id),
                        name,
                        part: PartId(1),
                        cups,
                        tool,
                        proposed: String::new(),
                        seats,
                    })
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
                        seat: None,
                    }
                })
                .collect();
            let mut words = words.into_iter();
            let mut word = || words.next().unwrap_or_default();
            let project = Project {
                name,
                parts: parts.collect(),
                layouts,
                motions,
                circuits,
                models,
                sources: Vec::new(),
                cycle: Cycle::default(),
                trial: Arc::default(),
                question: circuits::question(a, b, spare),
                issued: Vec::new(),
                traced: None,
                review: Arc::default(),
                site: Site { altitude_m: site.x, temperature_c: site.y, payload_kg },
                rules: Rules {
                    gap_watch_mm: a.x,
                    factor_watch: a.y,
                    centroid_offset_share: a.z,
                    most_over_mean: b.x,
                    slide_share: b.y,
                    payload_watch: b.z,
                    friction_spread: c.x,
                    stiffness_spread: c.y,
                    lip_spread: c.z,
                    supply_margin: d.x,
                    level_spread: d.y,
                    element_loss: d.z,
                    favourable_weight: weight,
                    sag_watch_mm: 1.0 + a.x,
                    ring_limit_mm: 1.0 + a.y,
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
                    tolerances: Tolerances::ALL[spare as usize % 5],
                    position_tolerance_mm: 0.2 + d.x.abs(),
                    revisions: revisions.into_iter().map(changes::revision).collect(),
                },
                last_id: 710 + spare,
            };
            reviewing.put_into(feeding.put_into(project))
        })
        .boxed()
}
