//! What vehicle a profile is about, and its variants.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Sourced, axle::*};
use crate::{codes::*, id::*, outline::*, quantity::*, text::*};

/// Which vehicle the profile is about.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Identity {
    /// Who makes the vehicle, as on the vehicle.
    pub maker: Label,
    /// The model's name, as on the vehicle.
    pub model: Label,
    /// The form of the body.
    pub body_style: BodyStyle,
    /// The model years that the profile covers.
    pub model_years: Option<ModelYears>,
    /// The countries whose version of the vehicle is described, by ISO 3166-1 alpha-2 code.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub markets: Vec<Market>,
    /// The energy that propels the vehicle.
    pub propulsion: Propulsion,
    /// Vehicle identification numbers that the profile covers, with wildcards.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub vin_patterns: Vec<VinPattern>,
    /// How to recognise the vehicle and that it is electric: badges, lettering, inlet. Silence does not mean off.
    pub recognition: Option<Text>,
    /// Anything else that a reader must know to be sure of the vehicle.
    pub note: Option<Text>,
}

/// A span of model years, both ends included.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ModelYears {
    /// The first model year.
    #[schemars(range(min = 1980, max = 2100))]
    pub first: u16,
    /// The last model year; equal to the first for a single year.
    #[schemars(range(min = 1980, max = 2100))]
    pub last: u16,
}

/// A pattern of 17 characters for vehicle identification numbers (49 CFR 565, ISO 3779).
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VinPattern {
    /// Seventeen characters; an asterisk stands for any character. The letters I, O and Q are never used.
    pub pattern: VinMask,
    /// What the fixed positions say.
    pub note: Option<Text>,
}

/// The form of the body.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum BodyStyle {
    /// A pickup truck with an open bed.
    Pickup,
    /// A delivery or passenger van.
    Van,
    /// A car with a tailgate.
    Hatch,
    /// A car with a separate boot.
    Sedan,
    /// A sport utility vehicle.
    Suv,
    /// A bus or minibus.
    Bus,
    /// A truck with a box body.
    BoxTruck,
    /// A cab with a bare chassis.
    ChassisCab,
    /// Another form; the note tells which.
    Other,
}

/// The energy that propels the vehicle; the list of energies is from memory of ISO 17840-4, without its colours.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Propulsion {
    /// Battery electric.
    Electric,
    /// Electric with petrol.
    ElectricPetrol,
    /// Electric with diesel.
    ElectricDiesel,
    /// Hydrogen fuel cell with a traction battery.
    HydrogenElectric,
    /// Petrol alone.
    Petrol,
    /// Diesel alone.
    Diesel,
    /// Compressed natural gas.
    CompressedGas,
    /// Liquefied natural gas.
    LiquefiedGas,
    /// Liquefied petroleum gas.
    PetroleumGas,
    /// Another energy; the recognition text tells which.
    Other,
}

/// Which axles are driven.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum DriveLayout {
    /// The front axle alone.
    Front,
    /// The rear axle alone.
    Rear,
    /// All axles.
    All,
}

/// A version of the vehicle within the profile, and what differs in it. What it does not state is as in the
/// profile.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    /// The variant's id.
    pub id: Id,
    /// What the variant is called.
    pub name: Text,
    /// The battery, as the maker names it.
    pub battery: Option<Label>,
    /// The cab, as the maker names it.
    pub cab: Option<Label>,
    /// The bed, box or body length, as the maker names it.
    pub bed: Option<Label>,
    /// Which axles are driven.
    pub drive_layout: Option<DriveLayout>,
    /// Vehicle identification numbers of this variant.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub vin_patterns: Vec<VinPattern>,
    /// The declared curb mass of this variant.
    pub curb_mass: Option<Sourced<MassKind>>,
    /// The gross vehicle weight rating of this variant.
    pub gvwr: Option<Sourced<MassKind>>,
    /// The wheelbase, where it differs.
    pub wheelbase: Option<Sourced<SizeKind>>,
    /// The overall length, where it differs.
    pub length: Option<Sourced<SizeKind>>,
    /// The front overhang, where it differs.
    pub front_overhang: Option<Sourced<DistanceKind>>,
    /// The rear overhang, where it differs.
    pub rear_overhang: Option<Sourced<DistanceKind>>,
    /// The overall height, where it differs.
    pub height: Option<Sourced<SizeKind>>,
    /// The ground clearance, where it differs.
    pub ground_clearance: Option<Sourced<DistanceKind>>,
    /// The side outline, where it differs.
    pub side_outline: Option<SideOutline>,
    /// The plan outline, where it differs.
    pub plan_outline: Option<PlanOutline>,
    /// What differs at each axle.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub axles: Vec<AxleDifference>,
    /// What differs in the high-voltage system.
    pub energy: Option<EnergyDifference>,
    /// Other differences, and how to tell the variant from outside.
    pub note: Option<Text>,
}

/// What differs at one axle of a variant.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleDifference {
    /// The axle.
    pub axle: AxleRef,
    /// Its position behind the front axle.
    pub position: Option<Sourced<CoordinateKind>>,
    /// Its gross axle weight rating.
    pub gawr: Option<Sourced<MassKind>>,
    /// Its track.
    pub track: Option<Sourced<SizeKind>>,
    /// Its tyres.
    pub tyre: Option<Tyre>,
    /// Its drive motor.
    pub motor: Option<Motor>,
    /// What turning it unpowered does.
    pub turning: Option<Turning>,
}

/// What differs in the high-voltage system of a variant.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergyDifference {
    /// The working voltage.
    pub working_voltage: Option<Sourced<VoltageKind>>,
    /// The maximum working voltage.
    pub maximum_voltage: Option<Sourced<VoltageKind>>,
    /// The energy that the pack stores when full.
    pub capacity: Option<Sourced<StoredEnergyKind>>,
    /// The cells' chemistry.
    pub chemistry: Option<super::energy::Chemistry>,
}
