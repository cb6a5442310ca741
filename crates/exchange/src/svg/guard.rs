//! What is looked at before an SVG is handed on: how deep it nests, how much its references come to, what it holds
//! that draws no outline.

use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use std::collections::HashMap;
use usvg::roxmltree::{Document, Error, Node, NodeId};

/// XML nodes, at most; a million paths with line breaks between them fit.
pub(super) const MOST_NODES: u32 = 4_000_000;
/// Elements after all references are followed, at most. (The library refuses more than a million of its own.)
const MOST_ELEMENTS: usize = 1_000_000;
/// Elements within elements, references followed, at most: each takes a step of recursion.
const DEEPEST: usize = 100;

/// An XML error as a sentence.
pub(super) fn explain(error: &Error, text: &str) -> Trouble {
    let at = error.pos();
    match error {
        Error::NodesLimitReached => Trouble::TooMany("more than 4 million XML nodes".to_owned()),
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
        other => Trouble::Damaged(format!("it is no well-formed XML: {other}")),
    }
}

/// Refuses what would nest or multiply without bound.
pub(super) fn check(document: &Document<'_>) -> Result<(), Trouble> {
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(Trouble::NotADrawing(format!("its root element is {}, not svg", root.tag_name().name())));
    }
    let ids: HashMap<&str, Node<'_, '_>> =
        document.descendants().filter_map(|n| n.attribute("id").map(|id| (id, n))).collect();
    let mut count = Count { ids, known: HashMap::new(), path: Vec::new() };
    let total = count.of(root)?.0;
    if total > MOST_ELEMENTS {
        let found =
            if total == usize::MAX { "more than can be counted".to_owned() } else { total.to_string() };
        return Err(Trouble::TooMany(found));
    }
    Ok(())
}

struct Count<'a, 'd> {
    ids: HashMap<&'a str, Node<'a, 'd>>,
    /// Elements and depth below a node, itself included.
    known: HashMap<NodeId, (usize, usize)>,
    path: Vec<NodeId>,
}

impl<'a> Count<'a, '_> {
    fn of(&mut self, node: Node<'a, '_>) -> Result<(usize, usize), Trouble> {
        if let Some(&known) = self.known.get(&node.id()) {
            return if self.path.len() + known.1 > DEEPEST { Err(self.too_deep()) } else { Ok(known) };
        }
        if self.path.len() >= DEEPEST {
            return Err(self.too_deep());
        }
        self.path.push(node.id());
        let (mut total, mut depth) = (1usize, 0);
        for child in node.children().filter(Node::is_element) {
            let (below, deep) = self.of(child)?;
            total = total.saturating_add(below);
            depth = depth.max(deep);
        }
        for id in references(node) {
            let Some(&target) = self.ids.get(id) else { continue };
            if self.path.contains(&target.id()) {
                return Err(Trouble::Recursion(format!("element \"{id}\" contains a reference to itself")));
            }
            let (below, deep) = self.of(target)?;
            total = total.saturating_add(below);
            depth = depth.max(deep);
        }
        self.path.pop();
        self.known.insert(node.id(), (total, depth + 1));
        Ok((total, depth + 1))
    }

    fn too_deep(&self) -> Trouble {
        Trouble::Recursion(format!("elements nest more than {DEEPEST} deep"))
    }
}

/// Ids that an element pulls in: by `href`, or as `url(#id)` in a style or attribute.
fn references<'a>(node: Node<'a, '_>) -> impl Iterator<Item = &'a str> {
    node.attributes().flat_map(|a| {
        let value: &'a str = a.value();
        let href = (a.name() == "href").then(|| value.trim().strip_prefix('#')).flatten();
        let urls = value.split("url(").skip(1).filter_map(|rest| {
            let inner = rest.split(')').next()?.trim().trim_matches(['"', '\'']);
            inner.strip_prefix('#')
        });
        href.into_iter().chain(urls)
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
        let what = match name {
            "text" => "text left out: it draws no outline; turn it into paths if it should",
            "image" => "image left out: it draws no outline",
            "foreignObject" => "foreign object left out: it draws no outline",
            "g" | "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" | "use"
                if hidden(node) =>
            {
                "hidden element left out"
            }
            _ => continue,
        };
        notes.add(DiagnosticSeverity::Skipped, what.to_owned(), place);
    }
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
