//! The envelope: the largest acceleration in every direction at which the required factor is kept.

use crate::{theme::Size, view::View};
use analysis::{EnvelopePointReport, EnvelopeReport, LipLimit};
use egui::{Color32, FontId, RichText, Ui};
use egui_plot::{Line, LineStyle, Plot, PlotPoint, PlotPoints, Points, Text};
use geometry::{Bounds, Mark, Placer, Wanted};
use glam::{DVec2, dvec2};
use std::sync::Arc;
use units::Quantity;

/// Height of the chart.
const HEIGHT: f32 = 250.0;

/// Where the rings are named, degrees, best first: on their lower right, else where no curve and no tag is.
const WAYS_OF_RINGS: [f64; 10] = [-45.0, -30.0, -60.0, -15.0, -75.0, 45.0, 30.0, 60.0, -135.0, 135.0];

/// One curve with the name and colour it is drawn with.
struct Curve<'a> {
    name: String,
    envelope: &'a EnvelopeReport,
    colour: Color32,
    dashed: bool,
}

/// Draws the chart for the plan shown, with the compared alternative over it.
pub fn envelope_ui(ui: &mut Ui, view: &View) {
    let t = view.tokens;
    let tilted: Option<&Arc<EnvelopeReport>> = view.envelope.as_ref();
    let own = tilted.map(Arc::as_ref).or(view.report.envelope.as_ref());
    ui.label(RichText::new("Envelope").font(Size::Heading.strong()));
    let Some(own) = own else {
        let text = if view.layout.cups.is_empty() {
            "No cups yet."
        } else {
            "Weight alone is too much for the required factor, or there is no result yet: no acceleration is \
            left."
        };
        ui.label(RichText::new(text).color(t.second));
        return;
    };
    let note = format!(
        "Largest acceleration that keeps {} ×, part held {}.",
        view.factor(own.required_factor),
        own.held.says(&view.units)
    );
    ui.label(RichText::new(note).font(Size::Small.slanted()).color(t.second));
    let mut curves =
        vec![Curve { name: view.layout.name.clone(), envelope: own, colour: t.working, dashed: false }];
    if let (Some(compare), None) = (&view.compare, tilted)
        && let Some(other) = compare.envelope()
    {
        let name = compare.layout.name.clone();
        curves.push(Curve { name, envelope: other, colour: t.ink, dashed: true });
    }
    let waits = view.compare.as_ref().is_some_and(|compare| !compare.current) && tilted.is_none();
    if view.report.ages.of(analysis::Slow::Envelope) == analysis::Age::Older && tilted.is_none() {
        ui.label(RichText::new("older than the plan").font(Size::Small.slanted()).color(t.second));
    } else if waits {
        let says = "the other layout is being calculated";
        ui.label(RichText::new(says).font(Size::Small.slanted()).color(t.second));
    }
    chart_ui(ui, view, &curves);
    figures_ui(ui, view, own);
    if curves.len() > 1 {
        for curve in &curves {
            let mark = if curve.dashed { "dashed" } else { "solid line" };
            ui.label(
                RichText::new(format!("{}: {mark}", curve.name)).font(Size::Small.font()).color(curve.colour),
            );
        }
    }
}

fn limit_word(limit: LipLimit) -> &'static str {
    match limit {
        LipLimit::Seal => "loses its seal",
        LipLimit::Slide => "slides",
    }
}

fn figures_ui(ui: &mut Ui, view: &View, own: &EnvelopeReport) {
    let mut row = |name: &str, point: &EnvelopePointReport, why: &str| {
        let shown = if point.acceleration.is_finite() {
            view.show(point.acceleration, Quantity::Acceleration)
        } else {
            units::Shown { number: "no limit".to_owned(), unit: "" }
        };
        let ends = format!("{}{} {}", why, view.tag(point.cup), limit_word(point.limit));
        crate::fields::figure(ui, name, &shown, &ends);
    };
    let weakest = format!("Weakest, towards {}°", view.fixed(own.weakest.direction_deg.rem_euclid(360.0), 0));
    row(&weakest, &own.weakest, "Direction on the plan, counter-clockwise from X. Limited by: ");
    row("Towards the robot", &own.up, "Limited by: ");
    row("Away from the robot", &own.down, "Limited by: ");
}

/// Points in the unit picked; an endless stretch is cut at the rim of the chart.
fn ring(envelope: &EnvelopeReport, unit: f64, rim: f64) -> Vec<[f64; 2]> {
    let mut points: Vec<[f64; 2]> = envelope
        .points
        .iter()
        .map(|p| {
            let size = (p.acceleration / unit).min(rim);
            let (sin, cos) = p.direction_deg.to_radians().sin_cos();
            [size * cos, size * sin]
        })
        .collect();
    points.extend(points.first().copied());
    points
}

fn chart_ui(ui: &mut Ui, view: &View, curves: &[Curve<'_>]) {
    let t = view.tokens;
    let (unit, unit_name) = units::unit_of(Quantity::Acceleration, &view.units);
    let largest = curves
        .iter()
        .flat_map(|c| &c.envelope.points)
        .map(|p| p.acceleration)
        .filter(|a| a.is_finite())
        .fold(0.0, f64::max)
        / unit;
    let rim = if largest > 0.0 { largest } else { 1.0 };
    let step = round_step(rim / 2.0);
    let own = curves.first().map(|c| c.envelope);
    let stretches = own.map(|e| governing_stretches(view, e, unit, rim)).unwrap_or_default();
    let lines: Vec<Vec<[f64; 2]>> = curves.iter().map(|curve| ring(curve.envelope, unit, rim)).collect();
    // A step of one or two figures: the noughts that a product leaves say nothing.
    let rings: Vec<(f64, String)> = (1..=3)
        .map(|k| step * f64::from(k))
        .filter(|r| *r <= rim * 1.1)
        .map(|r| (r, format!("{} {unit_name}", units::trimmed(&view.fixed(r, 6)))))
        .collect();
    // The plot leaves a twentieth free at every side.
    let scale = f64::from(ui.available_width().min(HEIGHT)) / (2.4 * rim * 1.1);
    let (tags, names) = lettering(ui, &lines, &stretches, &rings, scale);
    let response = Plot::new("envelope")
        .height(HEIGHT)
        .data_aspect(1.0)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_axes([false, false])
        .show_grid([false, false])
        .show_background(false)
        .show_x(false)
        .show_y(false)
        .include_x(-rim * 1.2)
        .include_x(rim * 1.2)
        .include_y(-rim * 1.2)
        .include_y(rim * 1.2)
        .show(ui, |plot| {
            for (r, _) in &rings {
                let circle: PlotPoints<'_> = (0..=72)
                    .map(|i| {
                        let (sin, cos) = (f64::from(i) * 5.0).to_radians().sin_cos();
                        [r * cos, r * sin]
                    })
                    .collect();
                plot.line(Line::new("", circle).color(t.hairline).width(1.0).allow_hover(false));
            }
            let mut text = |at: [f64; 2], text: RichText| {
                plot.text(Text::new("", PlotPoint::new(at[0], at[1]), text).allow_hover(false));
            };
            for ((_, says), at) in rings.iter().zip(names) {
                if let Some(at) = at {
                    text(at, RichText::new(says).font(Size::Small.font()).color(t.second));
                }
            }
            for ((_, tag), at) in stretches.iter().zip(tags) {
                text(at, RichText::new(tag).font(Size::Small.strong()).color(t.ink));
            }
            for axis in [[[-rim, 0.0], [rim, 0.0]], [[0.0, -rim], [0.0, rim]]] {
                plot.line(Line::new("", axis.to_vec()).color(t.grid).width(1.0).allow_hover(false));
            }
            for (curve, points) in curves.iter().zip(lines) {
                let style = if curve.dashed { LineStyle::Dashed { length: 7.0 } } else { LineStyle::Solid };
                plot.line(Line::new(curve.name.clone(), points).color(curve.colour).width(2.0).style(style));
            }
            if let Some(own) = own {
                let weakest = own.weakest;
                if weakest.acceleration.is_finite() {
                    let (sin, cos) = weakest.direction_deg.to_radians().sin_cos();
                    let at = [weakest.acceleration / unit * cos, weakest.acceleration / unit * sin];
                    plot.points(Points::new("weakest direction", vec![at]).radius(4.0).color(t.ink));
                }
            }
        });
    let id = response.response.id;
    ui.ctx().accesskit_node_builder(id, |node| {
        let each = curves.iter().map(|curve| {
            let weakest = &curve.envelope.weakest;
            let most = view.text(weakest.acceleration, Quantity::Acceleration);
            let towards = view.fixed(weakest.direction_deg, 0);
            format!("{}: weakest {most} towards {towards} degrees", curve.name)
        });
        let spoken = format!("Envelope. {}", each.collect::<Vec<_>>().join("; "));
        node.set_label(spoken);
    });
}

/// Middles of the tags, and of the names of rings that find a place: on no curve and on no other text. `scale` is points of the
/// screen per unit of the chart.
fn lettering(
    ui: &Ui,
    lines: &[Vec<[f64; 2]>],
    tags: &[([f64; 2], String)],
    rings: &[(f64, String)],
    scale: f64,
) -> (Vec<[f64; 2]>, Vec<Option<[f64; 2]>>) {
    let half_of = |text: &str, font: FontId| {
        let size = ui.painter().layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER).size();
        0.5 * dvec2(size.x.into(), size.y.into())
    };
    let about = |middle: DVec2, half: DVec2| Bounds { min: middle - half, max: middle + half };
    let middle = |bounds: Bounds| (0.5 * (bounds.min + bounds.max) / scale).to_array();
    let all = DVec2::splat(f64::from(HEIGHT));
    let mut placer = Placer::new(Bounds { min: -all, max: all }, 1.0);
    for line in lines {
        let points: Vec<DVec2> = line.iter().map(|at| DVec2::from_array(*at) * scale).collect();
        points.windows(2).for_each(|two| placer.keep_off(Mark::Line(two[0], two[1])));
    }
    let tags = tags
        .iter()
        .map(|(at, tag)| {
            let (at, half) = (DVec2::from_array(*at) * scale, half_of(tag, Size::Small.strong()));
            // Further out, and a little round the curve.
            let spots: Vec<Bounds> = [0.0, 4.0, 8.0, 14.0]
                .into_iter()
                .flat_map(|out| [0.0, 0.12, -0.12].map(|turn| (out, turn)))
                .map(|(out, turn)| {
                    about(DVec2::from_angle(turn).rotate(at + at.normalize_or_zero() * out), half)
                })
                .collect();
            let wanted = Wanted { spots: &spots, leader: None, over: false, must: true };
            placer.place(&wanted).map_or((at / scale).to_array(), |place| middle(place.bounds))
        })
        .collect();
    let names = rings
        .iter()
        .map(|(r, says)| {
            let half = half_of(says, Size::Small.font());
            // Outside the ring all round, then inside.
            let spots: Vec<Bounds> = [1.0, -1.0]
                .into_iter()
                .flat_map(|side| WAYS_OF_RINGS.map(|way| (side, DVec2::from_angle(way.to_radians()))))
                .map(|(side, way)| about(way * (r * scale) + side * way.signum() * half, half))
                .collect();
            let wanted = Wanted { spots: &spots, leader: None, over: false, must: false };
            placer.place(&wanted).map(|place| middle(place.bounds))
        })
        .collect();
    (tags, names)
}

/// 1, 2 or 5 times a power of ten, near the wanted size.
fn round_step(want: f64) -> f64 {
    let power = 10f64.powf(want.max(1e-9).log10().floor());
    [5.0, 2.0, 1.0].into_iter().map(|m| m * power).find(|v| *v <= want).unwrap_or(power)
}

/// Where along the curve which cup ends it: one tag in the middle of each long enough stretch, outside the curve.
fn governing_stretches(
    view: &View,
    envelope: &EnvelopeReport,
    unit: f64,
    rim: f64,
) -> Vec<([f64; 2], String)> {
    let points = &envelope.points;
    let count = points.len();
    let Some(start) = (0..count).find(|i| points[*i].cup != points[(i + count - 1) % count].cup) else {
        return points
            .first()
            .map(|p| (vec![place(p, unit, rim)], view.tag(p.cup).to_owned()))
            .map(|(at, tag)| vec![(at[0], tag)])
            .unwrap_or_default();
    };
    let mut found = Vec::new();
    let mut from = 0;
    while from < count {
        let cup = points[(start + from) % count].cup;
        let length = (from..count).take_while(|i| points[(start + i) % count].cup == cup).count();
        // A stretch of less than a fifteenth of the turn has no room for its tag.
        let turn = (points[(start + from + length - 1) % count].direction_deg
            - points[(start + from) % count].direction_deg)
            .rem_euclid(360.0);
        if turn >= 20.0 {
            let middle = &points[(start + from + length / 2) % count];
            found.push((place(middle, unit, rim), view.tag(cup).to_owned()));
        }
        from += length.max(1);
    }
    found
}

fn place(point: &EnvelopePointReport, unit: f64, rim: f64) -> [f64; 2] {
    let size = (point.acceleration / unit).min(rim) + 0.1 * rim;
    let (sin, cos) = point.direction_deg.to_radians().sin_cos();
    [size * cos, size * sin]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A curve close to the outer ring, and a tag just where that ring is named first.
    #[test]
    fn tags_and_names_of_rings_lie_on_no_curve_and_not_on_each_other() {
        let curve: Vec<[f64; 2]> = (0..=72)
            .map(|i| (DVec2::from_angle((f64::from(i) * 5.0).to_radians()) * 31.0).to_array())
            .collect();
        let tags = vec![((DVec2::from_angle((-45.0_f64).to_radians()) * 33.0).to_array(), "C2".to_owned())];
        let rings: Vec<(f64, String)> =
            [10.0, 20.0, 30.0].map(|r| (r, format!("{r} m/s²"))).into_iter().collect();
        let ctx = egui::Context::default();
        crate::theme::install(&ctx);
        let mut found = None;
        let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
            let size = |text: &str, font: FontId| {
                ui.painter().layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER).size()
            };
            let (cups, names) = lettering(ui, std::slice::from_ref(&curve), &tags, &rings, 3.0);
            let mut boxes: Vec<egui::Rect> = Vec::new();
            let mut put = |at: [f64; 2], size: egui::Vec2| {
                let at = egui::pos2((at[0] * 3.0) as f32, (at[1] * 3.0) as f32);
                boxes.push(egui::Rect::from_center_size(at, size));
            };
            cups.iter().for_each(|at| put(*at, size("C2", Size::Small.strong())));
            for ((_, says), at) in rings.iter().zip(&names) {
                put(at.expect("a ring has room"), size(says, Size::Small.font()));
            }
            found = Some(boxes);
        });
        output.textures_delta.clear();
        let boxes = found.unwrap();
        for (i, a) in boxes.iter().enumerate() {
            assert!(boxes[i + 1..].iter().all(|b| !a.intersects(*b)), "{boxes:?}");
            assert!(
                curve.iter().all(|at| !a.contains(egui::pos2((at[0] * 3.0) as f32, (at[1] * 3.0) as f32))),
                "{a:?}"
            );
        }
    }
}
