//! Axle loads of a carrier with vehicles on its deck, and where on the deck they may stand.
