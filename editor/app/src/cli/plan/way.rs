//! One way, told step by step, with what to know before each step.

use std::{
    collections::BTreeSet,
    io::{self, Write},
};

use chockstone_rules::plan::{goal_meaning, goal_name};
use chockstone_schema::{
    CAUTIONS,
    report::{
        Fallback, HoldLine, MissingFact, PartKind, PlanAnswer, PlanCell, PlanReport, PlanRow, Way,
        WayPart, WayStep,
    },
};

use super::{
    layout::hang,
    table::print_lines,
    words::{Words, count, messages, minutes},
};
use crate::figures;

/// How far the lines of a step stand under its number.
const STEP: usize = 6;

/// Prints the answer for one start and one goal.
pub(super) fn print(
    out: &mut impl Write,
    words: &Words<'_>,
    report: &PlanReport,
    row: &PlanRow,
) -> io::Result<()> {
    print_title(out, words, report)?;
    for cell in &row.cells {
        print_question(out, words, row, cell)?;
        print_answer(out, words, cell)?;
    }
    print_left_out(out, words, report)?;
    print_rules(out, report)?;
    print_cautions(out, words)
}

/// Which vehicle this is about; without a variant, that ways may hold what is for some variants only.
pub(super) fn print_title(
    out: &mut impl Write,
    words: &Words<'_>,
    report: &PlanReport,
) -> io::Result<()> {
    let identity = &words.profile.identity;
    let variant = match &report.variant {
        Some(id) => format!(", variant {id}"),
        None => String::new(),
    };
    writeln!(out, "{} {}{variant}", identity.maker, identity.model)?;
    let mut procedures = words.profile.procedures.iter();
    if report.variant.is_none() && procedures.any(|procedure| !procedure.variants.is_empty()) {
        let known: Vec<&str> = words
            .profile
            .variants
            .iter()
            .map(|v| v.id.as_str())
            .collect();
        let sentence = format!(
            "No variant was chosen: a way may use procedures of some variants only. Choose one with --variant: {}.",
            known.join(", ")
        );
        told(out, "", &sentence)?;
    }
    writeln!(out)
}

fn print_question(
    out: &mut impl Write,
    words: &Words<'_>,
    row: &PlanRow,
    cell: &PlanCell,
) -> io::Result<()> {
    told(out, "Start: ", words.text(&row.name))?;
    let given = if row.given.is_empty() {
        "nothing".to_owned()
    } else {
        words.conditions(&row.given)
    };
    told(out, "  holds, and nothing else does: ", &given)?;
    let goal = words.own(goal_name(cell.goal));
    told(out, "Goal: ", goal)?;
    told(out, "  ", words.own(goal_meaning(cell.goal)))
}

/// A text after its lead.
fn told(out: &mut impl Write, lead: &str, text: &str) -> io::Result<()> {
    print_lines(out, &hang(lead, text))
}

/// A text after its lead, if there is one.
fn told_if_any(out: &mut impl Write, lead: &str, text: &str) -> io::Result<()> {
    if text.is_empty() {
        Ok(())
    } else {
        told(out, lead, text)
    }
}

fn print_answer(out: &mut impl Write, words: &Words<'_>, cell: &PlanCell) -> io::Result<()> {
    let answer = match cell.answer {
        PlanAnswer::Holds => "reached already: nothing is to be done",
        PlanAnswer::Way => "there is a way",
        PlanAnswer::WayIf => "there is a way only if this is brought about from outside",
        PlanAnswer::NoWay => "there is no way",
        PlanAnswer::NotWorkedOut => {
            "not worked out: too many states would have to be looked at. Fewer procedures or conditions make it possible"
        }
    };
    told(out, "Answer: ", answer)?;
    print_missing(out, words, &cell.missing)?;
    for reason in &cell.reasons {
        told(out, "  because: ", reason)?;
    }
    if !cell.first.is_empty() {
        writeln!(out, "\nBefore anything else")?;
        for id in &cell.first {
            told(out, "  ", &words.procedure(id))?;
        }
    }
    if let Some(way) = &cell.way {
        writeln!(out, "\nThe way")?;
        print_way(out, words, way)?;
    }
    match &cell.fallback {
        Some(fallback) => print_fallback(out, words, fallback),
        None => Ok(()),
    }
}

fn print_missing(
    out: &mut impl Write,
    words: &Words<'_>,
    missing: &[MissingFact],
) -> io::Result<()> {
    for fact in missing {
        told(out, "  needed: ", words.text(&fact.text))?;
    }
    Ok(())
}

fn print_fallback(out: &mut impl Write, words: &Words<'_>, fallback: &Fallback) -> io::Result<()> {
    writeln!(out, "\nInstead: move it with its wheels off the ground")?;
    print_missing(out, words, &fallback.missing)?;
    print_way(out, words, &fallback.way)
}

fn print_way(out: &mut impl Write, words: &Words<'_>, way: &Way) -> io::Result<()> {
    told(out, "  time: ", &total(way))?;
    told_if_any(
        out,
        "  hazard messages on the way: ",
        &messages(way.hazards),
    )?;
    let mut number = 0;
    let mut met = Met::default();
    for (i, part) in way.parts.iter().enumerate() {
        print_part(out, words, i + 1, part, &mut met)?;
        for step in &part.steps {
            number += 1;
            print_step(out, words, number, step, &mut met)?;
        }
    }
    if !way.holds.is_empty() {
        writeln!(out, "\nTime limits, on the clock of the slowest crew")?;
        for hold in &way.holds {
            print_hold(out, words, hold)?;
        }
    }
    if !way.debts.is_empty() {
        writeln!(out, "\nStill owed at the end")?;
        for id in &way.debts {
            told(out, "  ", &words.debt(id))?;
        }
    }
    writeln!(out, "\nHolds at the end")?;
    told(out, "  ", &words.conditions(&way.end))
}

/// How long a way takes.
fn total(way: &Way) -> String {
    let untimed = match way.untimed_steps {
        0 => String::new(),
        1 => ", one of which states no time and is not counted".to_owned(),
        many => format!(", {many} of which state no time and are not counted"),
    };
    format!(
        "{} min, {} min for the slowest crew; {}{untimed}",
        minutes(way.seconds),
        minutes(way.slowest),
        count(way.steps, "step")
    )
}

fn print_part(
    out: &mut impl Write,
    words: &Words<'_>,
    number: usize,
    part: &WayPart,
    met: &mut Met,
) -> io::Result<()> {
    let kind = match part.kind {
        PartKind::Procedure => format!("procedure {}", part.id),
        PartKind::GeneralAct => "what every crew can do: common practice, no source".to_owned(),
        PartKind::Fact => "to be brought about from outside: no time is counted".to_owned(),
    };
    writeln!(out)?;
    let heading = format!("{} ({kind})", words.text(&part.name));
    told(out, &format!("Part {number}: "), &heading)?;
    if part.to_confirm {
        told(
            out,
            "  NOT CONFIRMED: ",
            "a starting text; confirm it against the maker's instructions before anybody works by it.",
        )?;
    }
    if part.kind == PartKind::Procedure {
        told_if_any(out, "  ONLY FOR: variant ", &words.variants_of(&part.id))?;
    }
    met.print(out, words, 2, &part.hazards)
}

/// The hazard messages that were told in full: where they come again, the hazard alone is told, so that what is new
/// stands out.
#[derive(Default)]
struct Met(BTreeSet<String>);

impl Met {
    fn print(
        &mut self,
        out: &mut impl Write,
        words: &Words<'_>,
        indent: usize,
        ids: &[String],
    ) -> io::Result<()> {
        for id in ids {
            let is_new = self.0.insert(id.clone());
            let (signal, message) = words.hazard(id, is_new);
            told(out, &format!("{:indent$}{signal}: ", ""), &message)?;
        }
        Ok(())
    }
}

/// What to know before a step, the step, and what is so after it.
fn print_step(
    out: &mut impl Write,
    words: &Words<'_>,
    number: usize,
    step: &WayStep,
    met: &mut Met,
) -> io::Result<()> {
    writeln!(out)?;
    met.print(out, words, STEP, &step.hazards)?;
    let under = |lead: &str| format!("{:STEP$}{lead}: ", "");
    for caution in &step.cautions {
        told(out, &under("beware"), words.text(caution))?;
    }
    told(out, &format!("{number:>4}. "), words.text(&step.text))?;
    let tools: Vec<&str> = step.tools.iter().map(|tool| words.text(tool)).collect();
    let lines = [
        ("time", when(step)),
        ("tools", tools.join("; ")),
        ("at", words.points(&step.points)),
        ("now holds", words.conditions(&step.now_holds)),
        ("no longer holds", words.conditions(&step.ended)),
        (
            "can no longer be counted on",
            words.conditions(&step.doubtful),
        ),
    ];
    for (lead, text) in &lines {
        told_if_any(out, &under(lead), text)?;
    }
    for id in &step.opens {
        told(out, &under("leaves open"), &words.debt(id))?;
    }
    for id in &step.settles {
        told(out, &under("settles"), &words.debt(id))?;
    }
    Ok(())
}

/// When a step begins, and how long it takes.
fn when(step: &WayStep) -> String {
    let begins = minutes(step.start);
    let slowest = minutes(step.slowest_start);
    let begins = if slowest == begins {
        format!("from minute {begins}")
    } else {
        format!("from minute {begins}, at the slowest {slowest}")
    };
    match step.seconds {
        Some(seconds) => format!("{begins}; takes {}", taken(seconds, step.slowest)),
        None => format!("{begins}; how long it takes is not stated"),
    }
}

/// `2 min`, or `2 min, at the slowest 3` where its uncertainty lets it take longer.
fn taken(seconds: f64, slowest: Option<f64>) -> String {
    let usual = minutes(seconds);
    let slowest = slowest.map(minutes).filter(|slowest| *slowest != usual);
    match slowest {
        Some(slowest) => format!("{usual} min, at the slowest {slowest}"),
        None => format!("{usual} min"),
    }
}

/// `In neutral: from minute 6 to 36, needed until 27: within`.
fn print_hold(out: &mut impl Write, words: &Words<'_>, hold: &HoldLine) -> io::Result<()> {
    let needed = match hold.needed_until {
        Some(seconds) => format!("needed until {}", minutes(seconds)),
        None => "needed by no step".to_owned(),
    };
    let ended = hold.ended.map_or_else(String::new, |seconds| {
        format!(", ended or renewed at {}", minutes(seconds))
    });
    let line = format!(
        "from minute {} to {}, {needed}{ended}: {}",
        minutes(hold.from),
        minutes(hold.until),
        figures::verdict(hold.verdict)
    );
    told(
        out,
        &format!("  {}: ", words.condition(&hold.condition)),
        &line,
    )?;
    match &hold.then {
        Some(then) => told(out, "    afterwards: ", words.text(then)),
        None => Ok(()),
    }
}

/// Procedures that no way uses, and why.
pub(super) fn print_left_out(
    out: &mut impl Write,
    words: &Words<'_>,
    report: &PlanReport,
) -> io::Result<()> {
    if report.left_out.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "\nProcedures that no way uses, because something is wrong with them"
    )?;
    for left in &report.left_out {
        told(
            out,
            &format!("  {}: ", words.procedure(&left.procedure)),
            &left.why,
        )?;
        writeln!(out, "    at {}", left.place)?;
    }
    Ok(())
}

/// How many rules every way keeps.
pub(super) fn print_rules(out: &mut impl Write, report: &PlanReport) -> io::Result<()> {
    let own = report.rules.iter().filter(|rule| rule.own).count();
    let built_in = count(report.rules.len() - own, "built-in rule");
    let rules = match own {
        0 => built_in,
        _ => format!("{built_in} and {} of the profile", count(own, "rule")),
    };
    writeln!(out)?;
    let sentence = format!(
        "No way breaks any of {rules}; --json lists them, each with its reason and source."
    );
    told(out, "", &sentence)
}

/// The cautions that stand under everything, in Spanish too where Spanish is read.
pub(super) fn print_cautions(out: &mut impl Write, words: &Words<'_>) -> io::Result<()> {
    let [english, spanish] = CAUTIONS;
    writeln!(out)?;
    told(out, "", english)?;
    if words.in_spanish() {
        told(out, "", spanish)?;
    }
    Ok(())
}
