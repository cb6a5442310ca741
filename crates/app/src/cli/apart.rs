//! A fault of the program in one piece of work is told as that piece's, and the others go on.

use std::{
    any::Any,
    cell::{Cell, RefCell},
    panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind, set_hook},
};

thread_local! {
    /// Whether what fails here is told by whoever asked for the work.
    static APART: Cell<bool> = const { Cell::new(false) };
    /// Where the last fault was.
    static PLACE: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// From now on a fault is one sentence, without the folders of the machine that the program was built on.
pub(super) fn say_faults_plainly() {
    set_hook(Box::new(|info: &PanicHookInfo<'_>| {
        let place = info.location().map(|at| format!("{}:{}", short(at.file()), at.line()));
        if APART.get() {
            PLACE.set(place);
        } else {
            super::printer::tell(&sentence(info.payload(), place));
        }
    }));
}

/// Does the work; a fault of the program in it is a sentence.
pub(super) fn apart<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let before = APART.replace(true);
    let done = catch_unwind(AssertUnwindSafe(work));
    APART.set(before);
    done.map_err(|fault| sentence(&*fault, PLACE.take()))
}

fn sentence(fault: &(dyn Any + Send), place: Option<String>) -> String {
    let says = fault
        .downcast_ref::<&str>()
        .map(|text| (*text).to_owned())
        .or_else(|| fault.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no reason given".to_owned());
    let place = place.map(|place| format!(" at {place}")).unwrap_or_default();
    format!("internal error{place} ({says}); the fault is in the program, not in your file: please report it")
}

/// The end of a path to source text: crate and file, not where they lay.
fn short(file: &str) -> String {
    let parts: Vec<&str> = file.split(['/', '\\']).collect();
    let from = parts
        .iter()
        .rposition(|part| *part == "src")
        .map_or(parts.len().saturating_sub(1), |at| at.saturating_sub(1));
    parts[from..].join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[allow(clippy::panic, reason = "what is tried here")]
    fn a_fault_is_told_and_the_next_piece_of_work_is_done() {
        let done: Vec<Result<usize, String>> =
            (0..3).map(|i| apart(|| if i == 1 { panic!("index {i} is odd") } else { i })).collect();
        assert_eq!((&done[0], &done[2]), (&Ok(0), &Ok(2)));
        assert!(
            done[1].as_ref().is_err_and(|says| says.contains("index 1 is odd") && says.contains("report"))
        );
    }

    #[test]
    fn no_folder_of_the_machine_is_named() {
        assert_eq!(
            short("/root/.cargo/registry/src/index-1/winit-0.30.13/src/platform/x11/mod.rs"),
            "winit-0.30.13/src/platform/x11/mod.rs"
        );
        assert_eq!(short("crates/mechanics/src/group.rs"), "mechanics/src/group.rs");
        assert_eq!(short("build.rs"), "build.rs");
    }
}
