//! The order of fields and their labels, for forms.
//!
//! JSON objects have no order, so it is taken from the types: a struct tells its field names when it is deserialized.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{
    Deserialize, Deserializer,
    de::{Error as _, Visitor},
    forward_to_deserialize_any,
};
use serde_json::{Map, Value};

use crate::{
    model::{
        Equipment, Policy, Profile, advice::*, axle::*, energy::*, equipment::*, geometry::*,
        identity::*, mass::*, point::*, policy::*, procedure::*, record::*,
    },
    report::*,
};

macro_rules! field_orders {
    ($($name:ty),* $(,)?) => {
        BTreeMap::from([$((<$name>::schema_name().into_owned(), fields::<$name>())),*])
    };
}

fn orders() -> BTreeMap<String, &'static [&'static str]> {
    let mut orders = document_orders();
    orders.extend(report_orders());
    orders
}

/// Of profiles and equipment.
fn document_orders() -> BTreeMap<String, &'static [&'static str]> {
    field_orders![
        Profile,
        Identity,
        ModelYears,
        VinPattern,
        Variant,
        AxleDifference,
        EnergyDifference,
        Dimensions,
        Place,
        Zone,
        Axle,
        Tyre,
        Motor,
        Turning,
        MassData,
        ScaleReading,
        Scale,
        AxleLoad,
        OnBoard,
        Item,
        CentreHeight,
        AxleLift,
        Point,
        PullDirection,
        Energy,
        HighVoltage,
        Pack,
        Cable,
        PostCrash,
        LowVoltage,
        Inlet,
        Disconnect,
        Waits,
        ConditionDefinition,
        Debt,
        Procedure,
        Step,
        TimedHold,
        SafetyRule,
        Hazard,
        Emergency,
        Advice,
        FireAdvice,
        SubmersionAdvice,
        StorageAdvice,
        Transport,
        TransportRule,
        Securing,
        Source,
        Attachment,
        Review,
        Remark,
        Answer,
        Conflict,
        ChangeNote,
        Equipment,
        Chassis,
        Deck,
        Anchor,
        WheelLift,
        Winch,
        DollySet,
        VehicleLift,
        Jack,
        Stands,
        Straps,
        Chains,
        Bridle,
        SnatchBlock,
        Skates,
        Gloves,
        Policy,
        ReviewsNeeded,
    ]
}

/// Of what the program prints and puts into bundles.
fn report_orders() -> BTreeMap<String, &'static [&'static str]> {
    field_orders![
        CheckReport,
        CheckedFile,
        Finding,
        Reference,
        MassReport,
        MassResult,
        Estimate,
        AxleShare,
        Share,
        PublishReport,
        VerifyReport,
        VerifyStep,
        FigureInput,
        Figure,
        FitLimit,
        Judged,
        TopicAnswer,
        FitReports,
        FitReport,
        GeneralResult,
        ResultsReport,
        FitChoices,
        TieDownChoice,
        AlsoCarried,
        RuleChoices,
        SupportLoad,
        LiftingResult,
        PlacementWindow,
        ChartLine,
        PlacementChart,
        CarryingResult,
        CarrierNeed,
        AxleTurning,
        TowingResult,
        MethodReason,
        MethodResult,
        WinchingResult,
        TieDownLeg,
        SecuringResult,
        TightestSpot,
        ClearingResult,
        PlanReport,
        PlanChoices,
        PlanRule,
        LeftOut,
        PlanRow,
        PlanCell,
        MissingFact,
        Fallback,
        Way,
        HazardCount,
        WayPart,
        WayStep,
        HoldLine,
        Shift,
        Piece,
        WordChange,
        Change,
        Effect,
        ComparedSide,
        SignedSnapshot,
        Snapshot,
        FileOf,
        Bin,
        VehicleReleases,
        ListedRelease,
        Withdrawn,
        JudgedSignature,
        SignReport,
        KeptRelease,
        KeptVehicle,
        UnreadFile,
        CatalogueState,
        LibraryListReport,
        VinSays,
        LibraryFindReport,
        OldSource,
        NewerYear,
        FaultyPlaces,
        PatternOverlap,
        LibraryStaleReport,
        NotListed,
        LibraryIndexReport,
        LibraryTransferReport,
        LibraryWithdrawReport,
        DifferenceReport,
        MergeReport,
    ]
}

/// Adds `x-order` to every struct and a `title` to every property.
pub(super) fn annotate(root: &mut Value) {
    let orders = orders();
    let name = root
        .get("x-name")
        .and_then(Value::as_str)
        .map(str::to_owned);
    let _ = name;
    if let Some(definitions) = root.get_mut("$defs").and_then(Value::as_object_mut) {
        for (name, definition) in definitions.iter_mut() {
            let sourced: &[&str] = &["value", "plus_minus", "source", "note"];
            let order = orders
                .get(name)
                .copied()
                .or_else(|| name.starts_with("sourced_").then_some(sourced));
            label(definition, order);
        }
    }
    let matching = orders
        .values()
        .find(|fields| has_exactly(root, fields))
        .copied();
    label(root, matching);
}

fn has_exactly(schema: &Value, fields: &[&str]) -> bool {
    schema
        .get("properties")
        .and_then(Value::as_object)
        .is_some_and(|p| p.len() == fields.len() && fields.iter().all(|f| p.contains_key(*f)))
}

fn label(definition: &mut Value, order: Option<&[&str]>) {
    let Some(object) = definition.as_object_mut() else {
        return;
    };
    if let Some(order) = order {
        object
            .entry("x-order")
            .or_insert_with(|| order.iter().map(|f| Value::from(*f)).collect());
    }
    if let Some(properties) = object.get_mut("properties").and_then(Value::as_object_mut) {
        for (name, property) in properties.iter_mut() {
            if let Some(property) = property.as_object_mut() {
                let property: &mut Map<String, Value> = property;
                property
                    .entry("title")
                    .or_insert_with(|| title(name).into());
            }
        }
    }
}

/// The label of a field: its name as a person would write it.
fn title(field: &str) -> String {
    let words: Vec<String> = field
        .split('_')
        .map(|word| match word {
            "gvwr" | "gawr" | "vin" | "ac" => word.to_uppercase(),
            "sha256" => "SHA-256".to_owned(),
            _ => word.to_owned(),
        })
        .collect();
    let joined = match field {
        "id" => "Id".to_owned(),
        "x" => "x, rearward".to_owned(),
        "y" => "y, to the right".to_owned(),
        "z" => "z, up".to_owned(),
        "plus_minus" => "± half-width".to_owned(),
        "over" => "Over bytes".to_owned(),
        _ => words.join(" "),
    };
    let mut characters = joined.chars();
    match characters.next() {
        Some(first) if !matches!(field, "x" | "y" | "z") => {
            first.to_uppercase().chain(characters).collect()
        }
        _ => joined,
    }
}

fn fields<'de, T: Deserialize<'de>>() -> &'static [&'static str] {
    let mut found: &'static [&'static str] = &[];
    // It always ends in an error; the field names are what is wanted.
    let _ = T::deserialize(Names(&mut found));
    found
}

struct Names<'f>(&'f mut &'static [&'static str]);

impl<'de> Deserializer<'de> for Names<'_> {
    type Error = serde::de::value::Error;

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Self::Error> {
        *self.0 = fields;
        Err(Self::Error::custom("only the names are wanted"))
    }

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Self::Error> {
        Err(Self::Error::custom("only structs have field names"))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}
