//! What is looked at before an SVG is handed on: how deep it nests, how much its references come to, what it holds
//! that draws no outline.

use super::long;
use super::styles::{self, Sheets};
use crate::MOST_PIECES;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::told::Told;
use crate::watch::Watch;
use std::collections::HashMap;
use usvg::roxmltree::{Document, Error, Node, NodeId};

/// XML nodes, at most; as many elements as are read fit, with line breaks between them and what draws nothing.
pub(super) const MOST_NODES: u32 = 1_500_000;
/// Elements after all references are followed, at most: the library takes time and memory for each.
pub(super) const MOST_ELEMENTS: usize = 300_000;
/// Elements within elements, references followed, at most: each takes a step of recursion.
const DEEPEST: usize = 100;

/// An XML error as a sentence.
pub(super) fn explain(error: &Error, text: &str) -> Trouble {
    let at = error.pos();
    match error {
        Error::NodesLimitReached => Trouble::TooManyElements("more than a million".to_owned(), MOST_ELEMENTS),
        Error::EntityReferenceLoop(_) => Trouble::Recursion(format!(
            "an XML entity refers to itself or expands without end, line {}",
            at.row
        )),
        Error::UnclosedRootNode | Error::UnexpectedEndOfStream => {
            Trouble::Truncated(format!("at line {}, before its root element is closed", text.lines().count()))
        }
        other if other.pos().row as usize >= text.lines().count() && !text.trim_end().ends_with("</svg>") => {
            Trouble::Truncated(format!("at line {}, inside an element", at.row))
        }
        _ => Trouble::Damaged(format!("it is no well-formed XML at line {}, column {}", at.row, at.col)),
    }
}

/// Refuses what would nest or multiply without bound, or take the library too long.
pub(super) fn check(document: &Document<'_>, watch: &Watch) -> Result<(), Trouble> {
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(Trouble::NotADrawing(format!("its root element is {}, not svg", root.tag_name().name())));
    }
    let sheets = Sheets::of(document);
    let ids: HashMap<&str, Node<'_, '_>> =
        document.descendants().filter_map(|n| n.attribute("id").map(|id| (id, n))).collect();
    let mut count = Count { ids, known: HashMap::new(), path: Vec::new(), watch };
    let mut total = count.of(root)?;
    for (id, times) in sheets.references(document, total.elements) {
        let Some(&target) = count.ids.get(id) else { continue };
        let times = usize::try_from(times).unwrap_or(usize::MAX);
        total = total.and(count.of(target)?.times(times));
    }
    let found = |total: usize| {
        if total == usize::MAX { "more than can be counted".to_owned() } else { total.to_string() }
    };
    if total.elements > MOST_ELEMENTS {
        return Err(Trouble::TooManyElements(found(total.elements), MOST_ELEMENTS));
    }
    if total.pieces > MOST_PIECES {
        return Err(Trouble::TooManyPieces(found(total.pieces)));
    }
    sheets.check(document, total.elements, total.depth, total.styles)
}

/// What a node comes to with all that is below it and that it refers to, itself included.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    elements: usize,
    /// Elements within elements.
    depth: usize,
    /// Lines and curves of paths and shapes.
    pieces: usize,
    /// What style attributes cost to read.
    styles: u64,
}

impl Sum {
    fn and(self, other: Self) -> Self {
        Self {
            elements: self.elements.saturating_add(other.elements),
            depth: self.depth.max(other.depth),
            pieces: self.pieces.saturating_add(other.pieces),
            styles: self.styles.saturating_add(other.styles),
        }
    }

    fn times(self, times: usize) -> Self {
        Self {
            elements: self.elements.saturating_mul(times),
            pieces: self.pieces.saturating_mul(times),
            styles: self.styles.saturating_mul(times as u64),
            ..self
        }
    }
}

struct Count<'a, 'd, 'w> {
    ids: HashMap<&'a str, Node<'a, 'd>>,
    known: HashMap<NodeId, Sum>,
    path: Vec<NodeId>,
    watch: &'w Watch,
}

impl<'a> Count<'a, '_, '_> {
    fn of(&mut self, node: Node<'a, '_>) -> Result<Sum, Trouble> {
        if let Some(&known) = self.known.get(&node.id()) {
            return if self.path.len() + known.depth > DEEPEST { Err(self.too_deep()) } else { Ok(known) };
        }
        if self.path.len() >= DEEPEST {
            return Err(self.too_deep());
        }
        self.watch.go_on()?;
        self.path.push(node.id());
        let mut total = own(node);
        for child in node.children().filter(Node::is_element) {
            total = total.and(self.of(child)?);
        }
        for id in references(node) {
            let Some(&target) = self.ids.get(id) else { continue };
            if self.path.contains(&target.id()) {
                return Err(Trouble::Recursion(format!("element \"{id}\" contains a reference to itself")));
            }
            total = total.and(self.of(target)?);
        }
        self.path.pop();
        total.depth += 1;
        self.known.insert(node.id(), total);
        Ok(total)
    }

    fn too_deep(&self) -> Trouble {
        Trouble::Recursion(format!("elements nest more than {DEEPEST} deep"))
    }
}

/// What an element comes to by itself.
fn own(node: Node<'_, '_>) -> Sum {
    let data = |name: &str| node.attribute(name).map_or(0, long::segments);
    let pieces = match node.tag_name().name() {
        "path" => data("d"),
        "polygon" | "polyline" => data("points"),
        "rect" | "circle" | "ellipse" => 8,
        "line" => 1,
        _ => 0,
    };
    let styles = node.attribute("style").map_or(0, styles::read_cost);
    Sum { elements: 1, depth: 0, pieces, styles }
}

/// Ids that an element pulls in: by `href`, or as `url(#id)` in a style or attribute. Masks, filters and markers are not
/// applied, clip paths by their boxes.
fn references<'a>(node: Node<'a, '_>) -> impl Iterator<Item = &'a str> {
    node.attributes().flat_map(|a| {
        let value: &'a str = a.value();
        let href = (a.name() == "href").then(|| value.trim().strip_prefix('#')).flatten();
        href.into_iter().chain(styles::urls(value))
    })
}

/// Counts what draws no outline or is hidden.
pub(super) fn note_left_out(document: &Document<'_>, notes: &mut Notes) {
    for node in document.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        let place = || {
            let line = document.text_pos_at(node.range().start).row;
            match node.attribute("id") {
                Some(id) => format!("{name} \"{id}\", line {line}"),
                None => format!("{name}, line {line}"),
            }
        };
        if masked(node) {
            let what = "masks are not applied: the whole shape is read".to_owned();
            notes.add(DiagnosticSeverity::Warning, what, place);
        }
        let what = match name {
            "text" => "text left out: it draws no outline; turn it into paths if it should".into(),
            "image" => Told::no_outline("image"),
            "foreignObject" => Told::no_outline("foreign object"),
            "g" | "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" | "use"
                if hidden(node) =>
            {
                "hidden element left out".into()
            }
            _ => continue,
        };
        notes.add(DiagnosticSeverity::Skipped, what, place);
    }
}

fn masked(node: Node<'_, '_>) -> bool {
    let refers = |value: &str| value.contains("url(");
    let of_style = |style: &str| {
        style.split(';').any(|d| d.split_once(':').is_some_and(|(p, v)| p.trim() == "mask" && refers(v)))
    };
    node.attribute("mask").is_some_and(refers) || node.attribute("style").is_some_and(of_style)
}

fn hidden(node: Node<'_, '_>) -> bool {
    let style = |property: &str, value: &str| {
        node.attribute(property) == Some(value)
            || node.attribute("style").is_some_and(|style| {
                style.split(';').any(|d| {
                    d.split_once(':').is_some_and(|(p, v)| p.trim() == property && v.trim() == value)
                })
            })
    };
    style("display", "none") || style("visibility", "hidden") || style("visibility", "collapse")
}
