//! From a JSON pointer to the line and column of a text.

use jsonc_parser::{
    CollectOptions, ParseOptions,
    ast::{ObjectPropName, Value as JsonNode},
    common::Ranged,
    parse_to_ast,
};
use ron2::ast::{Expr, StructBody, parse_document};

use super::{Fault, Notation};

/// The position just after a text: line and column from 1, columns counted in characters.
pub(super) fn end_of(text: &str) -> (usize, usize) {
    let line = text.matches('\n').count() + 1;
    let last = text.rsplit('\n').next().unwrap_or_default();
    (line, last.chars().count() + 1)
}

/// Fills in the position of every fault that has none; a part that is absent gets its nearest parent's.
pub(super) fn locate_all(text: &str, notation: Notation, faults: &mut [Fault]) {
    let missing = faults.iter_mut().filter(|f| f.at.is_none());
    match notation {
        Notation::Ron => {
            let Ok(document) = parse_document(text) else {
                return;
            };
            let Some(root) = &document.value else { return };
            for fault in missing {
                let segments = segments(&fault.pointer);
                let start = &locate_ron(root, &segments).span().start;
                fault.at = Some((start.line, start.col));
            }
        }
        Notation::Json => {
            let strict = ParseOptions {
                allow_comments: false,
                ..ParseOptions::default()
            };
            let Ok(parsed) = parse_to_ast(text, &CollectOptions::default(), &strict) else {
                return;
            };
            let Some(root) = &parsed.value else { return };
            for fault in missing {
                let start = locate_json(root, &segments(&fault.pointer)).start();
                fault.at = text.get(..start).map(end_of);
            }
        }
    }
}

fn segments(pointer: &str) -> Vec<String> {
    pointer
        .split('/')
        .skip(1)
        .map(|s| s.replace("~1", "/").replace("~0", "~"))
        .collect()
}

fn locate_ron<'e, 'a>(expr: &'e Expr<'a>, segments: &[String]) -> &'e Expr<'a> {
    let Some((segment, rest)) = segments.split_first() else {
        return expr;
    };
    let at = |i: &str| i.parse::<usize>().ok();
    let found = match expr {
        Expr::AnonStruct(s) => s
            .fields
            .iter()
            .find(|f| f.name.name == *segment)
            .map(|f| &f.value),
        Expr::Struct(s) => match &s.body {
            Some(StructBody::Fields(b)) => b
                .fields
                .iter()
                .find(|f| f.name.name == *segment)
                .map(|f| &f.value),
            _ => None,
        },
        Expr::Seq(s) => at(segment).and_then(|i| s.items.get(i)).map(|i| &i.expr),
        Expr::Tuple(t) => at(segment).and_then(|i| t.elements.get(i)).map(|e| &e.expr),
        Expr::Map(m) => m
            .entries
            .iter()
            .find(|e| matches!(&e.key, Expr::String(k) if k.value == *segment))
            .map(|e| &e.value),
        Expr::Option(o) => {
            return o
                .value
                .as_ref()
                .map_or(expr, |v| locate_ron(&v.expr, segments));
        }
        _ => None,
    };
    found.map_or(expr, |inner| locate_ron(inner, rest))
}

fn locate_json<'e, 'a>(node: &'e JsonNode<'a>, segments: &[String]) -> &'e JsonNode<'a> {
    let Some((segment, rest)) = segments.split_first() else {
        return node;
    };
    let found = match node {
        JsonNode::Object(o) => o
            .properties
            .iter()
            .find(|p| key_is(&p.name, segment))
            .map(|p| &p.value),
        JsonNode::Array(a) => segment
            .parse::<usize>()
            .ok()
            .and_then(|i| a.elements.get(i)),
        _ => None,
    };
    found.map_or(node, |inner| locate_json(inner, rest))
}

fn key_is(name: &ObjectPropName<'_>, key: &str) -> bool {
    name.as_str() == key
}
