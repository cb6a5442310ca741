//! The hole table: what the build team drills and fits by.

use super::{append, note_after, tight};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::style::Style;
use crate::tables::{Cell, Column, figures, flexible, natural_width, table, words};
use glam::DVec2;
use units::Quantity;

/// Where positions are counted from.
struct Origin {
    group: &'static str,
    at: DVec2,
}

/// From the datum, from the part's lower left corner where that is another place, from the flange where it is stated.
fn origins(context: &Context) -> Vec<Origin> {
    // Of several parts each has a corner and a datum of its own: the datum is the tool's.
    let several = context.report.family.is_some();
    let part = context.report.part.as_ref().filter(|_| !several);
    let corner = part.map(|part| DVec2::new(part.bounds_mm[0], part.bounds_mm[1]));
    let datum = if several { DVec2::ZERO } else { context.datum() };
    let same = corner.is_none_or(|corner| corner.distance(datum) < 5e-4);
    let mut all = vec![Origin {
        group: if same && !several { "from the part's corner" } else { "from the datum" },
        at: datum,
    }];
    if let Some(at) = corner.filter(|_| !same) {
        all.push(Origin { group: "from the part's corner", at });
    }
    if let Some(tool) = context.stated_tool() {
        all.push(Origin { group: "from the flange", at: tool.flange.truncate() });
    }
    all
}

/// A longer table is set in smaller letters.
const MOST_USUAL: usize = 40;

fn style_for(context: &Context, style: &Style) -> Style {
    if context.report.cups.len() > MOST_USUAL { tight(style) } else { *style }
}

pub(super) fn section(context: &Context, width: f64, style: &Style) -> Section {
    let (columns, rows) = contents(context);
    let style = &style_for(context, style);
    let (head, mut rows) = table(&columns, &rows, width, style);
    if !rows.is_empty() {
        let from = match context.report.family {
            Some(_) => "The datum is the tool's; where each part's own lies stands in the table of parts",
            None => "The part's corner is the lower left of its outline",
        };
        let mut says =
            format!("Lengths in {}. {from}, seen from the robot side. ", context.length_unit_name());
        says.push_str("Turn counter-clockwise from X. Height is the post between frame and cup.");
        match context.stated_tool() {
            Some(tool) => {
                let at = context.point(tool.flange.truncate());
                says.push_str(&format!(" The flange's centre lies at {at} from the datum."));
            }
            None => says.push_str(" The flange position is not stated, so nothing is dimensioned from it."),
        }
        says.extend(undrilled(context));
        says.extend(proposed(context));
        append(&mut rows, note_after(&says, width, style));
    }
    Section { id: SectionId::Holes, heading: "Cups and holes".to_owned(), head, rows }
}

/// The question that the layout was proposed for, where it came from the program.
fn proposed(context: &Context) -> Option<String> {
    let layout = context.layout().filter(|layout| !layout.proposed.is_empty())?;
    Some(format!(" The layout started as a proposal of the program for: {}", layout.proposed))
}

/// Whether any cup's model states the hole to drill for it.
fn drilled(context: &Context) -> bool {
    let hole =
        |cup: &analysis::CupReport| context.model_of(cup.id).is_some_and(|model| model.drill_mm.is_some());
    context.report.cups.iter().any(hole)
}

/// That the hole to drill is not stated, and for which models.
fn undrilled(context: &Context) -> Option<String> {
    let models = context.report.cups.iter().filter_map(|cup| context.model_of(cup.id));
    let mut names: Vec<String> = Vec::new();
    for model in models.filter(|model| model.drill_mm.is_none()) {
        if !names.contains(&model.name) {
            names.push(model.name.clone());
        }
    }
    let names = analysis::words::all(&names);
    (!names.is_empty())
        .then(|| format!(" Hole to drill: not stated for {names}; do not use a cup\u{2019}s bore."))
}

/// The width at which no row of the table wraps.
pub(super) fn wanted_width(context: &Context, style: &Style) -> f64 {
    let (columns, rows) = contents(context);
    natural_width(&columns, &rows, &style_for(context, style))
}

fn contents(context: &Context) -> (Vec<Column>, Vec<Vec<Cell>>) {
    let zones = !context.zones().is_empty();
    let origins = origins(context);
    let mut columns = vec![words("tag")];
    for origin in &origins {
        columns.extend([figures("X").of(origin.group), figures("Y").of(origin.group)]);
    }
    // Where the cup is fastened, above the lips: its own height and its post.
    columns.extend([figures("turn °"), figures("height")]);
    let posts = context.report.cups.iter().any(|cup| cup.height_mm != 0.0);
    if posts {
        columns.push(figures("of it post"));
    }
    if zones {
        columns.push(words("zone"));
    }
    columns.push(flexible("model"));
    let holes = drilled(context);
    if holes {
        columns.push(figures("hole"));
    }
    columns.push(words("thread"));
    let rows = context
        .report
        .cups
        .iter()
        .map(|cup| {
            let model = context.model_of(cup.id);
            let mut row = vec![Cell::bold(&cup.tag)];
            for origin in &origins {
                let at = cup.at - origin.at;
                row.extend([at.x, at.y].map(|value| Cell::plain(context.as_made(value))));
            }
            row.push(Cell::plain(context.number(cup.turn_deg, Quantity::Angle)));
            let height = model.map(|m| context.as_made(m.height_mm + cup.height_mm));
            row.push(Cell::plain(height.unwrap_or_default()));
            if posts {
                row.push(Cell::plain(context.as_made(cup.height_mm)));
            }
            if zones {
                row.push(Cell::plain(&cup.zone));
            }
            row.push(Cell::plain(&cup.model));
            if holes {
                let hole = model.and_then(|m| m.drill_mm);
                row.push(hole.map_or(Cell::second("none"), |hole| Cell::plain(context.length(hole))));
            }
            row.push(Cell::plain(model.map_or(String::new(), |m| m.thread.clone())));
            row
        })
        .collect();
    (columns, rows)
}
