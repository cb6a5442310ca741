//! Topic D: thin plates and beams, those cases that cups can hold. Plates with held edges stand beside the element, in `src/tests/plates.rs`.

use crate::record::{case, cases, check, cup, heaving, hung, number, numbers, points, sheet};
use flex::{SheetLoad, USUAL_CORNERS};
use mechanics::{CupGroup, Wrench};

const RECORD: &str = include_str!("plates.json");

/// Springs at points are cups with next to no lip. The figures of the run with large deflections that stand in the record are no
/// figures of this model.
#[test]
fn d10_l_shaped_sheet_hung_from_five_springs() {
    let cases = cases(RECORD, 8);
    let d10 = case(&cases, "D10");
    let inputs = &d10["inputs"];
    let stiffness = numbers(&inputs["spring_k_N_mm"]);
    let springs = points(&inputs["springs_xy_mm"]);
    let cups: Vec<_> = springs.iter().zip(stiffness).map(|(at, k)| cup(*at, 0.05, k, 0.0)).collect();
    let sheet = sheet(inputs, 1.0, USUAL_CORNERS);
    let hung = hung(&sheet, &cups);
    let g = number(&inputs["g_m_s2"]);
    check(d10, "weight_N", &[sheet.mass() * g]);
    let shares = hung.share(&[SheetLoad::even(&sheet, g)], &[]).unwrap();
    check(d10, "reactions_N", &shares[0].cups.iter().map(|c| c.pull).collect::<Vec<_>>());
    let field = hung.field(&shares[0]);
    let corners = field.at_corners(&sheet);
    let (most, least) = (0..corners.len()).fold((0, 0), |(m, l), i| {
        (if corners[i] > corners[m] { i } else { m }, if corners[i] < corners[l] { i } else { l })
    });
    check(d10, "w_max_mm", &[corners[most]]);
    check(d10, "w_max_at_mm", &sheet.mesh().points[most].to_array());
    check(d10, "w_min_mm", &[corners[least]]);
    let named = points(&inputs["outline_mm"]);
    let found: Vec<f64> = named.iter().map(|p| field.deflection(&sheet, *p).unwrap()).collect();
    check(d10, "w_at_named_mm", &found);
    let group = CupGroup::new(&cups.iter().map(|c| c.spring).collect::<Vec<_>>()).unwrap();
    let section = geometry::section(&crate::record::polygon(&named)).unwrap();
    let mut weight = Wrench::zero(section.centroid.extend(0.0));
    weight.force.z = -sheet.mass() * g;
    let rigid: Vec<f64> =
        group.share(&weight.moved_to(group.centre().extend(0.0))).iter().map(|c| c.pull).collect();
    check(d10, "rigid_plate_reactions_N", &rigid);
}

/// A plate so stiff that it only heaves is the record's single mass.
#[test]
fn d13_step_and_ramp_of_an_acceleration() {
    let cases = cases(RECORD, 8);
    let d13 = case(&cases, "D13");
    let (hung, ring) = heaving(1.0);
    let stop = |rise: f64| hung.stop(&ring, 0.0, rise).unwrap();
    let stops: Vec<_> = numbers(&d13["inputs"]["t_rise_over_T"]).into_iter().map(stop).collect();
    check(d13, "R_d", &stops.iter().map(|s| s.sag).collect::<Vec<_>>());
    for cup in 0..4 {
        check(d13, "R_d", &stops.iter().map(|s| s.pulls[cup]).collect::<Vec<_>>());
    }
}
