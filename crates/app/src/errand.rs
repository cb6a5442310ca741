//! Work that would hold up a frame, on a thread of its own.

use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    thread::JoinHandle,
    time::{Duration, Instant},
};
use thread_priority::{ThreadPriority, ThreadPriorityValue};

/// Of the window's 100 to 0: where there are fewer cores than threads, a frame is drawn before the work goes on, and the work has what
/// the frames leave.
const LESS_THAN_THE_WINDOW: u8 = 25;

/// Lets the window go before this thread and those that it starts.
fn give_way() {
    let less = ThreadPriorityValue::try_from(LESS_THAN_THE_WINDOW).map(ThreadPriority::Crossplatform);
    if let Ok(less) = less
        && let Err(why) = thread_priority::set_current_thread_priority(less)
    {
        log::info!("work beside the window keeps its priority: {why:?}");
    }
}

/// One piece of work under way. Dropping it asks the work to stop and does not wait.
pub struct Errand<T> {
    thread: Option<JoinHandle<Option<T>>>,
    cancel: Arc<AtomicBool>,
    since: Instant,
}

impl<T: Send + 'static> Errand<T> {
    /// Starts it; `work` looks at the flag now and then and gives `None` once it is up. The window is drawn again when
    /// the work is done.
    pub fn start(
        ctx: Option<egui::Context>,
        work: impl FnOnce(&AtomicBool) -> Option<T> + Send + 'static,
    ) -> Self {
        let cancel = Arc::new(AtomicBool::new(false));
        let flag = cancel.clone();
        let thread = std::thread::Builder::new().name("errand".to_owned()).spawn(move || {
            give_way();
            let found = work(&flag);
            if let Some(ctx) = ctx {
                ctx.request_repaint();
            }
            found
        });
        if let Err(error) = &thread {
            log::error!("no thread could be started: {error}");
        }
        Self { thread: thread.ok(), cancel, since: Instant::now() }
    }

    /// What was found, once the work is over; `Some(None)` when it was stopped or failed.
    pub fn poll(&mut self) -> Option<Option<T>> {
        self.is_over().then(|| self.wait())
    }

    /// Whether the work is over, without taking what it found.
    pub fn is_over(&self) -> bool {
        self.thread.as_ref().is_none_or(JoinHandle::is_finished)
    }

    /// Waits for the end.
    pub fn wait(&mut self) -> Option<T> {
        // A panic on the thread is in the log already; the figures stay away and say so.
        self.thread.take()?.join().ok().flatten()
    }

    /// How long it has been under way.
    pub fn elapsed(&self) -> Duration {
        self.since.elapsed()
    }
}

impl<T> Drop for Errand<T> {
    fn drop(&mut self) {
        self.cancel.store(true, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brings_back_what_it_found() {
        let mut errand = Errand::start(None, |_| Some(7));
        assert_eq!(errand.wait(), Some(7));
        assert_eq!(errand.poll(), Some(None));
    }

    #[test]
    fn stops_when_it_is_dropped() {
        let (tell, told) = std::sync::mpsc::channel();
        let errand: Errand<u8> = Errand::start(None, move |cancel| {
            while !cancel.load(Ordering::Relaxed) {
                std::thread::sleep(Duration::from_millis(1));
            }
            tell.send(()).ok();
            None
        });
        assert!(!errand.is_over());
        drop(errand);
        told.recv().unwrap();
    }
}
