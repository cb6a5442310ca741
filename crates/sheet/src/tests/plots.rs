//! Plots of their own.

use super::fixtures::tray;
use super::pages::{check_texts, extent};
use crate::page::Item;
use glam::DVec2;
use units::UnitChoice;

#[test]
fn plots_stand_alone_as_pictures() {
    use crate::{Plot, export_plot, to_png, to_svg};
    let whole = super::fixtures::whole();
    let motion = |index: usize| Plot::Loads(whole.report.motions[index].id);
    for plot in [Plot::Envelope, motion(0), motion(1)] {
        let page = export_plot(&whole.project, &whole.report, plot, &UnitChoice::default()).unwrap();
        check_texts(std::slice::from_ref(&page), "plot");
        extent(&page.items, &mut |thing, min, max| {
            let inside = min.cmpge(DVec2::ONE).all() && max.cmple(DVec2::from(page.size_mm) - 1.0).all();
            assert!(inside, "{}: {thing} at {min} {max}", page.name);
        });
        assert!(to_svg(&page).contains(&format!("<title>{}</title>", page.name)));
        if let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS") {
            let name = format!("{}.png", page.name.replace([' ', ':', ','], "-"));
            std::fs::write(std::path::Path::new(&folder).join(name), to_png(&page, 130.0).unwrap()).unwrap();
        }
        assert!(to_png(&page, 60.0).unwrap().starts_with(b"\x89PNG"));
    }
    let bare = tray();
    let units = UnitChoice::default();
    assert_eq!(export_plot(&bare.project, &bare.report, Plot::Envelope, &units), None);
    let unknown = Plot::Loads(document::MotionId(9999));
    assert_eq!(export_plot(&whole.project, &whole.report, unknown, &units), None);
}

#[test]
fn curves_of_a_circuit_stand_alone_too_and_a_stated_level_has_none() {
    use crate::{Plot, export_plot, to_svg};
    let units = UnitChoice::default();
    let mut drawn = 0;
    for demo in super::demos::demos() {
        for circuit in &demo.reports[0].circuits {
            for plot in [Plot::Source(circuit.id), Plot::Evacuation(circuit.id)] {
                let page = export_plot(&demo.project, &demo.reports[0], plot, &units);
                assert_eq!(page.is_some(), circuit.slow.is_some(), "{} {plot:?}", demo.stem);
                let Some(page) = page else { continue };
                drawn += 1;
                check_texts(std::slice::from_ref(&page), "plot");
                extent(&page.items, &mut |thing, min, max| {
                    let inside =
                        min.cmpge(DVec2::ONE).all() && max.cmple(DVec2::from(page.size_mm) - 1.0).all();
                    assert!(inside, "{}: {thing} at {min} {max}", page.name);
                });
                assert!(to_svg(&page).contains(&format!("<title>{}</title>", page.name)));
            }
        }
    }
    assert!(drawn >= 2, "no demo has a circuit with curves");
}

#[test]
fn the_envelope_is_drawn_to_its_own_rings() {
    let whole = super::fixtures::whole();
    let units = UnitChoice::default();
    let page = crate::export_plot(&whole.project, &whole.report, crate::Plot::Envelope, &units).unwrap();
    let (mut rings, mut curve) = (Vec::new(), Vec::new());
    fn collect(items: &[Item], rings: &mut Vec<(DVec2, f64)>, curve: &mut Vec<DVec2>) {
        for item in items {
            match item {
                Item::Circle { centre, radius, fill: None, .. } => rings.push((*centre, *radius)),
                Item::Polyline { points, closed: true, .. } => curve.clone_from(points),
                Item::Group { items, .. } | Item::Tagged { items, .. } => collect(items, rings, curve),
                _ => {}
            }
        }
    }
    collect(&page.items, &mut rings, &mut curve);
    // Rings every 2 m/s², the outermost 10: that is what is written beside it.
    assert!(page.texts().iter().any(|text| text.text == "10 m/s²"), "no outermost ring of 10");
    let (centre, outermost) = *rings.iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    let points = &whole.report.envelope.as_ref().unwrap().points;
    assert_eq!(curve.len(), points.len());
    for (drawn, point) in curve.iter().zip(points) {
        let reach = (*drawn - centre).length() / outermost * 10.0;
        assert!((reach - point.acceleration).abs() < 1e-9, "{reach} for {}", point.acceleration);
        let turn = (*drawn - centre).to_angle().to_degrees().rem_euclid(360.0);
        assert!((turn - point.direction_deg).abs() < 1e-6);
    }
}
