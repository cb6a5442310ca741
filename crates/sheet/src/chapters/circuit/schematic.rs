//! The schematic of a circuit, one row a cup, so that it can go on in the next column.

use super::symbols;
use crate::block::{Block, Section, SectionId};
use crate::chapters::{append, note_after};
use crate::context::Context;
use crate::page::{Anchor, Item, Pen, Role, Tag, Tone, Weight};
use crate::style::{Style, THICK, left, text};
use crate::text_width::{cut_to, printable, text_width, wrap};
use analysis::CircuitReport;
use document::{Arrangement, Branch, CupId, Origin, Routing, SourceModel, Supply};
use glam::dvec2;
use units::Quantity;

/// What stands in the columns of the schematic, from the source to the cup.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slot {
    Source,
    Filter,
    Valve,
    CheckValve,
    Manifold,
    Parting,
    Cells,
    Restrictor,
    CheckValveAtCup,
    FilterAtCup,
    Cup,
}

impl Slot {
    fn word(self) -> &'static str {
        match self {
            Self::Source => "vacuum source",
            Self::Filter | Self::FilterAtCup => "filter",
            Self::Valve => "zone valve",
            Self::CheckValve | Self::CheckValveAtCup => "check valve",
            Self::Manifold => "manifold",
            Self::Parting => "junction",
            Self::Cells => "cells",
            Self::Restrictor => "restrictor",
            Self::Cup => "cup",
        }
    }
}

/// One row: the place of its run, its place in the run, its branch.
struct Row<'a> {
    run: usize,
    first: bool,
    last: bool,
    branch: &'a Branch,
}

struct Drawing<'a> {
    context: &'a Context<'a>,
    circuit: &'a CircuitReport,
    supply: &'a Supply,
    routing: &'a Routing,
    model: &'a SourceModel,
    slots: Vec<Slot>,
    pitch: f64,
    size: f64,
    height: f64,
    width: f64,
    style: &'a Style,
}

pub(super) fn section(context: &Context, circuit: &CircuitReport, width: f64, style: &Style) -> Section {
    let heading = format!("{}: schematic", circuit.name.trim());
    let mut section =
        Section { id: SectionId::Other("schematic"), heading, head: Vec::new(), rows: Vec::new() };
    let Some(supply) = context.project.circuit(circuit.id).and_then(|c| c.supply.clone()) else {
        return section;
    };
    let Some(routing) = context.project.routing(context.report.layout, circuit.id) else { return section };
    let Some(model) = context.project.source(&supply.source) else { return section };
    let slots = slots(&supply, &routing);
    let room = style.body * 9.5;
    let drawing = Drawing {
        context,
        circuit,
        supply: &supply,
        routing: &routing,
        model,
        pitch: ((width - room) / slots.len() as f64).min(style.body * 7.0),
        slots,
        size: style.body * 1.2,
        height: style.body * 2.6,
        width,
        style,
    };
    let rows = drawing.rows();
    section.head = vec![drawing.head()];
    let last_run = rows.last().map_or(0, |row| row.run);
    section.rows = rows.iter().enumerate().map(|(index, row)| drawing.row(index, row, last_run)).collect();
    append(&mut section.rows, note_after(&words(context, circuit, &supply, &routing, model), width, style));
    section
}

fn slots(supply: &Supply, routing: &Routing) -> Vec<Slot> {
    let central = supply.arrangement == Arrangement::Central;
    let switched = || routing.runs.iter().filter_map(|run| supply.valves.get(run.valve?));
    let manifold = routing.runs.iter().any(|run| run.manifold.is_some());
    let wanted = [
        (Slot::Source, true),
        (Slot::Filter, supply.filter.is_some()),
        (Slot::Valve, central && switched().next().is_some()),
        (Slot::CheckValve, central && switched().any(|valve| valve.check_valve)),
        (Slot::Manifold, central && manifold),
        (Slot::Parting, central && !manifold),
        (Slot::CheckValveAtCup, supply.check_valve_at_cup),
        (Slot::Restrictor, supply.restrictor.is_some()),
        (Slot::FilterAtCup, supply.filter_at_cup.is_some()),
        (Slot::Cells, supply.area_gripper.is_some()),
        (Slot::Cup, true),
    ];
    wanted.into_iter().filter(|(_, there)| *there).map(|(slot, _)| slot).collect()
}

/// What the drawing does not say.
fn words(
    context: &Context,
    circuit: &CircuitReport,
    supply: &Supply,
    routing: &Routing,
    model: &SourceModel,
) -> String {
    let count = match (supply.arrangement, supply.sources) {
        (Arrangement::Central, sources @ 2..) => format!("{sources} × "),
        _ => String::new(),
    };
    let mut says = format!("Source: {count}{}, {}", model.name.trim(), supply.arrangement.label());
    if model.kind == document::SourceKind::Ejector {
        says.push_str(&format!(", feed {}", context.figure(supply.feed_kpa.value, Quantity::FeedPressure)));
        says.push_str(" above the atmosphere");
    }
    says.push_str(&match model.figures {
        Origin::Assumed => ". Its curve is generic and invented: measure it or use the data sheet".to_owned(),
        origin => format!(". Its curve is {}", origin.label()),
    });
    if routing.runs.iter().any(|run| run.mains.len() > 1) {
        says.push_str(". The manifold is fed at both ends");
    }
    if let Some(flow) = circuit.flow_nl_min {
        says.push_str(&format!(". Air drawn: {}", super::with_unit(context, flow, Quantity::Flow)));
    }
    if let Some(air) = circuit.air_nl_min {
        let air = context.figure(air, Quantity::Flow);
        says.push_str(&format!(". Compressed air while it runs: {air}"));
    }
    if let Some(power) = circuit.power_w {
        says.push_str(&format!(". Power: {}", super::plain(context, power, 0, "W")));
    }
    says.push_str(&format!(". Loss of fittings: {}", supply.fitting_loss.label()));
    says.push_str(&besides(context, supply));
    says.push_str(
        ". Symbols in the manner of ISO 1219-1, simplified; figures are levels, all cups on the part.",
    );
    says
}

/// Cells that close, and dust.
fn besides(context: &Context, supply: &Supply) -> String {
    let mut says = String::new();
    if let Some(closing) = supply.cell_closing.as_ref().filter(|_| supply.area_gripper.is_some()) {
        let flow = |of: f64| super::with_unit(context, of, Quantity::Flow);
        says.push_str(&format!(
            ". A cell closes when it draws more than {} at the level the circuit reaches, and then leaks {}",
            flow(closing.at_nl_min.value),
            flow(closing.leak_nl_min.value)
        ));
    }
    if let Some(dust) = &supply.dust {
        says.push_str(&format!(
            ". Dust in the air: {}; {} of it halve a filter\u{2019}s conductance",
            super::with_unit(context, dust.load_g_m3.value, Quantity::DustLoad),
            super::with_unit(context, dust.capacity_g.value, Quantity::SmallMass)
        ));
    }
    says
}

impl Drawing<'_> {
    /// By the ports of their manifold, so that no lines cross.
    fn rows(&self) -> Vec<Row<'_>> {
        let mut rows = Vec::new();
        for (run, of) in self.routing.runs.iter().enumerate() {
            let mut branches: Vec<&Branch> = of.branches.iter().collect();
            branches.sort_by_key(|branch| branch.port);
            let last = branches.len().saturating_sub(1);
            rows.extend(branches.into_iter().enumerate().map(|(index, branch)| Row {
                run,
                first: index == 0,
                last: index == last,
                branch,
            }));
        }
        rows
    }

    fn x(&self, slot: Slot) -> Option<f64> {
        let index = self.slots.iter().position(|of| *of == slot)?;
        Some(self.pitch * (index as f64 + 0.5))
    }

    /// The names of the columns.
    fn head(&self) -> Block {
        let small = self.style.small;
        let lines: Vec<Vec<String>> = self
            .slots
            .iter()
            .map(|slot| {
                let mut lines = wrap(slot.word(), Weight::Regular, small, self.pitch * 0.95);
                lines.truncate(2);
                lines.iter().map(|line| cut_to(line, Weight::Regular, small, self.pitch * 0.95)).collect()
            })
            .collect();
        let most = lines.iter().map(Vec::len).max().unwrap_or(1);
        let mut items = Vec::new();
        for (slot, lines) in self.slots.iter().zip(&lines) {
            let Some(x) = self.x(*slot) else { continue };
            for (index, says) in lines.iter().enumerate() {
                let y = -small - (most - lines.len() + index) as f64 * self.style.small_leading;
                items.push(text(dvec2(x, y), says, small, Weight::Regular, Tone::Second, Anchor::Middle));
            }
        }
        let height = small * 0.7 + most as f64 * self.style.small_leading;
        let names: Vec<&str> = self.slots.iter().map(|slot| slot.word()).collect();
        let says = format!("Schematic, from the source to the cups: {}", names.join(", "));
        Block { height, items: vec![Tag::new(Role::Figure, says).over(items)] }
    }

    fn row(&self, index: usize, row: &Row, last_run: usize) -> Block {
        let y = -self.height / 2.0;
        let mut items = if self.supply.arrangement == Arrangement::Central {
            self.central(index, row, last_run, y)
        } else {
            self.own_source(row, y)
        };
        items.extend(self.at_cup(row.branch.cup, y));
        // Room for the level under a source in the last row.
        let more = if row.last && row.run == last_run { self.style.small } else { 0.0 };
        let says = format!("Schematic: line to {}", self.context.tag(row.branch.cup));
        Block { height: self.height + more, items: vec![Tag::new(Role::Figure, says).over(items)] }
    }

    fn symbol(&self, slot: Slot, y: f64) -> Option<Item> {
        let at = dvec2(self.x(slot)?, y);
        Some(match slot {
            Slot::Source => symbols::source(self.model.kind, at, self.size),
            Slot::Filter | Slot::FilterAtCup => symbols::filter(at, self.size),
            Slot::Valve => symbols::valve(at, self.size),
            Slot::CheckValve | Slot::CheckValveAtCup => symbols::check_valve(at, self.size),
            Slot::Restrictor | Slot::Cells => symbols::restrictor(at, self.size),
            Slot::Cup => symbols::cup(at, self.size),
            Slot::Manifold | Slot::Parting => symbols::junction(at),
        })
    }

    /// A word or a figure under a symbol.
    fn under(&self, slot: Slot, y: f64, says: &str) -> Option<Item> {
        let small = self.style.small;
        let says = cut_to(&printable(says), Weight::Regular, small, self.pitch * 0.97);
        let at = dvec2(self.x(slot)?, y - self.size * 0.55 - small * 0.95);
        Some(text(at, &says, small, Weight::Regular, Tone::Ink, Anchor::Middle))
    }

    fn source_level(&self, cup: Option<CupId>, y: f64) -> Option<Item> {
        let source = self.circuit.sources.iter().find(|source| source.cup == cup)?;
        self.under(Slot::Source, y, &self.context.figure(source.level_kpa, Quantity::VacuumLevel))
    }

    fn central(&self, index: usize, row: &Row, last_run: usize, y: f64) -> Vec<Item> {
        let (top, foot) = (0.0, -self.height);
        let before = [Slot::Filter, Slot::Source].into_iter().find_map(|slot| self.x(slot)).unwrap_or(0.0);
        // Where the runs part, and where their branches do.
        let trunk = before + self.pitch * 0.5;
        let parting = self.x(Slot::Manifold).or(self.x(Slot::Parting)).unwrap_or(trunk);
        let mut items = Vec::new();
        if index == 0
            && let Some(x) = self.x(Slot::Source)
        {
            items.push(symbols::line(dvec2(x, y), dvec2(trunk, y)));
            items.extend([Slot::Source, Slot::Filter].into_iter().filter_map(|slot| self.symbol(slot, y)));
            items.extend(self.source_level(None, y));
        }
        if last_run > 0 {
            let from = if index == 0 { y } else { top };
            let to = if row.run == last_run { y } else { foot };
            if row.run < last_run || row.first {
                items.push(symbols::line(dvec2(trunk, from), dvec2(trunk, to)));
            }
            if row.first && row.run < last_run {
                items.push(symbols::junction(dvec2(trunk, y)));
            }
        }
        let run = &self.routing.runs[row.run];
        if row.first {
            items.push(symbols::line(dvec2(trunk, y), dvec2(parting, y)));
            if let Some(valve) = run.valve.and_then(|valve| self.supply.valves.get(valve)) {
                items.extend(self.symbol(Slot::Valve, y));
                items.extend(self.under(Slot::Valve, y, &format!("zone {}", valve.zone.trim())));
                if valve.check_valve {
                    items.extend(self.symbol(Slot::CheckValve, y));
                }
            }
        }
        let reach = if run.manifold.is_some() { self.height * 0.22 } else { 0.0 };
        let from = if row.first { y + reach } else { top };
        let to = if row.last { y - reach } else { foot };
        if run.manifold.is_some() {
            let pen = Pen::solid(THICK * 2.4, Tone::Ink);
            items.push(Item::Line { from: dvec2(parting, from), to: dvec2(parting, to), pen });
            if let Some(port) = row.branch.port {
                let at = dvec2(parting + 1.1, y + 0.6);
                let says = (port + 1).to_string();
                items.push(left(at, &says, self.style.small * 0.9, Weight::Regular, Tone::Second));
            }
        } else if from != to {
            items.push(symbols::line(dvec2(parting, from), dvec2(parting, to)));
            items.push(symbols::junction(dvec2(parting, y)));
        }
        items.push(symbols::line(dvec2(parting, y), dvec2(self.x(Slot::Cup).unwrap_or(parting), y)));
        items
    }

    fn own_source(&self, row: &Row, y: f64) -> Vec<Item> {
        let (Some(from), Some(to)) = (self.x(Slot::Source), self.x(Slot::Cup)) else { return Vec::new() };
        let mut items = vec![symbols::line(dvec2(from, y), dvec2(to, y))];
        items.extend([Slot::Source, Slot::Filter].into_iter().filter_map(|slot| self.symbol(slot, y)));
        items.extend(self.source_level(Some(row.branch.cup), y));
        items
    }

    /// What sits on the cup, the cup, its tag and level.
    fn at_cup(&self, cup: CupId, y: f64) -> Vec<Item> {
        let slots = [Slot::CheckValveAtCup, Slot::Restrictor, Slot::FilterAtCup, Slot::Cells, Slot::Cup];
        let mut items: Vec<Item> = slots.into_iter().filter_map(|slot| self.symbol(slot, y)).collect();
        let body = self.style.body;
        let from = self.x(Slot::Cup).unwrap_or(0.0) + self.size * 0.7 + body * 0.5;
        let level = self.circuit.cups.iter().find(|of| of.id == cup).map(|of| of.level_kpa);
        let level = level.map_or(String::new(), |kpa| self.context.figure(kpa, Quantity::VacuumLevel));
        let room = self.width - from - body * 0.8 - text_width(&level, Weight::Regular, body);
        let tag = cut_to(&printable(self.context.tag(cup)), Weight::SemiBold, body, room);
        let at = dvec2(from, y - body * 0.35);
        let after = text_width(&tag, Weight::SemiBold, body) + body * 0.8;
        items.push(left(at, &tag, body, Weight::SemiBold, Tone::Ink));
        items.push(left(at + dvec2(after, 0.0), &level, body, Weight::Regular, Tone::Ink));
        items
    }
}
