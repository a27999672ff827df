### Labels that are printed and stuck on kits. Capitals are read from across a room.

## Sheets, as they stand in a list to choose from

kit-label-sheet-letter-1 = US Letter, one label a page: 8.5 × 11 in (216 × 279 mm)
kit-label-sheet-letter-2 = US Letter, 2 labels a page: 8.5 × 5.5 in (216 × 140 mm) each
kit-label-sheet-letter-4 = US Letter, 4 labels a page: 4.25 × 5.5 in (108 × 140 mm) each
kit-label-sheet-letter-6 = US Letter, 6 labels a page: 4 × 3⅓ in (102 × 85 mm) each
kit-label-sheet-a4-1 = A4, one label a page: 210 × 297 mm
kit-label-sheet-a4-2 = A4, 2 labels a page: 210 × 148.5 mm each
kit-label-sheet-a4-4 = A4, 4 labels a page: 105 × 148.5 mm each
kit-label-sheet-a4-8 = A4, 8 labels a page: 99.1 × 67.7 mm each

## What is never left out

kit-label-title = Labels of kits
kit-label-pull-by = Eat or renew by
kit-label-serves = { $persons ->
    [1] For 1 person
   *[other] For { $persons } people
}
kit-label-serves-parcel = { $persons ->
    [1] For 1 person – for parcel { $parcel }
   *[other] For { $persons } people – for parcel { $parcel }
}
kit-label-needs-opener = NEEDS A CAN OPENER
kit-label-no-opener = No opener needed
kit-label-contains = Contains:
kit-label-may-contain = May contain:
kit-label-not-known = Allergens not known: read every label.
kit-label-others-not-known = Other allergens not known: read every label.
kit-label-none-found = No allergen was found on its labels. Read every label all the same.

## What else there is room for

kit-label-contents = In the bag:
kit-label-content = { $units } × { $food }, { $size }
kit-label-wares = With it:
kit-label-steps = How to serve
kit-label-step = { $number }.
kit-label-warming = May be warmed:
kit-label-no-warming = Nothing in it is to be warmed.
kit-label-waived = Set aside for this kit:
kit-label-packed = Packed { $day }. The whole kit weighs { $mass }.
kit-label-figures = Each person has { $energy } kcal and { $protein } g of protein.
kit-label-cautions = Cautions:
kit-label-more = More at the QR code.

## What cannot be printed

kit-label-refused-none = There is no kit to print a label for.
kit-label-refused-many = At most { $most } labels are printed at once; there are { $labels }.
kit-label-refused-position = The first label stands at a place from 1 to { $labels } on this sheet.
kit-label-refused-room = The label of kit { $kit } does not fit on this sheet with what may never be left out. Choose larger labels.
kit-label-refused-address = The address of kit { $kit } is too long for a QR code of this size. Choose larger labels.
