//! Messages that have a reason in common are told as one, whatever their words.

use exchange::{ImportOptions, Weight, messages, read_drawing_bytes};
use units::UnitChoice;

/// A plate with three groups beside it, as SVG.
const LAYERS: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">
 <g id="CUT"><rect x="10" y="10" width="90" height="60" fill="none" stroke="black"/></g>
 <g id="ONE"><path d="M120 10 h20" fill="none" stroke="black"/></g>
 <g id="TWO"><path d="M120 20 h20" fill="none" stroke="black"/></g>
 <g id="THREE"><path d="M120 30 h20" fill="none" stroke="black"/></g>
 <image x="150" y="10" width="5" height="5"/><image x="160" y="10" width="5" height="5"/>
</svg>"#;

#[test]
fn layers_that_were_not_asked_for_are_one_message() {
    let options = ImportOptions { layers: Some(vec!["cut".to_owned()]), ..ImportOptions::default() };
    let drawing = read_drawing_bytes("plate.svg", LAYERS.as_bytes(), &options).unwrap();
    let told = messages(&drawing, &UnitChoice::default());
    let skipped: Vec<&str> =
        told.iter().filter(|m| m.weight == Weight::Skipped).map(|m| m.says.as_str()).collect();
    let all = "left out, as they were not asked for: group ONE, group TWO, group THREE";
    assert!(skipped.contains(&all), "{skipped:?}");
    // One kind alone keeps its own sentence.
    assert!(skipped.contains(&"image left out: it draws no outline"), "{skipped:?}");
}
