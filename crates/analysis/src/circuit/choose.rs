//! What each source would do on a circuit: for choosing one by hand. Each is solved on the document that choosing it makes.

use crate::{
    Analyst,
    report::{CircuitReport, Report},
    words::Words,
};
use document::{Circuit, CircuitId, Edit, LayoutId, Project, SourceId, SourceKind, SourceModel, Sourced};
use std::sync::Arc;

/// A source on a circuit of a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceOnCircuit {
    /// The source.
    pub source: SourceId,
    /// Level that the circuit is required to have at the site, kPa.
    pub needed_kpa: f64,
    /// What it draws at that level here, all of its kind on the circuit together, L/min ANR; 0 where it does not get as deep.
    pub flow_nl_min: f64,
    /// What the circuit leaks when its source's port is kept at that level, L/min ANR; `None` where it has no hoses yet, or a source for
    /// each of several cups.
    pub leak_nl_min: Option<f64>,
    /// Level that the worst cup would come to, kPa; `None` where the circuit has no hoses yet.
    pub level_kpa: Option<f64>,
    /// Compressed air while it runs, L/min ANR; `None` for a motor.
    pub air_nl_min: Option<f64>,
    /// Power while it runs, W: of its motor, or of the compressor for its air.
    pub power_w: f64,
    /// Feed that it is rated at, kPa above the atmosphere; `None` for a motor.
    pub feed_kpa: Option<f64>,
    /// Why it does not suit; `None` where it does.
    pub why_not: Option<String>,
}

/// The change that feeds a circuit by a source, which is added where the project has none of its id; the feed becomes
/// the rated one, assumed. `None` where the circuit has no hoses and valves to feed.
pub fn fed_by(project: &Project, id: CircuitId, source: &Arc<SourceModel>) -> Option<Edit> {
    let before = project.circuit(id)?;
    let mut supply = before.supply.clone()?;
    let new = Arc::make_mut(&mut supply);
    new.source = source.id.clone();
    new.feed_kpa = Sourced::assumed(source.rated_feed_kpa);
    let circuit = Arc::new(Circuit { supply: Some(supply), ..Circuit::clone(before) });
    let name = format!("Change source of {} to {}", before.name, source.name);
    let mut edits = vec![Edit::ChangeCircuit { circuit, what: name.clone() }];
    if project.source(&source.id).is_none() {
        edits.insert(0, Edit::AddSource(source.clone()));
    }
    Some(Edit::Together { name, edits })
}

impl Analyst {
    /// Every one of these sources on a circuit of a layout, in their order. A circuit without hoses is told by the sources' own curves.
    ///
    /// # Errors
    /// A sentence where the circuit or the layout is not there.
    pub fn sources_on_circuit(
        &mut self,
        project: &Project,
        layout: LayoutId,
        circuit: CircuitId,
        sources: &[Arc<SourceModel>],
    ) -> Result<Vec<SourceOnCircuit>, String> {
        let held = project.circuit(circuit).ok_or("the circuit is not in the project")?;
        if !project.layout(layout).is_some_and(|layout| layout.cups.iter().any(|cup| cup.circuit == circuit))
        {
            return Err(format!("no cup of the layout is on {}; place cups first", held.name));
        }
        let mut out = Vec::with_capacity(sources.len());
        for source in sources {
            out.push(self.source_on_circuit(project, layout, held, source));
        }
        Ok(out)
    }

    fn source_on_circuit(
        &mut self,
        project: &Project,
        layout: LayoutId,
        held: &Circuit,
        source: &Arc<SourceModel>,
    ) -> SourceOnCircuit {
        let ejector = source.kind == SourceKind::Ejector;
        let blank = SourceOnCircuit {
            source: source.id.clone(),
            needed_kpa: held.level_kpa.value,
            flow_nl_min: 0.0,
            leak_nl_min: None,
            level_kpa: None,
            air_nl_min: None,
            power_w: 0.0,
            feed_kpa: ejector.then_some(source.rated_feed_kpa),
            why_not: None,
        };
        if let Some(problem) = source.problems().into_iter().next() {
            return SourceOnCircuit { why_not: Some(problem.in_units(&self.units()).says), ..blank };
        }
        let edit = fed_by(project, held.id, source);
        let with = edit.as_ref().map(|edit| edit.apply(project));
        match with {
            None => self.by_curve(project, source, blank),
            Some(Err(error)) => SourceOnCircuit { why_not: Some(error.in_units(&self.units())), ..blank },
            Some(Ok(with)) => {
                let report = self.check(&with, layout);
                self.as_solved(&with, &report, held, source, blank)
            }
        }
    }

    /// Of a circuit as it was solved with the source.
    fn as_solved(
        &self,
        project: &Project,
        report: &Report,
        held: &Circuit,
        source: &SourceModel,
        blank: SourceOnCircuit,
    ) -> SourceOnCircuit {
        let Some(circuit) = report.circuits.iter().find(|circuit| circuit.id == held.id) else {
            let why_not = Some("the inputs of the layout cannot be used".to_owned());
            return SourceOnCircuit { why_not, ..blank };
        };
        let needed_kpa = circuit.wanted_kpa;
        let at = |points: &[(f64, f64)]| between(points, needed_kpa);
        let flow_nl_min = circuit.sources.iter().map(|one| at(&one.curve).unwrap_or(0.0)).sum();
        let leak_nl_min = match circuit.sources.as_slice() {
            [only] => at(&only.leak_curve),
            _ => None,
        };
        let told = SourceOnCircuit {
            needed_kpa,
            flow_nl_min,
            leak_nl_min,
            level_kpa: circuit.worst_cup().map(|cup| cup.level_kpa),
            air_nl_min: circuit.air_nl_min,
            power_w: power(project, circuit.power_w, circuit.air_nl_min),
            ..blank
        };
        let why_not = self.against(circuit, source, &told);
        SourceOnCircuit { why_not, ..told }
    }

    /// Why the circuit would not do with it.
    fn against(
        &self,
        circuit: &CircuitReport,
        source: &SourceModel,
        told: &SourceOnCircuit,
    ) -> Option<String> {
        let units = self.units();
        let words = Words { choice: &units };
        if let Some(why) = circuit.status.no_figure() {
            return Some(why);
        }
        let deepest = circuit.sources.iter().map(|one| one.deepest_kpa).fold(f64::INFINITY, f64::min);
        let needed = words.level(told.needed_kpa);
        if deepest < told.needed_kpa {
            return Some(format!("reaches {} at most, {needed} is required", words.level(deepest)));
        }
        let level = told.level_kpa.filter(|level| *level < told.needed_kpa)?;
        let flow = |nl_min: f64| words.figure(nl_min, units::Quantity::Flow);
        // Beside the flow it is hose and valve that cost the level, not the source.
        Some(match told.leak_nl_min.filter(|leak| *leak > told.flow_nl_min) {
            Some(leak) => {
                format!("draws {} at {needed}, the circuit leaks {}", flow(told.flow_nl_min), flow(leak))
            }
            None => {
                let by = if source.kind == SourceKind::Ejector { "as fed, " } else { "" };
                format!("{by}the worst cup gets {}, {needed} is required", words.level(level))
            }
        })
    }

    /// Of a circuit without hoses: the source alone, at the site.
    fn by_curve(&self, project: &Project, source: &SourceModel, blank: SourceOnCircuit) -> SourceOnCircuit {
        let outside = units::standard_atmosphere(project.site.altitude_m);
        let needed_kpa = crate::lower::level_at_site(blank.needed_kpa, outside);
        let air = vacuum::Air { ambient: outside, temperature_c: project.site.temperature_c };
        let made = super::source::of_model(source, source.rated_feed_kpa);
        let figures = made.and_then(|made| {
            let says = |error: vacuum::SourceError| error.to_string();
            let flow = made.flow_nl_min(units::VacuumLevel::from_kpa(needed_kpa), &air).map_err(says)?;
            let used = made.consumption_nl_min(&air).map_err(says)?;
            Ok((flow, used, made.deepest(&air).map_err(says)?.kpa(), made.power_w()))
        });
        let (flow_nl_min, used, deepest, motor) = match figures {
            Ok(figures) => figures,
            Err(why) => return SourceOnCircuit { needed_kpa, why_not: Some(why), ..blank },
        };
        let air_nl_min = (source.kind == SourceKind::Ejector).then_some(used);
        let units = self.units();
        let words = Words { choice: &units };
        let why_not = (deepest < needed_kpa).then(|| {
            let [most, needed] = [deepest, needed_kpa].map(|kpa| words.level(kpa));
            format!("reaches {most} at most, {needed} is required")
        });
        let power_w = power(project, Some(motor), air_nl_min);
        SourceOnCircuit { needed_kpa, flow_nl_min, air_nl_min, power_w, why_not, ..blank }
    }
}

/// Power of the motors, and of the compressor for the air that is used, W.
fn power(project: &Project, motor_w: Option<f64>, air_nl_min: Option<f64>) -> f64 {
    /// L/min in a m³/h.
    const PER_CUBIC_METRE_AN_HOUR: f64 = 1e3 / 60.0;
    let compressor_kw =
        project.cycle.compressor_kwh_per_m3.value * air_nl_min.unwrap_or(0.0) / PER_CUBIC_METRE_AN_HOUR;
    motor_w.unwrap_or(0.0) + 1e3 * compressor_kw
}

/// The second figure at a place of the first, straight between points; `None` past the last or without points.
fn between(points: &[(f64, f64)], at: f64) -> Option<f64> {
    let pair = points.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&at))?;
    let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
    Some(if x1 > x0 { y0 + (y1 - y0) * (at - x0) / (x1 - x0) } else { y0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{Part, PartId};

    fn tray() -> Project {
        let text = include_str!("../../../../demo-projects/moulded-tray.ron");
        document::from_text(text, "moulded-tray").unwrap()
    }

    fn all() -> Vec<Arc<SourceModel>> {
        document::sources().to_vec()
    }

    #[test]
    fn what_is_told_of_a_source_is_what_choosing_it_gives() {
        let project = tray();
        let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
        let found = Analyst::new().sources_on_circuit(&project, layout, circuit, &all()).unwrap();
        assert_eq!(found.len(), all().len());
        let mut suited = 0;
        for (source, told) in all().iter().zip(&found) {
            let with = fed_by(&project, circuit, source).unwrap().apply(&project).unwrap();
            let report = Analyst::new().check(&with, layout);
            let now = report.circuits.iter().find(|one| one.id == circuit).unwrap();
            assert_eq!(told.level_kpa, now.worst_cup().map(|cup| cup.level_kpa), "{}", source.name);
            assert_eq!(told.air_nl_min, now.air_nl_min);
            // It suits exactly where the worst cup has the required level.
            let enough = told.level_kpa.is_some_and(|level| level >= told.needed_kpa);
            assert_eq!(told.why_not.is_none(), enough, "{}: {told:?}", source.name);
            suited += usize::from(enough);
            // More flow than leakage at the port's level is not enough where hoses lose level; less never is.
            if let Some(leak) = told.leak_nl_min.filter(|leak| *leak > 1.0001 * told.flow_nl_min) {
                assert!(!enough, "{}: {} drawn, {leak} leaks", source.name, told.flow_nl_min);
            }
        }
        assert!(0 < suited && suited < found.len(), "{suited} of {}: some do, and some do not", found.len());
    }

    #[test]
    fn a_circuit_without_hoses_is_told_by_the_curves() {
        let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
        let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
        let none = Analyst::new().sources_on_circuit(&project, layout, circuit, &all());
        assert!(none.unwrap_err().contains("place cups first"));
        let model = document::library()[0].clone();
        project.models.push(model.clone());
        let cup = document::Cup {
            id: document::CupId(50),
            tag: "C1".to_owned(),
            model: model.id.clone(),
            at: glam::DVec2::splat(200.0),
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit,
            zone: String::new(),
            locked: false,
        };
        Arc::make_mut(&mut project.layouts[0]).cups.push(cup);
        let found = Analyst::new().sources_on_circuit(&project, layout, circuit, &all()).unwrap();
        for (source, told) in all().iter().zip(&found) {
            assert_eq!((told.level_kpa, told.leak_nl_min), (None, None));
            let deepest = source.curve.last().unwrap().level_kpa;
            assert_eq!(told.why_not.is_some(), deepest < told.needed_kpa, "{}: {told:?}", source.name);
            assert_eq!(told.flow_nl_min > 0.0, deepest > told.needed_kpa, "{}: {told:?}", source.name);
        }
    }

    #[test]
    fn the_compressor_counts_for_an_ejector() {
        let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
        project.cycle.compressor_kwh_per_m3.value = 0.1;
        // 100 L/min are 6 m³/h: 0.6 kW.
        assert!((power(&project, None, Some(100.0)) - 600.0).abs() < 1e-9);
        assert_eq!(power(&project, Some(250.0), None), 250.0);
    }
}
