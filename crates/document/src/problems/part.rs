//! What is wrong with a part.

use super::{Found, Subject};
use crate::{Part, ranges};

/// An arc that rises further than this from its chord leaves what a part can be, mm.
const HIGHEST_ARC_MM: f64 = 1e5;

pub(super) fn part(p: &Part, outlines: bool, found: &mut Found) {
    let subject = Subject::Part(p.id);
    let of = format!("part {}", p.name);
    let in_range = found.in_range(&subject, |out| ranges::part(p, out));
    if p.outline.outer.vertices.is_empty() {
        found.add(&subject, format!("{of} has no outline"), "import a drawing or sketch the outline");
    } else if in_range {
        arcs(p, &subject, &of, found);
        for problem in outlines.then(|| geometry::validate(&p.outline)).into_iter().flatten() {
            found.figures(
                &subject,
                "{}: {}",
                [(&of).into(), problem.worded().into()],
                "correct the outline in the sketch or in the drawing",
            );
        }
    }
    pairs(p, &subject, &of, found);
    for k in p.keep_outs.iter().filter(|k| k.area.vertices.len() < 2) {
        found.add(
            &subject,
            format!("keep-out {} of {of} has no area", k.name),
            "sketch it again or remove it",
        );
    }
}
/// Corners may be in range and an arc between them may not.
fn arcs(p: &Part, subject: &Subject, of: &str, found: &mut Found) {
    let boundaries = std::iter::once(&p.outline.outer).chain(&p.outline.holes);
    let rises = |boundary: &geometry::Loop| {
        let next = boundary.vertices.iter().cycle().skip(1);
        boundary.vertices.iter().zip(next).any(|(a, b)| {
            // The rise of an arc over its chord is the bulge times half the chord.
            (a.bulge * a.at.distance(b.at) / 2.0).abs() > HIGHEST_ARC_MM
        })
    };
    if boundaries.chain(p.keep_outs.iter().map(|k| &*k.area)).any(rises) {
        let parts = [of.into(), (HIGHEST_ARC_MM / 1e3, units::Quantity::Altitude).into()];
        let remedy = "correct its bulge in the file, or draw it again";
        found.figures(subject, "an arc of {} rises more than {} from its ends", parts, remedy);
    }
}

fn pairs(p: &Part, subject: &Subject, of: &str, found: &mut Found) {
    for (i, pair) in p.pairs.iter().enumerate() {
        let name = pair.lip_material.trim();
        if name.is_empty() {
            let says = format!("a friction pair of {of} names no lip material");
            found.add(subject, says, "choose the material of a lip");
        }
        if p.pairs[..i].iter().any(|earlier| earlier.is_for(name)) {
            let says = format!("{of} has two friction pairs for {name}");
            found.add(subject, says, "remove one of them");
        }
    }
}
