//! Any text as a project file that is then checked, with the slow figures: a report that can be written, or a sentence.
#![no_main]

use analysis::{Analyst, Report};

use document::from_text;
use libfuzzer_sys::fuzz_target;
use std::sync::Arc;
use telling::{exit_code, to_json};

fuzz_target!(|text: &str| {
    let Ok(project) = from_text(text, "input.ron") else { return };
    let mut analyst = Analyst::new();
    let reports: Vec<Arc<Report>> =
        project.layouts.iter().take(2).map(|layout| analyst.check_whole(&project, layout.id)).collect();
    for report in &reports {
        assert!(!report.verdict.sentence.is_empty());
        assert!(report.findings.iter().all(|f| !f.says.is_empty()), "a finding without words");
    }
    let _ = exit_code(&reports);
    let json = to_json("input.ron", &project, &reports);
    assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok(), "not JSON: {json}");
});
