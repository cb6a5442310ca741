//! Elements of a circuit as the report tells them.

use document::CupId;
use glam::DVec3;
use units::Worded;

/// What an element of a circuit is, or a part of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ElementOf {
    /// Hose, with its entrance at a cup.
    Hose {
        /// Part of it is wound up.
        coiled: bool,
    },
    /// Piece of a manifold's channel.
    Channel,
    /// Fittings of one kind in a hose.
    Fitting(document::FittingKind),
    /// Where a hose comes out of a manifold's channel.
    PortTee,
    /// Where a hose begins at a manifold's end or a parting point.
    Entry,
    /// Bore of a cup.
    CupBore,
    /// Filter, at the source or at a cup.
    Filter,
    /// Restrictor at a cup.
    Restrictor,
    /// Restrictors of an area gripper's cells.
    Cells,
    /// Check valve.
    CheckValve,
    /// Valve of a zone.
    Valve,
}

/// One element of a circuit, or the hose or one kind of fitting of a line.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitElement {
    /// Name of the element, unique in the circuit but for the parts of one line: "branch C4".
    pub name: String,
    /// What it is.
    pub of: ElementOf,
    /// The same in words, with its size: "hose 8 mm, 640 mm", "elbow 90°", "valve zone A".
    pub what: Worded,
    /// The cup whose branch it is in.
    pub cup: Option<CupId>,
    /// The zone whose line it is in.
    pub zone: Option<String>,
    /// Its way on the plan, for drawing, z above the plane of the lips, mm; empty when it has no extent.
    pub path: Vec<DVec3>,
    /// Length of a hose as cut, mm.
    pub length_mm: Option<f64>,
    /// Bore, mm.
    pub bore_mm: Option<f64>,
    /// By which method a fitting loses: "table", "2-K", "3-K", "K 0.5"; `None` for what is no fitting or has a stated
    /// conductance.
    pub method: Option<&'static str>,
    /// Flow towards the source, L/min ANR.
    pub flow_nl_min: f64,
    /// Pressure lost, kPa.
    pub loss_kpa: f64,
    /// How the air flows in it.
    pub regime: vacuum::Regime,
}
