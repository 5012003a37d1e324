//! The three elements in which heat flows one way: slab, long cylinder, sphere.
//!
//! With θ for the share of the first difference to the air that is left: θ = Σ Cₙ exp(−ζₙ²Fo) · shape(ζₙ, place),
//! with Fo = αt/L² and Bi = hL/k over the half-thickness or the radius (Çengel & Ghajar, section 4-2).

/// A body in which heat flows one way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Element {
    /// Infinite slab; L is half its thickness.
    Slab,
    /// Infinite cylinder; L is its radius.
    Cylinder,
    /// Sphere; L is its radius.
    Sphere,
}

/// One term of the series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// ζₙ.
    pub zeta: f64,
    /// Cₙ.
    pub factor: f64,
}

/// Halvings of an interval of length π: past the last digit of a double.
const HALVINGS: u32 = 60;
/// Where no root is missed and the sphere's zero at nought is left out.
const NEARLY_NOUGHT: f64 = 1e-9;

/// From this Fourier number on the first term alone is within 2 % in slab, cylinder and sphere (Çengel &
/// Ghajar, section 4-2). In short cylinders and blocks it always finds the longer time: 1.6 % at most
/// where a cake is 100 mm high, up to 15 % for flat layers, which is why times here are from the series.
pub fn one_term_is_enough(fourier: f64) -> bool {
    fourier > 0.2
}

/// The first `count` terms for a Biot number above 0.
pub fn roots(element: Element, biot: f64, count: u32) -> Vec<Root> {
    (0..count)
        .map(|index| {
            let from = f64::from(index) * core::f64::consts::PI;
            let to = from + core::f64::consts::PI;
            let zeta = bisect(element, biot, from.max(NEARLY_NOUGHT), to);
            Root { zeta, factor: element.factor(zeta) }
        })
        .collect()
}

/// The only change of sign between two multiples of π.
fn bisect(element: Element, biot: f64, mut low: f64, mut high: f64) -> f64 {
    let rising = element.condition(biot, high) > 0.0;
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if middle <= low || high <= middle {
            break;
        }
        if (element.condition(biot, middle) > 0.0) == rising {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

impl Element {
    /// Nought at the roots, without poles: ζ sin ζ = Bi cos ζ; ζ J₁ = Bi J₀; ζ cos ζ = (1 − Bi) sin ζ.
    fn condition(self, biot: f64, zeta: f64) -> f64 {
        let (sin, cos) = libm::sincos(zeta);
        match self {
            Self::Slab => zeta * sin - biot * cos,
            Self::Cylinder => zeta * libm::j1(zeta) - biot * libm::j0(zeta),
            Self::Sphere => (1.0 - biot) * sin - zeta * cos,
        }
    }

    fn factor(self, zeta: f64) -> f64 {
        let (sin, cos) = libm::sincos(zeta);
        match self {
            Self::Slab => 4.0 * sin / (2.0 * zeta + libm::sin(2.0 * zeta)),
            Self::Cylinder => {
                let (j0, j1) = (libm::j0(zeta), libm::j1(zeta));
                2.0 / zeta * j1 / (j0 * j0 + j1 * j1)
            }
            Self::Sphere => 4.0 * (sin - zeta * cos) / (2.0 * zeta - libm::sin(2.0 * zeta)),
        }
    }

    /// How far a term is felt at a place: 0 the middle, 1 the surface.
    pub(super) fn felt(self, zeta: f64, place: f64) -> f64 {
        let at = zeta * place;
        match self {
            Self::Slab => libm::cos(at),
            Self::Cylinder => libm::j0(at),
            Self::Sphere if at < NEARLY_NOUGHT => 1.0,
            Self::Sphere => libm::sin(at) / at,
        }
    }
}
