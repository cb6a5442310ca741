//! A circuit as it was solved: nodes, ways, cups, sources, with every figure that levels, times and costs follow from.

use document::CupId;

/// A node of the network.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkNode {
    /// Unique in the circuit.
    pub name: String,
    /// Air at it besides hoses and cups, ml: a vessel, the source's own.
    pub volume_ml: f64,
}

/// The hose of a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NetworkHose {
    /// mm.
    pub length_mm: f64,
    /// mm.
    pub bore_mm: f64,
    /// Of its wall, mm.
    pub roughness_mm: f64,
    /// How much of it is wound up, and how wide, mm.
    pub coil_mm: Option<(f64, f64)>,
}

/// A loss of a way: `k` + `k_low`/Re velocity heads at its own bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NetworkLoss {
    /// Velocity heads.
    pub k: f64,
    /// Velocity heads times the Reynolds number.
    pub k_low: f64,
    /// mm.
    pub bore_mm: f64,
}

/// Sonic conductance, dm³/(s·bar), and critical ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NetworkThrough {
    /// C.
    pub c_dm3_s_bar: f64,
    /// b.
    pub b: f64,
}

/// A way of the air from one node to another, the cups' side first.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkWay {
    /// As [`crate::CircuitElement::name`] has it.
    pub name: String,
    /// Name of the node on the cups' side.
    pub from: String,
    /// Name of the node on the source's side.
    pub to: String,
    /// "hose", "restrictor", "filter", "valve", "check valve".
    pub kind: &'static str,
    /// Of a hose.
    pub hose: Option<NetworkHose>,
    /// Fittings and the entry from rest.
    pub losses: Vec<NetworkLoss>,
    /// Whether the air's acceleration is counted, at the narrowest bore.
    pub kinetic: bool,
    /// Of anything that is no hose.
    pub through: Option<NetworkThrough>,
    /// Of a check valve: what it lets back, L/min ANR, and the level at which it does, kPa.
    pub seep: Option<(f64, f64)>,
}

/// How air comes in at a cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NetworkLeak {
    /// Through the part: permeance µm/(Pa·s) and area mm².
    Porous(f64, f64),
    /// Under the lip: its length, the gap and how wide it bears, mm.
    LipGap(f64, f64, f64),
}

/// A cup of the network.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkCup {
    /// The cup.
    pub id: CupId,
    /// Its node.
    pub node: String,
    /// Air inside at rest, ml.
    pub free_ml: f64,
    /// With its travel given, ml.
    pub held_ml: f64,
    /// Level at which it is, kPa; in between what is left of the difference goes with (1 - level/this)².
    pub down_at_kpa: f64,
    /// How air comes in.
    pub leaks: Vec<NetworkLeak>,
}

/// A source of the network.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkSource {
    /// As [`crate::CircuitSource::name`] has it.
    pub name: String,
    /// Its node.
    pub node: String,
    /// Flow drawn without load here, L/min ANR.
    pub free_flow_nl_min: f64,
    /// Deepest level here, kPa.
    pub deepest_kpa: f64,
    /// Share of the deepest level and share of the free flow at it, from (0, 1) to (1, 0); straight pieces between.
    pub shape: Vec<(f64, f64)>,
    /// Compressed air it uses, L/min ANR.
    pub air_nl_min: f64,
    /// Power of its motor, W.
    pub power_w: f64,
    /// The way back through it once it stands still without a check valve.
    pub way_back: NetworkThrough,
}

/// Where air is let in to release.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkRelease {
    /// Its node.
    pub node: String,
    /// The valve that opens to the outside there.
    pub vent: Option<NetworkThrough>,
}

/// A circuit as it was solved.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitNetwork {
    /// Atmosphere at the site, kPa.
    pub atmosphere_kpa: f64,
    /// Of the air, °C.
    pub temperature_c: f64,
    /// Nodes; cups stand at some of them.
    pub nodes: Vec<NetworkNode>,
    /// Ways between them.
    pub ways: Vec<NetworkWay>,
    /// Cups.
    pub cups: Vec<NetworkCup>,
    /// Air that comes in through cells off the part and their like: node, bore of a hole in mm, discharge coefficient.
    pub holes: Vec<(String, f64, f64)>,
    /// Sources.
    pub sources: Vec<NetworkSource>,
    /// Where air is let in to release.
    pub releases: Vec<NetworkRelease>,
    /// The opening that a source's own check valve leaves once it stands still, where it has one; `None` for a tight one.
    pub source_check_leak: Option<NetworkThrough>,
}
