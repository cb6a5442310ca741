//! A file being read beside the window, which goes on being drawn; put away, the reading stops.

use exchange::{Progress, Watch};
use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{Arc, Condvar, Mutex, PoisonError},
    time::{Duration, Instant},
};

/// A file that is read within this is there at once, without a dialog in between.
const A_MOMENT: Duration = Duration::from_millis(150);

/// A reading under way. The last copy that goes asks it to stop.
pub struct Reading<T>(Arc<Task<T>>);

struct Task<T> {
    slot: Arc<Slot<T>>,
    since: Instant,
}

struct Slot<T> {
    state: Mutex<State<T>>,
    over: Condvar,
    watch: Watch,
}

enum State<T> {
    Working,
    Found(T),
    /// It failed in a way nobody foresaw, or was taken already.
    Nothing,
}

impl<T> Clone for Reading<T> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl<T> std::fmt::Debug for Reading<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Reading").field("since", &self.0.since).finish()
    }
}

impl<T> Drop for Task<T> {
    fn drop(&mut self) {
        self.slot.watch.stop();
    }
}

impl<T: Send + 'static> Reading<T> {
    /// Starts it on a thread of its own.
    pub fn start(work: impl FnOnce(&Watch) -> T + Send + 'static) -> Self {
        let slot = Arc::new(Slot {
            state: Mutex::new(State::Working),
            over: Condvar::new(),
            watch: Watch::default(),
        });
        let shared = slot.clone();
        let put = |slot: &Slot<T>, state: State<T>| {
            *slot.state.lock().unwrap_or_else(PoisonError::into_inner) = state;
            slot.over.notify_all();
        };
        let thread = std::thread::Builder::new().name("reading".to_owned()).spawn(move || {
            let found = catch_unwind(AssertUnwindSafe(|| work(&shared.watch)));
            put(&shared, found.map_or(State::Nothing, State::Found));
        });
        if let Err(error) = thread {
            log::error!("no thread could be started: {error}");
            put(&slot, State::Nothing);
        }
        Self(Arc::new(Task { slot, since: Instant::now() }))
    }

    /// What was read, once it is there; `Some(None)` when it failed in a way nobody foresaw.
    pub fn take(&self) -> Option<Option<T>> {
        let mut state = self.0.slot.state.lock().unwrap_or_else(PoisonError::into_inner);
        match &*state {
            State::Working => None,
            _ => match std::mem::replace(&mut *state, State::Nothing) {
                State::Found(found) => Some(Some(found)),
                _ => Some(None),
            },
        }
    }

    /// As [`Self::take`], after a moment at most: what is small is then there without a flicker.
    pub fn take_in_a_moment(&self) -> Option<Option<T>> {
        let state = self.0.slot.state.lock().unwrap_or_else(PoisonError::into_inner);
        let working = |state: &mut State<T>| matches!(state, State::Working);
        drop(self.0.slot.over.wait_timeout_while(state, A_MOMENT, working));
        self.take()
    }

    /// Whether it is over, without taking what was found.
    pub fn is_over(&self) -> bool {
        let state = self.0.slot.state.lock().unwrap_or_else(PoisonError::into_inner);
        !matches!(*state, State::Working)
    }

    /// How long it has been under way.
    pub fn elapsed(&self) -> Duration {
        self.0.since.elapsed()
    }

    /// What it does now.
    pub fn progress(&self) -> Progress {
        self.0.slot.watch.progress()
    }
}

/// Draws what is being done, for how long, and how far it is.
pub fn reading_ui<T: Send + 'static>(ui: &mut egui::Ui, reading: &Reading<T>, doing: &str) {
    let Progress { stage, share } = reading.progress();
    let percent =
        share.map_or(String::new(), |share| format!(", {} %", units::figure(100.0 * f64::from(share), 0)));
    let stage = if stage.is_empty() { String::new() } else { format!(": {stage}{percent}") };
    ui.horizontal(|ui| {
        ui.spinner();
        let seconds = reading.elapsed().as_secs();
        ui.label(format!("{doing}, {seconds} s{stage}. You can cancel; nothing is changed."));
    });
    ui.ctx().request_repaint_after(Duration::from_millis(100));
}

#[cfg(test)]
mod tests {
    use super::*;
    use exchange::{ImportError, ImportOptions, read_drawing_bytes_watched};

    /// Read again and again, so that only being stopped ends it.
    #[test]
    fn put_away_it_stops() {
        let (said, says) = std::sync::mpsc::channel();
        let reading = Reading::start(move |watch| {
            let svg = b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><rect width='9' height='9'/></svg>";
            loop {
                match read_drawing_bytes_watched("a.svg", svg, &ImportOptions::default(), watch) {
                    Ok(_) => {}
                    Err(ImportError::Stopped { .. }) => break,
                    Err(other) => panic!("{other}"),
                }
            }
            said.send(()).expect("somebody listens");
        });
        assert!(reading.take().is_none(), "nobody has put it away");
        let copy = reading.clone();
        drop(reading);
        assert!(copy.take().is_none(), "a copy is left");
        drop(copy);
        says.recv_timeout(Duration::from_secs(60)).expect("it stops");
    }

    #[test]
    fn a_panic_ends_it_too() {
        let reading: Reading<u8> = Reading::start(|_| panic!("on purpose"));
        let end = Instant::now() + Duration::from_secs(60);
        while Instant::now() < end {
            match reading.take_in_a_moment() {
                Some(found) => return assert_eq!(found, None),
                None => continue,
            }
        }
        panic!("still reading");
    }
}
