//! Our reader of entities against the library's, on thousands of odd records.

use super::recorded::odd_records::{Encoding, Records};
use super::{old, records};
use crate::diagnostics::Notes;
use crate::watch::Watch;
use std::fmt::Debug;

fn told(read: Result<impl Debug, super::Trouble>, notes: Notes) -> (String, Vec<String>) {
    let mut told: Vec<String> = notes.finish().iter().map(|d| format!("{d:?}")).collect();
    told.sort();
    // The one change of words that is meant.
    for line in &mut told {
        if line.contains("LWPOLYLINE left out: ") {
            *line = line
                .replace("it has figures of a vertex before its first vertex", "its figures cannot be read");
        }
    }
    (format!("{read:?}"), told)
}

fn ours(bytes: &[u8]) -> (String, Vec<String>) {
    let watch = Watch::default();
    let mut notes = Notes::new(&watch);
    let read = records::read(bytes, &mut notes).map(|c| (c.blocks, c.layers, c.text_frames));
    told(read, notes)
}

fn theirs(bytes: &[u8]) -> (String, Vec<String>) {
    let watch = Watch::default();
    let mut notes = Notes::new(&watch);
    let read = old::records::read(bytes, &mut notes).map(|c| (c.blocks, c.layers, c.text_frames));
    told(read, notes)
}

#[test]
fn both_readers_agree() {
    let (mut records, mut curves, mut early) = (0, 0, 0);
    for seed in 100..400 {
        for encoding in [Encoding::Text, Encoding::Narrow, Encoding::Wide] {
            let bytes = Records::new(seed, 200).bytes(encoding);
            let ((ours, notes), (theirs, other_notes)) = (ours(&bytes), theirs(&bytes));
            assert!(ours == theirs, "seed {seed}:\n{ours}\n{theirs}");
            early += usize::from(notes.iter().any(|l| l.contains("its figures cannot be read")));
            assert_eq!(notes, other_notes, "seed {seed}");
            records += 200;
            curves += ours.matches("(Curve(").count() + ours.matches("(Insert(").count();
        }
    }
    println!("{records} records, {curves} draw; {early} files have early group codes");
    assert!(curves > records / 2);
}

/// Bytes of good files, some of them changed: whatever comes of it is the same.
#[test]
fn both_readers_agree_on_spoilt_files() {
    let mut state = 7u64;
    let mut random = move || {
        state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (state >> 33) as usize
    };
    let (mut read, mut failed) = (0, 0);
    for seed in 0..2000 {
        for encoding in [Encoding::Text, Encoding::Narrow, Encoding::Wide] {
            let mut bytes = Records::new(seed, 20).bytes(encoding);
            for _ in 0..1 + random() % 4 {
                let at = 30 + random() % (bytes.len() - 30);
                match (encoding, random() % 3) {
                    (Encoding::Text, 0) => bytes[at] = b"0123456789.-+eE xXnN\t\x0b\xa0"[random() % 23],
                    (Encoding::Text, 1) => bytes[at] = b"0123456789"[random() % 10],
                    _ => bytes[at] = random() as u8,
                }
            }
            let ((ours, notes), (theirs, other_notes)) = (ours(&bytes), theirs(&bytes));
            assert!(ours == theirs, "seed {seed}:\n{ours}\n{theirs}");
            // What was told before a file turned out to be damaged reaches nobody.
            if ours.starts_with("Ok") {
                assert_eq!(notes, other_notes, "seed {seed}");
            }
            if ours.starts_with("Ok") { read += 1 } else { failed += 1 }
        }
    }
    println!("{read} read, {failed} refused");
}
