//! Freezing and thawing: a bound only.

use super::{Body, Faces, Shape};

/// Said wherever a bound from freezing shows.
pub const FREEZING_CAUTION: &str = "Cake and cream hold most of their water in sugar, so that little of \
it turns to ice; the bound reckons with all of it";

/// Heat of fusion of water, J/kg.
const FUSION: f64 = 333_600.0;

/// Plank's equation: seconds in which a front of ice goes through a body that is at its freezing point.
/// No heat before or after. *Encyclopaedia of Food Sciences and Nutrition*, "Freezing".
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plank {
    /// kg/m³.
    pub density: f64,
    /// Heat of fusion of the whole, J/kg.
    pub fusion: f64,
    /// Conductivity of the layer that the front has left behind, W/mK.
    pub conductivity: f64,
    /// Difference between freezing point and air, K, above 0.
    pub difference: f64,
    /// Resistance of surface and wrapping, m²K/W.
    pub resistance: f64,
}

impl Plank {
    /// Seconds for a full thickness or diameter in m, with the two factors of its form: slab ½ and ⅛,
    /// long cylinder ¼ and 1/16, sphere 1/6 and 1/24.
    pub fn seconds(&self, across: f64, [surface, inside]: [f64; 2]) -> f64 {
        self.density * self.fusion / self.difference
            * (surface * across * self.resistance + inside * across * across / self.conductivity)
    }

    /// The most minutes that thawing all of a body's water can add, upwards: as a slab of its least
    /// thickness, or a ball.
    pub fn thawing(body: &Body, water: f64, air: f64) -> u32 {
        let doubled = |mm: u32| match body.faces {
            Faces::All => f64::from(mm),
            Faces::NotBottom => 2.0 * f64::from(mm),
        };
        let (mm, form) = match body.shape {
            Shape::Slab { height } => (doubled(height), [0.5, 0.125]),
            Shape::Cylinder { across, height } => {
                (doubled(height).min(f64::from(across)), [0.5, 0.125])
            }
            Shape::Block { width, depth, height } => {
                (doubled(height).min(f64::from(width.min(depth))), [0.5, 0.125])
            }
            Shape::Sphere { across } => (f64::from(across), [1.0 / 6.0, 1.0 / 24.0]),
        };
        let plank = Self {
            density: body.stuff.density,
            fusion: FUSION * water,
            conductivity: body.stuff.conductivity,
            difference: air.max(1.0),
            resistance: 1.0 / body.surface,
        };
        super::minutes(plank.seconds(mm / 1000.0, form))
    }
}
