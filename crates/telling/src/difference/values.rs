//! Values of the file as a person reads them.

use analysis::words::{self, Words};
use document::{FieldPath, Measure, Project, Rules, StartStop, told};
use serde_json::Value;
use units::{Quantity, Shown};

/// Lists longer than this are counted.
const LISTED: usize = 4;

/// Writes values of one side.
#[derive(Clone, Copy)]
pub(super) struct Values<'a> {
    /// The side that the value is of: numbers of parts and circuits are told by their names there.
    pub project: &'a Project,
    pub words: Words<'a>,
}

impl Values<'_> {
    /// The value of a field; `exact` where the customary digits would not show a difference.
    pub(super) fn text(&self, kind: &str, path: &FieldPath, value: Option<&Value>, exact: bool) -> String {
        let Some(value) = value.filter(|value| !value.is_null()) else { return self.left_out(kind, path) };
        // As the form has it: "as stated" alone is said of the worst state.
        if kind == "motion" && path.is("start_stop") {
            let start_stop = if value == "AsStated" { StartStop::AsStated } else { StartStop::Both };
            return start_stop.label().to_owned();
        }
        self.read(kind, told(kind, path).measure, value, exact)
    }

    /// What a field means that the file leaves out: nothing, as a rule.
    fn left_out(&self, kind: &str, path: &FieldPath) -> String {
        match kind {
            "motion" if path.is("start_stop") => StartStop::default().label().to_owned(),
            "rules" if path.is("favourable_weight") => self.words.percent(Rules::default().favourable_weight),
            _ => "nothing".to_owned(),
        }
    }

    fn read(&self, kind: &str, measure: Measure, value: &Value, exact: bool) -> String {
        match value {
            Value::Null => "nothing".to_owned(),
            Value::Bool(true) => "yes".to_owned(),
            Value::Bool(false) => "no".to_owned(),
            Value::Number(number) => self.number(number.as_f64().unwrap_or(0.0), measure, exact).to_string(),
            Value::String(text) => self.name(text, measure),
            Value::Array(list) => self.list(kind, measure, list, exact),
            Value::Object(object) => match object.iter().next() {
                // A choice with its figures: {"Round": {"diameter": 40}}.
                Some((choice, inner)) if object.len() == 1 && choice.starts_with(char::is_uppercase) => {
                    let inner = match (choice.as_str(), inner) {
                        ("Density", _) => self.read(kind, Measure::Of(Quantity::Density), inner, exact),
                        ("Areal", _) => self.read(kind, Measure::Of(Quantity::ArealMass), inner, exact),
                        ("Stated", _) => self.read(kind, Measure::Of(Quantity::Mass), inner, exact),
                        (_, Value::Object(fields)) => self.fields(kind, fields, exact),
                        _ => self.read(kind, measure, inner, exact),
                    };
                    format!("{} {inner}", choice_in_words(choice))
                }
                _ if object.contains_key("checksum") => {
                    let vertices = object.get("vertices").and_then(Value::as_u64).unwrap_or(0);
                    let holes = object.get("holes").and_then(Value::as_u64).unwrap_or(0);
                    match holes {
                        0 => format!("{vertices} corners"),
                        1 => format!("{vertices} corners with a hole"),
                        _ => format!("{vertices} corners with {holes} holes"),
                    }
                }
                _ => match object.get("name").and_then(Value::as_str) {
                    Some(name) => name.to_owned(),
                    None => self.fields(kind, object, exact),
                },
            },
        }
    }

    fn number(&self, value: f64, measure: Measure, exact: bool) -> Shown {
        let named = |name: String| Shown { number: name, unit: "" };
        let exactly = |value: f64, quantity: Quantity| {
            let shown = units::show_exact(value, quantity, self.words.choice);
            Shown { number: shown.number.replace('-', "\u{2212}"), ..shown }
        };
        match measure {
            Measure::Part => {
                let held = self.project.parts.iter().find(|part| f64::from(part.id.0) == value);
                named(held.map_or_else(|| format!("part {value}"), |part| part.name.clone()))
            }
            Measure::Circuit => {
                let held = self.project.circuits.iter().find(|circuit| f64::from(circuit.id.0) == value);
                named(held.map_or_else(|| format!("circuit {value}"), |circuit| circuit.name.clone()))
            }
            Measure::Of(quantity) if exact => exactly(value, quantity),
            Measure::Scaled(quantity, times) if exact => exactly(value * times, quantity),
            _ => self.words.shown(value, measure),
        }
    }

    fn name(&self, text: &str, measure: Measure) -> String {
        match measure {
            Measure::Model => {
                let held = self.project.models.iter().find(|model| &*model.id.0 == text);
                held.map_or_else(|| text.to_owned(), |model| model.name.clone())
            }
            Measure::Source => {
                let held = self.project.sources.iter().find(|source| &*source.id.0 == text);
                held.map_or_else(|| text.to_owned(), |source| source.name.clone())
            }
            Measure::Text if text.trim().is_empty() => "blank".to_owned(),
            // A checksum says that a file is another one, not more.
            Measure::Text if text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit()) => {
                format!("{}\u{2026}", &text[..8])
            }
            Measure::Text => format!("\u{201c}{text}\u{201d}"),
            _ => choice_in_words(text),
        }
    }

    /// A value with where it comes from, a place, or a list.
    fn list(&self, kind: &str, measure: Measure, list: &[Value], exact: bool) -> String {
        let numbers: Option<Vec<f64>> = list.iter().map(Value::as_f64).collect();
        match (list, numbers) {
            ([], _) => "nothing".to_owned(),
            ([value, Value::String(origin), Value::String(on)], _) if is_origin(origin) => {
                let value = self.read(kind, measure, value, exact);
                let on = if on.is_empty() { String::new() } else { format!(" {on}") };
                format!("{value} ({}{on})", origin.to_lowercase())
            }
            (_, Some(numbers)) if numbers.len() <= 3 => {
                let shown: Vec<Shown> =
                    numbers.iter().map(|number| self.number(*number, measure, exact)).collect();
                together(&shown, self.words.choice.decimal_comma)
            }
            _ if list.len() > LISTED => format!("{} entries", list.len()),
            _ => {
                let texts: Vec<String> =
                    list.iter().map(|value| self.read(kind, measure, value, exact)).collect();
                texts.join(", ")
            }
        }
    }

    /// "diameter 40.0 mm", "held level 45.0 kPa, ..."
    fn fields(&self, kind: &str, object: &serde_json::Map<String, Value>, exact: bool) -> String {
        let told: Vec<String> = object
            .iter()
            .filter(|(key, value)| !said_already(key) && !is_nothing(value))
            .map(|(key, value)| {
                let told = told(kind, &FieldPath::of(key));
                let value = self.read(kind, told.measure, value, exact);
                // What is only a unit in the file has no name beside its figure: "tilt to 90.0°".
                if matches!(key.as_str(), "deg" | "mm") { value } else { format!("{} {value}", told.name) }
            })
            .collect();
        if told.len() > LISTED { format!("{} fields", told.len()) } else { words::all(&told) }
    }
}

/// By what the element of a list is found: the name of the field has it.
fn said_already(key: &str) -> bool {
    matches!(key, "id" | "cup" | "zone" | "lip_material" | "index")
}

fn is_nothing(value: &Value) -> bool {
    value.is_null() || value.as_array().is_some_and(Vec::is_empty)
}

fn is_origin(word: &str) -> bool {
    matches!(word, "Measured" | "Stated" | "Assumed")
}

/// "12.0 mm", "3.0 mm" as "(12.0, 3.0) mm".
fn together(all: &[Shown], comma: bool) -> String {
    if let [only] = all {
        return only.to_string();
    }
    let apart = if comma { "; " } else { ", " };
    match all.first() {
        Some(first) if !first.unit.is_empty() && all.iter().all(|shown| shown.unit == first.unit) => {
            let bare: Vec<&str> = all.iter().map(|shown| shown.number.as_str()).collect();
            format!("({}) {}", bare.join(apart), first.unit)
        }
        _ => format!("({})", all.iter().map(Shown::to_string).collect::<Vec<_>>().join(apart)),
    }
}

/// "EmergencyStop" as "emergency stop"; what is no such word stays.
fn choice_in_words(word: &str) -> String {
    if !word.starts_with(char::is_uppercase) || word.contains(' ') {
        return word.to_owned();
    }
    if word == "Plan" {
        return "by the plan with".to_owned();
    }
    let mut out = String::new();
    let mut before = ' ';
    for letter in word.chars() {
        let starts = letter.is_uppercase() || (letter.is_ascii_digit() && !before.is_ascii_digit());
        if starts && !out.is_empty() {
            out.push(' ');
        }
        out.extend(letter.to_lowercase());
        before = letter;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{Part, PartId};
    use serde_json::json;

    #[test]
    fn values_of_the_file_read_in_the_picked_unit() {
        let project = Project::new("Test", Part::rectangle(PartId(1), "Blank", 600.0, 400.0));
        let choice = units::UnitChoice::default();
        let values = Values { project: &project, words: Words { choice: &choice } };
        let text = |kind: &str, path: &str, value: Value| {
            values.text(kind, &FieldPath::of(path), Some(&value), false)
        };
        assert_eq!(text("part", "friction", json!([0.5, "Assumed", ""])), "0.50 (assumed)");
        assert_eq!(
            text("part", "mass", json!({"Density": [7850.0, "Stated", "2026-01-31"]})),
            "density 7850 kg/m³ (stated 2026-01-31)"
        );
        assert_eq!(
            text("model", "shape", json!({"Long": {"length": 90.0, "width": 30.0}})),
            "long lip length 90.0 mm and lip width 30.0 mm"
        );
        assert_eq!(
            text("motion", "acceleration", json!([1.0, -2.0, 0.0])),
            "(1.00, \u{2212}2.00, 0.00) m/s²"
        );
        assert_eq!(text("motion", "worst", json!({"TiltTo": {"deg": 90.0}})), "tilt to 90.0°");
        assert_eq!(text("motion", "kind", json!("EmergencyStop")), "emergency stop");
        assert_eq!(text("motion", "start_stop", json!("AsStated")), "as stated only");
        assert_eq!(values.text("motion", &FieldPath::of("start_stop"), None, false), "both");
        assert_eq!(values.text("rules", &FieldPath::of("favourable_weight"), None, false), "90 %");
        assert_eq!(text("layout", "part", json!(1)), "Blank");
        assert_eq!(
            text("part", "outline", json!({"vertices": 12, "holes": 2, "checksum": "00"})),
            "12 corners with 2 holes"
        );
        assert_eq!(text("sheet", "owner", json!("")), "blank");
        assert_eq!(text("model", "mass_g", json!(12.0)), "0.012 kg");
        assert_eq!(values.text("site", &FieldPath::of("payload_kg"), None, false), "nothing");
        assert_eq!(values.text("cup", &FieldPath::of("turn_deg"), Some(&json!(0.004)), true), "0.004°");
    }
}
