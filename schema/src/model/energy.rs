//! Stored energy: the high-voltage system, the low-voltage system and how each is shut off.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Sourced, geometry::Place};
use crate::{id::*, outline::*, quantity::*, text::*};

/// Stored energy and how it is shut off.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Energy {
    /// The high-voltage system.
    pub high_voltage: Option<HighVoltage>,
    /// The low-voltage system.
    pub low_voltage: Option<LowVoltage>,
    /// How a crew can tell that the vehicle may move under its own power.
    pub ready_indication: Option<Text>,
    /// Charging inlets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub inlets: Vec<Inlet>,
    /// Ways to shut the high-voltage system off; at least two are expected.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disconnects: Vec<Disconnect>,
    /// How long to wait, and how far to take the key.
    pub waits: Option<Waits>,
}

/// The high-voltage system.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HighVoltage {
    /// The working voltage.
    pub working_voltage: Option<Sourced<VoltageKind>>,
    /// The maximum working voltage, fully charged.
    pub maximum_voltage: Option<Sourced<VoltageKind>>,
    /// Whether the pack's circuit is direct or alternating current.
    pub current: Current,
    /// The energy that the pack stores when full.
    pub capacity: Option<Sourced<StoredEnergyKind>>,
    /// The cells' chemistry.
    pub chemistry: Option<Chemistry>,
    /// Where the packs are.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub packs: Vec<Pack>,
    /// Where cables run outside the packs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cables: Vec<Cable>,
    /// Whether the direct and alternating current circuits are joined conductively.
    pub buses: Option<Buses>,
    /// What the maker declares for after a crash.
    pub limits: Option<PostCrash>,
    /// What a crew must know of the system in words.
    pub statement: Option<Text>,
}

/// Direct or alternating current.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Current {
    /// Direct current.
    Dc,
    /// Alternating current.
    Ac,
}

/// The cells' chemistry.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Chemistry {
    /// Lithium iron phosphate.
    Lfp,
    /// Lithium nickel manganese cobalt oxide.
    Nmc,
    /// Lithium nickel cobalt aluminium oxide.
    Nca,
    /// Lithium manganese oxide.
    Lmo,
    /// Lithium titanate.
    Lto,
    /// Sodium-ion.
    SodiumIon,
    /// Nickel-metal hydride.
    NickelMetalHydride,
    /// Another; the statement tells which.
    Other,
    /// Not known.
    NotKnown,
}

/// Whether direct and alternating current circuits are joined (UN R100, 5.1.3).
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Buses {
    /// Separate: direct current alone, or insulated from one another.
    Separate,
    /// Conductively joined.
    Joined,
}

/// A battery pack.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// The pack's id.
    pub id: Id,
    /// What it is called.
    pub name: Text,
    /// Its place seen from the side.
    pub side: Option<SideOutline>,
    /// Its place seen from above.
    pub plan: Option<PlanOutline>,
    /// Its lower end above the ground.
    pub bottom: Option<Coordinate>,
    /// Its upper end above the ground.
    pub top: Option<Coordinate>,
    /// Its mass, in the list of items.
    pub item: Option<ItemRef>,
    /// The variants that have it; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// A high-voltage cable outside the packs.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cable {
    /// The cable's id.
    pub id: Id,
    /// What it joins.
    pub name: Text,
    /// Where it runs, corner by corner.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 2))]
    pub path: Vec<Place>,
    /// Whether its covering is orange; required by UN R100 only outside enclosures.
    pub orange: Option<bool>,
    /// The variants that have it; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// Limits that the maker declares for after a crash, with the regulation they belong to.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PostCrash {
    /// The regulation and its edition: limits differ between them.
    pub regulation: Option<Label>,
    /// The voltage that remains.
    pub voltage: Option<Sourced<VoltageKind>>,
    /// The energy that remains in the circuit outside the pack.
    pub energy: Option<Sourced<EnergySpreadKind>>,
    /// How long after impact.
    pub time: Option<Sourced<DurationKind>>,
}

/// The low-voltage system that wakes, unlocks and shifts the vehicle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LowVoltage {
    /// What stores its energy.
    pub kind: LowVoltageKind,
    /// Its nominal voltage.
    pub voltage: Option<Sourced<VoltageKind>>,
    /// Where the battery is.
    pub point: Option<PointRef>,
    /// Whether the maker allows a jump start of it.
    pub accepts_jump: Option<bool>,
    /// Whether the maker allows jumping another vehicle from it.
    pub may_be_donor: Option<bool>,
    /// What happens when it is flat: doors, cover, shifting, parking brake, steering lock.
    pub failure: Option<Text>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// What stores low-voltage energy.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum LowVoltageKind {
    /// A flooded lead-acid battery.
    LeadAcid,
    /// An absorbed glass mat battery.
    AbsorbedGlassMat,
    /// A lithium-ion battery, which may need its own procedure.
    LithiumIon,
    /// Capacitors.
    Capacitor,
    /// No battery: fed from the high-voltage pack.
    None,
    /// Not known.
    NotKnown,
}

/// A charging inlet.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Inlet {
    /// The inlet's id.
    pub id: Id,
    /// The inlet's standard.
    pub standard: InletStandard,
    /// Where it is.
    pub point: Option<PointRef>,
    /// Phases of alternating current: one or three.
    #[schemars(range(min = 1, max = 3))]
    pub phases: Option<u8>,
    /// The charging modes (IEC 61851-1).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub modes: Vec<ChargeMode>,
    /// Whether a charger on board takes alternating current here.
    pub onboard_ac: Option<bool>,
    /// The most power that it takes.
    pub max_power: Option<Sourced<PowerKind>>,
    /// How the cord is locked in, and how it is freed.
    pub lock: Option<Text>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// The standard of a charging inlet.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum InletStandard {
    /// SAE J1772 (IEC 62196-2 type 1).
    SaeJ1772,
    /// Combined inlet on SAE J1772 with two direct current pins.
    Ccs1,
    /// IEC 62196-2 type 2.
    Type2,
    /// Combined inlet on type 2 with two direct current pins.
    Ccs2,
    /// SAE J3400.
    SaeJ3400,
    /// IEC 62196-3 configuration AA.
    Chademo,
    /// IEC 62196-3 configuration BB.
    GbT,
    /// Another; the lock text tells which.
    Other,
}

/// A charging mode of IEC 61851-1.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ChargeMode {
    /// A household socket without control in the cable.
    Mode1,
    /// A household socket with protection in the cable.
    Mode2,
    /// Dedicated alternating current supply equipment.
    Mode3,
    /// Direct current from a charger outside the vehicle.
    Mode4,
}

/// One way to shut the high-voltage system off.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Disconnect {
    /// The way's id.
    pub id: Id,
    /// What is done.
    pub method: DisconnectMethod,
    /// Where.
    pub point: Option<PointRef>,
    /// The steps.
    pub procedure: Option<ProcedureRef>,
    /// What it does and what stays live.
    pub explanation: Text,
    /// How long until the circuit outside the pack is down.
    pub wait: Option<Sourced<DurationKind>>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// How the high-voltage system is shut off.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum DisconnectMethod {
    /// Switch the vehicle off and take the key away.
    SwitchOff,
    /// Open or pull the service disconnect.
    ServiceDisconnect,
    /// Cut the marked low-voltage loop.
    CutLoop,
    /// Open the low-voltage loop at its connector.
    OpenLoop,
    /// Disconnect the low-voltage battery.
    LowVoltageDisconnect,
    /// Pull a marked fuse or relay.
    PullFuse,
}

/// How long to wait, and how far to take the key.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Waits {
    /// How long restraints and airbags can stay live after low voltage is off.
    pub restraints: Option<Sourced<DurationKind>>,
    /// How long the circuit outside the pack can stay live after shut-off.
    pub discharge: Option<Sourced<DurationKind>>,
    /// How far from the vehicle the key is taken.
    pub key_distance: Option<Sourced<WayKind>>,
}
