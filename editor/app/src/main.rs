//! The `chockstone` program.

use std::process::ExitCode;

fn main() -> ExitCode {
    chockstone::cli::main()
}
