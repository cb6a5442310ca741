//! Any text as a table of sources: sources without a mistake that are written and read back, and a sentence for each
//! mistake.
#![no_main]

use exchange::{sources_from_csv, sources_to_csv};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let read = sources_from_csv(text, "table.csv");
    for problem in &read.diagnostics {
        assert!(problem.line > 0 && !problem.says.is_empty(), "{problem:?}");
    }
    for source in &read.sources {
        assert_eq!(source.problems(), [], "taken in spite of it");
    }
    let written = sources_to_csv(&read.sources);
    let again = sources_from_csv(&written, "");
    assert!(again.sources == read.sources, "{:?}\n{written}", again.diagnostics);
});
