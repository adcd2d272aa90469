//! A change note: what changed from one version to another, as one page of HTML that needs nothing else and prints well.

use std::fmt::Write as _;

use chockstone_schema::{
    CAUTIONS, Profile,
    report::{Change, ComparedSide, DifferenceReport, Effect, Grade, PieceKind, WordChange},
    text::Text,
};

const STYLE: &str = "\
body{font:15px/1.45 sans-serif;color:#1e2426;background:#fff;margin:2rem auto;max-width:46rem;padding:0 1rem}\
h1{font-size:1.5rem}h2{font-size:1.15rem;margin-top:1.6rem;border-bottom:1px solid #848e90}\
table{border-collapse:collapse}td,th{text-align:left;vertical-align:top;padding:.15rem .9rem .15rem 0}\
li{margin-bottom:.6rem;break-inside:avoid}.why,.where{color:#525c60}\
.where{font:13px monospace;overflow-wrap:anywhere}del{text-decoration:line-through;background:#f6dede}\
ins{text-decoration:underline;background:#dcefe0}.caution{border:2px solid #1e2426;padding:.6rem .9rem}";

/// What a grade is called.
pub fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::CanHurt => "Can hurt",
        Grade::NewToKnow => "New to know",
        Grade::Wording => "Wording",
    }
}

/// Maker, model and years, as a person names a vehicle.
pub fn title_of(profile: &Profile) -> String {
    let identity = &profile.identity;
    let years = identity.model_years.as_ref().map_or_else(String::new, |y| {
        if y.first == y.last {
            format!(", {}", y.first)
        } else {
            format!(", {}–{}", y.first, y.last)
        }
    });
    format!("{} {}{years}", identity.maker, identity.model)
}

/// The change note of a report about a vehicle, in English.
///
/// Everything that a profile says is escaped: the page holds no script and asks for nothing from anywhere.
pub fn html(title: &str, report: &DifferenceReport) -> String {
    let heading = format!("Change note: {}", escaped(title));
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{heading}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n<h1>{heading}</h1>\n"
    );
    page.push_str(&sides(report));
    page.push_str(&counts(report));
    for of in Grade::ALL {
        let changes = report.changes.iter().filter(|change| change.grade == of);
        page.push_str(&section(grade(of), changes.map(change_item)));
    }
    page.push_str(&section(
        "Computed results that changed",
        report.effects.iter().map(effect_item),
    ));
    page.push_str("<h2>Cautions</h2>\n<div class=\"caution\">\n");
    for caution in CAUTIONS {
        let _ = writeln!(page, "<p>{}</p>", escaped(caution));
    }
    let _ = write!(
        page,
        "</div>\n<p class=\"why\">Made by {}.</p>\n</body>\n</html>\n",
        escaped(&report.program)
    );
    page
}

/// A list under a heading; nothing where there is nothing to list.
fn section(heading: &str, items: impl Iterator<Item = String>) -> String {
    let items: String = items.collect();
    if items.is_empty() {
        return String::new();
    }
    format!("<h2>{heading}</h2>\n<ul>\n{items}</ul>\n")
}

fn sides(report: &DifferenceReport) -> String {
    let row = |what: &str, side: &ComparedSide| {
        let file = side.file.as_deref().unwrap_or("–");
        let release = side.release.as_deref().unwrap_or("none");
        format!(
            "<tr><th>{what}</th><td>{}</td><td>{}</td><td>{}</td><td class=\"where\">{}</td></tr>\n",
            escaped(&side.profile),
            escaped(file),
            escaped(release),
            escaped(&side.sha256)
        )
    };
    format!(
        "<table>\n<tr><th></th><th>Profile</th><th>From</th><th>Release</th><th>SHA-256</th></tr>\n{}{}</table>\n",
        row("Older", &report.before),
        row("Newer", &report.after)
    )
}

fn counts(report: &DifferenceReport) -> String {
    if report.changes.is_empty() {
        return "<p>Nothing changed in meaning.</p>\n".to_owned();
    }
    let counted = Grade::ALL.map(|of| {
        let number = report.changes.iter().filter(|c| c.grade == of).count();
        format!("{}: {number}", grade(of))
    });
    let least = report
        .least_release
        .as_deref()
        .map_or_else(String::new, |n| {
            format!(" The least number of a release is {}.", escaped(n))
        });
    format!("<p>{}.{least}</p>\n", counted.join(", "))
}

fn change_item(change: &Change) -> String {
    let words: String = change.words.iter().map(words_line).collect();
    format!(
        "<li>{}{words}<br><span class=\"why\">{}</span><br><span class=\"where\">{}</span></li>\n",
        escaped(english(&change.sentence)),
        escaped(english(&change.reason)),
        escaped(change.place())
    )
}

/// The words of one language: removed ones struck through, added ones underlined.
fn words_line(change: &WordChange) -> String {
    let pieces = change.pieces.iter().map(|piece| {
        let text = escaped(&piece.text);
        match piece.kind {
            PieceKind::Same => text,
            PieceKind::Removed => format!("<del>{text}</del>"),
            PieceKind::Added => format!("<ins>{text}</ins>"),
        }
    });
    let pieces: String = pieces.collect();
    format!("<br>{}: {pieces}", escaped(&change.language))
}

fn effect_item(effect: &Effect) -> String {
    let worse = if effect.worse { "<b>Worse.</b> " } else { "" };
    let none = "nothing";
    format!(
        "<li>{worse}{}: was {}, is now {}.</li>\n",
        escaped(&effect.what),
        escaped(effect.before.as_deref().unwrap_or(none)),
        escaped(effect.after.as_deref().unwrap_or(none))
    )
}

fn english(text: &Text) -> &str {
    let mut strings = text.iter();
    let english = strings.find(|(language, _)| language.as_str() == "en");
    english.map_or_else(|| text.pick([]), |(_, string)| string)
}

fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            _ => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]
    use chockstone_schema::{
        Profile,
        read::{from_value, to_value},
        report::{Difference, EffectTopic},
    };
    use serde_json::json;

    use super::*;
    use crate::{
        difference::{
            difference,
            report::{Side, report},
        },
        testing::{number, small},
    };

    fn note(model: &str) -> String {
        let mut value = to_value(&small());
        value["identity"]["model"] = json!(model);
        let newer: Profile = from_value(&value).unwrap();
        let effect = Effect {
            topic: EffectTopic::Methods,
            what: "Carrier".to_owned(),
            before: Some("possible".to_owned()),
            after: None,
            worse: true,
        };
        let mut older = small();
        older.release = Some(number("1.0.0"));
        let before = Side {
            file: Some("small-1.0.0.zip"),
            profile: &older,
        };
        let difference = difference(&older, &newer);
        let report = report(before, Side::of(&newer), difference, vec![effect]);
        html("Example Works", &report)
    }

    #[test]
    fn a_note_tells_sides_counts_changes_effects_and_cautions() {
        let note = note("Other");
        for part in [
            "<h1>Change note: Example Works</h1>",
            "small-1.0.0.zip",
            "The least number of a release is ",
            "is now Other",
            "<b>Worse.</b> Carrier: was possible, is now nothing.",
            &escaped(CAUTIONS[0]),
        ] {
            assert!(note.contains(part), "{part}: {note}");
        }
        assert_eq!(note.matches("<td class=\"where\">").count(), 2);
    }

    #[test]
    fn what_a_profile_says_cannot_become_markup() {
        let note = note("<script>alert('x')</script>");
        assert!(!note.contains("<script"), "{note}");
        assert!(note.contains("&lt;script&gt;alert(&#39;x&#39;)"));
    }

    #[test]
    fn equal_sides_make_a_note_that_says_so() {
        let small = small();
        let sides = [Side::of(&small), Side::of(&small)];
        let [before, after] = sides;
        let report = report(before, after, Difference::default(), Vec::new());
        let note = html("Example Works", &report);
        assert!(note.contains("Nothing changed in meaning."));
        assert!(!note.contains("<ul>"));
    }
}
