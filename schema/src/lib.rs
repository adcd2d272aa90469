//! The contract of Chockstone: everything that another tool needs to read vehicle handling profiles, and nothing else.
//!
//! Data model and units ([`model`], [`quantity`]), reading RON and JSON ([`read`]), JSON Schema ([`json_schema`]),
//! canonical bytes ([`canonical`]), and opening bundles ([`bundle`]). No window, no mechanics, no network, no clock.
//!
//! # Reading a profile
//!
//! ```
//! use chockstone_schema::{Profile, read::{Notation, read}};
//!
//! let text = r#"(
//!   format: "1.0", id: "example", language: "en",
//!   identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
//!   dimensions: (wheelbase: (value: (131, "in"))),
//!   axles: [
//!     (id: "front", position: (value: (0, "mm"))),
//!     (id: "rear", position: (value: (131, "in"))),
//!   ],
//!   mass: (), energy: (), emergency: (), transport: (),
//! )"#;
//! let profile: Profile = read("example.profile.ron", text.as_bytes(), Notation::Ron)?;
//! let wheelbase = profile.dimensions.wheelbase.ok_or("no wheelbase")?;
//! assert_eq!(wheelbase.value.to_string(), "131 in");
//! assert!((wheelbase.value.metres() - 3.3274).abs() < 1e-12);
//!
//! // What is wrong is told with its place.
//! let error = read::<Profile>("bad.profile.ron", text.replace("\"in\"", "\"lb\"").as_bytes(), Notation::Ron).unwrap_err();
//! assert!(error.to_string().starts_with("bad.profile.ron:4:"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Reading a release
//!
//! Open a bundle, verify who signed it, and read the profile in it:
//!
//! ```
//! use chockstone_schema::{bundle::{Limits, open}, date::Moment, signature::AllowedSigners};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let (file, allowed) = (
//! #     concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/fixtures/format-1.0/sorrelby-tindle-1.0.0.zip"),
//! #     include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/fixtures/format-1.0/allowed_signers")),
//! # );
//! let bundle = open(&std::fs::read(file)?, &Limits::default())?;
//! let signers = AllowedSigners::parse(allowed).map_err(|faults| format!("{faults:?}"))?;
//! let signed = bundle.signed_by(&signers, Moment::new("2026-06-01T00:00:00Z")?)?;
//! let profile = bundle.profile()?;
//! assert_eq!(profile.identity.model.to_string(), "Tindle");
//! # assert_eq!(signed[0].names, ["ana@example.org"]);
//! # let nobody = AllowedSigners::default();
//! # assert!(bundle.signed_by(&nobody, Moment::new("2026-06-01T00:00:00Z")?).is_err());
//! # Ok(())
//! # }
//! ```

pub mod bundle;
pub mod canonical;
pub mod codes;
pub mod conditions;
pub mod date;
pub mod id;
pub mod json_schema;
pub mod model;
pub mod outline;
pub mod quantity;
pub mod read;
pub mod report;
pub mod signature;
pub mod text;
pub mod vin;

pub use model::{Equipment, Policy, Profile, Sourced};

/// The cautions that stand in the window, on every sheet and in every bundle.
pub const CAUTIONS: [&str; 2] = [
    "Trained people only. The maker's own instructions and local law come first. Nothing here replaces licensed practice.",
    "Solo personal capacitado. Las instrucciones del fabricante y la ley local prevalecen. Nada aquí sustituye la práctica con licencia.",
];
