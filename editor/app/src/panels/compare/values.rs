//! Values of the model as a person reads them, several lines where they hold several things.

use egui::{Label, RichText, Ui};
use serde_json::Value;

use crate::{
    form::{Kind, Node, choice_title},
    theme::Tokens,
};

/// More lines than this are not shown.
const MOST_LINES: usize = 24;

/// One line of a value: how deep it stands, what it is called, and what it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) depth: usize,
    pub(super) name: String,
    pub(super) text: String,
}

/// A value as lines. The node says what it is; without one it is shown as it stands in the file.
pub(super) fn lines(node: Option<Node<'_>>, value: &Value) -> Vec<Line> {
    let mut all = Vec::new();
    add(&mut all, 0, "", node, value);
    if all.len() > MOST_LINES {
        let left = all.len() - MOST_LINES;
        all.truncate(MOST_LINES);
        all.push(Line {
            depth: 0,
            name: String::new(),
            text: format!("… and {left} more lines"),
        });
    }
    all
}

/// A value on one line.
pub(super) fn line(node: Option<Node<'_>>, value: &Value) -> String {
    let lines = lines(node, value);
    let told = lines.iter().map(|line| match line.name.as_str() {
        "" => line.text.clone(),
        name if line.text.is_empty() => name.to_owned(),
        name => format!("{name}: {}", line.text),
    });
    told.collect::<Vec<_>>().join("; ")
}

/// Draws a value, each line at its depth.
pub(super) fn show(ui: &mut Ui, node: Option<Node<'_>>, value: &Value) {
    ui.spacing_mut().item_spacing.y = 1.0;
    for line in lines(node, value) {
        ui.horizontal_wrapped(|ui| {
            ui.add_space(line.depth as f32 * 12.0);
            if !line.name.is_empty() {
                let soft = Tokens::of(ui).text_soft;
                ui.label(RichText::new(&line.name).color(soft));
            }
            if !line.text.is_empty() {
                ui.add(Label::new(&line.text).wrap());
            }
        });
    }
}

fn add(all: &mut Vec<Line>, depth: usize, name: &str, node: Option<Node<'_>>, value: &Value) {
    if let Some(text) = short(node, value) {
        all.push(Line {
            depth,
            name: name.to_owned(),
            text,
        });
        return;
    }
    let inner = if name.is_empty() {
        depth
    } else {
        all.push(Line {
            depth,
            name: name.to_owned(),
            text: String::new(),
        });
        depth + 1
    };
    match value {
        Value::Object(fields) => {
            for (key, value) in ordered(node, fields) {
                let field = node.and_then(|n| n.property(key));
                let title = field.map(Node::title).filter(|t| !t.is_empty());
                let title = title.map_or_else(|| choice_title(key), str::to_owned);
                add(all, inner, &title, field, value);
            }
        }
        Value::Array(items) => {
            for (index, value) in items.iter().enumerate() {
                let number = format!("{}.", index + 1);
                add(all, inner, &number, node.and_then(Node::items), value);
            }
        }
        _ => {}
    }
}

/// The fields that are there, in the order of the model.
fn ordered<'v>(
    node: Option<Node<'_>>,
    fields: &'v serde_json::Map<String, Value>,
) -> Vec<(&'v str, &'v Value)> {
    let order = node.map(Node::fields).unwrap_or_default();
    let place = |key: &str| order.iter().position(|known| *known == key);
    let mut all: Vec<(&str, &Value)> = fields.iter().map(|(k, v)| (k.as_str(), v)).collect();
    all.sort_by_key(|(key, _)| place(key).unwrap_or(usize::MAX));
    all
}

/// A value that one line can hold.
fn short(node: Option<Node<'_>>, value: &Value) -> Option<String> {
    match node.map(Node::kind) {
        Some(Kind::Text) => return text(value),
        Some(Kind::Place) => return place(value),
        Some(Kind::Sourced) => return sourced(value),
        Some(Kind::Polygon(_)) => return outline(value),
        Some(Kind::Choice) => return value.as_str().map(choice_title),
        _ => {}
    }
    match value {
        Value::Array(_) => quantity(value),
        Value::Object(_) => None,
        Value::Bool(true) => Some("yes".to_owned()),
        Value::Bool(false) => Some("no".to_owned()),
        Value::String(string) => Some(string.clone()),
        Value::Null => Some("nothing".to_owned()),
        Value::Number(number) => Some(number.to_string()),
    }
}

/// `(7120, "lb")` as it was entered.
fn quantity(value: &Value) -> Option<String> {
    let [number, unit] = value.as_array()?.as_slice() else {
        return None;
    };
    Some(format!("{} {}", number.as_number()?, unit.as_str()?))
}

fn text(value: &Value) -> Option<String> {
    let strings = value.as_object()?.iter();
    let strings = strings.filter_map(|(tag, string)| Some(format!("{tag}: {}", string.as_str()?)));
    Some(strings.collect::<Vec<_>>().join(" / "))
}

fn place(value: &Value) -> Option<String> {
    let fields = value.as_object()?;
    let axes = ["x", "y", "z"].into_iter();
    let told = axes.filter_map(|axis| Some(format!("{axis} {}", quantity(fields.get(axis)?)?)));
    Some(told.collect::<Vec<_>>().join(", "))
}

fn sourced(value: &Value) -> Option<String> {
    let fields = value.as_object()?;
    let plus_minus = fields.get("plus_minus").and_then(quantity);
    let plus_minus = plus_minus.map_or_else(String::new, |half| format!(" ± {half}"));
    let source = fields.get("source").and_then(Value::as_str);
    let source = source.map_or_else(String::new, |id| format!(", by {id}"));
    Some(format!(
        "{}{plus_minus}{source}",
        quantity(fields.get("value")?)?
    ))
}

fn outline(value: &Value) -> Option<String> {
    let corners = value.get("corners")?.as_array()?.len();
    Some(format!("an outline with {corners} corners"))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[track_caller]
    fn check(place: &str, value: &Value, expected: &str) {
        let profile = Node::root(&chockstone_schema::json_schema::profile().annotated);
        assert_eq!(line(profile.follow(place), value), expected);
    }

    #[test]
    fn values_read_as_a_person_wrote_them() {
        check("/mass/gvwr/value", &json!([8600, "lb"]), "8600 lb");
        check(
            "/mass/gvwr",
            &json!({"value": [8600, "lb"], "plus_minus": [10, "lb"], "source": "plate"}),
            "8600 lb ± 10 lb, by plate",
        );
        check("/points/0/mirrored", &json!(true), "yes");
        check("/points/0/kind", &json!("tie_down"), "Tie down");
        check(
            "/points/0/name",
            &json!({"en": "Front eye", "es": "Ojo"}),
            "en: Front eye / es: Ojo",
        );
        check(
            "/points/front-eye/place",
            &json!({"x": [1, "mm"], "y": [-2, "in"]}),
            "x 1 mm, y -2 in",
        );
    }

    #[test]
    fn a_part_is_told_field_by_field_in_the_order_of_the_model() {
        check(
            "/points/0",
            &json!({"kind": "lift", "id": "lf", "name": {"en": "Left front"}}),
            "Id: lf; Name: en: Left front; Kind: Lift",
        );
        let many: Vec<Value> = (0..40).map(|n| json!(format!("market {n}"))).collect();
        let told = lines(None, &Value::Array(many));
        assert_eq!(told.len(), MOST_LINES + 1);
    }
}
