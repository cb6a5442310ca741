//! What stands on the ladder of a circuit: its rungs from the source down to the cups, as the document and the report have them.

use super::{edit::Form, symbols::Symbol};
use crate::view::View;
use analysis::{CircuitCup, CircuitElement, CircuitReport, ElementOf};
use document::{Fed, FittingKind, SourceKind};
use units::Quantity;

/// One line of the ladder above the cups.
pub(super) struct Rung {
    pub symbol: Option<Symbol>,
    /// What it is, with its size.
    pub what: String,
    /// Lost in it, kPa.
    pub loss_kpa: Option<f64>,
    /// What is said under the pointer besides.
    pub more: String,
    pub form: Form,
    /// It stands beside the line and does not break it: vessel, exhaust.
    pub beside: bool,
}

/// Cups that hang on one line, with what that line passes first.
pub(super) struct Group<'a> {
    /// Name of the zone that has a line of its own.
    pub zone: Option<&'a str>,
    pub rungs: Vec<Rung>,
    pub cups: Vec<&'a CircuitCup>,
}

/// The whole ladder.
pub(super) struct Ladder<'a> {
    /// Kinds of the central sources, side by side.
    pub sources: Vec<SourceKind>,
    /// Named once, under them.
    pub source_rung: Option<Rung>,
    /// What all cups share, from the source on.
    pub trunk: Vec<Rung>,
    pub groups: Vec<Group<'a>>,
    /// Whether the cups hang on a manifold, and where it is fed.
    pub fed: Option<Fed>,
}

/// The symbol of an element.
fn symbol_of(of: &ElementOf) -> Option<Symbol> {
    Some(match of {
        ElementOf::Hose { coiled: true } => Symbol::Coil,
        ElementOf::Hose { coiled: false } => Symbol::Hose,
        ElementOf::Filter => Symbol::Filter,
        ElementOf::Restrictor | ElementOf::Cells => Symbol::Restrictor,
        ElementOf::CheckValve => Symbol::CheckValve,
        ElementOf::Valve => Symbol::Valve,
        ElementOf::PortTee => Symbol::Tee,
        ElementOf::Fitting(FittingKind::Elbow90 | FittingKind::Elbow45 | FittingKind::WideBend) => {
            Symbol::Elbow
        }
        ElementOf::Fitting(FittingKind::Straight) => Symbol::Fitting,
        ElementOf::Fitting(
            FittingKind::TeeRun | FittingKind::TeeBranch | FittingKind::SweptRun | FittingKind::SweptBranch,
        ) => Symbol::Tee,
        ElementOf::Channel | ElementOf::Entry | ElementOf::CupBore => return None,
    })
}

/// Symbols of a cup's own line from the trunk to the cup, those without one left out.
pub(super) fn branch_symbols(own: &[&CircuitElement]) -> Vec<Symbol> {
    // Hose and bends are written out; what is built in is drawn.
    let built_in = |of: &ElementOf| {
        !matches!(of, ElementOf::Hose { coiled: false } | ElementOf::Fitting(_) | ElementOf::PortTee)
    };
    own.iter().rev().filter(|e| built_in(&e.of)).filter_map(|e| symbol_of(&e.of)).collect()
}

/// Figures of an element in words: flow, loss, how the air flows.
pub(super) fn figures(view: &View, element: &CircuitElement) -> String {
    let flow = view.text(element.flow_nl_min, Quantity::Flow);
    let loss = view.text(-element.loss_kpa, Quantity::VacuumLevel);
    format!("{}: {flow}, {loss} ({})", element.what.says(&view.units), element.regime.word())
}

fn rung(view: &View, element: &CircuitElement) -> Rung {
    let form = match element.of {
        ElementOf::Filter
        | ElementOf::Restrictor
        | ElementOf::Cells
        | ElementOf::CheckValve
        | ElementOf::Valve => Form::Parts,
        ElementOf::Channel | ElementOf::PortTee => Form::Manifold,
        ElementOf::Hose { .. } | ElementOf::Fitting(_) | ElementOf::Entry | ElementOf::CupBore => Form::Main,
    };
    Rung {
        symbol: symbol_of(&element.of),
        what: element.what.says(&view.units),
        loss_kpa: Some(element.loss_kpa),
        more: figures(view, element),
        form,
        beside: false,
    }
}

/// Rungs of these elements from the source on; what has no symbol and loses next to nothing is counted together.
fn rungs<'a>(view: &View, elements: impl DoubleEndedIterator<Item = &'a CircuitElement>) -> Vec<Rung> {
    let small = units::unit_of(Quantity::VacuumLevel, &view.units).0 * 0.05;
    let (mut rungs, mut rest, mut lost) = (Vec::new(), 0, 0.0);
    for element in elements.rev() {
        if symbol_of(&element.of).is_none() && element.loss_kpa < small {
            rest += 1;
            lost += element.loss_kpa;
        } else {
            rungs.push(rung(view, element));
        }
    }
    if rest > 0 {
        let what = if rest == 1 { "one more element".to_owned() } else { format!("{rest} more elements") };
        let more = "Entries, ports and channel sections with negligible loss".to_owned();
        rungs.push(Rung { symbol: None, what, loss_kpa: Some(lost), more, form: Form::Main, beside: false });
    }
    rungs
}

/// What kind of source feeds a circuit.
pub(super) fn kind_of(view: &View, circuit: &CircuitReport) -> SourceKind {
    let supply = view.project.circuit(circuit.id).and_then(|held| held.supply.as_ref());
    let source = supply.and_then(|s| view.project.source(&s.source));
    source.map_or(SourceKind::Ejector, |source| source.kind)
}

/// The ladder of a circuit that is worked out.
pub(super) fn ladder<'a>(view: &'a View, circuit: &'a CircuitReport) -> Ladder<'a> {
    let supply = view.project.circuit(circuit.id).and_then(|held| held.supply.as_ref());
    let kind = kind_of(view, circuit);
    let central: Vec<_> = circuit.sources.iter().filter(|source| source.cup.is_none()).collect();
    let mut trunk = Vec::new();
    if let Some(takes) = central.iter().find_map(|source| source.exhaust.as_ref()) {
        let back = view.text(takes.back_pressure_kpa, Quantity::FeedPressure);
        let what = format!("exhaust, {back} back-pressure");
        let more = "Hose and silencer behind the source".to_owned();
        trunk.push(Rung {
            symbol: Some(Symbol::Silencer),
            what,
            loss_kpa: None,
            more,
            form: Form::Source,
            beside: true,
        });
    }
    if let Some(vessel) = supply.map(|supply| supply.operation.vessel_ml).filter(|ml| *ml > 0.0) {
        let what = format!("vessel, {}", view.text(vessel, Quantity::Volume));
        let more = "Evacuated with the circuit; keeps its level longer".to_owned();
        trunk.push(Rung {
            symbol: Some(Symbol::Vessel),
            what,
            loss_kpa: None,
            more,
            form: Form::Source,
            beside: true,
        });
    }
    let stated = view.project.circuit(circuit.id).and_then(|held| held.thresholds);
    if let Some(stated) = stated.filter(|_| !central.is_empty()) {
        let level = |kpa: f64| view.text(kpa, Quantity::VacuumLevel);
        let stops = level(stated.alarm_kpa.unwrap_or(stated.held_kpa));
        trunk.push(Rung {
            symbol: Some(Symbol::Switch),
            what: format!("vacuum switch, part held from {}", level(stated.held_kpa)),
            loss_kpa: None,
            more: format!("Alarm level: with a part held the machine stops below {stops}"),
            form: Form::Switch,
            beside: true,
        });
    }
    let shared = circuit.elements.iter().filter(|e| e.cup.is_none() && e.zone.is_none());
    trunk.extend(rungs(view, shared.collect::<Vec<_>>().into_iter()));
    let manifold = supply.and_then(|s| s.manifold);
    if let Some(m) = manifold.filter(|_| !central.is_empty()) {
        let fed = match m.fed {
            Fed::OneEnd => "one end",
            Fed::BothEnds => "both ends",
        };
        let bore = view.given(m.bore_mm, Quantity::Length);
        let what = format!("manifold {bore}, {} ports, fed at {fed}", m.ports);
        let more = "Drag it on the plan; a click opens its values".to_owned();
        trunk.push(Rung { symbol: None, what, loss_kpa: None, more, form: Form::Manifold, beside: true });
    } else if !central.is_empty() && circuit.cups.len() > 1 {
        let what = "no manifold: the hoses meet at one junction".to_owned();
        trunk.push(Rung {
            symbol: None,
            what,
            loss_kpa: None,
            more: String::new(),
            form: Form::Manifold,
            beside: true,
        });
    }
    let zone_of = |cup: &CircuitCup| {
        let placed = view.layout.cups.iter().find(|c| c.id == cup.id);
        placed.map_or("", |c| c.zone.as_str())
    };
    let own =
        |zone: &str| circuit.elements.iter().any(|e| e.cup.is_none() && e.zone.as_deref() == Some(zone));
    let mut groups: Vec<Group<'a>> = Vec::new();
    for cup in &circuit.cups {
        let zone = Some(zone_of(cup)).filter(|zone| own(zone));
        match groups.iter_mut().find(|group| group.zone == zone) {
            Some(group) => group.cups.push(cup),
            None => {
                let elements = circuit.elements.iter();
                let of_zone =
                    elements.filter(|e| e.cup.is_none() && zone.is_some() && e.zone.as_deref() == zone);
                let rungs = rungs(view, of_zone.collect::<Vec<_>>().into_iter());
                groups.push(Group { zone, rungs, cups: vec![cup] });
            }
        }
    }
    // Sources of one model side by side are one in the report.
    let alike = supply.map_or(1, |s| s.sources as usize);
    let count = if central.len() == 1 { alike.max(1) } else { central.len() };
    let source_rung = central.first().map(|source| {
        let many = if count > 1 { format!("{count} × ") } else { String::new() };
        let deepest = view.text(source.deepest_kpa, Quantity::VacuumLevel);
        let level = view.text(source.level_kpa, Quantity::VacuumLevel);
        let flow = view.text(source.flow_nl_min, Quantity::Flow);
        Rung {
            symbol: None,
            what: format!("{many}{}", source.name),
            loss_kpa: None,
            more: format!("Draws {flow} at {level}; its deepest level here is {deepest}"),
            form: Form::Source,
            beside: false,
        }
    });
    let sources = if central.is_empty() { Vec::new() } else { vec![kind; count] };
    Ladder { sources, source_rung, trunk, groups, fed: manifold.map(|m| m.fed) }
}
