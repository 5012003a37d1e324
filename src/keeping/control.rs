//! Whether a food needs cold to be safe: what is taken by default, and the tables by which laboratory
//! values decide.
//!
//! The FDA Food Code calls it a time/temperature control for safety food (TCS). Its Table A is for food
//! heat-treated and then packaged, Table B for everything else, frostings and fillings among it (as
//! printed in Tennessee 0080-04-09-.01, Texas 25 TAC 229.661, Georgia 40-7-1-.02, Nevada 446.025). Home
//! and cottage-food rules ask for more: a water activity of 0.85 at most or a pH of 4.6 at most.

use super::table::limits;

/// Whether a food needs cold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Control {
    /// Keeps at room temperature without harm.
    NotNeeded,
    /// Often said to keep at room temperature, which only a laboratory's values can show; warn.
    Unproven,
    /// Treated as needing cold.
    Needed,
}

/// What holds raw egg, milk, cream, cheese or cut fruit, or is filled with it.
const NEEDED: &[&str] = &[
    "applesauce",
    "batter",
    "buttermilk",
    "cheesecake",
    "chiffon pies",
    "coconut cream, opened",
    "coconut milk, opened",
    "cookie dough",
    "cream cheese",
    "cream pies",
    "cream-cheese frosting",
    "cut fruit",
    "eggnog",
    "eggs in the shell",
    "filled cake",
    "filled chocolates",
    "filled eclairs",
    "fruit filling",
    "ganache",
    "half and half",
    "hard-boiled eggs",
    "heavy cream",
    "lactose-free milk, opened",
    "lemon curd",
    "liquid egg substitute",
    "liquid egg substitute, opened",
    "macarons",
    "meringue buttercream",
    "milk, opened",
    "mincemeat pies",
    "pastry cream",
    "pecan pies",
    "pudding, opened",
    "pumpkin pies",
    "raw egg whites and yolks",
    "royal icing",
    "sour cream",
    "tart dough",
    "tartlets",
    "whipped cream",
    "whipped cream from a can",
    "whipped topping",
    "whipping cream",
    "whipping cream, opened",
    "yogurt",
];

/// What keeps by its sugar, if it does.
const UNPROVEN: &[&str] = &["cake pops", "sugar buttercream"];

/// How a product of the tables is treated by default (a judgement, on the side of care); None when no
/// table knows it.
pub fn control(product: &str) -> Option<Control> {
    if NEEDED.contains(&product) {
        return Some(Control::Needed);
    }
    if UNPROVEN.contains(&product) {
        return Some(Control::Unproven);
    }
    limits().any(|limit| limit.product == product).then_some(Control::NotNeeded)
}

/// How a food was treated before it is judged by its water activity and acidity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Treatment {
    /// Heated until no growing cells are left, and packaged after that: Table A.
    HeatedThenPackaged,
    /// Not heated, or heated and not packaged: Table B. Frostings and fillings belong here.
    Open,
}

/// What a laboratory measured. What was not measured counts as the worst there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Measured {
    /// Water activity in thousandths: 850 is 0.85.
    pub water_activity: Option<u16>,
    /// pH in hundredths: 460 is 4.6.
    pub acidity: Option<u16>,
}

/// What the tables say of measured values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Assessment {
    /// Needs no control of time and temperature.
    NotControlled,
    /// A product assessment is required; until there is one, it is kept cold.
    AssessFirst,
}

/// What Table A or Table B says of measured values.
pub fn assess(treatment: Treatment, measured: Measured) -> Assessment {
    let water = measured.water_activity.unwrap_or(u16::MAX);
    let acid = measured.acidity.unwrap_or(u16::MAX);
    let uncontrolled = match treatment {
        Treatment::HeatedThenPackaged => match water {
            ..=920 => true,
            921..=950 => acid <= 560,
            951.. => acid <= 460,
        },
        Treatment::Open => match water {
            ..880 => true,
            880..=900 => acid <= 500,
            901..=920 => acid <= 460,
            921.. => acid < 420,
        },
    };
    if uncontrolled { Assessment::NotControlled } else { Assessment::AssessFirst }
}

/// Whether measured values meet the stricter bar of home and cottage-food rules: a water activity of
/// 0.85 at most, or a pH of 4.6 at most (the Food Code's older definition; Indiana 410 IAC 7-21-25,
/// Navy P-5010-1).
pub fn meets_home_rule(measured: Measured) -> bool {
    measured.water_activity.is_some_and(|water| water <= 850)
        || measured.acidity.is_some_and(|acid| acid <= 460)
}

/// Whether an uncooked frosting with milk in it meets what the University of Minnesota Extension asks
/// before it may stand at room temperature: more than 65 °Brix of soluble solids and a water activity
/// of 0.85 at most, both measured.
pub fn dairy_frosting_may_stand(tenths_of_brix: u16, measured: Measured) -> bool {
    650 < tenths_of_brix && measured.water_activity.is_some_and(|water| water <= 850)
}
