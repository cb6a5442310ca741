//! What is asked to hold is judged on what a check of the proposal says: a lost zone, a part that bends, inputs at their worse end.

use super::*;
use document::{Cup, CupId, Sourced};

/// Cups of a model at places, a zone each.
pub(super) fn placed(project: &Project, of: &Arc<CupModel>, places: &[(f64, f64, &str)]) -> Project {
    let mut with = with_layout(project, |layout| {
        layout.cups = places
            .iter()
            .enumerate()
            .map(|(at, (x, y, zone))| Cup {
                id: CupId(200 + at as u32),
                tag: format!("C{}", at + 1),
                model: of.id.clone(),
                at: DVec2::new(*x, *y),
                turn_deg: 0.0,
                height_mm: 0.0,
                circuit: project.circuits[0].id,
                zone: (*zone).to_owned(),
                locked: false,
            })
            .collect();
    });
    with.models.push(Arc::clone(of));
    with.last_id = 400;
    with
}

#[test]
fn the_loss_of_a_zone_is_judged_by_what_is_left() {
    let project = project();
    // Two zones, one at either end: whichever is lost, the part hangs from one end.
    let ends = [(60., 60., "A"), (60., 340., "A"), (540., 60., "B"), (540., 340., "B")];
    let with = placed(&project, &model(40.0), &ends);
    let asked = Question { zone_lost: true, ..question(&with, HowMany::Exactly(4)) };
    let found = run(&with, asked).unwrap();
    let present = found.proposals.last().unwrap();
    assert_eq!((present.kind, present.meets), (Kind::Present, false));
    assert_eq!(present.figures.zone_lost, Some(0.0), "the part drops");
    for of in &found.proposals {
        // Without a figure where all cups are nearest to one zone: its loss drops the part.
        let left = of.figures.zone_lost.unwrap_or(0.0);
        assert!(!of.meets || left >= 1.0 - 1e-9, "{left}");
        // Only what is asked counts: without the wish the same cups meet it.
        assert!(of.figures.least.unwrap() >= 1.0);
    }
    let one = placed(&project, &model(40.0), &ends.map(|(x, y, _)| (x, y, "A")));
    let asked = Question { zone_lost: true, ..question(&one, HowMany::Exactly(4)) };
    assert_eq!(run(&one, asked).unwrap_err(), CannotPropose::OneZone);
}

#[test]
fn a_part_that_bends_is_proposed_for_as_it_bends() {
    let mut project = project();
    let mut sheet = Part::rectangle(PartId(1), "Sheet", 1200.0, 600.0);
    sheet.thickness_mm = 0.8;
    sheet.modulus_n_mm2 = Some(Sourced::stated(210_000.0));
    sheet.poisson = Some(Sourced::stated(0.3));
    project.parts = vec![Arc::new(sheet)];
    let asked =
        Question { pattern: Some(Pattern::Rows), one_lost: true, ..question(&project, HowMany::Exactly(6)) };
    let found = run(&project, asked).unwrap();
    for of in found.proposals.iter().filter(|of| of.kind != Kind::Present) {
        let report = Analyst::new().check_whole(&of.project(&project), of.layout.id);
        assert!(report.bends().is_some(), "the case says nothing of a stiff part");
        let (governing, ratio) = report.governing().unwrap();
        assert_eq!(of.figures.least, Some(ratio));
        let rigid = governing.outcome.as_ref().unwrap().factor / governing.required_factor;
        assert!((ratio / rigid - 1.0).abs() > 1e-3, "{ratio} {rigid}");
        let side = crate::Side { report: Arc::clone(&report) };
        let left = side.worst_loss().map(|loss| if loss.holds { loss.factor.unwrap_or(0.0) } else { 0.0 });
        assert_eq!(of.figures.one_lost, left);
    }
    let zone = Question { zone_lost: true, ..question(&project, HowMany::Exactly(6)) };
    let with = placed(&project, &model(40.0), &[(100., 100., "A"), (500., 300., "B")]);
    assert_eq!(run(&with, zone).unwrap_err(), CannotPropose::ZoneOfBending);
}

#[test]
fn fewest_cups_at_the_worse_end_are_no_fewer_and_meet_it_there() {
    let mut project = project();
    let mut part = Part::clone(&project.parts[0]);
    part.mass = document::MassBy::Stated { kg: Sourced::stated(9.0) };
    project.parts = vec![Arc::new(part)];
    let most = HowMany::Fewest { most: 16 };
    let asked = Question { pattern: Some(Pattern::Free), ..question(&project, most) };
    let plain = run(&project, asked.clone()).unwrap();
    let low = run(&project, Question { low_end: true, ..asked }).unwrap();
    let (first, careful) = (&plain.proposals[0], &low.proposals[0]);
    assert!(first.meets && careful.meets && first.figures.low_end.is_none());
    assert!(careful.figures.cups >= first.figures.cups);
    let least = careful.figures.low_end.unwrap();
    assert!(least >= 1.0 - 1e-9 && least < careful.figures.least.unwrap(), "{least}");
    let report = Analyst::new().check_whole(&careful.project(&project), careful.layout.id);
    let ends = report.motions.iter().map(|motion| {
        let outcome = motion.outcome.as_ref().unwrap();
        let range = outcome.slow.as_ref().unwrap().range.as_ref();
        range.map_or(outcome.factor, |range| range.least) / motion.required_factor
    });
    assert_eq!(Some(least), ends.reduce(f64::min));
    assert!(low.says.ends_with("with assumed inputs at their worst."), "{}", low.says);
}

#[test]
fn what_is_preferred_comes_first_and_the_present_layout_last() {
    let project = project();
    let with = placed(&project, &model(40.0), &[(100., 100., "A"), (500., 300., "A")]);
    let found = run(&with, question(&with, HowMany::Exactly(6))).unwrap();
    assert!(found.proposals.len() > 2);
    let firsts = |prefer: Prefer, column: &dyn Fn(&Proposal) -> f64| {
        let order = found.order(prefer);
        assert_eq!(found.proposals[order[order.len() - 1]].kind, Kind::Present);
        let column: Vec<f64> =
            order[..order.len() - 1].iter().map(|at| column(&found.proposals[*at])).collect();
        assert!(column.windows(2).all(|pair| pair[0] <= pair[1]), "{prefer:?} {column:?}");
    };
    firsts(Prefer::Cups, &|of| of.figures.cups as f64);
    firsts(Prefer::Reserve, &|of| -of.figures.least.unwrap());
    firsts(Prefer::Positions, &|of| of.figures.different.iter().sum::<usize>() as f64);
    firsts(Prefer::Models, &|of| of.figures.models.len() as f64);
}
