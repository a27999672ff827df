### Partners: who takes what the store can spare, what they take, and when.

## The list

partners-title = Partners who take food
partners-what = Food banks, kitchens and shelters that take what would else spoil here.
partners-none = There is no partner yet.
partners-next = Next:
partners-add = Add a partner
partners-save = Add this partner
partners-done-remove = The partner is removed. What went there stays on record.
partner-no-nonprofit = Not entered as a nonprofit.
partner-no-windows = It has no window yet: nothing can be promised to it.
partner-no-more = It does not open again.

## One partner

partner-title = { $name }: a partner
partner-name = What is it called?
partner-is-nonprofit = It is a nonprofit
partner-contact = Address, and whom to ask for (may stay empty)
partner-contact-hint = It stands on delivery notes and in the calendar.
partner-notes = Anything else to know (may stay empty)
partner-asks-label = It takes only food whose whole label was read here
partner-windows = When it takes food
partner-next = The next dates:
partner-rules = What it takes
partner-read-labels-only = Only food whose whole label was read here.
partner-never = Never to anybody: what is damaged or set aside, opened, repacked or filled here, undated, or past a use-by date.
partner-change = Change or remove this partner
partner-save = Save these
partner-remove = Remove this partner
partner-remove-hint = What went there stays on record. With a promise still waiting, it cannot be removed.
partner-surplus = What can go there
partner-done-add = The partner is added. Say next when it takes food.
partner-done-change = It is changed.
partner-done-rule = That is what it takes now.
partner-done-rule-remove = The rule is taken out.
partner-done-window = The window is added: see its next dates below.
partner-done-window-remove = The window is removed.
fault-partner-name = Write a name.

## A rule

rule-title = Say what it takes
rule-group = Of which foods?
rule-group-else = Everything else
rule-takes = How far?
rule-takes-before = Until so many days before the date on the label
rule-takes-past = Until so many days after a best-by or sell-by date
rule-takes-none = None of it
rule-days = So many days
rule-visit-kg = At most how many kg a visit? (may stay empty)
rule-visit-packs = At most how many packs a visit? (may stay empty)
rule-save = Save this rule
rule-remove = Take it out
fault-rule-group = Choose one of these.
fault-rule-takes = Choose one of these.
fault-whole-number = Write a whole number.
fault-kilograms = Write kilograms as a plain number, such as 40 or 12.5.

## A window

window-title = Add a window
window-kind = How often does it take food?
window-kind-weekly = On days of the week
window-kind-monthly_weekday = On the first, second … or last such day of a month
window-kind-monthly_day = On days of the month
window-kind-last_working_day = On the last working day of a month (no holidays are known)
window-kind-once = Once
window-weekdays = On which days of the week?
window-weekday-monday = Monday
window-weekday-tuesday = Tuesday
window-weekday-wednesday = Wednesday
window-weekday-thursday = Thursday
window-weekday-friday = Friday
window-weekday-saturday = Saturday
window-weekday-sunday = Sunday
window-nths = On which of them in a month?
window-nth-1 = first
window-nth-2 = second
window-nth-3 = third
window-nth-4 = fourth
window-nth-5 = fifth
window-nth--1 = last
window-month-days = On which days of the month?
window-month-days-hint = Such as 15, or 1, 15, last. Only where it goes by days of the month.
window-every = Every how many weeks or months?
window-every-hint = 1: each of them. 2: every second one.
window-from-day = From which day on?
window-time = At what time?
window-minutes = For how many minutes?
window-timezone = By the clock of which time zone?
window-timezone-hint = As it stands in the IANA list: Europe/Berlin, for example.
window-notice-days = How many days before must it be promised?
window-most-kg = How many kg does it take a visit?
window-most-packs = How many packs does it take a visit?
window-vehicle-kg = How many kg can our vehicle carry?
window-driver = Who drives?
window-appointment = Is an appointment needed, and how is it made?
window-contact = Whom to ask for then, if somebody else?
window-more = How much it takes, how long before, and who drives (may stay empty)
window-months = Not all year?
window-months-open = In which months is it open?
window-month-1 = January
window-month-2 = February
window-month-3 = March
window-month-4 = April
window-month-5 = May
window-month-6 = June
window-month-7 = July
window-month-8 = August
window-month-9 = September
window-month-10 = October
window-month-11 = November
window-month-12 = December
window-look = Show me the dates first
window-looked-at = It is not added yet. Add it below if that is right.
window-save = Add this window
window-remove = Remove this window
window-notice = { $days ->
    [1] To be promised a day before.
   *[other] To be promised { $days } days before.
}
window-takes-kg = Takes { NUMBER($kilograms) } kg a visit.
window-takes-packs = { $units ->
    [1] Takes 1 pack a visit.
   *[other] Takes { NUMBER($units) } packs a visit.
}
window-carries = Our vehicle carries { NUMBER($kilograms) } kg.
fault-window-kind = Choose one of these.
fault-window-day = Choose a day from 2010 to 2090.
fault-window-time = Write a time, such as 09:00.
fault-window-timezone = There is no such time zone. Write it as Europe/Berlin or America/Chicago are written.
fault-window-minutes = Write how many minutes, from 5 to 1,440.
fault-window-month-days = Write days from 1 to 31, or “last”, with commas between them.
fault-window-months = Tick one month at least.
