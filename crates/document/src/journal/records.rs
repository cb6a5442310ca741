//! Records of a journal as bytes, and what can be replayed of bytes that may end or break anywhere.

use sha2::{Digest, Sha256};
use std::collections::VecDeque;

const HEAD: &str = "Cupwright recovery journal 2\n";
/// Texts of states that are held for the history, bytes: the newest that fit.
const MOST_TEXT: usize = 8 * 1024 * 1024;

/// What a record tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// The first: the state the journal begins with.
    State,
    /// A committed change.
    Change,
    /// A change under way, a drag say: the next record takes its place.
    UnderWay,
    /// What was under way was put back: the state is the committed one again.
    PutBack,
    /// The state was saved.
    Saved,
}

impl Kind {
    const ALL: [(Self, &'static str); 5] = [
        (Self::State, "state"),
        (Self::Change, "change"),
        (Self::UnderWay, "underway"),
        (Self::PutBack, "putback"),
        (Self::Saved, "saved"),
    ];
    fn word(self) -> &'static str {
        Self::ALL.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }
}

/// One record as its line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Record {
    kind: Kind,
    number: usize,
    name: usize,
    body: usize,
    kept_at_start: usize,
    kept_at_end: usize,
    checksum: u64,
}

impl Record {
    fn line(&self) -> String {
        let Self { kind, number, name, body, kept_at_start, kept_at_end, checksum } = self;
        let kind = kind.word();
        format!("record {kind} {number} {name} {body} {kept_at_start} {kept_at_end} {checksum:016x}")
    }
}

/// A state and the name of the change that led to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Step {
    pub(crate) name: String,
    pub(crate) text: String,
}
/// What came out.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Replay {
    /// The file it belongs to and its stamp, each empty where there is none.
    pub opened: String,
    pub stamp: String,
    /// Changes that are not saved.
    pub number: usize,
    pub last: Option<String>,
    /// States, oldest first, the newest last; there is one at least.
    pub steps: VecDeque<Step>,
    /// Text of what the file holds.
    pub saved: Option<String>,
    pub damage: Option<Damage>,
}
impl Replay {
    /// The newest state.
    pub fn text(&self) -> &str {
        self.steps.back().map_or("", |step| &step.text)
    }
    fn push(&mut self, name: String, text: String) {
        self.steps.push_back(Step { name, text });
        let mut held: usize = self.steps.iter().map(|step| step.text.len()).sum();
        while held > MOST_TEXT && self.steps.len() > 1 {
            held -= self.steps.pop_front().map_or(0, |step| step.text.len());
        }
    }
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

fn checksum(kind: Kind, numbers: [usize; 5], name: &str, text: &str) -> u64 {
    let mut hash = Sha256::new();
    hash.update(kind.word());
    for number in numbers {
        hash.update((number as u64).to_le_bytes());
    }
    hash.update(name);
    hash.update([0]);
    hash.update(text);
    hash.finalize().iter().take(8).fold(0, |sum, byte| sum << 8 | u64::from(*byte))
}

fn written(kind: Kind, number: usize, name: &str, kept: (usize, usize), body: &str, text: &str) -> String {
    let checksum = checksum(kind, [number, name.len(), body.len(), kept.0, kept.1], name, text);
    let (kept_at_start, kept_at_end) = kept;
    let (name_bytes, body_bytes) = (name.len(), body.len());
    let record =
        Record { kind, number, name: name_bytes, body: body_bytes, kept_at_start, kept_at_end, checksum };
    format!("{}\n{name}\n{body}\n", record.line())
}

/// The start of a journal: what it is, and a record of the whole text. The record's name is the file it belongs to, the
/// file's stamp and the last change, a line each.
pub(super) fn first(opened: &str, stamp: &str, number: usize, last: &str, text: &str) -> String {
    let name = format!("{}\n{last}", of_file(opened, stamp));
    format!("{HEAD}{}", written(Kind::State, number, &name, (0, 0), text, text))
}
/// The name of a record that says which file the journal belongs to.
pub(super) fn of_file(opened: &str, stamp: &str) -> String {
    format!("{}\n{stamp}", opened.replace('\n', " "))
}
/// A record that turns the text `before` into `after`.
pub(super) fn encode(kind: Kind, number: usize, name: &str, before: &str, after: &str) -> String {
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
    written(kind, number, name, (start, end), &after[start..after.len() - end], after)
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
        Ok(read) if read.0.kind == Kind::State => read,
        Err(Damage::CutShort) => return Err("it ends within its first record".to_owned()),
        Ok(_) | Err(Damage::Wrong { .. }) => {
            return Err("its first record is not what its checksum says".to_owned());
        }
    };
    let mut parts = name.splitn(3, '\n');
    let mut part = || parts.next().unwrap_or_default().to_owned();
    let (opened, stamp, last) = (part(), part(), part());
    let mut replay = Replay {
        opened,
        stamp,
        number: first.number,
        last: (!last.is_empty()).then_some(last),
        saved: (first.number == 0).then(|| text.clone()),
        steps: VecDeque::new(),
        damage: None,
    };
    replay.push(String::new(), text.clone());
    // What the next record starts from, and a change under way that no other record has taken the place of.
    let mut before = text;
    let mut under_way: Option<String> = None;
    while !rest.is_empty() {
        let at = bytes.len() - rest.len();
        let (record, name, text) = match next(&mut rest, &before) {
            Ok(read) => read,
            Err(damage) => {
                let wrong = Damage::Wrong { at };
                replay.damage = Some(if damage == Damage::CutShort { damage } else { wrong });
                break;
            }
        };
        let next = replay.number + 1;
        let fits = match record.kind {
            Kind::State => false,
            Kind::Change | Kind::UnderWay => record.number == next,
            Kind::PutBack => record.number == replay.number && text == replay.text(),
            Kind::Saved => record.number == 0,
        };
        if !fits {
            replay.damage = Some(Damage::Wrong { at });
            break;
        }
        before.clone_from(&text);
        under_way = None;
        match record.kind {
            Kind::State | Kind::PutBack => {}
            Kind::UnderWay => under_way = Some(name),
            Kind::Change => {
                (replay.number, replay.last) = (next, Some(name.clone()));
                replay.push(name, text);
            }
            Kind::Saved => {
                let (opened, stamp) = name.split_once('\n').unwrap_or((&name, ""));
                (replay.opened, replay.stamp) = (opened.to_owned(), stamp.to_owned());
                (replay.number, replay.last) = (0, None);
                if text != replay.text() {
                    replay.push("Save".to_owned(), text.clone());
                }
                replay.saved = Some(text);
            }
        }
    }
    if let Some(name) = under_way {
        (replay.number, replay.last) = (replay.number + 1, Some(name.clone()));
        replay.push(name, before);
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
    if checksum(record.kind, numbers, name, &after) != record.checksum {
        return Err(WRONG);
    }
    let read = (record, name.to_owned(), after);
    *bytes = &rest[length..];
    Ok(read)
}

fn line_of_numbers(line: &str) -> Option<Record> {
    let mut words = line.strip_prefix("record ")?.split(' ');
    let word = words.next()?;
    let kind = Kind::ALL.iter().find(|(_, known)| *known == word)?.0;
    let mut number = || words.next()?.parse::<usize>().ok();
    let (number, name, body, kept_at_start, kept_at_end) =
        (number()?, number()?, number()?, number()?, number()?);
    let checksum = u64::from_str_radix(words.next()?, 16).ok()?;
    let record = Record { kind, number, name, body, kept_at_start, kept_at_end, checksum };
    // Numbers can be written in more than one way ("+1", "0A" for "0a"); only as they are written are they undamaged.
    (record.line() == line).then_some(record)
}
