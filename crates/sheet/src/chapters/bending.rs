//! A part that bends: how it sags, what its cups get, how it rings. Nothing of a part that is taken as rigid.

use super::{append, body, note, note_after, nothing, printed};
use crate::block::{Block, Section, SectionId, long_paragraph, paragraph};
use crate::context::Context;
use crate::page::{Anchor, Contour, Item, Pen, Role, Step, Tag, Tone, Weight};
use crate::style::{Style, text};
use crate::tables::{Cell, figures, flexible, table, words};
use crate::text_width::text_width;
use analysis::{
    Age, BendingReport, BentMotion, MotionReport, Rings, SagIs, SagMap, Slow, StrokeFigures, round_step,
};
use glam::{DVec2, dvec2};
use units::Quantity;

/// About so many contour lines.
const LINES: f64 = 6.0;
/// Height of the map over the column's width, at most.
const TALL: f64 = 0.62;
/// A figure of a contour line keeps so far off others, over its size.
const APART: f64 = 2.2;

pub(super) fn sections(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    match &context.report.bending {
        None => Vec::new(),
        Some(Err(reason)) => {
            let says = analysis::words::sentence(&format!("bending is not checked: {reason}"));
            let rows = long_paragraph(&says, body(style), width);
            vec![Section {
                id: SectionId::Other("bending"),
                heading: "As the part bends".to_owned(),
                head: Vec::new(),
                rows,
            }]
        }
        Some(Ok(bending)) => printed(vec![
            map(context, bending, width, style),
            motions(context, bending, width, style),
            reactions(context, bending, width, style),
            ringing(context, width, style),
        ]),
    }
}

/// The motion that the map and the reactions are of: the one that governs, else the one that sags most.
fn shown<'a>(context: &'a Context, bending: &'a BendingReport) -> Option<(&'a MotionReport, &'a BentMotion)> {
    let governing = context.report.governing().and_then(|(motion, _)| bending.of_motion(motion.id));
    let bent = governing.or(bending.deepest())?;
    let motion = context.report.motions.iter().find(|motion| motion.id == bent.id)?;
    Some((motion, bent))
}

/// The sag as contour lines with their figures over the outline.
fn map(context: &Context, bending: &BendingReport, width: f64, style: &Style) -> Section {
    let Some((motion, bent)) = shown(context, bending) else { return nothing(SectionId::Other("sag map")) };
    let says = analysis::words::bending(bending, context.datum(), context.units);
    let mut rows = vec![paragraph(&says, body(style), 0.0, width)];
    if !bending.off.is_empty() {
        let tags: Vec<&str> = bending.off.iter().map(|cup| context.tag(*cup)).collect();
        let says = format!("Without {}: no whole lip lies on the part there.", tags.join(", "));
        rows.push(paragraph(&says, note(style), 0.0, width));
    }
    if context.report.ages.of(Slow::Bending) == Age::Older {
        rows.push(paragraph(
            "From an earlier plan; not recalculated yet when this sheet was made.",
            note(style),
            0.0,
            width,
        ));
    }
    if let Some(drawing) = drawing(context, &bending.map, bent, width, style) {
        rows.push(drawing);
        let step = format!(
            "Sag beyond the plane of the lips at {}, {}; away from the cups is positive. Rings are lips, the cross is where it \
             sags most.",
            motion.name,
            context.length_unit(),
        );
        append(&mut rows, note_after(&step, width, style));
    }
    Section {
        id: SectionId::Other("sag map"),
        heading: "As the part bends".to_owned(),
        head: Vec::new(),
        rows,
    }
}

fn drawing(context: &Context, map: &SagMap, bent: &BentMotion, width: f64, style: &Style) -> Option<Block> {
    let low = map.points.iter().copied().reduce(DVec2::min)?;
    let high = map.points.iter().copied().reduce(DVec2::max)?;
    let size = high - low;
    let scale = (width / size.x).min(TALL * width / size.y);
    if !(scale.is_finite() && scale > 0.0) {
        return None;
    }
    let height = size.y * scale + style.small;
    let at = |place: DVec2| dvec2((place.x - low.x) * scale, (place.y - high.y) * scale - 0.5 * style.small);
    let mut items = Vec::new();
    let part = context.part()?;
    let view_of = |boundary: &geometry::Loop| {
        let points: Vec<DVec2> = boundary.flatten(0.05 / scale).into_iter().map(at).collect();
        Item::Polyline { points, closed: true, pen: Pen::solid(0.35, Tone::Ink) }
    };
    items.extend(std::iter::once(&part.outline.outer).chain(&part.outline.holes).map(view_of));
    for cup in &context.report.cups {
        let radius = 0.5 * cup.shape.size().max_element() * scale;
        let pen = Some(Pen::solid(0.18, Tone::Second));
        items.push(Item::Circle { centre: at(cup.at), radius, pen, fill: None });
    }
    let unit = units::unit_of(Quantity::Length, context.units).0;
    let most = bent.over_lips.iter().map(|w| w.abs()).fold(bent.sag_mm.abs(), f64::max);
    let step = round_step(most / unit, LINES) * unit;
    if step > 0.0 {
        let mut figures: Vec<DVec2> = Vec::new();
        let (least, largest) =
            bent.over_lips.iter().fold((0.0_f64, 0.0_f64), |(l, h), w| (l.min(*w), h.max(*w)));
        for k in (least / step).ceil() as i64..=(largest / step).floor() as i64 {
            let level = k as f64 * step;
            let pieces = map.contour(&bent.over_lips, level);
            let pen = Pen::solid(if k == 0 { 0.3 } else { 0.15 }, Tone::Second);
            let steps = |[a, b]: &[DVec2; 2]| Contour {
                from: at(*a),
                steps: vec![Step::Line(at(*b))],
                closed: false,
            };
            items.push(Item::Path {
                contours: pieces.iter().map(steps).collect(),
                pen: Some(pen),
                fill: None,
            });
            items.extend(figure(context, &pieces, level, &at, &mut figures, style));
        }
    }
    let deepest = at(bent.sag_at);
    for arm in [dvec2(1.2, 0.0), dvec2(0.0, 1.2)] {
        items.push(Item::Line { from: deepest - arm, to: deepest + arm, pen: Pen::solid(0.35, Tone::Ink) });
    }
    let says = format!(
        "Sag map of {} with contour lines; a cross marks the deepest point, {} down.",
        part.name.trim(),
        context.figure(bent.sag_mm.abs(), Quantity::Length)
    );
    Some(Block { height, items: vec![Tag::new(Role::Figure, says).over(items)] })
}

/// The figure of a contour line on a patch of paper, where it stands clear of the others.
fn figure(
    context: &Context,
    pieces: &[[DVec2; 2]],
    level: f64,
    at: &dyn Fn(DVec2) -> DVec2,
    taken: &mut Vec<DVec2>,
    style: &Style,
) -> Vec<Item> {
    let says = context.number(level, Quantity::Length);
    let wide = text_width(&says, Weight::Regular, style.small);
    let clear = APART * style.small + wide;
    let spots =
        (0..7).filter_map(|k| pieces.get((2 * k + 1) * pieces.len() / 14)).map(|[a, b]| at((*a + *b) / 2.0));
    let Some(spot) = spots.into_iter().find(|spot| taken.iter().all(|other| other.distance(*spot) > clear))
    else {
        return Vec::new();
    };
    taken.push(spot);
    let half = dvec2(0.5 * wide + 0.3, 0.45 * style.small);
    let patch = Contour::rectangle(spot - half, spot + half);
    vec![
        Item::Path { contours: vec![patch], pen: None, fill: Some(Tone::Paper) },
        text(
            spot - dvec2(0.0, 0.33 * style.small),
            &says,
            style.small,
            Weight::Regular,
            Tone::Ink,
            Anchor::Middle,
        ),
    ]
}

fn worth(sag_is: SagIs) -> &'static str {
    match sag_is {
        SagIs::Small => "",
        SagIs::Less => ", actually less",
        SagIs::VeryLarge => ", very large",
    }
}

fn motions(context: &Context, bending: &BendingReport, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("motion"),
        figures("required"),
        figures("as it bends"),
        figures("with assumed inputs"),
        figures("rigid"),
        words("first"),
        figures("sag"),
        figures(format!("stress {}", units::unit_of(Quantity::Stress, context.units).1)),
        figures("one cup lost"),
    ];
    let reserve = context.report.bent_reserve.as_ref().and_then(|held| held.as_ref().ok());
    let rows: Vec<Vec<Cell>> = bending
        .motions
        .iter()
        .filter_map(|bent| {
            let motion = context.report.motions.iter().find(|motion| motion.id == bent.id)?;
            let required = motion.required_factor;
            let rigid = motion.outcome.as_ref().ok()?.factor;
            let behind = reserve.and_then(|reserve| reserve.of_motion(bent.id));
            let mut factor = Cell::bold(context.factor(bent.factor.value, required));
            if bent.factor.value < required {
                factor.tone = Tone::Fail;
            }
            let range = behind.and_then(|behind| behind.range).map_or_else(
                || Cell::plain("as factor"),
                |[least, most]| {
                    let says = format!("{} to {}", context.factor(least, required), context.ratio(most));
                    let tone = if least < required { Tone::Watch } else { Tone::Ink };
                    Cell { tone, ..Cell::plain(says) }
                },
            );
            let lost =
                behind.map_or_else(|| Cell::second("–"), |behind| lost(context, &behind.lost, required));
            Some(vec![
                Cell::plain(&motion.name),
                Cell::plain(context.ratio(required)),
                factor,
                range,
                Cell::plain(context.factor(rigid, required)),
                Cell::plain(format!(
                    "{} {}",
                    context.tag(bent.governing_cup),
                    super::limit_words(bent.factor.limit)
                )),
                Cell::plain(format!(
                    "{}{}",
                    context.figure(bent.sag_mm.abs(), Quantity::Length),
                    worth(bent.sag_is)
                )),
                behind.map_or_else(
                    || Cell::second("–"),
                    |behind| Cell::plain(context.number(behind.stress_n_mm2, Quantity::Stress)),
                ),
                lost,
            ])
        })
        .collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if rows.is_empty() {
        return nothing(SectionId::Other("bending motions"));
    }
    let stated = context.part().and_then(|part| part.allowable_n_mm2.as_ref());
    let allowed = stated.map_or_else(
        || "No allowable stress is stated; for glass, the applicable standard decides.".to_owned(),
        |held| format!("{} is allowed.", context.figure(held.value, Quantity::Stress)),
    );
    let says = format!(
        "The factor as it bends counts unless the part is effectively rigid. {allowed} Small deflections are \
        assumed: a sheet that sags by more than half its thickness stiffens, sags less, and its stress is \
        not covered."
    );
    append(&mut rows, note_after(&says, width, style));
    Section { id: SectionId::Other("bending motions"), heading: String::new(), head, rows }
}

/// The loss that leaves least.
fn lost(context: &Context, lost: &[analysis::BentLost], required: f64) -> Cell {
    let left = |lost: &analysis::BentLost| lost.factor.unwrap_or(-1.0);
    let worst = lost.iter().min_by(|a, b| a.holds.cmp(&b.holds).then(left(a).total_cmp(&left(b))));
    worst.map_or_else(
        || Cell::second("–"),
        |worst| {
            let factor = worst.factor.map_or_else(|| "none".to_owned(), |f| context.factor(f, required));
            let says =
                format!("{} {factor}{}", context.tag(worst.cup), if worst.holds { "" } else { ", drops" });
            Cell { tone: if worst.holds { Tone::Ink } else { Tone::Fail }, ..Cell::plain(says) }
        },
    )
}

fn reactions(context: &Context, bending: &BendingReport, width: f64, style: &Style) -> Section {
    let Some((motion, bent)) = shown(context, bending) else { return nothing(SectionId::Other("reactions")) };
    let force = units::unit_of(Quantity::Force, context.units).1;
    let columns = [
        words("tag"),
        figures(format!("pull {force}")),
        figures(format!("rigid {force}")),
        figures(format!("tilt {}", units::unit_of(Quantity::Moment, context.units).1)),
        figures(format!("gap {}", context.length_unit())),
        figures(format!("slope {}", units::unit_of(Quantity::Slope, context.units).1)),
        figures(format!("factor, of {}", context.ratio(motion.required_factor))),
    ];
    let rows: Vec<Vec<Cell>> = bent
        .cups
        .iter()
        .map(|cup| {
            let mark = if cup.id == bent.governing_cup { " *" } else { "" };
            vec![
                Cell::bold(context.tag(cup.id)),
                Cell::plain(context.number(cup.load.pull, Quantity::Force)),
                Cell::plain(context.number(cup.rigid_pull_n, Quantity::Force)),
                Cell::plain(context.number(cup.load.tilt.length(), Quantity::Moment)),
                Cell::plain(context.number(cup.gap_mm, Quantity::Length)),
                Cell::plain(context.number(1e3 * cup.slope.length(), Quantity::Slope)),
                Cell::plain(format!("{}{mark}", context.factor(cup.factor.value, motion.required_factor))),
            ]
        })
        .collect();
    let (head, rows) = table(&columns, &rows, width, &super::tight(style));
    Section {
        id: SectionId::Other("reactions"),
        heading: format!("Reactions at {}, as it bends", motion.name),
        head,
        rows,
    }
}

fn ringing(context: &Context, width: f64, style: &Style) -> Section {
    let ring = match &context.report.ringing {
        None => return nothing(SectionId::Other("ringing")),
        Some(Err(reason)) => {
            let says = format!("Ringing is not checked: {reason}.");
            let rows = long_paragraph(&says, body(style), width);
            return Section {
                id: SectionId::Other("ringing"),
                heading: "How it rings".to_owned(),
                head: Vec::new(),
                rows,
            };
        }
        Some(Ok(ring)) => ring,
    };
    let hz: Vec<String> = ring.modes.iter().map(|mode| context.fixed(mode.hz, 1)).collect();
    let says = format!(
        "On its cups the part rings at {} Hz, with a damping ratio of {}; at rest means within ±{}.",
        hz.join(context.units.between()),
        context.fixed(ring.damping, 3),
        context.figure(ring.limit_mm, Quantity::Length)
    );
    let columns = [
        flexible("stroke"),
        words("profile"),
        figures("time"),
        figures("swings by"),
        figures("left at its end"),
        figures("at rest after it"),
    ];
    let mut strokes: Vec<Vec<Cell>> = Vec::new();
    let mut remarks: Vec<String> = vec![says];
    for own in &ring.motions {
        let name = context
            .report
            .motions
            .iter()
            .find(|motion| motion.id == own.id)
            .map_or("", |motion| &motion.name);
        match &own.rings {
            Rings::InPlane => {}
            Rings::Sudden(sudden) => remarks.push(format!(
                "{name}, if its acceleration is sudden: {} pulls {} while the part rings, {} when held \
                steadily; dynamic factor {}.",
                context.tag(sudden.cup),
                context.figure(sudden.pull_n, Quantity::Force),
                context.figure(sudden.even_pull_n, Quantity::Force),
                context.ratio(sudden.times)
            )),
            Rings::Stroke(stroke) => {
                strokes.push(stroke_row(context, name, &stroke.stated, true));
                strokes.extend(
                    stroke.others.iter().take(2).map(|other| stroke_row(context, "or", other, false)),
                );
            }
        }
    }
    let (head, mut rows) = table(&columns, &strokes, width, style);
    let head = if rows.is_empty() { Vec::new() } else { head };
    if !rows.is_empty() {
        rows.push(Block::space(0.6 * style.small));
    }
    for says in remarks {
        rows.push(paragraph(&says, note(style), 0.0, width));
    }
    Section { id: SectionId::Other("ringing"), heading: "How it rings".to_owned(), head, rows }
}

fn stroke_row(context: &Context, name: &str, stroke: &StrokeFigures, stated: bool) -> Vec<Cell> {
    let cell = |says: String| if stated { Cell::plain(says) } else { Cell::second(says) };
    let wait = stroke.wait_s.map_or_else(|| "never".to_owned(), |wait| context.figure(wait, Quantity::Time));
    vec![
        cell(name.to_owned()),
        cell(stroke.profile.label().to_owned()),
        cell(context.figure(stroke.time_s, Quantity::Time)),
        cell(context.figure(stroke.most_mm.abs(), Quantity::Length)),
        cell(context.figure(stroke.left_mm, Quantity::Length)),
        cell(wait),
    ]
}
