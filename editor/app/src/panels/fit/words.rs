//! What choices, methods and answers are called, and what each choice rests on.

use chockstone_schema::{
    model::advice::TransportMethod,
    report::{
        BalanceRules, CountingRules, Facing, FitTopic, GradeRules, MethodAnswer, NumberRules,
        ResistanceRules, Side, Surface, Verdict, WheelState,
    },
};

/// One choice: the value, what it is called, and what it means or rests on.
pub(in crate::panels) type Choice<T> = (T, &'static str, &'static str);

pub(super) const FACINGS: [Choice<Facing>; 2] = [
    (
        Facing::NoseFirst,
        "Nose first",
        "Its front toward the truck’s cab.",
    ),
    (
        Facing::TailFirst,
        "Tail first",
        "Its rear toward the truck’s cab.",
    ),
];

pub(super) const WHEELS: [Choice<WheelState>; 5] = [
    (
        WheelState::Rolling,
        "All wheels roll",
        "Brakes and pawl are off, nothing blocks a wheel.",
    ),
    (
        WheelState::FrontLocked,
        "Front wheels locked",
        "The front wheels drag.",
    ),
    (
        WheelState::RearLocked,
        "Rear wheels locked",
        "The rear wheels drag.",
    ),
    (
        WheelState::AllLocked,
        "All wheels locked",
        "Every wheel drags.",
    ),
    (
        WheelState::OnSkates,
        "Wheels on skates",
        "No wheel turns; every wheel stands on a skate.",
    ),
];

pub(super) const SURFACES: [Choice<Surface>; 13] = [
    (Surface::Hard, "Hard road or clean deck", ""),
    (Surface::Grass, "Grass", ""),
    (Surface::Gravel, "Gravel", ""),
    (Surface::Soil, "Soil, medium hard", ""),
    (Surface::SandHardWet, "Sand, hard and wet", ""),
    (Surface::SandSoftWet, "Sand, soft and wet", ""),
    (Surface::SandSoftDry, "Sand, soft and dry", ""),
    (Surface::ShallowMud, "Shallow mud", ""),
    (Surface::Bog, "Bog or marsh", ""),
    (Surface::Clay, "Clay", ""),
    (Surface::MireToWheels, "Mire to the wheels", ""),
    (Surface::MireToFenders, "Mire to the fenders", ""),
    (Surface::MireToCab, "Mire to the cab", ""),
];

pub(super) const BALANCES: [Choice<BalanceRules>; 3] = [
    (
        BalanceRules::UsRegulation,
        "US regulation",
        "49 CFR 393.102: 0.435 g forward, 0.5 g rearward, 0.25 g sideways against working load limits; 0.8, 0.5 and \
         0.5 g against breaking strengths.",
    ),
    (
        BalanceRules::Quebec,
        "Quebec regulation",
        "Quebec, Cargo Securement Standards Regulation: 0.8, 0.5 and 0.5 g, and 20 % down, against working load limits.",
    ),
    (
        BalanceRules::En12195,
        "European standard",
        "EN 12195-1:2010: 0.8, 0.5 and 0.5 g with three quarters of the friction against lashing capacities.",
    ),
];

pub(super) const COUNTINGS: [Choice<CountingRules>; 3] = [
    (
        CountingRules::UsRegulation,
        "US regulation",
        "49 CFR 393.106(d): half of the limit for a direct tie-down.",
    ),
    (
        CountingRules::CanadaStandard,
        "Canadian standard",
        "NSC Standard 10: half of the limit for each end section on an anchor point of the truck.",
    ),
    (
        CountingRules::UsHandbook,
        "Older US handbook",
        "An older FMCSA handbook: half of the limit for each end, the cargo’s ends too.",
    ),
];

pub(super) const NUMBERS: [Choice<NumberRules>; 3] = [
    (
        NumberRules::UsHandbook,
        "Two front, two rear",
        "FMCSA Driver’s Handbook, chapter 9: two at the front and two at the rear.",
    ),
    (
        NumberRules::UsRegulation,
        "Two in all",
        "49 CFR 393.128(b): two in all, front and rear restrained.",
    ),
    (
        NumberRules::California,
        "Four in all",
        "California Vehicle Code 29004(a)(3): four.",
    ),
];

pub(super) const RESISTANCES: [Choice<ResistanceRules>; 3] = [
    (
        ResistanceRules::ArmyDoctrine,
        "Army doctrine",
        "Army recovery doctrine: a tenth of the weight on a hard surface, two thirds with every wheel locked.",
    ),
    (
        ResistanceRules::WinchMaker,
        "Winch maker",
        "A winch maker’s brochure: 0.04 of the weight on a hard road.",
    ),
    (
        ResistanceRules::EngineersHandbook,
        "Engineer’s handbook",
        "An engineer’s handbook: 0.01 to 0.02 of the weight on a hard road.",
    ),
];

pub(super) const GRADES: [Choice<GradeRules>; 2] = [
    (
        GradeRules::Exact,
        "Exact",
        "Weight times the sine of the slope.",
    ),
    (
        GradeRules::SixtiethPerDegree,
        "A sixtieth a degree",
        "A sixtieth of the weight for each degree of slope.",
    ),
];

/// What a topic is called.
pub(super) fn topic(topic: FitTopic) -> &'static str {
    match topic {
        FitTopic::Lifting => "Lifting",
        FitTopic::Carrying => "Carrying",
        FitTopic::Towing => "Towing",
        FitTopic::Winching => "Winching",
        FitTopic::Securing => "Securing",
        FitTopic::Clearing => "Loading path",
        FitTopic::Protection => "Gloves",
    }
}

/// What a method of moving a vehicle is called.
pub(super) fn method(method: TransportMethod) -> &'static str {
    match method {
        TransportMethod::Carrier => "On a carrier’s deck",
        TransportMethod::FrontLift => "Front lifted, rear wheels on the road",
        TransportMethod::FrontLiftDollies => "Front lifted, rear wheels on dollies",
        TransportMethod::RearLift => "Rear lifted, front wheels on the road",
        TransportMethod::RearLiftDollies => "Rear lifted, front wheels on dollies",
        TransportMethod::AllWheelsGround => "All wheels on the road, on a bar or rope",
        TransportMethod::WinchRolling => "Winched, wheels turning at walking pace",
        TransportMethod::WinchSkates => "Winched on skates, no wheel turning",
        TransportMethod::Push => "Pushed by hand or by a vehicle",
    }
}

/// An answer about a method.
pub(super) fn answer(answer: MethodAnswer) -> &'static str {
    match answer {
        MethodAnswer::Allowed => "allowed",
        MethodAnswer::Limited => "allowed within limits",
        MethodAnswer::OnlyWithDollies => "only with dollies",
        MethodAnswer::NotAllowed => "not allowed",
        MethodAnswer::NotKnown => "not known: do not",
    }
}

/// The mark that goes with an answer about a method.
pub(super) fn verdict_of(answer: MethodAnswer) -> Verdict {
    match answer {
        MethodAnswer::Allowed => Verdict::Within,
        MethodAnswer::Limited | MethodAnswer::OnlyWithDollies => Verdict::TooCloseToCall,
        MethodAnswer::NotAllowed => Verdict::Beyond,
        MethodAnswer::NotKnown => Verdict::NotKnown,
    }
}

/// A side.
pub(super) fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Middle => "middle",
        Side::Right => "right",
    }
}

/// Which way round a vehicle stands.
pub(super) fn facing(facing: Facing) -> &'static str {
    match facing {
        Facing::NoseFirst => "nose first",
        Facing::TailFirst => "tail first",
    }
}

/// A label at the head of a line: the rules' labels are made to stand inside sentences.
pub(super) fn headed(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The first sentences of a text, with an ellipsis where some are left out; one sentence at least.
pub(in crate::panels) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let ends = text.match_indices(". ").map(|(at, _)| at + 1);
    let fits = |at: &usize| text.get(..*at).is_some_and(|t| t.chars().count() <= most);
    let ends: Vec<usize> = ends.collect();
    let cut = ends.iter().rev().find(|at| fits(at)).or(ends.first());
    match cut.and_then(|at| text.get(..*at)) {
        Some(start) => format!("{start} …"),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_answer_is_cut_behind_a_sentence() {
        assert_eq!(shortened("One. Two. Three.", 40), "One. Two. Three.");
        assert_eq!(shortened("One. Two. Three.", 10), "One. Two. …");
        assert_eq!(shortened("A long one. Two.", 4), "A long one. …");
        assert_eq!(shortened("No end at all", 4), "No end at all");
    }

    #[test]
    fn a_label_begins_with_a_capital() {
        assert_eq!(headed("rear axle"), "Rear axle");
        assert_eq!(headed(""), "");
    }
}
