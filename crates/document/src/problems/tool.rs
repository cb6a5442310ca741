//! What is wrong with what carries the cups.

use super::{Found, Subject};
use crate::{FramePiece, FrameShape, Layout, ranges};
use units::{Quantity, Worded};

pub(super) fn tool(l: &Layout, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    if !found.in_range(&subject, |out| ranges::tool(&l.tool, &l.name, out)) {
        return;
    }
    let flange = l.tool.flange;
    if flange.z < 0.0 {
        let parts = [(&l.name).into(), (-flange.z, Quantity::Length).into()];
        let remedy = "enter its height above the plane of the lips";
        found.figures(&subject, "the flange of {} is {} below the lips", parts, remedy);
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
        let [first, size] = [first, size].map(|mm| (mm, Quantity::Length).into());
        let says = "the first mounting position of {} is at {} of a {} of {}";
        let remedy = Worded::text(format!("enter a value up to its {side}"));
        found.figures(subject, says, [of.into(), first, side.into(), size], remedy);
    }
}
