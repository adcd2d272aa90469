//! Vehicle identification numbers: their form, their check digit and their model year.
//!
//! Form and check digit: 49 CFR 565.15 (values of letters, weights, remainder of the division by 11), as it was read in
//! several editions; 17 characters without I, O and Q also by summaries of ISO 3779. Codes of model years: Table VII of the
//! same part, from memory, checked against independent programs. A check digit that is right is no proof: letters of equal
//! value can stand for one another.

use std::fmt;

use crate::codes::VinMask;

/// Characters of a vehicle identification number.
const LENGTH: usize = 17;

/// Weights of the positions, 49 CFR 565.15(c); that of the check digit itself is zero.
const WEIGHTS: [u32; LENGTH] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// The codes of thirty model years from 1980 on; then they begin again (Table VII). I, O, Q, U, Z and 0 are none.
const YEARS: &[u8] = b"ABCDEFGHJKLMNPRSTVWXY123456789";

/// The first year that the codes stand for.
const FIRST_YEAR: u16 = 1980;

/// A vehicle identification number whose form is right.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Vin([u8; LENGTH]);

/// What the ninth character says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CheckDigit {
    /// It is the check digit that the others ask for. That is no proof that the number is right.
    Right,
    /// The others ask for another check digit: a character was misread, or the maker uses none.
    Wrong {
        /// What they ask for: a digit or X.
        expected: char,
    },
    /// It is a letter that no check digit is: this maker uses none, as is usual outside North America.
    None,
}

impl Vin {
    /// Reads a number; small letters and blanks or hyphens between characters are accepted.
    ///
    /// # Errors
    /// A sentence that says what is wrong: the count of characters, or one that never stands in such a number.
    pub fn new(text: &str) -> Result<Self, String> {
        let characters: Vec<char> = text
            .chars()
            .filter(|c| !matches!(c, ' ' | '-'))
            .map(|c| c.to_ascii_uppercase())
            .collect();
        if let Some(i) = characters.iter().position(|c| !is_allowed(*c)) {
            let c = characters.get(i).copied().unwrap_or(' ');
            return Err(format!(
                "{c:?}, character {}, never stands in a vehicle identification number: it has digits and letters \
                 without I, O and Q",
                i + 1
            ));
        }
        let bytes: Vec<u8> = characters
            .iter()
            .filter_map(|c| u8::try_from(*c).ok())
            .collect();
        <[u8; LENGTH]>::try_from(bytes).map(Self).map_err(|bytes| {
            format!(
                "a vehicle identification number has {LENGTH} characters, this one has {}",
                bytes.len()
            )
        })
    }

    /// The 17 characters.
    pub fn as_str(&self) -> &str {
        // Only ASCII letters and digits are kept.
        std::str::from_utf8(&self.0).unwrap_or_default()
    }

    fn at(&self, position: usize) -> u8 {
        self.0.get(position - 1).copied().unwrap_or_default()
    }

    /// What the ninth character says.
    pub fn check_digit(&self) -> CheckDigit {
        let sum: u32 = self.0.iter().zip(WEIGHTS).map(|(c, w)| value(*c) * w).sum();
        let expected = match sum % 11 {
            10 => 'X',
            rest => char::from_digit(rest, 10).unwrap_or('0'),
        };
        let found = char::from(self.at(9));
        if found == expected {
            CheckDigit::Right
        } else if found.is_ascii_digit() || found == 'X' {
            CheckDigit::Wrong { expected }
        } else {
            CheckDigit::None
        }
    }

    /// The model years that the tenth character can stand for, later ones last; none where it is no code of a year.
    ///
    /// The codes come back after thirty years. For cars, multipurpose vehicles and trucks up to 10,000 lb (4,536 kg) sold
    /// in the United States the seventh character tells the two apart: a digit until 2009, a letter from 2010 on
    /// (preamble of 73 FR 23367). For others, `light` false, both are told. Outside North America the tenth character need
    /// not be the model year at all.
    pub fn model_years(&self, light: bool) -> Vec<u16> {
        let code = YEARS.iter().position(|c| *c == self.at(10));
        let Some(after) = code.and_then(|i| u16::try_from(i).ok()) else {
            return Vec::new();
        };
        let (early, late) = (FIRST_YEAR + after, FIRST_YEAR + 30 + after);
        match (light, self.at(7).is_ascii_digit()) {
            (false, _) => vec![early, late],
            (true, true) => vec![early],
            (true, false) => vec![late],
        }
    }

    /// The maker's code: the first three characters, and for makers of few vehicles, whose third is 9, also the
    /// twelfth to fourteenth.
    pub fn maker(&self) -> String {
        let mut maker = self.as_str().get(..3).unwrap_or_default().to_owned();
        if self.at(3) == b'9' {
            maker.push_str(self.as_str().get(11..14).unwrap_or_default());
        }
        maker
    }

    /// Whether a pattern of a profile is about this number.
    pub fn matches(&self, mask: &VinMask) -> bool {
        let pattern = mask.as_str().bytes();
        pattern.zip(self.0).all(|(p, c)| p == b'*' || p == c)
    }
}

impl fmt::Display for Vin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Whether some number can match both patterns.
pub fn overlap(a: &VinMask, b: &VinMask) -> bool {
    let pairs = a.as_str().bytes().zip(b.as_str().bytes());
    pairs
        .into_iter()
        .all(|(a, b)| a == b || a == b'*' || b == b'*')
}

fn is_allowed(c: char) -> bool {
    c.is_ascii_digit() || (c.is_ascii_uppercase() && !matches!(c, 'I' | 'O' | 'Q'))
}

/// The value of a character, 49 CFR 565.15(c), Table III: A to H are 1 to 8, J to R 1 to 9, S to Z 2 to 9.
fn value(character: u8) -> u32 {
    let after = |first: u8| u32::from(character.saturating_sub(first));
    match character {
        b'0'..=b'9' => after(b'0'),
        b'A'..=b'H' => after(b'A') + 1,
        b'J'..=b'R' => after(b'J') + 1,
        b'S'..=b'Z' => after(b'S') + 2,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::*;

    fn vin(text: &str) -> Vin {
        Vin::new(text).unwrap()
    }

    #[test]
    fn published_check_digits_are_right() {
        for text in [
            // 49 CFR 565, Table V of an earlier edition.
            "1G4AH59H45G118341",
            // NHTSA, outline for new manufacturers, page 18.
            "1J9RP1A36A1644345",
            // Published worked sums.
            "JH2RC3605MM101581",
            // Documentation of two libraries.
            "1M8GDM9AXKP042788",
            "5GZCZ43D13S812715",
            // From memory: seventeen ones check themselves.
            "11111111111111111",
        ] {
            assert_eq!(vin(text).check_digit(), CheckDigit::Right, "{text}");
        }
    }

    #[test]
    fn a_misread_character_is_told_and_a_letter_is_no_check_digit() {
        let wrong = vin("1M8GDM9AXKP042789").check_digit();
        assert!(matches!(wrong, CheckDigit::Wrong { .. }), "{wrong:?}");
        // One web text calls this a valid twin of 5GZCZ43D13S812715; its sum is 384, which leaves 10.
        let twin = vin("SGZCZ43D13S812715").check_digit();
        assert_eq!(twin, CheckDigit::Wrong { expected: 'X' });
        // A European number has a filler in the ninth place.
        assert_eq!(vin("WP0ZZZ99ZTS392124").check_digit(), CheckDigit::None);
    }

    #[test]
    fn of_all_misread_characters_only_those_of_equal_value_pass() {
        let right = "1M8GDM9AXKP042788";
        let mut passed = 0;
        for (i, own) in right.bytes().enumerate() {
            for c in (b'0'..=b'9')
                .chain(b'A'..=b'Z')
                .filter(|c| *c != own && is_allowed(char::from(*c)))
            {
                let mut bytes = right.as_bytes().to_vec();
                *bytes.get_mut(i).unwrap() = c;
                let other = vin(std::str::from_utf8(&bytes).unwrap());
                if other.check_digit() == CheckDigit::Right {
                    assert_eq!(value(c), value(own), "position {}", i + 1);
                    passed += 1;
                }
            }
        }
        assert_eq!(passed, 39);
    }

    #[test]
    fn model_years_follow_the_seventh_character_of_light_vehicles() {
        for (text, year) in [
            ("1ZZAB1C24AT000001", 2010),
            ("1ZZAB1222AT000001", 1980),
            ("1ZZAB1C20TT000001", 2026),
            ("1ZZAB1C2X9T000001", 2039),
            ("1ZZAB122XYT000001", 2000),
            ("1Z9AB1C23ST123001", 2025),
        ] {
            assert_eq!(vin(text).model_years(true), [year], "{text}");
        }
        // A motorcycle and a bus: the seventh character tells nothing.
        assert_eq!(vin("JH2RC3605MM101581").model_years(false), [1991, 2021]);
        assert_eq!(vin("1M8GDM9AXKP042788").model_years(false), [1989, 2019]);
        assert_eq!(vin("1ZZAB1C24UT000001").model_years(true), [] as [u16; 0]);
    }

    #[test]
    fn makers_of_few_vehicles_have_six_characters() {
        assert_eq!(vin("1J9RP1A36A1644345").maker(), "1J9644");
        assert_eq!(vin("1M8GDM9AXKP042788").maker(), "1M8");
    }

    #[test]
    fn what_is_no_number_is_refused_with_the_reason() {
        let error = Vin::new("IM8GDM9AXKP042788").unwrap_err();
        assert!(error.contains("'I', character 1"), "{error}");
        let error = Vin::new("1M8GDM9AXKP04278").unwrap_err();
        assert!(error.contains("this one has 16"), "{error}");
        assert!(Vin::new("").is_err());
        assert_eq!(vin(" 1m8gdm9ax-kp042788").as_str(), "1M8GDM9AXKP042788");
    }

    #[test]
    fn patterns_match_and_overlap() {
        let mask = |text| VinMask::new(text).unwrap();
        let number = vin("1Z9AB1C23ST123001");
        assert!(!number.matches(&mask("1Z9AC************")));
        assert!(number.matches(&mask("1Z9AB****ST******")));
        assert!(overlap(
            &mask("1Z9AB****ST******"),
            &mask("1Z9*B1***S*******")
        ));
        assert!(!overlap(
            &mask("1Z9AB****ST******"),
            &mask("1Z9AB****TT******")
        ));
    }
}
