//! The document: an immutable project, named edits, history, the file.
//!
//! A [`Project`] is shared and never changed in place: an [`Edit`] makes the next one, [`History`] keeps them, [`save`] and
//! [`open`] take them to a file and back, a [`Journal`] keeps what was not saved through a kill. Nothing computed lives here.
//!
//! ```
//! use document::{CircuitId, Cup, CupId, Edit, History, Part, PartId, Project, library};
//! # use std::sync::Arc;
//!
//! let part = Part::from_outline(PartId(1), "Tray blank", Arc::default());
//! let mut history = History::new(Project::new("Tray line 2", part));
//!
//! let project = history.committed().clone();
//! let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
//! let model = library()[0].clone();
//! let cup = Cup {
//!     id: CupId(project.next_id()),
//!     tag: project.next_tags(layout, 1).remove(0),
//!     model: model.id.clone(),
//!     at: (120.0, 80.0).into(),
//!     turn_deg: 0.0,
//!     height_mm: 0.0,
//!     circuit,
//!     zone: "A".into(),
//!     locked: false,
//! };
//! let place = vec![Edit::AddModel(model), Edit::AddCups { layout, cups: vec![cup] }];
//! history.apply(Edit::Together { name: "Add C1".into(), edits: place }).unwrap();
//! assert_eq!(history.undo_name(), Some("Add C1"));
//! ```
mod alternatives;
mod customary;
mod defaults;
mod difference;
mod edit;
mod field_path;
mod file;
mod friction;
mod history;
mod hoses;
mod ids;
mod journal;
mod labels;
mod library;
mod mark;
mod merge;
mod model;
mod numbers;
mod presets;
mod problems;
mod ranges;
mod registry;
mod revision;
mod routing;
mod tidy;
mod tool;
mod trial;

pub use customary::{Customary, USUAL_DAMPING, customary};
pub use difference::{Change, ChangeKind, Thing, difference};
pub use edit::{Edit, EditError};
pub use field_path::FieldPath;
pub use file::{
    FORMAT, FileError, InUse, MOST_FILE_BYTES, NoteStanding, Outside, OwnNote, Stamp, from_text, keep_copy,
    larger_than_a_file, leave_note, looks_like_project, models_from_text, note_of_other, note_path, open,
    outside, previous_path, save, sources_from_text, to_text,
};
pub use friction::{FRICTION_PAIRS, FrictionPreset, friction_pair};
pub use history::History;
pub use hoses::{
    FITTINGS, FittingPreset, HoseSize, RESTRICTIONS, RestrictionPreset, RestrictionUse, hoses, next_bore_up,
    restriction_for,
};
pub use ids::highest_number;
pub use journal::{Journal, Recovered};
pub use library::{library, sources};
pub use merge::{Choice, Conflict, Merge, MergeError, merge};
pub use model::*;
pub use presets::{FIRST_ZONE, MATERIALS, MaterialPreset, POROUS_UM_PA_S, PresetMass, materials_called};
pub use problems::{Problem, Subject};
pub use ranges::OutOfRange;
pub use registry::{Field, Measure, Told, field, fields, help_of, list_in_words, name_of, told, told_with};
pub use revision::{Standing, next_index};
pub use routing::{Branch, Main, RoutedCup, Routing, Run};

use std::sync::Arc;

impl Project {
    /// The part with this id.
    pub fn part(&self, id: PartId) -> Option<&Arc<Part>> {
        self.parts.iter().find(|p| p.id == id)
    }
    /// The layout with this id.
    pub fn layout(&self, id: LayoutId) -> Option<&Arc<Layout>> {
        self.layouts.iter().find(|l| l.id == id)
    }
    /// The motion with this id.
    pub fn motion(&self, id: MotionId) -> Option<&Arc<Motion>> {
        self.motions.iter().find(|m| m.id == id)
    }
    /// The circuit with this id.
    pub fn circuit(&self, id: CircuitId) -> Option<&Arc<Circuit>> {
        self.circuits.iter().find(|c| c.id == id)
    }
    /// The cup model with this id, of those in the project.
    pub fn model(&self, id: &ModelId) -> Option<&Arc<CupModel>> {
        self.models.iter().find(|m| &m.id == id)
    }
    /// The source with this id, of those in the project.
    pub fn source(&self, id: &SourceId) -> Option<&Arc<SourceModel>> {
        self.sources.iter().find(|s| &s.id == id)
    }
    /// The remark with this id.
    pub fn remark(&self, id: RemarkId) -> Option<&Remark> {
        self.review.remarks.iter().find(|r| r.id == id)
    }
    /// The cup with this id in a layout.
    pub fn cup(&self, layout: LayoutId, id: CupId) -> Option<&Cup> {
        self.layout(layout)?.cups.iter().find(|c| c.id == id)
    }
}
