//! The file of allowed signers: `ssh-keygen(1)`, ALLOWED SIGNERS.

use jiff::{civil::DateTime, tz::Offset};
use ssh_key::PublicKey;

use super::accepted_kind;
use crate::date::Moment;

/// Who may sign, and which keys no longer may.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AllowedSigners {
    /// The lines of the file.
    pub signers: Vec<AllowedSigner>,
    /// Keys that are accepted from nobody any more.
    pub revoked: Vec<PublicKey>,
}

/// One line: a key, under which names it stands and what it may be used for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AllowedSigner {
    /// Names, such as `ana.ruiz@example.org`.
    pub names: Vec<String>,
    /// The key.
    pub key: PublicKey,
    /// What it may sign for; anything where this is absent.
    pub namespaces: Option<Vec<String>>,
    /// The first moment at which it may be used.
    pub valid_after: Option<Moment>,
    /// The last moment at which it may be used.
    pub valid_before: Option<Moment>,
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {why}")]
pub struct SignerFault {
    /// The line, counted from one.
    pub line: usize,
    /// What is wrong and what to do.
    pub why: String,
}

impl AllowedSigners {
    /// Reads a file of allowed signers.
    ///
    /// # Errors
    /// Every line that cannot be used. A file with one is refused whole: a signer that is left out by a slip of the pen
    /// would be missed only when a signature is needed.
    pub fn parse(text: &str) -> Result<Self, Vec<SignerFault>> {
        let (mut signers, mut faults) = (Vec::new(), Vec::new());
        for (i, line) in lines(text) {
            match signer(line) {
                Ok(signer) => signers.push(signer),
                Err(why) => faults.push(SignerFault { line: i + 1, why }),
            }
        }
        if faults.is_empty() {
            Ok(Self {
                signers,
                revoked: Vec::new(),
            })
        } else {
            Err(faults)
        }
    }

    /// The same with keys that are accepted from nobody: one public key a line, as `ssh-keygen -Y verify -r` takes them.
    ///
    /// # Errors
    /// Every line that is no public key.
    pub fn revoking(mut self, text: &str) -> Result<Self, Vec<SignerFault>> {
        let mut faults = Vec::new();
        for (i, line) in lines(text) {
            match PublicKey::from_openssh(line) {
                Ok(key) => self.revoked.push(key),
                Err(error) => faults.push(SignerFault {
                    line: i + 1,
                    why: format!("this is no public key: {error}"),
                }),
            }
        }
        if faults.is_empty() {
            Ok(self)
        } else {
            Err(faults)
        }
    }
}

fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let lines = text.lines().enumerate().map(|(i, line)| (i, line.trim()));
    lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'))
}

fn signer(line: &str) -> Result<AllowedSigner, String> {
    let (names, rest) = word(line);
    let (options, key) = if let Some(key) = key_in(rest) {
        ("", key)
    } else {
        let (options, rest) = word(rest);
        let key = key_in(rest).ok_or(
            "after the names and the options there must be a kind of key, such as ssh-ed25519, and the key",
        )?;
        (options, key)
    };
    let key = PublicKey::from_openssh(key).map_err(|e| format!("the key cannot be read: {e}"))?;
    accepted_kind(&key).map_err(|e| e.to_string())?;
    let mut found = AllowedSigner {
        names: names_in(names)?,
        key,
        namespaces: None,
        valid_after: None,
        valid_before: None,
    };
    for option in options_in(options) {
        apply(&mut found, &option)?;
    }
    Ok(found)
}

/// The first word, which may hold blanks inside quotes, and what follows it.
fn word(text: &str) -> (&str, &str) {
    let mut quoted = false;
    let end = text.find(|c: char| {
        quoted ^= c == '"';
        c.is_whitespace() && !quoted
    });
    let (word, rest) = text.split_at(end.unwrap_or(text.len()));
    (word, rest.trim_start())
}

/// The key, where the text begins with the name of a kind of key.
fn key_in(text: &str) -> Option<&str> {
    let (kind, _) = word(text);
    let is_kind = kind.starts_with("ssh-") || kind.starts_with("ecdsa-") || kind.starts_with("sk-");
    is_kind.then_some(text)
}

fn names_in(names: &str) -> Result<Vec<String>, String> {
    let names: Vec<String> = names
        .trim_matches('"')
        .split(',')
        .map(str::to_owned)
        .collect();
    match names
        .iter()
        .find(|n| n.is_empty() || n.contains(['*', '?', '!']))
    {
        Some(name) => Err(format!(
            "{name:?} is no signer's name: name every signer, without * ? or !"
        )),
        None => Ok(names),
    }
}

/// Options, which commas part outside quotes.
fn options_in(options: &str) -> Vec<String> {
    let mut found = vec![String::new()];
    let mut quoted = false;
    for c in options.chars() {
        match (c, found.last_mut()) {
            ('"', _) => quoted = !quoted,
            (',', _) if !quoted => found.push(String::new()),
            (c, Some(last)) => last.push(c),
            (_, None) => {}
        }
    }
    found.retain(|option| !option.is_empty());
    found
}

fn apply(signer: &mut AllowedSigner, option: &str) -> Result<(), String> {
    let (name, value) = option.split_once('=').unwrap_or((option, ""));
    match name.to_ascii_lowercase().as_str() {
        "namespaces" => {
            let names: Vec<String> = value.split(',').map(str::to_owned).collect();
            if names
                .iter()
                .any(|n| n.is_empty() || n.contains(['*', '?', '!']))
            {
                return Err(format!("{value:?}: name every namespace, without * ? or !"));
            }
            signer.namespaces = Some(names);
        }
        "valid-after" => signer.valid_after = Some(moment(value)?),
        "valid-before" => signer.valid_before = Some(moment(value)?),
        other => {
            return Err(format!(
                "the option {other:?} is not known here; namespaces, valid-after and valid-before are"
            ));
        }
    }
    Ok(())
}

/// `YYYYMMDDZ`, `YYYYMMDDHHMMZ` or `YYYYMMDDHHMMSSZ`.
fn moment(text: &str) -> Result<Moment, String> {
    let wrong = || {
        format!(
            "{text:?} is not a time in UTC written as YYYYMMDDZ or YYYYMMDDHHMMSSZ; without the Z it would be another \
             time in every time zone"
        )
    };
    let digits = text.strip_suffix('Z').ok_or_else(wrong)?;
    let padded = match digits.len() {
        8 => format!("{digits}000000"),
        12 => format!("{digits}00"),
        14 => digits.to_owned(),
        _ => return Err(wrong()),
    };
    let civil = DateTime::strptime("%Y%m%d%H%M%S", &padded).map_err(|_| wrong())?;
    let moment = Offset::UTC.to_timestamp(civil).map_err(|_| wrong())?;
    let seconds = u64::try_from(moment.as_second()).map_err(|_| wrong())?;
    Ok(Moment::from_unix_seconds(seconds))
}
