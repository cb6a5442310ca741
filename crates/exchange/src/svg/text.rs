//! What is looked at in the text of an SVG before it is parsed as XML: attributes that are compared with one another,
//! name spaces that are looked up one by one, entities that multiply.

use crate::dxf::Trouble;
use std::collections::{HashMap, HashSet};

/// Attributes of one element, at most; drawing programs write thirty.
const MOST_ATTRIBUTES: u64 = 1_000;
/// Pairs of attributes of an element, summed over all, at most: each is compared.
const MOST_PAIRS: u64 = 1_000_000_000;
/// Prefixes of name spaces, at most; drawing programs write ten.
const MOST_PREFIXES: usize = 100;
/// Bytes that all references to entities come to, at most.
const MOST_EXPANDED: usize = 64_000_000;

/// Refuses a text that would take the parser long or much memory.
pub(super) fn check(text: &str) -> Result<(), Trouble> {
    let entities = entities(text)?;
    let bytes = text.as_bytes();
    let (mut pairs, mut expanded) = (0u64, 0usize);
    let mut prefixes: HashSet<&str> = HashSet::new();
    let mut at = 0;
    while let Some(open) = find(bytes, at, b'<') {
        expanded = expanded.saturating_add(references(&text[at..open], &entities));
        if bytes[open..].starts_with(b"<!--") {
            at = text[open..].find("-->").map_or(bytes.len(), |end| open + end + 3);
            continue;
        }
        if bytes[open..].starts_with(b"<![CDATA[") {
            at = text[open..].find("]]>").map_or(bytes.len(), |end| open + end + 3);
            continue;
        }
        let (end, attributes) = element(text, open, &mut prefixes);
        if attributes > MOST_ATTRIBUTES {
            let line = 1 + bytes[..open].iter().filter(|b| **b == b'\n').count();
            return Err(Trouble::TooLong(format!(
                "the element on line {line} has {attributes} attributes, at most {MOST_ATTRIBUTES} are read"
            )));
        }
        pairs = pairs.saturating_add(attributes * attributes);
        if pairs > MOST_PAIRS || prefixes.len() > MOST_PREFIXES {
            let what = if pairs > MOST_PAIRS { "very many attributes" } else { "very many name spaces" };
            return Err(Trouble::TooLong(format!("its elements have {what}")));
        }
        if !entities.is_empty() && !bytes[open..].starts_with(b"<!") {
            expanded = expanded.saturating_add(references(&text[open..end], &entities));
        }
        at = end;
    }
    if expanded > MOST_EXPANDED {
        return Err(Trouble::TooLong(format!(
            "its XML entities expand to more than {} MB",
            MOST_EXPANDED / 1_000_000
        )));
    }
    Ok(())
}

fn find(bytes: &[u8], from: usize, wanted: u8) -> Option<usize> {
    bytes.get(from..)?.iter().position(|b| *b == wanted).map(|at| from + at)
}

/// End of the tag that starts at `open`, and how many attributes it has.
fn element<'a>(text: &'a str, open: usize, prefixes: &mut HashSet<&'a str>) -> (usize, u64) {
    let bytes = text.as_bytes();
    let (mut at, mut count, mut name) = (open + 1, 0, open + 1);
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'>' => return (at + 1, count),
            // A document type holds tags of its own, which are gone through one by one.
            b'<' => return (at, count),
            b'=' => {
                count += 1;
                let left = text[name..at].trim();
                if let Some(prefix) = left.strip_prefix("xmlns:")
                    && prefixes.len() <= MOST_PREFIXES
                {
                    prefixes.insert(prefix);
                }
            }
            b'"' | b'\'' => {
                at = find(bytes, at + 1, *byte).unwrap_or(bytes.len());
                name = (at + 1).min(bytes.len());
            }
            b if b.is_ascii_whitespace() => name = at + 1,
            _ => {}
        }
        at += 1;
    }
    (bytes.len(), count)
}

/// Bytes that every entity comes to with all that it refers to.
fn entities(text: &str) -> Result<HashMap<&str, usize>, Trouble> {
    let mut values: Vec<(&str, &str)> = Vec::new();
    let Some(start) = text.find("<!DOCTYPE") else { return Ok(HashMap::new()) };
    let mut rest = &text[start..];
    while let Some(at) = rest.find("<!ENTITY") {
        rest = &rest[at + "<!ENTITY".len()..];
        let name = rest.split_whitespace().next().unwrap_or("");
        let after = rest.find(name).map_or(rest, |at| &rest[at + name.len()..]).trim_start();
        let Some(quote) = after.chars().next().filter(|c| matches!(c, '"' | '\'')) else { continue };
        let Some((value, behind)) = after[1..].split_once(quote) else { break };
        values.push((name, value));
        rest = behind;
    }
    // As often as entities may refer to entities; what still grows then is refused by the parser for its depth.
    let mut known: HashMap<&str, usize> = values.iter().map(|(name, value)| (*name, value.len())).collect();
    if values.len() > 10_000 {
        return Err(Trouble::TooLong("it declares very many XML entities".to_owned()));
    }
    for _ in 0..12 {
        let sizes = values.iter().map(|(name, value)| (*name, value.len() + references(value, &known)));
        let next: HashMap<&str, usize> =
            sizes.map(|(name, size)| (name, size.min(MOST_EXPANDED + 1))).collect();
        if next == known {
            break;
        }
        known = next;
    }
    Ok(known)
}

/// Bytes that the references in a text come to.
fn references(text: &str, entities: &HashMap<&str, usize>) -> usize {
    if entities.is_empty() {
        return 0;
    }
    text.split('&').skip(1).fold(0usize, |sum, rest| {
        let name = rest.get(..rest.find(';').unwrap_or(0).min(64)).unwrap_or("");
        sum.saturating_add(entities.get(name).copied().unwrap_or(0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(text: &str) -> String {
        match check(text) {
            Err(Trouble::TooLong(says)) => says,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn attributes_and_prefixes_are_counted_where_they_stand() {
        let fine = "<?xml version='1.0'?><!-- a=b --><svg xmlns='s' xmlns:x=\"y\" d='a=\"b\" > = ='><![CDATA[<a b=c>]]>\
                    <g a = '1' b='2'/></svg>";
        assert!(check(fine).is_ok());
        let many: String = (0..2_000).map(|i| format!(" a{i}='1'")).collect();
        assert!(
            says(&format!("<svg>\n<g{many}/></svg>"))
                .starts_with("the element on line 2 has 2000 attributes")
        );
        let spaces: String = (0..200).map(|i| format!("<g xmlns:p{i}='u{i}'/>")).collect();
        assert!(says(&format!("<svg>{spaces}</svg>")).contains("name spaces"));
    }

    #[test]
    fn entities_that_multiply_are_refused_and_those_of_drawing_programs_are_not() {
        let fine =
            "<!DOCTYPE svg [ <!ENTITY ns_svg \"http://www.w3.org/2000/svg\"> ]><svg xmlns=\"&ns_svg;\"/>";
        assert!(check(fine).is_ok());
        let long = "x".repeat(1_000_000);
        let many = "&a;".repeat(100);
        let text = format!("<!DOCTYPE svg [<!ENTITY a \"{long}\">]><svg><g d='{many}'/></svg>");
        assert_eq!(says(&text), "its XML entities expand to more than 64 MB");
        let text = format!("<!DOCTYPE svg [<!ENTITY a \"{long}\"><!ENTITY b '{many}'>]><svg>&b;</svg>");
        assert_eq!(says(&text), "its XML entities expand to more than 64 MB");
    }
}
