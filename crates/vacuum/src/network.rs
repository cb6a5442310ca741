//! A circuit as a network: nodes, elements between them, cups, leaks and sources, all by name.

mod builder;
mod lattice;
pub(crate) mod problem;

pub use builder::NetworkBuilder;
pub use problem::Problem;

pub(crate) use lattice::Pattern;

use crate::air::Air;
use crate::leak::Leak;
use crate::line::Line;
use crate::restriction::{Restriction, Seep};
use crate::source::Source;
use std::sync::Arc;
use units::AbsolutePressure;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) usize);

        impl $name {
            /// Its place in the order of adding, from 0.
            #[must_use]
            pub const fn index(self) -> usize {
                self.0
            }
        }
    )*};
}

ids!(
    /// A node of a network.
    NodeId,
    /// An element of a network.
    ElementId,
    /// A cup of a network.
    CupId,
    /// A leak of a network that is no cup's own.
    LeakId,
    /// A source of a network.
    SourceId,
    /// A manifold of a network.
    ManifoldId,
);

/// A point where air meets: a fitting, a manifold's port, a cup's inside, a source's port.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Name, unique among nodes.
    pub name: Arc<str>,
    /// Volume of air at it besides hoses and cups, cm³: a manifold's share, a vessel, a filter bowl.
    pub volume_cm3: f64,
    /// A pressure kept there whatever flows, as by a large vessel or a house vacuum main.
    pub held: Option<AbsolutePressure>,
}

/// One suction cup as the circuit sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Cup {
    /// Name, unique among cups.
    pub name: Arc<str>,
    /// Narrowest bore through the cup and its holder, mm: what is left open when the cup is off the part.
    pub bore_mm: f64,
    /// Discharge coefficient of that bore, 0.6 to 0.85 for a sharp edge.
    pub discharge: f64,
    /// How air enters while the cup is on the part; none for a tight part.
    pub leaks: Vec<Leak>,
    /// The cup is off the part: its bore is open, its leaks do not count.
    pub open: bool,
    /// Volume inside the cup at rest, cm³: off the part, and on it before it is drawn down.
    pub free_volume_cm3: f64,
    /// Volume left inside it once it has given all its travel, cm³.
    pub held_volume_cm3: f64,
    /// Level at which it has, kPa; the volume goes with (1 - level/this)² until then.
    pub down_at_kpa: f64,
    /// Area inside the sealing line through which a porous part would leak, mm²; 0 where it is not known.
    pub area_mm2: f64,
}

/// Discharge coefficient where none is stated: the middle of what sharp edges do (common practice, no source).
pub const DEFAULT_DISCHARGE: f64 = 0.75;

impl Cup {
    /// A cup on a tight part, with an open bore (mm) for when it comes off, without volume.
    #[must_use]
    pub fn tight(name: &str, bore_mm: f64) -> Self {
        Self {
            name: name.into(),
            bore_mm,
            discharge: DEFAULT_DISCHARGE,
            leaks: Vec::new(),
            open: false,
            free_volume_cm3: 0.0,
            held_volume_cm3: 0.0,
            down_at_kpa: 0.0,
            area_mm2: 0.0,
        }
    }

    /// The cup with the area that its sealing line encloses, mm².
    #[must_use]
    pub fn over(mut self, area_mm2: f64) -> Self {
        self.area_mm2 = area_mm2;
        self
    }

    /// The cup with one more leak.
    #[must_use]
    pub fn with_leak(mut self, leak: Leak) -> Self {
        self.leaks.push(leak);
        self
    }

    /// The cup with its volumes at rest and with its travel given, cm³, which it has as soon as there is any level.
    #[must_use]
    pub fn with_volume(mut self, free_cm3: f64, held_cm3: f64) -> Self {
        (self.free_volume_cm3, self.held_volume_cm3) = (free_cm3, held_cm3);
        self
    }

    /// The cup whose travel is given at a level, kPa.
    #[must_use]
    pub fn down_at(mut self, kpa: f64) -> Self {
        self.down_at_kpa = kpa;
        self
    }

    /// The hole it leaves when it is off the part.
    #[must_use]
    pub const fn open_hole(&self) -> Leak {
        Leak::Hole { bore_mm: self.bore_mm, discharge: self.discharge }
    }
}

/// A cup and where it sits.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedCup {
    /// The cup.
    pub cup: Cup,
    /// Its inside.
    pub node: NodeId,
}

/// What lies between two nodes.
#[derive(Debug, Clone, PartialEq)]
pub enum ElementKind {
    /// A hose with its fittings.
    Line(Line),
    /// A restrictor, as one that keeps an open cup from emptying the source.
    Restrictor(Restriction),
    /// A filter; a clogged one has a share of its conductance.
    Filter(Restriction),
    /// A valve that is open or shut.
    Valve {
        /// Open.
        through: Restriction,
        /// Whether it is.
        open: bool,
    },
    /// A check valve: air passes from the element's first node to its second only.
    CheckValve {
        /// Open.
        through: Restriction,
        /// Pressure difference below which it stays shut, kPa.
        opening_kpa: f64,
        /// What comes back through it while it is shut; `None` for one that is tight.
        seep: Option<Seep>,
    },
}

impl ElementKind {
    /// The word for it.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Line(_) => "hose",
            Self::Restrictor(_) => "restrictor",
            Self::Filter(_) => "filter",
            Self::Valve { .. } => "valve",
            Self::CheckValve { .. } => "check valve",
        }
    }

    pub(crate) fn line(&self) -> Option<&Line> {
        match self {
            Self::Line(line) => Some(line),
            _ => None,
        }
    }

    fn fault(&self) -> Option<String> {
        match self {
            Self::Line(line) => line.fault(),
            Self::Restrictor(r) | Self::Filter(r) | Self::Valve { through: r, .. } => r.fault(),
            Self::CheckValve { through, opening_kpa, seep } => through
                .fault()
                .or_else(|| {
                    (!(opening_kpa.is_finite() && *opening_kpa >= 0.0))
                        .then(|| format!("it opens at {opening_kpa} kPa; that must not be negative"))
                })
                .or_else(|| seep.and_then(|seep| seep.fault())),
        }
    }
}

/// An element between two nodes; flow from the first to the second counts as positive.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// Name, unique among elements.
    pub name: Arc<str>,
    /// First node: the cup's side.
    pub from: NodeId,
    /// Second node: the source's side.
    pub to: NodeId,
    /// What it is.
    pub kind: ElementKind,
}

/// A leak that is no cup's own: a hose that is not tight, a vent, a blow-off.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedLeak {
    /// Name, unique among leaks.
    pub name: Arc<str>,
    /// Where it enters.
    pub node: NodeId,
    /// What it is.
    pub leak: Leak,
}

/// A source and where it draws.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedSource {
    /// Name, unique among sources.
    pub name: Arc<str>,
    /// Its port.
    pub node: NodeId,
    /// What it is.
    pub source: Source,
}

/// A channel with ports along it and the lines that feed it; only what-if questions need to know about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Manifold {
    /// Name.
    pub name: Arc<str>,
    /// Ports in their order along the channel, first and last its ends.
    pub ports: Vec<NodeId>,
    /// Elements between its ports and the source.
    pub feeds: Vec<ElementId>,
}

/// A network that has been checked and can be solved.
///
/// It comes from [`NetworkBuilder::build`]; what changes no connection (a cup off the part, a valve, a source stopped) makes a
/// new network cheaply, anything else goes through [`Network::edit`].
#[derive(Debug, Clone)]
pub struct Network {
    pub(crate) spec: NetworkBuilder,
    /// Order of elimination, the same for all networks with the same connections.
    pub(crate) pattern: Arc<Pattern>,
}

impl Network {
    /// What it is made of.
    #[must_use]
    pub const fn spec(&self) -> &NetworkBuilder {
        &self.spec
    }

    /// The air around it.
    #[must_use]
    pub const fn air(&self) -> Air {
        self.spec.air
    }

    /// A changed copy, checked anew.
    ///
    /// # Errors
    /// Whatever [`NetworkBuilder::build`] finds wrong.
    pub fn edit(&self, change: impl FnOnce(&mut NetworkBuilder)) -> Result<Self, Vec<Problem>> {
        let mut spec = self.spec.clone();
        change(&mut spec);
        spec.build()
    }

    /// Keeps a node at a pressure whatever flows; false, and nothing is changed, where there is no such node or pressure.
    pub fn hold(&mut self, node: NodeId, pressure: AbsolutePressure) -> bool {
        let kpa = pressure.kpa();
        let held = self.spec.nodes.get_mut(node.0).filter(|_| kpa.is_finite() && kpa > 0.0);
        held.map(|node| node.held = Some(pressure)).is_some()
    }

    /// The same with a cup off or on the part.
    #[must_use]
    pub fn with_cup_open(&self, cup: CupId, open: bool) -> Self {
        let mut changed = self.clone();
        if let Some(placed) = changed.spec.cups.get_mut(cup.0) {
            placed.cup.open = open;
        }
        changed
    }

    /// The same with a source running or stopped.
    #[must_use]
    pub fn with_source_running(&self, source: SourceId, running: bool) -> Self {
        let mut changed = self.clone();
        if let Some(named) = changed.spec.sources.get_mut(source.0) {
            named.source.running = running;
        }
        changed
    }

    /// The same with all sources running or stopped.
    #[must_use]
    pub fn with_all_sources_running(&self, running: bool) -> Self {
        let mut changed = self.clone();
        for named in &mut changed.spec.sources {
            named.source.running = running;
        }
        changed
    }

    /// The same with every cup as far down as it goes, and staying there.
    #[must_use]
    pub fn with_cups_down(&self) -> Self {
        let mut changed = self.clone();
        for placed in &mut changed.spec.cups {
            placed.cup.free_volume_cm3 = placed.cup.held_volume_cm3.min(placed.cup.free_volume_cm3);
        }
        changed
    }

    /// The same with a valve open or shut; anything that is no valve stays as it is.
    #[must_use]
    pub fn with_valve_open(&self, valve: ElementId, to: bool) -> Self {
        let mut changed = self.clone();
        if let Some(ElementKind::Valve { open, .. }) =
            changed.spec.elements.get_mut(valve.0).map(|element| &mut element.kind)
        {
            *open = to;
        }
        changed
    }

    /// Volume at each node, cm³: its own, its cup's at rest (off the part) or with its travel given (on it), and half of every
    /// hose that ends there. What a cup on the part gives on its way down comes on top.
    #[must_use]
    pub fn volumes_cm3(&self) -> Vec<f64> {
        let mut volumes: Vec<f64> = self.spec.nodes.iter().map(|node| node.volume_cm3).collect();
        for PlacedCup { cup, node } in &self.spec.cups {
            volumes[node.0] += if cup.open { cup.free_volume_cm3 } else { cup.held_volume_cm3 };
        }
        for element in &self.spec.elements {
            if let Some(hose) = element.kind.line().and_then(|line| line.hose) {
                volumes[element.from.0] += 0.5 * hose.volume_cm3();
                volumes[element.to.0] += 0.5 * hose.volume_cm3();
            }
        }
        volumes
    }
}
