//! Putting a network together and checking it.

use super::lattice::Pattern;
use super::{
    Cup, CupId, Element, ElementId, ElementKind, LeakId, Manifold, ManifoldId, NamedLeak, NamedSource,
    Network, Node, NodeId, PlacedCup, Problem, SourceId,
};
use crate::air::Air;
use crate::friction::Friction;
use crate::leak::Leak;
use crate::line::Line;
use crate::restriction::Restriction;
use crate::source::Source;
use std::sync::Arc;
use units::AbsolutePressure;

/// A network under construction.
///
/// # Example
/// ```
/// use units::VacuumLevel;
/// use vacuum::*;
///
/// let mut circuit = NetworkBuilder::new(Air::default());
/// let port = circuit.node("source port");
/// let curve = SourceCurve::linear(90.0, VacuumLevel::from_kpa(85.0)); // L/min ANR, kPa
/// circuit.source("pump", port, Source::pump(curve, 250.0)); // W
/// for name in ["C1", "C2"] {
///     let cup = circuit.cup(Cup::tight(name, 4.0).with_leak(Leak::porous(2.0, 1257.0)));
///     let hose = Line::hose(Hose::new(800.0, 6.0)).with(Fitting::new(FittingKind::Elbow90, 6.0));
///     circuit.line(&format!("hose of {name}"), circuit.cup_node(cup), port, hose);
/// }
/// let solution = solve(&circuit.build()?, None);
/// assert_eq!(solution.status, Status::Solved);
/// let level = solution.cups[0].level.expect("solved"); // kPa
/// assert!(level.kpa() > 70.0 && level.kpa() < 85.0);
/// # Ok::<(), Vec<Problem>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkBuilder {
    pub(crate) air: Air,
    pub(crate) friction: Friction,
    pub(crate) nodes: Vec<Node>,
    pub(crate) elements: Vec<Element>,
    pub(crate) cups: Vec<PlacedCup>,
    pub(crate) leaks: Vec<NamedLeak>,
    pub(crate) sources: Vec<NamedSource>,
    pub(crate) manifolds: Vec<Manifold>,
}

impl NetworkBuilder {
    /// An empty network in some air.
    #[must_use]
    pub fn new(air: Air) -> Self {
        Self {
            air,
            friction: Friction::default(),
            nodes: Vec::new(),
            elements: Vec::new(),
            cups: Vec::new(),
            leaks: Vec::new(),
            sources: Vec::new(),
            manifolds: Vec::new(),
        }
    }

    /// Takes another law of friction for all hoses.
    pub const fn friction(&mut self, law: Friction) {
        self.friction = law;
    }

    /// A node without a volume of its own.
    pub fn node(&mut self, name: &str) -> NodeId {
        self.vessel(name, 0.0)
    }

    /// A node with a volume of its own, cm³.
    pub fn vessel(&mut self, name: &str, volume_cm3: f64) -> NodeId {
        self.nodes.push(Node { name: name.into(), volume_cm3, held: None });
        NodeId(self.nodes.len() - 1)
    }

    /// Keeps a node at a pressure.
    pub fn hold(&mut self, node: NodeId, pressure: AbsolutePressure) {
        if let Some(node) = self.nodes.get_mut(node.0) {
            node.held = Some(pressure);
        }
    }

    /// A cup at a node of its own, named like the cup.
    pub fn cup(&mut self, cup: Cup) -> CupId {
        let node = self.node(&cup.name.clone());
        self.cup_at(cup, node)
    }

    /// A cup at a node that is there already.
    pub fn cup_at(&mut self, cup: Cup, node: NodeId) -> CupId {
        self.cups.push(PlacedCup { cup, node });
        CupId(self.cups.len() - 1)
    }

    /// The node of a cup of this network.
    ///
    /// # Panics
    /// If the cup belongs to another network.
    #[must_use]
    pub fn cup_node(&self, cup: CupId) -> NodeId {
        self.cups[cup.0].node
    }

    /// A hose with its fittings, or fittings alone.
    pub fn line(&mut self, name: &str, from: NodeId, to: NodeId, line: Line) -> ElementId {
        self.element(name, from, to, ElementKind::Line(line))
    }

    /// A restrictor.
    pub fn restrictor(&mut self, name: &str, from: NodeId, to: NodeId, through: Restriction) -> ElementId {
        self.element(name, from, to, ElementKind::Restrictor(through))
    }

    /// Any element.
    pub fn element(&mut self, name: &str, from: NodeId, to: NodeId, kind: ElementKind) -> ElementId {
        self.elements.push(Element { name: name.into(), from, to, kind });
        ElementId(self.elements.len() - 1)
    }

    /// A leak that is no cup's own.
    pub fn leak(&mut self, name: &str, node: NodeId, leak: Leak) -> LeakId {
        self.leaks.push(NamedLeak { name: name.into(), node, leak });
        LeakId(self.leaks.len() - 1)
    }

    /// A source.
    pub fn source(&mut self, name: &str, node: NodeId, source: Source) -> SourceId {
        self.sources.push(NamedSource { name: name.into(), node, source });
        SourceId(self.sources.len() - 1)
    }

    /// Says that nodes are the ports of one manifold in their order, and which elements feed it.
    pub fn manifold(&mut self, name: &str, ports: &[NodeId], feeds: &[ElementId]) -> ManifoldId {
        self.manifolds.push(Manifold { name: name.into(), ports: ports.into(), feeds: feeds.into() });
        ManifoldId(self.manifolds.len() - 1)
    }

    /// The air around it.
    #[must_use]
    pub const fn air(&self) -> Air {
        self.air
    }

    /// Its law of friction.
    #[must_use]
    pub const fn friction_law(&self) -> Friction {
        self.friction
    }

    /// Its nodes, in the order of [`NodeId::index`].
    #[must_use]
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// Its elements, in the order of [`ElementId::index`].
    #[must_use]
    pub fn elements(&self) -> &[Element] {
        &self.elements
    }

    /// Its cups, in the order of [`CupId::index`].
    #[must_use]
    pub fn cups(&self) -> &[PlacedCup] {
        &self.cups
    }

    /// Its leaks that are no cup's own, in the order of [`LeakId::index`].
    #[must_use]
    pub fn leaks(&self) -> &[NamedLeak] {
        &self.leaks
    }

    /// Its sources, in the order of [`SourceId::index`].
    #[must_use]
    pub fn sources(&self) -> &[NamedSource] {
        &self.sources
    }

    /// Its manifolds, in the order of [`ManifoldId::index`].
    #[must_use]
    pub fn manifolds(&self) -> &[Manifold] {
        &self.manifolds
    }

    /// All ids of its cups.
    pub fn cup_ids(&self) -> impl Iterator<Item = CupId> + use<> {
        (0..self.cups.len()).map(CupId)
    }

    /// All ids of its elements.
    pub fn element_ids(&self) -> impl Iterator<Item = ElementId> + use<> {
        (0..self.elements.len()).map(ElementId)
    }

    /// All ids of its sources.
    pub fn source_ids(&self) -> impl Iterator<Item = SourceId> + use<> {
        (0..self.sources.len()).map(SourceId)
    }

    /// An element to change.
    pub fn element_mut(&mut self, id: ElementId) -> Option<&mut Element> {
        self.elements.get_mut(id.0)
    }

    /// A cup to change.
    pub fn cup_mut(&mut self, id: CupId) -> Option<&mut Cup> {
        self.cups.get_mut(id.0).map(|placed| &mut placed.cup)
    }

    /// A source to change.
    pub fn source_mut(&mut self, id: SourceId) -> Option<&mut NamedSource> {
        self.sources.get_mut(id.0)
    }

    /// A node to change.
    pub fn node_mut(&mut self, id: NodeId) -> Option<&mut Node> {
        self.nodes.get_mut(id.0)
    }

    /// Everything that is wrong with it; empty if it can be solved.
    #[must_use]
    pub fn check(&self) -> Vec<Problem> {
        super::problem::check(self)
    }

    /// Checks it and makes it ready to be solved.
    ///
    /// # Errors
    /// Everything that is wrong with it, one sentence each.
    pub fn build(self) -> Result<Network, Vec<Problem>> {
        let problems = self.check();
        if !problems.is_empty() {
            return Err(problems);
        }
        let ends: Vec<_> = self.elements.iter().map(|e| (e.from.0, e.to.0)).collect();
        let pattern = Arc::new(Pattern::new(self.nodes.len(), &ends));
        Ok(Network { spec: self, pattern })
    }

    /// As [`Self::build`], after a similar network: one with the same connections lends its order of elimination, the rest is
    /// checked as ever. The answer is the same to the last digit.
    ///
    /// # Errors
    /// As [`Self::build`].
    pub fn build_after(self, similar: &Network) -> Result<Network, Vec<Problem>> {
        let ends = |net: &Self| net.elements.iter().map(|e| (e.from, e.to)).collect::<Vec<_>>();
        if similar.spec.nodes.len() != self.nodes.len() || ends(&similar.spec) != ends(&self) {
            return self.build();
        }
        let problems = self.check();
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Network { pattern: Arc::clone(&similar.pattern), spec: self })
    }
}
