//! Where the wheels of an axle are on the screen.

use egui::{Pos2, Rect, Vec2, vec2};

use super::{
    projection::{Projection, View},
    scene::SceneAxle,
};

/// One wheel on the screen: a circle from the side, a rectangle from above.
#[derive(Clone, Copy, Debug)]
pub struct Wheel {
    /// The box around it.
    pub area: Rect,
    /// The radius of the rim, where the marking tells it.
    pub rim: Option<f32>,
    /// Whether its size is data; an assumed size is drawn dashed.
    pub stated: bool,
}

/// The wheels that a view shows. From the side the near wheel hides the far one.
pub fn on_screen(axle: &SceneAxle, projection: &Projection) -> Vec<Wheel> {
    let (radius, stated) = axle.drawn_radius();
    let rim = axle.tyre.map(|t| projection.points(t.rim / 2.0));
    let size = projection.points(radius * 2.0);
    match projection.view {
        View::Side => {
            let hub = projection.screen_from_vehicle([axle.x, 0.0, radius]);
            vec![Wheel {
                area: Rect::from_center_size(hub, Vec2::splat(size)),
                rim,
                stated,
            }]
        }
        View::Plan => {
            let (places, width) = axle.wheels();
            let size = vec2(size, projection.points(width));
            let area = |y: f64| {
                Rect::from_center_size(projection.screen_from_vehicle([axle.x, y, 0.0]), size)
            };
            places
                .into_iter()
                .map(|y| Wheel {
                    area: area(y),
                    rim,
                    stated,
                })
                .collect()
        }
    }
}

/// Where the motor's mark stands: at the hub from the side, on the centre plane from above.
pub fn motor_mark(axle: &SceneAxle, projection: &Projection) -> Pos2 {
    let (radius, _) = axle.drawn_radius();
    projection.screen_from_vehicle([axle.x, 0.0, radius])
}
