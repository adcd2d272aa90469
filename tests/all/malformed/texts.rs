//! Malformed texts of profiles and equipment.

use std::fmt::Write as _;

use chockstone_schema::read::{LARGEST_FILE, to_ron, to_value};
use chockstone_tests::{demo, random::Random, raw_zip};

use super::Input;
use crate::mutations::{apply_all, schema_faults};

/// A small profile, good as it stands, for changing by hand.
const SMALL: &str = r#"(
  format: "1.0", id: "small", language: "en",
  identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
  dimensions: (wheelbase: (value: (131, "in"), source: "tape")),
  axles: [
    (id: "front", position: (value: (0, "mm"))),
    (id: "rear", position: (value: (131, "in"))),
  ],
  mass: (), energy: (), emergency: (), transport: (),
  sources: [(id: "tape", kind: measured, title: {"en": "Steel tape"})],
  extensions: {"org.example": 1},
)
"#;

/// Every malformed text, each under its own name.
pub(super) fn all() -> Vec<Input> {
    [
        cuts(),
        mutated(),
        changed_ron(),
        changed_json(),
        deep(),
        encodings(),
        not_documents(),
        noise(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Demo profiles that end too early, as after a crash or a full disk.
fn cuts() -> Vec<Input> {
    let profile = demo::read(&demo::complete()[0]);
    let ron = to_ron(&profile);
    let json = serde_json::to_string_pretty(&to_value(&profile)).unwrap();
    let mut inputs = Vec::new();
    for (text, notation) in [(ron, "ron"), (json, "json")] {
        // The last bracket is always missing.
        let longest = text.trim_end().len() - 1;
        let pieces = 40;
        for i in 0..pieces {
            let length = longest * (i + 1) / pieces;
            inputs.push(Input::text(
                format!("cut-{i:02}.profile.{notation}"),
                &text.as_bytes()[..length],
            ));
        }
    }
    inputs
}

/// The single faults that the validators refuse too.
fn mutated() -> Vec<Input> {
    let faulty = apply_all(&schema_faults()).into_iter().enumerate();
    faulty
        .map(|(i, (_, document))| {
            let text = serde_json::to_string_pretty(&document).unwrap();
            Input::text(format!("fault-{i:03}.profile.json"), text)
        })
        .collect()
}

/// Changes to the small profile in RON: what, and what comes in its place.
const RON_CHANGES: [(&str, &str); 44] = [
    ("\"1.0\"", "1.0"),
    ("\"1.0\"", "\"1.0"),
    ("\"1.0\"", "'1.0'"),
    ("format:", "format"),
    ("format:", "format="),
    ("format:", "\"format\":"),
    ("format: \"1.0\",", ""),
    ("format: \"1.0\",", "format: \"1.0\", format: \"1.0\","),
    ("id: \"small\",", "id: \"small\", id: \"other\","),
    ("\"small\"", "small"),
    ("\"small\"", "Some(\"Small\")"),
    ("\"small\"", "r#\"small\""),
    ("\"small\"", "\"sm\\qall\""),
    ("\"small\"", "\"sm\\u{110000}all\""),
    ("\"small\"", "b\"small\""),
    ("van", "Van"),
    ("van", "\"van\""),
    ("van", "van()"),
    ("van", ""),
    ("(131, \"in\"), source", "(131, \"in\", 2), source"),
    ("(131, \"in\"), source", "[131, \"in\"], source"),
    ("(131, \"in\"), source", "131, source"),
    ("(131, \"in\"), source", "(131 \"in\"), source"),
    ("(131, \"in\"), source", "(NaN, \"in\"), source"),
    ("(131, \"in\"), source", "(inf, \"in\"), source"),
    ("(131, \"in\"), source", "(-inf, \"in\"), source"),
    ("(131, \"in\"), source", "(1e999, \"in\"), source"),
    ("(131, \"in\"), source", "(-1e999, \"in\"), source"),
    (
        "(131, \"in\"), source",
        "(1e9999999999999999999, \"in\"), source",
    ),
    (
        "(131, \"in\"), source",
        "(123456789012345678901234567890123456789012, \"in\"), source",
    ),
    (
        "(131, \"in\"), source",
        "(0xFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFF, \"in\"), source",
    ),
    ("(131, \"in\"), source", "(-0.0, \"in\"), source"),
    ("(131, \"in\"), source", "(1_3_1.._, \"in\"), source"),
    ("(131, \"in\"), source", "(131, in), source"),
    ("axles: [", "axles: ("),
    ("axles: [", "axles: {"),
    ("axles: [", "axles: [,"),
    ("axles: [", "axles: [["),
    ("mass: ()", "mass: (weight: 1)"),
    ("mass: ()", "mass: None"),
    ("mass: ()", "mass: {}"),
    ("mass: ()", "mass: /* never closed"),
    (
        "{\"en\": \"Steel tape\"}",
        "{\"en\": \"Steel tape\", \"en\": \"Tape\"}",
    ),
    ("{\"org.example\": 1}", "{\"org.example\": NaN}"),
];

fn changed_ron() -> Vec<Input> {
    let changes = RON_CHANGES.iter().enumerate();
    let mut inputs: Vec<Input> = changes
        .map(|(i, (from, to))| {
            assert!(SMALL.contains(from), "{from}");
            Input::text(
                format!("ron-{i:02}.profile.ron"),
                SMALL.replacen(from, to, 1),
            )
        })
        .collect();
    inputs.push(Input::text("two.profile.ron", format!("{SMALL}{SMALL}")));
    inputs.push(Input::text("trailing.profile.ron", format!("{SMALL})")));
    inputs.push(Input::text(
        "unknown-extension.profile.ron",
        format!("#![enable(magic)]\n{SMALL}"),
    ));
    inputs
}

/// JSON that is not what RFC 8259 allows, or means two things.
fn changed_json() -> Vec<Input> {
    let profile = chockstone_schema::read::read::<chockstone_schema::Profile>(
        "small",
        SMALL.as_bytes(),
        chockstone_schema::read::Notation::Ron,
    );
    let good = serde_json::to_string_pretty(&to_value(&profile.unwrap())).unwrap();
    let changes = [
        (
            "\"format\": \"1.0\"",
            "\"format\": \"1.0\", \"format\": \"1.0\"",
        ),
        ("\"value\": [", "\"value\": [1, \"m\"], \"value\": ["),
        ("\"org.example\": 1", "\"org.example\": {\"a\": 1e999}"),
        (
            "\"org.example\": 1",
            "\"org.example\": 18446744073709551615",
        ),
        ("\"org.example\": 1", "\"org.example\": \"\\ud800\""),
        ("\"small\"", "\"small\\u0000\""),
        ("\"small\"", "'small'"),
        ("\"small\"", "small"),
        ("\"small\"", "\"sm\nall\""),
        ("131", "1e999"),
        ("131", "-1e999"),
        ("131", "NaN"),
        ("131", "Infinity"),
        ("131", "0131"),
        ("131", "131."),
        ("131", ".131"),
        ("131", "+131"),
        ("131", "0x83"),
        ("131", "true"),
        ("[\n", "[,\n"),
        ("{\n", "{ // a comment\n"),
        ("{\n", "{ /* a comment */\n"),
        ("{\n", "{ \"mass\": {}, \"mass\": {},\n"),
    ];
    let mut inputs: Vec<Input> = changes
        .iter()
        .enumerate()
        .map(|(i, (from, to))| {
            assert!(good.contains(from), "{from}");
            Input::text(
                format!("json-{i:02}.profile.json"),
                good.replacen(from, to, 1),
            )
        })
        .collect();
    inputs.push(Input::text(
        "comma.profile.json",
        good.trim_end().trim_end_matches('}').to_owned() + ",}",
    ));
    inputs.push(Input::text("two.profile.json", format!("{good}{good}")));
    inputs.push(Input::text("ron-inside.profile.json", SMALL));
    inputs.push(Input::text("json-inside.profile.ron", good));
    inputs
}

/// Nesting that would use up the stack of a careless reader.
fn deep() -> Vec<Input> {
    let mut inputs = Vec::new();
    for (i, open) in ["[", "(", "{\"a\":", "Some(", "(a:", "((((("]
        .iter()
        .enumerate()
    {
        inputs.push(Input::text(
            format!("deep-{i}.profile.ron"),
            open.repeat(100_000),
        ));
    }
    for (i, open) in ["[", "{\"a\":", "{\"extensions\":{\"org.example\":["]
        .iter()
        .enumerate()
    {
        inputs.push(Input::text(
            format!("deep-{i}.profile.json"),
            open.repeat(100_000),
        ));
    }
    let nested = |depth: usize| {
        format!(
            "{{\"org.example\": {}1{}}}",
            "[".repeat(depth),
            "]".repeat(depth)
        )
    };
    let inside = SMALL.replace("{\"org.example\": 1}", &nested(5000));
    inputs.push(Input::text("deep-extension.profile.ron", inside));
    let comments = "/*".repeat(100_000);
    inputs.push(Input::text(
        "deep-comments.profile.ron",
        format!("{comments}{SMALL}"),
    ));
    inputs
}

/// Bytes that are not UTF-8 (RFC 3629), or not where they should be.
fn encodings() -> Vec<Input> {
    let with = |bytes: &[u8]| {
        let (before, after) = SMALL.split_once("Steel").unwrap();
        [before.as_bytes(), bytes, after.as_bytes()].concat()
    };
    let utf16 = |mark: &[u8], order: fn(u16) -> [u8; 2]| {
        [
            mark,
            &SMALL.encode_utf16().flat_map(order).collect::<Vec<u8>>(),
        ]
        .concat()
    };
    let mut late = SMALL.as_bytes().to_vec();
    late.push(0xff);
    vec![
        Input::text("latin-1.profile.ron", with(b"Ma\xdfband")),
        Input::text("overlong.profile.ron", with(b"\xc0\xaf")),
        Input::text("surrogate.profile.ron", with(b"\xed\xa0\x80")),
        Input::text("beyond.profile.ron", with(b"\xf4\x90\x80\x80")),
        Input::text("half.profile.ron", with(b"\xe2\x82")),
        Input::text("lone.profile.json", b"\x80"),
        Input::text("late.profile.ron", late),
        Input::text(
            "little-endian.profile.ron",
            utf16(b"\xff\xfe", u16::to_le_bytes),
        ),
        Input::text(
            "big-endian.profile.ron",
            utf16(b"\xfe\xff", u16::to_be_bytes),
        ),
        Input::text("two-marks.profile.ron", format!("\u{feff}\u{feff}{SMALL}")),
        Input::text("zeros.profile.ron", vec![0; 4096]),
        Input::text("zeros.profile.json", vec![0; 4096]),
    ]
}

/// Texts that are something, but no profile and no equipment.
fn not_documents() -> Vec<Input> {
    let words = [
        "",
        " ",
        "\n\n\n",
        "\u{feff}",
        "null",
        "true",
        "42",
        "-1e999",
        "\"text\"",
        "[]",
        "{}",
        "()",
        "None",
        "nothing",
        "[1, 2",
        "{\"format\": \"1.0\"}",
        "(format: \"1.0\")",
        "<html></html>",
        "key = 1",
        "%PDF-1.7",
    ];
    let mut inputs = Vec::new();
    for (i, word) in words.iter().enumerate() {
        for ending in [
            "profile.ron",
            "profile.json",
            "equipment.ron",
            "equipment.json",
        ] {
            inputs.push(Input::text(format!("word-{i:02}.{ending}"), word));
        }
    }
    inputs.push(Input::text("profile-as.equipment.ron", SMALL));
    inputs.push(Input::binary(
        "archive.profile.ron",
        raw_zip::write(&[raw_zip::Entry::stored("a", b"a")]),
    ));
    inputs.push(Input::binary(
        "large.profile.ron",
        vec![b' '; LARGEST_FILE + 1],
    ));
    inputs.push(Input::text(
        "one-long-line.profile.ron",
        "a".repeat(1_000_000),
    ));
    inputs
}

/// Random bytes, random characters, and a good text with random damage.
fn noise() -> Vec<Input> {
    let mut random = Random::new(8259);
    let mut inputs = Vec::new();
    for i in 0..15 {
        let length = 1 + random.below(3000);
        inputs.push(Input::text(
            format!("bytes-{i:02}.profile.ron"),
            random.bytes(length),
        ));
        let mut text = String::new();
        for _ in 0..length {
            let character = *random.pick(&[
                '(', ')', '[', ']', '{', '}', ':', ',', '"', '1', 'a', '.', '\n', 'é', '/', '*',
            ]);
            let _ = write!(text, "{character}");
        }
        inputs.push(Input::text(format!("characters-{i:02}.profile.json"), text));
    }
    // A bracket in the middle of a text is never right.
    for i in 0..15 {
        let middle = SMALL.find("axles").unwrap() + random.below(120);
        let (before, after) = SMALL.split_at(middle);
        inputs.push(Input::text(
            format!("bracket-{i:02}.profile.ron"),
            format!("{before}}}{after}"),
        ));
    }
    inputs
}
