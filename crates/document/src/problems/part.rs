//! What is wrong with a part.

use super::{Found, Subject};
use crate::{MassBy, Part};

/// Above this friction is questioned; rubber on a clean dry surface stays below (common practice, no source).
pub(super) const MOST_FRICTION: f64 = 2.0;

pub(super) fn part(p: &Part, found: &mut Found) {
    let subject = Subject::Part(p.id);
    let of = format!("part {}", p.name);
    if p.outline.outer.vertices.is_empty() {
        found.add(&subject, format!("{of} has no outline"), "import a drawing or sketch the outline");
    } else {
        for problem in geometry::validate(&p.outline) {
            found.add(
                &subject,
                format!("{of}: {problem}"),
                "mend the outline in the sketch or in the drawing",
            );
        }
    }
    found.positive(&subject, &of, "the thickness", p.thickness_mm, " mm");
    match &p.mass {
        MassBy::Density { kg_m3 } => found.positive(&subject, &of, "the density", kg_m3.value, " kg/m³"),
        MassBy::Areal { kg_m2 } => found.positive(&subject, &of, "the mass per area", kg_m2.value, " kg/m²"),
        MassBy::Stated { kg } => found.positive(&subject, &of, "the mass", kg.value, " kg"),
    }
    for a in &p.attached {
        found.positive(&subject, &format!("{} on {of}", a.name), "the mass", a.mass_kg, " kg");
        if a.size.min_element() < 0.0 {
            found.add(
                &subject,
                format!("a side of {} on {of} is negative", a.name),
                "enter its sides, or zero for a point",
            );
        }
    }
    friction(p.friction.value, &subject, &of, found);
    pairs(p, &subject, &of, found);
    if let Some(permeance) = &p.permeance_um_pa_s
        && !(permeance.value > 0.0 && permeance.value.is_finite())
    {
        let says = format!("the permeance of {of} is {} µm/(Pa·s)", permeance.value);
        found.add(&subject, says, "enter a figure above zero, or leave it empty for an airtight part");
    }
    found.not_negative(&subject, &of, "the unevenness", p.uneven_mm, " mm");
    found.not_negative(&subject, &of, "the position tolerance", p.placement.position_mm, " mm");
    found.not_negative(&subject, &of, "the turn tolerance", p.placement.turn_deg, "°");
    found.not_negative(&subject, &of, "the drawing tolerance", p.placement.drawing_mm, " mm");
    for k in p.keep_outs.iter().filter(|k| k.area.vertices.len() < 2) {
        found.add(
            &subject,
            format!("keep-out {} of {of} has no area", k.name),
            "sketch it again or remove it",
        );
    }
}
fn friction(value: f64, subject: &Subject, of: &str, found: &mut Found) {
    if value > MOST_FRICTION {
        let says = format!("the friction of {of} is {value}, more than rubber has on any dry surface");
        found.add(
            subject,
            says,
            format!("measure it on the real part, or enter a figure up to {MOST_FRICTION}"),
        );
    } else {
        found.positive(subject, of, "the friction", value, "");
    }
}

fn pairs(p: &Part, subject: &Subject, of: &str, found: &mut Found) {
    for (i, pair) in p.pairs.iter().enumerate() {
        let name = pair.lip_material.trim();
        if name.is_empty() {
            let says = format!("a friction pair of {of} names no lip material");
            found.add(subject, says, "choose the material of a lip");
        }
        friction(pair.friction.value, subject, &format!("{name} on {of}"), found);
        if p.pairs[..i].iter().any(|earlier| earlier.is_for(name)) {
            let says = format!("{of} has two friction pairs for {name}");
            found.add(subject, says, "remove one of them");
        }
    }
}
