package flow

// Scenarios of the walk, with what should come of them worked out by hand.

import (
	"fmt"
	"testing"
)

func TestWalk(t *testing.T) {
	runScripts(t, `
# what is bought is bought as it is needed
buy hen 2
dish plate 10: 3 hen
open 0 11:30 17:00
want plate 4 2
= served plate: 4 2
= bought hen: 18 on 0
= left hen: 0

# a batch without a clock is done before the first service
buy bones 1
batch kettle: 10 bones -> 8 stock
dish soup 10: 2 stock
open 0 11:30 17:00
want soup 2 9
run kettle 0 x2
= ran 0: 2 at 0/00:00
= served soup: 2 6
= bought bones: 20 on 0
= left stock: 0
= because soup 1: stock used up; too little stock planned

# an output comes when it is out, and not before
buy bones 1
batch kettle: 10 bones -> 8 stock @540 + 2 meat @180
dish soup 10: 2 stock
dish taco 10: 1 meat
open 0 09:00 17:00
want soup 1 4
want taco 2 1
run kettle 0 x1 at 06:00
= served soup: 0 4
= served taco: 2 0
= because soup 0: stock used up; too little stock planned

# a kettle over midnight feeds the next day
buy bones 1
batch kettle: 10 bones -> 8 stock @540
dish soup 10: 2 stock
open 0 11:30
open 1 11:30
want soup 4 4
run kettle 0 x1 at 22:30
= served soup: 0 4
= ran 0: 1 at 0/22:30
= because soup 0: stock used up; too little stock planned

# what is in the pot when the last day ends is left
buy bones 1
batch kettle: 10 bones -> 8 stock @540
dish soup 10: 2 stock
open 0 11:30
want soup 4
run kettle 0 x1 at 22:30 lost 0.25
= served soup: 0
= left stock: 6
= made stock: 6
= lost stock: 2

# keeps 2 days is the day made and the next
item stock keeps 2
buy bones 1
batch kettle: 10 bones -> 8 stock
dish soup 10: 2 stock
open 0 11:30
open 1 11:30
open 2 11:30
want soup 1 1 1
run kettle 0 x1
= served soup: 1 1 0
= binned stock: 4
= left stock: 0
= entries stock: 0/00:00 came 8, 0/11:30 took 2, 1/11:30 took 2, 2/00:00 expired 4

# keeps 1 day is gone at the end of the day
item stock keeps 1
buy bones 1
batch kettle: 1 bones -> 8 stock
dish soup 10: 2 stock
open 0 11:30 17:00
open 1 11:30
want soup 1 1 1
run kettle 0 x1
= served soup: 1 1 0
= binned stock: 4

# the oldest lot goes first, and only what is left of it is binned
item stock keeps 2
buy bones 1
batch kettle: 1 bones -> 8 stock
dish soup 10: 1 stock
open 0 11:30
open 1 11:30
open 2 11:30
want soup 3 4 9
run kettle 0 x1
run kettle 1 x1
= served soup: 3 4 8
= binned stock: 1
= left stock: 0

# leftovers of a service keep their own day
item stock keeps 2
hand stock 10 made 0
dish soup 10: 1 stock
open 0 11:30
open 1 11:30
open 2 11:30
want soup 3 3 3
= served soup: 3 3 0
= binned stock: 4

# what was on hand and no longer keeps is not used
item stock keeps 3
hand stock 5 made -3
hand stock 4 made -2
dish soup 10: 1 stock
open 0 11:30
open 1 11:30
want soup 3 9
= served soup: 3 0
= opening stock: 9
= binned stock: 6

# lots on hand are used by the day made, however they are listed
item stock keeps 3
hand stock 4 made 0
hand stock 5 made -2
dish soup 10: 1 stock
open 0 11:30
open 1 11:30
want soup 5 4
= served soup: 5 4
= binned stock: 0

# the scale of a batch is the smallest of available over needed
hand bones 25 made 0
hand herbs 3 made 0
batch kettle: 10 bones + 2 herbs -> 8 stock + 1 fat
dish soup 10: 1 stock
open 0 11:30
want soup 20
run kettle 0 x3
= ran 0: 1.5 at 0/00:00 for lack of herbs
= made stock: 12
= made fat: 1.5
= left bones: 10
= left herbs: 0
= served soup: 12
= because soup 0: stock used up; kettle of 0 did 1.5 of 3 for lack of herbs; too little herbs planned

# an optional line does not hold a batch back, and is used as far as it goes
hand bones 20 made 0
hand herbs 3 made 0
batch kettle: 10 bones + 2 herbs? -> 8 stock
dish soup 10: 1 stock
open 0 11:30
want soup 16
run kettle 0 x2
= served soup: 16
= used kettle 1 0: 3
= left herbs: 0

# a batch goes on with its substitute when its first choice is used up
hand hen 25 made 0
hand duck 12 made 0
batch kettle: 10 hen or 6 duck -> 8 stock
dish soup 10: 1 stock
open 0 11:30
want soup 40
run kettle 0 x5
= ran 0: 4.5 at 0/00:00 for lack of hen
= used kettle 0 0: 25
= used kettle 0 1: 12
= entries duck: 0/00:00 took 12 instead
= served soup: 36

# an item that goes in twice counts twice
hand bones 30 made 0
batch kettle: 10 bones + 5 bones -> 8 stock
dish soup 10: 1 stock
open 0 11:30
want soup 40
run kettle 0 x3
= ran 0: 2 at 0/00:00 for lack of bones
= left bones: 0
= served soup: 16

# all of it takes what the batches leave
hand fat 10 made 0
buy bones 1
all render: 1 fat -> 0.5 lard
batch confit: 4 fat + 1 bones -> 4 meat
dish plate 10: 1 meat
open 0 11:30
want plate 4
run confit 0 x1
= batches render: 6
= made lard: 3
= served plate: 4

# all of it goes first where a batch needs what it gives
hand fat 10 made 0
all render: 1 fat -> 0.5 lard
batch confit: 4 fat + 1 lard -> 4 meat
dish plate 10: 1 meat
open 0 11:30
want plate 4
run confit 0 x1
= batches render: 10
= ran 0: 0 at 0/11:30 for lack of fat
= served plate: 0
= because plate 0: meat used up; confit of 0 did 0 of 1 for lack of fat; too little fat planned

# all of it takes its other lines as far as they go
hand bones 10 made 0
hand herbs 2 made 0
all broth: 1 bones + 0.5 herbs -> 3 stock
dish soup 10: 1 stock
open 0 11:30
want soup 20
= batches broth: 4
= left bones: 6
= served soup: 12

# all of it runs at each service on what has come since
buy bones 1
batch kettle: 1 bones -> 4 fat @600
all render: 1 fat -> 1 lard
dish bun 5: 1 lard
hand fat 2 made 0
open 0 11:30 17:00
want bun 2 4
run kettle 0 x1 at 06:00
= served bun: 2 4

# all of it runs on a day without service
hand fat 4 made 0
all render: 1 fat -> 0.5 lard
dish bun 5: 1 lard
noon 0
open 1 11:30
want bun 0 5
= served bun: 0 2
= entries lard: 0/12:00 came 2, 1/11:30 took 2

# a share of what a step that takes all gives is lost
hand fat 10 made 0
all render: 1 fat -> 0.5 lard
dish bun 5: 1 lard
open 0 11:30
want bun 5
burn render 0 0.4
= made lard: 3
= lost lard: 2
= served bun: 3
= because bun 0: lard used up; render of 0 lost 2 of 5 lard

# a step to order makes what is asked for, less what is on hand
buy chiles 1
hand chile 3 made 0
order puree: 2 chiles -> 1 chile
dish taco 5: 1 chile
open 0 11:30
want taco 10
= served taco: 10
= batches puree: 7
= bought chiles: 14 on 0
= left chile: 0

# a chain to order nets at every stage
buy flour 1
hand dough 4 made 0
hand base 2 made 0
order knead: 1 flour -> 2 dough
order roll: 2 dough -> 1 base
dish pie 5: 1 base
open 0 11:30
want pie 5
= batches roll: 3
= batches knead: 1
= bought flour: 1 on 0
= served pie: 5

# what comes with what was ordered is used before more is made
buy hog 1
order carve: 1 hog -> 2 loin + 1 belly
dish chop 5: 1 loin
dish roll 5: 1 belly
open 0 11:30 17:00
want chop 4 0
want roll 1 3
= batches carve: 4
= bought hog: 4 on 0
= served roll: 1 3
= left loin: 4
= left belly: 0

# co-products are left as lots of their day
item belly keeps 1
buy hog 1
order carve: 1 hog -> 2 loin + 1 belly
dish chop 5: 1 loin
open 0 11:30
open 1 11:30
want chop 4 0
= binned belly: 2
= left belly: 0

# steps without a clock follow what they take, in whatever order they are declared
dish plate 5: 1 terrine
batch press: 1 meat -> 1 terrine
batch kettle: 1 bones -> 4 meat @180
buy bones 1
open 0 11:30
want plate 4
run press 0 x4
run kettle 0 x1 at 06:00
= ran 0: 4 at 0/09:00
= served plate: 4

# a step without a clock does not wait for what was to come after the first service
buy bones 1
hand meat 1 made 0
batch kettle: 1 bones -> 4 meat @360
batch press: 1 meat -> 1 terrine
dish plate 5: 1 terrine
open 0 11:30
open 1 11:30
want plate 4 4
run kettle 0 x1 at 06:00
run press 0 x4
run press 1 x4
= ran 1: 1 at 0/00:00 for lack of meat
= ran 2: 4 at 1/00:00
= served plate: 1 4

# it waits for what is late
buy bones 1
batch kettle: 1 bones -> 4 meat @180
batch press: 1 meat -> 1 terrine
batch slice: 1 terrine -> 1 slices
dish plate 5: 1 slices
open 0 11:30 17:00
want plate 2 4
run kettle 0 x1 at 06:00 late 240
run press 0 x4
run slice 0 x4
= ran 0: 1 at 0/10:00
= ran 1: 4 at 0/13:00
= ran 2: 4 at 0/13:00
= served plate: 0 4
= because plate 0: slices used up; slice of 0 late with slices until 0/13:00; press of 0 late with terrine until 0/13:00; kettle of 0 late with meat until 0/13:00

# it waits for what was to come last night and comes this morning
buy bones 1
batch kettle: 1 bones -> 4 meat @60
batch press: 1 meat -> 1 terrine
dish plate 5: 1 terrine
open 0 11:30
open 1 11:30
want plate 0 4
run kettle 0 x1 at 22:00 late 180
run press 1 x4
= ran 1: 4 at 1/02:00
= served plate: 0 4

# it waits for a step that takes all
hand fat 4 made 0
all render: 1 fat -> 0.5 lard
batch bake: 1 lard -> 3 buns
dish bun 5: 1 buns
open 0 11:30
want bun 6
run bake 0 x2
= ran 0: 2 at 0/11:30
= served bun: 6

# late, the service before it goes without
buy bones 1
batch kettle: 10 bones -> 8 stock @540
dish soup 10: 2 stock
open 0 11:30
open 1 11:30 17:00
want soup 0 4 4
run kettle 0 x1 at 22:30 late 300
= ran 0: 1 at 1/03:30
= served soup: 0 0 4
= because soup 1: stock used up; kettle of 0 late with stock until 1/12:30

# a share of a batch is lost after its inputs are in
buy bones 1
batch kettle: 10 bones -> 8 stock + 4 fat
dish soup 10: 1 stock
open 0 11:30
want soup 16
run kettle 0 x2 lost 0.5
= bought bones: 20 on 0
= made stock: 8
= lost stock: 8
= lost fat: 4
= served soup: 8
= because soup 0: stock used up; kettle of 0 lost 8 of 16 stock
= entries stock: 0/00:00 came 8, 0/00:00 failed 8, 0/11:30 took 8

# a yield by day
buy bones 1
batch kettle: 10 bones -> 8 stock + 4 fat
dish soup 10: 1 stock
open 0 11:30
want soup 8
run kettle 0 x1 yield 0 0.75
= made stock: 6
= made fat: 4
= served soup: 6
= because soup 0: stock used up; kettle of 0 gave 2 of 8 less stock

# bought on the last arrival day that keeping allows
buy hen 2 keeps 3 arrives 1 4
dish plate 10: 1 hen
open 0 11:30
open 1 11:30
open 2 11:30
open 3 11:30
open 4 11:30
open 5 11:30
want plate 1 2 3 4 5 6
= served plate: 0 2 3 4 5 6
= bought hen: 9 on 1, 11 on 4
= because plate 0: hen used up; no delivery of hen

# it does not keep until the next arrival
buy hen 2 keeps 2 arrives 0 3
dish plate 10: 1 hen
open 0 11:30
open 1 11:30
open 2 11:30
open 3 11:30
want plate 1 1 1 1
= served plate: 1 1 0 1
= bought hen: 2 on 0, 1 on 3
= because plate 2: hen used up; no delivery of hen

# what is on hand is used before more is bought
buy hen 2 keeps 3
hand hen 5 made -1
dish plate 10: 1 hen
open 0 11:30
open 1 11:30
open 2 11:30
want plate 2 2 2
= bought hen: 2 on 2
= served plate: 2 2 2

# less came than was ordered
buy hen 2 keeps 3
short hen
deliver hen 0 6 of 10
deliver hen 1 5 of 5
dish plate 10: 1 hen
open 0 11:30
open 1 11:30
want plate 10 5
= bought hen: 6 of 10 on 0, 5 on 1
= served plate: 6 5
= because plate 0: hen used up; 6 of 10 hen came on 0

# a delivery that was not asked for is one all the same
buy hen 2 keeps 3
deliver hen 0 4 of 0
dish plate 10: 1 hen
open 0 11:30
want plate 3
= bought hen: 4 of 0 on 0
= left hen: 1

# short, a batch is short, and so is the dish
buy bones 1 arrives 0
short bones
deliver bones 0 5 of 10
batch kettle: 10 bones -> 8 stock
batch reduce: 8 stock -> 2 glaze
dish plate 10: 1 glaze
open 0 11:30
want plate 2
run kettle 0 x1
run reduce 0 x1
= ran 0: 0.5 at 0/00:00 for lack of bones
= ran 1: 0.5 at 0/00:00 for lack of stock
= served plate: 1
= because plate 0: glaze used up; reduce of 0 did 0.5 of 1 for lack of stock; kettle of 0 did 0.5 of 1 for lack of bones; 5 of 10 bones came on 0

# found spoiled in the morning
hand stock 6 made 0
dish soup 10: 1 stock
open 0 11:30
open 1 11:30
want soup 2 2
spoil stock 1
= served soup: 2 0
= binned stock: 4
= because soup 1: stock used up; 4 stock spoiled on 1
= entries stock: 0/11:30 took 2, 1/00:00 spoiled 4
`)
}

func TestBatchesTakeWhatIsMadeToOrder(t *testing.T) {
	runScripts(t, `
# a batch has made to order what it takes, less what is on hand
buy chiles 1
buy pork 1
hand puree 1 made 0
order blend: 2 chiles -> 1 puree
batch adobo: 4 pork + 3 puree -> 5 adobada
dish taco 5: 1 adobada
open 0 11:30
want taco 10
run adobo 0 x2
= batches blend: 5
= bought chiles: 10 on 0
= served taco: 10
= left puree: 0

# no more is made than the other lines leave a use for
buy chiles 1
hand pork 4 made 0
order blend: 2 chiles -> 1 puree
batch adobo: 4 pork + 3 puree -> 5 adobada
dish taco 5: 1 adobada
open 0 11:30
want taco 10
run adobo 0 x2
= batches blend: 3
= ran 0: 1 at 0/00:00 for lack of pork
= left puree: 0

# short of what the order takes
hand chiles 4 made 0
buy pork 1
order blend: 2 chiles -> 1 puree
batch adobo: 4 pork + 1 puree -> 5 adobada
dish taco 5: 1 adobada
open 0 11:30
want taco 20
run adobo 0 x4
= ran 0: 2 at 0/00:00 for lack of puree
= because taco 0: adobada used up; adobo of 0 did 2 of 4 for lack of puree; chiles used up; too little chiles planned

# a batch waits for what the order takes
buy bones 1
buy pork 1
batch kettle: 1 bones -> 8 stock @120
order thin: 1 stock -> 1 broth
batch braise: 4 pork + 2 broth -> 5 carnitas
dish taco 5: 1 carnitas
open 0 11:30
want taco 20
run braise 0 x4
run kettle 0 x1 at 06:00
= ran 0: 4 at 0/08:00
= served taco: 20
`)
}

func TestPerpetualStock(t *testing.T) {
	runScripts(t, `
# what the next batch takes as seed is kept back from the dishes
buy bones 1
hand stock 4 made -1
batch kettle: 10 bones + 2 stock< -> 6 stock @300
dish soup 10: 1 stock
open 0 17:00
open 1 17:00
want soup 20 20
run kettle 0 x2 at 06:00
run kettle 1 x1 at 06:00
= ran 0: 2 at 0/06:00
= ran 1: 1 at 1/06:00
= served soup: 10 6
= left stock: 0
= because soup 0: stock used up; too little stock planned

# a run behind the last day keeps its seed
buy bones 1
hand stock 2 made -1
batch kettle: 10 bones + 2 stock< -> 6 stock @300
dish soup 10: 1 stock
open 0 17:00
want soup 20
run kettle 0 x1 at 06:00
run kettle 1 x1 at 06:00
= served soup: 4
= left stock: 2

# a seed is not of the day's own batch
buy bones 1
hand stock 2 made -1
batch kettle: 10 bones + 2 stock< -> 6 stock
dish soup 10: 1 stock
open 0 17:00
want soup 20
run kettle 0 x1 at 06:00
run kettle 0 x1 at 09:00
= ran 0: 1 at 0/06:00
= ran 1: 0 at 0/09:00 for lack of stock

# with half the seed, half the batch
buy bones 1
hand stock 1 made -1
batch kettle: 10 bones + 2 stock< -> 6 stock @300
dish soup 10: 1 stock
open 0 17:00
open 1 17:00
want soup 20 20
run kettle 0 x1 at 06:00
run kettle 1 x1 at 06:00
= ran 0: 0.5 at 0/06:00 for lack of stock
= served soup: 1 6
= bought bones: 5 on 0, 10 on 1

# the seed that was lost breaks the chain
item stock keeps 2
buy bones 1
hand stock 2 made -1
batch kettle: 10 bones + 2 stock< -> 6 stock @300
dish soup 10: 1 stock
open 0 17:00
open 1 17:00
want soup 4 4
run kettle 0 x1 at 06:00 lost 1
run kettle 1 x1 at 06:00
= served soup: 0 0
= ran 1: 0 at 1/06:00 for lack of stock
= because soup 1: stock used up; kettle of 0 lost 6 of 6 stock

# two perpetual stocks that start at the same minute each keep their own seed
buy bones 1
hand dark 2 made -1
hand light 2 made -1
batch darken: 10 bones + 2 dark< + 2 light? -> 6 dark @300
batch lighten: 10 bones + 2 light< -> 6 light @300
open 0 17:00
run lighten 0 x1 at 06:00
run darken 0 x1 at 06:00
= ran 0: 1 at 0/06:00
= ran 1: 1 at 0/06:00
= used darken 2 0: 0

# at one minute, a seed is kept for a run that comes later in the flow, however the runs are listed
buy bones 1
hand dark 2 made -1
hand light 2 made -1
batch lighten: 10 bones + 2 light< -> 6 light @300
batch glaze: 1 dark + 1 bones -> 1 sheen
batch darken: 10 bones + 2 dark< + 1 bones + 1 bones -> 6 dark @300
open 0 17:00
run darken 0 x1 at 06:00
run glaze 0 x2 at 06:00
run lighten 0 x1 at 06:00
= ran 2: 1 at 0/06:00
= ran 1: 0 at 0/06:00 for lack of dark
= ran 0: 1 at 0/06:00

# all of it leaves the seed
buy bones 1
hand stock 2 made -1
batch kettle: 10 bones + 2 stock< -> 6 stock @300
all reduce: 2 stock -> 1 glaze
dish plate 10: 1 glaze
open 0 17:00
want plate 5
run kettle 0 x1 at 06:00
run kettle 1 x1 at 06:00
= made glaze: 2
= left stock: 2
`)
}

func TestService(t *testing.T) {
	runScripts(t, `
# fair: all shares rise together
hand stock 12 made 0
dish soup 10: 1 stock
dish stew 10: 2 stock
open 0 11:30
want soup 12 
want stew 6
= served soup: 6
= served stew: 3
= share soup 0: 0.5
= share stew 0: 0.5

# fair: who needs nothing scarce is served in full, and who is stopped leaves the rest to the others
hand stock 6 made 0
hand meat 12 made 0
dish soup 10: 1 stock
dish stew 10: 1 stock + 1 meat
dish taco 10: 1 meat
dish bread 2: 1 flour
buy flour 1
open 0 11:30
want soup 6
want stew 6
want taco 12
want bread 9
= served soup: 3
= served stew: 3
= served taco: 9
= served bread: 9
= share soup 0: 0.5
= share stew 0: 0.5
= share taco 0: 0.75

# first: one rank after another, those without a rank last
rule first
hand stock 9 made 0
dish soup 10 rank 2: 1 stock
dish stew 10 rank 1: 1 stock
dish cup 5: 1 stock
dish mug 5: 1 stock
open 0 11:30
want cup 4
want soup 6
want stew 5
want mug 4
= served stew: 5
= served soup: 4
= served cup: 0
= served mug: 0
= share cup 0: 0

# first: equals of a rank share fairly
rule first
hand stock 9 made 0
dish soup 10 rank 1: 1 stock
dish stew 10 rank 1: 1 stock
open 0 11:30
want soup 12
want stew 6
= served soup: 6
= served stew: 3

# a dish goes on with its substitute
hand shoulder 5 made 0
hand hen 2 made 0
dish pozole 10: 1 shoulder or 2 hen
open 0 11:30
want pozole 10
= served pozole: 6
= used pozole 0 0: 5
= used pozole 0 1: 2
= entries hen: 0/11:30 took 2 instead
= because pozole 0: shoulder used up; too little shoulder planned

# a substitute that can be bought
hand shoulder 5 made 0
buy hen 3
dish pozole 10: 1 shoulder or 2 hen
open 0 11:30
want pozole 10
= served pozole: 10
= bought hen: 10 on 0

# a step to order goes on with its substitute
hand lard 3 made 0
hand oil 2 made 0
order fry: 1 lard or 0.5 oil -> 1 chips
dish basket 5: 1 chips
open 0 11:30
want basket 9
= served basket: 7
= used fry 0 1: 2

# it goes without what is optional
hand stock 4 made 0
hand cilantro 2 made 0
dish soup 10: 1 stock + 1 cilantro?
open 0 11:30
want soup 4
= served soup: 4
= used soup 1 0: 2

# an optional line with a substitute
hand stock 4 made 0
hand cilantro 2 made 0
hand parsley 1 made 0
dish soup 10: 1 stock + 1 cilantro or 1 parsley?
open 0 11:30
want soup 4
= served soup: 4
= used soup 1 0: 2
= used soup 1 1: 1

# what is on hand of a thing made to order is used though its step can't run
hand puree 3 made 0
order blend: 2 chiles -> 1 puree
hand chiles 4 made 0
dish taco 5: 1 puree
open 0 11:30
want taco 9
= served taco: 5
= because taco 0: puree used up; chiles used up; too little chiles planned

# portions are whole, and what rounding freed is offered round
hand stock 10 made 0
dish soup 10: 1 stock
dish stew 10: 1 stock
dish cup 5: 1 stock
open 0 11:30
want soup 7
want stew 7
want cup 7
= served soup: 4
= served stew: 3
= served cup: 3
= left stock: 0
= share soup 0: 0.47619

# what rounding freed goes to who has no other choice, not to who went on with a substitute
hand stock 11 made 0
buy water 1
dish soup 10: 1 stock
dish stew 10: 1 stock or 1 water
dish cup 5: 1 stock
open 0 11:30
want soup 7
want stew 7
want cup 7
= served soup: 4
= served stew: 7
= served cup: 3

# the smallest share is offered first
hand stock 5 made 0
dish soup 10: 1 stock
dish stew 10: 1 stock
open 0 11:30
want soup 4
want stew 5
= served soup: 2
= served stew: 3

# without rounding
fractions
hand stock 10 made 0
dish soup 10: 1 stock
dish stew 10: 1 stock
open 0 11:30
want soup 7
want stew 13
= served soup: 3.5
= served stew: 6.5

# a portion that needs the last of two choices is not served with both
hand shoulder 2.5 made 0
hand hen 0.5 made 0
dish pozole 10: 1 shoulder or 1 hen
open 0 11:30
want pozole 5
= served pozole: 3

# the first service takes what it can, and the second what is left
hand stock 10 made 0
dish soup 10: 1 stock
open 0 11:30 17:00
want soup 8 8
= served soup: 8 2

# a day without service
hand stock 5 made 0
dish soup 10: 1 stock
noon 0
open 1 11:30
want soup 3 3
= served soup: 0 3

# a portion that is made in batches
buy flour 1
batch bake: 1 flour -> 6 pie
dish pie 4: 1 flour
open 0 11:30
want pie 2
= served pie: 2

# a dish that nothing makes
item crust
dish tart 4: 1 crust
open 0 11:30
want tart 2
= served tart: 0
= because tart 0: crust used up; too little crust planned

# a co-product stays for who needs it
hand hog 4 made 0
order carve: 1 hog -> 2 loin + 1 belly
dish chop 5: 1 loin
dish roll 5: 1 belly
open 0 11:30
want chop 10
want roll 4
= served chop: 8
= served roll: 4
= batches carve: 4

# nothing went wrong
buy bones 1
batch kettle: 10 bones -> 8 stock
dish soup 10: 2 stock
open 0 11:30
want soup 4
run kettle 0 x1
= because soup 0: all served
= share soup 0: all

# the chain goes through what is made to order
buy bones 1
batch kettle: 10 bones -> 8 stock
order reduce: 4 stock -> 1 glaze
order lacquer: 1 glaze -> 1 sheen
dish plate 10: 1 sheen
open 0 11:30
want plate 4
run kettle 0 x1 lost 0.5
= served plate: 1
= because plate 0: sheen used up; glaze used up; stock used up; kettle of 0 lost 4 of 8 stock

# the yield of a step that takes all
hand fat 10 made 0
all render: 1 fat -> 0.5 lard
dish bun 5: 1 lard
open 0 11:30
want bun 9
= served bun: 5
= because bun 0: lard used up; too little lard planned

# what a step that takes all lacks
buy bones 1
batch kettle: 10 bones -> 8 fat
all render: 1 fat -> 0.5 lard
dish bun 5: 1 lard
open 0 11:30
want bun 4
run kettle 0 x1 lost 0.5
= served bun: 2
= because bun 0: lard used up; fat used up; kettle of 0 lost 4 of 8 fat

# what else a step that takes all lacks
hand fat 8 made 0
hand salt 1 made 0
all render: 1 fat + 0.25 salt -> 0.5 lard
dish bun 5: 1 lard
open 0 11:30
want bun 4
= served bun: 2
= because bun 0: lard used up; salt used up; too little salt planned
`)
}

// Yesterday's stock is what was there before today: what is on hand and was made today is not, though no batch of today made it.
func TestWhatWasMadeTodayIsNotYesterdays(t *testing.T) {
	runScripts(t, `
# made today
item stock keeps 4
batch kettle: 10 water + 2 stock< -> 8 stock
buy water 0
run kettle 0 x1
open 0 11:30
dish soup 5: 1 stock
want soup 4
hand stock 5 made 0
= ran 0: 0 at 0/00:00 for lack of stock
= served soup: 4

# made yesterday
item stock keeps 4
batch kettle: 10 water + 2 stock< -> 8 stock
buy water 0
run kettle 0 x1
open 0 11:30
dish soup 5: 1 stock
want soup 4
hand stock 5 made -1
= ran 0: 1 at 0/00:00
= served soup: 4
`)
}

// Three portions, however the stock for them is parted between two pots: a portion that the rounding of sums leaves a hair short
// is whole.
func TestAHairShortOfAPortionIsAPortion(t *testing.T) {
	for n := range 30 {
		runScripts(t, fmt.Sprintf(`
# %d of 30
dish soup 5: 0.1 stock or 0.1 broth
open 0 11:30
want soup 4
hand stock %g made -1
hand broth %g made -1
= served soup: 3
`, n, float64(n)/100, 0.3-float64(n)/100))
	}
}
