//! Files that were damaged on their way: whatever stands in one, opening it ends in an error that says what and where, or in a
//! project that survives being written and read. Nothing panics, and the file on disk is never altered.
//!
//! `CUPWRIGHT_MUTATIONS` sets how many files are tried (a few hundred without it).
use document::{FileError, from_text, open, to_text};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// Numbers that look random and are the same on every machine and in every release (SplitMix64 of Steele, Lea and Flood,
/// "Fast splittable pseudorandom number generators", OOPSLA 2014, fig. 16; constants from memory).
struct Dice(u64);
impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    fn below(&mut self, most: usize) -> usize {
        (self.next() % most.max(1) as u64) as usize
    }
    fn of<'a, T>(&mut self, list: &'a [T]) -> Option<&'a T> {
        let at = self.below(list.len());
        list.get(at)
    }
}

fn sources() -> Vec<(PathBuf, Vec<u8>)> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<PathBuf> = [here.join("tests/fixtures"), here.join("../../demo-projects")]
        .iter()
        .flat_map(|folder| fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()))
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .collect();
    paths.sort();
    assert!(paths.len() > 8, "{paths:?}");
    paths.into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
}

/// Places of numbers in the text, from and to.
fn numbers(text: &[u8]) -> Vec<(usize, usize)> {
    let figure = |b: u8| b.is_ascii_digit() || b == b'.' || b == b'-';
    let mut found = Vec::new();
    let mut at = 0;
    while at < text.len() {
        let end = at + text[at..].iter().take_while(|b| figure(**b)).count();
        if end > at {
            found.push((at, end));
        }
        at = end + 1;
    }
    found
}
/// Places of field names.
fn fields(text: &[u8]) -> Vec<(usize, usize)> {
    let name = |b: &u8| b.is_ascii_lowercase() || *b == b'_' || b.is_ascii_digit();
    let colons = text.windows(2).enumerate().filter(|(_, pair)| pair == b": ").map(|(at, _)| at);
    let starts = colons.map(|end| (end - text[..end].iter().rev().take_while(|b| name(b)).count(), end));
    starts.filter(|(start, end)| end > start).collect()
}
fn put(text: &mut Vec<u8>, (from, to): (usize, usize), new: &[u8]) {
    text.splice(from..to, new.iter().copied());
}

const STRANGE: [&str; 22] = [
    "1e308",
    "-1e308",
    "1e999",
    "inf",
    "-inf",
    "NaN",
    "0",
    "-0.0",
    "-1",
    "4294967295",
    "4294967296",
    "1e-320",
    "999999999999999999999999999999",
    "0x10",
    "1_000",
    "0.1e",
    "--1",
    "\"7\"",
    "()",
    "Some(1.0)",
    "None",
    "1000000001",
];

fn mutate(text: &mut Vec<u8>, dice: &mut Dice) {
    let at = dice.below(text.len());
    match dice.below(13) {
        0 => {
            if let Some(byte) = text.get_mut(at) {
                *byte ^= 1 << dice.below(8);
            }
        }
        1 => text.truncate(at),
        2 => {
            let end = (at + dice.below(400)).min(text.len());
            text.drain(at..end);
        }
        3 | 4 => {
            let lines: Vec<Vec<u8>> = text.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect();
            let (from, to) = (dice.below(lines.len()), dice.below(lines.len()));
            let mut lines = lines;
            if dice.below(2) == 0 {
                // A line twice: where it is, or somewhere else.
                let line = lines[from].clone();
                lines.insert(if dice.below(2) == 0 { from } else { to }, line);
            } else {
                lines.swap(from, to);
            }
            *text = lines.concat();
        }
        5 | 6 => {
            let all = numbers(text);
            if let (Some(&a), Some(&b)) = (dice.of(&all), dice.of(&all)) {
                let number = text[a.0..a.1].to_vec();
                put(text, b, &number);
            }
        }
        7 | 8 => {
            let all = numbers(text);
            if let (Some(&place), Some(strange)) = (dice.of(&all), dice.of(&STRANGE)) {
                put(text, place, strange.as_bytes());
            }
        }
        9 => {
            let all = fields(text);
            if let (Some(&a), Some(&b)) = (dice.of(&all), dice.of(&all)) {
                let name = text[a.0..a.1].to_vec();
                put(text, b, &name);
            }
        }
        10 => {
            // A piece of the file in another place of it.
            let from = dice.below(text.len());
            let to = (from + dice.below(300)).min(text.len());
            let piece = text[from..to].to_vec();
            put(text, (at, at), &piece);
        }
        11 => {
            let bracket = if dice.below(2) == 0 { b"(" } else { b"[" };
            let deep = bracket.repeat(1 + dice.below(100_000));
            put(text, (at, at), &deep);
        }
        _ => {
            let words: [&[u8]; 8] =
                [b"Some(", b"))", b"\"", b"//", b"/*", b"#![enable(implicit_some)]", b"\xef\xbb\xbf", b"\0"];
            if let Some(word) = dice.of(&words) {
                put(text, (at, at), word);
            }
        }
    }
}

#[test]
fn damaged_files_are_refused_in_a_sentence_or_open_soundly() {
    let count = std::env::var("CUPWRIGHT_MUTATIONS").ok().and_then(|n| n.parse().ok()).unwrap_or(300usize);
    let sources = sources();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("damaged.ron");
    let (mut opened, mut refused) = (0usize, 0usize);
    for number in 0..count {
        let mut dice = Dice(number as u64);
        let (from, source) = &sources[number % sources.len()];
        let mut text = source.clone();
        for _ in 0..=dice.below(3) {
            mutate(&mut text, &mut dice);
        }
        fs::write(&path, &text).unwrap();
        match open(&path) {
            Ok((project, _)) => {
                opened += 1;
                let written = to_text(&project);
                let read = from_text(&written, "written.ron");
                assert!(
                    read.as_ref() == Ok(&project),
                    "number {number} of {}: {:?}",
                    from.display(),
                    read.err()
                );
                assert_eq!(to_text(&read.unwrap()), written, "number {number}");
                assert_eq!(project.fingerprint().len(), 9);
                // It can be looked at, too.
                let _ = project.problems();
            }
            Err(error) => {
                refused += 1;
                let says = error.to_string();
                let sentence = says.ends_with("damaged.ron") && says.starts_with(|c: char| !c.is_uppercase());
                assert!(sentence && says.len() < 2000, "number {number} of {}: {says}", from.display());
                let known = matches!(
                    error,
                    FileError::Syntax { .. }
                        | FileError::Contents { .. }
                        | FileError::NotText { .. }
                        | FileError::NoFormat { .. }
                        | FileError::Newer { .. }
                        | FileError::Empty { .. }
                );
                assert!(known, "number {number}: {error:?}");
            }
        }
        assert_eq!(fs::read(&path).unwrap(), text, "number {number} was altered");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing else was written");
    println!("{opened} opened, {refused} refused");
    // Both ways are taken, or the test tests nothing.
    assert!(
        count < 100 || (opened > count / 20 && refused > count / 4),
        "{opened} opened, {refused} refused"
    );
}
