//! The vehicle drawn to scale on a carrier's deck, where it can be dragged along.

use chockstone_rules::fit::drawing::{Standing, Truck, VehicleShape};
use chockstone_schema::report::{CarryingResult, Facing, FitChoices, PlacementWindow};
use egui::{
    Align2, CursorIcon, EventFilter, Id, Key, Modifiers, Pos2, Rect, Response, Sense, Shape,
    Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::{
    Answer, ShownParts, chart,
    choices::{Field, SHORT_LENGTH},
    pick,
    sections::table_ui,
    sheet::{Room, Sheet, bounds_of},
    words,
};
use crate::{command::Command, diagram, figures, theme::Tokens};

/// How far an arrow key moves the vehicle, in m; with Shift ten times that.
const STEP: f64 = 0.01;
/// The room under the ground for the bars of the windows.
const BARS: f32 = 52.0;
/// A vehicle drawn shorter than this has no room for labels on it.
const ROOM_FOR_LABELS: f32 = 200.0;
/// How far beyond the deck's ends a vehicle can be dragged where there is no chart, in m.
const BEYOND: f64 = 2.0;

/// Draws the part of the answer about the deck.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    choices: &mut FitChoices,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let results = &answer.worked.report.carrying;
    let Some(result) = current(ui, results, choices, shown) else {
        pick::line(ui, "Choose a carrier to see the vehicle on its deck.");
        return;
    };
    pick::title_ui(ui, &result.title, result.verdict);
    placement_ui(ui, answer, result, choices);
    match answer.truck(&result.carrier) {
        Some(truck) => {
            let scene = Scene {
                answer,
                result,
                truck,
            };
            scene.show(ui, choices, shown);
        }
        None => pick::line(
            ui,
            "The drawing needs the deck’s length, which its file does not state.",
        ),
    }
    if let Some(sentence) = &result.no_window {
        pick::line(ui, sentence);
    }
    windows_ui(ui, answer, result);
    if let Some(chart) = &result.chart {
        chart::show(ui, answer, result, chart, choices);
    }
    pick::heading(ui, "Ratings at this placement");
    table_ui(ui, answer, &result.title, shown, commands, &result.rows);
}

/// The carrier and way round that are shown; picking another result changes the way round too.
fn current<'r>(
    ui: &mut Ui,
    results: &'r [CarryingResult],
    choices: &mut FitChoices,
    shown: &mut ShownParts,
) -> Option<&'r CarryingResult> {
    let carrier = shown.carrier.as_deref();
    let is_shown = |r: &CarryingResult| carrier.is_none_or(|c| r.carrier == c);
    let index = results
        .iter()
        .position(|r| is_shown(r) && r.facing == choices.facing)
        .or_else(|| results.iter().position(|r| r.facing == choices.facing))
        .unwrap_or(0);
    let titles = results.iter().map(|r| (r.title.as_str(), r.verdict));
    let picked = pick::results_ui(ui, titles, index);
    if let Some(result) = picked.and_then(|i| results.get(i)) {
        shown.carrier = Some(result.carrier.clone());
        if choices.facing != result.facing {
            choices.facing = result.facing;
            choices.placement = None;
        }
    }
    results.get(picked.unwrap_or(index))
}

/// The placement as a number.
fn placement_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    result: &CarryingResult,
    choices: &mut FitChoices,
) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Foremost place behind the deck’s front edge");
        let field = Field {
            name: "Placement",
            help: "How far behind the deck’s front edge the vehicle’s foremost place on the truck is. Empty takes the \
                   placement that the program proposes.",
            units: SHORT_LENGTH,
            least: -50.0,
        };
        // Nobody places a vehicle by less than a millimetre.
        let whole = |placement: f64| (placement * 1000.0).round() / 1000.0;
        let mut placement = choices.placement.or(result.placement).map(whole);
        let before = placement;
        field.field_ui(ui, answer.input.system, &mut placement);
        if placement != before {
            choices.placement = placement;
        }
        let button = egui::Button::new("Proposed placement");
        if ui
            .add_enabled(choices.placement.is_some(), button)
            .on_hover_text("Takes the placement that the program proposes")
            .clicked()
        {
            choices.placement = None;
        }
    });
}

fn windows_ui(ui: &mut Ui, answer: &Answer<'_>, result: &CarryingResult) {
    for (window, words) in [
        (&result.sure_window, "Every rating surely holds from"),
        (
            &result.window,
            "Every rating holds by the middle values from",
        ),
    ] {
        if let Some(window) = window {
            let span = figures::span(window.from, window.to, "m", answer.input.system);
            let text = format!(
                "{words} {span}; bounded by {} and {}.",
                label_of(result, &window.from_set_by),
                label_of(result, &window.to_set_by)
            );
            pick::soft(ui, &text);
        }
    }
}

/// What a row is called in a sentence, by its name.
fn label_of(result: &CarryingResult, name: &str) -> String {
    let row = result.rows.iter().find(|row| row.name == name);
    row.map_or_else(|| name.replace('-', " "), |row| row.label.to_lowercase())
}

/// Truck, deck and vehicle, being drawn.
pub(super) struct Scene<'a> {
    pub(super) answer: &'a Answer<'a>,
    pub(super) result: &'a CarryingResult,
    pub(super) truck: &'a Truck,
}

impl Scene<'_> {
    fn shape(&self) -> &VehicleShape {
        &self.answer.worked.shape
    }

    pub(super) fn show(&self, ui: &mut Ui, choices: &mut FitChoices, shown: &mut ShownParts) {
        let placement = choices.placement.or(self.result.placement).unwrap_or(0.0);
        let standing = Standing::new(self.shape(), self.result.facing, placement);
        let sheet = self.sheet(ui);
        ground(&sheet);
        self.truck(&sheet);
        let outline = self.vehicle(&sheet, &standing);
        self.centre(&sheet, &standing);
        self.windows(&sheet, placement);
        sheet.cab_arrow("Cab");
        let area = Rect::from_points(&outline).expand(2.0);
        let response = self.handle(ui, &sheet, area, placement);
        self.drag(&response, &sheet, placement, choices, shown);
        keys(ui, &response, placement, choices, |p| self.kept(p));
        self.notes_ui(ui);
    }

    /// What the drawing shows without knowing it.
    fn notes_ui(&self, ui: &mut Ui) {
        let assumed = [&self.truck.assumed[..], &self.shape().assumed[..]].concat();
        if !assumed.is_empty() {
            let text = format!("Drawn at a usual size, not stated: {}.", assumed.join(", "));
            pick::soft(ui, &text);
        }
        let sentence = match self.shape().centre {
            None => "The centre of gravity is not known.",
            Some(centre) if centre.z.is_none() => {
                "The height of the centre of gravity is not known: its mark stands on the deck."
            }
            Some(_) => return,
        };
        pick::soft(ui, sentence);
    }

    /// The sheet holds truck and vehicle wherever that is dragged, so that the scale stays.
    fn sheet(&self, ui: &mut Ui) -> Sheet {
        let shape = self.shape();
        let [[x0, _], [x1, top]] = self.truck.bounds();
        let length = shape.rear - shape.front;
        let [_, [_, top_of_vehicle]] = bounds_of(shape.side.iter().copied());
        let rear = x1
            .max(self.truck.length + self.truck.overhang.unwrap_or(0.0).max(0.6))
            .max(length.min(self.truck.length + length / 2.0));
        let bounds = [
            [x0, 0.0],
            [rear, top.max(self.truck.height + top_of_vehicle)],
        ];
        let label = format!(
            "{} on {}, side view",
            words::facing(self.result.facing),
            self.answer.name_of(&self.result.carrier)
        );
        let room = Room([14.0, 26.0, 14.0, BARS + 8.0]);
        Sheet::new(ui, &label, bounds, room, 300.0)
    }

    fn truck(&self, sheet: &Sheet) {
        let (truck, palette) = (self.truck, sheet.palette);
        let outline = Stroke::new(1.4, palette.soft);
        if let Some(cab) = &truck.cab {
            sheet.polygon(&sheet.all(cab), palette.ruler, outline);
        }
        let [deck, end] = [0.0, truck.length].map(|x| sheet.at([x, truck.height]));
        // The deck's frame is drawn a hand's breadth thick.
        let frame = Rect::from_min_max(deck, end + vec2(0.0, sheet.points(0.14).max(4.0)));
        sheet.painter.rect_filled(frame, 0.0, palette.ruler);
        sheet
            .painter
            .rect_stroke(frame, 0.0, outline, StrokeKind::Inside);
        sheet.line(&[deck, end], Stroke::new(2.4, palette.outline));
        for edge in [deck, end] {
            let tick = [edge - vec2(0.0, 7.0), edge + vec2(0.0, 7.0)];
            sheet.line(&tick, Stroke::new(2.0, palette.outline));
        }
        if let Some(overhang) = truck.overhang.filter(|o| *o > 0.0) {
            let limit = sheet.at([truck.length + overhang, truck.height]);
            let stroke = Stroke::new(1.0, palette.soft);
            sheet.dashes(&[end, limit], stroke, 5.0, 3.0);
            sheet.dashes(
                &[limit - vec2(0.0, 9.0), limit + vec2(0.0, 9.0)],
                stroke,
                3.0,
                2.0,
            );
        }
        for wheel in &truck.wheels {
            let hub = sheet.at([wheel.x, wheel.z]);
            sheet.wheel(hub, sheet.points(wheel.radius), wheel.stated);
        }
    }

    fn vehicle(&self, sheet: &Sheet, standing: &Standing) -> Vec<Pos2> {
        let height = self.truck.height;
        let place = |[x, z]: [f64; 2]| sheet.at([standing.along(x), height + z]);
        let outline: Vec<Pos2> = self.shape().side.iter().map(|p| place(*p)).collect();
        let palette = sheet.palette;
        sheet.polygon(&outline, palette.body, Stroke::new(1.6, palette.outline));
        for wheel in &self.shape().wheels {
            let hub = place([wheel.side.x, wheel.side.z]);
            sheet.wheel(hub, sheet.points(wheel.side.radius), wheel.side.stated);
        }
        self.front_mark(sheet, standing);
        outline
    }

    /// Says where the vehicle's front is.
    fn front_mark(&self, sheet: &Sheet, standing: &Standing) {
        let shape = self.shape();
        if sheet.points(shape.rear - shape.front) < ROOM_FOR_LABELS {
            return;
        }
        let [_, [_, roof]] = bounds_of(shape.side.iter().copied());
        let at = sheet.at([standing.along(shape.front), self.truck.height + roof * 0.55]);
        let align = match self.result.facing {
            Facing::NoseFirst => Align2::LEFT_CENTER,
            Facing::TailFirst => Align2::RIGHT_CENTER,
        };
        let inward = match self.result.facing {
            Facing::NoseFirst => 10.0,
            Facing::TailFirst => -10.0,
        };
        sheet.text(at + vec2(inward, 0.0), align, "Front", sheet.palette.soft);
    }

    /// The centre of gravity, its ± along and up.
    fn centre(&self, sheet: &Sheet, standing: &Standing) {
        let Some(centre) = self.shape().centre else {
            return;
        };
        let (x, x_half) = centre.x;
        let (z, z_half) = centre.z.unwrap_or((0.0, None));
        let at = sheet.at([standing.along(x), self.truck.height + z]);
        let stroke = Stroke::new(1.6, sheet.palette.selected);
        if let Some(half) = x_half {
            let reach = vec2(sheet.points(half), 0.0);
            bar(sheet, [at - reach, at + reach], stroke);
        }
        if let Some(half) = z_half {
            let reach = vec2(0.0, sheet.points(half));
            bar(sheet, [at - reach, at + reach], stroke);
        }
        diagram::centre_symbol(&sheet.painter, at, sheet.palette);
        if sheet.points(self.shape().rear - self.shape().front) > ROOM_FOR_LABELS {
            let above = at - vec2(0.0, 13.0);
            let text = "Centre of gravity";
            sheet.text(above, Align2::CENTER_BOTTOM, text, sheet.palette.text);
        }
    }

    /// The bars of the windows under the ground, and where the vehicle's foremost place is now.
    fn windows(&self, sheet: &Sheet, placement: f64) {
        let ground = sheet.at([0.0, 0.0]).y;
        let at = sheet.at([placement, self.truck.height]);
        let palette = sheet.palette;
        let rows = [
            (
                &self.result.sure_window,
                "surely holds",
                true,
                ground + 16.0,
            ),
            (
                &self.result.window,
                "by the middle values",
                false,
                ground + 36.0,
            ),
        ];
        for (window, words, sure, y) in rows {
            if let Some(window) = window {
                window_bar(sheet, window, words, sure, y);
            } else {
                let left = pos2(sheet.at([0.0, 0.0]).x + 12.0, y);
                let text = format!("no placement {words}");
                sheet.text(left, Align2::LEFT_CENTER, &text, palette.soft);
            }
        }
        let stroke = Stroke::new(1.4, palette.selected);
        let foot = pos2(at.x, ground + 46.0);
        sheet.dashes(&[pos2(at.x, at.y - 4.0), foot], stroke, 4.0, 3.0);
        let tip = vec![
            foot - vec2(0.0, 4.0),
            foot + vec2(5.0, 4.0),
            foot + vec2(-5.0, 4.0),
        ];
        sheet
            .painter
            .add(Shape::convex_polygon(tip, palette.selected, Stroke::NONE));
    }

    /// What takes the mouse and the keyboard.
    fn handle(&self, ui: &mut Ui, sheet: &Sheet, area: Rect, placement: f64) -> Response {
        let id = Id::unique(("fit vehicle", &self.result.carrier));
        let area = area.intersect(sheet.area);
        let response = ui
            .interact(area, id, Sense::click_and_drag())
            .on_hover_cursor(CursorIcon::ResizeHorizontal)
            .on_hover_text("Drag it along the deck, or use the arrow keys: 1 cm, with Shift 10 cm");
        let read = figures::text(placement, None, "m", self.answer.input.system);
        let label = format!("Vehicle on the deck, {read} behind its front edge");
        response.widget_info(|| WidgetInfo::slider(true, placement, &label));
        if response.has_focus() {
            let stroke = Stroke::new(1.5, Tokens::of(ui).accent);
            ui.painter()
                .rect_stroke(area, 3.0, stroke, StrokeKind::Outside);
        }
        let text = format!("{read} behind the front edge");
        let above = pos2(area.center().x, area.top() - 3.0);
        sheet.text(above, Align2::CENTER_BOTTOM, &text, sheet.palette.selected);
        response
    }

    fn drag(
        &self,
        response: &Response,
        sheet: &Sheet,
        placement: f64,
        choices: &mut FitChoices,
        shown: &mut ShownParts,
    ) {
        if response.clicked() || response.drag_started() {
            response.request_focus();
        }
        let Some(pointer) = response.interact_pointer_pos() else {
            shown.grip = None;
            return;
        };
        let at = sheet.metres(pointer.x);
        if response.drag_started() {
            // A drag begins some points after the button went down.
            let pressed = response.ctx.input(|i| i.pointer.press_origin());
            let pressed = pressed.unwrap_or(pointer);
            shown.grip = Some(placement - sheet.metres(pressed.x));
        }
        if response.dragged()
            && let Some(grip) = shown.grip
        {
            choices.placement = Some(self.kept(grip + at));
        }
    }

    /// A placement in whole millimetres, where a vehicle can be put at all.
    fn kept(&self, placement: f64) -> f64 {
        let [from, to] = self
            .result
            .chart
            .as_ref()
            .map_or([-BEYOND, self.truck.length + BEYOND], |chart| {
                [chart.from, chart.to]
            });
        let placement = placement.max(from).min(to.max(from));
        (placement * 1000.0).round() / 1000.0
    }
}

fn ground(sheet: &Sheet) {
    let y = sheet.at([0.0, 0.0]).y;
    let stroke = Stroke::new(1.2, sheet.palette.ground);
    sheet.painter.hline(sheet.area.x_range(), y, stroke);
}

/// A line with short ends, for a ±.
fn bar(sheet: &Sheet, [a, b]: [Pos2; 2], stroke: Stroke) {
    sheet.line(&[a, b], stroke);
    let across = (b - a).normalized().rot90() * 4.0;
    for end in [a, b] {
        sheet.line(&[end - across, end + across], stroke);
    }
}

/// One window as a bar: filled where every rating surely holds, an outline with strokes by the middle values.
fn window_bar(sheet: &Sheet, window: &PlacementWindow, words: &str, sure: bool, y: f32) {
    let palette = sheet.palette;
    let [left, right] = [window.from, window.to].map(|x| sheet.at([x, 0.0]).x);
    let area = Rect::from_min_max(pos2(left, y - 5.0), pos2(right.max(left + 2.0), y + 5.0));
    let stroke = Stroke::new(1.4, palette.support);
    if sure {
        sheet.painter.rect_filled(area, 1.0, palette.support);
    } else {
        sheet
            .painter
            .rect_stroke(area, 1.0, stroke, StrokeKind::Inside);
        let mut x = area.left() + 6.0;
        while x < area.right() {
            let stroke = [pos2(x, area.top()), pos2(x, area.bottom())];
            sheet.line(&stroke, Stroke::new(1.0, palette.support));
            x += 6.0;
        }
    }
    let beside = pos2(area.right() + 6.0, y);
    sheet.text(beside, Align2::LEFT_CENTER, words, palette.text);
}

/// The arrow keys, while the vehicle has the focus.
fn keys(
    ui: &Ui,
    response: &Response,
    placement: f64,
    choices: &mut FitChoices,
    kept: impl Fn(f64) -> f64,
) {
    if !response.has_focus() {
        return;
    }
    let filter = EventFilter {
        tab: false,
        horizontal_arrows: true,
        vertical_arrows: false,
        escape: false,
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    let mut steps = 0.0;
    for (key, sign) in [(Key::ArrowLeft, -1.0), (Key::ArrowRight, 1.0)] {
        let pressed = |modifiers| ui.input_mut(|i| i.count_and_consume_key(modifiers, key));
        let (long, short) = (pressed(Modifiers::SHIFT), pressed(Modifiers::NONE));
        steps += sign * (10.0 * long as f64 + short as f64);
    }
    if steps != 0.0 {
        choices.placement = Some(kept(placement + steps * STEP));
    }
}
