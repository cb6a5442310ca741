//! Limit loads, lost cups and the envelope.

mod job;

use divan::{Bencher, black_box};
use glam::DVec3;
use job::{Job, job};
use mechanics::{
    Contact, CupGroup, Envelope, Instant, Limit, LimitSolver, Wrench, follow_loss, limit_over, load,
    worst_case,
};

fn main() {
    divan::main();
}

fn contacts(job: &Job) -> Vec<Contact> {
    job.springs.iter().zip(&job.lips).map(|(spring, lip)| Contact::lip(spring.at, lip)).collect()
}

/// One programme, its structure kept; cups.
#[divan::bench(args = [4, 24, 200])]
fn programme(bencher: Bencher, cups: usize) {
    let job = job(cups, 1, false);
    let loads: Vec<Wrench> =
        [1.0, 4.0].map(|a| load(&job.body, &shaken(DVec3::new(a, 0.3 * a, 0.0)), DVec3::ZERO)).into();
    let mut solver = LimitSolver::new(&contacts(&job));
    let mut turn = 0;
    bencher.bench_local(|| {
        turn = 1 - turn;
        let limit = solver.solve(&Wrench::zero(DVec3::ZERO), black_box(&loads[turn]));
        assert!(matches!(limit, Limit::Solved(_)));
        limit
    });
}

/// The same from nothing: pattern and ordering too.
#[divan::bench(args = [24, 200])]
fn programme_prepared_anew(bencher: Bencher, cups: usize) {
    let job = job(cups, 1, false);
    let wrench = load(&job.body, &shaken(DVec3::X), DVec3::ZERO);
    let contacts = contacts(&job);
    bencher.bench_local(|| {
        LimitSolver::new(black_box(&contacts)).solve(&Wrench::zero(DVec3::ZERO), black_box(&wrench))
    });
}

fn shaken(acceleration: DVec3) -> Instant {
    Instant { acceleration, ..Instant::still(DVec3::new(0.0, 0.0, -9.80665)) }
}

/// The smallest limit factor over each sweep; (cups, motions).
#[divan::bench(args = [(24, 12)])]
fn limits_over_sweeps(bencher: Bencher, (cups, motions): (usize, usize)) {
    let job = job(cups, motions, true);
    let contacts = contacts(&job);
    bencher.bench_local(|| {
        let mut solver = LimitSolver::new(black_box(&contacts));
        let limits = job.cases.iter().map(|case| limit_over(&mut solver, &job.body, case, 0.0, &[]));
        limits.filter(|over| matches!(over.limit, Limit::Solved(_))).count()
    });
}

/// Each cup lost in turn in each motion, followed to its end, with the limit factor of what is left at its elastic worst
/// instant; (cups, motions).
#[divan::bench(args = [(24, 12)])]
fn every_cup_lost(bencher: Bencher, (cups, motions): (usize, usize)) {
    let job = job(cups, motions, true);
    let contacts = contacts(&job);
    bencher.bench_local(|| {
        let mut solver = LimitSolver::new(black_box(&contacts));
        let mut held = 0;
        for lost in 0..cups {
            for case in &job.cases {
                let loss = follow_loss(&job.body, case, &job.springs, &[lost], &mut |_| job.lips.clone());
                let Some(Ok(first)) = loss.steps.first().map(|step| &step.state) else { continue };
                let limit =
                    solver.solve_without(&[lost], &Wrench::zero(DVec3::ZERO), black_box(&first.wrench));
                held += usize::from(loss.holds && matches!(limit, Limit::Solved(_)));
            }
        }
        held
    });
}

/// Each motion with no cup lost and proved, then with each cup lost, all in their worst instants; (cups, motions).
#[divan::bench(args = [(24, 12)])]
fn every_cup_lost_in_its_worst_instant(bencher: Bencher, (cups, motions): (usize, usize)) {
    let job = job(cups, motions, true);
    let contacts = contacts(&job);
    bencher.bench_local(|| {
        let mut held = 0;
        for case in &job.cases {
            let mut solver = LimitSolver::new(black_box(&contacts));
            limit_over(&mut solver, &job.body, case, 0.0, &[]);
            for lost in 0..cups {
                let loss = follow_loss(&job.body, case, &job.springs, &[lost], &mut |_| job.lips.clone());
                let Some(Ok(first)) = loss.steps.first().map(|step| &step.state) else { continue };
                let over = limit_over(&mut solver, &job.body, case, first.worst_t, &[lost]);
                held += usize::from(loss.holds && matches!(over.limit, Limit::Solved(_)));
            }
        }
        held
    });
}

/// As above without the limit factors.
#[divan::bench(args = [(24, 12)])]
fn every_loss_followed(bencher: Bencher, (cups, motions): (usize, usize)) {
    let job = job(cups, motions, true);
    bencher.bench_local(|| {
        let followed = (0..cups).flat_map(|lost| {
            let job = &job;
            job.cases.iter().map(move |case| {
                follow_loss(&job.body, case, &job.springs, &[lost], &mut |_| job.lips.clone())
            })
        });
        followed.filter(|loss| loss.holds).count()
    });
}

/// 360 directions and the corners; cups.
#[divan::bench(args = [6, 24])]
fn envelope_curve(bencher: Bencher, cups: usize) {
    let job = job(cups, 1, false);
    let Ok(group) = CupGroup::new(&job.springs) else { return };
    let rest = shaken(DVec3::ZERO);
    bencher.bench_local(|| {
        let envelope = Envelope::new(&job.body, &rest, &group, &job.lips, black_box(1.0), 0.9);
        envelope.map(|envelope| (envelope.curve(360).len(), envelope.weakest()))
    });
}

/// Sharing alone, to compare with; (cups, motions).
#[divan::bench(args = [(24, 12)])]
fn elastic(bencher: Bencher, (cups, motions): (usize, usize)) {
    let job = job(cups, motions, true);
    bencher.bench_local(|| {
        let Ok(group) = CupGroup::new(black_box(&job.springs)) else { return 0.0 };
        let worst =
            job.cases.iter().map(|case| worst_case(&job.body, case, &group, &job.lips).factor().value);
        worst.fold(f64::INFINITY, f64::min)
    });
}
