### What can go to partners before it spoils: the plan, and what other floors would free.

nav-surplus = Surplus
surplus-nav = Surplus and partners
surplus-nav-surplus = What can go
surplus-nav-promises = Promises
surplus-nav-partners = Partners
surplus-nav-given = What was given
surplus-nav-calendar = Calendar
surplus-nothing-changed = Nothing was changed.

## The plan

surplus-title = What can go to partners before it spoils
surplus-what = This is about food that passes its date before { $day }.
surplus-no-partners = Nobody is entered yet who takes food.
surplus-add-partner = Add a partner
surplus-totals = { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $kilograms } kg and { NUMBER($kcal) } kcal could go, in { $visits ->
    [1] 1 visit
   *[other] { $visits } visits
}.
surplus-nothing = { $visits ->
    [0] Nothing can go: no visit can still be promised in that time.
    [1] Nothing can go on the 1 visit that can still be promised in that time.
   *[other] Nothing can go on the { $visits } visits that can still be promised in that time.
}
surplus-tick-hint = This is only a plan. What is promised is reserved, and counts in no days any more, though it stands here until its visit: in an emergency let the promise lapse, and it counts again. Take the tick out of a visit that is not to be promised.
surplus-visit-goes = { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $kilograms } kg, { NUMBER($kcal) } kcal.
surplus-visit-short = { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $kilograms } kg.
surplus-promise-by = It can be promised until { $day }.
surplus-room-kg = It has room for { NUMBER($kilograms) } kg.
surplus-room-packs = { $units ->
    [1] It takes 1 pack.
   *[other] It takes { NUMBER($units) } packs.
}
surplus-promise-visit = Promise this visit
surplus-column-packs = Packs
surplus-column-net = Net
surplus-promise = Promise what is ticked
surplus-changed-since = The plan is not as it was when you opened this page: somebody changed the store, or a visit is over. Look at the plan as it is now, then send it again.
fault-surplus-nothing = No visit of this plan is ticked.

surplus-stopped = Nothing was changed. Ask about food that passes its date sooner, about one partner alone, or with a floor of 0 days: each takes less.

## What stays

surplus-stays = What stays, and why
surplus-stays-nothing = Nothing that passes its date in that time stays here.
surplus-good-until = good until { $day }
surplus-why-never_goes = { $units ->
    [1] Goes to nobody: 1 pack
   *[other] Goes to nobody: { $units } packs
}
surplus-why-no_window = { $units ->
    [1] No visit comes in time: 1 pack
   *[other] No visit comes in time: { $units } packs
}
surplus-why-refused = { $units ->
    [1] Not taken by those with a visit in time: 1 pack
   *[other] Not taken by those with a visit in time: { $units } packs
}
surplus-why-capacity = { $units ->
    [1] No more room on the visits that could take it: 1 pack
   *[other] No more room on the visits that could take it: { $units } packs
}
surplus-why-floor = { $units ->
    [1] Needed here, so that everyone is fed for { $days } days: 1 pack
   *[other] Needed here, so that everyone is fed for { $days } days: { $units } packs
}
surplus-more-lots = { $lots ->
    [1] Show 1 more lot
   *[other] Show { $lots } more lots
}

## How good the plan is

surplus-aims = How good this plan is
surplus-aims-what = It is made for these aims, one after the other: each is given up for none of those after it.
surplus-aim-energy = The most energy of what would spoil: { NUMBER($figure) } kcal. No plan saves more.
surplus-aim-energy-within = The most energy of what would spoil: { NUMBER($figure) } kcal. No plan saves more than { $percent } % above that.
surplus-aim-visits = The fewest visits: { $figure }. No plan that saves as much needs fewer.
surplus-aim-visits-within = The fewest visits that were found: { $figure }. { $least ->
    [0] Fewer are not ruled out.
    [1] Fewer are not ruled out.
   *[other] Fewer than { $least } are ruled out.
}
surplus-aim-earliness = The earliest hand-off: in { NUMBER($figure, minimumFractionDigits: 1, maximumFractionDigits: 1) } days, as a mean by energy. No such plan is earlier.
surplus-aim-earliness-within = The earliest hand-off that was found: in { NUMBER($figure, minimumFractionDigits: 1, maximumFractionDigits: 1) } days, as a mean by energy. An earlier one is not ruled out.

## Other floors

surplus-floors-title = How much more with another floor?
surplus-floors-what = { $days ->
    [0] This store holds nothing back for everyone to stay fed. With a higher floor less can go.
    [1] Nothing goes that would leave everyone fed for fewer than 1 day. With a lower floor more can go.
   *[other] Nothing goes that would leave everyone fed for fewer than { $days } days. With a lower floor more can go.
}
surplus-floors-days = Which floors, in days?
surplus-floors-hint = Up to six, with commas between them. 0 holds nothing back. Nothing is changed by asking.
surplus-floors-ask = Work them out
surplus-floors-again = Ask for other days
surplus-floors-back = Back to the plan
surplus-column-floor = Everyone stays fed for
surplus-column-goes = Can go
surplus-floor-none = no floor
surplus-floor = { $days ->
    [1] 1 day
   *[other] { $days } days
}
surplus-floor-own = the store’s own
surplus-floor-below = From { $day } on they are fed for fewer days anyway.
surplus-floor-goes = { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $visits ->
    [1] 1 visit
   *[other] { $visits } visits
}
surplus-figure-kcal = { NUMBER($kcal) } kcal
surplus-floor-more = { $kilograms } kg more
surplus-floor-less = { $kilograms } kg less
surplus-floor-same = no more
fault-surplus-floors = Write up to six different numbers of days, whole and from 0 to 730, with commas between them.

## Another question

surplus-ask-title = Ask it another way
surplus-floor-days = For how many days must everyone stay fed? (may stay empty)
surplus-floor-days-hint = { $days ->
    [1] Empty: the store’s own floor of 1 day.
   *[other] Empty: the store’s own floor of { $days } days.
}
surplus-until = Food that passes its date before which day? (may stay empty)
surplus-until-hint = Empty: the round after the next one.
surplus-to-whom = To which partners?
surplus-to-whom-hint = None ticked: to any of them.
surplus-ask = Plan again
fault-surplus-floor = Write whole days, from 0 to 730, or nothing.
fault-surplus-until = Choose a day from 2010 to 2090, or none.
