//! Curves over two axes that begin at nought.

use super::{ring_step, trimmed};
use crate::context::Context;
use crate::frame::Rect;
use crate::labels::{AROUND, Label, Labels};
use crate::page::{Anchor, Contour, Dash, Item, Pen, Tone, Weight};
use crate::style::{FINE, MEDIUM, Style, THIN, left, text};
use crate::text_width::{CAP_HEIGHT, cut_to, printable, text_width};
use glam::{DVec2, dvec2};
use units::{Quantity, unit_of};

/// Points of a curve closer than this on the paper are one, mm.
const LEAST_APART: f64 = 0.12;

/// A quantity along one side.
#[derive(Debug, Clone)]
pub(crate) struct Axis {
    pub name: String,
    pub quantity: Quantity,
    /// The largest value that must be on it, in the base unit.
    pub most: f64,
}

/// A line through points, in the base units of the axes.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    /// Empty for one that needs no name.
    pub name: String,
    pub points: Vec<DVec2>,
    pub pen: Pen,
}

/// A dot with a word.
#[derive(Debug, Clone)]
pub(crate) struct Mark {
    pub at: DVec2,
    pub says: String,
}

/// A straight line across the chart with a word.
#[derive(Debug, Clone)]
pub(crate) struct Across {
    /// Whether it runs at one value of y, else at one of x.
    pub level: bool,
    pub at: f64,
    pub says: String,
}

#[derive(Debug, Clone)]
pub(crate) struct Chart {
    pub x: Axis,
    pub y: Axis,
    pub curves: Vec<Curve>,
    pub marks: Vec<Mark>,
    pub across: Vec<Across>,
}

/// Where a value lies on the paper.
struct Scale {
    area: Rect,
    end: DVec2,
}

impl Scale {
    fn at(&self, value: DVec2) -> DVec2 {
        self.area.min + value / self.end * (self.area.max - self.area.min)
    }
}

/// Nought, the step between lines, and how many there are; in the unit that is printed.
fn steps(axis: &Axis, context: &Context) -> (f64, usize) {
    let most = axis.most.max(f64::MIN_POSITIVE) / unit_of(axis.quantity, context.units).0;
    let step = ring_step(most);
    (step, (most / step - 1e-9).ceil().max(1.0) as usize)
}

/// Draws a chart from its upper left corner; `None` where there is no extent to draw.
pub(crate) fn draw(context: &Context, chart: &Chart, size: DVec2, style: &Style) -> Option<Item> {
    let usable = |axis: &Axis| axis.most.is_finite() && axis.most > 0.0;
    if !usable(&chart.x) || !usable(&chart.y) {
        return None;
    }
    let (x_step, x_count) = steps(&chart.x, context);
    let (y_step, y_count) = steps(&chart.y, context);
    let [x_unit, y_unit] = [&chart.x, &chart.y].map(|axis| unit_of(axis.quantity, context.units));
    let small = style.small;
    let number = |step: f64, index: usize| trimmed(step * index as f64, context);
    let widest = (0..=y_count)
        .map(|index| text_width(&number(y_step, index), Weight::Regular, small))
        .fold(0.0, f64::max);
    let last = text_width(&number(x_step, x_count), Weight::Regular, small) / 2.0;
    let area =
        Rect::new(dvec2(widest + 1.6, -size.y + small * 3.0), dvec2(size.x - last.max(1.0), -small * 1.9));
    let end = dvec2(x_step * x_count as f64 * x_unit.0, y_step * y_count as f64 * y_unit.0);
    let scale = Scale { area, end };
    let mut items = Vec::new();
    let hairline = Pen::solid(FINE, Tone::Hairline);
    for index in 0..=x_count {
        let x = scale.at(dvec2(x_step * index as f64 * x_unit.0, 0.0)).x;
        items.push(Item::Line { from: dvec2(x, area.min.y), to: dvec2(x, area.max.y), pen: hairline });
        let at = dvec2(x, area.min.y - small * 1.05);
        items.push(text(at, &number(x_step, index), small, Weight::Regular, Tone::Second, Anchor::Middle));
    }
    for index in 0..=y_count {
        let y = scale.at(dvec2(0.0, y_step * index as f64 * y_unit.0)).y;
        items.push(Item::Line { from: dvec2(area.min.x, y), to: dvec2(area.max.x, y), pen: hairline });
        let at = dvec2(area.min.x - 1.0, y - small * CAP_HEIGHT / 2.0);
        items.push(text(at, &number(y_step, index), small, Weight::Regular, Tone::Second, Anchor::End));
    }
    let axis_pen = Pen::solid(THIN, Tone::Second);
    for to in [dvec2(area.max.x, area.min.y), dvec2(area.min.x, area.max.y)] {
        items.push(Item::Line { from: area.min, to, pen: axis_pen });
    }
    let named = |axis: &Axis, unit: &str| {
        cut_to(&printable(&format!("{}, {unit}", axis.name)), Weight::SemiBold, small, size.x * 0.9)
    };
    let above = dvec2(0.0, -small * 0.85);
    items.push(left(above, &named(&chart.y, y_unit.1), small, Weight::SemiBold, Tone::Second));
    let below = dvec2(area.max.x, area.min.y - small * 2.35);
    items.push(text(below, &named(&chart.x, x_unit.1), small, Weight::SemiBold, Tone::Second, Anchor::End));
    inside(chart, &scale, style, &mut items);
    Some(Item::Group { name: "chart".to_owned(), clip: None, items })
}

/// Lines, curves and dots, then their words where they lie on nothing.
fn inside(chart: &Chart, scale: &Scale, style: &Style, items: &mut Vec<Item>) {
    let mut drawn = Vec::new();
    let mut lines: Vec<Vec<DVec2>> = Vec::new();
    for across in &chart.across {
        let pen = Pen { width: THIN, dash: Dash::Dashed, tone: Tone::Ink };
        let [from, to] = ends(across, scale);
        lines.push(vec![from, to]);
        drawn.push(Item::Line { from, to, pen });
    }
    for curve in &chart.curves {
        let mut points: Vec<DVec2> = Vec::new();
        for value in curve.points.iter().filter(|value| value.is_finite()) {
            let at = scale.at(*value);
            if points.last().is_none_or(|last| last.distance(at) >= LEAST_APART) {
                points.push(at);
            }
        }
        if points.len() > 1 {
            drawn.push(Item::Polyline { points: points.clone(), closed: false, pen: curve.pen });
        }
        lines.push(points);
    }
    let clip = Contour::rectangle(scale.area.min - MEDIUM, scale.area.max + MEDIUM);
    items.push(Item::Group { name: "curves".to_owned(), clip: Some(vec![clip]), items: drawn });
    let dots: Vec<DVec2> = chart.marks.iter().map(|mark| scale.at(mark.at)).collect();
    for at in &dots {
        let pen = Some(Pen::solid(MEDIUM, Tone::Ink));
        items.push(Item::Circle { centre: *at, radius: 0.7, pen, fill: Some(Tone::Ink) });
    }
    // Words keep off dots as they do off lines; leaders may start at them.
    let around_dots = dots.iter().map(|at| {
        let [a, b] = [dvec2(0.8, 0.8), dvec2(0.8, -0.8)];
        vec![*at - a, *at + b, *at + a, *at - b, *at - a]
    });
    let kept_off: Vec<Vec<DVec2>> = lines.iter().cloned().chain(around_dots).collect();
    let mut labels = Labels::new(scale.area, &kept_off, Vec::new());
    let mut say = |says: &str, of: Rect, weight: Weight, around: &[(f64, f64)], leader: bool| -> bool {
        let says = cut_to(&printable(says), weight, style.small, scale.area.width() * 0.6);
        let label = Label { says: &says, size: style.small, weight, tone: Tone::Ink, of };
        let placed = labels.place(&label, around, leader);
        let found = placed.is_some();
        items.extend(placed.unwrap_or_default());
        found
    };
    const BELOW_FIRST: [(f64, f64); 6] =
        [(1.0, -1.0), (1.0, 0.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (-1.0, 0.0)];
    for (mark, at) in chart.marks.iter().zip(&dots) {
        say(&mark.says, Rect::new(*at - 0.8, *at + 0.8), Weight::Regular, &BELOW_FIRST, true);
    }
    for across in &chart.across {
        let [from, to] = ends(across, scale);
        // Along the line from its far end back, over it before under it.
        let _ = (0..16).any(|step| {
            let at = to.lerp(from, 0.02 + f64::from(step) * 0.06);
            let around: &[(f64, f64)] =
                if across.level { &[(-1.0, 1.0), (-1.0, -1.0)] } else { &[(1.0, -1.0), (-1.0, -1.0)] };
            say(&across.says, Rect::new(at - 0.1, at + 0.1), Weight::Regular, around, false)
        });
    }
    for (curve, line) in chart.curves.iter().zip(&lines[chart.across.len()..]) {
        if curve.name.is_empty() || line.is_empty() {
            continue;
        }
        let seen: Vec<DVec2> =
            line.iter().copied().filter(|at| scale.area.inset(-0.1).contains(&Rect::new(*at, *at))).collect();
        let _ = [false, true].iter().any(|leader| {
            (0..20).any(|step| {
                let index = (seen.len() * (12 + step * 7 % 20)) / 32;
                let Some(at) = seen.get(index.min(seen.len().saturating_sub(1))) else { return false };
                let of = Rect::new(*at - 0.2, *at + 0.2);
                say(&curve.name, of, Weight::SemiBold, &AROUND, *leader)
            })
        });
    }
}

fn ends(across: &Across, scale: &Scale) -> [DVec2; 2] {
    let area = &scale.area;
    if across.level {
        let y = scale.at(dvec2(0.0, across.at)).y;
        [dvec2(area.min.x, y), dvec2(area.max.x, y)]
    } else {
        let x = scale.at(dvec2(across.at, 0.0)).x;
        [dvec2(x, area.min.y), dvec2(x, area.max.y)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::Page;
    use crate::style::Style;
    use crate::tests::{fixtures, pages::check_texts};
    use units::{PressureUnit, UnitChoice};

    fn chart() -> Chart {
        let pen = Pen::solid(MEDIUM, Tone::Ink);
        Chart {
            x: Axis { name: "time".to_owned(), quantity: Quantity::Time, most: 0.93 },
            y: Axis { name: "level".to_owned(), quantity: Quantity::VacuumLevel, most: 100.0 },
            curves: vec![Curve {
                name: "C1, slowest".to_owned(),
                points: vec![DVec2::ZERO, dvec2(0.5, 80.0), dvec2(f64::NAN, 90.0), dvec2(40.0, 99.0)],
                pen,
            }],
            marks: vec![Mark { at: dvec2(0.5, 80.0), says: "half".to_owned() }],
            across: vec![Across { level: true, at: 50.0, says: "part held 50 kPa".to_owned() }],
        }
    }

    fn drawn(chart: &Chart, units: &UnitChoice) -> Option<Item> {
        let made = fixtures::tray();
        let (project, report) = (&made.project, &made.report);
        let context = Context::of_plot(project, report, units);
        draw(&context, chart, dvec2(120.0, 60.0), &Style::new(crate::Paper::A3, false))
    }

    #[test]
    fn values_lie_where_the_lines_of_the_axes_say() {
        for (pressure, y_end) in [(PressureUnit::Kilopascal, 100.0), (PressureUnit::Millibar, 100.0)] {
            let units = UnitChoice { pressure, ..UnitChoice::default() };
            let Some(Item::Group { items, .. }) = drawn(&chart(), &units) else { panic!("nothing drawn") };
            let ends = |items: &[Item]| {
                let lines = items.iter().filter_map(|item| match item {
                    Item::Line { from, to, .. } => Some([*from, *to]),
                    _ => None,
                });
                lines
                    .flatten()
                    .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(min, max), at| (min.min(at), max.max(at)))
            };
            let (min, max) = ends(&items);
            // 0.93 s and 100 kPa end at lines of 1 s and 100 kPa.
            let at = |value: DVec2| min + value / dvec2(1.0, y_end) * (max - min);
            let dot = items.iter().find_map(|item| match item {
                Item::Circle { centre, .. } => Some(*centre),
                _ => None,
            });
            assert!(dot.unwrap().distance(at(dvec2(0.5, 80.0))) < 1e-9);
            let inner = items.iter().find_map(|item| match item {
                Item::Group { clip: Some(_), items, .. } => Some(items),
                _ => None,
            });
            let curve = inner.unwrap().iter().find_map(|item| match item {
                Item::Polyline { points, .. } => Some(points.clone()),
                _ => None,
            });
            let curve = curve.unwrap();
            assert!(curve[0].distance(min) < 1e-9 && curve[1].distance(dot.unwrap()) < 1e-9);
            assert_eq!(curve.len(), 3, "a point that is none is left out");
        }
    }

    #[test]
    fn words_lie_on_nothing_and_a_chart_without_extent_is_none() {
        let page = |item: Item| Page { name: String::new(), size_mm: [120.0, 60.0], items: vec![item] };
        let page = page(drawn(&chart(), &UnitChoice::default()).unwrap());
        let words: Vec<&str> = page.texts().into_iter().map(|text| text.text.as_str()).collect();
        for said in ["half", "part held 50 kPa", "C1, slowest", "time, s", "level, kPa", "1", "100"] {
            assert!(words.contains(&said), "{said} in {words:?}");
        }
        check_texts(&[page], "chart");
        for most in [0.0, f64::NAN, f64::INFINITY] {
            let mut none = chart();
            none.x.most = most;
            assert_eq!(drawn(&none, &UnitChoice::default()), None);
        }
    }
}
