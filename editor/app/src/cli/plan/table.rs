//! Situations down, goals across: each cell a way or why there is none.

use std::io::{self, Write};

use chockstone_rules::plan::goal_name;
use chockstone_schema::report::{
    HazardCount, MissingFact, PlanAnswer, PlanCell, PlanReport, PlanRow, Way,
};

use super::{
    layout::{COLUMNS, beside, hang, wrap},
    way::{print_cautions, print_left_out, print_rules, print_title},
    words::{Words, count, messages, minutes},
};

/// The width of the column of situations.
const FIRST: usize = 22;
/// The gap between two columns.
const GAP: usize = 2;
/// The widest column of a goal: a single one need not fill the line.
const WIDEST: usize = 28;

/// Prints the table and what its cells refer to.
pub(super) fn print(
    out: &mut impl Write,
    words: &Words<'_>,
    report: &PlanReport,
    rows: &[PlanRow],
) -> io::Result<()> {
    print_title(out, words, report)?;
    let mut notes = Notes::default();
    print_grid(out, words, rows, &mut notes)?;
    print_legend(out, rows)?;
    print_facts(out, words, rows)?;
    print_reasons(out, &notes)?;
    print_first(out, words, rows)?;
    print_debts(out, words, &notes)?;
    print_left_out(out, words, report)?;
    print_rules(out, report)?;
    print_cautions(out, words)
}

/// What cells refer to by a number or a letter, in the order in which they first do.
#[derive(Default)]
struct Notes {
    reasons: Vec<Vec<String>>,
    debts: Vec<String>,
}

impl Notes {
    /// The number of some reasons.
    fn reasons(&mut self, reasons: &[String]) -> usize {
        1 + place(&mut self.reasons, &reasons.to_vec())
    }

    /// The letter of a debt.
    fn debt(&mut self, id: &String) -> String {
        letter(place(&mut self.debts, id))
    }
}

/// Where a thing stands in a list, to whose end it comes when it is new.
fn place<T: PartialEq + Clone>(list: &mut Vec<T>, thing: &T) -> usize {
    let found = list.iter().position(|known| known == thing);
    found.unwrap_or_else(|| {
        list.push(thing.clone());
        list.len() - 1
    })
}

/// `a` to `z`, then `a2` to `z2` and on.
fn letter(place: usize) -> String {
    let (round, at) = (place / 26, place % 26);
    let letter = ('a'..='z').nth(at).unwrap_or('a');
    if round == 0 {
        letter.to_string()
    } else {
        format!("{letter}{}", round + 1)
    }
}

fn print_grid(
    out: &mut impl Write,
    words: &Words<'_>,
    rows: &[PlanRow],
    notes: &mut Notes,
) -> io::Result<()> {
    let goals = rows.first().map_or(&[] as &[_], |row| row.cells.as_slice());
    let width = ((COLUMNS - FIRST) / goals.len().max(1) - GAP).min(WIDEST);
    let mut widths = vec![FIRST];
    widths.resize(goals.len() + 1, width);
    let mut head = vec![vec!["Situation".to_owned()]];
    head.extend(
        goals
            .iter()
            .map(|cell| wrap(words.own(goal_name(cell.goal)), width)),
    );
    print_lines(out, &beside(&head, &widths))?;
    let rule: Vec<Vec<String>> = widths
        .iter()
        .map(|width| vec!["-".repeat(*width)])
        .collect();
    print_lines(out, &beside(&rule, &widths))?;
    for row in rows {
        let mut cells = vec![situation(words, row)];
        for cell in &row.cells {
            let lines = cell_lines(words, cell, notes);
            cells.push(lines.iter().flat_map(|line| wrap(line, width)).collect());
        }
        print_lines(out, &beside(&cells, &widths))?;
        writeln!(out)?;
    }
    Ok(())
}

pub(super) fn print_lines(out: &mut impl Write, lines: &[String]) -> io::Result<()> {
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))
}

/// The name of a situation, with a mark where something comes before anything else.
fn situation(words: &Words<'_>, row: &PlanRow) -> Vec<String> {
    let mark = if row.cells.iter().any(|cell| !cell.first.is_empty()) {
        "! "
    } else {
        ""
    };
    wrap(&format!("{mark}{}", words.text(&row.name)), FIRST)
}

fn cell_lines(words: &Words<'_>, cell: &PlanCell, notes: &mut Notes) -> Vec<String> {
    let mut lines = match (cell.answer, &cell.way) {
        (PlanAnswer::Holds, _) => vec!["holds".to_owned()],
        (PlanAnswer::Way, Some(way)) => way_lines(way, notes),
        (PlanAnswer::WayIf, _) => vec![format!("if: {}", words.facts(&cell.missing))],
        (PlanAnswer::Way | PlanAnswer::NoWay, _) => {
            vec![format!("no way ({})", notes.reasons(&cell.reasons))]
        }
        (PlanAnswer::NotWorkedOut, _) => vec!["not worked out".to_owned()],
    };
    if cell.fallback.is_some() {
        lines.push("or lifted".to_owned());
    }
    lines
}

fn way_lines(way: &Way, notes: &mut Notes) -> Vec<String> {
    let more = if way.untimed_steps > 0 { " +" } else { "" };
    let mut lines = vec![
        format!("{} min{more}", minutes(way.seconds)),
        count(way.steps, "step"),
    ];
    lines.extend(short(way.hazards));
    if !way.debts.is_empty() {
        let letters: Vec<String> = way.debts.iter().map(|id| notes.debt(id)).collect();
        lines.push(format!("owes {}", letters.join(", ")));
    }
    lines
}

/// How many messages of each signal word, each by its first letter: `1D 5W 2C`.
fn short(hazards: HazardCount) -> Option<String> {
    let told = messages(hazards);
    let letters = told.split(", ").filter_map(|part| {
        let (number, word) = part.split_once(' ')?;
        let first = word.chars().next()?.to_ascii_uppercase();
        Some(format!("{number}{first}"))
    });
    let letters: Vec<String> = letters.collect();
    (!letters.is_empty()).then(|| letters.join(" "))
}

/// What the words in the cells mean, as far as there are such cells.
fn print_legend(out: &mut impl Write, rows: &[PlanRow]) -> io::Result<()> {
    let cells = || rows.iter().flat_map(|row| &row.cells);
    let answered = |answer| cells().any(|cell| cell.answer == answer);
    let ways = || {
        let with_way = cells().filter(|cell| cell.answer == PlanAnswer::Way);
        with_way.filter_map(|cell| cell.way.as_ref())
    };
    let legend = [
        (answered(PlanAnswer::Holds), "holds", "reached already"),
        (
            answered(PlanAnswer::Way),
            "14 min, 12 steps",
            "a way: how long its steps take, without uncertainty, and how many they are",
        ),
        (
            ways().any(|way| way.untimed_steps > 0),
            "14 min +",
            "some of its steps state no time and are not counted",
        ),
        (
            ways().any(|way| way.hazards != HazardCount::default()),
            "1D 5W 2C 1N",
            "how many danger, warning, caution messages and notices are met on the way",
        ),
        (
            ways().any(|way| !way.debts.is_empty()),
            "owes a, b",
            "what is still open, removed or to be put back at its end, listed below",
        ),
        (
            answered(PlanAnswer::WayIf),
            "if: …",
            "a way only if this is brought about from outside",
        ),
        (
            answered(PlanAnswer::NoWay),
            "no way (1)",
            "none, whatever is brought about; the reason is listed below",
        ),
        (
            answered(PlanAnswer::NotWorkedOut),
            "not worked out",
            "too many states would have to be looked at: there may be a way, or none",
        ),
        (
            cells().any(|cell| cell.fallback.is_some()),
            "or lifted",
            "it can be moved with its wheels off the ground instead",
        ),
        (
            cells().any(|cell| !cell.first.is_empty()),
            "!",
            "something comes before anything else, listed below",
        ),
    ];
    writeln!(out, "In the table")?;
    let used = legend.iter().filter(|(used, ..)| *used);
    for (_, word, meaning) in used {
        print_lines(out, &hang(&format!("  {word:<18}"), meaning))?;
    }
    writeln!(
        out,
        "  With --situation ID --goal GOAL the way of one cell is told step by step."
    )
}

/// What each fact after an “if” means.
fn print_facts(out: &mut impl Write, words: &Words<'_>, rows: &[PlanRow]) -> io::Result<()> {
    let mut facts: Vec<MissingFact> = Vec::new();
    for cell in rows.iter().flat_map(|row| &row.cells) {
        for fact in &cell.missing {
            place(&mut facts, fact);
        }
    }
    if facts.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nFacts that would make a way")?;
    for fact in &facts {
        let lead = format!("  {}: ", words.facts(std::slice::from_ref(fact)));
        print_lines(out, &hang(&lead, words.text(&fact.text)))?;
    }
    Ok(())
}

fn print_reasons(out: &mut impl Write, notes: &Notes) -> io::Result<()> {
    if notes.reasons.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nWhy there is no way")?;
    for (i, reasons) in notes.reasons.iter().enumerate() {
        let lead = format!("{:>4}  ", format!("({})", i + 1));
        print_lines(out, &hang(&lead, &reasons.join("\n")))?;
    }
    Ok(())
}

/// What comes before anything else, situation by situation.
fn print_first(out: &mut impl Write, words: &Words<'_>, rows: &[PlanRow]) -> io::Result<()> {
    let mut told = false;
    for row in rows {
        let Some(cell) = row.cells.iter().find(|cell| !cell.first.is_empty()) else {
            continue;
        };
        if !told {
            writeln!(out, "\nBefore anything else")?;
            told = true;
        }
        let names: Vec<String> = cell.first.iter().map(|id| words.procedure(id)).collect();
        let lead = format!("  {}: ", words.text(&row.name));
        print_lines(out, &hang(&lead, &names.join(", ")))?;
    }
    Ok(())
}

fn print_debts(out: &mut impl Write, words: &Words<'_>, notes: &Notes) -> io::Result<()> {
    if notes.debts.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nStill owed at the end of a way")?;
    for (i, id) in notes.debts.iter().enumerate() {
        print_lines(out, &hang(&format!("  {:<4}", letter(i)), &words.debt(id)))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_the_last() {
        assert_eq!([0, 25, 26, 53].map(letter), ["a", "z", "a2", "b3"]);
    }

    #[test]
    fn messages_are_told_by_their_first_letters() {
        let hazards = HazardCount {
            danger: 1,
            warning: 12,
            notice: 3,
            ..HazardCount::default()
        };
        assert_eq!(short(hazards).as_deref(), Some("1D 12W 3N"));
        assert_eq!(short(HazardCount::default()), None);
    }

    #[test]
    fn the_same_reasons_have_one_number() {
        let mut notes = Notes::default();
        let [one, other] = ["No key.", "No line."].map(|r| vec![r.to_owned()]);
        let numbers = [&one, &other, &one].map(|reasons| notes.reasons(reasons));
        assert_eq!(numbers, [1, 2, 1]);
    }
}
