//! The published schema of an object, made from its key structure, against the file in `schema/` (tests only: the product
//! carries none of it). Also read by the tests of `exchange`, which publishes one object more.
//!
//! `CUPWRIGHT_WRITE_SNAPSHOT=1 cargo test --workspace --lib schema` writes the files anew; look at the difference before it
//! is committed.

use schemars::{JsonSchema, generate::SchemaSettings};
use serde_json::{Map, Value};
use std::path::PathBuf;

/// The schema of what `T` writes.
pub(crate) fn made<T: JsonSchema>() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<T>().to_value();
    tidy(&mut schema);
    schema
}

/// Asserts that `schema/<name>.schema.json` of the crate is what `T` writes, or writes it anew.
pub(crate) fn holds<T: JsonSchema>(name: &str) {
    let file = format!("{name}.schema.json");
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("schema").join(&file);
    let schema = made::<T>();
    jsonschema::draft202012::new(&schema).expect("a schema");
    let now = serde_json::to_string_pretty(&schema).expect("a schema is plain JSON") + "\n";
    if std::env::var_os("CUPWRIGHT_WRITE_SNAPSHOT").is_some() {
        std::fs::write(&path, now).expect("the folder of schemas can be written");
        return;
    }
    let was = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    for (number, (is, was)) in now.lines().zip(was.lines()).enumerate() {
        assert_eq!(is, was, "{file}, line {}; CUPWRIGHT_WRITE_SNAPSHOT=1 writes it anew", number + 1);
    }
    assert_eq!(now.lines().count(), was.lines().count(), "{file} has another length");
}

/// Our way of writing a schema: a key that is left out where it has no value is never null, comments are one line, and
/// structures go by their names without the ending.
fn tidy(value: &mut Value) {
    match value {
        Value::Array(list) => list.iter_mut().for_each(tidy),
        Value::Object(object) => {
            tidy_object(object);
            object.values_mut().for_each(tidy);
        }
        _ => {}
    }
}

fn tidy_object(object: &mut Map<String, Value>) {
    // How wide a number is in our memory is nothing to a reader.
    if object.contains_key("type") && object.get("format").is_some_and(Value::is_string) {
        object.remove("format");
    }
    if let Some(Value::String(says)) = object.get_mut("description") {
        *says = says.replace("\n\n", "\0").replace('\n', " ").replace('\0', "\n");
    }
    if let Some(Value::String(to)) = object.get_mut("$ref") {
        *to = to.trim_end_matches("Json").to_owned();
    }
    if let Some(Value::Object(definitions)) = object.get_mut("$defs") {
        *definitions = std::mem::take(definitions)
            .into_iter()
            .map(|(name, schema)| (name.trim_end_matches("Json").to_owned(), schema))
            .collect();
    }
    let required: Vec<String> = match object.get("required") {
        Some(Value::Array(list)) => list.iter().filter_map(|key| key.as_str().map(str::to_owned)).collect(),
        _ => Vec::new(),
    };
    if let Some(Value::Object(properties)) = object.get_mut("properties") {
        let absent = properties.iter_mut().filter(|(key, _)| !required.contains(key));
        absent.for_each(|(_, schema)| without_null(schema));
    }
}

/// A schema that may be null as one that may not.
fn without_null(schema: &mut Value) {
    let Value::Object(object) = schema else { return };
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|kind| kind != "null");
        if let [only] = types.as_slice() {
            let only = only.clone();
            object.insert("type".to_owned(), only);
        }
    }
    if let Some(Value::Array(choices)) = object.get_mut("enum") {
        choices.retain(|choice| !choice.is_null());
    }
    if let Some(Value::Array(choices)) = object.get_mut("anyOf") {
        choices.retain(|choice| choice["type"] != "null");
        if let [Value::Object(only)] = choices.as_slice() {
            let only = only.clone();
            object.remove("anyOf");
            object.extend(only);
        }
    }
}

/// Asserts that the schema refuses what it refused when it was written by hand: `list` has a place of the object a line
/// (the first of each list) and what was done to the value there. Nothing that was refused may pass by accident.
pub(crate) fn refuses<T: JsonSchema>(list: &str) {
    let schema = made::<T>();
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let whole = fullest(&schema, &schema, &[]);
    let wrong: Vec<String> =
        validator.iter_errors(&whole).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    for line in list.lines() {
        let mut words = line.split(' ');
        let place = words.next().expect("a place");
        for done in words {
            let mut spoiled = whole.clone();
            spoil(&mut spoiled, place, done);
            assert!(!validator.is_valid(&spoiled), "{place}: {done} passes");
        }
    }
}

fn spoil(object: &mut Value, place: &str, done: &str) {
    if done == "drop" {
        let (parent, key) = place.rsplit_once('/').expect("a place in the object");
        let parent = object.pointer_mut(parent).and_then(Value::as_object_mut);
        parent.and_then(|parent| parent.remove(key)).unwrap_or_else(|| panic!("{place} is gone"));
        return;
    }
    let value = object.pointer_mut(place).unwrap_or_else(|| panic!("{place} is gone"));
    match done {
        "null" => *value = Value::Null,
        "type" => *value = if value.is_string() { 1.into() } else { "x".into() },
        "empty" => *value = "".into(),
        "other" => *value = "/Other".into(),
        "false" => *value = false.into(),
        "negative" => *value = (-1).into(),
        "zero" => *value = 0.into(),
        "short" => drop(value.as_array_mut().expect("a list").pop()),
        "unknown" => {
            drop(value.as_object_mut().expect("an object").insert("unheard_of".to_owned(), 1.into()))
        }
        other => panic!("{other}"),
    }
}

/// An object with every key that the schema knows, one entry in each list; one that would hold itself again leaves that out.
fn fullest<'a>(schema: &'a Value, root: &'a Value, within: &[&'a str]) -> Value {
    let first = |key: &str| {
        schema[key].get(0).or_else(|| schema.get(key)).map(|choice| fullest(choice, root, within))
    };
    let plain = schema.get("type").is_none();
    let mut object = if let Some(to) = schema["$ref"].as_str() {
        let within: Vec<&str> = within.iter().copied().chain([to]).collect();
        fullest(root.pointer(to.trim_start_matches('#')).expect("a definition"), root, &within)
    } else if let Some(value) = schema.get("const").or_else(|| schema["enum"].get(0)) {
        return value.clone();
    } else if let Some(value) = ["else", "anyOf", "allOf"].into_iter().filter(|_| plain).find_map(first) {
        return value;
    } else {
        match schema["type"].as_str().or_else(|| schema["type"][0].as_str()) {
            Some("array") => {
                let item = fullest(&schema["items"], root, within);
                return vec![item; schema["minItems"].as_u64().unwrap_or(1) as usize].into();
            }
            Some("string") => return of_pattern(schema["pattern"].as_str()).into(),
            Some("boolean") => return true.into(),
            Some("number" | "integer") => {
                return schema["minimum"].as_f64().unwrap_or(1.0).max(1.0).ceil().into();
            }
            Some(_) => Value::Object(Map::new()),
            None => return 1.into(),
        }
    };
    let must = |key: &str| {
        schema["required"].as_array().is_some_and(|required| required.iter().any(|held| held == key))
    };
    for (key, schema) in schema["properties"].as_object().into_iter().flatten() {
        if !must(key) && schema["$ref"].as_str().is_some_and(|to| within.contains(&to)) {
            continue;
        }
        object[key] = fullest(schema, root, within);
    }
    object
}

fn of_pattern(pattern: Option<&str>) -> String {
    match pattern {
        None | Some("^[^/\\\\]*$") => "x".to_owned(),
        Some("^cupwright ") => "cupwright 1".to_owned(),
        Some("^[a-z]+(\\.[a-z_]+)+$") => "a.b".to_owned(),
        Some("^[0-9a-f]{4}-[0-9a-f]{4}$") => "0000-0000".to_owned(),
        Some("^[0-9a-f]{64}$") => "0".repeat(64),
        Some(other) => panic!("no example of {other}"),
    }
}
