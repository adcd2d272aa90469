//! What is wrong, risky or missing in a profile.
