//! Paths of more than a few segments are kept out of the library, which draws the stroke of each to know its bounds:
//! some 60 µs and 3 kB a curve. In their place stands a triangle that names them; where it ends up says which styles,
//! groups and transforms hold, and the path itself is read here, in full precision. So are paths with arcs, of which the
//! library would make curves.

use super::path;
use crate::subpath::Step;
use glam::DVec2;
use std::ops::Range;
use svgtypes::PointsParser;
use usvg::roxmltree::{Document, Node};
use usvg::tiny_skia_path::{self, PathSegment};

/// Shorter data than this stays: it takes no more room than what stands for it.
const SHORT: usize = 48;
/// First corner of every triangle that stands for a path: exact in single precision, and nobody's corner.
const MARK: (f32, f32) = (-7919.5, 104_729.25);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Path,
    Polygon,
    Polyline,
}

/// The text of a drawing with its long paths taken out, and where they stand in the whole text.
pub(super) struct Long<'t> {
    whole: &'t str,
    taken: Vec<(Kind, Range<usize>)>,
}

impl<'t> Long<'t> {
    /// Finds the long paths of a document that was parsed from `whole`.
    pub(super) fn find(document: &Document<'_>, whole: &'t str) -> Self {
        let mut taken: Vec<(Kind, Range<usize>)> =
            document.descendants().filter_map(|node| of(node, whole)).collect();
        // What stands in an entity comes up once for every reference.
        taken.sort_by_key(|(_, range)| range.start);
        taken.dedup_by(|b, a| a.1.start == b.1.start);
        taken.truncate(1 << 23);
        Self { whole, taken }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.taken.is_empty()
    }

    /// The text with triangles in place of the paths.
    pub(super) fn text(&self) -> String {
        let out_of = self.taken.iter().map(|(_, range)| range.len()).sum::<usize>();
        let mut out = String::with_capacity(self.whole.len() - out_of + SHORT * self.taken.len());
        let mut at = 0;
        for (i, (kind, range)) in self.taken.iter().enumerate() {
            out.push_str(&self.whole[at..range.start]);
            let (x, y, i) = (MARK.0, MARK.1, i + 1);
            out.push_str(&match kind {
                Kind::Path => format!("M{x} {y}L{i} 1L{i} 2"),
                Kind::Polygon | Kind::Polyline => format!("{x} {y} {i} 1 {i} 2"),
            });
            at = range.end;
        }
        out.push_str(&self.whole[at..]);
        out
    }

    /// The steps of the path that a triangle stands for, or of the path itself.
    pub(super) fn steps(&self, path: &tiny_skia_path::Path) -> Box<dyn Iterator<Item = Step> + '_> {
        match self.named_by(path) {
            Some((kind, text)) => read(kind, text),
            None => Box::new(path.segments().map(step).collect::<Vec<Step>>().into_iter()),
        }
    }

    fn named_by(&self, path: &tiny_skia_path::Path) -> Option<(Kind, &'t str)> {
        let mut segments = path.segments();
        match segments.next()? {
            PathSegment::MoveTo(p) if (p.x, p.y) == MARK => {}
            _ => return None,
        }
        let PathSegment::LineTo(p) = segments.next()? else { return None };
        let (kind, range) = self.taken.get((p.x as usize).checked_sub(1)?)?;
        Some((*kind, &self.whole[range.clone()]))
    }
}

/// The long data of an element, if it has any that stands in the text as it is read.
fn of(node: Node<'_, '_>, whole: &str) -> Option<(Kind, Range<usize>)> {
    if !node.is_element() {
        return None;
    }
    let (kind, name) = match node.tag_name().name() {
        "path" => (Kind::Path, "d"),
        "polygon" => (Kind::Polygon, "points"),
        "polyline" => (Kind::Polyline, "points"),
        _ => return None,
    };
    // Arcs are kept as arcs however short the path is.
    let kept = |data: &str| data.len() > SHORT || (kind == Kind::Path && data.contains(['a', 'A']));
    let attribute = node.attribute_node(name).filter(|a| kept(a.value()))?;
    let range = attribute.range_value();
    let quotes = (whole.as_bytes().get(range.start.checked_sub(1)?)?, whole.as_bytes().get(range.end)?);
    let raw = whole.get(range.clone())?;
    // With references in it, or where the place is not kept, the library reads it.
    let plain = raw.len() == attribute.value().len() && !raw.contains(['&', '<']);
    // One point or one bad figure is for the library to pass over.
    let drawn = read(kind, raw).take(2).count() == 2;
    (plain && drawn && quotes.0 == quotes.1 && matches!(quotes.0, b'"' | b'\'')).then_some((kind, range))
}

fn read(kind: Kind, text: &str) -> Box<dyn Iterator<Item = Step> + '_> {
    let point = DVec2::new;
    match kind {
        Kind::Path => Box::new(path::steps(text)),
        Kind::Polygon | Kind::Polyline => {
            let corners = PointsParser::from(text).enumerate().map(move |(i, (x, y))| match i {
                0 => Step::Move(point(x, y)),
                _ => Step::Line(point(x, y)),
            });
            Box::new(corners.chain((kind == Kind::Polygon).then_some(Step::Close)))
        }
    }
}

fn step(segment: PathSegment) -> Step {
    let point = |p: tiny_skia_path::Point| DVec2::new(f64::from(p.x), f64::from(p.y));
    match segment {
        PathSegment::MoveTo(p) => Step::Move(point(p)),
        PathSegment::LineTo(p) => Step::Line(point(p)),
        PathSegment::QuadTo(c, p) => Step::Quad(point(c), point(p)),
        PathSegment::CubicTo(a, b, p) => Step::Cubic(point(a), point(b), point(p)),
        PathSegment::Close => Step::Close,
    }
}

/// Lines and curves that the data of a path comes to, at most: an arc is cut into four or five.
pub(super) fn segments(data: &str) -> usize {
    let mut total = 0usize;
    let (mut command, mut figures) = (b'L', 0usize);
    let mut in_figure = false;
    let close = |command: u8, figures: usize| match command.to_ascii_uppercase() {
        b'H' | b'V' => figures,
        b'C' => figures / 6,
        b'S' | b'Q' => figures / 4,
        // Flags may stand without a gap, so that seven figures may look like five.
        b'A' => figures,
        b'Z' => 1,
        _ => figures.div_ceil(2),
    };
    let mut before = b' ';
    for byte in data.bytes() {
        let exponent = matches!(before, b'e' | b'E');
        let part = byte.is_ascii_digit()
            || byte == b'.'
            || (exponent && matches!(byte, b'-' | b'+'))
            || (in_figure && matches!(byte, b'e' | b'E'));
        // A sign or a second point begins the next figure; two points are few enough to count as two.
        let begins = (part && !in_figure) || (in_figure && byte == b'.');
        figures += usize::from(begins);
        if byte.is_ascii_alphabetic() && !part {
            total = total.saturating_add(close(command, figures));
            (command, figures) = (byte, 0);
        }
        in_figure = part;
        before = byte;
    }
    total.saturating_add(close(command, figures))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn segments_are_counted_at_least_as_many_as_there_are() {
        for data in [
            "M0 0h10v10H0z",
            "M10,10 20,10 20,20z",
            "M0 0C1 2 3 4 5 6 7 8 9 10 11 12S1 2 3 4Q1 1 2 2T9 9",
            "M0 0L1e-3.5-2.5.5L5 5",
            "M0 0a5 5 0 01.5.5A5 5 0 1 1 60 80",
            "m1-1-1 1l.5.5",
        ] {
            let drawn = svgtypes::SimplifyingPathParser::from(data).map_while(Result::ok).count();
            let moves = data.bytes().filter(|b| matches!(b, b'm' | b'M')).count();
            assert!(segments(data) + moves >= drawn, "{data}: {} of {drawn}", segments(data));
            assert!(segments(data) <= 3 * drawn + 4, "{data}: {} of {drawn}", segments(data));
        }
    }

    #[test]
    fn what_is_taken_out_comes_back() {
        let data = (0..30).map(|i| format!("C{i} 1 2 3 4 {i}.25")).collect::<String>();
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><path d=\"M0 0{data}z\"/>\
             <path d=\"M1 1L2 2\"/></svg>"
        );
        let document = Document::parse(&svg).expect("well formed");
        let long = Long::find(&document, &svg);
        let text = long.text();
        assert!(text.contains("d=\"M-7919.5 104729.25L1 1L1 2\"") && text.contains("M1 1L2 2"), "{text}");
        let mut mark = tiny_skia_path::PathBuilder::new();
        mark.move_to(MARK.0, MARK.1);
        mark.line_to(1.0, 1.0);
        mark.line_to(1.0, 2.0);
        let steps: Vec<Step> = long.steps(&mark.finish().expect("a path")).collect();
        assert_eq!(steps.len(), 32);
        assert_eq!(
            steps[30],
            Step::Cubic(DVec2::new(29.0, 1.0), DVec2::new(2.0, 3.0), DVec2::new(4.0, 29.25))
        );
    }
}
