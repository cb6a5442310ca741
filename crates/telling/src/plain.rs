//! Text that leaves the program for a terminal or a log: one line, and nothing in it that a terminal acts on.

use std::borrow::Cow;

/// The text on one line without what cannot be seen: line breaks and tabs become blanks; other control characters (among
/// them the one that starts a terminal's escape sequences) and marks that turn the direction of writing are dropped.
///
/// Names come from files of other people. Printed as they stand they could colour, clear or retitle a terminal, or begin a
/// line that looks like one of the program's own.
///
/// ```
/// assert_eq!(telling::plain("C1\u{1b}[2J\nholds"), "C1[2J holds");
/// ```
pub fn plain(text: &str) -> Cow<'_, str> {
    if !text.chars().any(unseen) {
        return Cow::Borrowed(text);
    }
    let kept = text.chars().filter_map(|c| match c {
        c if breaks(c) => Some(' '),
        c if unseen(c) => None,
        c => Some(c),
    });
    Cow::Owned(kept.collect())
}

/// JSON on one line with the same characters written as escapes: it says what it said, and a terminal acts on none of it.
///
/// ```
/// assert_eq!(telling::plain_json("{\"tag\":\"C1\u{9b}\"}"), r#"{"tag":"C1\u009b"}"#);
/// ```
pub fn plain_json(json: &str) -> Cow<'_, str> {
    if !json.chars().any(unseen) {
        return Cow::Borrowed(json);
    }
    // All of them are in the first plane, so that one escape is enough; outside of strings there are none.
    let escaped = |c: char| if unseen(c) { format!("\\u{:04x}", u32::from(c)) } else { c.to_string() };
    Cow::Owned(json.chars().map(escaped).collect())
}

fn breaks(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\u{b}' | '\u{c}' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}')
}

/// Control characters, line and paragraph separators, and the marks of bidirectional text (Unicode Standard Annex 9).
fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_acts_on_is_gone_and_the_rest_stays() {
        assert!(matches!(plain("Größe 3/8\" → 9,5 mm"), Cow::Borrowed(_)));
        assert_eq!(plain("a\u{1b}]0;title\u{7}b"), "a]0;titleb");
        assert_eq!(plain("a\u{9b}31mb\u{7f}\u{8}"), "a31mb");
        assert_eq!(plain("one\r\ntwo\tthree"), "one  two three");
        assert_eq!(plain("\u{202e}nor.\u{202c}tray\u{2066}"), "nor.tray");
        for c in '\0'..='\u{ffff}' {
            let text = c.to_string();
            let out = plain(&text);
            assert!(out.chars().all(|c| !c.is_control()), "{c:?}");
            assert!(c.is_control() || out.is_empty() || out == text || out == " ", "{c:?}");
        }
    }
}
