//! What was not saved survives a kill of the program.
use crate::common;

use document::{History, Journal, Project, save};
use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Command, Stdio},
};

const FOLDER: &str = "CUPWRIGHT_TEST_JOURNAL_FOLDER";

fn state(i: usize) -> Project {
    Project { name: format!("state {i}"), ..common::tray() }
}

/// The program that is to be killed: records changes and tells of each, without end as far as this test is concerned.
fn record_until_killed(folder: &Path) {
    let file = folder.join("tray.ron");
    let stamp = save(&state(0), &file, None).unwrap();
    let mut journal = Journal::start(folder, Some((&file, &stamp)), &History::new(state(0))).unwrap();
    for i in 1..1_000_000 {
        journal.record(&format!("Edit {i}"), &state(i)).unwrap();
        eprintln!("recorded {i}");
    }
}

#[test]
fn a_killed_program_loses_nothing_it_had_recorded() {
    // This test starts itself a second time, told a folder, as the program that is killed.
    if let Ok(folder) = std::env::var(FOLDER) {
        return record_until_killed(Path::new(&folder));
    }
    let folder = tempfile::tempdir().unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "recovery::a_killed_program_loses_nothing_it_had_recorded", "--nocapture"])
        .env(FOLDER, folder.path())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
    let told = |line: String| line.strip_prefix("recorded ").and_then(|n| n.parse::<usize>().ok());
    let mut recorded = 0;
    while recorded < 25 {
        recorded = told(lines.next().unwrap().unwrap()).unwrap_or(recorded);
    }
    assert!(Journal::left_behind(folder.path()).is_empty(), "the program is alive and holds its journal");
    child.kill().unwrap();
    child.wait().unwrap();
    recorded = lines.map_while(Result::ok).filter_map(told).last().unwrap_or(recorded);

    let left = Journal::left_behind(folder.path());
    assert_eq!(left.len(), 1);
    let recovered = Journal::recover(&left[0]).unwrap();
    // The kill may come between a record and the line that tells of it.
    assert!(
        recovered.edits == recorded || recovered.edits == recorded + 1,
        "{} of {recorded}",
        recovered.edits
    );
    assert_eq!(recovered.project, state(recovered.edits));
    assert_eq!(recovered.last, Some(format!("Edit {}", recovered.edits)));
    let file = recovered.opened.clone().unwrap();
    assert!(file.ends_with("tray.ron"));
    assert_eq!(document::outside(&file, recovered.stamp.as_ref().unwrap()), document::Outside::Same);
    assert!(History::replayed(&recovered).undo().is_some());
    Journal::discard(&left[0]);
    assert!(Journal::left_behind(folder.path()).is_empty());
}
