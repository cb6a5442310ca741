//! The built program, and runs of it.

use std::{
    path::{Path, PathBuf},
    process::{Command, Output},
    sync::OnceLock,
};

/// The binary, built once by cargo for this test, or the one that `CUPWRIGHT_PROGRAM` names.
pub fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        if let Some(named) = std::env::var_os("CUPWRIGHT_PROGRAM") {
            return named.into();
        }
        let mut build = Command::new(env!("CARGO"));
        build.args([
            "build",
            "--package",
            "app",
            "--bin",
            "cupwright",
            "--message-format=json-render-diagnostics",
        ]);
        let output = build.current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let text = String::from_utf8(output.stdout).unwrap();
        let line = text.lines().rev().find(|l| l.contains("\"executable\":\"")).unwrap();
        let message: serde_json::Value = serde_json::from_str(line).unwrap();
        PathBuf::from(message["executable"].as_str().unwrap())
    })
}

/// A run among the demos, without a display.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(program());
    command
        .args(arguments)
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-projects"))
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
