//! The methods of moving the vehicle, and how it does with equipment.

use chockstone_rules::fit::Vehicle;
use chockstone_schema::{
    Equipment,
    model::advice::TransportMethod,
    quantity::{Dimension, find_unit},
    report::{
        Effect, EffectTopic, FitChoices, FitReport, Judged, LiftingResult, MethodAnswer,
        MethodResult, Verdict,
    },
};

use super::{Sides, Words, list};

pub(super) fn effects(sides: &Sides<'_>, equipment: &[Equipment]) -> Vec<Effect> {
    sides.over_variants(|variant| {
        let [older, newer] = [
            Vehicle::new(sides.before, variant.before),
            Vehicle::new(sides.after, variant.after),
        ]
        .map(|vehicle| Results::of(&vehicle, equipment, &sides.words));
        let mut found = methods(&older.methods, &newer.methods);
        found.extend(ways(&older.ways, &newer.ways));
        found
    })
}

/// What is computed of one vehicle.
struct Results {
    methods: Vec<MethodResult>,
    ways: Vec<Way>,
}

/// One thing that is done with the vehicle, and whether it keeps to its limits.
struct Way {
    kind: Kind,
    what: String,
    verdict: Verdict,
    /// What has the verdict, in words.
    because: Vec<String>,
}

/// What is done.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Lift,
    Carry,
    Tow,
    Winch,
    Secure,
    Clear,
    Protect,
}

impl Results {
    fn of(vehicle: &Vehicle<'_>, equipment: &[Equipment], words: &Words) -> Self {
        let general = vehicle.general();
        let mut ways: Vec<Way> = general.lifting.iter().map(lifting).collect();
        if equipment.is_empty() {
            return Self {
                methods: general.methods,
                ways,
            };
        }
        let pieces: Vec<&Equipment> = equipment.iter().collect();
        let report = vehicle.fit(&pieces, &[], &FitChoices::default());
        let with_lifts = report.lifting.iter().filter(|r| r.equipment.is_some());
        ways.extend(with_lifts.map(lifting));
        for piece in equipment {
            with_piece(&report, piece, words, &mut ways);
        }
        Self {
            methods: report.methods,
            ways,
        }
    }
}

fn lifting(result: &LiftingResult) -> Way {
    let with = result.equipment.as_ref();
    let with = with.map_or_else(String::new, |id| format!(", with {id}"));
    let supports = result.supports.iter().map(|support| &support.load);
    Way {
        kind: Kind::Lift,
        what: format!("Lifted: {}{with}", result.title),
        verdict: result.verdict,
        because: culprits(supports.chain(&result.rows), result.verdict),
    }
}

/// What is done with one piece of equipment; of several ways with it the best one counts.
fn with_piece(report: &FitReport, piece: &Equipment, words: &Words, ways: &mut Vec<Way>) {
    let id = piece.id.as_str();
    let name = format!("“{}” ({id})", words.text(&piece.name));
    let carrying = report.carrying.iter().filter(|r| r.carrier == id);
    ways.extend(best(
        Kind::Carry,
        &format!("Carried on {name}"),
        carrying.map(|r| (r.verdict, r.rows.as_slice())),
    ));
    let winching = report.winching.iter();
    let winching = winching.filter(|r| r.winch == id && (r.chosen || r.holding_back));
    for holding_back in [false, true] {
        let what = if holding_back {
            "Held back on the way down with"
        } else {
            "Winched with"
        };
        let cases = winching.clone().filter(|r| r.holding_back == holding_back);
        ways.extend(best(
            Kind::Winch,
            &format!("{what} {name}"),
            cases.map(|r| (r.verdict, r.rows.as_slice())),
        ));
    }
    let securing = report.securing.iter().filter(|r| r.carrier == id);
    ways.extend(best(
        Kind::Secure,
        &format!("Tied down on {name}"),
        securing.map(|r| (r.verdict, r.rows.as_slice())),
    ));
    let clearing = report.clearing.iter().filter(|r| r.carrier == id);
    ways.extend(best(
        Kind::Clear,
        &format!("On the way onto {name}"),
        clearing.map(|r| (r.verdict, r.rows.as_slice())),
    ));
    towing(report, id, &name, ways);
    if piece.gloves.is_some() {
        let rows = report.protection.iter();
        let of_it: Vec<&Judged> = rows.filter(|row| row.label.ends_with(id)).collect();
        let verdict = of_it.iter().filter_map(|row| row.verdict).max();
        ways.extend(verdict.map(|verdict| Way {
            kind: Kind::Protect,
            what: format!("Insulating gloves {name}"),
            verdict,
            because: Vec::new(),
        }));
    }
}

/// Each way of towing counts by itself: which end is lifted decides which wheels turn.
fn towing(report: &FitReport, id: &str, name: &str, ways: &mut Vec<Way>) {
    for result in report.towing.iter().filter(|r| r.wrecker == id) {
        let turning = result.turning.iter();
        let turning = turning
            .filter(|axle| axle.verdict == result.verdict && result.verdict != Verdict::Within)
            .map(|axle| axle.reason.trim_end_matches('.').to_owned());
        let mut because = culprits(&result.rows, result.verdict);
        because.extend(turning);
        ways.push(Way {
            kind: Kind::Tow,
            what: format!("Towed behind {name}: {}", result.title),
            verdict: result.verdict,
            because,
        });
    }
}

fn best<'r>(
    kind: Kind,
    what: &str,
    cases: impl Iterator<Item = (Verdict, &'r [Judged])>,
) -> Option<Way> {
    // The first of several as good ones is kept.
    let (verdict, rows) = cases.min_by_key(|(verdict, _)| *verdict)?;
    Some(Way {
        kind,
        what: what.to_owned(),
        verdict,
        because: culprits(rows, verdict),
    })
}

/// The labels of the rows that have the verdict; what is within its limits needs no reason.
fn culprits<'r>(rows: impl IntoIterator<Item = &'r Judged>, verdict: Verdict) -> Vec<String> {
    let rows = rows.into_iter();
    let mut labels: Vec<String> = rows
        .filter(|row| row.verdict == Some(verdict) && verdict != Verdict::Within)
        .map(|row| row.label.to_string())
        .collect();
    labels.dedup();
    labels
}

fn ways(older: &[Way], newer: &[Way]) -> Vec<Effect> {
    let find = |ways: &'_ [Way], wanted: &Way| -> Option<usize> {
        ways.iter()
            .position(|way| way.kind == wanted.kind && way.what == wanted.what)
    };
    let gone = older.iter().filter(|way| find(newer, way).is_none());
    let there = newer.iter().map(|way| {
        let old = find(older, way).and_then(|i| older.get(i));
        (old, Some(way))
    });
    let pairs = there.chain(gone.map(|way| (Some(way), None)));
    pairs
        .filter(|(a, b)| a.map(|way| way.verdict) != b.map(|way| way.verdict))
        .map(|(a, b)| changed_way(a, b))
        .collect()
}

fn changed_way(a: Option<&Way>, b: Option<&Way>) -> Effect {
    let what = b.or(a).map(|way| way.what.as_str()).unwrap_or_default();
    let was = a.map(|way| way.verdict);
    let after = match b {
        Some(way) => told(way, was),
        None => "no longer computed: what it needs is gone".to_owned(),
    };
    let worse = match (was, b.map(|way| way.verdict)) {
        (Some(was), Some(now)) => now > was,
        (Some(_), None) => true,
        (None, now) => now == Some(Verdict::Beyond),
    };
    Effect {
        topic: EffectTopic::Methods,
        what: what.to_owned(),
        before: a.map(|way| told(way, None)),
        after: Some(after),
        worse,
    }
}

/// A verdict in the words of what is done: `no longer loads: rear axle of the truck`.
fn told(way: &Way, was: Option<Verdict>) -> String {
    let [good, lost, bad] = match way.kind {
        Kind::Lift => [
            "lifts within every limit",
            "no longer lifts within its limits",
            "is beyond a limit",
        ],
        Kind::Carry => [
            "loads within every limit",
            "no longer loads",
            "does not load",
        ],
        Kind::Tow => [
            "tows within every limit",
            "may no longer be towed so",
            "may not be towed so",
        ],
        Kind::Winch => [
            "is held within every limit",
            "is no longer held within its limits",
            "is beyond a limit",
        ],
        Kind::Secure => ["holds", "no longer holds", "does not hold"],
        Kind::Clear => ["clears", "no longer clears: it touches", "touches"],
        Kind::Protect => [
            "are of a class for its voltage",
            "are no longer of a class for its voltage",
            "are not of a class for its voltage",
        ],
    };
    let was_good = was == Some(Verdict::Within);
    let words = match way.verdict {
        Verdict::Within => good.to_owned(),
        Verdict::Beyond if was_good => lost.to_owned(),
        Verdict::Beyond => bad.to_owned(),
        Verdict::TooCloseToCall if was_good => "no longer sure: too close to call".to_owned(),
        Verdict::TooCloseToCall => "too close to call".to_owned(),
        Verdict::NotKnown if was_good => "no longer known".to_owned(),
        Verdict::NotKnown => "not known".to_owned(),
    };
    match way.because.as_slice() {
        [] => words,
        because => format!("{words} ({})", list(because)),
    }
}

fn methods(older: &[MethodResult], newer: &[MethodResult]) -> Vec<Effect> {
    let pairs = newer.iter().filter_map(|new| {
        let old = older.iter().find(|old| old.method == new.method)?;
        Some((old, new))
    });
    let changed = pairs.filter(|(old, new)| method_told(old) != method_told(new));
    changed
        .map(|(old, new)| Effect {
            topic: EffectTopic::Methods,
            what: name(new.method).to_owned(),
            before: Some(method_told(old)),
            after: Some(method_told(new)),
            worse: is_stricter(old, new),
        })
        .collect()
}

fn method_told(result: &MethodResult) -> String {
    let answer = match result.answer {
        MethodAnswer::Allowed => "allowed",
        MethodAnswer::Limited => "allowed within limits",
        MethodAnswer::OnlyWithDollies => "only with dollies under the other end",
        MethodAnswer::NotAllowed => "not allowed",
        MethodAnswer::NotKnown => "not known: do not",
    };
    let speed = result.max_speed.map(|speed| {
        let families = families(Dimension::Speed, speed, ["km/h", "mph"], 0);
        format!("at most {families}")
    });
    let distance = result.max_distance.map(|distance| {
        let families = families(Dimension::Length, distance, ["km", "mi"], 2);
        format!("for at most {families}")
    });
    let parts = [Some(answer.to_owned()), speed, distance];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn families(dimension: Dimension, value: f64, units: [&str; 2], decimals: usize) -> String {
    let [si, us] = units.map(|symbol| {
        let value = find_unit(dimension, symbol).map_or(value, |unit| unit.from_si(value));
        format!("{value:.decimals$} {symbol}")
    });
    format!("{si} ({us})")
}

/// Whether a method is less allowed than before, or within narrower limits.
fn is_stricter(old: &MethodResult, new: &MethodResult) -> bool {
    let strictness = |answer: MethodAnswer| match answer {
        MethodAnswer::Allowed => 0,
        MethodAnswer::Limited => 1,
        MethodAnswer::NotKnown => 2,
        MethodAnswer::OnlyWithDollies => 3,
        MethodAnswer::NotAllowed => 4,
    };
    let narrower = |old: Option<f64>, new: Option<f64>| match (old, new) {
        (Some(old), Some(new)) => new < old,
        (None, Some(_)) => true,
        (_, None) => false,
    };
    let (was, now) = (strictness(old.answer), strictness(new.answer));
    now > was
        || (now == was
            && (narrower(old.max_speed, new.max_speed)
                || narrower(old.max_distance, new.max_distance)))
}

fn name(method: TransportMethod) -> &'static str {
    match method {
        TransportMethod::Carrier => "Moved on a carrier’s deck",
        TransportMethod::FrontLift => "Towed with the front lifted, rear wheels on the road",
        TransportMethod::FrontLiftDollies => "Towed with the front lifted, rear wheels on dollies",
        TransportMethod::RearLift => "Towed with the rear lifted, front wheels on the road",
        TransportMethod::RearLiftDollies => "Towed with the rear lifted, front wheels on dollies",
        TransportMethod::AllWheelsGround => "Towed with all wheels on the road",
        TransportMethod::WinchRolling => "Winched with its wheels turning",
        TransportMethod::WinchSkates => "Winched on skates",
        TransportMethod::Push => "Pushed",
    }
}
