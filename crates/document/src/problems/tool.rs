//! What is wrong with what carries the cups.

use super::{Found, Subject};
use crate::{FramePiece, FrameShape, Layout, ranges};

pub(super) fn tool(l: &Layout, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    if !found.in_range(&subject, |out| ranges::tool(&l.tool, &l.name, out)) {
        return;
    }
    let flange = l.tool.flange;
    if flange.z < 0.0 {
        let says = format!("the flange of {} is {} mm below the lips", l.name, -flange.z);
        found.add(&subject, says, "enter its height above the plane of the lips");
    }
    l.tool.frame.iter().for_each(|p| piece(p, &format!("{} of {}", p.name, l.name), &subject, found));
}

fn piece(piece: &FramePiece, of: &str, subject: &Subject, found: &mut Found) {
    let size = piece.size();
    match piece.shape {
        FrameShape::Rail { first_mm, .. } => places(first_mm, (size.x, "length"), subject, of, found),
        FrameShape::Plate { first_mm, .. } => {
            places(first_mm.x, (size.x, "length"), subject, of, found);
            places(first_mm.y, (size.y, "width"), subject, of, found);
        }
    }
}

fn places(first: f64, (size, side): (f64, &str), subject: &Subject, of: &str, found: &mut Found) {
    if first > size {
        let says = format!("the first mounting position of {of} is at {first} mm of a {side} of {size} mm");
        found.add(subject, says, format!("enter a value up to its {side}"));
    }
}
