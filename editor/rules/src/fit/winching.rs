//! Line pull up the deck and holding back.
//!
//! Each winch pulls up the deck of its own truck; a winch without a deck pulls over level ground, or up the slope that
//! was chosen. Every case of the wheels is told, with a straight line and with each block given, so that a person sees
//! what skates or a block save. The line is made fast with a bridle where one is given and fits, or at the point that
//! bears it best.

use chockstone_mechanics::{
    propagation::Tracked,
    winching::{GradeRule, tow_grade},
};
use chockstone_schema::report::{
    Finding, FitTopic, GradeRules, Reference, Severity, Verdict, WheelState, WinchingResult,
};

use super::{
    Job, answer, best,
    work::{Gear, Known, worst_of},
    worst,
};
use crate::checks::references::Rest;

pub(in crate::fit) mod attach;
mod pull;
mod rows;
#[cfg(test)]
mod tests;

use attach::Attachment;
use rows::Rope;

/// Every case of winching with each winch given.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<WinchingResult> {
    let gear = job.gear.clone();
    let results: Vec<WinchingResult> = gear
        .iter()
        .filter(|gear| gear.equipment.winch.is_some())
        .flat_map(|gear| with_winch(job, *gear))
        .collect();
    tell(job, &results);
    results
}

/// What all cases of one winch share.
struct Setup<'a> {
    winch: Gear<'a>,
    slope: Known,
    rope: Rope,
    attachment: Attachment,
    blocks: Vec<Gear<'a>>,
}

fn with_winch<'a>(job: &mut Job<'a>, winch: Gear<'a>) -> Vec<WinchingResult> {
    let setup = Setup {
        winch,
        slope: slope(job, winch),
        rope: Rope::of(job, winch),
        attachment: attach::ways(job, winch),
        blocks: having(job, |gear| gear.equipment.snatch_block.is_some()),
    };
    let mut results = Vec::new();
    for (state, skates) in cases(job) {
        let pull = pull::needed(job, state, skates.as_ref(), &setup.slope);
        results.push(case(job, &setup, state, skates.as_ref(), &pull, None));
        for block in setup.blocks.clone() {
            results.push(case(
                job,
                &setup,
                state,
                skates.as_ref(),
                &pull,
                Some(&block),
            ));
        }
    }
    if setup.slope.as_ref().is_ok_and(|slope| slope.value() > 0.0) {
        results.push(holding_back(job, &setup));
        warn_of_grade(job, &setup);
    }
    results
}

/// The pieces of equipment that have something.
fn having<'a>(job: &Job<'a>, has: impl Fn(&Gear<'a>) -> bool) -> Vec<Gear<'a>> {
    job.gear.iter().copied().filter(|gear| has(gear)).collect()
}

/// What the wheels can do, and the skates where they are used.
fn cases<'a>(job: &Job<'a>) -> Vec<(WheelState, Option<Gear<'a>>)> {
    let locked = [
        WheelState::Rolling,
        WheelState::FrontLocked,
        WheelState::RearLocked,
        WheelState::AllLocked,
    ];
    let skates = having(job, |gear| gear.equipment.skates.is_some());
    let wanted = skates.is_empty() && job.choices.wheels == WheelState::OnSkates;
    locked
        .into_iter()
        .map(|state| (state, None))
        .chain(
            skates
                .into_iter()
                .map(|gear| (WheelState::OnSkates, Some(gear))),
        )
        .chain(wanted.then_some((WheelState::OnSkates, None)))
        .collect()
}

/// The deck's tilt; without a deck the slope that was chosen, or level ground.
fn slope(job: &mut Job<'_>, winch: Gear<'_>) -> Known {
    match (&winch.equipment.deck, job.choices.slope) {
        (Some(deck), _) => job.of(
            &winch,
            deck.tilt_angle.as_ref(),
            "the deck's angle when it is tilted",
            "/deck/tilt_angle",
        ),
        (None, Some(slope)) => job.number("slope as chosen", "rad", slope, 0.0),
        (None, None) => Ok(Tracked::exact(0.0)),
    }
}

fn case(
    job: &mut Job<'_>,
    setup: &Setup<'_>,
    state: WheelState,
    skates: Option<&Gear<'_>>,
    pull: &Known,
    block: Option<&Gear<'_>>,
) -> WinchingResult {
    let mut rows = vec![pull::row(job, state, skates, pull)];
    if let Some(skates) = skates {
        rows.extend(pull::skate_rows(job, *skates));
    }
    let line = match block {
        Some(block) => {
            let line = rows::line_with_block(job, *block, pull);
            rows.push(rows::block_row(job, *block, &line));
            line
        }
        None => pull.clone(),
    };
    rows.extend(setup.rope.rows(job, setup.winch, &line));
    rows.extend(setup.attachment.rows(job, pull));
    let way = skates.map_or_else(String::new, |gear| format!(" ({})", gear.id()));
    let by = block.map_or_else(
        || "straight line".to_owned(),
        |gear| format!("one moving block ({})", gear.id()),
    );
    WinchingResult {
        title: format!(
            "Up with {}, {}{way}, {by}",
            setup.winch.id(),
            pull::words(state)
        ),
        winch: setup.winch.id().to_owned(),
        holding_back: false,
        chosen: state == job.choices.wheels,
        verdict: worst_of(&rows),
        rows,
    }
}

/// Going down with the wheels turning: the line holds the whole part of the weight along the slope.
fn holding_back(job: &mut Job<'_>, setup: &Setup<'_>) -> WinchingResult {
    let held = pull::held_back(job, &setup.slope);
    let mut rows = vec![pull::held_row(job, &held)];
    rows.extend(setup.rope.rows(job, setup.winch, &held));
    rows.extend(setup.attachment.rows(job, &held));
    WinchingResult {
        title: format!("Held back on the way down with {}", setup.winch.id()),
        winch: setup.winch.id().to_owned(),
        holding_back: true,
        chosen: true,
        verdict: worst_of(&rows),
        rows,
    }
}

const TOW_GRADES: Rest = (
    "TB 9-2350-292-10 pp. 21-23: above 25 % grade only with permission, above 30 % never",
    chockstone_schema::report::Trust::Primary,
);

/// A slope without a deck, against the grades on which an army tows.
fn warn_of_grade(job: &mut Job<'_>, setup: &Setup<'_>) {
    use chockstone_mechanics::verdict::Verdict::Within;
    let (None, Ok(slope)) = (&setup.winch.equipment.deck, &setup.slope) else {
        return;
    };
    let Ok(grade) = tow_grade(slope) else {
        return;
    };
    if grade.without_permission == Within {
        return;
    }
    let most = if grade.at_all == Within {
        "25 %"
    } else {
        "30 %"
    };
    job.findings.push(Finding {
        check: "fit-winching-grade".to_owned(),
        severity: Severity::Warning,
        place: String::new(),
        message: format!("The slope is steeper than {most}, a limit of army towing."),
        computed: Some(format!("{:.0} %", grade.grade.value() * 100.0)),
        limit: Some(most.to_owned()),
        reference: Reference {
            title: TOW_GRADES.0.to_owned(),
            trust: TOW_GRADES.1,
        },
        settle: "Pull from a place where the slope is less.".to_owned(),
    });
}

/// The rule for slopes that was chosen.
fn grade_rule(rules: GradeRules) -> GradeRule {
    match rules {
        GradeRules::Exact => GradeRule::Exact,
        GradeRules::SixtiethPerDegree => GradeRule::SixtiethRule,
    }
}

/// Adds the topic's answer: the wheels as chosen, with the best line, and the way down.
fn tell(job: &mut Job<'_>, results: &[WinchingResult]) {
    let up = || results.iter().filter(|r| r.chosen && !r.holding_back);
    let Some(first) = up().next() else {
        return;
    };
    let verdict_up = best(up().map(|result| result.verdict));
    let way = up().find(|r| r.verdict == verdict_up).unwrap_or(first);
    let down = best(
        results
            .iter()
            .filter(|r| r.holding_back && r.winch == way.winch)
            .map(|r| r.verdict)
            .chain(
                results
                    .iter()
                    .all(|r| !r.holding_back)
                    .then_some(Verdict::Within),
            ),
    );
    let verdict = worst([verdict_up, down]);
    let pull = way.rows.first().and_then(|row| row.figure.as_ref());
    let takes = pull.map_or_else(String::new, |figure| {
        format!(" takes {}", Job::words(figure))
    });
    let sentence = match verdict {
        Verdict::Within => format!("{}{takes}: within every limit.", way.title),
        Verdict::TooCloseToCall => format!("{}{takes}: too close to a limit to call.", way.title),
        Verdict::NotKnown => format!("{}{takes}: not everything is known.", way.title),
        Verdict::Beyond if down == Verdict::Beyond => {
            format!("Holding back with {} is beyond a limit.", way.winch)
        }
        Verdict::Beyond => format!("{}{takes}: beyond a limit.", way.title),
    };
    job.topics
        .push(answer(FitTopic::Winching, verdict, sentence));
}
