//! Which element of one list is which of another.

use std::{
    cmp::Ordering,
    collections::{BTreeMap, BTreeSet},
    sync::LazyLock,
};

use chockstone_schema::{json_schema, quantity::Dimension};
use serde_json::Value;

use super::{
    shape::{self, By, List, Shape, elements, member},
    values::{Written, same},
    words,
};

/// Two elements that are one, or one that stands alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pair {
    /// Its index in the older list.
    pub(crate) a: Option<usize>,
    /// Its index in the newer list.
    pub(crate) b: Option<usize>,
    /// Whether both were taken for one although their ids differ.
    pub(crate) renamed: bool,
}

/// Two parts with different ids are taken for one when at least this part of what they say is the same …
const MOST_OF_IT: f64 = 0.6;
/// … and at least so many things.
const FEWEST_ALIKE: usize = 2;
/// Texts are taken for one when they are at least so alike, from 0 to 1.
const ALIKE_TEXTS: f64 = 0.5;
/// Lists of strangers longer than this are not searched for pairs: nobody renames so many parts at once.
const MOST_STRANGERS: usize = 60;
/// Fields that say what kind of part it is: parts of two kinds are never one.
const KINDS: [&str; 12] = [
    "act",
    "axle",
    "harm",
    "kind",
    "media_type",
    "method",
    "permission",
    "purpose",
    "raised",
    "signal",
    "standard",
    "state",
];

/// Ids that parts have got, by the kind of part: what a reference of the older profile names now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Renames(BTreeMap<&'static str, BTreeMap<String, String>>);

impl Renames {
    /// The parts that are taken for one although their ids differ, over every list that references point into.
    pub(crate) fn between(a: &Value, b: &Value) -> Self {
        let mut found = Self::default();
        for (of, place) in lists() {
            let (a, b) = (elements(a.pointer(place)), elements(b.pointer(place)));
            let Some(list) = list_at(place).filter(|_| a != b) else {
                continue;
            };
            for pair in pairs(list, a, b, &Self::default()) {
                let ids = renamed_ids(&pair, a, b);
                if let Some((old, new)) = ids {
                    let of = found.0.entry(of).or_default();
                    of.insert(old.to_owned(), new.to_owned());
                }
            }
        }
        found
    }

    /// The id that a reference of the older profile has in the newer one.
    pub(crate) fn now<'r>(&'r self, of: &str, id: &'r str) -> &'r str {
        let found = self.0.get(of).and_then(|ids| ids.get(id));
        found.map_or(id, String::as_str)
    }

    /// Each kind of part with the ids that changed, old and new.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&'static str, &str, &str)> {
        self.0.iter().flat_map(|(of, ids)| {
            ids.iter()
                .map(move |(old, new)| (*of, old.as_str(), new.as_str()))
        })
    }
}

fn renamed_ids<'v>(pair: &Pair, a: &'v [Value], b: &'v [Value]) -> Option<(&'v str, &'v str)> {
    let id = |items: &'v [Value], at: Option<usize>| items.get(at?)?.get("id")?.as_str();
    pair.renamed
        .then(|| Some((id(a, pair.a)?, id(b, pair.b)?)))
        .flatten()
}

/// The kinds of part that references name, and the pointer of the list of each.
pub(crate) fn lists() -> &'static [(&'static str, &'static str)] {
    static LISTS: LazyLock<Vec<(&'static str, &'static str)>> = LazyLock::new(|| {
        let definitions = json_schema::profile().annotated.get("$defs");
        let all = definitions.and_then(Value::as_object).into_iter().flatten();
        let mut found: Vec<_> = all
            .filter_map(|(_, part)| {
                let word = |key| part.get(key).and_then(Value::as_str);
                Some((word("x-of")?, word("x-list")?))
            })
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    });
    &LISTS
}

/// The shape of the list at a pointer of the profile.
fn list_at(pointer: &str) -> Option<&'static List> {
    let mut part = shape::profile();
    let mut segments = pointer.split('/').skip(1).peekable();
    while let Some(segment) = segments.next() {
        match &part.field(segment)?.shape {
            Shape::Struct(inner) => part = inner,
            Shape::List(list) if segments.peek().is_none() => return Some(list),
            _ => return None,
        }
    }
    None
}

/// Pairs the elements of two lists: first those of the newer list in its order, then those that are only in the older one.
pub(crate) fn pairs(list: &List, a: &[Value], b: &[Value], renames: &Renames) -> Vec<Pair> {
    let mut partner: Vec<Option<(usize, bool)>> = vec![None; b.len()];
    let mut free: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, item) in a.iter().enumerate().rev() {
        free.entry(key(list, item, Some(renames)))
            .or_default()
            .push(i);
    }
    for (item, partner) in b.iter().zip(&mut partner) {
        let same = free.get_mut(&key(list, item, None)).and_then(Vec::pop);
        *partner = same.map(|i| (i, false));
    }
    let strangers_a: Vec<usize> = free.into_values().flatten().collect();
    let alone = partner.iter().enumerate().filter(|(_, p)| p.is_none());
    let strangers_b: Vec<usize> = alone.map(|(j, _)| j).collect();
    for (i, j) in guesses(list, (a, strangers_a), (b, strangers_b)) {
        if let Some(partner) = partner.get_mut(j) {
            *partner = Some((i, list.by == By::Field("id")));
        }
    }
    in_order(a.len(), &partner)
}

fn in_order(length: usize, partner: &[Option<(usize, bool)>]) -> Vec<Pair> {
    let taken: BTreeSet<usize> = partner.iter().flatten().map(|(i, _)| *i).collect();
    let newer = partner.iter().enumerate().map(|(j, p)| Pair {
        a: p.map(|(i, _)| i),
        b: Some(j),
        renamed: p.is_some_and(|(_, renamed)| renamed),
    });
    let older = (0..length).filter(|i| !taken.contains(i)).map(|i| Pair {
        a: Some(i),
        b: None,
        renamed: false,
    });
    newer.chain(older).collect()
}

/// What an element is recognised by. References of the older list are read as they are named in the newer one.
pub(crate) fn key(list: &List, item: &Value, renames: Option<&Renames>) -> String {
    let now = |shape: &Shape, value: &Value| match (shape, value.as_str(), renames) {
        (Shape::Reference(of), Some(id), Some(renames)) => renames.now(of, id).to_owned(),
        (_, Some(text), _) => text.to_owned(),
        _ => value.to_string(),
    };
    match (list.by, list.item.as_ref()) {
        (By::Field(field), Shape::Struct(part)) => {
            let shape = part.field(field).map_or(&Shape::Leaf, |f| &f.shape);
            member(Some(item), field).map_or_else(String::new, |value| now(shape, value))
        }
        (_, shape) => now(shape, item),
    }
}

/// Pairs of strangers that are one all the same: each is the other's only best match, and most of it is the same.
fn guesses(
    list: &List,
    (a, strangers_a): (&[Value], Vec<usize>),
    (b, strangers_b): (&[Value], Vec<usize>),
) -> Vec<(usize, usize)> {
    let by_likeness = list.by == By::Likeness || list.by == By::Field("id");
    let too_many = strangers_a.len().max(strangers_b.len()) > MOST_STRANGERS;
    if !by_likeness || too_many || strangers_a.is_empty() || strangers_b.is_empty() {
        return Vec::new();
    }
    let mut scores = Vec::new();
    for i in &strangers_a {
        for j in &strangers_b {
            let score = a
                .get(*i)
                .zip(b.get(*j))
                .and_then(|(a, b)| score(list, a, b));
            scores.extend(score.map(|score| (*i, *j, score)));
        }
    }
    let best = |(i, j, score): &(usize, usize, f64)| {
        let others = scores.iter().filter(|(x, y, _)| (x == i) != (y == j));
        others.into_iter().all(|(_, _, other)| other < score)
    };
    let found = scores.iter().filter(|s| best(s));
    found.map(|(i, j, _)| (*i, *j)).collect()
}

/// How alike two strangers are; `None` when they cannot be one.
fn score(list: &List, a: &Value, b: &Value) -> Option<f64> {
    if matches!(list.item.as_ref(), Shape::Text) {
        let likeness = words::likeness(a, b);
        return (likeness >= ALIKE_TEXTS).then_some(likeness);
    }
    let hash = |item| member(Some(item), "sha256");
    if let (Some(a), Some(b)) = (hash(a), hash(b)) {
        // A file is its bytes, whatever it is called.
        return (a == b).then_some(1.0);
    }
    if KINDS.iter().any(|kind| a.get(kind) != b.get(kind)) {
        return None;
    }
    let (a, b) = (leaves(&list.item, a), leaves(&list.item, b));
    let same = |(place, old): &(&String, &Leaf<'_>)| b.get(*place).is_some_and(|new| old.is(new));
    let alike = a.iter().filter(same).count();
    let part = 2.0 * alike as f64 / (a.len() + b.len()).max(1) as f64;
    (alike >= FEWEST_ALIKE && part >= MOST_OF_IT).then_some(part)
}

/// One thing that an element says.
struct Leaf<'v> {
    value: &'v Value,
    /// What it measures, where it is a quantity.
    dimension: Option<Dimension>,
}

impl Leaf<'_> {
    fn is(&self, other: &Self) -> bool {
        let quantities = || {
            Some((
                self.dimension?,
                Written::of(self.value)?,
                Written::of(other.value)?,
            ))
        };
        self.value == other.value || quantities().is_some_and(|(of, a, b)| same(of, a, b))
    }
}

/// Everything that an element says, but its id, by the place inside it.
fn leaves<'v>(shape: &Shape, item: &'v Value) -> BTreeMap<String, Leaf<'v>> {
    let mut found = BTreeMap::new();
    gather(Some(shape), item, &mut String::new(), &mut found);
    found
}

fn gather<'v>(
    shape: Option<&Shape>,
    value: &'v Value,
    place: &mut String,
    found: &mut BTreeMap<String, Leaf<'v>>,
) {
    let length = place.len();
    let mut inside = |shape, name: &str, inner| {
        place.push('/');
        place.push_str(name);
        gather(shape, inner, place, found);
        place.truncate(length);
    };
    match value {
        Value::Object(object) => {
            for (name, inner) in object.iter().filter(|(n, _)| length > 0 || *n != "id") {
                inside(shape.and_then(|s| field_shape(s, name)), name, inner);
            }
        }
        Value::Array(items) if matches!(shape, Some(Shape::List(_))) => {
            let Some(Shape::List(list)) = shape else {
                return;
            };
            let by_number = list.ordered || list.by == By::Line || list.by == By::Likeness;
            for (i, inner) in in_order_of_content(list, items).into_iter().enumerate() {
                let name = if by_number {
                    i.to_string()
                } else {
                    key(list, inner, None)
                };
                inside(Some(list.item.as_ref()), &name, inner);
            }
        }
        value => {
            let dimension = match shape {
                Some(Shape::Quantity(dimension)) => Some(*dimension),
                _ => None,
            };
            found.insert(place.clone(), Leaf { value, dimension });
        }
    }
}

/// What a list of parts without a name says does not depend on their order, unless the order means something: they are put
/// in the order of their words, then of their quantities, which is the same in every unit.
fn in_order_of_content<'v>(list: &List, items: &'v [Value]) -> Vec<&'v Value> {
    if list.by != By::Likeness || list.ordered || items.len() < 2 {
        return items.iter().collect();
    }
    let content = |item| {
        let (mut words, mut quantities) = (Vec::new(), Vec::new());
        for (place, leaf) in leaves(&list.item, item) {
            let quantity = || Written::of(leaf.value)?.si(leaf.dimension?);
            match quantity() {
                Some(value) => quantities.push(value),
                None => words.push((place, leaf.value.to_string())),
            }
        }
        (words, quantities, item)
    };
    let mut items: Vec<_> = items.iter().map(content).collect();
    items.sort_by(|a, b| {
        let quantities = || {
            let both = a.1.iter().zip(&b.1).map(|(x, y)| x.total_cmp(y));
            both.fold(Ordering::Equal, Ordering::then)
        };
        a.0.cmp(&b.0).then_with(quantities)
    });
    items.into_iter().map(|(.., item)| item).collect()
}

fn field_shape<'s>(shape: &'s Shape, name: &str) -> Option<&'s Shape> {
    const COORDINATE: Shape = Shape::Quantity(Dimension::Length);
    match shape {
        Shape::Struct(part) => part.field(name).map(|field| &field.shape),
        Shape::Place => Some(&COORDINATE),
        _ => None,
    }
}

/// A matched element of a list whose order means something.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Matched<'k> {
    /// Its index in the older list.
    pub(crate) a: usize,
    /// Its index in the newer list.
    pub(crate) b: usize,
    /// What it is recognised by.
    pub(crate) key: &'k str,
}

/// What a run of elements that stay is worth: how many they are, then how little they moved, then their keys.
type Worth = (usize, i64, u128);

/// Of matched elements, those that must be moved to get from one order to the other: as few as possible, and the same
/// whichever of the two lists is the older one. Where several choices are as few, those are taken as moved that are farther
/// from where they were, and between equals their keys decide.
///
/// The elements are given in their newer order.
pub(crate) fn moved_either_way(elements: &[Matched<'_>]) -> BTreeSet<usize> {
    if elements.is_sorted_by_key(|element| element.a) {
        return BTreeSet::new();
    }
    // The best run that ends at each element: its worth, and the element before it.
    let mut runs: Vec<(Worth, Option<usize>)> = Vec::with_capacity(elements.len());
    for element in elements {
        let earlier = runs.iter().zip(elements).enumerate();
        let fitting = earlier.filter(|(_, (_, before))| before.a < element.a);
        let longest = fitting.max_by_key(|(_, (run, _))| run.0);
        let ((count, distance, keys), before) =
            longest.map_or(((0, 0, 0), None), |(at, (run, _))| (run.0, Some(at)));
        let apart = i64::try_from(element.a.abs_diff(element.b)).unwrap_or(i64::MAX);
        let worth = (
            count + 1,
            distance.saturating_sub(apart),
            keys + u128::from(spread(element.key)),
        );
        runs.push((worth, before));
    }
    let mut out: BTreeSet<usize> = elements.iter().map(|element| element.a).collect();
    let longest = runs.iter().enumerate().max_by_key(|(_, run)| run.0);
    let mut next = longest.map(|(at, _)| at);
    while let Some(at) = next {
        if let Some(element) = elements.get(at) {
            out.remove(&element.a);
        }
        next = runs.get(at).and_then(|(_, before)| *before);
    }
    out
}

/// A number for a key, so that no two choices are worth the same (the FNV-1a hash of 64 bits; from memory).
fn spread(key: &str) -> u64 {
    key.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use serde_json::json;

    use super::*;

    fn points(items: &Value) -> Vec<Value> {
        items.as_array().unwrap().clone()
    }

    fn paired(a: &Value, b: &Value) -> Vec<(Option<usize>, Option<usize>, bool)> {
        let list = list_at("/points").unwrap();
        let pairs = pairs(list, &points(a), &points(b), &Renames::default());
        pairs.iter().map(|p| (p.a, p.b, p.renamed)).collect()
    }

    fn eye(id: &str, x: i32) -> Value {
        json!({"id": id, "name": {"en": "Eye"}, "kind": "recovery_eye", "marking": {"en": "Orange cap"},
            "place": {"x": [x, "mm"], "y": [0, "mm"]}, "uses": ["recover"]})
    }

    #[test]
    fn every_kind_of_reference_has_its_list() {
        assert!(lists().len() >= 10, "{:?}", lists());
        for (of, place) in lists() {
            assert!(list_at(place).is_some(), "{of}: {place}");
        }
    }

    #[test]
    fn parts_are_recognised_by_their_ids_wherever_they_stand() {
        let (front, rear) = (eye("front-eye", -800), eye("rear-eye", 3900));
        let both = json!([front, rear]);
        let turned = json!([rear, front]);
        assert_eq!(
            paired(&both, &turned),
            [(Some(1), Some(0), false), (Some(0), Some(1), false)]
        );
    }

    #[test]
    fn a_new_id_for_the_same_part_is_seen() {
        let found = paired(
            &json!([eye("rear-eye", 3900)]),
            &json!([eye("tow-eye", 3900)]),
        );
        assert_eq!(found, [(Some(0), Some(0), true)]);
    }

    #[test]
    fn two_that_match_as_well_are_not_guessed_at() {
        let found = paired(
            &json!([eye("eye", 3900)]),
            &json!([eye("left", 3900), eye("right", 3900)]),
        );
        assert!(found.iter().all(|(_, _, renamed)| !renamed), "{found:?}");
    }

    #[test]
    fn another_kind_is_another_part() {
        let mut hook = eye("hook", 3900);
        *hook.pointer_mut("/kind").unwrap() = "tie_down".into();
        let found = paired(&json!([eye("eye", 3900)]), &json!([hook]));
        assert_eq!(found, [(None, Some(0), false), (Some(0), None, false)]);
    }

    #[test]
    fn a_part_that_shares_little_is_another_part() {
        let other = json!({"id": "other", "name": {"en": "Hook"}, "kind": "recovery_eye",
            "place": {"x": [1, "mm"], "y": [2, "mm"]}, "uses": ["winch"]});
        let found = paired(&json!([eye("eye", 3900)]), &json!([other]));
        assert_eq!(found, [(None, Some(0), false), (Some(0), None, false)]);
    }

    #[test]
    fn files_are_recognised_by_their_bytes() {
        let file = |id: &str, hash: &str| json!({"id": id, "title": {"en": id}, "sha256": hash, "size": 3, "media_type": "text/plain"});
        let a = json!({"attachments": [file("ticket", "aa"), file("plan", "bb")]});
        let b = json!({"attachments": [file("scale-ticket", "aa"), file("drawing", "cc")]});
        let renames = Renames::between(&a, &b);
        assert_eq!(
            renames.iter().collect::<Vec<_>>(),
            [("attachment", "ticket", "scale-ticket")]
        );
    }

    /// As few elements as possible that must be moved, found another way: from the longest run that is in order already
    /// (patience sorting). The elements are given by their older index, in their newer order.
    fn moved(older: &[usize]) -> BTreeSet<usize> {
        let mut tails: Vec<usize> = Vec::new();
        let mut before: Vec<Option<usize>> = Vec::with_capacity(older.len());
        let value = |at: usize| older.get(at).copied().unwrap_or_default();
        for (at, index) in older.iter().enumerate() {
            let rank = tails.partition_point(|tail| value(*tail) < *index);
            before.push(rank.checked_sub(1).and_then(|r| tails.get(r).copied()));
            match tails.get_mut(rank) {
                Some(tail) => *tail = at,
                None => tails.push(at),
            }
        }
        let mut stay = BTreeSet::new();
        let mut next = tails.last().copied();
        while let Some(at) = next {
            stay.insert(value(at));
            next = before.get(at).copied().flatten();
        }
        older
            .iter()
            .copied()
            .filter(|i| !stay.contains(i))
            .collect()
    }

    #[test]
    fn as_few_as_possible_are_moved() {
        assert_eq!(moved(&[0, 1, 2]), BTreeSet::new());
        assert_eq!(moved(&[1, 2, 0]), BTreeSet::from([0]));
        assert_eq!(moved(&[0, 3, 1, 2, 4]), BTreeSet::from([3]));
        assert_eq!(moved(&[2, 1, 0]).len(), 2);
    }

    #[test]
    fn what_moved_is_the_same_from_either_side() {
        // All orders of five elements: as few as by the other way, and the same elements there and back.
        let keys = ["a", "b", "c", "d", "e"];
        let orders = (0..3125_usize).map(|n| [0, 1, 2, 3, 4].map(|i| n / 5_usize.pow(i) % 5));
        let orders = orders.filter(|order| BTreeSet::from(*order).len() == 5);
        let mut count = 0;
        for order in orders {
            let key = |a: usize| keys.get(a).copied().unwrap();
            let mut there: Vec<Matched<'_>> = (order.iter().enumerate())
                .map(|(b, a)| Matched {
                    a: *a,
                    b,
                    key: key(*a),
                })
                .collect();
            let out = moved_either_way(&there);
            assert_eq!(out.len(), moved(&order).len(), "{order:?}");
            there.sort_by_key(|element| element.a);
            let back: Vec<Matched<'_>> = (there.iter())
                .map(|element| Matched {
                    a: element.b,
                    b: element.a,
                    key: element.key,
                })
                .collect();
            let out_back: BTreeSet<&str> = moved_either_way(&back)
                .iter()
                .map(|b| key(order.get(*b).copied().unwrap()))
                .collect();
            assert_eq!(
                out.iter().map(|a| key(*a)).collect::<BTreeSet<_>>(),
                out_back,
                "{order:?}"
            );
            count += 1;
        }
        assert_eq!(count, 120);
    }
}
