//! A page as text, for tests and difference tools.

use crate::page::{Contour, Item, Page, Pen, Step, Tone};
use glam::DVec2;
use std::fmt::Write as _;

impl Page {
    /// The page as text, one line per item with lengths to 0.01 mm: what a test compares and a difference tool shows.
    pub fn describe(&self) -> String {
        let mut out = String::new();
        let _ = writeln!(out, "page {} x {}", mm(self.size_mm[0]), mm(self.size_mm[1]));
        describe_items(&self.items, 1, &mut out);
        out
    }
}

fn mm(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}
fn point(at: DVec2) -> String {
    format!("{},{}", mm(at.x), mm(at.y))
}
fn pen_words(pen: &Pen) -> String {
    format!("{} {} {}", mm(pen.width), pen.dash.word(), pen.tone.word())
}
fn surface_words(pen: &Option<Pen>, fill: &Option<Tone>) -> String {
    let pen = pen.map_or("none".to_owned(), |pen| pen_words(&pen));
    format!("line {pen} fill {}", fill.map_or("none", Tone::word))
}
fn contour_words(contour: &Contour) -> String {
    let mut out = format!("from {}", point(contour.from));
    for step in &contour.steps {
        let _ = match step {
            Step::Line(to) => write!(out, " to {}", point(*to)),
            Step::Arc { centre, radius, start, sweep } => write!(
                out,
                " arc {} r {} {:.2}..{:.2}",
                point(*centre),
                mm(*radius),
                start.to_degrees(),
                (start + sweep).to_degrees()
            ),
        };
    }
    if contour.closed {
        out.push_str(" close");
    }
    out
}

fn describe_items(items: &[Item], depth: usize, out: &mut String) {
    for item in items {
        out.push_str(&"  ".repeat(depth));
        let _ = match item {
            Item::Line { from, to, pen } => {
                writeln!(out, "line {} to {} {}", point(*from), point(*to), pen_words(pen))
            }
            Item::Polyline { points, closed, pen } => {
                let points: Vec<String> = points.iter().map(|p| point(*p)).collect();
                let closed = if *closed { " close" } else { "" };
                writeln!(out, "polyline {}{closed} {}", points.join(" "), pen_words(pen))
            }
            Item::Path { contours, pen, fill } => {
                let contours: Vec<String> = contours.iter().map(contour_words).collect();
                writeln!(out, "path {} {}", contours.join(" | "), surface_words(pen, fill))
            }
            Item::Circle { centre, radius, pen, fill } => {
                writeln!(out, "circle {} r {} {}", point(*centre), mm(*radius), surface_words(pen, fill))
            }
            Item::Arc { centre, radius, start, sweep, pen } => writeln!(
                out,
                "arc {} r {} {:.2}..{:.2} {}",
                point(*centre),
                mm(*radius),
                start.to_degrees(),
                (start + sweep).to_degrees(),
                pen_words(pen)
            ),
            Item::Text(text) => writeln!(
                out,
                "text {} {:?} {} {:?} {} {:?} turn {:.1}",
                point(text.at),
                text.anchor,
                mm(text.size),
                text.weight,
                text.tone.word(),
                text.text,
                text.turn_deg
            ),
            Item::Group { name, clip, items } => {
                let clip = if clip.is_some() { " clipped" } else { "" };
                let _ = writeln!(out, "group {name}{clip}");
                describe_items(items, depth + 1, out);
                Ok(())
            }
            Item::Tagged { items, .. } => {
                out.truncate(out.len() - 2 * depth);
                describe_items(items, depth, out);
                Ok(())
            }
            Item::Bookmark { title, at } => writeln!(out, "bookmark {} {title:?}", point(*at)),
        };
    }
}
