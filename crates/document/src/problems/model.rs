//! What is wrong with a cup model.

use super::{Found, Subject};
use crate::{CupModel, ranges};
use geometry::LipShape;

pub(super) fn model(m: &CupModel, found: &mut Found) {
    let subject = Subject::Model(m.id.clone());
    let of = format!("cup model {}", m.name);
    if found.in_range(&subject, |out| ranges::model(m, out)) {
        sizes(m, &subject, &of, found);
    }
    if m.allowed.is_empty() {
        found.add(&subject, format!("{of} suits no surface"), "choose at least one surface");
    }
}

/// What its sizes are to each other.
fn sizes(m: &CupModel, subject: &Subject, of: &str, found: &mut Found) {
    let (length, width) = match m.shape {
        LipShape::Round { diameter } => (diameter, diameter),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => (length, width),
    };
    if length < width {
        let says = format!("the lip of {of} is {length} mm long and {width} mm wide");
        found.add(subject, says, "swap length and width");
    }
    if let LipShape::Rectangle { corner, .. } = m.shape
        && corner > length.min(width) / 2.0
    {
        let says = format!("the corner radius of {of} is {corner} mm");
        found.add(subject, says, "enter a radius from zero to half the lip's width");
    }
    if m.bore_mm >= length.min(width) {
        let says = format!("the bore of {of} is {} mm and its lip {} mm", m.bore_mm, length.min(width));
        found.add(subject, says, "enter the bore's diameter, smaller than the lip");
    }
    if m.travel_mm.value > m.height_mm {
        let says = format!("{of} has {} mm of travel and is only {} mm high", m.travel_mm.value, m.height_mm);
        found.add(subject, says, "enter a travel below its height");
    }
    let (bears, size) = (m.lip_width().value, m.shape.size().min_element());
    if bears > 0.5 * size {
        let says = format!("the lip of {of} bears {bears} mm wide and is {size} mm across");
        found.add(subject, says, "enter how wide the lip itself bears, less than half of its size");
    }
    let lever = m.side_lever().value;
    if lever > m.height_mm {
        let says = format!(
            "a side load on {of} has a lever of {lever} mm and the cup is only {} mm high",
            m.height_mm
        );
        found.add(subject, says, "enter a lever up to its height; half of it is usual, 0 on a ball joint");
    }
}
