//! A fit as a person reads it at a terminal.

use std::io::{self, Write};

use chockstone_schema::{CAUTIONS, Equipment, Profile, model::advice::TransportMethod, report::*};

use crate::{
    cli::{check, mass},
    figures,
    widgets::UnitSystem,
};

/// The widest verdict, so that what follows stands in one column.
const VERDICT_WIDTH: usize = 17;
/// Nobody chose a family of units at a terminal, so figures are told in both.
const BOTH: UnitSystem = UnitSystem::AsEntered;

/// Prints one report a variant.
pub(super) fn reports(
    profile: &Profile,
    equipment: &[&Equipment],
    reports: &[FitReport],
) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{} {} with {}",
        profile.identity.maker,
        profile.identity.model,
        names(equipment)
    )?;
    for report in reports {
        print_report(&mut out, report)?;
    }
    writeln!(out, "\n{}", CAUTIONS[0])
}

fn names(equipment: &[&Equipment]) -> String {
    let ids: Vec<&str> = equipment.iter().map(|e| e.id.as_str()).collect();
    ids.join(", ")
}

fn print_report(out: &mut impl Write, report: &FitReport) -> io::Result<()> {
    writeln!(out)?;
    print_variant(out, report.variant.as_deref())?;
    if report.topics.is_empty() {
        line(
            out,
            None,
            "nothing of the equipment given takes part in a fit",
        )?;
    } else {
        line(out, Some(report.verdict), "in all")?;
    }
    for topic in &report.topics {
        let words = format!("{}: {}", topic_word(topic.topic), topic.answer);
        line(out, Some(topic.verdict), &words)?;
    }
    report
        .lifting
        .iter()
        .try_for_each(|r| print_lifting(out, r))?;
    report
        .carrying
        .iter()
        .try_for_each(|r| print_carrying(out, r))?;
    report
        .securing
        .iter()
        .try_for_each(|r| print_securing(out, r))?;
    for r in &report.winching {
        print_rows(out, &r.title, r.verdict, &r.rows)?;
    }
    report
        .clearing
        .iter()
        .try_for_each(|r| print_clearing(out, r))?;
    report
        .towing
        .iter()
        .try_for_each(|r| print_towing(out, r))?;
    print_methods(out, &report.methods)?;
    if !report.protection.is_empty() {
        writeln!(out, "\nProtective equipment")?;
        report
            .protection
            .iter()
            .try_for_each(|row| print_row(out, row))?;
    }
    print_rules(out, &report.choices.rules)?;
    print_findings(out, &report.findings)
}

/// Prints what is computed without equipment.
pub(super) fn general(profile: &Profile, results: &ResultsReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{} {}, without equipment",
        profile.identity.maker, profile.identity.model
    )?;
    for variant in &results.variants {
        writeln!(out)?;
        mass::print_result(&mut out, &variant.mass)?;
        variant
            .lifting
            .iter()
            .try_for_each(|r| print_lifting(&mut out, r))?;
        print_methods(&mut out, &variant.methods)?;
        writeln!(out, "\nWhat it asks of a carrier")?;
        writeln!(out, "  {}", variant.carrier.answer)?;
        writeln!(out, "  {}", variant.carrier.proportions)?;
        for row in &variant.carrier.rows {
            print_row(&mut out, row)?;
        }
    }
    writeln!(out, "\n{}", CAUTIONS[0])
}

fn print_variant(out: &mut impl Write, variant: Option<&str>) -> io::Result<()> {
    variant.map_or(Ok(()), |id| writeln!(out, "variant {id}"))
}

/// One line with its verdict in front.
fn line(out: &mut impl Write, verdict: Option<Verdict>, words: &str) -> io::Result<()> {
    let verdict = verdict.map_or("", figures::verdict);
    writeln!(out, "  {verdict:<VERDICT_WIDTH$}{words}")
}

/// One line below another, under its words.
fn below(out: &mut impl Write, words: &str) -> io::Result<()> {
    writeln!(out, "  {:<VERDICT_WIDTH$}  {words}", "")
}

fn print_title(out: &mut impl Write, title: &str, verdict: Verdict) -> io::Result<()> {
    writeln!(out, "\n{title}: {}", figures::verdict(verdict))
}

fn print_rows(
    out: &mut impl Write,
    title: &str,
    verdict: Verdict,
    rows: &[Judged],
) -> io::Result<()> {
    print_title(out, title, verdict)?;
    rows.iter().try_for_each(|row| print_row(out, row))
}

fn print_row(out: &mut impl Write, row: &Judged) -> io::Result<()> {
    line(out, row.verdict, &row.label)?;
    if let Some(figure) = &row.figure {
        below(out, &figures::figure(figure, BOTH))?;
    }
    if let Some(limit) = &row.limit {
        let unit = row.figure.as_ref().map_or("", |f| f.unit.as_ref());
        let words = figures::limit(limit, unit, BOTH);
        below(out, &format!("limit {words} ({})", limit.from))?;
    }
    row.not_known
        .iter()
        .try_for_each(|sentence| below(out, sentence))
}

fn print_lifting(out: &mut impl Write, result: &LiftingResult) -> io::Result<()> {
    print_title(out, &result.title, result.verdict)?;
    let loads = result.supports.iter().map(|support| &support.load);
    loads
        .chain(&result.rows)
        .try_for_each(|row| print_row(out, row))
}

fn print_carrying(out: &mut impl Write, result: &CarryingResult) -> io::Result<()> {
    print_title(out, &result.title, result.verdict)?;
    if let Some(placement) = result.placement {
        line(out, None, &format!("standing {}", behind(placement)))?;
    }
    result.rows.iter().try_for_each(|row| print_row(out, row))?;
    print_window(out, "every rating holds", result.window.as_ref())?;
    print_window(
        out,
        "every rating holds, uncertainty and all,",
        result.sure_window.as_ref(),
    )?;
    match &result.no_window {
        Some(sentence) => line(out, None, sentence),
        None => Ok(()),
    }
}

fn behind(place: f64) -> String {
    format!(
        "{} behind the deck's front edge",
        figures::text(place, None, "m", BOTH)
    )
}

fn print_window(
    out: &mut impl Write,
    what: &str,
    window: Option<&PlacementWindow>,
) -> io::Result<()> {
    let Some(window) = window else {
        return Ok(());
    };
    let words = format!(
        "{what} from {} (set by {}) to {} (set by {})",
        figures::text(window.from, None, "m", BOTH),
        plain(&window.from_set_by),
        behind(window.to),
        plain(&window.to_set_by)
    );
    line(out, None, &words)
}

/// The name of a row as words.
fn plain(name: &str) -> String {
    name.replace(['-', '_'], " ")
}

fn print_securing(out: &mut impl Write, result: &SecuringResult) -> io::Result<()> {
    print_title(out, &result.title, result.verdict)?;
    line(out, None, &result.answer)?;
    for leg in &result.legs {
        let words = format!(
            "{} {} to {} {} with {}{}",
            leg.from,
            word(leg.from_side),
            leg.to,
            word(leg.to_side),
            leg.with,
            if leg.weakest { ", the most used" } else { "" }
        );
        line(out, None, &words)?;
        below(out, &format!("weakest part: {}", leg.weakest_part))?;
        print_row(out, &leg.limit)?;
        print_row(out, &leg.force)?;
    }
    result.rows.iter().try_for_each(|row| print_row(out, row))
}

fn print_clearing(out: &mut impl Write, result: &ClearingResult) -> io::Result<()> {
    print_title(out, &result.title, result.verdict)?;
    if let Some(with) = &result.with {
        line(out, None, with)?;
    }
    result.rows.iter().try_for_each(|row| print_row(out, row))?;
    let Some(spot) = &result.tightest else {
        return Ok(());
    };
    let words = format!(
        "tightest: {}, {} behind the front axle and {} above the ground, after {} from the foot of the ramp",
        spot.what,
        figures::text(spot.x, None, "m", BOTH),
        figures::text(spot.z, None, "m", BOTH),
        figures::text(spot.along, None, "m", BOTH)
    );
    line(out, None, &words)
}

fn print_towing(out: &mut impl Write, result: &TowingResult) -> io::Result<()> {
    print_rows(out, &result.title, result.verdict, &result.rows)?;
    for axle in &result.turning {
        let what = if axle.turns { "turns" } else { "does not turn" };
        line(
            out,
            Some(axle.verdict),
            &format!("axle {} {what}: {}", axle.axle, axle.reason),
        )?;
    }
    let limits = limits(result.max_speed, result.max_distance);
    if !limits.is_empty() {
        line(out, None, &limits)?;
    }
    result
        .before
        .iter()
        .try_for_each(|sentence| line(out, None, &format!("before: {sentence}")))
}

fn limits(speed: Option<f64>, distance: Option<f64>) -> String {
    let speed = speed.map(|v| format!("at most {}", figures::text(v, None, "m/s", BOTH)));
    let distance = distance.map(|v| format!("at most {}", figures::text(v, None, "m", BOTH)));
    [speed, distance]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}

fn print_methods(out: &mut impl Write, methods: &[MethodResult]) -> io::Result<()> {
    if methods.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nMethods of moving it")?;
    for method in methods {
        let limits = limits(method.max_speed, method.max_distance);
        let answer = method_answer(method.answer);
        let with = if limits.is_empty() { "" } else { ", " };
        writeln!(
            out,
            "  {:<36}{answer}{with}{limits}",
            method_name(method.method)
        )?;
        for reason in &method.reasons {
            let rests_on = figures::reference(&reason.reference, reason.trust);
            writeln!(out, "    {} [{rests_on}]", reason.reason)?;
        }
    }
    Ok(())
}

fn method_name(method: TransportMethod) -> &'static str {
    match method {
        TransportMethod::Carrier => "on a carrier's deck",
        TransportMethod::FrontLift => "front lifted, rear wheels rolling",
        TransportMethod::FrontLiftDollies => "front lifted, rear on dollies",
        TransportMethod::RearLift => "rear lifted, front wheels rolling",
        TransportMethod::RearLiftDollies => "rear lifted, front on dollies",
        TransportMethod::AllWheelsGround => "all wheels on the ground",
        TransportMethod::WinchRolling => "winched, wheels rolling",
        TransportMethod::WinchSkates => "winched on skates",
        TransportMethod::Push => "pushed",
    }
}

fn method_answer(answer: MethodAnswer) -> &'static str {
    match answer {
        MethodAnswer::Allowed => "allowed",
        MethodAnswer::Limited => "allowed within limits",
        MethodAnswer::OnlyWithDollies => "only with dollies under the other end",
        MethodAnswer::NotAllowed => "not allowed",
        MethodAnswer::NotKnown => "not known: do not",
    }
}

fn topic_word(topic: FitTopic) -> &'static str {
    match topic {
        FitTopic::Lifting => "lifting",
        FitTopic::Carrying => "carrying",
        FitTopic::Towing => "towing",
        FitTopic::Winching => "winching",
        FitTopic::Securing => "securing",
        FitTopic::Clearing => "clearing",
        FitTopic::Protection => "protection",
    }
}

/// A side as a word.
fn word(side: Side) -> &'static str {
    use super::named::Choosable as _;
    side.words()[0]
}

fn print_rules(out: &mut impl Write, rules: &RuleChoices) -> io::Result<()> {
    use super::named::Choosable as _;
    writeln!(out, "\nRule sets where published ones disagree")?;
    for [_, source] in [
        rules.balance.words(),
        rules.counting.words(),
        rules.number.words(),
        rules.resistance.words(),
        rules.grade.words(),
    ] {
        writeln!(out, "  {source}")?;
    }
    Ok(())
}

fn print_findings(out: &mut impl Write, findings: &[Finding]) -> io::Result<()> {
    writeln!(out, "\nFindings: {}", check::tally(findings))
}
