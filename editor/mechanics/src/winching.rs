//! The pull that brings a vehicle up a deck or holds it back, and what line, block and bridle carry.
