//! Rows that are beyond a limit, too close to call or not known, as findings.
//!
//! A way that is beyond a limit blocks when its topic has no other way that holds; otherwise it is worth knowing.

use chockstone_schema::report::{
    Finding, FitReport, FitTopic, Judged, Reference, Severity, Trust, Verdict,
};

use super::Job;

/// One result's rows, with what they are rows of.
struct Section<'r> {
    topic: &'static str,
    title: &'r str,
    rows: Vec<&'r Judged>,
    /// Whether another way of the same topic keeps to every limit.
    another_holds: bool,
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
    let holds = |topic| {
        let mut answers = report.topics.iter();
        answers.any(|answer| answer.topic == topic && answer.verdict == Verdict::Within)
    };
    let mut push = |topic, title, rows| {
        let another_holds = holds(topic);
        sections.push(Section {
            topic: word(topic),
            title,
            rows,
            another_holds,
        });
    };
    for r in &report.lifting {
        let supports = r.supports.iter().map(|s| &s.load);
        push(
            FitTopic::Lifting,
            r.title.as_str(),
            supports.chain(&r.rows).collect(),
        );
    }
    for r in &report.carrying {
        push(FitTopic::Carrying, &r.title, r.rows.iter().collect());
    }
    for r in &report.towing {
        push(FitTopic::Towing, &r.title, r.rows.iter().collect());
    }
    for r in &report.winching {
        push(FitTopic::Winching, &r.title, r.rows.iter().collect());
    }
    for r in &report.securing {
        let legs = r.legs.iter().flat_map(|l| [&l.limit, &l.force]);
        push(FitTopic::Securing, &r.title, legs.chain(&r.rows).collect());
    }
    for r in &report.clearing {
        push(FitTopic::Clearing, &r.title, r.rows.iter().collect());
    }
    push(
        FitTopic::Protection,
        "Protective equipment",
        report.protection.iter().collect(),
    );
    sections
}

fn word(topic: FitTopic) -> &'static str {
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

fn finding(section: &Section<'_>, row: &Judged) -> Option<Finding> {
    let (severity, what) = match row.verdict? {
        Verdict::Within => return None,
        Verdict::Beyond if section.another_holds => {
            (Severity::Note, "is beyond its limit; another way holds")
        }
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
        settle: settle(section, row),
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

fn settle(section: &Section<'_>, row: &Judged) -> String {
    match row.verdict {
        Some(Verdict::Beyond) if section.another_holds => "Use the way that holds.".to_owned(),
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
