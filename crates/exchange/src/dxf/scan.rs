//! Cuts a DXF file, ASCII or binary, into its pairs of group code and value without copying.
//!
//! Pairs are looked at one after the other as they stand: a long file takes little more room than its bytes and what it
//! draws, and one bad figure spoils one entity, not the file.

use super::{Trouble, code_page};
use encoding_rs::{Encoding, WINDOWS_1252};

/// Start of a binary file.
pub(super) const SENTINEL: &[u8] = b"AutoCAD Binary DXF\r\n\x1a\0";

/// What kind of value follows a group code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Number,
    Short,
    Integer,
    Long,
    Flag,
    Bytes,
}

/// How bytes of a text that is no UTF-8 are letters.
#[derive(Debug, Clone, Copy)]
enum Letters {
    Web(&'static Encoding),
    /// The letters of bytes 128 to 255.
    Dos(&'static str),
}

impl Letters {
    fn decode<'b>(self, bytes: &'b [u8]) -> std::borrow::Cow<'b, str> {
        match self {
            Letters::Web(encoding) => encoding.decode_without_bom_handling(bytes).0,
            Letters::Dos(letters) => code_page::decode(bytes, letters).into(),
        }
    }
}

/// A group code and its value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair<'a> {
    pub(super) code: i32,
    /// Text of the value (ASCII files, trimmed; texts of binary files) or its little-endian bytes.
    pub(super) value: &'a [u8],
    /// Line of the group code, or offset in a binary file.
    pub(super) place: u64,
    binary: bool,
    encoding: Letters,
}

/// Kind of the value by group code; `None` for codes that are not in use.
pub(super) fn kind(code: i32) -> Option<Kind> {
    Some(match code {
        0..=9 | 100..=109 | 300..=309 | 320..=369 | 390..=399 | 410..=419 | 430..=439 | 470..=481 | 999 => {
            Kind::Text
        }
        1000..=1003 | 1005..=1009 => Kind::Text,
        10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => Kind::Number,
        60..=79 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => Kind::Short,
        90..=99 | 420..=429 | 440..=459 | 1071 => Kind::Integer,
        160..=169 => Kind::Long,
        290..=299 => Kind::Flag,
        310..=319 | 1004 => Kind::Bytes,
        _ => return None,
    })
}

impl Pair<'_> {
    /// The value as a number, for any numeric code; `None` when it is not one.
    pub(super) fn number(&self) -> Option<f64> {
        if !self.binary {
            return std::str::from_utf8(self.value).ok()?.trim().parse().ok();
        }
        match (kind(self.code)?, self.value.len()) {
            (Kind::Number, 8) => Some(f64::from_le_bytes(self.value.try_into().ok()?)),
            (Kind::Short | Kind::Flag, 2) => Some(f64::from(i16::from_le_bytes(self.value.try_into().ok()?))),
            (Kind::Flag, 1) => Some(f64::from(self.value[0])),
            (Kind::Integer, 4) => Some(f64::from(i32::from_le_bytes(self.value.try_into().ok()?))),
            _ => None,
        }
    }

    /// The value as a whole number.
    pub(super) fn integer(&self) -> Option<i64> {
        let number = self.number()?;
        (number.fract() == 0.0 && number.abs() < 9e15).then_some(number as i64)
    }

    /// The value as text: UTF-8, as files are since release 2007, or else in the code page of the file, with
    /// `\U+XXXX` written out.
    pub(super) fn text(&self) -> String {
        let text = match std::str::from_utf8(self.value) {
            Ok(text) => text.into(),
            Err(_) => self.encoding.decode(self.value),
        };
        if text.contains("\\U+") { unescape(&text) } else { text.into_owned() }
    }

    /// The value as a handle.
    pub(super) fn hexadecimal(&self) -> Option<u64> {
        u64::from_str_radix(std::str::from_utf8(self.value).ok()?.trim(), 16).ok()
    }

    pub(super) fn is(&self, code: i32, text: &str) -> bool {
        self.code == code && self.value.eq_ignore_ascii_case(text.as_bytes())
    }
}

fn unescape(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\\U+") {
        out.push_str(before);
        let code = after.get(..4).and_then(|hex| u32::from_str_radix(hex, 16).ok()).and_then(char::from_u32);
        rest = match code {
            Some(c) => {
                out.push(c);
                after.get(4..).unwrap_or("")
            }
            None => {
                out.push_str("\\U+");
                after
            }
        };
    }
    out + rest
}

/// Walks the pairs of a file.
pub(super) struct Pairs<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
    binary: bool,
    /// Codes of binary files take two bytes since release 13, one before.
    wide: bool,
    /// Of texts that are no UTF-8.
    encoding: Letters,
}

impl<'a> Pairs<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        if bytes.starts_with(SENTINEL) {
            // The first pair is 0 SECTION: a second zero byte tells the wide form.
            let wide = bytes.get(SENTINEL.len() + 1) == Some(&0);
            return Self {
                bytes,
                at: SENTINEL.len(),
                line: 0,
                binary: true,
                wide,
                encoding: Letters::Web(WINDOWS_1252),
            };
        }
        let at = if bytes.starts_with(&[0xef, 0xbb, 0xbf]) { 3 } else { 0 };
        Self { bytes, at, line: 0, binary: false, wide: false, encoding: Letters::Web(WINDOWS_1252) }
    }

    /// Takes texts from here on in the code page that `$DWGCODEPAGE` names: "ANSI_1251", "ANSI_932" ...; the Western
    /// one when it is unknown.
    ///
    /// # Source
    /// DXF reference, header variable `$DWGCODEPAGE`; from memory.
    pub(super) fn set_code_page(&mut self, name: &str) {
        let name = name.trim().to_ascii_lowercase();
        let number = name.strip_prefix("ansi_").or_else(|| name.strip_prefix("dos"));
        let number = number.map(|n| n.trim_start_matches(['_', '-']));
        let label = match number {
            Some("932") => "shift_jis",
            Some("936") => "gbk",
            Some("949") => "euc-kr",
            Some("950") => "big5",
            Some("866") => "ibm866",
            Some(number) if code_page::of_dos(number).is_some() => {
                self.encoding = Letters::Dos(code_page::of_dos(number).unwrap_or_default());
                return;
            }
            Some(number) => &format!("windows-{number}"),
            None => name.as_str(),
        };
        self.encoding = Letters::Web(Encoding::for_label(label.as_bytes()).unwrap_or(WINDOWS_1252));
    }

    pub(super) fn is_binary(&self) -> bool {
        self.binary
    }

    /// Bytes gone through, and of how many.
    pub(super) fn progress(&self) -> (usize, usize) {
        (self.at, self.bytes.len())
    }

    /// The next pair, or `None` at the end of the file.
    pub(super) fn next(&mut self) -> Result<Option<Pair<'a>>, Trouble> {
        if self.binary { self.next_binary() } else { self.next_text() }
    }

    fn line(&mut self) -> Option<&'a [u8]> {
        if self.at >= self.bytes.len() {
            return None;
        }
        let rest = &self.bytes[self.at..];
        let length = rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len());
        self.at += length + 1;
        self.line += 1;
        let line = &rest[..length];
        Some(line.strip_suffix(b"\r").unwrap_or(line))
    }

    fn next_text(&mut self) -> Result<Option<Pair<'a>>, Trouble> {
        let Some(first) = self.line() else { return Ok(None) };
        let place = self.line;
        let first = first.trim_ascii();
        if first.is_empty() || first == b"\x1a" {
            // Blank lines (and the old end-of-file mark) may follow the last pair, nothing else.
            return match self.bytes[self.at.min(self.bytes.len())..].iter().all(|b| b.is_ascii_whitespace()) {
                true => Ok(None),
                false => Err(Trouble::Damaged(format!("line {place} is empty where a group code belongs"))),
            };
        }
        let code = std::str::from_utf8(first).ok().and_then(|t| t.parse::<i32>().ok());
        let Some(code) = code else {
            let found: String =
                String::from_utf8_lossy(first).chars().filter(|c| !c.is_control()).take(24).collect();
            return Err(Trouble::Damaged(format!(
                "line {place} reads \"{found}\" where a group code belongs"
            )));
        };
        let Some(value) = self.line() else {
            return Err(Trouble::Truncated(format!("after the group code on line {place}")));
        };
        let value = if kind(code) == Some(Kind::Text) && code != 0 { value } else { value.trim_ascii() };
        Ok(Some(Pair { code, value, place, binary: false, encoding: self.encoding }))
    }

    fn take(&mut self, count: usize) -> Result<&'a [u8], Trouble> {
        let taken = self.bytes.get(self.at..self.at.saturating_add(count));
        let taken = taken
            .ok_or_else(|| Trouble::Truncated(format!("at byte {}, inside a value", self.bytes.len())))?;
        self.at += count;
        Ok(taken)
    }

    fn next_binary(&mut self) -> Result<Option<Pair<'a>>, Trouble> {
        let start = self.at;
        if start >= self.bytes.len() {
            return Ok(None);
        }
        let code = if self.wide {
            let b = self.take(2)?;
            i32::from(i16::from_le_bytes([b[0], b[1]]))
        } else {
            match self.take(1)?[0] {
                255 => {
                    let b = self.take(2)?;
                    i32::from(i16::from_le_bytes([b[0], b[1]]))
                }
                code => i32::from(code),
            }
        };
        let Some(kind) = kind(code) else {
            return Err(Trouble::Damaged(format!("byte {start} holds {code}, which is not a group code")));
        };
        let value = match kind {
            Kind::Text => {
                let rest = &self.bytes[self.at..];
                let Some(length) = rest.iter().position(|b| *b == 0) else {
                    return Err(Trouble::Truncated(format!("at byte {}, inside a text", self.bytes.len())));
                };
                self.at += length + 1;
                &rest[..length]
            }
            Kind::Number | Kind::Long => self.take(8)?,
            Kind::Short => self.take(2)?,
            Kind::Integer => self.take(4)?,
            Kind::Flag => self.take(if self.wide { 1 } else { 2 })?,
            Kind::Bytes => {
                let length = usize::from(self.take(1)?[0]);
                self.take(length)?
            }
        };
        Ok(Some(Pair { code, value, place: start as u64, binary: true, encoding: self.encoding }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_pairs_with_their_lines() {
        let mut pairs = Pairs::new(b"  0\r\nSECTION\r\n 10\r\n 2.5\r\n8\r\nT\\U+00FCr\r\n\r\n");
        let first = pairs.next().expect("good").expect("a pair");
        assert!(first.is(0, "section") && first.place == 1);
        let second = pairs.next().expect("good").expect("a pair");
        assert_eq!((second.number(), second.place), (Some(2.5), 3));
        assert_eq!(pairs.next().expect("good").expect("a pair").text(), "Tür");
        assert!(pairs.next().expect("good").is_none());
    }

    #[test]
    fn texts_in_the_code_page_of_the_file() {
        let text = |code_page: &str, bytes: &[u8]| {
            let file = [b"8\n", bytes, b"\n"].concat();
            let mut pairs = Pairs::new(&file);
            pairs.set_code_page(code_page);
            pairs.next().expect("good").expect("a pair").text()
        };
        assert_eq!(text("ANSI_1251", b"\xca\xee\xed"), "\u{41a}\u{43e}\u{43d}");
        assert_eq!(text("ansi_932", b"\x8a\x4f"), "\u{5916}");
        assert_eq!(text("dos866", b"\x8a\xae"), "\u{41a}\u{43e}");
        assert_eq!(text("DOS850", b"Sperrfl\x84che"), "Sperrfl\u{e4}che");
        // What is not known is taken as Western, and UTF-8 stays what it is.
        assert_eq!(text("ANSI_77", b"T\xfcr"), "T\u{fc}r");
        assert_eq!(text("ANSI_1251", "T\u{fc}r".as_bytes()), "T\u{fc}r");
    }

    #[test]
    fn what_is_wrong_is_said_with_its_line() {
        let mut pairs = Pairs::new(b"0\nSECTION\nhello\n");
        let _ = pairs.next();
        let Err(Trouble::Damaged(says)) = pairs.next() else { panic!("should be refused") };
        assert_eq!(says, "line 3 reads \"hello\" where a group code belongs");
        let mut pairs = Pairs::new(b"0\nSECTION\n10\n");
        let _ = pairs.next();
        let Err(Trouble::Truncated(says)) = pairs.next() else { panic!("should be cut off") };
        assert_eq!(says, "after the group code on line 3");
    }

    #[test]
    fn binary_pairs_of_both_widths() {
        for wide in [false, true] {
            let mut bytes = SENTINEL.to_vec();
            let code = |bytes: &mut Vec<u8>, c: u8| {
                bytes.push(c);
                if wide {
                    bytes.push(0);
                }
            };
            code(&mut bytes, 0);
            bytes.extend(b"LINE\0");
            code(&mut bytes, 10);
            bytes.extend(1.25f64.to_le_bytes());
            let mut pairs = Pairs::new(&bytes);
            assert_eq!(pairs.wide, wide);
            assert!(pairs.next().expect("good").expect("a pair").is(0, "LINE"));
            assert_eq!(pairs.next().expect("good").expect("a pair").number(), Some(1.25));
            assert!(pairs.next().expect("good").is_none());
        }
    }
}
