//! `scope.no_figure`: a figure that came out as none, so that what is held against it was not checked.
//!
//! Why: every comparison with a figure that is not a number is false, so that a limit would seem kept. Inputs out of their
//! range are refused before any stage is run; this is the net under the stages themselves.
//! Limit: any figure that is not finite where one must be. The verdict is then "not checked" at best, and the finding cannot
//! be accepted. Remedy: the figures that it comes from.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitReport, CircuitStatus, Severity};
use crate::slow::Slow;
use document::{CupId, MotionId};

pub(crate) const INFO: RuleInfo = RuleInfo {
    id: "scope.no_figure",
    title: "Result could not be calculated",
    explains: "A calculation without a finite result cannot be compared with its limit. It is reported as \
        not checked, and never as passed.",
    fail: "",
    watch: "",
    remedy: "the inputs it comes from",
};

/// A figure that is none, with what it is about.
struct Missing {
    /// "the clearance of C4".
    what: String,
    cups: Vec<CupId>,
    motion: Option<MotionId>,
    remedy: &'static str,
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let mut missing = Vec::new();
    let mut plain = |what: String, remedy| {
        missing.push(Missing { what, cups: Vec::new(), motion: None, remedy });
    };
    body(facts, &mut plain);
    balance(facts, &mut plain);
    robot(facts, &mut plain);
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        levels(facts, circuit, &mut plain);
    }
    seats(facts, &mut missing);
    motions(facts, &mut missing);
    out.extend(missing.into_iter().map(|found| {
        let says =
            crate::words::sentence(&format!("{} could not be calculated, so it is not checked", found.what));
        let draft = Draft::new(INFO.id, Severity::NotChecked, says)
            .cups(found.cups)
            .remedy(found.remedy.to_owned())
            .off(1.0);
        match found.motion {
            Some(motion) => draft.motion(motion),
            None => draft,
        }
    }));
}

type Add<'a> = &'a mut dyn FnMut(String, &'static str);

fn body(facts: &Facts<'_>, add: Add<'_>) {
    let Some(body) = facts.body else { return };
    let inertia = body.inertia.to_cols_array();
    if !(body.mass.is_finite() && body.centre.is_finite() && inertia.iter().all(|v| v.is_finite())) {
        add("the mass of the part".to_owned(), "Check its thickness, mass and attached masses.");
    }
}

fn balance(facts: &Facts<'_>, add: Add<'_>) {
    let Some(balance) = facts.balance else { return };
    let places = [balance.cup_centre, balance.centroid_offset, balance.spread];
    if !(places.iter().all(|at| at.is_finite()) && balance.most_over_mean.is_none_or(f64::is_finite)) {
        add("the balance of the cups".to_owned(), "Check the places and stiffnesses of the cups.");
    }
}

/// A payload was stated, and there is nothing to hold against it although the part has a mass.
fn robot(facts: &Facts<'_>, add: Add<'_>) {
    let stated = facts.project.site.payload_kg.is_some();
    let sound = facts.robot.is_some_and(|robot| {
        robot.payload_kg.is_some()
            && [Some(&robot.loaded), robot.empty.as_ref()].into_iter().flatten().all(|carried| {
                carried.mass_kg.is_finite()
                    && carried.centre_mm.is_finite()
                    && carried.inertia_kg_m2.iter().all(|v| v.is_finite())
            })
    });
    if stated && facts.body.is_some() && !sound {
        let remedy = "Check the frame, the fittings and the payload of the robot.";
        add("what the robot carries".to_owned(), remedy);
    }
}

fn levels(facts: &Facts<'_>, circuit: &CircuitReport, add: Add<'_>) {
    let name = &circuit.name;
    let remedy = "Check its source, hoses and valves.";
    if !(circuit.wanted_kpa.is_finite() && circuit.cups.iter().all(|cup| cup.level_kpa.is_finite())) {
        add(format!("a level of {name}"), remedy);
    }
    let losses = circuit.elements.iter().all(|e| e.loss_kpa.is_finite() && e.flow_nl_min.is_finite());
    let ports = circuit.manifolds.iter().flat_map(|m| &m.ports).all(|(_, level)| level.is_finite());
    if !(losses && ports && circuit.source_level_kpa.is_none_or(f64::is_finite)) {
        add(format!("a loss or level in the lines of {name}"), remedy);
    }
    let curves = circuit.sources.iter().flat_map(|source| source.curve.iter().chain(&source.leak_curve));
    let mut curves = curves.flat_map(|(level, flow)| [level, flow]);
    if !(curves.all(|v| v.is_finite()) && circuit.sources.iter().all(|s| s.deepest_kpa.is_finite())) {
        add(format!("the flow of a source of {name}"), remedy);
    }
    let asked = facts.project.circuit(circuit.id).is_some_and(|c| c.thresholds.is_some());
    if asked && facts.ages.is_current(Slow::Times) {
        // It may be without end; it may not be no number.
        let held = circuit.slow.as_ref().map(|slow| [slow.hold_s, slow.hold_with_check_s]);
        if held.is_none_or(|held| held.into_iter().flatten().any(f64::is_nan)) {
            add(format!("the hold time of {name} without feed"), remedy);
        }
    }
}

fn seats(facts: &Facts<'_>, missing: &mut Vec<Missing>) {
    let remedy = "Check the place and the model of the cup, and the outline of the part.";
    for (index, cup) in facts.cups.iter().enumerate().filter(|_| facts.ground.is_some()) {
        let sound = facts.seats.get(index).is_some_and(|seat| {
            seat.required.is_finite() && seat.clearance.is_some_and(|c| c.distance.is_finite())
        });
        if !sound {
            let what = format!("the clearance of {}", facts.tag(index));
            missing.push(Missing { what, cups: vec![cup.id], motion: None, remedy });
        }
    }
    for gap in facts.gaps.iter().filter(|gap| !gap.distance.is_finite()) {
        let [a, b] = gap.cups.map(|cup| facts.tag_of(cup));
        let what = format!("the gap between {a} and {b}");
        missing.push(Missing { what, cups: gap.cups.to_vec(), motion: None, remedy });
    }
}

/// A factor may be without end; it may not be no number.
fn motions(facts: &Facts<'_>, missing: &mut Vec<Missing>) {
    for (motion, case) in facts.solved() {
        let result = &case.result;
        let loads = result.loads.iter().all(|load| {
            load.pull.is_finite() && load.slide.is_finite() && load.tilt.is_finite() && load.twist.is_finite()
        });
        let factors = result.cup_worst.iter().all(|(_, factor)| !factor.value.is_nan());
        let required = motion.required_factor.is_finite() && motion.required_factor > 0.0;
        if !(loads && factors && required && !case.factor().is_nan()) {
            let what = format!("the factor of {}", crate::words::inside(&motion.name));
            let remedy = "Check its acceleration, turning, pivot and required factor.";
            missing.push(Missing { what, cups: Vec::new(), motion: Some(motion.id), remedy });
        }
    }
}
