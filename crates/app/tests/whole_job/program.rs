//! The built program, and runs of it.

use std::{
    path::{Path, PathBuf},
    process::{Command, Output},
    sync::OnceLock,
};

/// The binary that cargo built for this test, or the one that `CUPWRIGHT_PROGRAM` names.
pub fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        std::env::var_os("CUPWRIGHT_PROGRAM")
            .map_or_else(|| env!("CARGO_BIN_EXE_cupwright").into(), PathBuf::from)
    })
}

/// A run among the demos, without a display.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(program());
    command
        .args(arguments)
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects"))
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET");
    command
}

pub fn run(arguments: &[&str]) -> Output {
    command(arguments).output().unwrap()
}

pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}
