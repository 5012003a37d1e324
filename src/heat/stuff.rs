//! What things are made of: density, heat capacity and conductivity, from their composition.
//!
//! Component equations of Choi & Okos (1986), as in the ASHRAE Refrigeration Handbook's chapter "Thermal
//! properties of foods"; compositions of USDA SR28 by their NDB numbers.

/// How a thing takes up and passes on heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Properties {
    /// kg/m³, pores included.
    pub density: f64,
    /// J/kgK.
    pub heat: f64,
    /// W/mK.
    pub conductivity: f64,
}

impl Properties {
    /// α in m²/s.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity / (self.density * self.heat)
    }
}

/// Shares by weight; what is missing to 1 is left out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Composition {
    /// Water, liquid.
    pub water: f64,
    /// Ice.
    pub ice: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Carbohydrate without fibre: sugar and starch.
    pub carbohydrate: f64,
    /// Fibre.
    pub fibre: f64,
    /// Ash.
    pub ash: f64,
    /// Share of air by volume, 0 to below 1.
    pub pores: f64,
}

/// Density, heat and conductivity of one component as polynomials of the temperature in °C.
type Component = ([f64; 3], [f64; 3], [f64; 3]);

const WATER: Component = (
    [997.18, 3.1439e-3, -3.7574e-3],
    [4128.9, -0.090_864, 5.4731e-3],
    [0.571_09, 1.7625e-3, -6.7036e-6],
);
const ICE: Component =
    ([916.89, -0.130_71, 0.0], [2062.3, 6.0769, 0.0], [2.2196, -6.2489e-3, 1.0154e-4]);
const PROTEIN: Component =
    ([1329.9, -0.5184, 0.0], [2008.2, 1.2089, -1.3129e-3], [0.178_81, 1.1958e-3, -2.7178e-6]);
const FAT: Component =
    ([925.59, -0.417_57, 0.0], [1984.2, 1.4733, -4.8008e-3], [0.180_71, -2.7604e-4, -1.7749e-7]);
const CARBOHYDRATE: Component =
    ([1599.1, -0.310_46, 0.0], [1548.8, 1.9625, -5.9399e-3], [0.201_41, 1.3874e-3, -4.3312e-6]);
const FIBRE: Component =
    ([1311.5, -0.365_89, 0.0], [1845.9, 1.8306, -4.6509e-3], [0.183_31, 1.2497e-3, -3.1683e-6]);
const ASH: Component =
    ([2423.8, -0.280_63, 0.0], [1092.6, 1.8896, -3.6817e-3], [0.329_62, 1.4011e-3, -2.9069e-6]);
/// Conductivity of still air in pores, W/mK (Çengel & Ghajar, table A-15, 20 °C).
const AIR: f64 = 0.025_14;

fn at(polynomial: [f64; 3], celsius: f64) -> f64 {
    polynomial[0] + polynomial[1] * celsius + polynomial[2] * celsius * celsius
}

impl Composition {
    fn parts(&self) -> [(f64, Component); 7] {
        [
            (self.water, WATER),
            (self.ice, ICE),
            (self.protein, PROTEIN),
            (self.fat, FAT),
            (self.carbohydrate, CARBOHYDRATE),
            (self.fibre, FIBRE),
            (self.ash, ASH),
        ]
    }

    /// 1/ρ = Σ xᵢ/ρᵢ, without the pores.
    fn solid_density(&self, celsius: f64) -> f64 {
        let total: f64 = self.parts().iter().map(|(share, _)| share).sum();
        let volume: f64 =
            self.parts().iter().map(|(share, (density, ..))| share / at(*density, celsius)).sum();
        total / volume
    }

    /// Density with its pores, kg/m³, at a temperature in °C.
    pub fn density(&self, celsius: f64) -> f64 {
        self.solid_density(celsius) * (1.0 - self.pores)
    }

    /// c = Σ xᵢcᵢ, J/kgK.
    pub fn heat(&self, celsius: f64) -> f64 {
        self.parts().iter().map(|(share, (_, heat, _))| share * at(*heat, celsius)).sum()
    }

    /// Volume shares of the whole with their conductivities; the air's is last.
    fn conductors(&self, celsius: f64) -> Vec<(f64, f64)> {
        let solid = 1.0 - self.pores;
        let whole: f64 =
            self.parts().iter().map(|(share, (density, ..))| share / at(*density, celsius)).sum();
        let mut found: Vec<(f64, f64)> = self
            .parts()
            .iter()
            .map(|(share, (density, _, conductivity))| {
                let volume = share / at(*density, celsius) / whole;
                (volume * solid, at(*conductivity, celsius))
            })
            .collect();
        found.push((self.pores, AIR));
        found
    }

    /// Conductivity with all parts side by side, W/mK: no arrangement conducts better.
    pub fn parallel(&self, celsius: f64) -> f64 {
        self.conductors(celsius).iter().map(|(volume, k)| volume * k).sum()
    }

    /// Conductivity with all parts one after the other, W/mK: no arrangement conducts worse.
    pub fn series(&self, celsius: f64) -> f64 {
        1.0 / self.conductors(celsius).iter().map(|(volume, k)| volume / k).sum::<f64>()
    }

    /// All three, with the conductivity half-way between its bounds.
    pub fn properties(&self, celsius: f64) -> Properties {
        Properties {
            density: self.density(celsius),
            heat: self.heat(celsius),
            conductivity: 0.5 * (self.parallel(celsius) + self.series(celsius)),
        }
    }
}

/// What a card's product is made of, where heat is concerned.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Stuff {
    /// Baked cake.
    Crumb,
    /// Layers of cake with cream between.
    FilledCake,
    /// Crumbled cake bound with buttercream.
    BoundCake,
    /// Cookie dough.
    Dough,
    /// Baked rolled cookies.
    Cookie,
    /// Fruit cooked with sugar.
    FruitFilling,
    /// Custard, pastry cream or curd.
    Custard,
    /// Chocolate with cream.
    Ganache,
}

/// Where compositions are taken, °C.
const AT: f64 = 20.0;

impl Stuff {
    /// Moist cake crumb: α and k of the order that Sweat (1973) measured in yellow cake (0.12 W/mK, 1.4e-7
    /// m²/s: from memory), a little denser. Cookie dough: USDA 18205, half-way between series and parallel.
    /// Layers with cream: three parts crumb to one of cream by volume, side by side. Bound cake: k 0.25
    /// W/mK and α 1.2e-7 m²/s, between crumb and frosting. Cookies: dough with most of its water baked
    /// out, taken as 1000 kg/m³ (estimate, no published source).
    pub fn properties(self) -> Properties {
        let crumb = Properties { density: 434.782_6, heat: 2300.0, conductivity: 0.15 };
        match self {
            Self::Crumb => crumb,
            Self::FilledCake => {
                // USDA 19230, vanilla frosting.
                let cream = Composition {
                    water: 0.151,
                    fat: 0.162,
                    carbohydrate: 0.679,
                    ..Composition::default()
                };
                let cream = cream.properties(AT);
                let mixed = |crumb: f64, cream: f64| 0.75 * crumb + 0.25 * cream;
                let density = mixed(crumb.density, cream.density);
                Properties {
                    density,
                    heat: mixed(crumb.density * crumb.heat, cream.density * cream.heat) / density,
                    conductivity: mixed(crumb.conductivity, cream.conductivity),
                }
            }
            Self::BoundCake => Properties { density: 950.0, heat: 2193.0, conductivity: 0.25 },
            Self::Dough => Properties { density: 1290.0, heat: 2042.0, conductivity: 0.26 },
            Self::Cookie => Properties { density: 1000.0, heat: 1800.0, conductivity: 0.16 },
            Self::FruitFilling => {
                Composition { water: 0.5, carbohydrate: 0.5, ..Composition::default() }
                    .properties(AT)
            }
            Self::Custard => Composition {
                water: 0.68,
                protein: 0.05,
                fat: 0.08,
                carbohydrate: 0.19,
                ..Composition::default()
            }
            .properties(AT),
            Self::Ganache => Composition {
                water: 0.3,
                protein: 0.04,
                fat: 0.33,
                carbohydrate: 0.33,
                ..Composition::default()
            }
            .properties(AT),
        }
    }

    /// Share of its weight that is water, for the most that can freeze.
    pub fn water(self) -> f64 {
        match self {
            // USDA 18146, yellow cake: 25.1 %; 18205, cookie dough: 14.1 %.
            Self::Crumb | Self::FilledCake | Self::BoundCake => 0.251,
            Self::Dough => 0.141,
            Self::Cookie => 0.05,
            Self::FruitFilling => 0.5,
            Self::Custard => 0.68,
            Self::Ganache => 0.3,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Crumb => "cake",
            Self::FilledCake => "filled cake",
            Self::BoundCake => "bound cake",
            Self::Dough => "dough",
            Self::Cookie => "cookie",
            Self::FruitFilling => "fruit filling",
            Self::Custard => "custard",
            Self::Ganache => "ganache",
        }
    }
}
