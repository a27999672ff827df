### The weekly notice, and the bars of households' days.
### Days that come as a figure with tenths are rounded down before they come here.

## The top of the notice

notice-title = { $store }: weekly notice
notice-week = Week of { $fromDay } to { $toDay } ({ $week })
notice-subject = { $store }: { $seeTo }, { $fed } (week of { $week })
notice-subject-fed = { $days } for everyone
notice-subject-nobody = nobody has a need to meet
notice-subject-lots = { $lots ->
    [0] nothing to see to
    [1] 1 lot to see to
   *[other] { $lots } lots to see to
}
notice-subject-water = water to see to
notice-subject-visits = { $visits ->
    [1] 1 visit to bring food to
   *[other] { $visits } visits to bring food to
}

## What to do this week

notice-this-week = This week
notice-nothing-to-do = Nothing on the shelves needs seeing to this week.
notice-nothing-pressing = { $days ->
    [0] Nothing on the shelves is past its last good day. What else needs seeing to is listed below.
    [1] Nothing on the shelves is past its last good day or within 1 day of it. What else needs seeing to is listed below.
   *[other] Nothing on the shelves is past its last good day or within { $days } days of it. What else needs seeing to is listed below.
}
notice-past = Past its last good day: take it off the shelf
notice-eat-first = { $days ->
    [1] Eat first: last good day within 1 day
   *[other] Eat first: last good day within { $days } days
}

## Days of food

notice-days-of-food = Days of food
notice-days = { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days
notice-days-at-least = { $days ->
    [1] at least 1 day
   *[other] at least { $days } days
}
notice-fed = Everyone is fed for { $days }.
notice-nobody = Nobody has a need to meet, so there are no days to count.
notice-floor-met = { $floor ->
    [1] That meets the floor of 1 day.
   *[other] That meets the floor of { $floor } days.
}
notice-below-floor = { $floor ->
    [1] That is below the floor of 1 day.
   *[other] That is below the floor of { $floor } days.
}
notice-floor-far = The floor is { $floor } days; days are counted no further than { $horizon }.
notice-person-days = { $days ->
    [1] Shared fairly, there is 1 person-day of food in all.
   *[other] Shared fairly, there are { $days } person-days of food in all.
}
notice-no-last = There is no earlier notice to compare with.
notice-last = { $personDays ->
    [1] The last notice, for the week of { $week }, said { $days } for everyone and 1 person-day.
   *[other] The last notice, for the week of { $week }, said { $days } for everyone and { $personDays } person-days.
}
notice-last-nobody = In the last notice, for the week of { $week }, nobody had a need to meet.

## Households below the floor

notice-homes-below = { $floor ->
    [1] Households with fewer days than the floor of 1 day
   *[other] Households with fewer days than the floor of { $floor } days
}
notice-column-household = Household
notice-column-days = Days
notice-more-households = { $more ->
    [1] and 1 more household
   *[other] and { $more } more households
}

## Lots

notice-coming-up = Coming up: last good day { $fromDays } to { $toDays } days from now
notice-column-food = Food
notice-column-units = Units
notice-column-place = Where
notice-column-day = Last good day
notice-no-date = no date
notice-units = { $units }
notice-lot = { $units } × { $food } ({ $place })
notice-lot-dated = { $day }: { $lot }
notice-lots = { $lots ->
    [1] 1 lot
   *[other] { $lots } lots
}
notice-more-lots = { $more ->
    [1] and 1 more lot
   *[other] and { $more } more lots
}

## What else needs seeing to

notice-round = Before the next round
notice-round-due = { $units ->
    [1] 1 unit in { $lots } passes its last good day before the next round, on { $day }.
   *[other] { $units } units in { $lots } pass their last good day before the next round, on { $day }.
}
notice-water = Stored water to see to
notice-water-overdue = { $litres ->
    [0] Less than 1 litre is past its date or has none.
    [1] 1 litre is past its date or has none.
   *[other] { $litres } litres are past their date or have none.
}
notice-water-adds = Replaced or made safe, it adds { $days } of water.
notice-undated = Undated: in no plan until somebody dates it
notice-damaged = Damaged: discard it unopened
notice-quarantined = Set aside until somebody decides
notice-waiting = Waiting for a coordinator to say what it is

## Visits to partners

notice-visit-when = { $day }, { $begins } to { $ends }
notice-visit-over = { $day }, { $begins } to { $ends } on { $last }
notice-bring = Promised to { $partner }: { $when }
notice-bring-totals = { $units ->
    [1] 1 unit
   *[other] { $units } units
}, { $kilograms } kg net, { $kilocalories } kcal.
notice-kilograms = { NUMBER($kilograms, minimumFractionDigits: 2, maximumFractionDigits: 2) }
notice-bring-not-all = { $units ->
    [1] 1 unit of it may not go any more: the delivery note says which, and why.
   *[other] { $units } units of it may not go any more: the delivery note says which, and why.
}
notice-bring-overdue = Its day is past: record what was handed off, or let the promise lapse.
notice-more-foods = { $more ->
    [1] and 1 more food
   *[other] and { $more } more foods
}
notice-promised-too = Promised to partners besides
notice-more-promised = { $more ->
    [1] and 1 more visit
   *[other] and { $more } more visits
}
notice-others-receive = Other visits that food can be promised for
notice-receives = { $when }: { $partner }
notice-receives-by = { $when }: { $partner }. Promise by { $by }.
notice-more-visits = { $more ->
    [1] and 1 more visit
   *[other] and { $more } more visits
}

## The end of the notice

notice-about = About this notice
notice-computed = Computed by Daysworth { $release } from version { $version } of the store, as of { $day }.
notice-preview = This is a preview: it has not been kept, and may still change.
notice-cautions = Cautions

## Bars of households' days

bars-title = Days of food by household, worst first
bars-days = { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) }
bars-at-least = { $days }+
bars-at-least-note = { $days ->
    [1] +: at least 1 day, as far as is counted
   *[other] +: at least { $days } days, as far as is counted
}
bars-no-need = no need of its own
bars-nobody = No household to show.
bars-floor = { $days ->
    [1] floor: 1 day
   *[other] floor: { $days } days
}
bars-more = { $more ->
    [1] and 1 more household
   *[other] and { $more } more households
}
