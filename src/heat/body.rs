//! Bodies of a size in air: how warm they still are, and when they are as cold as wanted.

use super::series::{Element, Root, roots};
use super::{Properties, minutes};

/// Terms of the series: enough from Fo = 0.01 on, long before anything is cold.
const TERMS: u32 = 16;
/// Below this Fourier number nothing has reached the middle (erfc(1/2√Fo) < 1e-20); the series cut off
/// after some terms would not know it.
const NOT_YET: f64 = 0.005;
/// Halvings of the interval in which the time lies.
const HALVINGS: u32 = 50;
/// A surface that has the air's temperature at once, W/m²K: the fastest cooling that there is.
const AT_ONCE: f64 = 1e6;

/// The form of a body, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shape {
    /// A sheet much wider than high; sides are left out.
    Slab {
        /// Thickness.
        height: u32,
    },
    /// A round layer or cake.
    Cylinder {
        /// Diameter.
        across: u32,
        /// Height.
        height: u32,
    },
    /// A block.
    Block {
        /// Left to right.
        width: u32,
        /// Front to back.
        depth: u32,
        /// Height.
        height: u32,
    },
    /// A ball.
    Sphere {
        /// Diameter.
        across: u32,
    },
}

/// Through which faces heat goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Faces {
    /// All: on a wire rack, or held in the air.
    All,
    /// All but the bottom, which stands on a board, a tray or the counter: as the upper half of a body
    /// twice as high.
    NotBottom,
}

/// The place in a body that is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// The middle: the last to follow. On a board, the middle of the bottom.
    Middle,
    /// So many mm below the surface, at the warmest such place.
    Below(u32),
}

/// A body in moving or still air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Form and size.
    pub shape: Shape,
    /// Where heat goes through.
    pub faces: Faces,
    /// What it is made of.
    pub stuff: Properties,
    /// Heat transfer at the surface, wrapping included, W/m²K, above 0.
    pub surface: f64,
}

/// One direction of heat in a body.
struct Way {
    element: Element,
    /// Half-thickness or radius, m.
    half: f64,
    terms: Vec<Root>,
}

impl Way {
    fn left(&self, alpha: f64, seconds: f64, place: f64) -> f64 {
        let fourier = alpha * seconds / (self.half * self.half);
        if place == 0.0 && fourier < NOT_YET {
            return 1.0;
        }
        let term = |root: &Root| {
            root.factor
                * libm::exp(-root.zeta * root.zeta * fourier)
                * self.element.felt(root.zeta, place)
        };
        self.terms.iter().map(term).sum()
    }
}

impl Body {
    /// The share of the first difference to the air that is left in the middle after so many seconds:
    /// 1 at the start, towards 0. By the series, in products.
    pub fn left(&self, seconds: f64) -> f64 {
        let ways = self.ways(TERMS);
        product(&ways, self.stuff.diffusivity(), seconds, &[0.0; 3])
    }

    /// Seconds until the share left is `share` (between 0 and 1) at a spot. By the series.
    pub fn seconds(&self, share: f64, spot: Spot) -> f64 {
        let ways = self.ways(TERMS);
        let places = places(&ways, spot);
        let times = places.iter().map(|place| self.solve(&ways, share, place));
        times.fold(0.0, f64::max)
    }

    /// The same by the first term of each series alone: never below the series' time for a middle.
    pub fn one_term_seconds(&self, share: f64) -> f64 {
        self.solve(&self.ways(1), share, &[0.0; 3])
    }

    /// The same when the inside is as warm everywhere as the surface: right below Bi = 0.1, where the
    /// error is under 5 % (Çengel & Ghajar, section 4-1); too short above.
    pub fn lumped_seconds(&self, share: f64) -> f64 {
        // One over the sum of surface to volume of each direction.
        let per_volume: f64 = self
            .ways(0)
            .iter()
            .map(|way| match way.element {
                Element::Slab => 1.0 / way.half,
                Element::Cylinder => 2.0 / way.half,
                Element::Sphere => 3.0 / way.half,
            })
            .sum();
        let heat = self.stuff.density * self.stuff.heat;
        -libm::log(share) * heat / (self.surface * per_volume)
    }

    /// The largest Biot number of its directions.
    pub fn biot(&self) -> f64 {
        let ways = self.ways(0);
        ways.iter().map(|way| self.surface * way.half / self.stuff.conductivity).fold(0.0, f64::max)
    }

    /// Whole minutes, upwards, from one temperature to another at a spot, in air of a third; all in °C.
    /// 0 when it is there already; [`super::MOST_MINUTES`] when it never gets there.
    pub fn minutes(&self, from: f64, to: f64, air: f64, spot: Spot) -> u32 {
        let (wanted, first) = (to - air, from - air);
        // There already: as near to the air as wanted, on the same side of it.
        if first.abs() <= wanted.abs() && first * wanted >= 0.0 {
            return 0;
        }
        let share = wanted / first;
        if share > 0.0 { minutes(self.seconds(share, spot)) } else { super::MOST_MINUTES }
    }

    /// The same if its surface had the air's temperature at once: no stream of air or water is faster.
    pub fn fewest_minutes(&self, from: f64, to: f64, air: f64, spot: Spot) -> u32 {
        Self { surface: AT_ONCE, ..*self }.minutes(from, to, air, spot)
    }

    fn ways(&self, terms: u32) -> Vec<Way> {
        let half = |mm: u32| f64::from(mm.max(1)) / 2000.0;
        let upright = |mm: u32| match self.faces {
            Faces::All => half(mm),
            Faces::NotBottom => 2.0 * half(mm),
        };
        let sizes = match self.shape {
            Shape::Slab { height } => vec![(Element::Slab, upright(height))],
            Shape::Cylinder { across, height } => {
                vec![(Element::Slab, upright(height)), (Element::Cylinder, half(across))]
            }
            Shape::Block { width, depth, height } => vec![
                (Element::Slab, upright(height)),
                (Element::Slab, half(width)),
                (Element::Slab, half(depth)),
            ],
            Shape::Sphere { across } => vec![(Element::Sphere, half(across))],
        };
        let way = |(element, half): (Element, f64)| Way {
            element,
            half,
            terms: roots(element, self.surface * half / self.stuff.conductivity, terms),
        };
        sizes.into_iter().map(way).collect()
    }

    fn solve(&self, ways: &[Way], share: f64, place: &[f64; 3]) -> f64 {
        let alpha = self.stuff.diffusivity();
        let left = |seconds: f64| product(ways, alpha, seconds, place);
        let mut high = 60.0;
        while left(high) > share {
            high *= 2.0;
            if high > 60.0 * f64::from(super::MOST_MINUTES) {
                return high;
            }
        }
        let mut low = 0.0;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if left(middle) > share { low = middle } else { high = middle }
        }
        high
    }
}

/// The product rule: the share left in a body is that of its directions multiplied.
fn product(ways: &[Way], alpha: f64, seconds: f64, place: &[f64; 3]) -> f64 {
    let one = |(way, place): (&Way, &f64)| way.left(alpha, seconds, *place);
    ways.iter().zip(place).map(one).product()
}

/// The places to look at for a spot, one number for each direction.
fn places(ways: &[Way], spot: Spot) -> Vec<[f64; 3]> {
    let Spot::Below(mm) = spot else { return vec![[0.0; 3]] };
    let below = f64::from(mm) / 1000.0;
    // In from one face and in the middle of the others, for each pair of faces.
    let near = |index: usize, way: &Way| {
        let mut place = [0.0; 3];
        if let Some(at) = place.get_mut(index) {
            *at = ((way.half - below) / way.half).max(0.0);
        }
        place
    };
    ways.iter().enumerate().map(|(index, way)| near(index, way)).collect()
}
