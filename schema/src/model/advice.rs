//! Hazard messages, emergency advice and the transport rules that the author states.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Sourced;
use crate::{codes::*, id::*, quantity::*, text::*};

/// A hazard message: what, what happens, and how to avoid it (ANSI Z535.4 and Z535.6).
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// The message's id.
    pub id: Id,
    /// The signal word, by its ANSI Z535.4 meaning.
    pub signal: SignalWord,
    /// Whether the safety alert symbol is shown; never with a notice.
    pub alert_symbol: Option<bool>,
    /// The worst that can happen.
    pub harm: Harm,
    /// What the hazard is.
    pub hazard: Text,
    /// What happens if it is not avoided.
    pub consequence: Option<Text>,
    /// How to avoid it.
    pub avoidance: Option<Text>,
    /// What it applies to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub topics: Vec<Topic>,
    /// The ISO 7010 sign, if any.
    pub sign: Option<SignCode>,
    /// Where it comes from.
    pub source: Option<SourceRef>,
}

/// A signal word by its ANSI Z535.4 meaning.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SignalWord {
    /// Will result in death or serious injury if not avoided.
    Danger,
    /// Could result in death or serious injury if not avoided.
    Warning,
    /// Could result in minor or moderate injury if not avoided.
    Caution,
    /// Not related to personal injury.
    Notice,
}

/// The worst that can happen.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Harm {
    /// Death or serious injury.
    DeathOrSeriousInjury,
    /// Minor or moderate injury.
    MinorOrModerateInjury,
    /// Damage to property alone.
    Property,
}

/// What a hazard message applies to.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Topic {
    /// All work on the vehicle.
    Everywhere,
    /// Getting in.
    Access,
    /// The low-voltage system and jump starts.
    LowVoltage,
    /// The high-voltage system.
    HighVoltage,
    /// Charging and charging cords.
    Charging,
    /// Lifting and jacking.
    Lifting,
    /// Winching.
    Winching,
    /// Loading and securing.
    Loading,
    /// Towing.
    Towing,
    /// Smoke, heat or fire.
    Fire,
    /// Vehicle in or from water.
    Submersion,
    /// Storage.
    Storage,
}

/// What to do in fire, in water and in storage.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Emergency {
    /// Smoke, heat or fire.
    pub fire: Option<FireAdvice>,
    /// Vehicle in or from water.
    pub submersion: Option<SubmersionAdvice>,
    /// Storing a damaged vehicle.
    pub storage: Option<StorageAdvice>,
}

/// One piece of advice.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Advice {
    /// The advice's id.
    pub id: Id,
    /// What to do, or not to do.
    pub text: Text,
    /// Hazard messages that belong to it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<HazardRef>,
    /// Where it comes from.
    pub source: Option<SourceRef>,
}

/// Smoke, heat or fire of the battery.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FireAdvice {
    /// What to do, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub advice: Vec<Advice>,
    /// ISO 7010 signs shown in this section.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<SignCode>,
    /// How far people keep away.
    pub distance: Option<Sourced<WayKind>>,
    /// The earliest that a fire can come back.
    pub reignition_from: Option<Sourced<DurationKind>>,
    /// The latest that a fire can come back.
    pub reignition_to: Option<Sourced<DurationKind>>,
}

/// A vehicle in or from water.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SubmersionAdvice {
    /// The water that the advice is for.
    pub water: Water,
    /// What to do, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub advice: Vec<Advice>,
    /// How far from buildings, vehicles and fuel it is kept.
    pub distance: Option<Sourced<WayKind>>,
    /// The earliest that a fire can start afterwards.
    pub reignition_from: Option<Sourced<DurationKind>>,
    /// The latest that a fire can start afterwards.
    pub reignition_to: Option<Sourced<DurationKind>>,
}

/// Fresh or salt water.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Water {
    /// Fresh water.
    Fresh,
    /// Salt water, which starts fires later.
    Salt,
    /// Fresh or salt water.
    Both,
}

/// Storing a damaged vehicle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StorageAdvice {
    /// Where it is stored.
    pub place: StoragePlace,
    /// How far from buildings, vehicles and fuel it is kept.
    pub distance: Option<Sourced<WayKind>>,
    /// What to do, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub advice: Vec<Advice>,
    /// The state of charge to store it at.
    pub charge: Option<Sourced<ShareKind>>,
}

/// Where a damaged vehicle is stored.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum StoragePlace {
    /// In the open, nothing overhead.
    OpenAir,
    /// In the open behind a barrier on three sides.
    Barrier,
    /// Inside a building.
    InsideBuilding,
    /// Not stated.
    NotStated,
}

/// What the author states about moving the vehicle. Kept apart from what the program computes.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Transport {
    /// Methods that a source allows or forbids.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<TransportRule>,
    /// How the author states that it is secured.
    pub securing: Option<Securing>,
    /// What the author says of hazardous-goods rules for a damaged battery.
    pub hazmat_note: Option<Text>,
    /// Anything else for whoever moves it.
    pub note: Option<Text>,
}

/// A method of moving the vehicle that a source allows or forbids.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TransportRule {
    /// The rule's id.
    pub id: Id,
    /// The method.
    pub method: TransportMethod,
    /// Whether it is allowed.
    pub permission: Permission,
    /// The highest speed.
    pub max_speed: Option<Sourced<SpeedKind>>,
    /// The longest distance.
    pub max_distance: Option<Sourced<WayKind>>,
    /// Why.
    pub reason: Text,
    /// The variants that it holds for; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// Where it comes from.
    pub source: Option<SourceRef>,
}

/// A method of moving a vehicle.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum TransportMethod {
    /// On a carrier's deck, all wheels off the ground.
    Carrier,
    /// Front wheels on a wheel lift, rear wheels on the ground.
    FrontLift,
    /// Front wheels on a wheel lift, rear wheels on dollies.
    FrontLiftDollies,
    /// Rear wheels on a wheel lift, front wheels on the ground.
    RearLift,
    /// Rear wheels on a wheel lift, front wheels on dollies.
    RearLiftDollies,
    /// All wheels on the ground, on a bar or rope.
    AllWheelsGround,
    /// Winched with its wheels turning at walking pace.
    WinchRolling,
    /// Winched on skates, no wheel turning.
    WinchSkates,
    /// Pushed by hand or by a vehicle.
    Push,
}

/// Whether a method is allowed.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Permission {
    /// Allowed.
    Allowed,
    /// Allowed within the limits stated.
    Limited,
    /// Not allowed.
    Forbidden,
}

/// How the author states that the vehicle is secured on a carrier.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Securing {
    /// The rules that the figures follow.
    pub rule_set: SecuringRules,
    /// Tie-downs at the front.
    #[schemars(range(min = 0, max = 12))]
    pub front_tiedowns: u8,
    /// Tie-downs at the rear.
    #[schemars(range(min = 0, max = 12))]
    pub rear_tiedowns: u8,
    /// The working load limit of each.
    pub working_load_limit: Option<Sourced<LoadKind>>,
    /// The points that they are fixed to; none named means the wheels.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<PointRef>,
    /// How it is done.
    pub instructions: Option<Text>,
    /// Where it comes from.
    pub source: Option<SourceRef>,
}

/// A published set of rules for securing.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SecuringRules {
    /// 49 CFR 393.128: cars, light trucks and vans up to 10,000 lb.
    UsLightVehicle,
    /// 49 CFR 393.130: heavy vehicles above 10,000 lb.
    UsHeavyVehicle,
    /// EN 12195-1.
    En12195,
    /// Another; the instructions tell which.
    Other,
}
