### The delivery note that goes with what is handed off to a partner. Capitals are read at a glance.

delivery-title = Delivery note
delivery-number = No. { $number }
delivery-from = From
delivery-to = To
delivery-visit = Visit
delivery-visit-when = { $day }, { $begins } to { $ends } ({ $zone })
delivery-visit-then = { $day }, { $begins }
delivery-contact = Contact
delivery-appointment = Appointment
delivery-driver = Who drives
delivery-no-contact = none was noted
delivery-has-gone = This was handed off. The note says what went.

## What may not go any more, or is to be told

delivery-struck-title = DO NOT BRING – TAKE THESE OUT:
delivery-told-title = TELL THE PARTNER – SET ASIDE SINCE IT WENT:
delivery-struck-line = { $units } × { $food } (lot { $lot }, { $place }): { $why }.
delivery-struck-after = They are struck from the note below. It was checked again when this was printed, { $day }.
delivery-checked = Everything below was checked again when this was printed, { $day }.

## The lines

delivery-column-food = Food
delivery-column-gtin = GTIN and batch
delivery-column-units = Units
delivery-column-net = Net kg
delivery-column-date = Date on the label
delivery-gtin = GTIN { $gtin }
delivery-batch = Batch { $batch }
delivery-no-gtin = no GTIN known
delivery-kilograms = { NUMBER($kilograms, minimumFractionDigits: 2, maximumFractionDigits: 2) }
delivery-date-use_by = Use by { $day }
delivery-date-best_by = Best by { $day }
delivery-date-sell_by = Sell by { $day }
delivery-date-packed_on = Packed on { $day }
delivery-date-unlabelled = no date
delivery-contains = Contains:
delivery-may-contain = May contain:
delivery-none-declared = No allergen is declared on its label.
delivery-others-not-known = Others not known: read the label.
delivery-not-read = Its label was not read here: read it for allergens.
delivery-by-kind = By its kind it contains:
delivery-stored = Stored at room temperature: { $place }. Lot { $lot }.
delivery-total = In all: { $lines ->
    [1] 1 line
   *[other] { $lines } lines
}, { $units ->
    [1] 1 unit
   *[other] { $units } units
}, { $kilograms } kg net.

## At the end

delivery-not-nonprofit = This partner was not entered as a nonprofit.
delivery-handed-over = Handed over by
delivery-received = Received by
delivery-signed-on = Day and time
delivery-not-taken = Not taken, and why
delivery-page = Delivery note { $number } – page { $page } of { $pages }
