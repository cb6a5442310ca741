//! The one binary: a window, or a command that prints and leaves.

use std::process::ExitCode;

fn main() -> ExitCode {
    env_logger::Builder::from_env(env_logger::Env::default().default_filter_or("warn")).init();
    app::cli::main()
}
