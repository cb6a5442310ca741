//! What is wrong with the cycle, its prices and what was measured.

use super::{Found, Subject};
use crate::{Cycle, Trial, TrialKind, numbers, ranges};

pub(super) fn cycle(c: &Cycle, found: &mut Found) {
    let subject = Subject::Project;
    if !found.in_range(&subject, |out| ranges::thing(c, numbers::cycle, "the cycle", out)) {
        return;
    }
    let busy = c.picks_per_hour.value * c.hold_s.value;
    if busy > 3600.0 {
        let says = format!(
            "{} cycles per hour of {} s each take {} s of an hour",
            c.picks_per_hour.value,
            c.hold_s.value,
            units::figure(busy, 0)
        );
        found.add(&subject, says, "enter fewer cycles or a shorter hold time");
    }
}

pub(super) fn trial(t: &Trial, found: &mut Found) {
    let subject = Subject::Project;
    if !found.in_range(&subject, |out| ranges::trial(t, out)) {
        return;
    }
    for entry in &t.entries {
        let name = entry.what.label();
        let of = format!("the trial of {}", if entry.on.is_empty() { "no date" } else { &*entry.on });
        match &entry.what {
            TrialKind::LeakDown { from_kpa, .. } if entry.value > *from_kpa => {
                let [value, from] =
                    [entry.value, *from_kpa].map(|kpa| (kpa, units::Quantity::VacuumLevel).into());
                let says = "{} of {} is {}, more than the {} at the start";
                let remedy = "enter how far the level fell, not where it ended";
                found.figures(&subject, says, [name.into(), of.as_str().into(), value, from], remedy);
            }
            TrialKind::Friction { lip_material, .. } if lip_material.trim().is_empty() => {
                let says = format!("{name} of {of} names no lip material");
                found.add(&subject, says, "choose the material of the lip that slid");
            }
            _ => {}
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
    }
}
