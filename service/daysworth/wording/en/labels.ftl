### What a label says: recording it, comparing it, and what it comes to.

label-says = What its label says
label-not-read = Nobody has read its label yet. Until somebody does, nobody who must avoid something may have it.
label-disagree = The readings do not agree on:
label-stricter = Until you settle which hold, the stricter one holds.
label-comes-to = What it comes to
label-absence = “May contain” wording is voluntary: its absence proves nothing. Read the pack.
label-needs-food = Say what it is first. Until then nothing is counted by this label.
label-reading = Reading { $number }: { $by }, { $day }
label-reading-unsigned = Reading { $number }: nobody’s name is kept with it
label-is-whole = all of it was copied
label-is-part = a part of it: what is not in it may still be on the pack
label-packed-on = packed on { $day }
label-text-long = Its words ({ $characters } letters and signs)
label-no-text = Its words were not copied.
label-ticked-contains = The label says it contains:
label-ticked-may-contain = The label says it may contain:
label-ticked-free-from = The label claims, which proves nothing, that it is free from:
label-ticked-not-declared = Looked for and not found:
label-ticked-claims = The label claims:
label-settle = Which readings hold from now on?
label-keep = Reading { $number }
label-save-settle = These hold
fault-keep = Choose the readings that hold: at least one.

presence-contained = It contains
presence-possible = It may contain
presence-in_doubt = In doubt: a word on it may stand for
presence-absent = Not declared, though its law would have it declared
presence-not_listed = Not in its ingredient list; its law asks for no warning of it
presence-not_known = Not known

said-contains_statement = in the label’s “contains”
said-ingredients = among its ingredients
said-precaution = in the label’s warning
said-claim = as a claim

text-fault-empty = Nothing was copied, so it is not taken for the whole label.
text-fault-too_long = It is too long to be read, so it is not taken for the whole label.
text-fault-brackets = A bracket in it does not close, so it is not taken for the whole label.
text-fault-cut_off = It breaks off, so it is not taken for the whole label.
text-fault-illegible = A letter or word in it cannot be read, so it is not taken for the whole label.
text-fault-letters = It has letters or unseen signs that no label has, so it is not taken for the whole label.
text-fault-language = It is in a language that cannot be read here, so it is not taken for the whole label.
text-fault-no_list = No ingredient list was found in it, so it is not taken for the whole label.

## Recording it

label-record = Record what the label says
label-text = The label’s words
label-text-hint = The ingredient list and every statement, as printed. Write “[?]” for what cannot be read.
label-whole = All of it is copied: every line, to the last word
label-contains = The label says it contains
label-may-contain = The label says it may contain
label-law = Which kind of label is it?
label-law-hint = US packs have a “Nutrition Facts” box; packs of meat, poultry or egg have an inspection mark as well.
law-us_fda = US food label
law-us_meat = US meat, poultry or egg label
law-eu = European label
law-other = another or not known
law-none = no law named
label-language = Language
language-en = English
language-es = Spanish
language-fr = French
language-de = German
language-zh = Chinese
language-ar = Arabic
language-und = another
label-packed = Packed on (may stay empty)
label-save = Save what the label says
lot-done-label = What its label says is recorded.
lot-done-settle = It is settled which readings hold.
entry-label_read = label read
entry-label_same = label compared: the same
entry-label_settled = label settled

fault-label-long = That is longer than 20,000 letters and signs, and was cut there. Leave out what is no ingredient and no statement, then look whether all of it is copied.
fault-label-empty = Copy the label’s words, or tick what it says. Nothing was saved.
fault-label-whole = You ticked that all of it is copied, and there are no words yet.
fault-label-law = Choose one of these, or none.
fault-label-packed = Give a day from 2000 to today, or leave it empty.

## Volunteers who log

record-title = What does the label say?
record-box = Of { $box }, logged with this link.
record-read-before = { $count ->
    [1] It was read once already. What you save stands beside it; where the two differ, the stricter holds.
   *[other] It was read { $count } times already. What you save stands beside them; where they differ, the stricter holds.
}
record-back = Back without saving
record-faults = Look again at what is marked. What you typed is still here; nothing was saved yet.
log-record-label = Record its label
log-record-again = Read its label again
log-label-recorded = Recorded: what the label of { $name } says.
log-no-label-here = The label of that box cannot be recorded here any more. Ask a coordinator.

compare-title = Is one of these its label? Hold the pack beside it.
compare-yes = Yes: the same words, all of them
compare-of = Read by { $by } on { $day }
compare-of-nobody = Read before
compare-no = No, it has another label
compare-not = Nobody compared them
warned-label_not_compared = Its label was not compared: not known whom it suits.
compare-more = It goes on: this one is too long to compare here.

## Substances

substance-milk = milk
substance-egg = egg
substance-fish = fish
substance-crustacean = crustaceans (shrimp, crab)
substance-tree_nut = tree nuts
substance-wheat = wheat
substance-peanut = peanut
substance-soy = soy
substance-sesame = sesame
substance-gluten = gluten
substance-celery = celery
substance-mustard = mustard
substance-lupin = lupin
substance-mollusc = molluscs (mussels, squid)
substance-sulphite = sulphites
substance-meat = meat
substance-pork = pork
substance-gelatine = gelatine
substance-alcohol = alcohol
substance-honey = honey
substance-coconut = coconut
substance-oats = oats
substance-blood = blood
substance-insect = carmine or shellac
substance-animal_enzyme = animal rennet or enzymes
substance-animal_derived = an additive from animals
substance-grape_juice = grape juice or must
claim-gluten_free = gluten-free
claim-vegetarian = vegetarian
claim-vegan = vegan
claim-halal_certified = certified halal
claim-kosher_certified = certified kosher
claim-low_sodium = low sodium
