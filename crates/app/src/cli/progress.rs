//! How long something has been under way, on a terminal only: a line on standard error that goes when the work is over.

use std::{
    io::{self, IsTerminal, Write},
    sync::mpsc::{self, RecvTimeoutError},
    time::{Duration, Instant},
};
use telling::plain;

/// What is done sooner says nothing.
const PATIENCE: Duration = Duration::from_secs(1);
/// What a terminal has at least; a longer line would wrap and stay.
const WIDEST: usize = 78;

/// Does the work and tells meanwhile what is done and for how long, where standard error is a terminal. `stage` is asked
/// for more, such as how far it is; empty where there is nothing to add.
pub(super) fn told<T>(doing: &str, stage: impl Fn() -> String + Send, work: impl FnOnce() -> T) -> T {
    if io::stderr().is_terminal() { telling(doing, stage, work, io::stderr()) } else { work() }
}

fn telling<T>(
    doing: &str,
    stage: impl Fn() -> String + Send,
    work: impl FnOnce() -> T,
    mut to: impl Write + Send,
) -> T {
    let since = Instant::now();
    std::thread::scope(|scope| {
        // Dropped when the work is over, by a panic too.
        let (_over, under_way) = mpsc::channel::<()>();
        scope.spawn(move || {
            let mut shown = false;
            while under_way.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                let stage = stage();
                let gap = if stage.is_empty() { "" } else { ": " };
                let text = format!("{doing}, {} s{gap}{stage}", since.elapsed().as_secs());
                let line: String = plain(&text).chars().take(WIDEST).collect();
                // Nobody to tell is no reason to stop.
                let _ = write!(to, "\r{line}\x1b[K").and_then(|()| to.flush());
                shown = true;
            }
            if shown {
                let _ = write!(to, "\r\x1b[K").and_then(|()| to.flush());
            }
        });
        work()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_takes_long_is_told_and_goes_again() {
        let mut told = Vec::new();
        let stage = || "half\x1b[31m way".to_owned();
        let work = || {
            std::thread::sleep(PATIENCE * 2);
            7
        };
        assert_eq!(telling("checking a.ron", stage, work, &mut told), 7);
        let told = String::from_utf8(told).unwrap();
        assert!(told.starts_with("\rchecking a.ron, 1 s: half[31m way\x1b[K"), "{told:?}");
        assert!(told.ends_with("\r\x1b[K"), "{told:?}");
    }

    #[test]
    fn what_is_done_at_once_says_nothing() {
        let mut told = Vec::new();
        assert_eq!(telling("checking a.ron", String::new, || 7, &mut told), 7);
        assert!(told.is_empty());
    }
}
