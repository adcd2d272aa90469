//! The contract: data model, units, JSON Schema, reading, canonical bytes and bundles.
