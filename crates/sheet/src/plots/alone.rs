//! One plot as a page of its own, for whoever wants it in a report or a mail.

use super::{curves_of, polar};
use crate::Paper;
use crate::block::{Section, stacked};
use crate::chapters::circuit::curves;
use crate::chapters::limit_words;
use crate::context::Context;
use crate::page::{Anchor, Contour, Item, Page, Pen, Tone, Weight};
use crate::style::{MEDIUM, Style, THIN, left, text};
use crate::text_width::{cut_to, printable, text_width};
use analysis::{EnvelopeReport, MotionReport, Report};
use document::{CircuitId, MotionId, Project};
use glam::dvec2;
use units::{Quantity, UnitChoice};

/// A plot that can be had as a picture of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plot {
    /// Largest acceleration in every direction of the plane.
    Envelope,
    /// What each cup gets in a motion, and its factor.
    Loads(MotionId),
    /// What the source of a circuit draws at each level, against what leaks in.
    Source(CircuitId),
    /// How the level comes at each cup of a circuit.
    Evacuation(CircuitId),
}

/// Room around a plot of its own, mm.
const EDGE: f64 = 6.0;
/// Width of curves over two axes, mm.
const CURVE_WIDTH: f64 = 150.0;

/// One plot as a page of its own, for [`crate::to_svg`], [`crate::to_png`] and [`crate::to_pdf`]; `None` when the report
/// has no such figures.
pub fn export_plot(project: &Project, report: &Report, plot: Plot, units: &UnitChoice) -> Option<Page> {
    let context = Context::of_plot(project, report, units);
    let style = Style::new(Paper::A3, false);
    match plot {
        Plot::Envelope => envelope_page(&context, &style),
        Plot::Loads(id) => {
            loads_page(&context, report.motions.iter().find(|motion| motion.id == id)?, &style)
        }
        Plot::Source(id) | Plot::Evacuation(id) => {
            let circuit = report.circuits.iter().find(|circuit| circuit.id == id)?;
            let draw = if matches!(plot, Plot::Source(_)) { curves::source } else { curves::evacuation };
            section_page(draw(&context, circuit, CURVE_WIDTH, &style), &style)
        }
    }
}

/// A section of the sheet on a page as large as it is.
fn section_page(section: Section, style: &Style) -> Option<Page> {
    if section.rows.is_empty() {
        return None;
    }
    let name = printable(&section.heading);
    let blocks = [section.heading_block(false, style), stacked(section.head), stacked(section.rows)];
    let whole = stacked(blocks);
    let size_mm = [CURVE_WIDTH + 2.0 * EDGE, whole.height + 2.0 * EDGE];
    let items = whole.at(dvec2(EDGE, size_mm[1] - EDGE)).collect();
    Some(Page { name, size_mm, items })
}

/// Envelopes of several layouts over each other as a page of its own; `None` when none has figures. `report` is that of
/// any layout of the comparison.
pub fn export_envelopes(
    project: &Project,
    comparison: &telling::Comparison,
    report: &Report,
    units: &UnitChoice,
) -> Option<Page> {
    let curves = curves_of(comparison);
    if curves.is_empty() {
        return None;
    }
    let context = Context::of_plot(project, report, units);
    let style = Style::new(Paper::A3, false);
    let names: Vec<&str> = curves.iter().map(|(name, _)| *name).collect();
    let title = format!("Envelope: {}", names.join(", "));
    Some(alone(&context, &title, curves[0].1, polar(&context, &curves, 120.0, &style), &style))
}

fn envelope_page(context: &Context, style: &Style) -> Option<Page> {
    let envelope = context.report.envelope.as_ref()?;
    let title = format!("Envelope, layout {}", context.report.layout_name.trim());
    Some(alone(context, &title, envelope, polar(context, &[("", envelope)], 120.0, style), style))
}

fn alone(context: &Context, title: &str, envelope: &EnvelopeReport, plot: Vec<Item>, style: &Style) -> Page {
    let (width, height) = (120.0 + 2.0 * EDGE, 132.0 + 2.0 * EDGE);
    let title = cut_to(&printable(title), Weight::SemiBold, style.heading, width - 2.0 * EDGE);
    let says = format!(
        "Largest acceleration, part held {}, factor {} kept",
        envelope.held.says(context.units),
        context.ratio(envelope.required_factor)
    );
    let top = height - EDGE;
    let mut items = vec![
        left(dvec2(EDGE, top - style.heading), &title, style.heading, Weight::SemiBold, Tone::Ink),
        left(
            dvec2(EDGE, top - style.heading - style.leading),
            &says,
            style.small,
            Weight::Regular,
            Tone::Second,
        ),
    ];
    items.extend(plot.iter().map(|item| item.shifted(dvec2(EDGE, EDGE + 120.0))));
    Page { name: title, size_mm: [width, height], items }
}

/// Bars of pull and slide for every cup, its factor beside them.
fn loads_page(context: &Context, motion: &MotionReport, style: &Style) -> Option<Page> {
    let outcome = motion.outcome.as_ref().ok()?;
    const ROW: f64 = 7.0;
    const BARS: f64 = 100.0;
    let tags: Vec<String> = outcome.cups.iter().map(|cup| printable(context.tag(cup.id))).collect();
    let widest =
        tags.iter().map(|tag| text_width(tag, Weight::SemiBold, style.body)).fold(0.0, f64::max).min(40.0);
    let force = |of: f64| of.abs();
    let most = outcome
        .cups
        .iter()
        .map(|cup| force(cup.load.pull).max(cup.load.slide.length()))
        .fold(f64::MIN_POSITIVE, f64::max);
    let zero = EDGE + widest + 4.0;
    let figure = 24.0;
    let size_mm = [zero + BARS + 2.0 * figure + EDGE, outcome.cups.len() as f64 * ROW + 26.0 + EDGE];
    let mut y = size_mm[1] - EDGE - style.heading;
    let title = format!("{}: load of each cup", motion.name);
    let title = cut_to(&printable(&title), Weight::SemiBold, style.heading, size_mm[0] - 2.0 * EDGE);
    let mut items = vec![left(dvec2(EDGE, y), &title, style.heading, Weight::SemiBold, Tone::Ink)];
    y -= style.leading * 1.2;
    let says = format!(
        "Pull filled, slide open; factor at the right, {} required",
        context.ratio(motion.required_factor)
    );
    items.push(left(dvec2(EDGE, y), &says, style.small, Weight::Regular, Tone::Second));
    y -= 3.0;
    let foot = y - outcome.cups.len() as f64 * ROW;
    items.push(Item::Line {
        from: dvec2(zero, y),
        to: dvec2(zero, foot),
        pen: Pen::solid(THIN, Tone::Second),
    });
    for (cup, tag) in outcome.cups.iter().zip(&tags) {
        let tag = cut_to(tag, Weight::SemiBold, style.body, widest);
        items.push(left(dvec2(EDGE, y - ROW * 0.65), &tag, style.body, Weight::SemiBold, Tone::Ink));
        let mut bar = |value: f64, top: f64, fill: Option<Tone>| {
            let reach = force(value) / most * BARS;
            let (min, max) = (dvec2(zero, top - ROW * 0.34), dvec2(zero + reach, top));
            let pen = Some(Pen::solid(MEDIUM * 0.7, Tone::Ink));
            items.push(Item::Path { contours: vec![Contour::rectangle(min, max)], pen, fill });
            let says = context.figure(value, Quantity::Force);
            items.push(left(
                dvec2(max.x + 1.0, min.y + ROW * 0.06),
                &says,
                style.small,
                Weight::Regular,
                Tone::Second,
            ));
        };
        bar(cup.load.pull, y - ROW * 0.14, Some(Tone::Second));
        bar(cup.load.slide.length(), y - ROW * 0.54, None);
        let governs = outcome.governing_cup == cup.id;
        let weight = if governs { Weight::SemiBold } else { Weight::Regular };
        let word = if governs { format!(" {}", limit_words(outcome.governing_limit)) } else { String::new() };
        let says = format!("{}{word}", context.factor_of(cup.factor.value, motion.required_factor));
        let at = dvec2(size_mm[0] - EDGE, y - ROW * 0.65);
        let tone = if cup.factor.value < motion.required_factor { Tone::Fail } else { Tone::Ink };
        items.push(text(at, &says, style.body, weight, tone, Anchor::End));
        y -= ROW;
    }
    Some(Page { name: title, size_mm, items })
}
