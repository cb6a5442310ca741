//! Inputs that figures depend on and that nobody measured or stated.

use crate::{lower, report::Assumption};
use document::{
    Arrangement, BlowOff, Circuit, CircuitId, Cup, CupModel, Layout, Line, MassBy, Measure, ModelId, Origin,
    Part, PartId, Project, SourceKind, Sourced, Supply,
};
use units::Quantity;

/// What an assumed input belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Of {
    /// A part.
    Part(PartId),
    /// A circuit.
    Circuit(CircuitId),
    /// A cup model.
    Model(ModelId),
}

/// An assumed input, and the thing of the project that it is an input of.
pub struct AssumedInput {
    /// The thing.
    pub of: Of,
    /// Which of the thing's inputs.
    pub field: AssumedField,
    /// How it is told.
    pub told: Assumption,
}

/// Which of a thing's inputs is assumed. Its text stays the same when things are renamed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AssumedField {
    /// Of the lips in general, or of one lip material.
    Friction(Option<String>),
    /// By its key in the registry.
    Key(&'static str),
    /// One of several under a key: an axis, a hose.
    One(&'static str, String),
    /// Share of the steady level from which a part counts as held.
    DesignLevel,
    /// Feed of the blow-off that nobody stated.
    BlowOff,
    /// What its valve passes.
    BlowOffConductance,
}

impl std::fmt::Display for AssumedField {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Friction(None) => f.write_str("friction"),
            Self::Friction(Some(material)) => write!(f, "friction of {material}"),
            Self::Key(key) => f.write_str(document::name_of(key)),
            Self::One(key, which) => write!(f, "{} {which}", document::name_of(key)),
            Self::DesignLevel => f.write_str("design level"),
            Self::BlowOff => f.write_str("blow-off"),
            Self::BlowOffConductance => f.write_str("conductance of the blow-off"),
        }
    }
}

/// A value of the file in the unit that people read it in, with its quantity; what has no unit to pick names its own.
fn readable(key: &'static str, value: f64) -> (f64, Quantity, &'static str) {
    match document::field(key).map(|field| field.measure) {
        Some(Measure::Fixed(unit)) => (value, Quantity::Ratio, unit),
        Some(measure) => {
            let (quantity, times) = measure.in_base();
            (value * times, quantity, "")
        }
        None => (value, Quantity::Ratio, ""),
    }
}

/// Every assumed input that this layout's figures use: part first, then circuits, then models, each once.
pub(crate) fn assumptions(project: &Project, layout: &Layout, part: Option<&Part>) -> Vec<Assumption> {
    assumed_inputs(project, layout, part).into_iter().map(|input| input.told).collect()
}

/// The same with what they belong to.
pub fn assumed_inputs(project: &Project, layout: &Layout, part: Option<&Part>) -> Vec<AssumedInput> {
    let mut found = Found(Vec::new());
    if let Some(part) = part {
        found.part(project, layout, part);
    }
    for circuit in project.circuits.iter().filter(|c| layout.cups.iter().any(|cup| cup.circuit == c.id)) {
        found.circuit(project, circuit);
    }
    let leaks = part.and_then(|part| part.permeance_um_pa_s.as_ref());
    if let (Some(part), Some(permeance)) = (part, leaks) {
        found.known(&Of::Part(part.id), "part.permeance_um_pa_s", &part.name, permeance);
    }
    if let Some(part) = part {
        found.bending(part);
    }
    for model in used_models(project, layout) {
        found.model(model, feeds(project, layout, model), leaks.is_some());
    }
    found.0
}

struct Found(Vec<AssumedInput>);

impl Found {
    fn add(&mut self, of: &Of, field: AssumedField, what: String, value: &Sourced<f64>, quantity: Quantity) {
        if value.origin == Origin::Assumed {
            let (value, on) = (value.value, value.on.clone());
            let told = Assumption { what, value, quantity, origin: Origin::Assumed, on };
            self.0.push(AssumedInput { of: of.clone(), field, told });
        }
    }

    /// A field of the registry, of a thing by its name.
    fn known(&mut self, of: &Of, key: &'static str, thing: &str, value: &Sourced<f64>) {
        self.one(of, AssumedField::Key(key), key, thing, value);
    }

    fn one(&mut self, of: &Of, field: AssumedField, key: &'static str, thing: &str, value: &Sourced<f64>) {
        let (read, quantity, unit) = readable(key, value.value);
        let name = document::name_of(key);
        let what =
            if unit.is_empty() { format!("{name} of {thing}") } else { format!("{name} of {thing}, {unit}") };
        self.add(of, field, what, &Sourced { value: read, ..value.clone() }, quantity);
    }

    fn part(&mut self, project: &Project, layout: &Layout, part: &Part) {
        let (of, name) = (Of::Part(part.id), part.name.as_str());
        for (field, what, friction) in frictions(project, layout, part) {
            self.add(&of, field, what, friction, Quantity::Ratio);
        }
        match &part.mass {
            MassBy::Density { kg_m3 } => self.known(&of, "part.mass.Density.kg_m3", name, kg_m3),
            MassBy::Areal { kg_m2 } => self.known(&of, "part.mass.Areal.kg_m2", name, kg_m2),
            MassBy::Stated { kg } => self.known(&of, "part.mass.Stated.kg", name, kg),
        }
        if let Some(centre) = &part.centre_of_gravity {
            for (axis, value) in ["x", "y", "z"].into_iter().zip(centre.value.to_array()) {
                let value = Sourced { value, origin: centre.origin, on: centre.on.clone() };
                let key = "part.centre_of_gravity";
                let field = AssumedField::One(key, axis.to_owned());
                self.one(&of, field, key, &format!("{name}, {axis}"), &value);
            }
        }
    }

    /// Of a part that is let bend.
    fn bending(&mut self, part: &Part) {
        let Some(modulus) = &part.modulus_n_mm2 else { return };
        let (of, name) = (Of::Part(part.id), part.name.as_str());
        self.known(&of, "part.modulus_n_mm2", name, modulus);
        let usual = Sourced::assumed(crate::bending::USUAL_POISSON);
        self.known(&of, "part.poisson", name, part.poisson.as_ref().unwrap_or(&usual));
        if let Some(across) = &part.modulus_across_n_mm2 {
            self.known(&of, "part.modulus_across_n_mm2", name, across);
        }
        let usual = Sourced::assumed(crate::bending::USUAL_DAMPING);
        self.known(&of, "part.damping", name, part.damping.as_ref().unwrap_or(&usual));
    }

    fn circuit(&mut self, project: &Project, circuit: &Circuit) {
        let (of, name) = (Of::Circuit(circuit.id), circuit.name.as_str());
        let asked = if circuit.supply.is_some() { "required vacuum level on" } else { "vacuum level of" };
        let (key, what) = ("circuit.level_kpa", format!("{asked} {name} at sea level"));
        self.add(&of, AssumedField::Key(key), what, &circuit.level_kpa, Quantity::VacuumLevel);
        let Some(supply) = &circuit.supply else { return };
        if circuit.thresholds.is_none() {
            let share = Sourced::assumed(crate::circuit::DESIGN_SHARE);
            let what = format!("part-held level of {name} as a share of its steady level");
            self.add(&of, AssumedField::DesignLevel, what, &share, Quantity::Share);
        }
        let operation = &supply.operation;
        self.known(&of, "circuit.supply.lip_gap_um", name, &supply.lip_gap_um);
        self.known(&of, "circuit.supply.operation.valve_s", name, &operation.valve_s);
        self.known(&of, "circuit.supply.operation.switch_s", name, &operation.switch_s);
        self.known(&of, "circuit.supply.operation.check_leak_nl_min", name, &operation.check_leak_nl_min);
        if let Some(exhaust) = &operation.exhaust {
            let lost = [
                ("circuit.supply.operation.exhaust.flow_loss_per_kpa", &exhaust.flow_loss_per_kpa),
                ("circuit.supply.operation.exhaust.level_loss_per_kpa", &exhaust.level_loss_per_kpa),
            ];
            for (key, value) in lost {
                self.known(&of, key, name, value);
            }
        }
        for (which, hose, bore_mm) in fitting_bores(supply) {
            let key = "circuit.supply.line.fittings.bore_mm";
            let thing = format!("the fittings in {hose} of {name}");
            self.one(&of, AssumedField::One(key, which), key, &thing, &Sourced::assumed(bore_mm));
        }
        for (key, value) in besides(supply) {
            self.known(&of, key, name, value);
        }
        let Some(source) = project.source(&supply.source) else { return };
        let usual = operation.blow_off.of(source.kind).filter(|_| operation.blow_off == BlowOff::Usual);
        if let Some((valve, feed_kpa)) = usual {
            let what = format!("feed of the blow-off on {name}");
            let feed = Sourced::assumed(feed_kpa);
            self.add(&of, AssumedField::BlowOff, what, &feed, Quantity::FeedPressure);
            let what = format!("conductance of the blow-off on {name}");
            let through = Sourced::assumed(valve.c_dm3_s_bar);
            self.add(&of, AssumedField::BlowOffConductance, what, &through, Quantity::Conductance);
        }
        let deepest = source.curve.last().map_or(0.0, |point| point.level_kpa);
        let curve = Sourced { value: deepest, origin: source.figures, on: source.on.clone() };
        let what = format!("curve of {}, deepest level", source.name);
        self.add(&of, AssumedField::Key("source.curve"), what, &curve, Quantity::VacuumLevel);
        if source.kind == SourceKind::Ejector {
            self.known(&of, "circuit.supply.feed_kpa", name, &supply.feed_kpa);
        }
    }

    /// `fed`: whether it is on a circuit that is worked out; `leaks`: whether air comes through the part.
    fn model(&mut self, model: &CupModel, fed: bool, leaks: bool) {
        let (of, name) = (Of::Model(model.id.clone()), model.name.as_str());
        self.known(&of, "model.sealing_share", name, &model.sealing_share);
        self.known(&of, "model.axial_n_mm", name, &model.axial_n_mm);
        self.known(&of, "model.lateral_n_mm", name, &model.lateral_n_mm);
        self.known(&of, "model.tilt_reduction", name, &model.tilt_reduction);
        self.known(&of, "model.side_lever_mm", name, &model.side_lever());
        if fed {
            self.known(&of, "model.lip_width_mm", name, &model.lip_width());
        }
        self.known(&of, "model.seal_minimum_n_mm", name, &model.seal_minimum_n_mm);
        self.known(&of, "model.travel_mm", name, &model.travel_mm);
        if fed {
            let formula =
                if model.free_ml.is_none() { ", lip area × (travel + air gap) + bore" } else { "" };
            self.known(&of, "model.free_ml", &format!("{name}{formula}"), &model.free());
        }
        if leaks {
            self.known(&of, "model.channel_mm", name, &model.channel_mm);
        }
    }
}

/// Dust and closing of cells, where the circuit has them.
fn besides(supply: &Supply) -> Vec<(&'static str, &Sourced<f64>)> {
    let mut out = Vec::new();
    if let Some(dust) = &supply.dust {
        out.extend([
            ("circuit.supply.dust.load_g_m3", &dust.load_g_m3),
            ("circuit.supply.dust.capacity_g", &dust.capacity_g),
            ("circuit.supply.dust.cleaned_h", &dust.cleaned_h),
        ]);
    }
    if let Some(closing) = supply.cell_closing.as_ref().filter(|_| supply.area_gripper.is_some()) {
        out.extend([
            ("circuit.supply.cell_closing.at_nl_min", &closing.at_nl_min),
            ("circuit.supply.cell_closing.leak_nl_min", &closing.leak_nl_min),
        ]);
    }
    out
}

/// Hoses with fittings whose bore nobody stated: they are taken as wide as the hose.
fn fitting_bores(supply: &Supply) -> Vec<(String, String, f64)> {
    let taken =
        |line: &Line| line.fittings.iter().any(|f| f.count > 0 && f.bore_mm.is_none() && f.flow.is_none());
    let main = (supply.arrangement == Arrangement::Central).then_some((
        "main".to_owned(),
        "the main hose".to_owned(),
        &supply.main,
    ));
    let branches = (supply.arrangement != Arrangement::PerCup).then(|| {
        let own = supply.branches.iter().map(|own| {
            (format!("branch {}", own.cup), format!("the individual branch of cup {}", own.cup), &own.line)
        });
        std::iter::once(("branch".to_owned(), "the branches".to_owned(), &supply.branch)).chain(own)
    });
    let lines = main.into_iter().chain(branches.into_iter().flatten());
    lines.filter(|(.., line)| taken(line)).map(|(key, what, line)| (key, what, line.bore_mm)).collect()
}

/// Whether cups of a model are on a circuit of which the levels are worked out.
fn feeds(project: &Project, layout: &Layout, model: &CupModel) -> bool {
    let supplied = |cup: &Cup| project.circuit(cup.circuit).is_some_and(|circuit| circuit.supply.is_some());
    layout.cups.iter().any(|cup| cup.model == model.id && supplied(cup))
}

fn used_models<'p>(project: &'p Project, layout: &'p Layout) -> impl Iterator<Item = &'p CupModel> {
    let used = |model: &&CupModel| layout.cups.iter().any(|cup| cup.model == model.id);
    project.models.iter().map(AsRef::as_ref).filter(used)
}

/// Friction that the layout's lips have on the part: once for all that have none of their own, then for each lip
/// material that has. The part's own stands for a layout without cups.
fn frictions<'p>(
    project: &'p Project,
    layout: &'p Layout,
    part: &'p Part,
) -> Vec<(AssumedField, String, &'p Sourced<f64>)> {
    let mut out: Vec<(AssumedField, String, &Sourced<f64>)> = Vec::new();
    let mut models = used_models(project, layout).peekable();
    let all = format!("friction of the lips on {}", part.name);
    if models.peek().is_none() {
        return vec![(AssumedField::Friction(None), all, &part.friction)];
    }
    for model in models {
        let entry = match lower::pair(part, model) {
            Some(pair) => {
                let lip = pair.lip_material.trim();
                let what = format!("friction of {lip} on {}", part.name);
                (AssumedField::Friction(Some(lip.to_lowercase())), what, &pair.friction)
            }
            None => (AssumedField::Friction(None), all.clone(), &part.friction),
        };
        if !out.iter().any(|(_, name, _)| *name == entry.1) {
            out.push(entry);
        }
    }
    out
}
