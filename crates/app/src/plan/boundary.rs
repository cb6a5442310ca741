//! The boundaries of a part: its edge, its holes, its keep-outs.

use document::Part;
use geometry::Loop;

/// One boundary of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoopRef {
    /// The edge.
    Outer,
    /// A hole by position.
    Hole(usize),
    /// A keep-out by position.
    KeepOut(usize),
}

/// The boundary itself.
pub fn boundary(part: &Part, of: LoopRef) -> Option<&Loop> {
    match of {
        LoopRef::Outer => Some(&part.outline.outer),
        LoopRef::Hole(i) => part.outline.holes.get(i),
        LoopRef::KeepOut(i) => part.keep_outs.get(i).map(|k| &*k.area),
    }
}

/// Every boundary of the part.
pub fn boundaries(part: &Part) -> impl Iterator<Item = LoopRef> {
    std::iter::once(LoopRef::Outer)
        .chain((0..part.outline.holes.len()).map(LoopRef::Hole))
        .chain((0..part.keep_outs.len()).map(LoopRef::KeepOut))
}
