//! Any bytes as a drawing whose largest part is then checked with cups on it: import, section, clearance, landing region,
//! loads and findings of whatever outline comes out.
#![no_main]

use analysis::Analyst;

use document::{CircuitId, Cup, CupId};
use exchange::{ImportOptions, new_project_from_drawing, read_drawing_bytes};
use glam::DVec2;
use libfuzzer_sys::fuzz_target;
use std::sync::Arc;
use telling::to_json;

fuzz_target!(|bytes: &[u8]| {
    let Ok(drawing) = read_drawing_bytes("input", bytes, &ImportOptions::default()) else { return };
    let mut project = new_project_from_drawing(&drawing, "Fuzzed");
    let Some(bounds) = project.parts[0].outline.outer.bounds() else { return };
    let Some(model) = document::library().first() else { return };
    project.models.push(Arc::clone(model));
    let circuit = project.circuits.first().map_or(CircuitId(0), |c| c.id);
    let layout = Arc::make_mut(&mut project.layouts[0]);
    for (i, share) in [(0.25, 0.25), (0.75, 0.25), (0.5, 0.8), (0.5, 0.5)].into_iter().enumerate() {
        let id = CupId(project.last_id + 1 + i as u32);
        let at = bounds.min + bounds.size() * DVec2::from(share);
        layout.cups.push(Cup {
            id,
            tag: format!("C{}", i + 1),
            model: model.id.clone(),
            at,
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit,
            zone: String::new(),
            locked: false,
        });
    }
    let id = layout.id;
    project.last_id += 8;
    let report = Analyst::new().check_whole(&project, id);
    assert!(!report.verdict.sentence.is_empty());
    let json = to_json("fuzzed.ron", &project, &[report]);
    assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok(), "not JSON: {json}");
});
