//! The plan in a page of text: the drawing of the sheet without its scale, with every cup to be pointed at.

use super::content::said;
use super::factors;
use crate::context::Context;
use crate::cups::lip_contour;
use crate::frame::Rect;
use crate::plan::{self, Look};
use crate::style::Style;
use crate::svg::{data, number, within};
use crate::text_width::text_width;
use crate::{Paper, page::Weight};
use glam::{DVec2, dvec2};
use std::fmt::Write as _;

/// Room for the drawing on a wide window and on a narrow one, mm: letters keep their size on both.
const ROOMS: [(&str, DVec2); 2] = [("wide", dvec2(250.0, 165.0)), ("narrow", dvec2(104.0, 150.0))];

/// Letters of a factor, mm; smaller than the least it is left out.
const FACTOR: f64 = 3.4;
const LEAST: f64 = 1.7;

/// The motion that is shown first, and the plan with its cups.
pub(super) fn plan(context: &Context) -> String {
    let of = context.seat_name().map_or_else(String::new, |name| format!(": {}", said(&name)));
    let mut out = format!("<section id=\"plan\" class=\"plan\">\n<h2>Plan{of}</h2>\n");
    let shown = factors::shown(context);
    let motions = factors::motions(context);
    if !motions.is_empty() {
        out.push_str(
            "<p class=\"choice\"><label for=\"motion\">Factor of each cup in</label> <select id=\"motion\">",
        );
        for (index, motion) in motions.iter().enumerate() {
            let chosen = if Some(index) == shown { " selected=\"selected\"" } else { "" };
            let _ = write!(
                out,
                "<option value=\"{index}\"{chosen}>{}, of {}</option>",
                said(&motion.name),
                said(&context.ratio(motion.required_factor))
            );
        }
        out.push_str(
            "</select> <span class=\"second\">A dashed red lip is below the required factor.</span></p>\n",
        );
    }
    for (name, room) in ROOMS {
        match drawing(context, [name, name], room, shown, true) {
            Some(drawing) => out.push_str(&drawing),
            None => {
                out.push_str("<p>Nothing is drawn: the layout has neither a part nor a cup.</p>\n");
                break;
            }
        }
    }
    out.push_str(
        "<p id=\"card\" class=\"card\" role=\"status\">Point at a cup, or step to it with the tab key, for \
        its position, model and factors.</p>\n</section>\n",
    );
    out
}

/// The plan of another part of the tool, with the factors of the motion that governs it.
pub(super) fn of_part(context: &Context, number: usize) -> String {
    let mut out = String::from("<section class=\"plan still\">\n");
    let shown = factors::shown(context);
    if let Some(motion) = shown.and_then(|at| factors::motions(context).get(at).copied()) {
        let _ = writeln!(
            out,
            "<p class=\"second\">Factor of each cup in {}, of {}; a dashed red lip is below the required factor.</p>",
            said(&motion.name),
            said(&context.ratio(motion.required_factor))
        );
    }
    for (name, room) in ROOMS {
        let prefix = format!("{name}{number}");
        out.push_str(&drawing(context, [name, &prefix], room, shown, false).unwrap_or_default());
    }
    out.push_str("</section>\n");
    out
}

/// The drawing for a window so wide; `prefix` tells its names from those of the others. One that is `live` has cups to be
/// pointed at.
fn drawing(
    context: &Context,
    [name, prefix]: [&str; 2],
    room: DVec2,
    shown: Option<usize>,
    live: bool,
) -> Option<String> {
    let style = Style::new(Paper::A4, false);
    let look = Look::on_screen();
    let measured = plan::measure(context, room, &look, &style)?;
    // Air for the caption, which stands a little off the part.
    let rect = Rect::new(DVec2::ZERO, measured.block + dvec2(0.0, 10.0));
    let view = plan::view(&measured, &rect, &look, &style);
    let drawn = plan::draw(context, &measured, rect, &look, &style);
    let height = rect.height();
    let mut out = format!(
        "<div class=\"{name}\"><svg role=\"group\" aria-label=\"{}\" viewBox=\"0 0 {} {}\">\n",
        said(&plan::said(context, &measured, &look)),
        number(rect.width()),
        number(height)
    );
    out.push_str(&within(&[drawn], height, prefix));
    for (index, cup) in context.report.cups.iter().enumerate() {
        let Some(contour) = lip_contour(cup, cup.shape, &view) else { continue };
        let at = view.at(cup.at);
        let (factor, low) = factors::cell(context, shown, index).unwrap_or_default();
        let class = if low { "cup low" } else { "cup" };
        let place = context.point(cup.at);
        let called = format!("{}, {}, {}", said(&cup.tag), said(&place), said(&cup.model));
        let as_what = if live {
            format!("data-cup=\"{index}\" tabindex=\"0\" role=\"button\" aria-label=\"{called}\"")
        } else {
            format!("role=\"img\" aria-label=\"{called}\"")
        };
        let _ = write!(
            out,
            "<g class=\"{class}\" {as_what}><path class=\"lip\" d=\"{}\"/>",
            data(&[contour], height)
        );
        let size = letters(cup, view.ratio, &factor);
        if size >= LEAST {
            let _ = write!(
                out,
                "<text class=\"factor\" text-anchor=\"middle\" x=\"{}\" y=\"{}\" font-size=\"{}\">{}</text>",
                number(at.x),
                number(height - at.y + size * 0.34),
                number(size),
                said(&factor)
            );
        }
        out.push_str("</g>\n");
    }
    out.push_str("</svg></div>\n");
    Some(out)
}

/// Size of letters at which any factor fits into a cup.
fn letters(cup: &analysis::CupReport, ratio: f64, factor: &str) -> f64 {
    let room = cup.shape.size().min_element() * ratio * 0.86;
    let widest = text_width(factor, Weight::SemiBold, 1.0).max(text_width("00.00", Weight::SemiBold, 1.0));
    (room / widest).min(FACTOR)
}
