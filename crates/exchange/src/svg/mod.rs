//! SVG files, through `usvg`, which resolves shapes, styles, symbols and transforms to paths.

mod figures;
mod guard;
mod long;
mod path;
mod size;
mod styles;
mod text;
mod written;

use crate::curve::{Curve, Stretch};
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::drawing::{Format, Sketch, Sources};
use crate::dxf::{Source, Trouble};
use crate::layer::{self, LayerUse, Line};
use crate::picture::Beside;
use crate::subpath::subpaths;
use crate::watch::Stage;
use crate::{ImportOptions, MOST_ENTITIES};
use glam::{DAffine2, DMat2, DVec2};
use std::collections::{BTreeMap, HashMap};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Layer name of what lies in no named group.
const NO_GROUP: &str = "no group";

/// Reads an SVG file into curves, y upwards from the lower edge of the page.
pub(crate) fn read(bytes: &[u8], options: &ImportOptions, notes: &mut Notes) -> Result<Sketch, Trouble> {
    let text = std::str::from_utf8(bytes).map_err(|e| {
        Trouble::Damaged(format!("byte {} is no UTF-8 text, in which an SVG is written", e.valid_up_to()))
    })?;
    let watch = notes.watch;
    watch.enter(Stage::Entities)?;
    text::check(text)?;
    let document = parse(text)?;
    watch.go_on()?;
    guard::check(&document, watch)?;
    figures::check(&document)?;
    guard::note_left_out(&document, notes);
    watch.enter(Stage::Placing)?;
    let long = long::Long::find(&document, text);
    let (tree, document) = if long.is_empty() {
        (to_tree(&document)?, document)
    } else {
        let short = long.text();
        (to_tree(&parse(&short)?)?, document)
    };
    watch.go_on()?;
    let size = DVec2::new(f64::from(tree.size().width()), f64::from(tree.size().height()));
    let frame = size::frame(&document, size, options.unit);
    // Pixels to the drawing's unit, y turned upwards.
    let map = DAffine2::from_scale(DVec2::splat(frame.units_per_px))
        * DAffine2::from_mat2_translation(
            DMat2::from_diagonal(DVec2::new(1.0, -1.0)),
            DVec2::new(0.0, size.y),
        );
    let names = names_of_groups(&document);
    let found = written::Found::of(&document, size, &map);
    drop(document);
    let mut walk = Walk {
        map,
        names,
        long: &long,
        curves: Vec::new(),
        entries: Vec::new(),
        ids: Vec::new(),
        layers: Vec::new(),
        colours: Vec::new(),
        layer_index: BTreeMap::new(),
        paths: 0,
        page: size,
        background: None,
    };
    walk.group(tree.root(), None, Seen::All, notes)?;
    drop(tree);
    walk.finish(options, frame, found, notes)
}

fn parse(text: &str) -> Result<usvg::roxmltree::Document<'_>, Trouble> {
    let xml = usvg::roxmltree::ParsingOptions {
        // Entities are common in older files; what they come to has been looked at.
        allow_dtd: true,
        nodes_limit: guard::MOST_NODES,
        ..Default::default()
    };
    usvg::roxmltree::Document::parse_with_options(text, xml).map_err(|e| guard::explain(&e, text))
}

fn to_tree(document: &usvg::roxmltree::Document<'_>) -> Result<usvg::Tree, Trouble> {
    let options = usvg::Options {
        // Nothing outside the file is opened, and pictures inside it draw no outline.
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        // Arrow heads would come back as paths; the others take time and are not applied. Important, since what stands
        // on an element comes later.
        style_sheet: Some(
            "* { marker-start: none !important; marker-mid: none !important; marker-end: none !important; \
             mask: none !important; filter: none !important; \
             stroke-dasharray: none !important; stroke-linejoin: bevel !important; \
             stroke-linecap: butt !important }"
                .to_owned(),
        ),
        ..usvg::Options::default()
    };
    // The guard has bounded what the library is given; a panic in it must not reach the user all the same.
    match catch_unwind(AssertUnwindSafe(|| usvg::Tree::from_xmltree(document, &options))) {
        Ok(Ok(tree)) => Ok(tree),
        Ok(Err(usvg::Error::ElementsLimitReached)) => {
            Err(Trouble::TooManyElements("more than a million".to_owned(), guard::MOST_ELEMENTS))
        }
        Ok(Err(usvg::Error::InvalidSize)) => {
            Err(Trouble::Damaged("its width, height or view box is not a positive number".to_owned()))
        }
        Ok(Err(_)) | Err(_) => Err(Trouble::Damaged("its shapes cannot be calculated".to_owned())),
    }
}

/// What drawing programs call their groups, where they give them a name beside the id.
fn names_of_groups(document: &usvg::roxmltree::Document<'_>) -> HashMap<String, String> {
    let groups = document.descendants().filter(|n| n.has_tag_name((SVG, "g")));
    let named = |n: usvg::roxmltree::Node<'_, '_>| {
        let label = n.attributes().find(|a| a.name() == "label" && a.namespace().is_some())?;
        let label = label.value().trim();
        (!label.is_empty()).then(|| Some((n.attribute("id")?.to_owned(), label.to_owned()))).flatten()
    };
    groups.filter_map(named).collect()
}

/// The name space of SVG.
const SVG: &str = "http://www.w3.org/2000/svg";

struct Walk<'l> {
    map: DAffine2,
    /// Names of groups by their ids.
    names: HashMap<String, String>,
    long: &'l long::Long<'l>,
    curves: Vec<(Curve, u32)>,
    entries: Vec<Source>,
    ids: Vec<String>,
    layers: Vec<String>,
    /// Of each layer, that of its first line.
    colours: Vec<Option<[u8; 3]>>,
    layer_index: BTreeMap<String, u32>,
    paths: u64,
    /// Size of the page, pixels.
    page: DVec2,
    /// Curves of a rectangle without an edge that fills the page, and how many more were drawn before and after.
    background: Option<std::ops::Range<usize>>,
}

impl Walk<'_> {
    fn layer(&mut self, name: &str) -> u32 {
        if let Some(&at) = self.layer_index.get(name) {
            return at;
        }
        let at = self.layers.len() as u32;
        self.layers.push(name.to_owned());
        self.colours.push(None);
        self.layer_index.insert(name.to_owned(), at);
        at
    }

    fn group(
        &mut self,
        group: &usvg::Group,
        layer: Option<u32>,
        seen: Seen,
        notes: &mut Notes,
    ) -> Result<(), Trouble> {
        notes.watch.go_on()?;
        let layer = match group.id() {
            "" => layer,
            id => {
                let name = self.names.get(id).cloned().unwrap_or_else(|| id.to_owned());
                Some(self.layer(&name))
            }
        };
        let seen = group.clip_path().map_or(seen, |path| seen.through(box_of(path, group)));
        let shown = group.opacity().get() > 0.0;
        for node in group.children() {
            match node {
                usvg::Node::Group(inner) if shown => self.group(inner, layer, seen, notes)?,
                usvg::Node::Path(path) => {
                    self.paths += 1;
                    let place = || format!("path number {}", self.paths);
                    if !shown || !path.is_visible() {
                        let what = "path left out: it is not visible".to_owned();
                        notes.add(DiagnosticSeverity::Skipped, what, place);
                    } else {
                        let layer = layer.unwrap_or_else(|| self.layer(NO_GROUP));
                        if !self.path(path, layer, seen)? {
                            let what =
                                "path left out: its edge lies outside the clip path that it is seen through";
                            let place = || format!("path number {}", self.paths);
                            notes.add(DiagnosticSeverity::Skipped, what.to_owned(), place);
                        }
                    }
                }
                usvg::Node::Group(_) => {
                    let what = "group left out: it is not visible".to_owned();
                    notes.add(DiagnosticSeverity::Skipped, what, || "SVG group".to_owned());
                }
                // Counted from the document, where they have names.
                usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
        }
        Ok(())
    }

    /// Takes a path, if all of it is seen.
    fn path(&mut self, path: &usvg::Path, layer: u32, seen: Seen) -> Result<bool, Trouble> {
        let t = path.abs_transform();
        let [sx, ky, kx, sy, tx, ty] = [t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from);
        let place = DAffine2::from_cols(DVec2::new(sx, ky), DVec2::new(kx, sy), DVec2::new(tx, ty));
        let map = self.map * place;
        let drawn = subpaths(self.long.steps(path.data()));
        if !seen.holds(&drawn, &place) {
            return Ok(false);
        }
        let begin = self.curves.len();
        let pale = path.fill().is_some_and(|fill| match fill.paint() {
            usvg::Paint::Color(c) => [c.red, c.green, c.blue].iter().all(|part| *part >= PALE),
            _ => false,
        });
        if path.stroke().is_none() && pale && fills(&drawn, &place, self.page) {
            self.background = Some(begin..begin + drawn.len());
        }
        let edge = path.stroke().map(|stroke| stroke.paint());
        if let (slot @ None, Some(usvg::Paint::Color(c))) = (&mut self.colours[layer as usize], edge) {
            *slot = Some([c.red, c.green, c.blue]);
        }
        for curve in drawn {
            self.curves.push((curve.transformed(&map), self.entries.len() as u32));
            self.entries.push(Source {
                kind: "path",
                layer,
                line: Line::Through,
                handle: 0,
                place: self.paths,
            });
            self.ids.push(path.id().to_owned());
        }
        match self.curves.len() {
            // A path of many short lines is as many curves.
            many if many > MOST_ENTITIES => Err(Trouble::TooMany(format!("more than {MOST_ENTITIES}"))),
            _ => Ok(true),
        }
    }

    fn finish(
        mut self,
        options: &ImportOptions,
        frame: size::Frame,
        found: written::Found,
        notes: &mut Notes,
    ) -> Result<Sketch, Trouble> {
        if let Some(of) = self.background.take()
            && of.len() < self.curves.len()
        {
            let what = "rectangle without an edge left out: it fills the page as its background".to_owned();
            notes.add(DiagnosticSeverity::Skipped, what, || "page".to_owned());
            self.curves.drain(of);
        }
        let of = self.entries.iter().map(|entry| entry.layer);
        let mut layers = layer::of_paths(&self.layers, of);
        layers.iter_mut().zip(&self.colours).for_each(|(layer, colour)| layer.colour = *colour);
        layer::pick(&mut layers, options, "group", notes).map_err(|says| Trouble::Empty(says.into()))?;
        let entries = &self.entries;
        let used = |source: u32| layers[entries[source as usize].layer as usize].used;
        let written = found.markings(&self.curves);
        let mut beside = Beside::default();
        self.curves.retain(|(curve, source)| {
            let keep = used(*source) != LayerUse::LeftOut;
            if !keep {
                beside.curve(curve, &DAffine2::IDENTITY);
            }
            keep
        });
        let sources = Sources { entries: self.entries, layers: self.layers, format: Format::Svg(self.ids) };
        let size::Frame { said: unit, hint: unit_hint, pixels, .. } = frame;
        Ok(Sketch {
            curves: self.curves,
            sources,
            layers,
            written,
            beside,
            unit,
            unit_hint,
            pixels,
            page: None,
        })
    }
}

/// The box of a clip path on the page.
fn box_of(path: &usvg::ClipPath, group: &usvg::Group) -> Option<usvg::Rect> {
    path.root().bounding_box().transform(path.transform())?.transform(group.abs_transform())
}

/// What is seen through clip paths, as a box on the page.
#[derive(Debug, Clone, Copy)]
enum Seen {
    All,
    Box(usvg::Rect),
    Nothing,
}

impl Seen {
    /// Through one more.
    fn through(self, path: Option<usvg::Rect>) -> Self {
        match (self, path) {
            (Seen::All, Some(path)) => Seen::Box(path),
            (Seen::Box(seen), Some(path)) => seen.intersect(&path).map_or(Seen::Nothing, Seen::Box),
            _ => Seen::Nothing,
        }
    }

    /// Whether all of a path is seen, but for a line's width; `place` puts it on the page.
    fn holds(self, drawn: &[Curve], place: &DAffine2) -> bool {
        let Seen::Box(seen) = self else { return matches!(self, Seen::All) };
        let (mut min, mut max) = (DVec2::MAX, DVec2::MIN);
        for curve in drawn {
            curve.transformed(place).outline_points(|p| (min, max) = (min.min(p), max.max(p)));
        }
        let slack = 0.5 + 2e-3 * (max - min).max_element();
        let [left, top, right, bottom] =
            [seen.left(), seen.top(), seen.right(), seen.bottom()].map(f64::from);
        min.x >= left - slack && max.x <= right + slack && min.y >= top - slack && max.y <= bottom + slack
    }
}

/// From this on, of 255 in each colour, a filled page is paper; a darker one is a part with its holes in another colour.
const PALE: u8 = 230;

/// Whether what is drawn is one rectangle over all of a page.
fn fills(drawn: &[Curve], place: &DAffine2, page: DVec2) -> bool {
    let [Curve::Path { stretches, closed: true }] = drawn else { return false };
    if stretches.len() != 4 || stretches.iter().any(|s| !matches!(s, Stretch::Piece(_))) {
        return false;
    }
    let (mut min, mut max) = (DVec2::MAX, DVec2::MIN);
    drawn[0].transformed(place).outline_points(|p| (min, max) = (min.min(p), max.max(p)));
    let slack = 2e-3 * page.max_element();
    min.max_element() <= slack && (page - max).max_element() <= slack
}
