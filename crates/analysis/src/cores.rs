//! Work divided over the cores, with the very result of one after the other.

use std::{
    sync::{
        OnceLock,
        atomic::{AtomicUsize, Ordering},
    },
    thread,
};

/// Pieces of work of a few µs each that make a thread worth its start.
const WORTH_A_THREAD: usize = 100;

/// Of the machine. Asking takes as long as some of the work.
fn cores() -> usize {
    static CORES: OnceLock<usize> = OnceLock::new();
    *CORES.get_or_init(|| thread::available_parallelism().map_or(1, usize::from))
}

/// What `work` gives for each item, in their order; each is so many small pieces of work.
pub(crate) fn each<T: Sync, R: Send>(items: &[T], pieces: usize, work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let worth = items.len().saturating_mul(pieces) / WORTH_A_THREAD;
    divided(items, cores().min(items.len()).min(worth), &work)
}

/// As [`each`] by so many threads, this one among them.
fn divided<T: Sync, R: Send>(items: &[T], threads: usize, work: &(impl Fn(&T) -> R + Sync)) -> Vec<R> {
    if threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let take = || {
        let at = || Some(next.fetch_add(1, Ordering::Relaxed)).filter(|at| *at < items.len());
        std::iter::from_fn(|| at().map(|at| (at, work(&items[at])))).collect::<Vec<(usize, R)>>()
    };
    let mut done = thread::scope(|scope| {
        // Where no thread can be started, this one does it all.
        let start = |_| thread::Builder::new().spawn_scoped(scope, take).ok();
        let others: Vec<_> = (1..threads).filter_map(start).collect();
        let mut done = take();
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        done
    });
    done.sort_unstable_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_is_that_of_the_items_whoever_did_them() {
        let items: Vec<u64> = (0..97).collect();
        let alone: Vec<u64> = items.iter().map(|i| i * i).collect();
        for threads in [0, 1, 2, 3, 8] {
            assert_eq!(divided(&items, threads, &|i: &u64| i * i), alone, "{threads}");
        }
        assert!(divided(&[], 4, &|i: &u64| *i).is_empty());
    }

    #[test]
    fn every_thread_takes_its_share() {
        // Both must be at work at once, or neither gets past the gate.
        let gate = std::sync::Barrier::new(2);
        divided(&[(), ()], 2, &|()| gate.wait().is_leader());
    }

    #[test]
    #[should_panic(expected = "the third")]
    fn a_panic_of_one_is_that_of_all() {
        divided(&[1, 2, 3, 4], 2, &|i: &i32| assert!(*i != 3, "the third"));
    }
}
