//! What the marks of the drawing mean: only those that the drawing has.

use chockstone_schema::model::axle::MotorKind;
use egui::{Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, vec2};

use super::{
    glyph, paint,
    palette::Palette,
    scene::Scene,
    state::{Layers, ZONE_KINDS, zone_name},
};

/// The side of a sample.
const SAMPLE: Vec2 = vec2(30.0, 19.0);

pub(super) fn legend_ui(ui: &mut Ui, scene: &Scene, layers: Layers) {
    ui.strong("Legend");
    let palette = Palette::of(ui);
    if layers.points {
        for kind in glyph::ALL
            .into_iter()
            .filter(|k| scene.points.iter().any(|p| p.kind == *k))
        {
            row_ui(ui, glyph::name(kind), |painter, at| {
                paint::glyph(painter, at, 7.5, kind, palette);
            });
        }
        if scene.points.iter().any(|p| p.mirrored || !p.height_known) {
            row_ui(ui, "Twin, or height not stated", |painter, at| {
                ring(painter, at, palette);
            });
        }
    }
    if layers.centre && scene.centre.is_some() {
        row_ui(ui, "Centre of gravity with its ±", |painter, at| {
            let area = Rect::from_center_size(at, vec2(29.0, 18.0));
            paint::dashed(
                painter,
                &paint::box_corners(area),
                Stroke::new(1.0, palette.text),
                4.0,
                3.0,
            );
            paint::centre_symbol(painter, at, palette);
        });
    }
    if layers.axles {
        motors_ui(ui, scene, palette);
    }
    if layers.energy {
        energy_ui(ui, scene, palette);
    }
    if layers.zones {
        for kind in ZONE_KINDS
            .into_iter()
            .filter(|k| scene.zones.iter().any(|z| z.kinds.contains(k)))
        {
            row_ui(ui, zone_name(kind), |painter, at| {
                paint::zone_swatch(
                    painter,
                    Rect::from_center_size(at, vec2(26.0, 16.0)),
                    kind,
                    palette,
                );
            });
        }
    }
}

fn row_ui(ui: &mut Ui, name: &str, sample: impl FnOnce(&Painter, Pos2)) {
    ui.horizontal(|ui| {
        let (area, _) = ui.allocate_exact_size(SAMPLE, Sense::hover());
        sample(&ui.painter_at(area.expand(2.0)), area.center());
        ui.add(egui::Label::new(egui::RichText::new(name).small()).wrap());
    });
}

fn ring(painter: &Painter, at: Pos2, palette: &Palette) {
    let turn = |i: u8| f32::from(i) / 24.0 * std::f32::consts::TAU;
    let ring: Vec<Pos2> = (0..24_u8)
        .map(|i| at + 9.5 * Vec2::angled(turn(i)))
        .collect();
    paint::dashed(painter, &ring, Stroke::new(1.0, palette.text), 3.0, 3.0);
}

fn motors_ui(ui: &mut Ui, scene: &Scene, palette: &Palette) {
    let kinds = [
        (MotorKind::Fixed, "Drive motor"),
        (
            MotorKind::Disconnectable,
            "Drive motor that can be disconnected",
        ),
    ];
    for (kind, name) in kinds {
        if scene.axles.iter().any(|a| a.motor == Some(kind)) {
            row_ui(ui, name, |painter, at| {
                paint::motor_symbol(painter, at, kind, palette);
            });
        }
    }
    if scene.axles.iter().any(|a| !a.drawn_radius().1) {
        row_ui(ui, "Dashed wheel: size not stated", |painter, at| {
            let area = Rect::from_center_size(at, vec2(22.0, 12.0));
            paint::dashed(
                painter,
                &paint::box_corners(area),
                Stroke::new(1.4, palette.wheel),
                4.0,
                3.0,
            );
        });
    }
}

fn energy_ui(ui: &mut Ui, scene: &Scene, palette: &Palette) {
    if !scene.packs.is_empty() {
        row_ui(ui, "Battery pack", |painter, at| {
            let area = Rect::from_center_size(at, vec2(26.0, 16.0));
            painter.rect_filled(area, 0.0, palette.pack);
            let stroke = Stroke::new(1.4, palette.pack_line);
            painter.rect_stroke(area, 0.0, stroke, egui::StrokeKind::Inside);
            for (step, half) in [(-4.5, 5.0_f32), (-1.5, 3.0), (1.5, 5.0), (4.5, 3.0)] {
                painter.vline(
                    at.x + step,
                    at.y - half..=at.y + half,
                    Stroke::new(1.0, palette.pack_line),
                );
            }
        });
    }
    if !scene.cables.is_empty() {
        row_ui(ui, "High-voltage cable", |painter, at| {
            let ends = [at - vec2(11.0, 0.0), at + vec2(11.0, 0.0)];
            painter.add(Shape::line_segment(ends, Stroke::new(2.2, palette.cable)));
            for end in ends {
                painter.circle_filled(end, 3.0, palette.cable);
            }
        });
    }
}
