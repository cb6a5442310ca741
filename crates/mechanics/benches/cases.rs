//! One layout through all its motions, each in its worst direction.

mod job;

use divan::{Bencher, black_box};
use job::job;
use mechanics::{CupGroup, worst_case};

fn main() {
    divan::main();
}

fn run(bencher: Bencher, cups: usize, motions: usize, swept: bool) {
    let job = job(cups, motions, swept);
    bencher.bench_local(|| {
        let Ok(group) = CupGroup::new(black_box(&job.springs)) else { return 0.0 };
        job.cases
            .iter()
            .map(|case| worst_case(&job.body, case, &group, &job.lips).factor().value)
            .fold(f64::INFINITY, f64::min)
    });
}

/// Every motion in its worst direction; (cups, motions).
#[divan::bench(args = [(6, 12), (24, 12), (100, 24), (400, 24)])]
fn swept(bencher: Bencher, (cups, motions): (usize, usize)) {
    run(bencher, cups, motions, true);
}

/// Every motion as stated.
#[divan::bench(args = [(24, 12), (400, 24)])]
fn as_stated(bencher: Bencher, (cups, motions): (usize, usize)) {
    run(bencher, cups, motions, false);
}
