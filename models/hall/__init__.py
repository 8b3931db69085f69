"""A plan for the hall: who stands at which table when, and what is fed there.

`asked` is what a coach gives, `axis` how the minutes are divided, `weighed` what each turn would bring, `seating` who
is where. `greedy` answers at once, `programme` is the integer programme, `solving` uses both; `told` is the finished
plan, and `planning` the way from the first to the last.
"""
