### Promises to partners, what became of them, and what was given in all.

## The list

promises-title = Promises to partners
promises-what = What is promised is reserved for its visit, and counts in no days. What does not go is free again. It stands here until then: in an emergency let the promise lapse, and it counts again.
promises-state-open = Waiting for their day
promises-state-kept = All of it went
promises-state-kept_in_part = Some of it went
promises-state-refused = Nothing was taken
promises-state-lapsed = Nothing was brought
promises-promised = Promised: { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $kilograms } kg.
promises-went = Went: { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $kilograms } kg.
promises-is-past = Its day is past: say what went.
promises-next = More promises
promises-none = There is none.
promises-look = See what can go
promises-overdue = Visits that nobody came to
promises-overdue-hint = What was promised for a visit that has been over for more than two days is free again when you press this. If something did go, record it first: open the promise above.
promises-lapse-overdue = Free what was promised for them
promises-done-promise = It is promised, and reserved for its visit.
promises-done-lapse-overdue = What was promised for visits long over is free again.

## One promise

promise-title = Promised to { $name }, { $when }
promise-for = Promised to { $name }
promise-made = Promised by { $by } on { $day }.
promise-driver = Who drives:
promise-appointment = Appointment:
promise-contact = Contact:
promise-note = Delivery note (PDF)
promise-hand-off = Record the hand-off
promise-hand-off-hint = Say above how many packs of each the partner took: 0 for what stayed. What did not go is free again. A reason that holds for all of it is written once, here.
promise-went = How many went?
promise-why-not = If not all: why?
promise-goes-whole = This goes as promised: a page has no room for more fields.
promise-day = On which day?
promise-why-all = Why not all of it? (may stay empty)
promise-save-hand-off = That is what went
promise-lapse = Nothing was brought
promise-lapse-hint = All of it is free again, and stays where it is.
promise-save-lapse = Let the promise lapse
promise-column-promised = Promised
promise-column-went = Went
promise-ended-kept = All of it went on { $day }.
promise-ended-kept_in_part = Some of it went on { $day }; the rest is free again.
promise-ended-refused = On { $day } the partner took nothing; all of it is free again.
promise-ended-lapsed = Nothing was brought; all of it is free again since { $day }.
promise-ended-by = Recorded by { $by }.
promise-ended-already = This promise was ended before: see below what became of it.
promise-done-hand-off = The hand-off is recorded.
promise-done-lapse = The promise has lapsed: all of it is free again.
fault-promise-units = Write a whole number, from 0 to what was promised.
fault-promise-why = Say why the rest did not go, here or once for all below.
fault-promise-day = Choose the day of the hand-off.

## What was given

given-title = What was given
given-between = From { $first } to { $last }.
given-to-partners = To partners
given-totals = { $units ->
    [1] 1 pack
   *[other] { $units } packs
}, { $kilograms } kg and { NUMBER($kcal) } kcal, in { $times ->
    [1] 1 hand-off
   *[other] { $times } hand-offs
}.
given-column-partner = Partner
given-column-month = Month
given-column-hand-offs = Hand-offs
given-column-rounds = Rounds
given-by-month = By month
given-packs = { $units ->
    [1] 1 pack
   *[other] { $units } packs
}
given-in-meals = { $meals ->
    [1] 1 “meal”
   *[other] { NUMBER($meals) } “meals”
}
given-at-rounds = At rounds
given-at-rounds-hint = What was handed off at a rotation round, to whoever was named there. It is in none of the figures above.
given-nothing = Nothing was, in that time.
given-meals = “Meals” are counted { $words }.
given-ask-title = Of another time
given-from = From which day?
given-to = To which day?
given-ask = Add it up
fault-given-day = Choose a day.
fault-given-order = This day is after the last one.
