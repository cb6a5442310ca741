//! A part that bends, in the window: its fields, its figures, what is offered for it.

mod commands;
pub(crate) mod fixes;
pub(crate) mod form;
pub(crate) mod rows;
