### How the store stands as the dates go by, and when a household eats what.

timeline-title = As the dates go by
timeline-what = How long the food would feed everyone if nobody ate of it before that day and nothing were added: dates pass, children grow.
timeline-cliff = If nobody eats and nothing is added
timeline-below = Below the floor of { $floor ->
    [1] 1 day
   *[other] { $floor } days
} from { $day }, or a little before it.
timeline-below-now = Already below the floor of { $floor ->
    [1] 1 day
   *[other] { $floor } days
} today.
timeline-never-below = On none of these days below the floor of { $floor ->
    [1] 1 day
   *[other] { $floor } days
}.
timeline-round = a round
timeline-passes-hint = The last column is what passes its date between that day and the next one here, in days of 2,100 kcal.
timeline-choose = When a household eats what
timeline-line = When { $name } eats what
timeline-line-hint = From today, by the fair plan: what spoils first is eaten first.
timeline-nothing = There is nothing for them to eat.
timeline-whose = Which household?
timeline-show = Show
timeline-to = to { $day }
timeline-food = { $units } × { $name }
column-passes = Passes
summary-timeline = As the dates go by
