//! From the vehicle's frame to the screen and back.
//!
//! The vehicle faces left in both views. Its frame is x rearward, y to the vehicle's right, z up. Seen from its left
//! side, x runs to the right of the screen and z up. Seen from above with the front to the left, the driver looks to
//! the left of the screen, so the vehicle's right side, and with it +y, is at the top.

use egui::{Pos2, Rect, Vec2, pos2};

/// The smallest scale in points on the screen a metre: a 20 m bus is then as wide as a thumbnail.
pub const SMALLEST_SCALE: f64 = 5.0;
/// The largest scale in points on the screen a metre: a millimetre is then ten points wide.
pub const LARGEST_SCALE: f64 = 10_000.0;
/// How far from the origin the middle of a view may go, in metres.
const FARTHEST: f64 = 200.0;

/// From where the vehicle is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum View {
    /// From its left side: x to the right, z up.
    Side,
    /// From above: x to the right, y (the vehicle's right) up.
    Plan,
}

impl View {
    /// The two coordinates of a place that this view shows: across the screen, then up it, in metres.
    pub fn flatten(self, [x, y, z]: [f64; 3]) -> [f64; 2] {
        match self {
            Self::Side => [x, z],
            Self::Plan => [x, y],
        }
    }

    /// Puts the two coordinates shown back into a place; the coordinate along the line of sight stays.
    pub fn unflatten(self, [across, up]: [f64; 2], place: [f64; 3]) -> [f64; 3] {
        let [_, y, z] = place;
        match self {
            Self::Side => [across, y, up],
            Self::Plan => [across, up, z],
        }
    }

    /// The word for the view in names and labels.
    pub fn name(self) -> &'static str {
        match self {
            Self::Side => "side view",
            Self::Plan => "plan view",
        }
    }

    /// The letter of the coordinate that runs up the screen.
    pub fn up_axis(self) -> &'static str {
        match self {
            Self::Side => "z",
            Self::Plan => "y",
        }
    }
}

/// What both views look at: they share x and the scale and so stay in step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// The place in the middle of the views, in metres.
    pub centre: [f64; 3],
    /// Points on the screen a metre.
    pub scale: f64,
}

impl Default for Camera {
    fn default() -> Self {
        Self {
            centre: [1.5, 0.0, 0.8],
            scale: 100.0,
        }
    }
}

impl Camera {
    /// Moves what is seen along with the pointer, by points on the screen.
    pub fn pan(&mut self, view: View, by: Vec2) {
        let [across, up] = view.flatten(self.centre);
        let moved = [
            across - f64::from(by.x) / self.scale,
            up + f64::from(by.y) / self.scale,
        ];
        self.centre = view
            .unflatten(moved, self.centre)
            .map(|c| c.clamp(-FARTHEST, FARTHEST));
    }

    /// Makes both views fit `bounds` (least and greatest place in metres) with a margin around it.
    pub fn fit(&mut self, bounds: [[f64; 3]; 2], areas: &[(View, Vec2)]) {
        let [least, greatest] = bounds;
        let mut scale = LARGEST_SCALE;
        for (view, size) in areas {
            let ([u0, v0], [u1, v1]) = (view.flatten(least), view.flatten(greatest));
            // Room is left for labels at the sides, and below the ground for what the axles carry.
            let fits = |points: f32, margin: f64, metres: f64| {
                let points = f64::from(points);
                (points - margin).max(points * 0.4) / metres.max(0.1)
            };
            scale = scale
                .min(fits(size.x, 70.0, u1 - u0))
                .min(fits(size.y, 92.0, v1 - v0));
        }
        self.scale = scale.clamp(SMALLEST_SCALE, LARGEST_SCALE);
        let [[x0, y0, z0], [x1, y1, z1]] = bounds;
        self.centre = [x0.midpoint(x1), y0.midpoint(y1), z0.midpoint(z1)];
    }
}

/// One view on the screen: its area and what it looks at.
#[derive(Clone, Copy, Debug)]
pub struct Projection {
    /// From where.
    pub view: View,
    /// The area on the screen.
    pub area: Rect,
    /// What is in its middle, and the scale.
    pub camera: Camera,
}

impl Projection {
    /// Where a place in this view's two coordinates (metres) is on the screen.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen points need no more than f32"
    )]
    pub fn screen_from_flat(&self, [across, up]: [f64; 2]) -> Pos2 {
        let [centre_across, centre_up] = self.view.flatten(self.camera.centre);
        let middle = self.area.center();
        pos2(
            middle.x + ((across - centre_across) * self.camera.scale) as f32,
            middle.y - ((up - centre_up) * self.camera.scale) as f32,
        )
    }

    /// Where a place in the vehicle's frame (metres) is on the screen.
    pub fn screen_from_vehicle(&self, place: [f64; 3]) -> Pos2 {
        self.screen_from_flat(self.view.flatten(place))
    }

    /// The two coordinates (metres) that a place on the screen shows.
    pub fn flat_from_screen(&self, at: Pos2) -> [f64; 2] {
        let [centre_across, centre_up] = self.view.flatten(self.camera.centre);
        let off = at - self.area.center();
        [
            centre_across + f64::from(off.x) / self.camera.scale,
            centre_up - f64::from(off.y) / self.camera.scale,
        ]
    }

    /// A length in metres as points on the screen.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen points need no more than f32"
    )]
    pub fn points(&self, metres: f64) -> f32 {
        (metres * self.camera.scale) as f32
    }

    /// The camera after zooming by `factor` so that what is under `at` stays under it.
    pub fn zoomed(&self, at: Pos2, factor: f64) -> Camera {
        let mut camera = self.camera;
        if !factor.is_finite() || factor <= 0.0 {
            return camera;
        }
        camera.scale = (camera.scale * factor).clamp(SMALLEST_SCALE, LARGEST_SCALE);
        let before = self.flat_from_screen(at);
        let after = Self { camera, ..*self }.flat_from_screen(at);
        let [across, up] = self.view.flatten(camera.centre);
        let [before_across, before_up] = before;
        let [after_across, after_up] = after;
        let kept = [
            across + before_across - after_across,
            up + before_up - after_up,
        ];
        camera.centre = self
            .view
            .unflatten(kept, camera.centre)
            .map(|c| c.clamp(-FARTHEST, FARTHEST));
        camera
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "unit vectors are exact")]
    use super::*;
    use egui::vec2;

    fn projection(view: View) -> Projection {
        Projection {
            view,
            area: Rect::from_min_size(pos2(10.0, 20.0), vec2(400.0, 200.0)),
            camera: Camera {
                centre: [1.0, 0.5, 0.7],
                scale: 80.0,
            },
        }
    }

    #[test]
    fn the_side_view_shows_the_front_left_and_up_up() {
        let side = projection(View::Side);
        let front = side.screen_from_vehicle([0.0, 0.0, 0.0]);
        assert!(
            side.screen_from_vehicle([3.0, 0.0, 0.0]).x > front.x,
            "rearward is to the right"
        );
        assert!(
            side.screen_from_vehicle([0.0, 0.0, 1.0]).y < front.y,
            "up is up"
        );
        let far = side.screen_from_vehicle([0.0, 0.9, 0.0]);
        assert!(
            (far - front).length() < 1e-6,
            "the line of sight is across the vehicle"
        );
    }

    #[test]
    fn the_plan_view_shows_the_vehicles_right_side_at_the_top() {
        // Plain logic: stand behind the wheel facing the left edge of the sheet, seen from above; the right hand
        // points to its top.
        let plan = projection(View::Plan);
        let front = plan.screen_from_vehicle([0.0, 0.0, 0.0]);
        assert!(
            plan.screen_from_vehicle([3.0, 0.0, 0.0]).x > front.x,
            "rearward is to the right"
        );
        assert!(
            plan.screen_from_vehicle([0.0, 0.8, 0.0]).y < front.y,
            "the right side is at the top"
        );
        let up = plan.screen_from_vehicle([0.0, 0.0, 1.5]);
        assert!((up - front).length() < 1e-6, "the line of sight is down");
    }

    #[test]
    fn the_frame_on_the_screen_is_right_handed_in_both_views() {
        // Each view is a drawing of a right-handed frame: x × y = z. On a sheet with its second axis up, the axis
        // toward the viewer of the plan view (z) is x × y; that of the side view (−y) is x × z.
        let cross = |[ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3]| {
            [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx]
        };
        let (x, y, z) = ([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
        assert!(cross(x, y) == z, "from above");
        assert_eq!(cross(x, z), [0.0, -1.0, 0.0], "from the left side");
    }

    #[test]
    fn screen_and_vehicle_convert_both_ways() {
        for view in [View::Side, View::Plan] {
            let projection = projection(view);
            for flat in [[0.0, 0.0], [3.2, -0.9], [-1.1, 1.75]] {
                let back = projection.flat_from_screen(projection.screen_from_flat(flat));
                let [a, b] = flat;
                let [c, d] = back;
                assert!(
                    (a - c).abs() < 1e-5 && (b - d).abs() < 1e-5,
                    "{flat:?} {back:?}"
                );
            }
        }
    }

    #[test]
    fn zooming_keeps_what_is_under_the_pointer() {
        for view in [View::Side, View::Plan] {
            let mut projection = projection(view);
            let at = pos2(57.0, 181.0);
            let [u, v] = projection.flat_from_screen(at);
            projection.camera = projection.zoomed(at, 2.5);
            let [u2, v2] = projection.flat_from_screen(at);
            assert!((u - u2).abs() < 1e-9 && (v - v2).abs() < 1e-9);
            assert!((projection.camera.scale - 200.0).abs() < 1e-9);
        }
    }

    #[test]
    fn zooming_stops_at_both_ends_and_ignores_nonsense() {
        let projection = projection(View::Side);
        let at = pos2(0.0, 0.0);
        assert!((projection.zoomed(at, 1e9).scale - LARGEST_SCALE).abs() < 1e-9);
        assert!((projection.zoomed(at, 1e-9).scale - SMALLEST_SCALE).abs() < 1e-9);
        assert_eq!(projection.zoomed(at, f64::NAN), projection.camera);
        assert_eq!(projection.zoomed(at, 0.0), projection.camera);
    }

    #[test]
    fn panning_moves_x_in_both_views_and_the_other_axis_in_one() {
        let mut camera = Camera::default();
        let [x, y, z] = camera.centre;
        camera.pan(View::Side, vec2(100.0, 50.0));
        let [x2, y2, z2] = camera.centre;
        assert!((x2 - (x - 1.0)).abs() < 1e-9 && (z2 - (z + 0.5)).abs() < 1e-9);
        assert!((y2 - y).abs() < 1e-12);
    }

    #[test]
    fn fitting_shows_the_whole_vehicle_in_both_views() {
        let bounds = [[-0.9, -1.1, 0.0], [4.9, 1.1, 1.98]];
        let areas = [
            (View::Side, vec2(900.0, 300.0)),
            (View::Plan, vec2(900.0, 260.0)),
        ];
        let mut camera = Camera::default();
        camera.fit(bounds, &areas);
        for (view, size) in areas {
            let area = Rect::from_min_size(pos2(5.0, 7.0), size);
            let projection = Projection { view, area, camera };
            for corner in bounds {
                assert!(
                    area.contains(projection.screen_from_vehicle(corner)),
                    "{view:?}"
                );
            }
        }
    }
}
