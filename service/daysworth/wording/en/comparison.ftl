### Two scenarios side by side, and a week that was kept beside today.

nav-compare = Compare
versus-title = Compare: what if?
versus-what = Choose how things are, and how they might be instead. Both are counted from the same shelves.
versus-ask-title = What is to be compared
versus-ask = Compare
versus-side-first = First
versus-side-other = Instead
versus-side-then = Then
versus-side-today = Today
versus-yes = yes
versus-no = no
versus-weeks = Or compare a past week with today
versus-weeks-hint = The store is kept as it was whenever a week’s notice is first posted, for two years.
versus-no-weeks = No week was kept yet.
kept-week-title = { $week } and today
kept-week-days = Then is { $before }; today is { $after }.
kept-week-back = Other weeks, and other comparisons
compared-title = What changes
compared-side = { $side }:
compared-rewritten = A household that was erased since is left out of it.
compared-nobody = On one side nobody has a need to meet, so there are no days to compare.
compared-same = Everyone is fed for { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days, either way.
compared-longer = Everyone is fed for { NUMBER($after, minimumFractionDigits: 1, maximumFractionDigits: 1) } days instead of { NUMBER($before, minimumFractionDigits: 1, maximumFractionDigits: 1) }: { NUMBER($change, minimumFractionDigits: 1, maximumFractionDigits: 1) } more.
compared-shorter = Everyone is fed for { NUMBER($after, minimumFractionDigits: 1, maximumFractionDigits: 1) } days instead of { NUMBER($before, minimumFractionDigits: 1, maximumFractionDigits: 1) }: { NUMBER($change, minimumFractionDigits: 1, maximumFractionDigits: 1) } fewer.
compared-longer-at-least = Everyone is fed for at least { NUMBER($after, minimumFractionDigits: 1, maximumFractionDigits: 1) } days instead of { NUMBER($before, minimumFractionDigits: 1, maximumFractionDigits: 1) }: at least { NUMBER($change, minimumFractionDigits: 1, maximumFractionDigits: 1) } more.
compared-shorter-at-least = Everyone is fed for { NUMBER($after, minimumFractionDigits: 1, maximumFractionDigits: 1) } days instead of at least { NUMBER($before, minimumFractionDigits: 1, maximumFractionDigits: 1) }: at least { NUMBER($change, minimumFractionDigits: 1, maximumFractionDigits: 1) } fewer.
compared-everyone-fed = Days for which everyone is fed
compared-next-level = Days at which the next run out
compared-person-days = Person-days, shared fairly
compared-on-paper = Person-days on paper
compared-water = Days of stored water
compared-drinking = Days of it for drinking alone
compared-households = Households
compared-people = People
compared-units = Units on hand
compared-holders = Who runs out soonest
compared-more-groups = { $groups ->
    [1] and 1 more group
   *[other] and { $groups } more groups
}
compared-homes = { $homes ->
    [1] 1 household whose days change
   *[other] { $homes } households whose days change, the most lost first
}
compared-more-homes = { $homes ->
    [1] and 1 more household
   *[other] and { $homes } more households
}
compared-unchanged = { $homes ->
    [1] 1 household has as many days either way.
   *[other] { $homes } households have as many days either way.
}
compared-foods = { $foods ->
    [1] 1 food of which there is more or less
   *[other] { $foods } foods of which there are more or fewer units, the most energy lost first
}
compared-more-foods = { $foods ->
    [1] and 1 more food
   *[other] and { $foods } more foods
}
compared-passed = { $lots ->
    [1] 1 lot whose date passed in between
   *[other] { $lots } lots whose date passed in between
}
compared-passed-hint = What is not still there was eaten in time or thrown out: that is not known from this.
column-figure = Figure
column-change = Change
column-still = Still there
figure-none = –
figure-same = same
figure-more = +{ $figure }
figure-less = −{ $figure }
figure-more-days = +{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) }
figure-less-days = −{ NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) }
