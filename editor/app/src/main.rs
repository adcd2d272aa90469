//! The `chockstone` program.

fn main() {}
