//! Figures that stand over lines: the dimensions of a drawing that has none of their own kind, as a PDF, an SVG or a DXF whose
//! dimensions were taken apart.

use crate::curve::{Curve, Stretch};
use crate::marks::{Dimension, Text, figure_in};
use crate::piece::Piece;
use glam::DVec2;

/// A longer text is no dimension.
const MOST_OF_A_FIGURE: usize = 14;
/// Lines that are looked at for every figure.
const MOST_LINES: usize = 4_000;
/// Figures that are looked at.
const MOST_FIGURES: usize = 500;
/// How far a figure may stand from the line that it measures, over its height.
const NEAR: f64 = 2.2;
/// Longest arrow head, over the height of letters.
const ARROW: f64 = 2.5;
/// Shortest line that a figure stands over, over its height and over its width: a shorter one leads to something.
const SHORTEST: (f64, f64) = (2.0, 1.2);

/// The lines that figures measure.
pub(crate) fn dimensions<'a>(texts: &[Text], curves: impl Iterator<Item = &'a Curve>) -> Vec<Dimension> {
    let figures: Vec<&Text> = texts
        .iter()
        .filter(|text| text.up != DVec2::ZERO && is_figure(&text.says))
        .take(MOST_FIGURES)
        .collect();
    if figures.is_empty() {
        return Vec::new();
    }
    let lines: Vec<[DVec2; 2]> = curves.filter_map(line).take(MOST_LINES).collect();
    let measured = |text: &&Text| {
        let printed = figure_in(&text.says)?;
        let ends = over(text, &lines).or_else(|| between(text, &lines))?;
        let ends = [reaching(ends[0], ends[1], text, &lines), reaching(ends[1], ends[0], text, &lines)];
        Some(Dimension { ends, measured: ends[0].distance(ends[1]), printed: Some(printed) })
    };
    figures.iter().filter_map(measured).collect()
}

/// Whether a text is a figure alone, as a dimension prints it; a radius or an angle measures no line, a date nothing.
fn is_figure(says: &str) -> bool {
    let says = says.trim();
    let short = says.chars().count() <= MOST_OF_A_FIGURE && says.chars().any(|c| c.is_ascii_digit());
    let of_no_line = says.contains([':', '\u{b0}', '/', '-']) || says.starts_with(['R', 'r', 'M', 'G', 'A']);
    let letters: String = says.chars().filter(|c| c.is_alphabetic()).collect();
    short && !of_no_line && letters.chars().count() <= 3 && !letters.contains("kg")
}

/// The nearest straight line over or along whose middle a figure stands.
fn over(text: &Text, lines: &[[DVec2; 2]]) -> Option<[DVec2; 2]> {
    let height = text.up.length();
    let least = (SHORTEST.0 * height).max(SHORTEST.1 * text.wide());
    let away = |[from, to]: &[DVec2; 2]| {
        let way = *to - *from;
        let length = way.length();
        let share = (text.middle - *from).dot(way) / (length * length);
        let off = (text.middle - *from).perp_dot(way).abs() / length;
        let over = (0.3..=0.7).contains(&share) && off <= NEAR * height;
        (length >= least && over).then_some(off)
    };
    let near = lines.iter().filter_map(|line| Some((away(line)?, *line)));
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, line)| line)
}

/// The far ends of two lines in one row that leave room for a figure between them.
fn between(text: &Text, lines: &[[DVec2; 2]]) -> Option<[DVec2; 2]> {
    let height = text.up.length();
    let room = text.wide() / 2.0 + 2.0 * height;
    // The end next to the figure, then the far one.
    let arm = |line: &[DVec2; 2]| {
        let mut ends = *line;
        ends.sort_by(|a, b| a.distance(text.middle).total_cmp(&b.distance(text.middle)));
        let [near, far] = ends;
        let way = (far - near).normalize_or_zero();
        let gap = near - text.middle;
        let leads = gap.dot(way) >= 0.0 && gap.dot(way) <= room && gap.perp_dot(way).abs() <= 0.7 * height;
        (leads && way != DVec2::ZERO).then_some((near, far, way))
    };
    let arms: Vec<_> = lines.iter().filter_map(arm).take(64).collect();
    let mut best: Option<(f64, [DVec2; 2])> = None;
    for (i, (near, far, way)) in arms.iter().enumerate() {
        for (other_near, other_far, other_way) in &arms[i + 1..] {
            let gap = near.distance(*other_near);
            let in_row =
                way.dot(*other_way) < -0.999 && (*far - *other_far).perp_dot(*way).abs() < 0.1 * height;
            if in_row && best.is_none_or(|(least, _)| gap < least) {
                best = Some((gap, [*far, *other_far]));
            }
        }
    }
    best.map(|(_, ends)| ends)
}

/// Where the line that stands across the end of a dimension line meets it: an arrow head lies between the two.
fn reaching(end: DVec2, other: DVec2, text: &Text, lines: &[[DVec2; 2]]) -> DVec2 {
    let height = text.up.length();
    let out = (end - other).normalize_or_zero();
    let beyond = |[from, to]: &[DVec2; 2]| {
        let across = (*to - *from).normalize_or_zero();
        let [a, b] = [from, to].map(|p| (*p - end).perp_dot(out));
        let stands = across.dot(out).abs() < 0.02 && a.min(b) <= height && a.max(b) >= -height;
        let by = (*from - end).dot(out);
        (stands && (0.0..=ARROW * height).contains(&by)).then_some(by)
    };
    let by = lines.iter().filter_map(beyond).min_by(f64::total_cmp);
    end + out * by.unwrap_or(0.0)
}

/// The ends of a curve that is one straight line.
fn line(curve: &Curve) -> Option<[DVec2; 2]> {
    let piece = match curve {
        Curve::Single(Stretch::Piece(piece)) => *piece,
        Curve::Path { stretches, closed: false } => match stretches.as_slice() {
            [Stretch::Piece(piece)] => *piece,
            _ => return None,
        },
        Curve::Chain { vertices, closed: false } => match vertices.as_slice() {
            [from, to] if from.bulge == 0.0 => Piece::line(from.at, to.at),
            _ => return None,
        },
        _ => return None,
    };
    (piece.is_straight() && piece.from != piece.to).then_some([piece.from, piece.to])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(says: &str, middle: (f64, f64)) -> Text {
        let middle = DVec2::from(middle);
        Text { at: middle, says: says.to_owned(), layer: None, middle, up: DVec2::new(0.0, 5.0) }
    }

    fn lines(of: &[[f64; 4]]) -> Vec<Curve> {
        let piece = |[a, b, c, d]: &[f64; 4]| Piece::line(DVec2::new(*a, *b), DVec2::new(*c, *d));
        of.iter().map(|line| Curve::Single(Stretch::Piece(piece(line)))).collect()
    }

    fn measured(says: &str, middle: (f64, f64), of: &[[f64; 4]]) -> Option<f64> {
        dimensions(&[text(says, middle)], lines(of).iter()).first().map(|d| d.measured)
    }

    #[test]
    fn a_figure_measures_the_line_it_stands_over_or_the_two_it_stands_between() {
        assert_eq!(measured("400", (100.0, 4.0), &[[0.0, 0.0, 200.0, 0.0]]), Some(200.0));
        assert_eq!(
            measured("400", (100.0, 0.0), &[[0.0, 0.0, 90.0, 0.0], [110.0, 0.0, 200.0, 0.0]]),
            Some(200.0)
        );
        // Arrow heads stand between the dimension line and the lines across its ends.
        let arrows = [[1.0, 0.0, 199.0, 0.0], [0.0, -30.0, 0.0, 4.0], [200.0, -30.0, 200.0, 4.0]];
        assert_eq!(measured("400", (100.0, 4.0), &arrows), Some(200.0));
        // Not in one row, a line that leads to something, a date, a sheet of paper.
        assert_eq!(measured("400", (100.0, 0.0), &[[0.0, 0.0, 90.0, 0.0], [110.0, 3.0, 200.0, 3.0]]), None);
        assert_eq!(measured("4x \u{d8}12.5", (12.0, 2.0), &[[0.0, 0.0, 25.0, 0.0]]), None);
        assert_eq!(measured("2026-11-30", (100.0, 4.0), &[[0.0, 0.0, 200.0, 0.0]]), None);
        assert_eq!(measured("A3", (100.0, 4.0), &[[0.0, 0.0, 200.0, 0.0]]), None);
        assert_eq!(measured("12.5 kg", (100.0, 4.0), &[[0.0, 0.0, 200.0, 0.0]]), None);
    }
}
