### Why coverage is what it is: who runs out first, where the days go, what spoils, meals, the mix.

## What runs out first, and why

runs-out-title = What runs out first, and why
runs-out-group = { $members ->
    [1] 1 person
   *[other] { $members } people
}
runs-out-need = : { $need }
runs-out-all = { $members ->
    [1] 1 person, the only one with a need
   *[other] All { $members } people together
}
runs-out-through = Fed in full through { $day }.
runs-out-not-a-day = Not fed in full for a single day.
runs-out-more = { $groups ->
    [1] and 1 more group on the same day.
   *[other] and { $groups } more groups on the same day.
}
runs-out-together = These groups run out on the same day: everyone is fed for longer only when all of them are given more.
runs-out-wish-list = Make a list of what to bring, for everyone to last as long as you wish
held-water = Too little stored water: if water were no limit, +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-water-at-least = Too little stored water: if water were no limit, at least +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-protein = Too little protein in what is left for them: if protein were no limit, +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-protein-at-least = Too little protein in what is left for them: if protein were no limit, at least +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-extras = Of what is known to suit them, too much is oil, sugar, sauce or drink, which can be only a small part of a diet: were that no limit, +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-extras-at-least = Of what is known to suit them, too much is oil, sugar, sauce or drink, which can be only a small part of a diet: were that no limit, at least +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-dates = Some of it passes its date before they can eat it: if no date ran out, +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-dates-at-least = Some of it passes its date before they can eat it: if no date ran out, at least +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-unread = There is food here that nobody has yet checked for { $groups ->
    [1] them
   *[other] those who run out first
}: if every unread label proved to suit, everyone would be fed for { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-unread-at-least = There is food here that nobody has yet checked for { $groups ->
    [1] them
   *[other] those who run out first
}: if every unread label proved to suit, everyone would be fed for at least { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
held-nothing-else = There is simply not enough food that suits them.
another-day = { $members ->
    [1] To buy or be given, sealed, beyond what is on the shelves. Any one of these is one more day for this person. Read the label of what is brought.
   *[other] To buy or be given, sealed, beyond what is on the shelves. Any one of these is one more day for these { $members } people. Read the label of what is brought.
}
another-day-if-suits = { $members ->
    [1] To buy or be given, sealed, beyond what is on the shelves. Any one of these is one more day for this person, if its label proves that it suits.
   *[other] To buy or be given, sealed, beyond what is on the shelves. Any one of these is one more day for these { $members } people, if its label proves that it suits them.
}
another-day-food = { $name }, { $kcal } kcal a pack
another-day-packs = { $packs ->
    [1] 1 pack or more
   *[other] { $packs } packs or more
}
column-bring = For a day, bring

## Where the days go

steps-title = Where the days go
steps-hint = In person-days, from all on the shelves to what feeds people.
steps-horizon = { $days ->
    [1] No more than 1 day is counted.
   *[other] No more than { $days } days are counted.
}
figure-whole = { $figure }
figure-lost = −{ $figure }
summary-where-they-go = Where the days go
column-step = Step
column-person-days = Person-days
column-lost = Lost
step-on_paper = On paper
step-usable = Usable as things are
step-in_date = In date
step-balanced = As a balanced diet
step-suitable = That people may eat
step-fair = Shared fairly
steps-on-paper = All the food on the shelves, whatever its date and whoever may eat it.
steps-less = { $lost } less:
steps-or = , or
steps-nothing-lost = { $step ->
    [suitable] Nothing is lost, taken all together: what some may not eat, others can.
   *[other] Nothing more is lost.
}
steps-at-most = At most: how near a plan comes was too much to work out.
lost-heat = it cannot be eaten without heat
lost-kept = it is kept by households for themselves
lost-place = it stands in a place that is lost
lost-away = it belongs to a household that is away
lost-other = it cannot be used as things are
lost-in_date = it is past its date, has none, or passes it before anybody could eat it
lost-balanced = it is oil, sugar, sauce or drink beyond a small part of the food, or there is too little protein or water to go with it
lost-suitable = it holds what somebody must not eat, or nobody has read its label for them
lost-fair = that is what it costs to feed those first who run out first

summary-compare = Compare two ways, or a past week
summary-more-homes = { $homes ->
    [1] and 1 more household
   *[other] and { $homes } more households
}
summary-round-hint = A round is when the shelves are gone through. Eat these first.

## What will spoil uneaten

spoils-title = Will pass its date uneaten: { $days ->
    [0] less than 1 person-day
    [1] 1 person-day
   *[other] { $days } person-days
}
spoils-at-least-title = Will pass its date uneaten: at least { $days ->
    [1] 1 person-day
   *[other] { $days } person-days
}
spoils-at-least-hint = Which lots is too much to work out for a store of this size.
spoils-hint = { $days ->
    [1] Left over in the next day even if everyone eats as above and what spoils first is eaten first. Hand it on before.
   *[other] Left over in the next { $days } days even if everyone eats as above and what spoils first is eaten first. Hand it on before.
}

## Meals and the mix

meals-title = Complete meals, cold
meals-hint = This counts meals that can be put together, not days; nobody’s share. A meal is a serving each of protein, starch, and fruit or vegetables, without heat or added water.
meals-more = { $groups ->
    [1] and 1 more group, with as many meals each or more.
   *[other] and { $groups } more groups, with as many meals each or more.
}
column-group = Group
column-meals-each = Meals each
column-scarcest = Runs out first
scarcest-protein = protein
scarcest-starch = starch
scarcest-fruit_or_vegetable = fruit and vegetables
mix-title = What the food is made of
mix-hint = Shared as above, for everyone together. Beside it is what relief food is planned with; for sodium, the most that an adult should eat.
mix-protein = Energy from protein
mix-fat = Energy from fat
mix-sodium = Sodium
mix-percent = { $percent } %
mix-planned-range = { $least } to { $most } %
mix-mg = { $mg } mg a day each
mix-not-known = not known
mix-sources = Sources: { $planned }. { $sodium }.
mix-without-fat = Foods that give { $percent } % of the energy have no figure for fat: the figure is that of the others.
mix-without-sodium = Foods that give { $percent } % of the energy have no figure for sodium: the figure is that of the others.
column-here = Here
column-planned = Planned with
