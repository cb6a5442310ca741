//! Which places should have a cup: one score, the first set, a whole search, the bound.

mod job;

use divan::{Bencher, black_box};
use glam::DVec2;
use job::job;
use mechanics::choice::{
    Bound, BoundTask, Conflicts, Duty, Goal, Onset, Place, Question, Scorer, bound, search,
};

fn main() {
    divan::main();
}

struct Field {
    scorer: Scorer,
    conflicts: Conflicts,
}

/// Places of one round cup on a grid, lips 40 mm wide and 2 mm apart at least, in motions that all sweep.
fn field(places: usize, motions: usize) -> Field {
    let job = job(25, motions, true);
    let columns = (places as f64).sqrt().ceil() as usize;
    // The lip of the second cup: round, 20 mm.
    let (spring, strength) = (job.springs[1], job.lips[1]);
    let pitch = 600.0 / columns as f64;
    let at = |i: usize| DVec2::new((i % columns) as f64, (i / columns) as f64) * pitch;
    let of = |i: usize| Place {
        spring: mechanics::CupSpring { at: at(i), turn: 0.0, ..spring },
        strength: mechanics::LipStrength { turn: 0.0, ..strength },
        kind: 0,
        zone: None,
    };
    let all: Vec<Place> = (0..places).map(of).collect();
    let body = mechanics::Body { mass: 6.0, ..job.body };
    let duties: Vec<Duty> =
        job.cases.iter().map(|case| Duty { case: *case, required: 2.0, required_lost: 1.0 }).collect();
    let conflicts = Conflicts::of(places, |a, b| at(a).distance(at(b)) < 42.0);
    Field { scorer: Scorer::new(&body, &duties, &all), conflicts }
}

fn question(count: usize, most: usize, one_lost: bool) -> Question {
    Question {
        count,
        units: Vec::new(),
        goal: Goal { one_lost, zone_lost: false, balanced: false },
        locked: Vec::new(),
        starts: Vec::new(),
        seed: 1,
        most,
        enough: f64::INFINITY,
    }
}

/// One set scored; (cups, motions, with each cup lost).
#[divan::bench(args = [(6, 5, false), (6, 5, true), (24, 12, false), (24, 12, true)])]
fn score(bencher: Bencher, (cups, motions, lost): (usize, usize, bool)) {
    let mut field = field(400, motions);
    let set: Vec<usize> = (0..cups).map(|i| i * 400 / cups).collect();
    let goal = Goal { one_lost: lost, zone_lost: false, balanced: false };
    bencher.bench_local(|| field.scorer.at_most(goal, black_box(&set), -1.0));
}

/// Until the first whole set is known; (places, cups, motions).
#[divan::bench(args = [(120, 6, 5), (400, 24, 12)], sample_count = 5)]
fn first_set(bencher: Bencher, (places, cups, motions): (usize, usize, usize)) {
    let mut field = field(places, motions);
    bencher.bench_local(|| {
        let mut told = |step: &mechanics::choice::Step<'_>| step.best.is_empty();
        search(&mut field.scorer, &field.conflicts, &question(cups, usize::MAX, false), &mut told).score
    });
}

/// What the program spends on such a field; (places, cups, motions, with each cup lost).
#[divan::bench(args = [(120, 6, 5, false), (120, 6, 5, true), (400, 24, 12, false)], sample_count = 3)]
fn whole_search(bencher: Bencher, (places, cups, motions, lost): (usize, usize, usize, bool)) {
    let mut field = field(places, motions);
    let of_a_set = cups * field.scorer.instants() * if lost { cups } else { 1 };
    let most = (8e6 / of_a_set as f64).clamp(200.0 + 11.0 * cups as f64, 24_000.0) as usize;
    bencher.bench_local(|| {
        search(&mut field.scorer, &field.conflicts, &question(cups, most, lost), &mut |_| true).score
    });
}

/// The bound over all places, checked; (places, cups, motions).
#[divan::bench(args = [(120, 6, 5), (400, 24, 12)], sample_count = 3)]
fn bound_of(bencher: Bencher, (places, cups, motions): (usize, usize, usize)) {
    let field = field(places, motions);
    let of = field.scorer.places();
    let set: Vec<usize> = (0..cups).map(|i| i * places / cups).collect();
    let task = BoundTask {
        lips: of.iter().map(|place| Onset::of(place.spring.at, &place.strength)).collect(),
        kinds: vec![0; places],
        instances: field.scorer.worst_instances(&set, cups),
        counts: vec![(None, cups)],
        cliques: field.conflicts.cliques(),
        cells: Vec::new(),
        locked: Vec::new(),
    };
    bencher.bench_local(|| match bound(black_box(&task)) {
        Bound::Proved(certificate) => certificate.value,
        Bound::Unlimited | Bound::NotConverged => f64::NAN,
    });
}

/// What `tests/peers/placement.py` times as well: 120 places 60 mm apart, 6 cups, 5 loads.
fn beside() -> (Scorer, Vec<Vec<usize>>) {
    let shape = geometry::LipShape::Round { diameter: 40.0 };
    let line = shape.line();
    let strength = mechanics::LipStrength {
        vacuum_force: 0.06 * line.area,
        line,
        turn: 0.0,
        shape,
        friction: 0.5,
        slide_share: 0.9,
        seal_minimum: 0.0,
    };
    let at = |i: usize| DVec2::new((i % 12) as f64 * 60.0 - 330.0, (i / 12) as f64 * 60.0 - 270.0);
    let places: Vec<Place> = (0..120)
        .map(|i| Place {
            spring: mechanics::CupSpring::along_lip(at(i), 0.0, 20.0, 12.0, &line, 1.0),
            strength,
            kind: 0,
            zone: None,
        })
        .collect();
    let body =
        mechanics::Body { mass: 4.0, centre: glam::DVec3::new(25.0, -15.0, 0.0), inertia: glam::DMat3::ZERO };
    let level = mechanics::Instant::still(glam::DVec3::new(0.0, 0.0, -9.80665));
    let duty = |acceleration: [f64; 3]| Duty {
        case: mechanics::LoadCase::single(mechanics::Instant { acceleration: acceleration.into(), ..level }),
        required: 2.0,
        required_lost: 1.0,
    };
    let duties =
        [[0.0, 0.0, 2.0], [3.0, 0.0, 0.0], [-3.0, 0.0, 0.0], [0.0, 3.0, 0.0], [0.0, -3.0, 0.0]].map(duty);
    let mut state = 1_u64;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % 120
    };
    let mut set = || {
        let mut one: Vec<usize> = Vec::new();
        while one.len() < 6 {
            let place = next();
            if !one.contains(&place) {
                one.push(place);
            }
        }
        one
    };
    let sets = (0..2_000).map(|_| set()).collect();
    (Scorer::new(&body, &duties, &places), sets)
}

/// 2,000 sets by chance with each cup lost in turn; what comes out is their mean score.
#[divan::bench(sample_count = 5)]
fn beside_numpy(bencher: Bencher) {
    let (mut scorer, sets) = beside();
    let goal = Goal { one_lost: true, zone_lost: false, balanced: false };
    let mean = |scorer: &mut Scorer| {
        sets.iter().map(|set| scorer.at_most(goal, set, -1.0)).sum::<f64>() / sets.len() as f64
    };
    // The peer has 1.926: it leaves out what uneven pressure takes from the friction.
    assert!((mean(&mut scorer) - 1.8916).abs() < 1e-3);
    bencher.bench_local(|| mean(&mut scorer));
}

/// The bound of any six of the places.
#[divan::bench(sample_count = 3)]
fn beside_cvxpy(bencher: Bencher) {
    let (scorer, _) = beside();
    let task = BoundTask {
        lips: scorer.places().iter().map(|place| Onset::of(place.spring.at, &place.strength)).collect(),
        kinds: vec![0; 120],
        instances: scorer.usual_instances(6),
        counts: vec![(None, 6)],
        cliques: Vec::new(),
        cells: Vec::new(),
        locked: Vec::new(),
    };
    // As the peer has it.
    assert!(bound(&task).value().is_some_and(|value| (value - 3.432_743).abs() < 1e-5));
    bencher.bench_local(|| matches!(bound(&task), Bound::Proved(_)));
}
