//! Where in the text of a file a thing stands: followed by names of fields and places in lists, only when something is wrong
//! with it, so that reading a sound file costs nothing.

/// One step from a thing to what is in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Step {
    /// The field of this name.
    Field(&'static str),
    /// This place in the list, counted from 0.
    At(usize),
}

/// The line, counted from 1, of the last thing on the path that can be found; `None` where not even the first can.
pub(super) fn line_of(text: &str, path: &[Step]) -> Option<usize> {
    let mut cursor = Cursor { bytes: text.as_bytes(), at: 0 };
    let mut found = None;
    for step in path {
        match step {
            Step::Field(name) if cursor.enter(b'(').is_some() && cursor.field(name).is_some() => {}
            Step::At(place) if cursor.enter(b'[').is_some() && cursor.pass(*place).is_some() => {}
            _ => break,
        }
        cursor.trivia();
        found = Some(cursor.at);
    }
    found.map(|at| 1 + text.as_bytes()[..at].iter().filter(|b| **b == b'\n').count())
}

/// The path of what was being read when the first `end` bytes of a text were behind: `layouts[0].cups[1].at[1]`. Behind the last
/// field of a structure it is the path of the structure.
pub(super) fn path_at(text: &str, end: usize) -> String {
    let mut cursor = Cursor { bytes: text.as_bytes(), at: 0 };
    let mut open: Vec<Frame> = Vec::new();
    let mut word = (0, 0);
    loop {
        cursor.trivia();
        let Some(byte) = cursor.here().filter(|_| cursor.at < end) else { break };
        match byte {
            b'(' | b'[' | b'{' => {
                let holds = matches!(&text[word.0..word.1], "Some" | "Own");
                let wraps = byte == b'{' || holds || byte == b'(' && cursor.is_named();
                open.push(Frame { wraps, ..Frame::default() });
                word = (0, 0);
            }
            b')' | b']' | b'}' => {
                open.pop();
            }
            _ => {}
        }
        if let Some(within) = open.last_mut() {
            match byte {
                b':' => (within.name, within.begun) = (Some(word), false),
                b',' => *within = Frame { at: within.at + 1, wraps: within.wraps, ..Frame::default() },
                b'(' | b'[' | b'{' => {}
                _ => within.begun = true,
            }
        }
        let from = cursor.at;
        match byte {
            _ if cursor.quoted() => {}
            b'_' | b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => {
                cursor.word();
                word = (from, cursor.at);
            }
            _ => cursor.at += 1,
        }
    }
    let closes = matches!(cursor.here(), Some(b')' | b']' | b'}'));
    if let Some(last) = open.last_mut().filter(|last| closes && (last.begun || last.name.is_none())) {
        *last = Frame { wraps: true, ..Frame::default() };
    }
    let mut path = String::new();
    for frame in open {
        match frame.name {
            Some((from, to)) => {
                path.extend((!path.is_empty()).then_some('.'));
                path.push_str(&text[from..to]);
            }
            None if frame.wraps => {}
            None => path.push_str(&format!("[{}]", frame.at)),
        }
    }
    path
}

/// A bracket that is open.
#[derive(Default)]
struct Frame {
    /// Where the name of the field stands.
    name: Option<(usize, usize)>,
    /// Place in a list.
    at: usize,
    /// Whether it only holds a value, so that its place says nothing.
    wraps: bool,
    /// Whether there is something of the value.
    begun: bool,
}

/// A place in text.
struct Cursor<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Cursor<'_> {
    fn here(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    /// Passes over blanks and remarks.
    fn trivia(&mut self) {
        loop {
            let rest = &self.bytes[self.at.min(self.bytes.len())..];
            if rest.first().is_some_and(u8::is_ascii_whitespace) {
                self.at += 1;
            } else if rest.starts_with(b"//") {
                self.at += rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len());
            } else if rest.starts_with(b"/*") {
                self.remark();
            } else {
                return;
            }
        }
    }

    /// Remarks of this kind nest.
    fn remark(&mut self) {
        let mut deep = 0;
        while self.at < self.bytes.len() {
            let rest = &self.bytes[self.at..];
            if rest.starts_with(b"/*") {
                (deep, self.at) = (deep + 1, self.at + 2);
            } else if rest.starts_with(b"*/") {
                (deep, self.at) = (deep - 1, self.at + 2);
                if deep == 0 {
                    return;
                }
            } else {
                self.at += 1;
            }
        }
    }

    fn word(&mut self) -> &[u8] {
        let from = self.at;
        while self.here().is_some_and(|b| b.is_ascii_alphanumeric() || b == b'_') {
            self.at += 1;
        }
        &self.bytes[from..self.at]
    }

    /// Goes behind the opening bracket of the value that stands here; of `Some(...)` and `Own(...)` into what they hold.
    fn enter(&mut self, bracket: u8) -> Option<()> {
        self.trivia();
        let wraps = matches!(self.word(), b"Some" | b"Own");
        self.trivia();
        if wraps && self.here()? == b'(' {
            self.at += 1;
            return self.enter(bracket);
        }
        (self.here()? == bracket).then(|| self.at += 1)
    }

    /// From behind the bracket of a structure to the value of one of its fields.
    fn field(&mut self, name: &str) -> Option<()> {
        loop {
            self.trivia();
            let found = self.word() == name.as_bytes();
            self.trivia();
            if self.here()? != b':' {
                return None;
            }
            self.at += 1;
            if found {
                return Some(());
            }
            self.pass(1)?;
        }
    }

    /// Passes over so many values and the commas behind them.
    fn pass(&mut self, count: usize) -> Option<()> {
        for _ in 0..count {
            self.value()?;
            if self.here()? != b',' {
                return None;
            }
            self.at += 1;
        }
        self.trivia();
        (!matches!(self.here()?, b')' | b']' | b'}')).then_some(())
    }

    /// Goes to the comma or bracket behind the value.
    fn value(&mut self) -> Option<()> {
        let mut deep = 0;
        loop {
            self.trivia();
            match self.here()? {
                b'(' | b'[' | b'{' => deep += 1,
                b')' | b']' | b'}' | b',' if deep == 0 => return Some(()),
                b')' | b']' | b'}' => deep -= 1,
                _ if self.quoted() => continue,
                _ => {}
            }
            self.at += 1;
        }
    }

    /// Whether the value whose bracket stands here has named fields.
    fn is_named(&self) -> bool {
        let mut within = Cursor { bytes: self.bytes, at: self.at + 1 };
        within.trivia();
        let named = !within.word().is_empty();
        within.trivia();
        named && within.here() == Some(b':')
    }

    /// Goes behind a text or a letter in quotation marks, where one stands here.
    fn quoted(&mut self) -> bool {
        match self.here() {
            Some(b'"') => self.text(),
            Some(b'r') if matches!(self.bytes.get(self.at + 1), Some(b'"' | b'#')) => self.raw_text(),
            Some(b'\'') => {
                // Perhaps one of the quotation marks.
                self.at += if self.bytes.get(self.at + 1) == Some(&b'\\') { 3 } else { 2 };
                while self.here().is_some_and(|b| b != b'\'') {
                    self.at += 1;
                }
                self.at += 1;
            }
            _ => return false,
        }
        true
    }

    fn text(&mut self) {
        self.at += 1;
        while let Some(byte) = self.here() {
            self.at += if byte == b'\\' { 2 } else { 1 };
            if byte == b'"' {
                return;
            }
        }
    }

    fn raw_text(&mut self) {
        self.at += 1;
        let marks = self.bytes[self.at..].iter().take_while(|b| **b == b'#').count();
        let end = [&b"\""[..], &vec![b'#'; marks]].concat();
        self.at += marks + 1;
        let rest = &self.bytes[self.at.min(self.bytes.len())..];
        let length = rest.windows(end.len()).position(|window| window == end).unwrap_or(rest.len());
        self.at += length + end.len();
    }
}

#[cfg(test)]
mod tests {
    use super::{Step::*, *};

    const TEXT: &str = r##"// one, (two
Project(
    format: 3, /* a: ( /* b */ ) */ name: "x, \" ) y",
    parts: [
        (id: 1, name: r#"a " ) b"#, letter: ',', shape: Round(diameter: 2.0)),
        (
            id: 2,
            holes: [[1, 2], [
                3]],
            supply: Some((
                source: "pump",
            )),
        ),
    ],
    last: [],
)"##;

    #[test]
    fn the_path_is_followed_past_remarks_and_texts() {
        let line = |path: &[Step]| line_of(TEXT, path);
        assert_eq!(line(&[Field("format")]), Some(3));
        assert_eq!(line(&[Field("parts"), At(0)]), Some(5));
        assert_eq!(line(&[Field("parts"), At(0), Field("shape"), Field("diameter")]), Some(5));
        assert_eq!(line(&[Field("parts"), At(1)]), Some(6));
        assert_eq!(line(&[Field("parts"), At(1), Field("id")]), Some(7));
        assert_eq!(line(&[Field("parts"), At(1), Field("holes"), At(1), At(0)]), Some(9));
        assert_eq!(line(&[Field("parts"), At(1), Field("supply"), Field("source")]), Some(11));
        // As far as it goes.
        assert_eq!(line(&[Field("parts"), At(1), Field("none"), At(7)]), Some(6));
        assert_eq!(line(&[Field("parts"), At(2)]), Some(4));
        assert_eq!(line(&[Field("last"), At(0)]), Some(15));
        assert_eq!(line(&[Field("nothing")]), None);
        assert_eq!(line(&[]), None);
    }

    #[test]
    fn the_path_is_that_of_what_is_being_read() {
        let at = |of: &str| path_at(TEXT, TEXT.find(of).unwrap());
        assert_eq!(at("3, /*"), "format");
        assert_eq!(at("\"x, "), "name");
        assert_eq!(at("1, name"), "parts[0].id");
        assert_eq!(at("r#"), "parts[0].name");
        assert_eq!(at("','"), "parts[0].letter");
        assert_eq!(at("2.0"), "parts[0].shape.diameter");
        assert_eq!(at("2], ["), "parts[1].holes[0][1]");
        assert_eq!(at("3]],"), "parts[1].holes[1][0]");
        assert_eq!(at("\"pump\""), "parts[1].supply.source");
        // Before a name is known, and behind the last field: the structure.
        assert_eq!(at("id: 1"), "parts[0]");
        assert_eq!(at("),\n        (\n"), "parts[0]");
        assert_eq!(at("    )),"), "parts[1].supply");
        assert_eq!(path_at("(at: (1, x), mass: Stated(12, y), b: )", 9), "at[1]");
        assert_eq!(path_at("(at: (1, x), mass: Stated(12, y), b: )", 30), "mass[1]");
        assert_eq!(path_at("(at: (1, x), mass: Stated(12, y), b: )", 37), "b", "its value is missing");
        assert_eq!(path_at("", 0), "");
    }

    #[test]
    fn text_that_ends_anywhere_is_no_trouble() {
        let path = [Field("parts"), At(1), Field("supply"), Field("source"), At(3)];
        for end in (0..TEXT.len()).filter(|end| TEXT.is_char_boundary(*end)) {
            let found = line_of(&TEXT[..end], &path);
            assert!(path_at(&TEXT[..end], end).len() < 40);
            assert!(path_at(TEXT, end).len() < 40);
            assert!(found.is_none_or(|line| line <= 11), "{end}");
        }
    }
}
