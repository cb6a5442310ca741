//! The layout sheet: pages of lines and text laid out from a report, then written as PDF, SVG or PNG.
//!
//! The sheet has no figures of its own: it prints a [`analysis::Report`] and the [`document::Project`] it belongs to.
//! Nothing here knows files, threads or the clock, and the same input gives the same bytes.
//!
//! - [`compose`] makes the pages of one layout: plan, parts, what it holds, commissioning. [`compose_comparison`] sets
//!   layouts side by side, [`compose_with_comparison`] does both; [`compose_difference`] shows what changed between two contents. [`export_plot`] and [`export_envelopes`] make one plot a page of its own.
//! - A [`Page`] is a list of [`Item`]s in millimetres. [`to_pdf`], [`to_svg`] and [`to_png`] write it; [`to_picture`] is
//!   for a preview; [`Page::describe`] is for a difference tool.
//!
//! Inside, a page is made of sections (`block.rs`): a heading with blocks that flow down columns (`flow.rs`). What they say
//! is one file each under `chapters/`; the plan is `plan.rs` and `plan_content.rs`, seen through `view.rs`; the first page
//! looks for the arrangement with the largest plan (`first.rs`).

mod block;
mod chapters;
mod compare;
mod compose;
mod context;
mod cups;
mod describe;
mod difference;
mod dimensions;
mod extent;
mod first;
mod flow;
mod format;
mod frame;
mod frame_pieces;
mod ghosts;
mod hatch;
mod html;
mod keys;
mod labels;
mod outline;
mod page;
mod pdf;
mod pdf_tags;
mod plan;
mod plan_content;
mod plan_symbols;
mod plots;
mod png;
mod scale;
mod style;
mod svg;
mod tables;
mod text_width;
mod title_block;
mod view;

#[cfg(test)]
mod tests;

pub use compare::{compose_comparison, compose_with_comparison};
pub use compose::compose;
pub use difference::compose_difference;
pub use format::{Orientation, Paper, SheetOptions};
pub use html::{is_html, to_html};
pub use keys::{KeyGroup, KeyRow, compose_keys};
pub use page::{Anchor, Contour, Dash, Item, Page, Pen, Role, Step, Tag, Text, Tone, Weight};
pub use pdf::{Day, to_archival_pdf, to_pdf};
pub use plots::{Plot, export_envelopes, export_plot};
pub use png::{Picture, to_picture, to_png};
pub use scale::{CheckBar, Scale};
pub use svg::to_svg;
pub use telling::CAUTIONS;
pub use text_width::{cut_to, has_glyph, ink_bounds, printable, text_width, wrap};

/// Why a sheet could not be written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// There is nothing to write.
    #[error("the sheet has no page; lay out a project first")]
    NoPage,
    /// A page that cannot be drawn.
    #[error("a page of {width} x {height} mm cannot be drawn; choose a paper of the list")]
    PageSize {
        /// Width, mm.
        width: f64,
        /// Height, mm.
        height: f64,
    },
    /// The picture would be too large.
    #[error(
        "{dpi} dots per inch on {width} x {height} mm is more than a picture can hold; ask for fewer dots"
    )]
    TooManyDots {
        /// Dots per inch asked for.
        dpi: f64,
        /// Width, mm.
        width: f64,
        /// Height, mm.
        height: f64,
    },
    /// A compiled-in font was refused.
    #[error("a built-in font could not be read; reinstall the program")]
    Font,
    /// The PDF writer refused something.
    #[error("the PDF could not be written: {0}")]
    Pdf(String),
    /// The picture could not be packed.
    #[error("the picture could not be written: {0}")]
    Png(String),
}
