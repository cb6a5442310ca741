//! What a finding offers, as an edit.

use crate::{arrange, view::View};
use analysis::Fix;
use document::{Cup, Edit, Motion, Stroke};
use std::sync::Arc;

/// The edit that carries a fix out; `None` where what it is about is gone.
pub(crate) fn edit(view: &View, fix: &Fix) -> Option<Edit> {
    match fix {
        Fix::MoveCups(to) => Some(Edit::MoveCups { layout: view.layout.id, to: to.clone() }),
        Fix::AddCup { like, at } => {
            let like = view.layout.cups.iter().find(|cup| cup.id == *like)?;
            let cups = arrange::with_new_ids(view, [Cup { at: *at, locked: false, ..like.clone() }]);
            Some(Edit::AddCups { layout: view.layout.id, cups })
        }
        Fix::Stroke { motion, profile, time_s } => {
            let held = view.project.motion(*motion)?;
            let stroke = Stroke { profile: *profile, time_s: *time_s, ..held.stroke? };
            let motion = Arc::new(Motion { stroke: Some(stroke), ..Motion::clone(held) });
            Some(Edit::ChangeMotion { what: format!("stroke of {}", motion.name), motion })
        }
    }
}
