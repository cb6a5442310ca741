//! Any bytes as a PDF drawing: parts and diagnostics that can be reported, or a sentence.
#![no_main]

use exchange::{ImportOptions, import_json, read_drawing_bytes};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let options = ImportOptions { gap_mm: 0.1, ..ImportOptions::default() };
    match read_drawing_bytes("input.pdf", bytes, &options) {
        Ok(drawing) => {
            let report = import_json(&drawing);
            assert!(serde_json::from_str::<serde_json::Value>(&report).is_ok(), "not JSON: {report}");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
