//! Rows that are beyond a limit, too close to call or not known, as findings.

use chockstone_schema::report::{Finding, FitReport, Judged, Reference, Severity, Trust, Verdict};

use super::Job;

/// One result's rows, with what they are rows of.
struct Section<'r> {
    topic: &'static str,
    title: &'r str,
    rows: Vec<&'r Judged>,
}

/// Adds a finding for every row that does not hold, and sorts the whole, worst first.
pub(crate) fn add(report: &mut FitReport) {
    let found: Vec<Finding> = sections(report)
        .iter()
        .flat_map(|section| section.rows.iter().filter_map(|row| finding(section, row)))
        .collect();
    report.findings.extend(found);
    report
        .findings
        .sort_by(|a, b| (a.severity, &a.place, &a.check).cmp(&(b.severity, &b.place, &b.check)));
    report.findings.dedup();
}

fn sections(report: &FitReport) -> Vec<Section<'_>> {
    let mut sections = Vec::new();
    let mut push = |topic, title, rows| sections.push(Section { topic, title, rows });
    for r in &report.lifting {
        let supports = r.supports.iter().map(|s| &s.load);
        push(
            "lifting",
            r.title.as_str(),
            supports.chain(&r.rows).collect(),
        );
    }
    for r in &report.carrying {
        push("carrying", &r.title, r.rows.iter().collect());
    }
    for r in &report.towing {
        push("towing", &r.title, r.rows.iter().collect());
    }
    for r in &report.winching {
        push("winching", &r.title, r.rows.iter().collect());
    }
    for r in &report.securing {
        let legs = r.legs.iter().flat_map(|l| [&l.limit, &l.force]);
        push("securing", &r.title, legs.chain(&r.rows).collect());
    }
    for r in &report.clearing {
        push("clearing", &r.title, r.rows.iter().collect());
    }
    push(
        "protection",
        "Protective equipment",
        report.protection.iter().collect(),
    );
    sections
}

fn finding(section: &Section<'_>, row: &Judged) -> Option<Finding> {
    let (severity, what) = match row.verdict? {
        Verdict::Within => return None,
        Verdict::Beyond => (Severity::Blocking, "is beyond its limit"),
        Verdict::TooCloseToCall => (Severity::Warning, "is too close to its limit to call"),
        Verdict::NotKnown => (Severity::Note, "is not known"),
    };
    let mut message = format!("{}: {} {what}.", section.title, row.label);
    for sentence in &row.not_known {
        message.push(' ');
        message.push_str(sentence);
    }
    Some(Finding {
        check: format!("fit-{}-{}", section.topic, row.name),
        severity,
        place: place(row),
        message,
        computed: row.figure.as_ref().map(Job::words),
        limit: row.limit.as_ref().map(|limit| {
            let unit = row.figure.as_ref().map_or("", |f| f.unit.as_ref());
            limit_words(limit, unit)
        }),
        reference: row.figure.as_ref().map_or_else(
            || Reference {
                title: "Plain logic".to_owned(),
                trust: Trust::Logic,
            },
            |f| Reference {
                title: f.reference.to_string(),
                trust: f.trust,
            },
        ),
        settle: settle(row),
    })
}

/// The field of the profile that the figure depends on most, or the whole profile.
fn place(row: &Judged) -> String {
    let of_profile = |input: &str| input.starts_with('/');
    row.figure
        .iter()
        .flat_map(|f| &f.inputs)
        .map(|i| i.input.split(' ').next().unwrap_or_default())
        .find(|i| of_profile(i))
        .unwrap_or_default()
        .to_owned()
}

fn settle(row: &Judged) -> String {
    match row.verdict {
        Some(Verdict::NotKnown) => "State what is missing, with its source.".to_owned(),
        Some(Verdict::TooCloseToCall) => {
            let strongest = row
                .figure
                .iter()
                .flat_map(|f| &f.inputs)
                .find(|i| i.part.is_some());
            strongest.map_or_else(
                || "Take the cautious side.".to_owned(),
                |i| format!("Measure {} better, or take the cautious side.", i.input),
            )
        }
        _ => "Use other equipment, another placement or another way.".to_owned(),
    }
}

fn limit_words(limit: &chockstone_schema::report::FitLimit, unit: &str) -> String {
    let bound = |word: &str, value: Option<f64>| {
        value.map(|v| {
            format!(
                "{word} {}",
                crate::fit::work::amount(v, limit.plus_minus, unit)
            )
        })
    };
    let parts: Vec<String> = [
        bound("at least", limit.at_least),
        bound("at most", limit.at_most),
    ]
    .into_iter()
    .flatten()
    .collect();
    format!("{} ({})", parts.join(" and "), limit.from)
}
