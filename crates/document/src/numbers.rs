//! Every number of every thing, by the name the file gives it: one list for all checks on numbers.

mod circuit;

use crate::{Attached, Cup, CupModel, FrameShape, MassBy, Motion, Part, Rules, Site, Tool, Worst};
pub(crate) use circuit::*;
use geometry::{LipShape, Loop, Outline};
use glam::DVec3;

/// Called with the field's name and the number.
pub(crate) type Each<'a> = &'a mut dyn FnMut(&str, &mut f64);

fn vec3(name: &str, v: &mut DVec3, each: Each<'_>) {
    each(name, &mut v.x);
    each(name, &mut v.y);
    each(name, &mut v.z);
}

/// Numbers of a part except those of its outline and keep-outs, which are shared (see [`loop_is_finite`]).
pub(crate) fn part(p: &mut Part, each: Each<'_>) {
    each("thickness_mm", &mut p.thickness_mm);
    match &mut p.mass {
        MassBy::Density { kg_m3: v } | MassBy::Areal { kg_m2: v } | MassBy::Stated { kg: v } => {
            each("mass", &mut v.value);
        }
    }
    if let Some(c) = &mut p.centre_of_gravity {
        vec3("centre_of_gravity", &mut c.value, each);
    }
    for a in &mut p.attached {
        attached(a, each);
    }
    each("friction", &mut p.friction.value);
    for pair in &mut p.pairs {
        each("pairs friction", &mut pair.friction.value);
    }
    if let Some(permeance) = &mut p.permeance_um_pa_s {
        each("permeance_um_pa_s", &mut permeance.value);
    }
    each("uneven_mm", &mut p.uneven_mm);
    each("placement position_mm", &mut p.placement.position_mm);
    each("placement turn_deg", &mut p.placement.turn_deg);
    each("placement drawing_mm", &mut p.placement.drawing_mm);
}

fn attached(a: &mut Attached, each: Each<'_>) {
    each("attached mass_kg", &mut a.mass_kg);
    vec3("attached at", &mut a.at, each);
    vec3("attached size", &mut a.size, each);
}

/// Numbers of what carries the cups.
pub(crate) fn tool(t: &mut Tool, each: Each<'_>) {
    vec3("flange", &mut t.flange, each);
    for mass in &mut t.masses {
        attached(mass, each);
    }
    for piece in &mut t.frame {
        each("frame at", &mut piece.at.x);
        each("frame at", &mut piece.at.y);
        each("frame turn_deg", &mut piece.turn_deg);
        each("frame height_mm", &mut piece.height_mm);
        match &mut piece.shape {
            FrameShape::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m } => {
                each("rail length_mm", length_mm);
                each("rail width_mm", width_mm);
                each("rail pitch_mm", pitch_mm);
                each("rail first_mm", first_mm);
                each("rail kg_m", kg_m);
            }
            FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 } => {
                each("plate length_mm", length_mm);
                each("plate width_mm", width_mm);
                each("plate pitch_mm", &mut pitch_mm.x);
                each("plate pitch_mm", &mut pitch_mm.y);
                each("plate first_mm", &mut first_mm.x);
                each("plate first_mm", &mut first_mm.y);
                each("plate kg_m2", kg_m2);
            }
        }
    }
}

pub(crate) fn cup(c: &mut Cup, each: Each<'_>) {
    each("at", &mut c.at.x);
    each("at", &mut c.at.y);
    each("turn_deg", &mut c.turn_deg);
    each("height_mm", &mut c.height_mm);
}

pub(crate) fn motion(m: &mut Motion, each: Each<'_>) {
    each("required_factor", &mut m.required_factor);
    each("tilt_deg", &mut m.tilt_deg);
    each("lowest_deg", &mut m.lowest_deg);
    vec3("acceleration", &mut m.acceleration, each);
    if let Some(stroke) = &mut m.stroke {
        each("stroke mm", &mut stroke.mm);
        each("stroke time_s", &mut stroke.time_s);
    }
    each("inertia_times", &mut m.inertia_times);
    vec3("turn_rate_deg_s", &mut m.turn_rate_deg_s, each);
    vec3("turn_acceleration_deg_s2", &mut m.turn_acceleration_deg_s2, each);
    vec3("pivot_mm", &mut m.pivot_mm, each);
    if let Worst::TiltTo { deg } = &mut m.worst {
        each("worst deg", deg);
    }
}

pub(crate) fn model(m: &mut CupModel, each: Each<'_>) {
    match &mut m.shape {
        LipShape::Round { diameter } => each("shape diameter", diameter),
        LipShape::Long { length, width } => {
            each("shape length", length);
            each("shape width", width);
        }
        LipShape::Rectangle { length, width, corner } => {
            each("shape length", length);
            each("shape width", width);
            each("shape corner", corner);
        }
    }
    each("sealing_share", &mut m.sealing_share.value);
    each("bore_mm", &mut m.bore_mm);
    each("height_mm", &mut m.height_mm);
    each("travel_mm", &mut m.travel_mm.value);
    each("channel_mm", &mut m.channel_mm.value);
    each("axial_n_mm", &mut m.axial_n_mm.value);
    each("lateral_n_mm", &mut m.lateral_n_mm.value);
    each("tilt_reduction", &mut m.tilt_reduction.value);
    if let Some(lever) = &mut m.side_lever_mm {
        each("side_lever_mm", &mut lever.value);
    }
    each("hardness_shore_a", &mut m.hardness_shore_a);
    each("lip_life_picks", &mut m.lip_life_picks.value);
    each("seal_minimum_n_mm", &mut m.seal_minimum_n_mm.value);
    each("closes_mm", &mut m.closes_mm);
    each("mass_g", &mut m.mass_g);
}

pub(crate) fn site(s: &mut Site, each: Each<'_>) {
    each("altitude_m", &mut s.altitude_m);
    each("temperature_c", &mut s.temperature_c);
    if let Some(payload) = &mut s.payload_kg {
        each("payload_kg", payload);
    }
}

pub(crate) fn rules(r: &mut Rules, each: Each<'_>) {
    each("gap_watch_mm", &mut r.gap_watch_mm);
    each("factor_watch", &mut r.factor_watch);
    each("centroid_offset_share", &mut r.centroid_offset_share);
    each("most_over_mean", &mut r.most_over_mean);
    each("slide_share", &mut r.slide_share);
    each("payload_watch", &mut r.payload_watch);
    each("friction_spread", &mut r.friction_spread);
    each("stiffness_spread", &mut r.stiffness_spread);
    each("lip_spread", &mut r.lip_spread);
    each("supply_margin", &mut r.supply_margin);
    each("level_spread", &mut r.level_spread);
    each("element_loss", &mut r.element_loss);
    each("favourable_weight", &mut r.favourable_weight);
}

/// Name of the first number that is not finite, if any.
pub(crate) fn first_not_finite<T>(thing: &mut T, visit: impl Fn(&mut T, Each<'_>)) -> Option<String> {
    let mut found = None;
    visit(thing, &mut |name, value| {
        if !value.is_finite() && found.is_none() {
            found = Some(name.to_owned());
        }
    });
    found
}

pub(crate) fn loop_is_finite(boundary: &Loop) -> bool {
    boundary.vertices.iter().all(|v| v.at.is_finite() && v.bulge.is_finite())
}

/// Name of the first boundary of a part that has a number which is not finite, if any.
pub(crate) fn first_bad_boundary(part: &Part) -> Option<String> {
    let Outline { outer, holes } = &*part.outline;
    if !loop_is_finite(outer) || !holes.iter().all(loop_is_finite) {
        return Some("outline".to_owned());
    }
    part.keep_outs.iter().find(|k| !loop_is_finite(&k.area)).map(|k| format!("keep-out {}", k.name))
}
