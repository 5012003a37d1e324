//! What the coder has read before it reads a week: words of the trade. Never edited: a change is a new version of
//! the link.

/// Steps, products, amounts and take-outs as the built-in cards have them, the commonest last.
pub(super) const WORDS: &str = "\
nut-free, no egg, without gluten, milk, soy, peanuts, almonds, sesame, wheat\0\
Melt and mix the batter\0Bake the slabs\0Turn out and wrap\0Trim, cut and box\0\
Mix the cake batter\0Bake the cake\0Crumble, bind and roll\0Set the sticks\0Dip the pops\0\
Drizzle and decorate\0Bag and box\0Press the base and mix the filling\0Bake in a water bath\0\
Cover and put into the fridge\0Release, top and box\0Paint the sheets\0Temper, spread and cut\0\
Lift off and pack\0Beat the cream-cheese frosting\0Mix the batter and fill the cases\0\
Bake the cupcakes\0Core and fill\0Pipe the swirls\0Finish and box\0Cook the curd\0Mix the dough\0\
Roll and cut\0Bake the cookies\0Outline and flood the base coat\0Pipe the details\0\
Pipe the lettering\0Check, bag and box\0Mix, colour and bag the deep icing\0\
Move the deep icing into the fridge to thaw\0Dip\0Drizzle and sprinkle\0Scoop onto trays\0\
Cook the fruit filling\0Make the ganache\0Fold and pipe the shells\0Bake the shells\0\
Match, fill and close\0Check and box\0Whip the meringue buttercream\0Whip and pipe\0\
Dry in a slow oven\0Pack airtight\0Polish and paint the moulds\0Temper and cast the shells\0\
Unmould, check and pack\0Cook the pastry cream\0Mix and colour the icing\0\
Mix the batter and fill the tin\0Bake the sheet\0Turn out, level and wrap\0\
Set on the board and crumb coat\0Final coat\0Pipe borders and decorate\0Box the cake\0\
Beat the buttercream\0Mix the batter and fill the tins\0Bake the layers\0Fill and stack\0\
Cut and set the supports\0Crumb coat\0Decorate\0Mix the tart dough\0Roll and line the tins\0\
Bake the shells blind\0Fill the shells\0Top, glaze and box\0Colour and rest the paste\0\
Cut and model\0Paint and finish\0Pack between tissue\0Brownies and bars\0Cake pops\0Cheesecake\0\
Chocolate pieces\0Cream-cheese frosting\0Cupcakes\0Fruit curd\0Decorated cookies\0\
Deep black or red icing\0Dipped pretzels and biscuits\0Plain and drop cookies\0Fruit filling\0\
Ganache\0Macarons\0Meringue buttercream\0Meringue kisses\0Moulded chocolate shells\0\
Pastry cream\0Royal icing\0Sheet cake\0Sugar buttercream\0Tall layer cake\0Tartlets\0\
Fondant and gum-paste toppers\0Dough for 24 cookies + 4 spares\0\
24 cookies + 4 spares on 3 trays\03 trays, 2 loads\018 cookies + 2 spares in 2 boxes\0\
in 3 colours\04 layers for 1 cake\01 cake of 4 layers\01 cake in 1 colour\0\
488 grams in 3 colours\0550 grams, 1 batch\012 cupcakes + 1 spare in 2 tins\0\
12 cupcakes + 1 spare in 2 boxes\024 pops + 3 spares in 3 boxes\0\
16 shells + 2 spares in 1 mould\01 bag\01 tray\0\
Take wrapped layers out of the freezer, into the fridge\0\
Take royal icing out of the fridge, onto the counter\0\
Take meringue buttercream out of the fridge, onto the counter\0Handover\0";
