//! The walk over three versions of a profile.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_schema::{
    codes::{KeptValue, PartPath},
    model::record::{Conflict, ConflictAbout},
};
use serde_json::{Map, Value};

use super::{
    alike::alike,
    bytes,
    order::{self, Orders},
    refusal::Standing,
    sides::{Sides, Three},
};
use crate::{
    difference::{
        matching::{Renames, key, lists, pairs},
        shape::{self, By, List, Shape, Struct, elements, member},
    },
    part::push,
};

/// A part in the three versions, where it is there.
type Parts<'v> = Three<Option<&'v Value>>;

/// Merges everything but the conflicts of earlier merges; gives the profile and the new conflicts.
pub(super) fn walk(sides: &Sides, standing: &Standing) -> (Value, Vec<Conflict>) {
    let mut walk = Walk {
        sides,
        standing,
        path: String::new(),
        found: Vec::new(),
    };
    let value = walk.fields(shape::profile(), sides.whole());
    for (path, ids) in &sides.torn {
        let ids = Three {
            base: Some(&ids.base),
            ours: Some(&ids.ours),
            theirs: Some(&ids.theirs),
        };
        walk.found.extend(conflict(&format!("{path}/id"), ids));
    }
    (value, walk.found)
}

/// A conflict about the value at a path, with all three values.
pub(super) fn conflict(path: &str, parts: Parts<'_>) -> Option<Conflict> {
    let keep = |value: Option<&Value>| value.cloned().map(KeptValue::new);
    Some(Conflict {
        part: PartPath::new(path).ok()?,
        about: ConflictAbout::Value,
        base: keep(parts.base),
        ours: keep(parts.ours),
        theirs: keep(parts.theirs),
    })
}

/// Names longer than this are not put into paths, which have a greatest length.
const LONGEST_NAME: usize = 100;

/// What is kept as one.
static LEAF: Shape = Shape::Leaf;

struct Walk<'m> {
    sides: &'m Sides,
    standing: &'m Standing,
    path: String,
    found: Vec<Conflict>,
}

/// An element of a list by its number in each version.
type Row = Three<Option<usize>>;

impl Walk<'_> {
    fn at<T>(&mut self, segment: &str, inside: impl FnOnce(&mut Self) -> T) -> T {
        let length = self.path.len();
        push(&mut self.path, segment);
        let result = inside(self);
        self.path.truncate(length);
        result
    }

    /// Notes a conflict and gives what stands: the base, or the value with the smaller bytes where the base has none.
    fn conflict(&mut self, parts: Parts<'_>) -> Option<Value> {
        self.found.extend(conflict(&self.path, parts));
        let standing = parts.base.or_else(|| smaller(parts.ours, parts.theirs));
        standing.cloned()
    }

    /// What a part becomes that would make the profile unreadable: a conflict that stands as in the base.
    fn as_in_base(&mut self, parts: Parts<'_>) -> Option<Value> {
        if parts.differs() {
            self.found.extend(conflict(&self.path, parts));
        }
        parts.base.cloned()
    }

    fn part(&mut self, shape: &'static Shape, parts: Parts<'_>) -> Option<Value> {
        if self.standing.is_at(&self.path) {
            return self.as_in_base(parts);
        }
        if let Some(plain) = parts.plain()
            && !self.standing.is_inside(&self.path)
            && !self.sides.renamed_inside(&self.path)
        {
            return plain.cloned();
        }
        match (shape, parts.base, parts.ours, parts.theirs) {
            (Shape::Struct(part), Some(base), Some(ours), Some(theirs)) if !part.sourced => {
                let all = Three { base, ours, theirs };
                Some(self.fields(part, all))
            }
            (Shape::List(list), ..) if list.by != By::Line => self.list(list, shape, parts),
            (Shape::Text, _, Some(_), Some(_)) => Some(Value::Object(self.members(parts))),
            (Shape::Extensions, ..) => self.extensions(parts),
            _ => self.whole(shape, parts),
        }
    }

    /// A part that is taken from one side or stands.
    fn whole(&mut self, shape: &Shape, parts: Parts<'_>) -> Option<Value> {
        if let Some(plain) = parts.plain() {
            return plain.cloned();
        }
        let same = |a: Option<&Value>, b: Option<&Value>| {
            a.zip(b).is_some_and(|(a, b)| alike(shape, a, b))
        };
        let Three { base, ours, theirs } = parts;
        if same(ours, theirs) {
            return smaller(ours, theirs).cloned();
        }
        // Without one of the sides there is a removal, which is no way to write the same.
        let both = ours.is_some() && theirs.is_some();
        match (both && same(base, ours), both && same(base, theirs)) {
            (true, true) => smaller(ours, theirs).cloned(),
            (true, false) => theirs.cloned(),
            (false, true) => ours.cloned(),
            (false, false) => self.conflict(parts),
        }
    }

    fn fields(&mut self, part: &'static Struct, all: Three<&Value>) -> Value {
        let mut merged = Map::new();
        for field in &part.fields {
            // The profile's conflicts are no part of what is merged.
            if self.path.is_empty() && field.name == "conflicts" {
                continue;
            }
            let parts = all.map(|one| member(Some(one), field.name));
            let torn = uncertain(part, field.name, all);
            let value = self.at(field.name, |walk| {
                if torn {
                    walk.as_in_base(parts)
                } else {
                    walk.part(&field.shape, parts)
                }
            });
            merged.extend(value.map(|value| (field.name.to_owned(), value)));
        }
        Value::Object(merged)
    }

    /// One string a language, or the data of one program: each by its name.
    fn members(&mut self, parts: Parts<'_>) -> Map<String, Value> {
        let objects = parts.map(|part| part.and_then(Value::as_object));
        let mut names: Vec<&String> = Vec::new();
        for object in [objects.base, objects.ours, objects.theirs] {
            names.extend(object.into_iter().flat_map(Map::keys));
        }
        names.sort_unstable();
        names.dedup();
        let mut merged = Map::new();
        for name in names {
            let inner = objects.map(|object| object.and_then(|o| o.get(name)));
            let value = self.at(name, |walk| walk.part(&LEAF, inner));
            merged.extend(value.map(|value| (name.clone(), value)));
        }
        merged
    }

    fn extensions(&mut self, parts: Parts<'_>) -> Option<Value> {
        let all = [parts.base, parts.ours, parts.theirs];
        let mut values = all.into_iter().flatten().filter_map(Value::as_object);
        // A conflict cannot tell a null from what is not there.
        if values.any(|object| object.values().any(Value::is_null)) {
            return self.whole(&Shape::Extensions, parts);
        }
        let merged = self.members(parts);
        (!merged.is_empty()).then_some(Value::Object(merged))
    }

    fn list(&mut self, list: &'static List, shape: &Shape, parts: Parts<'_>) -> Option<Value> {
        let items = parts.map(elements);
        let known = [items.base, items.ours, items.theirs];
        if !known.iter().all(|items| told_apart(list, items)) {
            return self.whole(shape, parts);
        }
        let before = self.found.len();
        let merged = self.elements(list, items);
        let named = matches!(list.by, By::Field(_));
        let Some(merged) = merged.filter(|_| named || self.found.len() == before) else {
            self.found.truncate(before);
            return self.conflict(parts);
        };
        (!merged.is_empty()).then_some(Value::Array(merged))
    }

    /// The elements of a list; `None` where the list can only stand as a whole.
    fn elements(&mut self, list: &'static List, items: Three<&[Value]>) -> Option<Vec<Value>> {
        let mut kept = Vec::new();
        for row in self.rows(list, items) {
            let parts = Three {
                base: row.base.and_then(|i| items.base.get(i)),
                ours: row.ours.and_then(|i| items.ours.get(i)),
                theirs: row.theirs.and_then(|i| items.theirs.get(i)),
            };
            let value = if let Some(name) = name(list, parts) {
                let (path, ours) = (self.path.clone(), self.found.len());
                let value = self.at(&name, |walk| walk.element(list, parts));
                let stands_nowhere = value.is_none() && self.found.len() > ours;
                if list.ordered && stands_nowhere && self.standing.is_inside(&path) {
                    // Where a step belongs cannot be told once the step is not there.
                    return None;
                }
                value
            } else {
                self.element(list, parts)
            };
            kept.extend(value.map(|value| (row, value)));
        }
        Some(self.in_order(list, &kept))
    }

    fn element(&mut self, list: &'static List, parts: Parts<'_>) -> Option<Value> {
        let changed = |ours: bool, value: &Value| {
            Some(value) != parts.base || self.sides.renamed(ours, &self.path)
        };
        match (parts.base, parts.ours, parts.theirs) {
            (Some(_), Some(side), None) | (Some(_), None, Some(side))
                if !self.standing.is_at(&self.path) && changed(parts.ours.is_some(), side) =>
            {
                self.conflict(parts)
            }
            _ => self.part(&list.item, parts),
        }
    }

    /// Which element of each version is which.
    fn rows(&self, list: &List, items: Three<&[Value]>) -> Vec<Row> {
        // Parts that references name have got one id in all versions already.
        let one_id = lists().iter().any(|(_, place)| *place == self.path);
        let partners = |side: &[Value]| {
            let mut partners = vec![None; items.base.len()];
            for pair in pairs(list, items.base, side, &Renames::default()) {
                if let Some(partner) = pair.a.and_then(|i| partners.get_mut(i))
                    && !(one_id && pair.renamed)
                {
                    *partner = pair.b;
                }
            }
            partners
        };
        let (ours, theirs) = (partners(items.ours), partners(items.theirs));
        let both = ours.iter().zip(&theirs).enumerate();
        let mut rows: Vec<Row> = both
            .map(|(i, (ours, theirs))| Row {
                base: Some(i),
                ours: *ours,
                theirs: *theirs,
            })
            .collect();
        rows.extend(added(list, items, &ours, &theirs));
        rows
    }

    fn in_order(&mut self, list: &List, kept: &[(Row, Value)]) -> Vec<Value> {
        let places = |of: fn(&Row) -> Option<usize>| {
            let mut places: Vec<(usize, usize)> = Vec::new();
            for (number, (row, _)) in kept.iter().enumerate() {
                places.extend(of(row).map(|place| (place, number)));
            }
            places.sort_unstable();
            places.into_iter().map(|(_, number)| number).collect()
        };
        let orders = Orders {
            base: places(|row| row.base),
            ours: places(|row| row.ours),
            theirs: places(|row| row.theirs),
        };
        let told: Vec<Vec<u8>> = kept.iter().map(|(_, value)| bytes(value)).collect();
        let ordered = order::merge(&orders, &told);
        if ordered.torn && list.ordered {
            let names: Vec<String> = kept.iter().map(|(_, v)| key(list, v, None)).collect();
            self.found
                .extend(order_conflict(&self.path, &names, &orders));
        }
        let value = |number: &usize| kept.get(*number).map(|(_, value)| value.clone());
        ordered.elements.iter().filter_map(value).collect()
    }
}

fn order_conflict(path: &str, names: &[String], orders: &Orders) -> Option<Conflict> {
    let keep = |order: &[usize]| {
        let called = order.iter().filter_map(|number| names.get(*number));
        let called: Vec<Value> = called.cloned().map(Value::from).collect();
        (!called.is_empty()).then(|| KeptValue::new(Value::Array(called)))
    };
    Some(Conflict {
        part: PartPath::new(path).ok()?,
        about: ConflictAbout::Order,
        base: keep(&orders.base),
        ours: keep(&orders.ours),
        theirs: keep(&orders.theirs),
    })
}

/// The elements that the base does not have; one that both added under one name is one.
fn added(
    list: &List,
    items: Three<&[Value]>,
    ours: &[Option<usize>],
    theirs: &[Option<usize>],
) -> Vec<Row> {
    let strangers = |side: &[Value], partners: &[Option<usize>]| -> BTreeMap<String, usize> {
        let all = side.iter().enumerate();
        let new = all.filter(|(i, _)| !partners.contains(&Some(*i)));
        new.map(|(i, item)| (key(list, item, None), i)).collect()
    };
    let ours = strangers(items.ours, ours);
    let theirs = strangers(items.theirs, theirs);
    let names: BTreeSet<&String> = ours.keys().chain(theirs.keys()).collect();
    let row = |name: &String| Row {
        base: None,
        ours: ours.get(name).copied(),
        theirs: theirs.get(name).copied(),
    };
    names.into_iter().map(row).collect()
}

/// What a named element is called in the merged list, and so in paths.
fn name(list: &List, parts: Parts<'_>) -> Option<String> {
    let By::Field(_) = list.by else {
        return None;
    };
    let called = parts.map(|part| part.map(|item| key(list, item, None)));
    let Three { base, ours, theirs } = called;
    match (base, ours, theirs) {
        (Some(base), Some(ours), Some(theirs)) => {
            let plain = Three {
                base: &base,
                ours: &ours,
                theirs: &theirs,
            }
            .plain();
            Some(plain.unwrap_or(&base).clone())
        }
        (base, ours, theirs) => base.or(ours).or(theirs),
    }
}

/// Whether every element of a list has what tells it from the others.
fn told_apart(list: &List, items: &[Value]) -> bool {
    let mut keys: Vec<String> = items.iter().map(|item| key(list, item, None)).collect();
    let fits = |key: &String| !key.is_empty() && key.len() <= LONGEST_NAME;
    if matches!(list.by, By::Field(_)) && !keys.iter().all(fits) {
        return false;
    }
    keys.sort_unstable();
    keys.windows(2).all(|pair| pair.first() != pair.last())
}

/// Whether one side changed a value and only the other one its uncertainty, or the other way round: the uncertainty of one value
/// says nothing about another one.
fn uncertain(part: &Struct, name: &str, all: Three<&Value>) -> bool {
    const ENDING: &str = "_plus_minus";
    let value = name.strip_suffix(ENDING).unwrap_or(name);
    let uncertainty = format!("{value}{ENDING}");
    if part.field(&uncertainty).is_none() || part.field(value).is_none() {
        return false;
    }
    let changed = |name: &str| {
        let parts = all.map(|one| one.get(name));
        [parts.ours != parts.base, parts.theirs != parts.base]
    };
    matches!(
        (changed(value), changed(&uncertainty)),
        ([true, false], [false, true]) | ([false, true], [true, false])
    )
}

/// The value with the smaller canonical bytes, where there are two.
fn smaller<'v>(a: Option<&'v Value>, b: Option<&'v Value>) -> Option<&'v Value> {
    match (a, b) {
        (Some(a), Some(b)) if bytes(b) < bytes(a) => Some(b),
        (a, b) => a.or(b),
    }
}
