//! What is wrong with circuits and what feeds them.

use super::{Found, Subject};
use crate::{
    Arrangement, Circuit, CurveFlow, Layout, Line, Manifold, Project, SourceKind, SourceModel, Supply,
    Thresholds, ranges,
};
use std::collections::HashMap;
use units::{Quantity as Q, Worded};

/// More ports than this are questioned: no manifold has as many.
const MOST_PORTS: u32 = 256;
/// More fittings of one kind in one hose than this are questioned.
const MOST_FITTINGS: u32 = 100;
/// More cells than this in one cup are questioned.
const MOST_CELLS: u32 = 10_000;
/// More sources side by side than this are questioned.
const MOST_SOURCES: u32 = 100;
/// A hose does not wind tighter than this times its bore.
const TIGHTEST_COIL: f64 = 2.0;

pub(super) fn circuit(p: &Project, c: &Circuit, found: &mut Found) {
    let subject = Subject::Circuit(c.id);
    let in_range = found.in_range(&subject, |out| ranges::circuit(c, out));
    if let Some(t) = c.thresholds.as_ref().filter(|_| in_range) {
        thresholds(t, &subject, &c.name, found);
    }
    let Some(s) = &c.supply else { return };
    match p.source(&s.source) {
        None => {
            let says = format!("{} is fed by source {}, which is not in the project", c.name, s.source);
            found.add(&subject, says, "choose a source from the library");
        }
        Some(source) if in_range => feed(s, source, &subject, &c.name, found),
        Some(_) => {}
    }
    supply(s, in_range, &subject, &c.name, found);
}

fn thresholds(t: &Thresholds, subject: &Subject, of: &str, found: &mut Found) {
    if t.saving_off_kpa < t.held_kpa {
        let [off, held] = [t.saving_off_kpa, t.held_kpa].map(|kpa| (kpa, Q::VacuumLevel).into());
        let says = "air saving of {} stops the source at {}, before the part is held at {}";
        found.figures(subject, says, [of.into(), off, held], "enter a deeper level for air saving");
    }
    if let Some(alarm) = t.alarm_kpa.filter(|alarm| *alarm > t.held_kpa) {
        let [alarm, held] = [alarm, t.held_kpa].map(|kpa| (kpa, Q::VacuumLevel).into());
        let says = "the alarm of {} trips below {}, but the part counts as held from {}";
        let remedy = "enter an alarm level that is not deeper than the part-held level";
        found.figures(subject, says, [of.into(), alarm, held], remedy);
    }
}

fn feed(s: &Supply, source: &SourceModel, subject: &Subject, of: &str, found: &mut Found) {
    let feed = s.feed_kpa.value;
    if source.kind != SourceKind::Ejector {
        return;
    }
    let (Some(first), Some(last)) = (source.feed.first(), source.feed.last()) else { return };
    let (from, to) = (first.feed_kpa, last.feed_kpa);
    // What is wrong with the feeds themselves is told of the source.
    if from.is_finite() && to.is_finite() && !(from..=to).contains(&feed) {
        let [feed, from, to] = [feed, from, to].map(|kpa| (kpa, Q::FeedPressure).into());
        let says = "the feed of {} is {}, and {} is described from {} to {}";
        let remedy = "set a feed pressure within that range, or choose a source for this one";
        found.figures(subject, says, [of.into(), feed, (&source.name).into(), from, to], remedy);
    }
}

fn supply(s: &Supply, in_range: bool, subject: &Subject, of: &str, found: &mut Found) {
    if in_range && s.at.z < 0.0 {
        let parts = [of.into(), (-s.at.z, Q::Length).into()];
        let remedy = "enter its height above the plane of the lips";
        found.figures(subject, "the source of {} is {} below the lips", parts, remedy);
    }
    if !(1..=MOST_SOURCES).contains(&s.sources) {
        let says = format!("{of} has {} sources side by side", s.sources);
        found.add(subject, says, format!("enter how many there are, 1 to {MOST_SOURCES}"));
    }
    if let Some(closing) = s.cell_closing.as_ref().filter(|_| in_range) {
        let (at, leak) = (closing.at_nl_min.value, closing.leak_nl_min.value);
        if leak >= at {
            let [leak, at] = [leak, at].map(|flow| (flow, Q::Flow).into());
            let says = "a closed cell of {} leaks {} and closes at {}";
            found.figures(
                subject,
                says,
                [of.into(), leak, at],
                "enter a leak below the flow that closes a cell",
            );
        }
    }
    if s.arrangement == Arrangement::Central {
        line(&s.main, in_range, subject, &format!("the main hose of {of}"), found);
        if let Some(m) = &s.manifold {
            manifold(m, subject, &format!("the manifold of {of}"), found);
        }
    }
    if s.arrangement != Arrangement::PerCup {
        line(&s.branch, in_range, subject, &format!("the branch of {of}"), found);
        for own in &s.branches {
            line(
                &own.line,
                in_range,
                subject,
                &format!("the individual branch of cup {} of {of}", own.cup),
                found,
            );
        }
    }
    for valve in &s.valves {
        if valve.zone.trim().is_empty() {
            let says = format!("a valve of {of} switches no zone");
            found.add(subject, says, "choose the zone that it switches");
        }
        if let Some(m) = &valve.manifold {
            manifold(m, subject, &format!("the manifold for zone {} of {of}", valve.zone), found);
        }
    }
    if let Some(cells) = &s.area_gripper {
        if cells.count == 0 {
            found.add(subject, format!("{of} has an area gripper without cells"), "enter how many a cup has");
        } else if cells.count > MOST_CELLS {
            let says = format!("an area gripper of {of} has {} cells in one cup", cells.count);
            found.add(subject, says, format!("enter how many a cup has, up to {MOST_CELLS}"));
        }
    }
}

fn line(l: &Line, in_range: bool, subject: &Subject, of: &str, found: &mut Found) {
    if let Some(used) = l.fittings.iter().find(|f| f.count > MOST_FITTINGS) {
        let says = format!("{of} has {} times a {}", used.count, used.kind.label());
        found.add(subject, says, format!("enter how many there are in one hose, up to {MOST_FITTINGS}"));
    }
    if let Some(coil) = l.coil.as_ref().filter(|_| in_range) {
        let least = TIGHTEST_COIL * l.bore_mm;
        if coil.diameter_mm < least {
            let [wide, bore, least] = [coil.diameter_mm, l.bore_mm, least].map(|mm| (mm, Q::Length).into());
            let remedy = Worded::new("enter the coil's diameter, at least {}, or remove it", [least]);
            found.figures(
                subject,
                "the coil of {} is {} wide and its bore {}",
                [of.into(), wide, bore],
                remedy,
            );
        }
    }
}

fn manifold(m: &Manifold, subject: &Subject, of: &str, found: &mut Found) {
    if !(1..=MOST_PORTS).contains(&m.ports) {
        let says = format!("{of} has {} ports", m.ports);
        found.add(subject, says, format!("enter how many branches it has, 1 to {MOST_PORTS}"));
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
                    "{n} cups of {} are on the manifold {of}of {}, which has {} ports",
                    l.name, c.name, m.ports
                );
                let remedy = "give the manifold more ports, or move some cups to a circuit or zone with \
                    another manifold";
                found.add(&Subject::Layout(l.id), says, remedy);
            }
        }
    }
}

pub(super) fn source(s: &SourceModel, found: &mut Found) {
    let subject = Subject::Source(s.id.clone());
    let of = format!("source {}", s.name);
    let in_range = found.in_range(&subject, |out| ranges::source(s, out));
    curve(s, in_range, &subject, &of, found);
    if s.kind == SourceKind::Ejector {
        feeds(s, in_range, &subject, &of, found);
    } else {
        if s.power_w == 0.0 {
            found.add(&subject, format!("the power of {of} is 0 W"), "enter the power it uses while it runs");
        }
        if !s.feed.is_empty() {
            let says = format!("{of} is a {} and has a table of feed pressures", s.kind.label());
            found.add(&subject, says, "make it an ejector, or remove the table");
        }
    }
}

fn curve(s: &SourceModel, in_range: bool, subject: &Subject, of: &str, found: &mut Found) {
    let (Some(first), Some(last)) = (s.curve.first(), s.curve.last()) else {
        found.add(subject, format!("{of} has no curve"), "enter flow against level, from level 0 to flow 0");
        return;
    };
    if !in_range {
        return;
    }
    let drawn = match s.curve_flow {
        CurveFlow::Anr => Q::Flow,
        CurveFlow::Inlet => Q::InletFlow,
    };
    if first.level_kpa != 0.0 {
        let parts = [of.into(), (first.level_kpa, Q::VacuumLevel).into()];
        found.figures(subject, "the curve of {} begins at {}", parts, "add its flow at level 0");
    }
    if first.flow_nl_min == 0.0 {
        found.add(subject, format!("{of} draws nothing at level 0"), "enter its free flow");
    }
    if last.flow_nl_min != 0.0 {
        let parts = [of.into(), (last.flow_nl_min, drawn).into(), (last.level_kpa, Q::VacuumLevel).into()];
        let remedy = "add the level at which it draws nothing";
        found.figures(subject, "the curve of {} ends with {} at {}", parts, remedy);
    }
    for (pair, number) in s.curve.windows(2).zip(2..) {
        let [before, after] = [pair[0], pair[1]];
        if after.level_kpa <= before.level_kpa {
            let [after, before] = [after, before].map(|point| (point.level_kpa, Q::VacuumLevel).into());
            let says = "point {} of the curve of {} is at {}, after {}";
            let parts = [number.to_string().into(), of.into(), after, before];
            found.figures(subject, says, parts, "sort its points by level and keep one for each level");
        } else if after.flow_nl_min > before.flow_nl_min {
            let [from, to] = [before, after].map(|point| (point.flow_nl_min, drawn).into());
            let parts = [of.into(), from, to, (after.level_kpa, Q::VacuumLevel).into()];
            let remedy = "check the point: a source draws less the deeper the level";
            found.figures(subject, "the curve of {} rises from {} to {} at {}", parts, remedy);
        }
    }
}

fn feeds(s: &SourceModel, in_range: bool, subject: &Subject, of: &str, found: &mut Found) {
    let (Some(first), Some(last)) = (s.feed.first(), s.feed.last()) else {
        let says = format!("{of} is an ejector and has no feed pressure");
        found.add(subject, says, "enter the air that it uses at its rated feed, with both shares 1");
        return;
    };
    if !in_range {
        return;
    }
    if let Some(pair) = s.feed.windows(2).find(|pair| pair[1].feed_kpa <= pair[0].feed_kpa) {
        let [after, before] = [&pair[1], &pair[0]].map(|feed| (feed.feed_kpa, Q::FeedPressure).into());
        let remedy = "sort them by pressure and keep one for each";
        found.figures(subject, "{} comes after {} in the feeds of {}", [after, before, of.into()], remedy);
    } else if !(first.feed_kpa..=last.feed_kpa).contains(&s.rated_feed_kpa) {
        let [rated, from, to] =
            [s.rated_feed_kpa, first.feed_kpa, last.feed_kpa].map(|kpa| (kpa, Q::FeedPressure).into());
        let says = "the rated feed of {} is {}, and its feeds go from {} to {}";
        let remedy = "add a line for the rated feed, with both shares 1";
        found.figures(subject, says, [of.into(), rated, from, to], remedy);
    }
}
