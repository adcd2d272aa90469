//! Calendar dates and moments.

use std::fmt;

use jiff::{SignedDuration, Timestamp, civil};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

/// A calendar day, `2026-03-14` (RFC 3339 full-date).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(civil::Date);

impl Date {
    /// Reads `YYYY-MM-DD`; refuses other forms, days that do not exist and years outside 1900 to 2200.
    pub fn new(text: &str) -> Result<Self, String> {
        let wrong = || format!("{text:?} is not a day of the calendar written as YYYY-MM-DD");
        let form = text.len() == 10
            && text.bytes().enumerate().all(|(i, b)| {
                if matches!(i, 4 | 7) {
                    b == b'-'
                } else {
                    b.is_ascii_digit()
                }
            });
        let date: civil::Date = if form {
            text.parse().map_err(|_| wrong())?
        } else {
            return Err(wrong());
        };
        if (1900..=2200).contains(&date.year()) {
            Ok(Self(date))
        } else {
            Err(wrong())
        }
    }

    /// The day for calendar arithmetic.
    pub fn civil(self) -> civil::Date {
        self.0
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl JsonSchema for Date {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "date".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string", "format": "date", "pattern": "^(19|20|21)[0-9]{2}-[0-9]{2}-[0-9]{2}$",
            "description": "A day of the calendar, YYYY-MM-DD.", "x-kind": "date",
        })
    }
}

/// A moment in UTC, `2026-03-14T09:30:00Z` (RFC 3339).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(Timestamp);

impl Moment {
    /// Reads an RFC 3339 moment to the second, in UTC (`Z`).
    pub fn new(text: &str) -> Result<Self, String> {
        let wrong = || format!("{text:?} is not a moment in UTC written as YYYY-MM-DDThh:mm:ssZ");
        let form =
            text.len() == 20 && text.ends_with('Z') && text.as_bytes().get(10) == Some(&b'T');
        let moment: Timestamp = if form {
            text.parse().map_err(|_| wrong())?
        } else {
            return Err(wrong());
        };
        // A leap second or another spelling would not come back as it was written.
        if moment.to_string() == text {
            Ok(Self(moment))
        } else {
            Err(wrong())
        }
    }

    /// Reads any RFC 3339 moment, with an offset or a fraction, and keeps the whole second in UTC.
    pub fn from_rfc3339(text: &str) -> Result<Self, String> {
        let moment: Timestamp = text.parse().map_err(|_| {
            format!("{text:?} is not an RFC 3339 moment such as 2026-03-14T09:30:00Z")
        })?;
        Timestamp::from_second(moment.as_second())
            .map(Self)
            .map_err(|e| e.to_string())
    }

    /// The moment so many seconds after the start of 1970 in UTC; the last one that can be told for larger numbers.
    pub fn from_unix_seconds(seconds: u64) -> Self {
        let seconds = i64::try_from(seconds).unwrap_or(i64::MAX);
        Self(Timestamp::from_second(seconds).unwrap_or(Timestamp::MAX))
    }

    /// The same time of day so many days later; the last moment that can be told where that is later still.
    #[must_use]
    pub fn plus_days(self, days: u16) -> Self {
        let later = self
            .0
            .checked_add(SignedDuration::from_hours(24 * i64::from(days)));
        Self(later.unwrap_or(Timestamp::MAX))
    }

    /// The day in UTC.
    pub fn date(self) -> Date {
        Date(jiff::tz::Offset::UTC.to_datetime(self.0).date())
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl JsonSchema for Moment {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "moment".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string", "format": "date-time",
            "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z$",
            "description": "A moment in UTC to the second, YYYY-MM-DDThh:mm:ssZ.", "x-kind": "moment",
        })
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn days_that_do_not_exist_are_refused() {
        assert!(Date::new("2024-02-29").is_ok());
        for bad in [
            "2023-02-29",
            "2024-13-01",
            "2024-1-1",
            "24-01-01",
            "2024-01-01T00:00:00Z",
            "0000-01-01",
        ] {
            assert!(Date::new(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn moments_follow_rfc_3339() {
        // RFC 3339 section 5.8, examples 1 and 2.
        assert_eq!(
            Moment::from_rfc3339("1985-04-12T23:20:50.52Z")
                .unwrap()
                .to_string(),
            "1985-04-12T23:20:50Z"
        );
        assert_eq!(
            Moment::from_rfc3339("1996-12-19T16:39:57-08:00")
                .unwrap()
                .to_string(),
            "1996-12-20T00:39:57Z"
        );
        assert!(Moment::new("1996-12-19T16:39:57-08:00").is_err());
        assert!(Moment::new("1990-12-31T23:59:60Z").is_err());
    }
}
