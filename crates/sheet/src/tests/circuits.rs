//! The circuits' chapter: there when a circuit was worked out, with every figure that belongs to it.

use super::demos::{Demo, demos};
use super::pages::{check_border, check_texts};
use crate::{Orientation, Page, Paper, SheetOptions, compose};
use analysis::{Analyst, CircuitStatus, Report};
use document::{Arrangement, Project, SourceKind};
use std::sync::Arc;
use units::{FlowUnit, LengthUnit, PressureUnit, UnitChoice};

fn circuit_pages(project: &Project, report: &Report, options: &SheetOptions) -> Vec<Page> {
    let mut pages = compose(project, report, options);
    pages.retain(|page| page.name.contains("Circuits"));
    pages
}

fn words(pages: &[Page]) -> String {
    let words: Vec<&str> = pages.iter().flat_map(Page::texts).map(|text| text.text.as_str()).collect();
    words.join(" ")
}

fn solved(report: &Report) -> bool {
    report.circuits.iter().any(|circuit| circuit.status == CircuitStatus::Solved)
}

fn tray() -> &'static Demo {
    demos().iter().find(|demo| demo.stem == "moulded-tray").unwrap()
}

#[test]
fn the_chapter_is_there_exactly_when_a_circuit_was_worked_out() {
    let mut seen = 0;
    for demo in demos() {
        for report in &demo.reports {
            let pages = circuit_pages(&demo.project, report, &SheetOptions::default());
            assert_eq!(!pages.is_empty(), solved(report), "{}", demo.stem);
            let says = words(&pages);
            for hose in analysis::hose_schedule(report) {
                seen += 1;
                let length = format!("{:.1}", hose.cut_length_mm);
                assert!(says.contains(&hose.name) && says.contains(&length), "{} {}", demo.stem, hose.name);
            }
            assert!(!says.to_lowercase().contains("safe"), "{}", demo.stem);
        }
    }
    assert!(seen > 10, "{seen} hoses in all demos");
}

#[test]
fn a_large_paper_does_not_name_a_chapter_that_is_not_there() {
    let plain = demos().iter().find(|demo| !demo.reports.iter().any(|report| solved(report))).unwrap();
    let options = SheetOptions { paper: Paper::A1, ..SheetOptions::default() };
    assert!(circuit_pages(&plain.project, &plain.reports[0], &options).is_empty());
}

#[test]
fn what_is_invented_is_said_to_be_so_and_a_measured_curve_is_not() {
    let mut project = tray().project.clone();
    let says = words(&circuit_pages(&project, &tray().reports[0], &SheetOptions::default()));
    assert!(says.contains("Its curve is generic"), "{says}");
    for source in &mut project.sources {
        Arc::make_mut(source).figures = document::Origin::Measured;
    }
    let says = words(&circuit_pages(&project, &tray().reports[0], &SheetOptions::default()));
    assert!(says.contains("Its curve is measured") && !says.contains("invented"));
}

#[test]
fn losses_over_a_hundredth_are_listed_with_their_regime() {
    let mut report = Report::clone(&tray().reports[0]);
    let element = &mut report.circuits[0].elements[0];
    (element.loss_kpa, element.regime) = (4.0, analysis::Regime::Choked);
    let name = element.name.clone();
    let says = words(&circuit_pages(&tray().project, &report, &SheetOptions::default()));
    assert!(says.contains("choked") && says.contains(&name) && !says.contains("None. The largest"));
}

/// Every arrangement and kind of source, with and without slow figures, in other units: nothing lies on anything.
#[test]
fn every_arrangement_is_drawn_in_order() {
    for arrangement in [Arrangement::Central, Arrangement::PerCup, Arrangement::InLine] {
        for kind in [SourceKind::Ejector, SourceKind::Pump] {
            for stem in ["moulded-tray", "glass-pane"] {
                let mut project = demos().iter().find(|demo| demo.stem == stem).unwrap().project.clone();
                for circuit in &mut project.circuits {
                    let supply = Arc::make_mut(circuit).supply.as_mut().unwrap();
                    let supply = Arc::make_mut(supply);
                    supply.arrangement = arrangement;
                    supply.check_valve_at_cup = true;
                    supply.manifold = supply.manifold.filter(|_| kind == SourceKind::Ejector);
                }
                let report = Analyst::new().check(&project, project.layouts[0].id);
                assert!(solved(&report), "{stem} {arrangement:?}");
                for source in &mut project.sources {
                    Arc::make_mut(source).kind = kind;
                }
                for (paper, orientation) in
                    [(Paper::A4, Orientation::Portrait), (Paper::A3, Orientation::Landscape)]
                {
                    let units = UnitChoice {
                        length: LengthUnit::Inch,
                        pressure: PressureUnit::InchMercury,
                        flow: FlowUnit::StandardCubicFootPerMinute,
                        decimal_comma: true,
                        ..UnitChoice::default()
                    };
                    let options = SheetOptions { paper, orientation, units, ..SheetOptions::default() };
                    let pages = circuit_pages(&project, &report, &options);
                    let what = format!("{stem} {arrangement:?} {kind:?} {}", paper.label());
                    check_texts(&pages, &what);
                    check_border(&pages, &what);
                    let says = words(&pages);
                    assert!(says.contains("inHg") && says.contains("were not calculated"), "{what}: {says}");
                    assert!(!says.contains("kPa"), "{what}");
                }
            }
        }
    }
}

/// Help, curves, working point and thresholds of the tray's circuit are on its page as the report has them.
#[test]
fn helps_and_curves_are_printed() {
    let demo = tray();
    let circuit = demo.reports[0].circuits.iter().find(|circuit| circuit.slow.is_some()).unwrap();
    let slow = circuit.slow.as_ref().unwrap();
    let says = words(&circuit_pages(&demo.project, &demo.reports[0], &SheetOptions::default()));
    assert!(!slow.helps.is_empty());
    for help in &slow.helps {
        let what = units::capital(&help.change.says(&UnitChoice::default()));
        assert!(says.contains(&what), "{what}");
        assert!(says.contains(&format!("{:.1}", help.worst_level_kpa_to)), "{help:?}");
    }
    let works = circuit.sources[0].level_kpa;
    assert!(says.contains("source draws") && says.contains(&format!("runs at {works:.1} kPa")), "{says}");
    assert!(says.contains("time from the start of the source, s") && says.contains("90 %:"));
    let held = demo.project.circuit(circuit.id).unwrap().thresholds.unwrap().held_kpa;
    assert!(says.contains(&format!("part held {held:.1} kPa")), "{says}");
}

/// Forty cups on one circuit, each with its curve, with more changes that would help than the list holds.
#[test]
fn a_long_circuit_goes_on_over_pages_in_order() {
    use analysis::{EvacuationCurve, OpenCupReport};
    use document::{Cup, CupId, Part};
    use glam::dvec2;
    let demo = tray();
    let mut project = demo.project.clone();
    let first = project.parts[0].id;
    let wide = Part::rectangle(first, "Wide panel", 1700.0, 1100.0);
    project.parts[0] = Arc::new(Part { mass: project.parts[0].mass.clone(), ..wide });
    let layout = Arc::make_mut(&mut project.layouts[0]);
    let model = layout.cups[0].clone();
    layout.cups = (0..40_u32)
        .map(|index| Cup {
            id: CupId(project.last_id + 1 + index),
            tag: format!("C{}", index + 1),
            at: dvec2(100.0 + f64::from(index % 8) * 200.0, 100.0 + f64::from(index / 8) * 200.0),
            ..model.clone()
        })
        .collect();
    project.last_id += 40;
    let mut report = Report::clone(&Analyst::new().check(&project, project.layouts[0].id));
    let mut slow = demo.reports[0].circuits[0].slow.clone().unwrap();
    let ids: Vec<CupId> = report.circuits[0].cups.iter().map(|cup| cup.id).collect();
    assert_eq!(ids.len(), 40);
    let next = |index: usize| ids[(index + 1) % ids.len()];
    slow.open = ids
        .iter()
        .enumerate()
        .map(|(index, cup)| OpenCupReport {
            cup: *cup,
            least_level_kpa: 30.0 + index as f64,
            least_at: next(index),
            then_lost: ids[..index % 9].to_vec(),
            holds: index % 2 == 0,
        })
        .collect();
    slow.evacuation = ids
        .iter()
        .enumerate()
        .map(|(index, cup)| {
            let slow = 0.1 + 0.01 * index as f64;
            let level = |time: f64| 80.0 * (1.0 - (-time / slow).exp());
            EvacuationCurve {
                cup: *cup,
                points: (0..200).map(|i| f64::from(i) * 0.01).map(|time| (time, level(time))).collect(),
                to_60_s: Some(0.92 * slow),
                to_75_s: Some(1.39 * slow),
                to_90_s: (index % 7 != 3).then_some(2.3 * slow),
            }
        })
        .collect();
    let help = slow.helps[0].clone();
    slow.helps = (0..14)
        .map(|index| analysis::HelpReport { worst_level_kpa_to: 90.0 - f64::from(index), ..help.clone() })
        .collect();
    slow.open_until[1].at = analysis::OpenAt::With(ids[..20].to_vec());
    report.circuits[0].slow = Some(slow);
    for (index, paper) in Paper::ALL.into_iter().enumerate() {
        for (number, orientation) in Orientation::ALL.into_iter().enumerate() {
            if paper != Paper::A4 && index % 2 == number {
                continue;
            }
            let options = SheetOptions { paper, orientation, ..SheetOptions::default() };
            let pages = circuit_pages(&project, &report, &options);
            let what = format!("forty cups {} {}", paper.label(), orientation.label());
            check_texts(&pages, &what);
            check_border(&pages, &what);
            if let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS").map(std::path::PathBuf::from) {
                for (index, page) in pages.iter().enumerate() {
                    let picture = crate::to_png(page, 90.0).unwrap();
                    std::fs::write(folder.join(format!("{what} {}.png", index + 1)), picture).unwrap();
                }
            }
            let says = words(&pages);
            assert!(says.contains("C40") && says.contains("The first 10 of 14."), "{what}");
            assert!(says.contains("does not reach 90 %") && says.contains("quickest"), "{what}");
            if paper == Paper::A4 {
                assert!(pages.len() > 2 && says.contains("continued"), "{what}: {} pages", pages.len());
            }
        }
    }
}
