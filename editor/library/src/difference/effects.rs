//! What a change does: the computed results of two profiles that are not the same.
//!
//! Mass, centre of gravity and axle loads; the methods of moving the vehicle, and how it does with each piece of equipment
//! given; the ways from every named situation to every goal; and what the checks say. A number is told where it moved beyond
//! its rounding. Both directions are told: what became possible as well as what no longer is.

use chockstone_schema::{
    Equipment, Profile,
    id::Id,
    read::to_value,
    report::Effect,
    text::{Language, Text},
};

use super::matching::Renames;

mod findings;
mod mass;
mod methods;
mod situations;

/// Everything computed that is not the same for the older profile `before` and the newer profile `after`, worse results
/// first, with this equipment. The same input gives the same effects, and nothing is read or written.
pub fn effects(before: &Profile, after: &Profile, equipment: &[Equipment]) -> Vec<Effect> {
    if before == after {
        return Vec::new();
    }
    let values = [before, after].map(to_value);
    let [value_a, value_b] = &values;
    let sides = Sides {
        before,
        after,
        renames: Renames::between(value_a, value_b),
        words: Words::of(after),
    };
    let mut found = mass::effects(&sides);
    found.extend(methods::effects(&sides, equipment));
    found.extend(situations::effects(&sides));
    found.extend(findings::effects(&sides, &values));
    found.sort_by_key(|effect| !effect.worse);
    found
}

/// The two profiles.
struct Sides<'s> {
    before: &'s Profile,
    after: &'s Profile,
    renames: Renames,
    words: Words,
}

/// One variant in both profiles.
struct SameVariant<'s> {
    before: Option<&'s str>,
    after: Option<&'s str>,
    /// Its name; absent for a profile without variants.
    name: Option<String>,
}

impl Sides<'_> {
    /// The variants that are in both profiles. Where one profile has none, it stands for every variant of the other.
    fn variants(&self) -> Vec<SameVariant<'_>> {
        let ids = |profile: &'_ Profile| -> Vec<Id> {
            profile.variants.iter().map(|v| v.id.clone()).collect()
        };
        let (a, b) = (ids(self.before), ids(self.after));
        if a.is_empty() && b.is_empty() {
            return vec![SameVariant {
                before: None,
                after: None,
                name: None,
            }];
        }
        if b.is_empty() {
            let of_a = self.before.variants.iter();
            return of_a
                .map(|v| self.same(Some(v.id.as_str()), None, &v.name))
                .collect();
        }
        let of_b = self.after.variants.iter();
        of_b.filter_map(|v| {
            let id = v.id.as_str();
            if a.is_empty() {
                return Some(self.same(None, Some(id), &v.name));
            }
            let mut older = self.before.variants.iter().map(|v| v.id.as_str());
            let old = older.find(|old| self.renames.now("variant", old) == id)?;
            Some(self.same(Some(old), Some(id), &v.name))
        })
        .collect()
    }

    /// What `of_variant` finds for each variant; what is the same for several is told once, with their names.
    fn over_variants(&self, of_variant: impl Fn(&SameVariant<'_>) -> Vec<Effect>) -> Vec<Effect> {
        let mut groups: Vec<(Effect, Vec<String>)> = Vec::new();
        for variant in self.variants() {
            for effect in of_variant(&variant) {
                let name = variant.name.iter().map(|name| format!("“{name}”"));
                match groups.iter_mut().find(|(known, _)| *known == effect) {
                    Some((_, names)) => names.extend(name),
                    None => groups.push((effect, name.collect())),
                }
            }
        }
        let named = groups.into_iter().map(|(mut effect, names)| {
            let variants = match names.as_slice() {
                [] => String::new(),
                [one] => format!(", variant {one}"),
                more => format!(", variants {}", list(more)),
            };
            effect.what.push_str(&variants);
            effect
        });
        named.collect()
    }

    fn same<'v>(
        &self,
        before: Option<&'v str>,
        after: Option<&'v str>,
        name: &Text,
    ) -> SameVariant<'v> {
        SameVariant {
            before,
            after,
            name: Some(self.words.text(name).to_owned()),
        }
    }
}

/// The language that names are told in: that of the newer profile, then English.
struct Words(Vec<Language>);

impl Words {
    fn of(profile: &Profile) -> Self {
        let order = [profile.language.clone()].into_iter();
        Self(order.chain(Language::new("en").ok()).collect())
    }

    fn text<'t>(&'t self, text: &'t Text) -> &'t str {
        text.pick(&self.0)
    }

    /// A text that the program has in English and Spanish.
    fn own(&self, [english, spanish]: [&'static str; 2]) -> &'static str {
        let first = self.0.first().map(Language::as_str);
        let is_spanish = first.is_some_and(|tag| tag == "es" || tag.starts_with("es-"));
        if is_spanish { spanish } else { english }
    }
}

/// A sentence's words in a row: `a, b and c`.
fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests;
