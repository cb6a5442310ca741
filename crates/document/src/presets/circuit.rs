//! A whole circuit to begin with: source, hoses, manifold. Every figure is invented, generic and assumed.

use crate::{
    Arrangement, Circuit, CircuitId, Cup, Edit, Fed, FittingKind, FittingLoss, FittingUse, LayoutId, Line,
    LineLength, Manifold, Operation, Project, RestrictionUse, SourceModel, Sourced, Supply, Texture,
    Thresholds, ZoneValve, restriction_for, sources, tidy,
};
use glam::DVec2;
use std::{collections::BTreeSet, sync::Arc};

/// For the movement of posts and the bends at both ends, mm.
const MAIN_SLACK_MM: f64 = 100.0;
const BRANCH_SLACK_MM: f64 = 50.0;
/// Distance of a manifold's ports, mm.
const PORT_PITCH_MM: f64 = 25.0;
/// A source sits below the flange, at this share of its height.
const SOURCE_HEIGHT_SHARE: f64 = 0.8;

impl Supply {
    /// A supply over a layout's cups of one circuit, by this source: the source under the middle of the flange, an 8 mm hose (a
    /// larger one for much flow) to a manifold amid the cups, 4 or 6 mm to each cup, lengths from the plan with slack, a
    /// valve with a check valve for each zone where there are several. `None` without such a layout.
    ///
    /// # Units
    /// mm, kPa.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Arrangement, Part, PartId, Project, Supply, sources};
    /// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    /// let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
    /// let supply = Supply::preset(&project, layout, circuit, &sources()[0], Arrangement::Central).unwrap();
    /// assert_eq!((supply.at.x, supply.at.y), (300.0, 200.0));
    /// assert_eq!(supply.main.bore_mm, 8.0);
    /// ```
    pub fn preset(
        project: &Project,
        layout: LayoutId,
        circuit: CircuitId,
        source: &SourceModel,
        arrangement: Arrangement,
    ) -> Option<Self> {
        let layout = project.layout(layout)?;
        let cups: Vec<&Cup> = layout.cups_of(circuit).collect();
        let flange = layout.tool.flange;
        let free_flow = source.curve.first().map_or(0.0, |p| p.flow_nl_min);
        let main_bore = main_bore(free_flow);
        let branch_bore = if free_flow / cups.len().max(1) as f64 > 20.0 { 6.0 } else { 4.0 };
        let central = arrangement == Arrangement::Central;
        let texture = project.part(layout.part).map_or(Texture::Smooth, |p| p.surface.texture);
        let branch_slack = if arrangement == Arrangement::InLine { 150.0 } else { BRANCH_SLACK_MM };
        let zones: BTreeSet<&str> = cups.iter().map(|c| c.zone.as_str()).collect();
        let valves = if central && zones.len() > 1 { zones } else { BTreeSet::new() };
        Some(Self {
            source: source.id.clone(),
            arrangement,
            sources: 1,
            feed_kpa: Sourced::assumed(source.rated_feed_kpa),
            at: tidy::point(flange.truncate()).extend(tidy::number(flange.z * SOURCE_HEIGHT_SHARE)),
            main: line(main_bore, MAIN_SLACK_MM, &[(FittingKind::Straight, 2)]),
            fitting_loss: FittingLoss::default(),
            manifold: (central && cups.len() > 1).then(|| Manifold::preset(&cups, main_bore)),
            branch: line(branch_bore, branch_slack, &[(FittingKind::Straight, 1), (FittingKind::Elbow90, 1)]),
            branches: Vec::new(),
            restrictor: None,
            check_valve_at_cup: false,
            filter: central
                .then(|| restriction_for(RestrictionUse::Filter, main_bore).map(|p| p.restriction))
                .flatten(),
            filter_at_cup: None,
            dust: None,
            valves: valves.into_iter().filter_map(|zone| ZoneValve::preset(zone, main_bore)).collect(),
            lip_gap_um: Sourced::assumed(lip_gap_um(texture)),
            area_gripper: None,
            cell_closing: None,
            operation: Operation::default(),
        })
    }
}
fn line(bore_mm: f64, slack_mm: f64, fittings: &[(FittingKind, u32)]) -> Line {
    let fittings = fittings.iter().map(|&(kind, count)| FittingUse::new(kind, count)).collect();
    Line { bore_mm, length: LineLength::Plan { slack_mm }, fittings, coil: None }
}
/// By what the source draws without load, L/min ANR.
fn main_bore(free_flow: f64) -> f64 {
    match free_flow {
        f if f <= 200.0 => 8.0,
        f if f <= 350.0 => 10.0,
        f if f <= 600.0 => 13.0,
        f if f <= 1200.0 => 19.0,
        _ => 25.0,
    }
}
/// What lips leave open on a surface, µm (invented, generic figures; a leak-down trial says better).
fn lip_gap_um(texture: Texture) -> f64 {
    match texture {
        Texture::Smooth | Texture::Film => 3.0,
        Texture::Porous => 10.0,
        Texture::Structured => 20.0,
    }
}

impl Manifold {
    /// Amid the cups, along the longer side of what they span, with an even number of ports, fed at one end.
    fn preset(cups: &[&Cup], main_bore: f64) -> Self {
        let (least, most) = cups.iter().fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(least, most), c| {
            (least.min(c.at), most.max(c.at))
        });
        let span = most - least;
        let ports = (cups.len().max(2) as u32).next_multiple_of(2);
        Self {
            at: tidy::point((least + most) / 2.0),
            turn_deg: if span.y > span.x { 90.0 } else { 0.0 },
            length_mm: PORT_PITCH_MM * f64::from(ports),
            bore_mm: main_bore * 1.5,
            ports,
            fed: Fed::OneEnd,
        }
    }
}
impl ZoneValve {
    /// A valve with a check valve for a zone, to fit a hose of this bore; invented, generic figures.
    ///
    /// # Units
    /// mm.
    pub fn preset(zone: &str, bore_mm: f64) -> Option<Self> {
        let restriction = restriction_for(RestrictionUse::Valve, bore_mm)?.restriction;
        Some(Self { zone: zone.to_owned(), restriction, check_valve: true, manifold: None })
    }
}
impl Thresholds {
    /// For a level at the cups: held at 75 % of it, air saved from 95 %, 2 s to get there, 10 s to hold after the feed fails, in
    /// which a part can be set down
    /// (invented, generic figures).
    ///
    /// # Units
    /// kPa, s.
    pub fn preset(level_kpa: f64) -> Self {
        let share = |of: f64| tidy::number((level_kpa * of * 10.0).round() / 10.0);
        Self {
            held_kpa: share(0.75),
            alarm_kpa: None,
            saving_off_kpa: share(0.95),
            time_out_s: 2.0,
            hold_s: 10.0,
        }
    }
}

impl Project {
    /// The built-in source to begin with for a circuit: one for flow where the part lets air through, one for a deep level
    /// where it does not, larger with more cups; a small one for each cup.
    pub fn suggested_source(
        &self,
        layout: LayoutId,
        circuit: CircuitId,
        arrangement: Arrangement,
    ) -> Option<&'static Arc<SourceModel>> {
        let layout = self.layout(layout)?;
        let part = self.part(layout.part)?;
        let cups = layout.cups_of(circuit).count();
        let leaks = part.permeance_um_pa_s.is_some() || part.surface.texture == Texture::Porous;
        let id = match (arrangement, leaks, cups) {
            (Arrangement::Central, true, ..=4) => "ejector-flow-200",
            (Arrangement::Central, true, _) => "ejector-flow-450",
            (Arrangement::Central, false, ..=4) => "ejector-deep-40",
            (Arrangement::Central, false, ..=12) => "ejector-deep-90",
            (Arrangement::Central, false, _) => "ejector-deep-180",
            (Arrangement::PerCup | Arrangement::InLine, false, _) => "ejector-cup-15",
            (Arrangement::PerCup | Arrangement::InLine, true, _) => "ejector-flow-200",
        };
        sources().iter().find(|s| &*s.id.0 == id)
    }
    /// The change that gives a circuit a whole supply in one step: the suggested source, added where it is not there yet, and
    /// the preset of [`Supply::preset`]. `None` without such a layout or circuit.
    pub fn feed_circuit(
        &self,
        layout: LayoutId,
        circuit: CircuitId,
        arrangement: Arrangement,
    ) -> Option<Edit> {
        let source = self.suggested_source(layout, circuit, arrangement)?;
        // One that a person changed under the same name is kept.
        let (source, add) = match self.source(&source.id) {
            Some(there) => (there, None),
            None => (source, Some(Edit::AddSource(source.clone()))),
        };
        let before = self.circuit(circuit)?;
        let supply = Supply::preset(self, layout, circuit, source, arrangement)?;
        let name = format!("Feed {} from {}", before.name, arrangement.label());
        let changed = Circuit { supply: Some(Arc::new(supply)), ..Circuit::clone(before) };
        let change = Edit::ChangeCircuit { circuit: Arc::new(changed), what: name.clone() };
        Some(Edit::Together { name, edits: add.into_iter().chain([change]).collect() })
    }
}
