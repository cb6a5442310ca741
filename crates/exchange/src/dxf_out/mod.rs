//! A layout as a DXF drawing that any drawing program opens.
//!
//! The group codes are written here: one small writer for both releases, held to an independent reader's audit.

mod content;
mod dimensions;
mod frame;
mod shape;
mod tables;
mod writer;

use document::{LayoutId, Project};

/// Release of the DXF format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum DxfVersion {
    /// Release 12, which everything reads: old machine controls and cutting programs too.
    R12,
    /// Release 2000: handles, light polylines, the unit in the header.
    #[default]
    R2000,
}

/// How a layout is written as DXF.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct DxfOptions {
    /// Release of the format.
    pub version: DxfVersion,
    /// Whether positions from the datum are written along the edges (layer `DIM`, plain lines and texts).
    pub dimensions: bool,
}

impl Default for DxfOptions {
    /// Release 2000 with dimensions.
    fn default() -> Self {
        Self { version: DxfVersion::R2000, dimensions: true }
    }
}

/// One layout as an ASCII DXF drawing in millimetres, seen from the robot side: x right, y up, the part's datum at 0, 0.
/// `None` when the layout or the part that it carries is not in the project.
///
/// | layer | holds |
/// | --- | --- |
/// | `PART`, `HOLE`, `KEEPOUT` | closed polylines with bulges, circles as circles; in a keep-out its name |
/// | `LIP`, `CENTRE` | outer lips and centre marks of the cups, within a block a model (`CUP_...`) |
/// | `DRILL`, `THREAD` | holes to drill for them where their model states one, and their threads |
/// | `ZONE_n` | the cups of one zone as inserts of their model's block, one layer a zone, named by it |
/// | `FLANGE`, `FRAME` | centre of the robot's flange, rails and plates with their places |
/// | `DATUM`, `DIM` | origin and axes, positions from it |
/// | `TEXT`, `BORDER` | tags, frame with title |
///
/// The verdict of `report` stands in the frame, so that a drawing does not part from it.
///
/// # Units
/// mm; `$INSUNITS` 4 and `$MEASUREMENT` 1 say so.
///
/// ```
/// # use std::sync::Arc;
/// use exchange::{DxfOptions, ImportOptions, layout_dxf, read_drawing_bytes};
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let layout = project.layouts[0].id;
/// let report = analysis::Analyst::new().check(&project, layout);
/// let text = layout_dxf(&project, &report, layout, &DxfOptions::default()).expect("a layout of this project");
/// let back = read_drawing_bytes("layout.dxf", text.as_bytes(), &ImportOptions::default())?;
/// assert_eq!(back.parts[0].outline, *project.parts[0].outline);
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn layout_dxf(
    project: &Project,
    report: &analysis::Report,
    layout: LayoutId,
    options: &DxfOptions,
) -> Option<String> {
    let layout = project.layout(layout)?;
    let part = project.part(layout.part)?;
    let drawing = content::of(project, report, layout, part, options);
    Some(writer::write(&drawing, options.version))
}

/// Whether the bytes, which may be the first of many, are those of a drawing that [`layout_dxf`] wrote: its layers are there.
#[must_use]
pub fn is_layout_dxf(bytes: &[u8]) -> bool {
    const LAYERS: [&[u8]; 4] = [b"PART", b"LIP", b"DRILL", b"CENTRE"];
    let mut lines = bytes.split(|b| *b == b'\n').map(<[u8]>::trim_ascii);
    // In the order in which they are written.
    LAYERS.iter().all(|layer| lines.any(|line| line == *layer))
}
