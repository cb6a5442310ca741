//! Inputs that figures depend on and that nobody measured or stated.

use crate::{lower, report::Assumption};
use document::{
    Arrangement, BlowOff, CircuitId, Cup, CupModel, Layout, Line, MassBy, ModelId, Origin, Part, PartId,
    Project, SourceKind, Sourced, Supply,
};
use units::Quantity;

/// What an assumed input belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Of {
    Part(PartId),
    Circuit(CircuitId),
    Model(ModelId),
}

/// An assumed input, and the thing of the project that it is an input of.
pub(crate) struct AssumedInput {
    pub of: Of,
    /// Which of the thing's inputs.
    pub field: AssumedField,
    pub told: Assumption,
}

/// Which of a thing's inputs is assumed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum AssumedField {
    /// Of the lips in general, or of one lip material.
    Friction(Option<String>),
    Density,
    ArealMass,
    Mass,
    Permeance,
    Level,
    LipGap,
    Curve,
    Feed,
    /// Any other, by its name.
    Named(String),
}

impl std::fmt::Display for AssumedField {
    /// Its name, which stays the same when things are renamed.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let name = match self {
            Self::Friction(None) => "friction",
            Self::Friction(Some(material)) => return write!(f, "friction of {material}"),
            Self::Density => "density",
            Self::ArealMass => "areal mass",
            Self::Mass => "mass",
            Self::Permeance => "permeance",
            Self::Level => "level",
            Self::LipGap => "lip gap",
            Self::Curve => "curve",
            Self::Feed => "feed",
            Self::Named(name) => name,
        };
        f.write_str(name)
    }
}

impl From<String> for AssumedField {
    fn from(name: String) -> Self {
        Self::Named(name)
    }
}

impl From<&str> for AssumedField {
    fn from(name: &str) -> Self {
        Self::Named(name.to_owned())
    }
}

/// Every assumed input that this layout's figures use: part first, then circuits, then models, each once.
pub(crate) fn assumptions(project: &Project, layout: &Layout, part: Option<&Part>) -> Vec<Assumption> {
    assumed_inputs(project, layout, part).into_iter().map(|input| input.told).collect()
}

/// The same with what they belong to.
pub(crate) fn assumed_inputs(project: &Project, layout: &Layout, part: Option<&Part>) -> Vec<AssumedInput> {
    let mut out = Vec::new();
    let mut add = |of: Of, field: AssumedField, what: String, value: &Sourced<f64>, quantity: Quantity| {
        if value.origin == Origin::Assumed {
            let (value, on) = (value.value, value.on.clone());
            let told = Assumption { what, value, quantity, origin: Origin::Assumed, on };
            out.push(AssumedInput { of, field, told });
        }
    };
    if let Some(part) = part {
        let of = || Of::Part(part.id);
        for (field, name, friction) in frictions(project, layout, part) {
            add(of(), field, name, friction, Quantity::Ratio);
        }
        let name = &part.name;
        match &part.mass {
            MassBy::Density { kg_m3 } => {
                add(of(), AssumedField::Density, format!("density of {name}"), kg_m3, Quantity::Density);
            }
            MassBy::Areal { kg_m2 } => {
                add(
                    of(),
                    AssumedField::ArealMass,
                    format!("mass per area of {name}"),
                    kg_m2,
                    Quantity::ArealMass,
                );
            }
            MassBy::Stated { kg } => {
                add(of(), AssumedField::Mass, format!("mass of {name}"), kg, Quantity::Mass)
            }
        }
        if let Some(centre) = &part.centre_of_gravity {
            for (axis, value) in ["x", "y", "z"].into_iter().zip(centre.value.to_array()) {
                let value = Sourced { value, origin: centre.origin, on: centre.on.clone() };
                let field = format!("centre of gravity {axis}");
                add(
                    of(),
                    field.into(),
                    format!("centre of gravity of {name}, {axis}"),
                    &value,
                    Quantity::Length,
                );
            }
        }
    }
    for circuit in project.circuits.iter().filter(|c| layout.cups.iter().any(|cup| cup.circuit == c.id)) {
        let name = &circuit.name;
        let of = || Of::Circuit(circuit.id);
        let what = if circuit.supply.is_some() { "vacuum level asked for on" } else { "vacuum level of" };
        let what = format!("{what} {name} at sea level");
        add(of(), AssumedField::Level, what, &circuit.level_kpa, Quantity::VacuumLevel);
        let Some(supply) = &circuit.supply else { continue };
        if circuit.thresholds.is_none() {
            let share = Sourced::assumed(crate::circuit::DESIGN_SHARE);
            let what = format!("level that counts as held on {name}, over its steady level");
            add(of(), "design level".into(), what, &share, Quantity::Share);
        }
        let gap = Sourced { value: supply.lip_gap_um.value * 1e-3, ..supply.lip_gap_um.clone() };
        add(of(), AssumedField::LipGap, format!("gap left under the lips on {name}"), &gap, Quantity::Length);
        let operation = &supply.operation;
        let times = [
            ("valve response", "response of the valve on", &operation.valve_s),
            ("switch delay", "delay of the vacuum switch on", &operation.switch_s),
        ];
        for (field, what, value) in times {
            add(of(), field.into(), format!("{what} {name}"), value, Quantity::Time);
        }
        let what = format!("what check valves on {name} let back");
        add(of(), "check valve leak".into(), what, &operation.check_leak_nl_min, Quantity::Flow);
        if let Some(exhaust) = &operation.exhaust {
            let lost = [("flow", &exhaust.flow_loss_per_kpa), ("level", &exhaust.level_loss_per_kpa)];
            for (field, value) in lost {
                let what = format!("{field} lost to back-pressure on {name}, for each kPa");
                add(of(), format!("{field} lost to back-pressure").into(), what, value, Quantity::Share);
            }
        }
        for (field, what, bore_mm) in fitting_bores(supply) {
            let bore = Sourced::assumed(bore_mm);
            add(
                of(),
                field.into(),
                format!("bore of the fittings in {what} of {name}"),
                &bore,
                Quantity::Length,
            );
        }
        for (field, what, value, quantity) in besides(supply) {
            add(of(), field.into(), format!("{what} of {name}"), value, quantity);
        }
        if let Some(model) = project.source(&supply.source) {
            let usual = operation.blow_off.of(model.kind).filter(|_| operation.blow_off == BlowOff::Usual);
            if let Some((valve, feed_kpa)) = usual {
                let what =
                    format!("feed of the blow-off on {name}, through C {} dm³/(s·bar)", valve.c_dm3_s_bar);
                add(of(), "blow-off".into(), what, &Sourced::assumed(feed_kpa), Quantity::FeedPressure);
            }
            let deepest = model.curve.last().map_or(0.0, |point| point.level_kpa);
            let curve = Sourced { value: deepest, origin: model.figures, on: model.on.clone() };
            let what = format!("curve of {}, deepest level", model.name);
            add(of(), AssumedField::Curve, what, &curve, Quantity::VacuumLevel);
            if model.kind == SourceKind::Ejector {
                let what = format!("feed pressure of {name}");
                add(of(), AssumedField::Feed, what, &supply.feed_kpa, Quantity::FeedPressure);
            }
        }
    }
    let leaks = part.and_then(|part| part.permeance_um_pa_s.as_ref());
    if let (Some(part), Some(permeance)) = (part, leaks) {
        let what = format!("how easily air comes through {}", part.name);
        add(Of::Part(part.id), AssumedField::Permeance, what, permeance, Quantity::Permeance);
    }
    for model in used_models(project, layout) {
        let name = &model.name;
        let mut of_model = |field: &str, what: String, value: &Sourced<f64>, quantity: Quantity| {
            add(Of::Model(model.id.clone()), field.into(), what, value, quantity);
        };
        of_model(
            "sealing line",
            format!("sealing line over outer size of {name}"),
            &model.sealing_share,
            Quantity::Ratio,
        );
        of_model(
            "axial stiffness",
            format!("axial stiffness of {name}"),
            &model.axial_n_mm,
            Quantity::Stiffness,
        );
        of_model(
            "lateral stiffness",
            format!("lateral stiffness of {name}"),
            &model.lateral_n_mm,
            Quantity::Stiffness,
        );
        of_model(
            "tilt stiffness over that of its lip line",
            format!("tilt stiffness of {name} over that of its lip line"),
            &model.tilt_reduction,
            Quantity::Ratio,
        );
        let lever = model.side_lever();
        of_model("lever of a side load", format!("lever of a side load on {name}"), &lever, Quantity::Length);
        // Looked at only where a circuit is worked out.
        if feeds(project, layout, model) {
            let what = format!("width that the lip of {name} bears on");
            of_model("lip width", what, &model.lip_width(), Quantity::Length);
        }
        of_model(
            "line force that keeps it sealed",
            format!("line force that keeps {name} sealed"),
            &model.seal_minimum_n_mm,
            Quantity::LineForce,
        );
        of_model("travel", format!("travel of {name}"), &model.travel_mm, Quantity::Length);
        // Looked at only where a circuit is worked out.
        if feeds(project, layout, model) {
            let formula =
                if model.free_ml.is_none() { ", lip area × (travel + height left) + bore" } else { "" };
            let what = format!("air inside {name} at rest{formula}");
            of_model("air inside at rest", what, &model.free(), Quantity::Volume);
        }
        // Looked at only where air comes through the part.
        if leaks.is_some() {
            let what = format!("height left for the air under {name}");
            of_model("height left for the air", what, &model.channel_mm, Quantity::Length);
        }
    }
    out
}

/// Dust and closing of cells, where the circuit has them.
fn besides(supply: &Supply) -> Vec<(&'static str, &'static str, &Sourced<f64>, Quantity)> {
    let mut out = Vec::new();
    if let Some(dust) = &supply.dust {
        out.extend([
            ("dust in the air", "dust in the air, g/m³,", &dust.load_g_m3, Quantity::Ratio),
            ("dust capacity", "dust that halves a filter, g,", &dust.capacity_g, Quantity::Ratio),
            ("cleaning", "time between cleanings of the filters, h,", &dust.cleaned_h, Quantity::Ratio),
        ]);
    }
    if let Some(closing) = supply.cell_closing.as_ref().filter(|_| supply.area_gripper.is_some()) {
        out.extend([
            ("closing of cells", "flow that closes a cell", &closing.at_nl_min, Quantity::Flow),
            ("leak of closed cells", "leak of a closed cell", &closing.leak_nl_min, Quantity::Flow),
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
            (format!("branch {}", own.cup), format!("the own branch of cup {}", own.cup), &own.line)
        });
        std::iter::once(("branch".to_owned(), "the branches".to_owned(), &supply.branch)).chain(own)
    });
    let lines = main.into_iter().chain(branches.into_iter().flatten());
    lines
        .filter(|(.., line)| taken(line))
        .map(|(key, what, line)| (format!("bore of the fittings in {key}"), what, line.bore_mm))
        .collect()
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
