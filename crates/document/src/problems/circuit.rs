//! What is wrong with circuits and what feeds them.

use super::{Found, Subject};
use crate::{
    Arrangement, Circuit, Layout, Line, LineLength, Manifold, Project, Restriction, SourceKind, SourceModel,
    Supply, Thresholds,
};
use std::collections::HashMap;

/// More ports than this are questioned: no manifold has as many.
const MOST_PORTS: u32 = 256;
/// More fittings of one kind in one hose than this are questioned.
const MOST_FITTINGS: u32 = 100;
/// A critical ratio beyond this is no restriction's (a full bore has about 0.5).
const MOST_RATIO: f64 = 0.95;
/// A hose does not wind tighter than this times its bore.
const TIGHTEST_COIL: f64 = 2.0;

pub(super) fn circuit(p: &Project, c: &Circuit, found: &mut Found) {
    let subject = Subject::Circuit(c.id);
    level(p, c, &subject, found);
    if let Some(t) = &c.thresholds {
        thresholds(t, &subject, &c.name, found);
    }
    let Some(s) = &c.supply else { return };
    match p.source(&s.source) {
        None => {
            let says = format!("{} is fed by source {}, which is not in the project", c.name, s.source);
            found.add(&subject, says, "choose a source from the library");
        }
        Some(source) => feed(s, source, &subject, &c.name, found),
    }
    supply(s, &subject, &c.name, found);
}

fn level(p: &Project, c: &Circuit, subject: &Subject, found: &mut Found) {
    let level = c.level_kpa.value;
    // The level is stated for sea level, where it can at most be all of the atmosphere.
    let outside = units::standard_atmosphere(0.0).kpa();
    if level >= outside {
        let says = format!(
            "the vacuum level of {} is {level} kPa and the atmosphere at sea level {outside:.1} kPa",
            c.name
        );
        let here = units::standard_atmosphere(p.site.altitude_m).kpa();
        let remedy = format!(
            "the level is stated for sea level and lowered with the atmosphere at the site ({here:.1} kPa); 40 to 80 kPa is usual"
        );
        found.add(subject, says, remedy);
    } else {
        found.positive(subject, &c.name, "the vacuum level", level, " kPa");
    }
}

fn thresholds(t: &Thresholds, subject: &Subject, of: &str, found: &mut Found) {
    let outside = units::standard_atmosphere(0.0).kpa();
    found.positive(subject, of, "the level for part held", t.held_kpa, " kPa");
    if t.held_kpa >= outside || t.saving_off_kpa >= outside {
        let deepest = t.held_kpa.max(t.saving_off_kpa);
        let says =
            format!("a level of the controls of {of} is {deepest} kPa and the atmosphere {outside:.1} kPa");
        found.add(subject, says, "enter vacuum levels below the atmosphere, 40 to 80 kPa is usual");
    }
    if t.saving_off_kpa < t.held_kpa {
        let (off, held) = (t.saving_off_kpa, t.held_kpa);
        let says = format!(
            "air saving of {of} stops the source at {off} kPa, before the part is held at {held} kPa"
        );
        found.add(subject, says, "enter a deeper level for air saving");
    }
    found.positive(subject, of, "the time-out", t.time_out_s, " s");
    found.not_negative(subject, of, "the hold time", t.hold_s, " s");
}

fn feed(s: &Supply, source: &SourceModel, subject: &Subject, of: &str, found: &mut Found) {
    let feed = s.feed_kpa.value;
    if source.kind != SourceKind::Ejector {
        return;
    }
    let (Some(first), Some(last)) = (source.feed.first(), source.feed.last()) else { return };
    let (from, to) = (first.feed_kpa, last.feed_kpa);
    if !(from..=to).contains(&feed) {
        let says = format!(
            "the feed of {of} is {feed} kPa, and {} is described from {from} to {to} kPa",
            source.name
        );
        found.add(subject, says, "set a feed within, or choose a source for this feed pressure");
    }
}

fn supply(s: &Supply, subject: &Subject, of: &str, found: &mut Found) {
    if !s.at.is_finite() {
        found.add(subject, format!("the source of {of} has no place"), "type its x, y and z again");
    } else if s.at.z < 0.0 {
        let says = format!("the source of {of} is {} mm below the lips", -s.at.z);
        found.add(subject, says, "enter its height above the plane of the lips");
    }
    if s.arrangement == Arrangement::Central {
        line(&s.main, subject, &format!("the main hose of {of}"), found);
        if let Some(m) = &s.manifold {
            manifold(m, subject, &format!("the manifold of {of}"), found);
        }
    }
    if s.arrangement != Arrangement::PerCup {
        line(&s.branch, subject, &format!("the branch of {of}"), found);
        for own in &s.branches {
            line(&own.line, subject, &format!("the own branch of cup {} of {of}", own.cup), found);
        }
    }
    for valve in &s.valves {
        let name = format!("the valve for zone {} of {of}", valve.zone);
        restriction(&valve.restriction, subject, &name, found);
        if valve.zone.trim().is_empty() {
            let says = format!("a valve of {of} switches no zone");
            found.add(subject, says, "choose the zone that it switches");
        }
        if let Some(m) = &valve.manifold {
            manifold(m, subject, &format!("the manifold for zone {} of {of}", valve.zone), found);
        }
    }
    if let Some(r) = &s.restrictor {
        restriction(r, subject, &format!("the restrictor at the cups of {of}"), found);
    }
    if let Some(r) = &s.filter {
        restriction(r, subject, &format!("the filter of {of}"), found);
    }
    found.not_negative(subject, of, "the gap under the lips", s.lip_gap_um.value, " µm");
    if let Some(cells) = &s.area_gripper {
        let name = format!("the cells of {of}");
        if cells.count == 0 {
            found.add(subject, format!("{of} has an area gripper without cells"), "enter how many a cup has");
        }
        found.positive(subject, &name, "the bore", cells.bore_mm, " mm");
        restriction(&cells.restrictor, subject, &format!("the restrictor of {name}"), found);
    }
}

fn line(l: &Line, subject: &Subject, of: &str, found: &mut Found) {
    found.positive(subject, of, "the bore", l.bore_mm, " mm");
    match l.length {
        LineLength::Plan { slack_mm } => found.not_negative(subject, of, "the slack", slack_mm, " mm"),
        LineLength::Typed { mm } => found.not_negative(subject, of, "the length", mm, " mm"),
    }
    if let Some(used) = l.fittings.iter().find(|f| f.count > MOST_FITTINGS) {
        let says = format!("{of} has {} times a {}", used.count, used.kind.label());
        found.add(subject, says, format!("enter how many there are in one hose, up to {MOST_FITTINGS}"));
    }
    if let Some(coil) = &l.coil {
        found.not_negative(subject, &format!("the coil of {of}"), "the number of turns", coil.turns, "");
        let least = TIGHTEST_COIL * l.bore_mm;
        if !(coil.diameter_mm >= least && coil.diameter_mm.is_finite()) {
            let says =
                format!("the coil of {of} is {} mm wide and its bore {} mm", coil.diameter_mm, l.bore_mm);
            found.add(
                subject,
                says,
                format!("enter the coil's diameter, at least {least} mm, or take it away"),
            );
        }
    }
}

fn manifold(m: &Manifold, subject: &Subject, of: &str, found: &mut Found) {
    if !(m.at.is_finite() && m.turn_deg.is_finite()) {
        found.add(subject, format!("{of} has no place"), "type its x, y and turn again");
    }
    found.positive(subject, of, "the length", m.length_mm, " mm");
    found.positive(subject, of, "the bore", m.bore_mm, " mm");
    if !(1..=MOST_PORTS).contains(&m.ports) {
        let says = format!("{of} has {} ports", m.ports);
        found.add(subject, says, format!("enter how many branches it takes, 1 to {MOST_PORTS}"));
    }
}

fn restriction(r: &Restriction, subject: &Subject, of: &str, found: &mut Found) {
    found.positive(subject, of, "the sonic conductance", r.c_dm3_s_bar, " dm³/(s·bar)");
    if !(0.0..=MOST_RATIO).contains(&r.b) {
        let says = format!("the critical ratio of {of} is {}", r.b);
        found.add(subject, says, format!("enter a figure from 0 to {MOST_RATIO}, 0.3 to 0.5 is usual"));
    }
}

/// Ports that a layout's cups need and a manifold has not.
pub(super) fn ports(p: &Project, l: &Layout, found: &mut Found) {
    for c in &p.circuits {
        let Some(s) = c.supply.as_ref().filter(|s| s.arrangement == Arrangement::Central) else { continue };
        // The circuit's own manifold, then those of its zones by their valves.
        let mut cups: HashMap<Option<usize>, u32> = HashMap::new();
        for cup in l.cups_of(c.id) {
            let own = s.valve_of(&cup.zone).filter(|v| s.valves[*v].manifold.is_some());
            *cups.entry(own).or_default() += 1;
        }
        let zones = (0..s.valves.len()).map(|v| (Some(v), s.valves[v].manifold));
        for (which, manifold) in [(None, s.manifold)].into_iter().chain(zones) {
            let (Some(m), Some(n)) = (manifold, cups.get(&which)) else { continue };
            if m.ports < *n && m.ports > 0 {
                let of = which.map_or(String::new(), |v| format!("for zone {} ", s.valves[v].zone));
                let says = format!(
                    "{n} cups of {} hang on the manifold {of}of {}, which has {} ports",
                    l.name, c.name, m.ports
                );
                let remedy = "give the manifold more ports, or some cups a circuit or zone with another one";
                found.add(&Subject::Layout(l.id), says, remedy);
            }
        }
    }
}

pub(super) fn source(s: &SourceModel, found: &mut Found) {
    let subject = Subject::Source(s.id.clone());
    let of = format!("source {}", s.name);
    curve(s, &subject, &of, found);
    if s.kind == SourceKind::Ejector {
        feeds(s, &subject, &of, found);
    } else {
        found.positive(&subject, &of, "the power", s.power_w, " W");
        if !s.feed.is_empty() {
            let says = format!("{of} is a {} and has a table of feed pressures", s.kind.label());
            found.add(&subject, says, "make it an ejector, or take the table away");
        }
    }
    if let Some(bore) = s.straight_bore_mm {
        found.positive(&subject, &of, "the bore that dirt passes", bore, " mm");
    }
    found.not_negative(&subject, &of, "the volume", s.volume_ml, " ml");
    found.not_negative(&subject, &of, "the mass", s.mass_g, " g");
}

fn curve(s: &SourceModel, subject: &Subject, of: &str, found: &mut Found) {
    let (Some(first), Some(last)) = (s.curve.first(), s.curve.last()) else {
        found.add(subject, format!("{of} has no curve"), "enter flow against level, from level 0 to flow 0");
        return;
    };
    let numbers = s.curve.iter().flat_map(|p| [p.level_kpa, p.flow_nl_min]);
    if let Some(bad) = numbers.into_iter().find(|v| !(*v >= 0.0 && v.is_finite())) {
        let says = format!("a figure of the curve of {of} is {bad}");
        found.add(subject, says, "enter levels and flows from zero up");
        return;
    }
    if first.level_kpa != 0.0 {
        let says = format!("the curve of {of} begins at {} kPa", first.level_kpa);
        found.add(subject, says, "add what it draws at level 0");
    }
    if first.flow_nl_min == 0.0 {
        found.add(subject, format!("{of} draws nothing at level 0"), "enter its flow without load");
    }
    if last.flow_nl_min != 0.0 {
        let says =
            format!("the curve of {of} ends with {} L/min at {} kPa", last.flow_nl_min, last.level_kpa);
        found.add(subject, says, "add the level at which it draws nothing");
    }
    for (pair, number) in s.curve.windows(2).zip(2..) {
        let [before, after] = [pair[0], pair[1]];
        if after.level_kpa <= before.level_kpa {
            let says = format!(
                "point {number} of the curve of {of} is at {} kPa, after {} kPa",
                after.level_kpa, before.level_kpa
            );
            found.add(subject, says, "sort its points by level and keep one for each level");
        } else if after.flow_nl_min > before.flow_nl_min {
            let says = format!(
                "the curve of {of} rises from {} to {} L/min at {} kPa",
                before.flow_nl_min, after.flow_nl_min, after.level_kpa
            );
            found.add(subject, says, "check the point: a source draws less the deeper the level");
        }
    }
    let outside = units::standard_atmosphere(0.0).kpa();
    if last.level_kpa >= outside {
        let says = format!(
            "the curve of {of} ends at {} kPa and the atmosphere is {outside:.1} kPa",
            last.level_kpa
        );
        found.add(subject, says, "enter vacuum levels below the atmosphere");
    }
}

fn feeds(s: &SourceModel, subject: &Subject, of: &str, found: &mut Found) {
    let (Some(first), Some(last)) = (s.feed.first(), s.feed.last()) else {
        let says = format!("{of} is an ejector and has no feed pressure");
        found.add(subject, says, "enter the air that it uses at its rated feed, with both shares 1");
        return;
    };
    for point in &s.feed {
        let at = format!("{of} at {} kPa", point.feed_kpa);
        found.positive(subject, of, "a feed pressure", point.feed_kpa, " kPa");
        found.positive(subject, &at, "the share of flow", point.flow_share, "");
        found.positive(subject, &at, "the share of level", point.level_share, "");
        found.positive(subject, &at, "the air used", point.air_nl_min, " L/min");
    }
    if let Some(pair) = s.feed.windows(2).find(|pair| pair[1].feed_kpa <= pair[0].feed_kpa) {
        let says =
            format!("{} kPa comes after {} kPa in the feeds of {of}", pair[1].feed_kpa, pair[0].feed_kpa);
        found.add(subject, says, "sort them by pressure and keep one for each");
    } else if !(first.feed_kpa..=last.feed_kpa).contains(&s.rated_feed_kpa) {
        let says = format!(
            "the rated feed of {of} is {} kPa, and its feeds go from {} to {} kPa",
            s.rated_feed_kpa, first.feed_kpa, last.feed_kpa
        );
        found.add(subject, says, "add a line for the rated feed, with both shares 1");
    }
}
