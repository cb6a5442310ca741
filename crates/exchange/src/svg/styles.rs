//! What style sheets and style attributes would take the library to read and apply, worked out before it is asked.
//!
//! It says the place of every figure without a unit by counting from the start of the text, holds every rule against
//! every element, follows descendants by trial, and copies declarations for every selector: harmless for what drawing
//! programs write, minutes and gigabytes for a text made to be so.

use crate::dxf::Trouble;
use std::collections::HashMap;
use usvg::roxmltree::{Document, Node};

/// Characters counted again to say a place, at most. Each of these bounds is about half a second's work.
const MOST_COUNTED: u64 = 2_000_000_000;
/// Elements held against selectors, at most; with the ways up to the root that are tried.
const MOST_TRIED: u64 = 50_000_000;
/// Declarations copied for selectors, and declarations put on elements, at most.
const MOST_COPIED: u64 = 2_000_000;
const MOST_PUT: u64 = 4_000_000;

/// What the styles of a document come to.
#[derive(Debug, Default)]
pub(super) struct Sheets<'a> {
    rules: Vec<Rule<'a>>,
    counted: u64,
    copied: u64,
}

#[derive(Debug)]
struct Rule<'a> {
    /// Class of the last part of each selector, where it names one.
    classes: Vec<Option<&'a str>>,
    /// Steps of each selector from the element up.
    steps: Vec<u32>,
    declarations: u64,
    /// Ids that its declarations refer to.
    urls: Vec<&'a str>,
}

impl<'a> Sheets<'a> {
    /// Reads the style sheets of a document.
    pub(super) fn of(document: &'a Document<'_>) -> Self {
        let mut sheets = Self::default();
        let elements = document.descendants().filter(Node::is_element);
        for text in elements.filter(|n| n.tag_name().name() == "style").filter_map(|n| n.text()) {
            sheets.counted = sheets.counted.saturating_add(read_cost(text));
            sheets.add(text);
        }
        sheets
    }

    fn add(&mut self, text: &'a str) {
        let mut rest = text;
        while let Some(open) = rest.find('{') {
            let selectors = rest[..open].trim();
            let body = &rest[open + 1..];
            if selectors.contains('@') {
                rest = &body[block_end(body)..];
                continue;
            }
            let (inner, after) = body.split_once('}').unwrap_or((body, ""));
            rest = after;
            let count = selectors.split(',').count() as u64;
            let declarations = inner.split(';').filter(|d| d.contains(':')).count() as u64;
            self.copied = self.copied.saturating_add(count.saturating_mul(declarations.max(1)));
            if self.copied > MOST_COPIED {
                return;
            }
            let steps =
                |s: &str| s.split(|c: char| c.is_whitespace()).filter(|w| !w.is_empty()).count() as u32;
            let class = |s: &'a str| {
                let last = s.split_whitespace().last()?;
                let (_, class) = last.rsplit_once('.')?;
                class.split([':', '[', '#']).next().filter(|c| !c.is_empty())
            };
            self.rules.push(Rule {
                classes: selectors.split(',').map(class).collect(),
                steps: selectors.split(',').map(steps).collect(),
                declarations,
                urls: urls(inner).collect(),
            });
        }
    }

    /// Refuses styles that take too long. `elements` counts elements with references followed, `deep` how deep they
    /// nest; `on_elements` is what style attributes cost by [`read_cost`], references followed as well.
    pub(super) fn check(
        &self,
        document: &Document<'_>,
        elements: usize,
        deep: usize,
        on_elements: u64,
    ) -> Result<(), Trouble> {
        if self.counted > MOST_COUNTED {
            return Err(too_long("its style sheet is very long"));
        }
        if on_elements > MOST_COUNTED {
            return Err(too_long("its elements carry very long styles"));
        }
        if self.copied > MOST_COPIED {
            return Err(too_long("its style sheet gives very many properties to very many selectors"));
        }
        let ways = |steps: u32| (deep.max(1) as u64).saturating_pow(steps.saturating_sub(1));
        let tried =
            self.rules.iter().flat_map(|r| &r.steps).fold(0u64, |sum, s| sum.saturating_add(ways(*s)));
        if tried.saturating_mul(elements as u64) > MOST_TRIED {
            return Err(too_long("its style sheet has very many selectors for its elements"));
        }
        let put = self
            .applied(document, elements)
            .fold(0u64, |sum, (rule, on)| sum.saturating_add(rule.declarations.saturating_mul(on)));
        if put > MOST_PUT {
            return Err(too_long("its style sheet puts very many properties on its elements"));
        }
        Ok(())
    }

    /// Ids that style sheets refer to, and for how many elements at most.
    pub(super) fn references(&self, document: &Document<'_>, elements: usize) -> Vec<(&'a str, u64)> {
        let applied = self.applied(document, elements);
        applied.flat_map(|(rule, on)| rule.urls.iter().map(move |url| (*url, on))).collect()
    }

    /// Every rule with how many elements it holds for, at most.
    fn applied<'b>(
        &'b self,
        document: &Document<'_>,
        elements: usize,
    ) -> impl Iterator<Item = (&'b Rule<'a>, u64)> {
        let mut own: u64 = 0;
        let mut with_class: HashMap<String, u64> = HashMap::new();
        for node in document.descendants().filter(Node::is_element) {
            own += 1;
            for class in node.attribute("class").into_iter().flat_map(str::split_whitespace) {
                *with_class.entry(class.to_owned()).or_default() += 1;
            }
        }
        let times = (elements as u64).div_ceil(own.max(1)).max(1);
        self.rules.iter().map(move |rule| {
            let on = rule.classes.iter().fold(0u64, |sum, class| {
                let on = match class {
                    Some(class) => with_class.get(*class).copied().unwrap_or(0).saturating_mul(times),
                    None => elements as u64,
                };
                sum.saturating_add(on)
            });
            (rule, on)
        })
    }
}

fn too_long(says: &str) -> Trouble {
    Trouble::TooLong(format!("{says}, which would take too long to apply"))
}

/// Bytes up to the end of a block within which others may stand.
fn block_end(text: &str) -> usize {
    let mut open = 1;
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'{' => open += 1,
            b'}' => open -= 1,
            _ => {}
        }
        if open == 0 {
            return at + 1;
        }
    }
    text.len()
}

/// Ids in `url(#id)`.
pub(super) fn urls(text: &str) -> impl Iterator<Item = &str> {
    text.split("url(").skip(1).filter_map(|rest| {
        let inner = rest.split(')').next()?.trim().trim_matches(['"', '\'']);
        inner.strip_prefix('#')
    })
}

/// A figure without a unit takes as much as this many words that are no rule: it is tried, refused and told.
const OF_A_FIGURE: u64 = 5;

/// Characters that reading a style counts again: for each figure without a unit as many as stand before it, and for what is
/// no rule at all likewise, of which each word may be one. What a rule that is passed over holds (a font written into
/// the file) is one word.
pub(super) fn read_cost(text: &str) -> u64 {
    let (mut figures, mut words) = (0u64, 0u64);
    let mut at = 0;
    let bytes = text.as_bytes();
    while at < bytes.len() {
        let byte = bytes[at];
        if byte == b'@' {
            let rest = &text[at..];
            let block = rest.find('{').map_or(rest.len(), |open| open + 1 + block_end(&rest[open + 1..]));
            at += block.max(1);
            words += 1;
            continue;
        }
        let word = |b: &u8| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-' | b'%' | b'.') || *b >= 0x80;
        if !word(&byte) {
            at += 1;
            continue;
        }
        words += 1;
        let length = bytes[at..].iter().position(|b| !word(b)).unwrap_or(bytes.len() - at);
        let run = &bytes[at..at + length];
        // "1", "-.5" and "1-2" have none; "1px", "50%" and "c1" have.
        let last = run.last().copied().unwrap_or(b' ');
        let bare = !run.iter().any(|b| b.is_ascii_alphabetic() || *b >= 0x80) && last != b'%';
        // Figures that run into one another count each.
        figures += if bare { 1 + run.iter().filter(|b| matches!(b, b'.' | b'-')).count() as u64 } else { 0 };
        at += length;
    }
    words.max(OF_A_FIGURE * figures).saturating_mul(text.len() as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(sheet: &str, body: &str, elements: usize) -> Result<(), Trouble> {
        let svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><style>{sheet}</style>{body}</svg>");
        let document = Document::parse(&svg).expect("well formed");
        Sheets::of(&document).check(&document, elements, 20, 0)
    }

    #[test]
    fn what_drawing_programs_write_passes() {
        let classes: String =
            (0..200).map(|i| format!(".c{i}, .d{i} {{ fill: #fff; stroke-width: {i}; }}")).collect();
        let font = format!(
            "@font-face {{ font-family: A; src: url(data:font/ttf;base64,{}) }}",
            "aB+/".repeat(250_000)
        );
        assert!(check(&(font + &classes), "<g class='c1 c2'/>", 100_000).is_ok());
    }

    #[test]
    fn what_would_take_minutes_is_told_by_its_kind() {
        let says = |sheet: &str, elements| match check(sheet, "", elements) {
            Err(Trouble::TooLong(says)) => says,
            other => panic!("{other:?}"),
        };
        let many = "* { ".to_owned() + &"x:1;".repeat(20_000) + "}";
        assert!(says(&many, 10).contains("very long"));
        let copied = "a,".repeat(2_000) + "a{" + &"x:y;".repeat(2_000) + "}";
        assert!(says(&copied, 1).contains("many selectors"));
        assert!(says("* * * * * * * x { fill: red }", 10).contains("very many selectors"));
        assert!(says(&("*{".to_owned() + &"x:y;".repeat(100) + "}"), 1_000_000).contains("puts very many"));
    }
}
