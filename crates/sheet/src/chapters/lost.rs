//! Every cup and every zone lost in turn, motion by motion.

use super::{append, note_after, tight};
use crate::block::{Section, SectionId};
use crate::context::Context;
use crate::page::{Tone, Weight};
use crate::style::Style;
use crate::tables::{Cell, Column, figures, natural_width, table, words};
use analysis::{Lost, LostReport, MotionReport, MotionSlow};

/// Above this many only the rows that matter are printed, worst first.
const MOST_ROWS: usize = 24;
const WORST_ROWS: usize = 16;

type Of<'a> = (&'a MotionReport, &'a MotionSlow);

pub(super) fn sections(context: &Context, width: f64, style: &Style) -> Vec<Section> {
    let motions: Vec<Of> = context
        .report
        .motions
        .iter()
        .filter_map(|motion| Some((motion, motion.outcome.as_ref().ok()?.slow.as_ref()?)))
        .filter(|(_, slow)| !slow.lost.is_empty())
        .collect();
    let mut all: Vec<&Lost> = Vec::new();
    for lost in motions.iter().flat_map(|(_, slow)| &slow.lost) {
        if !all.contains(&&lost.lost) {
            all.push(&lost.lost);
        }
    }
    let left_out = shorten(&motions, &mut all);
    let style = &tight(style);
    let mut sections: Vec<Section> = Vec::new();
    let mut rest = motions.as_slice();
    while !rest.is_empty() {
        let fits = |count: usize| {
            let (columns, rows) = contents(context, &all, &rest[..count]);
            natural_width(&columns, &rows, style) <= width
        };
        let count = (1..=rest.len()).take_while(|count| fits(*count)).last().unwrap_or(1);
        let (now, later) = rest.split_at(count);
        let (columns, rows) = contents(context, &all, now);
        let (head, mut rows) = table(&columns, &rows, width, style);
        if later.is_empty() {
            let mut says = "Factor of the first lip to fail among the remaining cups, compared with 1. \
                \"then\" names the cups that fail as a result; \"drops\" means that nothing holds the part \
                any longer."
                .to_owned();
            if let Some(words) = &left_out {
                says.push_str(&words(context));
            }
            append(&mut rows, note_after(&says, width, style));
        }
        let heading = if sections.is_empty() {
            "One cup or zone lost"
        } else {
            "One cup or zone lost, further motions"
        };
        sections.push(Section { id: SectionId::Other("lost"), heading: heading.to_owned(), head, rows });
        rest = later;
    }
    sections
}

/// How bad a loss is in a motion: what drops first, then the lowest factor.
fn rank(lost: &LostReport) -> f64 {
    if lost.holds { lost.factor.unwrap_or(0.0) } else { -1.0 + lost.factor.unwrap_or(0.0).min(1.0) * 1e-3 }
}

fn worst(motions: &[Of], what: &Lost) -> f64 {
    motions
        .iter()
        .flat_map(|(_, slow)| slow.lost.iter().filter(|lost| lost.lost == *what))
        .map(rank)
        .fold(f64::INFINITY, f64::min)
}

type Words = Box<dyn Fn(&Context) -> String>;

/// Keeps what matters of a long list; what to say of the rest.
fn shorten(motions: &[Of], all: &mut Vec<&Lost>) -> Option<Words> {
    if all.len() <= MOST_ROWS {
        return None;
    }
    let mut ranked: Vec<(f64, &Lost)> = all.iter().map(|lost| (worst(motions, lost), *lost)).collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rest = ranked.split_off(WORST_ROWS);
    *all = ranked.into_iter().map(|(_, lost)| lost).collect();
    let count = rest.len();
    let least = rest.first().map_or(f64::INFINITY, |(worst, _)| *worst);
    let drops = rest.iter().filter(|(worst, _)| *worst < 0.0).count();
    Some(Box::new(move |context| match drops {
        0 if least == f64::INFINITY => format!(
            " The {count} losses not listed hold in every motion: no multiple of any breaks a seal or makes \
            a lip slide."
        ),
        0 => format!(
            " The {count} losses not listed hold in every motion, the lowest with a factor of {}.",
            context.ratio(least)
        ),
        drops => format!(" Of the {count} losses not listed {drops} drop the part in some motion."),
    }))
}

fn contents(context: &Context, all: &[&Lost], motions: &[Of]) -> (Vec<Column>, Vec<Vec<Cell>>) {
    let mut columns = vec![words("lost")];
    columns.extend(motions.iter().map(|(motion, _)| figures(&motion.name)));
    let rows = all.iter().map(|what| {
        let name = match what {
            Lost::Cup(id) => context.tag(*id).to_owned(),
            Lost::Zone(zone) => format!("zone {zone}"),
        };
        let mut row = vec![Cell::bold(name)];
        for (_, slow) in motions {
            let found = slow.lost.iter().find(|lost| lost.lost == **what);
            row.push(found.map_or_else(|| Cell::second("–"), |lost| cell(context, lost)));
        }
        row
    });
    (columns, rows.collect())
}

fn cell(context: &Context, lost: &LostReport) -> Cell {
    let mut says = Vec::new();
    says.extend(lost.factor.map(|factor| context.factor(factor, 1.0)));
    if !lost.holds {
        says.push("drops".to_owned());
        return Cell { text: says.join(", "), weight: Weight::SemiBold, tone: Tone::Fail };
    }
    match lost.then_lost.as_slice() {
        [] => {}
        then => {
            const MOST: usize = 3;
            let mut tags: Vec<&str> = then.iter().take(MOST).map(|id| context.tag(*id)).collect();
            if then.len() > MOST {
                tags.push("…");
            }
            says.push(format!("then {}", tags.join(" ")));
        }
    }
    if says.is_empty() {
        says.push("holds".to_owned());
    }
    let tone = if lost.factor.is_none_or(|factor| factor < 1.0) { Tone::Watch } else { Tone::Ink };
    Cell { tone, ..Cell::plain(says.join(", ")) }
}
