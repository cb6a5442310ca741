//! What is wrong with the cycle, its prices and what was measured.

use super::{Found, Subject, part::MOST_FRICTION};
use crate::{Cycle, Trial, TrialKind};

/// In a leap year.
const HOURS_OF_A_YEAR: f64 = 8784.0;

pub(super) fn cycle(c: &Cycle, found: &mut Found) {
    let subject = Subject::Project;
    let of = "the cycle";
    found.positive(&subject, of, "the number of picks an hour", c.picks_per_hour.value, "");
    found.not_negative(&subject, of, "the hold time", c.hold_s.value, " s");
    let busy = c.picks_per_hour.value * c.hold_s.value;
    if busy > 3600.0 {
        let says = format!(
            "{} picks an hour of {} s each take {busy:.0} s of an hour",
            c.picks_per_hour.value, c.hold_s.value
        );
        found.add(&subject, says, "enter fewer picks or a shorter hold time");
    }
    let hours = c.hours_per_year.value;
    if !(hours > 0.0 && hours <= HOURS_OF_A_YEAR) {
        let says = format!("the tool works {hours} hours a year");
        found.add(&subject, says, "enter more than 0 and up to 8784, 4000 is two shifts");
    }
    found.not_negative(&subject, of, "the price of air", c.air_price_per_m3.value, "");
    found.not_negative(&subject, of, "the price of energy", c.energy_price_per_kwh.value, "");
    found.positive(&subject, of, "the energy for a m³ of air", c.compressor_kwh_per_m3.value, " kWh");
}

pub(super) fn trial(t: &Trial, found: &mut Found) {
    let subject = Subject::Project;
    for entry in &t.entries {
        let name = entry.what.label();
        let of = format!("the trial of {}", if entry.on.is_empty() { "no date" } else { &*entry.on });
        match &entry.what {
            TrialKind::Level { .. } => level(entry.value, name, &of, found),
            TrialKind::TimeToLevel { level_kpa, .. } => {
                level(*level_kpa, "the level to reach", &of, found);
                found.positive(&subject, &of, name, entry.value, " s");
            }
            TrialKind::LeakDown { from_kpa, over_s, .. } => {
                level(*from_kpa, "the level at the start of the leak-down", &of, found);
                found.positive(&subject, &of, "the time of the leak-down", *over_s, " s");
                found.not_negative(&subject, &of, name, entry.value, " kPa");
                if entry.value > *from_kpa {
                    let says = format!(
                        "{name} of {of} is {} kPa, more than the {from_kpa} kPa there were",
                        entry.value
                    );
                    found.add(&subject, says, "enter how far the level fell, not where it ended");
                }
            }
            TrialKind::Friction { lip_material, .. } => {
                if lip_material.trim().is_empty() {
                    let says = format!("{name} of {of} names no lip material");
                    found.add(&subject, says, "choose the material of the lip that slid");
                }
                if entry.value > MOST_FRICTION {
                    let says =
                        format!("{name} of {of} is {}, more than rubber has on any dry surface", entry.value);
                    found.add(
                        &subject,
                        says,
                        format!("measure it again; up to {MOST_FRICTION} is not questioned"),
                    );
                } else {
                    found.positive(&subject, &of, name, entry.value, "");
                }
            }
        }
    }
    for curve in &t.curves {
        let of = format!(
            "the {} curve of {}",
            curve.kind.label(),
            if curve.on.is_empty() { "no date" } else { &*curve.on }
        );
        if curve.points.len() < 2 {
            found.add(&subject, format!("{of} has {} points", curve.points.len()), "record at least two");
        }
        if curve.points.windows(2).any(|pair| pair[1].0 <= pair[0].0) {
            found.add(&subject, format!("the times of {of} do not rise"), "sort its points by time");
        }
        let outside = units::standard_atmosphere(0.0).kpa();
        if let Some((_, bad)) = curve.points.iter().find(|(_, kpa)| !(0.0..outside).contains(kpa)) {
            let says = format!("a level of {of} is {bad} kPa");
            found.add(&subject, says, "enter vacuum levels, from 0 to below the atmosphere");
        }
    }
}

fn level(kpa: f64, name: &str, of: &str, found: &mut Found) {
    let outside = units::standard_atmosphere(0.0).kpa();
    if kpa >= outside {
        let says = format!("{name} of {of} is {kpa} kPa and the atmosphere {outside:.1} kPa");
        found.add(&Subject::Project, says, "enter a vacuum level below the atmosphere");
    } else {
        found.positive(&Subject::Project, of, name, kpa, " kPa");
    }
}
