//! The short mark of a content, and the canonical form that it is a hash of.
//!
//! The form is keys and values of the fields, whatever the layout of the file's text: keys in alphabetical order, numbers by
//! their bits, and what is empty left out (nothing, an empty text, an empty list). A field that is added to the format later is
//! left out of the file where it has its default (`skip_serializing_if`), and so out of the form: marks that were given before
//! stay what they are. A form that reads otherwise gets another number.

use crate::{Project, file::content_form};
use serde_json::Value;
use sha2::{Digest, Sha256};

/// Number of the form below; it is stored beside a mark.
pub(crate) const FORM: u32 = 1;

/// "3f2a-91c4".
pub(crate) fn of(project: &Project) -> String {
    let mut hash = Sha256::new();
    feed(&content_form(project), &mut hash);
    let hex: String = hash.finalize().iter().take(4).map(|byte| format!("{byte:02x}")).collect();
    format!("{}-{}", &hex[..4], &hex[4..])
}

fn is_empty(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::String(text) => text.is_empty(),
        Value::Array(list) => list.is_empty(),
        Value::Object(fields) => fields.values().all(is_empty),
        Value::Bool(_) | Value::Number(_) => false,
    }
}

/// Every value with its kind and its length before it, so that no two forms run into one.
fn feed(value: &Value, hash: &mut Sha256) {
    let mut sized = |kind: &[u8], length: usize| {
        hash.update(kind);
        hash.update((length as u64).to_be_bytes());
    };
    match value {
        Value::Null => sized(b"n", 0),
        Value::Bool(yes) => sized(b"b", usize::from(*yes)),
        Value::Number(number) => {
            // Nought is one number, and a whole number the same however it is kept.
            let number = number.as_f64().unwrap_or(f64::NAN) + 0.0;
            hash.update(b"f");
            hash.update(number.to_bits().to_be_bytes());
        }
        Value::String(text) => {
            sized(b"t", text.len());
            hash.update(text.as_bytes());
        }
        Value::Array(list) => {
            sized(b"l", list.len());
            list.iter().for_each(|value| feed(value, hash));
        }
        Value::Object(fields) => {
            let mut there: Vec<(&String, &Value)> =
                fields.iter().filter(|(_, value)| !is_empty(value)).collect();
            there.sort_by_key(|(key, _)| *key);
            sized(b"o", there.len());
            for (key, value) in there {
                hash.update((key.len() as u64).to_be_bytes());
                hash.update(key.as_bytes());
                feed(value, hash);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn mark(value: &Value) -> Vec<u8> {
        let mut hash = Sha256::new();
        feed(value, &mut hash);
        hash.finalize().to_vec()
    }

    #[test]
    fn order_and_what_is_empty_do_not_count() {
        let now = json!({"a": 1, "b": [1.5, "x"], "on": false});
        assert_eq!(mark(&now), mark(&json!({"on": false, "b": [1.5, "x"], "a": 1.0})));
        // A field that was added, left out or empty.
        assert_eq!(
            mark(&now),
            mark(
                &json!({"a": 1, "b": [1.5, "x"], "on": false, "new": null, "text": "", "list": [], "of": {"x": null}})
            )
        );
        assert_eq!(mark(&json!({"a": 0.0})), mark(&json!({"a": -0.0})));
    }

    #[test]
    fn every_value_counts() {
        let forms = [
            json!({"a": 1}),
            json!({"a": 2}),
            json!({"b": 1}),
            json!({"a": "1"}),
            json!({"a": [1]}),
            json!({"a": [1, ""]}),
            json!({"a": true}),
            json!({"a": false}),
            json!({"ab": "c"}),
            json!({"a": "bc"}),
            json!({"a": 1.0000000000000002}),
            json!({}),
        ];
        for (at, one) in forms.iter().enumerate() {
            for other in &forms[at + 1..] {
                assert_ne!(mark(one), mark(other), "{one} {other}");
            }
        }
    }

    /// A mark on paper stays what it is: this one was given by the first form.
    #[test]
    fn a_mark_of_the_first_form_is_the_same_for_ever() {
        let part = crate::Part::rectangle(crate::PartId(1), "Tray blank", 600.0, 400.0);
        let mut project = Project::new("Tray line 2", part);
        assert_eq!(of(&project), "0d49-3224");
        // A picture to trace is no content.
        let png: std::sync::Arc<[u8]> = (*b"\x89PNG").into();
        let at = glam::DVec2::ZERO;
        let traced = crate::Traced {
            name: "a.png".into(),
            png,
            at,
            turn_deg: 0.0,
            dot_mm: 1.0,
            strength: 0.5,
            locked: false,
        };
        project.traced = Some(std::sync::Arc::new(traced));
        assert_eq!(of(&project), "0d49-3224");
    }
}
