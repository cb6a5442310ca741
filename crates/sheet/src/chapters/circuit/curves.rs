//! Curves of a circuit: what its source draws against what leaks in, and how the level comes at its cups.

use super::{heading, with_unit};
use crate::block::{Block, Section, SectionId, stacked};
use crate::chapters::{note_after, nothing};
use crate::context::Context;
use crate::page::{Dash, Pen, Role, Tag, Tone};
use crate::plots::chart::{Across, Axis, Chart, Curve, Mark, draw};
use crate::style::{MEDIUM, Style, THIN};
use analysis::{CircuitReport, CircuitSource, EvacuationCurve};
use glam::{DVec2, dvec2};
use units::Quantity;

/// Times closer than this share are not told apart.
const ALIKE: f64 = 0.03;

fn points(curve: &[(f64, f64)]) -> Vec<DVec2> {
    curve.iter().map(|(x, y)| dvec2(*x, *y)).collect()
}

/// The chart with a note under it as one section.
fn section(
    context: &Context,
    id: SectionId,
    heading: String,
    chart: &Chart,
    note: &str,
    width: f64,
    style: &Style,
) -> Section {
    let size = dvec2(width, (width * 0.5).min(style.body * 24.0));
    let Some(drawn) = draw(context, chart, size, style) else { return nothing(id) };
    let chart = Block {
        height: size.y,
        items: vec![Tag::new(Role::Figure, format!("Chart: {heading}. {note}")).over(vec![drawn])],
    };
    let rows = vec![stacked([Block::space(style.small * 0.4), chart, note_after(note, width, style)])];
    Section { id, heading, head: Vec::new(), rows }
}

/// What the source draws at each level, what leaks in, and where both are the same.
pub(crate) fn source(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let level_of = |source: &&CircuitSource| source.level_kpa;
    let drawn = circuit.sources.iter().filter(|source| source.curve.len() > 1);
    let Some(source) = drawn.min_by(|a, b| level_of(a).total_cmp(&level_of(b))) else {
        return nothing(SectionId::Other("source curve"));
    };
    let curve = points(&source.curve);
    let leak = points(&source.leak_curve);
    let with_leak = leak.len() > 1;
    let works = dvec2(source.level_kpa, source.flow_nl_min);
    let most = curve.iter().fold(works, |most, at| most.max(*at)).max(dvec2(circuit.wanted_kpa, 0.0));
    let mut curves = vec![Curve {
        name: "source draws".to_owned(),
        points: curve,
        pen: Pen::solid(MEDIUM * 1.4, Tone::Ink),
    }];
    if with_leak {
        let pen = Pen { width: MEDIUM * 1.3, dash: Dash::Dashed, tone: Tone::Ink };
        curves.push(Curve { name: "leakage".to_owned(), points: leak, pen });
    }
    let [level, flow] =
        [context.figure(works.x, Quantity::VacuumLevel), with_unit(context, works.y, Quantity::Flow)];
    let says = format!("runs at {level}, {flow}");
    let chart = Chart {
        x: Axis { name: "level at the source".to_owned(), quantity: Quantity::VacuumLevel, most: most.x },
        y: Axis { name: "air".to_owned(), quantity: Quantity::Flow, most: most.y },
        curves,
        marks: vec![Mark { at: works, says }],
        across: vec![Across { level: false, at: circuit.wanted_kpa, says: "required".to_owned() }],
    };
    let mut note = String::new();
    if circuit.sources.len() > 1 {
        note = format!(
            "Of {} sources the one with the lowest level: {}. ",
            circuit.sources.len(),
            source.name.trim()
        );
    }
    // Said here as well, since the words at the dot may find no room.
    note.push_str(&format!("It runs at {level} and draws {flow}, "));
    note.push_str(if with_leak {
        "equal to the leakage there, all cups on the part."
    } else {
        "all cups on the part; the leakage is not drawn, since other sources draw from the same cups."
    });
    section(
        context,
        SectionId::Other("source curve"),
        heading(circuit, "source against leak"),
        &chart,
        &note,
        width,
        style,
    )
}

/// How the level comes at each cup, with the times at the slowest and the levels that the controls wait for.
pub(crate) fn evacuation(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let Some(slow) = circuit.slow.as_ref() else { return nothing(SectionId::Other("evacuation")) };
    let time = |curve: &EvacuationCurve| curve.to_90_s.unwrap_or(f64::INFINITY);
    let curves = || slow.evacuation.iter().filter(|curve| curve.points.len() > 1);
    let Some(slowest) = curves().max_by(|a, b| time(a).total_cmp(&time(b))) else {
        return nothing(SectionId::Other("evacuation"));
    };
    let quickest = curves()
        .min_by(|a, b| time(a).total_cmp(&time(b)))
        .filter(|curve| curve.cup != slowest.cup && time(curve) < (1.0 - ALIKE) * time(slowest));
    let last = slowest.points.last().map_or(0.0, |(time, _)| *time);
    // Up to where the slowest has its level, and a little of what follows.
    let until = slowest.to_90_s.map_or(last, |time| (time * 1.35).min(last));
    let other = |curve: &EvacuationCurve| {
        curve.cup != slowest.cup && quickest.is_none_or(|quickest| quickest.cup != curve.cup)
    };
    let mut drawn: Vec<Curve> = curves()
        .filter(|curve| other(curve))
        .map(|curve| Curve {
            name: String::new(),
            points: points(&curve.points),
            pen: Pen::solid(THIN * 0.8, Tone::Second),
        })
        .collect();
    if let Some(quickest) = quickest {
        drawn.push(Curve {
            name: format!("{}, quickest", context.tag(quickest.cup)),
            points: points(&quickest.points),
            pen: Pen { width: MEDIUM, dash: Dash::Dashed, tone: Tone::Ink },
        });
    }
    let only = if drawn.is_empty() { "" } else { ", slowest" };
    drawn.push(Curve {
        name: format!("{}{only}", context.tag(slowest.cup)),
        points: points(&slowest.points),
        pen: Pen::solid(MEDIUM * 1.4, Tone::Ink),
    });
    let marks = [(60, slowest.to_60_s), (75, slowest.to_75_s), (90, slowest.to_90_s)]
        .into_iter()
        .filter_map(|(share, time)| {
            let time = time?;
            let level = level_at(&slowest.points, time)?;
            let says = format!("{share} %: {}", context.figure(time, Quantity::Time));
            Some(Mark { at: dvec2(time, level), says })
        })
        .collect();
    let across = thresholds(context, circuit);
    let highest = drawn.iter().flat_map(|curve| &curve.points).map(|at| at.y).fold(0.0, f64::max);
    let most = across.iter().map(|across| across.at).fold(highest, f64::max);
    let alike = quickest.is_none() && curves().count() > 1;
    let note = note(context, circuit, curves().count(), alike, slowest);
    let chart = Chart {
        x: Axis {
            name: "time from the start of the source".to_owned(),
            quantity: Quantity::Time,
            most: until,
        },
        y: Axis { name: "level at the cup".to_owned(), quantity: Quantity::VacuumLevel, most },
        curves: drawn,
        marks,
        across,
    };
    section(
        context,
        SectionId::Other("evacuation"),
        heading(circuit, "evacuation"),
        &chart,
        &note,
        width,
        style,
    )
}

fn note(
    context: &Context,
    circuit: &CircuitReport,
    curves: usize,
    alike: bool,
    slowest: &EvacuationCurve,
) -> String {
    let mut note = "Dots: shares of its steady level.".to_owned();
    if alike && slowest.to_90_s.is_some() {
        note.push_str(" Thin: the other cups, which are hardly faster.");
    } else if curves > 2 {
        note.push_str(" Thin: the other cups.");
    }
    if slowest.to_90_s.is_none() {
        note.push_str(&format!(
            " {} does not reach 90 % of its level in the time calculated.",
            context.tag(slowest.cup)
        ));
    }
    if !thresholds(context, circuit).is_empty() {
        note.push_str(" Dashed: the levels the controls wait for, measured at the source.");
    }
    note
}

/// Levels that the controls wait for: as stated, else as worked out.
fn thresholds(context: &Context, circuit: &CircuitReport) -> Vec<Across> {
    let stated = context.project.circuit(circuit.id).and_then(|of| of.thresholds);
    let made = circuit.slow.as_ref().and_then(|slow| slow.controls);
    let held = stated.map(|set| set.held_kpa).or(made.map(|set| set.held_kpa));
    let saving = stated.map(|set| set.saving_off_kpa).or(made.map(|set| set.saving_off_kpa));
    let across = |what: &str, kpa: Option<f64>| {
        let kpa = kpa.filter(|kpa| kpa.is_finite() && *kpa > 0.0)?;
        let says = format!("{what} {}", context.figure(kpa, Quantity::VacuumLevel));
        Some(Across { level: true, at: kpa, says })
    };
    [across("part held", held), across("air saving", saving)].into_iter().flatten().collect()
}

fn level_at(points: &[(f64, f64)], time: f64) -> Option<f64> {
    let after = points.iter().position(|(at, _)| *at >= time)?;
    let (until, level) = points[after];
    let Some((from, before)) = after.checked_sub(1).map(|index| points[index]) else { return Some(level) };
    Some(if until > from { before + (level - before) * (time - from) / (until - from) } else { level })
}
