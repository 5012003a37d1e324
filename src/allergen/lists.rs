//! What the lists of two regions name.
//!
//! United States: 21 U.S.C. 321(qq)(1) names nine, sesame since 1 January 2023 (FASTER Act); which tree nuts
//! they are says FDA's Q&A guidance on food allergens, edition 5, January 2025, table 1: twelve, and coconut is
//! not among them. European Union, and the United Kingdom with it: Regulation (EU) 1169/2011, annex II,
//! fourteen, eight nuts among them. Australia's and New Zealand's list is not held here.

/// A list of allergens that labels must name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum List {
    /// The United States' nine.
    UnitedStates,
    /// The European Union's fourteen, the same in the United Kingdom.
    Europe,
}

/// A tree nut. Whether a list names it, the list says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Nut {
    /// Almond.
    Almond,
    /// Black walnut.
    BlackWalnut,
    /// Brazil nut.
    Brazil,
    /// California walnut.
    CaliforniaWalnut,
    /// Cashew.
    Cashew,
    /// Hazelnut, filbert.
    Hazelnut,
    /// Japanese walnut, heartnut.
    JapaneseWalnut,
    /// Macadamia, bush nut, Queensland nut.
    Macadamia,
    /// Pecan.
    Pecan,
    /// Pine nut.
    Pine,
    /// Pistachio.
    Pistachio,
    /// English or Persian walnut.
    Walnut,
}

/// A cereal that holds gluten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cereal {
    /// Wheat, spelt and khorasan wheat.
    Wheat,
    /// Rye.
    Rye,
    /// Barley.
    Barley,
    /// Oats.
    Oats,
}

/// What either list names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Allergen {
    /// Milk of any animal, lactose included.
    Milk,
    /// Egg of any bird.
    Egg,
    /// Fish, for example in gelatine.
    Fish,
    /// Crustaceans.
    Crustaceans,
    /// A tree nut.
    TreeNut(Nut),
    /// A cereal with gluten.
    Gluten(Cereal),
    /// Peanut.
    Peanut,
    /// Soy.
    Soy,
    /// Sesame.
    Sesame,
    /// Celery.
    Celery,
    /// Mustard.
    Mustard,
    /// Sulphur dioxide and sulphites above 10 mg/kg.
    Sulphites,
    /// Lupin.
    Lupin,
    /// Molluscs.
    Molluscs,
}

impl Nut {
    /// Every nut that a list names.
    pub const ALL: [Self; 12] = [
        Self::Almond,
        Self::BlackWalnut,
        Self::Brazil,
        Self::CaliforniaWalnut,
        Self::Cashew,
        Self::Hazelnut,
        Self::JapaneseWalnut,
        Self::Macadamia,
        Self::Pecan,
        Self::Pine,
        Self::Pistachio,
        Self::Walnut,
    ];

    /// As a label names it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Almond => "almond",
            Self::BlackWalnut => "black walnut",
            Self::Brazil => "Brazil nut",
            Self::CaliforniaWalnut => "California walnut",
            Self::Cashew => "cashew",
            Self::Hazelnut => "hazelnut",
            Self::JapaneseWalnut => "Japanese walnut",
            Self::Macadamia => "macadamia",
            Self::Pecan => "pecan",
            Self::Pine => "pine nut",
            Self::Pistachio => "pistachio",
            Self::Walnut => "walnut",
        }
    }
}

impl Allergen {
    /// Every allergen, each nut and cereal for itself.
    pub fn all() -> Vec<Self> {
        let mut all = vec![Self::Milk, Self::Egg, Self::Fish, Self::Crustaceans];
        all.extend(Nut::ALL.map(Self::TreeNut));
        all.extend([Cereal::Wheat, Cereal::Rye, Cereal::Barley, Cereal::Oats].map(Self::Gluten));
        all.extend([Self::Peanut, Self::Soy, Self::Sesame, Self::Celery, Self::Mustard]);
        all.extend([Self::Sulphites, Self::Lupin, Self::Molluscs]);
        all
    }

    /// The allergen alone, as read: "milk", "almond", "barley".
    pub fn name(self) -> &'static str {
        match self {
            Self::Milk => "milk",
            Self::Egg => "egg",
            Self::Fish => "fish",
            Self::Crustaceans => "crustaceans",
            Self::TreeNut(nut) => nut.name(),
            Self::Gluten(Cereal::Wheat) => "wheat",
            Self::Gluten(Cereal::Rye) => "rye",
            Self::Gluten(Cereal::Barley) => "barley",
            Self::Gluten(Cereal::Oats) => "oats",
            Self::Peanut => "peanut",
            Self::Soy => "soy",
            Self::Sesame => "sesame",
            Self::Celery => "celery",
            Self::Mustard => "mustard",
            Self::Sulphites => "sulphites",
            Self::Lupin => "lupin",
            Self::Molluscs => "molluscs",
        }
    }

    /// The group of a list that it belongs to; None when the list does not name it.
    pub fn group(self, list: List) -> Option<&'static str> {
        match list {
            List::UnitedStates => self.american(),
            List::Europe => self.european(),
        }
    }

    fn american(self) -> Option<&'static str> {
        Some(match self {
            Self::Milk => "milk",
            Self::Egg => "egg",
            Self::Fish => "fish",
            Self::Crustaceans => "crustacean shellfish",
            Self::TreeNut(_) => "tree nuts",
            Self::Gluten(Cereal::Wheat) => "wheat",
            Self::Peanut => "peanuts",
            Self::Soy => "soybeans",
            Self::Sesame => "sesame",
            Self::Gluten(_)
            | Self::Celery
            | Self::Mustard
            | Self::Sulphites
            | Self::Lupin
            | Self::Molluscs => return None,
        })
    }

    fn european(self) -> Option<&'static str> {
        Some(match self {
            Self::Milk => "milk",
            Self::Egg => "eggs",
            Self::Fish => "fish",
            Self::Crustaceans => "crustaceans",
            Self::TreeNut(
                Nut::BlackWalnut | Nut::CaliforniaWalnut | Nut::JapaneseWalnut | Nut::Pine,
            ) => {
                return None;
            }
            Self::TreeNut(_) => "nuts",
            Self::Gluten(_) => "gluten",
            Self::Peanut => "peanuts",
            Self::Soy => "soybeans",
            Self::Sesame => "sesame",
            Self::Celery => "celery",
            Self::Mustard => "mustard",
            Self::Sulphites => "sulphites",
            Self::Lupin => "lupin",
            Self::Molluscs => "molluscs",
        })
    }
}

impl List {
    /// Whether labels by this list must name it.
    pub fn names(self, allergen: Allergen) -> bool {
        allergen.group(self).is_some()
    }

    /// Where the list stands.
    pub fn source(self) -> &'static str {
        match self {
            Self::UnitedStates => {
                "21 U.S.C. 321(qq)(1); FDA Q&A guidance on food allergens, edition 5, 2025"
            }
            Self::Europe => "Regulation (EU) 1169/2011, annex II",
        }
    }
}
