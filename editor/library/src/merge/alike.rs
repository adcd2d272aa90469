//! Whether two parts mean the same, however they are written.

use serde_json::Value;

use crate::difference::{
    geometry,
    matching::{Renames, pairs},
    shape::{By, List, Shape, Struct, elements, member},
    values::{Written, same},
};

/// Whether the difference has nothing to tell about two parts.
pub(super) fn alike(shape: &Shape, a: &Value, b: &Value) -> bool {
    if a == b {
        return true;
    }
    match shape {
        Shape::Struct(part) => structs(part, a, b),
        Shape::List(list) if list.by == By::Line => geometry::line(a, b).is_none(),
        Shape::List(list) => lists(list, elements(Some(a)), elements(Some(b))),
        Shape::Quantity(dimension) => Written::of(a)
            .zip(Written::of(b))
            .is_some_and(|(a, b)| same(*dimension, a, b)),
        Shape::Place => geometry::place(a, b).is_none(),
        Shape::Outline(seen) => geometry::outline(*seen, a, b).is_none(),
        _ => false,
    }
}

fn structs(part: &Struct, a: &Value, b: &Value) -> bool {
    part.fields.iter().all(|field| {
        let sides = (member(Some(a), field.name), member(Some(b), field.name));
        match sides {
            (Some(a), Some(b)) => alike(&field.shape, a, b),
            (a, b) => a == b,
        }
    })
}

fn lists(list: &List, a: &[Value], b: &[Value]) -> bool {
    let pairs = pairs(list, a, b, &Renames::default());
    let in_order = pairs.is_sorted_by_key(|pair| pair.a);
    (in_order || !list.ordered)
        && pairs.iter().all(|pair| {
            let both = pair
                .a
                .and_then(|i| a.get(i))
                .zip(pair.b.and_then(|j| b.get(j)));
            !pair.renamed && both.is_some_and(|(a, b)| alike(&list.item, a, b))
        })
}
