//! What is wrong with a cup model.

use super::{Found, Subject};
use crate::{CupModel, ranges};
use geometry::LipShape;
use units::Quantity;

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
    let mm = |mm: f64| units::Part::from((mm, Quantity::Length));
    if length < width {
        let says = "the lip of {} is {} long and {} wide";
        found.figures(subject, says, [of.into(), mm(length), mm(width)], "swap length and width");
    }
    if let LipShape::Rectangle { corner, .. } = m.shape
        && corner > length.min(width) / 2.0
    {
        let remedy = "enter a radius from zero to half the lip's width";
        found.figures(subject, "the corner radius of {} is {}", [of.into(), mm(corner)], remedy);
    }
    if m.bore_mm >= length.min(width) {
        let parts = [of.into(), mm(m.bore_mm), mm(length.min(width))];
        let remedy = "enter the bore's diameter, smaller than the lip";
        found.figures(subject, "the bore of {} is {} and its lip {}", parts, remedy);
    }
    if m.travel_mm.value > m.height_mm {
        let parts = [of.into(), mm(m.travel_mm.value), mm(m.height_mm)];
        let remedy = "enter a travel below its height";
        found.figures(subject, "{} has {} of travel and is only {} high", parts, remedy);
    }
    let (bears, size) = (m.lip_width().value, m.shape.size().min_element());
    if bears > 0.5 * size {
        let remedy = "enter how wide the lip itself bears, less than half of its size";
        let says = "the lip of {} bears {} wide and is {} across";
        found.figures(subject, says, [of.into(), mm(bears), mm(size)], remedy);
    }
    let lever = m.side_lever().value;
    if lever > m.height_mm {
        let says = "a side load on {} has a lever of {} and the cup is only {} high";
        let remedy = "enter a lever up to its height; half of it is usual, 0 on a ball joint";
        found.figures(subject, says, [of.into(), mm(lever), mm(m.height_mm)], remedy);
    }
}
