//! What an ingredient brings: a starter map, made by judgement.

use super::lists::Allergen::{
    self, Egg, Fish, Gluten, Milk, Peanut, Sesame, Soy, Sulphites, TreeNut,
};
use super::lists::Cereal::{Barley, Oats, Rye, Wheat};
use super::lists::Nut;

/// What the map is worth.
pub const BASIS: &str = "A starting point by judgement, no published source: what you bought may be made \
otherwise, and its label decides.";

/// One ingredient of the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ingredient {
    /// Its name, lower case.
    pub name: &'static str,
    /// What it always brings.
    pub brings: &'static [Allergen],
    /// What it often brings: the label says.
    pub check: &'static [Allergen],
}

const fn row(
    name: &'static str,
    brings: &'static [Allergen],
    check: &'static [Allergen],
) -> Ingredient {
    Ingredient { name, brings, check }
}

const ANY_NUT: &[Allergen] = &[
    TreeNut(Nut::Almond),
    TreeNut(Nut::Cashew),
    TreeNut(Nut::Hazelnut),
    TreeNut(Nut::Pecan),
    TreeNut(Nut::Pistachio),
    TreeNut(Nut::Walnut),
    Peanut,
];
const FLOURY: &[Allergen] = &[Gluten(Wheat), Milk, Egg, Soy];

const MAP: &[Ingredient] = &[
    row("almond extract", &[TreeNut(Nut::Almond)], &[]),
    row("almond flour", &[TreeNut(Nut::Almond)], &[]),
    row("almonds", &[TreeNut(Nut::Almond)], &[]),
    row("baking powder", &[], &[Gluten(Wheat)]),
    row("baking soda", &[], &[]),
    row("barley malt", &[Gluten(Barley)], &[]),
    row("biscuits", &[Gluten(Wheat)], FLOURY),
    row("brown sugar", &[], &[]),
    row("butter", &[Milk], &[]),
    row("buttermilk", &[Milk], &[]),
    row("candied fruit", &[], &[Sulphites]),
    row("cashews", &[TreeNut(Nut::Cashew)], &[]),
    row("chocolate coating", &[], &[Milk, Soy]),
    row("cocoa", &[], &[]),
    row("cocoa butter", &[], &[Milk, Soy]),
    row("coconut", &[], &[Sulphites]),
    row("cookie crumbs", &[], FLOURY),
    row("corn syrup", &[], &[Sulphites]),
    row("cornstarch", &[], &[]),
    row("cream", &[Milk], &[]),
    row("cream cheese", &[Milk], &[]),
    row("cream of tartar", &[], &[]),
    row("dark chocolate", &[], &[Milk, Soy]),
    row("dried fruit", &[], &[Sulphites]),
    row("egg whites", &[Egg], &[]),
    row("egg yolks", &[Egg], &[]),
    row("eggs", &[Egg], &[]),
    row("flour", &[Gluten(Wheat)], &[]),
    row("fondant", &[], &[Egg, Milk, Sulphites]),
    row("food colouring", &[], &[Milk, Soy]),
    row("fresh fruit", &[], &[]),
    row("fruit puree", &[], &[Sulphites]),
    row("gelatine", &[], &[Fish]),
    row("glacé cherries", &[], &[Sulphites]),
    row("gum paste", &[], &[Egg]),
    row("hazelnuts", &[TreeNut(Nut::Hazelnut)], &[]),
    row("honey", &[], &[]),
    row("jam", &[], &[Sulphites]),
    row("lemon juice", &[], &[Sulphites]),
    row("macadamias", &[TreeNut(Nut::Macadamia)], &[]),
    row("margarine", &[], &[Milk, Soy]),
    row("marzipan", &[TreeNut(Nut::Almond)], &[Egg]),
    row("meringue powder", &[Egg], &[]),
    row("milk", &[Milk], &[]),
    row("milk chocolate", &[Milk], &[Soy]),
    row("milk powder", &[Milk], &[]),
    row("molasses", &[], &[Sulphites]),
    row("oats", &[Gluten(Oats)], &[Gluten(Wheat), Gluten(Barley)]),
    row("peanut butter", &[Peanut], &[]),
    row("peanuts", &[Peanut], &[]),
    row("pecans", &[TreeNut(Nut::Pecan)], &[]),
    row("pine nuts", &[TreeNut(Nut::Pine)], &[]),
    row("pistachios", &[TreeNut(Nut::Pistachio)], &[]),
    row("powdered sugar", &[], &[]),
    row("praline", &[TreeNut(Nut::Hazelnut)], ANY_NUT),
    row("pretzels", &[Gluten(Wheat)], FLOURY),
    row("royal icing", &[Egg], &[]),
    row("rye flour", &[Gluten(Rye)], &[]),
    row("salt", &[], &[]),
    row("sesame", &[Sesame], &[]),
    row("shortening", &[], &[Soy]),
    row("sour cream", &[Milk], &[]),
    row("spelt flour", &[Gluten(Wheat)], &[]),
    row("sprinkles", &[], &[Milk, Soy, Egg, Gluten(Wheat)]),
    row("sugar", &[], &[]),
    row("vanilla extract", &[], &[]),
    row("vegetable oil", &[], &[Soy]),
    row("walnuts", &[TreeNut(Nut::Walnut)], &[]),
    row("water", &[], &[]),
    row("white chocolate", &[Milk], &[Soy]),
    row("yeast", &[], &[]),
    row("yogurt", &[Milk], &[]),
];

/// The whole map, by name.
pub fn ingredients() -> &'static [Ingredient] {
    MAP
}

/// What the map says of an ingredient, whatever its capitals and the blanks around it; None when it is not in
/// the map, which never means that it brings nothing.
pub fn ingredient(name: &str) -> Option<&'static Ingredient> {
    let name = name.trim().to_lowercase();
    MAP.iter().find(|row| row.name == name)
}
