//! Records of a journal as bytes, and what can be replayed of bytes that may end or break anywhere.

use sha2::{Digest, Sha256};

const HEAD: &str = "Cupwright recovery journal 1\n";

/// One record as its line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Record {
    number: usize,
    name: usize,
    body: usize,
    kept_at_start: usize,
    kept_at_end: usize,
    checksum: u64,
}

impl Record {
    fn line(&self) -> String {
        let Self { number, name, body, kept_at_start, kept_at_end, checksum } = self;
        format!("record {number} {name} {body} {kept_at_start} {kept_at_end} {checksum:016x}")
    }
}

/// What came out.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Replay {
    pub opened: String,
    pub number: usize,
    pub last: Option<String>,
    pub text: String,
    pub damage: Option<Damage>,
}
/// Why a replay ended before the bytes did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Damage {
    /// The bytes end within a record, as a kill leaves them.
    CutShort,
    /// A record is not what its checksum says.
    Wrong {
        /// Where it starts.
        at: usize,
    },
}

fn checksum(numbers: [usize; 5], name: &str, text: &str) -> u64 {
    let mut hash = Sha256::new();
    for number in numbers {
        hash.update((number as u64).to_le_bytes());
    }
    hash.update(name);
    hash.update([0]);
    hash.update(text);
    hash.finalize().iter().take(8).fold(0, |sum, byte| sum << 8 | u64::from(*byte))
}

fn written(number: usize, name: &str, kept: (usize, usize), body: &str, text: &str) -> String {
    let checksum = checksum([number, name.len(), body.len(), kept.0, kept.1], name, text);
    let (kept_at_start, kept_at_end) = kept;
    let record = Record { number, name: name.len(), body: body.len(), kept_at_start, kept_at_end, checksum };
    format!("{}\n{name}\n{body}\n", record.line())
}

/// The start of a journal: what it is, and a record of the whole text. The record's name is the file that was opened and,
/// after a line break, the last change.
pub(super) fn first(opened: &str, number: usize, last: &str, text: &str) -> String {
    let opened = opened.replace('\n', " ");
    format!("{HEAD}{}", written(number, &format!("{opened}\n{last}"), (0, 0), text, text))
}
/// A record that turns the text `before` into `after`.
pub(super) fn encode(number: usize, name: &str, before: &str, after: &str) -> String {
    let same = |(a, b): &(u8, u8)| a == b;
    let most = before.len().min(after.len());
    let mut start = before.bytes().zip(after.bytes()).take_while(same).count();
    while !after.is_char_boundary(start) || !before.is_char_boundary(start) {
        start -= 1;
    }
    let back = before.bytes().rev().zip(after.bytes().rev()).take(most - start);
    let mut end = back.take_while(same).count();
    while !after.is_char_boundary(after.len() - end) || !before.is_char_boundary(before.len() - end) {
        end -= 1;
    }
    written(number, name, (start, end), &after[start..after.len() - end], after)
}

/// Replays as far as the bytes are sound.
///
/// # Errors
/// Not even the first record can be read: why.
pub(super) fn replay(bytes: &[u8]) -> Result<Replay, String> {
    let Some(mut rest) = bytes.strip_prefix(HEAD.as_bytes()) else {
        let known = HEAD.as_bytes().starts_with(bytes);
        return Err(if known {
            "it ends before its first record"
        } else {
            "it does not start as a journal does"
        }
        .to_owned());
    };
    let (first, name, text) = match next(&mut rest, "") {
        Ok(read) => read,
        Err(Damage::CutShort) => return Err("it ends within its first record".to_owned()),
        Err(Damage::Wrong { .. }) => return Err("its first record is not what its checksum says".to_owned()),
    };
    let (opened, last) = name.split_once('\n').unwrap_or((&name, ""));
    let last = (!last.is_empty()).then(|| last.to_owned());
    let mut replay = Replay { opened: opened.to_owned(), number: first.number, last, text, damage: None };
    while !rest.is_empty() {
        let at = bytes.len() - rest.len();
        match next(&mut rest, &replay.text) {
            Ok((record, name, text)) if record.number == replay.number + 1 => {
                replay = Replay { number: record.number, last: Some(name), text, ..replay };
            }
            Ok(_) => replay.damage = Some(Damage::Wrong { at }),
            Err(Damage::CutShort) => replay.damage = Some(Damage::CutShort),
            Err(Damage::Wrong { .. }) => replay.damage = Some(Damage::Wrong { at }),
        }
        if replay.damage.is_some() {
            break;
        }
    }
    Ok(replay)
}

/// Takes one record off the front of the bytes.
fn next(bytes: &mut &[u8], before: &str) -> Result<(Record, String, String), Damage> {
    const WRONG: Damage = Damage::Wrong { at: 0 };
    // Longer than any line of numbers: without a line break within it these are not records.
    const LONGEST_LINE: usize = 160;
    let line_end = bytes.iter().take(LONGEST_LINE).position(|b| *b == b'\n');
    let Some(line_end) = line_end else {
        let plausible = bytes.len() < LONGEST_LINE && bytes.iter().all(|b| (b' '..=b'~').contains(b));
        return Err(if plausible { Damage::CutShort } else { WRONG });
    };
    let line = std::str::from_utf8(&bytes[..line_end]).map_err(|_| WRONG)?;
    let record = line_of_numbers(line).ok_or(WRONG)?;
    let rest = &bytes[line_end + 1..];
    let length = record.name.checked_add(record.body).and_then(|n| n.checked_add(2)).ok_or(WRONG)?;
    if rest.len() < length {
        return Err(Damage::CutShort);
    }
    let text = |from: usize, to: usize| std::str::from_utf8(&rest[from..to]).map_err(|_| WRONG);
    let name = text(0, record.name)?;
    let body = text(record.name + 1, length - 1)?;
    if rest[record.name] != b'\n' || rest[length - 1] != b'\n' {
        return Err(WRONG);
    }
    let start = before.get(..record.kept_at_start).ok_or(WRONG)?;
    let end =
        before.len().checked_sub(record.kept_at_end).and_then(|from| before.get(from..)).ok_or(WRONG)?;
    let after = [start, body, end].concat();
    let numbers = [record.number, record.name, record.body, record.kept_at_start, record.kept_at_end];
    if checksum(numbers, name, &after) != record.checksum {
        return Err(WRONG);
    }
    let read = (record, name.to_owned(), after);
    *bytes = &rest[length..];
    Ok(read)
}

fn line_of_numbers(line: &str) -> Option<Record> {
    let mut words = line.strip_prefix("record ")?.split(' ');
    let mut number = || words.next()?.parse::<usize>().ok();
    let (number, name, body, kept_at_start, kept_at_end) =
        (number()?, number()?, number()?, number()?, number()?);
    let checksum = u64::from_str_radix(words.next()?, 16).ok()?;
    let record = Record { number, name, body, kept_at_start, kept_at_end, checksum };
    // Numbers can be written in more than one way ("+1", "0A" for "0a"); only as they are written are they undamaged.
    (record.line() == line).then_some(record)
}
