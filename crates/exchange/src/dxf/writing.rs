//! Texts and dimensions of a DXF file, read for what they say.
//!
//! # Source
//! DXF reference, ENTITIES section: TEXT, MTEXT, ATTRIB, DIMENSION (openly published); the kinds of dimension in code 70 from
//! memory.

use super::contents::Contents;
use super::scan::Pair;
use crate::marks::{Dimension, Figure, Markings, Text, figure_in, without_codes};
use glam::{DAffine2, DVec2};

/// Letters of a text that are kept: a line of a title block, not a page of notes.
const LONGEST: usize = 200;
/// Height of a capital, which a text's height is in a DXF, over that of a line of letters.
const CAPITAL: f64 = 0.7;
/// Texts and dimensions kept of one block.
const MOST: usize = 5_000;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Text,
    Dimension,
}

/// A text or dimension being read.
#[derive(Debug)]
pub(super) struct Record {
    kind: Kind,
    says: String,
    /// Points by the tens of their group codes: 10, 13, 14, 15 ...
    points: [DVec2; 6],
    flags: i64,
    rotation_deg: f64,
    height: f64,
    /// Codes 71, 72 and 73: where a text stands to its place.
    stands: [i64; 3],
    many_lines: bool,
}

impl Record {
    /// For the kinds that say something.
    pub(super) fn of_kind(kind: &str) -> Option<Self> {
        let many_lines = kind == "MTEXT";
        let kind = match kind {
            "TEXT" | "MTEXT" | "ATTRIB" => Kind::Text,
            "DIMENSION" => Kind::Dimension,
            _ => return None,
        };
        let (says, points, stands) = (String::new(), [DVec2::ZERO; 6], [0; 3]);
        Some(Self { kind, says, points, flags: 0, rotation_deg: 0.0, height: 0.0, stands, many_lines })
    }

    pub(super) fn take(&mut self, pair: &Pair<'_>) {
        let coordinate = || pair.number().filter(|v| v.is_finite() && v.abs() < 1e12);
        match pair.code {
            1 | 3 if self.says.len() < LONGEST && (pair.code == 1 || self.kind == Kind::Text) => {
                self.says.extend(pair.text().chars().take(LONGEST));
            }
            code @ 10..=15 => self.points[code as usize - 10].x = coordinate().unwrap_or(0.0),
            code @ 20..=25 => self.points[code as usize - 20].y = coordinate().unwrap_or(0.0),
            40 => self.height = coordinate().unwrap_or(0.0),
            50 => self.rotation_deg = coordinate().unwrap_or(0.0),
            70 => self.flags = pair.integer().unwrap_or(0),
            code @ 71..=73 => self.stands[code as usize - 71] = pair.integer().unwrap_or(0),
            _ => {}
        }
    }

    /// As a text with the place and height of its letters.
    fn text(&self, layer: u32) -> Text {
        let [first, second, ..] = self.points;
        let [attached, across, upright] = self.stands;
        let along = if self.many_lines && second != DVec2::ZERO {
            second.normalize_or(DVec2::X)
        } else {
            DVec2::from_angle(self.rotation_deg.to_radians())
        };
        let says = without_codes(&self.says);
        let up = along.perp() * (self.height.max(0.0) / CAPITAL);
        let mut text = Text { at: first, says, layer: Some(layer), middle: first, up };
        let wide = along * text.wide();
        // From the place to the middle, in widths and in heights of capitals.
        let (from, [x, y]) = match (self.many_lines, across, upright) {
            (true, ..) => {
                let column = [0.5, 0.0, -0.5][(attached.clamp(1, 9) - 1) as usize % 3];
                (first, [column, [-0.5, 0.0, 0.5][(attached.clamp(1, 9) - 1) as usize / 3]])
            }
            (false, 0, 0) => (first, [0.5, 0.5]),
            (false, 3 | 5, _) => ((first + second) / 2.0, [0.0, 0.5]),
            (false, 4, _) => (second, [0.0, 0.0]),
            (false, across, upright) => {
                let column = [0.5, 0.0, -0.5][across.clamp(0, 2) as usize];
                (second, [column, [0.5, 0.5, 0.0, -0.5][upright.clamp(0, 3) as usize]])
            }
        };
        text.middle = from + wide * x + up * (CAPITAL * y);
        text
    }

    /// What a dimension measures: between which places, and how much.
    fn measures(&self) -> Option<([DVec2; 2], f64)> {
        let p = &self.points;
        let (ends, measured) = match self.flags & 7 {
            0 => {
                let along = DVec2::from_angle(self.rotation_deg.to_radians());
                ([p[3], p[4]], (p[4] - p[3]).dot(along).abs())
            }
            1 => ([p[3], p[4]], p[3].distance(p[4])),
            3 | 4 => ([p[0], p[5]], p[0].distance(p[5])),
            _ => return None,
        };
        (measured > 0.0).then_some((ends, measured))
    }
}

#[derive(Debug)]
struct Measured {
    ends: [DVec2; 2],
    measured: f64,
    printed: Option<Figure>,
    /// The block that shows it, which holds the text as printed.
    block: Option<String>,
}

/// Texts and dimensions of one block.
#[derive(Debug, Default)]
pub(super) struct Written {
    texts: Vec<Text>,
    dimensions: Vec<Measured>,
}

impl Written {
    /// Adds a record that has ended; `block` is that of a dimension.
    pub(super) fn add(&mut self, record: Record, layer: u32, block: Option<String>) {
        match record.kind {
            Kind::Text if self.texts.len() < MOST && !record.says.trim().is_empty() => {
                self.texts.push(record.text(layer));
            }
            Kind::Dimension if self.dimensions.len() < MOST => {
                if let Some((ends, measured)) = record.measures() {
                    // "<>" stands for the figure that the block shows.
                    let printed = figure_in(&record.says);
                    self.dimensions.push(Measured { ends, measured, printed, block });
                }
            }
            _ => {}
        }
    }

    /// Texts as they stand in the block, and the blocks that show its dimensions.
    pub(super) fn shown(&self) -> (&[Text], impl Iterator<Item = &str>) {
        (&self.texts, self.dimensions.iter().filter_map(|d| d.block.as_deref()))
    }

    /// Puts them where their block stands.
    pub(super) fn place(&self, map: &DAffine2, contents: &Contents, into: &mut Markings) {
        for text in self.texts.iter().take(Markings::MOST.saturating_sub(into.texts.len())) {
            into.texts.push(text.moved(map));
        }
        for d in self.dimensions.iter().take(Markings::MOST.saturating_sub(into.dimensions.len())) {
            let ends = d.ends.map(|end| map.transform_point2(end));
            let by = map.transform_vector2(DVec2::X).length();
            let shown = || {
                let block = contents.block_index.get(&d.block.as_ref()?.to_lowercase())?;
                contents.blocks[*block].written.texts.iter().find_map(|t| figure_in(&t.says))
            };
            let printed = d.printed.or_else(shown);
            into.dimensions.push(Dimension { ends, measured: d.measured * by, printed });
        }
    }
}
