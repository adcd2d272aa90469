//! Checks against published examples; see the rows below.
