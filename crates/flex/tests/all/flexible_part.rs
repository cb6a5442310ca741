//! Topic J: flexible parts on cups, computed by two independent plate elements; the record says how.

use crate::record::{case, cases, check, cups, heaving, hung, number, points, sheet};
use flex::{FlexCup, Hung, Share, SheetLoad, USUAL_CORNERS};
use glam::DVec2;
use mechanics::{CupGroup, Wrench};
use serde_json::Value;

const RECORD: &str = include_str!("flexible_part.json");

fn hanging(hung: &Hung) -> Share {
    let weight = SheetLoad::even(hung.sheet(), 9.80665);
    hung.share(&[weight], &[]).unwrap().remove(0)
}

fn pulls(share: &Share) -> Vec<f64> {
    share.cups.iter().map(|c| c.pull).collect()
}

/// Rigid sharing of the same cups by the crate below.
fn rigid(hung: &Hung, masses: &[(f64, DVec2)]) -> Vec<f64> {
    let springs: Vec<_> = hung.cups().iter().map(|c| c.spring).collect();
    let group = CupGroup::new(&springs).unwrap();
    let mut wrench = Wrench::zero(glam::DVec3::ZERO);
    for (mass, at) in masses {
        let force = -9.80665 * mass;
        wrench.force.z += force;
        wrench.moment.x += force * at.y / 1e3;
        wrench.moment.y -= force * at.x / 1e3;
    }
    group.share(&wrench).iter().map(|l| l.pull).collect()
}

/// All figures of a case under a prefix of their names.
fn figures(case: &Value, hung: &Hung, prefix: &str, named: &str) {
    let inputs = &case["inputs"];
    let share = hanging(hung);
    let has = |name: &str| case["expected"].get(prefix.to_owned() + name).is_some();
    let check_own = |name: &str, found: &[f64]| {
        if has(name) {
            check(case, &(prefix.to_owned() + name), found);
        }
    };
    check_own("reactions_N", &pulls(&share));
    check_own("w_ring_mean_mm", &share.cups.iter().map(|c| c.sink).collect::<Vec<_>>());
    check_own(
        "slope_x_y_at_cups_rad",
        &share.cups.iter().flat_map(|c| c.slope.to_array()).collect::<Vec<_>>(),
    );
    check_own("gap_along_lip_mm", &hung.gaps(std::slice::from_ref(&share))[0]);
    // Our moments are by the right-hand rule in a frame whose z points from part to cup.
    let moments: Vec<f64> = share.cups.iter().flat_map(|c| [1e3 * c.tilt.y, -1e3 * c.tilt.x]).collect();
    check_own("tilt_moment_x_y_at_cups_Nmm", &moments);
    let field = hung.field(&share);
    let plane = hung.plane(&share);
    let over_plane = |p: &DVec2| field.deflection(hung.sheet(), *p).unwrap() - plane.at(*p);
    let found: Vec<f64> = points(&inputs["named_points_mm"]).iter().map(over_plane).collect();
    check(case, &(prefix.to_owned() + named), &found);
    if has("largest_principal_moment_N") {
        let (most, at) = largest_moment(inputs, hung, &field);
        check_own("largest_principal_moment_N", &[most]);
        println!("largest moment {most} N at {at}");
    }
}

/// The largest principal moment over a grid of 20 mm, away from lips, masses and corners that turn in.
fn largest_moment(inputs: &Value, hung: &Hung, field: &flex::Field) -> (f64, DVec2) {
    let corners = points(&inputs["outline_mm"]);
    let away = number(&inputs["moment_excluded_within_mm"]);
    let (low, high) = corners.iter().fold((corners[0], corners[0]), |(l, h), p| (l.min(*p), h.max(*p)));
    let masses: Vec<DVec2> = inputs["point_masses"]
        .as_array()
        .unwrap()
        .iter()
        .map(|m| DVec2::new(number(&m["xy_mm"][0]), number(&m["xy_mm"][1])))
        .collect();
    let turning_in = (0..corners.len()).filter(|i| {
        let n = corners.len();
        let (a, b, c) = (corners[(i + n - 1) % n], corners[*i], corners[(i + 1) % n]);
        (b - a).perp_dot(c - b) < 0.0
    });
    let keep_off: Vec<DVec2> = masses.into_iter().chain(turning_in.map(|i| corners[i])).collect();
    let moments = field.moments(hung.sheet());
    let mut most = (0.0, DVec2::ZERO);
    for i in 0..=((high.x - low.x) / 20.0) as usize {
        for k in 0..=((high.y - low.y) / 20.0) as usize {
            let p = low + 20.0 * DVec2::new(i as f64, k as f64);
            let near_lip = hung.cups().iter().any(|c| p.distance(c.spring.at) - c.line.size().x / 2.0 < away);
            if near_lip || keep_off.iter().any(|q| q.distance(p) < away) {
                continue;
            }
            if let Some(m) = moments.at(hung.sheet(), p).filter(|m| m.largest() > most.0) {
                most = (m.largest(), p);
            }
        }
    }
    most
}

fn masses(inputs: &Value) -> Vec<(f64, DVec2)> {
    let outline = crate::record::polygon(&points(&inputs["outline_mm"]));
    let section = geometry::section(&outline).unwrap();
    let own = number(&inputs["density_kg_m3"]) * 1e-9 * number(&inputs["thickness_mm"]) * section.area;
    let attached = inputs["point_masses"]
        .as_array()
        .unwrap()
        .iter()
        .map(|m| (number(&m["mass_kg"]), DVec2::new(number(&m["xy_mm"][0]), number(&m["xy_mm"][1]))));
    std::iter::once((own, section.centroid)).chain(attached).collect()
}

#[test]
fn j1_steel_sheet_on_four_cups() {
    let cases = cases(RECORD, 7);
    let j1 = case(&cases, "J1");
    let inputs = &j1["inputs"];
    let sheet = sheet(inputs, 1.0, USUAL_CORNERS);
    println!("{} corners, {} unknowns", sheet.mesh().points.len(), sheet.unknowns());
    let plain = hung(&sheet, &cups(inputs));
    check(j1, "reactions_if_rigid_N", &rigid(&plain, &masses(inputs)));
    figures(j1, &plain, "", "w_named_relative_to_cup_plane_mm");
    let tilting: Vec<FlexCup> = cups(inputs)
        .into_iter()
        .map(|mut c| {
            let r = c.line.size().x / 2.0;
            c.spring.tilt = [c.spring.axial * r * r / 2e3; 2];
            c
        })
        .collect();
    figures(j1, &hung(&sheet, &tilting), "with_tilt_kz_r2_2_", "w_named_relative_mm");
}

#[test]
fn j2_l_shaped_sheet_on_five_unequal_cups() {
    let cases = cases(RECORD, 7);
    let j2 = case(&cases, "J2");
    let inputs = &j2["inputs"];
    let hung = hung(&sheet(inputs, 1.0, USUAL_CORNERS), &cups(inputs));
    check(j2, "reactions_if_rigid_N", &rigid(&hung, &masses(inputs)));
    figures(j2, &hung, "", "w_named_relative_to_cup_plane_mm");
}

#[test]
fn j5_three_cups_are_a_matter_of_statics() {
    let cases = cases(RECORD, 7);
    let j5 = case(&cases, "J5");
    let inputs = &j5["inputs"];
    let sheet = sheet(inputs, 1.0, USUAL_CORNERS);
    let plain = hung(&sheet, &cups(inputs));
    check(j5, "reactions_if_rigid_N", &rigid(&plain, &masses(inputs)));
    check(j5, "reactions_by_statics_N", &pulls(&hanging(&plain)));
    figures(j5, &plain, "", "w_named_relative_to_cup_plane_mm");
    let tilts = crate::record::numbers(&inputs["second_set_k_tilt_Nmm_rad"]);
    let tilting: Vec<FlexCup> = cups(inputs)
        .into_iter()
        .zip(tilts)
        .map(|(mut c, tilt)| {
            c.spring.tilt = [tilt / 1e3; 2];
            c
        })
        .collect();
    let tilting = hung(&sheet, &tilting);
    check(j5, "with_tilt_reactions_if_rigid_N", &rigid(&tilting, &masses(inputs)));
    figures(j5, &tilting, "with_tilt_", "w_named_relative_to_cup_plane_mm");
}

#[test]
fn j4_from_rigid_to_flexible() {
    let cases = cases(RECORD, 7);
    let j4 = case(&cases, "J4");
    let inputs = &j4["inputs"];
    let (mut found, mut differences) = (Vec::new(), Vec::new());
    for stiffer in crate::record::numbers(&inputs["bending_stiffness_factor"]) {
        let hung = hung(&sheet(inputs, stiffer, USUAL_CORNERS), &cups(inputs));
        let own = pulls(&hanging(&hung));
        let rigid = rigid(&hung, &masses(inputs));
        differences.push(own.iter().zip(&rigid).map(|(a, b)| (a / b - 1.0).abs()).fold(0.0, f64::max));
        found.extend(own);
        if stiffer == 1.0 {
            check(j4, "reactions_rigid_plate_N", &rigid);
            let unyielding: Vec<FlexCup> = hung
                .cups()
                .iter()
                .map(|c| {
                    let mut c = *c;
                    c.spring.axial = f64::INFINITY;
                    c
                })
                .collect();
            let limit = Hung::new(hung.sheet(), &unyielding, Some(&hung)).unwrap();
            check(j4, "reactions_unyielding_cups_N", &pulls(&hanging(&limit)));
        }
    }
    check(j4, "reactions_by_factor_N", &found);
    check(j4, "largest_relative_difference_to_rigid", &differences);
}

/// A free plate: three cups that are hardly there, so that its own modes come after three of next to no frequency.
#[test]
fn j7_free_square_plate() {
    let cases = cases(RECORD, 7);
    let j7 = case(&cases, "J7");
    let (side, thickness, density, modulus) = (1000.0, 1.0, 1e-6, 210_000.0);
    let outline = crate::record::polygon(&[(0., 0.), (side, 0.), (side, side), (0., side)].map(DVec2::from));
    let bending = flex::Bending::Isotropic { modulus, poisson: 0.3 };
    let mass = density * side * side;
    let input = flex::SheetInput {
        outline: &outline,
        thickness,
        bending,
        mass,
        attached: &[],
        corners: USUAL_CORNERS,
    };
    let sheet = std::sync::Arc::new(flex::Sheet::new(&input).unwrap());
    let hardly = [(200.0, 200.0), (800.0, 200.0), (500.0, 800.0)]
        .map(|at| crate::record::cup(at.into(), 20.0, 1e-5, 0.0));
    let ring = hung(&sheet, &hardly).ring(9, &[]).unwrap();
    let d = modulus * thickness.powi(3) / (12.0 * (1.0 - 0.09));
    // ω a² √(ρ h/D), with N/mm over kg as 1000 per s².
    let number = |f: f64| std::f64::consts::TAU * f * side * side * (density / d / 1e3).sqrt();
    let found: Vec<f64> = ring.modes.iter().map(|m| number(m.frequency)).collect();
    assert!(found[2] < 0.1, "{found:?}");
    check(j7, "free_first_6_elastic", &found[3..]);
    println!("{found:?}");
}

#[test]
fn j8_sheet_on_four_cups_rings() {
    let cases = cases(RECORD, 7);
    let j8 = case(&cases, "J8");
    let inputs = &j8["inputs"];
    let own = cups(inputs);
    let soft = hung(&sheet(inputs, 1.0, USUAL_CORNERS), &own);
    let ring = soft.ring(6, &[]).unwrap();
    let found: Vec<f64> = ring.modes.iter().map(|m| m.frequency).collect();
    check(j8, "frequencies_Hz_first_3", &found[..3]);
    check(j8, "frequencies_Hz_next_3", &found[3..]);
    let named = points(&inputs["named_points_mm"]);
    let shape = |m: &flex::Mode| {
        let at = |p: &DVec2| m.shape.deflection(soft.sheet(), *p).unwrap() * m.participation.x;
        named.iter().map(at).collect::<Vec<f64>>()
    };
    check(
        j8,
        "participation_times_shape_at_named_points",
        &ring.modes[..3].iter().flat_map(shape).collect::<Vec<_>>(),
    );
    // A rigid plate comes out of the same equations.
    let rigid = hung(&sheet(inputs, 1e7, USUAL_CORNERS), &own).ring(3, &[]).unwrap();
    let found: Vec<f64> = rigid.modes.iter().map(|m| m.frequency).collect();
    check(j8, "frequencies_Hz_if_rigid_plate", &found);
}

/// The record's one mode is a plate so stiff that it only heaves on its cups. When the swing itself crosses the limit for the last
/// time is no figure of the program, which waits for the envelope.
#[test]
fn j10_what_a_stroke_leaves() {
    let cases = cases(RECORD, 7);
    let j10 = case(&cases, "J10");
    let rows = j10["inputs"]["rows"].as_array().unwrap();
    let mut found: [Vec<f64>; 5] = Default::default();
    for row in rows {
        let of = |key: &str| number(&row[key]);
        let stroke = flex::Stroke {
            profile: mechanics::MoveProfile::Trapezoid,
            length: of("stroke_mm"),
            time: of("time_s"),
        };
        let (hung, ring) = heaving(of("frequency_Hz"));
        let damped = hung.response(&ring, &stroke, of("damping_ratio"), of("limit_mm")).unwrap();
        let free = hung.response(&ring, &stroke, 0.0, of("limit_mm")).unwrap();
        found[0].push(stroke.profile.peak_acceleration(stroke.length, stroke.time));
        found[1].push(damped.most.abs());
        found[2].push(damped.left);
        found[3].push(free.left);
        found[4].push(damped.wait.unwrap());
    }
    let names = [
        "peak_acceleration_m_s2",
        "peak_deflection_during_move_mm",
        "amplitude_at_end_mm",
        "amplitude_at_end_if_undamped_mm",
        "time_until_envelope_below_limit_s",
    ];
    for (name, found) in names.into_iter().zip(&found) {
        check(j10, name, found);
    }
}
