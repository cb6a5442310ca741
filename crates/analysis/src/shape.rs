//! What depends on the part's drawing alone: section, sound surface, landing regions.

use crate::memo::Shared;
use document::{Part, PartId};
use geometry::{LandingIndex, LandingRegion, LipShape, Loop, Outline, Section, SoundSurface};
use glam::DVec2;
use std::sync::{Arc, OnceLock};
use units::Worded;

/// The drawing of a part: everything that a change of outline or keep-outs touches and nothing else.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawing {
    pub outline: Shared<Outline>,
    pub keep_outs: Vec<Shared<Loop>>,
}

impl Drawing {
    pub(crate) fn of(part: &Part) -> Self {
        Self {
            outline: Shared(Arc::clone(&part.outline)),
            keep_outs: part.keep_outs.iter().map(|k| Shared(Arc::clone(&k.area))).collect(),
        }
    }

    pub(crate) fn loops(&self) -> Vec<Loop> {
        self.keep_outs.iter().map(|area| Loop::clone(&area.0)).collect()
    }
}

/// A drawing that can be worked with, prepared for many cups.
pub(crate) struct Shape {
    pub section: Section,
    pub surface: SoundSurface,
    pub perimeter: f64,
    pub holes: usize,
    /// x0, y0, x1, y1.
    pub bounds: [f64; 4],
    /// From the centroid to the farthest corner: no point of a landed lip turns on a longer arm.
    pub reach: f64,
}

impl Shape {
    /// # Errors
    /// All problems of the drawing as sentences.
    pub(crate) fn prepare(drawing: &Drawing) -> Result<Self, Vec<Worded>> {
        let outline = &drawing.outline.0;
        let mut problems: Vec<Worded> =
            geometry::validate(outline).iter().map(geometry::OutlineProblem::worded).collect();
        let prepared = geometry::section(outline).zip(outline.outer.bounds());
        let Some((section, bounds)) = prepared else {
            if problems.is_empty() {
                problems.push("the outline encloses no area: draw or import a closed outline".into());
            }
            return Err(problems);
        };
        if !problems.is_empty() {
            return Err(problems);
        }
        let perimeter = outline.outer.perimeter() + outline.holes.iter().map(Loop::perimeter).sum::<f64>();
        let corners = [
            bounds.min,
            bounds.max,
            (bounds.min.x, bounds.max.y).into(),
            (bounds.max.x, bounds.min.y).into(),
        ];
        let reach = outline
            .outer
            .flatten(0.1)
            .iter()
            .map(|point| point.distance(section.centroid))
            .fold(0.0, f64::max)
            .min(
                corners
                    .iter()
                    .map(|corner: &glam::DVec2| corner.distance(section.centroid))
                    .fold(0.0, f64::max),
            );
        Ok(Self {
            section,
            surface: SoundSurface::new(outline, &drawing.loops()),
            perimeter,
            holes: outline.holes.len(),
            bounds: [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y],
            reach,
        })
    }
}

/// What a landing region was made from. `drawing` counts the drawings of the part seen so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RegionKey {
    pub part: PartId,
    pub drawing: u64,
    pub shape: LipShape,
    pub turn: f64,
    pub margin: f64,
}

/// Landing regions kept at hand, most recently used last.
#[derive(Debug, Default)]
pub(crate) struct Regions {
    held: Vec<(RegionKey, Arc<Region>)>,
    made: u64,
}

/// A landing region, indexed once somebody asks for the nearest place.
#[derive(Debug, Default)]
pub(crate) struct Region {
    pub all: Arc<LandingRegion>,
    index: OnceLock<LandingIndex>,
}

impl Region {
    pub(crate) fn contains(&self, point: DVec2) -> bool {
        self.index().contains(point)
    }

    pub(crate) fn nearest(&self, point: DVec2) -> Option<DVec2> {
        self.index().nearest(point)
    }

    fn index(&self) -> &LandingIndex {
        self.index.get_or_init(|| self.all.index())
    }
}

/// Turning a long cup makes a region for every angle on the way; older ones are let go.
const REGIONS_KEPT: usize = 24;
/// Corners of the part, its holes each walked round with the lip, above which no region is worked out.
const MOST_CORNERS: usize = 1_500_000;

impl Regions {
    /// `None` where the part has too many corners for it, which is a matter of its holes above all.
    pub(crate) fn get(&mut self, mut key: RegionKey, drawing: &Drawing) -> Option<Arc<Region>> {
        if matches!(key.shape, LipShape::Round { .. }) {
            key.turn = 0.0;
        }
        if let Some(at) = self.held.iter().position(|(held, _)| *held == key) {
            let found = self.held.remove(at);
            let region = Arc::clone(&found.1);
            self.held.push(found);
            return Some(region);
        }
        let outline = &drawing.outline.0;
        // A lip or margin beyond the part has no place on it, however absurd its figure.
        let widest = outline.outer.bounds().map_or(0.0, |bounds| bounds.min.distance(bounds.max));
        let all = if key.shape.size().max_element() + key.margin > widest {
            Arc::default()
        } else {
            let areas = drawing.loops();
            if geometry::landing_corners(outline, &areas, &key.shape, key.margin) > MOST_CORNERS {
                return None;
            }
            Arc::new(geometry::landing_region(outline, &areas, &key.shape, key.turn, key.margin))
        };
        self.made += 1;
        if self.held.len() >= REGIONS_KEPT {
            self.held.remove(0);
        }
        let region = Arc::new(Region { all, index: OnceLock::new() });
        self.held.push((key, Arc::clone(&region)));
        Some(region)
    }

    /// How many regions were worked out.
    #[cfg(test)]
    pub(crate) fn made(&self) -> u64 {
        self.made
    }
}
