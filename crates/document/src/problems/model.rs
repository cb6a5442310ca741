//! What is wrong with a cup model.

use super::{Found, Subject};
use crate::CupModel;
use geometry::LipShape;

pub(super) fn model(m: &CupModel, found: &mut Found) {
    let subject = Subject::Model(m.id.clone());
    let of = format!("cup model {}", m.name);
    let (length, width) = match m.shape {
        LipShape::Round { diameter } => (diameter, diameter),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => (length, width),
    };
    found.positive(&subject, &of, "the lip size", length.min(width), " mm");
    if length < width {
        let says = format!("the lip of {of} is {length} mm long and {width} mm wide");
        found.add(&subject, says, "exchange length and width");
    }
    if let LipShape::Rectangle { corner, .. } = m.shape
        && !(0.0..=length.min(width) / 2.0).contains(&corner)
    {
        let says = format!("the corner radius of {of} is {corner} mm");
        found.add(&subject, says, "enter a radius from zero to half the lip's width");
    }
    let share = m.sealing_share.value;
    if !(share > 0.0 && share <= 1.0) {
        let says = format!("the sealing line of {of} is {share} times its outer size");
        found.add(&subject, says, "enter a share between 0.8 and 0.95");
    }
    found.positive(&subject, &of, "the bore", m.bore_mm, " mm");
    if m.bore_mm >= length.min(width) && length.min(width) > 0.0 {
        let says = format!("the bore of {of} is {} mm and its lip {} mm", m.bore_mm, length.min(width));
        found.add(&subject, says, "enter the bore's diameter, smaller than the lip");
    }
    found.positive(&subject, &of, "the height", m.height_mm, " mm");
    found.not_negative(&subject, &of, "the travel", m.travel_mm.value, " mm");
    if m.travel_mm.value > m.height_mm {
        let says = format!("{of} gives {} mm and is only {} mm high", m.travel_mm.value, m.height_mm);
        found.add(&subject, says, "enter a travel below its height");
    }
    found.not_negative(&subject, &of, "the free height under the cup", m.channel_mm.value, " mm");
    found.positive(&subject, &of, "the axial stiffness", m.axial_n_mm.value, " N/mm");
    found.positive(&subject, &of, "the lateral stiffness", m.lateral_n_mm.value, " N/mm");
    found.not_negative(&subject, &of, "the tilt reduction", m.tilt_reduction.value, "");
    let lever = m.side_lever().value;
    found.not_negative(&subject, &of, "the lever of a side load", lever, " mm");
    if lever > m.height_mm {
        let says = format!(
            "a side load on {of} has a lever of {lever} mm and the cup is only {} mm high",
            m.height_mm
        );
        found.add(&subject, says, "enter a lever up to its height; half of it is usual, 0 on a ball joint");
    }
    found.positive(&subject, &of, "the life of a lip", m.lip_life_picks.value, " picks");
    found.not_negative(&subject, &of, "the seal minimum", m.seal_minimum_n_mm.value, " N/mm");
    found.not_negative(&subject, &of, "the height variation it closes", m.closes_mm, " mm");
    found.not_negative(&subject, &of, "the mass", m.mass_g, " g");
    if !(0.0..=100.0).contains(&m.hardness_shore_a) {
        let says = format!("the lip hardness of {of} is {} Shore A", m.hardness_shore_a);
        found.add(&subject, says, "enter a figure from 0 to 100, 30 to 60 is usual");
    }
    if m.allowed.is_empty() {
        found.add(&subject, format!("{of} is meant for no surface"), "choose at least one texture");
    }
}
