//! How long a person waits for a proposal, for all of them, and for a search to stop.
//!
//! A sheet with holes, one cup model, every motion held with one cup lost. Run with `cargo bench -p telling --bench proposals`.

#[path = "../tests/all/common/mod.rs"]
mod common;

use analysis::{Analyst, ProposalJob, ProposalWatch};
use divan::Bencher;
use document::{HowMany, Question};
use std::sync::{Arc, mpsc};
use std::thread::JoinHandle;
use std::time::Duration;

fn main() {
    divan::main();
}

/// cups, motions.
const SIZES: [(usize, usize); 2] = [(6, 5), (24, 12)];

fn job((cups, motions): (usize, usize)) -> ProposalJob {
    let mut project = common::large(cups, 1_000, motions);
    let layout = common::layout(&project);
    let model = project.models[0].id.clone();
    common::edit_layout(&mut project, |layout| layout.cups.clear());
    let question = Question {
        models: vec![model],
        count: HowMany::Exactly(cups),
        one_lost: true,
        ..Question::clone(&project.question)
    };
    Analyst::new().proposal_job(&project, layout, question)
}

/// A search on a thread of its own that tells of its first card; it is stopped and waited for when dropped.
struct Search {
    watch: Arc<ProposalWatch>,
    first: mpsc::Receiver<()>,
    thread: Option<JoinHandle<()>>,
}

impl Search {
    fn of(job: ProposalJob) -> Self {
        let watch = Arc::new(ProposalWatch::default());
        let (tell, first) = mpsc::channel();
        let of_thread = Arc::clone(&watch);
        let thread = std::thread::spawn(move || {
            // A search that is stopped early may have found nothing.
            let _ = job.run(&of_thread, &mut |_| {
                let _ = tell.send(());
            });
        });
        Self { watch, first, thread: Some(thread) }
    }
}

impl Drop for Search {
    fn drop(&mut self) {
        self.watch.stop();
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// Until the first card.
#[divan::bench(args = SIZES, sample_count = 5)]
fn first_card(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    bencher.with_inputs(|| job(size)).bench_local_values(|job| {
        let search = Search::of(job);
        let _ = search.first.recv();
        search
    });
}

/// Until every card is there, with what is proved; on one core.
#[divan::bench(args = SIZES, sample_count = 3)]
fn all_cards(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    let job = job(size);
    bencher.bench_local(|| job.run(&ProposalWatch::on_one_core(), &mut |_| {}).is_ok());
}

/// The same on as many cores as there are.
#[divan::bench(args = SIZES, sample_count = 3)]
fn all_cards_on_two_cores(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    let job = job(size);
    bencher.bench_local(|| job.run(&ProposalWatch::default(), &mut |_| {}).is_ok());
}

/// From the word to stop until the search has ended, at some times after its start.
#[divan::bench(args = SIZES, sample_count = 8, sample_size = 1)]
fn stopping(bencher: Bencher<'_, '_>, size: (usize, usize)) {
    let mut wait = 20;
    let start = || {
        let search = Search::of(job(size));
        wait = (wait * 7) % 1_009;
        std::thread::sleep(Duration::from_millis(wait));
        search
    };
    bencher.with_inputs(start).bench_local_values(drop);
}
