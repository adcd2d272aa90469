//! Conditions along a procedure: what a step requires must hold, or be brought about, before it.
//!
//! Plain logic: a step that requires what an earlier step took away cannot be done as written.

use super::prelude::*;
use crate::plan::FaultKind;
use chockstone_schema::id::ConditionRef;

pub(super) static RULES: &[Rule] = &[
    profile(
        "step-requires-cleared",
        "A step that requires what an earlier step took away, or what must not hold.",
        Blocking,
        LOGIC,
        cleared,
    ),
    profile(
        "step-requires-unmet",
        "A step that requires what nothing before it establishes.",
        Warning,
        LOGIC,
        unmet,
    ),
    profile(
        "step-excludes-held",
        "A step that must not be done while something holds, and it holds.",
        Blocking,
        LOGIC,
        excluded,
    ),
    profile(
        "step-contradicts-itself",
        "A step that requires and excludes, or establishes and clears, the same.",
        Blocking,
        LOGIC,
        itself,
    ),
    profile(
        "dependency-missing",
        "A step that brings about what cannot be without something that does not hold.",
        Blocking,
        LOGIC,
        dependency,
    ),
    profile(
        "hold-too-close",
        "A condition that may run out before what needs it is done, for the slowest crew.",
        Warning,
        LOGIC,
        runs_out,
    ),
    profile(
        "safety-rule-broken",
        "A step that breaks a rule that no way may break, built-in or the author's own.",
        Blocking,
        PRACTICE,
        rules,
    ),
    profile(
        "procedure-too-large",
        "A procedure that names more conditions or debts than can be walked.",
        Blocking,
        LOGIC,
        too_much,
    ),
    profile(
        "end-not-reached",
        "A procedure that ends with what no step establishes.",
        Warning,
        LOGIC,
        end,
    ),
];

/// Tells every fault of these kinds that the walks found.
fn tell(ctx: &Context<'_>, found: &mut Findings, kinds: &[FaultKind]) {
    let faults = ctx.walked().iter().flat_map(|walked| &walked.faults);
    for fault in faults.filter(|fault| kinds.contains(&fault.kind)) {
        found
            .add(&fault.place, &fault.message, &fault.settle)
            .severity(fault.severity);
    }
}

fn cleared(ctx: &Context<'_>, found: &mut Findings) {
    tell(ctx, found, &[FaultKind::RequiresEnded]);
}

fn unmet(ctx: &Context<'_>, found: &mut Findings) {
    tell(ctx, found, &[FaultKind::RequiresUnsaid]);
}

fn excluded(ctx: &Context<'_>, found: &mut Findings) {
    tell(ctx, found, &[FaultKind::ExcludedHolds]);
}

fn end(ctx: &Context<'_>, found: &mut Findings) {
    tell(ctx, found, &[FaultKind::EndNotReached]);
}

fn dependency(ctx: &Context<'_>, found: &mut Findings) {
    tell(ctx, found, &[FaultKind::DependencyMissing]);
}

fn too_much(ctx: &Context<'_>, found: &mut Findings) {
    tell(ctx, found, &[FaultKind::TooMuch]);
}

/// What runs out for the slowest crew; what runs out for every crew is told by the check of timed holds.
fn runs_out(ctx: &Context<'_>, found: &mut Findings) {
    for (i, walked) in ctx.walked().iter().enumerate() {
        let faults = walked.faults.iter();
        for fault in faults.filter(|fault| fault.kind == FaultKind::RanOut) {
            let condition = fault.condition.as_deref().unwrap_or_default();
            if !super::timed_holds::is_too_short(ctx, i, condition) {
                found.add(&fault.place, &fault.message, &fault.settle);
            }
        }
    }
}

fn rules(ctx: &Context<'_>, found: &mut Findings) {
    let faults = ctx.walked().iter().flat_map(|walked| &walked.faults);
    for fault in faults.filter(|fault| fault.kind == FaultKind::RuleBroken) {
        // Two checks of their own look at these more closely.
        let has_its_own = |id: &str| TOLD_ELSEWHERE.contains(&id);
        if !fault.rule.as_deref().is_some_and(has_its_own) {
            found
                .add(&fault.place, &fault.message, &fault.settle)
                .severity(fault.severity);
        }
    }
}

/// Rules that the checks of neutral and of work under the vehicle tell.
const TOLD_ELSEWHERE: &[&str] = &[
    "control-before-neutral",
    "held-in-neutral",
    "stands-before-work-under",
];

fn itself(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        for (j, step) in procedure.steps.iter().enumerate() {
            let clash =
                |a: &[ConditionRef], b: &[ConditionRef]| a.iter().position(|c| b.contains(c));
            let place = format!("/procedures/{i}/steps/{j}");
            if let Some(k) = clash(&step.requires_not, &step.requires) {
                found.add(
                    format!("{place}/requires_not/{k}"),
                    format!("The step {} requires a condition and its absence.", step.id),
                    "Keep one of the two.",
                );
            }
            if let Some(k) = clash(&step.clears, &step.establishes) {
                found.add(
                    format!("{place}/clears/{k}"),
                    format!(
                        "The step {} establishes a condition and clears it.",
                        step.id
                    ),
                    "Keep one of the two, or make two steps.",
                );
            }
        }
        if let Some(k) = procedure
            .never_with
            .iter()
            .position(|c| procedure.starts_with.contains(c))
        {
            found.add(
                format!("/procedures/{i}/never_with/{k}"),
                format!(
                    "The procedure {} starts with a condition and excludes it.",
                    procedure.id
                ),
                "Keep one of the two.",
            );
        }
    }
}

/// Edits that define conditions of three letters and let the first procedure start with all of them.
#[cfg(test)]
macro_rules! a_hundred_conditions {
    ($($tens:literal)*) => {
        concat!(
            r#"{"/conditions": ["#,
            $(a_hundred_conditions!(@define $tens "0" "1" "2" "3" "4" "5" "6" "7" "8" "9"),)*
            r#"{"id": "last", "name": {"en": "Last"}, "meaning": {"en": "Last"}}], "/procedures/0/starts_with": ["#,
            $(a_hundred_conditions!(@name $tens "0" "1" "2" "3" "4" "5" "6" "7" "8" "9"),)*
            r#""last"]}"#
        )
    };
    (@define $tens:literal $($ones:literal)*) => {
        concat!($(r#"{"id": "c"#, $tens, $ones, r#"", "name": {"en": "One"}, "meaning": {"en": "One"}}, "#),*)
    };
    (@name $tens:literal $($ones:literal)*) => {
        concat!($(r#""c"#, $tens, $ones, r#"", "#),*)
    };
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "step-requires-cleared",
        "the line released first",
        r#"{"/procedures/3/steps/0/clears": ["in-neutral"]}"#,
        "/procedures/3/steps/1/requires/0",
    ),
    pass("step-requires-cleared", "the line taut", "{}"),
    pass(
        "step-requires-cleared",
        "a timed hold that brings about what did not hold before",
        r#"{"/procedures/3/starts_with": [], "/procedures/3/never_with": ["in-neutral"], "/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [20, "min"], "source": "manual"}}]}"#,
    ),
    fail(
        "step-excludes-held",
        "the start that holds",
        r#"{"/procedures/3/steps/0/requires_not": ["in-neutral"]}"#,
        "/procedures/3/steps/0/requires_not/0",
    ),
    fail(
        "step-excludes-held",
        "what a step before brings about",
        r#"{"/procedures/2/steps/1/requires_not": ["in-park", "wheels-chocked"], "/procedures/2/steps/1/requires": []}"#,
        "/procedures/2/steps/1/requires_not/1",
    ),
    pass(
        "step-excludes-held",
        "what a step before ends",
        r#"{"/procedures/3/steps/0/clears": ["in-neutral"], "/procedures/3/steps/1/requires": [], "/procedures/3/steps/1/requires_not": ["in-neutral"]}"#,
    ),
    fail(
        "step-requires-unmet",
        "nothing establishes it",
        r#"{"/procedures/3/steps/0/establishes": []}"#,
        "/procedures/3/steps/1/requires/1",
    ),
    pass("step-requires-unmet", "a step before it", "{}"),
    fail(
        "step-contradicts-itself",
        "both at once",
        r#"{"/procedures/3/steps/1/requires_not": ["line-taut"]}"#,
        "/procedures/3/steps/1/requires_not/0",
    ),
    fail(
        "step-contradicts-itself",
        "established and cleared",
        r#"{"/procedures/3/steps/0/clears": ["line-taut"]}"#,
        "/procedures/3/steps/0/clears/0",
    ),
    fail(
        "step-contradicts-itself",
        "a start that is excluded",
        r#"{"/procedures/3/never_with": ["in-neutral"]}"#,
        "/procedures/3/never_with/0",
    ),
    pass("step-contradicts-itself", "one of the two", "{}"),
    fail(
        "end-not-reached",
        "nobody secures",
        r#"{"/procedures/4/steps/0/establishes": []}"#,
        "/procedures/4/ends_with/0",
    ),
    pass("end-not-reached", "somebody secures", "{}"),
    fail(
        "dependency-missing",
        "awake where low voltage was just lost",
        r#"{"/procedures/2/steps/0/clears": ["low-voltage-alive"], "/procedures/2/steps/1/requires": ["wheels-chocked"], "/procedures/2/steps/1/establishes/-": "awake"}"#,
        "/procedures/2/steps/1/establishes",
    ),
    pass(
        "dependency-missing",
        "awake where low voltage is alive",
        r#"{"/procedures/2/steps/1/establishes/-": "awake"}"#,
    ),
    fail(
        "hold-too-close",
        "five minutes of winching, give or take one, in a hold of five",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [5, "min"], "source": "manual"}}], "/procedures/3/steps/1/time/plus_minus": [1, "min"]}"#,
        "/procedures/3/steps/1/requires/0",
    ),
    pass(
        "hold-too-close",
        "six minutes for the slowest crew in a hold of six",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [6, "min"], "source": "manual"}}], "/procedures/3/steps/1/time/plus_minus": [1, "min"]}"#,
    ),
    pass(
        "hold-too-close",
        "a hold that is too short for every crew is told elsewhere",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [4, "min"], "source": "manual"}}]}"#,
    ),
    fail(
        "safety-rule-broken",
        "the line taken off with nothing else to hold the vehicle",
        r#"{"/procedures/3/never_with": ["secured", "wheels-chocked", "in-park", "parking-brake-set"], "/procedures/3/steps/1/act": "release_line"}"#,
        "/procedures/3/steps/1",
    ),
    fail(
        "safety-rule-broken",
        "a jack with nobody saying that a wheel is chocked",
        r#"{"/procedures/5/starts_with": []}"#,
        "/procedures/5/steps/0",
    )
    .worth(Warning),
    fail(
        "safety-rule-broken",
        "a rule of the author's own",
        r#"{"/safety_rules": [{"id": "brake-on-the-deck", "text": {"en": "Never winch up with doors open."}, "acts": ["winch_up"], "while_holding": ["doors-open"], "why": {"en": "A door hits the post."}}], "/procedures/3/starts_with/-": "doors-open"}"#,
        "/procedures/3/steps/1",
    ),
    pass("safety-rule-broken", "every rule kept", "{}"),
    fail(
        "procedure-too-large",
        "a hundred conditions of its own",
        a_hundred_conditions!(0 1 2 3 4 5 6 7 8 9),
        "/procedures/0",
    ),
    pass("procedure-too-large", "a few conditions", "{}"),
];
