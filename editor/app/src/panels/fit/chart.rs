//! How much of every rating is used, over the placement.

use chockstone_schema::report::{CarryingResult, ChartLine, FitChoices, PlacementChart};
use egui::{
    Align2, Color32, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, emath, pos2, vec2,
};

use super::{Answer, pick, supports::letter, words};
use crate::{
    diagram::{
        self,
        palette::Palette,
        ticks::{Measure, Ticks},
    },
    widgets::UnitSystem,
};

/// The height of the chart.
const HEIGHT: f32 = 210.0;
/// How long a sample of a line is in the legend.
const SAMPLE: f32 = 30.0;
/// The least that the upper end of the chart shows.
const LEAST_TOP: f64 = 1.25;
/// Beyond this nobody needs to see how far beyond it is.
const MOST_TOP: f64 = 2.5;

/// Long and short strokes of each line in turn, so that no two lines are told apart by colour alone.
const PATTERNS: [(&[f32], &[f32]); 6] = [
    (&[1000.0], &[0.0]),
    (&[9.0], &[4.0]),
    (&[2.5], &[3.0]),
    (&[10.0, 2.5], &[3.0, 3.0]),
    (&[16.0], &[5.0]),
    (&[6.0, 2.0, 2.0], &[3.0, 3.0, 3.0]),
];

/// Draws the chart; a click or a drag in it places the vehicle.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    result: &CarryingResult,
    chart: &PlacementChart,
    choices: &mut FitChoices,
) {
    pick::heading(ui, "Use of every rating over the placement");
    let size = vec2(ui.available_width(), HEIGHT);
    let (area, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let label = label(chart);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, &label));
    let plot = Plot::new(ui.painter_at(area), area, chart, Palette::of(ui));
    plot.windows(result);
    plot.grid(answer);
    for (index, line) in chart.lines.iter().enumerate() {
        plot.line(index, line);
    }
    let placement = choices.placement.or(result.placement);
    if let Some(placement) = placement {
        plot.present(placement);
    }
    legend_ui(ui, chart);
    if (response.clicked() || response.dragged())
        && let Some(at) = response.interact_pointer_pos()
    {
        choices.placement = Some(plot.placement_at(at));
    }
    response.on_hover_text("Click or drag to place the vehicle");
}

fn label(chart: &PlacementChart) -> String {
    let lines = chart.lines.iter().map(|line| {
        format!(
            "{} from {:.0} % to {:.0} %",
            line.label,
            line.at_from * 100.0,
            line.at_to * 100.0
        )
    });
    let lines: Vec<String> = lines.collect();
    format!("Chart of use over placement: {}", lines.join("; "))
}

struct Plot {
    painter: Painter,
    area: Rect,
    palette: &'static Palette,
    from: f64,
    to: f64,
    bottom: f64,
    top: f64,
}

impl Plot {
    fn new(
        painter: Painter,
        whole: Rect,
        chart: &PlacementChart,
        palette: &'static Palette,
    ) -> Self {
        let area = Rect::from_min_max(
            whole.left_top() + vec2(48.0, 16.0),
            whole.right_bottom() - vec2(24.0, 34.0),
        );
        painter.rect_filled(whole, 4.0, palette.paper);
        let uses = || chart.lines.iter().flat_map(|l| [l.at_from, l.at_to]);
        let most = uses().fold(LEAST_TOP, f64::max);
        let least = uses().fold(0.0, f64::min);
        Self {
            painter,
            area,
            palette,
            from: chart.from,
            to: chart.to.max(chart.from + 1e-6),
            bottom: least.max(-MOST_TOP),
            top: (most * 1.05).min(MOST_TOP),
        }
    }

    fn x(&self, placement: f64) -> f32 {
        let range = self.area.x_range();
        ramp(placement, [self.from, self.to], range)
    }

    fn y(&self, used: f64) -> f32 {
        let range = emath::Rangef::new(self.area.bottom(), self.area.top());
        ramp(used, [self.bottom, self.top], range)
    }

    fn placement_at(&self, at: Pos2) -> f64 {
        let part = f64::from((at.x - self.area.left()) / self.area.width());
        let placement = self.from + part.clamp(0.0, 1.0) * (self.to - self.from);
        (placement * 1000.0).round() / 1000.0
    }

    fn grid(&self, answer: &Answer<'_>) {
        let palette = self.palette;
        let mut used = (self.bottom * 4.0).ceil() / 4.0;
        while used <= self.top {
            let y = self.y(used);
            let is_rating = (used - 1.0).abs() < 1e-9;
            let stroke = if is_rating {
                Stroke::new(2.2, palette.forbid)
            } else {
                Stroke::new(1.0, palette.grid_strong)
            };
            self.painter.hline(self.area.x_range(), y, stroke);
            let left = pos2(self.area.left() - 5.0, y);
            // Adding nought takes the sign from a nought that was rounded down to.
            let text = format!("{:.0} %", (used * 100.0).round() + 0.0);
            self.text(left, Align2::RIGHT_CENTER, &text, palette.soft);
            used += 0.25;
        }
        let rating = pos2(self.area.left() + 4.0, self.y(1.0) - 2.0);
        self.text(rating, Align2::LEFT_BOTTOM, "rating", palette.forbid);
        self.axis(answer);
    }

    /// The placements under the chart.
    fn axis(&self, answer: &Answer<'_>) {
        let measure = match answer.input.system {
            UnitSystem::UsCustomary => Measure::UsCustomary,
            _ => Measure::Si,
        };
        let scale = f64::from(self.area.width()) / (self.to - self.from);
        let ticks = Ticks::new(measure, scale, 70.0);
        let palette = self.palette;
        for (x, label) in ticks.labelled(self.from, self.to) {
            let at = pos2(self.x(x), self.area.bottom());
            self.painter
                .vline(at.x, at.y..=at.y + 4.0, Stroke::new(1.0, palette.soft));
            self.text(
                at + vec2(0.0, 5.0),
                Align2::CENTER_TOP,
                &label,
                palette.soft,
            );
        }
        let under = pos2(self.area.center().x, self.area.bottom() + 19.0);
        let text = format!("Placement behind the deck’s front edge, {}", ticks.unit);
        self.text(under, Align2::CENTER_TOP, &text, palette.soft);
    }

    /// The windows behind the lines: the sure one filled, the middle one between dashed lines.
    fn windows(&self, result: &CarryingResult) {
        let palette = self.palette;
        if let Some(window) = &result.sure_window {
            let span = [window.from, window.to].map(|x| self.x(x));
            let area = self.column(span);
            let fill = palette.support.gamma_multiply(0.16);
            self.painter.rect_filled(area, 0.0, fill);
            let at = area.center_bottom() - vec2(0.0, 3.0);
            self.text(at, Align2::CENTER_BOTTOM, "sure", palette.support);
        }
        if let Some(window) = &result.window {
            for x in [window.from, window.to].map(|x| self.x(x)) {
                let path = [pos2(x, self.area.top()), pos2(x, self.area.bottom())];
                let stroke = Stroke::new(1.2, palette.support);
                self.painter
                    .extend(Shape::dashed_line(&path, stroke, 3.0, 3.0));
            }
        }
    }

    fn column(&self, [left, right]: [f32; 2]) -> Rect {
        let area = self.area;
        Rect::from_min_max(
            pos2(left.max(area.left()), area.top()),
            pos2(right.min(area.right()), area.bottom()),
        )
    }

    fn line(&self, index: usize, line: &ChartLine) {
        let path = [
            pos2(self.area.left(), self.y(line.at_from)),
            pos2(self.area.right(), self.y(line.at_to)),
        ];
        let color = color(self.palette, index);
        let inside = self.painter.with_clip_rect(self.area.expand(1.0));
        pattern(&inside, &path, index, color);
        let [_, end] = path;
        let y = end.y.clamp(self.area.top(), self.area.bottom());
        // Lines that end close together have their letters side by side.
        let aside = if index % 2 == 1 { 9.0 } else { 0.0 };
        let at = pos2(end.x + 5.0 + aside, y);
        self.text(at, Align2::LEFT_CENTER, &letter(index), color);
    }

    fn present(&self, placement: f64) {
        let x = self.x(placement);
        if !self.area.expand(1.0).x_range().contains(x) {
            return;
        }
        let stroke = Stroke::new(1.6, self.palette.selected);
        self.painter.vline(x, self.area.y_range(), stroke);
        let at = pos2(x, self.area.top() - 2.0);
        self.text(at, Align2::CENTER_BOTTOM, "now", self.palette.selected);
    }

    fn text(&self, at: Pos2, align: Align2, text: &str, color: Color32) {
        diagram::text_on(&self.painter, (at, align), text, color, self.palette.paper);
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "screen points need no more than f32"
)]
fn ramp(value: f64, [from, to]: [f64; 2], range: emath::Rangef) -> f32 {
    let part = ((value - from) / (to - from)) as f32;
    range.min + part * (range.max - range.min)
}

fn color(palette: &Palette, index: usize) -> Color32 {
    let colors = [
        palette.pack_line,
        palette.electric,
        palette.opening,
        palette.pull,
        palette.strong,
        palette.outline,
    ];
    colors
        .get(index % colors.len())
        .copied()
        .unwrap_or(palette.text)
}

fn pattern(painter: &Painter, path: &[Pos2], index: usize, color: Color32) {
    let stroke = Stroke::new(1.9, color);
    let (dashes, gaps) = PATTERNS
        .get(index % PATTERNS.len())
        .copied()
        .unwrap_or((&[4.0], &[4.0]));
    if gaps == [0.0] {
        painter.add(Shape::line(path.to_vec(), stroke));
    } else {
        painter.extend(Shape::dashed_line_with_offset(
            path, stroke, dashes, gaps, 0.0,
        ));
    }
}

/// Each line's letter, pattern and name.
fn legend_ui(ui: &mut Ui, chart: &PlacementChart) {
    let palette = Palette::of(ui);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(16.0, 2.0);
        for (index, line) in chart.lines.iter().enumerate() {
            let text = format!("{} {}", letter(index), words::headed(&line.label));
            let font = egui::TextStyle::Body.resolve(ui.style());
            let galley = ui.painter().layout_no_wrap(text, font, palette.text);
            // One part, so that a line's sample and its name are never torn apart.
            let size = vec2(SAMPLE + 6.0 + galley.size().x, galley.size().y);
            let (area, _) = ui.allocate_exact_size(size, Sense::hover());
            let start = area.left_center();
            let path = [start, start + vec2(SAMPLE, 0.0)];
            pattern(ui.painter(), &path, index, color(palette, index));
            let at = area.left_top() + vec2(SAMPLE + 6.0, 0.0);
            ui.painter().galley(at, galley, palette.text);
        }
    });
}
