//! What forms change: the name of a change, and the change.

use document::{Circuit, Line, Part, Supply};
use std::sync::Arc;

/// What changes one circuit.
pub(super) type Change<'a> = dyn FnMut(&str, &dyn Fn(&mut Circuit)) + 'a;

/// What changes a hose.
pub(super) type LineChange<'a> = dyn FnMut(&str, &dyn Fn(&mut Line)) + 'a;

/// What changes the part.
pub(super) type PartChange<'a> = dyn FnMut(String, &dyn Fn(&mut Part)) + 'a;

/// Changes the supply of a circuit that has one.
pub(super) fn with(circuit: &mut Circuit, change: impl FnOnce(&mut Supply)) {
    if let Some(supply) = &mut circuit.supply {
        change(Arc::make_mut(supply));
    }
}

/// The material that the part is called by.
pub(super) fn preset_of(part: &Part) -> Option<&'static document::MaterialPreset> {
    // A file made by hand may call it by another of its names.
    let named = |m: &&document::MaterialPreset| {
        [m.name].iter().chain(m.also).any(|name| name.eq_ignore_ascii_case(part.material.trim()))
    };
    document::materials_called(&part.material).into_iter().find(named)
}
