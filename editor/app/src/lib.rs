//! The Chockstone window and command line.
