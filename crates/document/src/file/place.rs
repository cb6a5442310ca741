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

/// A place in text that was read before, so that its brackets and quotation marks are in order.
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
                b'"' => {
                    self.text();
                    continue;
                }
                b'r' if matches!(self.bytes.get(self.at + 1), Some(b'"' | b'#')) => {
                    self.raw_text();
                    continue;
                }
                b'\'' => {
                    // A letter in single quotation marks, perhaps one of them.
                    self.at += if self.bytes.get(self.at + 1) == Some(&b'\\') { 3 } else { 2 };
                    while self.here().is_some_and(|b| b != b'\'') {
                        self.at += 1;
                    }
                }
                _ => {}
            }
            self.at += 1;
        }
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
    fn text_that_ends_anywhere_is_no_trouble() {
        let path = [Field("parts"), At(1), Field("supply"), Field("source"), At(3)];
        for end in (0..TEXT.len()).filter(|end| TEXT.is_char_boundary(*end)) {
            let found = line_of(&TEXT[..end], &path);
            assert!(found.is_none_or(|line| line <= 11), "{end}");
        }
    }
}
