//! What is wrong with what carries the cups.

use super::{Found, Subject};
use crate::{FramePiece, FrameShape, Layout};

pub(super) fn tool(l: &Layout, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    let flange = l.tool.flange;
    if !flange.is_finite() {
        found.add(&subject, format!("the flange of {} has no place", l.name), "type its x, y and z again");
    } else if flange.z < 0.0 {
        let says = format!("the flange of {} is {} mm below the lips", l.name, -flange.z);
        found.add(&subject, says, "enter its height above the plane of the lips");
    }
    for mass in &l.tool.masses {
        let of = format!("{} on the tool of {}", mass.name, l.name);
        found.positive(&subject, &of, "the mass", mass.mass_kg, " kg");
        if mass.size.min_element() < 0.0 {
            let says = format!("a side of {of} is negative");
            found.add(&subject, says, "enter its sides, or zero for a point");
        }
        if !(mass.at.is_finite() && mass.size.is_finite()) {
            found.add(&subject, format!("{of} has no place"), "type its x, y and z again");
        }
    }
    l.tool.frame.iter().for_each(|p| piece(p, &format!("{} of {}", p.name, l.name), &subject, found));
}

fn piece(piece: &FramePiece, of: &str, subject: &Subject, found: &mut Found) {
    if !(piece.at.is_finite() && piece.turn_deg.is_finite()) {
        found.add(subject, format!("{of} has no place"), "type its x, y and turn again");
    }
    found.not_negative(subject, of, "the height above the lips", piece.height_mm, " mm");
    let size = piece.size();
    found.positive(subject, of, "the length", size.x, " mm");
    found.positive(subject, of, "the width", size.y, " mm");
    match piece.shape {
        FrameShape::Rail { pitch_mm, first_mm, kg_m, .. } => {
            found.not_negative(subject, of, "the mass per length", kg_m, " kg/m");
            places(pitch_mm, first_mm, (size.x, "length"), subject, of, found);
        }
        FrameShape::Plate { pitch_mm, first_mm, kg_m2, .. } => {
            found.not_negative(subject, of, "the mass per area", kg_m2, " kg/m²");
            places(pitch_mm.x, first_mm.x, (size.x, "length"), subject, of, found);
            places(pitch_mm.y, first_mm.y, (size.y, "width"), subject, of, found);
        }
    }
}

fn places(pitch: f64, first: f64, side: (f64, &str), subject: &Subject, of: &str, found: &mut Found) {
    let (size, side) = side;
    if !(pitch >= 0.0 && pitch.is_finite()) {
        let says = format!("the pitch of {of} along its {side} is {pitch} mm");
        found.add(subject, says, "enter the distance of its places, or 0 for an open slot");
    }
    if !(first >= 0.0 && first.is_finite()) {
        let says = format!("the first place of {of} is at {first} mm of its {side}");
        found.add(subject, says, "enter zero or a figure above it");
    } else if size > 0.0 && first > size {
        let says = format!("the first place of {of} is at {first} mm of a {side} of {size} mm");
        found.add(subject, says, format!("enter a figure up to its {side}"));
    }
}
