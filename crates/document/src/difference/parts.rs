//! Parts: their outlines are too large to be told vertex by vertex.

use super::{Found, Paired, Thing, named::Named};
use crate::{KeepOut, Part, file::Form};
use geometry::{Loop, Outline};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// Shared, or the same vertices.
pub(crate) fn same_outline(a: &Arc<Outline>, b: &Arc<Outline>) -> bool {
    Arc::ptr_eq(a, b) || a == b
}
/// Shared, or the same vertices.
pub(crate) fn same_area(a: &Arc<Loop>, b: &Arc<Loop>) -> bool {
    Arc::ptr_eq(a, b) || a == b
}
/// A part without its outline and areas, which are told in short.
pub(crate) fn bare(part: &Part) -> Part {
    let bare = |k: &KeepOut| KeepOut { area: Arc::default(), ..k.clone() };
    Part { outline: Arc::default(), keep_outs: part.keep_outs.iter().map(bare).collect(), ..part.clone() }
}
/// Equal in everything; what is shared is not looked at.
pub(crate) fn same_part(a: &Arc<Part>, b: &Arc<Part>) -> bool {
    let area = |(a, b): (&KeepOut, &KeepOut)| same_area(&a.area, &b.area);
    Arc::ptr_eq(a, b)
        || (same_outline(&a.outline, &b.outline)
            && a.keep_outs.len() == b.keep_outs.len()
            && a.keep_outs.iter().zip(&b.keep_outs).all(area)
            && bare(a) == bare(b))
}

fn in_short<'a>(loops: impl Iterator<Item = &'a Loop>) -> (usize, String) {
    let mut hash = Sha256::new();
    let mut vertices = 0;
    for boundary in loops {
        hash.update((boundary.vertices.len() as u64).to_le_bytes());
        for v in &boundary.vertices {
            vertices += 1;
            // -0 and 0 are one number.
            for figure in [v.at.x + 0.0, v.at.y + 0.0, v.bulge + 0.0] {
                hash.update(figure.to_le_bytes());
            }
        }
    }
    let checksum = hash.finalize().iter().take(4).map(|byte| format!("{byte:02x}")).collect();
    (vertices, checksum)
}
/// As in the file but for outline and areas: `None` where the other part has the same.
fn form(part: &Part, other: Option<&Part>) -> Value {
    let mut form = bare(part).form();
    form["outline"] = if other.is_some_and(|o| same_outline(&o.outline, &part.outline)) {
        Value::Null
    } else {
        let outline = &part.outline;
        let (vertices, checksum) = in_short(std::iter::once(&outline.outer).chain(&outline.holes));
        json!({ "vertices": vertices, "holes": outline.holes.len(), "checksum": checksum })
    };
    for (i, keep_out) in part.keep_outs.iter().enumerate() {
        let theirs = other.and_then(|o| o.keep_outs.iter().find(|k| k.id == keep_out.id));
        form["keep_outs"][i]["area"] = if theirs.is_some_and(|o| same_area(&o.area, &keep_out.area)) {
            Value::Null
        } else {
            let (vertices, checksum) = in_short(std::iter::once(&*keep_out.area));
            json!({ "vertices": vertices, "checksum": checksum })
        };
    }
    form
}
impl Found {
    pub(super) fn parts(&mut self, old: &[Arc<Part>], new: &[Arc<Part>]) {
        let paired = Paired::new(old, new, |p| p.id);
        for (old, new) in &paired.both {
            if !Arc::ptr_eq(old, new) {
                let (from, to) = (form(old, Some(new)), form(new, Some(old)));
                self.fields(&Thing::Part(new.id), &new.called(), &from, &to);
            }
        }
        for new in &paired.added {
            self.added(Thing::Part(new.id), new.called(), form(new, None));
        }
        for old in &paired.removed {
            self.removed(Thing::Part(old.id), old.called(), form(old, None));
        }
        self.order((&Thing::Project, "project"), "parts", old, new, &paired, |p| p.id);
    }
}
