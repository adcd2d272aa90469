//! Drawing a view. Everything here reads; nothing decides.

use egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke};

use super::{
    hit, labels,
    palette::Palette,
    polygon,
    projection::Projection,
    scene::{Outline, Scene},
    state::{DiagramInput, DiagramState},
    ticks::Measure,
};

pub(super) mod between;
mod ground;
mod measures;
mod points;
mod vehicle;

pub(super) use measures::CENTRE;
pub(super) use points::glyph;
pub(crate) use vehicle::centre_symbol;
pub(super) use vehicle::{motor_symbol, zone_swatch};

/// The width of the ruler along the left edge.
pub(in crate::diagram) const RULER_WIDTH: f32 = 46.0;
/// The height of the ruler along the top edge.
pub(in crate::diagram) const RULER_HEIGHT: f32 = 20.0;

/// One view being drawn.
pub(in crate::diagram) struct Canvas<'a> {
    /// Draws inside the view's area, without the rulers.
    pub(in crate::diagram) painter: Painter,
    /// Where things are.
    pub(in crate::diagram) projection: Projection,
    /// In which colours.
    pub(in crate::diagram) palette: &'static Palette,
    /// In which units readings are.
    pub(in crate::diagram) measure: Measure,
    /// What is drawn.
    pub(in crate::diagram) scene: &'a Scene,
    /// What the checks found.
    pub(in crate::diagram) input: &'a DiagramInput<'a>,
    /// What is shown, selected and dragged.
    pub(in crate::diagram) state: &'a DiagramState,
}

impl Canvas<'_> {
    /// Draws the whole view and its rulers, which lie outside its area.
    pub(in crate::diagram) fn draw(&self, rulers: &Painter) {
        self.draw_inside();
        self.rulers(rulers);
    }

    /// Draws the view without rulers.
    pub(in crate::diagram) fn draw_inside(&self) {
        let layers = self.state.layers;
        let area = self.projection.area;
        self.painter.rect_filled(area, 0.0, self.palette.paper);
        if layers.grid {
            self.grid();
        }
        self.ground();
        if layers.outline {
            self.bodies();
        }
        if layers.energy {
            self.packs();
        }
        if layers.axles {
            self.wheels();
        }
        if layers.zones {
            self.zones();
        }
        if layers.outline {
            self.outlines();
        }
        if layers.energy {
            self.cables();
        }
        self.scale_bar();
        let mut taken = Vec::new();
        if layers.axles {
            taken.extend(self.motors());
        }
        taken.extend(self.measures());
        self.guides();
        taken.extend(self.orientation());
        self.points(taken);
    }

    fn to_screen(&self, outline: &Outline) -> Vec<Pos2> {
        hit::on_screen(&outline.corners, &self.projection)
    }

    fn shown<'o>(&self, outlines: &'o [Outline]) -> impl Iterator<Item = &'o Outline> + use<'o> {
        let view = self.projection.view;
        outlines.iter().filter(move |o| o.view == view)
    }

    fn is_lit(&self, pointer: &str) -> Option<Color32> {
        if self.state.is_selected(pointer) || self.state.marked.contains(pointer) {
            Some(self.palette.selected)
        } else if self.state.hovered.as_deref() == Some(pointer) {
            Some(self.palette.hovered)
        } else {
            None
        }
    }

    fn text(&self, at: Pos2, align: Align2, text: &str, color: Color32) -> Rect {
        text_on(&self.painter, (at, align), text, color, self.palette.paper)
    }
}

/// Fills a polygon, hollow or not.
pub(crate) fn fill(painter: &Painter, corners: &[Pos2], color: Color32) {
    let mut mesh = Mesh::default();
    for quad in polygon::trapezoids(corners) {
        let first = u32::try_from(mesh.vertices.len()).unwrap_or(0);
        for corner in quad {
            mesh.colored_vertex(corner, color);
        }
        mesh.add_triangle(first, first + 1, first + 2);
        mesh.add_triangle(first, first + 2, first + 3);
    }
    painter.add(Shape::mesh(mesh));
}

/// A dashed line round a polygon.
pub(crate) fn dashed(painter: &Painter, corners: &[Pos2], stroke: Stroke, dash: f32, gap: f32) {
    let mut path = corners.to_vec();
    path.extend(corners.first());
    painter.extend(Shape::dashed_line(&path, stroke, dash, gap));
}

/// The corners of a box, in order.
pub(in crate::diagram) fn box_corners(area: Rect) -> [Pos2; 4] {
    [
        area.left_top(),
        area.right_top(),
        area.right_bottom(),
        area.left_bottom(),
    ]
}

/// Small text with a thin halo of the paper's colour, so that it can be read on lines and hatching.
pub(crate) fn text_on(
    painter: &Painter,
    (at, align): (Pos2, Align2),
    text: &str,
    color: Color32,
    paper: Color32,
) -> Rect {
    let galley = painter.layout_no_wrap(text.to_owned(), label_font(), color);
    let area = align.anchor_size(at, galley.size());
    painter.rect_filled(
        area.expand2(egui::vec2(2.0, 0.0)),
        2.0,
        paper.gamma_multiply(0.8),
    );
    painter.galley(area.min, galley, color);
    area
}

/// The font of labels and readings.
pub(crate) fn label_font() -> FontId {
    FontId::proportional(11.5)
}

impl Canvas<'_> {
    /// Draws the lines that a drag was pulled onto.
    fn guides(&self) {
        let Some(drag) = self
            .state
            .drag
            .as_ref()
            .filter(|d| d.view == self.projection.view)
        else {
            return;
        };
        let stroke = Stroke::new(1.0, self.palette.selected);
        let area = self.projection.area;
        for line in &drag.lines {
            let at = self.projection.screen_from_flat([line.at, line.at]);
            let path = if line.across {
                [Pos2::new(at.x, area.top()), Pos2::new(at.x, area.bottom())]
            } else {
                [Pos2::new(area.left(), at.y), Pos2::new(area.right(), at.y)]
            };
            self.painter
                .extend(Shape::dashed_line(&path, stroke, 6.0, 4.0));
        }
    }

    fn place_labels(&self, wanted: &[labels::Wanted], taken: &[Rect]) -> Vec<Option<Rect>> {
        labels::place(wanted, taken, self.projection.area.shrink(3.0))
    }
}
