//! Takes the pairs of one record after the other, already checked, and puts what each draws into its block.

use super::Trouble;
use super::contents::Contents;
use super::entities::Entity;
use super::records::Source;
use super::shapes::item;
use crate::diagnostics::DiagnosticSeverity;
use crate::{MOST_ENTITIES, MOST_PIECES};

/// Figures of all entities, at most: each takes time, and room until its record ends. A line has four to six, a vertex
/// two.
const MOST_FIGURES: usize = 12_000_000;

/// Decodes entities as their records end.
#[derive(Default)]
pub(super) struct Decoder {
    /// Entities, their corners and their figures so far.
    entities: usize,
    corners: usize,
    figures: usize,
    open: Option<Entity>,
}

impl Decoder {
    /// Stops at what is too much, while it is read: nothing of it has been expanded by then.
    pub(super) fn check(&self) -> Result<(), Trouble> {
        if self.entities > MOST_ENTITIES {
            Err(Trouble::TooMany(format!("more than {MOST_ENTITIES}")))
        } else if self.corners > MOST_PIECES || self.figures > MOST_FIGURES {
            Err(Trouble::TooManyPieces(format!("more than {MOST_PIECES}")))
        } else {
            Ok(())
        }
    }

    /// Begins an entity; its kind as people are told it, `None` when it draws no outline.
    pub(super) fn begin(&mut self, kind: &str) -> Option<&'static str> {
        let (kind, entity) = Entity::of_kind(kind)?;
        self.open = Some(entity);
        Some(kind)
    }

    /// Begins a VERTEX of the open entity.
    pub(super) fn vertex(&mut self) {
        if let Some(entity) = &mut self.open {
            entity.vertex();
        }
    }

    /// Whether the figure of a group code belongs to the open entity.
    pub(super) fn wants(&self, code: i32) -> bool {
        self.open.as_ref().is_some_and(|entity| entity.wants(code))
    }

    /// Takes a figure that has been looked at.
    pub(super) fn pair(&mut self, code: i32, value: f64) {
        self.figures += 1;
        self.corners += usize::from(matches!(code, 10 | 11));
        if let Some(entity) = &mut self.open {
            entity.set(code, value);
        }
    }

    /// Forgets the open entity.
    pub(super) fn drop_open(&mut self) {
        self.open = None;
    }

    /// Ends the open entity: its curve goes to the block `target`, or a diagnostic says why not. `name` is that of the
    /// block of an INSERT.
    pub(super) fn end(
        &mut self,
        source: Source,
        name: Option<String>,
        target: usize,
        contents: &mut Contents,
    ) {
        let Some(entity) = self.open.take() else { return };
        self.entities += 1;
        let mut tilted = false;
        let item = item(entity, name, &mut tilted);
        if tilted {
            let what = format!(
                "{} does not lie in the plane of the drawing; it is read as seen from above",
                source.kind
            );
            let place = contents.place(&source);
            contents.note(target, DiagnosticSeverity::Warning, what, || place);
        }
        match item {
            Ok(item) => contents.blocks[target].items.push((item, source)),
            Err(says) => {
                let place = contents.place(&source);
                contents.leave_out(target, format!("{} left out: it {says}", source.kind), || place);
            }
        }
    }
}
