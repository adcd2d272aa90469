//! Procedures, the conditions they work on and the debts they leave.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Sourced;
use crate::{id::*, quantity::*, text::*};

/// A yes/no fact of the vehicle or the scene that the profile adds to the built-in set.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConditionDefinition {
    /// The condition's id; it may not repeat one of the built-in set.
    pub id: Id,
    /// What it is called.
    pub name: Text,
    /// How a crew can tell that it holds.
    pub meaning: Text,
    /// How long it holds by itself before it lapses.
    pub holds_for: Option<Sourced<DurationKind>>,
    /// What holds instead once it has lapsed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lapses_to: Vec<ConditionRef>,
    /// Conditions without which it cannot be brought about.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub depends_on: Vec<ConditionRef>,
}

/// Something opened or removed that must be closed or put back.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Debt {
    /// The debt's id.
    pub id: Id,
    /// What must be done to settle it.
    pub name: Text,
    /// What happens if it is forgotten.
    pub why: Option<Text>,
}

/// Ordered steps toward a purpose.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Procedure {
    /// The procedure's id.
    pub id: Id,
    /// What it is called.
    pub name: Text,
    /// What it is for.
    pub purpose: Purpose,
    /// Whether it is a starting text that nobody has yet confirmed against the maker's instructions.
    pub to_confirm: Option<bool>,
    /// When to use it, in a sentence.
    pub summary: Option<Text>,
    /// Conditions that must hold before the first step.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub starts_with: Vec<ConditionRef>,
    /// Conditions that must not hold before the first step.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub never_with: Vec<ConditionRef>,
    /// Conditions that hold after the last step.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ends_with: Vec<ConditionRef>,
    /// The steps, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 200))]
    pub steps: Vec<Step>,
    /// Hazard messages that belong to the whole procedure.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<HazardRef>,
    /// The variants that it is for; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// Where it comes from.
    pub source: Option<SourceRef>,
}

/// What a procedure is for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// Getting into the vehicle.
    Open,
    /// Waking the vehicle.
    Wake,
    /// Feeding the low-voltage system from outside.
    JumpStart,
    /// Freeing a charging cord.
    ReleaseCord,
    /// Getting into neutral.
    ShiftNeutral,
    /// Raising the vehicle on a lift.
    Lift,
    /// Raising a corner on a jack.
    Jack,
    /// Changing a wheel.
    ChangeTyre,
    /// Winching the vehicle.
    Winch,
    /// Loading it on a carrier.
    Load,
    /// Securing it on a carrier.
    Secure,
    /// Unloading it.
    Unload,
    /// Towing it.
    Tow,
    /// Shutting the high-voltage system off.
    ShutOff,
    /// Smoke, heat or fire.
    Fire,
    /// Vehicle in or from water.
    Submersion,
    /// Storing it.
    Store,
    /// Putting it back into service.
    ReturnToService,
    /// Another purpose.
    Other,
}

/// One step of a procedure.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// The step's id, unique within the procedure.
    pub id: Id,
    /// What to do.
    pub text: Text,
    /// What kind of act it is, where the checks must know.
    pub act: Option<Act>,
    /// Tools that it needs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tools: Vec<Text>,
    /// Points where it is done.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<PointRef>,
    /// What to beware of, told before the step.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Text>,
    /// Hazard messages told before the step.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<HazardRef>,
    /// Conditions that must hold.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub requires: Vec<ConditionRef>,
    /// Conditions that must not hold.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub requires_not: Vec<ConditionRef>,
    /// Conditions that hold afterwards.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub establishes: Vec<ConditionRef>,
    /// Conditions that no longer hold afterwards.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clears: Vec<ConditionRef>,
    /// How long it takes.
    pub time: Option<Sourced<DurationKind>>,
    /// Conditions that hold only for a time after it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<TimedHold>,
    /// Debts that it opens.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opens: Vec<DebtRef>,
    /// Debts that it settles.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub settles: Vec<DebtRef>,
    /// Pictures of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pictures: Vec<AttachmentRef>,
    /// Where it comes from, if not from the procedure's source.
    pub source: Option<SourceRef>,
}

/// A condition that holds only for a time.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TimedHold {
    /// The condition.
    pub condition: ConditionRef,
    /// How long it holds.
    pub time: Sourced<DurationKind>,
    /// What happens afterwards.
    pub then: Option<Text>,
}

/// A rule that no way through the procedures may break: what must never be, or never be done.
///
/// It is broken where everything in `while_holding` holds and nothing in `unless_any` does: before a step that is one of the
/// `acts` or brings about one of `brings_about`, or, when neither is named, after any step.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SafetyRule {
    /// The rule's id; it may not repeat one of the built-in rules.
    pub id: Id,
    /// The rule, as a crew says it.
    pub text: Text,
    /// The acts that it forbids.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub acts: Vec<Act>,
    /// The conditions that it forbids to bring about.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub brings_about: Vec<ConditionRef>,
    /// Conditions that must all hold for the rule to apply.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub while_holding: Vec<ConditionRef>,
    /// Conditions of which one is enough to make it safe.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unless_any: Vec<ConditionRef>,
    /// Why: what happens when it is broken.
    pub why: Text,
    /// Where it comes from.
    pub source: Option<SourceRef>,
}

/// An act whose order the checks know.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Act {
    /// Switch the vehicle off.
    SwitchOff,
    /// Chock the wheels.
    Chock,
    /// Take the chocks away.
    ReleaseChock,
    /// Attach and tension a line.
    AttachLine,
    /// Release the line.
    ReleaseLine,
    /// Set the parking brake.
    SetParkingBrake,
    /// Release the parking brake.
    ReleaseParkingBrake,
    /// Select neutral.
    SelectNeutral,
    /// Select park.
    SelectPark,
    /// Connect positive at the flat battery.
    ConnectPositiveFlat,
    /// Connect positive at the donor.
    ConnectPositiveDonor,
    /// Connect negative at the donor.
    ConnectNegativeDonor,
    /// Connect negative to a ground away from the flat battery.
    ConnectGroundRemote,
    /// Connect negative at the flat battery's own post.
    ConnectNegativeFlat,
    /// Disconnect from the ground away from the flat battery.
    RemoveGroundRemote,
    /// Disconnect negative from the flat battery's own post.
    RemoveNegativeFlat,
    /// Disconnect negative at the donor.
    RemoveNegativeDonor,
    /// Disconnect positive at the donor.
    RemovePositiveDonor,
    /// Disconnect positive at the flat battery.
    RemovePositiveFlat,
    /// Raise on a jack.
    RaiseJack,
    /// Raise on a vehicle lift.
    RaiseLift,
    /// Place stands, cribbing or blocks.
    PlaceStand,
    /// Work under the raised vehicle.
    WorkUnder,
    /// Take stands, cribbing or blocks away.
    RemoveStand,
    /// Lower the vehicle.
    Lower,
    /// Open the low-voltage loop.
    OpenLoop,
    /// Close the low-voltage loop.
    CloseLoop,
    /// Cut the low-voltage loop.
    CutLoop,
    /// Disconnect the low-voltage battery.
    DisconnectLowVoltage,
    /// Reconnect the low-voltage battery.
    ReconnectLowVoltage,
    /// Take a panel off.
    RemovePanel,
    /// Put a panel back.
    RefitPanel,
    /// Wait.
    Wait,
    /// Winch the vehicle up.
    WinchUp,
    /// Tie the vehicle down.
    Secure,
    /// Look, feel, measure or ask.
    Check,
}
