### Whom the food suits: households, their warnings, and what may go in a parcel.

nav-households = Households
nav-parcels = Parcels
households-title = Households
households-private = What people must not eat is theirs. That you opened this page is on record, as every reading of it is.
households-no-need = nothing to leave out
households-none-after = There are no more.
households-first = From the first
households-next = Those after parcel { $number }
column-needs = Must not have, and needs

warnings-title = { $name }: what to mind
warnings-parcel = Parcel { $number }, as of { $day }.
warnings-needs = What must be minded here
warnings-no-needs = Nobody here has said that they must avoid anything.
warnings-open = { $count ->
    [0] There are no open warnings.
    [1] 1 warning is open.
   *[other] { $count } warnings are open.
}
warnings-of-which-noted = { $count ->
    [1] 1 more was seen and answered for; it stands all the same.
   *[other] { $count } more were seen and answered for; they stand all the same.
}
warnings-group-not = Not for this home, or for somebody in it ({ $count })
warnings-group-doubt = Not known: words in doubt ({ $count })
warnings-group-unread = Not known: labels nobody read ({ $count })
warnings-group-beware = It suits, with a warning ({ $count })
warnings-unread-hint = Until somebody reads their labels, none of these may go to this home.
warnings-whole-home = (the whole home)
warnings-for = (for { $names })
warnings-for-some = { $count ->
    [1] (for one person there)
   *[other] (for { $count } people there)
}
warnings-stands = Where it stands:
warnings-place = { $place } ({ $units })
warnings-more-places = { $places ->
    [1] and 1 more place
   *[other] and { $places } more places
}
warnings-instead = Give instead: { $food }, in { $place }, good until { $day }.
warnings-instead-undated = Give instead: { $food }, in { $place }.
warnings-instead-none = Nothing of its kind here suits instead.
warnings-take-note = I have seen this
warnings-take-note-of-one = I have seen one of these
warnings-which = Which one?
warnings-one-of = { $food }, in { $place }
warnings-why = Why may it stand? It is kept for good, with your name.
warnings-save-note = Keep that I have seen it
warnings-noted = It is kept that you have seen it. The warning stands.
warnings-noted-by = Seen by { $by } on { $day }:
warnings-gone = There is no such warning now: something has changed. Look at the list again.
warnings-suits = { $count ->
    [0] What suits
    [1] What suits: 1 food
   *[other] What suits: { $count } foods
}
warnings-care-team = { $count ->
    [one] Ask your care team: 1 food
   *[other] Ask your care team: { $count } foods
}
warnings-care-team-hint = Nothing is known against these but a medical diet, and nothing here clears a food for one.
warnings-suits-food = { $food } ({ $units })
warnings-suits-none = Nothing in stock is known to suit everybody here.

parcels-title = Parcels
parcels-list = What each parcel must not contain
parcels-ask = May this go in a parcel?
parcels-number = Parcel number
parcels-what = What is it?
parcels-what-hint = Its name in a word or two, or the number under its barcode.
parcels-ask-now = May it go in?
parcels-answer = “{ $asked }”, in parcel { $number }.
parcels-answer-title = { $answer }: “{ $asked }”, in parcel { $number }
parcels-must-not = Must not go into parcel { $number }:
parcels-not-for-all = But not for everybody there:
parcels-candidates = { $count ->
    [1] What that may be
   *[other] What that may be: { $count } labels
}
parcels-candidates-hint = Follow the place it stands in to ask of that lot alone.
parcels-more-candidates = { $count ->
    [1] and 1 more.
   *[other] and { $count } more.
}
parcels-none-here = none in stock
parcels-next = Those after parcel { $number }
column-must-not = Must not contain
may-go-yes = Yes, it may go in
may-go-no = No, it must not go in
may-go-not_known = Not known: leave it out
may-go-sign-yes = ✓
may-go-sign-no = ✕
may-go-sign-not_known = ?
fault-parcel-number = Write the number of the parcel.
fault-parcel-what = Write what it is in a few plain words, or the number under its barcode.
