//! What a comment or an attribute of a key structure cannot say in a schema, and the test that every published schema is
//! the one that is made of its structure.

use super::difference::ChangedFindingJson;
use super::keys::OutcomeJson;
use analysis::Slow;
use schemars::{Schema, SchemaGenerator, generate::SchemaSettings, json_schema};
use serde_json::{Map, Value, json};

/// A line with the key "unread" is of a file that was not read, any other of one that was.
pub(super) fn unread_or_read(schema: &mut Schema) {
    let Some(Value::Array(choices)) = schema.remove("anyOf") else { return };
    let [unread, read] = choices.as_slice() else { return };
    schema.insert("if".to_owned(), json!({ "required": ["unread"] }));
    schema.insert("then".to_owned(), unread.clone());
    schema.insert("else".to_owned(), read.clone());
}

/// Every slow figure with its age.
pub(super) fn ages(_: &mut SchemaGenerator) -> Schema {
    let age = json!({ "enum": ["current", "older", "absent"] });
    let keys = || Slow::all().map(Slow::key);
    let properties: Map<String, Value> = keys().map(|key| (key.to_owned(), age.clone())).collect();
    json_schema!({ "type": "object", "properties": properties, "required": keys().collect::<Vec<_>>() })
}

/// A motion has all keys of an outcome or none; with a limit factor the losses stand there too.
pub(super) fn outcome_is_whole() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let outcome = settings.into_generator().into_root_schema_for::<OutcomeJson<'_>>();
    let keys = outcome.get("required").and_then(Value::as_array).cloned().unwrap_or_default();
    let one = "governing_cup";
    let mut needed: Map<String, Value> =
        keys.iter().filter_map(|key| Some((key.as_str()?.to_owned(), json!([one])))).collect();
    needed.insert(one.to_owned(), Value::Array(keys));
    needed.insert("limit_factor".to_owned(), json!(["one_cup_lost"]));
    Value::Object(needed)
}

/// What was added has no "from", what was removed no "to", what was changed at least one of them.
pub(super) fn sides_of_a_change() -> Value {
    let of = |kind: &str, then: Value| json!({ "if": { "properties": { "kind": { "const": kind } } }, "then": then });
    json!([
        of("added", json!({ "required": ["to"], "not": { "required": ["from"] } })),
        of("removed", json!({ "required": ["from"], "not": { "required": ["to"] } })),
        of(
            "changed",
            json!({ "required": ["field"], "anyOf": [{ "required": ["from"] }, { "required": ["to"] }] })
        ),
    ])
}

/// Findings that both sides have.
pub(super) fn pairs(generator: &mut SchemaGenerator) -> Schema {
    let finding = generator.subschema_for::<ChangedFindingJson<'_>>();
    json_schema!({ "type": "array", "items": { "allOf": [finding, { "required": ["before"] }] } })
}

#[test]
fn the_schema_of_check_is_made_of_its_keys_and_refuses_what_it_did() {
    super::published::holds::<super::keys::LineJson<'_>>("check");
    super::published::refuses::<super::keys::LineJson<'_>>(include_str!("../../schema/refused/check.txt"));
}

#[test]
fn the_schema_of_proposals_is_what_is_written() {
    super::published::holds::<super::proposals::ProposalsJson<'_>>("proposals");
}

#[test]
fn the_schema_of_compare_is_made_of_its_keys_and_refuses_what_it_did() {
    super::published::holds::<super::compare::CompareJson<'_>>("compare");
    super::published::refuses::<super::compare::CompareJson<'_>>(include_str!(
        "../../schema/refused/compare.txt"
    ));
}

#[test]
fn the_schema_of_diff_is_made_of_its_keys_and_refuses_what_it_did() {
    super::published::holds::<super::difference::DifferenceJson<'_>>("diff");
    super::published::refuses::<super::difference::DifferenceJson<'_>>(include_str!(
        "../../schema/refused/diff.txt"
    ));
}
