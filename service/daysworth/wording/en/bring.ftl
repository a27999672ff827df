### What to bring: worked out by coordinators, and shown to anyone.

## For coordinators

nav-wish-list = What to bring
wish-title = What to bring
wish-what = The least to add so that everyone can eat for as many days as you wish. Nobody has read the labels of what is yet to be bought, so each food is counted only for those whom it suits whatever its label says.
wish-found-met = { $target ->
    [1] Everyone can eat for 1 day already: nothing need be brought.
   *[other] Everyone can eat for { $target } days already: nothing need be brought.
}
wish-found-listed = { $target ->
    [1] With this, everyone can eat for 1 day.
   *[other] With this, everyone can eat for { $target } days.
}
wish-found-some_lack = { $target ->
    [1] With this, everyone but those named below can eat for 1 day.
   *[other] With this, everyone but those named below can eat for { $target } days.
}
wish-days = Everyone can eat for { $before } days now, and for { $after } days with it.
wish-keeps-until = Keeps until about
wish-totals = { $units ->
    [one] { $units } pack, { $kilograms } kg.
   *[other] { $units } packs, { $kilograms } kg.
}
wish-least-mass = Nothing lighter is enough.
wish-least-units = Nothing with fewer packs is enough.
wish-least-cost = Nothing cheaper is enough.
wish-nearly = No list that is enough is smaller than this by more than a thousandth.
wish-lacking = Whom none of this helps for long enough
wish-lacking-need = { " " }({ $need })
wish-lacking-days = : { $days ->
    [1] 1 day at most.
   *[other] { $days } days at most.
}
wish-may-suit = Look for packs whose own label shows that they suit:
wish-some-of = Some of { $foods } more foods
wish-ask-title = Work it out
wish-target = For how many days is everyone to eat?
wish-least = What is to be least
wish-least-is-mass = Weight
wish-least-is-units = Number of packs
wish-usual = Only what ordinary shops usually have
wish-keeps = Only what keeps for longer than those days
wish-ask = Work it out

bring-publish-title = Publish it
bring-publish-hint = Anyone who has the address can then read it. It names foods, how many, how big and how long they keep, and your own words. It does not say for whom or why; but a list of nothing but rare foods can let people guess. Read it as a stranger would, change the numbers, empty a line to leave it out.
bring-title = Heading
bring-note = Note (when, where to)
bring-note-hint = No names, and nothing about anybody’s health.
bring-lines = Packs of each
bring-confirm-infants = It may name food for infants, which tells that some are fed here
bring-publish = Publish for anyone to read
bring-published-title = What is published
bring-published = { $title }:
bring-published-hint = Open it to see what others see, and send them its address. Publishing again replaces it at the same address. Once withdrawn it is gone, and the next list has another address.
bring-withdraw = Withdraw it
bring-none = Nothing is published.
bring-usual-title = What to bring to { $store }
fault-bring-title = Give it a heading of 1 to 120 characters, on one line.
fault-bring-note = A note is one line of at most 400 characters.
fault-bring-units = Write a whole number, or nothing to leave it out.
fault-bring-lines = Leave at least one food on the list, and at most 200.

## For anyone

bring-thanks = Thank you. Any part of this helps.
bring-how-many = How many
bring-each = Each about
bring-keeps = Keeps about
bring-months = { $months ->
    [one] { $months } month
   *[other] { $months } months
}
bring-mind = What to mind
bring-mind-1 = Sealed packs only, as they came from the shop.
bring-mind-2 = In date, and for as long as you can find.
bring-mind-3 = With the whole label on: somebody has to read what is in it.
bring-mind-4 = Nothing canned or bottled at home.
bring-mind-5 = No dented, bulging or rusty tins.
size-g = { $grams } g
size-kg = { $kilograms } kg
size-l = { $litres } L
