//! The factor of every cup in every motion: what the plan shows, one motion at a time.

use super::content::said;
use crate::context::Context;
use analysis::MotionReport;
use std::fmt::Write as _;

/// Motions with figures, in the order of the report.
pub(super) fn motions<'a>(context: &Context<'a>) -> Vec<&'a MotionReport> {
    let report = context.report;
    if report.cups.is_empty() {
        return Vec::new();
    }
    report.motions.iter().filter(|motion| motion.outcome.is_ok()).collect()
}

/// The motion that governs, by its place among [`motions`].
pub(super) fn shown(context: &Context) -> Option<usize> {
    let motions = motions(context);
    let governing = context.report.governing().map(|(motion, _)| motion.id);
    let at = motions.iter().position(|motion| Some(motion.id) == governing);
    at.or((!motions.is_empty()).then_some(0))
}

/// The factor of one cup in one motion as the sheet prints it, and whether it is below what is required.
pub(super) fn cell(context: &Context, motion: Option<usize>, cup: usize) -> Option<(String, bool)> {
    let motion = *motions(context).get(motion?)?;
    figure(context, motion, cup)
}

fn figure(context: &Context, motion: &MotionReport, cup: usize) -> Option<(String, bool)> {
    let id = context.report.cups.get(cup)?.id;
    let of = motion.outcome.as_ref().ok()?.cups.get(cup).filter(|of| of.id == id)?;
    let factor = of.factor.value;
    Some((context.factor(factor, motion.required_factor), factor < motion.required_factor))
}

/// One row a cup, one column a motion.
pub(super) fn table(context: &Context) -> String {
    let motions = motions(context);
    if motions.is_empty() {
        return String::new();
    }
    let mut out = String::from(
        "<section class=\"factors\">\n<h3>Factor of each cup in each motion</h3>\n\
         <div class=\"scroll\"><table id=\"factors\" class=\"sort\">\
         <caption>Factor of each cup in each motion</caption>\n<thead><tr><th scope=\"col\">tag</th>",
    );
    for motion in &motions {
        let _ = write!(
            out,
            "<th scope=\"col\" class=\"figure\">{}, of {}</th>",
            said(&motion.name),
            said(&context.ratio(motion.required_factor))
        );
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for (index, cup) in context.report.cups.iter().enumerate() {
        let _ = write!(out, "<tr data-cup=\"{index}\"><th scope=\"row\">{}</th>", said(&cup.tag));
        for motion in &motions {
            let (says, low) =
                figure(context, motion, index).unwrap_or_else(|| ("\u{2013}".to_owned(), false));
            let class = if low { "figure fail" } else { "figure" };
            let _ = write!(out, "<td class=\"{class}\">{}</td>", said(&says));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n</section>\n");
    out
}
