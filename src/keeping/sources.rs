//! Where numbers come from, said once.

pub(super) const TWO_HOURS: &str =
    "FSIS, Danger Zone: never out of the fridge over 2 hours, 1 hour above 32 °C (90 °F)";
pub(super) const FOUR_HOURS: &str =
    "FDA Food Code 3-501.19(B): 4 hours without temperature control";
pub(super) const SEVEN_DAYS: &str =
    "FDA Food Code 3-501.17(A): 7 days at 5 °C, the day of making counted as day 1";
pub(super) const OPENED: &str =
    "FDA Food Code 3-501.17(B): 7 days at 5 °C, the day of opening counted as day 1";
pub(super) const RAW_EGG: &str =
    "FoodKeeper 22, raw egg whites and yolks: 2–4 days refrigerated; 3 taken";
pub(super) const BUTTER_OUT: &str =
    "FoodKeeper 1, butter: may be left at room temperature for 1–2 days; 1 taken";
pub(super) const CAKES: &str =
    "FoodKeeper 197, cakes and muffins: 3–7 days at room temperature; 3 taken";
pub(super) const COOKIES: &str =
    "Georgia extension: baked cookies sealed at room temperature up to 2 weeks";
pub(super) const COOKIES_FROZEN: &str = "Georgia extension: cookies frozen up to 6 months (Kansas extension up to 12, FoodKeeper 199 \
     and 200 8–12)";
pub(super) const ICED_FROZEN: &str = "Kansas extension: frosted cookies frozen 2 months";
pub(super) const CAKE_FROZEN: &str =
    "Clemson extension, HGIC 3065: unfrosted butter cake frozen 2–4 months; 2 taken";
pub(super) const SPONGE_FROZEN: &str =
    "University of Missouri extension: whole-egg sponge frozen 4–6 months; 4 taken";
pub(super) const CRUST_FROZEN: &str = "FoodKeeper 554, pie crust: frozen 2 months";
pub(super) const EXTENSION_FILLED: &str =
    "Clemson and Missouri extension: egg-white icings and cream fillings do not freeze well";
pub(super) const CREAM_CHEESE_ICING: &str = "Iowa State extension: frosting with cream cheese, whipped cream or eggs is refrigerated; \
     FSIS: 2 hours out";
pub(super) const CUSTARD: &str =
    "Ohio State and Illinois extension: cream and custard pies at most 2 hours out of the fridge";
pub(super) const DRY_CHOCOLATE: &str =
    "Wageningen University: chocolate below 10 °C takes up moisture when it comes out";
pub(super) const SUCROSE: &str =
    "J. Food Eng. 77 (2006) 887: sugar draws water from above 82 % humidity";
pub(super) const PRACTICE: &str = "common practice, no published source";
