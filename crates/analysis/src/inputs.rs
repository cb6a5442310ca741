//! What the document finds wrong with the inputs of a layout, and what that leaves without a figure.

use crate::{
    lower::{self, CupFacts, ModelFacts},
    memo::{Shared, Slot, shared},
};
use document::{
    Circuit, Cup, CupModel, Cycle, Layout, ModelId, Motion, Part, Problem, Project, Rules, Site, SourceId,
    SourceModel, Subject, Trial,
};
use std::{collections::HashMap, sync::Arc};
use units::{UnitChoice, standard_atmosphere};

/// Problems of the inputs, remembered.
#[derive(Default)]
pub(crate) struct InputStage {
    inputs: Slot<InputKey, Vec<Problem>>,
}

/// Inputs apart from the layouts, whose problems change with every step of a drag.
#[derive(Clone, PartialEq)]
pub(crate) struct InputKey {
    parts: Vec<Shared<Part>>,
    motions: Vec<Shared<Motion>>,
    circuits: Vec<Shared<Circuit>>,
    models: Vec<Shared<CupModel>>,
    sources: Vec<Shared<SourceModel>>,
    cycle: Cycle,
    trial: Shared<Trial>,
    site: Site,
    rules: Rules,
}

impl InputKey {
    pub(crate) fn of(project: &Project) -> Self {
        Self {
            parts: shared(&project.parts),
            motions: shared(&project.motions),
            circuits: shared(&project.circuits),
            models: shared(&project.models),
            sources: shared(&project.sources),
            cycle: project.cycle.clone(),
            trial: Shared(Arc::clone(&project.trial)),
            site: project.site,
            rules: project.rules,
        }
    }
}

impl InputStage {
    /// Problems of what the layout uses, in these units.
    ///
    /// Validating an outline costs far more than the rest, and the drawing stage does it once for each drawing.
    pub(crate) fn problems(
        &mut self,
        project: &Project,
        layout: &Layout,
        units: &UnitChoice,
    ) -> Vec<Problem> {
        let inputs = self.inputs.get(InputKey::of(project), |_| {
            Project { layouts: Vec::new(), ..project.clone() }.problems_but_of_outlines()
        });
        relevant(inputs, project, layout)
            .chain(project.layout_problems(layout.id))
            .map(|problem| problem.in_units(units))
            .collect()
    }
}

/// A sentence in which figures that are not finite are told in words.
pub(crate) fn figures_in_words(says: &str) -> String {
    // "NaN°" and "NaN" alike, but no part of a name.
    let word = |word: &str| match word.trim_matches(|c: char| !c.is_alphanumeric()) {
        "NaN" => word.replace("NaN", "not a number"),
        "inf" => word.replace("-inf", "inf").replace("inf", "without limit"),
        _ => word.to_owned(),
    };
    says.split(' ').map(word).collect::<Vec<String>>().join(" ")
}

/// Problems of what this layout uses, of those that are not its own.
fn relevant<'a>(
    problems: &'a [Problem],
    project: &'a Project,
    layout: &'a Layout,
) -> impl Iterator<Item = Problem> + 'a {
    let feeds = |circuit: &Circuit, source: &SourceId| {
        circuit.supply.as_ref().is_some_and(|supply| supply.source == *source)
            && layout.cups.iter().any(|cup| cup.circuit == circuit.id)
    };
    let used = move |subject: &Subject| match subject {
        Subject::Project | Subject::Site | Subject::Motion(_) => true,
        Subject::Source(source) => project.circuits.iter().any(|circuit| feeds(circuit, source)),
        Subject::Part(part) => *part == layout.part,
        Subject::Circuit(circuit) => layout.cups.iter().any(|cup| cup.circuit == *circuit),
        Subject::Model(model) => layout.cups.iter().any(|cup| cup.model == *model),
        Subject::Layout(_) | Subject::Cup(..) => false,
    };
    problems.iter().filter(move |problem| used(&problem.subject)).cloned()
}

/// The first figure out of its range, of a thing that every stage may come to use: then none is run. Of a motion it is that
/// motion alone that is left out.
pub(crate) fn refused(problems: &[Problem]) -> Option<&str> {
    problems
        .iter()
        .find(|problem| problem.out_of_range.is_some() && !matches!(problem.subject, Subject::Motion(_)))
        .map(|problem| problem.says.as_str())
}

/// The first problem that leaves every motion without a figure. What is wrong with a cup or its model shows when it is
/// lowered: much of it (a tag given twice) does not touch the figures.
pub(crate) fn blocking(problems: &[Problem]) -> Option<&str> {
    problems
        .iter()
        .find(|problem| matches!(problem.subject, Subject::Part(_) | Subject::Site | Subject::Circuit(_)))
        .map(|problem| problem.says.as_str())
}

/// Cups that could be lowered, and what stood against the first that could not.
#[derive(Default)]
pub(crate) struct Lowered<'a> {
    pub cups: Vec<CupFacts>,
    pub placed: Vec<&'a Cup>,
    pub problem: Option<String>,
}

impl Lowered<'_> {
    /// Keeps some of the cups.
    pub(crate) fn keep(&mut self, which: impl Fn(&CupFacts) -> bool) {
        let kept: Vec<bool> = self.cups.iter().map(which).collect();
        let mut at = kept.iter();
        self.cups.retain(|_| at.next().is_none_or(|kept| *kept));
        let mut at = kept.iter();
        self.placed.retain(|_| at.next().is_none_or(|kept| *kept));
    }
}

pub(crate) fn lower_cups<'a>(
    project: &Project,
    layout: &'a Layout,
    part: &Part,
    models: &HashMap<&ModelId, ModelFacts<'_>>,
) -> Lowered<'a> {
    let outside = standard_atmosphere(project.site.altitude_m);
    let mut lowered = Lowered::default();
    for cup in &layout.cups {
        match lower::cup(cup, models, project, part, outside) {
            Ok(facts) if facts.usable() => {
                lowered.cups.push(facts);
                lowered.placed.push(cup);
            }
            Ok(_) => {
                lowered.problem.get_or_insert_with(|| {
                    format!("{} has a size, stiffness, level or friction out of range", cup.tag)
                });
            }
            Err(problem) => {
                lowered.problem.get_or_insert(problem);
            }
        }
    }
    lowered
}
