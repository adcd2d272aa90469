//! Tie-downs on a deck.
//!
//! Points and wheels of the vehicle are brought into the deck's frame where `carrying` put it, and joined to the deck's
//! anchors by the straps and chains given: as the crew chose, or by the smallest set that holds
//! ([`chockstone_mechanics::securing::propose`]). The points that the profile's author names come first; only when no
//! set on them holds are others tried, and the answer says so.

use chockstone_mechanics::propagation::Tracked;
use chockstone_schema::report::{
    CarryingResult, Finding, FitTopic, Reference, SecuringResult, Severity, Trust, Verdict,
};

use super::{
    Job, answer, best,
    carrying::words_for,
    work::{Gear, Known, amount, worst_of},
};

mod choose;
mod demand;
mod layout;
mod parts;
mod reasons;
mod rows;
#[cfg(test)]
mod tests;

use choose::Proposal;
use demand::Demand;
use layout::Strap;
use parts::{Parts, Stand};

/// The vehicle tied down on each deck given, standing where `carrying` put it.
pub(crate) fn fit(job: &mut Job<'_>, carrying: &[CarryingResult]) -> Vec<SecuringResult> {
    let gear = job.gear.clone();
    let ties =
        |gear: &&Gear<'_>| gear.equipment.straps.is_some() || gear.equipment.chains.is_some();
    if !gear.iter().any(|gear| ties(&gear)) {
        return Vec::new();
    }
    let results: Vec<SecuringResult> = gear
        .iter()
        .filter(|gear| gear.equipment.deck.is_some())
        .map(|deck| on_deck(job, *deck, carrying))
        .collect();
    tell(job, &results);
    results
}

/// The layout of one deck before it is judged.
struct Plan {
    straps: Vec<Strap>,
    proposed: bool,
    sentences: Vec<String>,
}

fn on_deck<'a>(job: &mut Job<'a>, deck: Gear<'a>, carrying: &[CarryingResult]) -> SecuringResult {
    let facing = job.choices.facing;
    let title = format!("Tied down on {}, {}", deck.id(), words_for(facing));
    let carried = carrying
        .iter()
        .find(|result| result.carrier == deck.id() && result.facing == facing);
    let placement = carried
        .and_then(|result| result.placement)
        .or(job.choices.placement);
    let placement = match placement {
        Some(placement) => job.number("placement on the deck", "m", placement, 0.0),
        None => Err(vec![
            "Placement: no place on the deck is chosen, and none keeps every rating; choose a placement."
                .to_owned(),
        ]),
    };
    let parts = Stand::new(job, facing, &placement).map(|stand| Parts::of(job, deck, &stand));
    let parts = match parts {
        Ok(parts) => parts,
        Err(sentences) => return not_known(job, deck, title, &sentences),
    };
    let mass = job.mass();
    let plan = plan(job, &parts, &mass);
    let lacking = lacking(&parts);
    if plan.proposed && plan.straps.is_empty() && !lacking.is_empty() {
        return not_known(job, deck, title, &lacking);
    }
    if plan.proposed && plan.straps.is_empty() {
        let mut sentences = plan.sentences;
        if let Some(demand) = demand(job, &mass) {
            sentences.extend(reasons::reasons(&parts, &demand));
        }
        sentences.extend(carried.and_then(|carried| elsewhere(job, deck, carried, &mass)));
        return no_set(job, deck, title, sentences, &parts, &mass);
    }
    let demand = demand(job, &mass);
    let judged = rows::judge(job, &parts, &plan.straps, &mass, demand.as_ref());
    let mut sentences = plan.sentences;
    sentences.extend(parts.left_out.iter().cloned());
    sentences.dedup();
    warn(job, &title, &judged.warnings);
    let forces = judged.legs.iter().map(|leg| &leg.force);
    let verdict = worst_of(judged.rows.iter().chain(forces));
    SecuringResult {
        title,
        carrier: deck.id().to_owned(),
        proposed: plan.proposed,
        verdict,
        legs: judged.legs,
        rows: judged.rows,
        answer: sentences.join(" "),
    }
}

/// Ratings without which a tie-down, an anchor or a point cannot be proposed: where no other set holds, nobody knows
/// whether one with them would.
fn lacking(parts: &Parts<'_>) -> Vec<String> {
    let ties = parts.ties.iter().map(|tie| &tie.limit);
    let anchors = parts.anchors.iter().map(|anchor| &anchor.limit);
    let holds = parts.holds.iter().filter_map(|hold| hold.rating.as_ref());
    let missing = ties.chain(anchors).chain(holds);
    let mut sentences: Vec<String> = Vec::new();
    for sentence in missing.filter_map(|known| known.as_ref().err()).flatten() {
        if !sentences.contains(sentence) {
            sentences.push(sentence.clone());
        }
    }
    sentences
}

/// The result when nothing can be placed or proposed.
fn not_known(job: &Job<'_>, deck: Gear<'_>, title: String, sentences: &[String]) -> SecuringResult {
    let none: Known = Err(sentences.to_vec());
    let row = job.row(
        "held-forward",
        "Held forward",
        &none,
        "N",
        "",
        crate::checks::references::LOGIC,
    );
    let mut row = row.told();
    row.verdict = Some(Verdict::NotKnown);
    SecuringResult {
        title,
        carrier: deck.id().to_owned(),
        proposed: false,
        verdict: Verdict::NotKnown,
        legs: Vec::new(),
        rows: vec![row],
        answer: sentences.join(" "),
    }
}

/// Looks for a placement at which a set holds, where none was chosen; told as a sentence.
fn elsewhere<'a>(
    job: &mut Job<'a>,
    deck: Gear<'a>,
    carried: &CarryingResult,
    mass: &Known,
) -> Option<String> {
    /// Places that are tried, evenly over the window where every rating of the truck holds.
    const TRIES: u8 = 8;
    if job.choices.placement.is_some() {
        return None;
    }
    let window = carried.sure_window.as_ref().or(carried.window.as_ref())?;
    let step = (window.to - window.from) / f64::from(TRIES);
    (0..=TRIES).find_map(|index| {
        let placement = window.from + step * f64::from(index);
        let stand = Stand::new(job, carried.facing, &Ok(Tracked::exact(placement))).ok()?;
        let parts = Parts::of(job, deck, &stand);
        let found = plan(job, &parts, mass);
        (!found.straps.is_empty()).then(|| {
            let place = (deck.id().to_owned(), carried.facing, placement);
            job.starts.push(place);
            format!(
                "Placed {} behind the deck's front edge it can be tied down: {}",
                amount(placement, None, "m"),
                found.sentences.join(" ")
            )
        })
    })
}

/// The result when no set can be proposed: one row that says why.
fn no_set(
    job: &Job<'_>,
    deck: Gear<'_>,
    title: String,
    sentences: Vec<String>,
    parts: &Parts<'_>,
    mass: &Known,
) -> SecuringResult {
    let verdict = if mass.is_err() || parts.anchors.is_empty() {
        Verdict::NotKnown
    } else {
        Verdict::Beyond
    };
    let mut result = not_known(job, deck, title, &[]);
    let mut told = sentences;
    told.extend(parts.left_out.iter().cloned());
    for row in &mut result.rows {
        row.name = "set".into();
        row.label = "A set of the straps and chains given that holds".into();
        row.verdict = Some(verdict);
        row.not_known.clone_from(&told);
    }
    SecuringResult {
        proposed: true,
        verdict,
        answer: told.join(" "),
        ..result
    }
}

fn demand(job: &Job<'_>, mass: &Known) -> Option<Demand> {
    let mass = mass.as_ref().ok()?;
    Some(Demand::of(job, mass, demand::minimum(job, mass)))
}

/// The layout that was chosen, or one that the program proposes.
fn plan(job: &Job<'_>, parts: &Parts<'_>, mass: &Known) -> Plan {
    if !job.choices.tie_downs.is_empty() {
        let (straps, unknown) = choose::chosen(parts, &job.choices.tie_downs);
        return Plan {
            straps,
            proposed: false,
            sentences: unknown,
        };
    }
    match (demand(job, mass), mass) {
        (Some(demand), _) => propose(job, parts, demand),
        (None, mass) => Plan {
            straps: Vec::new(),
            proposed: true,
            sentences: mass.clone().err().unwrap_or_default(),
        },
    }
}

/// First on the points that the author names, then on any; first by working load limits in place of breaking strengths,
/// then without asking for these.
fn propose(job: &Job<'_>, parts: &Parts<'_>, mut demand: Demand) -> Plan {
    let stated = job.view.profile.transport.securing.as_ref();
    let points: Vec<&str> = stated
        .map(|stated| {
            stated
                .points
                .iter()
                .map(chockstone_schema::id::PointRef::as_str)
                .collect()
        })
        .unwrap_or_default();
    let mut sentences = Vec::new();
    for asks_breaking in [true, false] {
        demand.asks_breaking = asks_breaking;
        let only = (!points.is_empty()).then_some(points.as_slice());
        let tries = only.into_iter().map(Some).chain([None]);
        for (round, only) in tries.enumerate() {
            match choose::proposed(parts, &demand, only) {
                Proposal::Found(straps, proven) => {
                    let mut found = vec![found(parts, &straps, proven)];
                    if round > 0 {
                        found.push(
                            "No set on the points that the profile's author names alone holds; others are used."
                                .to_owned(),
                        );
                    }
                    return Plan {
                        straps,
                        proposed: true,
                        sentences: found,
                    };
                }
                Proposal::None(why) => sentences = why,
            }
        }
    }
    sentences.insert(0, "No set of the straps and chains given holds.".to_owned());
    Plan {
        straps: Vec::new(),
        proposed: true,
        sentences,
    }
}

/// What was found, as a sentence.
fn found(parts: &Parts<'_>, straps: &[Strap], proven: bool) -> String {
    let mut lines: Vec<(String, u32)> = Vec::new();
    for strap in straps {
        let hold = parts.holds.get(strap.hold).map_or("", |hold| hold.id);
        let with = parts.ties.get(strap.tie).map_or("", |tie| tie.gear.id());
        let anchors: Vec<&str> = strap
            .anchors
            .iter()
            .filter_map(|index| Some(parts.anchors.get(*index)?.id))
            .collect();
        let line = format!("{hold} to {} with {with}", anchors.join(" and "));
        match lines.iter_mut().find(|(one, _)| *one == line) {
            Some((_, count)) => *count += 1,
            None => lines.push((line, 1)),
        }
    }
    let list: Vec<String> = lines
        .iter()
        .map(|(line, count)| format!("{count} x {line}"))
        .collect();
    let size = if proven {
        "The smallest set that holds"
    } else {
        "A set that holds"
    };
    format!("{size}: {} tie-downs; {}.", straps.len(), list.join("; "))
}

/// Uneven sharing is worth a warning, and no verdict.
fn warn(job: &mut Job<'_>, title: &str, warnings: &[String]) {
    for warning in warnings {
        job.findings.push(Finding {
            check: "fit-securing-sharing".to_owned(),
            severity: Severity::Warning,
            place: String::new(),
            message: format!("{title}: {warning}"),
            computed: None,
            limit: None,
            reference: Reference {
                title: "Statics: legs as stiff as they are strong stretch together".to_owned(),
                trust: Trust::Arithmetic,
            },
            settle: "Tension the legs evenly, or choose legs of like length.".to_owned(),
        });
    }
}

/// Adds the topic's answer: the best of the decks.
fn tell(job: &mut Job<'_>, results: &[SecuringResult]) {
    if results.is_empty() {
        return;
    }
    let verdict = best(results.iter().map(|result| result.verdict));
    let Some(way) = results.iter().find(|result| result.verdict == verdict) else {
        return;
    };
    let sentence = match verdict {
        Verdict::Within => format!("{}: it holds. {}", way.title, way.answer),
        Verdict::TooCloseToCall => {
            format!(
                "{}: too close to a limit to call. {}",
                way.title, way.answer
            )
        }
        Verdict::NotKnown => format!("{}: not everything is known. {}", way.title, way.answer),
        Verdict::Beyond => format!("{}: it does not hold. {}", way.title, way.answer),
    };
    job.topics
        .push(answer(FitTopic::Securing, verdict, sentence.trim_end()));
}
