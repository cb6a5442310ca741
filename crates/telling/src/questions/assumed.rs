//! Values that figures rest on and that nobody measured or stated.

use super::{Asking, QuestionGroup};
use analysis::{AssumedField, AssumedInput, Of, assumed_inputs, lip_changes};
use document::{CupId, Origin, Pin};

pub(super) fn ask(asking: &mut Asking<'_>) {
    let mut inputs: Vec<AssumedInput> = Vec::new();
    for part in asking.layout.parts() {
        let part = asking.project.part(part).map(AsRef::as_ref);
        for input in assumed_inputs(asking.project, asking.layout, part) {
            if !inputs.iter().any(|held| held.of == input.of && held.field == input.field) {
                inputs.push(input);
            }
        }
    }
    let mut models: Vec<&Of> = Vec::new();
    for input in &inputs {
        match &input.of {
            // The figures of a cup come from one sheet or one test: they are one question.
            Of::Model(_) if models.contains(&&input.of) => {}
            Of::Model(_) => {
                models.push(&input.of);
                let of_model: Vec<&AssumedInput> = inputs.iter().filter(|held| held.of == input.of).collect();
                model(asking, &of_model);
            }
            Of::Part(id) => {
                let called = asking.project.name_of_part(*id).to_owned();
                let why = part_why(asking, &input.field);
                single(asking, format!("part {id}"), called, input, why);
            }
            Of::Circuit(id) => {
                let circuit = asking.project.circuit(*id);
                let called = circuit.map_or_else(String::new, |circuit| circuit.name.clone());
                single(asking, format!("circuit {id}"), called, input, circuit_why(&input.field).to_owned());
            }
        }
    }
    lips(asking);
}

/// No factor rests on how long a lip lasts, and yet each holds for a lip that is not worn.
fn lips(asking: &mut Asking<'_>) {
    for change in lip_changes(asking.project, asking.layout.id) {
        if change.origin != Origin::Assumed {
            continue;
        }
        let picks = asking.words.plain(change.life_picks);
        let says =
            format!("The lips of {} are assumed to last {picks} cycles: due {}.", change.name, change.says());
        let why = "Who maintains the tool, and how do they spot a worn lip? A worn lip leaks and holds less \
            than calculated.";
        let key = format!("assumed/model {}/lip life", change.model);
        asking.ask(QuestionGroup::Assumptions, key, (Pin::Whole, change.name), says, why);
    }
}

fn single(asking: &mut Asking<'_>, of: String, called: String, input: &AssumedInput, why: String) {
    let told = &input.told;
    let says = format!("The {} is assumed: {}.", told.what, asking.words.value(told.value, told.quantity));
    asking.ask(
        QuestionGroup::Assumptions,
        format!("assumed/{of}/{}", input.field),
        (Pin::Whole, called),
        says,
        why,
    );
}

fn part_why(asking: &Asking<'_>, field: &AssumedField) -> String {
    let why = match field {
        AssumedField::Friction(_) => return friction_why(asking),
        AssumedField::Key("part.mass.Density.kg_m3" | "part.mass.Areal.kg_m2") => {
            "Which material is it? Weigh a part and state its mass."
        }
        AssumedField::Key("part.mass.Stated.kg") => "Weigh a part.",
        AssumedField::Key("part.permeance_um_pa_s") => {
            "Measure the leakage at a known level with one cup on the real part."
        }
        _ => "Take it from the drawing or balance a part.",
    };
    why.to_owned()
}

fn friction_why(asking: &Asking<'_>) -> String {
    // What the factor would be with it off by its spread.
    let range = asking.report.findings.iter().find_map(|finding| finding.range.as_deref());
    let measure = "Measure it by a slide test with this lip on the real part, as dirty as it comes.";
    range.map_or_else(|| measure.to_owned(), |range| format!("{range} {measure}"))
}

fn circuit_why(field: &AssumedField) -> &'static str {
    match field {
        AssumedField::Key("circuit.level_kpa") => {
            "Who stated it, and does the source hold it with the part on?"
        }
        AssumedField::Key("circuit.supply.lip_gap_um") => {
            "Measure the level lost with the source stopped and the part on."
        }
        AssumedField::Key("source.curve") => "Take the curve from the source\u{2019}s own data.",
        AssumedField::Key("circuit.supply.feed_kpa") => {
            "Measure it at the source while it runs, not at the compressor."
        }
        _ => "Measure it.",
    }
}

fn model(asking: &mut Asking<'_>, inputs: &[&AssumedInput]) {
    let Some(Of::Model(id)) = inputs.first().map(|input| &input.of) else { return };
    let name = asking.project.model(id).map_or_else(|| id.to_string(), |model| model.name.clone());
    let values: Vec<String> = inputs
        .iter()
        .map(|input| format!("{} {}", input.field, asking.words.value(input.told.value, input.told.quantity)))
        .collect();
    let says = format!("Assumed for {name}: {}.", values.join(", "));
    let cups: Vec<CupId> =
        asking.layout.cups.iter().filter(|cup| cup.model == *id).map(|cup| cup.id).collect();
    let pin = match cups[..] {
        [only] => Pin::Cup(asking.layout.id, only),
        _ => Pin::Whole,
    };
    let why = "Take them from the cup\u{2019}s own data, or press one on a scale and measure.";
    asking.ask(QuestionGroup::Assumptions, format!("assumed/model {id}"), (pin, name), says, why);
}
