//! Every number of every thing, by the name the file gives it: one list for all checks on numbers.

mod circuit;

use crate::{
    Attached, Cup, CupModel, FrameShape, MassBy, Motion, Part, Rules, Seat, SheetFields, Site, Tool, Worst,
};
pub(crate) use circuit::*;
use geometry::{LipShape, Loop, Outline};
use glam::DVec3;

/// Which number of a thing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct At<'a> {
    /// Key of its row in [`crate::fields`].
    pub key: &'static str,
    /// What it belongs to within the thing, ready to stand before the thing's name: "Bracket on", "the main hose of"; empty
    /// for the thing itself.
    pub within: &'a str,
}
impl At<'_> {
    /// Its name in the file, without the kind of thing.
    pub fn field(self) -> &'static str {
        self.key.split_once('.').map_or(self.key, |(_, field)| field)
    }
}
/// Called with each number and where it is.
pub(crate) type Each<'a> = &'a mut dyn FnMut(At<'_>, &mut f64);

/// A number of the thing itself.
pub(crate) fn own(key: &'static str) -> At<'static> {
    At { key, within: "" }
}
fn vec3(at: At<'_>, v: &mut DVec3, each: Each<'_>) {
    each(at, &mut v.x);
    each(at, &mut v.y);
    each(at, &mut v.z);
}

/// Why a picture to trace cannot be kept; a clause.
pub(crate) fn wrong_picture(picture: &crate::Traced) -> Option<&'static str> {
    let figures = [picture.at.x, picture.at.y, picture.dot_mm, picture.strength, picture.turn_deg];
    if picture.png.len() > crate::Traced::MOST_BYTES {
        Some("it takes more than 1 MB")
    } else if picture.dots().is_none() {
        Some("it is no PNG of at most 4 million dots, 4096 along a side")
    } else if !figures.iter().all(|figure| figure.is_finite() && figure.abs() < 1e6)
        || !(1e-6..=1e4).contains(&picture.dot_mm)
        || !(0.0..=1.0).contains(&picture.strength)
        || picture.turn_deg.abs() > 360.0
    {
        Some("its place, turn, size or strength is no sensible figure")
    } else {
        None
    }
}

/// Numbers of a part except those of its outline and keep-outs, which are shared (see [`loop_is_finite`]).
pub(crate) fn part(p: &mut Part, each: Each<'_>) {
    each(own("part.thickness_mm"), &mut p.thickness_mm);
    match &mut p.mass {
        MassBy::Density { kg_m3: v } => each(own("part.mass.Density.kg_m3"), &mut v.value),
        MassBy::Areal { kg_m2: v } => each(own("part.mass.Areal.kg_m2"), &mut v.value),
        MassBy::Stated { kg: v } => each(own("part.mass.Stated.kg"), &mut v.value),
    }
    if let Some(c) = &mut p.centre_of_gravity {
        vec3(own("part.centre_of_gravity"), &mut c.value, each);
    }
    let keys = ["part.attached.mass_kg", "part.attached.at", "part.attached.size", "part.attached.turn_deg"];
    for a in &mut p.attached {
        attached(a, keys, each);
    }
    each(own("part.friction"), &mut p.friction.value);
    for pair in &mut p.pairs {
        let within = format!("{} on", pair.lip_material.trim());
        each(At { key: "part.pairs.friction", within: &within }, &mut pair.friction.value);
    }
    if let Some(permeance) = &mut p.permeance_um_pa_s {
        each(own("part.permeance_um_pa_s"), &mut permeance.value);
    }
    if let Some(modulus) = &mut p.modulus_n_mm2 {
        each(own("part.modulus_n_mm2"), &mut modulus.value);
    }
    if let Some(poisson) = &mut p.poisson {
        each(own("part.poisson"), &mut poisson.value);
    }
    if let Some(across) = &mut p.modulus_across_n_mm2 {
        each(own("part.modulus_across_n_mm2"), &mut across.value);
    }
    each(own("part.along_deg"), &mut p.along_deg);
    if let Some(allowable) = &mut p.allowable_n_mm2 {
        each(own("part.allowable_n_mm2"), &mut allowable.value);
    }
    if let Some(damping) = &mut p.damping {
        each(own("part.damping"), &mut damping.value);
    }
    if let Some(datum) = &mut p.datum {
        each(own("part.datum.at"), &mut datum.at.x);
        each(own("part.datum.at"), &mut datum.at.y);
    }
    each(own("part.uneven_mm"), &mut p.uneven_mm);
    each(own("part.placement.position_mm"), &mut p.placement.position_mm);
    each(own("part.placement.turn_deg"), &mut p.placement.turn_deg);
    each(own("part.placement.drawing_mm"), &mut p.placement.drawing_mm);
}

fn attached(a: &mut Attached, [mass, at, size, turn]: [&'static str; 4], each: Each<'_>) {
    let within = format!("{} on", a.name);
    let here = |key| At { key, within: &within };
    each(here(mass), &mut a.mass_kg);
    vec3(here(at), &mut a.at, each);
    vec3(here(size), &mut a.size, each);
    each(here(turn), &mut a.turn_deg);
}

/// Numbers of what carries the cups.
pub(crate) fn tool(t: &mut Tool, each: Each<'_>) {
    vec3(own("tool.flange"), &mut t.flange, each);
    for mass in &mut t.masses {
        let keys = ["tool.masses.mass_kg", "tool.masses.at", "tool.masses.size", "tool.masses.turn_deg"];
        attached(mass, keys, each);
    }
    for piece in &mut t.frame {
        let within = format!("{} of", piece.name);
        let here = |key| At { key, within: &within };
        each(here("tool.frame.at"), &mut piece.at.x);
        each(here("tool.frame.at"), &mut piece.at.y);
        each(here("tool.frame.turn_deg"), &mut piece.turn_deg);
        each(here("tool.frame.height_mm"), &mut piece.height_mm);
        match &mut piece.shape {
            FrameShape::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m } => {
                each(here("tool.frame.length_mm"), length_mm);
                each(here("tool.frame.width_mm"), width_mm);
                each(here("tool.frame.pitch_mm"), pitch_mm);
                each(here("tool.frame.first_mm"), first_mm);
                each(here("tool.frame.kg_m"), kg_m);
            }
            FrameShape::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 } => {
                each(here("tool.frame.length_mm"), length_mm);
                each(here("tool.frame.width_mm"), width_mm);
                each(here("tool.frame.pitch_mm"), &mut pitch_mm.x);
                each(here("tool.frame.pitch_mm"), &mut pitch_mm.y);
                each(here("tool.frame.first_mm"), &mut first_mm.x);
                each(here("tool.frame.first_mm"), &mut first_mm.y);
                each(here("tool.frame.kg_m2"), kg_m2);
            }
        }
    }
}

pub(crate) fn seat(s: &mut Seat, each: Each<'_>) {
    each(own("layout.seats.at"), &mut s.at.x);
    each(own("layout.seats.at"), &mut s.at.y);
    each(own("layout.seats.turn_deg"), &mut s.turn_deg);
    each(own("layout.seats.share"), &mut s.share);
    if let Some(stops) = &mut s.stops {
        let places = [
            ("layout.seats.stops.edges", &mut stops.edges[..]),
            ("layout.seats.stops.at", &mut stops.at[..]),
        ];
        for (key, list) in places {
            for place in list {
                each(own(key), &mut place.x);
                each(own(key), &mut place.y);
            }
        }
    }
}

pub(crate) fn cup(c: &mut Cup, each: Each<'_>) {
    each(own("cup.at"), &mut c.at.x);
    each(own("cup.at"), &mut c.at.y);
    each(own("cup.turn_deg"), &mut c.turn_deg);
    each(own("cup.height_mm"), &mut c.height_mm);
}

pub(crate) fn motion(m: &mut Motion, each: Each<'_>) {
    each(own("motion.required_factor"), &mut m.required_factor);
    each(own("motion.tilt_deg"), &mut m.tilt_deg);
    each(own("motion.lowest_deg"), &mut m.lowest_deg);
    vec3(own("motion.acceleration"), &mut m.acceleration, each);
    if let Some(stroke) = &mut m.stroke {
        each(own("motion.stroke.mm"), &mut stroke.mm);
        each(own("motion.stroke.time_s"), &mut stroke.time_s);
        each(own("motion.stroke.pause_s"), &mut stroke.pause_s);
    }
    each(own("motion.inertia_times"), &mut m.inertia_times);
    vec3(own("motion.turn_rate_deg_s"), &mut m.turn_rate_deg_s, each);
    vec3(own("motion.turn_acceleration_deg_s2"), &mut m.turn_acceleration_deg_s2, each);
    vec3(own("motion.pivot_mm"), &mut m.pivot_mm, each);
    if let Worst::TiltTo { deg } = &mut m.worst {
        each(own("motion.worst.TiltTo.deg"), deg);
    }
}

pub(crate) fn model(m: &mut CupModel, each: Each<'_>) {
    match &mut m.shape {
        LipShape::Round { diameter } => each(own("model.shape.diameter"), diameter),
        LipShape::Long { length, width } => {
            each(own("model.shape.length"), length);
            each(own("model.shape.width"), width);
        }
        LipShape::Rectangle { length, width, corner } => {
            each(own("model.shape.length"), length);
            each(own("model.shape.width"), width);
            each(own("model.shape.corner"), corner);
        }
    }
    each(own("model.sealing_share"), &mut m.sealing_share.value);
    each(own("model.bore_mm"), &mut m.bore_mm);
    each(own("model.height_mm"), &mut m.height_mm);
    each(own("model.travel_mm"), &mut m.travel_mm.value);
    each(own("model.channel_mm"), &mut m.channel_mm.value);
    if let Some(free) = &mut m.free_ml {
        each(own("model.free_ml"), &mut free.value);
    }
    each(own("model.axial_n_mm"), &mut m.axial_n_mm.value);
    each(own("model.lateral_n_mm"), &mut m.lateral_n_mm.value);
    each(own("model.tilt_reduction"), &mut m.tilt_reduction.value);
    if let Some(width) = &mut m.lip_width_mm {
        each(own("model.lip_width_mm"), &mut width.value);
    }
    if let Some(lever) = &mut m.side_lever_mm {
        each(own("model.side_lever_mm"), &mut lever.value);
    }
    each(own("model.hardness_shore_a"), &mut m.hardness_shore_a);
    each(own("model.lip_life_picks"), &mut m.lip_life_picks.value);
    each(own("model.seal_minimum_n_mm"), &mut m.seal_minimum_n_mm.value);
    each(own("model.closes_mm"), &mut m.closes_mm);
    if let Some(hole) = &mut m.drill_mm {
        each(own("model.drill_mm"), hole);
    }
    each(own("model.mass_g"), &mut m.mass_g);
}

pub(crate) fn site(s: &mut Site, each: Each<'_>) {
    each(own("site.altitude_m"), &mut s.altitude_m);
    each(own("site.temperature_c"), &mut s.temperature_c);
    if let Some(payload) = &mut s.payload_kg {
        each(At { key: "site.payload_kg", within: "the robot at" }, payload);
    }
}

pub(crate) fn sheet(s: &mut SheetFields, each: Each<'_>) {
    each(own("sheet.position_tolerance_mm"), &mut s.position_tolerance_mm);
}

pub(crate) fn rules(r: &mut Rules, each: Each<'_>) {
    each(own("rules.gap_watch_mm"), &mut r.gap_watch_mm);
    each(own("rules.factor_watch"), &mut r.factor_watch);
    each(own("rules.centroid_offset_share"), &mut r.centroid_offset_share);
    each(own("rules.most_over_mean"), &mut r.most_over_mean);
    each(own("rules.slide_share"), &mut r.slide_share);
    each(own("rules.payload_watch"), &mut r.payload_watch);
    each(own("rules.friction_spread"), &mut r.friction_spread);
    each(own("rules.stiffness_spread"), &mut r.stiffness_spread);
    each(own("rules.lip_spread"), &mut r.lip_spread);
    each(own("rules.supply_margin"), &mut r.supply_margin);
    each(own("rules.level_spread"), &mut r.level_spread);
    each(own("rules.element_loss"), &mut r.element_loss);
    each(own("rules.favourable_weight"), &mut r.favourable_weight);
    each(own("rules.sag_watch_mm"), &mut r.sag_watch_mm);
    each(own("rules.ring_limit_mm"), &mut r.ring_limit_mm);
}

/// Name of the first number that is not finite, if any.
pub(crate) fn first_not_finite<T>(thing: &mut T, visit: impl Fn(&mut T, Each<'_>)) -> Option<String> {
    let mut found = None;
    visit(thing, &mut |at, value| {
        if !value.is_finite() && found.is_none() {
            found = Some(at.field().to_owned());
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
