//! Wheel lift and dollies: what the truck, the lift and the dollies carry.
