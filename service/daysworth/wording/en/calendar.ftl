### Addresses at which a calendar program reads the store's visits, rounds and kits that are due.

calendar-title = The store’s calendar
calendar-what = A calendar program that subscribes to an address shows the visits to partners with what to bring, other days on which partners take food, rounds, and kits that are due. It tells nothing of any household.
calendar-make = Make an address
calendar-label = What will read it?
calendar-label-hint = Such as “my phone”. You can have { $most } at a time.
calendar-save = Make it
calendar-made = The address is made.
calendar-made-once = It is shown this once: copy it into your calendar program now. If it is lost, make another.
calendar-secret = Whoever has the address can read the calendar. If it goes astray, revoke it.
calendar-issued = { $count ->
    [0] No address was made yet
    [1] The address that was made
   *[other] The { $count } addresses that were made
}
calendar-column-for = Read by
calendar-revoke = Revoke
calendar-revoked = revoked
fault-calendar-label = Say what will read it, in 1 to 120 characters.
