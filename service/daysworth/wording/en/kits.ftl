### Kits: the list of those that are put up, those to take along, and the page of each.

nav-kits = Kits

## The list

kits-title = Kits that are put up
kits-what = Each is a complete meal in one bag, and counts like all other stock until it is eaten or unpacked.
kits-totals = { $kits ->
    [1] 1 kit
   *[other] { $kits } kits
}: { $meals ->
    [1] a meal for 1 person
   *[other] a meal for { $meals } people
}, { $kilograms } kg in all.
kits-due = { $kits ->
    [0] None is due before the next round, on { $day }.
    [1] 1 is due before the next round, on { $day }.
   *[other] { $kits } are due before the next round, on { $day }.
}
kits-changed = { $kits ->
    [1] 1 has changed since it was put up: look at it before anybody eats of it.
   *[other] { $kits } have changed since they were put up: look at them before anybody eats of them.
}
kits-list = By date, the earliest first
kits-serves = { $persons ->
    [1] For 1 person,
   *[other] For { $persons } people,
}
kits-for-home = { $name } (parcel { $number })
kits-parcel = parcel { $number }
kits-household = { $name },
kits-for-anybody = anybody it suits
kits-for-anybody-choice = Anybody
kits-stands = In { $place }.
kits-opener = Needs an opener.
kits-pull-by = Eat or renew by
kits-no-date = Something in it has no date: look at it.
kits-is-past = Its date is past.
kits-is-due = Due before the next round.
kits-is-changed = Changed since it was put up: look at it before anybody eats of it.
kits-next = More kits
kits-none = No kit is put up now. Kits are packed by a plan, over the API; once they are put up they stand here.
kits-kcal = { $kcal } kcal
figure-kg = { $kilograms } kg

## Labels

kits-labels = Print labels
kits-labels-hint = A PDF file in black and white, one label for each kit. The code on it opens the kit’s page here.
kits-sheet = Paper, and labels on it
kits-position = First free label on the sheet
kits-position-hint = 1 for a new sheet; they are counted row by row.
kits-label-place = Of the kits in
kits-label-everywhere = Every place
kits-print-labels = Make the labels
kits-labels-of-none = there is no such kit or place in this store
fault-kits-sheet = Choose a paper.
fault-kits-position = Write a whole number: a label that this sheet has.

## To take along

kits-to-take = Kits to take along
kits-take-what = If you have to leave: what needs no opener comes first, then what has the most energy for its weight, then what is lightest.
kits-by-date = All kits, by date
kits-take-anybody = In this order
kits-take-for = For { $name }, in this order
kits-taken = { $kits ->
    [1] 1 kit
   *[other] { $kits } kits
}: { $meals ->
    [1] a meal for 1 person
   *[other] a meal for { $meals } people
}, { $kilograms } kg.
kits-taken-net = Packs and bags weigh a little more.
kits-so-far = { $kilograms } kg with all before it.
kits-opener-inside = Needs an opener: one is in the bag.
kits-opener-take = Needs an opener: take one along.
kits-take-none = There is no kit to take along.
kits-left = What stays here, and why
kits-take-ask = Ask it another way
kits-take-whose = For whom?
kits-take-whose-hint = For a household: only what suits everyone in it.
kits-take-kilograms = How many kilograms can be carried? (may stay empty)
kits-take-now = Put them in order
fault-kits-household = Choose a household of this store.
fault-kits-kilograms = Write how many kilograms, from a little up to 1,000, or nothing.

## One kit

kit-title = { $name }: a kit
kit-packed = Put up on { $day } by { $by }.
kit-was-eaten = It was eaten on { $day }.
kit-was-unpacked = It was unpacked on { $day }: what was in it went back on the shelf.
kit-ended-already = Nothing was changed: this kit was eaten or unpacked before.
kit-contents-then = What was in it
kit-back = All kits
kit-changed = Look at it before anybody eats of it: something has changed
kit-mind = Mind this before anybody eats of it
kit-changed-hint = Look at what has changed. Then unpack it, or say below why it may be eaten as it is.
kit-for = For
kit-persons = { $persons ->
    [1] 1 person
   *[other] { $persons } people
}
kit-days-left = { $days ->
    [0] That is today.
    [1] 1 day from today.
   *[other] { $days } days from today.
}
kit-needs-opener = It needs an opener.
kit-no-opener = It needs no opener.
kit-care-team = Somebody there keeps a medical diet: ask whoever cares for them. Nothing here clears a food for one.
kit-steps = How to serve it
kit-no-steps = Nobody wrote down how.
kit-warmed = May be warmed:
kit-not-warmed = Nothing in it is to be warmed.
kit-contents = What is in it
kit-column-food = Food
kit-column-served = Eaten
kit-food = { $units } ×
kit-food-opener = needs an opener
kit-wares = With it:
kit-weighs = All of it:
kit-each = Each person has { $kcal } kcal and { $protein } g of protein.
kit-allergens = Allergens
kit-present = Contains
kit-may-contain = May contain
kit-not-known = Not known
kit-none-found = None was found on its labels.
kit-not-read = Not every label in it was read: read them before anybody with an allergy eats of it.
kit-warnings = What to mind for { $name }
kit-verdict-unsuitable = not suitable
kit-verdict-unknown = not known whether it suits
kit-verdict-suitable = it suits, with a warning
kit-rules = The rules of a complete meal
kit-rules-hint = As it was on { $day }, when it was put up.
kit-column-rule = Rule
kit-column-stands = How it stands
kit-rule-passed = Passed:
kit-rule-failed = Failed:
kit-rule-waived = Waived:
kit-rule-why = Why it was waived:
kit-looked = Looked at by { $by } on { $day }:
kit-deeds = Do something with it
kit-why = Why? (may stay empty)
kit-confirm = It may be eaten as it is
kit-confirm-hint = You answer for it: your name and your reason are kept. Warnings go on being shown.
kit-save-confirm = I have looked: it may be eaten
kit-eat = It was eaten
kit-eat-hint = All of it, at one meal. Its opener goes back to its place.
kit-eat-look-first = Something in it has changed: look at it first, then say that it may be eaten, or unpack it.
kit-save-eat = It was eaten whole
kit-unpack = Unpack it
kit-unpack-hint = What is in it goes back on the shelf of its place, each with its date.
kit-save-unpack = Unpack it
kit-move = Move it
kit-move-where = To which place?
kit-save-move = Move it there
kit-label = Print its label
kit-done-move = It is moved: it stands in { $place } now.
kit-done-unpack = It is unpacked. What was in it stands free in { $place }.
kit-done-eat = It is recorded as eaten.
kit-done-confirm = It is kept that you looked at it, and why it may be eaten.
