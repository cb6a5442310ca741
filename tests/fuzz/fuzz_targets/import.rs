//! Any bytes as any drawing, with any choice of unit, gap, layers and tolerance: what the dialog and the command line do
//! with it, to a project that is written as a file and as a drawing again.
#![no_main]

use exchange::{
    DrawingUnit, ImportOptions, compare_outline, import_json, messages, new_project_from_drawing, preview,
    read_drawing_bytes, reimport_edit,
};
use glam::DVec2;
use libfuzzer_sys::fuzz_target;

/// The options that the bits of one byte choose.
fn options(bits: u8, drawn: &[String]) -> ImportOptions {
    let bit = |n: u8| bits >> n & 1 == 1;
    ImportOptions {
        unit: [None, Some(DrawingUnit::Inch), Some(DrawingUnit::Millimetre), Some(DrawingUnit::Metre)]
            [usize::from(bits & 3)],
        gap_mm: if bit(2) { 1.0 } else { 0.05 },
        layers: bit(3).then(|| drawn.to_vec()),
        keep_out_layers: bit(4).then(|| drawn.iter().take(1).cloned().collect()),
        keep_dashed: bit(5),
        simplify_mm: if bit(6) { 0.5 } else { 0.0 },
        auto_gap: !bit(2),
        ..ImportOptions::default()
    }
}

fuzz_target!(|bytes: &[u8]| {
    let Some((bits, bytes)) = bytes.split_first() else { return };
    let drawing = match read_drawing_bytes("input", bytes, &options(bits & 0b110_0111, &[])) {
        Ok(drawing) => drawing,
        Err(error) => return assert!(!error.to_string().is_empty()),
    };
    assert_eq!(drawing.layers.len(), drawing.layer_infos.len());
    let report = import_json(&drawing);
    assert!(serde_json::from_str::<serde_json::Value>(&report).is_ok(), "not JSON: {report}");
    for part in &drawing.parts {
        let area = part.outline.outer.signed_area();
        assert!(area.is_finite() && area > 0.0, "{}: area {area}", part.name);
    }
    if let Some(counts) = preview(&drawing, 0, 0.2) {
        assert!(counts.after <= counts.before && counts.area_mm2.is_finite());
    }
    // What was decided, the other way.
    for choice in drawing.choices.iter().take(4) {
        let mut other = options(bits & 0b110_0111, &[]);
        choice.instead.apply(&mut other);
        if let Err(error) = read_drawing_bytes("input", bytes, &other) {
            assert!(!error.to_string().is_empty());
        }
    }
    assert!(messages(&drawing, &units::UnitChoice::default()).len() <= drawing.choices.len() + drawing.diagnostics.len());
    // Again with every layer, the first of them as keep-outs.
    let named: Vec<String> = drawing.layers.iter().map(|l| l.0.clone()).take(8).collect();
    let again = read_drawing_bytes("input", bytes, &options(*bits, &named));
    let project = new_project_from_drawing(&drawing, "Fuzzed");
    let newer = again.as_ref().unwrap_or(&drawing);
    if let Some(part) = newer.parts.first() {
        let change = compare_outline(&project.parts[0], &part.outline, &[]);
        assert!(!change.sentence(&units::UnitChoice::default()).is_empty());
        let edit = reimport_edit(&project, project.parts[0].id, newer, part, DVec2::ZERO);
        assert!(edit.is_some());
    }
    let text = document::to_text(&project);
    assert!(document::from_text(&text, "fuzzed.ron").is_ok(), "a project that cannot be read again: {text}");
});
