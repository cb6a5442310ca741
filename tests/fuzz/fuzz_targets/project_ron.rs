//! Any text as a project file: a project that is written and read back unchanged, or a sentence.
#![no_main]

use document::{from_text, to_text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match from_text(text, "input.ron") {
        Ok(project) => {
            let written = to_text(&project);
            let again = match from_text(&written, "again.ron") {
                Ok(again) => again,
                Err(error) => panic!("what was written cannot be read: {error}\n{written}"),
            };
            assert_eq!(to_text(&again), written, "the second writing differs");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
