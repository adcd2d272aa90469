//! Points: places on the vehicle with a use.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Sourced, geometry::Place};
use crate::{id::*, quantity::*, text::*};

/// A place on the vehicle with a use.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// The point's id.
    pub id: Id,
    /// What it is called.
    pub name: Text,
    /// What it is.
    pub kind: PointKind,
    /// Where it is. For a mirrored point, the one on the vehicle's right.
    pub place: Place,
    /// How well the place is known: the ± half-width on each coordinate.
    pub place_plus_minus: Option<Distance>,
    /// Whether the same point lies on the other side of the centre plane too.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub mirrored: bool,
    /// The point on the other side, where both were measured by themselves.
    pub mirror_of: Option<PointRef>,
    /// How it is marked on the vehicle.
    pub marking: Option<Text>,
    /// How to reach it.
    pub access: Option<Text>,
    /// What it may be used for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub uses: Vec<PointUse>,
    /// What it must not be used for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub forbidden: Vec<PointUse>,
    /// What fits it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fittings: Vec<Fitting>,
    /// The directions in which it may be loaded; none stated means that no source limits them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub directions: Vec<PullDirection>,
    /// The most that it may be loaded with.
    pub rating: Option<Sourced<LoadKind>>,
    /// The tightening torque of what is screwed in or fastened there.
    pub torque: Option<Sourced<TorqueKind>>,
    /// The tool that it needs.
    pub tool: Option<Text>,
    /// What to beware of there.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Text>,
    /// Hazard messages that belong to the point.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<HazardRef>,
    /// Pictures of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pictures: Vec<AttachmentRef>,
    /// The variants that have it; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// What a point is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PointKind {
    /// A lift point for the arms of a vehicle lift.
    Lift,
    /// A jacking point.
    Jack,
    /// A place for a safety stand.
    Stand,
    /// A slot or loop for tie-downs.
    TieDown,
    /// A place to attach a winch line or bridle.
    Winch,
    /// An eye or hook for recovery.
    RecoveryEye,
    /// A threaded socket for a tow eye.
    TowEyeSocket,
    /// The positive post for a jump start.
    BatteryPositive,
    /// The ground point for a jump start.
    BatteryGround,
    /// The low-voltage battery itself.
    LowVoltageBattery,
    /// The service disconnect of the high-voltage system.
    ServiceDisconnect,
    /// The low-voltage loop that responders cut.
    CutLoop,
    /// A low-voltage loop or connector that can be opened and closed again.
    LowVoltageLoop,
    /// A charging inlet.
    ChargePort,
    /// The mechanical release of the charging cord.
    ChargePortRelease,
    /// A mechanical lock.
    KeyLock,
    /// A mechanical door release.
    DoorRelease,
    /// The release of the front cover.
    FrontCoverRelease,
    /// The release of the tailgate or boot lid.
    RearCoverRelease,
    /// The spare wheel or its winch.
    SpareWheel,
    /// The fasteners of a panel that comes off.
    PanelFasteners,
    /// Another place with a use.
    Other,
}

/// What a point may be used for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PointUse {
    /// Carrying a pad of a vehicle lift.
    Lift,
    /// Carrying a jack.
    Jack,
    /// Carrying a safety stand.
    Stand,
    /// Tying down on a carrier.
    TieDown,
    /// Tying down on a long-haul transporter only.
    TieDownLongHaul,
    /// Winching onto a deck.
    Winch,
    /// Pulling from a ditch or mud.
    Recover,
    /// Towing on the vehicle's own wheels.
    Tow,
    /// Connecting a jump start cable.
    JumpStart,
    /// Disconnecting a supply.
    Disconnect,
    /// Opening a door, cover or port.
    Open,
    /// Carrying a part that comes off.
    Carry,
}

/// What can be fitted to a point.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Fitting {
    /// A flat lift pad.
    FlatPad,
    /// A rubber block or puck.
    RubberPad,
    /// An adapter for a slot or sill.
    SlotAdapter,
    /// A soft strap.
    SoftStrap,
    /// A strap over the tyre.
    WheelStrap,
    /// A strap around an axle or arm.
    AxleStrap,
    /// A mini-J hook.
    MiniJ,
    /// A T-hook.
    THook,
    /// An R-hook.
    RHook,
    /// A grab hook on a chain.
    GrabHook,
    /// A bridle.
    Bridle,
    /// A shackle.
    Shackle,
    /// The vehicle's own screw-in tow eye.
    TowEye,
    /// The clamp of a jump start cable.
    JumperClamp,
    /// No tool: by hand.
    Hand,
    /// A hand tool named at the point.
    HandTool,
}

/// A cone of directions in which a point may be loaded.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PullDirection {
    /// The middle of the cone, in the vehicle's frame.
    pub toward: Toward,
    /// The half angle of the cone.
    pub within: AngleSpread,
}

/// A direction in the vehicle's frame.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Toward {
    /// Toward the front.
    Forward,
    /// Toward the rear.
    Rearward,
    /// Away from the centre plane.
    Outboard,
    /// Toward the centre plane.
    Inboard,
    /// Up.
    Up,
    /// Down.
    Down,
}
