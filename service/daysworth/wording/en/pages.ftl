### What the pages say: to volunteers who log, and to coordinators who read.

skip-to-main = Skip to the page
cautions = Take care

## Refusals

refused-400 = That could not be read
refused-401 = This does not open anything here
refused-403 = That is not yours to do
refused-404 = There is nothing here
refused-405 = That page takes nothing of the kind
refused-409 = The store does not allow it
refused-412 = It was changed since you looked
refused-413 = That is more than fits
refused-422 = Something there cannot be used
refused-429 = Too many tries
refused-500 = Something went wrong here, and it is not your fault
refused-503 = The store is busy: wait a little, then load the page again
refused-stopped = This took too long to work out, and was stopped
refused-noted = It was noted. Look whether what you did is there before you do it again.
refused-nothing-lost = Nothing was changed, and nothing that was saved is lost.

## Signing in

front-title = Daysworth
front-what = Pooled emergency food, counted in days.
front-store = Which store?
front-store-hint = Its short name, as it stands in addresses: elm-street, for example.
front-go = Go to its sign-in
front-volunteers = To log what you put on a shelf, scan the code that hangs there, or follow the link you were given.
sign-in-title = Sign in to { $store }
sign-in-name = The name you sign in with
sign-in-password = Password
sign-in = Sign in
sign-in-how = This is for coordinators. If you have no name and password, or lost them, ask the person who runs this machine. Volunteers do not sign in: they follow the link they were given.
sign-in-refused = Name and password do not belong together. Try again.
sign-in-too-many = Too many sign-ins failed. Wait fifteen minutes, then try again.
sign-out = Sign out
signed-in-as = { $name }
nav-label = Pages
nav-summary = How we stand
nav-notice = This week’s notice
nav-links = Links for logging

## Logging a donation

log-title = Put on the shelf: { $place }
log-what = What is it?
log-what-hint = A few letters of its name, or the number under its barcode.
log-units = How many packs?
log-by-the-case = Count by the case instead
log-cases = Cases
log-units-per-case = Packs in a case
log-kind = The label says
kind-use_by = use by
kind-best_by = best by
kind-sell_by = sell by
kind-packed_on = packed on
kind-unlabelled = no date
log-date = The date on it
log-date-hint-month = As it is printed. Month first: 03/04/27 is March 4. A month alone is enough: 04/2027.
log-date-hint-day = As it is printed. Day first: 03/04/27 is 3 April. A month alone is enough: 04/2027.
log-date-hint-year = As it is printed. Year first: 27/04/03 is 3 April 2027. A month alone is enough: 2027-04.
log-anything-wrong = Is anything wrong with it?
log-damaged = Damaged: bulging, leaking, deeply dented or rusted through
log-home_canned = Home-canned
log-unreadable = The label cannot be read
log-giver = From whom? (may stay empty)
log-giver-hint = It stays on record: “Wednesday table” is enough.
log-save = Save this box
log-save-changed = Save with my changes
field-what = What is it?
field-units = How many packs?
field-cases = Cases
field-units_per_case = Packs in a case
field-kind = The label says
field-date = The date on it
field-giver = From whom?
log-saved = Saved:
log-box = { $units ->
    [1] 1 pack of { $name }
   *[other] { $units } packs of { $name }
}
log-dated-use_by = use by { $day }
log-dated-best_by = best by { $day }
log-dated-sell_by = sell by { $day }
log-dated-packed_on = packed on { $day }
log-dated-unlabelled = no date
log-undated = no date
log-from = from { $giver }
log-just-logged = { $count ->
    [0] Just logged here
    [1] Just logged here: 1 box
   *[other] Just logged here: { $count } boxes
}
log-nothing-yet = Nothing yet. What you save appears here, and you can take it back for a day.
log-same-again = Same again
log-take-back = Take it back
log-taken-back = Taken back: it does not count.
log-was-taken-back = Taken back: { $box }.
log-not-taken-back = { $name } was not taken back: somebody has moved, counted or changed it since. Ask a coordinator.
log-not-taken-back-here = That box cannot be taken back here any more. Ask a coordinator.
log-was-taken-back-before = That box was logged before and taken back, so it is not there. Save it once more to log it.
log-older = These are the newest { $most }.
log-show-older = Show the older ones of the last day
log-faults = { $count ->
    [1] One thing needs another look. What you typed is still here; nothing was saved yet.
   *[other] { $count } things need another look. What you typed is still here; nothing was saved yet.
}

## What to look at before a box is saved

review-title = Look at this first. It is not saved yet.
review-which = Which of these is “{ $what }”?
review-none = Nothing in the list is called “{ $what }”.
review-more = There are more. Type another letter or two to find them.
review-not-in-list = Not in the list: save it as “{ $what }”, and a coordinator will say what it is
review-date = Which day is { $date }?
review-date-hint = Look at the pack again. If it is the first of these, later dates are read in the same order, and said back to you in words.
review-save = Save it
review-save-anyway = Save it all the same
review-leave-out = Leave it out: start with an empty form
review-or-change = Or change it below.
before-keeps_too_short = It keeps until { $day }, which is less than six months. It may be better eaten now than put up.
before-past_date = Its last good day was { $day }. It will not be counted; when in doubt, throw it out.
before-damaged = It is damaged. Do not open it, and do not taste it. Throw it out, away from the rest. It will not be counted.
before-home_canned = Home-canned food is not for the pool: nobody can see whether it is safe. Please do not put it on the shelf. If you save it, it is set aside and not counted.
before-label_unreadable = Its label cannot be read, so nobody with an allergy may have it.
before-same = The same was logged here a moment ago. Is this another box?
before-scanned-date = The barcode says { $scanned }, and you typed { $typed }. Look at the pack again.
before-packed_ahead = It says that it was packed on a day that is still to come. Look at the date again.
before-far_ahead = That date is more than thirty years ahead. Is the year right? A code stamped on a tin is not a date.
warned-keeps_too_short = Keeps less than six months.
warned-past_date = Past its last good day: not counted.
warned-undated = No date: not counted until somebody dates it.
warned-damaged = Damaged: not counted, and to be thrown out unopened.
warned-home_canned = Home-canned: set aside, and not counted.
warned-label_unreadable = Label not readable: not for anyone with an allergy.
warned-packed_ahead = The packing date is still to come.
warned-far_ahead = The date is more than thirty years ahead.
warned-not_in_list = Not in the list: it waits for a coordinator to say what it is.

## What is wrong with a field

fault-what-missing = Write what it is, in your own words if need be.
fault-words = That has signs in it that cannot be kept, or is too long. Write plain words on one line.
fault-units-missing = How many packs are there?
fault-units = Write a whole number, from 1 to 100,000.
fault-units-many = That is more than 100,000 packs at once. Is there a slip in it?
fault-units-twice = That is not what the cases come to. Give one or the other.
fault-kind = Choose what the label says.
fault-kind-of-date = You typed a date. Choose what the label calls it: best by, use by, sell by or packed on.
fault-date-missing = Type the date as it is printed, or choose “no date”.
fault-sent-before = This form was sent before, with something else in it. If this is another box, save it once more.
fault-question = That cannot be asked: { $where } { $what }
fault-label = Say who will have the link, in 1 to 120 characters.
fault-last-day = Choose a day from today to 400 days ahead.
fault-place = Choose a place.

## How we stand

summary-title = { $store }: how we stand
summary-question = How many days can all of us eat?
summary-as-of = As of { $day }.
summary-people = { $people ->
    [1] 1 person
   *[other] { $people } people
} in { $households ->
    [1] 1 household
   *[other] { $households } households
}; { $units ->
    [1] 1 unit
   *[other] { $units } units
} on hand.
summary-headlines = The figures that matter most
summary-nobody = Nobody here has a need to meet, so there are no days to count.
summary-days = { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days
summary-at-least = at least { $days } days
summary-everyone-fed = Everyone is fed for so long, from food that suits each of them and is in date.
summary-person-days = { $days ->
    [1] 1 person-day
   *[other] { $days } person-days
}
summary-shared-fairly = Shared fairly, in all. A person-day is one person’s food for one day. Those who run out first come first; the others eat on from what these cannot use.
summary-water = Of stored water, { $litres } litres in date; { NUMBER($drinking, minimumFractionDigits: 1, maximumFractionDigits: 1) } days if it is for drinking alone.
summary-water-overdue = { $litres } litres of water are past their date. Replaced or made safe, they add { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
summary-through = That is through { $day }, today being the first day, if food that suits those who can eat little else is kept for them.
summary-short = { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days short of the floor of { $floor }.
summary-not-a-day = That is not one whole day.
summary-counted-with = Counted with: { $said }.
scene-heating = something to heat with
scene-no-heating = nothing to heat with
scene-running-water = running water
scene-no-running-water = no running water
scene-shared = shared stock only
scene-all-stock = shared and households’ own stock
scene-full = full portions
scene-ration = { $percent } % portions
scene-flat = 2,100 kcal for everyone
scene-places-lost = { $places ->
    [1] 1 place lost
   *[other] { $places } places lost
}
scene-away = { $homes ->
    [1] 1 household away
   *[other] { $homes } households away
}
summary-ask-another-way = Ask it another way
summary-today = To see to now
today-past = { $lots ->
    [1] 1 lot past its last good day: take it off the shelf
   *[other] { $lots } lots past their last good day: take them off the shelf
}
today-damaged = { $lots ->
    [1] 1 damaged lot: throw it out unopened
   *[other] { $lots } damaged lots: throw them out unopened
}
today-undated = { $lots ->
    [1] 1 undated lot: read its date
   *[other] { $lots } undated lots: read their dates
}
today-quarantined = { $lots ->
    [1] 1 lot set aside: decide on it
   *[other] { $lots } lots set aside: decide on them
}
today-waiting = { $lots ->
    [1] 1 lot without a name: say what it is
   *[other] { $lots } lots without a name: say what they are
}
summary-held-by-water = Held down by the stored water: with enough of it, everyone is fed for { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
summary-if-read = If every label not yet read proved suitable: { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days for everyone.
summary-others-at-least = Everyone else is fed for at least { $days } days.
summary-next-level = Next to run out: at { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days. More food for the first alone does not feed everyone beyond that.
today-labels = { $labels ->
        [one] One label is worth reading first
       *[other] { $labels } labels are worth reading first
    }
summary-labels = Labels to read first
summary-labels-hint = Do not give these to those who run out first before the label is read: it is not known whether they suit. The days are each food’s alone, and do not add up.
summary-label-packs = { $units ->
        [one] one pack, { $place }.
       *[other] { $units } packs, first in { $place }.
    }
summary-label-adds = If it suits, everyone is fed for { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) } days.
summary-held-private = What people must not eat is theirs: it is left off the paper when you print this.
summary-homes = Days by household, worst first
summary-no-homes = There are no households yet.
summary-bars-alt = Bars of the days by household; the table below has the same figures.
summary-bars-more = { $more ->
    [1] 1 more household stands in the table below.
   *[other] { $more } more households stand in the table below.
}
summary-figures = The figures
summary-floor = { $days ->
    [1] In bold: below the floor of 1 day.
   *[other] In bold: below the floor of { $days } days.
}
summary-no-need = no need of its own
summary-round = { $units ->
    [1] Passes its date before the next round on { $day }: 1 unit
   *[other] Passes its date before the next round on { $day }: { $units } units
}
summary-round-nothing = Nothing does.
summary-list-past = Past its last good day, not counted: { $lots ->
    [1] 1 lot
   *[other] { $lots } lots
}
summary-list-damaged = Damaged, to be thrown out unopened: { $lots ->
    [1] 1 lot
   *[other] { $lots } lots
}
summary-list-undated = Undated, not counted until somebody dates it: { $lots ->
    [1] 1 lot
   *[other] { $lots } lots
}
summary-list-quarantined = Set aside until somebody decides: { $lots ->
    [1] 1 lot
   *[other] { $lots } lots
}
summary-waiting = Waits for you to say what it is: { $lots ->
    [1] 1 lot
   *[other] { $lots } lots
}
summary-more-lots = { $lots ->
    [1] and 1 more lot.
   *[other] and { $lots } more lots.
}
summary-version = Counted at version { $version } of the store, by release { $release }. Days are rounded down.
column-household = Household
column-parcel = Parcel
column-people = People
column-days = Days
column-last-good-day = Last good day
column-units = Units
column-food = Food
column-words = Called
column-place = Place
column-for = For
column-until = Until
column-state = State
column-made = Made on
figure-days = { NUMBER($days, minimumFractionDigits: 1, maximumFractionDigits: 1) }
figure-at-least = { $days }+
figure-no-date = no date

switches-title = Ask it another way
switch-heating = We can heat food
switch-running-water = Water runs from the tap
switch-all-stock = Count what households keep for themselves, too
switch-basis = What each person needs
switch-reference = By age, sex and activity
switch-flat = 2,100 kcal for everyone
switch-ration = How much each person gets
switch-ration-part = { $percent } %
switch-places-lost = Places that are lost
switch-away = Households that are away
switches-ask = Count again

## Links for logging

links-title = Links for logging
links-what = Whoever has a link can log boxes to one place, see what was logged with it in the last day, and take it back. They see nothing else, and need no account.
links-make = Make a link
links-no-places = There is no place yet to log to.
links-place = To which place?
links-label = Who will have it?
links-label-hint = A name or a group: “Wednesday table”. What is logged stands in the ledger under it.
links-last = Until which day?
links-issued = { $count ->
    [0] No link was made yet
    [1] The link that was made
   *[other] The { $count } links that were made
}
links-withdraw = Withdraw
links-withdrawn = withdrawn
links-expired = expired
made-title = Log what you put on the shelf: { $place }
made-qr-alt = A QR code that opens the page for logging
made-how = Point your phone’s camera at the code, then follow the link. No account is needed.
made-until = For { $label }, until { $day }.
made-done = The link is made.
made-once = It is shown this once: print this page now, or send the address on. If it is lost, make another.
made-secret = Whoever has the address can log here. If it goes astray, withdraw the link.
made-back = Back to the links

## The week's notice

notice-page-title = This week’s notice
notice-page-kept = The notice of { $week }, as it was first posted.
notice-page-preview = The notice of { $week }, as it would be posted now. It has not been posted yet.
notice-page-how = It goes out by mail when the weekly command on the machine runs; whoever runs the machine sets that up.

## One lot, to be put right

lot-title = { $name }: put right
lot-where = { $units ->
    [1] 1 unit
   *[other] { $units } units
} in { $place }.
lot-label-use_by = Use by { $day }.
lot-label-best_by = Best by { $day }.
lot-label-sell_by = Sell by { $day }.
lot-label-packed_on = Packed on { $day }.
lot-no-date = No date: not counted until somebody dates it.
lot-last-good-day = Its last good day is { $day }.
lot-damaged = Damaged: to be thrown out unopened.
lot-quarantined = Set aside: not counted until somebody decides.
lot-name = Say what it is
lot-what = What is it?
lot-what-hint = A few letters of its name in the list, or the number under its barcode.
lot-save-name = That is what it is
lot-date = Read its date
lot-save-date = That is its date
lot-release = It was set aside: let it count again
lot-save-release = Let it count again
lot-throw-out = Throw it out
lot-why = Why?
lot-save-throw-out = These are thrown out
lot-entries = What happened to it
lot-done-name = It has a name now.
lot-done-date = Its date is put right.
lot-done-throw-out = They are thrown out.
lot-done-release = It counts again.
why-named = said what it is
why-dated = read its date again
fault-no-such-food = Nothing in the list is called so. A coordinator’s token can add a food over the API.
fault-why = Say why, in plain words on one line.
fault-changed-since = Somebody changed it since you opened this page. Look at it as it is now, then try again.
column-day = Day
column-what = What
column-by = By
column-why = Why
entry-received = received
entry-counted = counted
entry-moved = moved
entry-opened = opened
entry-redated = date put right
entry-repacked = repacked
entry-shared = shared
entry-unshared = kept back
entry-given = given to the store
entry-returned = returned
entry-eaten = eaten
entry-quarantined = set aside
entry-released = let count again
entry-discarded = thrown out
entry-corrected = corrected
entry-packed = put into a kit
entry-unpacked = taken out of a kit
entry-handed_off = handed off
