//! The way on a line of time: its steps, and what holds for a time only against what needs it.

use chockstone_schema::report::{HoldLine, Way};
use egui::{
    Align2, Color32, FontId, Id, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui,
    Vec2, WidgetInfo, pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use super::{Answer, Plan, parts, stages::Stage, step, words};
use crate::{
    diagram::{self, palette::Palette},
    figures,
    panels::fit::pick,
    theme::Tokens,
    widgets::verdict,
};

/// The height of a row.
const ROW: f32 = 24.0;
/// The height of the axis with its numbers.
const AXIS: f32 = 34.0;
/// Kept free at the right for words at the end of a bar.
const RIGHT: f32 = 16.0;
/// The least time that the line shows, in seconds.
const LEAST_END: f64 = 60.0;
/// How much longer than the way the line may get for a hold that outlasts it.
const MOST_BEYOND: f64 = 1.6;
/// The distances of the marks on the axis, in minutes.
const DISTANCES: [f64; 9] = [0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 240.0];

/// Draws the line of time; a click on a step looks at it.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    plan: &mut Plan,
    way: &Way,
    stages: &[Stage<'_>],
) {
    pick::heading(ui, "Timeline");
    pick::soft(
        ui,
        "On the clock of the slowest crew: every step takes as long as its uncertainty allows.",
    );
    let rows = way.parts.len() + way.holds.len();
    let size = vec2(ui.available_width(), rows as f32 * ROW + AXIS + 12.0);
    let (area, response) = ui.allocate_exact_size(size, Sense::hover());
    let label = label(answer, stages, way);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &label));
    let line = Line::new(ui, area, way, stages);
    line.axis();
    line.parts(answer, way);
    for (index, stage) in stages.iter().enumerate() {
        line.stage_ui(ui, plan, index, stage);
    }
    for (index, hold) in way.holds.iter().enumerate() {
        line.hold(answer, way.parts.len() + index, hold);
    }
    line.present(stages.get(plan.at));
    if !way.holds.is_empty() {
        pick::soft(
            ui,
            "Hatched: until it runs out. Heavy outline: until a step ends or renews it. Flag: until a step needs it.",
        );
    }
    for hold in &way.holds {
        hold_ui(ui, answer, hold);
    }
    if way.untimed_steps > 0 {
        let steps = words::count(way.untimed_steps, "step");
        let text = format!("{steps} without a time: drawn as a thin bar, and counted as nothing.");
        pick::soft(ui, &text);
    }
}

/// The line of time in words.
fn label(answer: &Answer<'_>, stages: &[Stage<'_>], way: &Way) -> String {
    let parts = way.parts.iter().enumerate().filter_map(|(index, part)| {
        let mut of = stages.iter().filter(|s| s.of_part == index);
        let first = of.next()?;
        let last = of.next_back().unwrap_or(first);
        let ([_, from], [_, to]) = (first.begins, last.ends());
        let name = answer.reader.text(&part.name);
        Some(format!(
            "{name} from {} to {}",
            words::time(from),
            words::time(to)
        ))
    });
    let holds = way.holds.iter();
    let holds = holds.map(|hold| answer.reader.hold(answer.profile(), hold));
    let told: Vec<String> = parts.chain(holds).collect();
    format!("Timeline: {}", told.join("; "))
}

/// One hold in words, with its verdict.
fn hold_ui(ui: &mut Ui, answer: &Answer<'_>, hold: &HoldLine) {
    let text = answer.reader.hold(answer.profile(), hold);
    let then = hold.then.as_ref().map_or_else(String::new, |then| {
        format!(" Then: {}", answer.reader.text(then))
    });
    let job = parts::headed(ui, "", Tokens::of(ui).text, &format!("{text}.{then}"));
    parts::marked(
        ui,
        |ui| {
            verdict::mark(ui, hold.verdict);
        },
        job,
    );
}

/// The line of time on the screen.
struct Line {
    painter: Painter,
    /// Where the names of the rows stand.
    names: Rect,
    /// Where time runs.
    plot: Rect,
    /// The time at its right end, in seconds.
    end: f64,
    palette: &'static Palette,
}

impl Line {
    fn new(ui: &Ui, area: Rect, way: &Way, stages: &[Stage<'_>]) -> Self {
        let palette = Palette::of(ui);
        let painter = ui.painter_at(area);
        painter.rect_filled(area, 4.0, palette.paper);
        let inner = area.shrink2(vec2(8.0, 6.0));
        let width = (inner.width() * 0.28).clamp(96.0, 210.0);
        let split = inner.left() + width;
        let bottom = inner.bottom() - AXIS;
        Self {
            painter,
            names: Rect::from_min_max(inner.min, pos2(split - 8.0, bottom)),
            plot: Rect::from_min_max(
                pos2(split, inner.top()),
                pos2(inner.right() - RIGHT, bottom),
            ),
            end: end(way, stages),
            palette,
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen points need no more than f32"
    )]
    fn x(&self, seconds: f64) -> f32 {
        let part = (seconds / self.end).clamp(0.0, 1.0) as f32;
        self.plot.left() + part * self.plot.width()
    }

    /// The area of a span of time in a row.
    fn bar(&self, row: usize, from: f64, to: f64) -> Rect {
        let top = self.plot.top() + row as f32 * ROW + 3.0;
        Rect::from_min_max(pos2(self.x(from), top), pos2(self.x(to), top + ROW - 6.0))
    }

    /// Minutes along the lower edge.
    fn axis(&self) {
        let palette = self.palette;
        let minutes = self.end / 60.0;
        let most = f64::from(self.plot.width() / 52.0).max(1.0);
        let wanted = DISTANCES.into_iter().find(|step| minutes / step <= most);
        let step = wanted.unwrap_or(minutes / most);
        let mut at = 0.0;
        while at <= minutes + 1e-6 {
            let x = self.x(at * 60.0);
            let stroke = Stroke::new(1.0, palette.grid_strong);
            self.painter.vline(x, self.plot.y_range(), stroke);
            let under = pos2(x, self.plot.bottom() + 3.0);
            self.text(under, Align2::CENTER_TOP, &number(at), palette.soft);
            at += step;
        }
        let stroke = Stroke::new(1.2, palette.ground);
        self.painter
            .hline(self.plot.x_range(), self.plot.bottom(), stroke);
        let under = pos2(self.plot.center().x, self.plot.bottom() + 18.0);
        self.text(
            under,
            Align2::CENTER_TOP,
            "Minutes from the start",
            palette.soft,
        );
    }

    fn parts(&self, answer: &Answer<'_>, way: &Way) {
        for (row, part) in way.parts.iter().enumerate() {
            self.name(row, answer.reader.text(&part.name));
        }
    }

    /// The name of a row, cut where it is longer than its column.
    fn name(&self, row: usize, text: &str) {
        let mut job = LayoutJob::simple_singleline(
            text.to_owned(),
            FontId::proportional(12.0),
            self.palette.text,
        );
        job.wrap = TextWrapping::truncate_at_width(self.names.width());
        let galley = self.painter.layout_job(job);
        let middle = self.plot.top() + (row as f32 + 0.5) * ROW;
        let at = pos2(self.names.left(), middle - galley.size().y / 2.0);
        self.painter.galley(at, galley, self.palette.text);
    }

    /// A stage as a bar that a click looks at; a fact as a diamond.
    fn stage_ui(&self, ui: &Ui, plan: &mut Plan, index: usize, stage: &Stage<'_>) {
        let ([_, from], [_, to]) = (stage.begins, stage.ends());
        let mut bar = self.bar(stage.of_part, from, to);
        let chosen = plan.at == index;
        if stage.step.is_none() {
            bar = Rect::from_center_size(bar.left_center(), Vec2::splat(14.0));
            self.diamond(bar.center(), chosen);
        } else {
            // What states no time, or hardly any, can still be seen and clicked.
            bar.set_right(bar.right().max(bar.left() + 4.0));
            self.step(bar, stage.number, chosen);
        }
        let id = Id::unique(("situations timeline", index));
        let response = ui.interact(bar, id, Sense::click());
        let name = match stage.number {
            Some(number) => format!("Step {number} on the timeline, {}", step::when(stage)),
            None => format!("{}, {}", words::part(stage.part.kind), step::when(stage)),
        };
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &name));
        step::keep_keys(ui, plan, &response);
        if response.clicked() {
            plan.at = index;
        }
        if response.has_focus() {
            let stroke = Stroke::new(1.5, Tokens::of(ui).accent);
            self.painter
                .rect_stroke(bar.expand(2.0), 2.0, stroke, StrokeKind::Outside);
        }
        response.on_hover_text(name);
    }

    fn step(&self, bar: Rect, number: Option<usize>, chosen: bool) {
        let palette = self.palette;
        let bar = Rect::from_min_max(bar.min, pos2(bar.right() - 1.0, bar.bottom()));
        let (fill, line) = if chosen {
            (palette.selected, palette.selected)
        } else {
            (palette.pack, palette.pack_line)
        };
        self.painter.rect_filled(bar, 1.0, fill);
        self.painter
            .rect_stroke(bar, 1.0, Stroke::new(1.0, line), StrokeKind::Inside);
        let text = number.map_or_else(String::new, |n| n.to_string());
        let color = if chosen { palette.paper } else { palette.text };
        let galley = self
            .painter
            .layout_no_wrap(text, FontId::proportional(11.5), color);
        if galley.size().x + 4.0 <= bar.width() {
            let at = bar.center() - galley.size() / 2.0;
            self.painter.galley(at, galley, color);
        }
    }

    fn diamond(&self, at: Pos2, chosen: bool) {
        let corners = [
            vec2(0.0, -7.0),
            vec2(7.0, 0.0),
            vec2(0.0, 7.0),
            vec2(-7.0, 0.0),
        ];
        let corners = corners.map(|c| at + c).to_vec();
        let palette = self.palette;
        let fill = if chosen {
            palette.selected
        } else {
            palette.paper
        };
        let stroke = Stroke::new(1.5, palette.outline);
        self.painter
            .add(Shape::convex_polygon(corners, fill, stroke));
    }

    /// What holds for a time: a hatched bar to when it runs out, and a mark where it is last needed.
    fn hold(&self, answer: &Answer<'_>, row: usize, hold: &HoldLine) {
        let palette = self.palette;
        let name = answer.reader.condition(answer.profile(), &hold.condition);
        self.name(row, &format!("{name}, for a time"));
        let bar = self.bar(row, hold.from, hold.until);
        let color = palette.support;
        self.painter
            .rect_filled(bar, 0.0, color.gamma_multiply(0.16));
        self.hatch(bar, color);
        self.painter
            .rect_stroke(bar, 0.0, Stroke::new(1.4, color), StrokeKind::Inside);
        if let Some(ended) = hold.ended {
            let kept = self.bar(row, hold.from, ended.min(hold.until));
            self.painter
                .rect_stroke(kept, 0.0, Stroke::new(2.4, color), StrokeKind::Inside);
        }
        if let Some(needed) = hold.needed_until {
            self.needed(row, needed);
        }
        let beyond = if hold.until > self.end {
            let tip = [vec2(1.0, -9.0), vec2(10.0, 0.0), vec2(1.0, 9.0)];
            let tip = tip.map(|c| bar.right_center() + c).to_vec();
            self.painter
                .add(Shape::convex_polygon(tip, color, Stroke::NONE));
            format!(", to {}", words::time(hold.until))
        } else {
            String::new()
        };
        let word = format!("{}{beyond}", figures::verdict(hold.verdict));
        self.word(bar, &word);
    }

    /// Thin slanted strokes.
    fn hatch(&self, bar: Rect, color: Color32) {
        let inside = self
            .painter
            .with_clip_rect(bar.intersect(self.painter.clip_rect()));
        let stroke = Stroke::new(1.0, color.gamma_multiply(0.55));
        let mut x = bar.left() - bar.height();
        while x < bar.right() {
            let foot = pos2(x, bar.bottom());
            inside.line_segment([foot, foot + vec2(bar.height(), -bar.height())], stroke);
            x += 8.0;
        }
    }

    /// A flag where a hold is needed last.
    fn needed(&self, row: usize, seconds: f64) {
        let bar = self.bar(row, seconds, seconds);
        let (x, color) = (bar.left(), self.palette.text);
        self.painter.vline(
            x,
            bar.top() - 2.0..=bar.bottom() + 2.0,
            Stroke::new(2.4, color),
        );
        let tip = [vec2(0.0, -2.0), vec2(-8.0, 1.5), vec2(0.0, 5.0)];
        let tip = tip.map(|c| pos2(x, bar.top()) + c).to_vec();
        self.painter
            .add(Shape::convex_polygon(tip, color, Stroke::NONE));
    }

    /// A word behind a bar, or inside it where there is no room behind.
    fn word(&self, bar: Rect, word: &str) {
        let font = diagram::label_font();
        let color = self.palette.text;
        let width = self
            .painter
            .layout_no_wrap(word.to_owned(), font, color)
            .size()
            .x;
        if bar.right() + 6.0 + width < self.plot.right() + RIGHT {
            let at = bar.right_center() + vec2(6.0, 0.0);
            self.text(at, Align2::LEFT_CENTER, word, color);
        } else {
            let at = bar.right_center() - vec2(6.0, 0.0);
            self.text(at, Align2::RIGHT_CENTER, word, color);
        }
    }

    /// A line through all rows at the stage that is looked at.
    fn present(&self, stage: Option<&Stage<'_>>) {
        let Some(stage) = stage else {
            return;
        };
        let [_, seconds] = stage.begins;
        let x = self.x(seconds);
        let color = self.palette.selected;
        let path = [pos2(x, self.plot.top()), pos2(x, self.plot.bottom())];
        self.painter
            .extend(Shape::dashed_line(&path, Stroke::new(1.4, color), 4.0, 3.0));
        let foot = pos2(x, self.plot.bottom());
        let tip = [vec2(0.0, -1.0), vec2(5.0, 5.0), vec2(-5.0, 5.0)];
        let tip = tip.map(|c| foot + c).to_vec();
        self.painter
            .add(Shape::convex_polygon(tip, color, Stroke::NONE));
    }

    fn text(&self, at: Pos2, align: Align2, text: &str, color: Color32) {
        diagram::text_on(&self.painter, (at, align), text, color, self.palette.paper);
    }
}

/// When the line ends: with the way, or with a hold, as long as that does not press the steps together.
fn end(way: &Way, stages: &[Stage<'_>]) -> f64 {
    let last = stages.last().map_or(0.0, |stage| {
        let [_, to] = stage.ends();
        to
    });
    let last = last.max(LEAST_END);
    let holds = way.holds.iter().map(|hold| hold.until);
    let holds = holds.fold(last, f64::max).min(last * MOST_BEYOND);
    let needed = way.holds.iter().filter_map(|hold| hold.needed_until);
    needed.fold(holds, f64::max)
}

/// A number of minutes, with half ones.
fn number(minutes: f64) -> String {
    if (minutes - minutes.round()).abs() < 1e-6 {
        format!("{minutes:.0}")
    } else {
        format!("{minutes:.1}")
    }
}
