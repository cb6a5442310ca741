//! Tables: columns as wide as they must be, figures to the right, long words wrapped, never cut into each other.

use crate::block::Block;
use crate::page::{Anchor, Item, Pen, Role, Tag, Tone, Weight};
use crate::style::{FINE, MEDIUM, Style, text};
use crate::text_width::{cut_to, printable, text_width, wrap};
use glam::dvec2;

/// Between columns, over the size of the letters.
const LEAST_GAP: f64 = 0.9;
/// Lines a cell may take before it is cut.
const MOST_LINES: usize = 4;

/// Lines a column's head may take.
const MOST_HEAD_LINES: usize = 2;

/// A column's head and habits.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub head: String,
    /// Stands over neighbouring columns of the same group.
    pub group: String,
    pub right: bool,
    /// Takes what room the others leave, and wraps first.
    pub flexible: bool,
    /// To be written into by hand: at least so wide, over the size of the letters.
    pub least: f64,
}

impl Column {
    pub fn by_hand(self, letters: f64) -> Self {
        Self { least: letters, ..self }
    }
    pub fn of(self, group: impl Into<String>) -> Self {
        Self { group: group.into(), ..self }
    }
    /// The head with what stands over it: "X from the datum".
    fn said(&self) -> String {
        format!("{} {}", self.head.trim(), self.group.trim()).trim().to_owned()
    }
    /// The narrowest width at which the head is whole in the lines it may take.
    fn head_width(&self, size: f64) -> f64 {
        let head = printable(&self.head);
        let words: Vec<&str> = head.split_whitespace().collect();
        let wide = |words: &[&str]| text_width(&words.join(" "), Weight::Regular, size);
        (1..words.len()).map(|cut| wide(&words[..cut]).max(wide(&words[cut..]))).fold(wide(&words), f64::min)
    }
}

/// A cell's text.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    pub text: String,
    pub weight: Weight,
    pub tone: Tone,
}

impl Cell {
    pub fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), weight: Weight::Regular, tone: Tone::Ink }
    }
    pub fn bold(text: impl Into<String>) -> Self {
        Self { weight: Weight::SemiBold, ..Self::plain(text) }
    }
    pub fn second(text: impl Into<String>) -> Self {
        Self { tone: Tone::Second, ..Self::plain(text) }
    }
}

pub(crate) fn figures(head: impl Into<String>) -> Column {
    Column { head: head.into(), group: String::new(), right: true, flexible: false, least: 0.0 }
}
pub(crate) fn words(head: impl Into<String>) -> Column {
    Column { head: head.into(), group: String::new(), right: false, flexible: false, least: 0.0 }
}
pub(crate) fn flexible(head: impl Into<String>) -> Column {
    Column { head: head.into(), group: String::new(), right: false, flexible: true, least: 0.0 }
}

/// The head and one block per row.
pub(crate) fn table(
    columns: &[Column],
    rows: &[Vec<Cell>],
    width: f64,
    style: &Style,
) -> (Vec<Block>, Vec<Block>) {
    let spans = spans(columns, rows, width, style);
    // Rules end where the last column does.
    let width = spans.last().map_or(width, |span| span.x + span.width);
    let body = rows.iter().map(|row| row_block(columns, row, &spans, width, style));
    (vec![head_block(columns, &spans, width, style)], body.collect())
}

/// The width that a table takes when nothing wraps.
pub(crate) fn natural_width(columns: &[Column], rows: &[Vec<Cell>], style: &Style) -> f64 {
    let gaps = style.body * LEAST_GAP * columns.len().saturating_sub(1) as f64;
    widths(columns, rows, style, |column| column.head_width(style.small)).iter().sum::<f64>() + gaps
}

fn head_block(columns: &[Column], spans: &[Span], width: f64, style: &Style) -> Block {
    let line = style.small * 1.18;
    let mut items = Vec::new();
    let mut top = 0.0;
    for (start, end) in groups(columns) {
        let (from, to) = (spans[start].x, spans[end - 1].x + spans[end - 1].width);
        let says = cut_to(&printable(&columns[start].group), Weight::Regular, style.small, to - from);
        let at = dvec2((from + to) / 2.0, -style.small);
        items.push(text(at, &says, style.small, Weight::Regular, Tone::Second, Anchor::Middle));
        let y = -style.small * 1.42;
        let pen = Pen::solid(FINE, Tone::Second);
        items.push(Item::Line { from: dvec2(from, y), to: dvec2(to, y), pen });
        top = style.small * 1.45;
    }
    let heads: Vec<Vec<String>> = columns
        .iter()
        .zip(spans)
        .map(|(column, span)| {
            let head = printable(&column.head);
            let mut lines = wrap(&head, Weight::Regular, style.small, span.width + 0.01);
            if lines.len() > MOST_HEAD_LINES {
                let rest = lines.split_off(MOST_HEAD_LINES - 1).join(" ");
                lines.push(cut_to(&rest, Weight::Regular, style.small, span.width));
            }
            lines
        })
        .collect();
    let most = heads.iter().map(Vec::len).max().unwrap_or(1);
    let mut cells = Vec::new();
    for ((column, span), lines) in columns.iter().zip(spans).zip(&heads) {
        let (x, anchor) = span.edge(column.right);
        let texts = lines.iter().enumerate().map(|(index, says)| {
            let below = most - lines.len() + index;
            let y = -top - style.small * 1.05 - below as f64 * line;
            text(dvec2(x, y), says, style.small, Weight::Regular, Tone::Second, anchor)
        });
        let by_hand = column.least > 0.0;
        let tag = Tag { figure: column.right, by_hand, ..Tag::new(Role::Head, column.said()) };
        cells.push(tag.over(texts.collect()));
    }
    items.push(Tag::new(Role::Row, "").over(cells));
    let height = top + style.small * 1.75 + (most - 1) as f64 * line;
    items.push(rule(width, -height, Pen::solid(MEDIUM, Tone::Ink)));
    Block { height, items }
}

#[derive(Debug, Clone, Copy)]
struct Span {
    x: f64,
    width: f64,
}

impl Span {
    fn edge(&self, right: bool) -> (f64, Anchor) {
        if right { (self.x + self.width, Anchor::End) } else { (self.x, Anchor::Start) }
    }
}

fn rule(width: f64, y: f64, pen: Pen) -> Item {
    Item::Line { from: dvec2(0.0, y), to: dvec2(width, y), pen }
}

fn row_block(columns: &[Column], row: &[Cell], spans: &[Span], width: f64, style: &Style) -> Block {
    let mut cells = Vec::new();
    let mut most = 1;
    for ((column, cell), span) in columns.iter().zip(row).zip(spans) {
        let mut lines = wrap(&printable(&cell.text), cell.weight, style.body, span.width + 0.01);
        if lines.len() > MOST_LINES {
            let rest = lines.split_off(MOST_LINES - 1).join(" ");
            lines.push(cut_to(&format!("{rest} …"), cell.weight, style.body, span.width));
        }
        let (x, anchor) = span.edge(column.right);
        let texts = lines.iter().enumerate().map(|(index, line)| {
            let baseline = -(style.pitch + style.body * 0.64) / 2.0 - index as f64 * style.leading;
            text(dvec2(x, baseline), line, style.body, cell.weight, cell.tone, anchor)
        });
        let tag = Tag { tone: cell.tone, weight: cell.weight, ..Tag::new(Role::Cell, cell.text.trim()) };
        cells.push(Tag { figure: column.right, ..tag }.over(texts.collect()));
        most = most.max(lines.len());
    }
    let height = style.pitch + (most - 1) as f64 * style.leading;
    let rule = rule(width, -height, Pen::solid(FINE, Tone::Hairline));
    Block { height, items: vec![Tag::new(Role::Row, "").over(cells), rule] }
}

/// Widths at which no cell wraps; `heads` tells how wide a head must be.
fn widths(columns: &[Column], rows: &[Vec<Cell>], style: &Style, heads: impl Fn(&Column) -> f64) -> Vec<f64> {
    let mut widths: Vec<f64> = columns
        .iter()
        .enumerate()
        .map(|(index, column)| {
            let cells = rows.iter().filter_map(|row| row.get(index));
            cells
                .map(|cell| text_width(&printable(&cell.text), cell.weight, style.body))
                .fold(heads(column).max(column.least * style.body), f64::max)
        })
        .collect();
    // A group is at least as wide as its name.
    for (start, end) in groups(columns) {
        let gaps = style.body * LEAST_GAP * (end - start - 1) as f64;
        let span = widths[start..end].iter().sum::<f64>() + gaps;
        let name = text_width(&printable(&columns[start].group), Weight::Regular, style.small);
        let more = ((name - span) / (end - start) as f64).max(0.0);
        // A long name may not spread its columns without end.
        let more = more.min(style.body * 2.0);
        widths[start..end].iter_mut().for_each(|width| *width += more);
    }
    widths
}

/// Neighbouring columns of one name, from and to.
fn groups(columns: &[Column]) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = 0;
    while start < columns.len() {
        let group = &columns[start].group;
        let end = start + columns[start..].iter().take_while(|column| column.group == *group).count();
        if !group.is_empty() {
            found.push((start, end));
        }
        start = end;
    }
    found
}

/// Natural widths when they fit, what is left over going to the gaps and then to the flexible column; otherwise the
/// flexible columns give way first, then every column above a fair share.
fn spans(columns: &[Column], rows: &[Vec<Cell>], width: f64, style: &Style) -> Vec<Span> {
    let least_gap = style.body * LEAST_GAP;
    let count = columns.len().max(1) as f64;
    let room = width - least_gap * (count - 1.0);
    let whole_head = |column: &Column| text_width(&printable(&column.head), Weight::Regular, style.small);
    let mut widths = self::widths(columns, rows, style, whole_head);
    if widths.iter().sum::<f64>() > room {
        widths = self::widths(columns, rows, style, |column| column.head_width(style.small));
    }
    let natural: f64 = widths.iter().sum();
    if natural > room {
        let flexible: f64 = columns.iter().zip(&widths).filter(|(c, _)| c.flexible).map(|(_, w)| w).sum();
        let least = room * 0.16 * columns.iter().filter(|c| c.flexible).count() as f64;
        let fixed = natural - flexible;
        if flexible > 0.0 && fixed + least.min(flexible) <= room {
            let share = (room - fixed) / flexible;
            columns.iter().zip(&mut widths).filter(|(c, _)| c.flexible).for_each(|(_, w)| *w *= share);
        } else {
            squeeze(&mut widths, room);
        }
    }
    let left_over = (room - widths.iter().sum::<f64>()).max(0.0);
    let wider = (left_over / (count - 1.0).max(1.0)).min(style.body * 2.2);
    let rest = left_over - wider * (count - 1.0);
    if let Some(index) = columns.iter().position(|c| c.flexible) {
        widths[index] += rest.max(0.0);
    }
    let mut x = 0.0;
    widths
        .iter()
        .map(|width| {
            let span = Span { x, width: *width };
            x += width + least_gap + wider;
            span
        })
        .collect()
}

/// Lowers the widest widths to one common limit so that all fit into `room`.
fn squeeze(widths: &mut [f64], room: f64) {
    let mut sorted: Vec<f64> = widths.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut left = room;
    let mut limit = 0.0;
    for (index, width) in sorted.iter().enumerate() {
        limit = left / (sorted.len() - index) as f64;
        if *width > limit {
            break;
        }
        left -= width;
    }
    widths.iter_mut().for_each(|width| *width = width.min(limit));
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn squeezing_lowers_only_the_wide_ones_and_fills_the_room() {
        let mut widths = [5.0, 50.0, 10.0, 100.0];
        squeeze(&mut widths, 60.0);
        assert_eq!(widths, [5.0, 22.5, 10.0, 22.5]);
    }
}
