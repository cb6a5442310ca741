//! Any text as a table of cup models: models that are written and read back, and a sentence for each row that is none.
#![no_main]

use exchange::{models_csv, read_models_csv};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let (models, problems) = read_models_csv(text);
    for problem in problems {
        assert!(!problem.says.is_empty(), "line {} has a problem without words", problem.line);
    }
    let written = models_csv(&models);
    let (again, problems) = read_models_csv(&written);
    assert!(problems.is_empty() && again.len() == models.len(), "{problems:?}\n{written}");
});
