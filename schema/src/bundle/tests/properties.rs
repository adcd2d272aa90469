//! What holds for any bytes.

use proptest::prelude::*;

use super::*;

/// No byte of a bundle is without meaning, so none can be changed by itself. Two changes that fit each other (a
/// signature and its CRC-32, or the top folder's name everywhere) are not seen here: see the module's documentation.
#[test]
fn a_change_of_any_single_byte_is_refused() {
    let good = signed_bundle();
    for at in 0..good.len() {
        for change in [1, 0x20, 0x80, 0xff] {
            let mut bytes = good.clone();
            bytes[at] ^= change;
            assert!(
                open(&bytes, &Limits::default()).is_err(),
                "byte {at} ^ {change}"
            );
        }
    }
}

#[test]
fn a_bundle_cut_anywhere_is_refused() {
    let good = signed_bundle();
    for length in 0..good.len() {
        assert!(
            open(&good[..length], &Limits::default()).is_err(),
            "{length}"
        );
        assert!(open(&good[good.len() - length..], &Limits::default()).is_err());
    }
}

proptest! {
    #[test]
    fn any_byte_in_any_place_is_refused_unless_it_was_there(place: prop::sample::Index, byte: u8) {
        let good = signed_bundle();
        let mut bytes = good.clone();
        bytes[place.index(good.len())] = byte;
        prop_assert_eq!(open(&bytes, &Limits::default()).is_ok(), bytes == good);
    }

    /// Parts of a bundle taken out, doubled or swapped: nothing but the good bundle opens.
    #[test]
    fn a_bundle_put_together_from_its_parts_is_refused_unless_it_is_whole(
        cuts in prop::collection::vec(any::<prop::sample::Index>(), 2..6),
        order in prop::collection::vec(any::<prop::sample::Index>(), 1..8),
    ) {
        let good = signed_bundle();
        let mut cuts: Vec<usize> = cuts.iter().map(|c| c.index(good.len())).collect();
        cuts.extend([0, good.len()]);
        cuts.sort_unstable();
        let pieces: Vec<&[u8]> = cuts.windows(2).map(|w| &good[w[0]..w[1]]).collect();
        let bytes: Vec<u8> = order.iter().flat_map(|o| o.get(&pieces).iter().copied()).collect();
        prop_assert_eq!(open(&bytes, &Limits::default()).is_ok(), bytes == good);
    }

    #[test]
    fn random_bytes_are_refused_without_a_crash(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(open(&bytes, &Limits::default()).is_err());
    }

    /// Random bytes between a first header and an end that fit, so that the walk over the directory is reached.
    #[test]
    fn random_directories_are_refused_without_a_crash(
        data in prop::collection::vec(any::<u8>(), 0..100),
        records in prop::collection::vec(any::<u8>(), 0..200),
        count in 0u16..4,
        signed: bool,
    ) {
        let records = if signed { [b"PK\x01\x02".as_slice(), &records].concat() } else { records };
        let (size, start) = (u32::try_from(records.len()).unwrap(), u32::try_from(data.len()).unwrap());
        let bytes = [data, records, archive::end(count, size, start)].concat();
        prop_assert!(open(&bytes, &Limits::default()).is_err());
    }

    #[test]
    fn any_payload_comes_back(
        contents in prop::collection::vec(any::<u8>(), 0..2_000),
        sheets in prop::collection::btree_map("[a-z0-9]{1,8}\\.pdf", prop::collection::vec(any::<u8>(), 0..50), 0..5),
    ) {
        let mut bag = bag();
        bag.payload.insert(PROFILE_JSON.into(), contents);
        bag.payload.extend(sheets.into_iter()
            .filter(|(n, _)| n != "con.pdf" && n != "prn.pdf" && n != "aux.pdf" && n != "nul.pdf")
            .filter(|(n, _)| !n.starts_with("com") && !n.starts_with("lpt"))
            .map(|(n, b)| (format!("{SHEETS}/{n}"), b)));
        let bytes = bag.to_zip().unwrap();
        let opened = open(&bytes, &Limits::default()).unwrap();
        prop_assert_eq!(&opened.payload, &bag.payload);
        prop_assert_eq!(opened.to_zip().unwrap(), bytes);
    }

    #[test]
    fn a_name_that_is_accepted_is_safe_on_every_system(name in prop::collection::vec(any::<u8>(), 0..12)) {
        if let Ok(name) = names::check(&name, &Limits::default()) {
            prop_assert!(name.bytes().all(|b| b.is_ascii_graphic() && !b"\\:*?\"<>|%~$".contains(&b)));
            prop_assert!(name.split('/').all(|p| !p.is_empty() && !p.starts_with(['.', '-']) && !p.ends_with('.')));
        }
    }
}
