//! The plan: the part and the cups to scale, and every hand that works on them.

mod bending;
mod between;
mod camera;
mod canvas;
mod clip;
mod cups;
mod frame;
mod gestures;
mod ghosts;
mod hoses;
mod labels;
mod level_strip;
mod marks;
mod other;
mod outline_tool;
mod paper;
mod proposed;
mod replay;
mod shape;
mod sketch;
mod sketch_tool;
mod snap;
mod state;
mod tool;

pub use bending::Bending;
pub use between::nearest as nearest_cup;
pub use camera::Camera;
pub use canvas::{boxed, nudge, plan_ui};
pub use gestures::preview;
pub use hoses::{level_colour, source_symbol};
pub use other::other_ui;
pub use paper::{Landing, landing_triangles};
pub use shape::{Sketch, SketchForm, SketchTarget};
pub use snap::{Guide, SnapLines, SnapTo, usual_step};
pub use state::{Drag, LoopRef, PlanState, Show};
pub use tool::Tool;
