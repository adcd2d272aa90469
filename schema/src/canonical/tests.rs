#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests state facts"
)]

use std::{fmt::Write as _, iter};

use proptest::prelude::*;
use serde_json::json;
use sha2::{Digest as _, Sha256};

use super::*;

fn canonical(json: &str) -> String {
    String::from_utf8(to_vec(&serde_json::from_str(json).unwrap()).unwrap()).unwrap()
}

fn sha256(text: &str) -> String {
    hex::encode(Sha256::digest(text))
}

/// The test data of the author of RFC 8785 (cyberphone/json-canonicalization, testdata/input, Apache-2.0; read in the
/// repository), by the SHA-256 and the length of its outputs.
#[track_caller]
fn author(json: &str, length: usize, hash: &str) {
    let text = canonical(json);
    assert_eq!(
        (text.len(), sha256(&text).as_str()),
        (length, hash),
        "{text}"
    );
}

#[test]
fn the_authors_arrays_give_the_published_bytes() {
    author(
        r#"[56, {"d": true, "10": null, "1": [ ]}]"#,
        32,
        "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42",
    );
}

#[test]
fn the_authors_structures_give_the_published_bytes() {
    author(
        r#"{"1": {"f": {"f": "hi", "F": 5}, "\n": 56.0}, "10": {}, "": "empty", "a": {},
            "111": [{"e": "yes", "E": "no"}], "A": {}}"#,
        98,
        "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5",
    );
}

#[test]
fn the_authors_values_give_the_published_bytes() {
    author(
        r#"{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"#,
        118,
        "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb",
    );
}

/// Keys with control characters, beyond Latin-1, and one of two code units that sorts before U+FB33.
#[test]
fn the_authors_weird_keys_give_the_published_bytes() {
    author(
        r#"{"\u20ac": "Euro Sign", "\r": "Carriage Return", "\u000a": "Newline", "1": "One", "\u0080": "Control\u007f",
            "\ud83d\ude02": "Smiley", "\u00f6": "Latin Small Letter O With Diaeresis",
            "\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}"#,
        214,
        "6af595a9aa80110b964b4de3f82a05fa6ae7423005019bacfa2620dddc4e94d1",
    );
}

#[test]
fn the_authors_decomposed_letter_stays_decomposed() {
    author(
        r#"{"Unnormalized Unicode":"A\u030a"}"#,
        30,
        "0d99aad92a125196ff887876643fd3206786a84ddce2cee52ba4ad256d2381d3",
    );
}

#[test]
fn the_authors_french_keys_are_not_sorted_as_in_a_dictionary() {
    author(
        r#"{"peach": "This sorting order", "péché": "is wrong according to French",
            "pêche": "but canonicalization MUST", "sin": "ignore locale"}"#,
        130,
        "d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5",
    );
}

fn number(bits: u64) -> String {
    let mut out = Vec::new();
    put_float(f64::from_bits(bits), &mut out);
    String::from_utf8(out).unwrap()
}

/// Sample lines of the author's number list (testdata/README.md).
#[test]
fn numbers_are_written_as_published() {
    assert_eq!(number(0x4340_0000_0000_0001), "9007199254740994");
    assert_eq!(number(0x444b_1ae4_d6e2_ef50), "1e+21");
    assert_eq!(number(0x3eb0_c6f7_a0b5_ed8d), "0.000001");
    assert_eq!(number(0x3eb0_c6f7_a0b5_ed8c), "9.999999999999997e-7");
    assert_eq!(number(0x8000_0000_0000_0000), "0");
}

/// A third of each power of ten from 10^22 down to 10^-27, as the author's list has them.
#[rustfmt::skip]
const THIRDS: [u64; 50] = [
    0x4466_9669_5dbd_1cc3, 0x4432_11ed_e497_4a35, 0x43fc_e97c_a0f2_1056, 0x43c7_2130_80c1_a6ac,
    0x4392_80f3_9a34_8556, 0x435d_9b1f_5d20_d557, 0x4327_af4c_4a80_aaac, 0x42f2_f2a3_6ecd_5556,
    0x42be_5105_7e15_5558, 0x4288_40d1_31aa_aaac, 0x4253_670d_c155_5557, 0x421f_0b49_3555_5557,
    0x41e8_d5d4_2aaa_aaac, 0x41b3_de43_5555_5556, 0x417f_ca05_5555_5556, 0x4149_6e6a_aaaa_aaab,
    0x4114_5855_5555_5555, 0x40e0_46aa_aaaa_aaab, 0x40aa_0aaa_aaaa_aaaa, 0x4074_d555_5555_5555,
    0x4040_aaaa_aaaa_aaab, 0x400a_aaaa_aaaa_aaab, 0x3fd5_5555_5555_5555, 0x3fa1_1111_1111_1111,
    0x3f6b_4e81_b4e8_1b4f, 0x3f35_d867_c3ec_e2a5, 0x3f01_79ec_9cbd_821e, 0x3ecb_f647_612f_3696,
    0x3e96_5e9f_80f2_9212, 0x3e61_e54c_6728_74db, 0x3e2c_a213_d840_baf8, 0x3df6_e80f_e033_c8c6,
    0x3dc2_533f_e68f_d3d2, 0x3d8d_51ff_d74c_861c, 0x3d57_74cc_ac3d_3817, 0x3d22_c3d6_f030_f9ac,
    0x3cee_0624_b381_8f79, 0x3cb8_04ea_2934_72c7, 0x3c83_3721_ba90_5bd3, 0x3c4e_be9c_5db3_c61e,
    0x3c18_987d_17c3_04e5, 0x3be3_ad30_dfcf_371d, 0x3baf_7b81_6618_582f, 0x3b79_2f9a_b813_79bf,
    0x3b44_2615_600f_9499, 0x3b10_1e77_800c_76e1, 0x3ad9_ca58_cce0_be35, 0x3aa4_a1e0_a3e6_fe90,
    0x3a70_8180_831f_320d, 0x3a3a_68cd_9e98_5016,
];

/// The other fixed numbers of the author's list: halves of powers of ten and what approaches one of them, neighbours of
/// one and of 0.3, and the edges of binary64 and of its spellings.
#[rustfmt::skip]
const EDGES: [u64; 64] = [
    0x4024_0000_0000_0000, 0x4014_0000_0000_0000, 0x3fe0_0000_0000_0000, 0x3fa9_9999_9999_999a,
    0x3f74_7ae1_47ae_147b, 0x3f40_624d_d2f1_a9fc, 0x3f0a_36e2_eb1c_432d, 0x3ed4_f8b5_88e3_68f1,
    0x3ea0_c6f7_a0b5_ed8d, 0x3e6a_d7f2_9abc_af48, 0x3e35_798e_e230_8c3a, 0x3ed5_3922_3589_fa95,
    0x3ed4_ff26_cd5a_7781, 0x3ed4_f95a_7622_83ff, 0x3ed4_f8c6_0703_520c, 0x3ed4_f8b7_2f19_cd0d,
    0x3ed4_f8b5_b31c_0c8d, 0x3ed4_f8b5_8d1c_461a, 0x3ed4_f8b5_894f_7f0e, 0x3ed4_f8b5_88ee_37f3,
    0x3ed4_f8b5_88e4_7da4, 0x3ed4_f8b5_88e3_849c, 0x3ed4_f8b5_88e3_6bb5, 0x3ed4_f8b5_88e3_6937,
    0x3ed4_f8b5_88e3_68f8, 0x3ed4_f8b5_88e3_68f1, 0x3ff0_0000_0000_0000, 0xbff0_0000_0000_0000,
    0xbfef_ffff_ffff_fffa, 0xbfef_ffff_ffff_fffb, 0x3fef_ffff_ffff_fffa, 0x3fef_ffff_ffff_fffb,
    0x3fef_ffff_ffff_fffc, 0x3fef_ffff_ffff_fffe, 0xbfef_ffff_ffff_ffff, 0xbfef_ffff_ffff_ffff,
    0x3fef_ffff_ffff_ffff, 0x3fef_ffff_ffff_ffff, 0x3fd3_3333_3333_3332, 0x3fd3_3333_3333_3333,
    0x3fd3_3333_3333_3334, 0x0010_0000_0000_0000, 0x000f_ffff_ffff_fffd, 0x000f_ffff_ffff_ffff,
    0x7fef_ffff_ffff_ffff, 0xffef_ffff_ffff_ffff, 0x4340_0000_0000_0000, 0xc340_0000_0000_0000,
    0x4430_0000_0000_0000, 0x44b5_2d02_c7e1_4af5, 0x44b5_2d02_c7e1_4af6, 0x44b5_2d02_c7e1_4af7,
    0x444b_1ae4_d6e2_ef4e, 0x444b_1ae4_d6e2_ef4f, 0x444b_1ae4_d6e2_ef50, 0x3eb0_c6f7_a0b5_ed8c,
    0x3eb0_c6f7_a0b5_ed8d, 0x41b3_de43_5555_5553, 0x41b3_de43_5555_5554, 0x41b3_de43_5555_5555,
    0x41b3_de43_5555_5556, 0x41b3_de43_5555_5557, 0xbecb_f647_612f_3696, 0x4314_3ff3_c1cb_0959,
];

/// The author's number list (testdata/README.md, read in the repository): fixed numbers, 2,000 in a row from the smallest
/// normal one on, and then SHA-256 of 32 zero bytes, of that, and so on, each cut into four.
fn list() -> impl Iterator<Item = u64> {
    const SIGN: u64 = 1 << 63;
    const SMALLEST_NORMAL: u64 = 0x0010_0000_0000_0000;
    let fixed = [0, SIGN, 1, SIGN | 1]
        .into_iter()
        .chain(THIRDS.map(|third| SIGN | third))
        .chain(THIRDS)
        .chain(EDGES);
    let hashes = iter::successors(Some([0; 32]), |last: &[u8; 32]| {
        Some(Sha256::digest(last).into())
    });
    let random = hashes.skip(1).flat_map(|hash| {
        [0, 8, 16, 24].map(|at| u64::from_le_bytes(hash[at..at + 8].try_into().unwrap()))
    });
    let finite = |bits: &u64| f64::from_bits(*bits).is_finite() && f64::from_bits(*bits) != 0.0;
    fixed
        .chain(SMALLEST_NORMAL..SMALLEST_NORMAL + 2_000)
        .chain(random.filter(finite))
}

#[track_caller]
fn lines(count: usize, length: usize, hash: &str) {
    let mut text = String::new();
    for bits in list().take(count) {
        writeln!(text, "{bits:x},{}", number(bits)).unwrap();
    }
    assert_eq!((text.len(), sha256(&text).as_str()), (length, hash));
}

#[test]
fn the_first_1_000_numbers_of_the_authors_list_are_written_as_published() {
    lines(
        1_000,
        37_967,
        "be18b62b6f69cdab33a7e0dae0d9cfa869fda80ddc712221570f9f40a5878687",
    );
}

#[test]
fn the_first_10_000_numbers_of_the_authors_list_are_written_as_published() {
    lines(
        10_000,
        399_022,
        "b9f7a8e75ef22a835685a52ccba7f7d6bdc99e34b010992cbc5864cd12be6892",
    );
}

#[test]
fn the_first_100_000_numbers_of_the_authors_list_are_written_as_published() {
    lines(
        100_000,
        4_031_728,
        "22776e6d4b49fa294a0d0f349268e5c28808fe7e0cb2bcbe28f63894e494d4c7",
    );
}

#[test]
fn integers_that_would_be_rounded_are_refused_with_their_place() {
    let value: Value = serde_json::from_str(r#"{"a/b": [1, {"~": 9007199254740993}]}"#).unwrap();
    let error = to_vec(&value).unwrap_err();
    assert_eq!(error.pointer, "/a~1b/1/~0");
    assert_eq!(error.number, "9007199254740993");
    for beyond in [1_i64 << 53, -(1 << 53), i64::MAX, i64::MIN] {
        assert!(to_vec(&Value::from(beyond)).is_err(), "{beyond}");
    }
    assert!(to_vec(&Value::from(u64::MAX)).is_err());
    for exact in [9_007_199_254_740_991_i64, -9_007_199_254_740_991] {
        assert_eq!(
            to_vec(&Value::from(exact)).unwrap(),
            exact.to_string().as_bytes()
        );
    }
}

/// Their text could not be told from that of a rounded integer; from 10^21 on it has an exponent.
#[test]
fn whole_numbers_held_as_floats_are_refused_where_integers_are() {
    for beyond in [9_007_199_254_740_992.0, -9_007_199_254_740_994.0, 1e20] {
        assert!(to_vec(&Value::from(beyond)).is_err(), "{beyond}");
    }
    assert_eq!(
        canonical("[9007199254740991.0, 1e21]"),
        "[9007199254740991,1e+21]"
    );
}

#[test]
fn a_number_at_the_root_has_the_empty_pointer() {
    assert_eq!(to_vec(&Value::from(u64::MAX)).unwrap_err().pointer, "");
}

/// As deep as `serde_json` reads.
#[test]
fn deep_values_are_written() {
    let deep = format!("{}{}", "[".repeat(127), "]".repeat(127));
    assert_eq!(canonical(&deep), deep);
}

/// With either feature on, by whatever dependency, canonical JSON would change.
#[test]
fn serde_json_keeps_neither_the_order_of_keys_nor_the_spelling_of_numbers() {
    assert_eq!(json!({"b": 1, "a": 2}).to_string(), r#"{"a":2,"b":1}"#);
    let read = |text| serde_json::from_str::<Value>(text).unwrap().to_string();
    assert_eq!(
        read(r#"{"b":1,"a":2}"#),
        r#"{"a":2,"b":1}"#,
        "preserve_order is on"
    );
    assert_eq!(read("1.00"), "1.0", "arbitrary_precision is on");
}

/// Without `float_roundtrip`, `serde_json` reads some numbers to a neighbour of the right one.
#[test]
fn serde_json_reads_numbers_exactly() {
    for bits in list().take(10_000) {
        let float = f64::from_bits(bits);
        let read: f64 = serde_json::from_str(&number(bits)).unwrap();
        // Negative zero is written as 0.
        assert_eq!(read.to_bits(), (float + 0.0).to_bits(), "{float:e}");
    }
}

fn is_written(float: f64) -> bool {
    float.is_finite() && !is_rounded_integer(float)
}

fn json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        (-9_007_199_254_740_991_i64..=9_007_199_254_740_991).prop_map(Value::from),
        any::<f64>()
            .prop_filter("exact", |f| is_written(*f))
            .prop_map(Value::from),
        any::<u64>()
            .prop_map(f64::from_bits)
            .prop_filter("exact", |f| is_written(*f))
            .prop_map(Value::from),
        any::<String>().prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 64, 8, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::btree_map(any::<String>(), inner, 0..6)
                .prop_map(|m| Value::Object(m.into_iter().collect())),
        ]
    })
}

proptest! {
    /// The outside reference: the `serde_json_canonicalizer` crate.
    #[test]
    fn any_value_is_written_as_another_implementation_writes_it(value in json()) {
        let expected = serde_json_canonicalizer::to_vec(&value).unwrap();
        prop_assert_eq!(to_vec(&value).unwrap(), expected);
    }

    #[test]
    fn what_is_written_is_read_and_written_again_to_the_same_bytes(value in json()) {
        let bytes = to_vec(&value).unwrap();
        let again: Value = serde_json::from_slice(&bytes).unwrap();
        prop_assert_eq!(to_vec(&again).unwrap(), bytes);
    }
}
