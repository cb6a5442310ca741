//! Fields of two values of one kind, as the file has them.

use crate::FieldPath;
use serde_json::{Map, Value};
use std::collections::HashSet;

/// By what the elements of a list are told apart, if they have it and it is there once.
const KEYS: [&str; 5] = ["id", "cup", "zone", "lip_material", "index"];

/// Called with each field that differs: its name, and what it was and is.
pub(super) type Differs<'a> = &'a mut dyn FnMut(FieldPath, Option<Value>, Option<Value>);

/// Tells the fields that differ, down to figures, texts and variants.
pub(super) fn fields(field: FieldPath, old: &Value, new: &Value, differs: Differs<'_>) {
    if old == new {
        return;
    }
    match (old, new) {
        (Value::Object(old), Value::Object(new)) if !is_whole(old) && !is_whole(new) => {
            let more = new.keys().filter(|name| !old.contains_key(*name));
            for name in old.keys().chain(more) {
                let of = |all: &Map<String, Value>| all.get(name).cloned().unwrap_or_default();
                fields(field.with(name), &of(old), &of(new), differs);
            }
        }
        (Value::Array(a), Value::Array(b)) => match key_of(a, b) {
            Some(key) => elements(&field, key, a, b, differs),
            None => differs(field, some(old), some(new)),
        },
        _ => differs(field, some(old), some(new)),
    }
}

fn some(value: &Value) -> Option<Value> {
    (!value.is_null()).then(|| value.clone())
}
/// `{"Round": {"diameter": 40}}`: a choice with its figures is one value; names of fields are lower case. So is an outline
/// that is told in short.
fn is_whole(object: &Map<String, Value>) -> bool {
    let choice = |name: &String| name.starts_with(|c: char| c.is_ascii_uppercase());
    object.contains_key("checksum") || (object.len() == 1 && object.keys().all(choice))
}

fn key_of(old: &[Value], new: &[Value]) -> Option<&'static str> {
    let once = |list: &[Value], key: &str| {
        let mut seen = HashSet::new();
        list.iter().all(|x| x.get(key).is_some_and(|key| seen.insert(key.to_string())))
    };
    KEYS.into_iter().find(|key| once(old, key) && once(new, key))
}
fn elements(field: &FieldPath, key: &str, old: &[Value], new: &[Value], differs: Differs<'_>) {
    let of = |x: &Value| x.get(key).cloned().unwrap_or_default();
    let named = |key: &Value| key.as_str().map_or_else(|| key.to_string(), str::to_owned);
    let find = |list: &[Value], key: &Value| list.iter().find(|x| of(x) == *key).cloned();
    let mut before = Vec::new();
    for x in old {
        let key = of(x);
        let name = field.element(&named(&key));
        match find(new, &key) {
            Some(y) => {
                fields(name, x, &y, differs);
                before.push(key);
            }
            None => differs(name, some(x), None),
        }
    }
    let mut after = Vec::new();
    for y in new {
        let key = of(y);
        if before.contains(&key) {
            after.push(key);
        } else {
            differs(field.element(&named(&key)), None, some(y));
        }
    }
    if before != after {
        differs(field.order(), Some(before.into()), Some(after.into()));
    }
}
